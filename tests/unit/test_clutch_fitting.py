"""How the clutch sits on the crank, and what a pulley built into it leaves of the cures."""

from dataclasses import replace

import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.results import work_up
from jackshaft.results.built_in import IF_NOT, allowed
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.results.cure import Proposal
from jackshaft.results.proving import prove

BUILT_IN = "clutch.pulley_built_in"
BELTS = "stage[crank belts]"


@pytest.fixture(scope="module")
def demo():
    return load(DEMO)


def chapter(build, **values):
    return work_up(build.with_values({k.replace("__", "."): v for k, v in values.items()}), ("clutch",)).chapters[
        "clutch"
    ]


def check(build, id, **values):
    return next((c for c in chapter(build, **values).checks if c.id == id), None)


@pytest.mark.parametrize(
    ("bore", "crank", "verdict"),
    [
        ("1 in", "1 in", GO),
        ("25.49 mm", "25.4 mm", GO),
        ("25.51 mm", "25.4 mm", STOP),  # more than 0.1 mm too large
        ("1-1/8 in", "1 in", STOP),
        ("1 in", "3/4 in", STOP),
        ("25 mm", "1 in", STOP),  # it does not go on
        ({"value": "25.45 mm", "plus_minus": "0.1 mm"}, "25.4 mm", CAUTION),
    ],
)
def test_bore_against_the_crank(demo, bore, crank, verdict):
    found = check(demo, "clutch.bore", clutch__bore=bore, engine__shaft_diameter=crank)
    assert found.verdict == verdict
    assert ("bush" in found.remedy) == (verdict != GO and bore != "25 mm")
    assert ("not go on" in found.reason) == (bore == "25 mm")


@pytest.mark.parametrize(
    ("values", "missing"),
    [
        ({"clutch__bore": ""}, ("clutch.bore",)),
        ({"clutch__bore": "", "engine__shaft_diameter": ""}, ("clutch.bore", "engine.shaft_diameter")),
        ({"clutch__bore": "", "clutch__shaft": "jackshaft"}, None),
    ],
)
def test_a_missing_bore_is_asked_for_on_the_crank_only(demo, values, missing):
    found = check(demo, "clutch.bore", **values)
    assert found is None if missing is None else (found.verdict, found.missing) == (UNDECIDED, missing)


@pytest.mark.parametrize(("width", "verdict"), [("1/4 in", GO), ("5/16 in", STOP), ("3/16 in", STOP), ("", None)])
def test_keyway_against_the_key(demo, width, verdict):
    found = chapter(demo, clutch__key_width=width)
    assert [c.verdict for c in found.checks if c.id == "clutch.keyway"] == [v for v in (verdict,) if v]
    assert ("clutch.key_width" in found.missing) == (verdict is None)


@pytest.mark.parametrize(
    ("bolt", "low", "words"),
    [
        ("7/16-20 unf", 68.0, "clutch-service"),  # lists of service data give 68 to 75 N·m
        ("7/16-20", 68.0, "clutch-service"),
        ("M10 10.9", 55.0, "another list gives 48"),
        ("M10", None, "maker"),  # its grade is not said
        ("", None, None),
    ],
)
def test_crank_bolt(demo, bolt, low, words):
    found = chapter(demo, clutch__bolt=bolt)
    facts = [f for f in found.facts if "bolt" in f.label]
    assert ("clutch.bolt" in found.missing) == (not facts) == (words is None)
    for fact in facts:
        assert words in fact.note
        assert getattr(fact.found, "si", None) == (low and pytest.approx(low))


@pytest.mark.parametrize(
    ("changes", "touches"),
    [
        ({f"{BELTS}.belts": "3"}, True),
        ({f"{BELTS}.belts": "1"}, False),
        ({f"{BELTS}.pulley[E].diameter": "5 in"}, True),
        ({f"{BELTS}.pulley[J].diameter": "5 in"}, False),
        ({f"{BELTS}.section": "AX"}, False),
        ({f"{BELTS}.section": "AA"}, False),
        ({f"{BELTS}.section": "B"}, True),
        ({f"{BELTS}.takeup.slack_tension": "50 lbf"}, False),
    ],
)
def test_what_a_built_in_pulley_leaves_of_a_proposal(demo, changes, touches):
    proposal = Proposal("Do it.", changes)
    by_said = {said: allowed(demo.with_values({BUILT_IN: said}), proposal) for said in (True, False, "")}
    assert by_said[False] == proposal
    assert by_said[True] == (None if touches else proposal)
    assert by_said[""] == (replace(proposal, words=f"Do it. {IF_NOT}") if touches else proposal)
    tightener = demo.with_values({BUILT_IN: "", "clutch.kind": "idler"})
    assert allowed(tightener, proposal) == proposal


@pytest.mark.parametrize("what", ["power", "life"])
def test_cures_keep_a_built_in_pulley(demo, what):
    kept = {f"{BELTS}.belts", f"{BELTS}.pulley[E].diameter"}
    offered = {}
    for said in (True, ""):
        results = work_up(demo.with_values({f"{BELTS}.belts": 1, BUILT_IN: said}))
        offered[said] = prove(results, f"capacity.{what}[crank belts]", most=1)
    assert offered[""] and all(IF_NOT in c.words for c in offered[""] if kept & set(c.changes))
    assert any(kept & set(c.changes) for c in offered[""])
    assert not any(kept & set(c.changes) for c in offered[True])
