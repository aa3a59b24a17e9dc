"""The door: quantities and shop text outside, SI floats and arrays inside."""

from __future__ import annotations

import dataclasses
import functools
import inspect
import typing
from collections.abc import Callable

import numpy as np
import pint

from ._kinds import EXACT, KINDS, kind_of
from ._measure import Measure, UnitTextError
from ._reader import read
from ._repr import PlainNumber, registry
from ._unknown import NotKnown

# Names as the registry stores them; turns and cycles tell kinds apart that share a dimension.
_TURNS = {"radian", "milliradian", "turn", "degree", "revolutions_per_minute", "arcminute", "arcsecond"}
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
    force = _dimension("newton")
    if kind == "energy":
        if turns and force in parts:
            return "a stiffness or a torque: there are turns in its unit"
        return (
            "force times length, which can be a torque; convert it to joules if it is an energy"
            if force in parts
            else None
        )
    if turns:
        return "a torsional stiffness" if force in parts else None
    return "an energy" if {_dimension("joule"), _dimension("watt")} & parts else None


@functools.lru_cache(maxsize=512)
def _dimension(name: str):
    return registry().Unit(name).dimensionality


def _quantity_si(q: pint.Quantity, kind: str, where: str):
    k = KINDS[kind]
    if q._REGISTRY is not registry():
        wrong = "from another unit registry"
    elif q.dimensionality != _dimension(k.si):
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
        return registry().Quantity(m.si, KINDS[m.kind].si)
    if kind is None:
        raise TypeError("a bare SI value needs its kind")
    return registry().Quantity(m, kind_of(kind).si)


def _annotation(function: Callable):
    # only the return annotation is looked up: the others may name what exists for type checkers alone
    hint = function.__annotations__.get("return")
    if isinstance(hint, str):
        try:
            hint = eval(hint, function.__globals__)
        except NameError as fault:
            raise TypeError(f"door on {function.__qualname__}: return annotation: {fault}") from None
    return hint


def _record(hint) -> type | None:
    """The NamedTuple or dataclass in an annotation: itself, one of several, or what a tuple holds."""
    if hasattr(hint, "_fields") or dataclasses.is_dataclass(hint):
        return hint
    return next((found for part in typing.get_args(hint) if (found := _record(part)) is not None), None)


def _fields(record) -> set[str]:
    return set(record._fields) if hasattr(record, "_fields") else {f.name for f in dataclasses.fields(record)}


_GATHERS = (inspect.Parameter.VAR_POSITIONAL, inspect.Parameter.VAR_KEYWORD)


def _check_kind(kind, what: str) -> None:
    """A kind by name; a kind with the unit that it is given in; or the kinds of an object's fields."""
    if isinstance(kind, dict):
        for field, inner in kind.items():
            _check_kind(inner, f"{what}, field {field!r},")
    elif isinstance(kind, tuple):
        _check_kind(kind[0], what)
        if kind[1] not in {unit.pint for unit in EXACT[kind[0]].values()}:
            raise TypeError(f"{what} has the unit {kind[1]!r}, which is none of the kind {kind[0]!r}")
    elif kind not in KINDS:
        raise TypeError(f"{what} has the unknown kind {kind!r}")


def _check(function: Callable, returns, kinds: dict) -> inspect.Signature:
    name = f"{function.__module__}.{function.__qualname__}"
    signature = inspect.signature(function)
    for argument, kind in kinds.items():
        if argument not in signature.parameters:
            raise TypeError(f"door on {name}: there is no argument {argument!r} in its signature")
        if signature.parameters[argument].kind in _GATHERS:
            raise TypeError(f"door on {name}: {argument!r} gathers several arguments and can have no kind")
        _check_kind(kind, f"door on {name}: argument {argument!r}")
    if isinstance(returns, list):
        for kind in returns:
            _check_kind(kind, f"door on {name}: a result")
    elif returns is not None:
        _check_kind(returns, f"door on {name}: its result")
    if isinstance(returns, dict):
        record = _record(_annotation(function))
        if record is None:
            raise TypeError(
                f"door on {name}: returns= names fields, so the return annotation must be a NamedTuple or a dataclass"
            )
        missing = sorted(set(returns) - _fields(record))
        if missing:
            raise TypeError(f"door on {name}: its result has no field {', '.join(missing)}")
    return signature


def _plain(value):
    """A number of NumPy as Python's own, and a float with a short way of showing itself."""
    if isinstance(value, np.generic) or (isinstance(value, np.ndarray) and not value.ndim):
        value = value.item()
    return PlainNumber(value) if isinstance(value, float) else value


def _replaced(record, made: dict):
    return record._replace(**made) if hasattr(record, "_replace") else dataclasses.replace(record, **made)


def _wrap(value, kind):
    """A result with its units: a number, an object by its fields, or a tuple of objects."""
    if value is None or isinstance(value, str):
        return value
    if isinstance(kind, dict):
        if not (hasattr(value, "_fields") or dataclasses.is_dataclass(value)):
            return type(value)(_wrap(v, kind) for v in value) if isinstance(value, (tuple, list)) else _plain(value)
        made = {f: _wrap(getattr(value, f), kind.get(f, "number")) for f in _fields(value)}
        return _replaced(value, made)
    if isinstance(value, tuple) and kind != "number":
        return tuple(_wrap(v, kind) for v in value)
    if kind == "number":
        return _plain(value)
    unit = kind[1] if isinstance(kind, tuple) else KINDS[kind].si
    return registry().Quantity(value.item() if isinstance(value, np.generic) else value, unit)


def _object_si(value, kinds: dict, function: str, argument: str):
    """An object whose fields carry units, with SI numbers in their place."""
    if value is None or not (hasattr(value, "_fields") or dataclasses.is_dataclass(value)):
        return value
    given = {f: getattr(value, f) for f in kinds if getattr(value, f) is not None}
    return _replaced(value, {f: _to_si(v, kinds[f], function, f"{argument}.{f}") for f, v in given.items()})


def _given_si(value, kind, function: str, argument: str):
    return (
        _object_si(value, kind, function, argument)
        if isinstance(kind, dict)
        else _to_si(value, kind, function, argument)
    )


def unit_checked(*, returns: str | dict | list | None = None, **kinds: str | dict) -> Callable:
    """Units at the door of a function: the public call takes quantities, the body sees SI.

    Parameters
    ----------
    returns : str, dict or list, optional
        The kind of the result, of the named fields of a NamedTuple or dataclass (or of each of a tuple of them), or
        of each of several results. A kind may be ``(kind, unit)`` where the body gives that unit in place of SI, and
        a dict where the field is an object itself. Fields that are not named stay plain numbers.
    **kinds : str or dict
        The kind of each argument, by its name; a dict of the kinds of an object's fields where the argument is an
        object. An argument that is not named is handed through untouched.

    Returns
    -------
    Callable
        A decorator. The decorated function takes a ``pint.Quantity`` (scalar or array), a ``Measure`` or shop
        text for each named argument and refuses bare numbers; "number" arguments may be bare. ``None`` is
        handed through where it is the default, and a ``NotKnown`` that stands in any argument is the result.
        ``f.si`` is the undecorated function, ``f.kinds`` and
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
            unknown = next((v for v in given.values() if isinstance(v, NotKnown)), None)
            if unknown is not None:
                return unknown
            for argument, kind in kinds.items():
                if argument in given and not (given[argument] is None and argument in optional):
                    given[argument] = _given_si(given[argument], kind, name, argument)
            result = function(*bound.args, **bound.kwargs)
            if isinstance(returns, list):
                return tuple(_wrap(part, kind) for part, kind in zip(result, returns, strict=True))
            return _wrap(result, returns if returns is not None else {})

        public.si = function
        public.kinds = dict(kinds)
        public.returns = returns
        return public

    return decorate
