"""Parts on a shaft that nobody weighed: no better verdict without the weight than with it."""

from __future__ import annotations

import pytest
from builders import check_of
from jackshaft.buildfile import DEMO, load
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, UNDECIDED
from shaft_builds import TEXT, parse

CHIPPER = "tests/builds/flywheel_chipper.toml"
WHEEL = "shaft[wheel shaft].load[wheel].weight"


def _weights(build):
    keys = [f"shaft[{s}].load[{p}].weight" for s in build.names("shaft") for p in build.names(f"shaft[{s}].load")]
    return [k for k in keys if build.get(k) is not None]


@pytest.fixture(scope="module")
def machines():
    builds = {"demo": load(DEMO), "chipper": load(CHIPPER), "two belts": parse(TEXT.encode(), file="two belts")}
    return {name: (build, work_up(build)) for name, build in builds.items()}


@pytest.mark.parametrize("name", ["demo", "chipper", "two belts"])
def test_without_its_weight_nothing_holds_that_fails_with_it(machines, name):
    build, weighed = machines[name]
    worse = {c.id: c.verdict for c in weighed.checks if c.verdict in (CAUTION, STOP)}
    assert (keys := _weights(build))
    for key in keys:
        found = work_up(build.with_values({key: ""}), ("shafts",))
        for check in found.checks:
            known = worse.get(check.id, GO)
            assert check.verdict == UNDECIDED or ORDER.index(check.verdict) >= ORDER.index(known), (key, check.id)
        # what was written down lies under what it is taken for at the most
        assert found.chapters["bearings"].data.weights[key] > build.get(key).si, key


def test_a_go_is_left_open_only_where_a_heavy_part_would_spoil_it(machines):
    build, weighed = machines["chipper"]
    assert check_of(weighed, "shafts.slope[wheel shaft]").verdict == CAUTION
    build = build.with_values({"work.name": "wheel"})  # so that the wheel is known to be the work, weighed or not
    slope = check_of(work_up(build.with_values({WHEEL: ""})), "shafts.slope[wheel shaft]")
    assert (slope.verdict, slope.missing) == (UNDECIDED, (WHEEL,)) and "by an estimate from size" in slope.reason
    stout = work_up(build.with_values({WHEEL: "", "shaft[wheel shaft].diameter": "3 in"}))
    assert check_of(stout, "shafts.slope[wheel shaft]").verdict == GO
