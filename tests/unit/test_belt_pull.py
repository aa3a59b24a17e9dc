"""What one belt stands: its pull against what it breaks at, its life where no method covers it, and small idlers.

Seen: a pull of 4000 lbf on two belts of section A was go in every check but the life, and for SPA in that too; an idler
of 1.4 in on the back was a caution.
"""

import math

import pytest
from builders import check_of
from jackshaft import tables
from jackshaft.buildfile import DEMO, load
from jackshaft.chapters.grip.pull import breaking_pull
from jackshaft.mechanics import belts
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.results.proving import applied, prove
from jackshaft.units import read

AT = "stage[crank belts]"
PULL, LIFE, IDLERS = (f"{id}[crank belts]" for id in ("grip.pull", "capacity.life", "capacity.idlers"))
SPA = {f"{AT}.section": "SPA", f"{AT}.series": "metric", f"{AT}.marked": "SPA1600"}
#: K of section A in the fatigue law, lbf: Shigley's Mechanical Engineering Design, ch. 17.
K_OF_A, EXPONENT = 674.0, 11.089
LBF = 4.4482216152605


def worked(**values):
    """Return the demo build with keys below its belt stage changed."""
    return work_up(load(DEMO).with_values({f"{AT}.{k.replace('__', '.')}": v for k, v in values.items()}))


def tight(text, **more):
    return worked(takeup__slack_tension=text, **more)


@pytest.mark.parametrize("section", ["A", "B", "C", "D"])
def test_the_area_of_a_section_gives_what_its_own_constants_give(section):
    """A trapezoid with sides at 20 degrees, times 37 N/mm2, against the printed K in lbf."""
    belt = belts.section(section, "inch")
    area = belt.height * (belt.top_width - belt.height * math.tan(math.radians(20)))
    printed = tables.table("belt_fatigue").one(section=section)["k_lbf"] * LBF
    assert 37e6 * area == pytest.approx(printed, rel=0.08)
    assert breaking_pull(belt)[0] == pytest.approx(printed, rel=1e-9)
    twin = belt._replace(name="without constants")
    assert breaking_pull(twin)[0] == pytest.approx(37e6 * area, rel=1e-9)


def test_belts_without_constants_break_as_their_like_do():
    """SPZ is the metric 3V, SPB the metric 5V (ISO 4184, ISO 5290); the area gives less, which is the safe side."""
    for metric, inch in (("SPZ", "3V"), ("SPB", "5V")):
        own, like = (breaking_pull(belts.section(n))[0] for n in (metric, inch))
        assert 0.5 * like < own < like
    assert breaking_pull(belts.section("4L"))[0] == pytest.approx(K_OF_A * LBF, rel=1e-6)


@pytest.mark.parametrize(("share", "least", "most"), [(0.2, 100, 1000), (0.3, 1, 10), (0.4, 0.05, 1)])
def test_the_shares_mean_what_the_check_says_of_them(share, least, most):
    """Passes (K/T)**b a pulley, a belt of 1.6 m at 20 m/s over two pulleys, no bending."""
    hours = (1 / share) ** EXPONENT / 2 * 1.6 / 20 / 3600
    assert least < hours < most


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("44 lbf", GO),
        ("200 lbf", GO),
        (f"{2 * 0.2 * K_OF_A:.0f} lbf", CAUTION),
        (f"{2 * 0.2 * K_OF_A * LBF:.0f} N", CAUTION),
        (f"{2 * 0.31 * K_OF_A:.0f} lbf", STOP),
        ("4000 lbf", STOP),
        ("18 kN", STOP),
    ],
)
def test_a_pull_past_what_a_belt_carries_is_no_go(text, verdict):
    """Two belts share the spring's pull; the work puts its own on top in the tight strand."""
    assert check_of(tight(text), PULL).verdict == verdict


@pytest.mark.parametrize("section", [SPA, {f"{AT}.section": "AX", f"{AT}.marked": "AX60"}])
def test_so_it_is_for_a_section_without_constants(section):
    build = load(DEMO).with_values(section)
    assert check_of(work_up(build), PULL).verdict == GO
    hard = work_up(build.with_values({f"{AT}.takeup.slack_tension": "4000 lbf"}))
    assert check_of(hard, PULL).verdict == STOP


def test_locked_centres_are_judged_at_rest_and_at_the_high_end():
    """A tension set by hand may be a quarter more: 0.18 of what it breaks at is go by itself, and not with that."""
    kind = {"takeup__kind": "fixed idler", "takeup__slack_tension": ""}
    for share, verdict in ((0.1, GO), (0.18, CAUTION), (0.45, STOP)):
        found = check_of(worked(takeup__static_tension=f"{share * K_OF_A:.1f} lbf", **kind), PULL)
        assert found.verdict == verdict, (share, found)


def test_less_tension_is_the_cure_and_does_what_it_says():
    results = tight("500 lbf")
    cure = next(c for c in prove(results, PULL) if set(c.changes) == {f"{AT}.takeup.slack_tension"})
    after = work_up(applied(results.build, cure.changes))
    assert check_of(after, PULL).verdict == cure.verdict_after == GO
    assert check_of(after, "grip.margin[crank belts]").verdict == GO


def test_a_life_that_no_method_covers_is_said():
    found = check_of(work_up(load(DEMO).with_values(SPA)), LIFE)
    assert found.verdict == UNDECIDED and found.missing == () and "section SPA" in found.reason
    # the constants of A hold from 3 in of pitch diameter up (Shigley, ch. 17)
    small = check_of(work_up(load(DEMO).with_values({f"{AT}.pulley[E].diameter": "2.7 in"})), LIFE)
    assert small.verdict == UNDECIDED and "3.00 in" in small.reason


def test_a_life_without_a_tension_names_the_tension():
    found = check_of(worked(takeup__slack_tension=""), LIFE)
    assert found.verdict == UNDECIDED and found.missing == (f"{AT}.takeup.slack_tension",)


@pytest.mark.parametrize(
    ("size", "verdict"),
    [("7 in", GO), ("5 in", CAUTION), ("1.75 in", CAUTION), ("1.65 in", STOP), ("1.4 in", STOP), ("42 mm", STOP)],
)
def test_an_idler_on_the_back_that_cracks_the_belt_is_a_stop(size, verdict):
    """The least on the back for A is 4.25 in (trade practice); four tenths of it are 1.7 in."""
    assert _idler(size, "A", -1).verdict == verdict


@pytest.mark.parametrize(
    ("size", "verdict"), [("4.5 in", CAUTION), ("1.2 in", CAUTION), ("1 in", STOP), ("25 mm", STOP)]
)
def test_so_it_is_for_one_inside(size, verdict):
    """The least inside for A is 2.75 in; four tenths of it are 1.1 in."""
    assert _idler(size, "A", 1).verdict == verdict


def _idler(size, section, side):
    """Return the check of an idler that presses the lower strand by half an inch, from outside (-1) or inside (1)."""
    key, radius = f"{AT}.pulley[I]", read(size, "length").si / 2
    line = -1.2 * 0.0254 if side < 0 else -3.2 * 0.0254
    changes = {
        f"{key}.diameter": size,
        f"{key}.y": f"{(line + side * radius) * 1e3:.3f} mm",
        f"{key}.side": "outside" if side < 0 else "inside",
    }
    return check_of(work_up(load(DEMO).with_values(changes)), IDLERS)
