"""A panel's verdicts: at the values as they stand while a hand moves, at the ends of each band once it rests."""

import asyncio
import time
from dataclasses import replace

import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.chapters.driveline.panel import panel
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO
from jackshaft.ui.fragments import strip_html
from jackshaft.ui.later import TURN, InSteps
from jackshaft.units import Measure


@pytest.fixture(scope="module")
def guessed():
    """The demo, all of it guessed but what states an allowance."""
    build = load(DEMO)
    known = {k: v for k, v in build.values.items() if isinstance(v, Measure) and v.plus_minus is None}
    return replace(build, values={**build.values, **{k: replace(v, known="guessed") for k, v in known.items()}})


def verdicts(checks):
    return {c.id: c.verdict for c in checks}


def only_at_ends(build):
    """Return the checks that are go at the values as they stand, and a caution at the ends of their bands."""
    plain, ends = (verdicts(work_up(build, ("driveline",), at_ends=at).of("driveline")) for at in (False, True))
    return [id for id, verdict in ends.items() if verdict == CAUTION and plain[id] == GO]


def test_a_hand_at_rest_sees_the_verdicts_of_the_command(guessed):
    state = panel(guessed).state
    assert only_at_ends(guessed), "nothing of it is spoilt at its ends only"
    assert not state.pending
    assert verdicts(state.outcome.checks) == verdicts(work_up(guessed, ("driveline",), at_ends=True).of("driveline"))

    id = next(id for id, c in state.controls.items() if c.kind == "length" and state.readings[id].value is not None)
    state.set(id, f"{1.01 * state.readings[id].value.si} m")
    assert state.pending and " so far" in strip_html(state)
    assert verdicts(state.outcome.checks) == verdicts(work_up(state.trial, ("driveline",)).of("driveline"))
    state.finish()
    assert not state.pending and " so far" not in strip_html(state)
    at_ends = work_up(state.trial, ("driveline",), at_ends=True)
    assert verdicts(state.outcome.checks) == verdicts(at_ends.of("driveline"))


def test_what_is_known_exactly_is_judged_at_once():
    build = load(DEMO)
    exact = {k: replace(v, plus_minus=None, known=None) for k, v in build.values.items() if isinstance(v, Measure)}
    state = panel(replace(build, values={**build.values, **exact})).state
    state.set("driveline.phase", "0 deg")
    assert state.fresh and not state.pending


def test_a_change_leaves_what_was_not_judged_yet(guessed):
    state = panel(guessed).state
    state.set("driveline.phase", "1 deg")
    steps = state.judging()
    next(steps)
    state.set("driveline.phase", "2 deg")
    for _ in steps:
        pass
    assert state.pending, "the ends of the value before were taken for those of this one"


def test_what_is_accepted_at_its_ends_only_looks_accepted(guessed):
    id = only_at_ends(guessed)[0]
    taken = {f"accepted[{id}].{k}": v for k, v in (("reason", "it was measured"), ("date", "2026-01-01"))}
    build = replace(guessed, values={**guessed.values, **taken}, lists={**guessed.lists, "accepted": (id,)})
    state = panel(build).state
    state.set("driveline.phase", "0 deg")
    assert all(c.chapter == "driveline" for c in state.outcome.checks)  # as it stands it accepts nothing: no word of it
    state.finish()
    assert next(c for c in state.outcome.checks if c.id == id).words == "caution, accepted"


def test_steps_leave_the_page_its_turns():
    seen = []

    def steps():
        for n in range(4):
            seen.append(n)
            time.sleep(1.5 * TURN)
            yield

    async def page():
        loop, done = asyncio.get_running_loop(), asyncio.Event()
        work = InSteps(0.0, steps, done.set)
        work.soon()
        assert not seen and work.going
        loop.call_later(0.5 * TURN, seen.append, "page")
        await asyncio.wait_for(done.wait(), 5.0)
        assert not work.going and seen[0] == 0 and seen.index("page") < seen.index(3) and seen.count(3) == 1
        work.soon()
        work.cancel()
        await asyncio.sleep(0.05)
        assert not work.going and seen.count(3) == 1

    asyncio.run(page())


def test_steps_without_a_page_are_done_at_once():
    seen = []
    InSteps(1.0, lambda: iter(range(3)), lambda: seen.append("done")).soon()
    assert seen == ["done"]
