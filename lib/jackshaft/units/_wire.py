"""Wire sizes by gauge."""

from __future__ import annotations

import math
import re
from typing import Any

import numpy as np

from ._constants import INCH
from ._range import OutOfRange

_GAUGE = re.compile(
    r"(?P<awg>AWG)?\s*(?P<mark>#|No\.?)?\s*(?P<size>[1-4]/0|0{1,4}|\d{1,2})"
    r"\s*-?\s*(?P<after>AWG|ga\.?|gauge)?(?:\s+wire)?",
    re.IGNORECASE,
)


def awg_area(size: Any) -> Any:
    """Copper area of an American wire gauge size.

    Parameters
    ----------
    size : int or array
        Gauge number; 0 for 1/0, -1 for 2/0, down to -3 for 4/0.

    Returns
    -------
    float or array
        Area [m²] of the solid round wire, of the shape of the gauge.

    Raises
    ------
    ValueError
        Outside 4/0 to 40.

    Source
    ------
    ASTM B258: diameter 0.005 in at 36, 39 equal ratios to 0.46 in at 4/0; from memory
    """
    if not np.all((-3 <= np.asarray(size)) & (np.asarray(size) <= 40)):
        raise OutOfRange("gauges run from 4/0 (-3) to 40")
    diameter = 0.005 * INCH * 92.0 ** ((36 - size) / 39.0)
    return math.pi / 4.0 * diameter * diameter


def gauge(text: str, labelled: bool) -> tuple[int | None, bool, str] | None:
    """Gauge number, whether it stood bare, and a note; None if the text is no gauge.

    The number is None where the text is a gauge that does not exist. A bare number is a gauge only in a
    field whose label says so.
    """
    m = _GAUGE.fullmatch(text)
    if m is None:
        return None
    bare = not (m["awg"] or m["mark"] or m["after"])
    if bare and not labelled:
        return None
    raw = m["size"]
    size = 1 - int(raw[0]) if "/" in raw else 1 - len(raw) if set(raw) == {"0"} else int(raw)
    marked = bool(m["awg"]) or (m["after"] or "").upper() == "AWG"
    note = "" if bare or marked else f"{text} read as {raw} AWG"
    return (size if size <= 40 else None), bare, note


_SIZES = tuple((awg_area(n), f"{1 - n}/0 AWG" if n < 1 else f"{n} AWG") for n in range(-3, 41))


def gauge_label(area: float, within: float = 1e-6) -> str:
    """The gauge that has this area [m²], or an empty text where none has it."""
    for size, label in _SIZES:
        if abs(area - size) <= within * size:
            return label
    return ""
