"""What is stored of a layout, and what it must meet."""

from __future__ import annotations

#: Why a layout falls out, in the order it is asked.
FAILS = (
    "the belt cannot go round",
    "no belt that is sold fits",
    "the idler is outside its zone",
    "the clearance is too small",
    "the arm takes up too little belt",
    "the grip is too low",
    "the belts are rated for too little power",
    "the belt is pulled or bent too hard to last",
)
ROUND, STOCK, ZONE, ROOM, RATE, GRIP, POWER, LASTS = range(len(FAILS))

#: What is stored of a layout, SI units.
FIELDS = (
    "pattern",
    "driver",
    "driven",
    "size0",
    "size1",
    "x0",
    "y0",
    "x1",
    "y1",
    "centres",
    "belts",
    "stock",
    "length",
    "margin",
    "margin_bad",
    "hub",
    "wide",
    "high",
    "gap",
    "bought",
    "power",
)
AT = {name: k for k, name in enumerate(FIELDS)}
