"""Each notebook's stored outputs hold numbers that were worked out elsewhere.

The numbers are an independent calculation of the demo build; the speed of the auger's tip is 418 rpm times the
circumference of 8 in.
"""

import json

import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.notebooks import find_notebooks
from jackshaft.ui.shown import FAULT

EXPECTED = {
    "00_start_here": ("62.09 in", "175.8°", "208.3°"),
    "10_drive_ratio": ("1286 rpm", "418 rpm", "875 ft/min", "6.13 lbf·ft", "13.5 lbf·ft"),
    "20_belt_layout": ("62.09 in", "175.8°", "24.1°", "208.3°", "3652 ft/min"),
    "25_tension_and_grip": ("31.6 lbf", "5.31 ×", "3.36 ×", "120 lbf", "23.0 lbf", "11.0 hp"),
    "27_search_layouts": ("2.95 ×", "3.36 ×", "120 lbf", "A60"),
    "28_roller_chain": ("75.93 pitches", "18.278 in", "3.134 in", "13.7 hp", "1045 ft/min"),
    "30_clutch_electrical_load": ("5.26 A", "4.03 A", "13.68 V", "13.78 V", "35.7 lbf·ft", "45.1 lb·ft²"),
    "40_bearing_lookup": ("6208", "167 lbf", "240000 h"),
    "50_shafts_and_joints": ("422 lbf·ft", "120 lbf"),
    "60_what_gives_first": ("17.4 lbf·ft", "20.6 lbf·ft", "23.7 lbf·ft", "139 lbf·ft", "422 lbf·ft"),
    "70_telescoping_shaft": ("25.28 in", "29.16 in", "20.5°", "6.09 in", "0.977 to 1.024"),
    "80_guards_and_hazards": ("3.1496 in", "7.9 s"),
    "90_build_record": ("418 rpm", "62.09 in", "5.26 A"),
}


def stored(path) -> str:
    words = []
    for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
        for output in cell.get("outputs", ()):
            for mime, content in output.get("data", {}).items():
                if mime.startswith("text/"):
                    words.append("".join(content))
            words += [m.get("alt", "") for m in output.get("metadata", {}).values() if isinstance(m, dict)]
    return "\n".join(words)


def test_every_notebook_has_numbers_to_hold():
    assert {p.stem for p in find_notebooks()} == set(EXPECTED)


@pytest.mark.parametrize("path", find_notebooks(), ids=lambda p: p.stem)
def test_numbers_worked_out_elsewhere_stand_in_the_outputs(path):
    words = stored(path)
    assert [n for n in EXPECTED[path.stem] if n not in words] == []
    assert FAULT not in words and load(DEMO).name in words
