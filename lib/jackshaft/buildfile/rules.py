"""Values that are each fine but cannot stand together, and references to parts that are not there."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from jackshaft.buildfile.model import Build, describe
from jackshaft.buildfile.problems import Problem
from jackshaft.buildfile.values import nearest
from jackshaft.mechanics import belt_series, belts
from jackshaft.units import SAME, Measure, at_least, at_most, show

BELT_ONLY = (
    "section",
    "series",
    "belts",
    "marked",
    "length",
    "length_is",
    "crossed",
    "driver",
    "driven",
    "centres",
    "centres_toward",
    "friction_groove",
    "friction_groove_bad",
    "friction_flat",
    "friction_flat_bad",
)
TEETH_ONLY = ("driver_teeth", "driven_teeth")
ROLLER_ONLY = ("driver_diameter", "driven_diameter")
BOX_ONLY = ("ratio", "reverses")
FIELDS_OF_KIND = {
    "belt": BELT_ONLY,
    "roller chain": TEETH_ONLY,
    "gear": TEETH_ONLY + ("internal",),
    "gearbox": BOX_ONLY,
    "friction roller": ROLLER_ONLY + ("internal",),
}


def contradictions(build: Build, has_row: Callable[[str, str, str], tuple[str, ...] | None]) -> list[Problem]:
    """Return every broken reference and contradiction of a build.

    Parameters
    ----------
    build : Build
        The build, its single values already checked.
    has_row : callable
        ``has_row(table, column, text)`` returns None when the table has the entry, else the entries
        it does have.
    """
    found: list[Problem] = []
    for rule in (
        _references,
        _table_entries,
        _orders,
        _bearings,
        _engine,
        _stages,
        _chain_of_stages,
        _parts,
        _circuit_names,
    ):
        found += rule(build) if rule is not _table_entries else rule(build, has_row)
    return found


def _say(build: Build, key: str, found: str, wanted: str) -> Problem:
    return Problem(build.file, key, found, wanted)


def allowed_names(build: Build, key: str, refers: tuple[str, ...]) -> tuple[str, ...]:
    """Return the names that a reference at ``key`` may hold."""
    names: list[str] = []
    for target in refers:
        if target == "engine":
            names.append("engine")
        elif target == "pulley":
            stage = key[: key.index("]") + 1]
            names += build.names(f"{stage}.pulley")
        else:
            names += build.names(target)
    return tuple(names)


def _references(build: Build) -> Iterator[Problem]:
    for key, value in build.values.items():
        if not isinstance(value, str) or isinstance(value, bool):
            continue
        field = describe(key)[1]
        if not field.refers:
            continue
        names = allowed_names(build, key, field.refers)
        if value not in names:
            there = ", ".join(f"'{n}'" for n in names) or "none is named yet"
            kinds = {"pulley": "a pulley of this stage", "engine": "the engine"}
            what = " or ".join(kinds.get(r, f"a {r}") for r in field.refers)
            yield _say(build, key, f"'{value}'", f"the name of {what} ({there}){nearest(value, names)}")


def _table_entries(build: Build, has_row) -> Iterator[Problem]:
    for key, value in build.values.items():
        if not isinstance(value, str):
            continue
        field = describe(key)[1]
        if field.table:
            entries = has_row(*field.table, value)
            if entries is not None:
                shown = ", ".join(entries[:40])
                yield _say(build, key, f"'{value}'", f"one of {shown}{nearest(value, entries)}")


def _measure(build: Build, key: str) -> Measure | None:
    value = build.get(key)
    return value if isinstance(value, Measure) else None


def _in_order(build: Build, low: str, high: str, words: str, *, equal: bool = True) -> Iterator[Problem]:
    a, b = _measure(build, low), _measure(build, high)
    if a and b and (not at_most(a.si, b.si) if equal else at_least(a.si, b.si)):
        yield _say(build, low, f"'{a.text}' with {high.rsplit('.', 1)[-1]} '{b.text}'", words)


def _orders(build: Build) -> Iterator[Problem]:
    yield from _in_order(build, "engine.idle_speed", "engine.work_speed", "an idle speed below the working speed")
    top = "engine.full_speed" if build.get("engine.full_speed") else "engine.rated_speed"
    if build.get("engine.kind") != "electric motor":
        yield from _in_order(build, "engine.work_speed", top, "a working speed within what the engine reaches")
    yield from _in_order(build, "work.speed_least", "work.speed_most", "the lowest speed below the highest")
    yield from _in_order(
        build, "engine.key_width", "engine.shaft_diameter", "a key narrower than its shaft", equal=False
    )
    for low, high in (("shortest", "straight"), ("straight", "longest"), ("shortest", "longest")):
        yield from _in_order(
            build, f"driveline.{low}", f"driveline.{high}", "shortest, straight and longest in that order"
        )
    for name in build.names("bearing"):
        yield from _in_order(
            build,
            f"bearing[{name}].bore",
            f"bearing[{name}].outside",
            "a bore smaller than the outside diameter",
            equal=False,
        )
    for name in build.names("stage"):
        for surface in ("groove", "flat"):
            yield from _in_order(
                build,
                f"stage[{name}].friction_{surface}_bad",
                f"stage[{name}].friction_{surface}",
                "a bad end at or below the likely value",
            )
    for name in build.names("shaft"):
        yield from _in_order(
            build,
            f"shaft[{name}].yield_strength",
            f"shaft[{name}].tensile_strength",
            "a yield strength below the tensile strength",
        )
        for step in build.names(f"shaft[{name}].step"):
            here = f"shaft[{name}].step[{step}]"
            yield from _in_order(
                build, f"{here}.start", f"{here}.end", "a step that ends beyond where it begins", equal=False
            )
            yield from _in_order(
                build, f"{here}.bore", f"{here}.diameter", "a bore smaller than the diameter", equal=False
            )


def _bearings(build: Build) -> Iterator[Problem]:
    for name in build.names("bearing"):
        at = f"bearing[{name}]"
        if build.get(f"{at}.static_rating_is") == "older" and build.get(f"{at}.static_rating_factor") is not None:
            yield _say(
                build,
                f"{at}.static_rating_factor",
                "an f0 beside a static rating of the older generation",
                'no f0, or static_rating_is = "newer": each generation has an axial-load table of its own',
            )


def _engine(build: Build) -> Iterator[Problem]:
    kind = build.get("engine.kind")
    if kind == "electric motor":
        if build.get("engine.cylinders"):
            yield _say(build, "engine.cylinders", "cylinders on an electric motor", "no cylinders, or another kind")
    elif kind:
        for name in ("supply_voltage", "phases"):
            if build.get(f"engine.{name}"):
                yield _say(build, f"engine.{name}", f"a mains supply on a {kind}", "none, or another kind")
    power, speed, torque = (_measure(build, f"engine.{n}") for n in ("rated_power", "rated_speed", "peak_torque"))
    if power and speed and torque and not at_most(power.si / speed.si, 1.05 * torque.si):
        least = show(power.si / speed.si, "torque", build.system)
        yield _say(
            build,
            "engine.peak_torque",
            f"'{torque.text}', less than '{power.text}' at '{speed.text}' takes",
            f"at least {least}, or another plate figure",
        )
    yield from _torque_points(build, torque)


def _torque_points(build: Build, peak: Measure | None) -> Iterator[Problem]:
    seen: dict[float, str] = {}
    for name in build.names("engine.torque_point"):
        at = f"engine.torque_point[{name}]"
        speed, torque = (_measure(build, f"{at}.{key}") for key in ("speed", "torque"))
        other = next((n for si, n in seen.items() if speed and math.isclose(si, speed.si, rel_tol=SAME)), None)
        if other is not None:
            yield _say(
                build,
                f"{at}.speed",
                f"'{speed.text}', the speed of point '{other}' too",
                "one torque for each speed",
            )
        if speed:
            seen.setdefault(speed.si, name)
        if torque and peak and not at_most(torque.si, 1.001 * peak.si):
            yield _say(
                build,
                f"{at}.torque",
                f"'{torque.text}', above the peak torque '{peak.text}'",
                "a torque up to engine.peak_torque, or a higher peak",
            )


def _stages(build: Build) -> Iterator[Problem]:
    for name in build.names("stage"):
        at = f"stage[{name}]"
        kind = build.get(f"{at}.kind")
        mine = FIELDS_OF_KIND.get(str(kind))
        if mine is not None:
            strangers = {f for fields in FIELDS_OF_KIND.values() for f in fields} - set(mine)
            for stranger in sorted(strangers):
                if f"{at}.{stranger}" in build.values:
                    yield _say(build, f"{at}.{stranger}", f"{stranger} on a {kind}", f"only what a {kind} has")
            if kind != "belt" and build.names(f"{at}.pulley"):
                yield _say(build, f"{at}.pulley", f"pulleys on a {kind}", "pulleys on belts only")
        if build.get(f"{at}.from") and build.get(f"{at}.from") == build.get(f"{at}.to"):
            yield _say(
                build, f"{at}.to", f"the same shaft '{build.get(f'{at}.to')}' at both ends", "two different shafts"
            )
        yield from _belt(build, at)
        yield from _length_line(build, at)


def _belt(build: Build, at: str) -> Iterator[Problem]:
    pulleys = build.names(f"{at}.pulley")
    driver, driven = build.get(f"{at}.driver"), build.get(f"{at}.driven")
    if driver and driver == driven:
        yield _say(build, f"{at}.driven", f"'{driven}', which is also the driver", "another pulley")
    if build.get(f"{at}.crossed") and len(pulleys) > 2:
        yield _say(build, f"{at}.crossed", f"a crossed belt on {len(pulleys)} pulleys", "a crossed belt on two")
    idler = build.get(f"{at}.takeup.idler")
    if idler and idler in (driver, driven):
        yield _say(build, f"{at}.takeup.idler", f"'{idler}', which carries power", "an idler")
    marked, section = build.get(f"{at}.marked"), build.get(f"{at}.section")
    letters = "".join(c for c in str(marked or "").split("-")[0] if not c.isspace()).rstrip("0123456789.")
    if marked and section and letters and letters.isalpha() and letters != section and len(letters) < 4:
        yield _say(build, f"{at}.marked", f"'{marked}' with section '{section}'", "a marking of the same section")
    for pulley in pulleys:
        yield from _one_spot(build, at, pulley, pulleys)


def _one_spot(build: Build, at: str, pulley: str, pulleys: tuple[str, ...]) -> Iterator[Problem]:
    def spot(name: str):
        x, y = (_measure(build, f"{at}.pulley[{name}].{c}") for c in "xy")
        return (x.si, y.si) if x and y else None

    for other in pulleys[: pulleys.index(pulley)]:
        here, there = spot(pulley), spot(other)
        if here and there and math.dist(here, there) <= SAME * max(map(abs, (*here, *there, 1.0))):
            yield _say(
                build, f"{at}.pulley[{pulley}].x", f"the same centre as pulley '{other}'", "two different centres"
            )


#: Names that parts of the circuit have by themselves.
CIRCUIT_PARTS = (
    "battery",
    "coil",
    "frame",
    "fuse",
    "joints",
    "relay contact",
    "short",
    "switch contact",
    "wire back",
    "wire out",
)


def _circuit_names(build: Build) -> Iterator[Problem]:
    taken = dict.fromkeys(CIRCUIT_PARTS, "a part of the circuit itself")
    for kind in ("load", "joint"):
        for name in build.names(f"circuit.{kind}"):
            here = f"circuit.{kind}[{name}].name"
            if name in taken or name.startswith("switch contacts,"):
                whose = taken.get(name, "a part of the circuit itself")
                yield _say(build, here, f"'{name}', which is {whose}", "a name that no other part of the circuit has")
            taken.setdefault(name, f"a {kind} too")


def _length_line(build: Build, at: str) -> Iterator[Problem]:
    section, line = build.get(f"{at}.section"), build.get(f"{at}.length_is")
    if not section or not line or not belt_series.of_section(section):
        return
    series = belt_series.settle(
        said=build.get(f"{at}.series"), section=section, marked=build.get(f"{at}.marked"), shown_in=build.system
    )
    lines = belts.line_offsets(belts.section(section, series.system))
    if line not in lines:
        there = ", ".join(f"'{known}'" for known in lines)
        yield _say(
            build, f"{at}.length_is", f"'{line}' for section {section} ({series.system})", f"a line it has: {there}"
        )


def _chain_of_stages(build: Build) -> Iterator[Problem]:
    driven_by: dict[str, str] = {}
    for name in build.names("stage"):
        to = build.get(f"stage[{name}].to")
        if not to:
            continue
        if to in driven_by:
            yield _say(
                build,
                f"stage[{name}].to",
                f"shaft '{to}', which stage '{driven_by[to]}' already drives",
                "each shaft driven once",
            )
        driven_by[str(to)] = name
    for name in build.names("stage"):
        seen, here = set(), build.get(f"stage[{name}].to")
        while here in driven_by and here not in seen:
            seen.add(here)
            here = build.get(f"stage[{driven_by[here]}].from")
        if here in seen:
            yield _say(
                build,
                f"stage[{name}].from",
                "stages that drive each other in a ring",
                "a chain that starts at the engine",
            )
            return


def _parts(build: Build) -> Iterator[Problem]:
    if build.is_none("clutch") and build.has("circuit"):
        yield _say(build, "circuit", "a clutch circuit where the clutch is none", "no circuit, or a clutch")
    if build.get("circuit.relay") is False:
        for name in ("relay_voltage", "relay_rating"):
            if f"circuit.{name}" in build.values:
                yield _say(build, f"circuit.{name}", "a relay figure where relay is false", "relay = true, or neither")
    for name in build.names("stage"):
        for body in build.names(f"stage[{name}].body"):
            at = f"stage[{name}].body[{body}]"
            if f"{at}.diameter" in build.values and (f"{at}.width" in build.values or f"{at}.height" in build.values):
                yield _say(
                    build,
                    at,
                    "a diameter and a width or height",
                    "a round body (diameter) or a box (width and height): forget the one before the other is written",
                )
