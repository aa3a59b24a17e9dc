"""Who may import whom: a room imports strictly lower tiers, and two packages have one importer each."""

import ast
from pathlib import Path

import jackshaft

ROOT = Path(jackshaft.__file__).parent

#: Tier of each room. Files of one package may import each other, save in ``mechanics``.
TIERS = {
    "terminal": 0,
    "units": 0,
    "tables": 0,
    "mechanics": 1,
    "build": 2,
    "checks": 2,
    "workup": 3,
    "notebooks": 3,
    "search": 4,
    "figures": 4,
    "record": 5,
    "panels": 6,
    "bench": 7,
    "cli": 7,
    "__main__": 8,
    "__init__": 8,
}
ONLY_IMPORTER = {"matplotlib": "figures", "ipywidgets": "panels"}


def room_of(path: Path) -> str:
    return path.relative_to(ROOT).parts[0].removesuffix(".py")


def imports(path: Path):
    """Yield (module, names, line) for each import, those inside functions too."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((alias.name, (), node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            if node.level == 0:
                yield node.module, tuple(a.name for a in node.names), node.lineno
            else:
                # A relative import of one dot stays in the file's own folder, hence in its own room.
                assert node.level == 1 and path.parent != ROOT, f"{path.name}:{node.lineno}: write the import out"
                yield f"jackshaft.{room_of(path)}.{node.module}", (), node.lineno


def rooms_imported(module: str, names: tuple[str, ...]):
    if module == "jackshaft":
        return names or ("__init__",)
    return (module.split(".")[1],) if module.startswith("jackshaft.") else ()


FILES = sorted(ROOT.rglob("*.py"))


def faults(files=FILES, tiers=TIERS):
    found = []
    for path in files:
        mine = room_of(path)
        for module, names, line in imports(path):
            where = f"{path.relative_to(ROOT)}:{line}"
            package = module.split(".")[0]
            if package in ONLY_IMPORTER and mine != ONLY_IMPORTER[package]:
                found.append(f"{where}: {package} is imported by {ONLY_IMPORTER[package]} only")
            for room in rooms_imported(module, names):
                if room == mine:
                    if mine == "mechanics" and module != "jackshaft.mechanics":
                        found.append(f"{where}: mechanics files do not import each other")
                elif tiers[room] >= tiers[mine]:
                    found.append(f"{where}: {mine} (tier {tiers[mine]}) imports {room} (tier {tiers[room]})")
    return found


def test_every_room_has_a_tier():
    assert {room_of(p) for p in FILES} <= set(TIERS)


def test_rooms_import_lower_tiers_only():
    assert faults() == []


def test_the_test_sees_a_fault():
    """With the tiers upside down nearly everything is at fault, so silence above means something."""
    assert len(faults(tiers={k: -v for k, v in TIERS.items()})) > 20


def test_files_can_be_held_in_the_head():
    long = {str(p.relative_to(ROOT)): n for p in FILES if (n := len(p.read_text(encoding="utf-8").splitlines())) > 500}
    assert long == {}
