"""Values that are each fine but cannot go together, and references to parts that are not there.

A rule yields a problem for each fault: at which key, what was found there, what is wanted instead.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from jackshaft import tables
from jackshaft.buildfile.chain_rules import chain_problems
from jackshaft.buildfile.log_rules import log_problems
from jackshaft.buildfile.model import Build, describe
from jackshaft.buildfile.problems import Problem
from jackshaft.buildfile.schema import chapter
from jackshaft.buildfile.values import nearest
from jackshaft.mechanics import belt_series, belts
from jackshaft.tables.belt_marks import Unreadable, read_marking
from jackshaft.units import SAME, at_least, at_most, show

_REACH = "shortest, straight and longest in that order"

#: Where, a key, another key that must not be lower, and what is wanted.
NOT_ABOVE = (
    ("engine", "idle_speed", "work_speed", "an idle speed no higher than the working speed"),
    ("work", "speed_least", "speed_most", "a lowest speed no higher than the highest"),
    ("driveline", "shortest", "straight", _REACH),
    ("driveline", "straight", "longest", _REACH),
    ("driveline", "shortest", "longest", _REACH),
    ("stage[NAME]", "friction_groove_bad", "friction_groove", "a bad end no higher than the likely value"),
    ("stage[NAME]", "friction_flat_bad", "friction_flat", "a bad end no higher than the likely value"),
    ("shaft[NAME]", "yield_strength", "tensile_strength", "a yield strength no higher than the tensile strength"),
)

#: The same where the two must not be equal either.
BELOW = (
    ("engine", "key_width", "shaft_diameter", "a key narrower than its shaft"),
    ("bearing[NAME]", "bore", "outside", "a bore smaller than the outside diameter"),
    ("slip_clutch", "inner_diameter", "outer_diameter", "a ring with an inner diameter below the outer one"),
    ("clutch", "lead_resistance", "coil_resistance", "less in the leads than in leads and coil together"),
    ("shaft[NAME].step[NAME]", "start", "end", "a step that ends after it begins"),
    ("shaft[NAME].step[NAME]", "bore", "diameter", "a bore smaller than the diameter"),
)

#: Names that parts of the circuit have by themselves.
CIRCUIT_PARTS = ("battery, coil, frame, fuse, joints, relay contact, short, switch contact, wire back, wire out").split(
    ", "
)


def contradictions(build: Build) -> list[Problem]:
    """Return every broken reference and contradiction of a build whose single values are already checked."""
    rules = (
        _references,
        _table_entries,
        _orders,
        _bearings,
        _engine,
        _torque_points,
        _stages,
        _chain_of_stages,
        _parts,
        _circuit_names,
        log_problems,
    )
    with tables.held():
        return [problem for rule in rules for problem in rule(build)]


def reference_lists(key: str, refers: tuple[str, ...]) -> tuple[str, ...]:
    """Return the lists whose names a reference at ``key`` may hold; a pulley is one of its own stage."""
    return tuple(f"{key[: key.index(']') + 1]}.pulley" if r == "pulley" else r for r in refers)


def allowed_names(build: Build, key: str, refers: tuple[str, ...]) -> tuple[str, ...]:
    """Return the names that a reference at ``key`` may hold."""
    lists = reference_lists(key, refers)
    return tuple(name for where in lists for name in (("engine",) if where == "engine" else build.names(where)))


def listed(text: str) -> list[str]:
    """Return the names in a text that has commas between them."""
    return [name.strip() for name in text.split(",")]


def _references(build: Build) -> Iterator[Problem]:
    kinds = {"pulley": "a pulley of this stage", "engine": "the engine"}
    for key, value in build.values.items():
        field = describe(key)[1] if isinstance(value, str) else None
        if field is None or not field.refers:
            continue
        names = allowed_names(build, key, field.refers)
        several = listed(value) if field.kind == "references" else [value]
        for one in several:
            if one not in names:
                there = ", ".join(f"'{n}'" for n in names) or "none is there yet: add it first"
                what = " or ".join(kinds.get(r, f"a {r}") for r in field.refers)
                yield build.problem(key, f"'{one}'", f"the name of {what} ({there}){nearest(one, names)}")
        if len(set(several)) < len(several):
            yield build.problem(key, f"'{value}', with a name twice", "each name once")


def _table_entries(build: Build) -> Iterator[Problem]:
    for key, value in build.values.items():
        place = describe(key)[1].table if isinstance(value, str) else ()
        if place:
            table, column = tables.table(place[0]), place[1]
            if not table.where(**{column: value}).rows:
                entries = tuple(dict.fromkeys(str(row[column]) for row in table.rows))
                yield build.problem(key, f"'{value}'", f"one of {', '.join(entries[:40])}{nearest(value, entries)}")


def _orders(build: Build) -> Iterator[Problem]:
    top = "full_speed" if build.get("engine.full_speed") else "rated_speed"
    reach = ("engine", "work_speed", top, "a working speed that the engine reaches")
    motor = build.get("engine.kind") == "electric motor"
    for wanted, holds in (
        (NOT_ABOVE if motor else (*NOT_ABOVE, reach), at_most),
        (BELOW, lambda low, high: not at_least(low, high)),
    ):
        for path, low, high, words in wanted:
            for at in build.places(path):
                a, b = build.measure(f"{at}.{low}"), build.measure(f"{at}.{high}")
                if a and b and not holds(a.si, b.si):
                    yield build.problem(f"{at}.{low}", f"'{a.text}' with {high} '{b.text}'", words)


def _bearings(build: Build) -> Iterator[Problem]:
    for at in build.places("bearing[NAME]"):
        factor = f"{at}.static_rating_factor"
        if build.get(f"{at}.static_rating_is") == "older" and build.get(factor) is not None:
            yield build.problem(
                factor,
                "an f0 beside a static rating of the older generation",
                'no f0, or static_rating_is = "newer": each generation has its own axial-load table',
            )


#: Keys of an electric motor only, and what they say.
MOTORS = {
    "supply_voltage": "a mains supply",
    "phases": "a mains supply",
    "start_torque": "a motor's start",
    "pull_up_torque": "a motor's start",
}


#: What a combustion engine is started by, and no electric motor.
ENGINE_STARTERS = ("recoil starter", "starter motor")


def _engine(build: Build) -> Iterator[Problem]:
    kind = build.get("engine.kind")
    if kind == "electric motor" and build.get("engine.cylinders"):
        yield build.problem("engine.cylinders", "cylinders on an electric motor", "no cylinders, or another kind")
    for name, words in MOTORS.items():
        if kind not in (None, "electric motor") and build.get(f"engine.{name}"):
            yield build.problem(f"engine.{name}", f"{words} on a {kind}", "nothing here, or another kind")
    phases, by = build.get("engine.phases"), build.get("engine.starts_by")
    if kind is not None and by is not None and (kind == "electric motor") == (by in ENGINE_STARTERS):
        yield build.problem("engine.starts_by", f"'{by}' on a {kind}", f"what starts a {kind}")
    if phases in (1, 3) and by is not None and (by == "three-phase") != (phases == 3):
        yield build.problem("engine.starts_by", f"'{by}' with phases {phases}", "a motor that runs on these phases")
    power, speed, torque = (build.measure(f"engine.{n}") for n in ("rated_power", "rated_speed", "peak_torque"))
    if power and speed and torque and not at_most(power.si / speed.si, 1.05 * torque.si):
        least = show(power.si / speed.si, "torque", build.system)
        yield build.problem(
            "engine.peak_torque",
            f"'{torque.text}', less than '{power.text}' at '{speed.text}' needs",
            f"at least {least}, or another figure from the plate",
        )


def _torque_points(build: Build) -> Iterator[Problem]:
    peak, seen = build.measure("engine.peak_torque"), {}
    for name in build.names("engine.torque_point"):
        at = f"engine.torque_point[{name}]"
        speed, torque = build.measure(f"{at}.speed"), build.measure(f"{at}.torque")
        if speed:
            other = next((n for si, n in seen.items() if math.isclose(si, speed.si, rel_tol=SAME)), None)
            if other is not None:
                found = f"'{speed.text}', the speed of point '{other}' too"
                yield build.problem(f"{at}.speed", found, "one torque for each speed")
            seen.setdefault(speed.si, name)
        if torque and peak and not at_most(torque.si, 1.001 * peak.si):
            found = f"'{torque.text}', above the peak torque '{peak.text}'"
            yield build.problem(f"{at}.torque", found, "a torque up to engine.peak_torque, or a higher peak torque")


def _stages(build: Build) -> Iterator[Problem]:
    for at in build.places("stage[NAME]"):
        kind = build.get(f"{at}.kind")
        if kind is not None:
            others = (f.name for f in chapter("stage").fields if not f.belongs(kind))
            for other in sorted(others):
                if f"{at}.{other}" in build.values:
                    yield build.problem(f"{at}.{other}", f"{other} on a {kind}", f"only what a {kind} has")
            if kind != "belt" and build.names(f"{at}.pulley"):
                yield build.problem(f"{at}.pulley", f"pulleys on a {kind}", "pulleys on belts only")
        for key, here in _driven_by(build, at).items():
            if build.get(f"{at}.from") == here:
                yield build.problem(key, f"the same shaft '{here}' at both ends", "two different shafts")
        teeth = [build.get(f"{at}.{end}_teeth") for end in ("driver", "driven")]
        sizes = [build.measure(f"{at}.{end}_diameter") for end in ("driver", "driven")]
        if build.get(f"{at}.internal") and None not in teeth and teeth[0] == teeth[1]:
            found = f"{teeth[1]} teeth, the number of the gear inside or outside it"
            yield build.problem(f"{at}.driven_teeth", found, "a ring with more teeth than its pinion")
        if build.get(f"{at}.internal") and all(sizes) and math.isclose(sizes[0].si, sizes[1].si, rel_tol=SAME):
            found = f"'{sizes[1].text}', the size of the roller inside or outside it"
            yield build.problem(f"{at}.driven_diameter", found, "a ring larger than the roller in it")
        yield from _belt(build, at)
        yield from _length_line(build, at)
        yield from chain_problems(build, at)


def _driven_by(build: Build, at: str) -> dict[str, str]:
    """Return the shafts that a stage drives, by the keys that say so."""
    keys = (f"{at}.to", *(f"{at}.pulley[{name}].drives" for name in build.names(f"{at}.pulley")))
    return {key: shaft for key in keys if (shaft := build.get(key))}


def _several(build: Build, at: str) -> Iterator[Problem]:
    """Yield what cannot go together where the pulleys of a belt say which shafts they drive."""
    driver, driven, to = (build.get(f"{at}.{k}") for k in ("driver", "driven", "to"))
    drives = {name: build.get(f"{at}.pulley[{name}].drives") for name in build.names(f"{at}.pulley")}
    by_pulley: dict[str, str] = {}
    for name, role in ((driver, "drives the belt"), (build.get(f"{at}.takeup.idler"), "takes the belt up")):
        share = name and build.measure(f"{at}.pulley[{name}].share")
        if share:
            found = f"'{share.text}' on the pulley that {role}"
            yield build.problem(f"{at}.pulley[{name}].share", found, "no share here: only a driven pulley has one")
    for name, shaft in ((n, s) for n, s in drives.items() if s):
        key = f"{at}.pulley[{name}].drives"
        if name == driver:
            yield build.problem(
                key, f"'{shaft}' on the pulley that drives the belt", "another pulley, or no shaft here"
            )
        if name == build.get(f"{at}.takeup.idler"):
            yield build.problem(
                key, f"'{shaft}' on the idler that takes the belt up", "another pulley, or no shaft here"
            )
        if shaft in by_pulley:
            found = f"'{shaft}', which pulley '{by_pulley[shaft]}' drives already"
            yield build.problem(key, found, "another shaft")
        by_pulley[shaft] = name
    own = drives.get(driven) if driven else None
    if to and own and own != to:
        yield build.problem(f"{at}.to", f"'{to}', while pulley '{driven}' drives '{own}'", "the same shaft in both")
    if to in by_pulley and driven and by_pulley[to] != driven:
        found = f"'{driven}', while pulley '{by_pulley[to]}' drives '{to}'"
        yield build.problem(f"{at}.driven", found, "the pulley that drives that shaft")


def _belt(build: Build, at: str) -> Iterator[Problem]:
    pulleys = build.names(f"{at}.pulley")
    driver, driven = build.get(f"{at}.driver"), build.get(f"{at}.driven")
    if driver and driver == driven:
        yield build.problem(f"{at}.driven", f"'{driven}', which is also the driver", "another pulley")
    if build.get(f"{at}.crossed") and len(pulleys) > 2:
        yield build.problem(f"{at}.crossed", f"a crossed belt on {len(pulleys)} pulleys", "a crossed belt on two")
    idler = build.get(f"{at}.takeup.idler")
    if idler and idler in (driver, driven):
        yield build.problem(f"{at}.takeup.idler", f"'{idler}', which carries power", "an idler")
    marked, section = build.get(f"{at}.marked"), build.get(f"{at}.section")
    if marked and section and _section_of(str(marked)) not in (None, section):
        yield build.problem(f"{at}.marked", f"'{marked}' with section '{section}'", "a marking of the same section")
    yield from _several(build, at)
    yield from _one_spot(build, at, pulleys)
    yield from _surfaces(build, at, pulleys)


def _section_of(marked: str) -> str | None:
    """Return the section that a marking says; None where it cannot be read."""
    try:
        return read_marking(marked).section
    except Unreadable:
        return None


def _surfaces(build: Build, at: str, pulleys: tuple[str, ...]) -> Iterator[Problem]:
    """Yield what a section's belt cannot run on, and diameters of lines that a pulley has not."""
    section = build.get(f"{at}.section")
    families = (
        {str(r["family"]) for r in tables.table("belt_sections").where(section=section).rows} if section else set()
    )
    for name in pulleys:
        here = f"{at}.pulley[{name}]"
        side, surface, line = (build.get(f"{here}.{key}") for key in ("side", "surface", "measured_as"))
        if side == "outside" and surface == "groove" and families and "double-V" not in families:
            found = f"'groove' outside the loop of a belt of section {section}, which has a plain back"
            yield build.problem(f"{here}.surface", found, "'flat', or a belt of double-V section (AA, BB or CC)")
        if surface != "flat" and line == "outside" and "V-ribbed" in families and side != "outside":
            found = f"'outside' for a ribbed pulley (section {section})"
            wanted = "'effective', the diameter that ribbed pulleys are made and sold by"
            yield build.problem(f"{here}.measured_as", found, wanted)
        if surface == "flat" and line in ("datum", "effective"):
            found = f"'{line}' for a flat pulley, which has no such line"
            yield build.problem(f"{here}.measured_as", found, "'outside', or 'pitch' for the belt's cord")


def _one_spot(build: Build, at: str, pulleys: tuple[str, ...]) -> Iterator[Problem]:
    spots: dict[str, tuple[float, float]] = {}
    for name in pulleys:
        x, y = (build.measure(f"{at}.pulley[{name}].{c}") for c in "xy")
        if not x or not y:
            continue
        here = (x.si, y.si)
        for other, there in spots.items():
            if math.dist(here, there) <= SAME * max(map(abs, (*here, *there, 1.0))):
                found = f"the same centre as pulley '{other}'"
                yield build.problem(f"{at}.pulley[{name}].x", found, "two different centres")
        spots[name] = here


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
        found = f"'{line}' for section {section} ({series.system})"
        yield build.problem(f"{at}.length_is", found, f"a length that it has: {there}")


def _chain_of_stages(build: Build) -> Iterator[Problem]:
    driven_by: dict[str, str] = {}
    ends = {name: _driven_by(build, f"stage[{name}]") for name in build.names("stage")}
    for name, shafts in ends.items():
        for key, to in shafts.items():
            if driven_by.get(to, name) != name:
                found = f"shaft '{to}', which stage '{driven_by[to]}' already drives"
                yield build.problem(key, found, "each shaft driven once")
            driven_by[to] = name
    for name, shafts in ends.items():
        for end in shafts.values():
            seen, here = set(), end
            while here in driven_by and here not in seen:
                seen.add(here)
                here = build.get(f"stage[{driven_by[here]}].from")
            if here in seen:
                found = "stages that drive each other in a ring"
                yield build.problem(f"stage[{name}].from", found, "a chain of stages that starts at the engine")
                return


def _parts(build: Build) -> Iterator[Problem]:
    if build.is_none("clutch") and build.has("circuit"):
        yield build.problem("circuit", "a clutch circuit although the clutch is none", "no circuit, or a clutch")
    for key in ("circuit.relay_voltage", "circuit.relay_rating"):
        if build.get("circuit.relay") is False and key in build.values:
            yield build.problem(key, "a figure of a relay although relay is false", "relay = true, or no such figure")
    for at in build.places("stage[NAME].body[NAME]"):
        if f"{at}.diameter" in build.values and (f"{at}.width" in build.values or f"{at}.height" in build.values):
            yield build.problem(
                at,
                "a diameter and a width or height",
                "a round body (diameter) or a box (width and height): take one out before you write the other",
            )


def _circuit_names(build: Build) -> Iterator[Problem]:
    taken = dict.fromkeys(CIRCUIT_PARTS, "a part of the circuit itself")
    for kind in ("load", "joint"):
        for name in build.names(f"circuit.{kind}"):
            if name in taken or name.startswith("switch contacts,"):
                found = f"'{name}', which is {taken.get(name, 'a part of the circuit itself')}"
                wanted = "a name that no other part of the circuit has"
                yield build.problem(f"circuit.{kind}[{name}].name", found, wanted)
            taken.setdefault(name, f"a {kind} too")
