"""What fails stays where it fails: a chapter, a file, a value that is kept, a folder, a terminal."""

import io

import pytest
from builders import check_of
from jackshaft import bench, cli, terminal
from jackshaft.buildfile import DEMO, BuildProblems, builds_dir, load, parse
from jackshaft.buildfile.lenient import bring_back, open_anyhow, parse_anyhow
from jackshaft.record.folder import NotOurs, write_files
from jackshaft.record.outside import outside_references
from jackshaft.results import chapters, work_up
from jackshaft.results.checks import STOP, UNDECIDED
from jackshaft.results.keeping import NotWorkable, keep
from jackshaft.units import OutOfRange
from never_dead import TEXT, build_with


@pytest.fixture
def broken(monkeypatch):
    """Make one chapter fail, always or only at 2900 rpm of the engine."""

    def make(name, error, only=None):
        analysis = chapters()[name].part("analysis")
        whole = analysis.work_up

        def worker(reader, done, scope):
            if only is None or reader.get("engine.work_speed").text == only:
                raise type(error)(*error.args)
            return whole(reader, done, scope)

        monkeypatch.setattr(analysis, "work_up", worker)

    return make


@pytest.fixture
def mine(own_data, monkeypatch):
    """The machine of these tests as a file that is open; its path."""
    path = builds_dir() / "saw.toml"
    path.write_text(TEXT, encoding="utf-8")
    monkeypatch.setenv("JACKSHAFT_BUILD", "saw")
    return path


# -- a chapter ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", [n for n, c in chapters().items() if not c.coming])
def test_a_chapter_that_fails_leaves_the_others(broken, name):
    whole = work_up(build_with())
    broken(name, KeyError("no such thing"))
    results = work_up(build_with())
    (chapter,) = results.faults
    assert chapter.name == name and results.exit_code == 70
    assert chapter.fault.code in chapter.words and "KeyError" in chapter.fault.trace
    assert "KeyError" not in chapter.words
    assert list(results.chapters) == list(whole.chapters)
    assert check_of(results, f"{name}.fault").verdict == UNDECIDED


def test_the_code_of_a_fault_is_the_same_from_run_to_run(broken):
    broken("clutch", KeyError("no such thing"))
    assert len({work_up(build_with()).faults[0].fault.code for _ in range(2)}) == 1


def test_a_refusal_is_undecided_and_a_stray_error_is_a_fault(broken):
    broken("clutch", OutOfRange("the facings cannot turn so fast"))
    results = work_up(build_with())
    assert not results.faults and "the facings cannot turn so fast" in results.chapters["clutch"].words
    broken("clutch", ValueError("boom"))
    assert work_up(build_with()).faults


def test_check_says_the_code_prints_the_rest_and_ends_with_70(broken, capsys):
    broken("clutch", KeyError("boom"))
    assert cli.main(["check", DEMO]) == 70
    out, err = capsys.readouterr()
    assert work_up(load(DEMO)).faults[0].fault.code in out
    assert "electric.fuse" in out and "Traceback" not in out + err
    assert cli.main(["check", DEMO, "--trace"]) == 70
    assert "KeyError" in "".join(capsys.readouterr())


def test_the_notebooks_show_what_failed_and_everything_else(broken):
    broken("clutch", KeyError("boom"))
    table = bench.open_build()
    assert table.results.faults[0].fault.code in table.facts("clutch").text
    for name in table.results.chapters:
        for show in (table.facts, table.tables, table.checks, table.cautions, table.sources):
            assert show(name).text is not None
    assert table.start() is not None


# -- a value that is kept -----------------------------------------------------------------------------


@pytest.mark.parametrize("error", [KeyError("boom"), OutOfRange("the facings cannot turn so fast")])
def test_a_value_that_fails_is_not_written(mine, broken, error):
    broken("clutch", error, only="2900 rpm")
    before = mine.read_bytes()
    with pytest.raises(NotWorkable, match=r"engine\.work_speed"):
        keep(load(), {"engine.work_speed": "2900 rpm"})
    assert mine.read_bytes() == before
    assert keep(load(), {"engine.work_speed": "2800 rpm"}).get("engine.work_speed").text == "2800 rpm"


# -- a file -------------------------------------------------------------------------------------------

FAULTS = {
    "an unknown key": ('wanted_life = "500 h"', 'wanted_life = "500 h"\nwantd_life = "500 h"'),
    "a word for a number": ("cylinders = 1", 'cylinders = "one"'),
    "a unit of another kind": ('peak_torque = "14 lbf·ft"', 'peak_torque = "14 hp"'),
    "a name twice": ('name = "far"', 'name = "near"'),
    "a shaft that is not there": ('shaft = "arbor"', 'shaft = "axle"'),
}


@pytest.mark.parametrize("what", FAULTS)
def test_a_broken_file_opens_with_the_rest_and_says_what_is_wrong(mine, what):
    old, new = FAULTS[what]
    assert old in TEXT
    mine.write_text(TEXT.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(BuildProblems) as strict:
        load("saw")
    build = open_anyhow("saw")
    assert [str(p) for p in build.problems] == [str(p) for p in strict.value.problems]
    results = work_up(build)
    assert not results.faults and results.exit_code == 1
    stops = [c for c in results.checks if c.chapter == "file" and c.verdict == STOP]
    assert stops and all(c.guards for c in stops)
    assert "work.power" in build.values
    assert build.problems[0].found in bench.open_build().title().text


@pytest.mark.parametrize("data", [b"", b"\xff\xfe\x00", b"schema = 1\nname = [", b"schema = 99", b"= = ="])
def test_a_file_that_is_none_opens_empty(mine, data):
    mine.write_bytes(data)
    build = open_anyhow("saw")
    assert build.problems and work_up(build).exit_code == 1
    assert bench.open_build().start() is not None


def test_the_version_before_comes_back_and_the_broken_file_is_kept(mine):
    load("saw").save_values({"engine.work_speed": "2800 rpm"})
    good = mine.read_text(encoding="utf-8")
    load("saw").save_values({"engine.work_speed": "2700 rpm"})
    mine.write_text("schema = 1\nname = [", encoding="utf-8")
    build, aside = bring_back(open_anyhow("saw"))
    assert not build.problems and mine.read_text(encoding="utf-8") == good
    assert aside.read_text(encoding="utf-8") == "schema = 1\nname = ["


def test_a_build_that_is_gone_opens_the_demo_and_says_so(own_data, monkeypatch):
    monkeypatch.setenv("JACKSHAFT_BUILD", "gone_fishing")
    table = bench.open_build()
    assert "gone_fishing" in table.title().text


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("#" * 300_000, "KB"),
        ('schema = 1\nname = "x"\n' + "[[shaft]]\n" * 61, "at most 60"),
        ('schema = 1\nname = "x"\n[[stage]]\nname = "s"\n' + "[[stage.pulley]]\n" * 41, "at most 40"),
        (f'schema = 1\nname = "x"\n[[shaft]]\nname = "{"y" * 81}"', "at most 80 letters"),
        ("a." * 5000 + "b = 1", ""),
        ("x = " + "[" * 5000 + "]" * 5000, ""),
    ],
)
def test_a_file_beyond_all_bounds_is_refused_in_words(text, said):
    with pytest.raises(BuildProblems) as caught:
        parse(text.encode(), file="big.toml")
    assert said in str(caught.value)
    assert parse_anyhow(text.encode(), file="big.toml").problems


# -- a folder for a record ----------------------------------------------------------------------------


def test_a_record_replaces_its_own_files_and_no_others(tmp_path):
    folder = tmp_path / "record"
    write_files(folder, {"index.html": b"one", "figures/a.svg": b"a"})
    write_files(folder, {"index.html": b"two"})
    assert (folder / "index.html").read_bytes() == b"two" and not (folder / "figures" / "a.svg").exists()
    (folder / "notes.txt").write_bytes(b"mine")
    with pytest.raises(NotOurs, match=r"notes\.txt"):
        write_files(folder, {"index.html": b"three", "notes.txt": b"theirs"})
    assert (folder / "index.html").read_bytes() == b"two" and (folder / "notes.txt").read_bytes() == b"mine"


def test_a_file_of_a_record_that_was_changed_by_hand_is_put_aside(tmp_path):
    folder = tmp_path / "record"
    write_files(folder, {"index.html": b"one"})
    (folder / "index.html").write_bytes(b"with my notes")
    changed = write_files(folder, {"index.html": b"two"})
    (pair,) = changed.aside
    assert (folder / pair[1]).read_bytes() == b"with my notes"


def test_a_record_is_not_written_through_a_link(tmp_path):
    folder, target = tmp_path / "record", tmp_path / "precious.html"
    folder.mkdir()
    target.write_bytes(b"precious")
    (folder / "index.html").symlink_to(target)
    with pytest.raises(NotOurs, match="is a link to another place"):
        write_files(folder, {"index.html": b"two"})
    assert target.read_bytes() == b"precious"


@pytest.mark.parametrize(
    "html",
    [
        '<img src="http://x.example/a.png">',
        "<script>alert(1)</script>",
        '<div style="background:url(//x.example/a)">',
        "<style>@import 'http://x.example/a.css'</style>",
        '<p onclick="x()">',
        '<iframe srcdoc="x"></iframe>',
        '<meta http-equiv="refresh" content="0;url=http://x.example">',
    ],
)
def test_a_page_that_reaches_outside_is_found(html):
    assert outside_references(html)


def test_words_about_the_web_in_a_text_are_no_reference():
    assert not outside_references('<p>See http://x.example/a and &lt;script&gt;</p><img src="data:image/png;base64,A">')


# -- a terminal ---------------------------------------------------------------------------------------


def test_nothing_that_is_printed_steers_the_terminal():
    assert terminal.shown("a\x1b[2Jb\u202ec\x07\n") == "a\\x1b[2Jb\\u202ec\\x07\n"


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437", "latin-1", "no such", None])
def test_whatever_is_printed_fits_the_encoding(encoding):
    text = terminal.fitting("≈ 14 lbf·ft ± ½ “in” Ω 中", encoding)
    text.encode("ascii" if encoding in ("no such", None) else encoding)
    assert "14 lbf" in text


def test_a_reader_that_has_gone_is_no_fault():
    class Gone(io.StringIO):
        def write(self, text):
            raise BrokenPipeError

        def fileno(self):
            raise io.UnsupportedOperation

    terminal.say("words", Gone())
