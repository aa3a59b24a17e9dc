"""The forms of the start page, pressed in turn on a copy of the data: what they write, into which build, and say."""

import re

import pytest
from jackshaft.bench import open_build
from jackshaft.buildfile import DEMO, load, open_anyhow, previous_of
from jackshaft.results import work_up
from jackshaft.start import controller as desk
from jackshaft.start import parts as start_parts
from jackshaft.start.forms import StartForms


@pytest.fixture(autouse=True)
def on_a_copy(own_data, monkeypatch):
    monkeypatch.delenv("JACKSHAFT_BUILD", raising=False)


def title(form):
    return re.sub("<.*?>", "", form.head.value)


def form_of(forms, words):
    return next(f for f in forms.forms if title(f).startswith(words))


def shown(forms):
    by_widget = {f.widget: title(f) for f in forms.forms}
    return [by_widget[w] for w in forms.widget.children if w in by_widget]


def press(forms, words):
    """Press the button of these words; return (notice, alert) of its form as plain text."""
    for form in forms.forms:
        for button in form._row.children:
            if button.description == words:
                button.click()
                return tuple(re.sub("<.*?>", "", w.value).replace("&#x27;", "'") for w in (form.result, form.alert))
    raise AssertionError(f"no button says {words}")


def open_it(forms, name):
    """Press the button of a build's card; return what is said of it and the alert."""
    forms.cards.press(name)
    form = form_of(forms, "The builds")
    return tuple(re.sub("<.*?>", "", w.value).replace("&#x27;", "'") for w in (form.result, form.alert))


def write(forms, key, text, how="", by=""):
    forms.key.value, forms.value.value, forms.how.value, forms.by.value = key, text, how, by
    return press(forms, "Write it into the build")


# -- which build ---------------------------------------------------------------------------------------------------


def test_every_form_stands_on_a_build_that_was_just_made():
    forms = StartForms(load(DEMO))
    before = load(DEMO).text
    forms.name.value, forms.start.value = "Log splitter", desk.BLANK
    said, _ = press(forms, "Make it")
    assert "log_splitter.toml" in said and "At the bench: Log splitter" in forms.head.value
    # it says what to fill in next, has it laid out, and asks first for what a builder knows first
    assert said.endswith("Next in 'Fill in a part': Engine or motor.") and forms.sheet.at == "engine"
    asked = [words.partition(":")[0] for words, _ in forms.sheet.part.options]
    assert asked[1:3] == ["Engine or motor", "The work"] and asked.index("Clutch") < asked.index("Clutch circuit")
    said, _ = write(forms, "engine.idle_speed", "1700 rpm.")
    assert "in the build 'Log splitter' (log_splitter.toml)" in said
    forms.kind.value, forms.part.value = "shaft", "arbor"
    said, _ = press(forms, "Add it to the build")
    assert "log_splitter.toml" in said
    forms.absent.value = "shear_pin"
    press(forms, "There is none")
    made = load("log_splitter")
    assert made.get("engine.idle_speed").si and made.names("shaft") == ("arbor",) and made.is_none("shear_pin")
    assert load(DEMO).text == before
    # and back again
    said, _ = open_it(forms, DEMO)
    assert f"{DEMO}.toml" in said
    said, _ = write(forms, "engine.side_load_limit", "150 lbf")
    assert f"({DEMO}.toml)" in said and load(DEMO).get("engine.side_load_limit").text == "150 lbf"
    assert load("log_splitter").get("engine.side_load_limit") is None


def test_each_build_has_a_card_and_the_open_one_says_so():
    desk.new_build("Bare", desk.BLANK, "inch")
    (builds := load(DEMO).path.parent).joinpath("spoilt.toml").write_text('schema = 1\nname = "Spoilt"\nx = 1\n')
    forms = StartForms(load(DEMO))
    cards = forms.cards
    assert set(cards.names) == {p.stem for p in builds.glob("*.toml")}
    results = work_up(load(DEMO))
    assert results.verdict in cards.words(DEMO) and f"{len(results.wanted)} value" in cards.words(DEMO)
    assert [n for n in cards.names if "<em>is open</em>" in cards.words(n)] == [DEMO]
    assert "1 fault" in cards.words("spoilt") and "not worked up" in cards.words("bare")
    cards.work_up("bare")
    wanted = work_up(load("bare")).wanted
    assert f"Missing: {len(wanted)} value" in cards.words("bare")
    # what is written down counts on the card of its build
    open_it(forms, "bare")
    write(forms, "engine.kind", "petrol")
    assert wanted[0].key == "engine.kind" and wanted[0].words not in cards.words("bare")
    assert [n for n in cards.names if "<em>is open</em>" in cards.words(n)] == ["bare"]


def test_a_copy_is_offered_in_the_units_of_what_it_is_made_from():
    model = desk.new_build("Metric one", desk.BLANK, "metric")[0]
    forms = StartForms(load(DEMO))
    assert forms.units.value == "inch"
    forms.start.value = model.slug if model.slug in forms.start.options else DEMO
    assert forms.units.value == load(forms.start.value).system == "metric"
    forms.name.value, forms.units.value = "Inch one", "inch"
    press(forms, "Make it")
    assert load("inch_one").system == "inch"


def test_nothing_is_written_into_a_build_that_only_stands_in_for_another(monkeypatch):
    monkeypatch.setenv("JACKSHAFT_BUILD", "gone")
    bench = open_build()
    before = load(DEMO).path.read_bytes()
    forms = StartForms(bench.build)
    for said, alert in (
        write(forms, "engine.side_load_limit", "150 lbf"),
        (setattr(forms.part, "value", "x"), press(forms, "Add it to the build"))[1],
        press(forms, "There is none"),
        (setattr(forms.new, "value", "y"), press(forms, "Rename it"))[1],
    ):
        assert said == "" and ("Open or make a build" in alert or "values" in alert), alert
    panel = bench.panel("ratio")
    panel.set("engine.work_speed", "2500 rpm")
    panel.keep()
    assert "Open or make a build" in panel._alert.value
    assert load(DEMO).path.read_bytes() == before
    said, _ = open_it(forms, "drum_mixer")
    assert "JACKSHAFT_BUILD is set to 'gone'" in said
    said, _ = write(forms, "engine.side_load_limit", "150 lbf")
    assert "drum_mixer.toml" in said and load("drum_mixer").get("engine.side_load_limit").text == "150 lbf"


# -- what there is none of -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ["shear_pin", "driveline", "bearing", "circuit.load", "stage[crank belts].body"])
def test_a_chapter_or_list_is_said_to_be_none_and_that_is_taken_back(key):
    forms = StartForms(load(DEMO))
    forms.absent.value = key
    there = any(k.startswith((f"{key}.", f"{key}[")) for k in load(DEMO).values)
    if there:
        before = load(DEMO).text
        said, alert = press(forms, "There is none")
        assert said == "" and "values" in alert and load(DEMO).text == before
        forms.empty.value = True
    said, alert = press(forms, "There is none")
    assert "none" in said and f"{DEMO}.toml" in said, alert
    kept = load(DEMO)
    assert kept.is_none(key) and not kept.has(key)
    assert not [w.key for w in work_up(kept).wanted if w.key.startswith((f"{key}.", f"{key}["))]
    assert forms.empty.value is False
    said, alert = press(forms, "Take that back")
    assert load(DEMO).values.get(key) is None and not load(DEMO).is_none(key), alert
    assert press(forms, "Take that back")[1]


def test_what_leads_to_the_next_chapter_stays_when_one_is_said_to_be_none(own_data):
    path = own_data / "builds" / "small.toml"
    text = (
        'schema = 1\nname = "Small"\n\n# the engine\n[engine]\nkind = "petrol engine"\n\n# the pin\n[shear_pin]\n'
        'diameter = "1/4 in"  # thin\n\n# the bearings\n[[bearing]]\nname = "a"\n'
    )
    path.write_text(text, encoding="utf-8")
    kept, _ = start_parts.say_none(load("small"), "shear_pin", empty=True)
    assert "# the bearings" in kept.text and "# the engine" in kept.text and "# thin" not in kept.text
    assert kept.is_none("shear_pin") and kept.names("bearing") == ("a",)


def test_a_none_that_somebody_else_filled_meanwhile_is_asked_about():
    one = load("drum_mixer")
    assert not one.has("shear_pin")
    forms = StartForms(one)
    load("drum_mixer").save_values({"shear_pin.diameter": "1/4 in"})
    forms.absent.value = "shear_pin"
    press(forms, "There is none")
    form = form_of(forms, "Say what")
    assert form.ask.asking and load("drum_mixer").get("shear_pin.diameter")
    form.ask.press("theirs")
    assert load("drum_mixer").get("shear_pin.diameter") and "stays" in form.result.value


@pytest.mark.parametrize("key", ["circuit.fuse", "bearing[engine side].marking"])
def test_none_is_told_as_it_is_stored(key):
    build = load(DEMO)
    key = key if key.startswith("circuit") else f"bearing[{build.names('bearing')[0]}].marking"
    kept, words = desk.write_down(build, key, "None", "measured", "calipers")
    assert kept.is_none(key) and ": none, the machine has none." in words
    assert "the build says none" in desk.hint(kept, key)


def test_yes_and_no_are_told_as_such():
    for text, told in (("yes", "yes"), ("N", "no"), ("TRUE", "yes")):
        kept, words = desk.write_down(load(DEMO), "circuit.engine_space", text)
        assert f": {told}." in words and "True" not in words and "False" not in words
        assert f"the build says {told}" in desk.hint(kept, "circuit.engine_space")


# -- questions -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("side", "stands"), [("mine", "1100 rpm"), ("theirs", "1250 rpm")])
def test_a_question_stays_until_it_is_answered(side, stands):
    forms = StartForms(load(DEMO))
    load(DEMO).save_values({"engine.idle_speed": "1250 rpm"})
    write(forms, "engine.idle_speed", "1100 rpm")
    form = form_of(forms, "Write")
    assert form.ask.asking
    # something else is typed and written: told, not lost, and not taken for the answer
    said, alert = write(forms, "engine.side_load_limit", "150 lbf")
    assert form.ask.asking and "engine.idle_speed" in alert and load(DEMO).get("engine.side_load_limit") is None
    # another form goes on meanwhile, and the answer still is what it says
    forms.kind.value, forms.part.value = "bearing", "third"
    assert "Added" in press(forms, "Add it to the build")[0]
    form.ask.press(side)
    build = load(DEMO)
    assert build.get("engine.idle_speed").text == stands and not form.ask.asking
    assert build.get("engine.side_load_limit") is None and "third" in build.names("bearing")


def test_a_question_is_withdrawn_in_words_when_another_build_is_opened():
    forms = StartForms(load(DEMO))
    load(DEMO).save_values({"engine.idle_speed": "1250 rpm"})
    write(forms, "engine.idle_speed", "1100 rpm")
    open_it(forms, "drum_mixer")
    form = form_of(forms, "Write")
    assert not form.ask.asking and "engine.idle_speed is withdrawn" in form.result.value


@pytest.mark.parametrize(("side", "stands"), [("mine", "2550 rpm"), ("theirs", "2500 rpm")])
def test_a_panel_keeps_its_question_while_other_values_move(side, stands):
    panel = open_build(DEMO).panel("ratio")
    other = next(i for i, c in panel.state.controls.items() if c.key and i != "engine.work_speed" and c.has_slider)
    panel.set("engine.work_speed", "2550 rpm")
    load(DEMO).save_values({"engine.work_speed": "2500 rpm"})
    panel.keep()
    assert panel.ask.asking
    panel._fields[other].slider.value = panel._fields[other].slider.max
    assert panel.ask.asking and other in panel.state.changes()
    # the page's form catches the build up with the file; the answer still decides
    forms = StartForms(load(DEMO))
    write(forms, "engine.side_load_limit", "150 lbf")
    assert panel.build.get("engine.side_load_limit") and panel.ask.asking
    panel.ask.press(side)
    assert load(DEMO).get("engine.work_speed").text == stands == panel.state.texts["engine.work_speed"]
    panel.set("engine.work_speed", "2450 rpm")
    load(DEMO).save_values({"engine.work_speed": "2400 rpm"})
    panel.keep()
    panel.set("engine.work_speed", "2350 rpm")
    assert not panel.ask.asking and "withdrawn, because you changed it" in panel._notice.value


# -- the file ------------------------------------------------------------------------------------------------------


def test_the_previous_version_is_offered_wherever_there_is_one():
    forms = StartForms(load(DEMO))
    assert "The version before this one" not in shown(forms)
    write(forms, "engine.idle_speed", "1100 rpm")
    assert shown(forms)[-1] == "The version before this one"
    assert "engine.idle_speed" in forms.before.value and "now 1100 rpm" in forms.before.value
    said, _ = press(forms, "Bring the previous version back")
    assert "is back" in said and load(DEMO).get("engine.idle_speed").text != "1100 rpm"
    assert "The file has faults" not in " ".join(shown(forms))


def test_a_bad_version_is_never_brought_back_unsaid():
    forms = StartForms(load(DEMO))
    write(forms, "engine.idle_speed", "1100 rpm")
    path = load(DEMO).path
    spoiled = path.read_text(encoding="utf-8").replace("[engine]", "[engine]\ncolour = 3", 1)
    path.write_text(spoiled, encoding="utf-8")
    forms = StartForms(open_anyhow(DEMO))
    assert shown(forms)[:2] == ["The file has faults: 1 to put right", "The version before this one"]
    said, _ = press(forms, "Bring the previous version back")
    assert "is back" in said and load(DEMO)
    assert shown(forms)[0] == "The builds that there are" and previous_of(path).is_file()
    buttons = [b.description for b in form_of(forms, "The version")._row.children]
    assert (
        buttons == ["Bring back the version with 1 fault"] and "Careful: that version has 1 fault" in forms.before.value
    )


BROKEN = {
    "engine.colour": ("[engine]", '[engine]\ncolour = "red"  # a nice one'),
    "engine.foo-bar": ("[engine]", "[engine]\n'foo-bar' = 3"),
    "windmill": ("[engine]", "[windmill]\nsails = 4\n\n[engine]"),
    "bearing[1].name": ("[[bearing]]", '[[bearing]]\nbore = "1 in"\n\n[[bearing]]'),
    "engine.belts.x": ("[engine]", "[engine]\nbelts.x = 3"),
}


@pytest.mark.parametrize(("key", "change"), BROKEN.items(), ids=BROKEN)
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_what_the_file_should_not_have_is_taken_out(key, change, ends):
    path = load(DEMO).path
    text = path.read_text(encoding="utf-8")
    assert change[0] in text
    path.write_bytes(text.replace(*change, 1).replace("\n", ends).encode())
    forms = StartForms(open_anyhow(DEMO))
    assert len(forms.fault.options) == 1
    said, alert = write(forms, "engine.side_load_limit", "150 lbf")
    assert said == "" and key.split(".")[0] in alert
    said, alert = press(forms, "Take it out of the file")
    assert "Took" in said and "in order now" in said and f"{DEMO}.toml" in said, alert
    assert path.read_bytes().replace(b"\r\n", b"\n").decode().split() == text.split()
    said, alert = write(forms, "engine.side_load_limit", "150 lbf")
    assert "Kept" in said, alert


def test_a_second_part_of_one_name_is_taken_out_and_the_first_stays():
    path = load(DEMO).path
    text = path.read_text(encoding="utf-8")
    name = load(DEMO).names("bearing")[0]
    path.write_text(f'{text}\n[[bearing]]\nname = "{name}"\nbore = "9 in"\n', encoding="utf-8")
    build = open_anyhow(DEMO)
    kept, _ = desk.take_fault_out(build, desk.faults(build)[0][1])
    assert not kept.problems and kept.values == load(DEMO).values
    assert kept.get(f"bearing[{name}].bore").text != "9 in"


def test_a_fault_that_is_gone_meanwhile_is_no_reason_to_write():
    path = load(DEMO).path
    good = path.read_text(encoding="utf-8")
    path.write_text(good.replace("[engine]", "[engine]\ncolour = 3", 1), encoding="utf-8")
    build = open_anyhow(DEMO)
    path.write_text(good, encoding="utf-8")
    with pytest.raises(RuntimeError, match="text editor"):
        desk.take_fault_out(build, desk.faults(build)[0][1])
    assert path.read_text(encoding="utf-8") == good


def test_an_empty_box_writes_nothing_and_taking_out_has_a_button_of_its_own():
    forms = StartForms(load(DEMO))
    said, alert = write(forms, "engine.idle_speed", "  ")
    assert not said and "found nothing" in alert and "Take the value out" in alert
    assert load(DEMO).get("engine.idle_speed") is not None
