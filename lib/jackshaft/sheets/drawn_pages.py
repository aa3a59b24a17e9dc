"""One page of paper as a PDF, drawn in millimetres from its lower left corner."""

from __future__ import annotations

import io
from collections.abc import Callable

from matplotlib.axes import Axes
from matplotlib.backends.backend_pdf import PdfPages

from jackshaft.drawing.settings import drawing, new_figure
from jackshaft.units import INCH

MM = 1e3


def one_page(kind: str, title: str, size: tuple[float, float], fill: Callable[[Axes], None]) -> bytes:
    """Return a page of this width and height, mm, as ``fill`` draws it; ``kind`` says what it is in a fault."""
    out, (width, height) = io.BytesIO(), size
    with drawing(kind), PdfPages(out, metadata={"Title": title, "CreationDate": None}) as pages:
        figure = new_figure(width / INCH / MM, height / INCH / MM)
        figure.set_facecolor("white")
        page = figure.add_axes((0, 0, 1, 1))
        page.set_axis_off()
        page.set_xlim(0, width)
        page.set_ylim(0, height)
        fill(page)
        pages.savefig(figure)
    return out.getvalue()


__all__ = ["one_page"]
