"""The plotting library's settings, applied while something is drawn and never beyond.

Nothing here needs pyplot or a screen. Neither the reader's own settings nor an earlier cell can change a figure.
"""

from __future__ import annotations

import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager

import matplotlib
from matplotlib.figure import Figure

from jackshaft.drawing.palette import BODY, GRID, HEADING, INK, LINE, MUTED, PAPER, SMALL, THIN

FONT = "DejaVu Sans"
_OURS = {
    "font.family": [FONT],
    "font.size": BODY,
    "svg.fonttype": "none",
    "path.simplify": True,
    "figure.facecolor": PAPER,
    "figure.dpi": 100.0,
    "savefig.facecolor": "auto",
    "axes.facecolor": PAPER,
    "axes.edgecolor": MUTED,
    "axes.labelcolor": INK,
    "axes.titlecolor": INK,
    "axes.titlesize": HEADING,
    "axes.titlelocation": "left",
    "axes.linewidth": THIN,
    "axes.grid": True,
    "axes.axisbelow": True,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.unicode_minus": True,
    "grid.color": GRID,
    "grid.linewidth": THIN,
    "lines.linewidth": LINE,
    "lines.solid_capstyle": "round",
    "patch.linewidth": LINE,
    "text.color": INK,
    # names and notes are the builder's own; two dollar signs in them are no formula
    "text.parse_math": False,
    "xtick.color": MUTED,
    "ytick.color": MUTED,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
    "xtick.labelsize": SMALL,
    "ytick.labelsize": SMALL,
    "legend.fontsize": SMALL,
    "legend.frameon": False,
    "legend.edgecolor": GRID,
}
_NOT_OURS = {"backend", "backend_fallback", "interactive", "toolbar", "webagg.open_in_browser"}
_SETTINGS = {k: v for k, v in matplotlib.rcParamsDefault.items() if k not in _NOT_OURS} | _OURS

#: The plotting library's settings belong to the whole process, and a widget's callback may draw in a thread of its own.
_ONE_AT_A_TIME = threading.RLock()


@contextmanager
def drawing(name: str) -> Iterator[None]:
    """Draw with our settings and nobody else's, for as long as the block lasts; other threads wait until then.

    Parameters
    ----------
    name : str
        Name of the picture; it salts the ids inside the SVG, so that two pictures on one page never
        share an id and the same picture always has the same ids.
    """
    with _ONE_AT_A_TIME:
        wanted = {**_SETTINGS, "svg.hashsalt": name}
        # setting a value checks it, which is slow, so only those that differ are set
        with matplotlib.rc_context({k: v for k, v in wanted.items() if matplotlib.rcParams[k] != v}):
            with warnings.catch_warnings():
                # A sign that the font lacks is drawn as a box; the words beside every picture have it.
                warnings.filterwarnings("ignore", message=r"Glyph \d+ .* missing from font", category=UserWarning)
                yield


def new_figure(width: float, height: float) -> Figure:
    """Return an empty figure of a size in inches, tied to no screen. Call it inside :func:`drawing`."""
    return Figure(figsize=(width, height), layout="none")
