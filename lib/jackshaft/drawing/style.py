"""What the figures of the chapters take, under one name: palette, settings, axes, marks."""

# ruff: noqa: F401 - these names are here for the figures

from jackshaft.drawing.axes import add_plane, add_plot, frame_plane
from jackshaft.drawing.marks import TurnArrow, arrow, label, turn_points, wrap
from jackshaft.drawing.palette import (
    ACCENT,
    BAND,
    BANNER,
    BELT,
    BELT_WIDTH,
    BODY,
    CANDIDATES,
    CAUTION,
    FILL,
    GO,
    GO_FILL,
    GRID,
    HEADING,
    HEAVY,
    INK,
    LINE,
    METAL,
    MUTED,
    PAPER,
    SMALL,
    STOP,
    THIN,
    UNKNOWN,
)
from jackshaft.drawing.settings import drawing, new_figure
