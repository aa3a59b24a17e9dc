"""What a key and a chapter of the build file are made of."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a chapter.

    ``over`` and ``least``/``most`` bound the value in SI units (``over`` is exclusive). ``refers``
    names the list whose item names are allowed; ``table`` names a table and column whose entries are. ``absent``
    marks what a machine may be without, so that ``none`` is an answer.
    """

    name: str
    kind: str
    help: str
    choices: tuple[str, ...] = ()
    over: float | None = None
    least: float | None = None
    most: float | None = None
    refers: tuple[str, ...] = ()
    table: tuple[str, str] | None = None
    tape: bool = False
    absent: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """A chapter of the build file, or a list of parts inside one (``many``)."""

    name: str
    title: str
    help: str
    fields: tuple[Field, ...]
    parts: tuple[Section, ...] = ()
    many: bool = False

    def field(self, name: str) -> Field | None:
        """Return the field called ``name``, or None."""
        return next((f for f in self.fields if f.name == name), None)

    def part(self, name: str) -> Section | None:
        """Return the part list or sub-chapter called ``name``, or None."""
        return next((p for p in self.parts if p.name == name), None)


def size(name: str, help: str, kind: str = "length", **more) -> Field:
    """Return the field of a quantity that is more than nothing, a length when not said."""
    return Field(name, kind, help, over=0.0, **more)


__all__ = ["Field", "Section", "size"]
