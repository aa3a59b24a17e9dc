"""Two small machines without electrics: a tiller with a centrifugal clutch, an auger that a belt tightener engages.

Both are invented.
"""

from __future__ import annotations

from jackshaft.buildfile import parse
from jackshaft.results import work_up

TILLER = """
schema = 1
name = "kart tiller"
shown_in = "inch"

[engine]
kind = "petrol engine"
cylinders = 1
rated_power = "6.5 hp"
rated_speed = "3600 rpm"
peak_torque = "9.1 lbf·ft"
idle_speed = "1500 rpm"
work_speed = "3200 rpm"
turns = "counter-clockwise"
seen_from = "facing the engine's output shaft"

[work]
name = "tines"
shaft = "tine shaft"
diameter = "12 in"
weight = "18 lb"
mass_at = "disc"
speed_least = "100 rpm"
speed_most = "200 rpm"
power = "2.5 hp"
power_at = "engine"
start_factor = 0.5
peak_factor = 1.5
load_class = "medium shock"

[[shaft]]
name = "counter"

[[shaft]]
name = "tine shaft"

[[stage]]
name = "belt"
kind = "belt"
from = "engine"
to = "counter"
section = "A"
series = "inch"
belts = 1
driver = "drum pulley"
driven = "big pulley"
centres = "14 in"
centres_toward = "0 deg"
efficiency = 0.95
creep = 0.0

[[stage.pulley]]
name = "drum pulley"
diameter = "3 in"
measured_as = "datum"

[[stage.pulley]]
name = "big pulley"
diameter = "12 in"
measured_as = "datum"

[stage.takeup]
kind = "adjustable centres"
static_tension = "90 lbf"
travel_in = "1 in"
travel_out = "1 in"

[[stage]]
name = "chain"
kind = "roller chain"
from = "counter"
to = "tine shaft"
driver_teeth = 10
driven_teeth = 60

[clutch]
kind = "centrifugal"
shaft = "engine"
shoes = 4
shoe_mass = "0.25 lb"
shoe_radius = "1.75 in"
shoe_spring = "45 lbf"
shoe_friction = 0.3
drum_diameter = "4.5 in"
faces = "burnished"
face_mass = "2.5 lb"
guarded = true
"""

THROWER = """
schema = 1
name = "drift auger"
shown_in = "inch"

[engine]
kind = "petrol engine"
cylinders = 1
rated_power = "8 hp"
rated_speed = "3600 rpm"
peak_torque = "13 lbf·ft"
idle_speed = "1800 rpm"
work_speed = "3400 rpm"
turns = "counter-clockwise"
seen_from = "facing the engine's output shaft"

[work]
name = "auger"
shaft = "auger shaft"
diameter = "12 in"
weight = "30 lb"
mass_at = "disc"
speed_least = "80 rpm"
speed_most = "150 rpm"
power = "4 hp"
power_at = "engine"
start_factor = 0.4
peak_factor = 1.5
load_class = "heavy shock"
cuts = true
guard_holds = false

[[shaft]]
name = "input"

[[shaft]]
name = "auger shaft"

[[stage]]
name = "auger belt"
kind = "belt"
from = "engine"
to = "input"
section = "A"
series = "inch"
belts = 1
driver = "engine pulley"
driven = "auger pulley"
efficiency = 0.95
creep = 0.0
clutching_belt = true

[[stage.pulley]]
name = "engine pulley"
x = "0 in"
y = "0 in"
diameter = "3 in"
measured_as = "datum"

[[stage.pulley]]
name = "tightener"
x = "6 in"
y = "-1.2 in"
diameter = "3 in"
measured_as = "outside"
side = "outside"
surface = "flat"

[[stage.pulley]]
name = "auger pulley"
x = "14 in"
y = "0 in"
diameter = "8 in"
measured_as = "datum"

[stage.takeup]
kind = "sprung idler"
idler = "tightener"
slack_tension = "60 lbf"
pivot_x = "10 in"
pivot_y = "-6 in"
spring_lever = "5 in"

[[stage]]
name = "worm"
kind = "gearbox"
from = "input"
to = "auger shaft"
ratio = 10.0
reverses = false
efficiency = 0.8

[clutch]
kind = "idler"
shaft = "engine"
hand_force = "18 lbf"
lever_ratio = 5.0
release_travel = "4 in"
keepers = true
returns = true
guarded = true
"""


def build(text, **changes):
    """Return one of the builds with changes, keys with their dots."""
    made = parse(text.encode(), file="no coil")
    return made.with_values(changes) if changes else made


def found(text, **changes):
    """Work up one of the builds with changes."""
    return work_up(build(text, **changes))
