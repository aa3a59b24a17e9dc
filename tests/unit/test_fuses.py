"""Fuses: time windows, choice, and the rule that the fuse protects the wire."""

import math

import numpy as np
import pytest
from jackshaft.mechanics import circuit, coil, fuses
from jackshaft.mechanics.circuit import Chain, Part
from jackshaft.tables import table

BLADE = fuses.fuse_gates_si("blade")


@pytest.mark.parametrize("style", sorted({r["style"] for r in table("fuse_windows").rows}))
def test_windows_stand_as_in_the_table_at_each_gate(style):
    gates = fuses.fuse_gates_si(style)
    for row in table("fuse_windows").where(style=style).rows:
        found = fuses.fuse_time_si(row["load_percent"] / 10.0, rating=10.0, gates=gates)
        assert found.inside
        wanted = math.inf if row["time_max_s"] is None else row["time_max_s"]
        assert found.longest == pytest.approx(wanted) and found.surely == pytest.approx(wanted)
        if row["time_min_s"] is not None:
            assert found.shortest == pytest.approx(row["time_min_s"])


def test_opening_times_fall_with_the_current_and_stay_in_order():
    found = fuses.fuse_time_si(np.geomspace(11.0, 60.0, 200), rating=10.0, gates=BLADE)
    for band in (found.shortest, found.longest, found.surely):
        assert np.all(np.diff(band[np.isfinite(band)]) <= 1e-9)
    assert np.all(found.shortest <= found.longest)
    assert np.all(found.longest <= found.surely * (1 + 1e-12))


def test_beyond_the_gates_the_answer_is_flagged():
    below, above = (fuses.fuse_time_si(i, rating=10.0, gates=BLADE) for i in (10.9, 61.0))
    assert not below.inside and below.surely == math.inf and below.shortest == math.inf
    assert not above.inside and above.surely == pytest.approx(0.15 * (60 / 61) ** 2)  # blade-print, p. 3
    assert above.longest == above.surely and above.shortest == pytest.approx(0.02)
    at = fuses.fuse_time_si(60.0, rating=10.0, gates=BLADE)
    assert at.inside and at.surely == 0.15
    assert fuses.fuse_time_si(5000.0, rating=10.0, gates=BLADE).surely == fuses.ARC_SECONDS


def test_a_130_percent_overload_may_never_open_the_fuse():
    """Trap: a half-shorted coil burns behind its fuse. 8 A on 7.5 A, and any load below 135 %."""
    whole = Chain(13.0, 0.0, (Part("fuse", "fuse", 0.011),), 2.9, (Part("back", "wire", 0.1),))
    half = circuit.steps_si(whole._replace(coil_ohm=1.45))
    found = fuses.fuse_time_si(half.coil_amps, rating=7.5, gates=BLADE)
    assert 1.0 < found.multiple < 1.35 and found.surely == math.inf


def test_fuse_for_a_4_2_amp_clutch():
    found = fuses.choose_fuse("4.2 A", ampacity="21 A")
    assert found.usual_least.to("A").magnitude == pytest.approx(5.6)
    assert found.least.to("A").magnitude == pytest.approx(5.25)
    assert found.rating.to("A").magnitude == 7.5


def test_choice_uses_the_best_share_where_the_usual_one_leaves_nothing():
    found = fuses.choose_fuse.si(7.8, ampacity=10.0)
    assert found.usual_least > 10.0 and found.rating == 10.0
    none = fuses.choose_fuse.si(8.5, ampacity=10.0)
    assert none.rating is None and "larger wire" in none.reason
    assert fuses.choose_fuse.si(8.0, ampacity=10.0).rating == 10.0


def test_the_fuse_protects_the_wire_not_the_coil():
    """Trap: the coil's own current says nothing; a 20 A fuse on 15 A wire is refused at any load."""
    for load in (1.0, 4.2, 15.0):
        assert not fuses.fuse_check.si(20.0, load=load, ampacity=15.0).protects_wire
    kept = fuses.fuse_check("15 A", load="4.2 A", ampacity="15 A")
    assert kept.protects_wire and kept.holds_load and kept.load_share == pytest.approx(0.28)


def test_the_boat_limit_is_told_and_not_used():
    found = fuses.fuse_check.si(20.0, load=4.2, ampacity=15.0)
    assert found.boat_limit == pytest.approx(22.5) and not found.protects_wire


@pytest.mark.parametrize(("load", "holds", "usually"), [(7.4, True, True), (7.6, True, False), (8.1, False, False)])
def test_the_load_share_has_two_edges(load, holds, usually):
    found = fuses.fuse_check.si(10.0, load=load, ampacity=20.0)
    assert (found.holds_load, found.holds_usually) == (holds, usually)


def test_cold_lamps_pass_and_a_long_inrush_does_not():
    assert fuses.survives_inrush_si(30.0, seconds=0.02, rating=10.0, gates=BLADE)
    assert not fuses.survives_inrush_si(30.0, seconds=0.2, rating=10.0, gates=BLADE)


@pytest.mark.parametrize(
    "call",
    [
        lambda: fuses.fuse_time_si(5.0, rating=0.0, gates=BLADE),
        lambda: fuses.choose_fuse.si(0.0, ampacity=5.0),
        lambda: fuses.choose_fuse.si(1.0, ampacity=5.0, style="plug"),
        lambda: fuses.fuse_gates_si("plug"),
        lambda: fuses.fuse_check.si(-5.0, load=1.0, ampacity=5.0),
    ],
)
def test_impossible_fuses_are_refused(call):
    with pytest.raises(ValueError):
        call()


def test_a_coil_needs_no_inrush_allowance():
    """A coil's current rises from zero, so its cold steady current is the most it ever draws."""
    cold = coil.coil_current.si(14.0, resistance=2.9)
    assert fuses.choose_fuse.si(cold, ampacity=26.7).rating == 7.5
