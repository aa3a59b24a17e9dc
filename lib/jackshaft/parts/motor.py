"""What torque an electric motor has: at standstill, on its way up, and where it pulls out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from jackshaft import tables
from jackshaft.parts.engine_curve import engine_curve, engine_peak, rated_torque
from jackshaft.results.reader import Reader

MOTOR, STARTS_BY = "electric motor", "engine.starts_by"
#: Shares of its rated speed at which an induction motor pulls out, and below which it has no more than at its weakest
#: on the way up, where the switch of a start winding opens: common practice, no source.
PULLS_OUT, ON_ITS_WAY = 0.8, 0.75


class Torques(NamedTuple):
    """Least and highest torque, N·m, of a motor at standstill, at its weakest on the way up, and at pull-out.

    None where it is not known; ``usual`` names those that are the usual ones of the motor's kind, by what it starts
    by, ``kinds`` the kinds that it may be of.
    """

    starting: tuple[float, float] | None
    pull_up: tuple[float, float] | None
    pull_out: tuple[float, float] | None
    usual: tuple[str, ...]
    kinds: tuple[str, ...]

    @property
    def most(self) -> tuple[float, float] | None:
        """The highest torque that it has at any speed: a motor that is stopped dead has passed through all of them."""
        if self.starting is None or self.pull_out is None:
            return None
        return max(self.starting[0], self.pull_out[0]), max(self.starting[1], self.pull_out[1])


def is_motor(reader: Reader) -> bool:
    """Tell whether the engine is an electric motor."""
    return reader.get("engine.kind") == MOTOR


def source_word(reader: Reader) -> str:
    """Return what drives the first shaft, in a word."""
    return "motor" if is_motor(reader) else "engine"


def motor_torques(reader: Reader) -> Torques:
    """Return what a motor's plate says, else the usual torques of its kind, or of all kinds that it may be of."""
    rated, rows, curve = rated_torque(reader), _rows(reader), engine_curve(reader)
    found, usual = {}, []
    for name, key in (
        ("starting", "engine.start_torque"),
        ("pull_up", "engine.pull_up_torque"),
        ("pull_out", "engine.peak_torque"),
    ):
        given = reader.get(key)
        off = 0.0 if given is None else given.plus_minus or 0.0
        found[name] = None if given is None else (given.si - off, given.si + off)
        if given is None and name == "pull_out" and curve is not None:
            found[name] = 2 * (float(curve.torques.max()),)
        if found[name] is None and rated is not None:
            usual.append(name)
            found[name] = min(r[f"{name}_low"] for r in rows) * rated, max(r[f"{name}_high"] for r in rows) * rated
    return Torques(**found, usual=tuple(usual), kinds=tuple(r["motor"] for r in rows))


def _rows(reader: Reader) -> list:
    """Return the rows of the kinds that the motor may be of."""
    rows, by, phases = tables.table("motor_torques").rows, reader.get(STARTS_BY), reader.get("engine.phases")
    if by is not None:
        return [r for r in rows if r["motor"] == by]
    return [r for r in rows if r["phases"] == phases] or list(rows)


def kind_lacks(reader: Reader) -> tuple[str, ...]:
    """Return the key without which the kind of a motor is not known."""
    if len(_rows(reader)) == 1:
        return ()
    return (STARTS_BY,) if reader.get("engine.phases") is not None else ("engine.phases",)


def pull_out(reader: Reader) -> tuple[float, float] | None:
    """Return the ends of the torque (N·m) at which an electric motor pulls out: its own, else the usual band of it."""
    return motor_torques(reader).pull_out


@dataclass(frozen=True)
class Pull:
    """A motor's torque (N·m) by the speed (rad/s) of a shaft: straight between points, the end points held."""

    speeds: tuple[float, ...]
    torques: tuple[float, ...]

    def __call__(self, w):
        """Return the torque (N·m) at a speed (rad/s)."""
        return np.interp(w, self.speeds, self.torques)


def motor_curve(reader: Reader, over: float, *, low: bool = False) -> Pull | None:
    """Return a motor's torque at a shaft that turns ``1/over`` as fast, as a function of that shaft's speed.

    Down to where it pulls out it is its pull-out torque, below that its weakest on the way up: each in the middle of
    its band, or at its ``low`` end. None where one of them is not known.
    """
    has, speed = motor_torques(reader), reader.si("engine.rated_speed")
    if has.pull_up is None or has.pull_out is None or not speed:
        return None
    torques = tuple(over * (band[0] if low else float(np.mean(band))) for band in (has.pull_up, has.pull_out))
    return Pull(tuple(share * speed / over for share in (ON_ITS_WAY, PULLS_OUT)), torques)


def most_torque(reader: Reader) -> tuple[float, float] | None:
    """Return the ends of the highest torque (N·m) of an engine or a motor on its way to a stop; None where unknown."""
    if is_motor(reader):
        return motor_torques(reader).most
    peak = engine_peak(reader)
    return None if peak is None else (peak, peak)


__all__ = [
    "PULLS_OUT",
    "STARTS_BY",
    "Torques",
    "is_motor",
    "kind_lacks",
    "most_torque",
    "motor_curve",
    "motor_torques",
    "pull_out",
]
