"""A small whole machine for the tests that nothing typed can close the workbook: engine, belt, clutch, shaft."""

from __future__ import annotations

from jackshaft.buildfile import Build, parse
from jackshaft.buildfile.saving import edited
from jackshaft.results import Results, work_up

TEXT = """
schema = 1
name = "saw bench of the tests"
shown_in = "inch"
place = "under cover"
wanted_life = "500 h"

[engine]
kind = "petrol engine"
cylinders = 1
rated_power = "8 hp"
rated_speed = "3600 rpm"
peak_torque = "14 lbf·ft"
idle_speed = "1500 rpm"
work_speed = "3000 rpm"
inertia = "0.9 lb·ft²"
stall_speed = "900 rpm"
turns = "counter-clockwise"
seen_from = "facing the engine's output shaft"
shaft_diameter = "1 in"
key_width = "1/4 in"
key_length = "1 in"
shaft_yield = "54 ksi"

[work]
name = "blade"
shaft = "arbor"
diameter = "20 in"
weight = "12 lb"
mass_at = "disc"
speed_least = "1300 rpm"
speed_most = "1700 rpm"
turns = "counter-clockwise"
seen_from = "facing the engine's output shaft"
power = "4 hp"
power_at = "engine"
peak_factor = 1.8
start_factor = 0.3
load_class = "medium shock"

[[shaft]]
name = "arbor"
diameter = "25 mm"
yield_strength = "54 ksi"
tensile_strength = "70 ksi"

[[shaft.load]]
name = "sheave"
stage = "belt"
position = "-2 in"
weight = "6 lb"

[[shaft.load]]
name = "blade"
position = "12 in"
weight = "12 lb"
pull = "0 lbf"

[[stage]]
name = "belt"
kind = "belt"
from = "engine"
to = "arbor"
section = "A"
series = "inch"
belts = 2
marked = "A68"
driver = "small"
driven = "large"
centres = "23.1 in"
efficiency = 0.95
creep = 0.01

[[stage.pulley]]
name = "small"
diameter = "5 in"
measured_as = "pitch"
material = "cast iron"

[[stage.pulley]]
name = "large"
diameter = "10 in"
measured_as = "pitch"
material = "cast iron"

[stage.takeup]
kind = "adjustable centres"
static_tension = "45 lbf"
travel_in = "1 in"
travel_out = "1 in"

[clutch]
kind = "electromagnetic"
shaft = "engine"
static_torque = "60 lbf·ft"
plate_voltage = "12 V"
coil_resistance = "2.9 ohm"
face_mass = "3 lb"

[circuit]
running_voltage = "14 V"
battery_voltage = "12.6 V"
wire = "14 AWG"
insulation = "105 °C"
length_out = "8 ft"
length_back = "8 ft"
fuse = "10 A"
fuse_kind = "blade"
charging_work = "12 A"
switch_rated_for = "DC inductive"
switch_rating = "10 A"
suppression = "diode"

[[circuit.load]]
name = "lamp"
current = "2 A"
same_wire = true

[[bearing]]
name = "near"
shaft = "arbor"
position = "0 in"
bore = "25 mm"
outside = "52 mm"
width = "15 mm"

[[bearing]]
name = "far"
shaft = "arbor"
position = "10 in"
bore = "25 mm"
outside = "52 mm"
width = "15 mm"
"""


def build_with(**changes) -> Build:
    """Return the machine with keys changed; two underscores stand for no key, so pass a mapping as ``keys``."""
    return parse(edited(TEXT, changes.pop("keys", changes)).encode(), file="saw.toml")


def worked(keys: dict | None = None) -> Results:
    """Work the machine up with keys changed as a file would hold them."""
    return work_up(build_with(keys=keys or {}))


def said(check) -> str:
    """Return everything that a check says."""
    return " ".join((check.name, check.value, check.reason, check.remedy, *check.missing))
