"""Verdicts on circuit and clutch: two ends, a rating and its voltage, what turns, what is missing."""

from pathlib import Path

import numpy as np
import pytest
from builders import check_of
from clutch_builds import circuit_check as check
from clutch_builds import clutch, electric
from jackshaft.buildfile import DEMO, load
from jackshaft.chapters.electric.line import largest_load
from jackshaft.mechanics import engagement
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.results.proving import applied

CHIPPER = Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"
LB, INCH, LBF_FT = 0.45359237, 0.0254, 1.3558179483
DIRECT = {"circuit.relay": False, "circuit.relay_voltage": "", "circuit.relay_rating": ""}
#: A truck's battery with parts for it: 10 ohm and 24 V on the plate, 58 W.
TRUCK = {
    "circuit.running_voltage": "27.6 V",
    "circuit.battery_voltage": "25.2 V",
    "clutch.coil_resistance": "10 ohm",
    "clutch.plate_voltage": "24 V",
    "circuit.relay_voltage": "24 V",
}
OWN = {"work.run_down_speed": "", "work.run_down_time": "", "work.run_down_drag": "", "work.inertia": "6 lb·ft²"}


@pytest.fixture
def demo():
    return load(DEMO)


@pytest.fixture
def chipper():
    return load(CHIPPER)


# -- 12 and 24 V ------------------------------------------------------------------------------------


def test_a_truck_with_parts_for_it_goes(demo):
    truck = demo.with_values(TRUCK)
    for id in ("coil", "voltage", "fuse", "short", "switch", "relay-coil", "relay-contact"):
        assert check(truck, f"electric.{id}").verdict == GO, id
    # the same watts as 12 V on 2.5 ohm: the clutch holds as it did
    assert check(truck, "clutch.hold").verdict == GO


@pytest.mark.parametrize("plate", ["12 V", ""])
def test_a_twelve_volt_coil_on_twenty_four_is_nowhere_a_go(demo, plate):
    """Seen: electric.voltage and clutch.hold said go beside the stop of the coil that burns."""
    wrong = demo.with_values(TRUCK | {"clutch.coil_resistance": "2.6 ohm", "clutch.plate_voltage": plate})
    for id in ("electric.coil", "electric.voltage", "clutch.hold", "clutch.pull-in", "clutch.engagement"):
        found = check(wrong, id)
        assert found.verdict == STOP and found.guards, id


def test_a_twenty_four_volt_coil_on_twelve_pulls_too_weakly(demo):
    """Without a plate its rating is the voltage that its watts fit: 11 ohm take 52 W at 24 V and 13 W at 12 V."""
    weak = demo.with_values({"clutch.coil_resistance": "11 ohm", "clutch.plate_voltage": ""})
    assert electric(weak).limit == 24.0
    assert [check(weak, i).verdict for i in ("electric.coil", "electric.voltage", "clutch.hold")] == [STOP] * 3


def test_plate_and_supply_that_differ_are_a_stop_though_the_watts_fit(demo):
    """12 ohm take 48 W at 24 V; a plate that says 12 V contradicts it."""
    odd = demo.with_values(TRUCK | {"clutch.coil_resistance": "12 ohm", "clutch.plate_voltage": "12 V"})
    found = check(odd, "electric.coil")
    assert found.verdict == STOP and found.guards and "plate" in found.reason


@pytest.mark.parametrize("volts, verdict", [("16.1 V", GO), ("16.8 V", STOP)])
def test_a_charger_that_runs_away_burns_the_coil(demo, volts, verdict):
    """1.35 × 12 V = 16.2 V at the coil; the line takes 3 %."""
    assert check(demo.with_values({"circuit.running_voltage": volts}), "electric.voltage").verdict == verdict


def test_a_rating_without_its_voltage_is_no_rating(demo):
    marked = {"circuit.switch_rated_for": "DC inductive", "circuit.switch_rating": "10 A"}
    direct = demo.with_values(DIRECT | marked)
    found = check(direct, "electric.switch")
    assert found.verdict == UNDECIDED and found.missing == ("circuit.switch_voltage",)
    assert check(direct.with_values({"circuit.switch_voltage": "12 V"}), "electric.switch").verdict == GO
    # 10 A at 12 V is no rating at 24 V, whatever the current
    truck = demo.with_values(TRUCK | DIRECT | marked | {"circuit.switch_voltage": "12 V"})
    found = check(truck, "electric.switch")
    assert found.verdict == STOP and found.guards and "24 V" in found.reason


def test_a_twelve_volt_relay_may_not_break_twenty_four(demo):
    found = check(demo.with_values(TRUCK | {"circuit.relay_voltage": "12 V"}), "electric.relay-contact")
    assert found.verdict == STOP and found.guards and "12.00 V" in found.reason


def test_a_blade_fuse_is_made_for_thirty_two_volts(demo):
    high = {"circuit.running_voltage": "55 V", "circuit.battery_voltage": "50 V", "clutch.coil_resistance": "42 ohm"}
    found = check(demo.with_values(TRUCK | high | {"clutch.plate_voltage": "48 V"}), "electric.fuse")
    assert found.verdict == STOP and found.guards and "32 V" in found.reason


# -- lamps, relay, switch ---------------------------------------------------------------------------


def test_a_fuse_in_the_warmth_of_the_engine_space_carries_less(demo):
    """0.2 % a kelvin at the most from 20 to 50 °C leave 94 %, and 80 % of that is 75.2 % of what is printed on it."""
    load = largest_load(electric(demo).steps)
    for share, warm, verdict in ((0.77, True, CAUTION), (0.77, False, GO), (0.745, True, GO)):
        found = check(
            demo.with_values({"circuit.fuse": f"{load / share:.4f} A", "circuit.engine_space": warm}), "electric.fuse"
        )
        assert found.verdict == verdict, (share, warm, found.reason)
        assert ("engine space's warmth" in found.reason) == (verdict == CAUTION)


def test_lamps_count_at_the_voltage_they_get(demo, chipper):
    """35 W at 12 V on 8.37 V draw 35 × 8.37 / 144 = 2.03 A; 50 W on 14.1 V of their own wire draw 4.90 A."""
    reason = check(chipper.with_values({"circuit.battery_capacity": "30 Ah"}), "electric.charging").reason
    assert "left lamp 2 " in reason and "right lamp 2 " in reason
    lamp = demo.with_values({"circuit.load[work lamp].current": "", "circuit.load[work lamp].power": "50 W"})
    assert "work lamp 4.9 " in check(lamp, "electric.charging").reason


def test_a_lamp_that_is_off_while_the_clutch_is_engaged_draws_nothing(demo):
    off = demo.with_values({"circuit.load[work lamp].off_engaged": True})
    found = check(off, "electric.charging").found.si
    assert found == pytest.approx(check(demo, "electric.charging").found.si + 2.5)


@pytest.mark.parametrize("rating, verdict", [("13 A", GO), ("12 A", CAUTION), ("5 A", STOP)])
def test_a_relay_beside_a_hot_engine_carries_less(demo, rating, verdict):
    """40 A at 85 °C and 17 A at 125 °C: 5.26 A want a relay of 12.4 A."""
    assert check(demo.with_values({"circuit.relay_rating": rating}), "electric.relay-contact").verdict == verdict
    cool = demo.with_values({"circuit.relay_rating": rating, "circuit.engine_space": False})
    assert check(cool, "electric.relay-contact").verdict == (STOP if rating == "5 A" else GO)


def test_the_interlocks_that_the_current_passes_are_named(demo):
    marked = {
        "circuit.switch_rated_for": "DC inductive",
        "circuit.switch_rating": "10 A",
        "circuit.switch_voltage": "12 V",
    }
    assert "hand switch, hopper guard" in check(demo.with_values(DIRECT | marked), "electric.switch").reason


def test_no_interlock_is_passed_over(demo):
    bridged = check(demo.with_values({"circuit.interlock[hopper guard].bridged": True}), "electric.interlocks")
    assert "hand switch" in bridged.value and "hopper guard (guard) bridged" in bridged.value
    unsaid = check(demo.with_values({"circuit.interlock[hand switch].kind": ""}), "electric.interlocks")
    assert unsaid.verdict == UNDECIDED and unsaid.missing == ("circuit.interlock[hand switch].kind",)


def test_no_point_behind_a_breaker_is_called_before_the_fuse(demo):
    """Seen: every point of a circuit with a breaker, or without a known fuse, was 'before the fuse'."""

    def words(changes):
        tables = work_up(demo.with_values(changes), ("electric",)).chapters["electric"].tables
        return {row[0]: row[-1] for row in next(t for t in tables if t.title.startswith("A short")).rows}

    breaker = words({"circuit.fuse_kind": "circuit breaker"})
    assert "before the fuse" in breaker["battery +"] and "breaker" in breaker["coil +"]
    assert set(words({"circuit.fuse": ""}).values()) == {"no fuse is known yet"}
    assert set(words({"circuit.fuse": "none"}).values()) == {"no fuse"}


def test_a_short_is_judged_at_both_ends_of_the_line(demo):
    """The least current opens the fuse last: a warm and thin wire may be what decides."""
    from jackshaft.chapters.electric.shorts import shorts_of
    from jackshaft.chapters.electric.wire import ampacity_of
    from jackshaft.results.reader import Reader

    build = demo.with_values({"circuit.length_out": "100 ft", "circuit.length_back": "100 ft", "circuit.fuse": "30 A"})
    reader, data = Reader(build), electric(build)
    lying = ampacity_of(reader, data.line.size.area, 398.15)
    likely, low = (shorts_of(reader, data, lying, 398.15, worst=w)[-1].amps for w in (False, True))
    assert low < 0.95 * likely


# -- the clutch's two ends --------------------------------------------------------------------------


def test_the_bad_end_of_a_hot_clutch_counts_the_line(demo, chipper):
    """Seen: 25.4 lbf·ft, and 25.4 at the bad end."""
    for build in (demo, chipper):
        band = clutch(build).static["running, hot"]
        assert band.bad < 0.99 * band.likely
    # 22 AWG at 50 °C: 0.800 ohm of line before 3.94 (coil) beside 2.06 (lamps) at 12.9 V
    both = 1.0 / (1.0 / (3.0 * (1 + 80 / 254.5)) + 2 * 35 / 144)
    amps = 12.9 * both / (both + 0.581 * (1 + 30 / 254.5) + 0.150) / (3.0 * (1 + 80 / 254.5))
    run_in = clutch(chipper.with_values({"clutch.faces": "burnished"})).static["running, hot"]
    assert run_in.bad / LBF_FT == pytest.approx(90 * (amps / 4) ** 2, rel=0.002)
    # nobody wrote down whether its faces are run in: at the bad end they are new, and hold half
    unsaid = clutch(chipper.with_values({"clutch.faces": ""})).static["running, hot"]
    assert unsaid.bad == pytest.approx(0.5 * run_in.bad)


def test_what_the_clutch_protects_is_judged_cold_and_run_in(demo):
    """72 lbf·ft at 4.615 A; cold it has 5.26 A: 72 (saturated) to 72 × 1.14² at the high end, new faces or not."""
    band, times = clutch(demo).most, 13.68 / 12
    assert np.array(band) / LBF_FT == pytest.approx([72, 72 * times, 72 * times**2], rel=0.002)
    assert clutch(demo.with_values({"clutch.faces": "burnished"})).most == band
    # a slip test with new faces: run in they hold 1/0.65 of it, and 1/0.5 at the high end
    test = {"clutch.static_torque": "", "clutch.slip_force": "40 lbf", "clutch.slip_lever": "1 ft"}
    slip = demo.with_values(test | {"clutch.slip_voltage": "12 V"})
    assert clutch(slip).most.likely / LBF_FT == pytest.approx(40 * times / 0.65, rel=0.003)
    assert clutch(slip).most.good / LBF_FT == pytest.approx(1.1 * 40 * times**2 / 0.5, rel=0.003)


def test_a_cold_and_run_in_clutch_that_stalls_the_engine_is_a_caution(demo):
    """1.8 and 0.874 lb·ft² at 1,500 rpm meet at 1,010 rpm however strong the clutch: above 900, below 1,100."""
    assert check(demo, "clutch.engagement").verdict == GO
    found = check(demo.with_values({"engine.stall_speed": "1100 rpm"}), "clutch.engagement")
    assert found.verdict == CAUTION and "stalls" in found.reason


# -- what turns behind the clutch -------------------------------------------------------------------


def test_pulleys_and_shafts_count_with_the_work(demo):
    """Discs of steel by hand: J on the jackshaft, the jackshaft's three steps, the auger at its own shaft."""
    build = demo.with_values(OWN | {"stage[crank belts].pulley[J].measured_as": "outside"})
    data = clutch(build)
    over = {s.name: s.over for s in work_up(build, ("ratio",)).chapters["ratio"].data.shafts}
    steps = [(2.75, 1.375), (8.5, 40 / 25.4), (2.0, 1.25)]
    shaft = sum(7850 * np.pi / 32 * (d * INCH) ** 4 * length * INCH for length, d in steps)
    pulley = 26 * LB * (10.6 * INCH) ** 2 / 8
    auger = 6 * LB * 0.3048**2
    found = data.engagement.turning
    wanted = (pulley + shaft) / over["jackshaft"] ** 2 + auger / over["output shaft"] ** 2
    assert found.likely == pytest.approx(wanted, rel=0.002)
    assert found.bad == pytest.approx(wanted + pulley / over["jackshaft"] ** 2, rel=0.002)
    assert {"pulley E", "pulley I", "output shaft itself"} <= set(found.left_out)
    assert "pulley E" in check(build, "clutch.engagement").reason


def test_an_idler_turns_as_fast_as_the_belt_makes_it(demo):
    with_one = demo.with_values(OWN | {"stage[crank belts].pulley[I].weight": "10 lb"})
    more = clutch(with_one).engagement.turning.likely - clutch(demo.with_values(OWN)).engagement.turning.likely
    # E runs on 4.65 in pitch, the back of the belt on I on 2 × 2.58 in
    assert more == pytest.approx(10 * LB * (5 * INCH) ** 2 / 8 * (4.65 / 5.16) ** 2, rel=0.01)


def test_a_run_down_has_all_of_it_already(demo):
    turns = clutch(demo).engagement.turning
    assert turns.measured and turns.likely == turns.bad and turns.left_out == ()


def test_a_wheel_that_is_work_and_pulley_counts_once(chipper):
    once, twice = (
        clutch(chipper.with_values({"stage[wheel belts].pulley[F].weight": w})).engagement.turning.likely
        for w in ("380 lb", "350 lb")
    )
    assert twice == pytest.approx(once * (1 + 350 / 380), rel=0.001)


# -- the engagement as it is done -------------------------------------------------------------------


def test_engaged_unloaded_the_work_takes_its_own_friction(demo):
    """At 3,000 rpm held: t = I w / (T - 0.2 × 6.13), heat = T w t / 2."""
    build = demo.with_values({"clutch.engage_unloaded": True, "clutch.engage_speed": "3000 rpm", "engine.inertia": ""})
    data = clutch(build)
    torque, load = data.dynamic["running, hot"].likely, 0.2 * 6.13 * LBF_FT
    seconds = data.engagement.inertia * 314.159 / (torque - load)
    assert data.engagement.steps.lock_time == pytest.approx(seconds, rel=1e-3)
    assert data.engagement.heat == pytest.approx(torque * 314.159 * seconds / 2, rel=1e-3)
    assert data.required.pull_in == pytest.approx(load, rel=2e-3)
    # the load comes on once it has locked: what it must hold is no less
    assert data.required.hold == clutch(demo).required.hold


def test_mean_slip_power_goes_with_the_speed():
    """Half the torque times the first slip: seen as its square root in a cure."""
    power = []
    for speed in (100.0, 200.0):
        met = engagement.engage_governed.si(0.3, engine_speed=speed, clutch=40.0, load=12.0)
        power.append(met.heat / met.seconds)
    assert power == pytest.approx([0.5 * 40.0 * 100.0, 0.5 * 40.0 * 200.0])


def test_what_is_known_is_not_asked_for(demo):
    """Seen: without the coil's resistance or the supply the plate's torque was asked for, though given."""
    for key, ids in (
        ("clutch.coil_resistance", ("clutch.engagement", "clutch.hold")),
        ("circuit.running_voltage", ("clutch.engagement", "clutch.hold", "clutch.pull-in")),
    ):
        gone = demo.with_values({key: "", "circuit.battery_voltage": ""})
        for id in ids:
            found = check(gone, id)
            assert found.verdict == UNDECIDED and "clutch.static_torque" not in found.missing, id
            assert key in found.missing, id
    bare = check(demo.with_values(OWN | {"work.inertia": ""}), "clutch.engagement")
    assert set(bare.missing) == {"work.weight", "work.mass_at"}


def test_no_missing_key_of_circuit_and_clutch_is_known(for_each):
    builds = [load(DEMO), load(CHIPPER)]
    keys = ("coil_resistance", "static_torque", "plate_voltage", "face_mass")
    cases = [(b, f"clutch.{k}") for b in builds for k in keys]
    cases += [
        (b, f"circuit.{k}") for b in builds for k in ("wire", "running_voltage", "fuse", "length_out", "insulation")
    ]

    def honest(case):
        build, key = case
        changed = build.with_values({key: ""})
        for found in work_up(changed, ("clutch",)).checks:
            assert all(changed.get(k) is None for k in found.missing), (found.id, found.missing)

    for_each(cases, honest)


def test_the_magnet_must_be_held(demo):
    found = check(demo.with_values({"clutch.magnet_held": ""}), "clutch.magnet")
    assert found.verdict == UNDECIDED and found.missing == ("clutch.magnet_held",)
    held, loose = (check(demo.with_values({"clutch.magnet_held": h}), "clutch.magnet") for h in (True, False))
    assert held.verdict == GO and loose.verdict == STOP and loose.guards


def test_what_never_ends_cannot_be_accepted(chipper):
    """A clutch that slips without end gets red hot beside the petrol."""
    assert check(chipper, "clutch.pull-in").guards and check(chipper, "clutch.engagement").guards
    found = check_of(work_up(applied(chipper, {"work.power": "20 hp"}), ("clutch",)), "clutch.hold")
    assert found.verdict == STOP and found.guards  # it does not even hold the work
