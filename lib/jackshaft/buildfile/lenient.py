"""A build file opened whatever is wrong with it, so that no file can lock a builder out."""

from __future__ import annotations

import datetime
import os
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from jackshaft.buildfile.checking import read_values
from jackshaft.buildfile.disk import digest, previous_of, real_file, replace_both, tidy, write_new
from jackshaft.buildfile.limits import beyond, too_large, too_long
from jackshaft.buildfile.locking import held
from jackshaft.buildfile.model import Build, at_or_below
from jackshaft.buildfile.problems import BuildProblems, NotSaved
from jackshaft.buildfile.reading import DEMO, find, parse, read_file
from jackshaft.buildfile.rules import contradictions
from jackshaft.buildfile.schema import SCHEMA_VERSION

#: Ending of a file that was put aside because it could not be read.
BROKEN = ".broken"


def open_anyhow(name: str | os.PathLike | None = None) -> Build:
    """Open a build whatever is wrong with it.

    What cannot be taken is left out and listed in ``problems``. A file that is no TOML gives a build of its name
    with nothing in it. Where there is no such file, the demo build is opened and says so.
    """
    try:
        path = find(name)
    except BuildProblems as error:
        return replace(open_anyhow(DEMO), problems=error.problems) if name != DEMO else _empty(DEMO, None, b"", error)
    try:
        data = read_file(path)
    except BuildProblems as error:
        return _empty(path.name, path, b"", error)
    return parse_anyhow(data, file=path.name, path=path)


def parse_anyhow(data: bytes, *, file: str, path: Path | None = None) -> Build:
    """Return what can be read of the bytes of a build file, its faults in ``problems``."""
    try:
        return parse(data, file=file, path=path)
    except BuildProblems as error:
        try:
            text = data.decode("utf-8-sig")
            document = tomllib.loads(text)
        except (ValueError, RecursionError):
            return _empty(file, path, data, error)
        large = too_large(file, len(data)) or any(too_long(file, document)) or any(beyond(file, document))
        if large or document.get("schema") != SCHEMA_VERSION:
            return _empty(file, path, data, error)
        build = _sound(read_values(document, file=file)[0])
        return replace(build, path=path, digest=digest(data), text=text, problems=error.problems)


def _empty(file: str, path: Path | None, data: bytes, error: BuildProblems) -> Build:
    values = {"schema": SCHEMA_VERSION, "name": Path(file).stem}
    text = data.decode("utf-8-sig", "replace")
    return Build(values, {}, file, path, digest(data), text=text, problems=error.problems)


def _sound(build: Build) -> Build:
    """Return a build without the values that cannot stand together."""
    values, lists = dict(build.values), dict(build.lists)
    if not values.get("name"):
        values["name"] = Path(build.file).stem
    whole = [n for n in lists.get("accepted", ()) if {f"accepted[{n}].reason", f"accepted[{n}].date"} <= values.keys()]
    gone = {f"accepted[{n}]" for n in lists.get("accepted", ()) if n not in whole}
    if gone:
        lists["accepted"] = tuple(whole)
    build = _without(Build(values, lists, build.file), gone)
    while problems := contradictions(build):
        before, build = build, _without(build, {p.key for p in problems})
        if (len(before.values), len(before.lists)) == (len(build.values), len(build.lists)):
            break
    return build


def _without(build: Build, keys: set[str]) -> Build:
    def stay(found: Mapping) -> dict:
        return {k: v for k, v in found.items() if not any(at_or_below(k, key) for key in keys)}

    return Build(stay(build.values), stay(build.lists), build.file)


def has_previous(build: Build) -> bool:
    """Tell whether a version before the present one lies beside a build's file."""
    return build.path is not None and build.instead_of is None and previous_of(build.path).is_file()


def previous_build(build: Build) -> Build | None:
    """Return the version before the present one, whatever is wrong with it; None where there is none to be read."""
    if not has_previous(build):
        return None
    try:
        data = read_file(previous_of(build.path))
    except BuildProblems:
        return None
    return parse_anyhow(data, file=build.file)


def bring_back(build: Build) -> tuple[Build, Path]:
    """Put the previous version of a build's file in its place; the file that stood there is put aside.

    Returns
    -------
    Build, Path
        The build as it is now, and where the file that was put aside lies.

    Raises
    ------
    NotSaved
        If there is no previous version, or the disk refuses; the file stands as it was.
    """
    if not has_previous(build):
        raise NotSaved(f"There is no previous version of {build.file}.")
    real = real_file(build.path)
    with held(real):
        try:
            old = real.read_bytes()
            tidy(real, old)
            previous = previous_of(real).read_bytes()
        except OSError as error:
            raise NotSaved(f"{build.file} cannot be read ({error.strerror}). Nothing was changed.") from error
        stamp = datetime.datetime.now().strftime("%Y-%m-%d-%H%M%S")
        aside = real.with_name(f"{real.name}.{stamp}{BROKEN}")
        if not write_new(aside, old):
            raise NotSaved(f"There is already a file {aside.name}. Nothing was changed.")
        replace_both(real, old, previous)
    return open_anyhow(build.path), aside
