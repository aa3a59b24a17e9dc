"""Builds grown from nothing in any order: each half-entered state is worked up, drawn and written down."""

import random
import warnings

import pytest
from jackshaft.buildfile.lenient import parse_anyhow
from jackshaft.drawing.pictures import pictures_of
from jackshaft.record import record_page
from jackshaft.record.outside import outside_references
from jackshaft.results import work_up
from mutations import NO_NUMBER, asked, grown, machines, thinned


def examine_half_entered(build) -> None:
    results = work_up(build)
    assert not results.faults, (build.text, results.faults[0].fault.trace)
    for check in results.checks:
        assert not NO_NUMBER.search(f"{check.value} {check.limit}"), (build.text, check)
    for chapter in results.chapters:
        pictures_of(results, chapter)


@pytest.mark.parametrize("part", range(2))
def test_half_entered_builds_are_worked_up_and_drawn(part):
    rounds, seed = asked(1)
    rng = random.Random(60 + part if seed is None else seed)
    tried = 0
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for _ in range(rounds):
            for n, build in enumerate(grown(rng, 250)):
                if n % 20 == 0:
                    examine_half_entered(build)
                    tried += 1
            page = record_page(build)
            assert not outside_references(page), build.text
            assert "the program itself failed" not in page.lower(), build.text
    assert tried > 3 * rounds


def test_builds_of_which_a_part_is_entered_are_worked_up_and_drawn():
    rounds, seed = asked(12)
    rng, builds = random.Random(65 if seed is None else seed), machines()
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for _ in range(rounds):
            examine_half_entered(thinned(rng, rng.choice(builds)))


def test_a_half_entered_file_that_is_cut_off_still_opens():
    rng = random.Random(80)
    for _ in range(10):
        *_, build = grown(rng, 60)
        raw = build.text.encode()
        opened = parse_anyhow(raw[: rng.randrange(len(raw))], file="cut.toml")
        assert not work_up(opened).faults, raw
