"""Nothing that a build names is passed over in silence: each part stands in a check, each hub in one of what holds it.

A part is spoken of where a check has it in the brackets of its id, in its name or reason, or among the keys that it
lacks. A hub is spoken of where the check of a joint names it, or one that asks for its joint.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from jackshaft.buildfile import list_builds, load, parse
from jackshaft.parts.shaft_loads import hubs_on
from jackshaft.results import work_up
from jackshaft.results.reader import Reader

MACHINES = {Path(f).stem: f for f in (*list_builds(), *sorted((Path(__file__).parents[1] / "builds").glob("*.toml")))}

#: Lists of a build whose items are parts of the machine.
LISTS = ("shaft", "stage", "bearing")
INNER = {"shaft": ("joint", "load"), "stage": ("pulley",)}
LOOSE = ("circuit.interlock", "circuit.load")
CALLED = {"shear_pin": "shear pin", "slip_clutch": "slip clutch", "driveline": "telescoping shaft"}
SINGLE = ("engine", "clutch", "driveline", "shear_pin", "slip_clutch", "work")

def parts_of(build) -> Iterator[tuple[str, str]]:
    """Yield where the build names each part, and what the part is called."""
    for name in SINGLE:
        if build.has(name) and not build.is_none(name):
            yield name, CALLED.get(name, name)
    for kind in LISTS:
        for item in build.names(kind):
            yield f"{kind}[{item}]", item
            for inner in INNER.get(kind, ()):
                at = f"{kind}[{item}].{inner}"
                yield from ((f"{at}[{n}]", n) for n in build.names(at))
    for at in LOOSE:
        yield from ((f"{at}[{n}]", n) for n in build.names(at))


def spoken_of(results, part: str, name: str) -> bool:
    """Tell whether a check speaks of a part.

    Many names are plain words, so a name among words counts only where such a part is meant: that of a pulley, a joint
    or a load in the checks of what it belongs to, that of a stage or a shaft in the chain of what gives first, that of
    a lamp or a switch in the checks of the circuit.
    """
    word = re.compile(rf"(?<!\w){re.escape(name)}(?!\w)")
    owner = re.match(r"\w+\[(.*?)\]\.", part)
    for check in results.checks:
        bracket = check.id.partition("[")[2].removesuffix("]")
        if any(k == part or k.startswith((f"{part}.", f"{part}[")) for k in check.missing):
            return True
        if bracket == name and check.chapter != "file":
            return True
        if owner is not None:
            meant = bracket == owner.group(1) or check.chapter == "chain"
        elif part.startswith("circuit."):
            meant = check.chapter == "electric"
        else:
            meant = "[" not in part or check.chapter == "chain"
        if meant and word.search(f"{check.name} {check.value} {check.reason}"):
            return True
    return False


def silent_in(build) -> set[str]:
    """Return the parts of a build that no check speaks of."""
    results = work_up(build)
    return {part for part, name in parts_of(build) if not spoken_of(results, part, name)}


def hubs_unheld(build) -> set[str]:
    """Return the hubs of stages, those on the engine's shaft among them, of which no check says what holds them."""
    reader, checks = Reader(build), work_up(build).checks
    hubs = [(stage, shaft) for shaft in ("engine", *build.names("shaft")) for stage in hubs_on(reader, shaft)]
    asked = {c.id for c in checks}
    told = [c.name for c in checks if c.id.startswith("shafts.joint[")]
    return {
        f"{stage} on {shaft}"
        for stage, shaft in hubs
        if f"shafts.hub[{stage} on {shaft}]" not in asked
        and not any(n.startswith(f"{shaft}: ") and re.search(rf", hub of .*{re.escape(stage)}", n) for n in told)
    }


@pytest.mark.parametrize("machine", sorted(MACHINES))
def test_every_part_is_spoken_of(machine):
    assert silent_in(load(MACHINES[machine])) == set(), "these parts appear in no check"


@pytest.mark.parametrize("machine", sorted(MACHINES))
def test_of_every_hub_it_is_said_what_holds_it(machine):
    assert hubs_unheld(load(MACHINES[machine])) == set(), "no check names these hubs"


def test_a_part_that_nothing_speaks_of_is_found():
    """A list of bearings without a shaft or a size is spoken of by its bearings; a lone load of the circuit is not."""
    text = b'schema = 1\nname = "t"\n\n[[circuit.load]]\nname = "beacon"\n\n[[bearing]]\nname = "left"\n'
    found = silent_in(parse(text, file="t.toml"))
    assert "circuit.load[beacon]" in found and "bearing[left]" not in found
