"""Lists of pulley sizes as they are written in a shop: one by one, or from, to and by."""

from __future__ import annotations

import re

import numpy as np
from jackshaft import units

#: A list of more sizes than this is a slip of the pen.
MOST = 200

_RANGE = re.compile(r"(.+?)\s+to\s+(.+?)\s+by\s+(.+)")


class SizesError(ValueError):
    """A list of sizes that cannot be read; the words say which part and what is wanted."""


def read_sizes(text: str, system: str) -> np.ndarray:
    """Read a list of sizes.

    Parameters
    ----------
    text : str
        Such as "3 in, 4 in, 4-1/2 in" or "100 mm to 140 mm by 5 mm; 160 mm". Parts are parted by semicolons
        or by commas with a space behind them; a size without a unit takes that of the next one that has it.
    system : str
        "inch" or "metric": the units of the build.

    Returns
    -------
    array, shape (k,)
        m, in the order written; a size written twice stands twice.

    Raises
    ------
    SizesError
        If a part cannot be read, a size is not above nought, or the list is too long.

    Source
    ------
    own-derivation, by definition
    """
    found: list[float] = []
    for part in (p.strip() for p in re.split(r";|,(?=\s)|\n", text)):
        if not part:
            continue
        whole = _RANGE.fullmatch(part)
        if whole is None:
            found.append(_length(part, _unit_behind(text, part), system))
            continue
        unit = _unit_behind(text, part)
        low, high, step = (_length(w, unit, system) for w in whole.groups())
        if not (step > 0.0 and high >= low):
            raise SizesError(
                f"'{part}' does not rise: wanted smallest to largest by a step, such as 4 in to 6 in by 1/4 in"
            )
        count = int(np.floor((high - low) / step + 1e-6)) + 1
        if count > MOST:
            raise SizesError(f"'{part}' is {count} sizes: wanted {MOST} at most, so take a larger step")
        found += [low + step * k for k in range(count)]
    if len(found) > MOST:
        raise SizesError(f"{len(found)} sizes are more than the {MOST} that are tried")
    return np.array(found)


def distinct(sizes: np.ndarray) -> np.ndarray:
    """Give each size once, smallest first; 4 in and 101.6 mm are one.

    Parameters
    ----------
    sizes : array, shape (n,)
        m.

    Returns
    -------
    array, shape (k,)
        m.

    Source
    ------
    own-derivation, by definition
    """
    ordered = np.sort(np.asarray(sizes, dtype=float))
    return ordered[np.diff(ordered, prepend=-np.inf) > 1e-9]


def _unit_behind(text: str, part: str) -> str | None:
    """Return the first unit that stands in or behind a part of the text."""
    hit = re.search(r"(in|mm|cm|ft|\")(?![a-z])", text[text.index(part) :])
    return hit[1] if hit else None


def _length(text: str, unit: str | None, system: str) -> float:
    try:
        value = units.read(text, "length", system=system, unit=unit).si
    except units.UnitTextError as error:
        raise SizesError(str(error)) from None
    if not value > 0.0:
        raise SizesError(f"'{text}' is no size: wanted more than nothing")
    return value
