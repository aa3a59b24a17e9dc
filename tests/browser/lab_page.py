"""A notebook in a real JupyterLab in a real browser, driven by labels and by what a reader sees."""

from __future__ import annotations

import json
from urllib.parse import urlsplit

from barriers import barriers
from lab_server import WAIT, LabServer
from panel_page import PanelOnPage

#: Size of a page's window at first, in pixels.
SIZE = {"width": 1280, "height": 1400}

_SESSION = "window.jupyterapp?.shell?.currentWidget?.sessionContext"
_CONNECTED = f"""() => {{
  const context = {_SESSION};
  const kernel = context?.session?.kernel;
  return context?.isReady === true && kernel?.connectionStatus === 'connected' && kernel?.status === 'idle';
}}"""
_NAMED = "() => [...document.querySelectorAll('.jk-panel .noUi-handle')].every(h => h.getAttribute('aria-label'))"


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
        self.barriers: dict[str, list[str]] = {}
        self._notebook, self._fresh = "", False
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
        self._notebook, self._fresh = notebook, not self.server.has_kernel(notebook)
        self.page.goto(self.server.address(notebook))
        self.page.wait_for_selector(".jp-Notebook .jp-Cell")
        self.wait_idle()

    def show(self, notebook: str) -> None:
        """Show a notebook with every cell run anew; to load JupyterLab and start a kernel takes longer than the cells.

        Parameters
        ----------
        notebook : str
            Path below the server's root.
        """
        if self._notebook == notebook:
            self.run_all()
        else:
            self.open(notebook)
            self.run_all(restart=True)
        self.look_for_barriers(notebook)

    def look_for_barriers(self, notebook: str) -> None:
        """Have the panels of a notebook checked for what keeps readers out, once.

        Parameters
        ----------
        notebook : str
            Its name.
        """
        if notebook not in self.barriers and self.page.locator(".jk-panel").count():
            self.page.wait_for_function(_NAMED)  # the panel's own script names its sliders a moment after they stand
            self.barriers[notebook] = barriers(self.page, ".jk-panel")

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

    def keep_busy(self, seconds: float) -> None:
        """Give the kernel something to do, and do not wait for it.

        Parameters
        ----------
        seconds : float
            How long that takes.
        """
        code = f"__import__('time').sleep({seconds})"
        self.page.evaluate(f"() => {{ {_SESSION}.session.kernel.requestExecute({{ code: {json.dumps(code)} }}); }}")

    def run_all(self, *, restart: bool = False) -> None:
        """Run every cell and wait for the last one.

        Parameters
        ----------
        restart : bool, optional
            Whether the kernel starts afresh before; one that has run nothing yet is left as it is.
        """
        self.wait_idle()
        if restart and not self._fresh:
            self.page.evaluate(f"() => {{ {_SESSION.replace('?.', '.')}.restartKernel(); }}")
            self.page.wait_for_timeout(500)
            self.wait_idle()
        self._fresh = False
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

    def resize(self, width: int) -> None:
        """Give the window a width, and wait until the page has taken it.

        Parameters
        ----------
        width : int
            In pixels.
        """
        self.page.set_viewport_size({**SIZE, "width": width})
        self.hide_chrome()
        self.page.wait_for_timeout(600)

    def outside_hosts(self) -> set[str]:
        """Return every host that was asked for anything, other than the server itself."""
        return {h for h in self.hosts if h and h != self.server.host}
