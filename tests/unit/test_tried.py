"""Cures that were proved are remembered as long as nothing they rest on changes, and no longer."""

from __future__ import annotations

import os
from dataclasses import replace

import pytest
from jackshaft import tables
from jackshaft.buildfile import DEMO, load
from jackshaft.results import tried as module
from jackshaft.results import work_up
from jackshaft.results.cure import Cure


@pytest.fixture(scope="module")
def results():
    return work_up(load(DEMO), ("ratio",))


@pytest.fixture
def proved(monkeypatch):
    """Each id that is proved, in turn; the number of the proof stands in the words of its cure."""
    calls = []

    def prove(results, ids):
        calls.extend(sorted(ids))
        cure = Cure(f"cure {len(calls)}", {}, "go", "", ())
        return replace(results, checks=tuple(replace(c, cures=(cure,)) for c in results.checks))

    monkeypatch.setattr(module, "with_cures", prove)
    monkeypatch.setattr(module, "_last", None)
    return calls


def test_a_check_is_proved_once_and_another_one_beside_it(results, proved):
    one, other = (c.id for c in results.checks[:2])
    first = module.tried(results, [one])
    assert [c.id for c in first] == [one] and proved == [one]
    assert module.tried(work_up(load(DEMO), ("ratio",)), [one]) == first and proved == [one]
    assert [c.id for c in module.tried(results, [other, one])] == [one, other] and proved == [one, other]


def test_another_value_another_verdict_or_another_table_has_it_proved_anew(results, proved, own_data):
    one = results.checks[0].id
    module.tried(results, [one])
    build = results.build.with_values({"work.power": "4.9 hp"})
    assert {c.id for c in module.tried(replace(results, build=build), [one])} == {one} and len(proved) == 2
    worse = tuple(replace(c, reason="another one") for c in results.checks)
    module.tried(replace(results, checks=worse), [one])
    assert len(proved) == 3
    module.tried(replace(results, checks=worse), [one])
    assert len(proved) == 3
    before, path = tables.stamp(), tables.data_dir() / "tables" / "bearings.csv"
    later = path.stat().st_mtime_ns + 10**9
    os.utime(path, ns=(later, later))
    assert tables.stamp() != before
    module.tried(replace(results, checks=worse), [one])
    assert len(proved) == 4
