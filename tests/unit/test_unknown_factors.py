"""Bearings, shafts and crank: what nobody wrote down never judges them better than what was written down."""

from __future__ import annotations

from pathlib import Path

import pytest
from jackshaft.buildfile import load
from jackshaft.results import work_up
from jackshaft.results.checks import ORDER, UNDECIDED

TOP = Path(__file__).resolve().parents[2]
BUILDS = sorted([*TOP.glob("data/builds/*.toml"), *TOP.glob("tests/builds/*.toml")])
JUDGED = ("bearings.life", "bearings.static", "shafts.crank", "shafts.crank-bending")
JUDGED += ("shafts.strength", "shafts.yield", "shafts.joint")


def judged(build):
    return {c.id: c for c in work_up(build).checks if c.id.partition("[")[0] in JUDGED}


@pytest.mark.parametrize("file", BUILDS, ids=lambda p: p.stem)
def test_a_factor_taken_out_never_betters_a_verdict(file, for_each):
    build = load(file)
    keys = [f"bearing[{name}].shock_factor" for name in build.lists.get("bearing", ())]
    keys += [f"work.{which}_factor" for which in ("start", "peak", "overrun")]

    def no_better(case):
        key, value = case
        told = build if value is None else build.with_values({key: value})
        without = judged(told.with_values({key: ""}))
        for id, was in judged(told).items():
            now = without[id]
            waits = now.verdict == UNDECIDED and key in now.missing
            assert waits or ORDER.index(now.verdict) >= ORDER.index(was.verdict), (id, was.verdict, now.verdict)

    for_each([(key, value) for key in keys for value in (None, "1.5", "2.5")], no_better)
