"""Cases that last a moment and come seldom: a caution at most, and only where something yields, slips or is dented."""

from __future__ import annotations

import numpy as np
import pytest
from builders import check_of as check
from jackshaft.parts.seldom import joined, largest
from jackshaft.results.worsening import slipped
from shaft_builds import LBF, TWO_BELTS, build_of, data, results

DEMO = "feed_wagon_auger"
SLACK = "stage[first belt].takeup.slack_tension"
HARD = {SLACK: "150 lbf", "work.overrun_factor": "0"}


def test_what_comes_seldom_is_never_more_than_a_caution():
    verdicts = ("go", "caution", "stop")
    assert [joined(v, seldom=False) for v in verdicts] == ["caution", "caution", "stop"]
    assert [joined(v, seldom=True) for v in verdicts] == list(verdicts)
    found = largest({"work": 1.0, "peak": 2.0, "jam": 9.0, "slipping clutch": 9.5})
    assert found.often == ("peak", 2.0) and found.seldom == ("slipping clutch", 9.5)
    assert largest({"work": 1.0}).seldom is None


def yields(strength):
    changes = {"shaft[jackshaft].yield_strength": strength, "shaft[jackshaft].tensile_strength": "900 MPa"}
    return results(TWO_BELTS, **HARD, **changes)


def test_a_shaft_that_yields_in_a_jam_alone_is_a_caution_just_below_its_stress():
    """Its safety goes with the yield strength, so at the strength over the safety it just yields."""
    found = yields("400 MPa")
    sections = data(found).shafts["jackshaft"].sections
    jam = min(c.yielding for s in sections for c in s.seldom)
    often = min(c.yielding for s in sections for c in s.often)
    assert often > 3 * jam
    just = 400 / jam
    for strength, verdict in ((1.02 * just, "go"), (0.98 * just, "caution"), (0.4 * just, "caution")):
        c = check(yields(f"{strength:.3f} MPa"), "shafts.yield[jackshaft]")
        assert c.verdict == verdict, strength
        assert ("with the work jammed" in c.name) == (verdict == "caution")
    weak = 400 / often
    assert check(yields(f"{0.98 * weak:.3f} MPa"), "shafts.yield[jackshaft]").verdict == "stop"
    # between: too weak for both, so the jam is shown, which is farther from what it needs, and more steel is no harm
    short, more = (yields(f"{n * weak:.3f} MPa") for n in (1.2, 1.6))
    found = check(short, "shafts.yield[jackshaft]")
    assert found.verdict == "caution" and "with the work jammed" in found.name
    assert found.found.si == pytest.approx(1.2 * jam / often, rel=1e-4)
    assert "safety is 1.20, where 1.5 is wanted" in found.reason
    assert "shafts.yield[jackshaft]" not in {w.id for w in slipped(short, more)}


def test_a_jam_shortens_no_life_and_dents_no_race_before_its_static_rating():
    """The static safety is C0 over the load, without a shock on what is already the most that can come."""
    key = "bearing[engine side].shock_factor"
    calm = {"work.overrun_factor": "0", key: ""}
    loose, tight = (results(TWO_BELTS, **{SLACK: s, **calm}) for s in ("150 lbf", "400 lbf"))
    for found, verdict in ((loose, "go"), (tight, "caution")):
        life = found.chapters["bearings"].data.lives["engine side"]
        case, most = life.carried.seldom
        assert case == "jam" and most > 3 * life.top
        c = check(found, "bearings.static[engine side]")
        assert (life.rating.static.value / most > 1) == (verdict == "go")
        assert c.verdict == verdict and ("With the work jammed" in c.reason) == (verdict == "caution")
        # the bad end of the life is that of a shock of 1.5, or of its hardest case all the time, of those that come
        # often; outdoors 0.3 of it. A shock of 1.2 is likely.
        hard = max(1.5, life.top / life.radial[0])
        assert life.life_bad / life.life == pytest.approx(0.3 * (1.2 / hard) ** 3, rel=1e-6)


def test_a_race_that_is_short_in_both_cases_shows_the_jam():
    """Its static safety just under 1 is not shown as 1, and a better bearing is no harm to it."""
    at, calm = "bearing[engine side]", {"work.overrun_factor": "0", SLACK: "150 lbf"}

    def rated(newton):
        # a catalogue's dynamic rating stands beside its static one; it is not what is tested
        changes = {f"{at}.shock_factor": "1", f"{at}.static_rating": f"{newton:.3f} N", f"{at}.dynamic_rating": "30 kN"}
        return results(TWO_BELTS, **calm, **changes)

    life = rated(20000.0).chapters["bearings"].data.lives["engine side"]
    short = check(rated(1.0005 * life.top), "bearings.static[engine side]")
    jam = 1.0005 * life.top / life.carried.seldom[1]
    assert short.verdict == "caution" and jam < 0.5
    assert short.found.si == pytest.approx(jam, rel=1e-4) and "with the work jammed" in short.limit
    near = check(rated(0.96 * life.carried.seldom[1]), "bearings.static[engine side]")
    assert near.verdict == "caution" and near.value == "0.96"


@pytest.mark.parametrize("strength, verdict", [("1.02", "go"), ("0.98", "caution")])
def test_the_pin_of_an_idler_in_a_case_that_comes_seldom(strength, verdict):
    """The idler's strand does not grow with the load; a case of ten times its force is put there by hand."""
    from dataclasses import replace

    from jackshaft.chapters.shafts import CHAPTER, hubs
    from jackshaft.results.findings import Draft
    from jackshaft.results.reader import Reader

    at, pull = "stage[crank belts].pulley[I]", 184.0
    stress = 2.7 * 32 * pull * 2 / (np.pi * 0.375**3)
    keys = {"pin_diameter": "3/8 in", "pin_overhang": "2 in", "pin_yield": f"{float(strength) * stress:.2f} psi"}
    found = results(DEMO, **{f"{at}.{k}": v for k, v in keys.items()})
    grip = found.chapters["grip"].data["crank belts"]
    i = found.chapters["layout"].data["crank belts"].pulleys.names.index("I")
    jam = grip.case("jam")
    hub = jam.hub.copy()
    hub[i] *= pull * LBF / np.hypot(*hub[i])
    usual = [c for c in grip.cases if c.name not in ("jam", "slipping clutch")]
    grips = {"crank belts": replace(grip, cases=(*usual, jam._replace(hub=hub)))}
    done = {**found.chapters, "grip": replace(found.chapters["grip"], data=grips)}
    draft = Draft(CHAPTER)
    hubs.pins(draft, Reader(found.build), done)
    c = next(c for c in draft.checks if c.id == "shafts.pin[crank belts: I]")
    # 184 lbf just yields it at a strength of one; at work the belt bears on it with 18.4
    assert c.verdict == verdict
    assert c.found.si == pytest.approx(float(strength) * (1 if verdict == "caution" else 10), rel=0.005)
    assert ("With the work jammed" in c.reason) == (verdict == "caution")


def test_a_jam_tires_no_spline():
    """The flanks wear with what comes often; a jam eight times as hard changes nothing."""
    from jackshaft.results import work_up
    from shaft_builds import with_part

    pressures = []
    for slack in ("25 lbf", "100 lbf"):
        changes = {SLACK: slack, "work.overrun_factor": "0", "shaft[jackshaft].diameter": "1.5 in"}
        fields = {"position": "10 in", "profile": "type 1, 540 rpm", "length": "2.5 in"}
        found = work_up(with_part(build_of(TWO_BELTS, **changes), "jackshaft", "joint", "hub", kind="spline", **fields))
        pressures.append(check(found, "shafts.spline[hub]").found.high)
    assert pressures[0] == pytest.approx(pressures[1], rel=1e-9)
