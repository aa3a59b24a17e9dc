"""A server extension: messages to a page go at once, and a page opens with the top folder beside it.

The server leaves small messages waiting for the page's acknowledgement of the last one, which holds every moving
picture near 18 a second. The address that it prints takes no query, which the lab wants for the folder that it shows.
"""

from html import escape
from urllib.parse import quote

from jupyter_server.base.handlers import JupyterHandler
from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection
from jupyter_server.utils import url_path_join

#: Where a page's path follows that is to be opened.
WORKBOOK = "/workbook"

#: Bytes of one message from a page: a photograph that is given to a kernel is one, of 10 MB and more.
MESSAGE_BYTES = 40 * 2**20

#: Width of a window in pixels below which the list of files would leave the page too little room.
NARROW = 900

#: The lab remembers per workspace whether its side bar is open; what a wide window left open must not open here.
NARROW_SPACE = "narrow"

#: Only the browser knows how wide its window is, so it chooses between the two addresses itself.
_CHOOSE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Opening the workbook</title></head>
<body><p>Opening <a id="wide" href="{wide}">the page with the list of files</a>
or <a id="narrow" href="{narrow}">the page alone</a>.</p>
<script>
location.replace(document.getElementById(window.innerWidth < {limit} ? "narrow" : "wide").href);
</script></body></html>
"""


class QuickConnection(ZMQChannelsWebsocketConnection):
    """The connection between a page and its kernel, without that wait."""

    async def connect(self):
        """Connect, and let small messages go at once."""
        self.websocket_handler.set_nodelay(True)
        return await super().connect()


class OpenPage(JupyterHandler):
    """Sends the browser to a page of the lab: with the top folder in the lab's list of files, or alone if it is narrow.

    A token that comes with the address is turned into a cookie before; without either, the lab asks for one.
    """

    def get(self, page):
        """Go there; ``page`` is its path below the top."""
        wide = url_path_join(self.base_url, "lab/tree", quote(page)) + "?file-browser-path=/"
        narrow = url_path_join(self.base_url, "doc/workspaces", NARROW_SPACE, "tree", quote(page))
        self.set_header("Content-Type", "text/html; charset=utf-8")
        self.finish(_CHOOSE.format(wide=escape(wide), narrow=escape(narrow), limit=NARROW))


def _jupyter_server_extension_points():
    return [{"module": "jackshaft.quick"}]


def _load_jupyter_server_extension(app):
    app.web_app.settings["kernel_websocket_connection_class"] = QuickConnection
    app.web_app.settings["websocket_max_message_size"] = MESSAGE_BYTES
    app.web_app.add_handlers(".*", [(url_path_join(app.base_url, WORKBOOK, "(.+)"), OpenPage)])
