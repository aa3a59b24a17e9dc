"""The form that works a value out from what one knows: read, reckoned, shown with its band, kept as an estimate."""

import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.start import estimating
from jackshaft.start.estimating import WAYS, NotWorkedOut, work_out
from jackshaft.start.work_out import WorkOutForms, stand_on
from jackshaft.units import OutOfRange, read

ENGINE, COUNTED, SOUND, FUEL, BRAKE, PULLEY = WAYS


@pytest.fixture
def build(own_data, monkeypatch):
    monkeypatch.delenv("JACKSHAFT_BUILD", raising=False)
    return load(DEMO)


@pytest.mark.parametrize(
    ("way", "typed", "likely"),
    [
        # 3600 r/min and four strokes: 30 strokes of 0.7 MPa a second
        (ENGINE, {"displacement": "200 cc", "speed": "3,600", "strokes": 4, "fuel": "petrol"}, 4200.0),
        (ENGINE, {"bore": "100 mm", "stroke": "100 mm", "speed": "1800", "strokes": 4, "fuel": "diesel"}, 6479.5),
        (COUNTED, {"turns": "50", "time": "10"}, 31.4159),
        (SOUND, {"tone": "about 30", "strokes": 2}, 188.496),
        (FUEL, {"burnt": "1 L", "time": "1 h", "fuel": "petrol"}, 1000 * 745 / 380),
        (BRAKE, {"force": "100 N", "radius": "1 m", "speed": "60"}, 628.319),
        (PULLEY, {"rim": "18.0642", "groove_width": "0.64"}, 5.75 * 0.0254),
    ],
)
def test_what_is_typed_is_read_in_the_units_of_the_labels(way, typed, likely):
    got = work_out(way, typed, "inch")
    assert got.likely == pytest.approx(likely, rel=1e-4) and got.low < got.likely < got.high


@pytest.mark.parametrize(
    ("way", "typed", "words"),
    [
        (COUNTED, {"turns": "50"}, "In a time of: nothing typed. Wanted: such as 10 s"),
        (COUNTED, {"turns": "fifty", "time": "10"}, "Turns counted: 'fifty'"),
        (ENGINE, {"speed": "3600", "bore": "68 mm"}, "the displacement, or both bore and stroke"),
        (SOUND, {"tone": "30", "cylinders": "two", "strokes": 4}, "Cylinders that fire evenly: found 'two'"),
        (PULLEY, {"rim": "18", "groove_width": "3"}, "no groove of the tables"),
        (
            ENGINE,
            {"displacement": "300 cc", "bore": "68 mm", "stroke": "54 mm", "speed": "3600"},
            "bore and stroke make",
        ),
    ],
)
def test_a_refusal_names_the_field_and_what_is_wanted(way, typed, words):
    with pytest.raises(NotWorkedOut) as told:
        work_out(way, typed | {"strokes": 4, "fuel": "petrol"} if way is ENGINE else typed, "inch")
    assert words in str(told.value)


def test_what_the_formula_refuses_is_said():
    with pytest.raises(OutOfRange, match="diesel engine of two strokes"):
        work_out(ENGINE, {"displacement": "200 cc", "speed": "3600", "strokes": 2, "fuel": "diesel"}, "inch")


def test_every_way_has_a_place_in_a_build(build):
    kinds = {ENGINE: "power", FUEL: "power", BRAKE: "power", PULLEY: "length"}
    for way in WAYS:
        worked = estimating.Worked(kinds.get(way, "rotation"), 1.0, 0.9, 1.1)
        assert estimating.places(build, way, worked), way.title


def test_it_is_shown_with_its_band_and_kept_as_an_estimate(build):
    forms = WorkOutForms(build)
    forms.way.value = WAYS.index(PULLEY)
    forms.fields["rim"].value, forms.fields["groove_width"].value = "18.0642", "0.64"
    form = forms._form()[0]
    form.run(forms._work)
    assert "5.750 in, between 5.725 in and 5.775 in" in form.result.value and "Belt B, BX" in forms._lines.value
    # several pulleys: none is written unasked
    forms._write.run(forms._keep)
    assert "none picked" in forms._write.alert.value
    at = "stage[crank belts].pulley[E]"
    forms.key.value = f"{at}.diameter"
    assert "the build says" in forms._now.value
    forms._write.run(forms._keep)
    assert build.name in forms._write.result.value.replace("&#x27;", "'")
    kept = load(DEMO)
    size = kept.get(f"{at}.diameter")
    assert size.si == pytest.approx(5.75 * 0.0254, abs=1e-5) and size.known == "estimated, pulley without marks"
    # a string that is 2 mm out: 2 mm over pi
    assert size.plus_minus == pytest.approx(2e-3 / 3.14159, rel=0.01)
    assert kept.get(f"{at}.measured_as") == "outside"


def test_it_writes_into_the_build_that_was_opened_since(build):
    forms = WorkOutForms(build)
    stand_on(build.with_values({"name": "Another"}))
    assert "Another" in forms.head.value and forms.worked is None


def test_its_labels_show_units_that_are_read():
    for way in WAYS:
        for ask in way.asks:
            for system in ("inch", "metric"):
                if ask.unit(system):
                    assert read(f"1 {ask.unit(system)}", ask.kind).si > 0
