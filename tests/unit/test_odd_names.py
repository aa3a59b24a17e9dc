"""Names in other letters, and folders of odd names: panels open, records go nowhere else."""

import hashlib
import json
import os

import pytest
from jackshaft import cli
from jackshaft.bench import Bench
from jackshaft.buildfile import DEMO, BuildProblems, load, parse
from jackshaft.drawing.view import view_name
from jackshaft.record import write_record
from jackshaft.record.folder import LIST, write_files
from jackshaft.results import chapters
from jackshaft.search.panel import SearchPanel
from jackshaft.start import controller as desk
from jackshaft.ui.base import Panel
from jackshaft.ui.chooser import Chooser

#: Letters of a name: one kind in a plain run, the others where the long tests run too.
LETTERS = ["\u0130", "För", "\u76ae\u5e26", "\u00b2"][: None if "JACKSHAFT_LONG" in os.environ else 1]


@pytest.mark.parametrize("letters", LETTERS)
def test_a_part_called_in_other_letters_has_its_panels(letters):
    text = load(DEMO).text
    for old in ("crank belts", "jackshaft", "chain side", "output chain"):
        assert f'name = "{old}"' in text
        text = text.replace(f'= "{old}"', f'= "{letters} {old}"')
    bench = Bench(parse(text.encode(), file="odd.toml"))
    for chapter in (*(n for n, c in chapters().items() if c.part("panel")), "search"):
        assert isinstance(bench.panel(chapter), Panel | SearchPanel | Chooser), bench.panel(chapter)


def test_two_parts_of_like_names_have_views_of_two_names():
    assert len({view_name("layout-panel", n) for n in ("f\u00f6rder", "f\u00e4rder", "f-rder", "frder")}) == 4
    assert view_name("layout-panel", "Crank belts") == "layout-panel-crank-belts"


@pytest.mark.parametrize("out", ["~nobody-of-this-name/x", "a\0b", "x" * 300])
def test_a_folder_that_cannot_be_is_refused_in_words(out, capsys):
    assert cli.main(["record", DEMO, "--out", out]) == 2
    err = capsys.readouterr().err
    assert "cannot be the name of a folder" in err and "Name a folder" in err


@pytest.mark.parametrize("data", [b"precious", b"changed"])
def test_a_record_takes_nothing_away_beyond_a_link(tmp_path, data):
    folder, other = tmp_path / "record", tmp_path / "other"
    folder.mkdir()
    other.mkdir()
    (other / "a.html").write_bytes(data)
    (folder / "old").symlink_to(other)
    made = {"old/a.html": hashlib.sha256(b"precious").hexdigest()}
    (folder / LIST).write_text(json.dumps({"made": made}), encoding="utf-8")
    changed = write_files(folder, {"index.html": b"one"})
    assert [p.name for p in other.iterdir()] == ["a.html"] and (other / "a.html").read_bytes() == data
    assert not changed.gone and not changed.aside


def test_a_build_called_like_a_fitting_card_keeps_its_page(own_data):
    path = own_data / "builds" / "fitting_card_1.toml"
    path.write_bytes((own_data / "builds" / "rotor_bearings.toml").read_bytes())
    written = write_record(load("fitting_card_1"), own_data / "records" / "mine")
    pages = [written.page, *written.cards]
    assert len({p.read_bytes() for p in pages}) == len(set(pages)) == 3
    heads = ["<h2>What was put in</h2>" in p.read_text(encoding="utf-8") for p in pages]
    assert heads == [True, False, False]


@pytest.mark.parametrize("name", ["\u4e2d\u6587", "\u041f\u0438\u043b\u0430"])
def test_a_name_that_gives_no_file_name_is_told_which_letters_do(own_data, name):
    with pytest.raises(BuildProblems, match="a to z"):
        desk.new_build(name, desk.BLANK, "metric")
    assert desk.new_build(f"{name} 2", desk.BLANK, "metric")[0].name == f"{name} 2"


@pytest.mark.parametrize("name", ["a  b", "a\\tb", "a\\nb"])
def test_a_part_can_be_referred_to_by_any_name_that_it_may_have(name):
    text = f'schema = 1\nname = "t"\n[work]\nshaft = "{name}"\n[[shaft]]\nname = "{name}"\n'
    build = parse(text.encode(), file="odd.toml")
    assert build.get("work.shaft") == build.names("shaft")[0]


@pytest.mark.parametrize("data", [b"# Words", b"\xff\xfe", b"{}", b"[]"])
def test_a_file_that_is_no_notebook_is_refused_in_words(tmp_path, capsys, data):
    path = tmp_path / "readme.md"
    path.write_bytes(data)
    assert cli.main(["refresh", str(path)]) == 2
    assert "no notebook" in capsys.readouterr().err and path.read_bytes() == data
