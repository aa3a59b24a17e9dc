"""Colours, line widths and sizes of letters that every figure shares."""

from __future__ import annotations

# Colours. Each dark one has at least 4.5:1 against PAPER, so it may carry text as well as lines.
PAPER = "#fdfcf8"
INK = "#1d2a33"
MUTED = "#55646f"
GRID = "#d9dfe2"
FILL = "#e9eef0"
BELT = "#1f5f8b"
METAL = "#7d8b94"
ACCENT = "#0f6e68"

GO = "#1f6b3a"
CAUTION = "#8a5200"
STOP = "#a11d24"
UNKNOWN = "#4d5965"
#: What is certainly so, as an area.
GO_FILL = "#dcecdf"
#: Behind the white words across a picture that does not work; in a dark theme too.
BANNER = "#9c1c23"

#: Colour and dash pattern of the pinned candidates, in the order of their letters. The dashes tell
#: them apart on a black-and-white print.
CANDIDATES: tuple[tuple[str, tuple[float, ...]], ...] = (
    ("#6a3d9a", (6, 2)),
    ("#8c4a12", (2, 2)),
    ("#0b6a78", (8, 2, 2, 2)),
    ("#9a2f74", (4, 1, 1, 1, 1, 1)),
    ("#56661a", (10, 3)),
    ("#3c4f9e", (1, 1)),
)

#: Colour -> what takes its place in a dark theme. Each that carries text has at least 4.5:1 against the dark PAPER.
#: A colour that is not here is the same in both. A picture to be kept or printed is always light.
DARK: dict[str, str] = {
    PAPER: "#1b2329",
    INK: "#e8edf0",
    MUTED: "#aab7c0",
    GRID: "#3a464e",
    FILL: "#2f3b43",
    BELT: "#7cbcec",
    METAL: "#8a98a2",
    ACCENT: "#5fc9c0",
    GO: "#7fd39a",
    CAUTION: "#f0b45a",
    STOP: "#ff9a94",
    UNKNOWN: "#b4c0c9",
    GO_FILL: "#1f3527",
    **dict(
        zip(
            (colour for colour, _ in CANDIDATES),
            ("#c9aaf0", "#eba46a", "#62c8da", "#f09ad0", "#bccd6e", "#a3b3f5"),
            strict=True,
        )
    ),
}

#: A rule of style that gives the colours of live pictures in a dark theme of the lab.
DARK_CSS = f'[data-jp-theme-light="false"] {{ {" ".join(f"--jk-{k[1:]}: {v};" for k, v in DARK.items())} }}'

#: Line widths in points.
THIN, LINE, HEAVY, BELT_WIDTH = 0.6, 1.1, 1.8, 2.6

#: Text sizes in points.
SMALL, BODY, HEADING = 8.0, 9.0, 11.0

#: Height in inches of the band at the top of a figure that a banner may cover.
BAND = 0.42
