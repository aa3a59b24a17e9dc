"""A pull that stays as it is whatever the load: a band's strain, a spring."""

import numpy as np
import pytest
from builders import check_of as check
from builders import data
from shaft_builds import TWO_BELTS, results

LOAD = "shaft[jackshaft].load[band wheel]"
BAND = {
    f"{LOAD}.position": "5 in",
    f"{LOAD}.pull": "900 lbf",
    f"{LOAD}.toward": "180 deg",
}


def bands(**said):
    names = {"shaft[jackshaft].load": ["stage 1 pulley", "stage 2 pulley", "band wheel"]}
    return results(TWO_BELTS, **names, **BAND, **{f"{LOAD}.{k}": v for k, v in said.items()})


@pytest.fixture(scope="module")
def both():
    return bands(), bands(steady=True)


def pulls(found):
    return next(p for p in data(found, "bearings").shafts["jackshaft"].loads.pulls if p.name == "band wheel")


def test_a_steady_pull_counts_once_in_every_case(both):
    """Seen: the strain of a band, 900 lbf by its screw, was counted 26 times in a jam."""
    grows, steady = map(pulls, both)
    strain = 900 * 4.4482216152605
    sizes = {"work": 1, "rest": 1, "peak": 1} | dict.fromkeys(steady.more, 1)
    assert {"jam", "overrun", "start"} <= set(steady.more)
    for i, case in enumerate(("work", "rest", "peak")):
        assert np.hypot(*steady.force[i]) == pytest.approx(strain * sizes[case])
    for case, (force, _) in steady.more.items():
        assert np.hypot(*force) == pytest.approx(strain), case
    assert np.hypot(*grows.more["jam"][0]) > 2 * strain


def test_where_a_pull_that_grows_makes_the_verdict_the_words_ask(both):
    key = f"{LOAD}.steady"
    grows, steady = (check(found, "shafts.yield[jackshaft]") for found in both)
    assert grows.verdict != "go" and f"say so ({key})" in grows.reason
    assert key in both[0].chapters["shafts"].missing and key not in both[1].chapters["shafts"].missing
    assert "counted once, the same in every load case" in steady.reason and key not in steady.reason
