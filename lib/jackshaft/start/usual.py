"""The keys of each part that a builder writes down first, by the path of its section; the others fold away."""

from __future__ import annotations

from jackshaft.buildfile.schema import Section

#: So many keys stand open where a section has no list of its own here.
FIRST = 6

USUAL = {
    "": ("name", "purpose", "shown_in", "status", "hours_a_year", "wanted_life"),
    "engine": (
        *("kind", "rated_power", "rated_speed", "idle_speed", "work_speed"),
        *("turns", "seen_from", "shaft_diameter", "key_width"),
    ),
    "work": ("name", "shaft", "diameter", "speed_least", "speed_most", "turns", "seen_from", "power", "power_at"),
    "shaft[NAME]": ("diameter", "material", "yield_strength"),
    "shaft[NAME].joint[NAME]": ("kind", "position", "stage", "width", "length", "screw", "count"),
    "stage[NAME]": (
        *("kind", "from", "to", "marked", "section", "belts", "length", "length_is", "driver", "driven", "centres"),
        *("chain", "driver_teeth", "driven_teeth", "links", "ratio"),
    ),
    "stage[NAME].pulley[NAME]": ("diameter", "measured_as", "x", "y", "side", "surface", "drives"),
    "stage[NAME].search": ("zone_left", "zone_right", "zone_low", "zone_high", "idlers_most", "sizes_on_hand"),
    "stage[NAME].takeup": ("kind", "idler", "slack_tension", "static_tension", "travel_in", "travel_out"),
    "clutch": (
        *("kind", "shaft", "marking", "static_torque", "plate_voltage", "slip_force", "slip_lever", "slip_voltage"),
        *("coil_resistance", "lead_resistance", "air_gap", "engage_speed", "hand_force"),
    ),
    "circuit": (
        *("running_voltage", "battery_voltage", "wire", "length_out", "return_by", "fuse", "switch_marking"),
        *("switch_rated_for", "switch_rating", "relay", "suppression"),
    ),
    "bearing[NAME]": (
        *("shaft", "position", "marking", "bore", "outside", "width", "measured_with", "seat", "closure", "locking"),
        "housing",
    ),
    "driveline": (
        *("collapsed", "tube", "hinge_off", "hinge_away", "joint_along", "joint_square", "joint_aside"),
        *("phase", "joint_rating", "guarded"),
    ),
    "driveline.attitude[NAME]": ("lift", "turns"),
}


def usual_first(path: str, section: Section, kind: object = None) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the names of a section's keys: those written down first, and the others.

    What another kind of the part has is in neither. A kind that is not known yet leaves all of them.

    Parameters
    ----------
    path : str
        The section's path, its lists with ``[NAME]``.
    section : Section
        The section.
    kind : object
        What the part says it is; None where it says nothing.
    """
    has = tuple(f.name for f in section.fields if f.belongs(kind))
    names = tuple(n for n in has if not (n == "schema" and not path) and not (n == "name" and section.many))
    first = tuple(n for n in USUAL[path] if n in names) if path in USUAL else names[:FIRST]
    return first, tuple(n for n in names if n not in first)


__all__ = ["USUAL", "usual_first"]
