"""Bearings, shafts, crank and belts: what nobody wrote down never judges them better than what was written down."""

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


@pytest.mark.parametrize("share", [0.2, 0.9])
def test_what_more_the_work_may_take_counts_at_the_bad_end(share):
    """A power that may be more by a share is at its bad end as hard as one that is written down as so much more."""
    build = load("feed_wagon_auger")
    power = build.get("work.power").si
    changes = {"rough": {"value": f"{power} W", "plus_minus": f"{share * power} W"}, "more": f"{(1 + share) * power} W"}
    plain, (rough, more) = work_up(build), (work_up(build.with_values({"work.power": v})) for v in changes.values())
    grips = {name: r.chapters["grip"].data["crank belts"] for name, r in (("rough", rough), ("more", more))}
    assert grips["rough"].margin == pytest.approx(plain.chapters["grip"].data["crank belts"].margin)
    for case in ("start", "work", "peak"):
        found, wanted = (grips[name].case(case) for name in ("rough", "more"))
        assert found.least_bad == pytest.approx(wanted.least_bad), case
        assert found.needed_bad == pytest.approx(wanted.needed_bad), case
    stages = [r.chapters["capacity"].data["crank belts"] for r in (rough, more)]
    assert stages[0].design_bad == pytest.approx(stages[1].design_bad)
    assert stages[0].design == pytest.approx(stages[1].design / (1 + share))
    # the torque at which a belt slips is its own, whatever the work takes
    lows = [[n.low for n in r.chapters["chain"].data.links if n.name.endswith(": slip")] for r in (plain, rough)]
    assert lows[0] and lows[0] == pytest.approx(lows[1])
