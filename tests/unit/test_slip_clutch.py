"""The slip clutch: what it slips at, what it guards, how long it may slip, and that rusted plates guard nothing.

The drive is that of `test_chain_order`: 3 kW at 3000 rpm, a chain of 15 to 45 teeth, all on a shaft at 1000 rpm.
"""

import math

import pytest
from builders import check_of
from jackshaft.buildfile import parse
from jackshaft.chapters.weak_link.figure import ChainView, picture_of
from jackshaft.formulas import slip_time
from jackshaft.parts.outside_loads import jam_share
from jackshaft.parts.slip_clutch import slip_clutch
from jackshaft.record.buying import buying
from jackshaft.record.faults import faults
from jackshaft.record.first_run import first_run
from jackshaft.results import Reader, work_up
from jackshaft.results.proving import prove
from test_chain_order import DIRECT, FIRST, HEAD, HUB, OUT, PIN, WORK

SET = '[slip_clutch]\nshaft = "out"\nplates = "run in"\ntorque = "90 N·m"\n'
HOT = 'plate_mass = "3 kg"\nfacing = "moulded facing"\n'
BARE = (HEAD, DIRECT, OUT, HUB, WORK, FIRST)
NO_PIN = HEAD.replace("schema = 1", 'schema = 1\nshear_pin = "none"', 1)
ALONE = (NO_PIN, *BARE[1:])


@pytest.fixture(scope="module")
def of():
    found = {}

    def once(*parts):
        text = "".join(parts)
        if text not in found:
            found[text] = work_up(parse(text.encode(), file="t.toml"))
        return found[text]

    return once


def read(text):
    return slip_clutch(Reader(parse((HEAD + OUT + text).encode(), file="t.toml")))


def link(results):
    return results.chapters["chain"].data.of_kind("slip clutch")


@pytest.mark.parametrize(
    ("plates", "force", "printed"), [("run in", 15707.963268, 235.619449), ("new", 23561.944902, 367.0)]
)
def test_springs_and_linings_give_the_printed_torque(plates, force, printed):
    """Bhandari, ch. 11, ex. 11.1: 100 and 200 mm, friction 0.2, one pair of faces; by wear, and by even pressure."""
    found = read(
        f'[slip_clutch]\nshaft = "out"\nplates = "{plates}"\nspring_force = "{force / 4} N"\nsprings = 4\nfaces = 1\n'
        'outer_diameter = "200 mm"\ninner_diameter = "100 mm"\nfriction = 0.2\n'
    )
    assert found.likely == pytest.approx(printed, abs=0.5 if plates == "new" else 1e-5)
    # the low end never counts on the larger radius of new linings; both ends scatter by a fifth, from memory
    worn = 0.2 * force * 0.075
    assert (found.low, found.high) == pytest.approx((0.8 * worn, 1.2 * found.likely))


def test_a_setting_goes_before_the_springs_and_the_table_gives_the_friction():
    parts = 'spring_force = "500 N"\nsprings = 6\nfaces = 4\nouter_diameter = "160 mm"\ninner_diameter = "100 mm"\n'
    woven = read(SET.replace('torque = "90 N·m"\n', "") + parts + 'facing = "woven facing"\n')
    mean = 500 * 6 * 4 * 0.065  # N·m for a friction of one; woven facings rub at 0.35 to 0.40, Tribology Handbook B7
    assert (woven.low, woven.likely, woven.high) == pytest.approx((0.8 * 0.35 * mean, 0.375 * mean, 1.2 * 0.40 * mean))
    assert read(SET + parts + 'facing = "woven facing"\n').likely == pytest.approx(90.0)


def test_what_is_missing_is_named_and_the_shorter_way_where_nothing_is_known(of):
    left = of(*ALONE, '[slip_clutch]\nshaft = "out"\n').chapters["chain"].data.left
    assert [k.keys for k in left if k.part == "slip_clutch"] == [("slip_clutch.torque",)]
    results = of(*ALONE, '[slip_clutch]\nshaft = "out"\nspring_force = "500 N"\nsprings = 6\n')
    check = check_of(results, "chain.weak-link")
    wanted = {f"slip_clutch.{k}" for k in ("faces", "outer_diameter", "inner_diameter", "facing")}
    assert check.verdict == "not decidable" and wanted <= set(check.missing)


def test_it_guards_like_a_pin_of_its_torque(of):
    """90 N·m behind a 3 to 1 chain are 24 to 36 N·m on the engine's shaft, below chain, shaft and hub."""
    results = of(*ALONE, SET)
    found = link(results)
    assert (found.low, found.likely, found.high) == pytest.approx((24.0, 30.0, 36.0))
    check = check_of(results, "chain.weak-link")
    assert check.verdict == "go" and check.value == "slip clutch" and "slip clutch gives first" in check.reason
    (table,) = (t for t in results.chapters["chain"].tables if t.title == "When the slip clutch lets go")
    assert {row[0] for row in table.rows} == {k.name for k in results.chapters["chain"].data.giving if k is not found}
    assert {(row[1], row[3]) for row in table.rows} == {("up to 36.0 N·m", "go")}


def test_set_too_high_it_breaks_the_rest_and_a_lower_setting_mends_that(of):
    results = of(*ALONE, SET.replace("90", "900"))
    check = check_of(results, "chain.weak-link")
    assert check.verdict == "stop" and "never slips" in check.reason
    (first, *_) = prove(results, "chain.weak-link")
    # two and a half times the working torque, as is usual: 9.549 N·m behind 3 to 1
    assert first.changes == {"slip_clutch.torque": "72 N·m"} and first.verdict_after == "go"


def test_plates_that_stood_guard_nothing_and_unsaid_ones_are_open(of):
    stood = of(*ALONE, SET.replace("run in", "stood"))
    assert math.isinf(link(stood).high)
    check = check_of(stood, "chain.weak-link")
    assert check.verdict == "caution" and "rusted together" in check.value
    (mend, *_) = prove(stood, "chain.weak-link")
    assert mend.changes == {"slip_clutch.plates": "run in"} and mend.verdict_after == "go"
    unsaid = check_of(of(*ALONE, SET.replace('plates = "run in"\n', "")), "chain.weak-link")
    assert unsaid.verdict == "not decidable" and unsaid.missing == ("slip_clutch.plates",)
    view = ChainView("chain", picture_of(stood))
    view.draw(picture_of(stood))
    assert "slip clutch 30.0 N·m or more" in view.alt() and "first breaks 200 N·m," in view.alt()
    # they still hold the load: what rust does there only helps
    assert check_of(stood, "chain.holds").verdict == "go"


def test_the_weaker_of_pin_and_slip_clutch_guards(of):
    """The pin of 117.8 N·m gives at 106 to 130; a clutch at 50 slips before it, one at 200 after it."""
    for torque, first in (("50", "slip clutch"), ("200", "shear pin")):
        data = of(*BARE, PIN, SET.replace("90", torque)).chapters["chain"].data
        assert data.guard.name == first and {k.name for k in data.guards} == {"shear pin", "slip clutch"}


def test_its_heat_is_that_of_torque_and_speed(of):
    """At 1000 rpm and 108 N·m at the most it takes up 11.3 kW; 3 kg warm from 40 to 350 °C by 465 kJ, in 41 s."""
    results = of(*ALONE, SET + HOT)
    check = check_of(results, "chain.slip-heat")
    assert check.verdict == "not decidable" and check.missing == ("engine.inertia",)
    heavy = ALONE[0].replace('peak_torque = "25 N·m"', 'peak_torque = "25 N·m"\ninertia = "0.05 kg·m^2"')
    check = check_of(of(heavy, *ALONE[1:], SET + HOT), "chain.slip-heat")
    power, coasts = 108 * 1000 * math.pi / 30, 0.5 * 0.05 * (3000 * math.pi / 30) ** 2
    assert check.verdict == "go"
    assert check.found.low == pytest.approx((3 * 500 * 310 - coasts) / power)
    light = check_of(of(heavy, *ALONE[1:], SET + HOT.replace("3 kg", "0.2 kg")), "chain.slip-heat")
    assert light.verdict == "caution" and light.remedy


def test_what_coasts_may_be_too_much_by_itself():
    args = {"mass": "1 kg", "rise": "100 K"}
    assert slip_time("5 kW", **args).to("s").magnitude == pytest.approx(10.0)
    assert slip_time("5 kW", already="60 kJ", **args).magnitude == 0.0


def test_a_jam_reaches_the_shafts_before_it_no_higher_than_it_holds(of):
    """What stands before the plates is loaded in a jam by what they hold at the most, not by belt or engine alone."""
    heavy = ALONE[0].replace('peak_torque = "25 N·m"', 'peak_torque = "25 N·m"\ninertia = "5 kg·m^2"')
    results = of(heavy, *ALONE[1:], SET)
    ratio = results.chapters["ratio"].data
    engine = ratio.shaft("engine")
    share = jam_share(Reader(results.build), ratio, engine)
    assert share * engine.torque == pytest.approx(36.0)
    rusted = of(heavy, *ALONE[1:], SET.replace("run in", "stood"))
    assert jam_share(Reader(rusted.build), ratio, engine) > 10 * share


def test_the_first_run_lets_it_slip_and_the_sheets_speak_of_it(of):
    results = of(*ALONE, SET + 'spring_length = "48 mm"\n')
    steps = {step.look: step.wanted for stage in first_run(results) for step in stage.steps}
    mine = {look: wanted for look, wanted in steps.items() if look.startswith("slip clutch")}
    assert any("48.0 mm" in wanted for wanted in mine.values())
    assert any("72.0 N·m to 108 N·m on out" in wanted.replace(" to", " to") for wanted in mine.values())
    assert any("once a season" in look for look in mine)
    assert any("slip clutch" in fault.symptom for fault in faults(results))
    assert any(want.part == "slip clutch" for want in buying(results))
    assert not [s for stage in first_run(of(*ALONE)) for s in stage.steps if "slip clutch" in s.look]
