"""Every value that a cure of the belt pages would write stands in its words, letter for letter."""

import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, STOP
from jackshaft.results.proving import proposals

AT = "stage[crank belts]"
SPOILT = [
    {"marked": "A75"},
    {"belts": 1, "takeup.slack_tension": "3 lbf"},
    {"takeup.slack_tension": "900 lbf"},
    {"takeup.pivot_x": "6 in", "takeup.pivot_y": "-9 in"},
    {"pulley[E].diameter": "2 in"},
    {"pulley[E].diameter": "50 mm"},
    {"pulley[J].x": "8 in"},
]


@pytest.mark.parametrize("system", ["inch", "metric"])
@pytest.mark.parametrize("spoilt", SPOILT, ids=str)
def test_what_is_written_is_what_is_said(spoilt, system):
    results = work_up(load(DEMO).with_values({"shown_in": system, **{f"{AT}.{k}": v for k, v in spoilt.items()}}))
    tried = 0
    for check in results.checks:
        if check.verdict in (CAUTION, STOP) and check.chapter in ("layout", "grip", "capacity"):
            for one in proposals(results, check):
                texts = [v for v in one.changes.values() if isinstance(v, str) and v]
                assert all(text in one.words for text in texts), (check.id, one)
                tried += 1
    assert tried >= 3
