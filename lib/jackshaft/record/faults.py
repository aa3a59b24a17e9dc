"""Finding a fault: for what one notices, the one look that parts the causes, with this build's own values beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from math import tau
from typing import NamedTuple

from jackshaft import tables
from jackshaft.chapters.measured.circuit import foretold_ohms
from jackshaft.parts.idlers import idlers
from jackshaft.record.first_run import NOT_YET, Found
from jackshaft.results import Results

#: Over the columns of the sheet; the last is filled from the rows of the table.
HEADS = ("what you notice", "look at this first", "in this build", "what it shows, and what to do")


class Answer(NamedTuple):
    """What a look may show, the likely cause then, and what to do about it."""

    found: str
    cause: str
    remedy: str

    @property
    def words(self) -> str:
        """The answer as a line."""
        return f"{self.found[:1].upper()}{self.found[1:]}: {self.cause[:1].lower()}{self.cause[1:]}. {self.remedy}."


class Fault(NamedTuple):
    """One thing that a builder notices: the look that parts its causes, this build's own value, and the answers."""

    part: str
    symptom: str
    look: str
    here: str
    answers: tuple[Answer, ...]


def faults(results: Results) -> list[Fault]:
    """Return what may go wrong with the parts that a build has, in the order of the torque's way."""
    at, found = Found(results), {}
    there = {part for part, has in _HAS.items() if has(at)}
    for row in tables.table("faults").rows:
        if row["part"] in there:
            mark = (row["part"], row["symptom"], row["look"], row["baseline"] or "")
            found.setdefault(mark, []).append(Answer(row["found"], row["cause"], row["remedy"]))
    return [
        Fault(part, symptom, look, here(at, base), tuple(answers))
        for (part, symptom, look, base), answers in found.items()
    ]


def rows(found: list[Fault]) -> list[tuple[str, str, str, str]]:
    """Return the lines of the sheet."""
    return [(f.symptom, f.look, f.here, " ".join(a.words for a in f.answers)) for f in found]


def _belts(at: Found) -> bool:
    return any(at.reader.names(f"stage[{n}].pulley") for n in at.reader.names("stage"))


def _chains(at: Found) -> bool:
    return any(at.reader.get(f"stage[{n}].kind") == "roller chain" for n in at.reader.names("stage"))


#: Whether a build has a part of each kind that the table speaks of.
_HAS: Mapping[str, Callable[[Found], bool]] = {
    "belt": _belts,
    "idler": lambda at: bool(idlers(at.reader, at.results.chapters)),
    "clutch": lambda at: at.reader.get("clutch.kind") == "electromagnetic",
    "circuit": lambda at: at.reader.has("circuit"),
    "bearing": lambda at: bool(at.reader.names("bearing")),
    "shaft": lambda at: bool(at.reader.names("shaft")),
    "driveline": lambda at: at.reader.has("driveline"),
    "chain": _chains,
    "pin": lambda at: at.reader.has("shear_pin"),
    "slip clutch": lambda at: at.reader.has("slip_clutch"),
}


def has(at: Found, part: str) -> bool:
    """Tell whether a build has a part of a kind that the tables of the sheets speak of."""
    return _HAS[part](at)


def here(at: Found, base: str) -> str:
    """Return this build's own value, of each part that has one; nothing where a look has none."""
    if not base:
        return ""
    return "; ".join(_BASES[base](at)) or NOT_YET


def _judged(*ids: str, wanted: bool = True) -> Callable[[Found], Iterator[str]]:
    """Return what yields, of each check of these ids, what was found, and what is wanted beside it."""

    def lines(at: Found) -> Iterator[str]:
        for check in at.results.checks:
            if check.id.partition("[")[0] in ids and not check.missing:
                beside = f" (wanted: {check.limit})" if wanted and check.limit else ""
                yield f"{check.name}: {check.value}{beside}"

    return lines


def _speeds(at: Found) -> Iterator[str]:
    ratio = at.data("ratio")
    for shaft in ratio.shafts if ratio else ():
        if shaft.work is not None:
            yield f"{shaft.name} {at.show(shaft.work, 'rotation')}"


def _tension(at: Found) -> Iterator[str]:
    for name, grip in (at.data("grip") or {}).items():
        yield f"{name}: {at.force(grip.set)}"


def _tone(at: Found) -> Iterator[str]:
    for name, grip in (at.data("grip") or {}).items():
        if grip.set.best.frequency is not None:
            yield f"{name}: {at.show(grip.set.best.frequency, 'frequency')} on {grip.set.best.words}"
    ratio = at.data("ratio")
    for shaft in ratio.shafts if ratio else ():
        if shaft.work is not None:
            yield f"{shaft.name} turns {shaft.work / tau:.3g} times a second"


def _amps(at: Found) -> Iterator[str]:
    electric = at.data("electric")
    if electric is not None:
        cold, hot = (electric.amps(f"{electric.which}, {heat}") for heat in ("cold", "hot"))
        yield f"{at.show(cold, 'current')} cold, {at.show(hot, 'current')} hot"


def _ohms(at: Found) -> Iterator[str]:
    ends = foretold_ohms(at.reader)
    if ends is not None:
        yield f"{at.band(*ends, 'resistance')} in a shop, cold or warm"


def _volts(at: Found) -> Iterator[str]:
    yield at.volts("running, cold", "running, hot")


def _runup(at: Found) -> Iterator[str]:
    clutch = at.data("clutch")
    if clutch is not None and clutch.engagement is not None:
        yield at.run_up(clutch.engagement)


def _housing(at: Found) -> Iterator[str]:
    row = tables.table("first_run").one(item="bearing housing over air")
    yield f"usual is {at.show(row['high'], 'temperature rise')} over the air or less"


#: What yields this build's own values, by the names that the table's baselines have.
_BASES: Mapping[str, Callable[[Found], Iterator[str]]] = {
    "speeds": _speeds,
    "tension": _tension,
    "tone": _tone,
    "pulleys": _judged("layout.pulley-size", "capacity.idlers"),
    "volts": _volts,
    "gap": _judged("clutch.gap"),
    "amps": _amps,
    "ohms": _ohms,
    "hold": _judged("clutch.hold", wanted=False),
    "runup": _runup,
    "fuse": _judged("electric.fuse", wanted=False),
    "charging": _judged("electric.charging-idle", wanted=False),
    "housing": _housing,
    "seats": _judged("bearings.seat"),
    "angles": _judged("driveline.angle", wanted=False),
    "overlap": _judged("driveline.overlap", "driveline.room", wanted=False),
    "wear": _judged("roller-chain.wear"),
    "pin": _judged("chain.peak", wanted=False),
    "slip clutch": lambda at: at.lets_go(),
}

__all__ = ["HEADS", "Answer", "Fault", "faults", "has", "here", "rows"]
