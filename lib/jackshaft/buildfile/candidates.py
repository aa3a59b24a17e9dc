"""Candidates that a build file holds: other designs as changes of this one, and why they are not taken."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from jackshaft.buildfile.editing import Change
from jackshaft.buildfile.entries import entered
from jackshaft.buildfile.fingerprint import plain_value
from jackshaft.buildfile.model import Build, NoSuchKey, describe_list, said

LIST = "candidate"

#: What a line says of a value that the candidate takes away.
NOT_KNOWN = "not known"

_STEP = r"[a-z_]+(?:\[(?:[^\[\]]|\[[^\[\]]*\])*\])?"
_LINE = re.compile(rf"({_STEP}(?:\.{_STEP})*) = (.*)")


@dataclass(frozen=True)
class Stored:
    """A candidate as the file holds it; ``changes`` has a line ``key = shop text`` for each change."""

    name: str
    changes: str
    reason: str
    date: str
    found: str
    page: str

    @property
    def texts(self) -> dict[str, str]:
        """Key to shop text, of the lines that can be read; an empty text takes the value away."""
        found = filter(None, map(_LINE.fullmatch, self.changes.splitlines()))
        return {m[1]: "" if m[2].strip() == NOT_KNOWN else m[2].strip() for m in found}


def stored(build: Build) -> tuple[Stored, ...]:
    """Return the candidates of a build in the order of its file."""
    return tuple(
        Stored(
            name,
            *(str(build.get(f"{LIST}[{name}].{k}") or "") for k in ("changes", "reason", "date", "found", "page")),
        )
        for name in build.names(LIST)
    )


def lines_of(texts: Mapping[str, str]) -> str:
    """Return changes as a candidate's lines hold them.

    Parameters
    ----------
    texts : mapping of str to str
        Key to shop text; an empty text takes the value away.
    """
    return "\n".join(f"{key} = {' '.join(text.split()) or NOT_KNOWN}" for key, text in texts.items())


def tried(build: Build, candidate: Stored) -> tuple[Build, dict[str, Change]]:
    """Return the build as a candidate makes it, and the changes as :meth:`Build.with_values` takes them.

    Raises
    ------
    BuildProblems
        If a line cannot be read, names a key or a part that the build does not have, or cannot be taken.
    """
    at = f"{LIST}[{candidate.name}].changes"
    for line in filter(str.strip, candidate.changes.splitlines()):
        if _LINE.fullmatch(line) is None:
            raise build.refusal(at, f"'{line}'", "a key, =, and a text, such as work.power = 5 hp")
    changes: dict[str, Change] = {}
    for key, text in candidate.texts.items():
        try:
            if text not in ("", "none") and describe_list(key) is not None:
                changes[key] = tuple(name.strip() for name in text.split(","))
            else:
                changes |= entered(build, key, text)
        except NoSuchKey:
            raise build.refusal(at, f"'{key}', which no build has", "a key of a build file") from None
    try:
        return build.with_values(changes), changes
    except NoSuchKey as error:
        raise build.refusal(at, f"'{error.args[0]}', which this build does not have", "a part that is there") from None


def differences(build: Build, candidate: Stored) -> list[tuple[str, str, str]]:
    """Return what a candidate changes of the build as it is now: key, the candidate's value, the build's.

    Raises
    ------
    BuildProblems
        As :func:`tried`.
    """
    trial, changes = tried(build, candidate)
    found = []
    for key in changes:
        if key in trial.lists or key in build.lists:
            theirs, mine = (", ".join(b.names(key)) or "none" for b in (trial, build))
            differ = theirs != mine
        else:
            theirs, mine = said(trial.values.get(key)), said(build.values.get(key))
            differ = plain_value(trial.values.get(key)) != plain_value(build.values.get(key))
        if differ:
            found.append((key, theirs, mine))
    return found


def renamed(build: Build, at: str, new: str) -> dict[str, str]:
    """Return the lines of each candidate that changes a part, as they are once ``at`` is called ``new``."""
    found = {}
    for one in stored(build):
        lines = [
            new + line[len(at) :] if line.startswith((f"{at}.", f"{at}[")) else line
            for line in one.changes.splitlines()
        ]
        if lines != one.changes.splitlines():
            found[f"{LIST}[{one.name}].changes"] = "\n".join(lines)
    return found


__all__ = ["LIST", "NOT_KNOWN", "Stored", "differences", "lines_of", "renamed", "stored", "tried"]
