"""What an entry may mean in two ways is asked about or refused in words, never taken for one of them."""

import pytest
from builders import check_of
from jackshaft.buildfile import BuildProblems, entered, load, takes
from jackshaft.results import label, work_up
from jackshaft.results.checks import GO, STOP, UNDECIDED
from jackshaft.ui.model import Control, take
from jackshaft.units import UnitTextError, read
from never_dead import build_with

DEMO = "feed_wagon_auger"
IDLER = "stage[crank belts].pulley[I]"
RIBBED = {"stage[belt].section": "PK", "stage[belt].series": "", "stage[belt].marked": ""}


def refusal(build, changes) -> str:
    with pytest.raises(BuildProblems) as raised:
        build.with_values(changes)
    return str(raised.value)


@pytest.mark.parametrize(
    "text, kind",
    [
        ("12 or 24 V", "voltage"),
        ("12/24 V", "voltage"),
        ("24/12 V", "voltage"),
        ("6/12 V", "voltage"),
        ("115/230 V", "voltage"),
        ("12-24 V", "voltage"),
        ("12 V/24 V", "voltage"),
        ("3000/3600 rpm", "rotation"),
        ("16/4 A", "current"),
        ("16(4) A", "current"),
        ("20 A 250 V", "current"),
        ("10 in or 11 in", "length"),
        ("1/2-3/4 in", "length"),
        ("10 ton", "mass"),
        ("600", "time"),
        ("14/2", "wire"),
    ],
)
def test_two_values_in_one_field_are_refused(text, kind):
    for system in ("inch", "metric"):
        with pytest.raises(UnitTextError):
            read(text, kind, system=system)


@pytest.mark.parametrize(
    "text, kind, si",
    [
        ("3/4 hp", "power", 0.75 * 745.6998715822702),
        ("1/12 hp", "power", 745.6998715822702 / 12),
        ("1/2 ohm", "resistance", 0.5),
        ("13/16 in", "length", 0.0254 * 13 / 16),
        ("9/8 in", "length", 0.0254 * 9 / 8),
        ("5/1000 in", "length", 0.0254 * 0.005),
        ("600 h", "time", 600 * 3600.0),
    ],
)
def test_a_fraction_of_the_shop_is_a_fraction(text, kind, si):
    assert read(text, kind).si == pytest.approx(si, rel=1e-12)


def test_hours_are_read_as_hours_under_a_label_that_says_seconds():
    control = Control("clutch.engage_every", "Engaged once every", "10 to 900 s by 10")
    assert control.title("inch") == "Engaged once every (s)"
    got = take(control, "600 h", "inch")
    assert got.value.si == 600 * 3600.0 and "600 h" in got.echo
    assert take(control, "600", "inch").value.si == 600.0
    assert takes("wanted_life").startswith("time (h)") and takes("clutch.engage_every").startswith("time (s)")


def test_a_belts_back_with_its_surface_not_said_is_asked_about():
    build = load(DEMO).with_values({f"{IDLER}.surface": ""})
    results = work_up(build)
    asked = [c for c in results.checks if f"{IDLER}.surface" in c.missing]
    assert asked and all(c.verdict == UNDECIDED for c in asked)
    assert "crank belts" not in (results.chapters["layout"].data or {})
    # inside the loop a pulley that says nothing is grooved, and stays so
    inside = load(DEMO).with_values({"stage[crank belts].pulley[E].surface": ""})
    before, after = ([(c.id, c.verdict) for c in work_up(b).checks] for b in (load(DEMO), inside))
    assert after == before


def test_a_plain_back_in_a_groove_is_refused_and_a_double_v_belt_takes_it():
    assert "plain back" in refusal(load(DEMO), {f"{IDLER}.surface": "groove"})
    double = {"stage[crank belts].section": "BB", "stage[crank belts].marked": "", "stage[crank belts].series": ""}
    double |= {"stage[crank belts].length": "", "stage[crank belts].length_is": ""}
    assert load(DEMO).with_values(double | {f"{IDLER}.surface": "groove"}).get(f"{IDLER}.surface") == "groove"
    assert "plain back" in refusal(load(DEMO).with_values(double | {f"{IDLER}.surface": "groove"}), {
        "stage[crank belts].section": "B"
    })  # fmt: skip


def test_the_outside_diameter_of_a_ribbed_pulley_is_refused():
    pulleys = [f"stage[belt].pulley[{n}].measured_as" for n in ("small", "large")]
    effective = build_with(keys={}).with_values(RIBBED | dict.fromkeys(pulleys, "effective"))
    words = refusal(effective, {pulleys[0]: "outside"})
    assert "ribbed pulley (section PK)" in words and "'effective'" in words
    # written down before the section, it is refused with the section
    first = build_with(keys={}).with_values({pulleys[0]: "outside"})
    assert "ribbed pulley" in refusal(first, RIBBED)
    flat = effective.with_values({pulleys[1]: "outside", pulleys[1].replace("measured_as", "surface"): "flat"})
    assert flat.get(pulleys[1]) == "outside"
    assert "flat pulley" in refusal(flat, {pulleys[1]: "effective"})


@pytest.mark.parametrize(
    "key, text, nearest",
    [
        ("engine.kind", "motor", "electric motor"),
        ("stage[crank belts].kind", "roller", "roller chain"),
        ("stage[crank belts].pulley[E].material", "cast", "cast iron"),
    ],
)
def test_a_word_that_means_two_things_is_asked_about(key, text, nearest):
    build = load(DEMO)
    with pytest.raises(BuildProblems) as raised:
        build.with_values(entered(build, key, text))
    assert nearest in str(raised.value)


def test_a_number_whose_bore_is_not_the_shafts_is_taken_at_entry():
    """A stamped number is a fact; whether it fits the shaft is judged, not refused."""
    at = "bearing[chain side]"
    assert load(DEMO).with_values({f"{at}.marking": "6203"}).get(f"{at}.marking") == "6203"


def test_the_form_asks_for_direct_current_and_for_the_voltage_that_goes_with_it():
    """A switch has a voltage of its own beside its rating; a relay's contact is asked for at this circuit's."""
    assert "irect current" in label("circuit.switch_rating") and "irect current" in label("circuit.relay_rating")
    assert "direct voltage that the rating on the switch is for" in label("circuit.switch_voltage")
    assert "at the voltage of this circuit" in label("circuit.relay_rating")


@pytest.mark.parametrize(("volts", "verdict"), [("", UNDECIDED), ("6 V", STOP), ("12 V", GO), ("28 V", GO)])
def test_a_rating_of_the_switch_counts_up_to_its_own_voltage(volts, verdict):
    """20 A breaks the coil's 5 A in a 12 V circuit where it is meant for 12 V or more; 6 V is less than there is."""
    keys = {"circuit.relay": False, "circuit.relay_voltage": "", "circuit.relay_rating": ""}
    keys |= {"circuit.switch_rated_for": "DC inductive", "circuit.switch_rating": "20 A"}
    switch = check_of(work_up(load(DEMO).with_values(keys | {"circuit.switch_voltage": volts})), "electric.switch")
    assert switch.verdict == verdict
    assert switch.missing == (() if volts else ("circuit.switch_voltage",))
