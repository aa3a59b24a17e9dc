"""Builds with parts added along a shaft, for the tests of the shafts chapter."""

from __future__ import annotations

from jackshaft.build import load
from jackshaft.units import read
from jackshaft.workup import work_up

LBF, INCH, LBFFT = 4.4482216152605, 0.0254, 1.3558179483314
DEMO, ROTOR = "orchard_sweeper", "rotor_bearings"
STEEL = {"shaft[rotor].diameter": "1.375 in", "shaft[rotor].material": "AISI 1045 CD"}
LENGTHS = ("width", "height", "length", "wear", "leg", "position", "pin", "start", "end", "diameter", "bore")


def with_part(build, shaft, part, name, **fields):
    """Return a build with one more joint, feature, step or load; lengths as text, the rest as they are."""
    at = f"shaft[{shaft}].{part}[{name}]"
    values = {**build.values, f"{at}.name": name}
    for key, value in fields.items():
        values[f"{at}.{key}"] = read(value, "length") if key in LENGTHS and isinstance(value, str) else value
    key = f"shaft[{shaft}].{part}"
    return type(build)(values, {**build.lists, key: (*build.names(key), name)}, build.file)


def build_of(name, **changes):
    """Return a build with changed values."""
    build = load(name)
    return build.with_values(changes) if changes else build


def results(name, **changes):
    """Work a build up with changed values."""
    return work_up(build_of(name, **changes))


def check(found, id):
    """Return the check with an id."""
    return next(c for c in found.checks if c.id == id)


def data(found):
    """Return what the shafts chapter found."""
    return found.chapters["shafts"].data


def sheet(found, title, chapter="shafts"):
    """Return a table by its title."""
    return next(s for s in found.chapters[chapter].sheets if s.title == title)


def fact(found, label):
    """Return a fact of the shafts chapter."""
    return next(f for f in found.chapters["shafts"].facts if f.label == label)
