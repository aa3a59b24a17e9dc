"""The outline of a guard and the places that draw a hand in, against closed forms and another library's shapes."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
import shapely
from builders import data
from jackshaft.buildfile import DEMO, load, parse
from jackshaft.chapters.guards.figure import draw
from jackshaft.chapters.guards.outline_figure import NipView
from jackshaft.mechanics.outline import outline_si, stands_si
from jackshaft.results import work_up
from jackshaft.results.proving import applied
from jackshaft.sheets.guard import guard_templates
from jackshaft.units import OutOfRange
from test_clear_while_it_wears import BUILD as ARM_BUILD


def test_two_wheels_of_one_size_and_one_within_another():
    """A band round two circles of r, a apart: 2 a + 2 pi r long, encloses 2 a r + pi r2 (any handbook)."""
    found = outline_si([0, 0.3], [0, 0.4], [0.1, 0.1])
    assert found.length == pytest.approx(2 * 0.5 + 2 * math.pi * 0.1)
    assert found.area == pytest.approx(2 * 0.5 * 0.1 + math.pi * 0.01)
    assert found.box == pytest.approx((-0.1, -0.1, 0.4, 0.5))
    inner = outline_si([0, 0.01], [0, 0], [0.1, 0.05])
    assert inner.length == pytest.approx(2 * math.pi * 0.1) and len(inner.x) == 1


@pytest.mark.parametrize("seed", range(2))
def test_any_wheels_agree_with_another_library(seed, for_each):
    draws = np.random.default_rng(seed)

    def agrees(count):
        x, y, r = draws.uniform(-1, 1, (2, count)).tolist() + [draws.uniform(0.02, 0.5, count).tolist()]
        found = outline_si(x, y, r)
        round_ = [shapely.Point(a, b).buffer(c, quad_segs=400) for a, b, c in zip(x, y, r, strict=True)]
        hull = shapely.unary_union(round_).convex_hull
        assert found.length == pytest.approx(hull.length, rel=1e-5)
        assert found.area == pytest.approx(hull.area, rel=1e-5)
        assert found.box == pytest.approx(hull.bounds, abs=1e-5)
        mine = shapely.Polygon(found.points(1e-6))
        assert mine.hausdorff_distance(hull) < 1e-5
        for side in (0.05, 0.4):
            at = draws.uniform(-1.6, 1.6, 2)
            box = shapely.box(*(at - side), *(at + side))
            wanted = 1 if hull.disjoint(box) else -1 if hull.contains(box) else 0
            corners = np.array(box.exterior.coords)[:4]
            assert stands_si(found, *corners.T, np.zeros(4)) == wanted

    for_each(range(1, 9), agrees)


@pytest.mark.parametrize("wrong", [([], [], []), ([0.0], [np.nan], [1.0]), ([0.0], [0.0], [0.0])])
def test_no_outline_without_circles(wrong):
    with pytest.raises(OutOfRange, match="wants circles"):
        outline_si(*wrong)


BUILDS = Path(__file__).parents[1] / "builds"
AT = "stage[crank belts]"
MESH = {f"{AT}.guard": "mesh or slots", f"{AT}.guard_shape": "square", f"{AT}.guard_opening": "12 mm"}


def found(name=DEMO, **changes):
    return work_up(applied(load(name), changes)).chapters["guards"].data


def body(text):
    """Return the demo build with a body beside its belts."""
    source = load(DEMO).text.replace("[stage.takeup]\n", f"[[stage.body]]\n{text}\n\n[stage.takeup]\n", 1)
    return parse(source.encode(), file="auger.toml")


@pytest.mark.parametrize("name", [DEMO, "compost_trommel", BUILDS / "three_spindle_deck.toml"])
def test_a_nip_is_where_the_surfaces_come_together(name, for_each):
    """A step before it the belt stands off the wheel, at it the belt lies on it and both go the same way."""
    data = found(name)
    loops = {loop.stage: loop for loop in data.loops}
    assert len(data.nips) == sum(len(loop.names) for loop in data.loops)

    def closes(nip):
        loop = loops[nip.stage]
        i = loop.names.index(nip.wheel)
        at, centre = np.array([nip.x, nip.y]), np.array([loop.x[i], loop.y[i]])
        along = np.array([math.cos(nip.heading), math.sin(nip.heading)])
        assert np.hypot(*(at - centre)) == pytest.approx(loop.line[i])
        assert (at - centre) @ along == pytest.approx(0.0, abs=1e-9)
        # the rim goes the belt's way: turn x arm, by the right-hand rule
        arm = at - centre
        rim = loop.path.turn[i] * np.array([-arm[1], arm[0]]) / loop.line[i]
        assert rim == pytest.approx(along)
        # just before the nip there is a strand, just beyond it the belt lies on the wheel
        before = at - 0.01 * along
        a, b = loop.start[i - 1], loop.end[i - 1]
        assert shapely.LineString([a, b]).distance(shapely.Point(before)) < 1e-9
        assert nip.within == pytest.approx(0.18 / nip.speed)

    for_each(data.nips, closes)


def test_the_engine_turned_the_other_way_has_its_nips_at_the_other_ends():
    one, other = found("compost_trommel"), found("compost_trommel", **{"engine.turns": "clockwise"})
    if one.loops[0].path.turn[0] == other.loops[0].path.turn[0]:
        other = found("compost_trommel", **{"engine.turns": "counter-clockwise"})
    assert other.loops[0].sure and one.loops[0].path.turn[0] == -other.loops[0].path.turn[0]
    places = lambda data: {(n.wheel, round(n.x, 6), round(n.y, 6)) for n in data.nips}  # noqa: E731
    assert not places(one) & places(other)
    unsaid = found("compost_trommel", **{"engine.turns": ""})
    assert not any(n.sure for n in unsaid.nips) and places(unsaid) == places(one) | places(other)


@pytest.mark.parametrize(
    ("changes", "off"),
    [
        ({}, 0.0254),
        # ISO 13857, table 4, square openings of 12 mm: 80 mm; of 13 mm at their widest 120 mm
        ({**MESH, f"{AT}.guard_distance": "40 mm"}, 0.080),
        ({**MESH, f"{AT}.guard_distance": "90 mm"}, 0.090),
        ({**MESH, f"{AT}.guard_opening": "3 mm"}, 0.0254),
        ({**MESH, f"{AT}.guard_opening": "130 mm"}, None),
    ],
)
def test_an_outline_stands_off_what_its_openings_ask_for(changes, off):
    guards = [g for g in found(**changes).outlines if g.loop.stage == "crank belts"]
    assert len(guards) == (off is not None)
    for guard in guards:
        assert guard.off == pytest.approx(off)
        # every wheel with its belt is at least so far within, none of it nearer
        ring = shapely.Polygon(guard.band.points(1e-7)).exterior
        gaps = [
            ring.distance(shapely.Point(x, y)) - r
            for x, y, r in zip(guard.loop.x, guard.loop.y, guard.loop.solid, strict=True)
        ]
        assert min(gaps) == pytest.approx(off, abs=1e-6)


def test_a_guard_leaves_room_for_the_arm_until_the_belt_is_worn():
    # an idler within the loop swings outward as its belt wears
    text = ARM_BUILD.replace('turns = "counter-clockwise"', 'turns = "clockwise"').replace('marked = "A57"\n', "")
    text = text.replace('8.125 in"\ny = "-4.6875 in"\ndiameter = "5 in"', '8 in"\ny = "2.5 in"\ndiameter = "4 in"')
    text = text.replace('side = "outside"\nsurface = "flat"', "") + 'pivot_x = "3 in"\npivot_y = "-2 in"\n'
    results = work_up(parse(text.encode(), file="arm.toml"))
    layout, guard = data(results, "layout", "b"), data(results, "guards").outlines[0]
    x, y, r = guard.loop.swept.T
    k = layout.mover
    assert (x[0], y[0], r[0]) == pytest.approx((layout.places.x[k], layout.places.y[k], guard.loop.solid[k]))
    arm = np.hypot(x - layout.pivot[0], y - layout.pivot[1])
    assert arm == pytest.approx(np.full(len(x), arm[0]))
    # by the path itself: the belt only gets longer on the way, and no more than it wears
    way, *_ = layout.with_moved(k)(x, y)
    worn = way.length / layout.path.length - 1.0
    assert (np.diff(worn) > 0).all() and worn[-1] == pytest.approx(0.015, abs=1e-5)
    band = shapely.Polygon(guard.band.points(1e-7))
    between = np.linspace(0.0, 1.0, 7)
    for one, other in zip(guard.loop.swept[:-1], guard.loop.swept[1:], strict=True):
        for share in between:
            middle = shapely.Point(*(one + share * (other - one))[:2])
            assert band.exterior.distance(middle) >= r[0] + guard.off - 1e-5 and band.contains(middle)
    assert any("Set a stop" in words for words in guard.notes)


def test_a_single_wheel_is_two_half_turns_of_a_bulge():
    band = outline_si([0.1], [0.2], [0.05])
    corners = band.bulged()
    # DXF reference: the bulge is the tangent of a quarter of the turn, 1 for a half circle
    assert corners[:, 2] == pytest.approx([1.0, 1.0, 0.0])
    assert corners[1, :2] == pytest.approx([0.2 - corners[0, 0], 0.4 - corners[0, 1]])


@pytest.mark.parametrize(
    ("x", "cuts", "holds"), [("10 in", (), ("post",)), ("24.2 in", ("post",), ()), ("28 in", (), ())]
)
def test_a_body_in_the_way_is_named(x, cuts, holds):
    build = body(f'name = "post"\nx = "{x}"\ny = "4 in"\ndiameter = "1 in"')
    results = work_up(build)
    guard = results.chapters["guards"].data.outlines[0]
    assert (guard.cuts, guard.holds) == (cuts, holds)
    template = next(guard_templates(results))
    assert template.warnings[0].startswith("STOP. The outline cuts post") == bool(cuts)
    assert any("post stands within" in note for note in template.notes) == bool(holds)
    picture = next(p for *_, p, _ in draw(results.chapters["guards"], results))
    view = NipView("nips", picture)
    view.draw(picture)
    assert ("It would cut post" in view.describe()) == bool(cuts)


@pytest.mark.parametrize("name", [DEMO, "drum_mixer", "compost_trommel", "rotor_bearings"])
def test_every_stage_that_draws_in_is_in_the_list_with_a_place_or_without(name):
    results = work_up(load(name))
    build, tables = results.build, {t.title: t.rows for t in results.chapters["guards"].tables}
    rows = tables.get("Where a hand is drawn in", ())
    kinds = {s: build.get(f"stage[{s}].kind") for s in build.names("stage")}
    assert {row[1] for row in rows} == {s for s, kind in kinds.items() if kind != "gearbox"}
    for row in rows:
        assert all(row[3:6]) == bool(row[0]) == (kinds[row[1]] in ("belt", "roller chain"))
