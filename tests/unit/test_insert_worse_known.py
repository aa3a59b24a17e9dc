"""What is known worse, or held worse, is never judged better: two inserts on one shaft, 250 N on each."""

from __future__ import annotations

import pytest
from builders import data
from test_inserts import of


@pytest.mark.parametrize("shock, worse", [(1.0, 1.5**3), (1.5, 1.0), (2.0, (1.5 / 2) ** 3)])
def test_an_unknown_shock_factor_is_1_5_at_the_bad_end(shock, worse):
    # life goes with load to the third; belts and rough work need up to 1.5 (textbook-practice)
    known = data(of(shock_factor=str(shock)), "bearings").lives["A"].life_bad
    assert known == pytest.approx(worse * data(of(), "bearings").lives["A"].life_bad)
