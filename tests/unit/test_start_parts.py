"""Parts renamed and taken out on the start page, new parts that checks wait for, and names of files."""

import pytest
from jackshaft import cli
from jackshaft.buildfile import DEMO, BuildProblems, list_builds, load, parse, references
from jackshaft.results import work_up
from jackshaft.start import controller as desk
from jackshaft.start import parts as start_parts
from jackshaft.start.copying import copy_part
from jackshaft.start.forms import StartForms


@pytest.fixture(autouse=True)
def on_a_copy(own_data, monkeypatch):
    monkeypatch.delenv("JACKSHAFT_BUILD", raising=False)


def _every_part():
    return [at for _, at in start_parts.parts(load(DEMO))]


def _plain(build, old="", new=""):
    """The values of a build, its keys and what refers to a part under the part's new name."""
    return {k.replace(f"[{old}]", f"[{new}]"): v for k, v in build.values.items()}


@pytest.mark.parametrize("kind", ["shaft", "stage", "bearing", "stage[crank belts].pulley"])
def test_a_renamed_part_takes_along_what_refers_to_it(kind):
    build = load(DEMO)
    for old in build.names(kind):
        before = load(DEMO)
        pointing = references(before, f"{kind}[{old}]")
        kept, words, at = start_parts.rename(before, f"{kind}[{old}]", f"  new   {old} ")
        new = f"new {old}"
        assert at == f"{kind}[{new}]" and f"is called '{new}' now" in words
        assert kept.names(kind) == tuple(new if n == old else n for n in before.names(kind))
        assert not references(kept, f"{kind}[{old}]")
        assert len(references(kept, at)) == len(pointing)
        assert all(k.replace(f"[{old}]", f"[{new}]") in words for k in list(pointing)[:3] if f"[{old}]" not in k)
        # nothing else changed, and every check says what it said
        was, now = work_up(before).checks, work_up(kept).checks
        assert [(c.verdict, bool(c.accepted)) for c in was] == [(c.verdict, bool(c.accepted)) for c in now]
        assert kept.text.count("#") == before.text.count("#")
        assert len(kept.values) == len(before.values)
    assert load(DEMO).names(kind) == tuple(f"new {n}" for n in build.names(kind))


def test_an_acceptance_follows_the_part_that_its_check_is_named_after(own_data):
    check = next(c for c in work_up(load(DEMO)).checks if c.id.endswith("[crank belts]"))
    at = f"accepted[{check.id}]"
    build = load(DEMO).save_values({f"{at}.name": check.id, f"{at}.reason": "tried", f"{at}.date": "2026-03-01"})
    kept, words, _ = start_parts.rename(build, "stage[crank belts]", "front belts")
    name = check.id.replace("crank belts", "front belts")
    assert name in kept.names("accepted") and check.id not in kept.names("accepted")
    assert kept.get(f"accepted[{name}].reason") == "tried"


@pytest.mark.parametrize(
    ("name", "words"),
    [("", "square brackets"), ("a[b]", "square brackets"), ("Engine", "means the engine"), ("OTHER", "'other'")],
)
def test_a_bad_name_is_refused_for_adding_and_renaming(name, words):
    build, _ = start_parts.add_part(load(DEMO), "shaft", "other")
    before = build.path.read_bytes()
    for work in (
        lambda: start_parts.add_part(build, "shaft", name),
        lambda: start_parts.rename(build, "shaft[jackshaft]", name),
    ):
        with pytest.raises(BuildProblems, match=words):
            work()
    assert build.path.read_bytes() == before


@pytest.mark.parametrize("name", ["Jackshaft", "jack shaft", "JACKSHAFT ", "jackshaft"])
def test_a_second_part_that_differs_in_spelling_only_is_refused(name):
    with pytest.raises(BuildProblems, match="a second '"):
        start_parts.add_part(load(DEMO), "shaft", name)
    # the part itself may be spelled anew
    if name.strip() != "jackshaft":
        kept, _, _ = start_parts.rename(load(DEMO), "shaft[jackshaft]", name)
        assert name.strip() in kept.names("shaft")


def test_a_part_that_something_refers_to_is_not_taken_out_and_another_is():
    forms = StartForms(load(DEMO))
    before = load(DEMO).text
    with pytest.raises(BuildProblems, match="work.shaft|stage") as refused:
        start_parts.remove_part(load(DEMO), "shaft[jackshaft]")
    pointing = [k for k in references(load(DEMO), "shaft[jackshaft]") if not k.startswith("shaft[jackshaft].")]
    assert pointing and all(k in str(refused.value) for k in pointing[:6]) and load(DEMO).text == before
    forms.kind.value, forms.part.value = "bearing", "third"
    forms._add()
    forms.old.value = "bearing[third]"
    words = forms._remove()
    assert "third" not in load(DEMO).names("bearing") and "taken out" in words and f"{DEMO}.toml" in words
    assert load(DEMO).values == parse(before.encode(), file="x.toml").values


def test_a_part_that_another_changed_is_asked_about_before_it_is_taken_out():
    build, _ = start_parts.add_part(load(DEMO), "bearing", "third")
    load(DEMO).save_values({"bearing[third].bore": "1 in"})
    with pytest.raises(RuntimeError) as asked:
        start_parts.remove_part(build, "bearing[third]")
    kept, words = start_parts.remove_part(build, "bearing[third]", settle=asked.value.answer("theirs"))
    assert "third" in kept.names("bearing") and "stays" in words


def test_every_part_is_offered_and_can_be_renamed():
    for at in _every_part():
        build, _, new = start_parts.rename(load(DEMO), at, "some other name")
        assert new in [a for _, a in start_parts.parts(build)]
        back, _, again = start_parts.rename(build, new, at.rsplit("[", 1)[1][:-1])
        assert again == at and back.values == load(DEMO).values


# -- what checks wait for ------------------------------------------------------------------------------------------


def test_a_key_of_a_part_that_is_not_there_yet_is_offered_and_makes_the_part():
    build = load(DEMO)
    loads = build.names("shaft[jackshaft].load")
    assert loads
    kept = build.save_values({"shaft[jackshaft].load": ()})
    offered = {k: words for words, k in desk.measurements(kept)}
    keys = [w.key for w in work_up(kept).wanted if w.key.startswith("shaft[jackshaft].load[")]
    assert keys, [w.key for w in work_up(kept).wanted]
    for key in keys:
        assert offered[key].startswith("wanted: ") and offered[key].endswith(", a new part")
    key = next(k for k in keys if k.endswith(".position"))
    assert "adds shaft 'jackshaft', load" in desk.hint(kept, key)
    with pytest.raises(BuildProblems, match="writing it down adds"):
        desk.write_down(kept, key, "")
    forms = StartForms(kept)
    forms.key.value, forms.value.value = key, "3 in"
    words = forms._write_down()
    assert "Added shaft 'jackshaft', load" in words
    assert load(DEMO).get(key).text == "3 in" and key not in [w.key for w in work_up(load(DEMO)).wanted]
    # with the last part of the list the rest is as it was written
    assert load(DEMO).names("shaft[jackshaft].load")


# -- names of files ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("Förderband / Mühle", "foerderband_muehle"),
        ("ÄÖÜß", "aeoeuess"),
        ("Fo\u0308rder", "foerder"),
        ("Scie à bûches nº 3", "scie_a_buches_no_3"),
        ("Brændekløver", "braendekloever"),
        ("Piła", "pila"),
        ("Ñandú", "nandu"),
    ],
)
def test_letters_with_marks_give_a_name_that_can_be_read(name, stem):
    assert desk.file_name(name) == stem
    build, _ = desk.new_build(name, desk.BLANK, "metric")
    assert build.slug == stem and load(stem).name == name


@pytest.mark.parametrize("name", ["con", "NUL", "prn", "Aux", "COM1", "lpt9", " con. "])
def test_a_name_that_windows_keeps_is_refused(name):
    before = list_builds()
    with pytest.raises(BuildProblems, match="Windows"):
        desk.new_build(name, desk.BLANK, "inch")
    assert list_builds() == before
    assert desk.file_name("console") == "console" and desk.file_name("com10") == "com10"


def test_the_command_line_takes_trade_words_too(capsys):
    assert cli.main(["set", DEMO, "engine.turns=CCW", "engine.kind=gas engine"]) == 0
    assert (load(DEMO).get("engine.turns"), load(DEMO).get("engine.kind")) == ("counter-clockwise", "petrol engine")


@pytest.mark.parametrize("kind", ["shaft", "stage", "bearing", "stage[crank belts].pulley", "engine.torque_point"])
def test_a_copy_says_what_its_part_says_but_for_its_place(kind):
    build = load(DEMO)
    old = build.names(kind)[0]
    kept, words, at = copy_part(build, f"{kind}[{old}]", "second one")
    assert kept.names(kind) == (*build.names(kind), "second one") and at == f"{kind}[second one]"

    def inside(home):
        return {k.removeprefix(f"{home}."): v for k, v in kept.values.items() if k.startswith(f"{home}.")}

    was, now = inside(f"{kind}[{old}]"), inside(at)
    assert {k for k in was if k != "name" and now.get(k) != was[k]} == set(was) - set(now)
    assert all(k in words for k in set(was) - set(now)) and f"{DEMO}.toml" in words
    # the part itself, and what refers to it, is as it was
    assert {k: v for k, v in kept.values.items() if not k.startswith(f"{at}.")} == dict(build.values)
    assert {k for k in references(kept, at) if not k.startswith(at)} == set()
    with pytest.raises(BuildProblems, match="a second 'second one'"):
        copy_part(kept, f"{kind}[{old}]", "second one")
