"""Quantities for the build file: ``write``, ``write_nominal`` and ``measure``."""

from __future__ import annotations

import math

from ._constants import INCH
from ._kinds import kind_of
from ._measure import Measure
from ._reader import read
from ._show import RUNGS, check_system, join, show
from ._wire import gauge_label


def _plain(x: float) -> str:
    """Ten significant digits, written out, without trailing zeros."""
    text = f"{x:.10g}"
    if "e" in text:
        places = max(0, 9 - int(text.rpartition("e")[2]))
        text = f"{float(text):.{min(places, 30)}f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def write(si: float, kind: str, system: str) -> str:
    """A quantity for a build file: one unit of the build's system and enough digits to read back the same.

    Parameters
    ----------
    si : float
        Value in the SI unit of its kind. Scalar, finite.
    kind : str
        Name of the kind.
    system : str
        "inch" or "metric".

    Returns
    -------
    str
        Such as "1.375 in"; reads back to ten significant digits.

    Raises
    ------
    ValueError
        For an unknown kind or system, or a value that is not finite.

    Source
    ------
    common practice, no source
    """
    si = float(si)
    k = kind_of(kind)
    check_system(system)
    if not math.isfinite(si):
        raise ValueError(f"{si} cannot be written as {k.words}")
    if kind == "length":
        return f"{_plain(si / INCH)} in" if system == "inch" else f"{_plain(si / 1e-3)} mm"
    if kind == "wire" and system == "inch":
        label = gauge_label(si, within=1e-10)
        if label:
            return label
    rung = next(r for r in RUNGS[kind, system] if abs(si) >= r.start)
    return join(_plain((si - rung.offset) / rung.factor), rung.label)


#: How fine a nominal size is given: 1/64 in or a thousandth of an inch, a tenth of a millimetre.
_NOMINAL = {"inch": (INCH / 64, 1e-3 * INCH), "metric": (1e-4,)}


def write_nominal(si: float, system: str) -> str:
    """A length that is bought or made to a nominal size, in the units in which that size is round.

    Parameters
    ----------
    si : float
        m. Scalar, finite.
    system : str
        "inch" or "metric": the units that go before where it is round in both, or in neither.

    Returns
    -------
    str
        Such as "106 mm" for a metric pulley in an inch build; where it is round in neither, to a thousandth of an
        inch or a hundredth of a millimetre.

    Raises
    ------
    ValueError
        For an unknown system, or a value that is not finite.

    Source
    ------
    common practice, no source
    """
    check_system(system)
    for units in (system, *(u for u in _NOMINAL if u != system)):
        if any(abs(si / step - round(si / step)) * step < 1e-8 for step in _NOMINAL[units]):
            return write(si, "length", units)
    step = 1e-3 * INCH if system == "inch" else 1e-5
    return write(round(si / step) * step, "length", system)


def measure(
    si: float, kind: str, *, text: str | None = None, system: str = "inch", known: str | None = None, note: str = ""
) -> Measure:
    """A Measure made from a computed value, with a text that reads back to it.

    Parameters
    ----------
    si : float
        Value in the SI unit of its kind. Scalar, finite.
    kind : str
        Name of the kind.
    text : str, optional
        The text to keep; it must read as this value within half a per cent.
    system : str
        Units of the text made where none is given.
    known : str, optional
        How the value is known.
    note : str
        What to say beside it.

    Returns
    -------
    Measure
        The value with its text.

    Raises
    ------
    ValueError
        If the text says something else.

    Source
    ------
    common practice, no source
    """
    si = float(si)
    if text is None:
        return Measure(si, kind, write(si, kind, system), None, known, note)
    got = read(text, kind, system=system)
    if abs(got.si - si) > 0.005 * abs(si) + 1e-12:
        raise ValueError(f"{text!r} reads as {show(got.si, kind, system)}, not {show(si, kind, system)}")
    return Measure(si, kind, text, got.plus_minus, known, note or got.note)
