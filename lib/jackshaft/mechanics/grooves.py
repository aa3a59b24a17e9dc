"""Turning a V groove and measuring it: over two rods, how far its angle is set, how true the rim must run."""

from __future__ import annotations

import math
from typing import NamedTuple

from jackshaft.units import INCH, OutOfRange, above_zero, unit_checked

#: Run-out of a pulley: 0.010 in at the rim up to 10 in, 0.0005 in for each inch more; 0.001 in of wobble for each inch.
#: rma-ip20, table 9 notes, from memory.
RIM, RIM_MORE, RIM_TO, WOBBLE, WOBBLE_TO = 0.010 * INCH, 0.0005, 10.0 * INCH, 0.001, 20.0 * INCH


class OverRods(NamedTuple):
    """What calipers read over two rods, m; how far a rod stands out of the rim; how deep below the rim it touches."""

    over: float
    stands: float
    touches: float


class RunOut(NamedTuple):
    """How far the rim may run out, and the side wobble, full reading of a dial, m; ``wobble`` None past its rule."""

    rim: float
    wobble: float | None


def past_apexes_si(rod: float, one: float, other: float) -> float:
    """Return how much farther than two opposite apexes the outsides of two rods are, m.

    Parameters
    ----------
    rod : float
        Diameter of each rod, m.
    one, other : float
        Angle of each flank to the plane of the pulley, rad; alike in a groove that stands straight.

    Returns
    -------
    float
        m.

    Source
    ------
    mh31, p. 703 (groove over two pins)
    """
    return rod * (math.cos((one - other) / 2) / math.sin((one + other) / 2) + 1)


@unit_checked(
    outside="length",
    top_width="length",
    angle="angle",
    rod="length",
    returns={"over": "length", "stands": "length", "touches": "length"},
)
def over_rods(outside, *, top_width, angle, rod) -> OverRods:
    """Measure over two equal rods that lie opposite each other in a V groove.

    Parameters
    ----------
    outside : length
        Diameter at which ``top_width`` is taken: the rim before its edges are broken, m.
    top_width : length
        Width of the groove there, m.
    angle : angle
        Whole angle of the groove, rad.
    rod : length
        Diameter of each rod, m.

    Returns
    -------
    OverRods

    Raises
    ------
    ValueError
        If a value is not above zero, the angle is a half turn or more, or the rod lies on the edges of the rim.

    Source
    ------
    mh31, p. 703 (groove over two pins); the apex from the width by own-derivation
    """
    above_zero(outside=outside, top_width=top_width, angle=angle, rod=rod)
    if angle >= math.pi:
        raise OutOfRange("the angle of a groove must be below 180 deg")
    half = angle / 2
    if rod * math.cos(half) > top_width:
        raise OutOfRange(
            f"a rod of {rod * 1e3:.4g} mm lies on the edges of a groove {top_width * 1e3:.4g} mm wide; take one of at "
            f"most {top_width / math.cos(half) * 1e3:.4g} mm"
        )
    over = outside - top_width / math.tan(half) + past_apexes_si(rod, half, half)
    touches = (top_width - rod * math.cos(half)) / (2 * math.tan(half))
    return OverRods(over, (over - outside) / 2, touches)


def run_out_si(outside: float) -> RunOut:
    """Return how far a turned pulley may run out.

    Parameters
    ----------
    outside : float
        Diameter of the rim, m.

    Returns
    -------
    RunOut

    Source
    ------
    rma-ip20, table 9 notes (from memory)
    """
    return RunOut(
        RIM + RIM_MORE * max(0.0, outside - RIM_TO),
        WOBBLE * outside if outside <= WOBBLE_TO else None,
    )


__all__ = ["OverRods", "RunOut", "over_rods", "past_apexes_si", "run_out_si"]
