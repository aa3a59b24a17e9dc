"""Sheets for the shop, read back by other libraries: DXF by ezdxf, PDF from its own content by pypdf."""

import io
import math
import re
from itertools import pairwise
from pathlib import Path

import ezdxf
import numpy as np
import pytest
import shapely
from jackshaft.buildfile import load, parse
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.cli import USAGE, main
from jackshaft.record.buying import buying
from jackshaft.results import work_up
from jackshaft.sheets import Plan, sheets
from jackshaft.sheets.dxf import dxf_of
from jackshaft.sheets.hub import hole_for, hub_templates, impossible
from jackshaft.sheets.shaft import clashes, shaft_sheets, to_far_side
from jackshaft.sheets.shaft_pages import bar_words, rows_of
from jackshaft.sheets.shapes import templates
from jackshaft.sheets.template_pages import OVERLAP, PAPERS, tiles_of
from jackshaft.start.shop_sheets import NOTHING, SheetForms, make
from jackshaft.units import fraction
from pypdf import PdfReader
from pypdf.generic import ContentStream

WITHIN = 0.01  # mm
BUILDS = Path(__file__).parents[2] / "data" / "builds"
POINT = 25.4 / 72.0  # mm


@pytest.fixture(scope="module")
def auger():
    return work_up(load(BUILDS / "feed_wagon_auger.toml"))


@pytest.fixture(scope="module")
def written(auger):
    return sheets(auger)


def expected(auger):
    """Centres and rims in mm, straight from the chapters."""
    belt = auger.chapters["layout"].data["crank belts"]
    chain = auger.chapters["roller-chain"].data["output chain"]
    yield "crank-belts", 1e3 * np.stack([belt.places.x, belt.places.y], -1), 1e3 * belt.pulleys.outside
    yield (
        "output-chain",
        np.array(
            [[0, 0], [1e3 * chain.centres * math.cos(chain.toward), 1e3 * chain.centres * math.sin(chain.toward)]]
        ),
        500 * np.array(chain.stage.diameters),
    )


def test_the_dxf_has_the_places_of_the_chapters_in_millimetres(auger, written):
    for stage, centres, radii in expected(auger):
        drawing = ezdxf.read(io.StringIO(written[f"template-{stage}.dxf"].decode()))
        assert drawing.header["$INSUNITS"] == 4  # millimetres, by the DXF reference
        space = drawing.modelspace()
        layer = "PITCH" if stage == "output-chain" else "RIMS"
        circles = [e for e in space.query("CIRCLE") if e.dxf.layer == layer]
        got = np.array([(c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in circles])
        np.testing.assert_allclose(got, np.column_stack([centres, radii]), atol=WITHIN)
        squares = [e for e in space.query("LWPOLYLINE") if e.dxf.layer == "CHECK"]
        sides = [np.ptp(np.array(s.get_points("xy")), axis=0) for s in squares]
        np.testing.assert_allclose(sides, [[50.0, 50.0], [50.8, 50.8]], atol=1e-9)
        assert all(s.closed for s in squares)
        words = " ".join(e.dxf.text for e in space.query("TEXT"))
        assert fingerprint(auger.build) in words and "Do not cut metal" in words and "Local codes" in words


def paths(page, reader):
    """Yield each painted path of a page as (operators, points in mm); the page itself must not scale anything."""
    operators, points = [], []
    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        if operator == b"cm":
            assert [float(v) for v in operands[:4]] == [1.0, 0.0, 0.0, 1.0], "something is scaled"
        elif operator in (b"m", b"l", b"c"):
            operators.append(operator)
            points.append([float(v) * POINT for v in operands[-2:]])
        elif operator in (b"S", b"s", b"n", b"f", b"B", b"b"):
            if points:
                yield operators, np.array(points)
            operators, points = [], []


def circles_of(found):
    """Centres and radii of the paths that are closed curves all round."""
    for operators, points in found:
        if operators.count(b"c") >= 8:
            middle = (points.max(0) + points.min(0)) / 2
            yield (*middle, np.ptp(points[:, 0]) / 2)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_pdf_is_true_to_scale_on_every_sheet(auger, written, paper):
    for stage, centres, radii in expected(auger):
        reader = PdfReader(io.BytesIO(written[f"template-{stage}-{paper.lower()}.pdf"]))
        whole, before = [], None
        assert len(reader.pages) > 2
        for page in reader.pages[1:]:
            np.testing.assert_allclose([float(v) * POINT for v in page.mediabox[2:]], PAPERS[paper], atol=WITHIN)
            found = list(paths(page, reader))
            circles = np.array(list(circles_of(found)))
            first = circles[abs(circles[:, 2] - radii[0]).argmin(), :2]
            wanted = np.column_stack([first + centres - centres[0], radii])
            far = abs(circles[None] - wanted[:, None]).max(2).min(1)
            assert far.max() < WITHIN, f"{stage}: a pulley is {far.max():.3f} mm off"
            assert any(abs(np.hypot(*(p[-1] - p[0])) - 50.0) < 1e-3 and len(p) == 2 for _, p in found), "no 50 mm bar"
            sizes = [np.ptp(p, axis=0) for o, p in found if len(p) in (4, 5) and b"c" not in o]
            whole += [side for side in (50.0, 50.8) for s in sizes if abs(s - side).max() < 1e-3]
            if before is not None:
                step = np.array(PAPERS[paper]) - (24.0 + OVERLAP, 34.0 + OVERLAP)
                moved = abs(first - before)
                assert all(abs(m / s - round(m / s)) * s < WITHIN for m, s in zip(moved, step, strict=True))
            before = first
        assert {50.0, 50.8} <= set(whole)


def between(operators, points):
    """Points of a path with the middles of its straight pieces; a new beginning is no piece."""
    goes_on = np.array([o == b"l" for o in operators[1:]])
    return np.concatenate([points, 0.5 * (points[1:] + points[:-1])[goes_on]])


def test_the_template_of_a_guard_read_back_is_its_outline(auger, written):
    """Both files hold the band within 0.01 mm, in every direction."""
    angle = np.linspace(0.0, 2 * np.pi, 721)
    for guard in auger.chapters["guards"].data.outlines:
        stem = f"template-{guard.loop.stage.replace(' ', '-')}-guard"
        space = ezdxf.read(io.StringIO(written[f"{stem}.dxf"].decode())).modelspace()
        (line,) = (e for e in space.query("LWPOLYLINE") if e.dxf.layer == "GUARD")
        # a cutting table gets true arcs, each about a wheel and so far off it, and straights between them
        turns = [e for e in line.virtual_entities() if e.dxftype() == "ARC"]
        points = np.array([(v.x, v.y) for arc in turns for v in arc.flattening(1e-4)])
        assert {round(arc.dxf.radius, 6) for arc in turns} == {round(float(r), 6) for r in 1e3 * guard.band.radius}
        wanted = 1e3 * guard.band.reach(angle)
        reach = (np.cos(angle)[:, None] * points[:, 0] + np.sin(angle)[:, None] * points[:, 1]).max(1)
        assert line.closed and abs(reach - wanted).max() < 0.01
        ring = shapely.Polygon(points)
        assert ring.length == pytest.approx(1e3 * guard.band.length, abs=0.01)
        assert ring.area == pytest.approx(1e6 * guard.band.area, rel=1e-5)
        # a page has what of it falls there; the first wheel tells where the page lies
        edge, wheel = ring.exterior, 1e3 * np.array([guard.loop.x[0], guard.loop.y[0], guard.loop.line[0]])
        for paper in PAPERS:
            reader = PdfReader(io.BytesIO(written[f"{stem}-{paper.lower()}.pdf"]))
            seen = 0
            for page in reader.pages[1:]:
                found = list(paths(page, reader))
                circles = np.array(list(circles_of(found)))
                moved = wheel[:2] - circles[abs(circles[:, 2] - wheel[2]).argmin(), :2]
                for operators, drawn in found:
                    if b"c" not in operators and len(drawn) > 20:
                        seen += 1
                        far = shapely.distance(edge, shapely.points(between(operators, drawn + moved)))
                        assert far.max() < 0.01, f"{stem}: {far.max():.3f} mm off"
            assert seen


def test_the_shaft_sheet_has_the_limits_with_their_source(auger, written):
    (sheet,) = shaft_sheets(auger)
    seats = auger.chapters["bearings"].data.seats
    text = " ".join(PdfReader(io.BytesIO(written["shaft-jackshaft-a4.pdf"])).pages[0].extract_text().split())
    for seat in sheet.seats:
        limits = seats[seat.name].shaft
        assert (seat.low, seat.high) == (limits.lower, limits.upper) and seat.source
        assert f"{limits.lower * 1e3:.3f} mm" in text
    assert "column j6" in text and "Do not cut metal" in text and "Local codes" in text
    assert sheet.length == pytest.approx(13.25 * 0.0254)  # -3.25 in to 10 in, as the build file has it
    assert sheet.bar("metric") == pytest.approx(0.045) and sheet.bar("inch") == pytest.approx(1.625 * 0.0254)
    # one rule: what the buying list asks for is what the sheet starts from
    assert any(w.ask.startswith("round bar") and fraction(sheet.bar("inch")) in w.ask for w in buying(auger))
    # 1045 by HSS at 50 to 80 ft/min (three workshops' tables), 12 v / (pi d) on 1-1/4 in, to two figures
    assert "HSS 150 to 240 rpm; carbide 610 to 1200 rpm" in text
    # pulley J: 6.3 mm/s x 26 lb / 1666 rpm = 426 g mm (ISO 21940-11), on half of 10.85 in
    assert "pulley J to grade G 6.3" in text and "3.09 g may be left" in text


def test_a_bar_that_no_counter_keeps_and_a_steel_in_no_list_are_said(auger):
    build = auger.build.with_values({"shaft[jackshaft].material": "old axle"})
    (sheet,) = shaft_sheets(work_up(build))
    assert any("No speed for the cut" in note for note in sheet.notes)
    assert all("rpm" not in row.limits for row in rows_of(sheet))
    thick = sheet._replace(steps=tuple(s._replace(diameter=0.2) for s in sheet.steps))
    assert thick.bar("inch") is None and "no counter keeps" in bar_words(thick)


def test_the_first_page_says_all_that_the_template_says(auger, written):
    for template, stem in zip(templates(auger), ("crank-belts", "output-chain"), strict=True):
        page = PdfReader(io.BytesIO(written[f"template-{stem}-letter.pdf"])).pages[0].extract_text()
        said = "".join(page.split())
        lost = [w for w in (template.title, *template.warnings, *template.notes) if "".join(w.split()) not in said]
        assert lost == []


def test_no_limits_where_the_turning_ring_is_not_known(auger):
    build = auger.build.with_values({"bearing[chain side].turning_ring": ""})
    (sheet,) = shaft_sheets(work_up(build))
    lost = next(s for s in sheet.seats if s.name == "chain side")
    assert lost.low is None and "limits not known" in next(r.size for r in rows_of(sheet) if "chain side" in r.what)


def test_a_keyseat_is_measured_to_the_far_side():
    # table of ASME B17.1, bottom of the seat to the far side, 1-1/4 in shaft and 1/4 in key: 1.112 in, from memory
    assert to_far_side(1.25, 0.25, 0.125) == pytest.approx(1.112, abs=5e-4)


def test_what_does_not_lie_on_its_step_is_a_stop(auger):
    (sheet,) = shaft_sheets(auger)
    seat, key = sheet.seats[0], sheet.keyseats[0]
    assert clashes(sheet.steps, sheet.seats, sheet.keyseats) == ()
    for wrong, word in (
        ((seat._replace(at=0.03),), "thick"),
        ((seat._replace(at=0.0),), "past the end"),
        ((seat._replace(low=0.041, high=0.0411),), "thick"),
    ):
        assert word in clashes(sheet.steps, wrong, ())[0]
    for at, word in ((0.0, "past the end"), (sheet.steps[0].end, "shoulder")):
        assert word in clashes(sheet.steps, (), (key._replace(at=at),))[0]


def test_a_stop_and_a_guess_stand_on_the_sheet():
    chipper = load(Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml")
    text = chipper.text.replace('diameter = "2.8 in"', 'diameter = { value = "2.8 in", known = "guessed" }')
    guessed = parse(text.encode(), file="chipper.toml")
    (template,) = templates(work_up(guessed))
    assert template.warnings[0].startswith("STOP.")
    sheets_there = tiles_of(template, (186.0, 263.0))
    for a, b in pairwise(sheets_there):  # a wheel is wider than four sheets: none in its middle is left out
        assert a.row != b.row or b.column == a.column + 1
    assert "ESTIMATE: stage[wheel belts].pulley[E].diameter is guessed." in template.notes


def test_the_command_writes_once_and_never_over_a_sheet(tmp_path, capsys):
    build = str(BUILDS / "compost_trommel.toml")
    assert main(["sheets", build, "--out", str(tmp_path / "out")]) == 0
    before = {p.name: p.read_bytes() for p in (tmp_path / "out").iterdir()}
    assert "template-belt.dxf" in before
    assert main(["sheets", build, "--out", str(tmp_path / "out")]) == USAGE
    assert "--out" in capsys.readouterr().err
    assert {p.name: p.read_bytes() for p in (tmp_path / "out").iterdir()} == before


def test_the_holes_of_a_bolted_hub_stand_on_their_circle(auger):
    at = "shaft[jackshaft].joint[pulley key]"
    values = {"kind": "flange", "bolt": "3/8-16", "grade": "SAE 5", "count": 6, "circle": "3-1/4 in"}
    build = auger.build.with_values({f"{at}.{key}": text for key, text in values.items()})
    (hub,) = hub_templates(work_up(build))
    space = ezdxf.read(io.StringIO(dxf_of(hub).decode())).modelspace()
    holes = [(c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in space.query("CIRCLE[layer=='HOLES']")]
    # six holes stand as far from each other as from the middle: 1-5/8 in; 13/32 in clears a bolt of 3/8 in
    around = [complex(x, y) for x, y, _ in holes]
    apart = [abs(a - b) for a, b in zip(around, (*around[1:], around[0]), strict=True)]
    assert apart == pytest.approx([1.625 * 25.4] * 6) == [abs(a) for a in around]
    assert [2 * r for *_, r in holes] == pytest.approx([13 / 32 * 25.4] * 6) and around[0].imag == 0
    assert any("hole to hole, middle to middle: 41.27 mm (1.6250 in)" in note for note in hub.notes)
    (bore,) = space.query("CIRCLE[layer=='SHAFTS']")
    assert bore.dxf.radius == pytest.approx(1.375 * 25.4 / 2) and not hub.warnings[0].startswith("STOP")
    near = work_up(build.with_values({f"{at}.circle": "1.75 in"}))
    assert "run into the bore" in next(hub_templates(near)).warnings[0]


def test_a_hole_clears_its_bolt_and_no_size_is_guessed():
    # ISO 273 medium and ASME B18.2.8 normal, from memory
    for bolt, hole in ((10, 11.0), (12, 13.5), (6.35, 9 / 32 * 25.4), (12.7, 9 / 16 * 25.4), (11.1125, 15 / 32 * 25.4)):
        assert hole_for(bolt) == pytest.approx(hole)
    assert hole_for(11.3) is None
    # eight holes of 11 mm just touch on the circle of 11 / sin 22.5 deg
    just = 11 / math.sin(math.pi / 8)
    assert list(impossible(8, just * 1.001, 11.0, None)) == [] != list(impossible(8, just * 0.999, 11.0, None))


def test_the_page_lists_every_sheet_and_links_to_what_it_wrote(auger, written, tmp_path, monkeypatch):
    (tmp_path / "notebooks").mkdir()
    monkeypatch.chdir(tmp_path / "notebooks")
    forms = SheetForms(auger)
    assert {name for plan in forms.plans for name in plan.files} == set(written)
    forms.plans = tuple(Plan(p.title, {n: (lambda n=n: n.encode()) for n in p.files}) for p in forms.plans)
    forms.folder.value = str(tmp_path / "mine")
    assert "template at 1:1" in forms.list.value and "href" not in forms.list.value
    forms.forms[0].run(forms._make)
    assert f"Wrote {len(written)} files into" in forms.forms[0].result.value
    ways = re.findall(r'href="([^"]+)"', forms.list.value)
    assert sorted(Path(way).resolve().name for way in ways if Path(way).is_file()) == sorted(written)
    # a sheet that was marked up is kept beside the new one
    (tmp_path / "mine" / "template-crank-belts.dxf").write_text("by hand")
    forms.forms[0].run(forms._make)
    assert "changed by hand" in forms.forms[0].result.value
    assert [p.read_text() for p in (tmp_path / "mine").glob("*by_hand*")] == ["by hand"]
    assert make((), auger.build, str(tmp_path))[1] == NOTHING
