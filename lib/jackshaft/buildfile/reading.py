"""Finding and reading build files."""

from __future__ import annotations

import os
import re
import tomllib
from pathlib import Path

from jackshaft import tables
from jackshaft.buildfile import limits
from jackshaft.buildfile.checking import make_build
from jackshaft.buildfile.disk import digest, write_atomic
from jackshaft.buildfile.migrate import NoWay, TooNew, migrate
from jackshaft.buildfile.model import Build
from jackshaft.buildfile.problems import BuildProblems, NotSaved, Problem
from jackshaft.buildfile.schema import SCHEMA_VERSION
from jackshaft.buildfile.values import nearest

DEMO = "feed_wagon_auger"
#: No name of a build is longer.
_NAME_BYTES = 200


def builds_dir() -> Path:
    """Return the folder of the build files."""
    return tables.data_dir() / "builds"


def list_builds() -> tuple[str, ...]:
    """Return the names of the build files, sorted; hidden files are left out."""
    return tuple(sorted(p.stem for p in builds_dir().glob("*.toml") if not p.name.startswith(".")))


def find(name: str | os.PathLike | None = None) -> Path:
    """Return the path of a build: a path, a name in ``data/builds``, or the one that is open.

    Without a name, the environment variable JACKSHAFT_BUILD decides, else the build opened last on
    the start page, else the demo build.

    Raises
    ------
    BuildProblems
        If there is no such file.
    """
    asked = str(os.environ.get("JACKSHAFT_BUILD") or opened_last() or DEMO) if name is None else str(name)
    there = list_builds()
    wanted = f"a build file, or one of {', '.join(there)}{nearest(asked, there)}"
    try:
        # a path is given as one; anything else is a name
        path = (
            Path(asked).expanduser() if asked.endswith(".toml") or os.sep in asked else builds_dir() / f"{asked}.toml"
        )
        is_there = path.is_file()
    except (OSError, ValueError, RuntimeError) as error:
        # too long, a byte that no name can have, or a home that is not known
        why = getattr(error, "strerror", None) or error
        raise BuildProblems(
            [Problem(asked[:60], "", f"a text that cannot be the name of a file ({why})", wanted)]
        ) from None
    if not asked.strip():
        raise BuildProblems([Problem("build", "name", "an empty text", wanted)])
    if not is_there:
        raise BuildProblems([Problem(asked[:200], "", "no such file", wanted)])
    return path


def _note() -> Path:
    """The note of the build opened last; git does not see it."""
    return builds_dir() / ".open"


def opened_last() -> str | None:
    """Return the name of the build opened last on this machine, or None where none was.

    Raises
    ------
    BuildProblems
        If the note of it is damaged, or its build is gone.
    """
    try:
        with _note().open("rb") as note:
            name = note.read(_NAME_BYTES + 1).decode("utf-8").strip()
    except FileNotFoundError:
        return None
    except (OSError, UnicodeDecodeError):
        name = ""
    if name in list_builds():
        return name
    found = f"'{name}', which is no build" if name and len(name) < _NAME_BYTES and name.isprintable() else "damaged"
    raise BuildProblems(
        [Problem(".open", "", f"the note of the build opened last is {found}", "open a build on the start page")]
    )


def open_next(name: str) -> None:
    """Remember the build to open next time.

    Raises
    ------
    BuildProblems
        If there is no such build.
    NotSaved
        If the disk refuses.
    """
    find(name)
    try:
        if name == DEMO:
            _note().unlink(missing_ok=True)
        else:
            write_atomic(_note(), f"{name}\n".encode())
    except OSError as error:
        words = f"The name of the open build could not be written down ({error.strerror}). No build was changed."
        raise NotSaved(f"{words} Open it again once the disk takes files.") from error


def load(name: str | os.PathLike | None = None) -> Build:
    """Read and check a build file.

    Raises
    ------
    BuildProblems
        With every fault of the file, each with its key, what was found and what is wanted.
    """
    path = find(name)
    return parse(read_file(path), file=path.name, path=path)


def read_file(path: Path) -> bytes:
    """Return the bytes of a build file; one that is far too large is not read at all.

    Raises
    ------
    BuildProblems
        If the file cannot be read, or is larger than a build file may be.
    """
    try:
        if large := limits.too_large(path.name, path.stat().st_size):
            raise BuildProblems([large])
        return path.read_bytes()
    except OSError as error:
        raise BuildProblems(
            [Problem(path.name, "", f"a file that cannot be read ({error.strerror})", "a file you may read")]
        ) from None


def parse(data: bytes, *, file: str, path: Path | None = None) -> Build:
    """Check the bytes of a build file and return the Build.

    Raises
    ------
    BuildProblems
        With every fault.
    """

    def refuse(found: str, wanted: str, key: str = "") -> BuildProblems:
        return BuildProblems([Problem(file, key, found, wanted)])

    if large := limits.too_large(file, len(data)):
        raise BuildProblems([large])
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise refuse(f"bytes on line {line} that are not UTF-8", "a text file saved as UTF-8") from None
    if not text.strip():
        raise refuse("an empty file", 'at least schema = 1 and name = "..."')
    document = _document(text, refuse)
    if long := tuple(limits.too_long(file, document)):
        raise BuildProblems(long)
    _version(document, refuse)
    if beyond := tuple(limits.beyond(file, document)):
        raise BuildProblems(beyond)
    return make_build(document, file=file, path=path, digest=digest(data), text=text)


def _document(text: str, refuse) -> dict:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise refuse(
            f"a fault in the TOML {_where(str(error), text)}",
            "TOML: texts in quotes, chapters in [brackets], each key once",
        ) from None
    except (ValueError, RecursionError, OverflowError):
        raise refuse("numbers or brackets beyond what a build needs", "TOML as in the other builds") from None


def _where(words: str, text: str) -> str:
    """Say the reader's own words with the place in front; what is noticed at the end may lie anywhere before."""
    hit = re.fullmatch(r"(.*?) \(at (?:line (\d+), column (\d+)|end of document)\)", words, re.DOTALL)
    reason, line, column = hit.groups() if hit else (words, None, None)
    if "overwrite" in reason or "twice" in reason:
        reason = "this key or chapter exists already"
    return f"on line {line}, column {column} ({reason})" if line else f"by line {len(text.splitlines())} ({reason})"


def _version(document, refuse) -> None:
    version = document.get("schema")
    if version is None:
        raise refuse("nothing", f"schema = {SCHEMA_VERSION} at the top, which is required", "schema")
    if isinstance(version, bool) or not isinstance(version, int) or version < 0:
        raise refuse(f"'{version}'", f"a whole number such as {SCHEMA_VERSION}", "schema")
    try:
        migrate(document, version)
    except TooNew:
        raise refuse(
            f"schema {version}, which is newer than this workbook",
            f"schema {SCHEMA_VERSION} or older, or a newer workbook",
            "schema",
        ) from None
    except NoWay:
        raise refuse(
            f"schema {version}", f"schema {SCHEMA_VERSION}; schema {version} cannot be brought up to it", "schema"
        ) from None
