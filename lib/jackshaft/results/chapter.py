"""What a chapter declares of itself, and how the chapters are found."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache
from types import ModuleType

from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader

#: The package whose folders are the chapters.
HOME = "jackshaft.chapters"


class Detail(Enum):
    """How much of a chapter is worked out.

    ``WHOLE``: everything. ``NO_TABLES``: without the tables that take long, for a slider. ``BARE``: also without
    random draws and lists of what is sold, for a panel that shows those once the hand rests.
    """

    WHOLE = "whole"
    NO_TABLES = "no tables"
    BARE = "bare"

    @property
    def tables(self) -> bool:
        """Whether the tables that take long are wanted."""
        return self is Detail.WHOLE

    @property
    def draws(self) -> bool:
        """Whether random draws and lists of what is sold are wanted."""
        return self is not Detail.BARE


@dataclass(frozen=True)
class Scope:
    """What of a chapter is asked for: how much, and of which stage (all where ``stage`` is None)."""

    detail: Detail = Detail.WHOLE
    stage: str | None = None

    def has(self, stage: str) -> bool:
        """Tell whether a stage is asked for."""
        return self.stage in (None, stage)


WHOLE = Scope()


@dataclass(frozen=True)
class Chapter:
    """One subject of the workbook, as its folder declares it.

    The folder ``chapters/FOLDER`` holds ``analysis`` with ``work_up(reader, done, scope)`` and, where there is one,
    ``figure`` with ``draw(findings, results)`` and ``panel`` with ``panel(build, part)``.

    Attributes
    ----------
    name : str
        The first word of the ids of its checks.
    title : str
        What it is called on the screen.
    place : int
        Where it stands in the order of the torque's way.
    needs : tuple of str
        Names of the chapters whose findings it takes.
    essential : tuple of str
        Its checks without which a build is not decided, by the part of their ids before the bracket.
    ground : tuple of str
        Its checks that others rest on: what these lack, a check that lacks nothing of its own lacks too.
    notebook : str
        Stem of the page it stands on.
    paper : str
        What is printed from it and hangs in the shop.
    dense : bool
        Whether its pictures hold so many words that a phone shows them at full size, to be swiped.
    judged_with : tuple of str
        Chapters whose stops are drawn across its pictures too.
    own_ends : bool
        Whether its checks weigh the doubt of all that they read themselves, and are not judged at the ends again.
    coming : bool
        Its inputs are kept in the build file, and nothing is computed from them yet.
    folder : str
        Where it lives, set when it is found.
    """

    name: str
    title: str
    place: int
    needs: tuple[str, ...] = ()
    essential: tuple[str, ...] = ()
    ground: tuple[str, ...] = ()
    notebook: str = ""
    paper: str = ""
    dense: bool = False
    judged_with: tuple[str, ...] = ()
    own_ends: bool = False
    coming: bool = False
    folder: str = ""

    def part(self, name: str) -> ModuleType | None:
        """Return a file of the chapter's folder, or None where the folder has none of that name."""
        return _part(f"{HOME}.{self.folder or self.name}.{name}")

    def work_up(self, reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
        """Work the chapter up from a build and from the findings of the chapters that it needs."""
        return self.part("analysis").work_up(reader, done, scope)


@cache
def _part(where: str) -> ModuleType | None:
    """Return a file of a chapter's folder, looked for on the disk once."""
    return None if importlib.util.find_spec(where) is None else importlib.import_module(where)


@cache
def chapters() -> Mapping[str, Chapter]:
    """Return every chapter by name, in the order of the torque's way.

    A folder of :data:`HOME` that sets ``CHAPTER`` is a chapter; nothing else lists them.

    Raises
    ------
    ValueError
        If two have one name or one place, or one needs a chapter that does not come before it.
    """
    home = importlib.import_module(HOME)
    found = []
    for info in pkgutil.iter_modules(home.__path__):
        if info.ispkg:
            found.append(importlib.import_module(f"{HOME}.{info.name}").CHAPTER)
    found.sort(key=lambda c: c.place)
    for before, after in zip(found[:-1], found[1:], strict=True):
        if before.place == after.place:
            raise ValueError(f"chapters '{before.name}' and '{after.name}' have one place, {after.place}")
    there: dict[str, Chapter] = {}
    for chapter in found:
        late = [n for n in chapter.needs if n not in there]
        if late or chapter.name in there:
            raise ValueError(f"chapter '{chapter.name}' is there twice or needs what comes later: {late}")
        there[chapter.name] = chapter
    return there


def needed_by(names: Iterable[str], there: Mapping[str, Chapter]) -> set[str]:
    """Return the names and those of all chapters that they need; ``there`` are the chapters that there are.

    Raises
    ------
    KeyError
        If there is no chapter of a name.
    """
    found: set[str] = set()
    todo = list(names)
    while todo:
        name = todo.pop()
        if name not in found:
            found.add(name)
            todo += there[name].needs
    return found


__all__ = ["HOME", "WHOLE", "Chapter", "Detail", "Scope", "chapters", "needed_by"]
