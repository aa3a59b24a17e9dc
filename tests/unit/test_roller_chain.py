"""Roller chains: geometry against root finding, the printed rating table, and each check turned both ways."""

from __future__ import annotations

import csv
import io
import math

import numpy as np
import pytest
from builders import check_of
from jackshaft.buildfile import DEMO, BuildProblems, load
from jackshaft.mechanics import roller_chain as mech
from jackshaft.results import work_up
from jackshaft.results.proving import applied, prove
from jackshaft.tables.chain_marks import read_chain
from jackshaft.units import OutOfRange, read
from scipy.optimize import brentq

INCH, HP, RPM, LBF = 0.0254, 745.69987158227, math.pi / 30, 4.4482216152605
AT = "stage[output chain]"
IDLER = {"chain_takeup": "idler sprocket", "idler_teeth": "15"}


def changed(**changes):
    """Return the demo with texts typed over its chain's, or at whole keys.

    An empty text takes a key out; two texts are a value and its allowance.
    """
    whole = {k if "." in k else f"{AT}.{k}": v for k, v in changes.items()}
    build = applied(load(DEMO), {k: v for k, v in whole.items() if v and isinstance(v, str)})
    pairs = {k: dict(zip(("value", "plus_minus"), v, strict=True)) for k, v in whole.items() if isinstance(v, tuple)}
    return build.with_values(pairs | {k: "" for k, v in whole.items() if not v})


def results(**changes):
    return work_up(changed(**changes))


def verdict(what, **changes):
    return check_of(results(**changes), f"roller-chain.{what}[output chain]").verdict


# -- geometry ----------------------------------------------------------------------------------------


def pitches(c, p, small, large):
    """Return the length walked along strands and arcs, each arc in pitches by its share of the teeth."""
    step = 0.5 * p / math.sin(math.pi / large) - 0.5 * p / math.sin(math.pi / small)
    lean = math.asin(step / c)
    return 2.0 * math.sqrt(c * c - step**2) / p + small * (0.5 - lean / math.pi) + large * (0.5 + lean / math.pi)


def test_centres_against_root_finding_over_random_chains():
    """SciPy's brentq on the length above."""
    seeded = np.random.default_rng(4)
    for _ in range(200):
        small, large = sorted(int(n) for n in seeded.integers(9, 120, 2))
        p = float(seeded.uniform(0.008, 0.03))
        r = [0.5 * p / math.sin(math.pi / n) for n in (small, large)]

        c = float(sum(r) * seeded.uniform(1.02, 4.0))
        links = math.ceil(pitches(c, p, small, large) / 2) * 2
        ends = r[1] - r[0] + 1e-9, 40 * sum(r)
        wanted = brentq(lambda x, n, *of: pitches(x, *of) - n, *ends, args=(links, p, small, large), xtol=1e-15)
        found = mech.chain_centres.si(links, pitch=p, small=small, large=large)
        assert found == pytest.approx(wanted, rel=1e-12)
        assert mech.chain_path.si(c, pitch=p, small=small, large=large).pitches == pytest.approx(
            pitches(c, p, small, large), rel=1e-13
        )


def test_whole_arrays_and_what_cannot_be():
    links = np.array([[60, 80], [100, 120]])
    c = mech.chain_centres.si(links, pitch=0.0127, small=17, large=np.array([20, 40]))
    back = mech.chain_path.si(c, pitch=0.0127, small=17, large=np.array([20, 40])).pitches
    assert back == pytest.approx(links, rel=1e-12)
    with pytest.raises(OutOfRange, match="does not reach"):
        mech.chain_centres.si(40, pitch=0.0127, small=17, large=65)
    with pytest.raises(OutOfRange, match="inside each other"):
        mech.chain_path.si(0.05, pitch=0.0127, small=17, large=65)


def test_swing_of_speed_by_walking_a_polygon():
    """A polygon that turns evenly: its chain moves at r w cos(angle), from -pi/N to pi/N."""
    for teeth in (9, 13, 17, 25):
        angle = np.linspace(-math.pi / teeth, math.pi / teeth, 200001)
        speed = np.cos(angle)
        swing = (speed.max() - speed.min()) / np.trapezoid(speed, angle) * (2 * math.pi / teeth)
        assert mech.speed_swing.si(teeth) == pytest.approx(swing, rel=1e-6)


def test_slack_there_and_back():
    for share in (0.001, 0.02, 0.06):
        over = mech.slack_in.si(share, strand=1.0)
        assert over == pytest.approx(2 * math.sqrt(0.25 + share**2 / 4) - 1, rel=1e-12)
        assert mech.movement_of.si(over, strand=1.0) == pytest.approx(share, rel=1e-9)


PRINTED = """number,teeth,rpm,hp
40,11,50,0.23
40,11,900,3.11
40,11,1600,5.22
40,11,1800,4.66
40,13,500,2.20
40,13,1400,5.55
40,15,100,0.60
40,15,1200,5.64
40,17,1200,6.45
40,17,1800,8.96
"""


def test_rated_power_to_the_printed_digit():
    """Rating table of ANSI/ASME B29.1, number 40, as reference pages restate it (read)."""
    for row in csv.DictReader(io.StringIO(PRINTED)):
        chain = read_chain(row["number"]).row
        found = mech.chain_rating.si(
            float(row["rpm"]) * RPM,
            pitch=chain["pitch_mm"] / 1000,
            teeth=int(row["teeth"]),
            k_plate=chain["k_plate"],
            k_roller=chain["k_roller"],
        )
        # one entry stands half a digit off
        assert found.power / HP == pytest.approx(float(row["hp"]), abs=0.0051), row


def test_a_textbook_drive():
    """Mott, 4th edition, ex. 7-3: number 40, 17 and 65 teeth: 2.721 and 10.349 in; 104 pitches stand 15.272 in apart.

    The book's series is within 0.02 % of the exact path.
    """
    assert mech.sprocket_pitch_diameter.si(0.5, teeth=np.array([17, 65])) == pytest.approx([2.721, 10.349], abs=5e-4)
    assert mech.chain_path.si(15.0, pitch=0.5, small=17, large=65).pitches == pytest.approx(102.9, abs=0.06)
    assert mech.chain_centres.si(104, pitch=0.5, small=17, large=65) == pytest.approx(15.272, rel=2e-4)


# -- what is stamped on it ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "number", "strands"),
    [("60", "60", None), ("#40-2", "40", 2), ("08B-1", "08B", 1), ("8b", "08B", None), ("12A", "60", None)],
)
def test_a_marking(text, number, strands):
    found = read_chain(text)
    assert (found.row["number"], found.strands) == (number, strands)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"chain": "63"}, "one of 35, 41, 40"),
        ({"chain": "60-7"}, "to -6 for six"),
        ({"chain": "60-0"}, "to -6 for six"),
        ({"chain_pitch": "1/2 in"}, "the pitch of 60"),
        ({"chain": "60-2", "strands": "3"}, "2, or no strands"),
    ],
)
def test_what_cannot_go_together(changes, words):
    with pytest.raises(BuildProblems, match=words):
        changed(**changes)


# -- verdicts ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("what", "changes", "wanted"),
    [
        # 75.93 pitches at 18.25 in: 76 hang loose, 74 do not close, 77 want an offset link
        ("length", {}, "go"),
        ("length", {"links": "74"}, "stop"),
        ("length", {"links": "77"}, "stop"),
        ("length", {"links": "77", "connecting_link": "offset"}, "caution"),
        ("length", {"links": "80"}, "caution"),
        # an offset link is one of two there; centres that may be off by so much that the chain does not close
        ("length", {"connecting_link": "offset"}, "caution"),
        ("length", {"centres": ("18.25 in", "0.5 in")}, "caution"),
        ("length", {"centres": ("18.25 in", "0.01 in")}, "go"),
        ("length", {"chain_takeup": "nothing"}, "caution"),
        ("teeth", {}, "caution"),
        ("teeth", {"driver_teeth": "17", "driven_teeth": "52", "links": "86"}, "go"),
        ("teeth", {"driver_teeth": "8"}, "stop"),
        ("teeth", {"driven_teeth": "121", "driver_teeth": "30", "centres": "40 in"}, "caution"),
        ("wrap", {}, "go"),
        ("wrap", {"centres": "6.2 in"}, "stop"),
        ("wrap", {"centres": "3 in"}, "stop"),
        ("length", {"centres": "3 in"}, "not decidable"),
        ("length", {"links": "38"}, "stop"),
        # the crank turns counter-clockwise: seen facing it, the slack strand is the left one of a chain that goes down
        ("idler", {**IDLER, "idler_x": "-1 in", "idler_y": "-9 in"}, "go"),
        ("idler", {**IDLER, "idler_x": "8 in", "idler_y": "-7 in"}, "caution"),
        ("idler", {**IDLER, "idler_x": "-1 in", "idler_y": "-9 in", "centres_toward": ""}, "not decidable"),
        ("wear", {}, "go"),
        ("wear", {"worn_length": "15.4 in", "worn_over": "20"}, "go"),
        ("wear", {"worn_length": "15.5 in", "worn_over": "20"}, "stop"),
        # 3.2 % at what the tape may be off; shorter than new by a third cannot be
        ("wear", {"worn_length": ("15.4 in", "0.1 in"), "worn_over": "20"}, "caution"),
        ("wear", {"worn_length": "10 in", "worn_over": "20"}, "not decidable"),
        # centres that do not move: 1.5 % instead of 3
        ("wear", {"worn_length": "15.4 in", "worn_over": "20", "chain_takeup": "nothing"}, "stop"),
        # 13.7 hp less 30 % for a slip fit, against 3.5 hp by 1.4
        ("power", {}, "go"),
        ("power", {"work.power": "6.5 hp"}, "go"),
        ("power", {"work.power": "7.2 hp"}, "caution"),
        ("power", {"work.power": "7.2 hp", "connecting_link": "riveted"}, "go"),
        ("power", {"work.power": "14 hp"}, "stop"),
        ("oil", {"oiling": "by hand"}, "caution"),
        ("oil", {"oiling": "stream"}, "go"),
        # 7,030 lbf over five at the peak: 1,406 lbf, 2.2 times 639
        ("strength", {"work.power": "20 hp"}, "go"),
        ("strength", {"work.power": "21 hp"}, "caution"),
        ("strength", {"work.power": "42 hp"}, "stop"),
        # the start pulls as well: 20 times 111 lbf is 2211
        ("strength", {"work.start_factor": "20"}, "caution"),
        ("strength", {"work.start_factor": ""}, "not decidable"),
        # over a fifth at work already, and nobody knows the peaks: 15 hp is 474 lbf by 12 with a stop
        ("strength", {"work.power": "15 hp", "work.peak_factor": "12"}, "stop"),
        ("strength", {"work.power": "45 hp", "work.peak_factor": ""}, "not decidable"),
    ],
)
def test_each_check_turns_where_it_should(what, changes, wanted):
    assert verdict(what, **changes) == wanted


@pytest.mark.parametrize(("spread", "power"), [("3 hp", "go"), ("3.4 hp", "caution")])
def test_the_allowance_of_the_power_counts(spread, power):
    """By hand at 6.5 and 6.9 hp: 9.1 and 9.66 hp with a service factor of 1.4, against 13.7 less 30 %."""
    build = load(DEMO).with_values({"work.power": {"value": "3.5 hp", "plus_minus": spread}})
    assert check_of(work_up(build), "roller-chain.power[output chain]").verdict == power


def test_worse_knowledge_is_never_better():
    worn = {"worn_length": "15.5 in", "worn_over": "20", "chain_is": "used"}
    order = ["go", "not decidable", "caution", "stop"]
    for base in ({}, {"work.power": "7.2 hp"}, {"oiling": "by hand"}, worn):
        whole = changed(**base)
        before = {c.id: c.verdict for c in work_up(whole).of("roller-chain")}
        for key in [k for k in whole.values if k.startswith(AT) or k in ("work.load_class", "work.peak_factor")]:
            if key.endswith((".kind", ".from", ".to", ".name", "_teeth", ".chain", ".worn_over", ".efficiency")):
                continue
            after = {c.id: c.verdict for c in work_up(whole.with_values({key: ""})).of("roller-chain")}
            for id, was in before.items():
                now = after.get(id, "go")
                good = order.index(now) >= order.index(was) or now == "not decidable"
                assert good, (key, id, was, now)


def test_cures_keep_their_word():
    spoilt = (
        ("length", {"links": "74"}),
        ("length", {"chain_takeup": "nothing"}),
        ("length", {"connecting_link": "offset"}),
        ("length", {"links": "77", "connecting_link": "offset"}),
        ("teeth", {}),
        ("wrap", {"centres": "6.5 in"}),
        ("power", {"work.power": "14 hp", "oiling": "stream"}),
        ("oil", {"oiling": "none"}),
        ("wear", {"worn_length": "15.5 in", "worn_over": "20"}),
    )
    for what, changes in spoilt:
        found, id = results(**changes), f"roller-chain.{what}[output chain]"
        cures = prove(found, id)
        assert cures, what
        for cure in cures:
            after = check_of(work_up(applied(found.build, cure.changes)), id)
            assert after.verdict == cure.verdict_after != check_of(found, id).verdict


def test_sprockets_that_touch_are_moved_apart():
    """Seen: a stop without a cure. Tips of sprockets: pitch times 0.6 and the cotangent of half a tooth's angle."""
    found, id = results(centres="6.5 in"), "roller-chain.wrap[output chain]"
    assert check_of(found, id).verdict == "stop"
    tips = 0.5 * 0.75 * INCH * sum(0.6 + 1 / math.tan(math.pi / n) for n in (13, 40))
    cures = prove(found, id)
    assert cures
    for cure in cures:
        centres = read(cure.changes[f"{AT}.centres"], "length").si
        apart = 0.75 * INCH * (1 / math.sin(math.pi / 40) - 1 / math.sin(math.pi / 13))
        wrap = math.pi - 2 * math.asin(0.5 * apart / centres)
        assert centres > tips and wrap >= math.radians(120) and cure.verdict_after == "go"


def test_a_chain_without_its_number_asks_for_it():
    found = results(chain="").of("roller-chain")
    assert [c.verdict for c in found] == ["not decidable"]
    assert found[0].missing == (f"{AT}.chain",)


def test_a_rating_counts_on_the_oil_that_it_is_given_for():
    """A chain that runs dry was told its full rating, beside 'with less it loses most of it' of its oil check."""
    results = work_up(load(DEMO).with_values({"stage[output chain].oiling": "none"}))
    check = check_of(results, "roller-chain.power[output chain]")
    assert check.verdict == "caution" and "oiled not at all" in check.reason
    first = prove(results, check.id)[0]
    assert (first.changes, first.verdict_after) == ({"stage[output chain].oiling": "drip or bath"}, "go")
    unsaid = work_up(load(DEMO).with_values({"stage[output chain].oiling": ""}))
    assert check_of(unsaid, check.id).verdict == "not decidable"
