"""A chapter taken over from before is the one that would have been worked out anew.

This holds only if every chapter notes every input it read, so it is also the test that a change in the
build file reaches every number that depends on it, and that the list of what is out of date is whole.
"""

import os

import pytest
from jackshaft.buildfile import DEMO, NONE, BuildProblems, list_builds, load
from jackshaft.results import out_of_date, work_up
from jackshaft.units import Measure, write

#: About so many values of a build are changed, from its first to its last; all of them where JACKSHAFT_REUSE is set.
MOST = 40


def shown(results):
    return {name: (c.state, c.facts, c.checks, c.tables, c.missing) for name, c in results.chapters.items()}


def changed(build, key, value):
    """Return the build with one value a little different, or forgotten where it is no quantity."""
    if key in ("schema", "name") or value is NONE:
        return None
    if not isinstance(value, Measure):
        text = ""
    elif value.kind == "wire":
        text = "12 AWG" if build.system == "inch" else "4 mm²"
    else:
        text = write(value.si * 1.013, value.kind, build.system)
    try:
        return build.with_values({key: text})
    except BuildProblems:
        return None


@pytest.mark.parametrize("name", list_builds())
def test_taking_over_changes_nothing(name):
    build = load(name)
    before = work_up(build)
    was, tried = shown(before), 0
    few = 1 if "JACKSHAFT_REUSE" in os.environ else max(1, len(build.values) // MOST)
    for key, value in list(build.values.items())[::few]:
        other = changed(build, key, value)
        if other is None:
            continue
        now = shown(work_up(other))
        assert shown(work_up(other, before=before)) == now, key
        tried += 1
        moved = {n for n in now.keys() & was.keys() if now[n] != was[n]}
        told = {c.name for c, _ in out_of_date(build, other, tuple(before.chapters.values()))}
        assert moved <= told, (key, moved - told)
    assert tried > 10


def test_the_way_back_is_the_same():
    build = load(DEMO)
    first = work_up(build)
    there = work_up(build.with_values({"engine.work_speed": "2000 rpm"}), before=first)
    assert shown(work_up(build, before=there)) == shown(first)
