"""What height and heat leave of the power on an engine's plate, where the build says where it works."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft import tables
from jackshaft.mechanics.derating import Rule, power_share_si
from jackshaft.results.reader import Reader
from jackshaft.units import ZERO_C

HEIGHT, AIR = "engine.site_height", "engine.site_air"
PETROL = "petrol engine"


class Left(NamedTuple):
    """Share of its plate's power that an engine or motor has, likely and at the bad end, and how it is known."""

    likely: float = 1.0
    bad: float = 1.0
    source: str = ""


def power_left(reader: Reader) -> Left:
    """Return what height and heat leave; all of it where the build says neither.

    Half of the pair counts alone. An engine of no kind is taken as a petrol engine.

    Raises
    ------
    OutOfRange
        Beyond the range of the rules.
    """
    height, air = reader.si(HEIGHT), reader.si(AIR)
    if height is None and air is None:
        return Left()
    rows = tables.table("derating").where(engine=reader.get("engine.kind") or PETROL).rows
    rules = (
        Rule(
            r["height_from_m"],
            r["height_step_m"],
            r["height_loss"],
            r["air_from_c"] + ZERO_C,
            r["air_step_k"],
            r["air_loss"],
        )
        for r in sorted(rows, key=lambda r: r["rule"])
    )
    shares = [float(power_share_si(height or 0.0, air=ZERO_C if air is None else air, rule=rule)) for rule in rules]
    return Left(shares[0], min(shares), rows[0].cite)


__all__ = ["AIR", "HEIGHT", "Left", "power_left"]
