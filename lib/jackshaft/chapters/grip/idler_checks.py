"""What is judged about a loop's idlers, and about a pulley that drives or is driven on its flat face."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.grip import idler_table as idler_sheet
from jackshaft.chapters.grip.cases import SPRUNG
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import belt_rules, idlers
from jackshaft.mechanics import path as belt_path
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_least, first_least

#: Wrap under which a pulley that works on a flat face sheds the belt: common practice, no source.
CLIMBS_OFF = np.radians(60.0)


def judge(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip) -> None:
    """Add the checks of the idlers and of a flat pulley with power."""
    _idlers(draft, reader, layout, stage)
    _flat(draft, reader, layout, stage)


def better_place(reader: Reader, layout: StageLayout, stage: StageGrip) -> str:
    """Return in a sentence where an idler belongs in this loop; empty where no strand is slack."""
    p, path = layout.pulleys, layout.path
    allowed = layout.belt is None or bool(belt_rules.back_bend(layout.belt).allowed)
    strand, near, inside = idlers.proposed_side_si(stage.strand_role, path.span, path.wrap, p.pitch, allowed)
    if strand is None:
        return ""
    room = np.isfinite(idler_sheet.try_on(layout, strand, inside, idler_sheet.STRETCH * float(path.length)).travel)
    return (
        f" An idler belongs in the strand from {layout.strand(strand)}, close to "
        f"{p.names[near]}, "
        + ("inside the loop in a groove" if inside else "on the back of the belt")
        + ("." if room else "; as this loop stands there is no room for one that takes up the stretch.")
    )


def why_there(reader: Reader, layout: StageLayout, name: str) -> str:
    """Return what the loop would be without an idler, in words."""
    p, places = layout.pulleys, layout.places
    k = p.names.index(name)
    if len(p.names) < 3:
        return ""
    keep = np.arange(len(p.names)) != k
    bare = belt_path.path_si(places.x[keep], places.y[keep], p.pitch[keep], p.inside[keep], layout.ccw)
    if bare.reason != 0:
        return f" Without {name} the belt could not go round as it does."
    names, words = [n for n in p.names if n != name], []
    for i in p.powered:
        now, then = float(layout.path.wrap[i]), float(bare.wrap[names.index(p.names[i])])
        if abs(now - then) > np.radians(1.0):
            words.append(f"{reader.show(then, 'angle')} round {p.names[i]} instead of {reader.show(now, 'angle')}")
    return f" Without {name} the belt would wrap {' and '.join(words)}." if words else ""


def _idlers(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip) -> None:
    p, idle = layout.pulleys, layout.idlers
    if not idle:
        return
    id, name = f"grip.idlers[{layout.name}]", f"{layout.name}: idlers and the tight strand"
    sprung = p.names[layout.idler] if stage.sprung and layout.idler is not None else None
    slack = [p.names[i] for i in idle if stage.strand_role[i] < 0]
    if not stage.tight_idlers:
        draft.check(
            id,
            name,
            found="all idlers in the slack strand",
            wanted="no idler in the tight strand",
            verdict=GO,
            reason=f"In the strand that leaves the driver: {', '.join(slack)}.",
            source="belt-maintenance p. 24",
        )
        return
    loads = ""
    if stage.hub is not None:
        each = {n: reader.show(float(np.hypot(*stage.hub[p.names.index(n)])), "force") for n in stage.tight_idlers}
        loads = f" ({', '.join(f'hub load of {n} {force}' for n, force in each.items())})"
    wrong = sprung in stage.tight_idlers
    better = better_place(reader, layout, stage)
    reason = (
        f"{sprung} is the idler on the spring, and the tight strand pushes it away."
        + (f" In the slack strand: {', '.join(slack)}." if slack else "")
        if wrong
        else f"A fixed idler in the tight strand carries its pull{loads}; its bracket and bearings must be made for "
        "it." + "".join(why_there(reader, layout, n) for n in stage.tight_idlers)
    )
    draft.check(
        id,
        name,
        found=f"{', '.join(stage.tight_idlers)} in the tight strand",
        wanted="no idler in the tight strand",
        verdict=STOP if wrong else CAUTION,
        reason=reason + better,
        remedy="Put the spring on an idler in the slack strand, the one that leaves the driver."
        if wrong
        else "Keep it only where the loop needs it to wrap a pulley; size its pin and bearing for that load.",
        source="belt-maintenance p. 24",
    )
    words = "If it is the one that a spring or a weight holds, the tight strand pushes it away."
    draft.doubt(reader, _held_lacks(reader, layout), words, id, of=(CAUTION,))


def _held_lacks(reader: Reader, layout: StageLayout) -> tuple[str, ...]:
    """Return the key without which it is not known which idler a spring or a weight holds, if any."""
    at = f"stage[{layout.name}].takeup"
    sprung = reader.get(f"{at}.kind") in SPRUNG and layout.idler is None
    return reader.unknown(f"{at}.kind") + (reader.unknown(f"{at}.idler") if sprung else ())


def _flat(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip) -> None:
    p, path = layout.pulleys, layout.path
    flats = [i for i in p.powered if p.flat[i]]
    if not flats:
        return
    i = flats[first_least([path.wrap[k] for k in flats])]
    wrap = float(path.wrap[i])
    ratio = float(np.exp(stage.friction.likely[i] * wrap))
    groove = tables.table("belt_friction").one(surface="groove", condition="design")["coefficient_likely"]
    grooved = float(np.exp(groove * wrap))
    stays = at_least(wrap, CLIMBS_OFF)
    draft.check(
        f"grip.flat[{layout.name}]",
        f"{layout.name}: driving on a flat pulley",
        found=reader.number(wrap, "angle", f"{{}} on {p.names[i]}"),
        wanted=reader.number(CLIMBS_OFF, "angle", "{} or more, in a groove for power", known="common practice"),
        verdict=CAUTION if stays else STOP,
        reason=f"On its {'bottom' if p.inside[i] else 'back'} the belt grips without the wedge: tight over slack is "
        f"{ratio:.2f} here and {grooved:.2f} in a groove."
        + ("" if stays else f" With so little wrap a single belt on the flat of {p.names[i]} also climbs off."),
        remedy=f"Turn a groove into {p.names[i]} for each belt."
        if p.inside[i]
        else f"Give {p.names[i]} grooves and take a belt that grips on both sides (double-V), or put it inside the "
        "loop and reverse the direction elsewhere.",
        source=f"common practice, no source; shigley ch. 17; {stage.friction.cite}",
    )


__all__ = ["CLIMBS_OFF", "better_place", "judge", "why_there"]
