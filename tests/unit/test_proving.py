"""Cures are changes that were tried: each keeps its word when it is put into the build."""

from __future__ import annotations

import json
import os
import random
import re
from dataclasses import replace
from pathlib import Path

import pytest
from jackshaft import cli
from jackshaft.buildfile import DEMO, builds_dir, entered, list_builds, load, parse
from jackshaft.buildfile.keys import possible_keys
from jackshaft.results import Number, work_up
from jackshaft.results.chapter import Detail, Scope
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, UNDECIDED, Accepted
from jackshaft.results.cure import Cure, Proposal
from jackshaft.results.failing import Failing
from jackshaft.results.proving import applied, prove, with_cures
from jackshaft.results.worsening import worsened
from jackshaft.units import Measure, read, write

#: Cures that are taken one after the other; all of them where JACKSHAFT_CURES is set.
STEPS = 40 if "JACKSHAFT_CURES" in os.environ else 3

MACHINES = [*list_builds(), *sorted((Path(__file__).parents[1] / "builds").glob("*.toml"))]
#: Checks are wanted, no tables beside them.
JUDGED = Scope(Detail.NO_TABLES)
SLACK = "stage[crank belts].takeup.slack_tension"
#: Of the cures that are offered, every so many is taken at its word.
EVERY = 1 if "JACKSHAFT_CURES" in os.environ else 2
#: Spoilt builds that are tried; JACKSHAFT_CURES raises it.
SPOILT = int(os.environ.get("JACKSHAFT_CURES", "6"))


def spoilt(seed: int):
    """Return a build of which one to three quantities are far from what they were."""
    rng = random.Random(seed)
    build = load(rng.choice(MACHINES))
    sizes = [k for k in possible_keys(build) if isinstance(build.values.get(k), Measure)]
    for key in rng.sample(sizes, min(len(sizes), rng.choice([1, 2, 3]))):
        old = build.values[key]
        text = write(old.si * rng.choice([0.3, 0.5, 0.7, 1.4, 2.0, 3.0]), old.kind, build.system)
        try:
            build = build.with_values({key: text})
        except ValueError:
            continue
    return build


def worse_verdicts(before, after, but) -> set[tuple[str, str, str]]:
    """Return id and both verdicts of the checks whose verdict falls."""
    old = {c.id: c.verdict for c in before.checks}
    return {
        (c.id, old.get(c.id, "not there"), c.verdict)
        for c in after.checks
        if c.id != but and ORDER.index(c.verdict) > ORDER.index(old.get(c.id, GO))
    }


def worse_values(before, after, but) -> set[str]:
    """Return the ids of the checks that fail by over a twentieth more: a second working of what the cures say.

    The shortfall is on the side that fails, and the limit may move with what is found.
    """
    old, found = {c.id: c for c in before.checks}, set()
    for now in after.checks:
        was = old.get(now.id)
        if was is None or now.id == but or was.verdict != now.verdict or now.verdict not in (CAUTION, STOP):
            continue
        if isinstance(now.wanted, str) and isinstance(now.found, Number) and now.found.shown.startswith("safety"):
            # a safety against a limit in words: 5 % lower is worse
            found |= {now.id} if now.found.si < 0.95 * was.found.si else set()
            continue
        if not all(isinstance(v, Number) and v.kind == was.found.kind for c in (was, now) for v in (c.found, c.wanted)):
            continue
        if failing_low(was) is None or failing_low(was) is not failing_low(now):
            continue
        sign = -1 if failing_low(was) else 1
        grown = sign * (now.found.si - was.found.si)
        if grown > 0.05 * abs(was.found.si) and grown > sign * (now.wanted.si - was.wanted.si):
            found.add(now.id)
    return found


def failing_low(check) -> bool | None:
    """Tell whether it fails by being too low, or too high; None where its numbers do not tell."""
    found, limit = check.found, check.wanted
    spans = [sorted(v for v in (n.si, n.low, n.high) if v is not None) for n in (found, limit)]
    too_low, too_high = spans[0][0] < spans[1][0], spans[0][-1] > spans[1][-1]
    if re.search(r" or more|at least ", limit.shown):
        return True if too_low else None
    if re.search(r" or less|at most ", limit.shown):
        return False if too_high else None
    below, above = found.si < spans[1][0], found.si > spans[1][-1]
    # a caution holds at its likely value and fails at the end beyond the limit
    if check.verdict == CAUTION and too_low and not below:
        return True if not too_high or above else True if found.si >= spans[1][-1] else None
    if check.verdict == CAUTION and too_high and not above:
        return False if not too_low or below else False if found.si <= spans[1][0] else None
    return True if below else False if above else None


def broken_words(results) -> list[str]:
    """Return the cures of results that do not do what they say."""
    build, bad = results.build, []
    offered = [(check, cure) for check in results.checks for cure in check.cures]
    for check, cure in offered[::EVERY]:
        after = work_up(applied(build, cure.changes), scope=JUDGED)
        then = next((c for c in after.checks if c.id == check.id), None)
        turned = {(w.id, w.before, w.after) for w in cure.worse if not w.stays}
        slipped = {w.id for w in cure.worse if w.stays}
        wrong = turned != worse_verdicts(results, after, check.id) or slipped != worse_values(
            results, after, check.id
        )
        if (then.verdict if then else "") != cure.verdict_after or wrong:
            bad.append(f"{check.id}: {cure.words} {cure.verdict_after}, found {then}")
        if then and ORDER.index(then.verdict) >= ORDER.index(check.verdict):
            bad.append(f"{check.id}: {cure.words} betters nothing")
        if any(ORDER.index(after) >= ORDER.index(check.verdict) for _, _, after in turned):
            bad.append(f"{check.id}: {cure.words} does more harm than good: {cure.worse}")
    return bad


def test_the_cures_of_every_build_keep_their_word(for_each):
    def keeps(name):
        assert broken_words(with_cures(work_up(load(name)))) == []

    for_each(MACHINES, keeps)


def test_the_cures_of_spoilt_builds_keep_their_word(for_each):
    offered = 0

    def keeps(seed):
        nonlocal offered
        results = with_cures(work_up(spoilt(seed)))
        offered += sum(len(c.cures) for c in results.checks)
        assert broken_words(results) == []

    for_each(range(SPOILT), keeps)
    assert offered >= SPOILT // 10, "spoilt builds without cures prove nothing"


def test_cures_that_are_taken_come_to_an_end(for_each):
    """Take the first cure of the first check that has one, again and again: it ends, and no change comes twice."""

    def ends(name):
        build, taken, stops = load(name), set(), None
        for _ in range(STEPS):
            results = work_up(build)
            count = sum(c.verdict == STOP for c in results.checks)
            assert stops is None or count <= stops, f"{count} stops after {taken}"
            cure = next((cures[0] for c in results.checks if (cures := prove(results, c.id))), None)
            if cure is None:
                return
            key = frozenset(cure.changes.items())
            assert key not in taken, f"{cure.words} is offered again"
            taken.add(key)
            build, stops = applied(build, cure.changes), count
        assert STEPS < 40, f"no end after {len(taken)} cures"

    for_each(MACHINES, ends)


def test_a_change_that_is_not_needed_is_left_out(loose, monkeypatch):
    from jackshaft.chapters.grip import cures
    from jackshaft.chapters.ratio import cures as ratio_cures

    id = "grip.margin[crank belts]"
    # the ratio chapter has speeds of its own to offer; here nothing but what this test proposes is tried
    monkeypatch.delitem(ratio_cures.PROPOSALS, "ratio.speed")
    # slowing the engine down alone makes the speed of the work a stop; what is proposed for that is the whole cure
    slow = Proposal("Pull hard, and slow down.", {SLACK: "30 lbf", "engine.work_speed": "2500 rpm"})
    monkeypatch.setitem(cures.PROPOSALS, "grip.margin", lambda failing: [slow])
    whole = Proposal("Pull, at the old speed.", {SLACK: "15 lbf", "engine.work_speed": "3000 rpm"})
    other = prove(loose, id)
    monkeypatch.setitem(cures.PROPOSALS, "ratio.speed", lambda failing: [whole])
    found = prove(loose, id)
    assert dict(whole.changes) in [dict(c.changes) for c in found if not c.harm] and other != found
    assert not any(slow.words.rstrip(".") in c.words and "old speed" in c.words for c in found)


def test_no_cure_asks_for_two_values_of_one_key(loose, monkeypatch):
    from jackshaft.chapters.grip import cures

    id = "grip.margin[crank belts]"
    slow = Proposal("Pull hard, and slow down.", {SLACK: "30 lbf", "engine.work_speed": "2500 rpm"})
    less = Proposal("Work faster, and take a smaller pulley.", {"engine.work_speed": "3000 rpm"})
    monkeypatch.setitem(cures.PROPOSALS, "grip.margin", lambda failing: [slow])
    monkeypatch.setitem(cures.PROPOSALS, "ratio.speed", lambda failing: [less])
    assert not any("slow down" in c.words and "faster" in c.words for c in prove(loose, id))


@pytest.fixture(scope="module")
def loose():
    """The demo with far too little tension."""
    return work_up(applied(load(DEMO), {SLACK: "10 lbf"}))


def test_a_tension_is_rounded_to_the_side_that_passes(loose):
    cure = prove(loose, "grip.margin[crank belts]")[0]
    text = cure.changes[SLACK]
    assert read(text, "force").si == pytest.approx(round(read(text, "force").si / 4.4482216) * 4.4482216)
    assert cure.verdict_after == GO and text in cure.words


def test_a_cure_is_not_offered_again_once_it_was_taken(loose):
    id = "grip.margin[crank belts]"
    after = work_up(applied(loose.build, prove(loose, id)[0].changes))
    assert next(c for c in after.checks if c.id == id).verdict == GO and prove(after, id) == ()


def test_what_betters_nothing_is_not_offered(loose, monkeypatch):
    from jackshaft.chapters.grip import cures

    useless = [Proposal("Loosen it.", {SLACK: "5 lbf"}), Proposal("Leave it.", {SLACK: "10 lbf"})]
    useless.append(Proposal("Type nonsense.", {SLACK: "tight"}))
    monkeypatch.setitem(cures.PROPOSALS, "grip.margin", lambda failing: useless)
    assert prove(loose, "grip.margin[crank belts]") == ()


def test_a_cure_says_what_it_makes_worse(loose, monkeypatch):
    from jackshaft.chapters.grip import cures

    id = "grip.start[crank belts]"
    much = Proposal("Slow the engine down and pull hard.", {SLACK: "60 lbf", "engine.work_speed": "2500 rpm"})
    monkeypatch.setitem(cures.PROPOSALS, "grip.start", lambda failing: [much])
    found = prove(loose, id)
    after = work_up(applied(loose.build, much.changes))
    worse = worsened(loose, after, but=id)
    assert worse
    bearable = all(ORDER.index(w.after) < ORDER.index(STOP) for w in worse if not w.stays)
    assert [c.worse for c in found if c.changes == much.changes] == ([worse] if bearable else [])


def test_a_guess_is_not_cured_by_being_typed_over(monkeypatch):
    from jackshaft.chapters.grip import cures

    # the guess's likely value would do: only its allowance makes it a caution
    build = load(DEMO)
    likely = {SLACK: {"value": "14 lbf", "known": "guessed", "plus_minus": "4 lbf"}}
    results = work_up(build.with_values(likely))
    again = Proposal("Set the tension to 14 lbf.", {SLACK: "14 lbf"})
    monkeypatch.setitem(cures.PROPOSALS, "grip.margin", lambda failing: [again])
    assert prove(results, "grip.margin[crank belts]") == ()


def test_an_accepted_check_is_left_alone_and_an_unknown_one_is_an_error(loose):
    id = "grip.margin[crank belts]"
    taken = tuple(replace(c, accepted=Accepted("tried", "2026-01-02")) if c.id == id else c for c in loose.checks)
    assert next(c for c in with_cures(replace(loose, checks=taken), [id]).checks if c.id == id).cures == ()
    assert next(c for c in with_cures(loose, [id]).checks if c.id == id).cures
    with pytest.raises(KeyError):
        prove(loose, "grip.margin[other]")


@pytest.mark.parametrize("system", ["inch", "metric"])
def test_shop_steps_round_to_the_side_asked_for(system):
    build = load(DEMO).with_values({"shown_in": system})
    failing = Failing(work_up(build), next(iter(work_up(build).checks)))
    up, down = (read(f(0.0301, "length", "1/16 in", "1 mm"), "length").si for f in (failing.up, failing.down))
    step = 0.0254 / 16 if system == "inch" else 0.001
    assert up >= 0.0301 >= down and up - down == pytest.approx(step)
    whole = 24 * step
    assert read(failing.up(whole, "length", "1/16 in", "1 mm"), "length").si == pytest.approx(whole)
    assert read(failing.down(whole, "length", "1/16 in", "1 mm"), "length").si == pytest.approx(whole)


def test_cures_are_printed_as_data_that_set_takes(capsys, own_data):
    there = builds_dir() / "loose.toml"
    assert cli.main(["set", DEMO, f"{SLACK}=10 lbf", "--out", str(there)]) == 0
    capsys.readouterr()
    cli.main(["check", "loose", "--json"])
    checks = {c["id"]: c for c in json.loads(capsys.readouterr().out)["checks"]}
    cure = checks["grip.margin[crank belts]"]["cures"][0]
    assert set(cure) == {"words", "changes", "verdict_after", "value_after", "worse"}
    assert cli.main(["set", "loose", *(f"{k}={v}" for k, v in cure["changes"].items())]) == 0
    after = {c.id: c.verdict for c in work_up(load("loose")).checks}
    assert after["grip.margin[crank belts]"] == cure["verdict_after"]


def test_try_shows_each_cure_and_writes_nothing(capsys, own_data):
    there = builds_dir() / "loose.toml"
    cli.main(["set", DEMO, f"{SLACK}=10 lbf", "--out", str(there)])
    before = there.read_text(encoding="utf-8")
    capsys.readouterr()
    assert cli.main(["try", "loose", "grip.margin[crank belts]"]) == 0
    out = capsys.readouterr().out
    assert "1. Set the tension to" in out and "This check is then go" in out and f"'{SLACK}=" in out
    assert there.read_text(encoding="utf-8") == before
    assert cli.main(["try", "loose", "grip.magic"]) == 2 and "grip.magic" in capsys.readouterr().err


def test_a_go_is_not_cured(loose):
    good = next(c for c in loose.checks if c.verdict in (GO, UNDECIDED))
    assert prove(loose, good.id) == ()


def test_texts_of_changes_are_read_as_a_form_reads_them():
    build = parse(b'schema = 1\nname = "t"\n\n[engine]\nkind = "petrol engine"\n', file="t.toml")
    assert applied(build, {"engine.kind": "Diesel", "engine.cylinders": "2"}).get("engine.cylinders") == 2
    assert entered(build, "engine.cylinders", "2") == {"engine.cylinders": 2}
    assert Cure("x", {"a": "b"}, CAUTION, "") == Cure("x", {"a": "b"}, CAUTION, "")
