"""Changes of a build file's shape: a part renamed with what refers to it, and a fault taken out of the file."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator, Mapping, MutableMapping

import tomlkit
from tomlkit.exceptions import TOMLKitError

from jackshaft.buildfile import candidates, saving
from jackshaft.buildfile.checking import KEY_SHOWN, bad_name
from jackshaft.buildfile.disk import replace_both
from jackshaft.buildfile.editing import edited
from jackshaft.buildfile.entries import like
from jackshaft.buildfile.lenient import parse_anyhow
from jackshaft.buildfile.model import Build, describe, describe_list, part_of, split
from jackshaft.buildfile.problems import NotSaved, Problem
from jackshaft.buildfile.rules import listed, reference_lists
from jackshaft.buildfile.schema import NO_PARTS


def parts(build: Build) -> tuple[str, ...]:
    """Return every part of every list of a build, in the order of the file."""
    return tuple(f"{where}[{name}]" for where, names in build.lists.items() for name in names if where not in NO_PARTS)


def references(build: Build, at: str) -> dict[str, str]:
    """Return the keys of a build that name a part, each with what it says."""
    where, name = part_of(at)
    found = {}
    for key, value in build.values.items():
        if not isinstance(value, str) or key == f"{at}.name":
            continue
        field = describe(key)[1]
        if field.kind == "reference":
            here = value == name and where in reference_lists(key, field.refers)
        elif field.kind == "references":
            here = where in reference_lists(key, field.refers) and name in listed(value)
        elif field.name == "idlers_kept":
            here = where == f"{key.removesuffix('.search.idlers_kept')}.pulley" and name in listed(value)
        else:
            # a reading of the meter names a joint of the circuit
            here = where == "circuit.joint" and split(key)[-2:][0][0] == "reading" and field.name == "joint"
            here = here and value == name
        if here:
            found[key] = value
    return found


def alike(build: Build, where: str, name: str, but: str = "") -> str | None:
    """Return the part of a list whose name differs from ``name`` in capitals and spaces only, or None."""
    return next((n for n in build.names(where) if n != but and like(n) == like(name)), None)


def check_name(build: Build, where: str, name: str, but: str = "") -> str:
    """Return a name as a part of a list can have it: its spaces single, none outside.

    Raises
    ------
    BuildProblems
        If it is no name, or another part of the list has it, be it in other capitals.
    """
    name = " ".join(name.split())
    if bad_name(describe_list(where), name):
        raise build.refusal(where, f"'{name}'", "a name without square brackets")
    other = alike(build, where, name, but)
    if other is not None:
        found = f"a second '{name}'" + ("" if other == name else f", which differs from '{other}' in its spelling only")
        raise build.refusal(f"{where}[{name}]", found, "a new name")
    if where in ("shaft", "stage") and like(name) == "engine":
        raise build.refusal(where, f"'{name}', which means the engine", "another name")
    return name


def rename_part(
    build: Build, at: str, name: str, *, approve: Callable[[Build], object] | None = None
) -> tuple[Build, tuple[str, ...]]:
    """Give a part another name in the build's file, and carry along what refers to it, acceptances and candidates too.

    The file is read anew under its lock, so what others wrote meanwhile stays.

    Returns
    -------
    Build, tuple of str
        The build as it is now, and the keys that were carried along.

    Raises
    ------
    BuildProblems
        If there is no such part any more, or the name is no name or taken; nothing is written.
    ChangedOnDisk, NotSaved
        As for saving; nothing is written.
    """
    where, old = part_of(at)
    with saving.opened(build) as (real, data, now):
        if old not in now.names(where):
            raise now.refusal(at, "a part that is gone", "a part of the build as it is now")
        new = check_name(now, where, name, but=old)
        if new == old:
            return now, ()
        carried: dict[str, str] = {}
        for key, value in references(now, at).items():
            kept = [new if n == old else n for n in listed(value)]
            field = describe(key)[1]
            several = field.kind == "references" or field.name == "idlers_kept"
            carried[key] = ", ".join(kept) if several else new
        if [n for names in now.lists.values() for n in names].count(old) == 1:
            # a check of this part is accepted under its name; where two parts share a name, it may be the other's
            ends = f"[{old}]"
            accepted = [a for a in now.names("accepted") if a.endswith(ends)]
            carried |= {f"accepted[{a}].name": f"{a.removesuffix(ends)}[{new}]" for a in accepted}
        carried |= candidates.renamed(now, at, f"{where}[{new}]")
        text = edited(now.text, {**carried, f"{at}.name": new})
        made = saving.written(real, data, now, text, approve)
    return made, tuple(carried)


def take_out(build: Build, problem: Problem, *, approve: Callable[[Build], object] | None = None) -> Build:
    """Take what a problem is about out of the build's file: an unknown key, or a value that cannot be taken.

    Raises
    ------
    NotSaved
        If it cannot be found in the file, taking it out would not mend it, or the disk refuses; nothing is written.
    """
    with saving.opened(build, any_faults=True) as (real, data, now):
        ends = "\r\n" if "\r\n" in now.text else "\n"
        source = now.text.replace("\r\n", "\n")
        wanted = tomllib.loads(source)
        try:
            document = tomlkit.parse(source)
            done = _cut(wanted, problem) and _cut(document, problem)
            text = tomlkit.dumps(document)
            done = done and tomllib.loads(text) == wanted
        except (TOMLKitError, ValueError, TypeError, KeyError, IndexError) as error:
            raise _by_hand(now, problem) from error
        if not done:
            raise _by_hand(now, problem)
        fresh = saving.encoded(text.replace("\n", ends), now.file, data)
        new = parse_anyhow(fresh, file=now.file, path=now.path)
        if len(new.problems) >= len(now.problems) or problem in new.problems:
            raise _by_hand(now, problem)
        if approve is not None:
            approve(new)
        replace_both(real, data, fresh)
    return new


def _by_hand(build: Build, problem: Problem) -> NotSaved:
    return NotSaved(
        f"{problem.key or 'The file'} cannot be taken out from here without harm. Nothing was written. Open "
        f"{build.path or build.file} with a text editor and take it out there. Found: {problem.found}"
    )


def _cut(document: MutableMapping, problem: Problem) -> bool:
    """Take out the last place of a document whose key is the problem's; tell whether there was one."""
    found = [step for key, step in _places(document, "") if key[:KEY_SHOWN] == problem.key]
    if not found:
        return False
    home, name = found[-1]
    del home[name]
    return True


def _places(table: Mapping, at: str) -> Iterator[tuple[str, tuple[object, str | int]]]:
    """Yield every key of a document as problems name it, with where it stands."""
    for name, value in table.items():
        key = f"{at}.{name}" if at else str(name)
        yield key, (table, name)
        if isinstance(value, Mapping):
            yield from _places(value, key)
        elif isinstance(value, list):
            for number, item in enumerate(value):
                if isinstance(item, Mapping):
                    yield from _items(value, number, item, key)


def _items(home: list, number: int, item: Mapping, key: str) -> Iterator[tuple[str, tuple[object, str | int]]]:
    name = item.get("name")
    called = name if isinstance(name, str) and name.strip() else None
    # a part without a sound name, and a second one of its name, go as a whole
    yield f"{key}[{number + 1}].name", (home, number)
    if called is not None:
        if any(isinstance(e, Mapping) and e.get("name") == name for e in home[:number]):
            yield f"{key}[{called}].name", (home, number)
        else:
            yield from ((k, step) for k, step in _places(item, f"{key}[{called}]") if k != f"{key}[{called}].name")


__all__ = ["alike", "check_name", "parts", "references", "rename_part", "take_out"]
