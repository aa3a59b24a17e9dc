"""The command line: what is printed and with which code it ends."""

import re
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from jackshaft import cli
from jackshaft.buildfile import DEMO, keys_table, list_builds
from jackshaft.chapters.ratio import analysis

HEAD = """
schema = 1
name = "two gears"
clutch = "none"
bearing = "none"

[engine]
work_speed = "3000 rpm"
turns = "clockwise"

[work]
shaft = "out"
turns = "counter-clockwise"
"""
BAND = 'speed_least = "900 rpm"\nspeed_most = "1100 rpm"\n'
TRAIN = """
[[shaft]]
name = "out"

[[stage]]
name = "gears"
kind = "gear"
from = "engine"
to = "out"
driver_teeth = 20
driven_teeth = 60
"""
GOOD = HEAD + BAND + TRAIN
TOO_FAST = GOOD.replace("driven_teeth = 60", "driven_teeth = 30").replace(
    "\n[work]", 'idle_speed = "800 rpm"\nrated_speed = "3600 rpm"\n\n[work]'
)
ACCEPTED = TOO_FAST + '\n[[accepted]]\nname = "ratio.speed"\nreason = "tried for a season"\ndate = 2026-03-14\n'
HALF_KNOWN = HEAD.replace('turns = "counter-clockwise"\n', "") + BAND + TRAIN


@pytest.fixture
def check(tmp_path, capsys):
    """Run ``check`` on a text; give the code, what was printed and what was complained of."""

    def run(text):
        path = tmp_path / "mine.toml"
        path.write_text(text, encoding="utf-8")
        code = cli.main(["check", str(path)])
        return code, *capsys.readouterr()

    return run


def test_no_stop_ends_with_0(check):
    code, out, err = check(GOOD)
    assert code == 0 and err == ""
    assert re.search(r"^  go +speed of the work: 1000 rpm \(wanted: 900 rpm to 1100 rpm\) \[ratio\.speed\]$", out, re.M)
    assert "0 stops not accepted" in out


def test_a_stop_ends_with_1_and_says_why_and_what_to_do(check):
    code, out, _ = check(TOO_FAST)
    assert code == 1
    lines = out.splitlines()
    at = next(i for i, x in enumerate(lines) if x.startswith("  STOP") and "[ratio.speed]" in x)
    assert "2000 rpm" in lines[at] and "too fast" in lines[at + 1]
    # 3000 rpm × 1100/2000 is the fastest engine speed that keeps the work inside its band
    said = " ".join(line.strip() for line in lines[at : at + 6])
    # what was tried comes first with what becomes of the check, the general advice after it
    cure = "Cure: Work the engine at 1650 rpm. This check is then go: 1100 rpm."
    assert 0 < said.index(cure) < said.index("What to do: Gear the work down.")
    assert "1 stop not accepted" in out


def test_an_accepted_stop_ends_with_0_and_is_shown_with_its_reason(check):
    code, out, _ = check(ACCEPTED)
    assert code == 0
    assert "stop, accepted" in out.lower() and "Accepted 2026-03-14: tried for a season" in out
    assert "0 stops not accepted" in out


def test_an_acceptance_that_meets_nothing_is_printed(check):
    code, out, _ = check(ACCEPTED.replace("driven_teeth = 30", "driven_teeth = 60"))
    assert code == 0 and "[accepted.ratio.speed]" in out


def test_something_essential_not_decidable_ends_with_3_and_names_it(check):
    code, out, _ = check(HALF_KNOWN)
    assert code == 3
    assert "Missing: work.turns" in out
    assert re.search(r"^Measure next: .+ \[work\.turns\]$", out, re.M)
    # the shafts and their bearings, of which that file says nothing, are asked about too
    assert re.search(r"0 stops not accepted, \d+ not decidable yet\.", out)


def test_a_stop_counts_more_than_what_is_not_decidable(check):
    assert check(HALF_KNOWN.replace("driven_teeth = 60", "driven_teeth = 30"))[0] == 1


@pytest.mark.parametrize(
    "text,words",
    [
        (GOOD.replace("work_speed", "work_sped"), "did you mean 'work_speed'"),
        (GOOD.replace('"3000 rpm"', "3000"), "bare number 3000"),
        (GOOD + "[", "TOML"),
        ("", "empty"),
    ],
)
def test_a_file_that_cannot_be_read_ends_with_2(check, text, words):
    code, out, err = check(text)
    assert code == 2 and out == "" and words in err and "mine.toml" in err
    assert "Traceback" not in err


def test_a_file_that_is_no_text_ends_with_2(tmp_path, capsys):
    path = tmp_path / "mine.toml"
    path.write_bytes(b"\xff\xfe\x00\x80")
    assert cli.main(["check", str(path)]) == 2 and "UTF-8" in capsys.readouterr().err


@pytest.mark.parametrize(
    "call",
    [
        [],
        ["chek"],
        ["check", "a", "b"],
        ["check", "--fast"],
        ["record", DEMO],
        ["builds", "x"],
        ["check", "feed_wagon_auge"],
        ["check", "no/such/file.toml"],
        ["refresh", "no/such/notebook.ipynb"],
    ],
)
def test_a_wrong_call_ends_with_2(call, capsys):
    assert cli.main(call) == 2
    err = capsys.readouterr().err
    assert err and "Traceback" not in err


def test_a_misspelt_build_is_answered_with_the_nearest(capsys):
    assert cli.main(["check", "feed_wagon_auge"]) == 2
    assert "did you mean 'feed_wagon_auger'" in capsys.readouterr().err


def test_a_record_into_a_file_ends_with_2_and_leaves_the_file(tmp_path, capsys):
    path = tmp_path / "out"
    path.write_text("mine", encoding="utf-8")
    assert cli.main(["record", DEMO, "--out", str(path)]) == 2
    assert path.read_text(encoding="utf-8") == "mine" and "folder" in capsys.readouterr().err


def test_data_that_is_not_there_ends_with_2(monkeypatch, tmp_path, capsys):
    monkeypatch.setenv("JACKSHAFT_DATA", str(tmp_path))
    assert cli.main(["builds"]) == 2
    assert "JACKSHAFT_DATA" in capsys.readouterr().err


def test_a_fault_of_the_program_ends_with_70_and_does_not_blame_the_file(check, monkeypatch):
    def broken(reader, done, scope):
        raise KeyError("no such thing")

    monkeypatch.setattr(analysis, "work_up", broken)
    code, out, err = check(GOOD)
    assert code == 70 and "a fault of the program (code " in err and "Traceback" not in err
    # the chapters beside it are printed all the same
    assert "Drive ratio: a fault of the program" in out and "Belt layout:" in out and "not accepted" in out


def test_help_ends_with_0(capsys):
    assert cli.main(["--help"]) == 0
    out = capsys.readouterr().out
    assert all(c in out for c in cli.COMMANDS)


def test_builds_lists_them(capsys):
    assert cli.main(["builds"]) == 0
    assert capsys.readouterr().out.split() == list(list_builds())


def test_keys_prints_the_table(capsys):
    assert cli.main(["keys"]) == 0
    assert capsys.readouterr().out == keys_table()


def test_without_a_name_the_open_build_is_meant(tmp_path, monkeypatch, capsys):
    path = tmp_path / "mine.toml"
    path.write_text(GOOD, encoding="utf-8")
    monkeypatch.setenv("JACKSHAFT_BUILD", str(path))
    assert cli.main(["check"]) == 0 and capsys.readouterr().out.startswith("two gears\n")
    monkeypatch.setenv("JACKSHAFT_BUILD", "rotor_bearings")
    cli.main(["check"])
    assert capsys.readouterr().out.startswith("Salvaged rotor")


@pytest.mark.parametrize("name", list_builds())
def test_check_of_every_build_ends_as_it_says(name, capsys):
    code = cli.main(["check", name])
    out = capsys.readouterr().out
    stops = int(re.search(r"^(\d+) stops? not accepted, \d+ not decidable yet\.$", out, re.M)[1])
    standing = len(re.findall(r"^  STOP", out, re.M)) - len(re.findall(r"^  STOP, ACCEPTED", out, re.M))
    assert standing == stops and (code == 1) == (stops > 0) and code in (0, 1, 3)


def test_the_module_passes_its_code_on(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text(TOO_FAST, encoding="utf-8")
    done = subprocess.run([sys.executable, "-m", "jackshaft", "check", str(path)], capture_output=True, text=True)
    assert done.returncode == 1 and "STOP" in done.stdout and done.stderr == ""


@pytest.mark.parametrize(("user", "more"), [(0, ["--allow-root"]), (1000, [])])
def test_lab_opens_the_start_page_at_the_top_for_root_too(monkeypatch, user, more):
    calls = []
    monkeypatch.setattr(cli.os, "geteuid", lambda: user, raising=False)
    monkeypatch.setattr(
        cli.subprocess, "run", lambda line, **k: calls.append((line, k)) or SimpleNamespace(returncode=7)
    )
    assert cli.main(["lab", "--no-browser", "--port=8890"]) == 7
    (line, how), top = calls[0], Path(__file__).parents[2]
    # tests/browser/test_start_and_record.py follows that address
    page = "--LabApp.default_url=/workbook/notebooks/00_start_here.ipynb"
    own = ["--LabApp.news_url=None", *more, "--no-browser", "--port=8890"]
    assert line[1:] == ["-m", "jupyterlab", f"--ServerApp.root_dir={top}", page, *own] and how["cwd"] == top


def test_only_the_lab_takes_what_is_not_ours(capsys):
    assert cli.main(["builds", "--no-browser"]) == cli.USAGE
    assert "unrecognized arguments: --no-browser" in capsys.readouterr().err
