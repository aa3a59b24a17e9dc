"""The colours of figures, cards and panels; they need nothing of the library that draws."""

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
