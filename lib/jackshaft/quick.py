"""A server extension: messages to a page go at once, and a page opens with the top folder beside it.

The server leaves small messages waiting for the page's acknowledgement of the last one, which holds every moving
picture near 18 a second. The address that it prints takes no query, which the lab wants for the folder that it shows.
"""

from urllib.parse import quote

from jupyter_server.base.handlers import JupyterHandler
from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection
from jupyter_server.utils import url_path_join

#: Where a page's path follows that is to be opened.
WORKBOOK = "/workbook"


class QuickConnection(ZMQChannelsWebsocketConnection):
    """The connection between a page and its kernel, without that wait."""

    async def connect(self):
        """Connect, and let small messages go at once."""
        self.websocket_handler.set_nodelay(True)
        return await super().connect()


class OpenPage(JupyterHandler):
    """Sends the browser to a page of the lab, with the top folder in the lab's list of files.

    A token that comes with the address is turned into a cookie before; without either, the lab asks for one.
    """

    def get(self, page):
        """Go there; ``page`` is its path below the top."""
        self.redirect(url_path_join(self.base_url, "lab/tree", quote(page)) + "?file-browser-path=/")


def _jupyter_server_extension_points():
    return [{"module": "jackshaft.quick"}]


def _load_jupyter_server_extension(app):
    app.web_app.settings["kernel_websocket_connection_class"] = QuickConnection
    app.web_app.add_handlers(".*", [(url_path_join(app.base_url, WORKBOOK, "(.+)"), OpenPage)])
