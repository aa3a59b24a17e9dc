"""Finding a fault: only of parts that are there, with this build's own values, by a look that parts the causes."""

from pathlib import Path

import pytest
from jackshaft import tables
from jackshaft.buildfile import DEMO, list_builds, load, parse
from jackshaft.record.faults import _BASES, _HAS, faults, rows
from jackshaft.results import work_up

CHIPPER = Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"


def test_every_part_and_every_value_that_the_table_names_is_known():
    table = tables.table("faults").rows
    assert {row["part"] for row in table} == set(_HAS)
    looks = tables.table("fault_looks").rows
    assert {row["baseline"] for row in (*table, *looks) if row["baseline"]} == set(_BASES)


def test_the_demo_has_its_own_values_beside_each_look():
    found = {f.symptom: f for f in faults(work_up(load(DEMO)))}
    # 3000 x 4.65/10.85 x 13/40 = 417.9 rpm
    assert "output shaft 418 rpm" in found["The work slows under load, the engine does not"].here
    # 3000 rpm are 50 turns a second
    assert "engine turns 50 times" in next(f.here for s, f in found.items() if "flaps" in s)
    assert "0.0098 in to 0.0236 in" in found["The clutch clicks and does not pull"].here
    assert all(len(f.answers) >= 2 for f in found.values())


@pytest.mark.parametrize("build", [*list_builds(), CHIPPER], ids=str)
def test_no_part_is_spoken_of_that_is_not_there(build):
    build = load(build)
    parts = {f.part for f in faults(work_up(build))}
    for part, key in (("circuit", "circuit"), ("driveline", "driveline"), ("pin", "shear_pin"), ("bearing", "bearing")):
        assert (part in parts) <= build.has(key), part
    assert ("clutch" in parts) == (build.get("clutch.kind") == "electromagnetic")


def test_an_empty_build_has_no_fault_to_find():
    assert rows(faults(work_up(parse(b'schema = 1\nname = "x"\n', file="x.toml")))) == []
