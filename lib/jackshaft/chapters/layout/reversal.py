"""Ways to turn the direction round for the belt stage at hand, each with what it costs."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jackshaft import tables
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import belt_rules, twopulley
from jackshaft.parts.motor import is_motor
from jackshaft.results.checks import Table
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number, Value

#: What turns the direction round without the belt: way, wrap, share, and what it costs.
WITHOUT = (
    (
        "a pair of gears, or a gearbox that reverses",
        "none",
        "no belt",
        "a stage more: about 2 to 5 % of the power, grease and a guard of its own; nothing slips, so something "
        "else must give first",
    ),
    (
        "the source turned to face the other way",
        "as it is",
        "as it is",
        "new mounts; mind {} and the side that the clutch is made for",
    ),
)
#: What of a source minds being turned round, and what else may be done, of an engine and of a motor.
MINDS = ("exhaust, fuel, cooling", "its fan, its drain holes")
WIRED = " The motor may also be wired to turn the other way, by a licensed electrician."


def reversal_table(reader: Reader, layout: StageLayout) -> Table:
    """Return the table of ways to turn the direction round between driver and driven of one belt stage.

    The grip of each way is the share of the tight strand's pull that can be used,
    1 - exp(-k wrap), at the driven pulley: what it carries at the same tension.
    """
    motor = is_motor(reader)
    without = tuple(tuple(cell.format(MINDS[motor]) for cell in row) for row in WITHOUT)
    return Table(
        f"{layout.name}: ways to turn the direction round",
        ("way", "wrap on the driven pulley", "share of the tight strand's pull it can use", "what it costs"),
        (*_with_belt(reader, layout), _crossed(reader, layout), *without),
        "Grip by wrap and friction (the capstan law), wedge counted in grooves." + (WIRED if motor else ""),
        aside=True,
    )


def _grip(reader: Reader, wrap: float, surface: str, words: str = "{}") -> tuple[Number, Number]:
    """Return a wrap, and the share of the tight strand's pull that it can use in a groove or on a dry flat."""
    row = tables.table("belt_friction").one(surface=surface, condition="design" if surface == "groove" else "dry")
    likely, bad = (float(1 - np.exp(-row[f"coefficient_{end}"] * wrap)) for end in ("likely", "low"))
    share = {"low": bad, "by": "percent", "decimals": 0, "known": row.known}
    return (
        reader.number(wrap, "angle", words, decimals=0),
        reader.number(likely, "number", "{} (bad end {low})", **share),
    )


def _with_belt(reader: Reader, layout: StageLayout) -> Iterator[tuple[Value, ...]]:
    """Yield the loop as drawn, and with the driven pulley outside it."""
    p, belt = layout.pulleys, layout.belt
    i, j = p.driver, p.driven
    now = float(layout.path.wrap[j])
    turns = "turns it round" if p.inside[i] != p.inside[j] or p.crossed else "keeps the direction"
    yield "as drawn", *_grip(reader, now, "flat" if p.flat[j] else "groove"), turns
    back = "on the flat back: one or two idlers to wrap it, more slack tension, much less when wet"
    if belt is not None:
        rule = belt_rules.back_bend(belt)
        back += f"; {rule.why}" if rule.allowed else f"; not with this belt: {rule.why}"
    most, words = min(now, np.pi), "{} at most as laid out"
    yield "driven pulley on the belt's back, flat", *_grip(reader, most, "flat", words), back
    yield (
        "driven pulley outside a double-V belt, in a groove",
        *_grip(reader, most, "groove", words),
        "a double-V belt and an idler or two; bought belt, grooves on every pulley",
    )


def _crossed(reader: Reader, layout: StageLayout) -> tuple[Value, ...]:
    """Return the way of crossing the belt."""
    p, belt, centres = layout.pulleys, layout.belt, layout.centres
    first, second = 2 * p.pitch[p.driver], 2 * p.pitch[p.driven]
    wrap = float(twopulley.two_pulleys.si(centres, first=first, second=second, crossed=True).wrap_second)
    if not np.isfinite(wrap):
        return "crossed belt", "cannot", "", "the pulleys are too close to each other"
    why = "only flat belts are made for it; V-belts rub on themselves where they cross"
    if belt is not None:
        why = belt_rules.crossed_drive(belt, centres, first, second, system=reader.system).why
    return "crossed belt", *_grip(reader, wrap, "flat"), why
