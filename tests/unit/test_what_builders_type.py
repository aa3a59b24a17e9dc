"""What builders type in their own words: understood where it has one meaning, asked about in words where it has two."""

import math

import pytest
from jackshaft.buildfile import BuildProblems, describe, entered, load
from jackshaft.buildfile.values import take
from jackshaft.ui.model import Control, FieldError
from jackshaft.ui.model import take as in_panel
from jackshaft.units import Measure

DEMO = "feed_wagon_auger"
CENTRES = "stage[crank belts].centres"
RPM = math.pi / 30
SPEED = Control("engine.work_speed", "Speed", "1000 to 4000 rpm by 10")
LENGTH = Control("", "Span", "1 to 20 in by 1/8", kind="length", name="span", start="5 in")

#: key, text, the value in SI or the choice, how it is known
TYPED = [
    ("engine.work_speed", "3,600 rpm", 3600 * RPM, None),
    ("engine.work_speed", "about 1400 rpm", 1400 * RPM, "estimated"),
    ("engine.work_speed", "~1,400 r/min", 1400 * RPM, "estimated"),
    ("engine.rated_power", "ca. 5 kW", 5000.0, "estimated"),
    (CENTRES, "approx. 20-1/2 in", 20.5 * 0.0254, "estimated"),
    ("stage[crank belts].pulley[E].x", "0", 0.0, None),
    ("wanted_life", "600 h", 600 * 3600.0, None),
    ("wanted_life", "600", 600 * 3600.0, None),
    ("engine.kind", "gas engine", "petrol engine", None),
    ("engine.turns", "ccw", "counter-clockwise", None),
    ("engine.turns", "counterclockwise", "counter-clockwise", None),
    ("engine.seen_from", "shaft end", "facing the engine's output shaft", None),
    ("stage[crank belts].from", "crank", "engine", None),
]


@pytest.mark.parametrize(("key", "text", "wanted", "known"), TYPED, ids=[f"{k} {t}" for k, t, *_ in TYPED])
def test_it_is_understood(key, text, wanted, known):
    build = load(DEMO)
    ((kept, value),) = entered(build, key, text).items()
    got = take(describe(kept)[1], value, build.system)
    if isinstance(got, Measure):
        assert got.si == pytest.approx(wanted, rel=1e-12) and got.known == known
        # the file says it the same way
        again = take(describe(kept)[1], got.text, build.system)
        assert (again.si, again.known) == (got.si, known)
    else:
        assert got == wanted


@pytest.mark.parametrize(
    ("control", "text", "si", "known"),
    [
        (LENGTH, "3/4", 0.75 * 0.0254, None),
        (LENGTH, "0", 0.0, None),
        (LENGTH, "about 3/4", 0.75 * 0.0254, "estimated"),
        (SPEED, "3,600", 3600 * RPM, None),
        (SPEED, "around 3,600", 3600 * RPM, "estimated"),
    ],
)
def test_a_bare_number_is_in_the_unit_of_the_label(control, text, si, known):
    got = in_panel(control, text, "inch")
    assert got.value.si == pytest.approx(si, rel=1e-12) and got.value.known == known
    assert ("taken as an estimate" in got.notes) == (known is not None)
    # what is kept says the same without the label
    assert in_panel(control, got.kept, "inch").value.si == got.value.si


@pytest.mark.parametrize(
    ("key", "text", "words"),
    [
        ("engine.work_speed", "3,600 r/s", "3600 or as 3.600; write the one you mean"),
        (CENTRES, "20,500 mm", "20500 or as 20.500; write the one you mean"),
        (CENTRES, "3/4", "'3/4 in' or '3/4 mm'"),
        (CENTRES, "about", "such as '1-3/8 in'"),
        ("engine.work_speed", "quick", "such as '3600 rpm'"),
        ("engine.seen_from", "crank", "one of 'facing the engine's output shaft', 'from behind the engine'"),
    ],
)
def test_a_refusal_says_what_to_type(key, text, words):
    build = load(DEMO)
    with pytest.raises(BuildProblems) as told:
        build.with_values(entered(build, key, text))
    assert words in str(told.value)


def test_a_fraction_beside_a_label_in_millimetres_is_asked_about():
    with pytest.raises(FieldError, match="write the value with its unit"):
        in_panel(LENGTH, "3/4", "metric")


def test_what_is_said_of_how_it_is_known_holds_over_the_word_about():
    field = describe("engine.work_speed")[1]
    got = take(field, {"value": "about 1400 rpm", "known": "measured", "by": "a tachometer"}, "inch")
    assert got.known == "measured, a tachometer"
