"""The order in which a pulley is turned, in words; or what is done with one that is bought."""

from __future__ import annotations

import math
from collections.abc import Iterator

from jackshaft.mechanics import shaft_rules
from jackshaft.sheets.cutting import cut_note, spindle
from jackshaft.sheets.pulley import Sheet, rods_of
from jackshaft.sheets.words import both
from jackshaft.units import OutOfRange, fraction

#: How much of the speed for turning is taken to part and groove: from memory.
PARTING = "about half of that to part and to groove (from memory)"


def operations(sheet: Sheet) -> tuple[str, ...]:
    """Return what is done, one sentence or more for each step."""
    return tuple(_turned(sheet)) if sheet.turned else tuple(_bought(sheet))


def _bought(sheet: Sheet) -> Iterator[str]:
    yield "Bought: make nothing. Measure the pulley at each line, write what you find, and hold it against the limits."
    if rods_of(sheet):
        yield "Put two equal rods into one groove, opposite each other, and read over both. Do so in each groove."
    yield "Give back a pulley whose rim is cracked or whose groove shines at the bottom: the belt rode there."


def _turned(sheet: Sheet) -> Iterator[str]:
    g, half = sheet.groove, math.degrees(sheet.groove.angle) / 2
    yield f"Blank: {_blank(sheet)}"
    speeds = spindle(sheet.cut, sheet.outside)
    yield cut_note(sheet.material, sheet.cut) + (f" At the rim: {speeds}; {PARTING}." if speeds else "")
    yield (
        "Hold it by the outside, jaws within the chuck's body. Face side A; bore in the same setting. Mark face A: all "
        "widths count from it."
    )
    yield (
        "Put it on a mandrel, A to the headstock. A rim wider than the chuck can hold goes on the faceplate, bolted, "
        "and balanced by hand: begin below half of the speed, turn it once round by hand, and stand out of "
        "its plane (common practice, no source)."
    )
    yield f"Turn the rim to {both(sheet.outside)}." + (f" Face B to {both(sheet.face)}." if sheet.face else "")
    if g.edge is not None and (sheet.grooves == 1 or g.spacing is not None):
        places = ", ".join(both(g.edge + k * (g.spacing or 0.0)) for k in range(sheet.grooves))
        yield f"Scribe the middle of each groove, from face A: {places}."
    yield (
        f"Part in at each middle to {both(g.depth)} from the rim, with a tool no wider than {both(max(g.bottom, 0.0))}."
    )
    yield (
        f"Swing the compound slide {half:.4g} deg away from the cross-slide's own direction. Where its scale reads 0 "
        f"along the spindle, set {90 - half:.4g} deg. Cut one flank, swing it as far to the other side, cut the other. "
        "Keep the tool at centre height, or the angle is off."
    )
    if rods_of(sheet):
        yield "Measure the rim, then over the rods; break the edges only after that."
    else:
        yield "No rod is in the tables for this groove: gauge its width and angle. Break the edges only after that."
    if sheet.bore is not None and sheet.bore.width is not None:
        yield "Broach the keyway last, and measure from its bottom to the far side of the bore."
    yield "Set it on its shaft, read the run-out on a dial, and balance it."


def _blank(sheet: Sheet) -> str:
    """Return what to ask for, as it is sold."""
    long = f", and {both(sheet.face)} wide with what facing and holding take" if sheet.face else ""
    wanted = f"it must clean up at {both(sheet.outside)}{long}."
    if sheet.material != "steel":
        return f"{sheet.material or 'material not known'}; {wanted} Ask for the next size that is sold."
    sold = [s for s in (_bar(sheet.outside, "inch"), _bar(sheet.outside, "metric")) if s]
    ask = f"Ask for round bar of {' or '.join(sold)}" if sold else "No counter keeps so thick a bar: ask for a disc"
    return f"steel; {wanted} {ask} (common practice, no source)."


def _bar(outside: float, system: str) -> str:
    try:
        size = shaft_rules.bar_for.si(outside, system=system)
    except OutOfRange:
        return ""
    return fraction(size, 16) if system == "inch" else f"{size * 1e3:.0f} mm"


__all__ = ["operations"]
