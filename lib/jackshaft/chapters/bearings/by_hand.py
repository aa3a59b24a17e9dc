"""Numbers of the bearings to work by hand: a rating life, and the limits of a seat."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.bearings.data import BearingsData
from jackshaft.mechanics import bearing_limits
from jackshaft.results.by_hand import Worked, worked
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.units import NotKnown


def life(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The rating life of the first bearing whose size, load and speed are known."""
    data: BearingsData | None = found["bearings"].data
    one = next((v for v in data.lives.values() if v.life is not None), None) if data else None
    if one is None:
        return NotKnown("Size, load and speed of no bearing of this build are all known yet.")
    reliability = reader.si(f"bearing[{one.name}].reliability") or 0.9
    return worked(
        f"Bearing {one.name}",
        reader.system,
        takes={
            "dynamic": (one.rating.dynamic, "force"),
            "load": (one.load, "force"),
            "speed": (one.speed, "rotation"),
            "shock": float(one.shock),
            "a1": float(bearing_limits.reliability_factor(100 * reliability)),
        },
        says={"hours": (one.hours, "time", "hour")},
        call="bearing_life({dynamic}, {load}, {speed}, shock={shock}).hours * {a1}",
    )


def seat(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The limits of the shaft seat of the first bearing that has a fit."""
    data: BearingsData | None = found["bearings"].data
    one = next((s for s in data.seats.values() if s.advice is not None), None) if data else None
    if one is None:
        return NotKnown("No bearing of this build is known well enough to choose its fit.")
    bore = data.identity[one.name].size.bore
    return worked(
        f"Shaft seat of bearing {one.name}",
        reader.system,
        takes={"nominal": f"{1e3 * bore:.6g} mm", "fit_class": one.advice.shaft_class},
        says={
            "lower_deviation": (one.shaft.lower_deviation, "length"),
            "upper_deviation": (one.shaft.upper_deviation, "length"),
        },
        call="fit_limits({nominal}, {fit_class})",
    )


EXAMPLES = {"life": life, "seat": seat}
