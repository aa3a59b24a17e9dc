"""A JupyterLab of its own for the browser tests, and the browser that is on this machine.

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
from urllib.parse import quote

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
            self.line(),
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

    def line(self) -> list[str]:
        """Return the command that starts it."""
        return [
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
        ]

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
    def pid(self) -> int:
        """Number of the server's process; its kernels are children of it."""
        return self._process.pid

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

    def ask(self, what: str):
        """Ask the server for something by its interface for programs, such as ``status``.

        Parameters
        ----------
        what : str
            The last part of the address.
        """
        url = f"http://{self.host}/api/{what}?token={self.token}"
        with urllib.request.urlopen(url, timeout=2) as answer:
            return json.load(answer)

    def has_kernel(self, notebook: str) -> bool:
        """Tell whether a kernel runs for a notebook already.

        Parameters
        ----------
        notebook : str
            Path below the root.
        """
        return any(session["path"] == notebook for session in self.ask("sessions"))

    def _await_answer(self) -> None:
        deadline = time.monotonic() + WAIT / 1000
        while time.monotonic() < deadline:
            if self._process.poll() is not None:
                raise RuntimeError("JupyterLab ended at once:\n" + self.log())
            with contextlib.suppress(urllib.error.URLError, ConnectionError, TimeoutError):
                self.ask("status")
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
