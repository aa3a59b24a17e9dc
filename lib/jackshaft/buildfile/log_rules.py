"""The log only grows: what is written in an entry stays, and a correction is a later entry that names the older one."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft.buildfile.fingerprint import plain_value
from jackshaft.buildfile.model import Build, below, said
from jackshaft.buildfile.problems import Problem

LIST = "log"


def log_problems(build: Build) -> Iterator[Problem]:
    """Yield each entry that corrects one which is not older than it, or which another one corrects already."""
    names, taken = build.names(LIST), {}
    for place, name in enumerate(names):
        key = f"{LIST}[{name}].corrects"
        old = build.get(key)
        if old is None or old not in names:
            continue  # a name that is not there is found with the other references
        if names.index(old) >= place:
            yield build.problem(key, f"'{old}', which does not stand above it", "an older entry, one above it")
        elif old in taken:
            yield build.problem(key, f"'{old}', which {taken[old]} corrects already", f"'{taken[old]}', or no entry")
        else:
            taken[old] = name


def changed_entries(before: Build, after: Build) -> Iterator[Problem]:
    """Yield what a change of a build would alter in its log: values that were written, entries taken out."""
    kept = set(after.names(LIST))
    wanted = "the log as it was written: add an entry with the right reading that corrects this one"
    for name in before.names(LIST):
        at = f"{LIST}[{name}]"
        if name not in kept:
            yield before.problem(at, "an entry taken out", wanted)
            continue
        for key, value in before.values.items():
            new = after.values.get(key)
            if below(key, at) and (new is None or plain_value(new) != plain_value(value)):
                yield before.problem(key, f"{said(value)} changed to {said(new)}", wanted)


__all__ = ["LIST", "changed_entries", "log_problems"]
