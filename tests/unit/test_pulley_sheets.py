"""Pulley sheets: the groove over rods, bore and keyway, what stops a sheet, and the page drawn to scale."""

import io
import json
import math
from pathlib import Path

import numpy as np
import pytest
from builders import data
from jackshaft import tables
from jackshaft.buildfile import load
from jackshaft.cli import main
from jackshaft.mechanics import grooves, keys
from jackshaft.results import work_up
from jackshaft.results.reader import Reader
from jackshaft.sheets import flat_pages, pulley_pages
from jackshaft.sheets.bore import bore_of
from jackshaft.sheets.flat import _impossible, belts_wide, flat_operations, flat_sheets
from jackshaft.sheets.pulley import TRY_IT, impossible, pulley_sheets, rods_of, wall_of, without_pulley_sheet
from jackshaft.sheets.turned import operations
from jackshaft.units import OutOfRange
from pypdf import PdfReader
from test_sheets import paths

BUILDS = Path(__file__).parents[2] / "data" / "builds"
INCH = 0.0254
J = "stage[crank belts].pulley[J]"


@pytest.fixture(scope="module")
def auger():
    return work_up(load(BUILDS / "feed_wagon_auger.toml"))


@pytest.fixture(scope="module")
def turned(auger):
    return work_up(auger.build.with_values({f"{J}.made": "turned here"}))


def of(results, name):
    return next(s for s in pulley_sheets(results) if s.pulley == name)


def size(sheet, what):
    return next(s for s in sheet.sizes if s.what.startswith(what))


def sheet_build(results, values):
    return results.build.with_values({f"{J}.{k}": v for k, v in values.items()})


@pytest.mark.parametrize(("width", "angle", "rod"), [(12.548, 34, 11.112), (16.51, 38, 14.287), (9.0, 60, 10.0)])
def test_a_rod_in_the_groove_touches_both_flanks(width, angle, rod):
    found = grooves.over_rods.si(0.1, top_width=width * 1e-3, angle=math.radians(angle), rod=rod * 1e-3)
    # the flank as a line through its edge on the rim; the rod's middle must be one radius from it
    half = math.radians(angle / 2)
    edge, along = np.array([width / 2, 0.0]), np.array([math.sin(half), math.cos(half)])
    middle = np.array([0.0, found.stands * 1e3 - rod / 2])
    apart = (middle - edge) @ np.array([-along[1], along[0]])
    assert apart == pytest.approx(rod / 2) and found.over == pytest.approx(0.1 + 2 * found.stands)
    assert -found.touches * 1e3 == pytest.approx((edge + along * ((middle - edge) @ along))[1])


def test_a_rod_that_lies_on_the_edges_is_refused():
    with pytest.raises(OutOfRange, match="edges of a groove"):
        grooves.over_rods("4 in", top_width="12.5 mm", angle="34 deg", rod="13.1 mm")
    # 12.5 / cos 17 deg = 13.071 mm lies just within
    assert grooves.over_rods.si(0.1, top_width=0.0125, angle=math.radians(34), rod=0.01307).touches >= 0


def test_run_out_grows_past_ten_inches_and_its_wobble_rule_ends_at_twenty():
    # 0.010 in to 10 in, 0.0005 in for each inch more; 0.001 in for each inch, to 20 in (ANSI/RMA IP-20, from memory)
    for across, rim, wobble in ((5, 0.010, 0.005), (10, 0.010, 0.010), (12, 0.011, 0.012), (21, 0.0155, None)):
        found = grooves.run_out_si(across * INCH)
        assert found.rim == pytest.approx(rim * INCH)
        assert found.wobble == (None if wobble is None else pytest.approx(wobble * INCH))


def test_a_metric_keyway_counts_from_the_crown_of_the_bore():
    # DIN 6885-1, 30 to 38 mm: key 10 x 8, hub 3.3 mm, so 38.3 mm to the far side of a 35 mm bore
    across, deep = keys.hub_depth_si(0.035, 0.010, 0.008)
    assert across == pytest.approx(0.0383)
    assert deep == pytest.approx(0.0383 - 0.0175 - math.sqrt(0.0175**2 - 0.005**2))
    with pytest.raises(OutOfRange, match="does not go into a bore"):
        keys.hub_depth_si(0.01, 0.01, 0.008)


def test_the_groove_has_the_limits_of_the_standard(auger):
    sheet = of(auger, "J")
    # A groove over 5.4 in, Machinery's Handbook p. 2576: 38 deg, 0.504 in wide, rod 7/16 in, 0.149 in out at least
    angle, width, rod = size(sheet, "groove angle"), size(sheet, "groove width"), size(sheet, "one rod")
    assert math.degrees(angle.size) == pytest.approx(38) and math.degrees(angle.high) == pytest.approx(38.33)
    assert (width.low, width.size, width.high) == pytest.approx(
        (0.499 * INCH, 0.504 * INCH, 0.509 * INCH), abs=2e-6
    )
    assert rod.low == pytest.approx(0.149 * INCH, abs=2e-6) and rod.low < rod.size < rod.high
    assert sheet.face == pytest.approx((0.625 + 2 * 0.375) * INCH)
    over = size(sheet, "over two rods")
    assert over.high - sheet.outside == pytest.approx(2 * rod.high)
    # the rod stands highest in the narrowest groove, 0.499 in; R = [d (1 + 1/sin b) - w/tan b] / 2 at both angles
    d, w = 11.112e-3, 12.675e-3
    halves = [math.radians(a / 2) for a in (37.67, 38.33)]
    assert rod.high == pytest.approx(max((d * (1 + 1 / math.sin(b)) - w / math.tan(b)) / 2 for b in halves), abs=1e-6)


def test_a_groove_of_the_build_keeps_the_depth_below_the_belt_and_its_own_source(auger):
    own = {"diameter": "10.85 in", "measured_as": "outside", "groove_top_width": "14 mm", "groove_angle": "38 deg"}
    sheet = of(work_up(sheet_build(auger, own)), "J")
    # 0.418 in of datum width lies lower in a wider groove; below it the standard leaves 0.460 - 0.125 in
    down = (14e-3 - 10.617e-3) / 2 / math.tan(math.radians(19))
    assert sheet.groove.depth == pytest.approx(down + (0.460 - 0.125) * INCH, abs=1e-5)  # 0.418 in is 10.62 mm there
    assert size(sheet, "groove width").source.startswith("size of the build")
    assert not any("not written down as outside" in w for w in sheet.warnings)
    # no table has the reference width of 4L: where the belt rides in a groove of its own is not worked out
    at = "stage[crank belts]"
    light = work_up(sheet_build(auger, own).with_values({f"{at}.section": "4L", f"{at}.marked": "4L600"}))
    assert any("no table has the reference width" in w for w in of(light, "J").warnings)
    datum = of(work_up(sheet_build(auger, {k: v for k, v in own.items() if k.startswith("groove")})), "J")
    assert any("not written down as outside" in w for w in datum.warnings)


def test_only_the_driver_sits_on_the_clutch_and_only_where_there_is_one(auger):
    moved = work_up(auger.build.with_values({"clutch.shaft": "jackshaft"}))
    assert of(moved, "J").bore.size == pytest.approx(1.375 * INCH)
    assert of(moved, "E").bore.size == pytest.approx(INCH)
    mixer = work_up(load(BUILDS / "drum_mixer.toml"))
    assert of(mixer, "motor pulley").bore.size == pytest.approx(0.625 * INCH)


def test_bore_and_keyway_are_those_of_the_shaft(auger):
    sheet = of(auger, "J")
    bore = size(sheet, "bore")
    # H7 over 30 to 50 mm: 0 to +25 um (ISO 286-2)
    assert (bore.low, bore.high) == pytest.approx((1.375 * INCH, 1.375 * INCH + 25e-6))
    assert size(sheet, "keyway, its bottom").size == pytest.approx(1.518 * INCH, abs=0.0005 * INCH)
    assert "step[pulley end].diameter" in bore.source
    clutched = of(auger, "E")
    assert clutched.bore is None and any("sits on the clutch" in n for n in clutched.notes)


def test_a_bore_is_that_of_what_holds_the_pulley(auger):
    # a taper bush fills a taper, a spline is cut by its maker, a flange has its own pilot: none has the shaft's bore
    key = "shaft[jackshaft].joint[pulley key].kind"
    for kind, words in (("taper bush", "bush's taper"), ("spline", "spline cut"), ("flange", "from the flange")):
        found, why = bore_of(Reader(auger.build.with_values({key: kind})), "jackshaft", "crank belts", drives=False)
        assert found is None and words in why, kind
    # screws beside a key leave its keyway, though the build names them first
    both = {key: "set screws", "shaft[jackshaft].joint[sprocket key].stage": "crank belts"}
    found, why = bore_of(Reader(auger.build.with_values(both)), "jackshaft", "crank belts", drives=False)
    assert why == "" and found.width == pytest.approx(0.25 * INCH)


def test_only_what_the_build_says_is_turned_is_turned(auger, turned):
    assert not of(auger, "J").turned and "make nothing" in operations(of(auger, "J"))[0]
    sheet = of(turned, "J")
    steps = " ".join(operations(sheet))
    assert sheet.turned and "19 deg away from the cross-slide" in steps and "set 71 deg" in steps
    assert "9.525 mm (0.3750 in), 25.400 mm (1.0000 in)" in steps  # 3/8 in, and 5/8 in more
    # hard grey iron by HSS, 50 to 80 ft/min on 10.85 in: 17.6 and 28.2 rpm, rounded down
    assert "HSS 17 to 28 rpm" in steps
    own = work_up(auger.build.with_values({f"{J}.groove_top_width": "12.8 mm", f"{J}.groove_angle": "40 deg"}))
    assert of(own, "J").turned and any("bears on one edge" in w for w in of(own, "J").warnings)


def test_balance_is_a_weight_that_a_scale_shows(turned):
    notes = of(turned, "J").notes
    # 6.3 mm/s x 26 lb / 1666 rpm = 426 g mm (ISO 21940-11), on half of 10.85 in
    assert any("3.09 g or less" in n for n in notes)
    # pulley E has no weight: 6.3 / (3888 rpm) on half of 4.65 in, for one kilogram
    each = 1e3 * 6.3e-3 / (3888 * math.pi / 30) / (4.65 * INCH / 2)
    assert any(f"{each:.3f} g at the rim for each kilogram" in n for n in of(turned, "E").notes)


def test_a_rim_that_runs_too_fast_is_a_stop(auger):
    # 24.0 m/s: above the 20.3 m/s of aluminium, below the 33 m/s of cast iron
    fast = of(work_up(auger.build.with_values({f"{J}.material": "aluminium"})), "J")
    assert any(w.startswith("STOP: the rim runs faster than aluminium") for w in fast.warnings)
    assert not any("runs faster" in w for w in of(auger, "J").warnings)


def test_what_leaves_no_metal_is_a_stop(auger):
    sheet = of(auger, "J")
    assert impossible(sheet) == ()
    thin = sheet._replace(outside=2 * (sheet.groove.depth + sheet.bore.bottom))
    assert wall_of(thin) == pytest.approx(0, abs=1e-12)
    assert "keyway runs into" in impossible(thin._replace(outside=thin.outside - 1e-6))[0]
    assert impossible(thin._replace(outside=thin.outside + 1e-6)) == ()
    plain = thin._replace(bore=sheet.bore._replace(across=None, size=thin.outside))
    assert "bore runs into" in impossible(plain)[0]
    narrow = sheet._replace(groove=sheet.groove._replace(top_width=1.9 * sheet.groove.depth * math.tan(0.33)))
    assert any("flanks of the groove meet" in w for w in impossible(narrow))


def test_a_groove_from_memory_is_marked_and_gets_a_rod_without_limits(auger):
    trommel = work_up(load(BUILDS / "compost_trommel.toml"))
    sheet = next(pulley_sheets(trommel))
    assert any(w.startswith("ESTIMATE: the sizes of the groove") for w in sheet.warnings)
    # how to try it before metal is cut stands on the page that is printed, and only where a groove is from memory
    (sheet_page,) = PdfReader(io.BytesIO(pulley_pages.pdf_of(sheet, "A4"))).pages
    assert "".join(TRY_IT.split()) in "".join(sheet_page.extract_text().split())
    assert not any(TRY_IT in w for w in of(auger, "J").warnings)
    drawn, low, high = rods_of(sheet)
    # 11 mm wide at the datum diameter and 34 deg: 11 / cos 17 deg = 11.50 mm; K by the apex of that width
    assert sheet.groove.rod == pytest.approx(0.0115) and low is None and high is None
    half = math.radians(17)
    apexes = 0.100 - 0.011 / math.tan(half) + 0.0115 * (1 + 1 / math.sin(half))
    assert drawn.over == pytest.approx(apexes, abs=1e-4)  # the table's top width is rounded


def test_a_flat_idler_has_the_seat_of_its_bearing_and_the_face_that_its_belts_take(auger):
    idler = next(flat_sheets(auger))
    # belts of 1/2 in, 5/8 in apart (Machinery's Handbook p. 2576), straying by half a degree on the longer strand
    assert idler.belts == pytest.approx((0.5 + 0.625) * INCH, abs=1e-5)
    at = data(auger, "layout", "crank belts")
    strands = np.hypot(*(at.end - at.start).T)
    k = at.pulleys.names.index("I")
    assert idler.face - idler.belts == pytest.approx(2 * math.tan(math.radians(0.5)) * max(strands[[k - 1, k]]))
    # 6203: 40 mm outside; a light load, its outer ring turning: M7, 0 to -25 um; pin of 5/8 in g6, -6 to -17 um
    bore, pin = size(idler, "bore"), size(idler, "pin under")
    assert (bore.low, bore.high) == pytest.approx((39.975e-3, 40e-3), abs=1e-7)
    assert (pin.low, pin.high) == pytest.approx((0.625 * INCH - 17e-6, 0.625 * INCH - 6e-6), abs=1e-7)
    assert idler.wall == pytest.approx((5 * INCH - 40e-3) / 2) and not idler.turned
    # steel cut as AISI 1045: the speed for the cut stands there only where it is turned
    assert any("At the rim: HSS" in step for step in flat_operations(idler._replace(turned=True)))
    assert not any("HSS" in step for step in flat_operations(idler))
    tight = idler._replace(outside=40e-3)
    assert list(_impossible(idler)) == [] and "no wall" in next(_impossible(tight))


def test_belts_side_by_side_are_as_wide_as_their_grooves_put_them():
    # 3/4 in from groove to groove of B (Machinery's Handbook p. 2576), 2.34 mm for each rib of PJ (ISO 9982)
    sections = tables.table("belt_sections")
    assert belts_wide(sections.one(section="A", system="inch"), 1, 0.15) == pytest.approx(12.7e-3)
    three = belts_wide(sections.one(section="B", system="inch"), 3, 0.15)
    assert three == pytest.approx(2 * 19.05e-3 + 21 / 32 * INCH, abs=1e-4)
    assert belts_wide(sections.one(section="PJ"), 6, 0.15) == pytest.approx(6 * 2.34e-3)
    assert belts_wide(sections.one(section="2L"), 2, 0.15) is None


def test_a_flat_wheel_has_a_sheet_and_its_page_says_all():
    chipper = work_up(load(Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"))
    wheel, idler = flat_sheets(chipper)
    assert without_pulley_sheet(chipper) == () and (wheel.pulley, wheel.idle, idler.idle) == ("F", False, True)
    assert wheel.bore.size == pytest.approx(1.125 * INCH) and any("bearing." in n for n in idler.notes)
    for flat in (wheel, wheel._replace(turned=True, face=None)):
        (page,) = (reader := PdfReader(io.BytesIO(flat_pages.pdf_of(flat, "A4")))).pages
        said = "".join(page.extract_text().split())
        wanted = (flat.title, *flat_operations(flat), *flat.notes, *(s.what for s in flat.sizes))
        assert [w for w in wanted if "".join(w.split()) not in said] == []
        drawn = [np.ptp(points, axis=0) for _, points in paths(page, reader)]
        half = np.array([(flat.face or 0.0) * 1e3 / 20, 33 * 25.4 / 40])
        assert sum(bool((abs(s - half) < 0.01).all()) for s in drawn) == (0 if flat.face is None else 2)


@pytest.mark.parametrize("paper", pulley_pages.PAPERS)
def test_the_page_is_drawn_to_scale_and_says_all(turned, paper):
    sheet = of(turned, "J")
    reader = PdfReader(io.BytesIO(pulley_pages.pdf_of(sheet, paper)))
    assert len(reader.pages) == 1
    sizes = [np.ptp(points, axis=0) for _, points in paths(reader.pages[0], reader)]
    # 1:5 of the face and of half of the rim, drawn twice; 2:1 of the rod of 7/16 in
    half = np.array([1.375, 10.85 / 2]) * 25.4 / 5
    assert sum(bool((abs(s - half) < 0.01).all()) for s in sizes) == 2
    assert any((abs(s - 2 * 7 / 16 * 25.4) < 0.01).all() for s in sizes)
    assert "scale 1:5." in (text := " ".join(reader.pages[0].extract_text().split())) and "scale 2:1;" in text
    said = "".join(text.split())
    wanted = (sheet.title, *sheet.warnings, *operations(sheet), *sheet.notes, *(s.what for s in sheet.sizes))
    assert [w for w in wanted if "".join(w.split()) not in said] == []


def test_facts_hold_the_sheets(capsys):
    assert main(["facts", str(BUILDS / "feed_wagon_auger.toml"), "--json"]) == 0
    found = {(s["sheet"], s["part"]): s for s in json.loads(capsys.readouterr().out)["sheets"]}
    assert set(found) == {("shaft", "jackshaft"), ("pulley", "E"), ("pulley", "J"), ("flat pulley", "I")}
    rod = next(s["size"] for s in found["pulley", "J"]["sizes"] if s["what"].startswith("one rod"))
    assert rod["low"] == pytest.approx(0.149 * INCH, abs=2e-6) and rod["kind"] == "length"
