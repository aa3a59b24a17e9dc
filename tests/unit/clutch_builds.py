"""A flywheel behind a clutch, and what the tests of circuit and clutch look up in a build."""

from __future__ import annotations

from builders import check_of
from jackshaft.results import work_up

FLYWHEEL = """
schema = 1
name = "flywheel"

[engine]
kind = "petrol engine"
work_speed = "3600 rpm"

[work]
shaft = "wheel"
power = "17 hp"
power_at = "engine"
start_factor = 0.0
peak_factor = 2.5
weight = "200 lb"
diameter = "26 in"
mass_at = "disc"

[[shaft]]
name = "wheel"

[[stage]]
name = "belt"
kind = "gearbox"
from = "engine"
to = "wheel"
ratio = 1.8
reverses = true
efficiency = 1.0

[clutch]
kind = "electromagnetic"
shaft = "engine"
static_torque = "84 lbf·ft"
plate_voltage = "12 V"
coil_resistance = "2.8 ohm"
hot_rise = "0 K"
face_mass = "4 lb"

[circuit]
running_voltage = "12 V"
wire = "8 AWG"
length_out = "1 in"
length_back = "1 in"
joint_resistance = "0 ohm"
"""

POLES = """
[[clutch.pole]]
name = "inner"
inner = "2.4 in"
outer = "3.4 in"

[[clutch.pole]]
name = "outer"
inner = "4.3 in"
outer = "5.0 in"
"""


def circuit_check(build, id):
    """Work up a build as far as its clutch and return the check with an id."""
    return check_of(work_up(build, ("clutch",)), id)


def clutch(build):
    """Return what the clutch chapter found."""
    return work_up(build, ("clutch",)).chapters["clutch"].data


def electric(build):
    """Return what the electric chapter found."""
    return work_up(build, ("electric",)).chapters["electric"].data
