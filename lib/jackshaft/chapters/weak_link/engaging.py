"""While the clutch slips the drive carries the clutch's torque, not the load's: what belts, pin and the rest feel."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.clutch.belts import LONGEST, RUBBER_HEAT
from jackshaft.chapters.clutch.data import ClutchData
from jackshaft.chapters.clutch.ways_data import CENTRIFUGAL, IDLER
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.ratio.data import ENGINE, RatioData
from jackshaft.chapters.weak_link.cases import SOURCE, add, left_words, number, shown
from jackshaft.chapters.weak_link.data import CaseFound, ChainData, Link, Slipping, steady
from jackshaft.chapters.weak_link.slipping import at_work, felt, let_through, share_known, share_lacks
from jackshaft.mechanics.engagement import Engagement as Run
from jackshaft.mechanics.slipheat import temperature_rise
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, UNDECIDED, Check, grade, reaches, stays_within
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader

NAME = "what the slipping clutch loads"
#: The check of each kind of guard, and what it is called.
GUARDED = {
    "shear pin": ("chain.engage-pin", "shear pin while the clutch slips"),
    "slip clutch": ("chain.engage-slip-clutch", "slip clutch while the clutch slips"),
}


#: Kelvins by which one start may warm belts that slip: as many more for good halve a belt's life, from memory.
BELT_WARMS = 10.0


def checks(draft: Draft, reader: Reader, data: ChainData, done: Mapping[str, Findings]) -> list[CaseFound]:
    """Add the verdicts on each part of the drive while the clutch slips."""
    slipping = data.slipping
    if slipping is None:
        _not_known(draft, reader, data, done)
        return []
    found: list[CaseFound] = []
    for link in data.giving:
        if link.kind == "belt slip" and link.part != slipping.part:
            found.append(_belts(draft, reader, data, link, done))
    for guard in data.guards:
        _guard_facts(draft, reader, data, guard)
        found.append(_guard(draft, reader, data, slipping, guard))
    found += _others(draft, reader, data, slipping)
    return found


def _not_known(draft: Draft, reader: Reader, data: ChainData, done: Mapping[str, Findings]) -> None:
    """Say what is missing where the build has a clutch whose slipping is not known."""
    if reader.get("clutch.kind") in (CENTRIFUGAL, IDLER):  # the clutch chapter says what its torque lacks
        return
    if any(c.id == "chain.engage" for c in draft.checks) or not any(
        part == "clutch" for part in [*(k.part for k in data.links), *(k.part for k in data.left)]
    ):
        return
    chapter = done["clutch"] if "clutch" in done else None
    keys = [k for k in (chapter.missing if chapter else ()) if k.startswith(("clutch.", "circuit."))]
    wanted = (
        "clutch.static_torque",
        "work.power",
        "work.power_at",
        "clutch.coil_resistance",
        "circuit.running_voltage",
    )
    keys += [k for k in wanted if k not in keys]
    ratio: RatioData | None = done["ratio"].data
    lacks = tuple(k for k in keys if reader.get(k) is None) or ratio and ratio.share_lacks(ENGINE)
    if lacks:
        words = "The drive then carries what the clutch pulls, and that is not known yet."
        draft.missing(reader, "chain.engage", NAME, lacks, words)


def _slips(data: ClutchData | None) -> Mapping[str, Run]:
    """Return the run-up with what the belts let through at the bad, likely and good end; empty where not known."""
    if data is None:
        return {}
    if data.way is not None:
        return data.way.slips
    return {} if data.engagement is None else data.engagement.slips


def _name(stage: str) -> str:
    return f"{stage}: belts while the clutch slips"


def _belts(draft: Draft, reader: Reader, data: ChainData, link: Link, done: Mapping[str, Findings]) -> CaseFound:
    """Judge one belt stage: it carries all that the clutch pulls, or slips so shortly that it hardly warms.

    To slip for long is a stop, where it is known how long the belts take to bring the work up.
    """
    slipping, stage = data.slipping, link.part.removeprefix("stage[").removesuffix("]")
    slips = _slips(done["clutch"].data if "clutch" in done else None)
    pulls = max(slipping.now, slipping.run_in)
    most = let_through(link, pulls, data)
    verdict = grade(likely=link.likely, bad=link.low, limit=most)
    found, wanted = number(reader, link), reader.number(most, "torque", "{} or more")
    held, warms = verdict == GO, None if verdict == GO else _warms(done, stage, slips)
    if verdict == STOP and (not slips or stays_within(slips["likely"].seconds, LONGEST)):
        verdict = CAUTION
    if warms is not None:
        bad, source = reader.show(warms[1], "temperature rise"), "common practice, from memory"
        found = reader.number(warms[0], "temperature rise", f"belts up by {{}} ({bad} at the bad end)", high=warms[1])
        wanted = reader.number(BELT_WARMS, "temperature rise", "up by {} or less", source=source)
        if stays_within(warms[1], BELT_WARMS):
            verdict = GO
    faces = "" if slipping.now == pulls else f", and {shown(reader, slipping.now)} as its faces are now"
    comes = "that" if most == pulls else f"what gets through to them, up to {shown(reader, most)}"
    reason = (
        f"While it slips {slipping.what} pulls {shown(reader, pulls)}{slipping.state}{faces}. The belts carry {comes}, "
        f"not the load's torque; they hold {shown(reader, link.low)} at the low end of their "
        f"friction, {shown(reader, link.likely)} at the likely one and {shown(reader, link.high)} at the high end."
    )
    if not held:
        reason += f" Above that they slip and wear at each full start{_how_long(reader, slips)}."
    if warms is not None:
        less = reader.show(BELT_WARMS, "temperature rise")
        reason += " One start warms most what lies on the pulley that slips. A belt that stays "
        reason += f"{less} warmer lives half as long (from memory)."
    verdict = add(
        draft,
        data,
        Check(
            f"chain.engage-belts[{stage}]",
            _name(stage),
            found,
            wanted,
            verdict,
            reason,
            "" if verdict == GO else "Give the belts more grip, or engage with the work empty.",
            SOURCE,
        ),
    )
    gives = "nothing" if held else link.name
    return CaseFound(f"clutch slipping, {stage}", most, gives, "" if held else "no", verdict)


def _warms(done: Mapping[str, Findings], stage: str, slips: Mapping[str, Run]) -> tuple[float, float] | None:
    """Return by how much one start warms the belts on the pulley that slips, K, likely and at the bad end.

    All heat of the slip is taken to stay there. None where the belts' mass is not known or the work never comes up.
    """
    grip: StageGrip | None = ((done["grip"].data or {}) if "grip" in done else {}).get(stage)
    if grip is None or not slips or not (slips["likely"].locks and slips["bad"].locks):
        return None
    layout, k = grip.layout, grip.limiting
    if layout.belt is None or not layout.belt.mass:
        return None
    mass = layout.belt.mass * grip.belts * float(layout.pulleys.pitch[k] * layout.path.wrap[k])
    heats = (slips[end].heat for end in ("likely", "bad"))
    return tuple(float(temperature_rise.si(heat, mass=mass, specific_heat=RUBBER_HEAT)) for heat in heats)


def _how_long(reader: Reader, slips: Mapping[str, Run]) -> str:
    """Return how long the belts slip until the work has come up, as words to go on with."""
    if not slips:
        return "; for how long is not known without the inertia of the work"
    likely, bad = (reader.show(slips[end].seconds, "time") if slips[end].locks else "" for end in ("likely", "bad"))
    if not likely:
        return ", and they never take the work up"
    words = f", for {likely}, and at the bad end {f'for {bad}' if bad else 'without end'}"
    return f"{words}; {reader.show(LONGEST, 'time')} is the most that is usual (common practice, no source)"


#: A guard that stands more.
_STRONGER = {"shear pin": "fit the next larger pin", "slip clutch": "choose a higher setting of the slip clutch"}


def _called(guard: Link) -> str:
    return "pin" if guard.kind == "shear pin" else guard.name


def _guard_facts(draft: Draft, reader: Reader, data: ChainData, pin: Link) -> None:
    """Add what a pin or slip clutch feels of an engagement."""
    slipping = data.slipping
    share = slipping.after
    note = (
        "all of it: how much of the inertia is the work's own is not known"
        if share is None
        else f"the load's {shown(reader, slipping.load)} and {reader.number(share, 'number', by='percent').shown} of "
        f"the rest, which is what turns after the {_called(pin)}"
    )
    states = {"faces as they are": slipping.now, "faces run in": slipping.run_in, "cold, run in": slipping.most}
    if not slipping.magnetic:
        states = {"running up": slipping.now, "at its most": slipping.most}
    for state, torque in states.items():
        draft.fact(
            f"{pin.name} feels while the clutch engages, {state}",
            reader.number(felt(pin, torque, data), "torque"),
            f"{slipping.what} pulls {shown(reader, torque)}; {note}",
        )


def _guard(draft: Draft, reader: Reader, data: ChainData, slipping: Slipping, pin: Link) -> CaseFound:
    """Judge the pin at its low end by the hot clutch, run in; what a cold one may do is said beside it."""
    feels = felt(pin, max(slipping.now, slipping.run_in), data)
    cold = felt(pin, slipping.most, data)
    verdict = grade(likely=pin.likely, bad=pin.low, limit=feels)
    named, called = GUARDED[pin.kind], _called(pin)
    most = "" if pin.branch == 1.0 and not pin.untold else "up to "
    state = "Hot and run in the clutch" if slipping.magnetic else f"While it slips {slipping.what}"
    reason = f"{state} pulls {shown(reader, slipping.run_in)}; of that the {called} feels {most}{shown(reader, feels)}."
    if cold > pin.low and verdict == GO:
        reason += (
            f" That is what is judged. {slipping.strongest} it may feel {shown(reader, cold)}, and may "
            f"{pin.goes.removesuffix('s')}, from {shown(reader, pin.low)} on: engage with the work empty then."
        )
    value, limit = (
        number(reader, pin),
        reader.number(feels, "torque", "{} or more"),
    )
    if verdict != GO and at_work(pin, slipping) and slipping.after is None:
        lacks = share_lacks(reader)
        reader.note_missing(*lacks)
        words = f"{reason} Less reaches it where most of the inertia turns before it, and how much is not known."
        draft.checks.append(
            Check(*named, value, limit, UNDECIDED, words, missing=lacks),
        )
        return CaseFound(f"clutch slipping, {pin.name}", None, "not known", "", UNDECIDED)
    if verdict == STOP and not share_known(pin, slipping):
        verdict = CAUTION
        reason += " What turns before it takes a part of that, and how much is not known."
    if verdict == STOP and pin.kind == "slip clutch" and reaches(pin.under("start").low, slipping.load):
        verdict = CAUTION
        reason += " It slips and heats until the work has come up."
    if verdict == STOP:
        reason += f" It {pin.goes} each time {slipping.what} engages."
    draft.check(
        *named,
        value,
        limit,
        verdict,
        reason=reason,
        remedy="" if verdict == GO else f"Engage with the work empty, or {_STRONGER[pin.kind]} that still gives first.",
        source=SOURCE,
    )
    gives = "nothing" if verdict == GO else pin.name
    return CaseFound(f"clutch slipping, {pin.name}", feels, gives, "" if verdict == GO else "yes", verdict)


def _others(draft: Draft, reader: Reader, data: ChainData, slipping: Slipping) -> list[CaseFound]:
    """Judge what must not break, by the cold, run-in clutch at its highest."""
    there = [link for link in data.giving if link.breaks]
    if not there:
        return []
    verdicts = {link.name: _breaks(data, link) for link in there}
    hard = min(there, key=lambda k: (-ORDER.index(verdicts[k.name]), steady(k.low / felt(k, slipping.top, data))))
    verdict, feels = verdicts[hard.name], felt(hard, slipping.top, data)
    reason = f"{slipping.most_state} {slipping.what} pulls up to {shown(reader, slipping.top)} while it slips. "
    capped = feels < slipping.top and any(k.kind == "belt slip" and k.high == feels for k in data.giving)
    through = ", all that the belts before it let through at the high end of their friction" if capped else ""
    reason += f"Nearest to giving: {hard.name}, which feels up to {shown(reader, feels)}{through}"
    reason += "." if verdict == GO else f". Then {hard.gives}."
    named, value = ("chain.engage", NAME), number(reader, hard, f"{hard.name} at {{}}")
    limit = reader.number(feels, "torque", "{} or more")
    if verdict == UNDECIDED:
        lacks = share_lacks(reader)
        reader.note_missing(*lacks)
        words = f"{reason} Less reaches it where most of the inertia turns before it, and how much is not known."
        draft.checks.append(Check(*named, value, limit, UNDECIDED, words, missing=lacks))
        return [CaseFound("clutch slipping, the rest", None, "not known", "", UNDECIDED)]
    if verdict == CAUTION and not share_known(hard, slipping):
        reason += " What turns before it takes a part of that, and how much is not known."
    verdict = add(
        draft,
        data,
        Check(
            *named,
            value,
            limit,
            verdict,
            reason + (left_words(data) if verdict == STOP else ""),
            "" if verdict == GO else f"Strengthen this part: {hard.name}. Or use a clutch that pulls less.",
            SOURCE,
        ),
    )
    gives = "nothing" if verdict == GO else hard.name
    return [CaseFound("clutch slipping, the rest", feels, gives, "" if verdict == GO else "no", verdict)]


def _breaks(data: ChainData, link: Link) -> str:
    """Return the verdict on a link that would break: it feels the load at least, and at most what :func:`felt` says."""
    slipping = data.slipping
    if reaches(link.low, felt(link, slipping.top, data)):
        return GO
    if not reaches(link.under("work").likely, slipping.load):
        return STOP
    if share_known(link, slipping):
        return CAUTION if reaches(link.likely, felt(link, slipping.run_in, data)) else STOP
    return UNDECIDED if at_work(link, slipping) and slipping.after is None else CAUTION


__all__ = ["NAME", "checks"]
