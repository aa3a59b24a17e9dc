"""What a notebook works by hand: the numbers that a formula takes, as shop text, and what the chapter says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import pint

from jackshaft.units import NotKnown, quantity, registry, shown, write

#: How far a number worked by hand may be off: texts are written with six digits.
CLOSE = 1e-4

#: Digits of a text.
DIGITS = 6


class Said(dict):
    """What the chapter says, by name: ``said.torque`` is ``said["torque"]``."""

    def __getattr__(self, name: str):
        if name.startswith("_"):
            raise AttributeError(name)
        return self.get(name, NotKnown(f"The chapter does not give {name}."))


@dataclass(frozen=True)
class Worked:
    """One calculation by hand.

    Parameters
    ----------
    title : str
        Of what.
    values : mapping
        What the formula takes, by name: shop text, a list of texts, or a plain value; NotKnown where the build does
        not tell. Each is an attribute too: ``worked.driver``.
    says : Said
        What the chapter found, as quantities.
    call : str
        The call with the names in braces, to be typed out with the texts in their place.
    """

    title: str
    values: Mapping[str, object]
    says: Said = field(default_factory=Said)
    call: str = ""

    def __getattr__(self, name: str):
        if name.startswith("_"):
            raise AttributeError(name)
        return self.values.get(name, NotKnown(f"{self.title}: {name} is not known yet."))

    @property
    def missing(self) -> tuple[str, ...]:
        """The words of what is not known."""
        return tuple(v.words for v in self.values.values() if isinstance(v, NotKnown))

    def __repr__(self) -> str:
        if self.missing:
            return f"{self.title}. To work it by hand, more must be known:\n" + "\n".join(
                f"  {w}" for w in self.missing
            )
        lines = [f"  {name} = {_literal(value)}" for name, value in self.values.items()]
        says = ", ".join(f"{name} {_words(value)}" for name, value in self.says.items())
        typed = self.call.format(**{k: _literal(v) for k, v in self.values.items()})
        return "\n".join([f"{self.title}:", *lines, f"the chapter says: {says}", f"typed out: {typed}"])


def _literal(value) -> str:
    if isinstance(value, list):
        return "[" + ", ".join(_literal(v) for v in value) + "]"
    return f'"{value}"' if isinstance(value, str) else repr(value)


def _words(value) -> str:
    return shown(value) if isinstance(value, pint.Quantity) else f"{value:.6g}"


def text(si: float, kind: str, system: str) -> str:
    """Return an SI value as shop text of six digits that reads back, in the units of the build."""
    words = write(float(si), kind, system)
    number, _, unit = words.partition(" ")
    try:
        short = f"{float(f'{float(number):.{DIGITS}g}'):.10g}"
    except ValueError:
        return words
    return words if "e" in short else f"{short} {unit}".strip()


def worked(
    title: str, system: str, *, takes: Mapping[str, object], says: Mapping[str, object], call: str = ""
) -> Worked:
    """Return a calculation by hand from SI values.

    Parameters
    ----------
    title : str
        Of what.
    system : str
        "inch" or "metric": the units of the texts.
    takes : mapping
        ``(SI value or array, kind)`` by the name of the argument, with None for a value that is not known; anything
        else is handed on as it is.
    says : mapping
        ``(SI value or array, kind)`` by name, or ``(value, kind, unit)`` where it is not in the SI unit.
    call : str
        The call with the names in braces.
    """
    values = {name: _taken(title, name, value, system) for name, value in takes.items()}
    found = Said({name: _said(title, name, *value) for name, value in says.items()})
    return Worked(title, values, found, call)


def _taken(title: str, name: str, value, system: str):
    si, kind = value if isinstance(value, tuple) else (value, "")
    if si is None or (kind and not np.all(np.isfinite(si))):
        return NotKnown(f"{title}: {name.replace('_', ' ')} is not known yet.")
    if not kind:
        return value
    return text(si, kind, system) if np.ndim(si) == 0 else [text(x, kind, system) for x in si]


def _said(title: str, name: str, value, kind: str, unit: str | None = None):
    if value is None:
        return NotKnown(f"{title}: the chapter does not know {name.replace('_', ' ')} yet.")
    if kind == "number":
        return float(value)
    value = float(value) if np.ndim(value) == 0 else np.asarray(value, dtype=float)
    return quantity(value, kind) if unit is None else registry().Quantity(value, unit)


@dataclass(frozen=True)
class Agreement:
    """Whether a number worked by hand is the chapter's; true too where there is nothing to compare yet."""

    same: bool
    words: str

    def __bool__(self) -> bool:
        return self.same

    def __repr__(self) -> str:
        return self.words


def agree(by_hand, chapter) -> Agreement:
    """Compare a number worked by hand with the chapter's, to one part in ten thousand.

    Parameters
    ----------
    by_hand, chapter : pint.Quantity, float or NotKnown
        Scalars, or arrays of one shape.

    Raises
    ------
    pint.DimensionalityError
        If the two are of different kinds.
    """
    unknown = next((v for v in (by_hand, chapter) if isinstance(v, NotKnown)), None)
    if unknown is not None:
        return Agreement(True, f"Nothing to compare yet. {unknown.words}")
    a, b = (v if isinstance(v, pint.Quantity) else quantity(v, "number") for v in (by_hand, chapter))
    mine, theirs = (np.asarray(v.magnitude, dtype=float) for v in (a.to(b.units), b))
    same = mine.shape == theirs.shape and bool(np.allclose(mine, theirs, rtol=CLOSE, atol=0.0))
    end = "the same." if same else "not the same. This is another design, or there is a mistake."
    return Agreement(same, f"By hand {_words(by_hand)}; the chapter says {_words(chapter)}: {end}")


__all__ = ["Agreement", "Said", "Worked", "agree", "text", "worked"]
