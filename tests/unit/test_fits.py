"""ISO 286 limits against the table, the choice of fit, interference, warming, and the steps of fitting."""

import pytest
from jackshaft.mechanics import fits, fitting, seats
from jackshaft.tables import table

UM, MM = 1e-6, 1e-3


def _row(row):
    return f"{row['fit_class']} to {row['to_mm']:g} mm"


def _limits_are_the_row(row):
    found = fits.limits.si(row["to_mm"] * MM, row["fit_class"])
    assert found.basis == "table"
    assert found.lower_deviation / UM == pytest.approx(row["lower_um"])
    assert found.upper_deviation / UM == pytest.approx(row["upper_um"])
    assert found.upper - found.lower == pytest.approx((row["upper_um"] - row["lower_um"]) * UM)


def test_limits_reproduce_the_published_table(for_each):
    for_each(table("fits").rows, _limits_are_the_row, _row)


def _formulas_agree(row):
    lower, upper = fits.computed_deviations(row["to_mm"], row["fit_class"])
    assert (lower, upper) == pytest.approx((row["lower_um"], row["upper_um"]))


def test_what_is_put_together_agrees_with_the_printed_table_to_the_last_micrometre(for_each):
    """Grade and deviation of printed shafts give every other shaft and hole of the table."""
    rows = [r for r in table("fits") if r["fit_class"].lower() not in ("j5", "j6", "j7")]
    for_each(rows, _formulas_agree, _row)


# ISO 286-2, from memory: classes that no row of the table has, in and past its steps
PAST_THE_TABLE = [
    *((140, c, lo, up) for c, lo, up in [("k5", 3, 21), ("H7", 0, 40), ("M7", -40, 0), ("N7", -52, -12)]),
    *((140, c, lo, up) for c, lo, up in [("d9", -245, -145), ("f7", -83, -43), ("g6", -39, -14), ("H11", 0, 250)]),
    *((200, c, lo, up) for c, lo, up in [("f7", -96, -50), ("e8", -172, -100), ("d10", -355, -170), ("m6", 17, 46)]),
    *((300, c, lo, up) for c, lo, up in [("h9", -130, 0), ("h10", -210, 0), ("f8", -137, -56), ("n6", 34, 66)]),
    *((25, c, lo, up) for c, lo, up in [("d8", -98, -65), ("d11", -195, -65), ("p7", 22, 43), ("e9", -92, -40)]),
    *((100, c, lo, up) for c, lo, up in [("e7", -107, -72), ("e9", -159, -72), ("p5", 37, 52), ("D9", 120, 207)]),
]


@pytest.mark.parametrize(("size", "fit", "low", "high"), PAST_THE_TABLE)
def test_limits_past_the_table_are_the_standards_own(size, fit, low, high):
    found = fits.limits.si(size * MM, fit)
    assert found.basis == "computed" and "derived" in found.cite
    assert (found.lower_deviation / UM, found.upper_deviation / UM) == pytest.approx((low, high))


def test_every_limit_names_its_source():
    for size, fit in ((0.035, "k5"), (0.072, "H7"), (0.14, "H7")):
        assert fits.limits.si(size, fit).cite
    assert "gost520" in fits.ring_limits.si("bore", bore=0.035, od=0.072, width=0.017).cite


def test_a_step_belongs_to_its_upper_end():
    assert fits.limits.si(0.030, "k5").upper_deviation / UM == pytest.approx(11)
    assert fits.limits.si(0.03001, "k5").upper_deviation / UM == pytest.approx(13)


@pytest.mark.parametrize(
    ("nominal", "fit", "words"),
    [
        (0.002, "k5", "outside"),
        (0.6, "k5", "outside"),
        (0.03, "zz9", "grade|formula"),
        (0.2, "j6", "no formula"),
        (0.2, "P7", "look it up"),
        (0.3, "M6", "look it up"),
        (0.35, "H7", "outside"),
        (0.03, "k", "grade"),
        (0.03, "q6", "no formula"),
    ],
)
def test_what_cannot_be_limited_is_refused(nominal, fit, words):
    with pytest.raises(ValueError, match=words):
        fits.limits.si(nominal, fit)


def test_inch_and_metric_give_the_same_limits():
    inch = fits.limits("1.3780 in", "k5").upper.to("m").magnitude
    assert inch == pytest.approx(fits.limits.si(35.0012e-3, "k5").upper, abs=1e-9)


def test_hole_against_shaft():
    def gap(hole, shaft):
        h, s = fits.limits.si(0.035, hole), fits.limits.si(0.035, shaft)
        return (h.lower - s.upper) / UM, (h.upper - s.lower) / UM

    assert gap("H7", "g6") == pytest.approx((9, 50))
    assert gap("H7", "k6")[0] < 0 < gap("H7", "k6")[1]
    assert gap("P7", "h6")[1] <= 0


def test_a_bearing_bore_lies_below_nominal_unlike_a_hole():
    ring = fits.ring_limits.si("bore", bore=0.035, od=0.072, width=0.017)
    assert (ring.lower_deviation / UM, ring.upper_deviation / UM) == pytest.approx((-12, 0))
    outside = fits.ring_limits.si("od", bore=0.035, od=0.072, width=0.017)
    assert (outside.lower_deviation / UM, outside.upper_deviation / UM) == pytest.approx((-13, 0))
    with pytest.raises(ValueError, match="dimension"):
        fits.ring_limits.si("chamfer", bore=0.035, od=0.072, width=0.017)


def test_trap_the_interference_goes_on_the_ring_that_turns_against_the_load():
    live = seats.choose.si("inner", 0.07, 0.035)
    assert (live.tight_ring, live.shaft_class, live.housing_class) == ("inner", "k5", "H7")
    idler = seats.choose.si("outer", 0.07, 0.017)
    assert (idler.tight_ring, idler.shaft_class, idler.housing_class) == ("outer", "g6", "N7")
    assert live.why != idler.why
    # a load that goes round with the ring swaps them
    assert seats.choose.si("inner", 0.07, 0.035, load_turns=True).tight_ring == "outer"
    assert seats.choose.si("outer", 0.07, 0.035, load_turns=True).tight_ring == "inner"


def test_fit_follows_the_load_and_the_size():
    assert seats.choose.si("inner", 0.04, 0.035).shaft_class == "j6"
    assert seats.choose.si("inner", 0.04, 0.017).shaft_class == "h5"
    assert seats.choose.si("inner", 0.07, 0.017).shaft_class == "js5"
    assert seats.choose.si("outer", 0.04, 0.017).housing_class == "M7"
    assert seats.choose.si("outer", 0.20, 0.017).housing_class == "P7"
    assert "tighter" in seats.choose.si("inner", 0.20, 0.035).why
    with pytest.raises(ValueError, match="which ring"):
        seats.choose.si("both", 0.1, 0.035)


def test_interference_of_the_rotors_shaft():
    ring = fits.ring_limits.si("bore", bore=0.035, od=0.072, width=0.017)
    seat = fits.limits.si(0.035, "k5")
    found = seats.interference.si(seat.lower, seat.upper, ring, bore=0.035, width=0.017, radial=1392.3)
    assert (found.least / UM, found.most / UM) == pytest.approx((2, 25))
    # by hand: 0.08 * sqrt(35 * 1392.3 / 17) = 4.283 micrometres
    assert found.demand / UM == pytest.approx(4.283, abs=0.001)
    assert found.effective_likely / UM == pytest.approx(13.5 - 6)
    assert found.holds and not found.holds_at_least and not found.too_much
    # the shaft as it was measured, 1.3745 in, is loose in either ring
    worn = seats.interference.si(0.0349123, 0.0349123, ring, bore=0.035, width=0.017, radial=1392.3)
    assert worn.most < 0 and not worn.holds


def test_warmth_asks_for_more_interference_and_takes_clearance():
    ring = fits.ring_limits.si("bore", bore=0.035, od=0.072, width=0.017)

    def demand(warmer):
        return seats.interference.si(0.03501, 0.03501, ring, bore=0.035, width=0.017, radial=0.0, warmer=warmer).demand

    assert demand(40) / UM == pytest.approx(0.0015 * 35 * 40)
    cold = seats.clearance_left.si(0.035, "CN", 10e-6)
    warm = seats.clearance_left.si(0.035, "CN", 10e-6, inner_warmer=20, od=0.072)
    assert cold[0] / UM == pytest.approx(6 - 8) and cold[1] / UM == pytest.approx(20 - 8)
    assert warm[0] < cold[0]
    assert seats.clearance_left.si(0.035, "C3", 10e-6)[0] > 0  # why C3 goes with a tight inner ring
    with pytest.raises(ValueError, match="outside diameter"):
        seats.clearance_left.si(0.035, "CN", 10e-6, inner_warmer=20)
    with pytest.raises(ValueError, match="clearance"):
        seats.clearance_left.si(0.035, "C9", 10e-6)


def test_warming_and_its_limit():
    open_ring = seats.warming.si(0.035, 25e-6, air=293.15, sealed=False)
    # by hand: (25 + 10.5) / (11.5e-6 * 35000) = 88.2 K above the shaft
    assert open_ring.temperature - 293.15 == pytest.approx(88.2, abs=0.05)
    assert open_ring.allowed
    assert not seats.warming.si(0.035, 25e-6, air=293.15, sealed=True).allowed
    assert seats.warming("35 mm", "0 mm", air="20 °C", sealed=True).allowed
    with pytest.raises(ValueError):
        seats.warming.si(0.0, 1e-6, air=293, sealed=False)


def test_interference_above_a_thousandth_of_the_bore_is_too_much():
    ring = fits.ring_limits.si("bore", bore=0.035, od=0.072, width=0.017)
    tight = seats.interference.si(0.03503, 0.03503, ring, bore=0.035, width=0.017, radial=100.0)
    assert tight.too_much
    with pytest.raises(ValueError, match="ground"):
        seats.interference.si(0.035, 0.035, ring, bore=0.035, width=0.017, radial=1.0, finish="forged")


def test_fillet_stays_under_the_chamfer():
    assert seats.largest_fillet.si(1.1e-3) == pytest.approx(1.0e-3)
    assert seats.largest_fillet.si(0.6e-3) == pytest.approx(0.6e-3)
    with pytest.raises(ValueError, match="undercut"):
        seats.largest_fillet.si(0.1e-3)


def test_the_steps_of_fitting_say_what_matters():
    live = " ".join(
        fitting.fitting_steps(tight_ring="inner", closed=True, groove="groove and ring", located=False, welding=True)
    )
    assert live.index("Weld first") < live.index("retaining ring") < live.index("Press squarely on the inner ring")
    assert "floats" in live and "dents the races" in live
    idler = " ".join(fitting.fitting_steps(tight_ring="outer", closed=False, located=True, warm_to="90 °C"))
    assert "locates" in idler and "90 °C" in idler and "Press" not in idler
    both = fitting.fitting_steps(tight_ring="both", closed=False, located=True)
    assert any(s.startswith("Press squarely on both rings at once, with a flat plate.") for s in both)
    with pytest.raises(ValueError):
        fitting.fitting_steps(tight_ring="", closed=False, located=True)


def test_the_steps_of_taking_apart_look_before_they_force():
    steps = fitting.removal_steps()
    text = " ".join(steps)
    assert "retaining ring first" in text and "one way only" in text and "scrap" in text
    assert "retaining ring" not in " ".join(fitting.removal_steps(groove="none"))
    assert "outer ring" in " ".join(fitting.removal_steps(tight_ring="outer", shaft_leaves="to the left"))
