"""Spoil the package on purpose and see whether the tests notice: ``python tests/spoilings.py [NAME ...]``.

``spoilings.toml`` lists each spoiling: a file, the text in it, the text put in its place, and the tests that should
fail then. All of it happens in a copy of the tree in a temporary folder. A spoiling that its tests do not notice is a
survivor; the exit code is 1 where there is one, 2 where something could not be tried. A NAME may be part of a name.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[1]
LIST = ROOT / "tests" / "spoilings.toml"
LEFT_OUT = shutil.ignore_patterns(".git", ".venv", "__pycache__", ".*_cache", "*.previous", "*.lock")
LONGEST = 600  # s for one run of tests

CAUGHT, SURVIVED, NOT_TRIED = "caught", "survived", "not tried"


class Spoiling(NamedTuple):
    """One spoiling: ``old`` becomes ``new`` in ``file``, and each of ``tests`` (pytest's node ids) should then fail."""

    name: str
    file: str
    old: str
    new: str
    tests: tuple[str, ...]

    def fault(self, root: Path) -> str:
        """Say why it cannot be applied to the tree at ``root``; empty where it can."""
        path = root / self.file
        if not path.is_file():
            return f"there is no file {self.file}"
        count = path.read_text(encoding="utf-8").count(self.old)
        if count != 1:
            return f"its old text stands {count} times in {self.file}, once is wanted: {self.old!r}"
        return "old and new are the same text" if self.old == self.new else ""


def read(path: Path = LIST) -> tuple[Spoiling, ...]:
    """Return the list, in its order."""
    rows = tomllib.loads(path.read_text(encoding="utf-8"))["spoiling"]
    return tuple(Spoiling(**{**row, "tests": tuple(row["tests"])}) for row in rows)


def surroundings(root: Path) -> dict[str, str]:
    """Return the environment in which Python reads the package of the tree at ``root``.

    No byte code is written: a spoiled file of the same size and second would be taken for the sound one.
    """
    return {**os.environ, "PYTHONPATH": str(root / "lib"), "PYTHONDONTWRITEBYTECODE": "1", "JACKSHAFT_LONG": "1"}


def run_tests(root: Path, tests: Iterable[str]) -> tuple[int, str]:
    """Run tests in the tree at ``root``; return pytest's exit code and what it printed."""
    # Plug-ins take longer to load than most tests to run, so none is; the options that need them go with them.
    given = {**surroundings(root), "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
    command = [sys.executable, "-m", "pytest", "-q", "-o", "addopts=", "-p", "no:cacheprovider", "--tb=line", *tests]
    done = subprocess.run(command, cwd=root, env=given, capture_output=True, text=True, timeout=LONGEST, check=False)
    return done.returncode, done.stdout + done.stderr


def imported_from(root: Path) -> Path:
    """Return the file that ``import jackshaft`` reads in the tree at ``root``."""
    command = [sys.executable, "-c", "import jackshaft; print(jackshaft.__file__)"]
    done = subprocess.run(
        command, cwd=root, env=surroundings(root), capture_output=True, text=True, timeout=LONGEST, check=True
    )
    return Path(done.stdout.strip()).resolve()


def outcome(root: Path, spoiling: Spoiling) -> tuple[str, str]:
    """Spoil the tree at ``root``, run each of the tests named, mend it; return what came of it, and why."""
    fault = spoiling.fault(root)
    if fault:
        return NOT_TRIED, fault
    path = root / spoiling.file
    sound = path.read_bytes()
    try:
        path.write_text(sound.decode("utf-8").replace(spoiling.old, spoiling.new), encoding="utf-8", newline="")
        for test in spoiling.tests:
            code, said = run_tests(root, [test])
            if code == 0:
                return SURVIVED, f"{test} passed"
            if code != 1:  # pytest: 1 is failed tests, all else did not get that far
                return NOT_TRIED, f"{test}: pytest ended with code {code}\n{said[-2000:]}"
    finally:
        path.write_bytes(sound)
    return CAUGHT, ""


def judge(root: Path, spoilings: Iterable[Spoiling]) -> list[tuple[Spoiling, str, str]]:
    """Try spoilings in a copy of the tree at ``root``; return each with what came of it, and why.

    Raises
    ------
    RuntimeError
        The tests fail in the sound copy, or the copy's package is not the one that is imported.
    """
    spoilings = list(spoilings)
    with tempfile.TemporaryDirectory(prefix="spoiled-") as folder:
        copy = Path(folder).resolve() / "tree"
        shutil.copytree(root, copy, ignore=LEFT_OUT)
        if not imported_from(copy).is_relative_to(copy):
            raise RuntimeError(f"the package is imported from {imported_from(copy)}, not from the copy")
        code, said = run_tests(copy, dict.fromkeys(test for s in spoilings for test in s.tests))
        if code != 0:
            raise RuntimeError(f"the tests fail before anything is spoiled:\n{said[-4000:]}")
        found = []
        for spoiling in spoilings:
            what, why = outcome(copy, spoiling)
            print(f"{what:9}  {spoiling.name}" + (f": {why}" if why else ""), flush=True)
            found.append((spoiling, what, why))
    return found


def main(names: list[str]) -> int:
    """Try the spoilings whose names hold one of ``names``, or all; print the survivors and return the exit code."""
    chosen = [s for s in read() if not names or any(name in s.name for name in names)]
    if not chosen:
        print(f"no spoiling has a name with {' or '.join(names)} in it; the names stand in {LIST.name}")
        return 2
    try:
        found = judge(ROOT, chosen)
    except RuntimeError as error:
        print(error)
        return 2
    count = {what: sum(w == what for _, w, _ in found) for what in (CAUGHT, SURVIVED, NOT_TRIED)}
    print(", ".join(f"{n} {what}" for what, n in count.items()))
    return 2 if count[NOT_TRIED] else 1 if count[SURVIVED] else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
