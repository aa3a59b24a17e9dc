"""Bearings recognised from what was measured, and their markings read."""

import numpy as np
import pytest
from jackshaft.mechanics import bearing_id as bid
from jackshaft.mechanics import bearing_marks as marks
from jackshaft.mechanics import bearing_sizes as sizes
from jackshaft.mechanics import near_bores, snap_rings
from jackshaft.tables import table

INCH, MM = 0.0254, 1e-3


def identify(bore=None, od=None, width=None, *, unit=INCH, tool="calipers", **more):
    readings = [v and bid.reading.si(v * unit, tool) for v in (bore, od, width)]
    return bid.identify.si(sizes.catalogue(), *readings, **more)


def first(found):
    return found.candidates[0].size.designation


def test_the_two_salvaged_jackshaft_bearings():
    # independent calculation of the feed-wagon auger: 40 x 80 x 18 (6208 size)
    found = identify(1.575, 3.149, 0.709)
    best = found.candidates[0].size
    assert (best.bore, best.od, best.width) == pytest.approx((0.040, 0.080, 0.018))
    assert first(found) == "6208" and found.decided


def test_a_bore_easily_mistaken_is_named():
    # 30 x 62 x 16 and 1-3/16 in
    found = identify(1.181, 2.440, 0.630)
    assert first(found) == "6206" and found.decided
    near = near_bores.near_misses.si(found.candidates[0].size.bore)[0]
    assert near.name == "1-3/16 in"
    assert near.bore / INCH == pytest.approx(1.1875)
    assert near.off / INCH == pytest.approx(0.0064, abs=5e-5)  # 1.1875 less 1.1811
    assert found.candidates[1].size.designation == "6206-19" and not found.candidates[1].fits


def test_rotor_bearing_a_calipers_cannot_decide_and_a_bore_gauge_does():
    # independent calculation of the salvaged rotor: 72 x 17 body, 35 mm against 1-3/8 in, 2.95 thou apart
    found = identify(1.375, 2.834, 0.669)
    a, b = found.candidates[:2]
    assert {a.size.designation, b.size.designation} == {"6207", "6207-22"}
    assert a.fits and b.fits and not found.candidates[2].fits
    assert not found.decided
    assert abs(a.size.bore - b.size.bore) / INCH == pytest.approx(0.00295, abs=1e-5)
    assert a.score < bid.DECIDED and b.score > 0.05
    assert (found.next.dimension, found.next.instrument) == ("bore", "bore gauge")
    low = dict((name, (low, high)) for name, low, high in found.next.meanings)
    assert low["6207-22"][1] < low["6207"][0]


def test_rotor_bearing_a_the_shaft_supports_the_inch_bore_but_does_not_decide():
    without = identify(1.375, 2.834, 0.669)
    found = identify(1.375, 2.834, 0.669, shaft=bid.reading.si(1.3745 * INCH, "micrometer"))
    score = {c.size.designation: c.score for c in found.candidates}
    before = {c.size.designation: c.score for c in without.candidates}
    assert first(found) == "6207-22"
    assert score["6207-22"] > before["6207-22"]
    assert not found.decided
    gap = {c.size.designation: c.seat_gap / INCH for c in found.candidates}
    assert gap["6207"] == pytest.approx(0.0035, abs=5e-5)  # 3.5 thou loose
    assert gap["6207-22"] == pytest.approx(0.0005, abs=1e-6)  # half a thou loose


def test_rotor_bearing_d_is_an_inch_bore_in_a_metric_body():
    # independent calculation of the salvaged rotor: 5/8 in bore in a 40 x 12 mm body
    found = identify(0.626, 1.574, 0.473)
    best = found.candidates[0].size
    assert found.decided and best.designation == "6203-10"
    assert (best.bore / INCH, best.od, best.width) == pytest.approx((0.625, 0.040, 0.012))
    assert found.candidates[0].score > 0.95 and found.next.words


def test_the_easiest_instrument_that_decides_is_named():
    found = identify(1.184, 2.440, 0.630)  # between 30 mm and 1-3/16 in, which lie 6.4 thou apart
    assert {c.size.designation for c in found.candidates if c.fits} == {"6206", "6206-19"}
    assert not found.decided and found.next.instrument == "telescoping gauge"


def test_a_micrometer_decides_what_calipers_cannot():
    assert first(identify(1.3746, 2.8344, 0.668, tool="micrometer")) == "6207-22"
    found = identify(34.995, 71.995, 16.95, unit=MM, tool="micrometer")
    assert first(found) == "6207" and found.decided


@pytest.mark.parametrize(
    ("readings", "name"),
    [
        ((1.000, 2.000, 0.5625), "1641"),
        ((25.0, 52.0, 15.0), "6205"),
        ((25.4, 52.0, 15.0), "6205-16"),
        ((0.75, 1.625, 0.4375), "R12 capped"),
        ((19.05, 40.0, 12.0), "6203-12"),
        ((0.875, 1.875, 0.5), "R14 capped"),
        ((22.0, 50.0, 14.0), "62/22"),
        ((25.0, 52.0, 20.6), "3205"),
        ((30.0, 62.0, 38.1), "UC206"),
    ],
)
def test_look_alikes_are_told_apart(readings, name):
    unit = INCH if readings[0] < 2 else MM
    found = identify(*readings, unit=unit)
    assert first(found) == name and found.decided


def test_trap_capped_inch_bearings_are_wider_than_open_ones():
    assert first(identify(0.5, 1.125, 0.25)) == "R8"
    assert first(identify(0.5, 1.125, 0.3125)) == "R8 capped"
    names = {c.size.designation for c in identify(0.5, 1.125, None, capped=True).candidates if c.fits}
    assert "R8" not in names and "R8 capped" in names
    assert marks.decode("R8-2RS").width > marks.decode("R8").width


def _listed():
    return [s for s in sizes.catalogue() if s.kind != "inch bore, not listed"]


def _found_from_its_own_dimensions(size):
    readings = [bid.reading.si(v, "micrometer") for v in (size.bore, size.od, size.width)]
    found = bid.identify.si(sizes.catalogue(), *readings, capped=size.capped, count=10)
    same = [
        c.size.designation
        for c in found.candidates
        if c.fits and np.allclose((c.size.bore, c.size.od, c.size.width), (size.bore, size.od, size.width), atol=1e-6)
    ]
    assert found.matched and size.designation in same
    # 99502H and 1623 differ by a tenth in width, less than the making of the width: either may stand first
    assert found.candidates[0].size.designation in same or size.designation == "99502H"


def test_every_listed_size_is_found_again_from_its_own_dimensions(for_each):
    for_each(_listed(), _found_from_its_own_dimensions, lambda s: s.designation)


@pytest.mark.parametrize("seed", range(20))
def test_a_worn_ring_with_calipers_stays_among_the_first_two(seed):
    rng = np.random.default_rng(seed)
    listed = [s for s in sizes.catalogue() if s.kind in ("metric", "inch")]
    size = listed[rng.integers(len(listed))]
    worn = (rng.uniform(-0.06, 0.10) * MM, rng.uniform(-0.10, 0.04) * MM, rng.uniform(-0.2, 0.04) * MM)
    readings = [bid.reading.si(v + w) for v, w in zip((size.bore, size.od, size.width), worn, strict=True)]
    found = bid.identify.si(sizes.catalogue(), *readings, capped=size.capped)
    near = [c.size for c in found.candidates if c.fits]
    assert any((s.bore, s.od, s.width) == pytest.approx((size.bore, size.od, size.width), abs=1e-6) for s in near)


def test_scores_are_shares_and_leave_room_for_a_size_in_no_table():
    for found in (
        identify(1.181, 2.440, 0.630),
        identify(None, 2.440, None),
        identify(40.3, 77.0, 19.5, unit=MM),
    ):
        total = sum(c.score for c in found.candidates)
        assert 0 <= total <= 1 + 1e-9 and 0 <= found.unlisted <= 1
    assert identify(40.3, 77.0, 19.5, unit=MM).unlisted > 0.99


def test_the_more_is_measured_the_fewer_sizes_fit():
    counts = [
        sum(c.fits for c in identify(*r, count=300).candidates)
        for r in ((None, 2.440, None), (1.181, 2.440, None), (1.181, 2.440, 0.630))
    ]
    assert counts[0] > counts[1] >= counts[2] == 1


def test_any_subset_asks_for_the_dimension_that_decides():
    found = identify(None, 2.440, 0.630)
    assert not found.decided or found.next.dimension == "bore"
    found = identify(30.0, 62.0, None, unit=MM)
    assert not found.decided and found.next.dimension == "width" and found.next.instrument == "calipers"


def test_no_match_gives_the_nearest_and_what_to_measure_again():
    found = identify(1.181, 2.600, 0.630)
    assert not found.matched and not found.decided and found.next is None
    assert first(found) == "6206" and found.redo == "od"
    off = {m.dimension: m.off for m in found.candidates[0].misses}
    assert off["od"] == pytest.approx(2.600 * INCH - 0.062)
    assert [m.within for m in found.candidates[0].misses] == [True, False, True]
    assert any("retaining ring" in note for note in found.notes)


def test_measuring_in_inches_or_millimetres_is_the_same():
    a = identify(1.181, 2.440, 0.630)
    b = identify(*(v * 25.4 for v in (1.181, 2.440, 0.630)), unit=MM)
    assert [(c.size, c.fits) for c in a.candidates] == [(c.size, c.fits) for c in b.candidates]
    assert [c.score for c in a.candidates] == pytest.approx([c.score for c in b.candidates])


def test_readings_from_shop_text():
    assert bid.reading("1-3/8 in", "calipers").value.to("inch").magnitude == pytest.approx(1.375)
    assert bid.reading("1.3745 in", "micrometer").plus_minus.to("inch").magnitude == pytest.approx(0.0002)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: bid.identify.si(sizes.catalogue()), "at least one"),
        (lambda: identify(2.44, 1.18, 0.63), "swapped"),
        (lambda: bid.reading.si(0.03, "eye"), "instrument"),
        (lambda: bid.reading.si(-0.03), "measure again"),
        (lambda: bid.reading.si(float("nan")), "measure again"),
        (lambda: near_bores.near_misses.si(0.0), "larger than zero"),
        (lambda: sizes.find.si("9999"), "not listed"),
        (lambda: sizes.choose.si(least_bore=0.03, most_bore=0.02), "swap"),
        (lambda: marks.decode("no number"), "no bearing number"),
        (lambda: marks.marking_for("6205", closure="lid"), "no letters"),
    ],
)
def test_bad_input_gives_reason_and_cure(call, words):
    with pytest.raises(ValueError, match=words):
        call()


def test_near_misses_between_the_two_systems():
    assert [m.name for m in near_bores.near_misses.si(0.025)] == ["1 in"]
    assert near_bores.near_misses.si(0.0254)[0].name == "25 mm"
    assert [m.name for m in near_bores.near_misses.si(1.375 * INCH)] == ["35 mm"]
    assert not any(m.off == 0 for m in near_bores.near_misses.si(0.035))


@pytest.mark.parametrize(
    ("text", "name", "bore", "closure", "groove", "clearance"),
    [
        ("6205-2RS C3", "6205", 25, "two seals", "none", "C3"),
        ("6203-10-2RS", "6203-10", 15.875, "two seals", "none", "CN"),
        ("6203-2RS-10", "6203-10", 15.875, "two seals", "none", "CN"),
        ("6206zz", "6206", 30, "two shields", "none", "CN"),
        ("62/22", "62/22", 22, "open", "none", "CN"),
        ("6305 NR", "6305", 25, "open", "groove and ring", "CN"),
        ("6004N", "6004", 20, "open", "groove", "CN"),
        ("R8ZZ", "R8 capped", 12.7, "two shields", "none", "CN"),
        ("1641", "1641", 25.4, "open", "none", "CN"),
        ("6804-2Z", "61804", 20, "two shields", "none", "CN"),
        ("16003", "16003", 17, "open", "none", "CN"),
        ("608-2RS", "608", 8, "two seals", "none", "CN"),
        ("UC206-20", "UC206-20", 31.75, "open", "none", "CN"),
        ("5205", "3205", 25, "open", "none", "CN"),
        ("6200 Z", "6200", 10, "one shield", "none", "CN"),
        ("6201", "6201", 12, "open", "none", "CN"),
        ("6202/C2", "6202", 15, "open", "none", "C2"),
        ("6212", "6212", 60, "open", "none", "CN"),
    ],
)
def test_markings_are_read(text, name, bore, closure, groove, clearance):
    read = marks.decode(text)
    assert read.designation == name
    assert read.bore / MM == pytest.approx(bore)
    assert (read.closure, read.ring_groove, read.clearance) == (closure, groove, clearance)
    assert not read.not_understood and read.words


def test_every_suffix_of_the_table_is_understood():
    for row in table("bearing_suffixes"):
        read = marks.decode(f"6205 {row['suffix']}")
        assert not read.not_understood, row["suffix"]
        if "shield" in row["meaning"] or "seal" in row["meaning"]:
            assert read.closure == row["meaning"].split(",")[0].replace(" contact", "")
        if "groove" in row["meaning"]:
            assert read.ring_groove == ("groove" if row["suffix"] == "N" else "groove and ring")
        if row["suffix"].startswith("-"):
            assert read.bore == pytest.approx(int(row["suffix"][1:]) * INCH / 16)


def test_trap_an_outside_diameter_over_the_retaining_ring_is_not_that_of_the_bearing():
    ring = snap_rings.snap_ring.si(0.062, series="62")
    assert [r.od for r in snap_rings.under_snap_ring.si(ring.ring_od)] == [0.062]
    assert ring.groove_low < ring.groove_high < ring.od < ring.ring_od
    assert snap_rings.snap_ring.si(0.062, series="60").face_high < ring.face_high
    assert snap_rings.under_snap_ring("62 mm") == ()
    assert not identify(30.0, ring.ring_od / MM, 16.0, unit=MM).matched
    with pytest.raises(ValueError, match="groove"):
        snap_rings.snap_ring.si(0.063)


def test_a_marking_with_unknown_letters_is_read_as_far_as_it_goes():
    read = marks.decode("6205 2RS/XYZ7")
    assert read.designation == "6205" and read.not_understood == ("XYZ7",)


def test_a_size_outside_the_tables_keeps_its_bore_and_says_so():
    read = marks.decode("6420")
    assert read.bore == pytest.approx(0.100) and read.od is None
    assert any("not in the tables" in w for w in read.words)


def test_a_closed_miniature_is_not_given_the_width_of_the_open_one():
    assert marks.decode("688").width == pytest.approx(0.004)
    assert marks.decode("688ZZ").width is None


def _marking_leads_back(size):
    closure = "two seals" if size.capped else "open"
    written = marks.marking_for(size.designation, closure=closure, clearance="C3")
    read = marks.decode(written)
    assert read.designation == size.designation, written
    assert (read.bore, read.od, read.width) == pytest.approx((size.bore, size.od, size.width), abs=1e-7)
    assert (read.closure, read.clearance) == (closure, "C3")


def test_round_trip_from_marking_to_size_and_back(for_each):
    for_each(_listed(), _marking_leads_back, lambda s: s.designation)


def test_bore_code_of_every_metric_size_gives_its_bore():
    for size in sizes.catalogue():
        if size.kind == "metric":
            assert marks.decode(size.designation).bore == pytest.approx(size.bore), size.designation


def test_equivalents_say_what_they_ask():
    found = {s.designation: ask for s, ask in sizes.equivalents.si("6205")}
    assert found["62205"].startswith("wider")
    assert "sleeve" in found["6205-16"]
    assert all(s.designation != "6205" for s, _ in sizes.equivalents.si("6205"))


def test_choose_by_the_place():
    found = sizes.choose(least_bore="25 mm", most_bore="25 mm", most_od="52 mm", most_width="16 mm")
    assert {s.designation for s in found} >= {"6205", "6005", "61805"}
    assert all(s.bore.magnitude == pytest.approx(0.025) and s.od.magnitude <= 0.0521 for s in found)
    assert all(s.width.to("mm").magnitude <= 16.1 for s in found)


def test_catalogue_lists_nothing_twice():
    names = [s.designation for s in sizes.catalogue()]
    assert len(names) == len(set(names))
