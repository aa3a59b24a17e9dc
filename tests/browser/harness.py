"""A real JupyterLab in a real browser, driven by labels and by what a reader sees.

The server runs on the loopback address on a copy of the notebooks and of ``data/``, with settings
and state folders of its own, so that nothing of the person running the tests is read or changed.
"""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path
from urllib.parse import quote, urlsplit

BROWSER_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
BROWSER_FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
)
WAIT = 60_000  # milliseconds; a machine under load needs long for a kernel to start


class Unavailable(RuntimeError):
    """What a browser test needs is not on this machine; the words say what."""


def find_browser() -> str:
    """Return the path of an installed browser of the Chromium family.

    Raises
    ------
    Unavailable
        If there is none.
    """
    for name in BROWSER_NAMES:
        found = shutil.which(name)
        if found:
            return found
    raise Unavailable("no Chromium is installed (looked for " + ", ".join(BROWSER_NAMES) + ")")


class LabServer:
    """A JupyterLab on a folder; use it in a ``with`` statement.

    Parameters
    ----------
    root : Path
        Folder it shows; it should be a copy.
    state : Path
        Empty folder for its settings and state.
    data : Path, optional
        Copy of the project's ``data/``; kernels get it as JACKSHAFT_DATA.
    env : dict, optional
        More environment for the server and its kernels.
    """

    def __init__(self, root: Path, state: Path, *, data: Path | None = None, env: dict[str, str] | None = None):
        self.root, self.state = Path(root), Path(state)
        self.token = secrets.token_hex(16)
        self.env = {k: v for k, v in os.environ.items() if not k.startswith(("JUPYTER", "JACKSHAFT_"))}
        for name in ("config", "data", "runtime", "settings", "workspaces", "ipython"):
            (self.state / name).mkdir(parents=True, exist_ok=True)
        self.env |= {
            "JUPYTER_CONFIG_DIR": str(self.state / "config"),
            "JUPYTER_DATA_DIR": str(self.state / "data"),
            "JUPYTER_RUNTIME_DIR": str(self.state / "runtime"),
            "IPYTHONDIR": str(self.state / "ipython"),
            "JUPYTERLAB_SETTINGS_DIR": str(self.state / "settings"),
            "JUPYTERLAB_WORKSPACES_DIR": str(self.state / "workspaces"),
        }
        if data is not None:
            self.env["JACKSHAFT_DATA"] = str(data)
        self.env |= env or {}
        overrides = {"@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": False}}
        folder = self.state / "settings" / "@jupyterlab" / "apputils-extension"
        folder.mkdir(parents=True, exist_ok=True)
        for plugin, values in overrides.items():
            (folder / f"{plugin.split(':')[1]}.jupyterlab-settings").write_text(json.dumps(values))
        self.port = 0
        self._process: subprocess.Popen | None = None

    def __enter__(self) -> LabServer:
        self.port = _free_port()
        self._log = open(self.state / "server.log", "wb")
        self._process = subprocess.Popen(
            [
                sys.executable,
                "-m",
                "jupyterlab",
                "--no-browser",
                "--ServerApp.ip=127.0.0.1",
                f"--ServerApp.port={self.port}",
                "--ServerApp.port_retries=0",
                f"--IdentityProvider.token={self.token}",
                f"--ServerApp.root_dir={self.root}",
                "--ServerApp.allow_root=True",
                "--LabApp.expose_app_in_browser=True",
                "--LabApp.news_url=",
                "--ServerApp.terminals_enabled=False",
                "--LabApp.collaborative=False",
                "--LabApp.extension_manager=readonly",
            ],
            env=self.env,
            cwd=self.root,
            stdout=self._log,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        try:
            self._await_answer()
        except BaseException:
            self.__exit__()
            raise
        return self

    def __exit__(self, *_) -> None:
        process, self._process = self._process, None
        if process is not None and process.poll() is None:
            process.send_signal(signal.SIGTERM)
            try:
                process.wait(15)
            except subprocess.TimeoutExpired:
                # the server's own process group, which its kernels belong to
                os.killpg(process.pid, signal.SIGKILL)
                process.wait(15)
        self._log.close()

    @property
    def host(self) -> str:
        """Host and port, as a request names them."""
        return f"127.0.0.1:{self.port}"

    def address(self, notebook: str) -> str:
        """Return the address that opens a notebook alone, without the side bar.

        Parameters
        ----------
        notebook : str
            Path below the root.
        """
        return f"http://{self.host}/doc/tree/{quote(notebook)}?token={self.token}"

    def _await_answer(self) -> None:
        deadline = time.monotonic() + WAIT / 1000
        while time.monotonic() < deadline:
            if self._process.poll() is not None:
                raise RuntimeError("JupyterLab ended at once:\n" + self.log())
            with contextlib.suppress(urllib.error.URLError, ConnectionError, TimeoutError):
                url = f"http://{self.host}/api/status?token={self.token}"
                with urllib.request.urlopen(url, timeout=2) as answer:
                    if answer.status == 200:
                        return
            time.sleep(0.2)
        raise RuntimeError("JupyterLab did not answer:\n" + self.log())

    def log(self) -> str:
        """Return the end of the server's log."""
        return (self.state / "server.log").read_text(errors="replace")[-4000:]


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


_SESSION = "window.jupyterapp?.shell?.currentWidget?.sessionContext"
_CONNECTED = f"""() => {{
  const context = {_SESSION};
  const kernel = context?.session?.kernel;
  return context?.isReady === true && kernel?.connectionStatus === 'connected' && kernel?.status === 'idle';
}}"""


class LabPage:
    """One browser page on one server.

    Parameters
    ----------
    page : playwright page
        The page.
    server : LabServer
        The server.
    """

    def __init__(self, page, server: LabServer):
        self.page, self.server = page, server
        self.hosts: set[str] = set()
        self.faults: list[str] = []
        page.on("request", lambda request: self.hosts.add(urlsplit(request.url).netloc))
        page.on("websocket", lambda socket: self.hosts.add(urlsplit(socket.url).netloc))
        # what JupyterLab itself was waiting for when a kernel was restarted is dropped by it, loudly
        page.on("pageerror", lambda error: "Canceled future for" in str(error) or self.faults.append(str(error)))
        page.set_default_timeout(WAIT)

    # -- notebook ----------------------------------------------------------------------------------

    def open(self, notebook: str) -> None:
        """Open a notebook and wait until its kernel can be talked to.

        Parameters
        ----------
        notebook : str
            Path below the server's root.
        """
        self.page.goto(self.server.address(notebook))
        self.page.wait_for_selector(".jp-Notebook .jp-Cell")
        self.wait_idle()

    def reload(self) -> None:
        """Load the page again, as a reader would."""
        self.page.reload()
        self.page.wait_for_selector(".jp-Notebook .jp-Cell")
        self.wait_idle()

    def wait_idle(self) -> None:
        """Wait until the kernel is connected and idle.

        The page's own idle sign is true before the kernel is connected, and what is run then never ends.
        """
        self.page.wait_for_function(_CONNECTED)

    def run_all(self, *, restart: bool = False) -> None:
        """Run every cell and wait for the last one.

        Parameters
        ----------
        restart : bool, optional
            Whether the kernel starts afresh before.
        """
        self.wait_idle()
        if restart:
            self.page.evaluate(f"() => {{ {_SESSION.replace('?.', '.')}.restartKernel(); }}")
            self.page.wait_for_timeout(500)
            self.wait_idle()
        self.page.evaluate("""() => { window.__ran = 'running';
          window.jupyterapp.commands.execute('notebook:run-all-cells')
            .then(() => { window.__ran = 'done'; }, error => { window.__ran = 'failed: ' + error; }); }""")
        self.page.wait_for_function("() => window.__ran !== 'running'", timeout=3 * WAIT)
        self.wait_idle()
        errors = self.page.locator(".jp-OutputArea-output[data-mime-type='application/vnd.jupyter.error']")
        assert errors.count() == 0, errors.first.inner_text()

    def save(self) -> None:
        """Save the notebook and wait until it is written."""
        self.page.evaluate("""() => { window.__saved = false;
          window.jupyterapp.commands.execute('docmanager:save').then(() => { window.__saved = true; }); }""")
        self.page.wait_for_function("() => window.__saved")

    def stored(self, notebook: str) -> dict:
        """Return the notebook's file as it is on disk.

        Parameters
        ----------
        notebook : str
            Path below the server's root.
        """
        return json.loads((self.server.root / notebook).read_text(encoding="utf-8"))

    # -- panel -------------------------------------------------------------------------------------

    def panel(self, title: str | None = None) -> PanelOnPage:
        """Return the panel with a title, or the only one.

        Parameters
        ----------
        title : str, optional
            The panel's title.
        """
        found = self.page.locator(".jk-panel")
        if title is not None:
            found = found.filter(has=self.page.get_by_role("heading", name=title, exact=True))
        found.first.wait_for(state="attached")
        # what is far out of sight is not rendered, and has no words to read then
        found.first.evaluate("e => e.scrollIntoView({block: 'start'})")
        found.first.wait_for()
        return PanelOnPage(self.page, found.first)

    def hide_chrome(self) -> None:
        """Fold Lab's own side bars away, as a reader with a small screen does."""
        self.page.evaluate("""() => { const shell = window.jupyterapp.shell;
          shell.collapseLeft?.(); shell.collapseRight?.(); }""")

    def screenshot(self, path: Path, width: int, height: int = 1400) -> None:
        """Take a picture of the page at a width.

        Parameters
        ----------
        path : Path
            File to write.
        width, height : int
            Size of the window in pixels.
        """
        self.page.set_viewport_size({"width": width, "height": height})
        self.hide_chrome()
        self.page.wait_for_timeout(600)
        self.page.screenshot(path=path)

    def outside_hosts(self) -> set[str]:
        """Return every host that was asked for anything, other than the server itself."""
        return {h for h in self.hosts if h and h != self.server.host}


class PanelOnPage:
    """A panel as a reader sees it.

    Parameters
    ----------
    page : playwright page
        The page.
    root : locator
        The panel.
    """

    def __init__(self, page, root):
        self.page, self.root = page, root

    def field(self, label: str):
        """Return the field (text or list) with a label; its unit may be left out.

        Parameters
        ----------
        label : str
            The label.
        """
        return self.control(label).locator("input[type=text], select").first

    def control(self, label: str):
        """Return the whole control with a label: field, slider, echo.

        Parameters
        ----------
        label : str
            The label, with or without its unit.
        """
        escaped = label.replace("\\", "\\\\").replace('"', '\\"')
        exact = self.root.locator(f'.jk-control:has(label:text-is("{escaped}"))')
        if exact.count():
            return exact.first
        return self.root.locator(f'.jk-control:has(label:has-text("{escaped} ("))').first

    def slider(self, label: str):
        """Return the handle of the slider beside a field.

        Parameters
        ----------
        label : str
            The control's label.
        """
        return self.control(label).locator(".noUi-handle")

    def labels(self) -> list[str]:
        """Return the labels of every control."""
        return self.root.locator(".jk-control .jk-box label").all_inner_texts()

    def has_slider(self, label: str) -> bool:
        """Tell whether a control has a slider.

        Parameters
        ----------
        label : str
            The control's label.
        """
        return self.slider(label).count() > 0

    def type(self, label: str, text: str, *, leave: str = "Enter") -> None:
        """Type a text into a field, as a reader does, and leave it by a key.

        Parameters
        ----------
        label : str
            The control's label.
        text : str
            What to type.
        leave : str, optional
            Enter or Tab.
        """
        field = self.field(label)
        field.fill(text)
        field.press(leave)

    def pick(self, label: str, words: str) -> None:
        """Pick an entry of a list.

        Parameters
        ----------
        label : str
            The control's label.
        words : str
            The entry's words.
        """
        self.field(label).select_option(label=words)

    def press(self, label: str, key: str, times: int = 1) -> None:
        """Press a key on a slider.

        Parameters
        ----------
        label : str
            The control's label.
        key : str
            Such as ArrowRight.
        times : int, optional
            How often.
        """
        handle = self.slider(label)
        handle.focus()
        for _ in range(times):
            handle.press(key)

    def echo(self, label: str) -> str:
        """Return the words beneath a field.

        Parameters
        ----------
        label : str
            The control's label.
        """
        return self.control(label).locator(".jk-echo").inner_text()

    def value(self, label: str) -> str:
        """Return what stands in a field."""
        return self.field(label).input_value()

    def facts(self) -> dict[str, str]:
        """Return the live facts: label to value."""
        rows = self.root.locator("table.jk-facts tr").all()
        return {r.locator("th").inner_text(): r.locator("td").inner_text() for r in rows}

    def results(self) -> str:
        """Return the words of checks, facts and comparison."""
        return "\n".join(self.root.locator(".jk-facts-box, .jk-checks-box").all_inner_texts())

    def strip(self) -> str:
        """Return the words of the verdict strip."""
        return self.root.locator(".jk-strip-box").inner_text()

    def picture(self) -> str:
        """Return what the picture says it shows."""
        return self.root.locator(".jk-picture").get_attribute("aria-label") or ""

    def alert(self) -> str:
        """Return the words of the error box; empty when there is none."""
        # read at once: an alert that is counted first may be gone when it is read
        return next(iter(self.root.locator("[role=alert]").all_inner_texts()), "")

    def notice(self) -> str:
        """Return the message of what was done last; empty when there is none."""
        found = self.root.locator(".jk-notice")
        return found.first.inner_text() if found.count() else ""

    def stored_text(self) -> str:
        """Return the words of the outputs that are stored beside the panel; they are hidden while it is live."""
        return self.root.evaluate("""root => {
          const mine = root.closest('.jp-OutputArea-child');
          return [...mine.parentElement.children].filter(c => c !== mine).map(c => c.textContent).join('\\n');
        }""")

    def click(self, words: str) -> None:
        """Press a button by its words.

        Parameters
        ----------
        words : str
            The words on it.
        """
        self.root.get_by_role("button", name=words, exact=True).click()

    def keep(self) -> None:
        """Press the button that keeps the values in the build."""
        self.root.locator("button.jk-keep").click()

    def pin(self) -> None:
        """Press the button that pins a candidate, and wait until it is pinned: each widget has a line of its own to
        the kernel, and on a busy machine what is typed next may get there first."""
        rows = self.root.locator(".jk-pin-row")
        before = rows.count()
        self.root.locator("button.jk-pin").click()
        self.wait_until(lambda: rows.count() == before + 1, "the pinned candidate")

    def wait_until(self, holds, what: str, seconds: float = 15.0) -> None:
        """Wait until something holds.

        Parameters
        ----------
        holds : callable
            Returns true when it does.
        what : str
            What is waited for, for the message.
        seconds : float, optional
            How long.
        """
        deadline = time.monotonic() + seconds
        while not holds():
            if time.monotonic() > deadline:
                raise AssertionError(f"waited {seconds:g} s in vain: {what}")
            self.page.wait_for_timeout(40)

    def wait_changed(self, read, before, what: str) -> object:
        """Wait until a reading differs from what it was, and return it.

        Parameters
        ----------
        read : callable
            Returns the reading.
        before : object
            What it was.
        what : str
            What is waited for, for the message.
        """
        self.wait_until(lambda: read() != before, f"{what} to change from {before!r}")
        return read()

    def wait_settled(self, quiet_ms: int = 900) -> None:
        """Wait until nothing in the panel changes any more, the stored outputs included."""
        last, since = None, time.monotonic()
        while (time.monotonic() - since) * 1000 < quiet_ms:
            now = (self.picture(), self.results())
            if now != last:
                last, since = now, time.monotonic()
            self.page.wait_for_timeout(60)
