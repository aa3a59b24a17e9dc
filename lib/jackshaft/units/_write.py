"""Quantities for the build file: ``write`` and ``measure``."""

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
