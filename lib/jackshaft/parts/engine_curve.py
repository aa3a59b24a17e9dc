"""What torque the engine has: its highest, and at each speed where points of its curve are known."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from jackshaft.parts.derating import power_left
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import at_least, at_most

#: A governor closes the throttle over this share of the speed it holds: common practice, no source.
GOVERNOR = 0.05
POINTS = "engine.torque_point"


@dataclass(frozen=True)
class Throttle:
    """The torque (N·m) of an engine at full throttle, at a shaft that turns ``1/over`` as fast, by that shaft's speed.

    ``left`` is the share that height and heat leave, ``power`` the most (W); ``peak`` the torque that counts where no
    curve is known, else ``speeds`` and ``torques`` are the points of it, at the engine.
    """

    over: float
    left: float
    power: float
    peak: float | None
    speeds: tuple[float, ...] = ()
    torques: tuple[float, ...] = ()

    def __call__(self, w):
        """Return the torque (N·m) at a speed (rad/s) of the shaft."""
        if self.speeds:
            full = np.interp(np.multiply(w, self.over), self.speeds, self.torques) * self.over
        else:
            full = np.full(np.shape(w), self.peak * self.over)
        return self.left * np.minimum(full, self.power / np.maximum(w, 1e-9))[()]


class Curve(NamedTuple):
    """Full-throttle torque (N·m) over the output shaft's speed (rad/s), speeds rising."""

    speeds: np.ndarray
    torques: np.ndarray

    def at(self, speed):
        """Return the torque at a speed (rad/s): straight between points, the end points held beyond them."""
        return np.interp(speed, self.speeds, self.torques)

    def covers(self, speed: float) -> bool:
        """Tell whether a speed (rad/s) lies between its end points."""
        return at_least(speed, self.speeds[0]) and at_most(speed, self.speeds[-1])


def engine_curve(reader: Reader) -> Curve | None:
    """Return the engine's torque by speed, or None where fewer than two whole points are known."""
    found = []
    for name in reader.names(POINTS):
        with suppress(Unknown):  # the missing half of a point is noted, the other points serve without it
            found.append(reader.require_si(f"{POINTS}[{name}].speed", f"{POINTS}[{name}].torque"))
    if len(found) < 2:
        return None
    speeds, torques = (np.array(column) for column in zip(*sorted(found), strict=True))
    return Curve(speeds, torques)


def engine_peak(reader: Reader) -> float | None:
    """Return the engine's highest torque (N·m): the plate's, else its curve's; None where unknown."""
    given = reader.si("engine.peak_torque")
    if given is not None:
        return given
    curve = engine_curve(reader)
    return None if curve is None else float(curve.torques.max())


def rated_torque(reader: Reader) -> float | None:
    """Return the torque (N·m) of the rated power at the rated speed; None where the plate is not known."""
    power, speed = reader.si("engine.rated_power"), reader.si("engine.rated_speed")
    return None if power is None or not speed else power / speed


def torque_at(reader: Reader, speed: float) -> tuple[float | None, float | None]:
    """Return the least and the most torque (N·m) at full throttle and a speed (rad/s) of the output shaft.

    The power is nowhere above the plate's, and the torque nowhere above the highest. Where no curve covers the speed
    an engine has its rated torque at least, from its rated speed down, above that speed what the governor leaves of it,
    and no more than the curve's end point. None where an end is not known. Height and heat take their part of all of
    it: the least is that of the bad end.
    """
    least, most = _on_the_plate(reader, speed)
    left = power_left(reader)
    return None if least is None else left.bad * least, None if most is None else left.likely * most


def _on_the_plate(reader: Reader, speed: float) -> tuple[float | None, float | None]:
    """Return what :func:`torque_at` does, as the plate has it."""
    curve, power, rated = engine_curve(reader), reader.si("engine.rated_power"), reader.si("engine.rated_speed")
    caps = [] if power is None else [power / speed]
    held = [] if curve is None else [float(curve.at(speed))]
    if curve is not None and curve.covers(speed):
        return (min(held + caps),) * 2
    peak = reader.si("engine.peak_torque")
    caps += [] if peak is None else [peak]
    least = None if power is None or not rated else min(*caps, *held, _droop(reader, speed, rated) * power / rated)
    return least, min(caps, default=None)


def _droop(reader: Reader, speed: float, rated: float) -> float:
    """Return the share of its rated torque that a governor leaves an engine above its rated speed, straight to none."""
    none = max(reader.si("engine.full_speed", 0.0), (1.0 + GOVERNOR) * rated)
    return min(max((none - speed) / (none - rated), 0.0), 1.0)


def full_throttle(reader: Reader, over: float, *, low: bool = False):
    """Return the engine's torque at a shaft that turns ``1/over`` as fast, as a function of that shaft's speed.

    It is nowhere more than the plate's power gives. Also returns the lowest speed (rad/s, at that shaft) that the
    curve has a point for: 0 where the highest torque is taken at every speed. None where no torque is known. Height and
    heat take their likely part, or with ``low`` that of the bad end.
    """
    left = power_left(reader).bad if low else power_left(reader).likely
    curve, peak, power = engine_curve(reader), reader.si("engine.peak_torque"), reader.si("engine.rated_power", np.inf)
    if curve is None and peak is None:
        return None
    if curve is None:
        return Throttle(over, left, power, peak), 0.0
    points = (tuple(float(v) for v in column) for column in curve)
    return Throttle(over, left, power, peak, *points), float(curve.speeds[0]) / over


__all__ = [
    "Curve",
    "GOVERNOR",
    "POINTS",
    "engine_curve",
    "engine_peak",
    "full_throttle",
    "rated_torque",
    "torque_at",
]
