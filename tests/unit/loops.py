"""A small loop of our own whose driven pulley runs on the back of a double-V belt; nothing is built like this."""

from __future__ import annotations

from pathlib import Path

from jackshaft.buildfile import Build, load, parse

STAGE = "loop"
AT = f"stage[{STAGE}]"

#: Driver, sprung idler, driven pulley outside the loop, fixed idler, in the order the belt meets them.
TEXT = """
schema = 1
name = "A loop with its driven pulley outside"
shown_in = "inch"
place = "outdoors"

[engine]
kind = "petrol engine"
rated_power = "12 hp"
rated_speed = "3600 rpm"
peak_torque = "22 lbf·ft"
work_speed = "2400 rpm"
turns = "counter-clockwise"
seen_from = "facing the engine's output shaft"

[work]
name = "drum"
shaft = "out"
speed_least = "900 rpm"
speed_most = "1100 rpm"
turns = "clockwise"
seen_from = "facing the engine's output shaft"
power = "2.5 hp"
power_at = "engine"
peak_factor = 1.5
load_class = "light shock"
service_factor = 1.2

[[shaft]]
name = "out"

[[stage]]
name = "loop"
kind = "belt"
from = "engine"
to = "out"
section = "AA"
belts = 1
marked = "AA80"
driver = "E"
driven = "J"
efficiency = 1.0
creep = 0.0

[[stage.pulley]]
name = "E"
x = "0 in"
y = "0 in"
diameter = "5.0 in"
measured_as = "pitch"

[[stage.pulley]]
name = "T"
x = "13.5 in"
y = "-7.5 in"
diameter = "4.5 in"
measured_as = "pitch"

[[stage.pulley]]
name = "J"
x = "9.3 in"
y = "0.5 in"
diameter = "12.0 in"
measured_as = "pitch"
side = "outside"
surface = "groove"

[[stage.pulley]]
name = "K"
x = "14.5 in"
y = "8.0 in"
diameter = "4.5 in"
measured_as = "pitch"

[stage.takeup]
kind = "sprung idler"
idler = "T"
slack_tension = "30 lbf"
pivot_x = "17.0 in"
pivot_y = "-9.5 in"
"""


def outside(**changes) -> Build:
    """Return the loop with changed values."""
    return parse(TEXT.encode(), file="outside.toml").with_values(changes)


def outside_at(folder: Path, **changes) -> Build:
    """Return the loop read from a file in a folder, so that it can be kept."""
    path = folder / "outside.toml"
    path.write_text(TEXT, encoding="utf-8")
    build = load(path)
    return build.with_values(changes) if changes else build
