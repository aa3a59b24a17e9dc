"""The fixture that holds a check against many things in one test: it must report all that fail."""

from __future__ import annotations

import pytest


def _small(n):
    assert n < 3, "too large"
    if n < 0:
        pytest.fail("below nought")
    return 1 / n


def test_all_pass(for_each):
    for_each([1, 2], _small)


def test_every_failure_is_reported_whatever_its_kind(for_each):
    with pytest.raises(pytest.fail.Exception) as raised:
        for_each([1, 5, -1, 0, 2, 7], _small, lambda n: f"number {n}")
    words = str(raised.value)
    assert words.startswith("4 of 6 failed")
    for part in (
        "number 5: AssertionError: too large",
        "number -1: Failed: below nought",
        "number 0: ZeroDivisionError",
    ):
        assert part in words
    assert "number 7" in words and "number 1:" not in words and "number 2" not in words


def test_nothing_to_check_is_a_failure(for_each):
    with pytest.raises(pytest.fail.Exception, match="nothing to check"):
        for_each([], _small)
