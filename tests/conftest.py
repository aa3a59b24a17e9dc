"""What every test stands on: the demo build is open, and nobody's own build is read or changed.

The environment is set here, before any notebook kernel starts, so that the stored outputs are compared with
those of the demo build whatever the person at the keyboard has open.
"""

from __future__ import annotations

import hashlib
import os
import shutil
from pathlib import Path

import pytest
from jackshaft.buildfile import DEMO

ROOT = Path(__file__).resolve().parents[1]
BUILDS = ROOT / "data" / "builds"

os.environ["JACKSHAFT_BUILD"] = DEMO
os.environ.pop("JACKSHAFT_DATA", None)


def builds_as_they_are() -> dict[str, str]:
    """Every file of ``data/builds`` with the checksum of its bytes."""
    return {p.name: hashlib.sha256(p.read_bytes()).hexdigest() for p in sorted(BUILDS.iterdir()) if p.is_file()}


def pytest_sessionstart(session):
    session.config.builds_before = builds_as_they_are()


def pytest_sessionfinish(session):
    """Fail the run if it changed the project's own builds: a test or a notebook kept work in the wrong place."""
    before, after = session.config.builds_before, builds_as_they_are()
    session.config.builds_changed = sorted(n for n in before.keys() | after.keys() if before.get(n) != after.get(n))
    if session.config.builds_changed and not hasattr(session.config, "workerinput"):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter, config):
    changed = getattr(config, "builds_changed", [])
    if changed:
        terminalreporter.write_line(
            f"data/builds changed during the run: {', '.join(changed)}; tests keep work on a copy (fixture own_data)",
            red=True,
        )


@pytest.fixture
def for_each():
    """Hold a check against every one of many things in one test, and report all that fail, not only the first.

    ``for_each(things, check, name=str)`` calls ``check(thing)``; a fault is named by ``name(thing)``. No things at
    all is a fault too: the list that was to be held is gone.
    """

    def run(things, check, name=str):
        things, faults = list(things), []
        for thing in things:
            try:
                check(thing)
            except (Exception, pytest.fail.Exception) as error:  # a fault of any kind belongs to the report
                faults.append(f"{name(thing)}: {type(error).__name__}: {error}")
        if not things:
            pytest.fail("there was nothing to check")
        if faults:
            pytest.fail(f"{len(faults)} of {len(things)} failed:\n" + "\n".join(faults), pytrace=False)

    return run


@pytest.fixture
def own_data(tmp_path, monkeypatch) -> Path:
    """A copy of ``data/`` that the test may change; the package reads it while the test runs.

    Tables are cached by path and time of change, so the copy is read afresh and the project's own tables
    stand again afterwards.
    """
    copy = tmp_path / "data"
    shutil.copytree(ROOT / "data", copy, ignore=shutil.ignore_patterns("*.previous", ".open", "records"))
    monkeypatch.setenv("JACKSHAFT_DATA", str(copy))
    return copy
