"""The shafts that carry the work: one, or several, each with what it has or takes of its own."""

from __future__ import annotations

from jackshaft.buildfile.rules import listed
from jackshaft.results.reader import Reader, read_once

#: What the body on a shaft of the work is, by its name under ``work``, and its name under the shaft.
BODY = {"diameter": "tip_diameter", "weight": "work_weight", "mass_at": "mass_at", "inertia": "work_inertia"}
#: How the torque of the work goes with its speed, as a power of it.
CURVES = {"same at every speed": 0.0, "in step with speed": 1.0, "with the square of speed": 2.0}
#: What else a shaft may say of its work: a limit of its body, and how it loads the drive.
OWN = BODY | {n: n for n in ("surface_speed_most", "load_curve", "start_factor", "peak_factor")}
#: What is said where a shaft says something of its work and is not named among those that carry it.
STRAY = "Work on a shaft that neither work.shaft nor work.shafts names is not counted."


@read_once
def work_shafts(reader: Reader) -> tuple[str, ...]:
    """Return the shafts that are said to carry the work, the one of ``work.shaft`` first."""
    one, several = reader.get("work.shaft"), reader.get("work.shafts")
    names = ([one] if one else []) + (listed(several) if several else [])
    return tuple(dict.fromkeys(names))


def power_more(reader: Reader) -> float:
    """Return the share by which the work may take more power than is written down: the build's own allowance."""
    power = reader.get("work.power")
    return (power.plus_minus or 0.0) / power.si if power is not None and power.si else 0.0


def more_words(reader: Reader, words: str) -> str:
    """Return in words by how much more power the work may take, put in for ``{}``; empty where nothing says so."""
    more = power_more(reader)
    return words.format(f"{100 * more:.0f} %") if more else ""


def own_body(reader: Reader, shaft: str | None) -> bool:
    """Tell whether a shaft says a size, a weight, a shape or an inertia of its own work."""
    return shaft in reader.names("shaft") and any(
        reader.get(f"shaft[{shaft}].{key}") is not None for key in BODY.values()
    )


def own_power(shaft: str) -> str:
    """Return the key of the power that a shaft takes which carries something else than the work."""
    return f"shaft[{shaft}].work_power"


def work_key(reader: Reader, shaft: str | None, name: str) -> str:
    """Return the key that says ``name`` of the work on a shaft: its own, else the work's where that is true of it.

    A common size, weight, shape, inertia or surface speed is that of a common body, and so is how it loads the drive: a
    shaft that says any of its own body has another one, and must say what else is wanted of it.
    """
    if shaft not in reader.names("shaft"):
        return f"work.{name}"
    own = f"shaft[{shaft}].{OWN[name]}"
    if reader.get(own) is not None or (name == "surface_speed_most" and reader.is_none(own)):
        return own
    return own if own_body(reader, shaft) else f"work.{name}"


def load_power(reader: Reader) -> float | None:
    """Return the power of the speed that the torque of the work goes with; None where the build does not say one."""
    found = set(load_curves(reader))
    return CURVES[found.pop()] if len(found) == 1 and None not in found else None


def load_curves(reader: Reader) -> tuple[str | None, ...]:
    """Return how the torque of the work goes with its speed, on each shaft that carries it; None where not said."""
    return tuple(reader.get(work_key(reader, shaft, "load_curve")) for shaft in work_shafts(reader) or (None,))


def factor_of(reader: Reader, ratio, shaft: str | None, name: str) -> float | None:
    """Return the ``start`` or ``peak`` load over the working load of what a shaft turns; None where not known.

    ``ratio`` is what the ratio chapter found: where shafts say their own, it weighs them by what they take.
    """
    state = None if ratio is None else ratio.shaft(shaft)
    return reader.si(f"work.{name}_factor") if state is None else getattr(state, f"{name}_factor")


def factor_key(reader: Reader, name: str) -> str:
    """Return the key that the ``start`` or the ``peak`` of the work lacks first, that of all the work if none is."""
    return lacking_key(reader, f"{name}_factor")


def lacking_key(reader: Reader, name: str) -> str:
    """Return the key without which ``name`` is not known on a shaft of the work, that of all the work if none is."""
    keys = (work_key(reader, shaft, name) for shaft in work_shafts(reader))
    return next((key for key in keys if reader.get(key) is None), f"work.{name}")


def takers(stages, shaft: str, own) -> tuple[tuple[float, str], ...]:
    """Return the shafts that take what a shaft turns, each after the share of it that it takes.

    Those are the last ones that ``stages`` lead to, and any on the way for which ``own(shaft)`` is true.
    """
    after = [] if own(shaft) else [s for s in stages if s.start == shaft]
    whole = sum(s.share * s.efficiency for s in after)
    ends = ((s.share * s.efficiency / whole, takers(stages, s.end, own)) for s in after)
    return tuple((part * share, end) for part, found in ends for share, end in found) or ((1.0, shaft),)


def stray_works(reader: Reader) -> tuple[str, ...]:
    """Return the keys that say something of the work on a shaft that is not said to carry any."""
    works = work_shafts(reader)
    keys = (f"shaft[{s}].{k}" for s in reader.names("shaft") if s not in works for k in OWN.values())
    return tuple(k for k in keys if not k.endswith(".peak_factor") and reader.get(k) is not None)


__all__ = [
    "CURVES",
    "STRAY",
    "factor_key",
    "factor_of",
    "lacking_key",
    "load_curves",
    "load_power",
    "more_words",
    "own_body",
    "own_power",
    "power_more",
    "stray_works",
    "takers",
    "work_key",
    "work_shafts",
]
