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
from jackshaft.parts.outside_loads import TIGHTENER, may_carry_clutch
from jackshaft.parts.shaft_cases import at_case
from jackshaft.parts.shaft_loads import boxes_on, hub_is_work, hubs_on
from jackshaft.parts.words import ENGINE_KEY, sentence
from jackshaft.parts.works import work_shafts
from jackshaft.results.checks import CAUTION, GO, STOP, reaches
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader

#: Safety wanted of an idler's pin against yielding, the corner where it is held counted: common practice, no source.
WANTED = 1.5
CORNER = "sharp shoulder, r/d 0.02"


def joints_missing(draft: Draft, reader: Reader) -> None:
    """Add a check for each hub on a shaft, the work's and the engine's among them, that no joint holds so far."""
    for shaft in reader.names("shaft"):
        stages = hubs_on(reader, shaft)
        spare = _spare(reader, shaft, stages)
        for stage in stages:
            if not any(_holds(reader, shaft, joint, stage) for joint in _joints(reader, shaft)):
                _lacks_joint(draft, reader, shaft, stage, spare)
        if shaft in work_shafts(reader) and not spare:
            _work_hub(draft, reader, shaft)
    if reader.has("work") and reader.names("shaft") and not work_shafts(reader) and not reader.get("work.one_piece"):
        words = "Which shaft carries the work is not known yet, so neither is what holds it there."
        draft.missing(reader, "shafts.hub[work]", "hub of the work", ("work.shaft",), words)
    if (hubs_on(reader, ENGINE) or boxes_on(reader, ENGINE)) and reader.get("engine.key_width") is None:
        _engine_hub(draft, reader)


def _joints(reader: Reader, shaft: str) -> list[str]:
    """Return the names of a shaft's joints whose kind is known."""
    return [j for j in reader.names(f"shaft[{shaft}].joint") if reader.get(f"shaft[{shaft}].joint[{j}].kind")]


def _places(reader: Reader, shaft: str, stage: str) -> list[float]:
    """Return where the hub of a stage sits along a shaft, m; nothing where that is not known."""
    loads = [f"shaft[{shaft}].load[{name}]" for name in reader.names(f"shaft[{shaft}].load")]
    found = [reader.si(f"{at}.position") for at in loads if reader.get(f"{at}.stage") == stage]
    return [place for place in found if place is not None]


def _holds(reader: Reader, shaft: str, joint: str, stage: str) -> bool:
    """Tell whether a joint holds the hub of a stage: it says so, or says nothing and sits under it."""
    base = f"shaft[{shaft}].joint[{joint}]"
    own, at = reader.get(f"{base}.stage"), reader.si(f"{base}.position")
    return own == stage or (
        own is None
        and at is not None
        and any(abs(at - p) <= usual("joint beside its pulley") for p in _places(reader, shaft, stage))
    )


def joints_of(reader: Reader, shaft: str, stage: str) -> tuple[str, ...]:
    """Return the joints of a shaft that hold the hub of a stage."""
    return tuple(joint for joint in _joints(reader, shaft) if _holds(reader, shaft, joint, stage))


def _spare(reader: Reader, shaft: str, stages: tuple[str, ...]) -> list[str]:
    """Return the joints of a shaft that are not known to hold the hub of a stage."""
    return [j for j in _joints(reader, shaft) if not any(_holds(reader, shaft, j, stage) for stage in stages)]


def held(reader: Reader, shaft: str, joint: str) -> str:
    """Return in words the hub that a joint holds; empty where the build does not tell.

    The key of the engine's shaft holds what sits there, the clutch before a pulley. A joint of the shaft of the work
    that belongs to no stage holds the work, as long as no other hub there lacks its joint.
    """
    stages = hubs_on(reader, shaft)
    if shaft == ENGINE:
        clutch = reader.has("clutch") and not reader.is_none("clutch") and reader.get("clutch.kind") != TIGHTENER
        if clutch and (reader.get("clutch.shaft") == ENGINE or len(may_carry_clutch(reader)) == 1):
            return "hub of the clutch" + (f", with {' and '.join(stages)}" if stages else "")
        stages = (*stages, *boxes_on(reader, ENGINE))
        return f"hub of {' and '.join(stages)}" if stages else ""
    if mine := [stage for stage in stages if _holds(reader, shaft, joint, stage)]:
        return f"hub of {' and '.join(mine)}"
    lacks = any(not any(_holds(reader, shaft, j, stage) for j in _joints(reader, shaft)) for stage in stages)
    if lacks or shaft not in work_shafts(reader) or reader.get("work.one_piece") or hub_is_work(reader, shaft):
        return ""
    return f"hub of the {reader.get('work.name') or 'work'}"


def assumed(reader: Reader, shaft: str, joint: str) -> str:
    """Return in a sentence that what a joint of a shaft holds is assumed or not known; nothing where the build says."""
    if shaft == ENGINE or any(_holds(reader, shaft, joint, stage) for stage in hubs_on(reader, shaft)):
        return ""
    hub = held(reader, shaft, joint)
    return f" It belongs to no stage, so it is taken for the {hub}." if hub else " Which hub it holds is not known."


def title_of(reader: Reader, shaft: str, joint: str) -> str:
    """Return the name of a joint's check: its shaft, the joint, and the hub that it holds."""
    hub = held(reader, shaft, joint)
    return f"{shaft}: {joint}, {hub}" if hub else f"{shaft}: {joint}"


def _lacks_joint(draft: Draft, reader: Reader, shaft: str, stage: str, spare: list[str]) -> None:
    base, placed = f"shaft[{shaft}].joint", bool(_places(reader, shaft, stage))
    missing = [
        f"{base}[{j}].stage"
        for j in spare
        if reader.get(f"{base}[{j}].stage") is None and not (placed and reader.si(f"{base}[{j}].position") is not None)
    ]
    words = f"What holds the hub of '{stage}' on '{shaft}' is not written down, so what it carries is not judged."
    if missing:
        words += " A joint is there that may be the one: say which stage it belongs to."
    else:
        missing = [f"{base}[{stage}].stage" if stage in _joints(reader, shaft) else f"{base}[{stage}].kind"]
    draft.missing(reader, f"shafts.hub[{stage} on {shaft}]", f"{shaft}: hub of {stage}", missing, words)


def _work_hub(draft: Draft, reader: Reader, shaft: str) -> None:
    """Ask for the joint of the work, unless it is one piece with its shaft or with the hub of a stage."""
    if reader.get("work.one_piece") or hub_is_work(reader, shaft):
        return
    name = reader.get("work.name") or "work"
    words = f"What holds the {name} on '{shaft}' is not written down, so what it carries is not judged."
    free = "work hub" if "work" in reader.names(f"shaft[{shaft}].joint") else "work"
    missing = reader.unknown("work.one_piece", f"shaft[{shaft}].joint[{free}].kind")
    draft.missing(reader, f"shafts.hub[work on {shaft}]", f"{shaft}: hub of the {name}", missing, words)


def _engine_hub(draft: Draft, reader: Reader) -> None:
    """Ask for the key of the engine's shaft; where there is none, say that what holds the hub is not judged."""
    named = (f"shafts.joint[{ENGINE_KEY}]", title_of(reader, ENGINE, ENGINE_KEY))
    if not reader.is_none("engine.key_width"):
        words = "What holds the hub on the engine's shaft is not written down."
        draft.missing(reader, *named, ("engine.key_width", "engine.key_length"), words)
        return
    draft.check(
        *named,
        "no key",
        "a joint that carries the torque",
        CAUTION,
        reason="Without a key a taper, a thread or a clamp must carry the engine's torque. The workbook does not judge "
        "one on the engine's shaft.",
        remedy="Ask the engine's maker how much torque that joint carries, or fit a shaft and a hub with a key.",
        source="trade-practice",
    )


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
    words = "How hard the work starts, or works at its peak, is not known, and may bend it more."
    draft.doubt(reader, idler.unsure, words, id, of=(GO, CAUTION))


def _pull(reader: Reader, idler: Idler) -> str:
    return f"{reader.show(idler.hardest[1], 'force')} {at_case(idler.hardest[0])}"


def pin_stress(reader: Reader, idler: Idler, pull: float, size: float, arm: float) -> float:
    """Return the stress of a pin where it is held, Pa, under a pull, N; held at both ends each takes half."""
    share = 0.5 if reader.get(f"{idler.at}.pin_held") == "at both ends" else 1.0
    moment = share * pull * arm
    return float(raiser(CORNER).bending * shaft_strength.bending_stress.si(moment, size))


__all__ = ["CORNER", "WANTED", "assumed", "held", "joints_missing", "joints_of", "pin_stress", "pins", "title_of"]
