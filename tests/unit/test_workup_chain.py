"""The torque chain on the feed-wagon auger, against an independent calculation of that build."""

from pathlib import Path

import numpy as np
import pytest
from jackshaft.buildfile import DEMO, load, parse
from jackshaft.chapters.weak_link.figure import ChainView, picture_of
from jackshaft.mechanics import chain
from jackshaft.results import work_up

ROOT = Path(__file__).resolve().parents[2]
LBF_FT = 4.4482216152605 * 0.3048


@pytest.fixture(scope="module")
def results():
    return work_up(load(DEMO))


def at(results, name):
    link = next(x for x in results.chapters["chain"].data.links if name in x.name)
    return link.likely / LBF_FT


@pytest.mark.parametrize(
    ("name", "torque", "share"),
    [
        ("shear pin", 17.4, 0.005),
        ("engine peak", 20.2, 0.005),
        ("crank belts", 32.5, 0.05),  # tensions agree to 5 %
        # 23.7 straight; bent by 20.5° and 18.0° between the cosine of one and that of both of it
        ("joints", 21.65, 0.027),
        ("clutch", 35.7, 0.01),
        ("output shaft yields", 139.0, 0.01),
        ("engine key", 422.0, 0.005),
    ],
)
def test_each_link(results, name, torque, share):
    """On the crank, by an independent calculation of the feed-wagon auger."""
    assert at(results, name) == pytest.approx(torque, rel=share)


def test_the_belts_bad_end_lies_over_the_engines_peak(results):
    belts = next(x for x in results.chapters["chain"].data.links if "crank belts" in x.name)
    assert belts.low / LBF_FT == pytest.approx(20.6, rel=0.05)


def test_order_of_the_links(results):
    found = [link.name for link in results.chapters["chain"].data.links]
    assert found == sorted(found, key=lambda n: at(results, n))
    assert found[0] == "shear pin" and "engine peak" in found[1]


def test_the_pin_gives_first(results):
    check = next(c for c in results.checks if c.id == "chain.weak-link")
    assert check.verdict == "go" and check.value == "shear pin"


def test_a_slack_belt_slips_before_the_pin_has_its_chance():
    slack = load(DEMO).with_values({"stage[crank belts].takeup.slack_tension": "20 lbf"})
    check = next(c for c in work_up(slack).checks if c.id == "chain.weak-link")
    assert check.verdict == "caution" and "the pin never shears" in check.reason and check.remedy


def test_at_28_pounds_the_belts_bad_end_lies_under_the_pin():
    """44 lbf hold 20.6 lbf·ft at the bad end, so 28 lbf hold 13.1, under the pin's 17.4 (independent calculation)."""
    slack = load(DEMO).with_values({"stage[crank belts].takeup.slack_tension": "28 lbf"})
    results = work_up(slack)
    belts = next(x for x in results.chapters["chain"].data.links if "crank belts" in x.name)
    assert belts.low / LBF_FT == pytest.approx(13.1, rel=0.05)
    assert next(c for c in results.checks if c.id == "chain.weak-link").verdict == "caution"


def test_losses_are_counted_on_the_way():
    lossy = load(DEMO).with_values({"stage[output chain].efficiency": "0.9"})
    pin = at(work_up(lossy), "shear pin")
    # What reaches the pin is nine tenths of the crank's power, so the crank must give more before it shears.
    assert pin == pytest.approx(17.4 / 0.9, rel=0.005)


def test_metric_build_tells_it_in_newton_metres():
    results = work_up(load("compost_trommel").with_values({"stage[belt].takeup.static_tension": "300 N"}))
    assert results.chapters["chain"].data is not None
    assert all("lbf" not in f.value for f in results.chapters["chain"].facts)


def test_nothing_known_is_no_fault():
    results = work_up(parse(b'schema = 1\nname = "t"\n', file="t.toml"))
    assert results.chapters["chain"].data is None and results.chapters["chain"].words


def test_a_work_that_no_stage_drives_yet_is_no_fault():
    """A belt is there and tight, and the stage that is to drive the work is not in the file at all."""
    text = (ROOT / "data/builds/drum_mixer.toml").read_text(encoding="utf-8")
    text = text.partition('[[stage]]\nname = "ring gear"')[0].replace('power_at = "engine"', 'power_at = "drum"')
    text += '[stage.takeup]\nkind = "adjustable centres"\nstatic_tension = "60 lbf"\n'
    results = work_up(parse(text.encode(), file="t.toml"))
    assert not results.faults
    assert "stage" in next(c for c in results.checks if c.id == "chain.holds").missing


def test_kernel_carries_and_orders():
    assert chain.carried_over.si(10.0, over=4.0, passed=0.5) == pytest.approx(5.0)
    order = chain.order_si([1.0, 4.0, 2.0], [2.0, 5.0, 3.0], [2.5, 6.0, 3.5])
    assert list(order.rank) == [0, 2, 1] and not order.sure
    assert chain.order_si([1.0, 4.0], [2.0, 5.0], [2.5, 6.0]).sure
    np.testing.assert_allclose(order.share, [1.0, 2.5, 1.5])
    assert list(chain.order_si([0.0, 1.0], [0.0, 2.0], [0.0, 3.0]).rank) == [0, 1]


def test_picture_says_the_chain_in_order(results):
    view = ChainView("chain-test", picture_of(results))
    view.draw(picture_of(results))
    words = view.alt()
    places = [words.index(n) for n in ("shear pin", "engine peak", "joints", "crank belts")]
    assert places == sorted(places) and "17.4 lbf·ft" in words
    shown = [t.get_text() for t in view.names if t.get_visible()]
    assert shown[0] == "shear pin"
    x = [m.get_xdata()[0] for m in view.marks if m.get_visible()]
    assert x == sorted(x) and x[0] == pytest.approx(17.4, rel=0.005)


def test_a_joint_that_is_written_down_is_a_link_of_the_chain():
    """Two set screws of 3/8 in on 1-1/4 in: 2000 lbf of holding each by the handbook, on 5/8 in: 2 x 104.2 lbf·ft."""
    at_joint = "shaft[output shaft].joint[joint key]"
    build = load(DEMO).with_values(
        {
            f"{at_joint}.kind": "set screws",
            f"{at_joint}.screw": "3/8",
            f"{at_joint}.count": 2,
            f"{at_joint}.width": "",
            f"{at_joint}.length": "",
        }
    )
    results = work_up(build, ("chain",))
    link = next(x for x in results.chapters["chain"].data.links if x.name == "output shaft: joint key")
    own = next(j for j in results.chapters["shafts"].data.joints if j.name == "joint key").carries
    assert own / LBF_FT == pytest.approx(2 * 2000 * 0.625 / 12, rel=0.01)
    ratio = results.chapters["ratio"].data
    there, here = (ratio.shaft(n).torque for n in ("output shaft", "engine"))
    assert link.likely == pytest.approx(own * here / there, rel=1e-6)
    assert link.low < link.likely < link.high and "slips" in link.gives
