"""The torque chain on the demo build, against an independent calculation for the scenario."""

from pathlib import Path

import numpy as np
import pytest
from jackshaft.build import load, parse
from jackshaft.figures.chain import ChainView, picture_of
from jackshaft.mechanics import chain
from jackshaft.workup import work_up

ROOT = Path(__file__).resolve().parents[2]
LBF_FT = 4.4482216152605 * 0.3048


@pytest.fixture(scope="module")
def results():
    return work_up(load("orchard_sweeper"))


def at(results, name):
    link = next(x for x in results.chapters["chain"].data.links if name in x.name)
    return link.likely / LBF_FT


@pytest.mark.parametrize(
    ("name", "torque", "share"),
    [
        ("brush belts", 6.2, 0.05),  # tensions agree to 5 %
        ("shear pin", 7.7, 0.005),
        ("crank belt", 9.3, 0.05),
        ("engine peak", 23.0, 0.005),
        ("joints", 25.8, 0.005),
        ("brush shaft", 45.0, 0.01),  # printed as two digits
        ("clutch", 55.0, 0.01),  # printed as "about 55"
        ("key", 316.0, 0.005),
    ],
)
def test_each_link(results, name, torque, share):
    assert at(results, name) == pytest.approx(torque, rel=share)


def test_order_of_the_links(results):
    found = [link.name for link in results.chapters["chain"].data.links]
    assert found == sorted(found, key=lambda n: at(results, n))
    assert "brush belts" in found[0] and found[1] == "shear pin" and "crank belt" in found[2]


def test_the_pin_never_gets_the_chance(results):
    check = next(c for c in results.checks if c.id == "chain.weak-link")
    assert check.verdict == "caution" and "never gets the chance" in check.reason and check.remedy


def test_at_sixty_pounds_the_pin_goes_first():
    results = work_up(load("orchard_sweeper").with_values({"stage[brush belts].takeup.static_tension": "60 lbf"}))
    assert results.chapters["chain"].data.links[0].name == "shear pin"


def test_losses_are_counted_on_the_way():
    lossy = load("orchard_sweeper").with_values({"stage[brush belts].efficiency": "0.9"})
    pin = at(work_up(lossy), "shear pin")
    # What reaches the pin is nine tenths of the crank's power, so the crank must give more before it shears.
    assert pin == pytest.approx(7.72 / 0.9, rel=0.005)


def test_metric_build_tells_it_in_newton_metres():
    results = work_up(load("compost_trommel").with_values({"stage[belt].takeup.static_tension": "300 N"}))
    assert results.chapters["chain"].data is not None
    assert all("lbf" not in f.value for f in results.chapters["chain"].facts)


def test_nothing_known_is_no_fault():
    results = work_up(parse(b'schema = 1\nname = "t"\n', file="t.toml"))
    assert results.chapters["chain"].data is None and results.chapters["chain"].words


def test_kernel_carries_and_orders():
    assert chain.referred.si(10.0, over=4.0, passed=0.5) == pytest.approx(5.0)
    order = chain.order_si([1.0, 4.0, 2.0], [2.0, 5.0, 3.0], [2.5, 6.0, 3.5])
    assert list(order.rank) == [0, 2, 1] and not order.sure
    assert chain.order_si([1.0, 4.0], [2.0, 5.0], [2.5, 6.0]).sure
    np.testing.assert_allclose(order.share, [1.0, 2.5, 1.5])
    assert list(chain.order_si([0.0, 1.0], [0.0, 2.0], [0.0, 3.0]).rank) == [0, 1]


def test_picture_says_the_chain_in_order(results):
    view = ChainView("chain-test", picture_of(results))
    view.draw(picture_of(results))
    words = view.alt()
    places = [words.index(n) for n in ("brush belts", "shear pin", "crank belt", "engine peak")]
    assert places == sorted(places) and "5.66 lbf·ft" in words
    shown = [t.get_text() for t in view.names if t.get_visible()]
    assert shown[0] == "brush belts: slip"
    x = [m.get_xdata()[0] for m in view.marks if m.get_visible()]
    assert x == sorted(x) and x[1] == pytest.approx(7.72, rel=0.005)


def test_a_joint_that_is_written_down_is_a_link_of_the_chain():
    """Two set screws of 3/8 in on 1 in: 2000 lbf of holding each by the handbook, on half an inch: 2 x 83.3 lbf·ft."""
    text = (ROOT / "data" / "builds" / "orchard_sweeper.toml").read_text(encoding="utf-8")
    stage = '\n[[stage]]\nname = "crank belt"'
    part = '\n[[shaft.joint]]\nname = "hub"\nkind = "set screws"\nscrew = "3/8"\ncount = 2\n' + stage
    build = parse(text.replace(stage, part, 1).encode(), file="hub")
    results = work_up(build, ("chain",))
    link = next(x for x in results.chapters["chain"].data.links if x.name == "brush shaft: hub")
    shafts = results.chapters["shafts"].data.joints
    own = next(j for j in shafts if j.name == "hub").carries
    assert own / LBF_FT == pytest.approx(2 * 2000 * 0.5 / 12, rel=0.01)
    ratio = results.chapters["ratio"].data
    there, here = (ratio.shaft(n).torque for n in ("brush shaft", "engine"))
    assert link.likely == pytest.approx(own * here / there, rel=1e-6)
    assert link.low < link.likely < link.high and "slips" in link.gives
    assert sum(x.kind == "parallel key" for x in results.chapters["chain"].data.links) == 0
