"""Standard sizes that calipers take for one another: 25 mm and 1 in, 16 mm and 5/8 in, 35 mm and 1-3/8 in."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ._constants import INCH
from ._lengths import fraction


@dataclass(frozen=True, slots=True)
class NearSize:
    """A standard size close to a length.

    Parameters
    ----------
    text : str
        The size as it is called.
    si : float
        The size [m].
    system : str
        "inch" or "metric".
    off : float
        The size less the length [m].
    """

    text: str
    si: float
    system: str
    off: float


_MM_SIZES = (
    *range(3, 13),
    14,
    15,
    16,
    17,
    18,
    19,
    20,
    22,
    24,
    25,
    26,
    28,
    30,
    32,
    35,
    38,
    40,
    42,
    45,
    47,
    48,
    50,
    52,
    55,
    60,
    62,
    65,
    70,
    72,
    75,
    80,
    85,
    90,
    95,
    100,
    105,
    110,
    115,
    120,
)


def near_inch_metric(si: float, within: float = 0.5e-3) -> list[NearSize]:
    """Standard inch and metric sizes close to a length, nearest first.

    Parameters
    ----------
    si : float
        Length [m]. Scalar.
    within : float
        How close [m]. Scalar.

    Returns
    -------
    list of NearSize
        Inch sizes by sixteenths from 1/8 in to 5 in, millimetres as shafts, bores and bearing bodies have
        them. Empty where nothing is close. A caller that shows a metric build keeps the metric ones only.

    Raises
    ------
    ValueError
        If the length is not finite.

    Source
    ------
    common practice, no source
    """
    if not math.isfinite(si):
        raise ValueError("a length that is not finite has no neighbours")
    found = [NearSize(f"{mm} mm", mm * 1e-3, "metric", mm * 1e-3 - si) for mm in _MM_SIZES]
    low, high = (math.floor((si - within) / INCH * 16), math.ceil((si + within) / INCH * 16))
    for n in range(max(2, low), min(80, high) + 1):
        size = n * INCH / 16
        found.append(NearSize(fraction(size), size, "inch", size - si))
    return sorted((s for s in found if abs(s.off) <= within * (1.0 + 1e-9)), key=lambda s: abs(s.off))
