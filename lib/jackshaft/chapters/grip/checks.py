"""What is judged about a loop's grip: work, start, peak, overrun, idlers, and belts that drive on their back."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.grip import idler_table as idler_sheet
from jackshaft.chapters.grip.cases import Case, tension_key
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.tension import LIKE
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import belt_rules, idlers
from jackshaft.mechanics import path as belt_path
from jackshaft.results.checks import CAUTION, GO, STOP, Check, grade, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import POUND_FORCE, at_least, first_least

#: Wrap under which a pulley that works on a flat face sheds the belt: common practice, no source.
CLIMBS_OFF = np.radians(60.0)

#: Share of the section's fatigue constant above which a tension at rest is no cure: common practice, no source.
OUT_OF_REACH = 0.4

WORDS = {"start": "at the start", "work": "at work", "peak": "at the peak load", "overrun": "in overrun"}


def judge(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip) -> None:
    """Add every check of one loop."""
    _margin(draft, reader, layout, stage)
    for name in ("start", "peak"):
        _case(draft, reader, layout, stage, stage.case(name))
    _overrun(draft, reader, layout, stage)
    _idlers(draft, reader, layout, stage)
    _flat(draft, reader, layout, stage)


def _cite(stage: StageGrip) -> str:
    return f"shigley ch. 17; {stage.friction.cite}"


def _where(stage: StageGrip) -> str:
    return "in the slack strand" if stage.sprung else "per strand of each belt at rest"


def raise_to(reader: Reader, layout: StageLayout, stage: StageGrip, aim: float) -> str:
    """Return the cure by tension in words; a tension that breaks the belt is no cure, and is said to be none."""
    text = reader.show(aim, "force")
    each = aim * stage.per / stage.belts
    section = layout.belt.name if layout.belt else ""
    rows = tables.table("belt_fatigue").where(section=LIKE.get(section, section)).rows
    if rows and each > OUT_OF_REACH * rows[0]["k_lbf"] * POUND_FORCE:
        return f"No belt, bearing or bracket of this size survives the {text} that it takes; give the pulley a groove"
    return f"Raise the tension to {text} {_where(stage)}"


def _limit(reader: Reader, load: str) -> Number:
    """Return what a grip must hold: once the load."""
    return reader.number(1.0, "number", f"{{}} × {load}", decimals=2)


def _holds(reader: Reader, case: Case, load: str = "") -> Number:
    """Return how many times a load the loop holds, and at the bad end of friction."""
    words = f"holds {{}} ×{load} (bad end {{low}} ×)"
    return reader.number(case.least, "number", words, low=case.least_bad, decimals=2, source="shigley")


def _margin(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip) -> None:
    id, name = f"grip.margin[{layout.name}]", f"{layout.name}: grip at work"
    need = reader.show(stage.needed, "force")
    limit = _limit(reader, "the working load")
    if stage.margin is None:
        words = f"The tension is not known yet. The work needs at least {need}, "
        words += f"{reader.show(stage.needed_bad, 'force')} at the bad end."
        draft.checks.append(undecided(id, name, (tension_key(layout, stage.way),), words, limit=limit))
        return
    verdict = grade(likely=stage.margin, bad=stage.margin_bad, limit=1.0)
    slips = layout.pulleys.names[stage.limiting]
    work = stage.case("work")
    cure = raise_to(reader, layout, stage, _aim(stage, work))
    draft.check(
        id,
        name,
        found=_holds(reader, work),
        wanted=limit,
        verdict=verdict,
        reason=f"Pulley {slips} slips first. {stage.friction.words[0].upper()}{stage.friction.words[1:]}.",
        remedy="" if verdict == GO else f"{cure}, give {slips} more wrap, or use more belts.",
        source=_cite(stage),
    )


def _aim(stage: StageGrip, case: Case) -> float:
    """Return the tension that holds a case at the bad end, as the builder sets it."""
    return case.needed_bad / stage.per


def _case(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip, case: Case | None) -> None:
    if case is None or case.margin is None or (case.name == "start" and case.factor <= 1.0):
        return
    verdict = grade(likely=case.least, bad=case.least_bad, limit=1.0)
    what = f"{case.factor:g} times the working load"
    words = "At the start, at " if case.name == "start" else "At "
    draft.check(
        f"grip.{case.name}[{layout.name}]",
        f"{layout.name}: grip {WORDS[case.name]}",
        found=_holds(reader, case),
        wanted=_limit(reader, what),
        verdict=verdict,
        reason=f"{words}{what} the belt "
        + (
            "holds."
            if verdict == GO
            else "slips at the bad end of friction."
            if verdict == CAUTION
            else "slips; a belt that slips for more than a moment burns."
        ),
        remedy=""
        if verdict == GO
        else f"{raise_to(reader, layout, stage, _aim(stage, case))}, or see to it that "
        "something meant for it gives first.",
        source=_cite(stage),
    )


def _overrun(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip) -> None:
    case, p = stage.case("overrun"), layout.pulleys
    id, name = f"grip.overrun[{layout.name}]", f"{layout.name}: grip in overrun"
    if case.factor == 0.0:
        draft.check(
            id,
            name,
            found="the work does not drive back",
            wanted="tight and slack strands do not swap",
            verdict=GO,
            reason="The build says that the work never drives the engine.",
            source="the build",
        )
        return
    if case.margin is None:
        return
    arm = p.names[layout.idler] if stage.sprung and stage.strand_role[layout.idler] < 0 else None
    swaps = "With the throttle shut or the engine stopped, a rotor that still turns drives, and the strands swap."
    if arm:
        swaps += f" {arm}, on the spring, is then in the tight strand and is pushed back; the other strand goes loose."
    if case.factor is None:
        draft.checks.append(_overrun_unsaid(reader, (id, name), case, arm, swaps))
        return
    verdict = grade(likely=case.least, bad=case.least_bad, limit=1.0)
    if arm and verdict == GO:
        verdict = CAUTION
    cure = f"Put a stop behind {arm}'s arm" if arm else "Raise the tension"
    draft.check(
        id,
        name,
        found=_holds(reader, case),
        wanted=_limit(reader, f"{case.factor:g} times the working load, backwards"),
        verdict=verdict,
        reason=swaps,
        remedy="" if verdict == GO else f"{cure}, or let the rotor run down with the clutch off.",
        source=f"belt-maintenance p. 24; {_cite(stage)}",
    )


def _overrun_unsaid(reader: Reader, named: tuple[str, str], case: Case, arm: str | None, swaps: str) -> Check:
    """Return the check of an overrun where the build does not say how hard the work drives back."""
    found = _holds(reader, case, " the working load backwards")
    if arm is None:
        words = f"{swaps} The belt {found}; how hard the work drives back is not known yet."
        limit = _limit(reader, "the load of the overrun")
        return undecided(*named, ("work.overrun_factor",), words, limit=limit)
    cure = (
        f"Put a stop behind {arm}'s arm so that it cannot be pushed far, let the rotor run down with the clutch off, "
        "and say how hard the work drives back (work.overrun_factor)."
    )
    wanted = "no sprung idler in the tight strand"
    return Check(
        *named,
        found=found,
        wanted=wanted,
        verdict=CAUTION,
        reason=swaps,
        remedy=cure,
        source="belt-maintenance p. 24",
    )


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
    for i in (p.driver, p.driven):
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
        reason=reason,
        remedy=(
            f"Put the spring on an idler in the slack strand{' (' + ', '.join(slack) + ')' if slack else ''}, the "
            "strand that leaves the driver."
            if wrong
            else "Keep it only where the loop needs it to wrap a pulley; size its pin and bearing for that load."
        )
        + better,
        source="belt-maintenance p. 24",
    )


def _flat(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip) -> None:
    p, path = layout.pulleys, layout.path
    flats = [i for i in (p.driver, p.driven) if p.flat[i]]
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
        remedy=f"Give {p.names[i]} a groove and a belt that grips on both sides (double-V), or put it inside "
        "the loop and reverse the direction elsewhere.",
        source=f"common practice, no source; {_cite(stage)}",
    )


__all__ = ["CLIMBS_OFF", "better_place", "judge", "why_there"]
