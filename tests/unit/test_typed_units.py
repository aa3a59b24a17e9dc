"""How a quantity was typed decides nothing: every build in other units gives the same numbers and verdicts."""

import ast
import copy
import os
import random
import re

import pytest
import rewriting
from jackshaft import tables
from jackshaft.buildfile import BuildProblems
from jackshaft.mechanics import belt_series
from jackshaft.parts.listed_sizes import distinct
from jackshaft.results import out_of_date, work_up
from jackshaft.results.checks import CAUTION, GO, STOP, grade
from jackshaft.ui.model import Control, take
from jackshaft.ui.state import PanelState
from jackshaft.units import at_least, at_most, first_least, first_most, read, show

#: Machines spoiled at random; more by hand: JACKSHAFT_REWRITES=3000.
COUNT = int(os.environ.get("JACKSHAFT_REWRITES", "110"))
SEED = int(os.environ.get("JACKSHAFT_REWRITES_SEED", "906"))

FILES = rewriting.files()


def same(one, two):
    return [*rewriting.different(one, two), *rewriting.said_otherwise(one, two)]


# All builds, and machines near them


@pytest.mark.parametrize("which", [0, 1], ids=["in inch units", "in metric units"])
@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_a_build_rewritten_in_one_system_is_the_same_machine(path, which):
    document = rewriting.raw(path)
    other = rewriting.rewritten(document, rewriting.in_system(which))
    assert other != document
    assert same(rewriting.outcome(document), rewriting.outcome(other)) == []


def test_spoiled_machines_rewritten_in_any_units_are_the_same_machines():
    rng, documents = random.Random(SEED), [rewriting.raw(p) for p in FILES]
    refused, wrong = 0, []
    for k in range(COUNT):
        document = rewriting.spoiled(rng.choice(documents), rng)
        other = rewriting.rewritten(document, rewriting.at_random(rng))
        one, two = rewriting.outcome(document), rewriting.outcome(other)
        refused += isinstance(one, list)
        wrong += [f"machine {k} ({document['name']}): {w}" for w in same(one, two)]
    assert wrong == []
    assert refused < COUNT / 2, "too many are refused at loading to say much"


def in_other_units_shown(document):
    """The same file but for shown_in; ambiguous belts have their series written down."""
    one = copy.deepcopy(document)
    shown = one.setdefault("shown_in", "inch")
    for stage in one.get("stage", ()):
        if "section" in stage and stage.get("kind", "belt") == "belt":
            stage.setdefault(
                "series",
                shown
                if len(belt_series.of_section(stage["section"])) > 1
                else belt_series.of_section(stage["section"])[0],
            )
    return one, one | {"shown_in": "metric" if shown == "inch" else "inch"}


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_the_units_that_a_build_is_shown_in_decide_no_verdict(path):
    rng, document = random.Random(SEED), rewriting.raw(path)
    for _ in range(3):
        one, two = map(rewriting.outcome, in_other_units_shown(document))
        if isinstance(one, list):
            assert isinstance(two, list) and [k for k, _ in one] == [k for k, _ in two]
        else:
            assert [(c.id, c.verdict, c.missing) for c in one.checks] == [
                (c.id, c.verdict, c.missing) for c in two.checks
            ]
            assert {n: (c.state, c.missing) for n, c in one.chapters.items()} == {
                n: (c.state, c.missing) for n, c in two.chapters.items()
            }
        document = rewriting.spoiled(rewriting.raw(path), rng)


def test_the_comparison_sees_a_millionth_and_a_verdict():
    document = {
        "schema": 1,
        "name": "small",
        "engine": {"kind": "electric motor", "work_speed": "1500 rpm", "turns": "clockwise"},
        "work": {"shaft": "drum", "speed_least": "700 rpm", "speed_most": "750 rpm"},
        "shaft": [{"name": "drum"}],
        "stage": [
            {
                "name": "belt",
                "kind": "belt",
                "from": "engine",
                "to": "drum",
                "section": "SPZ",
                "driver": "a",
                "driven": "b",
                "centres": "400 mm",
                "pulley": [
                    {"name": "a", "diameter": "100 mm", "measured_as": "datum"},
                    {"name": "b", "diameter": "200 mm", "measured_as": "datum"},
                ],
            }
        ],
    }
    one = rewriting.outcome(document)
    assert same(one, rewriting.outcome(rewriting.rewritten(document, rewriting.in_system(0)))) == []
    for size, seen in (("200.0002 mm", "diameter"), ("180 mm", "checks")):
        other = copy.deepcopy(document)
        other["stage"][0]["pulley"][1]["diameter"] = size
        found = same(one, rewriting.outcome(other))
        assert found, size
        assert seen == "diameter" or any(w.startswith("checks") for w in found)


def test_nothing_that_reckons_or_judges_looks_at_what_was_typed():
    """A marking's text and a belt life's note are no quantity's."""
    rooms = [rewriting.TOP_FOLDER / "lib/jackshaft" / room for room in ("mechanics", "parts", "chapters", "results")]
    shows = re.compile(r"^from jackshaft\.(drawing|ui)\b|SVG", re.MULTILINE)
    files = [f for room in rooms for f in sorted(room.rglob("*.py")) if not shows.search(f.read_text("utf-8"))]
    files = [f for f in files if "controller" not in f.stem]
    assert len(files) > 80
    seen = set()
    for file in files:
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute) and node.attr in ("text", "note"):
                seen.add(f"{file.stem}: {ast.unparse(node)}")
    assert seen <= {"identity: identity.marking.text", "marking: said.text", "analysis: stage.life.note"}


# The belt's series


def belt_build(size="4.2 in", **stage):
    return {
        "schema": 1,
        "name": "loop",
        "shown_in": stage.pop("shown_in", "inch"),
        "engine": {"work_speed": "1500 rpm"},
        "shaft": [{"name": "drum"}],
        "stage": [
            {"name": "s", "kind": "belt", "from": "engine", "to": "drum", "section": "A", "driver": "a", "driven": "b"}
            | {"centres": "20 in"}
            | stage
            | {
                "pulley": [
                    {"name": "a", "diameter": size, "measured_as": "pitch"},
                    {"name": "b", "diameter": "12 in", "measured_as": "pitch"},
                ]
            }
        ],
    }


def series(**stage):
    results = work_up(rewriting.read_build(belt_build(**stage)))
    layout = results.chapters["layout"]
    fact = next(f for f in layout.facts if f.label == "s: belt series")
    assert fact.value == layout.data["s"].belt.system
    return fact.value, fact.note, {c.id: c for c in results.checks}.get("layout.series[s]")


@pytest.mark.parametrize("size", ["4.2 in", "106.68 mm", "10.668 cm", "0.35 ft", "4.2 ± 0.01 in", "106.68 mm (4.2 in)"])
def test_the_series_does_not_hang_on_how_the_first_pulley_was_typed(size):
    found, note, check = series(size=size, marked="A60")
    assert (found, check) == ("inch", None)
    assert "A60" in note


@pytest.mark.parametrize(
    "stage, wanted, words",
    [
        ({"section": "SPA", "series": "metric"}, "metric", "SPA is made in the metric series only"),
        ({"section": "3V", "shown_in": "metric"}, "inch", "3V is made in the inch series only"),
        ({"series": "metric"}, "metric", "as the build says"),
        ({"marked": "A 60", "shown_in": "metric"}, "inch", "counts inches"),
        ({"marked": "A 1550", "length": "1550 mm", "length_is": "inside"}, "metric", "counts millimetres"),
        ({"shown_in": "metric"}, "metric", "series is not set"),
        ({}, "inch", "series is not set"),
    ],
)
def test_what_settles_the_series_is_said(stage, wanted, words):
    found, note, check = series(**stage)
    assert (found, check) == (wanted, None)
    assert words in note


@pytest.mark.parametrize(
    "stage, used",
    [
        ({"section": "AX", "series": "metric"}, "inch"),
        ({"marked": "A60", "series": "metric", "length": "60 in", "length_is": "inside"}, "metric"),
    ],
)
def test_a_build_that_says_two_series_for_one_belt_is_cautioned(stage, used):
    found, _, check = series(**stage)
    assert found == used
    assert check.verdict == CAUTION
    assert used in check.reason


def test_every_marking_of_the_tables_tells_its_own_series():
    """The numbers of inch and metric belts of one section do not meet: 25.4 stands between them."""
    both = [r for r in tables.table("belt_lengths").rows if len(belt_series.of_section(r["section"])) > 1]
    assert {r["system"] for r in both} == {"inch", "metric"}
    for row in both:
        assert belt_series.of_marking(row["designation"], row["section"]) == row["system"], row["designation"]


@pytest.mark.parametrize(
    "marked, section, wanted",
    [
        ("A-68", "A", "inch"),
        ("4/A68", "A", "inch"),
        ("D660", "D", "inch"),
        ("D 4750", "D", "metric"),
        ("A 1800 Li", "A", "metric"),
        ("13x1800", "A", "metric"),
        ("17 x 1800 Ld", "B", "metric"),
        ("A 68 in", "A", "inch"),
        ("worn off", "A", None),
        ("A?", "A", None),
        ("A0", "A", None),
        ("AX68", "A", None),
    ],
)
def test_a_marking_tells_the_series_where_it_has_a_number(marked, section, wanted):
    assert belt_series.of_marking(marked, section) == wanted


def test_a_belt_of_one_series_is_no_other_when_the_build_is_shown_otherwise():
    """The section decides before the units that are shown."""
    assert series(section="SPZ")[0] == series(section="SPZ", shown_in="metric")[0] == "metric"


# A limit that is met to rounding is met


def test_a_limit_met_but_for_the_last_bit_is_met():
    third = 0.1 + 0.2
    assert third > 0.3 and at_most(third, 0.3) and at_least(0.3, third)
    assert not at_most(0.3 * (1 + 1e-8), 0.3) and not at_least(0.3 * (1 - 1e-8), 0.3)
    assert not at_least(float("nan"), 0.0) and not at_most(float("nan"), 0.0)
    assert at_least(float("inf"), 1.0) and not at_most(float("inf"), 1.0)
    assert at_least(-third, -0.3) and at_most(0.0, 0.0)


@pytest.mark.parametrize("up", [True, False])
def test_a_verdict_does_not_flip_in_the_twelfth_digit(up):
    off = 1 - 5e-12 if up else 1 + 5e-12
    assert grade(likely=9.0 if up else 1.0, bad=2.0 * off, limit=2.0, higher_is_better=up) == GO
    assert grade(likely=2.0 * off, bad=1.0 if up else 9.0, limit=2.0, higher_is_better=up) == CAUTION
    assert grade(likely=1.99 if up else 2.01, bad=1.0 if up else 9.0, limit=2.0, higher_is_better=up) == STOP


def test_of_values_that_are_one_but_for_rounding_the_first_is_taken():
    assert first_most([1.0, 0.3, 1.0 + 1e-15]) == 0 and first_most([1.0, 1.0 + 1e-6]) == 1
    assert first_least([0.1 + 0.2, 0.3]) == 0 and first_least([0.3 + 1e-6, 0.3]) == 1
    assert first_most([-float("inf"), -2.0, -2.0]) == 1 and first_least([float("inf"), float("inf")]) == 0


def test_a_bound_of_a_key_is_the_same_bound_in_other_units():
    """Friction up to 1.2 and a ride-out up to 20 mm may be said as 120 % and 0.787401574803 in."""
    for text in ("20 mm", "0.787401574804 in"):
        build = belt_build()
        build["stage"][0]["pulley"][0]["ride_out"] = text
        assert rewriting.read_build(build).get("stage[s].pulley[a].ride_out").text == text
    build["stage"][0]["pulley"][0]["ride_out"] = "0.78741 in"
    with pytest.raises(BuildProblems, match="ride_out"):
        rewriting.read_build(build)


def test_a_size_on_the_edge_of_a_tables_range_takes_the_same_row_in_both_units():
    """5.4 in is the edge of the A groove, 137.16 mm in the table; as floats the two differ in the last bit."""
    grooves = tables.table("belt_grooves")
    rows = [
        grooves.covering(mm, "over_mm", "to_mm", sections="A;AX", system="inch", groove="standard").rows
        for mm in (137.16 * (1 + 2e-12), 137.16, 137.16 * (1 - 2e-12))
    ]
    assert rows[0] == rows[1] == rows[2] and len(rows[0]) == 1
    assert rows[0][0]["to_mm"] == 137.16


def test_what_stands_half_way_is_shown_rounded_up_in_whatever_unit_it_was_typed():
    for texts in (("2.565 kW", "2565 W"), ("4 in", "101.6 mm", "10.16 cm")):
        shown = {
            show(read(t, "power" if "W" in t else "length").si * (1 + e), "power" if "W" in t else "length", "metric")
            for t in texts
            for e in (-5e-12, 0.0, 5e-12)
        }
        assert len(shown) == 1, shown
    assert show(0.0625 * 0.0254, "length", "inch") == "0.0625 in"


# Panels


def wire_panel(document_wire):
    build = rewriting.read_build({"schema": 1, "name": "wire", "circuit": {"wire": document_wire}})
    control = Control("circuit.wire", "Wire size", "choice", choices=("16 AWG", "14 AWG"))
    return PanelState(build, (control,), lambda build, whatif: None)


def test_a_wire_typed_by_its_copper_stands_under_its_gauge_in_a_list():
    """16 AWG is 1.3086957 mm² (ASTM B258)."""
    state = wire_panel("1.3086957 mm²")
    assert state.texts["circuit.wire"] == "16 AWG"
    assert not state.troubles and state.changes() == {}
    state.set("circuit.wire", "14 AWG")
    assert state.changes() == {"circuit.wire": "14 AWG"}


def test_a_reading_is_the_same_in_other_units_and_another_with_another_tolerance():
    control = Control("stage[s].centres", "Centres", "1 to 40 in by 1")
    a, b, c, d = (take(control, t, "inch") for t in ("4.2 in", "106.68 mm", "4.2 ± 0.1 in", "106.68 ± 2.54 mm"))
    assert a.same(b) and b.same(a) and c.same(d)
    assert not a.same(c) and not d.same(b)


def test_a_value_typed_in_another_unit_makes_nothing_out_of_date():
    build = rewriting.read_build(belt_build())
    results = work_up(build)
    other = build.with_values({"stage[s].pulley[a].diameter": "0.35 ft", "stage[s].centres": "1 ft 8 in"})
    assert out_of_date(build, other, tuple(results.chapters.values())) == ()
    moved = build.with_values({"stage[s].pulley[a].diameter": "4.21 in"})
    assert {c.name for c, _ in out_of_date(build, moved, tuple(results.chapters.values()))} >= {"ratio", "layout"}


def test_sizes_to_try_are_one_however_they_are_written():
    assert len(distinct([0.1016, read("4 in", "length").si, read("101.6 mm", "length").si, 0.12])) == 2


@pytest.mark.parametrize("kind", ["true gauge", "automotive", None])
def test_what_a_gauge_means_is_said_by_a_key_and_not_by_the_text(kind):
    def wire(text):
        circuit = {"wire": text, "length_out": "9 ft", "length_back": "9 ft", "running_voltage": "14 V"}
        circuit |= {"wire_kind": kind} if kind else {}
        return rewriting.outcome(
            {"schema": 1, "name": "wire", "clutch": {"coil_resistance": "3 ohm"}, "circuit": circuit}
        )

    gauge, copper = wire("16 AWG"), wire("1.3086957 mm²")
    assert gauge.chapters["electric"].data is not None
    assert list(rewriting.different(gauge, copper, rel=1e-5)) == []
