"""Numbers to work by hand: shop text that reads back, the chapter's word beside it, and words where something lacks."""

import ast
import json
from dataclasses import replace

import numpy as np
import pytest
from jackshaft import formulas
from jackshaft.bench import open_build
from jackshaft.buildfile import DEMO, list_builds, load
from jackshaft.notebooks import find_notebooks
from jackshaft.results import chapters
from jackshaft.results.by_hand import Worked, agree, text, worked
from jackshaft.results.checks import Fact
from jackshaft.results.values import Number
from jackshaft.units import NotKnown, quantity, read, registry, show_in, shown

EXAMPLES = [
    (name, example)
    for name, chapter in chapters().items()
    if chapter.part("by_hand") is not None
    for example in chapter.part("by_hand").EXAMPLES
]


@pytest.fixture(autouse=True)
def no_system_left_over():
    yield
    show_in(None)


@pytest.mark.parametrize(
    ("si", "kind", "system"),
    [(0.11811, "length", "inch"), (373.15, "temperature", "inch"), (1.23456789e-3, "length", "metric"),
     (2.08e-6, "wire", "inch"), (0.0, "length", "inch"), (311.9, "rotation", "metric"), (3e-5, "number", "inch")],
)  # fmt: skip
def test_a_text_reads_back(si, kind, system):
    assert read(text(si, kind, system), kind).si == pytest.approx(si, rel=1e-5)


def test_a_calculation_shows_what_it_takes_and_the_call_typed_out():
    show_in(None)
    one = worked(
        "Belt stage a", "inch", takes={"driver": (0.1016, "length"), "sizes": (np.array([0.0254]), "length"), "n": 2},
        says={"ratio": (0.5, "number")}, call="belt_ratio({driver}, driven={sizes})",
    )  # fmt: skip
    assert (one.driver, one.sizes, one.n, one.says.ratio) == ("4 in", ["1 in"], 2, 0.5)
    assert 'typed out: belt_ratio("4 in", driven=["1 in"])' in repr(one) and "ratio 0.5" in repr(one)
    assert not one.nothing and "nothing" in repr(one.nothing)
    lacks = worked("Belt stage a", "inch", takes={"driver": (None, "length")}, says={"ratio": (None, "number")})
    assert isinstance(lacks.driver, NotKnown) and isinstance(lacks.says.ratio, NotKnown)
    assert "driver is not known yet" in repr(lacks)


def test_agreement_is_to_one_part_in_ten_thousand_and_of_one_kind():
    eight = quantity(8.0, "torque")
    assert agree(quantity(8.0007, "torque"), eight) and not agree(quantity(8.001, "torque"), eight)
    assert "not the same" in repr(agree(registry().Quantity(9.0, "N*m"), eight))
    assert agree(0.5, 0.5) and not agree(0.5, 0.6)
    assert agree(quantity(np.array([1.0, 2.0]), "force"), quantity(np.array([1.0, 2.0]), "force"))
    assert not agree(quantity(np.array([1.0]), "force"), quantity(np.array([1.0, 2.0]), "force"))
    assert "Nothing to compare yet. why" in repr(agree(NotKnown("why"), eight)) and agree(eight, NotKnown("why"))
    with pytest.raises(Exception, match="Cannot convert"):
        agree(quantity(8.0, "force"), eight)


@pytest.mark.parametrize(
    ("si", "kind", "system", "words"),
    [
        (8.0, "torque", None, "8.00 N·m (5.90 lbf·ft)"),
        (8.0, "torque", "inch", "5.90 lbf·ft (8.00 N·m)"),
        (8.0, "torque", "metric", "8.00 N·m"),
        (4.0, "current", "inch", "4.00 A"),
        (np.array([0.0254, 0.0508]), "length", "metric", "[25.400 mm, 50.800 mm]"),
    ],
)
def test_a_quantity_shows_itself_in_the_units_of_the_open_build(si, kind, system, words):
    show_in(system)
    q = quantity(si, kind)
    assert repr(q) == str(q) == shown(q) == q._repr_html_() == words


def test_a_quantity_in_a_unit_of_its_own_keeps_it():
    Q = registry().Quantity
    assert repr(Q(239970.5, "hour")) == "239970 h" and "kelvin" not in repr(Q(80.0, "kelvin"))
    with pytest.raises(ValueError, match="cubits"):
        show_in("cubits")


# every example on every build: the values of the texts give what the chapter says

CALLS = {name: thing for name, thing in vars(formulas).items() if name in formulas.__all__}


def results_of(one: Worked):
    """What the typed-out call of an example gives: one result, or several."""
    line = repr(one).rpartition("typed out: ")[2]
    assert {n.id for n in ast.walk(ast.parse(line)) if isinstance(n, ast.Name)} <= set(CALLS)
    found = eval(line, CALLS.copy())
    return found if isinstance(found, tuple) and not hasattr(found, "_fields") else (found,)


def candidates(found):
    """A result and its fields."""
    yield found
    yield from (found if hasattr(found, "_fields") else ())


@pytest.mark.parametrize("build", list_builds())
@pytest.mark.parametrize(("chapter", "name"), EXAMPLES)
def test_the_call_typed_out_gives_what_the_chapter_says(chapter, name, build):
    one = open_build(build).by_hand(chapter, name)
    if isinstance(one, NotKnown) or one.missing:
        assert "fault" not in repr(one) and len(repr(one)) > 20
        return
    found = [part for result in results_of(one) for part in candidates(result)]
    said = [value for value in one.says.values() if not isinstance(value, NotKnown)]
    # what is worked on the way, such as the hot resistance, is compared by a call of its own in the notebook
    reached = [value for value in said if any(same(part, value) for part in found)]
    assert reached and (len(reached) == len(said) or (chapter, name) == ("electric", "coil")), (found, said)


def same(part, value) -> bool:
    if type(part) is not type(value) and not (isinstance(part, float) and isinstance(value, float)):
        return False
    if hasattr(part, "dimensionality") and part.dimensionality != value.dimensionality:
        return False
    return bool(agree(part, value))


def test_the_demo_build_knows_enough_for_every_example():
    bench = open_build(DEMO)
    assert len(EXAMPLES) >= 16
    for chapter, name in EXAMPLES:
        one = bench.by_hand(chapter, name)
        assert isinstance(one, Worked) and not one.missing, (chapter, name, one)


def test_every_example_stands_in_a_notebook_with_an_assertion_beside_it():
    asked, asserted = set(), 0
    for path in find_notebooks():
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            for node in ast.walk(ast.parse("".join(cell["source"]) if cell["cell_type"] == "code" else "")):
                if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "by_hand":
                    asked.add(tuple(a.value for a in node.args))
                asserted += isinstance(node, ast.Assert)
    assert asked == set(EXAMPLES) and asserted >= len(EXAMPLES)


EMPTY = 'schema = 1\nname = "Empty"\n'


@pytest.mark.parametrize(("chapter", "name"), EXAMPLES)
def test_an_empty_build_steps_aside_with_words(chapter, name, tmp_path):
    (tmp_path / "empty.toml").write_text(EMPTY, encoding="utf-8")
    one = open_build(tmp_path / "empty.toml").by_hand(chapter, name)
    assert not one and "fault" not in repr(one) and bench_same_is_true(one)


def bench_same_is_true(one) -> bool:
    return bool(agree(formulas.belt_ratio(one.driver, driven=one.driven), one.says.ratio))


def test_a_fault_is_told_and_raises_nothing(monkeypatch):
    monkeypatch.setitem(chapters()["ratio"].part("by_hand").EXAMPLES, "belt", lambda reader, found: 1 / 0)
    one = open_build(DEMO).by_hand("ratio", "belt")
    assert isinstance(one, NotKnown) and "A fault of the program" in repr(one)


def test_data_is_the_record_or_words():
    bench = open_build(DEMO)
    assert bench.data("ratio") is bench.results.chapters["ratio"].data
    other = open_build("rotor_bearings").data("driveline")
    assert isinstance(other, NotKnown) and "not known yet" in repr(other)


def test_numbers_are_facts_that_are_one_number(monkeypatch):
    bench = open_build(DEMO)
    facts = (Fact("a torque", Number(8.0, "torque", "inch")), Fact("words", "no number"))
    found = replace(bench.results.chapters["ratio"], facts=facts)
    monkeypatch.setitem(bench.results.chapters, "ratio", found)
    assert bench.numbers("ratio") == {"a torque": quantity(8.0, "torque")}


def test_another_design_does_not_agree():
    bench = open_build(DEMO)
    belt = bench.by_hand("ratio", "belt")
    assert bench.same(formulas.belt_ratio(belt.driver, driven=belt.driven, creep=belt.creep), belt.says.ratio)
    assert not bench.same(formulas.belt_ratio("5 in", driven=belt.driven, creep=belt.creep), belt.says.ratio)
    assert load(DEMO).system == "inch"
