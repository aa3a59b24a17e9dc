"""Files that no editor of the workbook makes: they open, say what is wrong, and refuse a save in words."""

import json
import time
import warnings

import pytest
from jackshaft import cli
from jackshaft.buildfile import DEMO, BuildProblems, NotSaved, builds_dir, load, parse
from jackshaft.buildfile.lenient import open_anyhow
from jackshaft.drawing.pictures import pictures_of
from jackshaft.results import work_up
from jackshaft.start import controller as desk

HEAD = 'schema = 1\nname = "t"\n'
LONG = "0x" + "f" * 5000


@pytest.fixture
def odd(own_data):
    """Write the text of a build file; its path."""

    def write(text):
        path = builds_dir() / "odd.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return write


@pytest.mark.parametrize(
    ("text", "key"),
    [
        (f'schema = {LONG}\nname = "t"\n', "schema"),
        (f"schema = 1\nname = {LONG}\n", "name"),
        (f"{HEAD}purpose = {LONG}\n", "purpose"),
        (f"{HEAD}[engine]\ncylinders = {LONG}\n", "engine.cylinders"),
        (f"{HEAD}[work]\npeak_factor = {{ value = -{'9' * 20} }}\n", "work.peak_factor.value"),
        (f"{HEAD}[[shaft]]\nname = {LONG}\n", "shaft.name"),
        (f"{HEAD}zzz = [[{LONG}]]\n", "zzz"),
    ],
)
def test_a_whole_number_too_long_to_be_told_is_refused_and_names_its_key(odd, text, key):
    odd(text)
    with pytest.raises(BuildProblems, match="too many digits") as caught:
        load("odd")
    assert [p.key for p in caught.value.problems] == [key]
    assert open_anyhow("odd").problems == caught.value.problems


def test_a_long_whole_number_that_toml_allows_is_judged_by_its_field(odd):
    odd(f"{HEAD}[engine]\ncylinders = {2**63 - 1}\n")
    with pytest.raises(BuildProblems, match="a whole number, 1 to 16"):
        load("odd")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('name = "t"\n', "required"),
        ("# nothing\n", "required"),
        ("schema = [1]\n" + HEAD[11:], "a whole number"),
        ("schema = 2026-01-01\n" + HEAD[11:], "a whole number"),
        ("schema = 0\n" + HEAD[11:], "cannot be brought up"),
        ("schema = 99\n" + HEAD[11:], "newer workbook"),
        (HEAD + "#" * 262144, "at most 256 KB"),
        (HEAD + "engine = [\n", "TOML"),
        (HEAD + "notes = " + "9" * 5000, "numbers"),
    ],
)
def test_a_value_for_a_file_that_is_none_is_refused_in_words(odd, text, words):
    path = odd(text)
    before = path.read_bytes()
    with pytest.raises(NotSaved, match=words):
        desk.write_down(open_anyhow("odd"), "purpose", "to saw", "", "")
    assert path.read_bytes() == before


def test_a_key_as_long_as_the_file_is_named_in_short(odd):
    odd(HEAD + "k" * 200_000 + " = 1\n")
    with pytest.raises(BuildProblems, match="unknown key") as caught:
        load("odd")
    assert len(str(caught.value)) < 1000


def test_the_form_of_a_large_file_full_of_faults_does_not_keep_anybody_waiting(odd):
    joints = "".join(f'[[shaft.joint]]\nname = "j{k}"\nkind = "kee"\nwidth = "1"\n' for k in range(55))
    odd(HEAD + "".join(f'[[shaft]]\nname = "s{i}"\n{joints}' for i in range(58)))
    build = open_anyhow("odd")
    start = time.process_time()
    assert len(desk.measurements(build)) > 20_000
    assert time.process_time() - start < 4


def test_a_file_far_too_large_is_not_read_at_all(odd, monkeypatch):
    path = odd(HEAD)
    with path.open("r+b") as file:
        file.truncate(300 * 1024)
    monkeypatch.setattr(type(path), "read_bytes", lambda _: pytest.fail("it was read"))
    with pytest.raises(BuildProblems, match="a file of 300 KB; wanted at most 256 KB") as caught:
        load("odd")
    assert open_anyhow("odd").problems == caught.value.problems


@pytest.mark.parametrize("name", ["", "  "])
def test_an_empty_name_on_the_command_line_is_not_the_open_build(name, capsys):
    assert cli.main(["check", name]) == 2
    out, err = capsys.readouterr()
    assert not out and "an empty text" in err


@pytest.mark.parametrize("name", ["$\\frac{$", "$20 from the $5 bin", "\U0001f527", "\u4e2d\u6587", "a\x00b"])
def test_a_name_that_no_font_or_formula_has_is_drawn_without_a_word_to_the_screen(name):
    build = load(DEMO)
    text = build.text
    for old in ("J", "jackshaft", "chain side", "crank belts", "output chain"):
        assert f'name = "{old}"' in text
        text = text.replace(f'= "{old}"', f"= {json.dumps(name + old, ensure_ascii=False)}")
    results = work_up(parse(text.encode(), file="odd.toml"))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert sum(len(pictures_of(results, chapter)) for chapter in results.chapters) > 8
