"""Builds with parts added along a shaft, for the tests of the shafts chapter."""

from __future__ import annotations

from functools import partial

import builders
from jackshaft.buildfile import load, parse
from jackshaft.results import work_up
from jackshaft.units import read

LBF, INCH, LBFFT = 4.4482216152605, 0.0254, 1.3558179483314
TWO_BELTS, ROTOR = "two belts", "rotor_bearings"
STEEL = {"shaft[rotor].diameter": "1.375 in", "shaft[rotor].material": "AISI 1045 CD"}
LENGTHS = ("width", "height", "length", "wear", "leg", "position", "pin", "start", "end", "diameter", "bore")

#: An engine at 2500 rpm, a belt 5 : 12.5 in to a jackshaft at 1000, two belts 4 : 16 in to an output shaft at 250.
TEXT = """
schema = 1
name = "Two belt stages"
shown_in = "inch"
place = "outdoors"
wanted_life = "500 h"

[engine]
kind = "petrol engine"
rated_power = "12 hp"
rated_speed = "3600 rpm"
peak_torque = "22 lbf·ft"
work_speed = { value = "2500 rpm", known = "measured", by = "tachometer", plus_minus = "20 rpm" }
turns = "clockwise"
seen_from = "facing the engine's output shaft"
shaft_diameter = "1.0 in"
key_width = "1/4 in"
key_length = "1.0 in"
shaft_yield = "54 ksi"

[work]
name = "drum"
shaft = "output shaft"
diameter = "24 in"
power = "3 hp"
power_at = "engine"
peak_factor = 2.0
start_factor = 1.0
load_class = "light shock"
service_factor = 1.2

[[shaft]]
name = "jackshaft"
diameter = "30 mm"
material = "AISI 1018 CD"

[[shaft.load]]
name = "stage 1 pulley"
stage = "first belt"
position = "-1.75 in"
weight = "11 lb"

[[shaft.load]]
name = "stage 2 pulley"
stage = "second belts"
position = "10.0 in"
weight = "3 lb"

[[shaft]]
name = "output shaft"
diameter = "1.0 in"
yield_strength = "54 ksi"

[[stage]]
name = "first belt"
kind = "belt"
from = "engine"
to = "jackshaft"
section = "A"
series = "inch"
belts = 1
driver = "small"
driven = "large"
efficiency = 1.0
creep = 0.0

[[stage.pulley]]
name = "small"
x = "0 in"
y = "0 in"
diameter = "5.0 in"
measured_as = "pitch"

[[stage.pulley]]
name = "idler"
x = "8.0 in"
y = "5.6 in"
diameter = "4.0 in"
measured_as = "pitch"
side = "outside"
surface = "flat"

[[stage.pulley]]
name = "large"
x = "18.0 in"
y = "0 in"
diameter = "12.5 in"
measured_as = "pitch"
weight = "11 lb"

[stage.takeup]
kind = "sprung idler"
idler = "idler"
slack_tension = "25 lbf"
pivot_x = "12 in"
pivot_y = "9 in"

[[stage]]
name = "second belts"
kind = "belt"
from = "jackshaft"
to = "output shaft"
section = "A"
series = "inch"
belts = 2
marked = "A75"
driver = "small"
driven = "large"
centres = "22 in"
centres_toward = "-90 deg"
efficiency = 1.0
creep = 0.0

[[stage.pulley]]
name = "small"
diameter = "4.0 in"
measured_as = "pitch"
weight = "3 lb"

[[stage.pulley]]
name = "large"
diameter = "16.0 in"
measured_as = "pitch"

[stage.takeup]
kind = "adjustable centres"
travel_in = "0.75 in"
travel_out = "0.75 in"
static_tension = "45 lbf"

[[bearing]]
name = "engine side"
shaft = "jackshaft"
position = "0 in"
bore = "1.181 in"
outside = "2.440 in"
width = "0.630 in"
measured_with = "calipers"
turning_ring = "inner"
shock_factor = 1.5

[[bearing]]
name = "far side"
shaft = "jackshaft"
position = "8.0 in"
bore = "1.181 in"
outside = "2.440 in"
width = "0.630 in"
measured_with = "calipers"
turning_ring = "inner"
shock_factor = 1.5
"""


def two_belts_at(folder):
    """Return the two belts read from a file in a folder, so that they can be kept."""
    path = folder / "two_belts.toml"
    path.write_text(TEXT, encoding="utf-8")
    return load(path)


def with_part(build, shaft, part, name, **fields):
    """Return a build with one more joint, feature, step or load; lengths as text, the rest as they are."""
    at = f"shaft[{shaft}].{part}[{name}]"
    values = {**build.values, f"{at}.name": name}
    for key, value in fields.items():
        values[f"{at}.{key}"] = read(value, "length") if key in LENGTHS and isinstance(value, str) else value
    key = f"shaft[{shaft}].{part}"
    return type(build)(values, {**build.lists, key: (*build.names(key), name)}, build.file)


def build_of(name, **changes):
    """Return a build with changed values: the two belts of this file, or one of the workbook's."""
    build = parse(TEXT.encode(), file="two_belts.toml") if name == TWO_BELTS else load(name)
    return build.with_values(changes) if changes else build


def results(name, **changes):
    """Work a build up with changed values."""
    return work_up(build_of(name, **changes))


#: What the shafts chapter found, one of its tables by its title, and one of its facts by its label.
data, sheet, fact = (partial(look, chapter="shafts") for look in (builders.data, builders.sheet, builders.fact))
