"""How a quantity that a formula returns is shown: as the shop says it, in metric and in inch units."""

from __future__ import annotations

import numpy as np
import pint

from ._kinds import KINDS, ureg
from ._show import show

#: Kind that a quantity in a coherent SI unit is shown as; the first kind of each unit stands for all of them.
_SHOWN_AS: dict = {}
for _kind in KINDS.values():
    _SHOWN_AS.setdefault(ureg.Unit(_kind.si), _kind.name)
# a rise and a temperature share the kelvin, and only the kelvin says neither wrongly
_SHOWN_AS.pop(ureg.Unit("kelvin"))

#: So many numbers of an array are written out.
MOST_SHOWN = 12


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
        In the metric unit of its kind with the inch unit in brackets; in its own unit where that is no SI unit.

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
    metric, inch = (", ".join(show(x, kind, system) for x in numbers) for system in ("metric", "inch"))
    text = metric if metric == inch else f"{metric} ({inch})"
    return text if np.ndim(q.magnitude) == 0 else f"[{text}]"


def _pretty(q, printer, cycle) -> None:
    printer.text(shown(q))


# the class belongs to the one registry alone: quantities of other registries stay as they are
ureg.Quantity.__repr__ = ureg.Quantity.__str__ = shown
ureg.Quantity._repr_pretty_ = _pretty
ureg.Quantity._repr_html_ = shown
ureg.Quantity._repr_latex_ = lambda q: None

__all__ = ["MOST_SHOWN", "shown"]
