"""A part's form on the start page: several values at once, all or nothing, each wrong one told at its field."""

import re

import pytest
from jackshaft.buildfile import DEMO, describe, load
from jackshaft.buildfile.entries import entered
from jackshaft.buildfile.schema import walk
from jackshaft.start import filling
from jackshaft.start.filling import Entry
from jackshaft.start.finding import find
from jackshaft.start.forms import StartForms
from jackshaft.start.usual import USUAL


@pytest.fixture(autouse=True)
def on_a_copy(own_data, monkeypatch):
    monkeypatch.delenv("JACKSHAFT_BUILD", raising=False)


def press(forms):
    forms._filling._row.children[0].click()
    return tuple(re.sub("<.*?>", "", w.value) for w in (forms._filling.result, forms._filling.alert))


def test_every_usual_key_is_in_the_schema():
    sections = dict(walk())
    assert not [(path, n) for path, names in USUAL.items() for n in names if n not in sections[path].names]
    assert all(len(set(names)) == len(names) for names in USUAL.values())


def test_several_values_are_kept_at_once_or_none_of_them():
    forms = StartForms(load(DEMO))
    sheet, before = forms.sheet, load(DEMO).text
    sheet.pick("engine", "engine.side_load_limit")
    sheet._rows["engine.rated_power"].entry = Entry("14 rpm", "plate")
    sheet._rows["engine.cylinders"].entry = Entry("two")
    sheet._rows["engine.side_load_limit"].entry = Entry("150 lbf", "plate", "manual")
    said, alert = press(forms)
    wrong = {key for key, row in sheet._rows.items() if row._wrong}
    assert wrong == {"engine.rated_power", "engine.cylinders"} and said == ""
    assert "rated power" in alert and "cylinders" in alert and load(DEMO).text == before
    assert len(sheet.entries) == 3
    # another part is looked at meanwhile; what was typed is still there
    sheet.pick("work")
    sheet.pick("engine")
    assert len(sheet.entries) == 3
    sheet._rows["engine.rated_power"].entry = Entry("14 hp", "plate")
    sheet._rows["engine.cylinders"].entry = Entry("2")
    said, alert = press(forms)
    build = load(DEMO)
    assert f"{DEMO}.toml" in said and "3 values" in said, alert
    limit = build.get("engine.side_load_limit")
    assert (limit.text, limit.known) == ("150 lbf", "plate, manual")
    assert build.get("engine.cylinders") == 2 and build.get("engine.rated_power").text == "14 hp"
    assert sheet.entries == {} and not any(row._wrong for row in sheet._rows.values())
    assert "now 14 hp" in sheet._rows["engine.rated_power"]._echo.value.replace("<strong>", "")


@pytest.mark.parametrize(
    ("word", "key"),
    [
        ("spark", "circuit.suppression"),
        ("sheave", "stage[crank belts].pulley[E].diameter"),
        ("set screw", "shaft[jackshaft].joint[pulley key].screw"),
        ("Governor", "engine.full_speed"),
        ("jackshaft diameter", "shaft[jackshaft].diameter"),
        ("kill switches", "circuit.interlock[hand switch].kind"),
    ],
)
def test_a_field_is_found_by_a_word_of_the_trade(word, key):
    hits = find(load(DEMO), word)
    assert hits[0].key == key
    assert all(describe(hit.key) for hit in hits if hit.key)


def test_what_was_found_is_laid_out_or_its_part_is_asked_for():
    forms = StartForms(load(DEMO))
    sheet = forms.sheet
    sheet.word.value = "side load"
    sheet.found.children[0].click()
    assert sheet.at == "engine" and sheet._rows["engine.side_load_limit"].widget in sheet._within.children
    sheet.word.value = "no such thing"
    assert "no such thing" in sheet.found.children[0].value
    # a list without parts leads to the form that adds one, and from there to the new part
    sheet.word.value = "snap ring"
    sheet.found.children[0].click()
    assert forms.kind.value == "shaft[jackshaft].feature"
    forms.part.value = "snap ring groove"
    form = next(f for f in forms.forms if "Add a part" in f.head.value)
    form._row.children[0].click()
    assert sheet.at == "shaft[jackshaft].feature[snap ring groove]"
    assert sheet.found.children[0].description == "kind: Shaft 'jackshaft', feature 'snap ring groove'"


def test_what_is_typed_follows_a_part_to_its_new_name():
    forms = StartForms(load(DEMO))
    sheet = forms.sheet
    sheet.pick("stage[crank belts].pulley[E]")
    sheet.pick(sheet.at, "stage[crank belts].pulley[E].weight")
    sheet._rows["stage[crank belts].pulley[E].weight"].entry = Entry("3 lb", "measured", "scale")
    forms.old.value, forms.new.value = "stage[crank belts]", "front belts"
    form = next(f for f in forms.forms if "Rename" in f.head.value)
    form._row.children[0].click()
    assert sheet.at == "stage[front belts].pulley[E]"
    assert sheet.entries == {"stage[front belts].pulley[E].weight": Entry("3 lb", "measured", "scale")}
    said, alert = press(forms)
    assert load(DEMO).get("stage[front belts].pulley[E].weight").text == "3 lb", alert


def test_the_form_asks_for_what_a_part_of_its_kind_has():
    """An engine that burns petrol has no phases, and a belt no teeth; another kind's fields come as it is picked."""
    forms = StartForms(load(DEMO))
    sheet = forms.sheet

    def asked():
        return {filling.name_of(k) for k in (*sheet._rows, *sheet._rest)} & {"phases", "idle speed", "links", "belts"}

    sheet.pick("engine")
    assert asked() == {"idle speed"}
    sheet.pick("stage[output chain]")
    assert asked() == {"links"}
    sheet.pick("engine")
    sheet._rows["engine.kind"].value.value = "electric motor"
    # the build says an idle speed, so it stays in sight until it is taken out
    assert asked() == {"phases", "idle speed"}
    sheet._turn()
    sheet._rows["engine.phases"].entry = Entry("3")
    sheet._rows["engine.kind"].value.value = ""
    assert "engine.phases" in sheet._rest and sheet.entries == {"engine.phases": Entry("3")}


@pytest.mark.parametrize(
    ("key", "typed", "written"),
    [
        ("wanted_life", "500", "500 h"),
        ("stage[crank belts].centres_toward", "-90", "-90 °"),
        ("work.diameter", "12", "12"),  # inches or millimetres: asked for
    ],
)
def test_a_bare_number_gets_its_unit_where_only_one_is_meant(key, typed, written):
    assert entered(load(DEMO), key, typed) == {key: written}
