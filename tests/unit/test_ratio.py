"""Speed, direction, torque and power through stages; effective diameters; the demo build's figures."""

import numpy as np
import pytest
from closed_forms import over_rods
from jackshaft.mechanics import diameters as D
from jackshaft.mechanics import ratio as S
from jackshaft.tables import table
from jackshaft.units import UnitsRequired

INCH, HP, RPM = 0.0254, 745.6998715822702, 2 * np.pi / 60
FOOT_PER_MINUTE = 0.3048 / 60


def test_demo_train_meets_the_independent_calculation():
    """1285.7 and 417.9 rpm (independent calculation of the feed-wagon auger)."""
    jack = 3000 * RPM * S.belt_ratio.si(4.65, driven=10.85)
    auger = jack * S.tooth_ratio.si(13, driven=40)
    assert [jack / RPM, auger / RPM] == pytest.approx([1285.7, 417.9], abs=0.06)
    # a crank at 3000 rpm under a belt line of 4.65 in runs 3652 ft/min
    assert S.tip_speed.si(4.65 * INCH, rotation=3000 * RPM) / FOOT_PER_MINUTE == pytest.approx(3652, abs=0.6)


def test_a_pulley_on_the_back_of_the_belt_turns_the_other_way():
    assert S.same_way("belt") and not S.same_way("back-side belt")


def test_directions_of_each_kind():
    assert [
        S.same_way(k)
        for k in ("belt", "crossed belt", "back-side belt", "roller chain", "external gear", "internal gear")
    ] == [True, False, False, True, False, True]
    assert S.same_way("gearbox", reverses=False) and not S.same_way("gearbox", reverses=True)
    for bad in ("gearbox", "string"):
        with pytest.raises(ValueError):
            S.same_way(bad)


def test_creep_multiplies_and_slows():
    assert S.belt_ratio.si(1.0, driven=2.0, creep=0.02) == pytest.approx(0.49)


def test_trap_ratio_from_datum_diameters_is_off_by_five_per_cent():
    """75 to 225 mm datum in the inch A section is 3.00 by datum, 2.84 on the pitch line (own-derivation)."""
    row = table("belt_sections").one(section="A", system="inch")
    extra = row["pitch_minus_reference_mm"]
    small, large = (
        D.grooved.si(d, measured_as="datum", pitch_minus_reference=extra, outside_minus_reference=6.35)
        for d in (75.0, 225.0)
    )
    assert large.pitch / small.pitch == pytest.approx(2.84, abs=0.005)
    error = S.error_of_diameters.si(small.pitch, driven=large.pitch, driver_used=75.0, driven_used=225.0)
    assert -0.06 < error < -0.05
    assert S.error_of_diameters.si(2.0, driven=3.0, driver_used=2.0, driven_used=3.0) == pytest.approx(0.0)


def test_public_calls_agree_in_inch_and_metric_and_refuse_bare_numbers():
    inch = S.tip_speed("28 in", rotation="231 rpm").to("m/s").magnitude
    assert inch == pytest.approx(S.tip_speed("711.2 mm", rotation="231 r/min").to("m/s").magnitude)
    assert inch == pytest.approx(S.tip_speed.si(28 * INCH, rotation=231 * RPM))
    with pytest.raises(UnitsRequired):
        S.tip_speed(28, rotation="231 rpm")


def test_every_way_to_give_a_grooved_diameter_is_one_pulley():
    one = D.grooved("5 in", measured_as="outside", pitch_minus_reference="1/4 in", outside_minus_reference="1/4 in")
    for line in ("datum", "pitch", "outside"):
        given_as = {"datum": one.reference, "pitch": one.pitch, "outside": one.outside}[line]
        again = D.grooved(given_as, measured_as=line, pitch_minus_reference="1/4 in", outside_minus_reference="1/4 in")
        for a, b in zip(one, again, strict=True):
            assert a.to("in").magnitude == pytest.approx(b.to("in").magnitude)
    with pytest.raises(ValueError):
        D.grooved.si(0.1, measured_as="root", pitch_minus_reference=0.0, outside_minus_reference=0.0)


def test_flat_back_and_bottom_add_on_both_sides():
    assert D.flat.si(0.070, to_cord=0.002) == pytest.approx(0.074)


def grooves():
    for row in table("belt_grooves").rows:
        # Standard inch grooves with one rod size: reference width and outside diameter are printed.
        if row["rod_mm"] and row["rod_above_outside_mm"] and row["top_width_tol_mm"]:
            yield row


def test_rod_measure_reproduces_the_printed_grooves():
    """Rod above the outside diameter, at the widest groove allowed (mh31, p. 2576; belt-maintenance)."""
    seen = 0
    for row in grooves():
        got = over_rods(
            0.0,
            rod=row["rod_mm"],
            angle=np.radians(row["angle_deg"]),
            top_width=row["top_width_mm"] + row["top_width_tol_mm"],
        )
        assert got / 2 == pytest.approx(row["rod_above_outside_mm"], abs=0.13), row
        seen += 1
    assert seen > 15


def test_turned_groove_finds_the_standard_reference_diameter():
    """Outside less reference diameter of the printed grooves from top width and angle."""
    seen = 0
    for row in grooves():
        if not row["reference_width_mm"] or not row["outside_minus_reference_mm"] or "deep" in str(row["groove"]):
            continue
        got = D.turned_groove.si(
            0.0,
            top_width=row["top_width_mm"],
            angle=np.radians(row["angle_deg"]),
            reference_width=row["reference_width_mm"],
            pitch_minus_reference=0.0,
            belt_top_width=row["reference_width_mm"],
            belt_angle=np.radians(40),
        )
        # A combined groove has two belts; one of them rides lower than its reference width says.
        if "combination" in str(row["groove"]):
            continue
        loose = row["top_width_tol_mm"] / np.tan(np.radians(row["angle_deg"] / 2)) + 0.1
        assert -got.reference == pytest.approx(row["outside_minus_reference_mm"], abs=loose), row
        seen += 1
    assert seen >= 9


def test_a_turned_groove_lets_the_belt_sink():
    """A groove cut 1 mm too wide lets the belt sink by half of 1 mm over the tangent of half the angle."""
    args = dict(
        angle=np.radians(34),
        reference_width=0.011,
        pitch_minus_reference=0.0,
        belt_top_width=0.013,
        belt_angle=np.radians(40),
    )
    right, wide = (D.turned_groove.si(0.1, top_width=w, **args) for w in (0.0127, 0.0137))
    sunk = 0.0005 / np.tan(np.radians(17))
    assert right.ride_out - wide.ride_out == pytest.approx(sunk)
    assert right.pitch - wide.pitch == pytest.approx(2 * sunk)


def test_groove_wear_from_a_sunk_belt():
    fine = D.groove_wear.si(0.001, ride_out_new=0.001, angle=np.radians(38), limit=0.00079375)
    worn = D.groove_wear.si(-0.002, ride_out_new=0.001, angle=np.radians(38), limit=0.00079375)
    assert not fine.worn and fine.wall == pytest.approx(0.0)
    assert worn.worn and worn.wall == pytest.approx(0.003 * np.sin(np.radians(19)))
