"""Verdicts on the clutch's torque: does it hold the work, does it pull it up."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.clutch.data import ClutchData, hot_state, torque_number
from jackshaft.results.checks import CAUTION, GO, grade, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_least


def hold(draft: Draft, reader: Reader, data: ClutchData) -> None:
    """Add the verdict on what the clutch holds with its coil hot."""
    id, name = "clutch.hold", "holding, coil hot"
    state, need = hot_state(data), data.required
    if state is None or need is None or need.hold == 0.0:
        missing = [] if data.used is not None else ["clutch.static_torque"]
        missing += list(data.electric is None and ("clutch.coil_resistance",) or ())
        missing += ["work.power"] if need is None or need.hold == 0.0 else []
        reader.note_missing(*missing)
        draft.checks.append(
            undecided(
                id,
                name,
                tuple(dict.fromkeys(missing)) or ("circuit.running_voltage",),
                "The torque of the clutch, its current or what it must hold is not known yet. A slip test with lever "
                "and scale gives the torque of a clutch without a plate.",
                limit="" if need is None else reader.number(need.hold, "torque"),
            )
        )
        return
    band = data.static[state]
    verdict = grade(likely=band.likely, bad=band.bad, limit=need.hold)
    rule, words = _rule(reader)
    share = band.likely / need.work if need.work else np.inf
    if verdict == GO and not at_least(share, rule):
        verdict = CAUTION
    cure = (
        "Raise the voltage that reaches the coil, put the clutch on a faster shaft, where the torque is smaller, or "
        "use a larger clutch."
    )
    draft.check(
        id,
        name,
        torque_number(reader, band, "{} ({low} at the bad end)"),
        reader.number(need.hold, "torque", "{} or more"),
        verdict,
        f"{state[0].upper()}{state[1:]}: {reader.show(data.electric.amps(state), 'current')} in the coil against "
        f"{reader.show(data.used.amps, 'current')} where the torque is known; the square of their ratio is the bad end."
        + (f" That is {share:.1f} × the working torque; {words} wants {rule:g} ×." if need.work else ""),
        "" if verdict == GO else cure,
        "trade-practice; textbook-practice",
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
    state, need = hot_state(data), data.required
    if state is None or need is None or not need.work:
        if data.used is not None:
            missing = tuple(k for k in ("work.power", "work.power_at", "engine.work_speed") if reader.get(k) is None)
            draft.checks.append(
                undecided(
                    id,
                    name,
                    missing or ("clutch.coil_resistance",),
                    "What the work takes at the clutch, or the coil's current, is not known yet.",
                )
            )
        return
    band = data.dynamic[state]
    verdict = grade(likely=band.likely, bad=band.bad, limit=need.pull_in)
    draft.check(
        id,
        name,
        torque_number(reader, band, "{} ({low} at the bad end)"),
        reader.number(need.pull_in, "torque", "{} or more"),
        verdict,
        "A slipping clutch pulls less than a locked one. What is left over the load's own torque speeds the work up; "
        "near it the slip lasts without end and the clutch burns.",
        ""
        if verdict == GO
        else "Engage with the work unloaded and at a lower speed, raise the voltage at the coil, "
        "or use a larger clutch.",
        "trade-practice; tribology-b7",
    )


__all__ = ["hold", "pull"]
