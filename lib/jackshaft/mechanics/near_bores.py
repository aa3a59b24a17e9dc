"""Bores of the inch and of the metric system that are easily mistaken for each other."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft.units import INCH, OutOfRange, fraction, unit_checked

SIXTEENTH = INCH / 16


class NearMiss(NamedTuple):
    """A bore of the other system that is easily taken for this one.

    Parameters
    ----------
    name : str
        "30 mm" or "1-3/16 in".
    bore : float
        m.
    off : float
        Near miss minus the bore asked about, m.
    """

    name: str
    bore: float
    off: float


#: Kinds of its fields.
NEAR_MISS = {"bore": "length", "off": "length"}


@unit_checked(bore="length", within="length", returns=NEAR_MISS)
def near_misses(bore, *, within=0.5e-3) -> tuple[NearMiss, ...]:
    """Bores of the other system near a bore.

    Parameters
    ----------
    bore : float
        m.
    within : float
        How far to look, m.

    Returns
    -------
    tuple of NearMiss
        Nearest first; sixteenths of an inch against whole millimetres, the bore itself left out.

    Raises
    ------
    ValueError
        If the bore is not positive.

    Source
    ------
    Arithmetic: bores are made in whole millimetres or in sixteenths of an inch.
    """
    if not bore > 0:
        raise OutOfRange("a bore is larger than zero")
    near = int(round(bore / SIXTEENTH))
    found = [(fraction(n * SIXTEENTH), n * SIXTEENTH) for n in (near - 1, near, near + 1) if n > 0]
    whole = int(round(bore * 1e3))
    found += [(f"{n} mm", n * 1e-3) for n in (whole - 1, whole, whole + 1) if n > 0]
    misses = [NearMiss(name, size, size - bore) for name, size in found if 1e-7 < abs(size - bore) <= within]
    return tuple(sorted(misses, key=lambda m: abs(m.off)))
