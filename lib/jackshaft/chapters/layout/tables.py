"""The tables of one belt loop: its pulleys in order, and the belts that are sold for it."""

from __future__ import annotations

import numpy as np

from jackshaft.chapters.layout.data import StageLayout, StockBelt
from jackshaft.chapters.ratio.data import ARROWS
from jackshaft.results.checks import Table
from jackshaft.results.reader import Reader
from jackshaft.results.values import TAPE, Value


def pulley_table(reader: Reader, layout: StageLayout) -> Table:
    """Return the table of the pulleys in the order the belt meets them."""
    p, path = layout.pulleys, layout.path
    rows = []
    for i, name in enumerate(p.names):
        role = "drives" if i == p.driver else "driven" if i in p.works else "idler"
        side = "inside" if p.inside[i] else "outside"
        surface = "flat" if p.flat[i] else "groove"
        known = reader.how(f"stage[{layout.name}].pulley[{name}].diameter")
        size = reader.number(2 * p.pitch[i], "length", known=known)
        wrap = reader.number(path.wrap[i], "angle")
        leaves = reader.number(path.span[i], "length", f"to {p.names[(i + 1) % len(p.names)]}: {{}}", form=TAPE)
        rows.append((name, role, f"{side}, {surface}", size, wrap, ARROWS[int(path.turn[i])], leaves))
    return Table(
        f"{layout.name}: pulleys in the order the belt meets them",
        ("pulley", "does", "side, surface", "pitch diameter", "wrap", "turns", "strand that leaves it"),
        tuple(rows),
        "Directions are seen facing the engine's output shaft.",
    )


def stock_table(reader: Reader, layout: StageLayout) -> Table:
    """Return the table of the belts that are sold, nearest to the path."""
    driver = layout.pulleys.driver
    rows = []
    for belt in layout.stock:
        wrap = None if belt.wrap is None or not belt.fits else belt.wrap[driver]
        longer = "longer" if belt.over >= 0 else "shorter"
        rows.append(
            (
                belt.designation + (" (this belt)" if belt is layout.chosen else ""),
                reader.number(belt.pitch_length, "length", known=belt.known),
                # longer is more than nothing, shorter less: the sign is given in words
                reader.number(belt.over, "length", f"{reader.tape(abs(belt.over))} {longer}"),
                _place(reader, layout, belt),
                reader.cell(wrap, "angle"),
                _room(reader, belt),
            )
        )
    heads = ("belt", "length on the cord line", "against the path", "take-up position")
    return Table(
        f"{layout.name}: belts that are sold, nearest to the path",
        (*heads, f"wrap on {layout.pulleys.names[driver]}", "belt length to spare"),
        tuple(rows),
        "Lengths are those of the tables; check the marking and its line on the belt itself. "
        "Where the cord lies is uncertain by a few millimetres of length.",
    )


def _place(reader: Reader, layout: StageLayout, belt: StockBelt) -> Value:
    """Return where the take-up stands with a belt: the centres of two pulleys, or the place of the idler."""
    two = len(layout.pulleys.names) == 2
    if two and (belt.fits or np.isfinite(belt.centres)):
        words = "centres {}" if belt.fits else "would need centres of {}"
        return reader.number(belt.centres, "length", words, form=TAPE)
    if not belt.fits:
        return "does not fit"
    if np.isfinite(belt.x):
        words = f"{layout.pulleys.names[layout.mover]} at {{}}, {reader.tape(belt.y)}"
        return reader.number(belt.x, "length", words, form=TAPE)
    return "as drawn"


def _room(reader: Reader, belt: StockBelt) -> Value:
    """Return the belt length left for stretch, and in words that to put the belt on."""
    if not belt.fits or not np.isfinite(belt.room_out):
        return ""
    room = reader.tape(belt.room_in) if np.isfinite(belt.room_in) else "until the pulleys touch"
    return reader.number(belt.room_out, "length", f"to put on: {room}; for stretch: {{}}", form=TAPE)


__all__ = ["pulley_table", "stock_table"]
