"""What scripts read and write: checks and facts as JSON, values set from the command line."""

import json

import pytest
from jackshaft import cli
from jackshaft.buildfile import DEMO, builds_dir, load
from jackshaft.results import work_up

CHECK = {"id", "name", "verdict", "value", "limit", "accepted", "missing", "reason"}
CHECK |= {"remedy", "cures", "guards", "source"}
NUMBER = {"si", "kind", "low", "likely", "high", "known", "source", "text"}


@pytest.fixture
def run(capsys):
    def call(*arguments):
        code = cli.main([*map(str, arguments)])
        out, err = capsys.readouterr()
        return code, out, err

    return call


def numbers(data):
    """Yield every number of printed data."""
    if isinstance(data, dict):
        if "si" in data:
            yield data
        for value in data.values():
            yield from numbers(value)
    elif isinstance(data, list):
        for value in data:
            yield from numbers(value)


def test_checks_are_printed_as_data_with_the_exit_code_of_check(run):
    code, out, _ = run("check", DEMO, "--json")
    data = json.loads(out)
    results = work_up(load(DEMO))
    assert code == results.exit_code and data["schema"] == 1 and data["build"] == results.build.name
    assert [(c["id"], c["verdict"]) for c in data["checks"]] == [(c.id, c.verdict) for c in results.checks]
    assert all(set(c) == CHECK for c in data["checks"])
    assert all(set(n) == NUMBER and n["si"] == n["likely"] for n in numbers(data))


def test_facts_and_tables_are_printed_as_data(run):
    code, out, _ = run("facts", DEMO, "--json")
    data = json.loads(out)
    results = work_up(load(DEMO))
    assert code == 0
    assert len(data["facts"]) == sum(len(c.facts) for c in results.chapters.values())
    assert all(len(row) == len(t["columns"]) for t in data["tables"] for row in t["rows"])
    assert all(set(n) == NUMBER for n in numbers(data))


def test_values_are_set_as_a_form_would(run, own_data):
    code, out, err = run("set", DEMO, "engine.work_speed=2950 rpm", "stage[crank belts].belts=3")
    assert (code, err) == (0, "") and "engine.work_speed" in out
    build = load(DEMO)
    assert build.get("engine.work_speed").text == "2950 rpm" and build.get("stage[crank belts].belts") == 3
    code, out, err = run("set", DEMO, 'stage["crank belts"].belts=2', "log[first run].engine_speed=2950 rpm")
    assert load(DEMO).names("stage") == build.names("stage") and load(DEMO).get("stage[crank belts].belts") == 2
    assert "log[first run] is new" in out and "stage[crank belts] is new" not in out


def test_a_new_file_is_written_and_the_build_stays(run, own_data):
    before = load(DEMO).text
    there = builds_dir() / "faster.toml"
    assert run("set", DEMO, "engine.work_speed=2950 rpm", "--out", there)[0] == 0
    assert load(DEMO).text == before and load("faster").get("engine.work_speed").text == "2950 rpm"


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("engine.work_speed=fast", "engine.work_speed"),
        ("engine.wrk=3", "engine.wrk"),
        ("engine.work_speed", "KEY=TEXT"),
        ("=3", "KEY=TEXT"),
        ("stage.crank belts.belts=3", "such as stage[belt]"),
        (("engine.work_speed=2950 rpm", "stage[crank belts].marked=A 6?"), "toml: stage[crank belts].marked: found"),
    ],
)
def test_what_cannot_be_set_is_refused_in_words_and_nothing_is_written(run, own_data, value, words):
    before = load(DEMO).text
    code, out, err = run("set", DEMO, *([value] if isinstance(value, str) else value))
    assert code == 2 and out == "" and words in err and "wanted" in err
    assert load(DEMO).text == before
