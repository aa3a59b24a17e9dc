"""Verdicts on the clutch's torque: does it hold the work, does it pull it up."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.clutch.data import ClutchData, torque_number
from jackshaft.chapters.electric.words import unless_go
from jackshaft.chapters.ratio.data import ENGINE
from jackshaft.mechanics import clutch
from jackshaft.parts.words import sentence
from jackshaft.results.checks import CAUTION, GO, STOP, grade, reaches
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_least

#: What the usual least ratio of static to working torque rests on.
SERVICE_SOURCE = "trade-practice; textbook-practice"


def magnet(draft: Draft, reader: Reader) -> None:
    """Add the verdict on what keeps the clutch's magnet from turning with the shaft."""
    id, name, limit = "clutch.magnet", "magnet held against turning", "a stop, with a little play left"
    held = reader.get("clutch.magnet_held")
    if held is None:
        words = (
            "The magnet must not turn with the shaft: it tears its leads off and may short them. Look for the strap or "
        )
        words += "pin that holds it."
        draft.missing(reader, id, name, ("clutch.magnet_held",), words, limit=limit)
        return
    draft.check(
        id=id,
        name=name,
        found="held" if held else "not held",
        wanted=limit,
        verdict=GO if held else STOP,
        reason="The stop must leave play along the shaft and across it, or the magnet's own bearing fails."
        if held
        else "Bearing drag turns the magnet with the shaft. It tears its leads off and may short them.",
        remedy="" if held else "Hold the magnet by a strap or a pin that leaves it a little play both ways.",
        source="clutch-service",
        guards=not held,
    )


def hold(draft: Draft, reader: Reader, data: ClutchData) -> None:
    """Add the verdict on what the clutch holds with its coil hot."""
    id, name = "clutch.hold", "holding, coil hot"
    state, required = data.hot, data.required
    if state is None or required is None or required.hold == 0.0:
        missing = [*data.lacking, *missing_work(reader, data, required is None or required.hold == 0.0)]
        words = (
            "The torque of the clutch, its current or what it must hold is not known yet. A slip test with lever and "
        )
        words += "scale gives the torque of a clutch without a plate."
        limit = reader.cell(required and required.hold, "torque", "{} or more")
        draft.missing(reader, id, name, missing, words, limit=limit)
        return
    band = data.static[state]
    verdict = grade(likely=band.likely, bad=band.bad, limit=required.hold)
    rule, words = service_factor(reader)
    share = band.likely / required.work if required.work else np.inf
    if verdict == GO and not required.work:
        missing = missing_work(reader, data, True)
        said = "It holds the engine's highest torque. What shocks of the load ask of it is not known without its power "
        said += "at this shaft."
        draft.missing(reader, id, name, missing, said, limit=reader.number(required.hold, "torque", "over {}"))
        return
    if verdict == GO and not reaches(share, rule):
        verdict = CAUTION
    if data.fails:
        verdict = STOP
    known, here, bad = (
        reader.show(amps, "current")
        for amps in (data.used.amps, data.electric.amps(state), data.electric.worst_amps(state))
    )
    share_words = f" That is {share:.1f} × the working torque; {words} needs {rule:g} ×." if required.work else ""
    draft.check(
        id=id,
        name=name,
        found=torque_number(reader, band, "{} ({low} at the bad end)"),
        wanted=reader.number(required.hold, "torque", "{} or more"),
        verdict=verdict,
        reason=f"{sentence(state)}: {here} in the coil ({bad} at the bad end of wire and joints). Its torque is "
        f"stated at {known}, and goes with the square of the current.{share_words}{data.fails}",
        remedy=unless_go(
            verdict,
            larger(reader),
        ),
        source=SERVICE_SOURCE,
        guards=verdict == STOP and (data.burns or not at_least(band.likely, required.work)),
    )


def missing_work(reader: Reader, data: ClutchData, wanted: bool) -> list[str]:
    """Return the keys that would say what the work takes at the clutch."""
    if not wanted:
        return []
    keys = [k for k in ("work.power", "work.power_at", "engine.work_speed") if reader.get(k) is None]
    return keys + list(data.between)


def service_factor(reader: Reader) -> tuple[float, str]:
    """Return the usual least ratio of static to working torque, and for what; what is not known counts as rough."""
    one = reader.get("engine.cylinders") in (None, 1) and reader.get("engine.kind") != "electric motor"
    rough = one or reader.get("work.load_class") not in ("uniform", "light shock")
    lacks = [k for k in ("work.load_class",) + ("engine.cylinders",) * one if reader.get(k) is None]
    reader.note_missing(*(lacks if rough else ()))
    item = "service factor, shock or single cylinder" if rough else "service factor, smooth load"
    row = tables.table("clutch_facts").one(part="torque", item=item)
    return row["low"], (
        "a rough load or a single cylinder" + (" (assumed)" if lacks else "")
    ) if rough else "a smooth load"


def larger(reader: Reader) -> str:
    """Return what to do about a clutch that is too weak; the crank is the fastest shaft that most machines have."""
    words = "Use a larger clutch"
    return f"{words}." if reader.get("clutch.shaft") == ENGINE else f"{words}, or put it on a faster shaft."


def pull(draft: Draft, reader: Reader, data: ClutchData) -> None:
    """Add the verdict on whether the slipping clutch pulls the work up."""
    id, name = "clutch.pull-in", "pulling the work up, coil hot"
    state, required = data.hot, data.required
    if state is None or required is None or not required.work:
        if data.used is not None:
            missing = (*data.lacking, *missing_work(reader, data, required is None or not required.work))
            words = "What the work takes at the clutch, or the coil's current, is not known yet."
            draft.missing(reader, id, name, missing, words)
        return
    band = data.dynamic[state]
    verdict = STOP if data.fails else grade(likely=band.likely, bad=band.bad, limit=required.pull_in)
    empty = reader.get("clutch.engage_unloaded")
    words = " It is engaged unloaded: the work then takes its own friction only." if empty else ""
    if not empty and required.start < required.work:
        words = " The working load counts here, though the start takes less: it may come on before the clutch has "
        words += "locked. If it cannot, say that the work is empty while it is engaged (clutch.engage_unloaded)."
    most = clutch.times_si(data.most, factor=clutch.DYNAMIC)
    words += (
        f" This is with the coil hot; cold and with its faces run in it pulls {reader.show(most.likely, 'torque')} "
    )
    words += f"(up to {reader.show(most.good, 'torque')}), and belts and engine feel that."
    if data.gap is not None and data.gap.wide and verdict == GO:
        verdict, words = CAUTION, f"{words} Its gap is wider than usual: hot, it may not pull in at all."
    draft.check(
        id=id,
        name=name,
        found=torque_number(reader, band, "{} ({low} at the bad end)"),
        wanted=reader.number(required.pull_in, "torque", "{} or more"),
        verdict=verdict,
        reason="A slipping clutch pulls less than a locked one. Only the torque above that of the load speeds the work "
        f"up; where that is small the slip lasts without end and the clutch burns.{words}"
        f"{data.fails}",
        remedy=unless_go(verdict, larger(reader)),
        source="trade-practice; tribology-b7",
        guards=verdict == STOP,
    )


__all__ = ["SERVICE_SOURCE", "hold", "larger", "magnet", "missing_work", "pull", "service_factor"]
