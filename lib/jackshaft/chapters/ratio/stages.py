"""The stages of a build: how fast and which way each turns what it drives."""

from __future__ import annotations

from jackshaft import tables
from jackshaft.chapters.ratio.data import StageRatio
from jackshaft.mechanics import ratio as mech
from jackshaft.parts.belt_stage import read_pulleys, shafts_driven
from jackshaft.results.reader import Reader

#: The view of a direction at the end of the work's own shaft, and the sign of the way that this end points.
OWN_END = "facing its own shaft end"
POINTS = {"as the engine's shaft does": 1, "the other way": -1}


def turn_of(reader: Reader, chapter: str) -> int:
    """Return +1, -1 or 0 for the direction of the engine or the work, seen facing the engine's output shaft."""
    turns = reader.get(f"{chapter}.turns")
    if turns is None:
        return 0
    sign = 1 if turns == "counter-clockwise" else -1
    seen = reader.get(f"{chapter}.seen_from")
    if seen == OWN_END:
        return sign * POINTS.get(reader.get(f"{chapter}.end_points"), 0)
    return -sign if seen == "from behind the engine" else sign


def turn_lacks(reader: Reader, chapter: str) -> str:
    """Return the key without which the direction of the engine or the work is not known; nothing where it is."""
    if turn_of(reader, chapter):
        return ""
    return f"{chapter}.turns" if reader.get(f"{chapter}.turns") is None else f"{chapter}.end_points"


def default(item: str, at: str, reader: Reader, key: str) -> float:
    """Return the stage's own figure for ``key``, or the table's likely one for a belt, or none lost."""
    given = reader.si(f"{at}.{key}")
    if given is not None:
        return given
    row = next((r for r in tables.table("belt_limits").rows if r["item"] == item), None)
    if reader.get(f"{at}.kind") != "belt" or row is None:
        return {"efficiency": 0.95, "creep": 0.0}[key]
    return row["likely"] / 100.0


def read_stage(reader: Reader, name: str) -> tuple[StageRatio, ...]:
    """Read one stage and return its ratio and direction, for each shaft that it drives.

    Raises
    ------
    Unknown
        Naming what is missing.
    OutOfRange
        Where the shares of several driven pulleys do not add up to 1.
    """
    at = f"stage[{name}]"
    ends = shafts_driven(reader, name)
    kind, start = reader.require(f"{at}.kind", f"{at}.from", *(() if ends else (f"{at}.to",)))[:2]
    efficiency = default("efficiency", at, reader, "efficiency")
    creep = 0.0
    if kind == "belt":
        return _belts(reader, name, start, efficiency)
    end = ends[0]
    if kind in ("roller chain", "gear"):
        teeth = reader.require(f"{at}.driver_teeth", f"{at}.driven_teeth")
        value = mech.tooth_ratio.si(teeth[0], driven=teeth[1])
        words = kind
        if kind == "gear":
            words = "internal gear" if reader.get(f"{at}.internal") else "external gear"
        same = mech.same_way(words)
    elif kind == "gearbox":
        value, words = 1.0 / reader.require_si(f"{at}.ratio"), kind
        same = mech.same_way(kind, reader.require(f"{at}.reverses"))
    else:
        creep = reader.si(f"{at}.creep", 0.0)
        sizes = reader.require_si(f"{at}.driver_diameter", f"{at}.driven_diameter")
        value = mech.belt_ratio.si(sizes[0], driven=sizes[1], creep=creep)
        same, words = bool(reader.get(f"{at}.internal")), "friction roller"
    found = StageRatio(
        name,
        start,
        end,
        ratio=float(value),
        sign=1 if same else -1,
        efficiency=efficiency,
        kind=words,
        pulleys=None,
        outside_error=None,
        creep=creep,
    )
    return (found,)


def _belts(reader: Reader, name: str, start: str, efficiency: float) -> tuple[StageRatio, ...]:
    """Return a belt stage once for each shaft that it drives."""
    at = f"stage[{name}]"
    pulleys = read_pulleys(reader, at)
    creep = default("creep and slip", at, reader, "creep")
    i, found = pulleys.driver, []
    for j in pulleys.works:
        if pulleys.shafts[j] is None:
            reader.require(f"{at}.pulley[{pulleys.names[j]}].drives" if pulleys.several else f"{at}.to")
        if pulleys.crossed:
            words = "crossed belt"
        elif not pulleys.flat[j]:
            words = "belt in the groove"
        else:
            words = "belt on a flat pulley" if pulleys.inside[j] else "belt on its flat back"
        used = {"driver_used": pulleys.outside[i], "driven_used": pulleys.outside[j]}
        found.append(
            StageRatio(
                name,
                start,
                pulleys.shafts[j],
                ratio=float(mech.belt_ratio.si(pulleys.pitch[i], driven=pulleys.pitch[j], creep=creep)),
                sign=1 if (pulleys.inside[i] == pulleys.inside[j]) != pulleys.crossed else -1,
                efficiency=efficiency,
                kind=words,
                pulleys=pulleys._replace(driven=j),
                outside_error=float(mech.error_of_diameters.si(pulleys.pitch[i], driven=pulleys.pitch[j], **used)),
                share=pulleys.shares[j],
                creep=creep,
            )
        )
    return tuple(found)
