"""While the clutch slips the drive carries the clutch's torque, not the load's: what belts, pin and the rest feel."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.ratio.data import ENGINE
from jackshaft.chapters.weak_link.cases import SOURCE, add, left_words, number, shown
from jackshaft.chapters.weak_link.data import CaseFound, ChainData, Link, Slipping
from jackshaft.chapters.weak_link.slipping import felt
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED, Check, grade
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader

NAME = "while the clutch slips: what lies between engine and work"
PIN = "while the clutch slips: the shear pin"


def checks(draft: Draft, reader: Reader, data: ChainData, done: Mapping[str, Findings]) -> list[CaseFound]:
    """Add the verdicts on each part of the drive while the clutch slips."""
    slipping = data.slipping
    if slipping is None:
        _not_known(draft, reader, data, done)
        return []
    pin = data.of_kind("shear pin")
    found = []
    for link in data.giving:
        if link.kind == "belt slip":
            found.append(_belts(draft, reader, data, slipping, link))
    if pin is not None:
        _pin_facts(draft, reader, slipping, pin)
        found.append(_pin(draft, reader, data, slipping, pin))
    found += _others(draft, reader, data, slipping, pin)
    return found


def _not_known(draft: Draft, reader: Reader, data: ChainData, done: Mapping[str, Findings]) -> None:
    """Say what is missing where the build has a clutch whose slipping is not known."""
    if any(c.id == "chain.engage" for c in draft.checks) or not any(
        part == "clutch" for part in [*(k.part for k in data.links), *(k.part for k in data.left)]
    ):
        return
    chapter = done["clutch"] if "clutch" in done else None
    keys = [k for k in (chapter.missing if chapter else ()) if k.startswith(("clutch.", "circuit."))]
    wanted = ("clutch.static_torque", "clutch.coil_resistance", "circuit.running_voltage", "work.power", "work.power_at")
    keys += [k for k in wanted if k not in keys]
    lacks = tuple(k for k in keys if reader.get(k) is None)
    if lacks:
        words = "The drive then carries what the clutch pulls, and that is not known yet."
        draft.lacks(reader, "chain.engage", NAME, lacks, words)


def _name(stage: str) -> str:
    return f"{stage}: the belts while the clutch slips"


def _belts(draft: Draft, reader: Reader, data: ChainData, slipping: Slipping, link: Link) -> CaseFound:
    """Judge one belt stage: it carries all that the clutch pulls; to slip a little at each start is never a stop."""
    stage = link.part.removeprefix("stage[").removesuffix("]")
    most = max(slipping.now, slipping.run_in)
    verdict = grade(likely=link.likely, bad=link.low, limit=most)
    verdict = CAUTION if verdict == STOP else verdict
    faces = "" if slipping.now == most else f", and {shown(reader, slipping.now)} as its faces are now"
    reason = (
        f"While it slips the clutch pulls {shown(reader, most)} hot and run in{faces}. The belts carry that, not "
        f"the load's torque; they hold {shown(reader, link.low)} to {shown(reader, link.likely)}."
    )
    if verdict != GO:
        reason += " Above that they chirp and wear at each full start."
    verdict = add(
        draft,
        data,
        Check(
            f"chain.engage-belts[{stage}]",
            _name(stage),
            number(reader, link),
            reader.number(most, "torque", "{} or more"),
            verdict,
            reason,
            ""
            if verdict == GO
            else "Give the belts more grip, or live with a chirp: engage with the work empty and listen for how long.",
            SOURCE,
        ),
    )
    gives = "nothing" if verdict == GO else link.name
    return CaseFound(f"clutch slipping, {stage}", most, gives, "" if verdict == GO else "no", verdict)


def _pin_facts(draft: Draft, reader: Reader, slipping: Slipping, pin: Link) -> None:
    """Add what the pin feels of an engagement."""
    share = slipping.after
    note = (
        "all of it: how much of the inertia turns after the pin is not known (shear_pin.inertia_after)"
        if share is None
        else f"the load's {shown(reader, slipping.load)} and {reader.number(share, 'number', by='percent').shown} of the "
        "rest, which is what turns after the pin"
    )
    states = {"faces as they are": slipping.now, "faces run in": slipping.run_in, "cold, run in": slipping.most}
    for state, torque in states.items():
        draft.fact(
            f"shear pin feels while the clutch engages, {state}",
            reader.number(felt(pin, torque, slipping, pin=pin), "torque"),
            f"the clutch pulls {shown(reader, torque)}; {note}",
        )


def _pin(draft: Draft, reader: Reader, data: ChainData, slipping: Slipping, pin: Link) -> CaseFound:
    """Judge the pin at its low end by the hot clutch, run in; what a cold one may do is said beside it."""
    feels = felt(pin, max(slipping.now, slipping.run_in), slipping, pin=pin)
    cold = felt(pin, slipping.most, slipping, pin=pin)
    verdict = grade(likely=pin.likely, bad=pin.low, limit=feels)
    named = ("chain.engage-pin", PIN)
    reason = f"Hot and run in the clutch pulls {shown(reader, slipping.run_in)}; of that the pin feels "
    reason += f"{shown(reader, feels)}."
    if cold > pin.low:
        reason += f" Cold and run in it may feel {shown(reader, cold)}, and then it may go."
    value, limit = number(reader, pin), reader.number(feels, "torque", "{} or more")
    if verdict != GO and slipping.after is None:
        reader.note_missing("shear_pin.inertia_after")
        words = f"{reason} Less reaches it where most of the inertia turns before the pin, and how much is not known."
        draft.checks.append(
            Check(*named, value, limit, UNDECIDED, words, missing=("shear_pin.inertia_after",)),
        )
        return CaseFound("clutch slipping, shear pin", None, "not known", "", UNDECIDED)
    if verdict == STOP:
        reason += " It shears each time the clutch engages."
    draft.check(
        *named,
        value,
        limit,
        verdict,
        reason=reason,
        remedy="" if verdict == GO else "Engage with the work empty, or fit the next larger pin that still gives first.",
        source=SOURCE,
    )
    gives = "nothing" if verdict == GO else pin.name
    return CaseFound("clutch slipping, shear pin", feels, gives, "" if verdict == GO else "yes", verdict)


def _others(
    draft: Draft, reader: Reader, data: ChainData, slipping: Slipping, pin: Link | None
) -> list[CaseFound]:
    """Judge what must not break, by the cold, run-in clutch at its highest; a belt before it or a pin caps that."""
    there = [link for link in data.giving if link.breaks]
    if not there:
        return []

    def load(link: Link, torque: float) -> float:
        feels = felt(link, torque, slipping, pin=pin)
        caps = [belt.high for belt in data.giving if belt.part in link.after]
        if pin is not None and link.shaft == pin.shaft and pin.shaft != ENGINE:
            caps.append(pin.high)
        return min([feels, *caps])

    def verdict_of(link: Link) -> str:
        if link.low >= load(link, slipping.top):
            return GO
        return CAUTION if link.likely >= load(link, slipping.run_in) else STOP

    near = min(there, key=lambda link: link.low / load(link, slipping.top))
    hard = max((link for link in there), key=lambda k: ([GO, CAUTION, STOP].index(verdict_of(k)), k is near))
    verdict, feels = verdict_of(hard), load(hard, slipping.top)
    reason = f"Cold, run in and at full voltage the clutch pulls up to {shown(reader, slipping.top)} while it slips. "
    reason += f"Nearest to giving: {hard.name}, which feels up to {shown(reader, feels)}"
    reason += "." if verdict == GO else f", and then {hard.gives}."
    verdict = add(
        draft,
        data,
        Check(
            "chain.engage",
            NAME,
            number(reader, hard, f"{hard.name} at {{}}"),
            reader.number(feels, "torque", "{} or more"),
            verdict,
            reason + (left_words(data) if verdict != GO else ""),
            "" if verdict == GO else f"Strengthen this link: {hard.name}. Or use a clutch that pulls less.",
            SOURCE,
        ),
    )
    gives = "nothing" if verdict == GO else hard.name
    return [CaseFound("clutch slipping, the rest", feels, gives, "" if verdict == GO else "no", verdict)]


__all__ = ["NAME", "checks"]
