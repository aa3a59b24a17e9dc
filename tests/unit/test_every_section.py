"""Every belt section that the tables have goes through every chapter. Seen: a ribbed one ended the bearings."""

import pytest
from jackshaft import tables
from jackshaft.buildfile import DEMO, load
from jackshaft.results import work_up

SECTIONS = sorted({(row["section"], row["system"]) for row in tables.table("belt_sections").rows})


@pytest.mark.parametrize("section, system", SECTIONS)
def test_a_belt_of_any_section_is_worked_up(section, system):
    at = "stage[crank belts]"
    values = {f"{at}.section": section, f"{at}.series": system, f"{at}.marked": "", f"{at}.length": ""}
    results = work_up(load(DEMO).with_values(values))
    assert not results.faults
    assert any(c.id == "capacity.power[crank belts]" for c in results.checks)
