"""Quantities for the eye: ``show`` and ``both``."""

from __future__ import annotations

from dataclasses import dataclass

from ._constants import INCH, THOU
from ._kinds import KINDS, canon, find_unit, kind_of
from ._lengths import INSTRUMENTS, by_tape, decimals, half_up
from ._wire import gauge_label

# For each kind and system: units from the smallest up, each from the magnitude (in that unit) it starts at;
# then significant digits, and most decimals from one up: what the shop's instruments read (common practice).
_LADDERS: dict[str, tuple[str, str, int, int]] = {
    # kind: (inch ladder, metric ladder, significant digits, most decimals)
    "rotation": ("rpm", "rpm", 3, 2),
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
_NOTHING = 1e-7  # below this, in the unit shown, there is only the rounding of a calculation
_ONE_DECIMAL = ("angle", "temperature")


@dataclass(frozen=True, slots=True)
class _Rung:
    start: float  # SI magnitude it starts at
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


RUNGS = _all_rungs()
_DIGITS = {kind: (entry[2], entry[3]) for kind, entry in _LADDERS.items()}


def _fixed(x: float, significant: int, most: int | None) -> str:
    """x with so many significant digits, never dropping a whole one, and no minus before a zero."""
    if -_NOTHING < x < _NOTHING:
        return "0"
    x = half_up(x)
    exponent = int(f"{x:.{significant - 1}e}".rpartition("e")[2])
    places = max(0, significant - 1 - exponent)
    if most is not None:
        places = min(places, most) if exponent >= 0 else min(places, max(most, _SMALL_DIGITS - 1 - exponent))
    return f"{x:.{places}f}"


def join(number: str, label: str) -> str:
    """Number and unit; the degree sign stands close."""
    return number + label if label == "°" else f"{number} {label}".rstrip()


def check_system(system: str) -> None:
    """A ValueError for a system that is neither "inch" nor "metric"."""
    if system not in ("inch", "metric"):
        raise ValueError(f"a build is shown in 'inch' or 'metric' units, not {system!r}")


def show(
    si: float,
    kind: str,
    system: str,
    *,
    by: str = "caliper",
    digits: int | None = None,
    decimals: int | None = None,
) -> str:
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
        For lengths "caliper", "micrometer", "tape" (inch fraction with decimal and error), "thou"
        (thousandths of an inch, micrometres) or "indicator" (the same for a difference: hundredths of a
        thousandth, whole micrometres); for powers "electric" (watts in either system); for plain numbers
        "percent"; for times "hours" (a life: three digits, never in seconds).
    digits : int, optional
        Significant digits, instead of the kind's own.
    decimals : int, optional
        Digits after the point, instead of the kind's own; goes before ``digits``.

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
        return _length(si, system, by, digits, decimals)
    try:
        rungs = RUNGS[kind, system]
    except KeyError:
        kind_of(kind)
        check_system(system)
        raise
    if by == "hours" and kind == "time":
        return _hours(si / 3600.0)
    if by == "electric" and kind == "power":
        rungs = _ELECTRIC
    elif by == "percent" and kind == "number":
        x = 100.0 * si
        return f"{_fixed(x, digits or 3, None if digits else 1) if decimals is None else f'{x:.{decimals}f}'} %"
    elif by != "caliper":
        raise ValueError(f"{kind} is not shown by {by!r}")
    if kind == "wire" and system == "inch":
        label = gauge_label(si)
        if label:
            return label
    size = abs(si)
    for rung in rungs:
        if size >= rung.start:
            break
    x = (si - rung.offset) / rung.factor
    if decimals is not None:
        return join(f"{x:.{decimals}f}", rung.label)
    if digits is not None:
        return join(_fixed(x, digits, None), rung.label)
    if kind in _ONE_DECIMAL:
        text = f"{half_up(x):.1f}"
        return join(text.lstrip("-") if float(text) == 0.0 else text, rung.label)
    if x >= 1e4 or x <= -1e4:
        x = half_up(x)
        # nothing here is known to five digits, but a speed is counted
        return join(f"{x if kind == 'rotation' else float(f'{x:.3e}'):.0f}", rung.label)
    significant, most = _DIGITS.get(kind, (4, None))
    text = _fixed(x, significant, most)
    if kind == "number" and "." in text:
        text = text.rstrip("0").rstrip(".")
    return join(text, rung.label)


def _hours(hours: float) -> str:
    if hours >= 1e6:
        return "over a million hours"
    return f"{float(f'{hours:.3g}'):.0f} h" if hours >= 100 else f"{hours:.3g} h"


_ELECTRIC = _rungs("power", "mW, 0.1 W, 10 kW")


def _length(si: float, system: str, by: str, digits: int | None, places: int | None) -> str:
    check_system(system)
    if by not in INSTRUMENTS:
        raise ValueError(f"a length is not shown by {by!r}")
    inch = system == "inch"
    if by == "thou":
        x, label = (si / THOU, "thou") if inch else (si / 1e-6, "μm")
        return f"{_fixed(x, digits or 3, None if digits else (2 if inch else 1))} {label}"
    if by == "indicator":
        text = f"{si / THOU:.2f}".rstrip("0").rstrip(".") if inch else f"{si * 1e6:.0f}"
        return f"{'0' if text == '-0' else text} {'thou' if inch else 'μm'}"
    x, label = (si / INCH, "in") if inch else (si / 1e-3, "mm")
    if places is not None:
        return f"{x:.{places}f} {label}"
    if digits is not None:
        return f"{_fixed(x, digits, None)} {label}"
    if by == "tape" and inch:
        return by_tape(si)
    x = half_up(x)
    text = f"{x:.{decimals(abs(x), inch, by)}f}"
    return f"{text.lstrip('-') if float(text) == 0.0 else text} {label}"


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
    if other == own:
        return own
    return f"{own[:-1]}, {other})" if own.endswith(")") else f"{own} ({other})"
