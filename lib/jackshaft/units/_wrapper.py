"""The door: quantities and shop text outside, SI floats and arrays inside."""

from __future__ import annotations

import dataclasses
import functools
import inspect
import typing
from collections.abc import Callable

import numpy as np
import pint

from ._kinds import KINDS, kind_of, ureg
from ._measure import Measure, UnitTextError
from ._reader import read

# Names as the registry stores them; turns and cycles tell kinds apart that share a dimension.
_TURNS = {"radian", "milliradian", "turn", "degree", "revolutions_per_minute", "arcminute", "arcsecond"}
_DIMENSIONS = {name: ureg.Quantity(1, k.si).dimensionality for name, k in KINDS.items()}
_FORCE = ureg.Quantity(1, "newton").dimensionality
_ENERGY = ureg.Quantity(1, "joule").dimensionality
_POWER = ureg.Quantity(1, "watt").dimensionality
_SAME = {frozenset(("wire", "area"))}


class UnitsRequired(TypeError):
    """A bare number where a quantity with its unit was wanted.

    Attributes
    ----------
    function, argument, kind : str
        Where it stood and what was wanted.
    example : str
        What to type instead.
    """

    def __init__(self, function: str, argument: str, kind: str, got: object) -> None:
        k = KINDS[kind]
        self.function, self.argument, self.kind, self.example = function, argument, kind, k.examples[0]
        shown = repr(got) if np.ndim(got) == 0 else "an array of bare numbers"
        a, b = k.examples[:2]
        wanted = k.words if kind == "number" else f"{k.words} with its unit"
        super().__init__(
            f"{function}: argument {argument} was given {shown}; it takes {wanted}, "
            f"such as {a!r} or {b!r}. (SI floats go to {function}.si)"
        )


def _looks_like(units: dict[str, float], kind: str) -> str | None:
    """What a quantity of the right dimension is instead of the wanted kind, by the units it is written in."""
    names = set(units)
    turns = bool(names & _TURNS)
    if kind in ("energy", "torque", "torsional stiffness"):
        return _turning(units, kind, turns)
    if kind in ("rotation", "angular acceleration") and not turns:
        return "no turning speed: there are no radians or turns in its unit"
    if kind == "frequency" and turns:
        return "a rotational speed"
    if kind == "angle" and not turns:
        return "a plain number"
    if kind == "number" and turns:
        return "an angle"
    if kind == "temperature" and any(n.startswith("delta_") for n in names):
        return "a temperature difference"
    if kind == "temperature rise" and names & {"degree_Celsius", "degree_Fahrenheit"}:
        return "a temperature, not a rise"
    return None


def _turning(units: dict[str, float], kind: str, turns: bool) -> str | None:
    """Force times length is a torque, power times time an energy, and torque for each turn a stiffness."""
    parts = {_dimension(name) for name, power in units.items() if power == 1}
    if kind == "torsional stiffness":
        return None if turns else "a torque: there are no radians or degrees in its unit"
    if kind == "energy":
        if turns and _FORCE in parts:
            return "a stiffness or a torque: there are turns in its unit"
        return (
            "force times length, which can be a torque; convert it to joules if it is an energy"
            if _FORCE in parts
            else None
        )
    if turns:
        return "a torsional stiffness" if _FORCE in parts else None
    return "an energy" if _ENERGY in parts or _POWER in parts else None


@functools.lru_cache(maxsize=512)
def _dimension(name: str):
    return ureg.get_dimensionality(ureg.UnitsContainer({name: 1}))


def _quantity_si(q: pint.Quantity, kind: str, where: str):
    k = KINDS[kind]
    if q._REGISTRY is not ureg:
        wrong = "from another unit registry"
    elif q.dimensionality != _DIMENSIONS[kind]:
        wrong = "of another kind"
    else:
        wrong = _looks_like(dict(q._units), kind)
    if wrong:
        raise UnitTextError(f"{q:~P}", k.words, f"{where}this is {wrong}", k.examples[:2])
    got = q.to(k.si).magnitude
    return np.asarray(got, dtype=float) if np.ndim(got) else float(got)


def _measure_si(m: Measure, kind: str, where: str) -> float:
    if m.kind != kind and frozenset((m.kind, kind)) not in _SAME:
        k = KINDS[kind]
        raise UnitTextError(m.text, k.words, f"{where}this is {KINDS[m.kind].words}", k.examples[:2])
    return m.si


def to_si(value, kind: str):
    """A quantity, Measure or shop text as an SI float, or an array of floats.

    Parameters
    ----------
    value : pint.Quantity, Measure, str, or a sequence of these
        What was handed over. Any shape for a Quantity.
    kind : str
        Name of the kind it must be.

    Returns
    -------
    float or numpy.ndarray
        Value in the SI unit of the kind.

    Raises
    ------
    UnitTextError
        If it is another kind of quantity.
    UnitsRequired
        If it is a bare number, and the kind is not "number".

    Source
    ------
    kinds: see ``KINDS``
    """
    kind_of(kind)
    return _to_si(value, kind, "to_si", "value")


def _to_si(value, kind: str, function: str, argument: str):
    if isinstance(value, Measure):
        return _measure_si(value, kind, f"{function}, argument {argument}: ")
    if isinstance(value, pint.Quantity):
        return _quantity_si(value, kind, f"{function}, argument {argument}: ")
    if isinstance(value, str):
        return read(value, kind).si
    if kind == "number" and _bare_number(value):
        return np.asarray(value) if isinstance(value, (list, tuple)) else value
    if isinstance(value, (list, tuple)) and not _bare_number(value[:1]):
        return np.array([_to_si(v, kind, function, argument) for v in value], dtype=float)
    raise UnitsRequired(function, argument, kind, value)


def _bare_number(value: object) -> bool:
    if isinstance(value, (list, tuple)):
        return bool(value) and all(_bare_number(v) for v in value)
    if isinstance(value, np.ndarray):
        return value.dtype.kind in "iuf"
    return isinstance(value, (int, float, np.integer, np.floating)) and not isinstance(value, bool)


def quantity(m: Measure | float, kind: str | None = None) -> pint.Quantity:
    """A Measure, or an SI value with its kind, as a quantity of the one registry.

    Parameters
    ----------
    m : Measure or float or numpy.ndarray
        The Measure, or the SI value. Any shape.
    kind : str, optional
        The kind, where an SI value is given.

    Returns
    -------
    pint.Quantity
        In the SI unit of the kind.

    Raises
    ------
    TypeError
        If an SI value comes without its kind.

    Source
    ------
    kinds: see ``KINDS``
    """
    if isinstance(m, Measure):
        return ureg.Quantity(m.si, KINDS[m.kind].si)
    if kind is None:
        raise TypeError("a bare SI value needs its kind")
    return ureg.Quantity(m, kind_of(kind).si)


def _result_fields(function: Callable) -> set[str] | None:
    # only the return annotation is looked up: the others may name what exists for type checkers alone
    hint = function.__annotations__.get("return")
    if isinstance(hint, str):
        try:
            hint = eval(hint, function.__globals__)
        except NameError as fault:
            raise TypeError(f"door on {function.__qualname__}: return annotation: {fault}") from None
    for candidate in (hint, *typing.get_args(hint)):
        if hasattr(candidate, "_fields"):
            return set(candidate._fields)
        if dataclasses.is_dataclass(candidate):
            return {f.name for f in dataclasses.fields(candidate)}
    return None


_GATHERS = (inspect.Parameter.VAR_POSITIONAL, inspect.Parameter.VAR_KEYWORD)


def _check(function: Callable, returns, kinds: dict[str, str]) -> inspect.Signature:
    name = f"{function.__module__}.{function.__qualname__}"
    signature = inspect.signature(function)
    for argument, kind in kinds.items():
        if argument not in signature.parameters:
            raise TypeError(f"door on {name}: there is no argument {argument!r} in its signature")
        if signature.parameters[argument].kind in _GATHERS:
            raise TypeError(f"door on {name}: {argument!r} gathers several arguments and can have no kind")
        if kind not in KINDS:
            raise TypeError(f"door on {name}: argument {argument!r} has the unknown kind {kind!r}")
    wanted = returns.values() if isinstance(returns, dict) else [] if returns is None else [returns]
    for kind in wanted:
        if kind not in KINDS:
            raise TypeError(f"door on {name}: it returns the unknown kind {kind!r}")
    if isinstance(returns, dict):
        fields = _result_fields(function)
        if fields is None:
            raise TypeError(
                f"door on {name}: returns= names fields, so the return annotation must be a NamedTuple or a dataclass"
            )
        missing = sorted(set(returns) - fields)
        if missing:
            raise TypeError(f"door on {name}: its result has no field {', '.join(missing)}")
    return signature


def _wrap(value, kind: str):
    return value if value is None or kind == "number" else ureg.Quantity(value, KINDS[kind].si)


def unit_checked(*, returns: str | dict[str, str] | None = None, **kinds: str) -> Callable:
    """Units at the door of a function: the public call takes quantities, the body sees SI.

    Parameters
    ----------
    returns : str or dict of str, optional
        The kind of the result, or the kinds of the named fields of a NamedTuple or dataclass; fields that
        are not named, and plain numbers, stay as they are.
    **kinds : str
        The kind of each argument, by its name. An argument that is not named is handed through untouched.

    Returns
    -------
    Callable
        A decorator. The decorated function takes a ``pint.Quantity`` (scalar or array), a ``Measure`` or shop
        text for each named argument and refuses bare numbers; "number" arguments may be bare. ``None`` is
        handed through where it is the default. ``f.si`` is the undecorated function, ``f.kinds`` and
        ``f.returns`` are the declarations.

    Raises
    ------
    TypeError
        At import, if a declared name is not in the signature or a kind is unknown.

    Source
    ------
    kinds: see ``KINDS``
    """

    def decorate(function: Callable) -> Callable:
        signature = _check(function, returns, kinds)
        optional = {a for a in kinds if signature.parameters[a].default is None}
        name = function.__qualname__

        @functools.wraps(function)
        def public(*args, **kwargs):
            bound = signature.bind(*args, **kwargs)
            given = bound.arguments
            for argument, kind in kinds.items():
                if argument in given and not (given[argument] is None and argument in optional):
                    given[argument] = _to_si(given[argument], kind, name, argument)
            result = function(*bound.args, **bound.kwargs)
            if isinstance(returns, str):
                return _wrap(result, returns)
            if returns is None or result is None:
                return result
            made = {field: _wrap(getattr(result, field), kind) for field, kind in returns.items()}
            replace = getattr(result, "_replace", None)
            return replace(**made) if replace is not None else dataclasses.replace(result, **made)

        public.si = function
        public.kinds = dict(kinds)
        public.returns = returns
        return public

    return decorate
