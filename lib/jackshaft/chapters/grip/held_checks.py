"""What is said about a driven shaft held still while the others go on: the verdict, and the tables of what happens."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.held_still import BAD, HIGH, LIKELY, Standing, engine_most
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.parts.motor import is_motor
from jackshaft.results.checks import CAUTION, GO, Table
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value
from jackshaft.units import at_most, first_least, first_most

SWITCH = "standstill_switch"


def judge(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip) -> None:
    """Judge whether anybody notices that one of several driven shafts stands, before the belt burns."""
    if not stage.standing:
        return
    id, name = f"grip.held-still[{layout.name}]", f"{layout.name}: one shaft held still"
    source = _source(reader)
    limit = f"the {source} stalls, or is stopped"
    most = engine_most(reader)
    quiet = stage.standing[first_least([one.engine[LIKELY] for one in stage.standing])]
    if reader.get(f"stage[{layout.name}].{SWITCH}") is True:
        words = "A switch on each driven shaft stops what drives the belt when one of them stands."
        draft.check(id, name, found="a switch stops it", wanted=limit, verdict=GO, reason=words, source="the build")
        return
    if most is None:
        words = f"{_what_happens(reader, layout, quiet)} Whether the {source} stalls before that is not known yet."
        draft.missing(reader, id, name, lacks_of(reader), words, limit=limit)
        return
    stalls = [one for one in stage.standing if not at_most(one.engine[BAD], most[1])]
    burns = [one for one in stage.standing if one not in stalls]
    if not burns and not quiet.before:
        words = f"The {source} stalls before the belt slides, whichever of them stands."
        draft.check(id, name, found=f"the {source} stalls", wanted=limit, verdict=GO, reason=words, source=_cite(stage))
        return
    draft.check(
        id,
        name,
        found=f"the belt slides over {', '.join(_slid(layout, burns))} and burns" if burns else _before(quiet),
        wanted=limit,
        verdict=CAUTION,
        reason=_burning(reader, layout, burns, quiet, most) if burns else _slipping(reader, quiet),
        remedy=f"Watch every driven shaft, not the {source}, and stop at once when one of them stands. Clear it only "
        f"with the {source} stopped, {_locked(reader)} and everything at a stand.",
        source=_cite(stage),
    )


def _source(reader: Reader) -> str:
    return "motor" if is_motor(reader) else "engine"


def _locked(reader: Reader) -> str:
    return "its supply locked off" if is_motor(reader) else "the key out"


def lacks_of(reader: Reader) -> tuple[str, ...]:
    """Return the keys without which it is not known at what torque that which drives stalls."""
    keys = ("engine.rated_power", "engine.rated_speed") if is_motor(reader) else ("engine.peak_torque",)
    return tuple(k for k in keys if reader.get(k) is None) or keys


def _slid(layout: StageLayout, burns: Sequence[Standing]) -> list[str]:
    """Return the pulleys over which the belt slides with one shaft or another held still: the driver where all stop."""
    p = layout.pulleys
    return list(dict.fromkeys(p.names[o.pulley if o.found.slides[LIKELY] else p.driver] for o in burns))


def _before(one: Standing) -> str:
    return f"{' or '.join(one.before)} may slip before it stalls"


def _slipping(reader: Reader, one: Standing) -> str:
    """Return what happens where something before the belt gives way first."""
    slips, source = " or ".join(one.before), _source(reader)
    return (
        f"With a driven shaft held still the belt holds more than the {source} has, but {slips} may slip before the "
        f"{source} stalls. It heats and burns instead, and nobody at the {source} notices."
    )


def _cite(stage: StageGrip) -> str:
    return f"shigley ch. 17; {stage.friction.cite}"


def _burning(
    reader: Reader, layout: StageLayout, burns: Sequence[Standing], quiet: Standing, most: tuple[float, float]
) -> str:
    """Return what happens with the shaft held still that the engine feels least, then with the others."""
    engine, source = reader.show(quiet.engine[LIKELY], "torque"), _source(reader)
    words = _what_happens(reader, layout, quiet)
    has = f"{engine} of the {reader.show(most[0], 'torque')} that it has"
    if at_most(quiet.engine[LIKELY], most[0]):
        words += f" The {source} feels {has}. Nobody at the {source} notices: the belt burns."
    else:
        words += f" The {source} would feel {engine}, more than it has, and stall; with less grip the belt burns."
    words += "".join(f" {_what_happens(reader, layout, one)}" for one in burns if one is not quiet)
    high = burns[first_most([one.engine[HIGH] for one in burns])]
    if not at_most(high.engine[HIGH], most[1]):
        torque = reader.show(high.engine[HIGH], "torque")
        words += f" A belt that grips as well as it may takes up to {torque}: then the {source} stalls first."
    return words


def _what_happens(reader: Reader, layout: StageLayout, one: Standing) -> str:
    """Return in sentences what the belt does with one shaft held still, at the likely grip."""
    p, found = layout.pulleys, one.found
    here, driver = p.names[one.pulley], p.names[p.driver]
    heat, heat_driver = (reader.show(h[LIKELY], "power", digits=2) for h in (one.heat, one.heat_driver))
    held = f"With {one.shaft} held still"
    if not found.driver_slides[LIKELY]:
        return f"{held} the belt slides over {here}, {heat} of heat there; the others go on." + _too(layout, one)
    if not found.slides[LIKELY]:
        return f"{held} all driven shafts stop and {driver} slides under the belt, {heat_driver} of heat there."
    speed = reader.number(found.speed[LIKELY], "number", by="percent", decimals=0).shown
    words = f"{held} the belt slides over {here} and {driver}, {heat} and {heat_driver} of heat; "
    return f"{words}the others fall to {speed} of their speed." + _too(layout, one)


def _too(layout: StageLayout, one: Standing) -> str:
    """Return which other pulleys slip then, in a sentence; nothing where none does."""
    names = [n for n, m in zip(layout.pulleys.names, one.found.margin[LIKELY], strict=True) if m < 1.0]
    return f" {' and '.join(names)} cannot hold beside it and slips too." if names else ""


def tables_of(reader: Reader, layout: StageLayout, stage: StageGrip) -> list[Table]:
    """Return what happens with each driven shaft held still, and the strands then; none where there is one."""
    return [_what(reader, layout, stage), _strands(reader, layout, stage)] if stage.standing else []


def _what(reader: Reader, layout: StageLayout, stage: StageGrip) -> Table:
    p = layout.pulleys
    rows = []
    for one in stage.standing:
        slides = ((p.names[one.pulley], one.found.slides), (p.names[p.driver], one.found.driver_slides))
        rows.append(
            (
                one.shaft,
                " and ".join(name for name, does in slides if does[LIKELY]),
                _ends(reader, one.found.pulls[:, one.pulley], "force"),
                reader.number(one.heat[LIKELY], "power", digits=2),
                reader.number(one.heat_driver[LIKELY], "power", digits=2),
                reader.number(one.found.torque[LIKELY], "number", by="percent", decimals=0),
                reader.number(one.found.speed[LIKELY], "number", by="percent", decimals=0),
                _ends(reader, one.engine, "torque"),
            )
        )
    most = engine_most(reader)
    has = "" if most is None else f", which has {reader.show(most[0], 'torque')}"
    heads = ("held still", "belt slides over", "drag on its pulley", "heat there", f"heat at {p.names[p.driver]}")
    return Table(
        f"{layout.name}: one driven shaft held still, loads that do not come from the work",
        (*heads, "torque of the others", "their speed", f"the {_source(reader)} feels"),
        tuple(rows),
        "The others at full torque; where the driver slips too, it settles with the belt sliding over both pulleys, "
        "and the others at what their load takes at less speed. "
        f"The last column is at the {_source(reader)}'s shaft{has}. In brackets the least and the most that grip and "
        "tension can make of it.",
    )


def _ends(reader: Reader, values: np.ndarray, kind: str) -> Value:
    likely, low, high = float(values[LIKELY]), float(np.min(values)), float(np.max(values))
    return reader.number(likely, kind, "{} ({low} to {high})", low=low, high=high)


def _strands(reader: Reader, layout: StageLayout, stage: StageGrip) -> Table:
    rows = [
        (
            layout.strand(i),
            *(reader.number(o.found.net[LIKELY, i] + o.centrifugal[LIKELY], "force") for o in stage.standing),
        )
        for i in range(len(layout.pulleys.names))
    ]
    return Table(
        f"{layout.name}: one driven shaft held still, tension of every strand",
        ("strand", *(f"{one.shaft} stands" for one in stage.standing)),
        tuple(rows),
        "At the likely grip, all belts together, the centrifugal part at the belt's speed then counted.",
    )


__all__ = ["SWITCH", "judge", "tables_of"]
