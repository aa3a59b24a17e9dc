"""Cures of circuit and clutch: changes that were tried, and the wrong ones that were seen."""

from pathlib import Path

import pytest
from clutch_builds import clutch
from jackshaft.buildfile import DEMO, load, parse
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.results.proving import applied, proposals, prove
from jackshaft.units import read

CHIPPER = Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"
TRUCK = {"circuit.running_voltage": "27.6 V", "circuit.battery_voltage": "25.2 V"}
FACING = """
[[clutch.pole]]
name = "ring"
inner = "3.0 in"
outer = "3.3 in"
"""


def cures(build, id):
    """Return the proved cures of a check, which must be a caution or a stop."""
    results = work_up(build)
    found = next(c for c in results.checks if c.id == id)
    assert found.verdict in (CAUTION, STOP), found
    return prove(results, id)


def after(build, id, cure):
    return next(c for c in work_up(applied(build, cure.changes)).checks if c.id == id)


@pytest.fixture
def demo():
    return load(DEMO)


@pytest.fixture
def chipper():
    return load(CHIPPER)


def changed(build, **changes):
    """Return a build with keys of the circuit, or of the clutch after ``clutch_``, set."""
    keys = {k: f"clutch.{k[7:]}" if k.startswith("clutch_") else f"circuit.{k}" for k in changes}
    return applied(build, {keys[k]: v for k, v in changes.items()})


def test_wire_is_offered_in_sizes_that_are_sold(chipper, demo):
    for build, unit in ((chipper, "AWG"), (applied(demo, {"shown_in": "metric", "circuit.wire": "0.75 mm2"}), "mm²")):
        long = changed(build, length_out="18 ft", length_back="18 ft")
        offered = [c.changes["circuit.wire"] for c in cures(long, "electric.drop") if "circuit.wire" in c.changes]
        assert offered and all(text.endswith(unit) for text in offered)
        if unit == "AWG":
            assert {int(text.split()[0]) % 2 for text in offered} == {0} and all(
                int(t.split()[0]) <= 16 for t in offered
            )


def test_the_hopeless_wire_has_an_order_that_works(chipper):
    """Larger wire, lamps apart and a fuse between: together they clear wire, fuse and short."""
    found = cures(chipper, "electric.fuse")[0]
    assert {"circuit.wire", "circuit.fuse"} <= set(found.changes) and found.verdict_after == GO and not found.worse
    checks = {c.id: c.verdict for c in work_up(applied(chipper, found.changes)).checks}
    assert [checks[f"electric.{i}"] for i in ("ampacity", "fuse", "short")] == [GO] * 3


def test_a_fuse_carries_the_load_and_protects_the_wire(demo):
    """5.26 A want 7 A, 14 AWG at 125 °C in the engine space carries 35.6 A. Seen: wire offered with it for nothing."""
    for fuse in ("40 A", "4 A", "none"):
        offered = cures(changed(demo, fuse=fuse), "electric.fuse")
        assert [set(c.changes) - {"circuit.fuse_kind"} for c in offered] == [{"circuit.fuse"}]
        assert 7.0 <= read(offered[0].changes["circuit.fuse"], "current").si <= 35.6


def test_behind_a_breaker_a_blade_fuse_is_the_cure(demo):
    """Seen: 'Fit a 20 A circuit breaker' by the ratings of blade fuses."""
    offered = cures(changed(demo, fuse_kind="circuit breaker"), "electric.short")
    assert all(c.changes["circuit.fuse_kind"] == "blade" for c in offered) and offered


def test_a_relay_is_offered_with_all_its_keys_and_only_where_there_is_none(chipper, demo):
    """And with a switch for the relay's coil: 6 A of alternating current say nothing of it."""
    small, found = (c for c in cures(chipper, "electric.switch") if "circuit.relay" in c.changes)
    assert small.changes["circuit.switch_rating"] == "2 A" and small.verdict_after == GO
    assert {"circuit.relay", "circuit.relay_voltage", "circuit.relay_rating"} <= set(found.changes)
    assert found.changes["circuit.suppression"] == "diode" and found.verdict_after == CAUTION
    checks = {c.id: c.verdict for c in work_up(applied(chipper, found.changes)).checks}
    assert checks["electric.relay-contact"] == checks["electric.relay-coil"] == GO
    weak = changed(demo, switch_rating="0.2 A", suppression="none")
    assert all("circuit.relay" not in c.changes for c in cures(weak, "electric.switch"))


def test_a_switch_is_offered_with_the_voltage_of_its_rating(chipper):
    found = next(c for c in cures(chipper, "electric.switch") if "circuit.relay" not in c.changes)
    assert found.changes["circuit.switch_voltage"] == "12 V"
    assert read(found.changes["circuit.switch_rating"], "current").si >= 6.6


def test_a_bridge_is_taken_out(chipper):
    assert cures(chipper, "electric.interlocks")[0].changes == {"circuit.interlock[seat].bridged": "no"}


def test_a_circuit_without_a_return_gets_one(demo):
    first = cures(changed(demo, return_by="not connected"), "electric.return")[0]
    assert first.changes["circuit.return_by"] == "wire"


def test_lamps_are_switched_off_before_a_battery_is_run_flat(demo):
    build = changed(demo, charging_work="6 A")
    found = cures(build, "electric.charging")[0]
    assert found.changes == {"circuit.load[work lamp].off_engaged": "yes"} and found.verdict_after == GO


def test_no_cure_says_that_a_measured_thing_is_otherwise(chipper, demo):
    """Resistances, voltages that were read, and what the work takes are as they are; a TVS is bought."""
    fixed = ("resistance", "_voltage", "hot_rise", "work.", "charging", "slip_", "rise_allowed", "temperature")
    free = ("relay_voltage", "switch_voltage", "clamp_voltage", "suppression_resistor")
    for build in (chipper, changed(demo, **{"clutch_static_torque": "20 lbf·ft"}), applied(demo, TRUCK)):
        results = work_up(build)
        for check in results.checks:
            if check.chapter in ("electric", "clutch") and check.verdict in (CAUTION, STOP):
                for proposal in proposals(results, check):
                    for key in proposal.changes:
                        assert not any(w in key for w in fixed) or key.endswith(free), (check.id, key)


def test_a_measured_torque_is_not_talked_up(demo):
    weak = demo.with_values({"clutch.static_torque": {"value": "20 lbf·ft", "known": "measured"}})
    assert all("clutch.static_torque" not in c.changes for c in cures(weak, "clutch.hold"))


def test_a_coil_that_burns_is_not_cured_by_a_larger_fuse(demo):
    """Seen: a 15 A fuse for the 10.3 A of a 12 V coil on 24 V."""
    burnt = applied(demo, TRUCK)
    for id in ("electric.voltage", "electric.fuse", "clutch.hold", "clutch.pull-in"):
        assert cures(burnt, id) == (), id
    assert cures(burnt, "electric.relay-coil")[0].changes == {"circuit.relay_voltage": "24 V"}


def test_engaging_slower_or_empty_clears_its_own_stop(chipper, demo):
    """Seen: the cure 'engage with the work unloaded' could not clear the stop that it was written under."""
    # a flywheel known to be heavy: whether the engine stalls is another matter
    engine = {"engine.inertia": "20 lb·ft²", "engine.stall_speed": "900 rpm"}
    # belts that carry what the clutch pulls: else they slip, and the clutch locks early
    engine["stage[wheel belts].takeup.slack_tension"] = "455 lbf"
    heavy = applied(chipper, {"clutch.face_mass": "4 lb"} | engine)
    found = cures(heavy, "clutch.engagement")[0]
    assert found.changes["clutch.engage_unloaded"] == "yes" and found.verdict_after == GO
    fast = applied(demo, {"clutch.engage_speed": "3000 rpm"})
    slow = cures(fast, "clutch.engagement")[0]
    speed = read(slow.changes["clutch.engage_speed"], "rotation").si
    assert set(slow.changes) == {"clutch.engage_speed"} and slow.verdict_after == GO
    assert read("1500 rpm", "rotation").si * 0.999 <= speed < read("3000 rpm", "rotation").si


def test_no_speed_below_idle_is_offered(demo):
    hot = applied(demo, {"clutch.engage_speed": "3000 rpm", "clutch.rise_allowed": "1 K"})
    results = work_up(hot)
    check = next(c for c in results.checks if c.id == "clutch.engagement")
    speeds = [p.changes["clutch.engage_speed"] for p in proposals(results, check) if "clutch.engage_speed" in p.changes]
    assert speeds and all(read(s, "rotation").si >= read("1500 rpm", "rotation").si * (1 - 1e-9) for s in speeds)


def test_the_facing_is_cured_by_the_share_of_the_speed_not_its_root(demo):
    """Mean slip power = torque × slip / 2: to halve it wants half the speed. Seen: sqrt(limit/flux) of it."""
    text = (Path(__file__).parents[2] / "data" / "builds" / f"{DEMO}.toml").read_text(encoding="utf-8")
    build = applied(
        parse((text + FACING).encode(), file=demo.file),
        {"clutch.facing": "moulded facing", "clutch.engage_speed": "3000 rpm", "engine.inertia": ""}
        | {"clutch.rise_allowed": "200 K", "engine.idle_speed": "300 rpm"},
    )
    check = next(c for c in work_up(build).checks if c.id == "clutch.facing")
    for cure in cures(build, "clutch.facing"):
        if set(cure.changes) == {"clutch.engage_speed"}:
            then = after(build, "clutch.facing", cure)
            share = read(cure.changes["clutch.engage_speed"], "rotation").si / read("3000 rpm", "rotation").si
            wanted = min(check.wanted.low / check.found.si, check.wanted.high / check.found.high)
            assert share == pytest.approx(wanted, abs=0.005)
            assert then.found.si == pytest.approx(share * check.found.si, rel=0.01) and then.verdict == GO
            return
    pytest.fail("no speed was offered")


def test_new_faces_are_run_in(demo):
    build = changed(demo, length_out="60 ft", length_back="60 ft")
    build = applied(build, {"circuit.load[work lamp].same_wire": "yes"})
    assert {"clutch.faces": "burnished"} in [dict(c.changes) for c in cures(build, "clutch.hold")]


def test_a_larger_clutch_comes_with_wire_only_where_it_must(demo, chipper):
    """Seen: 4 AWG wire offered beside a plate that would do alone."""
    alone = cures(changed(demo, **{"clutch_static_torque": "20 lbf·ft"}), "clutch.hold")
    assert all("circuit.wire" not in c.changes for c in alone) and alone
    both = cures(chipper, "clutch.hold")
    assert {"circuit.wire", "clutch.static_torque"} <= set(both[0].changes)
    held = clutch(applied(chipper, both[0].changes))
    assert held.static[held.hot].likely >= held.required.hold


def test_an_interval_long_enough_is_offered(demo):
    found = cures(applied(demo, {"clutch.engage_every": "20 s"}), "clutch.repeated")[0]
    assert set(found.changes) == {"clutch.engage_every"} and found.verdict_after == GO


def test_gap_and_magnet_have_their_orders(demo):
    wrong = applied(demo, {"clutch.air_gap": "0.05 in", "clutch.magnet_held": "no"})
    assert set(cures(wrong, "clutch.gap")[0].changes) == {"clutch.air_gap"}
    assert cures(wrong, "clutch.magnet")[0].changes == {"clutch.magnet_held": "yes"}


def test_advice_has_no_number_and_no_relay_where_there_is_one(for_each, demo, chipper):
    """What is left beside the cures is true in every case it is shown in."""
    import re

    spoilt = [
        {"circuit.fuse": "40 A"},
        {"circuit.fuse": "none"},
        {"circuit.relay_rating": "4 A"},
        {"circuit.charging_work": "3 A"},
        {"clutch.engage_every": "20 s"},
        {"clutch.engage_speed": "3000 rpm"},
        {"circuit.length_out": "90 ft"},
    ]

    def plain(case):
        for check in work_up(applied(*case), ("clutch",)).checks:
            if check.chapter in ("electric", "clutch") and check.id not in ("electric.coil", "electric.joints"):
                words = re.sub(r"within 7 in \(178 mm\)", "", check.remedy)
                assert not re.search(r"\d", words), (check.id, check.remedy)
                if check.id == "electric.relay-contact":
                    assert "a relay carry" not in words

    for_each([(demo, c) for c in spoilt] + [(chipper, {})], plain)
