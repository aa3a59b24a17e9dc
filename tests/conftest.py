"""What every test stands on: the demo build is open, and nobody's own build is read or changed.

The environment is set here, before any notebook kernel starts, so that the stored outputs are compared with
those of the demo build whatever the person at the keyboard has open.
"""

from __future__ import annotations

import gc
import hashlib
import os
import shutil
from pathlib import Path

import pytest
from jackshaft.buildfile import DEMO, load

ROOT = Path(__file__).resolve().parents[1]
BUILDS = ROOT / "data" / "builds"

os.environ["JACKSHAFT_BUILD"] = DEMO
os.environ.pop("JACKSHAFT_DATA", None)

#: Files that take longest, the longest first: they start first, so that none is left over for one worker at the end.
LONGEST = (
    "browser/test_start_and_record.py",
    "unit/test_proving.py",
    "browser/test_bearing_lookup.py",
    "fuzz/test_fuzz.py",
    "browser/test_clutch_electrical_load.py",
    "unit/test_record.py",
    "unit/test_nothing_invented.py",
    "browser/test_drive_and_layout.py",
    "unit/test_same_machine.py",
    "browser/test_shafts_and_joints.py",
    "notebooks/test_every_build.py",
    "fuzz/test_fuzz_panels.py",
    "unit/test_workup_reuse.py",
    "browser/test_tension_and_grip.py",
    "browser/test_panel_in_lab.py",
    "browser/test_what_gives_first.py",
    "browser/test_search_layouts.py",
    "unit/test_search.py",
    "fuzz/test_fuzz_half_entered.py",
    "unit/test_start_page.py",
    "contract/test_undecided.py",
    "unit/test_chain_cures.py",
    "browser/test_record_opens.py",  # last of these: test_record has made the records by then
)

#: Each takes ten seconds and more and stands beside others that look at the same; JACKSHAFT_LONG=1 runs them too.
LONG = {
    "test_from_the_command_through_a_new_build_to_a_record",
    "test_panels_handled_at_random_show_no_fault",
    "test_a_picture_wider_than_the_screen_says_that_it_is_swiped",
    "test_no_cure_of_a_metric_drive_shown_in_inches_has_a_long_number",
    "test_check_of_every_build_ends_as_it_says",
    "test_cures_that_are_taken_come_to_an_end",
    "test_cures_are_printed_as_data_that_set_takes",
    "test_pages_with_their_pictures_are_made_of_whatever_loads",
    "test_a_build_that_is_not_there_opens_the_demo_and_says_so",
    "test_spoiled_machines_rewritten_in_any_units_are_the_same_machines",
    "test_proposals_stay_few",
    "test_the_cures_of_spoilt_builds_keep_their_word",
    "test_a_stepped_shaft",
    "test_each_card_is_one_page_and_fits_a_phone",
    "test_no_single_key_can_be_lost_and_the_chain_be_go_without_its_part",
    "test_the_best_set_of_a_small_grid_is_that_of_plain_loops",
    "test_nothing_is_cut_off",
    "test_what_is_known_worse_never_gets_a_better_verdict",
    "test_checks_are_printed_as_data_with_the_exit_code_of_check",
    "test_what_a_page_stops_is_left_out_and_counted",
    "test_a_name_that_no_font_or_formula_has_is_drawn_without_a_word_to_the_screen",
    "test_taking_over_changes_nothing",
    "test_taking_over_changes_nothing_with_steps_and_joints",
    "test_what_lacks_is_a_clause_of_its_own_each_thing_once",
    "test_both_pulleys_are_scaled_to_sizes_that_are_sold_and_the_belt_goes_along",
    "test_the_search_shows_nothing_for_what_is_not_known",
}


def pytest_configure(config):
    """Let the workers take the files in the order below, not by how many tests a file has."""
    config.option.loadscopereorder = False


def pytest_collection_modifyitems(items):
    """Put the longest files first; the rest stay as they are."""
    rank = {ROOT / "tests" / name: number for number, name in enumerate(LONGEST)}
    items.sort(key=lambda item: rank.get(item.path, len(rank)))
    if "JACKSHAFT_LONG" not in os.environ:
        items[:] = [item for item in items if getattr(item, "originalname", item.name) not in LONG]


def pytest_collection_finish():
    """Let the collector of garbage leave alone what stands until the end, and look less often: it took a tenth."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 50, 50)


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


@pytest.fixture(scope="session")
def record_of(tmp_path_factory):
    """The record page of a build as it is committed, ``record_of(name_or_path)``, made once for all tests of a run.

    The workers share it in the folder of the run; two that need it at one time both make it.
    """
    from jackshaft.record import record_page

    folder = tmp_path_factory.getbasetemp()
    folder = folder.parent if "PYTEST_XDIST_WORKER" in os.environ else folder

    def page(name) -> str:
        build = load(name)
        made = folder / f"record_of_{build.slug}.html"
        if not made.exists():
            own = folder / f"{made.name}.{os.getpid()}"
            own.write_text(record_page(build), encoding="utf-8")
            own.replace(made)
        return made.read_text(encoding="utf-8")

    return page


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
