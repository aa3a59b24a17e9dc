"""Whether everything goes on a stepped shaft, and in which order: the check, and what the assembly sheet reads."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from jackshaft.buildfile.naming import named
from jackshaft.chapters.shafts.sections import listed_steps, size_at
from jackshaft.mechanics.assembly import FAR, NEAR, Assembly, Barred, Part, order_si
from jackshaft.mechanics.shafts import Step
from jackshaft.parts.along import Reach, reaches, usual
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED, Check
from jackshaft.results.cure import Proposal
from jackshaft.results.failing import Failing
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader

#: How much thicker than a bore a step may be and still be meant to be the same size, m: steps are nominal.
SAME_SIZE = 2e-4
SOURCE = "own-derivation, geometry"


class Assembled(NamedTuple):
    """A shaft's parts as they go on; ``names`` are its steps' names, ``sure`` the parts whose bore is known.

    ``placeless`` are the keys of the places that nobody has written down.
    """

    steps: tuple[Step, ...]
    names: tuple[str, ...]
    parts: tuple[Part, ...]
    found: Assembly
    sure: frozenset[str]
    placeless: tuple[str, ...]


def assembled(reader: Reader, done: Mapping[str, Findings], shaft: str) -> Assembled | None:
    """Return how the parts of a shaft go on; None where its steps are not all known.

    A shaft without steps is one bar over all that sits on it. What has no bore known has that of the shaft at its
    place.
    """
    listed, missing = listed_steps(reader, shaft)
    identity = getattr(done["bearings"].data, "identity", {}) if "bearings" in done else {}
    sizes = {name: one.size for name, one in identity.items() if one.size is not None}
    there = [r for r in reaches(reader, shaft, {n: s.width for n, s in sizes.items()}) if r.kind != "key"]
    steps, names = listed, reader.names(f"shaft[{shaft}].step")
    if missing:
        return None
    if not steps:
        size = reader.si(f"shaft[{shaft}].diameter")
        if size is None or not there:
            return None
        ends = min(r.at - r.width for r in there), max(r.at + r.width for r in there)
        steps, names = (Step(*ends, size, 0.0),), ("",)
    parts, sure = [], set()
    for one in there:
        here, size = size_at(steps, one.at), sizes.get(one.name) if one.kind == "bearing" else None
        if size is not None:
            sure.add(one.words)
        bore = here if size is None else size.bore
        if bore is not None:
            low, high = one.at - one.width / 2, one.at + one.width / 2
            parts.append(Part(one.words, low, high, bore, _welded(reader, shaft, one)))
    found = order_si(steps, parts, slack=SAME_SIZE)
    return Assembled(tuple(steps), tuple(names), tuple(parts), found, frozenset(sure), _placeless(reader, shaft))


def _placeless(reader: Reader, shaft: str) -> tuple[str, ...]:
    """Return the keys of the places along a shaft that are not known, of bearings and of hubs."""
    keys = [f"bearing[{b}].position" for b in reader.names("bearing") if reader.get(f"bearing[{b}].shaft") == shaft]
    base = f"shaft[{shaft}].load"
    keys += [f"{base}[{n}].position" for n in reader.names(base) if reader.get(f"{base}[{n}].stage") is not None]
    return tuple(key for key in keys if reader.get(key) is None)


def _welded(reader: Reader, shaft: str, part: Reach) -> bool:
    """Tell whether a hub is welded on: by its stage, or by a weld beside it."""
    if part.kind == "bearing":
        return False
    stage = reader.get(f"shaft[{shaft}].load[{part.name}].stage")
    for joint in reader.names(f"shaft[{shaft}].joint"):
        here = f"shaft[{shaft}].joint[{joint}]"
        at, mine = reader.si(f"{here}.position"), reader.get(f"{here}.stage")
        beside = at is not None and abs(at - part.at) <= usual("joint beside its pulley") + part.width / 2
        if reader.get(f"{here}.kind") == "weld ring" and (mine == stage if mine is not None else beside):
            return True
    return False


def check(draft: Draft, reader: Reader, done: Mapping[str, Findings], shaft: str) -> None:
    """Add the verdict on whether everything goes on, for a shaft that has steps or a part welded on."""
    found = assembled(reader, done, shaft)
    if found is None or not found.parts or not (len(found.steps) > 1 or any(p.fixed for p in found.parts)):
        return
    named = (f"shafts.assembly[{shaft}]", f"{shaft}: every part goes on")
    wanted = "a way from one end to its place for each"
    if not found.found.barred:
        on = ", ".join(move.part for move in found.found.moves)
        reason = f"They go on in this order: {on}."
        if found.placeless:
            reader.note_missing(*found.placeless)
            words = f"{reason} Parts whose place is not known are not in it."
            draft.checks.append(
                Check(*named, "those that are placed", wanted, UNDECIDED, words, "", "", found.placeless)
            )
            return
        draft.check(*named, f"all {len(found.parts)}", wanted, GO, reason=reason, source=SOURCE)
        return
    stuck = found.found.barred
    known = any(one.part in found.sure for one in stuck)
    draft.check(
        *named,
        found=", ".join(one.part for one in stuck),
        wanted=wanted,
        verdict=STOP if known else CAUTION,
        reason=" ".join(_why(found, one) for one in stuck)
        + ("" if known else " Its bore is taken as the shaft's at its place: one in halves goes on all the same."),
        remedy="Turn the step in its way down to its bore, make the part in halves, or weld on what bars it later.",
        source=SOURCE,
    )


def _why(found: Assembled, one: Barred) -> str:
    ways = []
    for end, steps, parts in zip(("lower", "higher"), one.steps, one.parts, strict=True):
        bars = [f"step {found.names[n]}" for n in steps] + list(parts)
        ways.append(f"from the {end} end {' and '.join(bars)} {'bar' if len(bars) > 1 else 'bars'} it")
    return f"{one.part[:1].upper()}{one.part[1:]} does not go on: {'; '.join(ways)}."


def cures(failing: Failing) -> Iterator[Proposal]:
    """Yield the steps in a part's way turned down to its bore, from the end where fewer are in the way."""
    shaft = failing.part
    found = assembled(failing.reader, failing.results.chapters, shaft)
    if found is None:
        return
    for one in found.found.barred:
        bore = next(p.bore for p in found.parts if p.name == one.part)
        text = failing.down(bore, "length", "0.001 in", "0.01 mm")
        for end in sorted((NEAR, FAR), key=lambda e: len(one.steps[e == FAR])):
            steps = one.steps[end == FAR]
            if steps and not one.parts[end == FAR]:
                these = [found.names[n] for n in steps]
                words = f"Turn {' and '.join(named('step', n) for n in these)} of {shaft} down to {text}."
                yield Proposal(words, {f"shaft[{shaft}].step[{n}].diameter": text for n in these})


__all__ = ["Assembled", "assembled", "check", "cures"]
