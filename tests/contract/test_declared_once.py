"""Factors stand in one file, and what a function takes can be held in the head."""

from __future__ import annotations

import ast
import math
from collections import Counter
from pathlib import Path

import jackshaft
import pytest
from code_lines import code_lines

ROOT = Path(jackshaft.__file__).parent
SOURCES = {p.relative_to(ROOT).as_posix(): p.read_text(encoding="utf-8") for p in sorted(ROOT.rglob("*.py"))}

#: The one file of factors, and what it declares: the digits are looked for, wherever the decimal point stands.
HOME = "units/_constants.py"
DECLARED = {
    "inch": 0.0254,
    "foot": 0.3048,
    "pound-force": 4.4482216152605,
    "pound-force inch": 0.1129848290276167,
    "pound-force foot": 1.3558179483314,
    "pound per square inch": 6894.757293168,
    "horsepower": 745.69987158227,
    "standard gravity": 9.80665,
    "ice point": 273.15,
    "resistivity of copper": 1.7241e-8,
    "234.5 rule": 254.5,
}
#: Chapters and rooms that still write such a number out: how many, at most. The number may only fall.
WRITTEN_OUT = 13

#: More parameters than eight, and calls with more than five values told apart by their place alone.
MOST_PARAMETERS, MOST_IN_PLACE = 8, 5
#: Rooms that keep to it, with the functions that do not and why.
KEPT = ("mechanics", "search")
ALLOWED = {
    # five arrays of the loop, two limits and the arrays it works in; the search calls it by the million
    ("mechanics/path.py", "path_si"),
}
#: How many break it elsewhere: functions and calls. The numbers may only fall.
LONG_FUNCTIONS, LONG_CALLS = 3, 257


def digits(number: float) -> float:
    """The number between 1 and 10 with the same digits."""
    return number / 10.0 ** math.floor(math.log10(number))


def written_out(path: str, source: str):
    """Yield (what it is, file and line) for each number in a source that the file of factors declares."""
    for node in ast.walk(ast.parse(source)):
        value = node.value if isinstance(node, ast.Constant) else None
        if not isinstance(value, float) or not math.isfinite(value) or value <= 0.0:
            continue
        for name, known in DECLARED.items():
            if math.isclose(digits(value), digits(known), rel_tol=1e-4):
                yield name, f"{path}:{node.lineno}: {value:g}"


def parameters(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """How many a function takes; itself and ``**more`` do not count."""
    a = node.args
    names = [x.arg for x in a.posonlyargs + a.args + a.kwonlyargs]
    return len(names) - (names[:1] in (["self"], ["cls"]))


def long_ones(source: str):
    """Yield ("function", name, line) and ("call", name, line) for each that is too long."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and parameters(node) > MOST_PARAMETERS:
            yield "function", node.name, node.lineno
        if isinstance(node, ast.Call) and len(node.args) > MOST_IN_PLACE:
            yield "call", ast.unparse(node.func), node.lineno


def test_a_factor_of_a_unit_stands_in_one_file():
    found = [where for p, s in SOURCES.items() if p != HOME for _, where in written_out(p, s)]
    own = [w for w in found if w.startswith(("units/", "mechanics/", "search/", "buildfile/", "ui/", "parts/"))]
    assert own == []
    assert len(found) <= WRITTEN_OUT, "\n".join(found)


def test_the_file_of_factors_holds_what_is_looked_for():
    from jackshaft import units

    assert digits(units.copper_resistivity()) == pytest.approx(1.7241, rel=1e-4)
    assert 1.0 / units.ALPHA20 == pytest.approx(254.5) and units.ZERO_C == 273.15
    for name, value in (
        ("inch", units.INCH),
        ("foot", units.FOOT),
        ("pound-force", units.POUND_FORCE),
        ("pound-force inch", units.POUND_FORCE * units.INCH),
        ("pound-force foot", units.POUND_FORCE * units.FOOT),
        ("pound per square inch", units.POUND_FORCE / units.INCH**2),
        ("horsepower", units.HORSEPOWER),
        ("standard gravity", units.GRAVITY),
    ):
        assert value == pytest.approx(DECLARED[name], rel=1e-12)


@pytest.mark.parametrize(
    "text", ["LENGTH = 3 * 0.0254", "thou = 25.4e-6", "rho = 1.7241e-8", "t = 85 + 273.15", "f'{a / 0.0254:.2f} in'"]
)
def test_a_factor_that_is_written_out_is_seen(text):
    assert len(list(written_out("x.py", text))) == 1


@pytest.mark.parametrize("text", ["a = 25", "b = 2.5e-3", "c = 0.0025", "d = 1.0", "e = 300.0"])
def test_other_numbers_are_let_through(text):
    assert list(written_out("x.py", text)) == []


def test_what_a_function_takes_can_be_held_in_the_head():
    found = [(p, kind, name, line) for p, s in SOURCES.items() for kind, name, line in long_ones(s)]
    kept = [f for f in found if f[0].split("/")[0] in KEPT and (f[0], f[2]) not in ALLOWED]
    assert kept == []
    elsewhere = Counter(kind for p, kind, _, _ in found if p.split("/")[0] not in KEPT)
    assert elsewhere["function"] <= LONG_FUNCTIONS and elsewhere["call"] <= LONG_CALLS, "\n".join(
        f"{p}:{line}: {kind} {name}" for p, kind, name, line in found
    )


def test_a_long_function_and_a_long_call_are_seen():
    source = "def f(a, b, c, d, e, f, g, h, *, i): pass\nf(1, 2, 3, 4, 5, 6)\nf(1, 2, 3, 4, 5, f=6)\n"
    assert [(kind, line) for kind, _, line in long_ones(source)] == [("function", 1), ("call", 2)]
    method = "class A:\n    def f(self, a, b, c, d, e, f, g, h): pass\n"
    assert list(long_ones(method)) == []


def test_lines_of_code_are_counted_without_words():
    source = '"""Words\nof a module."""\n\n# a comment\nA = (\n    1,\n)\n\n\n'
    source += 'def f():\n    """Words."""\n    return A  # more\n'
    assert code_lines(source) == 5
