"""The one registry, and how what a formula returns is shown: as the shop says it, plain numbers with six digits."""

from __future__ import annotations

from functools import cache

import numpy as np
import pint

from ._kinds import KINDS
from ._show import show

#: Kind that a quantity in a coherent SI unit is shown as; filled when the registry is built.
_SHOWN_AS: dict = {}

#: So many numbers of an array are written out.
MOST_SHOWN = 12

#: The systems of units that a quantity is shown in, the first one leading.
_SYSTEMS = ["metric", "inch"]


class PlainNumber(float):
    """A number without a unit that shows six digits; it is a float in all else."""

    __slots__ = ()

    def __repr__(self) -> str:
        return f"{float(self):.6g}"


def show_in(system: str | None = None) -> None:
    """Say in which units quantities show themselves from now on; it changes no number.

    Parameters
    ----------
    system : str or None
        "inch" leads with inch units and keeps metric ones in brackets, "metric" shows metric ones alone, as in a
        build. None is for no build at all: metric, with inch units in brackets.

    Raises
    ------
    ValueError
        For another system.

    Source
    ------
    common practice, no source
    """
    orders = {None: ["metric", "inch"], "inch": ["inch", "metric"], "metric": ["metric"]}
    if system not in orders:
        raise ValueError(f"quantities are shown in 'inch' or 'metric' units, not {system!r}")
    _SYSTEMS[:] = orders[system]


def _other(q: pint.Quantity) -> str:
    return f"{q.magnitude:.6g} {q.units:~P}".rstrip() if np.ndim(q.magnitude) == 0 else f"{q:~P}"


def shown(q: pint.Quantity) -> str:
    """A quantity as text, such as "8.31 N·m (6.13 lbf·ft)".

    Parameters
    ----------
    q : pint.Quantity
        Scalar or array.

    Returns
    -------
    str
        In the units that :func:`show_in` says; in its own unit where that is no SI unit.

    Source
    ------
    common practice, no source
    """
    kind = _SHOWN_AS.get(q.units)
    if kind is None or np.asarray(q.magnitude).dtype.kind not in "iuf":
        return _other(q)
    numbers = np.ravel(q.magnitude)
    if len(numbers) > MOST_SHOWN:
        return _other(q)
    first, *rest = dict.fromkeys(", ".join(show(x, kind, system) for x in numbers) for system in _SYSTEMS)
    text = f"{first} ({rest[0]})" if rest else first
    return text if np.ndim(q.magnitude) == 0 else f"[{text}]"


def _pretty(q, printer, cycle) -> None:
    printer.text(shown(q))


_REGISTRY = pint.LazyRegistry()
pint.set_application_registry(_REGISTRY)


@cache
def registry() -> pint.UnitRegistry:
    """The one registry, built when the first quantity is made: that takes as long as most of the package's import."""
    for kind in KINDS.values():
        # the first kind of each unit stands for all of them
        _SHOWN_AS.setdefault(_REGISTRY.Unit(kind.si), kind.name)
    # a rise and a temperature share the kelvin, and only the kelvin says neither wrongly
    _SHOWN_AS.pop(_REGISTRY.Unit("kelvin"))
    # the class belongs to the one registry alone: quantities of other registries stay as they are
    made = _REGISTRY.Quantity
    made.__repr__ = made.__str__ = made._repr_html_ = shown
    made._repr_pretty_ = _pretty
    made._repr_latex_ = lambda q: None
    return _REGISTRY


__all__ = ["MOST_SHOWN", "PlainNumber", "registry", "show_in", "shown"]
