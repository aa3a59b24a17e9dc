"""What takes up the coil's energy, judged by its size; voltages that do not go together; what charging leaves."""

import numpy as np
import pytest
from clutch_builds import circuit_check as check
from jackshaft.buildfile import DEMO, load
from jackshaft.chapters.electric.suppression import preferred
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.results.proving import applied, with_cures
from scipy.integrate import solve_ivp

TRUCK = {
    "circuit.running_voltage": "28 V",
    "circuit.battery_voltage": "25.2 V",
    "clutch.coil_resistance": "10 ohm",
    "clutch.plate_voltage": "24 V",
    "circuit.relay_voltage": "24 V",
}
ID = "electric.suppression"


@pytest.fixture
def demo():
    return load(DEMO)


def fitted(build, kind, more=(), **sizes):
    """Return the build with a suppression; sizes are keys of the circuit."""
    return build.with_values({"circuit.suppression": kind} | {f"circuit.{k}": v for k, v in sizes.items()} | dict(more))


def circuit(build):
    """Return current of the coil (A), cold, and the highest supply (V), by Ohm's law from the demo's own values."""
    supply = build.get("circuit.running_voltage").si
    loop = build.get("clutch.coil_resistance").si + build.get("circuit.joint_resistance").si
    # copper of 14 AWG: ASTM B258 gives 2.0812 mm²
    loop += 1.7241e-8 * 2 * build.get("circuit.length_out").si / 2.0812e-6
    return supply / loop, supply


@pytest.mark.parametrize(
    "clamp, verdict",
    [("24 V", STOP), ("28 V", STOP), ("30 V", CAUTION), ("36 V", GO), ("51 V", GO), ("400 V", CAUTION)],
)
def test_a_tvs_stands_clear_of_the_supply_and_below_what_burns_the_contact(demo, clamp, verdict):
    """Seen: one of 24 V on 28 V, which conducts all the time, went. 1.25 × 28 V is 35 V."""
    found = check(fitted(demo, "TVS", TRUCK, clamp_voltage=clamp), ID)
    assert found.verdict == verdict and found.guards == (verdict == STOP)


@pytest.mark.parametrize("kind, key", [("TVS", "clamp_voltage"), ("resistor", "suppression_resistor")])
def test_a_part_without_its_size_is_not_judged(demo, kind, key):
    found = check(fitted(demo, kind), ID)
    assert found.verdict == UNDECIDED and found.missing == (f"circuit.{key}",)


def test_a_zener_behind_its_diode_never_sees_the_supply(demo):
    """Band to band: the diode blocks the supply, so that 5 V serve as well, only slower."""
    assert check(fitted(demo, "diode and zener", clamp_voltage="5 V"), ID).verdict == GO
    # the clutch's own table works with the zener that is there
    found = work_up(fitted(demo, "diode and zener", clamp_voltage="5 V"), ("clutch",)).chapters["clutch"].data
    peak = next(r for r in found.dynamics.releases if r.suppression == "diode and zener").coil_peak
    assert peak == pytest.approx(5.8)


@pytest.mark.parametrize(
    "ohm, power, verdict",
    [
        ("5 kohm", "5 W", CAUTION),
        ("47 ohm", "10 W", CAUTION),  # 47 Ω × 5.26 A are 247 V across the coil, over ten times 12 V
        ("22 ohm", "25 W", GO),  # 116 V, and 14.1² / 22 are 9.0 W
        ("22 ohm", "15 W", CAUTION),
        ("22 ohm", "5 W", STOP),
        ("2 ohm", "5 W", STOP),  # 99 W
        ("2 ohm", "300 W", CAUTION),  # 7 A beside the coil's 5.3 A
    ],
)
def test_a_resistor_is_judged_by_its_kick_and_its_heat(demo, ohm, power, verdict):
    """Seen: 2 ohm, which burns, and 5 kohm, which lets thousands of volts through, both went."""
    build = fitted(demo, "resistor", suppression_resistor=ohm, suppression_power=power)
    found = check(build, ID)
    assert found.verdict == verdict and found.guards == (verdict == STOP)
    amps, supply = circuit(build)
    r = build.get("circuit.suppression_resistor").si
    assert found.found.si == pytest.approx(supply + r * amps, rel=0.03)


def test_a_resistor_whose_rating_is_not_known_is_not_judged(demo):
    found = check(fitted(demo, "resistor", suppression_resistor="22 ohm"), ID)
    assert found.verdict == UNDECIDED and found.missing == ("circuit.suppression_power",)


def test_what_the_resistor_draws_loads_wire_fuse_and_charging(demo):
    """10 ohm across the coil draw 13.8 V / 10 = 1.4 A: through fuse and contact, and of the charging current."""
    build = fitted(demo, "resistor", suppression_resistor="10 ohm", suppression_power="50 W")
    more = 13.7 / 10.0
    for id, sign in (("electric.relay-contact", 1), ("electric.charging", -1)):
        assert check(build, id).found.si == pytest.approx(check(demo, id).found.si + sign * more, abs=0.1), id
    assert "other loads" not in check(build, "electric.fuse").remedy


def test_a_contact_has_the_resistive_figure_only_where_the_kick_is_tamed(demo):
    """A relay of 8 A with 5.3 A to break holds behind a diode; with 5 kohm half the figure counts, 4 A."""
    small = demo.with_values({"circuit.relay_rating": "8 A", "circuit.engine_space": False})
    assert check(small, "electric.relay-contact").verdict == GO
    wild = fitted(small, "resistor", suppression_resistor="5 kohm", suppression_power="5 W")
    assert check(wild, "electric.relay-contact").verdict == STOP
    open_ = check(fitted(small, "TVS"), "electric.relay-contact")
    assert open_.verdict == UNDECIDED and open_.missing == ("circuit.clamp_voltage",)


@pytest.mark.parametrize("most, verdict", [("60 V", GO), ("40 V", STOP)])
def test_the_makers_figure_for_the_contact_counts_where_it_is_known(demo, most, verdict):
    """14.1 V + 33 V are 47.1 V."""
    found = check(fitted(demo, "TVS", clamp_voltage="33 V", contact_peak=most), ID)
    assert found.verdict == verdict and found.found.si == pytest.approx(47.1)


def test_a_plain_diode_says_how_slow_it_is(demo):
    """The circuit's equation integrated until a fifth of the current is left, with diode and with diode and zener."""
    amps, supply = circuit(demo)
    r20, henry = demo.get("clutch.coil_resistance").si, 0.05

    def seconds(volts):
        def low(t, i):
            return i[0] - 0.2 * amps

        low.terminal = True
        run = solve_ivp(lambda t, i: [-(r20 * i[0] + volts) / henry], (0, 1), [amps], events=low, rtol=1e-9, atol=1e-9)
        return run.t_events[0][0]

    zener = next(v for v in preferred(24) if v >= 2 * supply)
    times = seconds(0.8) / seconds(0.8 + zener)
    reason = check(demo, ID).reason
    assert float(reason.split(" times as slowly")[0].rsplit(" ", 1)[1]) == pytest.approx(times, abs=0.06)
    assert f"{zener:g} V zener" in reason and "band" in reason and "120 V in reverse" in reason


def test_preferred_numbers():
    """IEC 60063: E12 from 10 to 82, each about the twelfth root of ten above the last; E24 holds them all."""
    e12 = [v for v in preferred(12) if 10 <= v < 100]
    assert e12 == [10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82]
    e24 = np.array([v for v in preferred(24) if 10 <= v < 100])
    assert set(e12) < set(e24) and len(e24) == 24
    assert e24 / 10 ** (1 + np.arange(24) / 24) == pytest.approx(1.0, abs=0.06)


@pytest.mark.parametrize(
    "kind, sizes",
    [
        ("none", {}),
        ("TVS", {"clamp_voltage": "12 V"}),
        ("resistor", {"suppression_resistor": "5 kohm", "suppression_power": "5 W"}),
        ("resistor", {"suppression_resistor": "2 ohm", "suppression_power": "5 W"}),
    ],
)
def test_every_cure_of_a_bad_suppression_clears_it(demo, kind, sizes):
    build = fitted(demo, kind, **sizes)
    cures = next(c for c in with_cures(work_up(build), [ID]).checks if c.id == ID).cures
    assert cures
    for cure in cures:
        assert check(applied(build, cure.changes), ID).verdict == GO, cure.words


@pytest.mark.parametrize(
    "running, battery, verdict",
    [
        ("14.1 V", "12.6 V", None),
        ("28 V", "12.6 V", STOP),
        ("13.9 V", "25 V", STOP),
        ("28 V", "25.2 V", None),
        ("18 V", "12.6 V", CAUTION),
        ("20 V", "", CAUTION),
        ("7.2 V", "6.3 V", None),
        ("9 V", "", CAUTION),
        ("55 V", "50 V", None),
        ("", "15.5 V", CAUTION),
        ("12.0 V", "12.2 V", None),
    ],
)
def test_voltages_of_no_system_are_asked_about(demo, running, battery, verdict):
    """Seen: 28 V running beside 12.6 V at rest went unmentioned."""
    build = demo.with_values({"circuit.running_voltage": running, "circuit.battery_voltage": battery})
    found = next((c for c in work_up(build, ("electric",)).of("electric") if c.id == "electric.supply"), None)
    assert (found and found.verdict) == verdict
    if verdict == STOP:
        assert "circuit.battery_voltage" in found.reason


@pytest.mark.parametrize("key, text", [("clutch.plate_voltage", "18 V"), ("circuit.relay_voltage", "9 V")])
def test_a_part_for_no_system_is_asked_about(demo, key, text):
    found = check(demo.with_values({key: text}), "electric.supply")
    assert found.verdict == CAUTION and key in found.value
    assert "electric.supply" not in {
        c.id for c in work_up(demo.with_values({key: "13.8 V"}), ("electric",)).of("electric")
    }


def test_charging_compares_what_is_left_with_what_should_be(demo):
    """Seen: "30.8 mA left (wanted 6.72 A or more)". What is left and what should be left are one quantity."""
    amps, supply = circuit(demo)
    cold = amps + 2.5 + check(demo, "electric.switch").found.si
    for output, verdict in ((cold + 0.05, GO), (cold - 0.05, CAUTION)):
        found = check(demo.with_values({"circuit.charging_idle": f"{output:.3f} A"}), "electric.charging-idle")
        assert found.verdict == verdict
        assert found.found.si == pytest.approx(output - cold, abs=0.03)
        assert found.wanted.si == 0.0
    work = check(demo, "electric.charging")
    assert work.wanted.si == 1.0 and "left of 16" in work.value


def test_a_size_that_its_kind_does_not_have_is_asked_about(demo):
    """Seen: a zener of 400 V beside 'diode' was not mentioned. In series it lets the contact get 414 V: air breaks down
    at 327 V."""
    plain = check(fitted(demo, "diode"), ID)
    assert plain.verdict == GO and "is written down" not in plain.reason
    for kind, size, value, verdict in (
        ("diode", "clamp_voltage", "36 V", GO),
        ("diode", "clamp_voltage", "400 V", CAUTION),
        ("diode", "suppression_resistor", "22 ohm", GO),
        ("TVS", "suppression_resistor", "22 ohm", GO),
        ("none", "clamp_voltage", "36 V", CAUTION),
    ):
        more = {"circuit.clamp_voltage": "36 V"} if kind == "TVS" else {}
        found = check(fitted(demo, kind, more, **{size: value}), ID)
        assert found.verdict == verdict, (kind, size)
        assert "say what there is across the coil" in found.reason and f"Beside '{kind}'" in found.reason
