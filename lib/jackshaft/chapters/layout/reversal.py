"""Ways to turn the direction round for the belt stage at hand, each with what it costs."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import belt_rules, twopulley
from jackshaft.results.checks import Table
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number


def reversal_sheet(reader: Reader, layout: StageLayout) -> Table:
    """Return the table of ways to turn the direction round between driver and driven of one belt stage.

    The grip of each way is told as the share of the tight strand's pull that can be used,
    1 - exp(-k wrap), at the driven pulley: what it carries at the same tension.
    """
    p, at = layout.pulleys, layout.places
    i, j = p.driver, p.driven
    centres = float(np.hypot(at.x[j] - at.x[i], at.y[j] - at.y[i]))
    sizes = {"first": 2 * p.pitch[i], "second": 2 * p.pitch[j]}
    rows = {(r["surface"], r["condition"]): r for r in tables.table("belt_friction").rows}
    groove, flat = rows["groove", "design"], rows["flat", "dry"]
    now = float(layout.path.wrap[j])
    belt = layout.belt

    def share(wrap: float, row) -> Number:
        likely, bad = (float(1 - np.exp(-row[f"coefficient_{end}"] * wrap)) for end in ("likely", "low"))
        words = "{} (bad end {low})"
        return reader.number(likely, "number", words, low=bad, by="percent", decimals=0, known=row.known)

    def turned(wrap: float, words: str = "{}") -> Number:
        return reader.number(wrap, "angle", words, decimals=0)

    half = np.pi
    found = [
        (
            "as drawn",
            turned(now),
            share(now, flat if p.flat[j] else groove),
            "turns it round" if p.inside[i] != p.inside[j] or p.crossed else "keeps the direction",
        )
    ]
    back = "on the flat back: one or two idlers to wrap it, more slack tension, much less when wet"
    if belt is not None:
        rule = belt_rules.back_bend(belt)
        back += f"; {rule.why}" if rule.allowed else f"; not with this belt: {rule.why}"
    found.append(
        (
            "driven pulley on the belt's back, flat",
            turned(min(now, half), "{} at most as laid out"),
            share(min(now, half), flat),
            back,
        )
    )
    found.append(
        (
            "driven pulley outside a double-V belt, in a groove",
            turned(min(now, half), "{} at most as laid out"),
            share(min(now, half), groove),
            "a double-V belt and an idler or two; bought belt, grooves on every pulley",
        )
    )
    crossed = twopulley.two_pulleys.si(centres, **sizes, crossed=True)
    wrap = float(crossed.wrap_second)
    if np.isfinite(wrap):
        why = (
            belt_rules.crossed_drive(belt, centres, sizes["first"], sizes["second"], system=reader.system).why
            if belt is not None
            else "only flat belts are made for it; V-belts rub on themselves where they cross"
        )
        found.append(("crossed belt", turned(wrap), share(wrap, flat), why))
    else:
        found.append(("crossed belt", "cannot", "", "the pulleys stand too close to each other"))
    found.append(
        (
            "a pair of gears, or a gearbox that reverses",
            "none",
            "no belt",
            "a stage more: about 2 to 5 % of the power, grease and a guard of its own; nothing slips, so something "
            "else must give first",
        )
    )
    found.append(
        (
            "the source turned to face the other way",
            "as it is",
            "as it is",
            "new mounts; mind exhaust, fuel, cooling and the side that the clutch is made for",
        )
    )
    return Table(
        f"{layout.name}: ways to turn the direction round",
        ("way", "wrap on the driven pulley", "share of the tight strand's pull it can use", "what it costs"),
        tuple(found),
        "Grip by the capstan law, wedge counted in grooves. An electric motor may also be wired to "
        "turn the other way, by a licensed electrician.",
        aside=True,
    )
