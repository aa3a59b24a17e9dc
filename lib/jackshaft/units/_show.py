"""Quantities as text: for the eye (``show``, ``both``, ``fraction``) and for the file (``write``, ``measure``)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from ._kinds import KINDS, canon, find_unit, kind_of
from ._reader import Measure, awg_area, read

INCH = 0.0254
# For each kind and system: units from the smallest up, each from the magnitude (in that unit) it starts at;
# then significant digits, and most decimals from one up.  From memory of what the instruments read.
_LADDERS: dict[str, tuple[str, str, int, int]] = {
    # kind: (inch ladder, metric ladder, significant digits, most decimals)
    "rotation": ("rpm", "r/min", 3, 2),
    "surface speed": ("ft/min", "m/s", 3, 2),
    "force": ("lbf", "N, 10 kN", 3, 1),
    "torque": ("lbf·in, 1 lbf·ft", "N·m", 3, 2),
    "energy": ("ft·lbf", "J, 1 kJ", 3, 1),
    "power": ("W, 0.1 hp", "W, 0.1 kW", 3, 2),
    "current": ("mA, 0.1 A", "mA, 0.1 A", 3, 2),
    "voltage": ("mV, 0.1 V", "mV, 0.1 V", 4, 2),
    "resistance": ("mΩ, 0.1 Ω, 1 kΩ", "mΩ, 0.1 Ω, 1 kΩ", 3, 2),
    "angle": ("°", "°", 4, 1),
    "mass": ("oz, 1 lb", "g, 1 kg", 3, 2),
    "stress": ("psi, 1 ksi", "kPa, 0.1 MPa", 3, 1),
    "time": ("ms, 1 s, 2 min, 2 h", "ms, 1 s, 2 min, 2 h", 3, 1),
    "temperature": ("°F", "°C", 4, 1),
    "temperature rise": ("°F", "K", 3, 1),
    "inertia": ("lb·in², 1 lb·ft²", "kg·cm², 0.1 kg·m²", 3, 2),
    "area": ("in²", "mm²", 4, 3),
    "wire": ("mm²", "mm²", 3, 2),
    "frequency": ("Hz", "Hz", 3, 1),
    "linear density": ("lb/ft", "kg/m", 3, 3),
    "spring rate": ("lbf/in", "N/mm", 3, 2),
    "charge": ("A·h", "A·h", 3, 1),
    "number": ("", "", 4, 3),
}
_SMALL_DIGITS = 3


@dataclass(frozen=True, slots=True)
class _Rung:
    start: float      # SI magnitude it starts at
    factor: float
    offset: float
    label: str


def _rungs(kind: str, text: str) -> tuple[_Rung, ...]:
    rungs = []
    for step in text.split(","):
        start, _, label = step.strip().rpartition(" ")
        unit = find_unit(kind, canon(label)) if label else None
        factor, offset = (unit.factor, unit.offset) if unit else (1.0, 0.0)
        # a whisker under the round figure, so that 0.1 hp is not shown in watts for its last bit
        rungs.append(_Rung((float(start) if start else 0.0) * factor * (1.0 - 1e-9), factor, offset, label))
    return tuple(reversed(rungs))


def _all_rungs() -> dict[tuple[str, str], tuple[_Rung, ...]]:
    out = {}
    for kind, k in KINDS.items():
        inch, metric = _LADDERS[kind][:2] if kind in _LADDERS else (k.inch, k.metric)
        if kind != "length":
            out[kind, "inch"], out[kind, "metric"] = _rungs(kind, inch), _rungs(kind, metric)
    return out


_RUNGS = _all_rungs()
_DIGITS = {kind: (entry[2], entry[3]) for kind, entry in _LADDERS.items()}
_AWG = tuple((awg_area(n), f"{1 - n}/0 AWG" if n < 1 else f"{n} AWG") for n in range(-3, 41))


def _fixed(x: float, significant: int, most: int | None) -> str:
    """x with so many significant digits, never dropping a whole one, and no minus before a zero."""
    if x == 0.0:
        return "0"
    exponent = int(f"{x:.{significant - 1}e}".rpartition("e")[2])
    places = max(0, significant - 1 - exponent)
    if most is not None:
        places = min(places, most) if exponent >= 0 else min(places, max(most, _SMALL_DIGITS - 1 - exponent))
    return f"{x:.{places}f}"


def _join(number: str, label: str) -> str:
    return number + label if label == "°" else f"{number} {label}".rstrip()


def _check_system(system: str) -> None:
    if system not in ("inch", "metric"):
        raise ValueError(f"a build is shown in 'inch' or 'metric' units, not {system!r}")


def show(si: float, kind: str, system: str, *, by: str = "caliper", digits: int | None = None) -> str:
    """A quantity for the eye, with the digits its instrument reads.

    Parameters
    ----------
    si : float
        Value in the SI unit of its kind. Scalar.
    kind : str
        Name of the kind.
    system : str
        "inch" or "metric"; no inch unit shows in a metric build.
    by : str
        For lengths "caliper", "micrometer", "tape" (inch fraction with decimal and error) or "thou"
        (thousandths of an inch, micrometres); for powers "electric" (watts in either system); for plain
        numbers "percent".
    digits : int, optional
        Significant digits, instead of the kind's own.

    Returns
    -------
    str
        The text.

    Raises
    ------
    ValueError
        For an unknown kind, system or instrument.

    Source
    ------
    common practice, no source
    """
    si = float(si)
    if si - si != 0.0:
        return "no value" if si != si else ("without limit" if si > 0.0 else "without limit (negative)")
    if kind == "length":
        return _length(si, system, by, digits)
    try:
        rungs = _RUNGS[kind, system]
    except KeyError:
        kind_of(kind)
        _check_system(system)
        raise
    if by == "electric" and kind == "power":
        rungs = _ELECTRIC
    elif by == "percent" and kind == "number":
        return f"{_fixed(100.0 * si, digits or 3, None if digits else 1)} %"
    elif by != "caliper":
        raise ValueError(f"{kind} is not shown by {by!r}")
    if kind == "wire" and system == "inch":
        label = _gauge_label(si)
        if label:
            return label
    size = abs(si)
    for rung in rungs:
        if size >= rung.start:
            break
    x = (si - rung.offset) / rung.factor
    if digits is not None:
        return _join(_fixed(x, digits, None), rung.label)
    significant, most = _DIGITS.get(kind, (4, None))
    if kind in ("angle", "temperature"):
        number = f"{x:.1f}" if abs(x) >= 0.05 else ("0.0" if abs(x) < 5e-4 or kind == "temperature" else f"{x:.2g}")
        return _join(number, rung.label)
    return _join(_fixed(x, significant, most), rung.label)


_ELECTRIC = _rungs("power", "mW, 0.1 W, 10 kW")


def _gauge_label(area: float) -> str:
    for size, label in _AWG:
        if abs(area - size) <= 1e-6 * size:
            return label
    return ""


def _length(si: float, system: str, by: str, digits: int | None) -> str:
    _check_system(system)
    if by not in ("caliper", "micrometer", "tape", "thou"):
        raise ValueError(f"length is not shown by {by!r}")
    inch = system == "inch"
    if by == "thou":
        x, label = (si / 2.54e-5, "thou") if inch else (si / 1e-6, "μm")
        return f"{_fixed(x, digits or 3, None if digits else (2 if inch else 1))} {label}"
    x, label = (si / INCH, "in") if inch else (si / 1e-3, "mm")
    if digits is not None:
        return f"{_fixed(x, digits, None)} {label}"
    size = abs(x)
    if by == "micrometer":
        places = 4 if inch else 3
    elif by == "tape":
        if inch:
            return _tape(si)
        places = 1
    elif inch:
        places = 4 if size < 4.0 else 3 if size < 20.0 else 2 if size < 400.0 else 1
    else:
        places = 3 if size < 100.0 else 2 if size < 300.0 else 1 if size < 1000.0 else 0
    text = f"{x:.{places}f}"
    return f"{text.lstrip('-') if float(text) == 0.0 else text} {label}"


def fraction(si: float, denominator: int = 64) -> str:
    """The nearest inch fraction, in lowest terms. Where it may be off, use ``show(by="tape")``.

    Parameters
    ----------
    si : float
        Length [m]. Scalar.
    denominator : int
        Finest division of the rule: a power of two.

    Returns
    -------
    str
        Such as "1-3/8 in".

    Raises
    ------
    ValueError
        If the denominator is no power of two.

    Source
    ------
    inch of 25.4 mm, from memory
    """
    if denominator < 1 or denominator & (denominator - 1):
        raise ValueError(f"a rule is divided by halving; {denominator} is no power of two")
    return _as_fraction(_nearest(si, denominator))


def _nearest(si: float, denominator: int) -> Fraction:
    x = abs(si) / INCH * denominator
    return Fraction(math.floor(x + 0.5), denominator) * (-1 if si < 0 else 1)


def _as_fraction(value: Fraction) -> str:
    sign = "-" if value < 0 else ""
    whole, rest = divmod(abs(value), 1)
    if rest == 0:
        return f"{sign}{whole} in"
    return f"{sign}{f'{whole}-' if whole else ''}{rest.numerator}/{rest.denominator} in"


def _tape(si: float) -> str:
    """Fraction and decimal, and how far the fraction is off; an inch fraction is never rounded silently."""
    near = _nearest(si, 64)
    off = float(near) - si / INCH
    if abs(off) < 5e-5:
        text = f"{float(near):.6f}".rstrip("0").rstrip(".")
        return _as_fraction(near) if near.denominator == 1 else f"{_as_fraction(near)} ({text} in)"
    side = "over" if off > 0 else "under"
    return f"{_as_fraction(near)} ({si / INCH:.4f} in; the fraction is {abs(off):.4f} in {side})"


def both(si: float, kind: str, system: str, *, by: str = "caliper") -> str:
    """A quantity in the build's units with the other system's in brackets; a metric build shows metric alone.

    Parameters
    ----------
    si : float
        Value in the SI unit of its kind. Scalar.
    kind : str
        Name of the kind.
    system : str
        "inch" or "metric".
    by : str
        As for ``show``.

    Returns
    -------
    str
        Such as "1.3750 in (34.925 mm)".

    Raises
    ------
    ValueError
        As for ``show``.

    Source
    ------
    common practice, no source
    """
    own = show(si, kind, system, by=by)
    if system == "metric":
        return own
    other = show(si, kind, "metric", by=by)
    return own if other == own else f"{own} ({other})"


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
    _check_system(system)
    if not math.isfinite(si):
        raise ValueError(f"{si} cannot be written as {k.words}")
    if kind == "length":
        return f"{_plain(si / INCH)} in" if system == "inch" else f"{_plain(si / 1e-3)} mm"
    if kind == "wire" and system == "inch" and _gauge_label(si):
        for size, label in _AWG:
            if abs(si - size) <= 1e-10 * size:
                return label
    rungs = _RUNGS[kind, system]
    rung = next(r for r in rungs if abs(si) >= r.start)
    return _join(_plain((si - rung.offset) / rung.factor), rung.label)


def measure(si: float, kind: str, *, text: str | None = None, system: str = "inch",
            known: str | None = None, note: str = "") -> Measure:
    """A Measure made from a computed value, with a text that reads back to it.

    Parameters
    ----------
    si : float
        Value in the SI unit of its kind. Scalar, finite.
    kind : str
        Name of the kind.
    text : str, optional
        The text to keep; it must read as this value to the digits it shows.
    system : str
        Units of the text made where none is given.
    known, note : str, optional
        Carried over.

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


@dataclass(frozen=True, slots=True)
class NearSize:
    """A standard size close to a length: its text, its value [m], its system, and how far it is off [m]."""

    text: str
    si: float
    system: str
    off: float


_MM_SIZES = (*range(3, 13), 14, 15, 16, 17, 18, 19, 20, 22, 24, 25, 26, 28, 30, 32, 35, 38, 40, 42, 45, 47, 48, 50,
             52, 55, 60, 62, 65, 70, 72, 75, 80, 85, 90, 95, 100, 105, 110, 115, 120)


def near_inch_metric(si: float, within: float = 0.5e-3) -> list[NearSize]:
    """Standard inch and metric sizes close to a length: 25 mm and 1 in, 16 mm and 5/8 in, 35 mm and 1-3/8 in.

    Parameters
    ----------
    si : float
        Length [m]. Scalar.
    within : float
        How close [m].

    Returns
    -------
    list of NearSize
        Nearest first; inch sizes by sixteenths from 1/8 in to 5 in, whole millimetres as shafts and bearings
        have them. Empty where nothing is close.

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
    sixteenths = round(si / INCH * 16)
    for n in range(max(2, sixteenths - 1), min(80, sixteenths + 1) + 1):
        found.append(NearSize(_as_fraction(Fraction(n, 16)), n * INCH / 16, "inch", n * INCH / 16 - si))
    return sorted((s for s in found if abs(s.off) <= within * (1 + 1e-9)), key=lambda s: abs(s.off))
