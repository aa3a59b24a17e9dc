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
from ._reader import Measure, UnitTextError, read

_FORCE = {"newton", "kilonewton", "decanewton", "pound_force", "kilogram_force", "gram_force", "ounce_force", "kip",
          "force_pound", "force_kilogram"}
_TURNS = {"radian", "milliradian", "revolution", "turn", "degree", "revolutions_per_minute", "arcminute", "arcsecond"}
_HERTZ = {"hertz", "kilohertz", "count"}
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
        super().__init__(f"{function}: argument {argument} was given {shown}; it takes {k.words} with its unit, "
                         f"such as {a!r} or {b!r}. (SI floats go to {function}.si)")


def _looks_like(units: dict, kind: str) -> str | None:
    """What a quantity of the right dimension is instead of the wanted kind, by the units it is written in."""
    names = set(units)
    forces = [n for n in names & _FORCE if units[n] == 1]
    plain_product = bool(forces) and len(names) == 2 and sum(units.values()) == 2
    if kind == "energy" and plain_product:
        return "a force times a length, which can be a torque; convert it to joules if it is an energy"
    if kind == "torque" and len(names) == 1 and units.get(next(iter(names))) == 1:
        return "an energy"
    if kind == "torque" and names & {"hour"} and not names & _TURNS:
        return "an energy"
    if kind in ("rotation", "angular acceleration") and not names & _TURNS:
        return "no turning speed: it has no radians or turns in it"
    if kind == "frequency" and names & _TURNS:
        return "a rotational speed"
    if kind == "angle" and not names & _TURNS:
        return "a plain number"
    if kind == "number" and names & _TURNS:
        return "an angle"
    if kind == "temperature" and any(n.startswith("delta_") for n in names):
        return "a temperature difference"
    if kind == "temperature rise" and names & {"degree_Celsius", "degree_Fahrenheit"}:
        return "a temperature, not a rise"
    return None


def _quantity_si(q: pint.Quantity, kind: str, where: str):
    k = KINDS[kind]
    if q._REGISTRY is not ureg:
        raise UnitTextError(f"{q}", k.words, f"{where}the quantity comes from another unit registry", k.examples[:2])
    wrong = _looks_like(dict(q._units), kind) if q.check(ureg(k.si).units) else f"[{q.units:~P}]"
    if wrong:
        raise UnitTextError(f"{q:~P}", k.words, f"{where}this is {wrong}", k.examples[:2])
    got = q.to(k.si).magnitude
    return got if np.ndim(got) else float(got)


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
    if isinstance(value, (list, tuple)) and value and not all(isinstance(v, (int, float)) for v in value):
        return np.array([_to_si(v, kind, function, argument) for v in value], dtype=float)
    if kind == "number" and not isinstance(value, bool) and value is not None:
        return value if not isinstance(value, (list, tuple)) else np.array(value, dtype=float)
    raise UnitsRequired(function, argument, kind, value)


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
    hint = typing.get_type_hints(function).get("return")
    for candidate in (hint, *typing.get_args(hint)):
        if hasattr(candidate, "_fields"):
            return set(candidate._fields)
        if dataclasses.is_dataclass(candidate):
            return {f.name for f in dataclasses.fields(candidate)}
    return None


def _check(function: Callable, returns, kinds: dict[str, str]) -> inspect.Signature:
    name = f"{function.__module__}.{function.__qualname__}"
    signature = inspect.signature(function)
    for argument, kind in kinds.items():
        if argument not in signature.parameters:
            raise TypeError(f"door on {name}: there is no argument {argument!r} in its signature")
        if signature.parameters[argument].kind in (inspect.Parameter.VAR_POSITIONAL, inspect.Parameter.VAR_KEYWORD):
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
            raise TypeError(f"door on {name}: returns= names fields, so the return annotation must be a NamedTuple "
                            "or a dataclass")
        missing = sorted(set(returns) - fields)
        if missing:
            raise TypeError(f"door on {name}: its result has no field {', '.join(missing)}")
    return signature


def _wrap(value, kind: str):
    return value if value is None or kind == "number" else ureg.Quantity(value, KINDS[kind].si)


def door(*, returns: str | dict[str, str] | None = None, **kinds: str) -> Callable:
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
            return result._replace(**made) if hasattr(result, "_replace") else dataclasses.replace(result, **made)

        public.si = function
        public.kinds = dict(kinds)
        public.returns = returns
        return public

    return decorate
