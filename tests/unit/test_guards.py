"""Guards and hazards: what a machine has is told, what it has not is not; and each verdict turned both ways."""

from __future__ import annotations

import html
import re
from pathlib import Path

import numpy as np
import pytest
from builders import check_of, data, sheet
from jackshaft.buildfile import DEMO, load
from jackshaft.mechanics.guards import reach_over, reach_through
from jackshaft.record.page import page, side_sheets
from jackshaft.results import work_up
from jackshaft.results.proving import applied, prove
from jackshaft.units import OutOfRange

AT = "stage[crank belts]"
DECK = Path(__file__).parents[1] / "builds" / "three_spindle_deck.toml"
MESH = {f"{AT}.guard": "mesh or slots", f"{AT}.guard_shape": "square", f"{AT}.guard_opening": "12 mm"}


def changed(name=DEMO, **changes):
    """Return a build with texts typed over; two texts are a value and its allowance, an empty one takes a key out."""
    build = applied(load(name), {k: v for k, v in changes.items() if v and isinstance(v, str)})
    pairs = {k: dict(zip(("value", "plus_minus"), v, strict=True)) for k, v in changes.items() if isinstance(v, tuple)}
    return build.with_values(pairs | {k: "" for k, v in changes.items() if not v})


#: What each machine has and has not, by kinds of hazard.
PARTS = [
    # petrol, electromagnetic clutch, belts, chain, telescoping shaft that is lifted
    (DEMO, {}, "spark exhaust fuel hot nip shaft spring telescoping raised battery live", "capacitor mains heavy"),
    (DEMO, {}, "switch stop caught coasting burst", "compression tightener centrifugal"),
    (DEMO, {f"{AT}.takeup.kind": "sliding motor"}, "spring", ""),
    (DEMO, {f"{AT}.takeup.kind": "fixed idler"}, "nip", "spring"),
    (DEMO, {"clutch.kind": "idler"}, "tightener hot", "centrifugal"),
    (DEMO, {"clutch.kind": "centrifugal"}, "centrifugal hot", "tightener"),
    (DEMO, {"shaft[jackshaft].load[large pulley].weight": "55 lb"}, "heavy", ""),
    (DEMO, {"engine.kind": "diesel engine"}, "compression exhaust fuel", "spark capacitor mains"),
    # a single-phase motor, belt and ring gear, no clutch
    ("drum_mixer", {}, "mains restart capacitor nip shaft", "spark compression exhaust fuel battery live"),
    ("drum_mixer", {"engine.phases": "3"}, "mains restart", "capacitor"),
    ("drum_mixer", {"engine.starts_by": "split phase"}, "mains", "capacitor"),
    # a trommel: friction roller on a drum
    ("compost_trommel", {}, "crush nip telescoping", "spark capacitor"),
    ("rotor_bearings", {}, "shaft", "spark exhaust battery nip caught"),
    # what hangs on an answer that is not given is told, what is said not to be is not
    (DEMO, {"work.cuts": ""}, "thrown", ""),
    (DEMO, {"clutch.kind": ""}, "tightener centrifugal", ""),
    ("drum_mixer", {"work.weight": "200 lb"}, "heavy", "thrown"),
    (DECK, {}, "battery thrown", "heavy tightener centrifugal"),
    (DECK, {"engine.starts_by": "recoil starter"}, "thrown", "battery"),
    (DECK, {"shaft[left spindle].work_weight": "60 kg"}, "heavy", ""),
    (DECK, {"clutch.kind": "idler"}, "tightener", "centrifugal"),
    (DECK, {"clutch.kind": "centrifugal"}, "centrifugal", "tightener"),
]


@pytest.mark.parametrize(("name", "changes", "there", "not_there"), PARTS)
def test_each_part_has_its_caution_and_no_other(name, changes, there, not_there):
    results = work_up(changed(name, **changes))
    kinds = {h.kind for h in data(results, "guards").hazards}
    assert set(there.split()) <= kinds
    assert not set(not_there.split()) & kinds
    # each of them is said once
    care = results.chapters["guards"].cautions
    assert len(care) == len(set(care)) == len(kinds)


#: Words that no page may print where the machine has no such hazard. What every page defers to, and what asks for a
#: value that is not known, stands in ``GENERAL``.
ONLY_OF = {
    "spark": r"spark plug|spark lead|plug lead",
    "exhaust": r"exhaust",
    "fuel": r"\bfuel\b|petrol",
    "compression": r"diesel",
    "mains": r"\bmains\b|isolator|electrician|unplug it|electric motor",
    "capacitor": r"capacitor",
    "battery": r"\bbatter(?:y|ies)\b",
    "tightener": r"tightener closes|lever open",
    "centrifugal": r"centrifugal clutch takes hold",
    "raised": r"raised attachment",
}
GENERAL = re.compile(r"licensed engineer or electrician")


@pytest.mark.parametrize("name", [DEMO, "drum_mixer", "compost_trommel"])
def test_the_printed_pages_speak_of_each_hazard_and_of_no_other(name):
    results = work_up(load(name))
    hazards = data(results, "guards").hazards
    kinds = {h.kind for h in hazards}
    record = plainly(page(results, {}))
    assert [h.kind for h in hazards if plainly(html.escape(h.care)) not in record] == []
    pages = {"record": record, **{n: plainly(text) for n, text in side_sheets(results).items()}}
    wrong = {
        (n, kind): found[0]
        for n, text in pages.items()
        for kind, words in ONLY_OF.items()
        if kind not in kinds and (found := re.findall(words, GENERAL.sub("", text), re.IGNORECASE))
    }
    assert wrong == {}


def plainly(text):
    """Return the words of a page as a reader sees them."""
    text = re.sub(r"(?s)<(style|script|svg).*?</\1>", " ", text)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


def test_every_stage_and_shaft_is_named():
    results = work_up(load(DEMO))
    found = data(results, "guards").hazards
    build = results.build
    nips = {h.part for h in found if h.kind == "nip"}
    assert nips == {n for n in build.names("stage") if build.get(f"stage[{n}].kind") != "gearbox"}
    assert {h.part for h in found if h.kind == "shaft"} >= set(build.names("shaft"))
    for pulley in build.names(f"{AT}.pulley"):
        assert any(pulley in h.where.split(" onto ")[-1].split(", ") for h in found if h.part == "crank belts")
    for takeup, more in (("idler sprocket", "its idler"), ("", "if it has one"), ("nothing", "both sprockets")):
        found = data(work_up(changed(**{"stage[output chain].chain_takeup": takeup})), "guards").hazards
        assert any(h.part == "output chain" and more in h.where for h in found if h.kind == "nip")


@pytest.mark.parametrize(
    ("width", "shape", "distance"),
    [(0.004, "slot", 0.002), (0.0041, "slot", 0.010), (0.012, "square", 0.080), (0.02, "slot", 0.120)],
)
def test_the_published_steps(width, shape, distance):
    """ISO 13857, table 4, as a guard supplier restates it."""
    assert reach_through.si(width, shape=shape) == pytest.approx(distance)


def test_a_reach_over_takes_the_safer_of_two_heights():
    """ISO 13857, table 2, high risk, from memory."""
    heights = np.array([1.0, 1.1, 1.2, 2.6, 2.7, 2.71])
    # a guard of 1.6 m: 800 mm at 1.0 m, 900 mm at 1.2 m, 600 mm at 2.6 m and on to 2.7 m, where reach ends
    assert reach_over.si(heights, guard=1.6) == pytest.approx([0.8, 0.9, 0.9, 0.6, 0.6, 0.0])
    assert reach_over.si(1.0, guard=1.79) == reach_over.si(1.0, guard=1.6)
    assert float(reach_over.si(1.0, guard=1.8)) == 0.0
    for hazard, guard, words in ((1.0, 0.99, "no guard"), (-0.1, 1.4, "below the ground")):
        with pytest.raises(OutOfRange, match=words):
            reach_over.si(hazard, guard=guard)


def test_a_stage_over_known_ground_tells_how_far_an_open_guard_stands_off():
    title = "Over a guard that is open above"
    assert title not in {t.title for t in work_up(load(DEMO)).chapters["guards"].tables}
    results = work_up(changed(**{f"{AT}.ground_y": "-28 in"}))
    (row,) = sheet(results, title, "guards").cells
    loop = data(results, "guards").loops[0]
    assert row[1].si == pytest.approx(min(loop.y - loop.solid) + 28 * 0.0254)
    assert row[2].si == pytest.approx(max(loop.y + loop.solid) + 28 * 0.0254)
    # from about 0.57 to 0.96 m over the ground: 1500 mm behind a guard of 1.0 m, 1000 mm behind 1.4 m, 0 behind 1.8 m
    assert 0.4 < row[1].si < 0.6 and 0.8 < row[2].si < 1.0
    assert [cell.si for cell in row[3:6]] == pytest.approx([1.5, 1.0, 0.0])


def test_no_guard_and_no_shape():
    with pytest.raises(OutOfRange, match="no guard"):
        reach_through.si(0.121)
    with pytest.raises(OutOfRange, match="slot, square, round"):
        reach_through.si(0.01, shape="star")


@pytest.mark.parametrize(
    ("changes", "wanted"),
    [
        ({}, "go"),
        ({f"{AT}.guard": ""}, "not decidable"),
        ({f"{AT}.guard": "none"}, "stop"),
        ({f"{AT}.guard": "nips only"}, "caution"),
        ({**MESH, f"{AT}.guard_distance": "80 mm"}, "go"),
        ({**MESH, f"{AT}.guard_distance": "79 mm"}, "stop"),
        ({**MESH, f"{AT}.guard_opening": "130 mm", f"{AT}.guard_distance": "2 m"}, "stop"),
        (MESH, "not decidable"),
        # openings that may be wider, and a distance that may be less
        ({**MESH, f"{AT}.guard_opening": ("12 mm", "1 mm"), f"{AT}.guard_distance": "81 mm"}, "caution"),
        ({**MESH, f"{AT}.guard_distance": ("81 mm", "5 mm")}, "caution"),
        ({**MESH, f"{AT}.guard_distance": ("86 mm", "5 mm")}, "go"),
    ],
)
def test_a_guard_is_judged(changes, wanted):
    assert check_of(work_up(changed(**changes)), "guards.stage[crank belts]").verdict == wanted


@pytest.mark.parametrize(("told", "wanted"), [("yes", "go"), ("no", "stop"), ("", "not decidable")])
def test_covered_shafts(told, wanted):
    assert check_of(work_up(changed(**{"shaft[jackshaft].covered": told})), "guards.shafts").verdict == wanted


@pytest.mark.parametrize(("told", "wanted"), [("yes", "go"), ("no", "stop"), ("", "not decidable")])
def test_work_that_cuts_is_covered(told, wanted):
    """Seen: a saw said that it cuts and that nothing guards it, and only its belt and its shaft were judged."""
    found = work_up(changed(**{"work.cuts": "yes", "work.covered": told}))
    assert check_of(found, "guards.work").verdict == wanted
    assert "guards.work" not in {c.id for c in work_up(changed(**{"work.covered": told})).checks}
    unsaid = check_of(work_up(changed(**{"work.cuts": "", "work.covered": "no"})), "guards.work")
    assert (unsaid.verdict, unsaid.missing) == ("not decidable", ("work.cuts",))


LOOP = "stage[deck belt].pulley"


@pytest.mark.parametrize(
    ("name", "changes", "missing"),
    [
        ("drum_mixer", {"stage[ring gear].to": ""}, {"stage[ring gear].to"}),
        (DECK, {f"{LOOP}[R].drives": ""}, {f"{LOOP}[R].drives"}),
        # seen: of three pulleys one that said neither its shaft nor its share was never missed
        (DECK, {f"{LOOP}[R].drives": "", f"{LOOP}[R].share": ""}, {f"{LOOP}[R].drives", f"{LOOP}[F].drives"}),
    ],
)
def test_a_shaft_that_nobody_named_is_not_covered(name, changes, missing):
    found = check_of(work_up(changed(name, **changes)), "guards.shafts")
    assert found.verdict == "not decidable" and set(found.missing) == missing


def test_cures_keep_their_word():
    for id, changes in (
        ("guards.stage[crank belts]", {**MESH, f"{AT}.guard_distance": "1 in"}),
        ("guards.shafts", {"shaft[jackshaft].covered": "no"}),
        ("guards.work", {"work.cuts": "yes", "work.covered": "no"}),
    ):
        found = work_up(changed(**changes))
        cures = prove(found, id)
        assert cures and all(c.verdict_after == "go" for c in cures)
        for cure in cures:
            assert check_of(work_up(applied(found.build, cure.changes)), id).verdict == "go"


def test_the_label_says_how_long_it_turns_on():
    """A run-down of 300 rpm in 4.0 s: 418 rpm in 5.6 s, 542 at the governor's top in 8.0 with a tenth for the watch."""
    results = work_up(load(DEMO))
    wait = next(f for f in results.chapters["guards"].facts if f.label.startswith("Label"))
    assert data(results, "guards").stands_after == wait.found.si
    assert wait.found.si == pytest.approx(1.1 * 4.0 * 541.5 / 300, rel=0.01)
    assert "walks" in wait.note
    blank = work_up(changed(**{"work.run_down_time": ""}))
    assert data(blank, "guards").stands_after is None


def test_the_label_of_a_chipper_by_an_outside_sum():
    """500 rpm lost in 40 s; the engine's 3600 rpm and 8 % (ISO 8528-5) by the pitch circles; a tenth for the watch."""
    chipper = Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"
    results = work_up(changed(chipper, **{"work.run_down_time": "40 s", "work.run_down_speed": "500 rpm"}))
    engine, wheel = data(results, "layout")["wheel belts"].pulleys.pitch[:2]
    by_hand = 1.1 * 40 * 3600 * 1.08 * engine / wheel / 500
    assert data(results, "guards").stands_after == pytest.approx(by_hand, rel=1e-3)
