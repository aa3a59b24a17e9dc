"""The build file rides along in its record and is taken out again; two versions are held against each other."""

import base64
import json

import pytest
from jackshaft.buildfile import BuildProblems, load, parse
from jackshaft.cli import main
from jackshaft.record.ride import SCHEME, link, taken_out
from jackshaft.results.versions import versions

BEARINGS = "rotor_bearings"


def linked(data: bytes, name: str = "x.toml") -> str:
    return f'<a download="{name}" href="{SCHEME}{base64.b64encode(data).decode()}">x</a>'


def test_a_record_gives_back_its_file_and_the_file_the_same_record(record_of, tmp_path, monkeypatch, capsys):
    page = tmp_path / "shared by somebody.html"
    page.write_text(record_of(BEARINGS), encoding="utf-8")
    out = tmp_path / f"{BEARINGS}.toml"
    assert main(["unpack", str(page), "--out", str(out)]) == 0
    assert out.read_bytes() == load(BEARINGS).path.read_bytes()
    assert record_of(out) == page.read_text(encoding="utf-8")
    # nothing that is there is written over
    assert main(["unpack", str(page), "--out", str(out)]) == 2 and "no build is overwritten" in capsys.readouterr().err


GOOD = b'schema = 1\nname = "x"\n'


@pytest.mark.parametrize(
    ("html", "words"),
    [
        ("<p>nothing</p>", "no build file in it"),
        (linked(GOOD) * 2, "2 build files"),
        (f'<a href="{SCHEME}!!!">x</a>', "damaged"),
        (linked(b"#" * 300_000), "at most 256 KB"),
        (linked(b"\xff\xfe"), "not UTF-8"),
        (linked(b'schema = 1\nname = "x"\nimport = "os"\n'), "import"),
    ],
)
def test_a_page_that_was_tampered_with_is_refused_in_words(tmp_path, html, words):
    page = tmp_path / "a.html"
    page.write_text(html)
    with pytest.raises(BuildProblems) as caught:
        taken_out(page)
    assert words in str(caught.value)


@pytest.mark.parametrize("name", ["../../etc/x.toml", "/x.toml", "..toml", "x.py", "C:\\x.toml", ""])
def test_the_name_in_a_page_leads_nowhere(tmp_path, name):
    page = tmp_path / "a page.html"
    page.write_text(linked(GOOD, name))
    assert taken_out(page).file == "a page.toml"


def test_what_stands_in_the_file_cannot_leave_the_link():
    build = parse(b'schema = 1\nname = "a"\nnotes = "\\"><script>x</script>"\n', file='"><b>.toml')
    assert "<script" not in link(build) and "<b>" not in link(build)


def test_two_versions_say_what_differs_and_what_it_does(tmp_path, capsys):
    older = load(BEARINGS)
    (key, value), *_ = [(k, v) for k, v in older.values.items() if k.endswith(".seat")]
    out = tmp_path / "newer.toml"
    newer = older.with_values({key: "1.9 in"})
    out.write_text(older.text)
    assert main(["set", str(out), f"{key}=1.9 in"]) == 0
    capsys.readouterr()
    assert main(["compare", BEARINGS, str(out), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert [(v["id"], v["before"].split(" (")[0], v["after"]) for v in data["values"]] == [(key, value.text, "1.9 in")]
    assert data["verdicts"] and all(v["before"] != v["after"] for v in data["verdicts"])
    assert not data["same"] and "the fitting cards" in data["papers"]
    assert main(["compare", BEARINGS, str(out)]) == 0 and f"{value.text}" in capsys.readouterr().out
    # the other way round it is the same list turned over
    found, back = versions(older, newer), versions(newer, older)
    assert {(v.id, v.before, v.after) for v in found.verdicts} == {(v.id, v.after, v.before) for v in back.verdicts}


def test_other_units_are_no_other_machine():
    older = load(BEARINGS)
    other = older.with_values({"shown_in": "metric" if older.system == "inch" else "inch"})
    found = versions(older, other)
    assert [v.id for v in found.values] == ["shown_in"] and not found.results and not found.verdicts
