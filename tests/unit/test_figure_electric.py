"""Pictures of the clutch circuit and the clutch: lines stand where the results say, words carry the numbers."""

import numpy as np
import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.chapters.clutch.figure import LBF_FT, ClutchView, draw
from jackshaft.chapters.clutch.figure import picture_of as clutch_picture
from jackshaft.chapters.clutch.panel import panel
from jackshaft.chapters.clutch.time_figure import TimeView, ceiling, current_picture, engagement_picture
from jackshaft.chapters.electric.figure import ElectricView, step_points
from jackshaft.chapters.electric.figure import picture_of as electric_picture
from jackshaft.chapters.electric.wiring_figure import SPARE_X, WiringView
from jackshaft.drawing.pictures import pictures_of
from jackshaft.drawing.view import Candidate
from jackshaft.results import work_up


@pytest.fixture(scope="module")
def demo():
    return work_up(load(DEMO), ("clutch",))


def texts(view):
    found = [t for t in view.figure.texts if t.get_visible()]
    for ax in view.figure.axes:
        found += [t for t in ax.texts if t.get_visible()]
    return [t.get_text() for t in found if t.get_text()]


def test_steps_stand_on_the_solved_voltages(demo):
    picture = electric_picture(demo)
    view = ElectricView("steps", picture)
    view.draw(picture)
    for heat in ("cold", "hot"):
        points = step_points(picture, heat)
        for line in view.lines[heat]:
            assert np.array(line.get_xydata()) == pytest.approx(points)
        levels = picture.volts(heat)
        # flat at each joint: the line is at the joint's voltage where the joint is named
        assert np.interp(np.arange(len(levels)), points[:, 0], points[:, 1]) == pytest.approx(levels)
    assert points[0, 1] == pytest.approx(14.1) and points[-1, 1] == pytest.approx(0.0)
    words = "\n".join(texts(view))
    assert "13.78 V cold" in words and "wire back\n−0.106 V" in words and "coil −" in words and "14 AWG" in words
    assert "13.68 V and 5.26 A cold, 13.78 V and 4.03 A hot" in view.describe()


def test_both_parts_of_the_broken_scale_are_alike_and_hold_the_steps(demo):
    for changes in (
        {},
        {"circuit.wire": "22 AWG"},
        {"circuit.running_voltage": "15.5 V"},
        {"circuit.joint_resistance": "1.5 ohm"},
        {"circuit.length_back": "0 in"},
    ):
        picture = electric_picture(work_up(demo.build.with_values(changes), ("clutch",)))
        view = ElectricView("steps", picture)
        view.draw(picture)
        scale = [np.ptp(ax.get_ylim()) / (ax.get_position().height * view.size[1]) for ax in (view.upper, view.lower)]
        assert scale[0] == pytest.approx(scale[1])
        low, high = view.upper.get_ylim()
        joints = picture.data.steps.joints
        out = picture.volts("cold")[: joints.index("coil +") + 1]
        assert low < out.min() and out.max() < high
        assert picture.volts("cold")[joints.index("coil -")] < view.lower.get_ylim()[1]


def test_stop_banner_and_pinned_candidate(demo):
    results = work_up(demo.build.with_values({"circuit.wire": "22 AWG", "circuit.fuse": "30 A"}), ("clutch",))
    picture = pictures_of(results, "electric")[0]
    assert picture.alt.startswith("does not work: ")
    assert not pictures_of(demo, "electric")[0].alt.startswith("does not work")
    other = electric_picture(results)
    view = ElectricView("steps", other)
    view.draw(other, [Candidate("A", electric_picture(demo), "#6a3d9a", (6, 2))])
    assert view.pinned[0][0].get_visible() and not view.pinned[1][0].get_visible()
    assert np.array(view.pinned[0][0].get_ydata()).max() == pytest.approx(14.1)
    assert "Candidates overlaid: A" in view.describe()


def test_nothing_to_draw_is_said(demo):
    view = ElectricView("steps", electric_picture(demo))
    view.draw(None)
    assert "not known yet" in view.describe() and not view.lines["cold"][0].get_visible()
    view.draw(electric_picture(demo))
    assert view.lines["cold"][0].get_visible() and not view.missing.get_visible()
    torque = ClutchView("torque", clutch_picture(demo))
    torque.draw(None)
    assert "not known yet" in torque.describe()
    for name in ("drum_mixer", "rotor_bearings"):
        results = work_up(load(name))
        assert pictures_of(results, "electric") == () and pictures_of(results, "clutch") == ()


def test_torque_curves_pass_through_the_build_and_show_what_is_needed(demo):
    picture = clutch_picture(demo)
    view = ClutchView("torque", picture)
    view.draw(picture)
    data = picture.data
    at, torque = view.marks["running"].get_data()
    assert at == pytest.approx([68.0, 68.0 + 144.0])
    want = [data.static[f"running, {h}"].likely / LBF_FT for h in ("cold", "hot")]
    assert torque == pytest.approx(want, rel=0.005)
    volts, torque = view.marks["hot"].get_data()
    assert volts[-1] == pytest.approx(14.1) and ((12.3 < volts[:-1]) & (volts[:-1] < 12.5)).all()
    assert torque[[0, -1]] == pytest.approx(
        [data.static[f"{s}, hot"].likely / LBF_FT for s in ("battery only", "running")], rel=0.005
    )
    assert view.limits["warm"].get_ydata() == pytest.approx([20.2, 20.2])
    assert "must hold 20.2 lbf·ft" in texts(view)
    assert view.sides["warm"].get_ylabel() == "holding torque (lbf·ft)"
    low, high = view.sides["volt"].get_ylim()
    assert low == 0.0 and max(view.lines["cold"].get_ydata()) < high


def test_without_a_torque_the_current_is_drawn_in_metric():
    results = work_up(load("compost_trommel"), ("clutch",))
    picture = clutch_picture(results)
    view = ClutchView("torque", picture)
    view.draw(picture)
    assert view.sides["warm"].get_ylabel() == "coil current (A)"
    assert view.sides["warm"].get_xlabel() == "coil temperature (°C)"
    at, amps = view.marks["running"].get_data()
    # 3.66 A cold: independent calculation of the compost trommel
    assert at[0] == pytest.approx(20.0) and amps[0] == pytest.approx(3.66, abs=0.01)
    assert not view.limits["warm"].get_visible() and "battery only" not in view.lines


def test_engagement_lines_meet_and_the_heat_ends_where_the_results_say(demo):
    picture = engagement_picture(demo)
    view = TimeView("engage", picture)
    view.draw(picture)
    course = demo.chapters["clutch"].data.engagement.steps
    (left, lines, _), (right, heat, _) = view.plots
    engine, driven = (lines[n].get_xydata() for n in ("engine", "driven side"))
    assert engine[0] == pytest.approx([0.0, 1500.0], abs=1e-6) and driven[0] == pytest.approx([0.0, 0.0])
    assert engine[-1] == pytest.approx(driven[-1], rel=1e-4)
    assert engine[-1][0] == pytest.approx(course.lock_time)
    assert heat["heat"].get_ydata()[-1] == pytest.approx(float(course.heat[-1]) / LBF_FT)
    assert left.get_ylabel() == "speed (rpm)" and right.get_ylabel() == "slip heat (ft·lbf)"
    assert left.get_xlim()[1] > engine[-1][0] and right.get_ylim()[1] > heat["heat"].get_ydata()[-1]
    assert "locks after" in view.describe()
    view.draw(None)
    assert "not known yet" in view.describe() and not lines["engine"].get_visible()


def test_current_dips_as_the_gap_closes_and_falls_slowest_through_a_diode(demo):
    picture = current_picture(demo)
    view = TimeView("current", picture)
    view.draw(picture)
    (_, rise, _), (_, fall, _) = view.plots
    current = rise["coil cold"].get_ydata()
    assert np.any(np.diff(current) < -0.5) and current[-1] == pytest.approx(5.26, abs=0.01)  # independent calculation
    after = {name: np.interp(10.0, *line.get_data()) for name, line in fall.items()}
    assert after["diode"] > 2 * max(v for n, v in after.items() if n != "diode")
    assert fall["diode"].get_ydata()[0] == pytest.approx(5.26, abs=0.01)


@pytest.mark.parametrize(("value", "top"), [(1.0, 1.2), (96.0, 100.0), (97.0, 120.0), (0.073, 0.08), (2313.0, 2500.0)])
def test_scales_end_at_round_numbers(value, top):
    assert ceiling(value) == pytest.approx(top)


def drawn(view):
    """Lines of a wiring diagram as arrays of points."""
    return [np.array(line.get_xydata()) for line in view.axes.lines if len(line.get_xydata()) > 1]


def wiring(demo, **changes):
    results = work_up(demo.build.with_values({k.replace("__", "."): v for k, v in changes.items()}), ("electric",))
    picture = electric_picture(results)
    view = WiringView("wiring")
    view.draw(picture)
    return view


def test_wiring_diagram_names_every_part_and_test_point(demo):
    view = wiring(demo, circuit__suppression="diode")
    words = "\n".join(texts(view))
    for part in (
        "10 A blade",
        "relay 30–87",
        "relay coil 86–85",
        "12 V coil, 30 A",
        "hand switch",
        "hopper guard",
        "clutch switch",
        "14 AWG, 8 ft",
        "diode",
        "5  coil +: 13.78 V cold, 13.86 V hot",
        "3  after relay contact",
    ):
        assert part in words, part
    joints = electric_picture(demo).data.steps.joints
    assert {p.joint for p in view.points} == set(joints)
    assert [p.number for p in view.points] == list(range(1, len(joints) + 1))
    assert "fed through hand switch, hopper guard, clutch switch" in view.describe()


def test_a_bridged_interlock_is_still_drawn_as_an_open_switch(demo):
    plain, bridged = wiring(demo), wiring(demo, **{"circuit.interlock[hand switch].bridged": True})
    assert "hand switch" in texts(bridged)
    assert sum(len(p) for p in drawn(plain)) == sum(len(p) for p in drawn(bridged))


@pytest.mark.parametrize("kind", ["diode", "diode and zener"])
def test_the_band_of_the_diode_is_on_the_positive_side(demo, kind):
    """The triangle's tip points up to the positive rail, and the band lies across that tip."""
    view = wiring(demo, circuit__suppression=kind)
    triangles = [
        np.array(p.get_xy())
        for p in view.axes.patches
        if hasattr(p, "get_xy") and abs(np.mean(np.array(p.get_xy())[:, 0]) - SPARE_X) < 0.5
    ]
    triangle = max(triangles, key=lambda t: t[:, 1].mean())
    wide = np.abs(triangle[:, 0] - SPARE_X) > 0.1
    tip = float(triangle[~wide][:, 1].mean())
    assert tip > triangle[wide][:, 1].max()
    lines = np.vstack([p for p in drawn(view) if abs(np.nanmean(p[:, 0]) - SPARE_X) < 0.3])
    band = lines[np.abs(np.abs(lines[:, 0] - SPARE_X) - 0.25) < 0.01]
    assert np.any(np.abs(band[:, 1] - tip) < 0.02)
    assert len(triangles) == (2 if "zener" in kind else 1)
    if "zener" in kind:
        other = min(triangles, key=lambda t: t[:, 1].mean())
        assert other[np.abs(other[:, 0] - SPARE_X) < 0.1][:, 1].mean() < other[:, 1].max()


def test_a_direct_circuit_and_a_missing_fuse_are_told(demo):
    direct = wiring(demo, circuit__relay=False, circuit__relay_voltage="", circuit__relay_rating="")
    assert "relay 30–87" not in texts(direct) and "clutch switch in series" in direct.describe()
    assert "no fuse known yet" in texts(wiring(demo, circuit__fuse=""))
    assert "suppression:\nnot known yet" in texts(wiring(demo, circuit__suppression=""))
    assert "back: frame" in texts(wiring(demo, circuit__length_back="0 in"))


@pytest.mark.parametrize("changes, kind", [({}, TimeView), ({"work.inertia": "", "work.power": ""}, ClutchView)])
def test_the_first_picture_is_that_of_the_panel(demo, changes, kind):
    """Seen: the page left out the torque, which it explained, and showed the engagement of its panel again."""
    results = work_up(demo.build.with_values(changes), ("clutch",))
    _, first, _ = next(draw(results.chapters["clutch"], results))
    assert isinstance(first, kind) and isinstance(panel(results.build).view, kind)
