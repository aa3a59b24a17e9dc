"""What a build file may say: every key, its kind of quantity, its bounds and what it means.

The keys stand in ``keys.csv`` and their chapters in ``sections.csv``, one a row, so a key exists in one place only.
``kinds.csv`` says which kind of a part has which keys alone; the others belong to every kind.
``data/builds/KEYS.md`` is printed from them. The columns of ``keys.csv`` are those of :class:`Field`; its bounds are
in SI units. ``of`` holds what the key takes: the choices, the lists that a reference may name, or the table and column
of which it is an entry. ``marks`` says whether the key is required, is measured by tape, may be absent.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import files

from jackshaft.units import KINDS

SCHEMA_VERSION = 1

KNOWN = ("measured", "plate", "looked up", "calculated", "assumed", "estimated", "guessed", "chosen")

#: By what share a value may be off that is so known and states no allowance. Common practice, no source.
USUAL_OFF = {"guessed": 0.25, "estimated": 0.15, "assumed": 0.15}

#: Kinds of value that are not quantities with a unit.
WORDS = ("text", "choice", "count", "yes/no", "date", "reference", "references")

#: What stands behind a chapter that is a list of parts.
ITEM = "[NAME]"


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a chapter.

    ``over`` and ``least``/``most`` bound the value in SI units (``over`` is exclusive). ``refers``
    names the lists whose item names are allowed (``references``: several, with commas between); ``table`` names a table
    and column whose entries are. ``absent`` marks what a machine may be without, so that ``none`` is an answer.
    ``only`` names the kinds of the part that have it; all have it where it is empty.
    """

    name: str
    kind: str
    help: str
    choices: tuple[str, ...] = ()
    over: float | None = None
    least: float | None = None
    most: float | None = None
    refers: tuple[str, ...] = ()
    table: tuple[str, ...] = ()
    required: bool = False
    tape: bool = False
    absent: bool = False
    only: tuple[str, ...] = ()

    def belongs(self, kind: object) -> bool:
        """Return whether a part of this kind has it; a kind that is not known yet may have all."""
        return not self.only or kind is None or kind in self.only

    @property
    def plain_unit(self) -> str:
        """The unit of a number that is typed alone, where the meaning leaves no doubt: hours of use, or degrees."""
        if self.kind == "angle":
            return "°"
        return "h" if self.kind == "time" and self.help.startswith("hours ") else ""


@dataclass(frozen=True, slots=True)
class Section:
    """A chapter of the build file, or a list of parts inside one (``many``)."""

    name: str
    title: str
    help: str
    fields: tuple[Field, ...]
    parts: tuple[Section, ...]
    many: bool

    @property
    def names(self) -> tuple[str, ...]:
        """The names of its keys."""
        return tuple(f.name for f in self.fields)

    def field(self, name: str) -> Field | None:
        """Return the field called ``name``, or None."""
        return next((f for f in self.fields if f.name == name), None)

    def part(self, name: str) -> Section | None:
        """Return the part list or sub-chapter called ``name``, or None."""
        return next((p for p in self.parts if p.name == name), None)


def _rows(file: str) -> list[dict[str, str]]:
    with files(__package__).joinpath(file).open(encoding="utf-8", newline="") as rows:
        return list(csv.DictReader(rows))


def _field(row: dict[str, str], only: tuple[str, ...] = ()) -> Field:
    kind, of, marks = row["takes"], row["of"], row["marks"].split()
    if kind not in (*WORDS, *KINDS) or not {"required", "tape", "absent"}.issuperset(marks):
        raise ValueError(f"keys.csv: {row['at']}.{row['key']} takes '{kind}' and is marked '{row['marks']}'")
    several = tuple(of.split(" / "))
    return Field(
        row["key"],
        kind,
        row["meaning"],
        choices=several if kind == "choice" else (),
        refers=several if kind.startswith("reference") else (),
        table=tuple(of.split(".")) if of and kind == "text" else (),
        only=only,
        **{bound: float(row[bound]) for bound in ("over", "least", "most") if row[bound]},
        **dict.fromkeys(marks, True),
    )


def _read() -> dict[str, Section]:
    """Return every section by its path; lists carry ``[NAME]``."""
    sections, keys, kinds = _rows("sections.csv"), _rows("keys.csv"), _rows("kinds.csv")
    only: dict[tuple[str, str], tuple[str, ...]] = {}
    for row in kinds:
        for name in row["keys"].split():
            only[row["at"], name] = (*only.get((row["at"], name), ()), row["kind"])
    found: dict[str, Section] = {}
    for row in reversed(sections):  # what is inside a section comes after it
        at = row["at"]
        inside = (s for path, s in reversed(found.items()) if path.rpartition(".")[0] == at and at)
        fields = tuple(_field(key, only.pop((at, key["key"]), ())) for key in keys if key["at"] == at)
        name = at.rpartition(".")[2].removesuffix(ITEM)
        found[at] = Section(name, row["title"], row["meaning"], fields, parts=tuple(inside), many=at.endswith(ITEM))
    if left := {key["at"] for key in keys} - found.keys():
        raise ValueError(f"keys.csv names sections that sections.csv does not have: {', '.join(sorted(left))}")
    if only:
        raise ValueError(f"kinds.csv names keys that keys.csv does not have: {', '.join('.'.join(k) for k in only)}")
    return dict(reversed(found.items()))


_SECTIONS = _read()

TOP = _SECTIONS[""]

CHAPTERS = tuple(section for at, section in _SECTIONS.items() if at and "." not in at)

#: Lists that say what the builder thinks of the machine, and are no parts of it.
NO_PARTS = ("accepted", "candidate")


def chapter(name: str) -> Section | None:
    """Return the chapter called ``name``, or None."""
    return next((c for c in CHAPTERS if c.name == name), None)


def walk() -> Iterator[tuple[str, Section]]:
    """Yield every section with its dotted path; lists carry ``[NAME]``."""
    yield from _SECTIONS.items()
