"""Verdicts on the clutch's torque: does it hold the work, does it pull it up."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.clutch.data import ClutchData, torque_number
from jackshaft.chapters.electric.words import sentence, unless_go
from jackshaft.results.checks import CAUTION, GO, grade, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_least


def hold(draft: Draft, reader: Reader, data: ClutchData) -> None:
    """Add the verdict on what the clutch holds with its coil hot."""
    id, name = "clutch.hold", "holding, coil hot"
    state, required = data.hot, data.required
    if state is None or required is None or required.hold == 0.0:
        missing = {
            "clutch.static_torque": data.used is None,
            "clutch.coil_resistance": data.electric is None,
            "work.power": required is None or required.hold == 0.0,
        }
        words = (
            "The torque of the clutch, its current or what it must hold is not known yet. A slip test with lever and "
        )
        words += "scale gives the torque of a clutch without a plate."
        limit = reader.cell(required and required.hold, "torque")
        draft.lacks(reader, id, name, [key for key, is_missing in missing.items() if is_missing], words, limit=limit)
        return
    band = data.static[state]
    verdict = grade(likely=band.likely, bad=band.bad, limit=required.hold)
    rule, words = _rule(reader)
    share = band.likely / required.work if required.work else np.inf
    if verdict == GO and not at_least(share, rule):
        verdict = CAUTION
    known, here = (reader.show(amps, "current") for amps in (data.used.amps, data.electric.amps(state)))
    share_words = f" That is {share:.1f} × the working torque; {words} needs {rule:g} ×." if required.work else ""
    draft.check(
        id=id,
        name=name,
        found=torque_number(reader, band, "{} ({low} at the bad end)"),
        wanted=reader.number(required.hold, "torque", "{} or more"),
        verdict=verdict,
        reason=f"{sentence(state)}: {here} in the coil, {known} where the torque is known. At the bad end the torque "
        f"goes with the square of the current.{share_words}",
        remedy=unless_go(
            verdict,
            "Raise the voltage that reaches the coil, put the clutch on a faster shaft, where the torque is smaller, "
            "or use a larger clutch.",
        ),
        source="trade-practice; textbook-practice",
    )


def _rule(reader: Reader) -> tuple[float, str]:
    """Return the usual least ratio of static to working torque, and for what."""
    rough = reader.get("work.load_class") in ("medium shock", "heavy shock") or reader.get("engine.cylinders") == 1
    item = "service factor, shock or single cylinder" if rough else "service factor, smooth load"
    row = tables.table("clutch_facts").one(part="torque", item=item)
    return row["low"], "a rough load or a single cylinder" if rough else "a smooth load"


def pull(draft: Draft, reader: Reader, data: ClutchData) -> None:
    """Add the verdict on whether the slipping clutch pulls the work up."""
    id, name = "clutch.pull-in", "pulling the work up, coil hot"
    state, required = data.hot, data.required
    if state is None or required is None or not required.work:
        if data.used is not None:
            missing = tuple(k for k in ("work.power", "work.power_at", "engine.work_speed") if reader.get(k) is None)
            words = "What the work takes at the clutch, or the coil's current, is not known yet."
            draft.checks.append(undecided(id, name, missing or ("clutch.coil_resistance",), words))
        return
    band = data.dynamic[state]
    verdict = grade(likely=band.likely, bad=band.bad, limit=required.pull_in)
    draft.check(
        id=id,
        name=name,
        found=torque_number(reader, band, "{} ({low} at the bad end)"),
        wanted=reader.number(required.pull_in, "torque", "{} or more"),
        verdict=verdict,
        reason="A slipping clutch pulls less than a locked one. Only the torque above that of the load speeds the work "
        "up; where that is small the slip lasts without end and the clutch burns.",
        remedy=unless_go(
            verdict,
            "Engage with the work unloaded and at a lower speed, raise the voltage at the coil, or use a larger "
            "clutch.",
        ),
        source="trade-practice; tribology-b7",
    )


__all__ = ["hold", "pull"]
