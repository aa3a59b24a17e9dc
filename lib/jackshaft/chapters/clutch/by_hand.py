"""Numbers of the clutch to work by hand: the inertia from a run-down test, reflected to the clutch."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.clutch.data import ClutchData
from jackshaft.parts.turning import tested
from jackshaft.parts.works import work_shafts
from jackshaft.results.by_hand import Worked, worked
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.units import NotKnown


def run_down(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The inertia of the work from its run-down, and the same at the clutch's shaft."""
    data: ClutchData | None = found["clutch"].data
    engaged, ratio = (data.engagement if data else None), found["ratio"].data
    if engaged is None or ratio is None or not tested(reader):
        return NotKnown("This build has no run-down test that the clutch chapter works with.")
    shafts = work_shafts(reader)
    if len(shafts) > 1:
        return NotKnown("Several shafts carry the work of this build, so one reflected inertia does not tell it.")
    load, own = ratio.shaft(shafts[0] if shafts else data.shaft), ratio.shaft(data.shaft)
    return worked(
        "Run-down of the work, clutch off",
        reader.system,
        takes={
            "speed": (reader.si("work.run_down_speed"), "rotation"),
            "time": (reader.si("work.run_down_time"), "time"),
            "drag": (reader.si("work.run_down_drag"), "torque"),
            "load_speed": (load.work if load else None, "rotation"),
            "clutch_speed": (own.work if own else None, "rotation"),
        },
        says={"inertia": (engaged.inertia, "inertia")},
        call="reflect_inertia(run_down_inertia({speed}, time={time}, drag={drag}), "
        "load_speed={load_speed}, clutch_speed={clutch_speed})",
    )


EXAMPLES = {"run_down": run_down}

__all__ = ["EXAMPLES"]
