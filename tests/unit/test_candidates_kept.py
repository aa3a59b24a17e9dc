"""Candidates that the build file holds: written, read back, judged, renamed along, and never in the way."""

import pytest
from jackshaft.buildfile import BuildProblems, load, rename_part
from jackshaft.buildfile.candidates import differences, lines_of, stored, tried
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.results.keeping import keep

DEMO = "feed_wagon_auger"
E = "stage[crank belts].pulley[E]"


def candidate(name, changes, reason=""):
    at = f"candidate[{name}]"
    return {f"{at}.name": name, f"{at}.changes": changes, f"{at}.reason": reason, f"{at}.date": "2026-11-28"}


def kept(build, name, changes, reason=""):
    return keep(build, candidate(name, changes, reason))


def test_a_candidate_is_kept_read_back_and_leaves_the_fingerprint(own_data):
    before = load(DEMO)
    size = before.get(f"{E}.diameter")
    changes = {f"{E}.diameter": "3 in", "work.power": ""}
    kept(before, "small pulley", lines_of(changes), "it wears the belt")
    build = load(DEMO)
    (one,) = stored(build)
    assert (one.name, one.reason, one.texts) == ("small pulley", "it wears the belt", changes)
    assert fingerprint(build) == fingerprint(before)
    assert fingerprint(build.with_values({f"{E}.diameter": "3 in"})) != fingerprint(build)
    assert dict((k, (new, old)) for k, new, old in differences(build, one))[f"{E}.diameter"] == ("3 in", size.text)
    trial, _ = tried(build, one)
    assert trial.get(f"{E}.diameter").si == pytest.approx(0.0762) and trial.get("work.power") is None
    # the same size in another unit is no difference
    typed = build.with_values({f"{E}.diameter": "76.2 mm"})
    assert f"{E}.diameter" not in [key for key, *_ in differences(typed, one)]


@pytest.mark.parametrize(
    "changes, says",
    [
        ("stage[gone].pulley[E].x = 3 in", "gone"),
        ("stage[crank belts].pulley[gone].x = 3 in", "gone"),
        ("stage[crank belts].colour = red", "colour"),
        (f"{E}.diameter = 3 kg", "length"),
        ("make it smaller", "make it smaller"),
    ],
)
def test_a_candidate_that_does_not_read_says_why_and_stays_in_the_file(own_data, changes, says):
    build = kept(load(DEMO), "old one", changes)
    assert not build.problems
    with pytest.raises(BuildProblems, match=says):
        differences(build, stored(build)[0])
    kept(load(DEMO), "another", f"{E}.diameter = 4 in")
    assert [c.changes for c in stored(load(DEMO))] == [changes, f"{E}.diameter = 4 in"]


def test_a_renamed_part_is_renamed_in_the_candidates_too(own_data):
    build = kept(load(DEMO), "small pulley", lines_of({f"{E}.diameter": "3 in"}))
    build, carried = rename_part(build, "stage[crank belts]", "front belts")
    assert "candidate[small pulley].changes" in carried
    assert list(stored(build)[0].texts) == ["stage[front belts].pulley[E].diameter"]
    assert differences(build, stored(build)[0])


def test_two_windows_keep_and_remove_candidates_side_by_side(own_data):
    first = kept(load(DEMO), "one", f"{E}.diameter = 3 in")
    kept(first, "two", f"{E}.diameter = 4 in")
    # the first window does not know of the second candidate yet
    assert [c.name for c in stored(keep(first, {"candidate": ()}))] == ["two"]
