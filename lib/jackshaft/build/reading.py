"""Finding and reading build files."""

from __future__ import annotations

import os
from pathlib import Path

import tomlkit
from tomlkit.exceptions import ParseError, TOMLKitError

from jackshaft import tables
from jackshaft.build.checking import make_build
from jackshaft.build.disk import digest
from jackshaft.build.migrate import NoWay, TooNew, migrate
from jackshaft.build.model import Build
from jackshaft.build.problems import BuildProblems, Problem
from jackshaft.build.schema import SCHEMA_VERSION
from jackshaft.build.values import nearest

DEMO = "feed_wagon_auger"


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
    asked = str(name or os.environ.get("JACKSHAFT_BUILD") or opened_last() or DEMO)
    if asked.endswith(".toml") or os.sep in asked:
        path = Path(asked).expanduser()
    else:
        path = builds_dir() / f"{asked}.toml"
    if not path.is_file():
        there = list_builds()
        raise BuildProblems(
            [Problem(asked, "", "no such file", f"a build file, or one of {', '.join(there)}{nearest(asked, there)}")]
        )
    return path


def _note() -> Path:
    """The note of the build opened last; git does not see it."""
    return builds_dir() / ".open"


def opened_last() -> str | None:
    """Return the name of the build opened last on this machine, or None where its file is gone."""
    try:
        name = _note().read_text(encoding="utf-8").strip()
    except OSError:
        return None
    return name if name and (builds_dir() / f"{name}.toml").is_file() else None


def open_next(name: str) -> None:
    """Remember the build to open next time.

    Raises
    ------
    BuildProblems
        If there is no such build.
    """
    find(name)
    if name == DEMO:
        _note().unlink(missing_ok=True)
    else:
        _note().write_text(name + "\n", encoding="utf-8")


def load(name: str | os.PathLike | None = None) -> Build:
    """Read and check a build file.

    Raises
    ------
    BuildProblems
        With every fault of the file, each with its key, what was found and what is wanted.
    """
    path = find(name)
    try:
        data = path.read_bytes()
    except OSError as error:
        raise BuildProblems(
            [Problem(path.name, "", f"a file that cannot be read ({error.strerror})", "a file you may read")]
        ) from None
    return parse(data, file=path.name, path=path)


def parse(data: bytes, *, file: str, path: Path | None = None) -> Build:
    """Check the bytes of a build file and return the Build.

    Raises
    ------
    BuildProblems
        With every fault.
    """

    def refuse(found: str, wanted: str, key: str = ""):
        return BuildProblems([Problem(file, key, found, wanted)])

    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise refuse(f"bytes on line {line} that are not UTF-8", "a text file saved as UTF-8") from None
    if not text.strip():
        raise refuse("an empty file", 'at least schema = 1 and name = "..."')
    try:
        document = tomlkit.parse(text)
    except ParseError as error:
        raise refuse(
            f"a fault in the TOML on line {error.line}, column {error.col} ({_reason(error)})",
            "TOML: texts in quotes, chapters in [brackets], each key once",
        ) from None
    except TOMLKitError as error:
        raise refuse(f"a fault in the TOML ({error})", "TOML: each key once") from None
    _version(document, refuse)
    return make_build(document.unwrap(), file=file, path=path, digest=digest(data), text=text)


def _reason(error: ParseError) -> str:
    return str(error).split(" at line")[0]


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
            f"schema {version}", f"schema {SCHEMA_VERSION}; no way leads there from {version}", "schema"
        ) from None
