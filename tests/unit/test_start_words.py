"""What is typed on a form: choices by their trade words, names in any capitals, and refusals in a form's own words."""

import re

import pytest
from jackshaft.buildfile import DEMO, BuildProblems, entered, load
from jackshaft.buildfile.schema import walk
from jackshaft.buildfile.trade_words import CALLED, meant, names_of, plain
from jackshaft.start import controller as desk
from jackshaft.start.forms import StartForms

CHOICES = [(f"{path}.{f.name}", f) for path, section in walk() for f in section.fields if f.choices]


@pytest.fixture(autouse=True)
def on_a_copy(own_data, monkeypatch):
    monkeypatch.delenv("JACKSHAFT_BUILD", raising=False)


@pytest.mark.parametrize(("key", "field"), CHOICES, ids=[k for k, _ in CHOICES])
def test_no_trade_word_means_two_choices_of_one_field_or_hides_one(key, field):
    for choice in field.choices:
        assert meant(field, choice) == choice
        assert meant(field, f" {choice.upper()}. ") == choice
        assert meant(field, choice.replace(" ", "-")) == choice
    given = [plain(w) for c in field.choices for w in CALLED.get(c, ())]
    lost = {w for w in given if w not in names_of(field)}
    # the engine's shaft end or the work's own: that is asked about
    lost -= {"facing shaft", "from shaft end", "shaft end"} if key == "work.seen_from" else set()
    assert not lost, f"{key}: {lost} mean two choices"


def test_every_trade_word_belongs_to_a_choice_that_there_is():
    assert set(CALLED) <= {c for _, f in CHOICES for c in f.choices}


@pytest.mark.parametrize(
    ("key", "text", "wanted"),
    [
        ("engine.turns", "CCW", "counter-clockwise"),
        ("engine.turns", "ccw", "counter-clockwise"),
        ("engine.turns", "Anti-clockwise", "counter-clockwise"),
        ("engine.turns", "counter clockwise", "counter-clockwise"),
        ("engine.turns", "Clockwise", "clockwise"),
        ("engine.kind", "gas engine", "petrol engine"),
        ("engine.kind", "Gasoline", "petrol engine"),
        ("engine.kind", "a diesel", "diesel engine"),
        ("engine.seen_from", "facing the shaft", "facing the engine's output shaft"),
        ("stage[crank belts].kind", "V-belt", "belt"),
        ("stage[crank belts].pulley[E].material", "aluminum", "aluminium"),
        ("stage[crank belts].pulley[E].measured_as", "OD", "outside"),
        ("stage[crank belts].takeup.kind", "spring-loaded idler", "sprung idler"),
        ("stage[crank belts].takeup.kind", "motor rails", "adjustable centres"),
        ("work.load_class", "moderate shock", "medium shock"),
        ("stage[crank belts].to", "Jackshaft", "jackshaft"),
        ("stage[crank belts].from", "ENGINE", "engine"),
        ("stage[crank belts].section", "b", "B"),
        ("circuit.engine_space", "Y", True),
        ("circuit.bundled", " 3 ", 3),
    ],
)
def test_a_choice_is_known_by_what_the_trade_calls_it(key, text, wanted):
    assert entered(load(DEMO), key, text) == {key: wanted}


@pytest.mark.parametrize(
    ("text", "turns", "side"),
    [
        ("clockwise facing shaft", "clockwise", "facing the engine's output shaft"),
        ("CCW, facing the shaft", "counter-clockwise", "facing the engine's output shaft"),
        ("counter clockwise seen from behind", "counter-clockwise", "from behind the engine"),
    ],
)
def test_a_turn_with_its_side_writes_both(text, turns, side):
    kept, words = desk.write_down(load(DEMO), "engine.turns", text)
    assert (kept.get("engine.turns"), kept.get("engine.seen_from")) == (turns, side)
    assert turns in words and side in words


@pytest.mark.parametrize("text", ["clockwise facing north", "sideways", "clockwise counter-clockwise"])
def test_a_turn_that_is_not_understood_is_refused(text):
    with pytest.raises(BuildProblems, match="wanted one of 'clockwise'"):
        desk.write_down(load(DEMO), "engine.turns", text)


@pytest.mark.parametrize(
    ("key", "text", "words"),
    [
        ("circuit.engine_space", "perhaps", "wanted yes or no"),
        ("engine.cylinders", "two", "wanted a whole number, 1 to 16"),
        ("engine.cylinders", "-1", "wanted a whole number, 1 to 16"),
        ("hours_a_year", "10 years", "'150 h'"),
        ("wanted_life", "10 years", "10 years of 200 h each are 2000 h"),
        ("work.shaft", "nowhere", "wanted the name of a shaft ("),
        ("stage[crank belts].from", "nowhere", "wanted the name of the engine or a shaft ("),
        ("stage[crank belts].driver", "nowhere", "wanted the name of a pulley of this stage ("),
    ],
)
def test_a_refusal_says_what_a_form_can_take(key, text, words):
    with pytest.raises(BuildProblems) as refused:
        desk.write_down(load(DEMO), key, text)
    assert words in str(refused.value) and "quotes" not in str(refused.value)


def test_what_was_kept_is_told_as_it_was_read():
    _, words = desk.write_down(load(DEMO), "engine.idle_speed", "1700 rpm.")
    assert re.match(r"Kept idle speed \(engine\): 1700 rpm( \(chosen\))?\. ", words) and ".." not in words
    _, words = desk.write_down(load(DEMO), "engine.shaft_diameter", "1-1/8 in", "measured", "calipers")
    # 1.125 in x 25.4
    assert re.match(r"Kept .*: 1-1/8 in, read as 1\.1250? in \(28\.575? mm\) \(measured, calipers\)\. ", words), words


def test_how_it_is_known_is_cleared_with_the_value_and_stays_where_it_was_refused():
    forms = StartForms(load(DEMO))
    boxes = forms.value, forms.how, forms.by
    forms.key.value = "engine.side_load_limit"
    forms.value.value, forms.how.value, forms.by.value = "150 rpm", "measured", "calipers"
    forms._writing.run(forms._write_down)
    assert "force" in forms._writing.alert.value and [b.value for b in boxes] == ["150 rpm", "measured", "calipers"]
    forms.value.value = "150 lbf"
    forms._writing.run(forms._write_down)
    assert [b.value for b in boxes] == ["", "", ""]
    assert load(DEMO).get("engine.side_load_limit").known == "measured, calipers"
