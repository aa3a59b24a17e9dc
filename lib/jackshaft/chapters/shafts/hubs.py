"""What must be there and is not written down: a joint under each hub, a pin under each idler."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft.chapters.ratio.analysis import ENGINE
from jackshaft.mechanics import shaft_strength
from jackshaft.mechanics.stress_raisers import raiser
from jackshaft.parts import seldom
from jackshaft.parts.along import usual
from jackshaft.parts.idlers import Idler, idlers
from jackshaft.parts.shaft_cases import at_case
from jackshaft.parts.shaft_loads import hubs_on
from jackshaft.parts.words import sentence
from jackshaft.results.checks import CAUTION, GO, STOP, reaches
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader

#: Safety wanted of an idler's pin against yielding, the corner where it is held counted: common practice, no source.
WANTED = 1.5
CORNER = "sharp shoulder, r/d 0.02"


def joints_missing(draft: Draft, reader: Reader) -> None:
    """Add an undecided check for each hub on a shaft that no joint holds as far as the build says."""
    for shaft in reader.names("shaft"):
        for stage in hubs_on(reader, shaft):
            if not _held(reader, shaft, stage):
                _lacks_joint(draft, reader, shaft, stage)
    if reader.get("engine.key_width") is None and not reader.is_none("engine.key_width") and hubs_on(reader, ENGINE):
        keys = ("engine.key_width", "engine.key_length")
        words = "What holds the pulley on the engine's shaft is not written down."
        draft.missing(reader, "shafts.joint[engine key]", f"{ENGINE}: engine key", keys, words)


def _held(reader: Reader, shaft: str, stage: str) -> bool:
    base = f"shaft[{shaft}]"
    places = [
        at
        for load in reader.names(f"{base}.load")
        if reader.get(f"{base}.load[{load}].stage") == stage
        and (at := reader.si(f"{base}.load[{load}].position")) is not None
    ]
    for joint in reader.names(f"{base}.joint"):
        if reader.get(f"{base}.joint[{joint}].kind") is None:
            continue
        own, at = reader.get(f"{base}.joint[{joint}].stage"), reader.si(f"{base}.joint[{joint}].position")
        if own == stage or (
            own is None and at is not None and any(abs(at - p) <= usual("joint beside its pulley") for p in places)
        ):
            return True
    return False


def _lacks_joint(draft: Draft, reader: Reader, shaft: str, stage: str) -> None:
    base = f"shaft[{shaft}].joint"
    free = [
        j
        for j in reader.names(base)
        if reader.get(f"{base}[{j}].stage") is None and reader.get(f"{base}[{j}].kind") is not None
    ]
    missing = [f"{base}[{j}].stage" for j in free if reader.si(f"{base}[{j}].position") is None]
    words = f"What holds the hub of '{stage}' on {shaft} is not written down, so what it carries is not judged."
    if missing:
        words += " A joint is there whose place and hub are not written down: say which stage it belongs to."
    known = {j for j in reader.names(base) if reader.get(f"{base}[{j}].kind") is not None}
    if not missing:
        missing = [f"{base}[{stage}].stage" if stage in known else f"{base}[{stage}].kind"]
    draft.missing(reader, f"shafts.hub[{stage} on {shaft}]", f"{shaft}: hub of {stage}", missing, words)


def pins(draft: Draft, reader: Reader, done: Mapping[str, Findings]) -> None:
    """Add the check of each idler's pin: what the belt bends it with, against its yield."""
    for idler in idlers(reader, done):
        id, title = f"shafts.pin[{idler.part}]", f"{idler.part}: pin"
        with draft.attempt(reader, id, title):
            _pin(draft, reader, idler, id, title)


def _pin(draft: Draft, reader: Reader, idler: Idler, id: str, title: str) -> None:
    keys = {k: f"{idler.at}.pin_{k}" for k in ("diameter", "overhang", "yield")}
    size, arm, strength = (reader.si(k) for k in keys.values())
    missing = [k for k in keys.values() if reader.si(k) is None]
    limit = reader.number(WANTED, "number", "safety {} or more")
    if idler.hardest is None:
        missing += reader.unknown(*idler.missing)
    if not missing and idler.hardest is None:
        draft.checks.append(idler.refused(id, title, limit))
        return
    if missing:
        pull = "" if idler.hardest is None else f" The belt bears on it with {_pull(reader, idler)}."
        draft.missing(
            reader, id, title, missing, f"What bends the pin of the idler is not known yet.{pull}", limit=limit
        )
        return
    stress = pin_stress(reader, idler, idler.hardest[1], size, arm)
    safety = strength / stress if stress else np.inf
    verdict = GO if reaches(safety, WANTED) else CAUTION if reaches(safety, 1.0) else STOP
    more = ""
    if idler.seldom is not None:
        once = pin_stress(reader, idler, idler.seldom[1], size, arm)
        if once and not seldom.holds(strength / once):
            if verdict == GO:
                safety, limit = strength / once, reader.number(seldom.HOLDS, "number", "safety {} or more")
            verdict = seldom.joined(verdict, seldom=False)
            more = (
                f" {sentence(at_case(idler.seldom[0]))} {reader.show(idler.seldom[1], 'force')} bear on it, and it "
                f"yields: safety {strength / once:.2f}. That lasts a moment and comes seldom."
            )
    draft.check(
        id,
        title,
        reader.number(min(safety, 1e3), "number", "safety {}", decimals=2),
        limit,
        verdict,
        reason=f"The belt bears on it with {_pull(reader, idler)}, which bends it where it is held: "
        f"{reader.show(stress, 'stress')} of {reader.show(strength, 'stress')}, taken as a sharp corner.{more}",
        remedy="" if verdict == GO else "Take a thicker pin, hold it nearer to the belt, or hold it at both ends.",
        source="shigley, p. 373, stress raiser",
    )


def _pull(reader: Reader, idler: Idler) -> str:
    return f"{reader.show(idler.hardest[1], 'force')} {at_case(idler.hardest[0])}"


def pin_stress(reader: Reader, idler: Idler, pull: float, size: float, arm: float) -> float:
    """Return the stress of a pin where it is held, Pa, under a pull, N; held at both ends each takes half."""
    share = 0.5 if reader.get(f"{idler.at}.pin_held") == "at both ends" else 1.0
    moment = share * pull * arm
    return float(raiser(CORNER).bending * shaft_strength.bending_stress.si(moment, size))


__all__ = ["CORNER", "WANTED", "joints_missing", "pin_stress", "pins"]
