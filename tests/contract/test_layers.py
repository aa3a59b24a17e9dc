"""Who may import whom: rooms by tier, chapters by what they need, no files in a ring, slow libraries at few doors."""

import ast
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import jackshaft
import pytest
from jackshaft.results.chapter import chapters, needed_by

ROOT = Path(jackshaft.__file__).parent

#: Tier of each room: it imports strictly lower ones. Files of one room may import each other, save in ``mechanics``.
TIERS = {
    "quick": 0,
    "terminal": 0,
    "units": 0,
    "tables": 0,
    "mechanics": 1,
    "formulas": 2,
    "buildfile": 2,
    "photos": 3,
    "results": 3,
    "notebooks": 3,
    "parts": 4,
    "drawing": 4,
    "render": 4,
    "ui": 5,
    "chapters": 6,
    "search": 7,
    "record": 7,
    "sheets": 7,
    "start": 8,
    "bench": 9,
    "cli": 9,
    "__main__": 10,
    "__init__": 10,
}
#: Where Matplotlib may be imported, and where the widgets.
DOORS = {
    "matplotlib": re.compile(r"drawing/.*|(chapters/\w+|search)/(\w+_)?figure\.py|sheets/\w+_pages\.py"),
    "ipywidgets": re.compile(r"ui/.*|start/forms\.py|search/panel\.py|chapters/bearings/lookup\.py"),
}
#: Files of a chapter that are seen: they alone import these rooms, and each other.
SEEN_ROOMS = ("drawing", "ui")
SEEN = re.compile(r"(\w+_)?figure|picture|panel|(\w+_)?drag|controls|meter|lookup|lookup_controller")


def name_of(path: Path) -> str:
    """Return the module that a file is, as a dotted name below the package."""
    return ".".join(path.relative_to(ROOT).with_suffix("").parts)


FILES = {name_of(p): p for p in sorted(ROOT.rglob("*.py"))}


@cache
def imports(path: Path) -> list[tuple[str, int]]:
    """Return (module below the package or the outside package, line) for each import, those in functions too."""
    return [*found_imports(path)]


def found_imports(path: Path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((a.name, node.lineno) for a in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level < 2, f"{path.name}:{node.lineno}: write the import out"
            # one dot stays in the file's own folder
            near = f"jackshaft.{name_of(path).rpartition('.')[0]}."
            module = node.module if node.level == 0 else f"{near}{node.module or ''}".rstrip(".")
            for name in node.names:
                longer = f"{module}.{name.name}".removeprefix("jackshaft.")
                is_file = longer in FILES or f"{longer}.__init__" in FILES
                yield (f"jackshaft.{longer}" if is_file else module), node.lineno


def links(files=FILES):
    """Yield (file, what it imports below the package, line)."""
    for name, path in files.items():
        for module, line in imports(path):
            if module.startswith("jackshaft.") or module == "jackshaft":
                yield name, module.removeprefix("jackshaft").removeprefix(".") or "__init__", line


@cache
def all_links() -> list[tuple[str, str, int]]:
    """Every link; not at import, for each worker of a run imports this file."""
    return sorted(links())


def room(module: str) -> str:
    return module.split(".")[0]


def chapter(module: str) -> str | None:
    parts = module.split(".")
    return parts[1] if parts[0] == "chapters" and len(parts) > 2 else None


def room_faults(tiers=TIERS):
    for file, module, line in all_links():
        mine, theirs = room(file), room(module)
        if mine == theirs == "mechanics" and module != "mechanics":
            yield f"{file}:{line}: mechanics files do not import each other"
        elif mine != theirs and tiers[theirs] >= tiers[mine]:
            yield f"{file}:{line}: {mine} (tier {tiers[mine]}) imports {theirs} (tier {tiers[theirs]})"


def chapter_faults(there=None):
    there = there or chapters()
    needs = {c.folder: {there[n].folder for n in needed_by(c.needs, there)} for c in there.values()}
    for file, module, line in all_links():
        mine, theirs = chapter(file), chapter(module)
        if mine and theirs and mine != theirs and theirs not in needs[mine]:
            yield f"{file}:{line}: chapter {mine} takes from {theirs} and does not say that it needs it"


def seen_faults(seen=SEEN):
    for file, module, line in all_links():
        if chapter(file) is None or seen.fullmatch(file.rpartition(".")[2]):
            continue
        if room(module) in SEEN_ROOMS or chapter(module) and seen.fullmatch(module.rpartition(".")[2]):
            yield f"{file}:{line}: a file that computes imports {module}, which draws or shows"


def circles() -> list[set[str]]:
    """Return the sets of files that import each other in a ring, imports for types alone included."""
    edges: dict[str, set[str]] = {}
    for file, module, _ in all_links():
        target = module if module in FILES else f"{module}.__init__"
        # a Build has methods that are worked out in files that know the Build
        fronts = file.endswith("__init__") or target.endswith("__init__")
        if room(file) != "buildfile" and target in FILES and not fronts:
            edges.setdefault(file, set()).add(target)
    order, marks, found = [], {}, []

    def visit(file):
        marks[file] = len(order)
        order.append(file)
        for target in edges.get(file, ()):
            if target in order:
                found.append(set(order[order.index(target) :]))
            elif target not in marks:
                visit(target)
        order.pop()

    for file in edges:
        if file not in marks:
            visit(file)
    return found


def test_every_room_has_a_tier():
    assert {room(f) for f in FILES} <= set(TIERS)


def test_rooms_import_lower_tiers_only():
    assert [*room_faults()] == []


def test_a_chapter_takes_from_chapters_that_it_needs():
    assert [*chapter_faults()] == []


def test_what_computes_imports_nothing_that_draws_or_shows():
    assert [*seen_faults()] == []


def test_no_files_import_each_other_in_a_ring():
    assert [sorted(c) for c in circles()] == []


@pytest.mark.parametrize("package", DOORS)
def test_slow_libraries_are_imported_at_their_doors_only(package):
    found = [n for n, p in FILES.items() if any(m.split(".")[0] == package for m, _ in imports(p))]
    assert found
    assert [n for n in found if not DOORS[package].fullmatch(n.replace(".", "/") + ".py")] == []


def test_the_tests_see_a_fault():
    """With the rules upside down nearly everything is at fault, so silence above means something."""
    assert len([*room_faults(tiers={k: -v for k, v in TIERS.items()})]) > 20
    needless = {n: replace(c, needs=()) for n, c in chapters().items()}
    assert len([*chapter_faults(needless)]) > 9
    assert len([*seen_faults(seen=re.compile("nothing"))]) > 9


def test_files_can_be_held_in_the_head():
    long = {n: lines for n, p in FILES.items() if (lines := len(p.read_text(encoding="utf-8").splitlines())) > 400}
    assert long == {}


def lines_of(source: str):
    """Yield the name of each function with how many lines it takes, its docstring left out."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            described = ast.get_docstring(node, clean=False)
            said = len(described.splitlines()) if described else 0
            yield node.name, node.end_lineno - node.lineno + 1 - said


def test_functions_can_be_held_in_the_head():
    found = ((n, *f) for n, p in FILES.items() for f in lines_of(p.read_text(encoding="utf-8")))
    assert [f"{n}: {name}, {lines} lines" for n, name, lines in found if lines > 60] == []


def test_a_long_function_is_seen():
    source = "def f():\n" + '    """Words."""\n' + "    pass\n" * 60
    assert list(lines_of(source)) == [("f", 61)]
