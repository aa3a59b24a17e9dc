"""What the builder takes on: what was found then stands beside what is found now, and a guard is never taken on."""

import html

import pytest
from jackshaft import cli
from jackshaft.buildfile import BuildProblems, load
from jackshaft.render.html import checks_html
from jackshaft.render.plain import check_line
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, STOP
from jackshaft.results.keeping import keep

DEMO = "feed_wagon_auger"


def acceptance(id: str, reason: str = "light work, one man") -> dict[str, str]:
    at = f"accepted[{id}]"
    return {f"{at}.name": id, f"{at}.reason": reason, f"{at}.date": "2026-03-14"}


def check(build, id):
    return next(c for c in work_up(build).checks if c.id == id)


def test_what_was_accepted_says_the_number_of_then_and_of_now(own_data):
    build = load(DEMO)
    moved = {"stage[crank belts].pulley[I].diameter": "4 in"}
    after = {c.id: c for c in work_up(build.with_values(moved)).checks if c.verdict in (CAUTION, STOP)}
    cautions = [c for c in work_up(build).checks if c.verdict == CAUTION]
    before = next(c for c in cautions if c.id in after and after[c.id].value != c.value)
    kept = keep(build, acceptance(before.id))
    taken = check(load(DEMO), before.id)
    assert taken.accepted.found == f"{before.verdict}, {before.value}" and " then; it is " not in check_line(taken)
    now = check(kept.with_values(moved), before.id)
    assert now.value != before.value and now.accepted is not None and not now.stands
    for shown in (check_line(now), html.unescape(checks_html([now]))):
        assert before.value in shown and now.value in shown and " then; it is " in shown


def test_an_acceptance_written_by_hand_is_valid_without_the_number_of_then():
    build = load(DEMO)
    id = next(c.id for c in work_up(build).checks if c.verdict == CAUTION)
    taken = check(build.with_values({"accepted": (id,)} | acceptance(id)), id)
    assert taken.accepted.found == "" and " then; it is " not in check_line(taken)



def test_an_acceptance_of_a_guard_is_refused_at_entry(own_data, capsys):
    path = own_data / "builds" / f"{DEMO}.toml"
    build = keep(load(DEMO), {"circuit.fuse": "40 A", "circuit.wire": "18 AWG"})
    guard = next(c for c in work_up(build).checks if c.guards and c.verdict == STOP)
    before = path.read_bytes()
    with pytest.raises(BuildProblems, match="cannot be accepted"):
        keep(build, acceptance(guard.id))
    typed = [f"{k}={v}" for k, v in acceptance(guard.id).items()]
    assert cli.main(["set", DEMO, *typed]) == 2
    assert "cannot be accepted" in capsys.readouterr().err and path.read_bytes() == before


def test_a_build_that_holds_such_an_acceptance_can_still_be_written_to(own_data):
    """It may stand in the file by hand, or from when the check was a caution: nothing may lock the builder out."""
    build = keep(load(DEMO), {"circuit.fuse": "40 A", "circuit.wire": "18 AWG"})
    guard = next(c for c in work_up(build).checks if c.guards and c.verdict == STOP)
    written = build.save_values(acceptance(guard.id))
    assert "cannot be accepted" in check(written, guard.id).reason
    assert keep(written, {"work.power": "4.9 hp"}).get("work.power").text == "4.9 hp"
