"""Builds that are half known, as a newcomer enters them: nothing that they name is passed over in silence.

What is missing is named by the key that gives it: a speed by what the stages lack, not by a key beside them.
"""

import errno
import os
import re
import sys
from html import escape
from pathlib import Path

import pytest
from builders import check_of
from jackshaft.bench import Bench, open_build
from jackshaft.buildfile import DEMO, NotSaved, edited, load, open_anyhow, parse
from jackshaft.results import work_up
from jackshaft.results.checks import GO, UNDECIDED
from jackshaft.results.findings import CANNOT
from jackshaft.results.measuring import PART_FORM, WRITE_FORM
from jackshaft.start import controller as desk
from jackshaft.start import parts as desk_parts
from jackshaft.start.forms import StartForms

sys.path.append(str(Path(__file__).parents[1] / "contract"))
from test_nothing_silent import silent_in  # noqa: E402

PUMP = """
[engine]
kind = "petrol engine"
rated_power = "6.5 hp"
rated_speed = "3600 rpm"
[work]
shaft = "pump shaft"
[[shaft]]
name = "pump shaft"
diameter = "3/4 in"
[[stage]]
name = "belt"
kind = "belt"
from = "engine"
to = "pump shaft"
section = "A"
driver = "P1"
driven = "P2"
[[stage.pulley]]
name = "P1"
diameter = "3 in"
[[stage.pulley]]
name = "P2"
diameter = "6 in"
[[bearing]]
name = "front"
"""
SPLITTER = """
[work]
shaft = "pump shaft"
[[shaft]]
name = "jackshaft"
[[shaft.load]]
name = "big pulley"
[[shaft]]
name = "pump shaft"
[[shaft.joint]]
name = "pump spline"
kind = "spline"
[[stage]]
name = "belts"
kind = "belt"
from = "engine"
to = "jackshaft"
driver = "E"
driven = "J"
[[stage.pulley]]
name = "E"
[[stage.pulley]]
name = "J"
[[stage.pulley]]
name = "idler"
side = "outside"
[[stage]]
name = "coupling"
from = "jackshaft"
to = "pump shaft"
[[bearing]]
name = "left"
shaft = "jackshaft"
"""
MIXER = """
clutch = "none"
[engine]
kind = "electric motor"
rated_speed = "1420 rpm"
[work]
shaft = "drum shaft"
speed_least = "24 rpm"
[[shaft]]
name = "countershaft"
[[shaft]]
name = "drum shaft"
[[stage]]
name = "belt"
kind = "belt"
from = "engine"
to = "countershaft"
section = "SPZ"
[[stage]]
name = "ring"
kind = "gear"
from = "countershaft"
to = "drum shaft"
driver_teeth = 12
"""
ELEVATOR = """
[engine]
work_speed = "2800 rpm"
[work]
shaft = "head"
[[shaft]]
name = "first"
[[shaft]]
name = "head"
[[shaft]]
name = "spare"
[[stage]]
name = "fast"
kind = "belt"
from = "engine"
to = "first"
[[stage]]
name = "chain"
kind = "roller chain"
from = "first"
to = "head"
driver_teeth = 13
[shear_pin]
diameter = "1/4 in"
"""
MOWER = """
[engine]
rated_power = "16 hp"
[work]
shaft = "spindle"
[[shaft]]
name = "spindle"
[[bearing]]
name = "top"
marking = "6205"
shaft = "spindle"
[clutch]
kind = "electromagnetic"
static_torque = "110 lbf·ft"
[[stage]]
name = "deck belt"
kind = "belt"
from = "engine"
to = "spindle"
"""
BUILDS = {"pump": PUMP, "splitter": SPLITTER, "mixer": MIXER, "elevator": ELEVATOR, "mower": MOWER}
by_build = pytest.mark.parametrize("name", BUILDS)


def build_of(name, more=""):
    return parse(f'schema = 1\nname = "{name}"\n{BUILDS[name]}{more}'.encode(), file=f"{name}.toml")


def with_part(part, **values):
    """The demo build with one part more."""
    build, name = load(DEMO), part.rpartition("[")[2].rstrip("]")
    changes = {f"{part}.name": name} | {f"{part}.{k}": v for k, v in values.items()}
    return parse(edited(build.text, changes).encode(), file="more.toml")


@by_build
def test_nothing_is_passed_over(name):
    assert silent_in(build_of(name)) == set()


@by_build
def test_an_undecided_check_names_each_missing_key_once_and_none_that_is_known(name):
    build = build_of(name)
    results = work_up(build)
    assert not results.faults
    for check in results.checks:
        if check.verdict == UNDECIDED and check.found != CANNOT:
            assert check.missing, check.id
            assert len(set(check.missing)) == len(check.missing), check.id
            assert [k for k in check.missing if build.get(k) is not None] == [], check.id


@by_build
def test_a_stage_without_a_layout_is_open_in_grip_and_capacity_too(name):
    """Seen: 'Tension and grip: partly computed' with no check at all; with two stages one's go spoke for both."""
    build = build_of(name)
    results = work_up(build)
    for stage in build.names("stage"):
        if build.get(f"stage[{stage}].kind") == "belt":
            lacks = check_of(results, f"layout.length[{stage}]").missing
            for id in (f"grip.margin[{stage}]", f"capacity.power[{stage}]"):
                check = check_of(results, id)
                assert (check.verdict, check.missing) == (UNDECIDED, lacks), id
    assert all(state != "worked out in part" for title, _, state in results.summary)


def test_a_belt_without_a_path_is_named_where_nothing_could_be_worked_out():
    """Pulleys of 3 in and 6 in on centres of 3 in overlap: 1.5 in and 3 in of radius are more."""
    sizes = {f"stage[belt].pulley[P{n}].measured_as": "datum" for n in (1, 2)}
    results = work_up(build_of("pump").with_values(sizes | {"stage[belt].centres": "3 in"}))
    assert check_of(results, "layout.path[belt]").verdict == "stop"
    for chapter in ("grip", "capacity"):
        found = results.chapters[chapter]
        assert found.state == "not known yet" and "belt of: belt" in found.words


def test_a_stage_that_says_nothing_is_asked_for_its_kind_and_called_no_belt():
    results = work_up(build_of("splitter"))
    assert check_of(results, "layout.kind[coupling]").missing == ("stage[coupling].kind",)
    assert not any(c.id in ("layout.length[coupling]", "grip.margin[coupling]") for c in results.checks)


def test_a_speed_is_asked_of_the_stages_that_lead_to_the_shaft():
    """Seen: the mower's spindle asked for its own speed, 'where no engine or stage gives it', with both in the file."""
    missing = check_of(work_up(build_of("mower")), "bearings.life[top]").missing
    assert {"stage[deck belt].driver", "engine.work_speed"} <= set(missing)
    assert not any(k.endswith("].work_speed") for k in missing)
    text = b'schema = 1\nname = "t"\n[[shaft]]\nname = "s"\n[[bearing]]\nname = "b"\nshaft = "s"\n'
    alone = parse(text, file="t.toml")
    assert "shaft[s].work_speed" in check_of(work_up(alone), "bearings.life[b]").missing


def test_a_bearing_of_a_machine_with_shafts_is_asked_which_one_and_for_its_sizes():
    missing = check_of(work_up(build_of("pump")), "bearings.life[front]").missing
    assert missing == tuple(f"bearing[front].{k}" for k in ("shaft", "bore", "outside", "width")) + ("wanted_life",)


@pytest.mark.parametrize(
    ("part", "values", "lacks", "ids"),
    [
        ("shaft[jackshaft].feature[hole]", {}, ("kind", "position"), ("shafts.strength[jackshaft]",)),
        ("shaft[jackshaft].feature[hole]", {"kind": "weld"}, ("position",), ("shafts.yield[jackshaft]",)),
        ("shaft[jackshaft].joint[hub]", {"position": "3 in"}, ("kind",), ("shafts.strength[jackshaft]",)),
        ("circuit.load[beacon]", {}, ("current",), ("electric.charging", "electric.charging-idle")),
        ("circuit.load[fan]", {"same_wire": True}, ("current",), ("electric.fuse", "electric.voltage")),
        ("circuit.joint[plug]", {}, ("drop",), ("electric.voltage", "electric.drop")),
    ],
)
def test_a_part_of_which_nothing_is_known_leaves_open_what_it_may_spoil(part, values, lacks, ids):
    """Seen: a cross hole without a place, and a beacon without a current, and the checks went on to say go."""
    before, after = work_up(load(DEMO)), work_up(with_part(part, **values))
    for id in ids:
        assert check_of(before, id).verdict == GO
        check = check_of(after, id)
        assert check.verdict == UNDECIDED and check.missing == tuple(f"{part}.{k}" for k in lacks), id


def test_a_load_that_is_off_while_the_clutch_is_engaged_leaves_nothing_open():
    results = work_up(with_part("circuit.load[starter]", off_engaged=True))
    assert check_of(results, "electric.charging").verdict == GO


@pytest.mark.parametrize(
    ("taken", "id"),
    [
        ("stage[crank belts].takeup.kind", "grip.margin[crank belts]"),
        ("stage[crank belts].takeup.idler", "grip.margin[crank belts]"),
        ("bearing[chain side].width", "bearings.life[chain side]"),
    ],
)
def test_what_was_taken_out_is_what_is_asked_for(taken, id):
    """Seen: without the kind of take-up another tension was asked for, without a width the maker's rating."""
    check = check_of(work_up(load(DEMO).with_values({taken: ""})), id)
    assert check.verdict == UNDECIDED and check.missing == (taken,)


def test_what_a_power_is_stated_at_is_not_asked_for_before_the_power():
    """Seen: 'Measure next: the shaft that power is stated at', while nobody knew the power."""
    build = load(DEMO).with_values({"work.power_at": ""})
    assert next(w.key for w in work_up(build).wanted) == "work.power_at"
    keys = [w.key for w in work_up(build.with_values({"work.power": ""})).wanted]
    assert keys[:2] == ["work.power", "work.power_at"]


@by_build
def test_each_line_of_what_to_measure_names_a_form_that_takes_it(name):
    build = build_of(name)
    lists = desk.measurements(build), desk_parts.lists(build)
    write, add = ({key: words for words, key in found} for found in lists)
    wanted = work_up(build).wanted
    assert wanted
    for one in wanted:
        offered = {WRITE_FORM: write, PART_FORM: add}[one.form]
        assert offered[one.key].startswith("wanted: "), one.key
    shown = Bench(build).wanted().text.splitlines()
    first = wanted[0]
    assert first.key in shown[0] and first.form in shown[0] and first.names[0] in shown[0]


def test_the_card_of_the_open_build_says_so_or_none_does(own_data, monkeypatch, tmp_path):
    """Seen: for a build outside the folder, or one that stands in for another, the list stood on the first."""
    monkeypatch.delenv("JACKSHAFT_BUILD", raising=False)
    assert StartForms(load("drum_mixer")).cards.here == "drum_mixer"
    outside = tmp_path / "drum_mixer.toml"
    outside.write_text(f'schema = 1\nname = "pump"\n{PUMP}', encoding="utf-8")
    for build in (open_anyhow(outside), open_anyhow("gone")):
        forms = StartForms(build)
        assert forms.cards.here == "" and not any("<em>is open" in forms.cards.words(n) for n in forms.cards.names)
    forms.cards.press("drum_mixer")
    assert forms.build.slug == forms.cards.here == "drum_mixer" and "<em>is open" in forms.cards.words("drum_mixer")


def test_the_values_of_the_page_are_folded(own_data):
    html = open_build(DEMO).inventory().html
    assert html.startswith("<details><summary>Show all ") and html.endswith("</details>")


@pytest.mark.parametrize(
    ("code", "todo"),
    [(errno.ENOSPC, "Free some room"), (errno.EROFS, "leave to write"), (errno.EIO, "Look whether the disk")],
)
def test_a_save_that_the_disk_refuses_says_what_happened_what_stands_and_what_to_do(own_data, monkeypatch, code, todo):
    build = load(DEMO)
    before = build.path.read_bytes()

    def refuse(*_args):
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, "fsync", refuse)
    with pytest.raises(NotSaved) as said:
        build.save_values({"wanted_life": "700 h"})
    words = str(said.value)
    assert os.strerror(code) in words and "The old file is unchanged." in words and todo in words
    assert build.path.read_bytes() == before


def test_a_file_that_cannot_be_read_at_all_asks_for_nothing_but_to_be_put_right(tmp_path):
    """Seen: 'Write the right value down on the start page', where nothing can be kept; the engine asked for."""
    file = tmp_path / "broken.toml"
    file.write_text('schema = 1\nname = "x"\n[engine\nkind = "petrol engine"\n', encoding="utf-8")
    bench = open_build(file)
    assert "line 3" in bench.title().text and "text editor" in bench.title().text
    assert "Write the right value down" not in bench.title().text
    assert bench.wanted().text.startswith("Put the build file right first")


def test_the_record_says_a_source_once_and_a_caution_in_one_place(record_of):
    html = record_of(DEMO)
    listed = re.search(r'<ol class="small notes">(.*?)</ol>', html, re.S).group(1)
    titles = [line.partition(": ")[0] for line in re.findall(r'<li id="note-\d+">(.*?)</li>', listed)]
    assert len(titles) > 20 and len(set(titles)) == len(titles)
    for check in work_up(load(DEMO)).checks:
        if check.verdict in ("caution", "stop"):
            assert html.count(f"<code>[{escape(check.id)}]</code>") == 1, check.id
    for anchor in re.findall('href="#(.*?)"', html):
        assert f'id="{anchor}"' in html, anchor
