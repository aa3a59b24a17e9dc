"""What a belt's construction allows, and how small its idlers may be."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.grip.tension import LIKE
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import belt_rules
from jackshaft.results.checks import CAUTION, GO, STOP, Table, reaches
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import INCH

#: An idler under this share of the least one for its section cracks the belt within hours: common practice, no source.
CRACKS = 0.4

#: What to look out for on a flat rim of a material: common practice, no source.
FLATS = {
    "plastic": "holds heat in: a slipping belt melts it",
    "aluminium": "grips like steel when clean, and wears hollow quickly under grit",
    "steel": "grips when dry and clean; rust roughens it and eats the belt, paint and grease make it slip",
    "cast iron": "grips when dry and clean; rust roughens it and eats the belt",
    "ductile iron": "grips when dry and clean; rust roughens it and eats the belt",
    "pressed sheet": "is seldom round: a belt on its flat flaps",
}


def judge(draft: Draft, reader: Reader, layout: StageLayout, *, full: bool = True) -> None:
    """Add construction rules and idler sizes of one loop."""
    belt, p = layout.belt, layout.pulleys
    flats = [n for n, f, i in zip(p.names, p.flat, p.inside, strict=True) if f and i]
    shaft = reader.get("clutch.shaft") or "engine"
    by_idler = reader.get("clutch.kind") == "idler" and shaft == reader.get(f"stage[{layout.name}].from")
    if full:
        draft.tables.append(_rules(reader, layout, flats, by_idler))
    if flats or unguided(layout):
        _bottom(draft, layout, flats)
    if by_idler:
        rule, made = belt_rules.clutching(belt), f"stage[{layout.name}].clutching_belt"
        if rule.allowed is None and reader.get(made):
            rule = belt_rules.Allowed(
                True, "its maker calls this belt fit for it, and it has its keepers", "by the maker"
            )
        verdict = STOP if rule.allowed is False else GO if rule.allowed else CAUTION
        draft.check(
            f"capacity.clutching[{layout.name}]",
            f"{layout.name}: engaged by its idler",
            found=f"section {belt.name}",
            wanted="a belt made for clutching",
            verdict=verdict,
            reason=rule.why[0].upper() + rule.why[1:] + ".",
            remedy=""
            if verdict == GO
            else "Take a wrapped belt that its maker calls fit for clutching, with a keeper at each pulley, and "
            f"write it down ({made}).",
            source=_known(rule),
        )
    if p.crossed:
        _crossed(draft, reader, layout)
    _idlers(draft, reader, layout)
    for name, flat, material in zip(p.names, p.flat, p.materials, strict=True):
        if flat and material in FLATS:
            draft.cautions.append(
                f"{layout.name}, {name}: a flat rim of {material} {FLATS[material]} (common practice, no source)."
            )


def unguided(layout: StageLayout) -> list[str]:
    """Return the flat ones of the two pulleys with power where no groove is on the smaller: nothing wedges the belt.

    Two of one size are not among them: there is no smaller one.
    """
    p = layout.pulleys
    power = [p.driver, *p.works]
    grooved = [p.pitch[k] for k in power if not p.flat[k]]
    small = [k for k in power if p.flat[k] and not (grooved and reaches(p.pitch[k], min(grooved)))]
    return [p.names[k] for k in small]


def _bottom(draft: Draft, layout: StageLayout, flats: list[str]) -> None:
    """Add the verdict on a belt that runs with its bottom on a flat pulley."""
    p, rule, small = layout.pulleys, belt_rules.bottom_on_flat(layout.belt), unguided(layout)
    level = len({*flats} & {p.names[p.driver], p.names[p.driven]}) == 1 and reaches(
        min(p.pitch[p.driver], p.pitch[p.driven]), max(p.pitch[p.driver], p.pitch[p.driven])
    )
    verdict = STOP if small or not rule.allowed else CAUTION if level else GO
    reason = rule.why[0].upper() + rule.why[1:] + "."
    remedy = f"Give {', '.join(flats)} grooves, or take a belt that may run on a flat."
    if rule.allowed and verdict != GO:
        remedy = (
            "Let only the larger of the two be flat, and the smaller have grooves: they guide the belt and wedge it."
        )
        reason += (
            f" No groove wedges or guides the belt on {' and '.join(small)}." if small else " Neither is larger here."
        )
    draft.check(
        f"capacity.bottom-on-flat[{layout.name}]",
        f"{layout.name}: bottom on a flat pulley",
        found=f"over {', '.join(dict.fromkeys([*flats, *small]))}",
        wanted="a belt that may run on its bottom, and a groove on the smaller pulley",
        verdict=verdict,
        reason=reason,
        remedy="" if verdict == GO else remedy,
        source=_known(rule),
    )


def _known(rule: belt_rules.Allowed) -> str:
    return (
        "vflat-hints"
        if rule.known == "read"
        else rule.known + (", no source" if rule.known == "common practice" else "")
    )


def _yes(rule: belt_rules.Allowed) -> str:
    return {True: "yes", False: "no", None: "only if its maker says so"}[rule.allowed]


def _rules(reader: Reader, layout: StageLayout, flats: list[str], by_idler: bool) -> Table:
    belt, p = layout.belt, layout.pulleys
    back = [n for n, i in zip(p.names, p.inside, strict=True) if not i]
    centres, sizes = layout.centres, (2 * float(p.pitch[p.driver]), 2 * float(p.pitch[p.driven]))
    system = {"system": reader.system}
    uses = (
        ("bend backwards", belt_rules.back_bend(belt), back and f"over {', '.join(back)}"),
        ("run with its bottom on a flat pulley", belt_rules.bottom_on_flat(belt), flats and f"over {', '.join(flats)}"),
        ("be engaged by tightening an idler", belt_rules.clutching(belt), by_idler and "yes"),
        (
            "run crossed between two pulleys",
            belt_rules.crossed_drive(belt, centres, *sizes, **system),
            p.crossed and "yes",
        ),
        ("run between shafts at right angles", belt_rules.quarter_turn(belt, centres, max(sizes), **system), "no"),
    )
    return Table(
        f"{layout.name}: what section {belt.name} ({belt.family}) may do",
        ("may it", "answer", "this loop does", "why", "known"),
        tuple((what, _yes(rule), does or "no", rule.why, rule.known) for what, rule, does in uses),
        aside=True,
    )


def _crossed(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    """Judge a V-belt that crosses between its pulleys."""
    p = layout.pulleys
    sizes = (2 * float(p.pitch[p.driver]), 2 * float(p.pitch[p.driven]))
    rule = belt_rules.crossed_drive(layout.belt, layout.centres, *sizes, system=reader.system)
    draft.check(
        f"capacity.crossed[{layout.name}]",
        f"{layout.name}: crossed belt",
        found="crossed",
        wanted="an open belt",
        verdict=GO if rule.allowed else CAUTION,
        reason=rule.why[0].upper() + rule.why[1:] + ".",
        remedy=""
        if rule.allowed
        else "Turn the direction round in another way: lead an open double-V belt round an idler and over the driven "
        "pulley with its back, or put in a pair of gears. Else carry spare belts.",
        source=_known(rule),
    )


def least_idler(belt, *, back: bool) -> tuple[float, float, float]:
    """Return how small an idler may be by the rules of practice.

    Parameters
    ----------
    belt : Section
        The belt.
    back : bool
        Whether it bends the belt backwards. A double-V belt has a groove on either side, so none bends it so.

    Returns
    -------
    tuple of float
        How many times the smallest pulley with power it is at least, the least radius for the section, m (0 where
        none is known), and the radius under which the belt cracks, m.

    Source
    ------
    tables belt_limits and belt_idlers; CRACKS: common practice, no source
    """
    side = "back" if back else "inside"
    times = tables.table("belt_limits").one(item=f"{side} idler over smallest sheave")["low"]
    rows = tables.table("belt_idlers").where(section=LIKE.get(belt.name, belt.name)).rows
    least = rows[0]["back_flat_in" if back else "inside_grooved_in"] if rows else None
    if least is None:
        return times, 0.0, CRACKS * 0.5 * times * belt.min_pulley
    return times, least * INCH / 2, CRACKS * least * INCH / 2


def _idlers(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    """Judge the idlers by the rules of practice for their size."""
    p, belt, idle = layout.pulleys, layout.belt, layout.idlers
    if not idle:
        return
    limits = tables.table("belt_limits")
    smallest = min(p.outside[list(p.powered)])
    worst, words, cracks = np.inf, [], []
    for k in idle:
        back = not p.inside[k] and belt.family != "double-V"
        times, least, cracked = least_idler(belt, back=back)
        least_radius = {f"{times:g} × the smallest pulley": times * smallest}
        if least:
            least_radius[f"section {belt.name}'s least idler"] = least
        if not reaches(p.outside[k], cracked):
            own = reader.show(2 * cracked / CRACKS, "length", digits=3)
            cracks.append(
                f"{p.names[k]} is under {100 * CRACKS:.0f} % of {own}, the least {'on the back' if back else 'inside'} "
                f"for section {belt.name}: the belt cracks within hours"
            )
        what, need = max(least_radius.items(), key=lambda w: w[1])
        worst = min(worst, p.outside[k] / need)
        if p.outside[k] < need * (1 - 1e-9):
            words.append(
                f"{p.names[k]} is {reader.show(2 * p.outside[k], 'length', digits=3)} and should be at least "
                f"{reader.show(2 * need, 'length', digits=3)} ({what})"
            )
    good, inside = not (words or cracks), limits.one(item="inside idler over smallest sheave")
    draft.check(
        f"capacity.idlers[{layout.name}]",
        f"{layout.name}: size of the idlers",
        found=reader.number(worst, "number", "{} of the rule", by="percent", decimals=0),
        wanted=reader.number(1.0, "number", "{} or more", by="percent", decimals=0, source=inside.source),
        verdict=STOP if cracks else GO if good else CAUTION,
        reason="An idler is a pulley to the belt: it bends it as hard. A back idler bends it the other way, "
        "and nobody has published a penalty for that."
        if good
        else f"{'; '.join([*words, *cracks])}. A small idler bends the belt harder than the pulleys do"
        + ("." if cracks else "; small vehicle attachments often do it and live with a short belt life."),
        remedy=""
        if good
        else "Take a larger idler."
        if cracks
        else "Live with a shorter belt life, and carry a spare belt.",
        source=f"{inside.cite}; trade-practice; {100 * CRACKS:.0f} %: common practice, no source",
    )


__all__ = ["CRACKS", "FLATS", "judge", "least_idler"]
