"""Each notebook's stored outputs hold numbers that were worked out elsewhere.

The numbers are an independent calculation for the scenario of the demo build; where a notebook shows none
of its own, the sentence that must stand in it is given.
"""

import json

import pytest
from jackshaft.notebooks import find_notebooks

EXPECTED = {
    "00_start_here": ("85.69 in", "127.0°", "75.40 in"),
    "10_drive_ratio": ("880 rpm", "231 rpm", "1693 ft/min", "5.66 lbf·ft"),
    "20_belt_layout": ("85.69 in", "127.0°", "187.3°", "210.1°", "147.4°", "2995 ft/min"),
    "25_tension_and_grip": ("30.9 lbf", "14.6 lbf", "1.64 ×", "1.11 ×", "106 lbf"),
    "27_search_layouts": ("85.69 in", "1.64"),
    "30_clutch_electrical_load": ("4.63 A", "3.56 A", "13.43 V", "13.56 V"),
    "40_bearing_lookup": ("6206", "1-3/16 in"),
    "50_shafts_and_joints": ("316 lbf·ft", "365 lbf·ft"),
    "60_what_gives_first": ("7.72 lbf·ft", "25.8 lbf·ft", "45.3 lbf·ft", "316 lbf·ft"),
    "90_build_record": ("231 rpm", "85.69 in", "4.63 A"),
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
