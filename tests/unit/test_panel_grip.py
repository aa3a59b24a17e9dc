"""The tension panel as a plain function: every control at its ends and middle, the inverse, the actions."""

from pathlib import Path

import numpy as np
import pytest
from jackshaft.buildfile import DEMO, find, load, parse
from jackshaft.chapters.grip.figure import GripView, draw, picture_of
from jackshaft.chapters.grip.panel import (
    FORCE,
    PLUCK,
    STRAND,
    controls,
    outcome_of,
    tension_for,
)
from jackshaft.chapters.grip.panel import (
    panel as grip_panel,
)
from jackshaft.chapters.grip.tag_figure import TagPicture, TagView
from jackshaft.results import Again, work_up
from jackshaft.ui.scale import Scale
from jackshaft.units import read
from matplotlib.backends.backend_agg import FigureCanvasAgg
from shaft_builds import TWO_BELTS, build_of

LBF = 4.4482216152605
CHIPPER = Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"
STAGES = [
    (TWO_BELTS, "first belt"),
    (TWO_BELTS, "second belts"),
    ("drum_mixer", "motor belt"),
    ("compost_trommel", "belt"),
    (CHIPPER, "wheel belts"),
]


def outcome(build, stage, **whatif):
    return outcome_of(build, whatif, stage=stage)


def facts(found):
    return {f.label: f for f in found.facts}


def controls_of(build, stage):
    picture = outcome(build, stage).picture
    return controls(build, stage, picture.stage, picture.layout)


@pytest.mark.parametrize(("name", "stage"), STAGES, ids=str)
def test_every_control_at_its_ends_and_middle(name, stage):
    """No setting within the sliders breaks the panel, and each moves something that is shown."""
    build = build_of(name)
    found = controls_of(build, stage)
    starts = {c.name: c.start for c in found if c.name}
    assert len({c.id for c in found}) == len(found) >= 8

    def shown(change, whatif):
        shown = {
            n: t if n == STRAND else read(t, "force" if n == FORCE else "frequency", system=build.system)
            for n, t in whatif.items()
        }
        got = outcome_of(build.with_values(change), shown, stage=stage)
        assert got.picture is not None and got.checks
        return [f.value + f.note for f in got.facts] + [c.verdict + c.value + c.reason for c in got.checks]

    for control in found:
        if not control.has_slider:
            continue
        scale = Scale(control, build.system)
        seen = []
        for position in (0, scale.count // 2, scale.count):
            text = scale.text_at(position)
            value = int(text) if control.kind == "count" else text
            # A bad end may not lie above the likely value, so the likely one goes along to the top.
            change = {control.key: value} if control.key else {}
            if control.key and control.key.endswith("_bad"):
                change[control.key.removesuffix("_bad")] = scale.text_at(scale.count)
            seen.append(shown(change, starts if control.key else {**starts, control.name: text}))
        assert seen[0] != seen[1] or seen[1] != seen[2], control.label


def test_the_tighter_spring_holds_in_proportion():
    """The margin of a sprung loop grows with the spring alone, so twice the tension is twice the margin."""
    build = build_of(TWO_BELTS)
    one = outcome(build, "first belt").picture.stage.margin
    tighter = build.with_values({"stage[first belt].takeup.slack_tension": "50 lbf"})
    two = outcome(tighter, "first belt").picture.stage.margin
    assert two == pytest.approx(2 * one)


def test_a_measured_force_tells_the_tension():
    """F = (T + Y)/16 with Y = 6 lbf: 3.1875 lbf tells 45 lbf; less than Y/16 tells that the belt is merely stiff."""
    build = build_of(TWO_BELTS)
    found = facts(outcome(build, "second belts", **{FORCE: read("3.1875 lbf", "force")}))[
        "tension from this force"
    ]
    assert found.value == "45.0 lbf a belt" and "holds the work, which needs 41.4 lbf" in found.note
    loose = facts(outcome(build, "second belts", **{FORCE: read("2.5 lbf", "force")}))["tension from this force"]
    assert "does not hold" in loose.note
    none = facts(outcome(build, "second belts", **{FORCE: read("0.3 lbf", "force")}))["tension from this force"]
    assert none.value == "none" and "stiffness" in none.note


def test_a_pluck_tells_the_tension_of_the_strand_it_was_on():
    """T = 4 m L^2 f^2: the same pitch on the short strand tells less, as the lengths squared."""
    build = build_of(TWO_BELTS)
    shown = {}
    for strand in ("small to idler", "idler to large"):
        found = facts(outcome(build, "first belt", **{PLUCK: read("100 Hz", "frequency"), STRAND: strand}))
        shown[strand] = float(found["tension from this frequency"].value.split()[0])
    spans = {s.words: s.span for s in outcome(build, "first belt").picture.stage.set.strands}
    assert shown["idler to large"] / shown["small to idler"] == pytest.approx(
        (spans["idler to large"] / spans["small to idler"]) ** 2, rel=0.01
    )


@pytest.mark.parametrize(("stage", "case"), [("first belt", "work"), ("first belt", "peak"), ("second belts", "peak")])
def test_the_action_sets_what_holds_at_the_bad_end(stage, case):
    build = build_of(TWO_BELTS)
    texts = tension_for(build, outcome(build, stage), stage=stage, case=case)
    after = outcome(build.with_values(texts), stage)
    held = after.picture.stage.case(case).least_bad
    assert 1.0 <= held < 1.1  # rounded up to the next pound, no more
    id = f"grip.{'margin' if case == 'work' else case}[{stage}]"
    assert next(c for c in after.checks if c.id == id).verdict == "go"


def test_the_action_says_why_it_cannot():
    build = build_of(TWO_BELTS).with_values({"work.peak_factor": ""})
    with pytest.raises(ValueError, match="peak is not known"):
        tension_for(build, outcome(build, "first belt"), stage="first belt", case="peak")


def test_unknown_tension_is_no_error():
    found = outcome(load("drum_mixer"), "motor belt")
    assert found.picture.stage.net is None
    assert any(c.verdict == "not decidable" for c in found.checks)
    view = GripView("grip-test", found.picture)
    view.draw(found.picture)
    assert "tension not known yet" in view.describe()


def test_a_loop_that_cannot_go_round_says_so():
    build = build_of(TWO_BELTS).with_values({"stage[first belt].pulley[small].diameter": "30 in"})
    found = outcome(build, "first belt")
    assert "overlap" in found.why_it_does_not_work or found.why_it_does_not_work
    view = GripView("grip-test", outcome(build_of(TWO_BELTS), "first belt").picture)
    view.draw(found.picture, stop=found.why_it_does_not_work)
    assert "cannot go round" in view.describe() and "does not work" in view.describe()


def test_quick_and_slow_ways_agree():
    """A worker that reuses what did not change gives the same as working everything up afresh."""
    worker, build = Again("capacity", stage="first belt"), build_of(TWO_BELTS)
    for values in (
        {},
        {"stage[second belts].takeup.static_tension": "60 lbf"},
        {"work.power": "3 hp"},
        {"stage[first belt].takeup.slack_tension": "24 lbf ± 6 lbf"},
        {},
    ):
        other = build.with_values(values)
        quick = outcome_of(other, {}, stage="first belt", worker=worker)
        slow = outcome_of(other, {}, stage="first belt")
        whole = work_up(other, ("capacity",)).chapters
        assert quick.facts == slow.facts and quick.checks == slow.checks
        # What is said of one stage alone is what the whole build says of it.
        said = {f.label: (f.found, f.note) for name in ("grip", "capacity") for f in whole[name].facts}
        assert quick.facts and all(said[f"first belt: {f.label}"] == (f.found, f.note) for f in quick.facts)


def test_the_view_draws_what_is_found():
    """Strand widths go by tension, arrows point along the hub loads, the share stands in the words."""
    found = outcome(build_of(TWO_BELTS), "first belt")
    view = GripView("grip-test", found.picture)
    view.draw(found.picture)
    stage = found.picture.stage
    widths = [line.get_linewidth() for line in view.strands]
    assert np.argsort(widths, kind="stable").tolist() == np.argsort(np.round(stage.net, 6), kind="stable").tolist()
    assert [t.get_text() for t in view.tensions] == [
        # 25 lbf of the spring and m v^2 = 0.105 kg/m x (16.6 m/s)^2 = 6.5 lbf, and 30.3 lbf of pull
        "31.5 lbf slack",
        "31.5 lbf slack",
        "61.8 lbf tight",
    ]
    assert view.likely.get_xdata()[0] == pytest.approx(stage.margin)
    assert view.band.get_xdata().tolist() == pytest.approx([stage.margin_bad, stage.margin])
    hub = np.hypot(*stage.hub.T).max() / LBF
    assert f"{hub:.1f} lbf" in view.describe() and "of 10000 trials" in view.describe()
    texts = "\n".join(t.get_text() for t in view.pulls)
    assert f"{hub:.1f} lbf" in texts and texts.count("slips first") == 1


def test_the_record_gets_a_picture_and_a_tag_a_stage():
    results = work_up(build_of(TWO_BELTS))
    titles = [title for title, _, _ in draw(results.chapters["grip"], results)]
    assert titles == [
        "first belt, tensions and hub loads",
        "first belt, tension tag for inside the guard",
        "second belts, tensions and hub loads",
        "second belts, tension tag for inside the guard",
    ]


def test_a_tag_holds_what_it_can_and_refuses_more():
    view = TagView("tag-test")
    view.draw(TagPicture("belt", "a build", (("Belts", "2 × A75"), ("Force", "3 lbf " * 30)), True))
    assert "Belts: 2 × A75" in view.describe()
    assert all(t.get_text().count("\n") <= 1 for t in view.amounts)
    with pytest.raises(ValueError, match="lines"):
        view.draw(TagPicture("belt", "a build", (("x", "y"),) * 11, True))


def test_a_build_without_belts_has_no_panel():
    with pytest.raises(ValueError, match="no belt stage"):
        grip_panel(load("rotor_bearings"))
    with pytest.raises(ValueError, match="no belt stage is called 'nothing'"):
        grip_panel(load("drum_mixer"), "nothing")


def test_the_panel_moves_keeps_its_state_and_forgets_the_measured():
    panel = grip_panel(build_of(TWO_BELTS), "second belts")
    panel.set("stage[second belts].takeup.static_tension", "60 lbf")
    assert panel.outcome.picture.stage.margin == pytest.approx(1.45, rel=0.05)  # by the two-pulley formula
    panel.set(FORCE, "4 lbf")
    assert FORCE not in panel.build.values
    panel.set("stage[second belts].takeup.static_tension", "tight")
    assert panel.outcome.picture.stage.margin == pytest.approx(1.45, rel=0.05)
    assert panel.state.troubles


def test_the_name_of_a_pulley_is_in_it_or_beside_it_never_across_its_rim():
    """The start page calls them so; measured by what the plotting library draws."""
    text = find(DEMO).read_text(encoding="utf-8")
    for short, long in {"E": "driver pulley", "J": "driven pulley"}.items():
        text = text.replace(f'"{short}"', f'"{long}"')
    build = parse(text.encode(), file="long.toml")
    for changes in ({}, {"stage[crank belts].takeup.slack_tension": ""}):
        picture = picture_of(work_up(build.with_values(changes), ("grip",)), "crank belts")
        view = GripView("names", picture)
        view.draw(picture)
        view.vectors()
        for one in (view, view._twin):
            FigureCanvasAgg(one.figure).draw()
            (x0, y0), (x1, _) = one.axes.transData.transform([(0.0, 0.0), (1.0, 0.0)])
            for name, centre, rim in zip(one.names, picture.centres * (x1 - x0) + (x0, y0), picture.rim, strict=True):
                box = np.array(name.get_window_extent()) - centre
                nearest = np.hypot(*np.maximum(np.maximum(box[0], -box[1]), 0.0))
                farthest = np.hypot(*np.abs(box).max(0))
                rim = rim * (x1 - x0)
                assert nearest >= rim - 1.0 or farthest <= rim, (name.get_text(), one.name, changes)
