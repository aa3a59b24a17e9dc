"""What is judged of a loop is what can exist: the belt that is on puts the take-up where it stands."""

import numpy as np
import pytest
from builders import check_of, data
from jackshaft.buildfile import DEMO, edited, load, parse
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED

INCH = 0.0254
STAGE, AT = "crank belts", "stage[crank belts]"
LENGTH, TAKE_UP = f"layout.length[{STAGE}]", f"layout.take-up[{STAGE}]"


def with_(**changes):
    return load(DEMO).with_values({f"{AT}.{k.replace('__', '.')}": v for k, v in changes.items()})


def pair(**changes):
    """Two A pulleys, 4 and 12 in on the cord line, 20 in apart; the loop is a closed form."""
    text = """
    schema = 1
    name = "pair"
    shown_in = "inch"
    [[stage]]
    name = "belt"
    kind = "belt"
    section = "A"
    series = "inch"
    driver = "small"
    driven = "large"
    centres = "20 in"
    [[stage.pulley]]
    name = "small"
    diameter = "4 in"
    measured_as = "pitch"
    [[stage.pulley]]
    name = "large"
    diameter = "12 in"
    measured_as = "pitch"
    """.replace("\n    ", "\n")
    build = parse(text.encode(), file="pair.toml")
    return build.with_values({f"stage[belt].{k.replace('__', '.')}": v for k, v in changes.items()})


def pitch_path(centres):
    """The two-pulley loop in inches, by its tangents: 4 and 12 in."""
    lean = np.arcsin(4 / centres)
    return 2 * centres * np.cos(lean) + 2 * (np.pi - 2 * lean) + 6 * (np.pi + 2 * lean)


def test_a_belt_that_fits_as_drawn_leaves_the_loop_as_drawn():
    layout = data(work_up(load(DEMO), ("layout",)), "layout", STAGE)
    assert layout.fits is True and layout.drawn is None and layout.places.x[1] == pytest.approx(7.0 * INCH)


def test_a_longer_belt_puts_the_idler_where_it_fits_and_all_is_judged_there():
    results = work_up(with_(marked="A61"), ("grip",))
    layout = data(results, "layout", STAGE)
    assert layout.fits is True and layout.drawn is not None
    assert layout.path.length == pytest.approx(layout.chosen.pitch_length, abs=1e-7)
    assert np.hypot(*(layout.places.x[1] - 13 * INCH, layout.places.y[1] + 6 * INCH)) == pytest.approx(
        np.hypot(6.0, 3.12) * INCH
    )
    # the same by hand: the idler drawn there
    at = {
        f"{AT}.pulley[I].{c}": f"{v / INCH:.8f} in"
        for c, v in zip("xy", (layout.chosen.x, layout.chosen.y), strict=True)
    }
    drawn = data(work_up(with_(marked="A61").with_values(at), ("grip",)), "layout", STAGE)
    assert drawn.drawn is None and np.allclose(drawn.path.wrap, layout.path.wrap, atol=1e-6)
    assert drawn.least_gap == pytest.approx(layout.least_gap, abs=1e-7)
    assert check_of(results, LENGTH).verdict == GO and "A61" in check_of(results, f"layout.wrap[{STAGE}]").reason


def test_a_belt_out_of_reach_does_not_fit_and_says_so_in_the_data():
    results = work_up(with_(marked="A75"), ("layout",))
    assert data(results, "layout", STAGE).fits is False and check_of(results, LENGTH).verdict == STOP


def test_no_belt_chosen_is_not_known():
    assert data(work_up(with_(marked=""), ("layout",)), "layout", STAGE).fits is None


@pytest.mark.parametrize(
    ("takeup", "missing"),
    [
        ({}, ("takeup.kind",)),
        ({"kind": "adjustable centres"}, ("takeup.travel_out",)),
        ({"kind": "adjustable centres", "travel_out": "0 in"}, ()),
        ({"kind": "adjustable centres", "travel_out": "1 in"}, ()),
    ],
)
def test_a_travel_that_nobody_wrote_down_is_not_known_and_not_nought(takeup, missing):
    """A68 is 70.085 in on the cord line, the loop 66.75 in: 1.7 in more centres, which 1 in does not give."""
    build = pair(marked="A68", **{f"takeup__{k}": v for k, v in takeup.items()})
    results = work_up(build, ("layout",))
    check, layout = check_of(results, "layout.length[belt]"), data(results, "layout", "belt")
    assert pitch_path(20) < 70.085 - 1
    assert check.missing == tuple(f"stage[belt].{m}" for m in missing)
    assert (check.verdict, layout.fits) == ((UNDECIDED, None) if missing else (STOP, False))


def test_centres_that_can_open_are_judged_where_the_belt_puts_them():
    build = pair(marked="A68", takeup__kind="adjustable centres", takeup__travel_out="3 in")
    results = work_up(build, ("layout",))
    layout = data(results, "layout", "belt")
    assert check_of(results, "layout.length[belt]").verdict == GO and layout.drawn is not None
    # A68: 68 + 1.3 + pi x 0.25 in
    assert pitch_path(layout.centres / INCH) == pytest.approx(69.3 + np.pi * 0.25, abs=0.02)


def test_a_hundredth_of_an_inch_is_no_misfit():
    """Seen wrong: 'B71 is 0 in (0.01 in) shorter than the path, more than the take-up can make up'."""
    near = pair(marked="A65", centres="20.15 in")
    target = 65 + 1.3 + np.pi * 0.25
    centres = 20.15 + (target + 0.01 - pitch_path(20.15)) / 2
    check = check_of(
        work_up(near.with_values({"stage[belt].centres": f"{centres:.4f} in"}), ("layout",)), "layout.length[belt]"
    )
    assert check.verdict == GO and " 0 in" not in check.reason


def test_a_belt_shorter_than_its_pulleys_touching_is_a_stop_without_a_travel():
    """4 and 12 in touching: 2 sqrt(64 - 16) + ... = 43.2 in; A38 is 40.1 in."""
    results = work_up(pair(marked="A38"), ("layout",))
    assert (
        pitch_path(8) == pytest.approx(13.856 + 2 * (2 / 3) * np.pi + 6 * (4 / 3) * np.pi, abs=0.01)
        and pitch_path(8) > 40.1
    )
    check = check_of(results, "layout.length[belt]")
    assert check.verdict == STOP and "No centres make it fit" in check.reason


# -- the idler followed while the belt stretches ----------------------------------------------------


def test_the_idler_follows_the_belt_as_a_plain_sweep_does():
    """Against the loop's length at 20,000 angles of the arm."""
    from jackshaft.chapters.layout.arm import follow
    from jackshaft.mechanics import path
    from jackshaft.results import Reader

    build = load(DEMO)
    layout = data(work_up(build, ("layout",)), "layout", STAGE)
    ways = follow(Reader(build), layout)
    ax, ay = layout.places.x[1] - 13 * INCH, layout.places.y[1] + 6 * INCH
    turn = -np.linspace(0, 0.6, 20_001)
    x, y = np.tile(layout.places.x, (20_001, 1)), np.tile(layout.places.y, (20_001, 1))
    x[:, 1] = 13 * INCH + ax * np.cos(turn) - ay * np.sin(turn)
    y[:, 1] = -6 * INCH + ax * np.sin(turn) + ay * np.cos(turn)
    swept = path.path_si(x, y, layout.pulleys.pitch, layout.pulleys.inside, layout.ccw)
    k = int(np.argmax(swept.length >= 1.015 * swept.length[0]))
    assert ways.way == -1 and ways.ends == ""
    assert ways.travel == pytest.approx(-turn[k] * np.hypot(ax, ay), rel=1e-3)
    assert ways.wrap == pytest.approx(swept.wrap[k], abs=1e-3)
    assert check_of(work_up(build, ("layout",)), TAKE_UP).verdict == GO


def test_an_arm_near_dead_centre_is_a_stop():
    """The pivot straight behind the idler on the line of its push: the arm moves along the strand and gains nothing."""
    layout = data(work_up(load(DEMO), ("layout",)), "layout", STAGE)
    push = np.array([layout.path.ux[0] - layout.path.ux[1], layout.path.uy[0] - layout.path.uy[1]])
    push /= np.hypot(*push)
    spot = np.array([7.0, -2.88]) - 6.76 * push
    build = with_(takeup__pivot_x=f"{spot[0]:.4f} in", takeup__pivot_y=f"{spot[1]:.4f} in")
    check = check_of(work_up(build, ("layout",)), TAKE_UP)
    assert check.verdict == STOP and "dead centre" in check.reason


def test_a_sprung_idler_without_its_pivot_is_undecided_by_the_pivot():
    """Seen wrong: a stop, 'more than the take-up can make up', for a travel that nobody wrote down."""
    results = work_up(with_(marked="A61", takeup__pivot_x="", takeup__pivot_y=""), ("layout",))
    keys = (f"{AT}.takeup.pivot_x", f"{AT}.takeup.pivot_y")
    assert [(check_of(results, i).verdict, check_of(results, i).missing) for i in (LENGTH, TAKE_UP)] == [
        (UNDECIDED, keys)
    ] * 2
    half = work_up(with_(marked="A61", takeup__pivot_x=""), ("layout",))
    assert check_of(half, LENGTH).missing == keys[:1]


def test_a_slot_that_ends_too_soon_is_a_caution():
    layout = data(work_up(load(DEMO), ("layout",)), "layout", STAGE)
    push = np.array([layout.path.ux[0] - layout.path.ux[1], layout.path.uy[0] - layout.path.uy[1]])
    spot = np.array([7.0, -2.88]) + 0.5 * push / np.hypot(*push)
    none = {"takeup__pivot_x": "", "takeup__pivot_y": ""}
    slot = {"takeup__slot_x": f"{spot[0]:.4f} in", "takeup__slot_y": f"{spot[1]:.4f} in"}
    check = check_of(work_up(with_(marked="", **none, **slot), ("layout",)), TAKE_UP)
    assert check.verdict == CAUTION and "slot ends" in check.reason


def test_every_inch_of_a_and_b_is_among_the_belts_that_are_sold():
    layout = data(
        work_up(pair(takeup__kind="adjustable centres", takeup__travel_out="3 in"), ("layout",)), "layout", "belt"
    )
    names = [s.designation for s in layout.stock if s.fits]
    least, most = 1.3 + np.pi * 0.25, 3
    wanted = {n for n in range(26, 129) if pitch_path(20) <= n + least <= pitch_path(20 + most)}
    assert wanted <= {int(n[1:]) for n in names} and len(wanted) >= 5


def test_bodies_do_not_hang_on_where_the_take_up_is_drawn():
    """A post where A61 puts the idler, clear of where it is drawn: a stop."""
    layout = data(work_up(with_(marked="A61"), ("layout",)), "layout", STAGE)
    x, y = layout.places.x[1] / INCH, layout.places.y[1] / INCH
    keys = {"name": "post", "x": f"{x - 0.2:.3f} in", "y": f"{y - 2.9:.3f} in", "diameter": "0.5 in"}
    text = edited(load(DEMO).text, {f"{AT}.body[post].{k}": v for k, v in keys.items()} | {f"{AT}.marked": "A61"})
    there = check_of(work_up(parse(text.encode(), file="post.toml"), ("layout",)), f"layout.clearance[{STAGE}]")
    assert there.verdict in (STOP, CAUTION) and "post" in there.reason
