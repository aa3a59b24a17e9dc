"""A check that cannot be decided names what it lacks, wherever it is shown, and never what is known.

Over every build, and over every build with each of its values taken out, one at a time.
"""

import html
import re
from types import SimpleNamespace

import pytest
from jackshaft.bench import Bench
from jackshaft.buildfile import BuildProblems, load
from jackshaft.record.page import page
from jackshaft.render.html import checks_html
from jackshaft.render.plain import check_line, report
from jackshaft.results import label, work_up
from jackshaft.results.checks import STOP, UNDECIDED
from jackshaft.results.findings import CANNOT
from project import ROOT

BUILDS = sorted([*ROOT.glob("data/builds/*.toml"), *ROOT.glob("tests/builds/*.toml")])
#: Checks that no key would decide: what the tables do not cover. Their reasons say whom to ask.
BEYOND_THE_TABLES = {"capacity.power", "capacity.life"}


def without_each(build):
    """Yield the build, then the build without each of its values in turn, with what was taken out."""
    yield "", build
    for key in build.values:
        if key in ("schema", "name") or key.endswith("].name"):
            continue
        try:
            yield key, build.with_values({key: ""})
        except BuildProblems:
            continue  # what another value rests on cannot go alone


def is_there(build, check, key) -> bool:
    """Tell whether a list that a check wants holds what it wants.

    A list may lack one item more: the bearings of one shaft where those of another are written down, a stage between
    two others. It lacks none where two bearings stand on the shaft, or where the stages lead to the work; and where an
    item does not say yet where it belongs, that is what is to be asked.
    """
    if key == "bearing":
        shafts = [build.get(f"bearing[{n}].shaft") for n in build.names(key)]
        return None in shafts or shafts.count(check.id.partition("[")[2].removesuffix("]")) >= 2
    if key == "stage":
        ends = [tuple(build.get(f"stage[{n}].{end}") for end in ("from", "to")) for n in build.names(key)]
        reached = {"engine"}
        while more := {end for start, end in ends if start in reached} - reached:
            reached |= more
        return any(None in pair for pair in ends) or bool(ends) and build.get("work.shaft") in {*reached, None}
    return bool(build.names(key))


def faults_of(results) -> list[str]:
    build, found = results.build, [f"{c.name} failed" for c in results.faults]
    for check in results.checks:
        if check.verdict != UNDECIDED:
            continue
        if not check.missing and check.id.partition("[")[0] not in BEYOND_THE_TABLES:
            found.append(f"{check.id} names nothing")
        if check.found != CANNOT:
            found += [f"{check.id} lacks {k}, which is known" for k in check.missing if build.get(k) is not None]
            found += [f"{check.id} lacks {k}, which the machine has not" for k in check.missing if build.is_none(k)]
            found += [f"{check.id} lacks {k}, which is there" for k in check.missing if is_there(build, check, k)]
    found += [f"{w.key} is asked for and known" for w in results.wanted if build.get(w.key) is not None]
    return found + [f"{w.key} is asked for, and there is none" for w in results.wanted if build.is_none(w.key)]


@pytest.mark.parametrize("path", BUILDS, ids=lambda p: p.stem)
def test_an_undecided_check_names_what_it_lacks_and_nothing_that_is_known(path):
    tried, wrong, before = 0, [], None
    for key, build in without_each(load(path)):
        results = work_up(build, before=before)  # test_workup_reuse: as if worked up anew
        before = before or results
        wrong += [f"without {key or 'nothing'}: {w}" for w in faults_of(results)]
        tried += 1
    assert wrong == []
    assert tried > 20, "too few values could be taken out to say much"


def test_the_check_of_this_file_sees_a_known_key_and_an_empty_list():
    results = work_up(load(BUILDS[0]))
    key = next(k for k in results.build.values if k.startswith("engine."))
    object.__setattr__(results.checks[0], "verdict", UNDECIDED)
    wrong = (((), "names nothing"), ((key,), "which is known"), (("stage",), "which is there"))
    for missing, seen in wrong:
        object.__setattr__(results.checks[0], "missing", missing)
        assert any(seen in w for w in faults_of(results)), seen


@pytest.mark.parametrize("shaft, wanted", [("", True), ("jackshaft", True), ("output shaft", False)])
def test_one_bearing_more_is_wanted_where_a_shaft_has_none_and_every_bearing_has_its_shaft(shaft, wanted):
    """The demo's two bearings carry the jackshaft; those of the output shaft are not in the file."""
    build = load("feed_wagon_auger")
    if not shaft:
        build, shaft = build.with_values({"bearing[engine side].shaft": ""}), "output shaft"
    check = SimpleNamespace(id=f"bearings.shaft[{shaft}]")
    assert is_there(build, check, "bearing") is wanted


@pytest.mark.parametrize("changes", [{"pulley[I].x": "60 in"}, {"pulley[E].diameter": "90 in"}])
def test_what_rests_on_a_loop_that_cannot_run_asks_for_no_tension(changes):
    """Seen: an idler clear of its belt, and the bearings asked for the static tension, the chain for another stage."""
    at = "stage[crank belts]"
    results = work_up(load("feed_wagon_auger").with_values({f"{at}.{k}": v for k, v in changes.items()}))
    checks = {c.id: c for c in results.checks}
    assert checks["layout.path[crank belts]"].verdict == STOP
    assert faults_of(results) == []
    for id in ("shafts.strength[jackshaft]", "shafts.pin[crank belts: I]", "bearings.life[chain side]", "chain.holds"):
        check = checks[id]
        assert (check.verdict, check.found) == (UNDECIDED, CANNOT) and "mend that first" in check.reason
        assert f"{at}.pulley[E].x" in check.missing
    assert not [w.key for w in results.wanted if "tension" in w.key or w.key == "stage"]


@pytest.mark.parametrize("key", ["engine.work_speed", "clutch.coil_resistance", "stage[crank belts].section"])
def test_everywhere_an_undecided_check_is_shown_it_says_what_it_lacks(key):
    build = load("feed_wagon_auger").with_values({key: ""})
    results = work_up(build)
    undecided = [c for c in results.checks if c.verdict == UNDECIDED]
    assert any(key in c.missing for c in undecided)
    text, written, to_do = report(results), plain(page(results, {})), Bench(build).to_do()
    for check in undecided:
        words = [label(k) for k in check.missing]
        assert check.missing, check.id
        for shown in (check_line(check), plain(checks_html([check])), written, to_do.text, plain(to_do.html)):
            assert all(w in shown for w in words), (check.id, shown[:300])
        assert ", ".join(check.missing) in text, check.id


def plain(page_html: str) -> str:
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", "", page_html)))
