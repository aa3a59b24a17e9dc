"""Numbers of the drive ratio to work by hand: a belt stage, a toothed stage, the engine's torque."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.buildfile.naming import named
from jackshaft.chapters.ratio.data import RatioData, StageRatio
from jackshaft.chapters.ratio.stages import default
from jackshaft.results.by_hand import Worked, worked
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.units import NotKnown

TOOTHED = ("roller chain", "gear")


def belt(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The ratio of the first belt stage, from its pitch diameters."""
    data: RatioData | None = found["ratio"].data
    stage: StageRatio | None = next((s for s in data.stages if s.pulleys is not None), None) if data else None
    if stage is None:
        return NotKnown("No belt stage of this build is known well enough to work it by hand.")
    p, at = stage.pulleys, f"stage[{stage.name}]"
    return worked(
        f"{named('Belt stage', stage.name)}, pitch diameters",
        reader.system,
        takes={
            "driver": (2 * p.pitch[p.driver], "length"),
            "driven": (2 * p.pitch[p.driven], "length"),
            "creep": (default("creep and slip", at, reader, "creep"), "number"),
        },
        says={"ratio": (stage.ratio, "number")},
        call="belt_ratio({driver}, driven={driven}, creep={creep})",
    )


def teeth(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The ratio of the first stage with teeth."""
    data: RatioData | None = found["ratio"].data
    mine = [s for s in data.stages if reader.get(f"stage[{s.name}].kind") in TOOTHED] if data else []
    if not mine:
        return NotKnown("No stage of this build has sprockets or gears whose teeth are known.")
    at = f"stage[{mine[0].name}]"
    return worked(
        f"{named('Stage', mine[0].name)}, teeth",
        reader.system,
        takes={"driver": reader.get(f"{at}.driver_teeth"), "driven": reader.get(f"{at}.driven_teeth")},
        says={"ratio": (mine[0].ratio, "number")},
        call="tooth_ratio({driver}, driven={driven})",
    )


def torque(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The torque of the first shaft whose power and speed are known."""
    data: RatioData | None = found["ratio"].data
    shaft = next((s for s in data.shafts if s.torque is not None), None) if data else None
    if shaft is None:
        return NotKnown("The power and the speed of no shaft of this build are known yet.")
    return worked(
        f"{named('Shaft', shaft.name)} at work",
        reader.system,
        takes={"power": (shaft.power, "power"), "speed": (shaft.work, "rotation")},
        says={"torque": (shaft.torque, "torque")},
        call="torque_from_power({power}, speed={speed})",
    )


EXAMPLES = {"belt": belt, "teeth": teeth, "torque": torque}

__all__ = ["EXAMPLES"]
