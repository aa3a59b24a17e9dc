"""A server extension: what the lab's server sends to a page goes at once.

The server leaves small messages waiting for the page's acknowledgement of the last one, which holds every moving
picture near 18 a second.
"""

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class QuickConnection(ZMQChannelsWebsocketConnection):
    """The connection between a page and its kernel, without that wait."""

    async def connect(self):
        """Connect, and let small messages go at once."""
        self.websocket_handler.set_nodelay(True)
        return await super().connect()


def _jupyter_server_extension_points():
    return [{"module": "jackshaft.quick"}]


def _load_jupyter_server_extension(app):
    app.web_app.settings["kernel_websocket_connection_class"] = QuickConnection
