"""Candidates that the build file holds: written, read back, judged, renamed along, and never in the way."""

import pytest
from jackshaft.buildfile import BuildProblems, load, rename_part
from jackshaft.buildfile.candidates import differences, lines_of, stored, tried
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.chapters.grip.panel import panel as tension
from jackshaft.chapters.layout.panel import panel as layout
from jackshaft.record import page
from jackshaft.results import work_up
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


def test_the_record_says_what_was_considered_and_not_taken(own_data):
    build = kept(load(DEMO), "small pulley", lines_of({f"{E}.diameter": "3 in"}), "it wears the <belt>")
    build = kept(build, "old one", "stage[gone].pulley[E].x = 3 in")
    html = page(work_up(build), {})
    table = html.split('id="considered"')[1].split("</section>")[0]
    assert "it wears the &lt;belt&gt;" in table and f"{E}.diameter = 3 in" in table
    assert build.get(f"{E}.diameter").text in table and "old one" in table and "does not go with the build" in table
    # one that was taken after all is not listed as not taken
    taken = page(work_up(build.with_values({f"{E}.diameter": "3 in"})), {})
    assert "it wears" not in taken.split('id="considered"')[1].split("</section>")[0]
    assert 'id="considered"' not in page(work_up(load(DEMO).with_values({"candidate": ()})), {})


@pytest.fixture
def panel(own_data):
    return layout(load(DEMO))


def test_a_panel_keeps_its_candidate_and_a_panel_of_tomorrow_shows_it(panel):
    was = panel.state.texts[f"{E}.diameter"]
    panel.set(f"{E}.diameter", "5 in")
    panel.pin()
    panel.store("A", "", "too large")
    assert "wanted a name" in panel._alert.value and not stored(load(DEMO))
    pinned = panel.state.pins[0]
    panel.store("A", "large E", "too large")
    # what was found of it serves on: only what is kept beside the design has changed
    assert panel.state.pins[0].outcome is pinned.outcome and panel.state.pins[0].trial.names("candidate")
    assert not pinned.serves(pinned.trial.with_values({"engine.work_speed": "2000 rpm"}), pinned.readings)
    of_the_build = {f"{E}.diameter": panel.state.base_reading(f"{E}.diameter")}
    assert not pinned.serves(pinned.trial, pinned.readings | of_the_build)
    assert "kept with the build" in panel._notice.value and panel._alert.value == ""
    assert panel.state.changes() == {f"{E}.diameter": "5 in"}, "the fields stay as they were"
    tomorrow = layout(load(DEMO))
    (pin,) = tomorrow.state.pins
    assert (pin.name, pin.stored.reason, pin.texts[f"{E}.diameter"]) == ("large E", "too large", "5 in")
    assert tomorrow.state.texts[f"{E}.diameter"] == was
    # its outcome is that of the same change typed
    assert pin.outcome.compare["belt path"].text == panel.outcome.compare["belt path"].text
    assert pin.outcome.compare["belt path"].text != tomorrow.outcome.compare["belt path"].text
    assert "Candidates overlaid" not in tomorrow.view.describe()
    tomorrow.overlay("A")
    tomorrow._draw()
    assert "Candidates overlaid: A" in tomorrow.view.describe()
    tomorrow.use("A")
    assert tomorrow.state.changes() == {f"{E}.diameter": "5 in"}
    tomorrow.store("A", reason="it rubs")
    assert [(c.name, c.reason) for c in stored(load(DEMO))] == [("large E", "it rubs")]
    tomorrow.make("A")
    assert tomorrow.state.pins[0].taken and "The build is like this now" in tomorrow._pins.children[1].children[0].value
    tomorrow.drop("A")
    assert not stored(load(DEMO)) and not tomorrow.state.pins


def test_a_candidate_of_the_build_itself_is_not_kept(panel):
    panel.pin()
    panel.store("A", "same")
    assert "is the build as it is now" in panel._alert.value and not stored(load(DEMO))


def test_a_panel_shows_a_candidate_that_does_not_read_and_takes_it_out(own_data):
    kept(load(DEMO), "old one", "stage[gone].pulley[E].x = 3 in", "too far")
    panel = layout(load(DEMO))
    assert [(one.name, "no stage called" in why) for one, why in panel.state.unread] == [("old one", True)]
    words = "".join(getattr(w, "value", "") for row in panel._pins.children for w in getattr(row, "children", ()))
    assert "old one" in words and "too far" in words and "cannot be compared" in words
    panel._take_out("old one")
    assert not stored(load(DEMO)) and not panel.state.unread


def test_what_was_found_then_is_shown_on_the_page_that_found_it_only(own_data):
    at = "candidate[large E]"
    here = {f"{at}.page": "Try the layout: crank belts", f"{at}.found": "stop: something of then"}
    keep(load(DEMO), candidate("large E", f"{E}.diameter = 5 in") | here)
    heads = [p._pins.children[1].children[0].value for p in (layout(load(DEMO)), tension(load(DEMO)))]
    assert "something of then" in heads[0] and "large E" in heads[1] and "something of then" not in heads[1]
