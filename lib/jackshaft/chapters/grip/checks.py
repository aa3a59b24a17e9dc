"""What is judged about a loop's grip: work, start, peak, full throttle, a clutch that slips, and overrun."""

from __future__ import annotations

import numpy as np

from jackshaft.buildfile.naming import named
from jackshaft.buildfile.schema import USUAL_OFF
from jackshaft.chapters.grip import held_checks, idler_checks, pull
from jackshaft.chapters.grip.alone import PEAK, peaks_alone, weakest, work_alone
from jackshaft.chapters.grip.cases import LOCKED, STOPPED, Case, tension_missing
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.more_cases import FULL
from jackshaft.chapters.grip.pull import stands
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.parts.tightener import held_at
from jackshaft.parts.works import more_words
from jackshaft.results.checks import CAUTION, GO, STOP, Check, grade, reaches, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number

#: What the work usually drives back with, over the working load: common practice, no source.
OVERRUN = 0.2, 0.5
USUAL = (
    f"A flywheel or a blade drives back with {OVERRUN[0]:g} to {OVERRUN[1]:g} times the working load as a rule, work "
    "that stops by itself not at all: common practice, no source."
)
#: How a value is known that is no more than a guess.
GUESSES = tuple(USUAL_OFF)

WORKING = "the working load"
LOADS = {"start": "the load at the start", "peak": "the peak load", FULL: WORKING}
WORDS = {"start": "at the start", "peak": "at the peak load", FULL: "at full throttle"}


def judge(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip) -> None:
    """Add every check of one loop."""
    _margin(draft, reader, layout, stage)
    for name in ("start", "peak", FULL):
        _case(draft, reader, stage, stage.case(name))
    _overrun(draft, reader, layout, stage)
    held_checks.judge(draft, reader, layout, stage)
    pull.judge(draft, reader, stage)
    idler_checks.judge(draft, reader, layout, stage)


def _cite(stage: StageGrip) -> str:
    return f"shigley ch. 17; {stage.friction.cite}"


def _advice(stage: StageGrip) -> str:
    """Return what gives a loop more grip, in general; more belts on one spring give none."""
    if stage.held_tight:
        return "Put the spring on an idler in the slack strand, the one that leaves the driver."
    slips = stage.layout.pulleys.names[stage.limiting]
    return f"More tension or more wrap of {slips} gives more grip" + ("." if stage.sprung else ", or more belts.")


def _wants(reader: Reader, stage: StageGrip, case: Case) -> str:
    """Return what tension a load asks for where that is a matter of where the spring stands; else nothing."""
    if not stage.held_tight:
        return ""
    likely, bad = (stage.in_slack(t, case) for t in (case.needed, case.needed_bad))
    words = (
        f" The spring stands in the strand from {stage.held}, which is tight at work, so it holds the tight strand "
        f"down. In the slack strand it would take {reader.show(likely, 'force')} ({reader.show(bad, 'force')} at the "
        "bad end)."
    )
    return words + (
        "" if stands(stage, case.needed_bad) else " No belt, bearing or bracket of this size survives that."
    )


def _limit(reader: Reader, takes: str = "") -> Number:
    """Return what a grip must hold, once the load; ``takes`` says how much that is."""
    return reader.number(1.0, "number", "{} × or more" + (f"; {takes}" if takes else ""), decimals=2)


def _holds(reader: Reader, case: Case, load: str, share: float = 1.0) -> Number:
    """Return how many times a load the loop holds, and at the bad end of friction and tension."""
    words = f"holds {{}} × {load} (bad end {{low}} ×)"
    return reader.number(case.least, "number", words, low=share * case.least_bad, decimals=2, source="shigley")


def _margin(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip) -> None:
    id, name = f"grip.margin[{layout.name}]", f"{layout.name}: grip at work"
    limit, work = _limit(reader), stage.case("work")
    if stage.margin is None:
        need, bad = work.needed / stage.per, work.needed_bad / stage.per
        where = f"in the strand from {stage.held}" if stage.sprung else "in each strand of each belt at rest"
        words = f"The tension is not known yet. The work needs at least {reader.show(need, 'force')} {where}, "
        words += f"{reader.show(bad, 'force')} at the bad end."
        if stage.held_tight:
            words = f"The tension is not known yet.{_wants(reader, stage, work)}"
        draft.checks.append(undecided(id, name, tension_missing(reader, layout, stage.way), words, limit=limit))
        return
    verdict = grade(likely=stage.margin, bad=stage.margin_bad, limit=1.0)
    slips, words = layout.pulleys.names[stage.limiting], stage.friction.words
    # the cause stands first: a panel's banner shows the first words only
    reason = f"{named('Pulley', slips)} slips first.{_wants(reader, stage, work)}"
    reason += f" {words[0].upper()}{words[1:]}.{held_at(reader, stage.tensions)}"
    if stage.scatter:
        share = 100 * stage.scatter
        reason += (
            f" A tension set by hand may be {share:.0f} % off, and falls while the belt runs in."
            if stage.by_hand
            else f" The tension may be {share:.0f} % off."
        )
    reason += more_words(reader, " The work may take {} more.")
    idle = work_alone(stage)
    if verdict == GO and (i := weakest(idle)) is not None:
        reason += (
            f" That is with all shafts at work. {layout.pulleys.names[i]} alone, with the others idle, holds "
            f"{idle[i].least:.2f} × its work, {idle[i].least_bad:.2f} × at the bad end."
        )
    draft.check(
        id,
        name,
        found=_holds(reader, work, WORKING),
        wanted=limit,
        verdict=verdict,
        reason=reason,
        remedy="" if verdict == GO else _advice(stage),
        source=_cite(stage),
    )


def _case(draft: Draft, reader: Reader, stage: StageGrip, case: Case | None) -> None:
    if case is None or case.margin is None:
        return
    if case.name == "start" and case.factor <= 1.0 and np.allclose(case.pulls, case.factor * stage.pulls, rtol=1e-9):
        return  # no shaft starts harder than it works, and none is pressed on less by the others
    if case.name == FULL and stage.way != LOCKED:
        return  # a spring or a slide loses nothing to speed
    verdict = grade(likely=case.least, bad=case.least_bad, limit=1.0)
    what = WORKING if case.factor == 1.0 else f"{case.factor:g} × {WORKING}"
    load, takes = LOADS[case.name], f"the {case.name} takes {what}"
    if case.name == FULL:
        load, takes = (load, "") if case.factor == 1.0 else ("its load there", f"{case.factor:.2f} × {WORKING}")
    words = {"start": f"At the start, at {what} the belt ", FULL: "At the speed of full throttle the belt "}
    slips = "slips; a belt that slips for more than a moment burns."
    ends = {
        GO: "holds.",
        CAUTION: f"slips at the bad end of friction{', load' if stage.more else ''} and tension.",
        STOP: slips,
    }
    reason = words.get(case.name, f"At {what} the belt ") + ends[verdict]
    reason += " What bends it round at speed comes out of its grip." if case.name == FULL else ""
    reason += held_at(reader, stage.tensions)
    if verdict == GO and case.name == PEAK and (alone := _alone(stage, case)):
        verdict, reason = CAUTION, f"{reason} {alone}"
    draft.check(
        f"grip.{case.name}[{stage.name}]",
        f"{stage.name}: grip {WORDS[case.name]}",
        found=_holds(reader, case, load),
        wanted=_limit(reader, takes),
        verdict=verdict,
        reason=reason + _wants(reader, stage, case),
        remedy="" if verdict == GO else f"{_advice(stage)} Or see to it that something meant for it gives first.",
        source=_cite(stage),
    )


def _alone(stage: StageGrip, case: Case) -> str:
    """Return in a sentence where one shaft at its peak, the others at work, makes the belt slip; else nothing."""
    cases = peaks_alone(stage, case)
    i = weakest(cases)
    if i is None:
        return ""
    name, worst = stage.layout.pulleys.names[i], cases[i]
    slips = "may slip" if reaches(worst.least, 1.0) else "slips"
    return (
        f"That is with the peaks of all shafts together. With {name} alone at its peak and the others at work the belt "
        f"{slips}: it holds {worst.least:.2f} times that, {worst.least_bad:.2f} times at the bad end."
    )


def _overrun(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip) -> None:
    case, p = stage.case("overrun"), layout.pulleys
    id, name = f"grip.overrun[{layout.name}]", f"{layout.name}: grip in overrun"
    guessed = reader.how("work.overrun_factor").startswith(GUESSES)
    if case is None:
        draft.check(
            id,
            name,
            found="the work does not drive back",
            wanted="tight and slack strands do not swap",
            verdict=CAUTION if guessed else GO,
            reason=f"That the work never drives the engine is a guess. {USUAL}"
            if guessed
            else "The build says that the work never drives the engine.",
            remedy="Shut the throttle at work and look which strand is tight." if guessed else "",
            source="the build",
        )
        return
    if case.margin is None:
        return
    arm = p.names[layout.idler] if stage.sprung and not stage.held_tight else None
    swaps = "With the throttle shut or the engine stopped, a rotor that still turns drives, and the strands swap."
    stopped = stage.overrun_way == STOPPED
    if arm and stopped:
        swaps += f" {arm} is then in the tight strand; the stop behind its arm holds it."
        arm = None
    elif arm:
        swaps += f" {arm}, on the spring, is then in the tight strand and is pushed back; the other strand goes loose."
    if case.factor is None:
        draft.checks.append(_overrun_unsaid(reader, (id, name), case, arm, swaps))
        return
    most = max(case.factor, OVERRUN[1]) if guessed else case.factor
    verdict = grade(likely=case.least, bad=case.least_bad * case.factor / most, limit=1.0)
    if guessed:
        swaps += f" How hard the work drives back is a guess; at the bad end it is {most:g} times the working load."
    if arm and verdict == GO:
        verdict = CAUTION
    cure = (
        f"Bolt a stop behind {arm}'s arm that keeps the belt from pushing it back"
        if arm
        else _advice(stage).rstrip(".")
    )
    draft.check(
        id,
        name,
        found=_holds(reader, case, "the load of the overrun", share=case.factor / most),
        wanted=_limit(reader, f"the overrun is {case.factor:g} × {WORKING}, backwards"),
        verdict=verdict,
        reason=swaps + held_at(reader, stage.tensions),
        remedy="" if verdict == GO else f"{cure}, or let the rotor run down with the clutch off.",
        source=f"belt-maintenance p. 24; {_cite(stage)}",
    )


def _overrun_unsaid(reader: Reader, named: tuple[str, str], case: Case, arm: str | None, swaps: str) -> Check:
    """Return the check of an overrun where the build does not say how hard the work drives back."""
    found = _holds(reader, case, f"{WORKING} backwards")
    if arm is None:
        words = f"{swaps} The belt {found}; how hard the work drives back is not known yet. {USUAL}"
        limit = _limit(reader)
        return undecided(*named, ("work.overrun_factor",), words, limit=limit)
    cure = (
        f"Bolt a stop behind {arm}'s arm that keeps the belt from pushing it back, or let the rotor run down with the "
        "clutch off. Then write down how hard the work drives back (work.overrun_factor): nothing is proved before. "
        f"{USUAL}"
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


__all__ = ["USUAL", "judge"]
