"""Drive ratio: how fast, which way and how hard each shaft turns, stage by stage."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.ratio import CHAPTER
from jackshaft.mechanics import ratio as mech
from jackshaft.parts.belt_stage import Pulleys, lines_of, read_pulleys, section_row
from jackshaft.parts.engine_curve import engine_curve, engine_peak
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import CAUTION, GO, STOP, Table, grade, undecided
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import at_least, at_most

ARROWS = {1: "counter-clockwise", -1: "clockwise"}
ENGINE = "engine"


class StageRatio(NamedTuple):
    """One stage: ratio driven over driver, +1 or -1 for direction, efficiency, and what it is in words."""

    name: str
    start: str
    end: str
    ratio: float
    sign: int
    efficiency: float
    kind: str
    pulleys: Pulleys | None
    outside_error: float | None


class ShaftState(NamedTuple):
    """One shaft: speeds in rad/s at idle, work and full (None where not known), direction, torque and power.

    ``turn`` is +1 counter-clockwise, -1 clockwise, 0 not known, seen facing the engine's output shaft.
    """

    name: str
    idle: float | None
    work: float | None
    full: float | None
    turn: int
    torque: float | None
    power: float | None
    peak_torque: float | None
    over: float


class RatioData(NamedTuple):
    """What the ratio chapter found, for figures and later chapters."""

    stages: tuple[StageRatio, ...]
    shafts: tuple[ShaftState, ...]
    band: tuple[float, float] | None
    work_shaft: str | None
    diameter: float | None

    def shaft(self, name: str) -> ShaftState | None:
        """Return the state of a shaft by name, or None."""
        return next((s for s in self.shafts if s.name == name), None)

    def stage(self, name: str) -> StageRatio | None:
        """Return a stage by name, or None."""
        return next((s for s in self.stages if s.name == name), None)


def turn_of(reader: Reader, chapter: str) -> int:
    """Return +1, -1 or 0 for the direction of the engine or the work, seen facing the engine's output shaft."""
    turns = reader.get(f"{chapter}.turns")
    if turns is None:
        return 0
    sign = 1 if turns == "counter-clockwise" else -1
    return -sign if reader.get(f"{chapter}.seen_from") == "from behind the engine" else sign


def default(item: str, at: str, reader: Reader, key: str) -> float:
    """Return the stage's own figure for ``key``, or the table's likely one for a belt, or none lost."""
    given = reader.si(f"{at}.{key}")
    if given is not None:
        return given
    row = next((r for r in tables.table("belt_limits").rows if r["item"] == item), None)
    if reader.get(f"{at}.kind") != "belt" or row is None:
        return {"efficiency": 0.95, "creep": 0.0}[key]
    return row["likely"] / 100.0


def read_stage(reader: Reader, name: str) -> StageRatio:
    """Read one stage and return its ratio and direction.

    Raises
    ------
    Unknown
        Naming what is missing.
    """
    at = f"stage[{name}]"
    kind, start, end = reader.require(f"{at}.kind", f"{at}.from", f"{at}.to")
    efficiency = default("efficiency", at, reader, "efficiency")
    pulleys, error = None, None
    if kind == "belt":
        pulleys = read_pulleys(reader, at)
        creep = default("creep and slip", at, reader, "creep")
        i, j = pulleys.driver, pulleys.driven
        value = mech.belt_ratio.si(pulleys.pitch[i], driven=pulleys.pitch[j], creep=creep)
        same = (pulleys.inside[i] == pulleys.inside[j]) != pulleys.crossed
        error = float(
            mech.error_of_diameters.si(
                pulleys.pitch[i],
                driven=pulleys.pitch[j],
                driver_used=pulleys.outside[i],
                driven_used=pulleys.outside[j],
            )
        )
        words = (
            "belt in the groove"
            if not pulleys.flat[j]
            else "belt on its flat back"
            if not pulleys.inside[j]
            else "belt on a flat pulley"
        )
        words = "crossed belt" if pulleys.crossed else words
    elif kind in ("roller chain", "gear"):
        teeth = reader.require(f"{at}.driver_teeth", f"{at}.driven_teeth")
        value = mech.tooth_ratio.si(teeth[0], driven=teeth[1])
        internal = bool(reader.get(f"{at}.internal"))
        gear = "internal gear" if internal else "external gear"
        same = mech.same_way("roller chain" if kind == "roller chain" else gear)
        words = kind if kind == "roller chain" else gear
    elif kind == "gearbox":
        value = 1.0 / reader.require_si(f"{at}.ratio")
        reverses = reader.require(f"{at}.reverses")
        same, words = mech.same_way("gearbox", reverses), "gearbox"
    else:
        sizes = reader.require_si(f"{at}.driver_diameter", f"{at}.driven_diameter")
        value = mech.belt_ratio.si(sizes[0], driven=sizes[1], creep=reader.si(f"{at}.creep", 0.0))
        same, words = bool(reader.get(f"{at}.internal")), "friction roller"
    return StageRatio(name, start, end, float(value), 1 if same else -1, efficiency, words, pulleys, error)


def chain(stages: Mapping[str, StageRatio], end: str | None) -> tuple[StageRatio, ...]:
    """Return the stages from the engine to ``end`` in order, or every stage that hangs on the engine."""
    by_end = {s.end: s for s in stages.values()}
    path, here = [], end
    while here in by_end:
        path.append(by_end[here])
        here = by_end[here].start
    return tuple(reversed(path)) if here == ENGINE else ()


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up the drive ratio of a build."""
    draft = Draft(CHAPTER)
    names = reader.names("stage")
    if reader.is_none("stage"):
        return draft.done(reader, "none", "This build has no stages.")
    stages, broken = {}, {}
    for name in names:
        try:
            stages[name] = read_stage(reader, name)
        except Unknown as unknown:
            broken[name] = unknown.keys
    if not names:
        if not reader.has("engine") and not reader.has("work"):
            if not reader.has("shaft") and not reader.has("bearing"):
                reader.note_missing("engine.kind", "engine.work_speed", "work.name")
            return draft.done(reader, "not known yet", "No engine, no stage and no work is in the build file yet.")
        reader.note_missing("engine.work_speed")
        draft.checks.append(
            undecided(
                "ratio.speed",
                "speed of the work",
                ("engine.work_speed", "work.speed_least"),
                "No stage is in the build file yet.",
            )
        )
        return draft.done(reader)
    work_shaft = reader.get("work.shaft")
    target = work_shaft or (tuple(stages.values())[-1].end if stages else None)
    line = chain(stages, target)
    states = _shafts(reader, stages)
    band = _band(reader)
    draft.data = RatioData(tuple(stages.values()), states, band, work_shaft, reader.si("work.diameter"))
    _facts(draft, reader, stages, states, broken)
    _speed_check(draft, reader, states, target, band, broken, line)
    _direction_check(draft, reader, states, target, line)
    _surface_check(draft, reader, states, target)
    _power_check(draft, reader, states)
    _error_sheet(draft, reader, stages)
    draft.cite("own-derivation")
    return draft.done(reader)


def _band(reader: Reader) -> tuple[float, float] | None:
    least, most = reader.si("work.speed_least"), reader.si("work.speed_most")
    return None if least is None and most is None else (least or 0.0, most or np.inf)


def _shafts(reader: Reader, stages: Mapping[str, StageRatio]) -> tuple[ShaftState, ...]:
    """Carry speed, direction, torque and power outward from the engine, shaft by shaft."""
    idle, work = reader.si("engine.idle_speed"), reader.si("engine.work_speed")
    full = reader.si("engine.full_speed", reader.si("engine.rated_speed"))
    if reader.get("engine.kind") == "electric motor":
        work = work if work is not None else reader.si("engine.rated_speed")
        idle = None
    states = {ENGINE: ShaftState(ENGINE, idle, work, full, turn_of(reader, ENGINE), None, None, None, 1.0)}
    left, passed = list(stages.values()), {ENGINE: 1.0}
    while left:
        ready = [s for s in left if s.start in states]
        if not ready:
            break
        for stage in ready:
            a = states[stage.start]
            speeds = (None if v is None else v * stage.ratio for v in (a.idle, a.work, a.full))
            states[stage.end] = ShaftState(
                stage.end, *speeds, a.turn * stage.sign, None, None, None, a.over / stage.ratio
            )
            passed[stage.end] = passed[stage.start] * stage.efficiency
            left.remove(stage)
    return _loaded(reader, states, passed)


def _loaded(reader: Reader, states: dict[str, ShaftState], passed: dict[str, float]) -> tuple[ShaftState, ...]:
    power, at = reader.si("work.power"), reader.get("work.power_at")
    if power is None or at not in states:
        reader.note_missing(*(k for k, v in (("work.power", power), ("work.power_at", at)) if v is None))
        return tuple(states.values())
    peak = reader.si("work.peak_factor")
    loaded = []
    for name, state in states.items():
        mine = power * passed[name] / passed[at]
        torque = None if not state.work else mine / state.work
        loaded.append(
            state._replace(
                power=mine, torque=torque, peak_torque=None if torque is None or peak is None else torque * peak
            )
        )
    return tuple(loaded)


def _facts(draft: Draft, reader: Reader, stages, states, broken) -> None:
    rows = []
    for state in states:
        rows.append(
            (
                state.name,
                *("" if v is None else reader.show(v, "rotation") for v in (state.idle, state.work, state.full)),
                ARROWS.get(state.turn, "not known"),
                "" if state.torque is None else reader.show(state.torque, "torque"),
                "" if state.peak_torque is None else reader.show(state.peak_torque, "torque"),
                "" if state.power is None else reader.show(state.power, "power"),
            )
        )
    draft.tables.append(
        Table(
            "Each shaft",
            ("shaft", "idle", "at work", "full", "turns", "torque at work", "torque at peak", "power"),
            tuple(rows),
            "Directions are seen facing the engine's output shaft.",
        )
    )
    for stage in stages.values():
        words = f"{1 / stage.ratio:.4g} : 1" if stage.ratio <= 1 else f"1 : {stage.ratio:.4g}"
        way = "keeps the direction" if stage.sign > 0 else "turns the direction round"
        draft.fact(
            f"{stage.name}: {stage.start} to {stage.end}",
            words,
            f"{stage.kind}, {way}, {100 * stage.efficiency:.3g} % of the power comes through",
        )
    for name, keys in broken.items():
        draft.fact(name, "not known yet", f"missing: {', '.join(keys)}")


def _speed_check(draft, reader, states, target, band, broken, line) -> None:
    id, name = "ratio.speed", "speed of the work"
    state = next((s for s in states if s.name == target), None)
    wanted = _band_words(reader, band)
    missing = [k for keys in broken.values() for k in keys]
    if not line:
        missing = missing or ["work.shaft"]
    if state is None or state.work is None or band is None:
        missing += [
            k
            for k, lacks in (
                ("engine.work_speed", reader.si("engine.work_speed") is None),
                ("work.speed_least", band is None),
            )
            if lacks
        ]
        reader.note_missing(*missing)
        draft.checks.append(
            undecided(
                id,
                name,
                tuple(dict.fromkeys(missing)),
                "The speed of the work or the band it wants is not known yet.",
                limit=wanted,
            )
        )
        return
    speed = state.work
    spread = reader.get("engine.work_speed")
    share = (spread.plus_minus or 0.0) / spread.si if spread is not None else 0.0
    low, high = speed * (1 - share), speed * (1 + share)
    text = reader.show(speed, "rotation")
    least, most = band
    if least <= low and high <= most:
        draft.check(
            id,
            name,
            text,
            wanted,
            GO,
            f"{target} turns at {text} with the engine at work.",
            source="own-derivation, pitch diameters and teeth",
        )
        return
    inside = at_least(speed, least) and at_most(speed, most)
    off = most / speed - 1 if speed > most else least / speed - 1
    aim = reader.show(min(max(speed, least), most), "rotation")
    last = line[-1] if line else None
    engine = states[0].work * (1 + off)
    cure = f"Work the engine at {reader.show(engine, 'rotation')}"
    if last is not None and last.pulleys is not None:
        i = last.pulleys.driver
        size = 2 * last.pulleys.pitch[i] * (1 + off)
        cure += (
            f", or change pulley {last.pulleys.names[i]} of {last.name} to {reader.show(size, 'length')} pitch diameter"
        )
    where = "too fast" if speed > most else "too slow" if speed < least else "inside the band only just"
    draft.check(
        id,
        name,
        text,
        wanted,
        CAUTION if inside else STOP,
        f"{target} turns at {text}, {where}; the nearest wanted speed is {aim}."
        if not inside
        else f"{target} turns at {text}, but the uncertainty of the engine speed reaches outside the band.",
        cure + ".",
        "own-derivation, pitch diameters and teeth",
    )


def _band_words(reader: Reader, band) -> str:
    if band is None:
        return ""
    least, most = band
    if least and np.isfinite(most):
        return f"{reader.show(least, 'rotation')} to {reader.show(most, 'rotation')}"
    return f"{reader.show(least, 'rotation')} or more" if least else f"{reader.show(most, 'rotation')} or less"


def _direction_check(draft, reader, states, target, line) -> None:
    id, name = "ratio.direction", "direction of the work"
    wanted, state = turn_of(reader, "work"), next((s for s in states if s.name == target), None)
    missing = [k for k, lacks in (("engine.turns", not turn_of(reader, ENGINE)), ("work.turns", not wanted)) if lacks]
    if missing or state is None or not state.turn:
        reader.note_missing(*missing)
        draft.checks.append(
            undecided(
                id,
                name,
                missing or ("stage",),
                "The direction of the engine or the one that the work wants is not known yet.",
                limit=ARROWS.get(wanted, ""),
            )
        )
        return
    turns = [s.name for s in line if s.sign < 0]
    way = f"{len(turns)} of {len(line)} stages turn the direction round" + (f" ({', '.join(turns)})" if turns else "")
    good = state.turn == wanted
    draft.check(
        id,
        name,
        ARROWS[state.turn],
        ARROWS[wanted],
        GO if good else STOP,
        f"{way}; seen facing the engine's output shaft.",
        ""
        if good
        else "Turn the direction round once more or once less: the driven pulley on the back of a "
        "double-V belt, a crossed belt, a gear pair, or the source turned to face the other way.",
        "own-derivation, inside pulleys turn with the loop, outside ones against it",
    )


def _surface_check(draft, reader, states, target) -> None:
    size = reader.si("work.diameter")
    state = next((s for s in states if s.name == target), None)
    if size is None or state is None or state.work is None:
        return
    speed = float(mech.tip_speed.si(size, rotation=state.work))
    draft.fact("tip or surface speed of the work", reader.show(speed, "surface speed"), "at the working engine speed")
    most = reader.si("work.surface_speed_most")
    if most is None:
        return
    top = speed if state.full is None else float(mech.tip_speed.si(size, rotation=state.full))
    verdict = grade(likely=speed, bad=top, limit=most, higher_is_better=False)
    draft.check(
        "ratio.surface-speed",
        "tip or surface speed",
        reader.show(top, "surface speed"),
        f"{reader.show(most, 'surface speed')} or less",
        verdict,
        "Checked at the highest governed engine speed, since a governor lets go when the load does.",
        "" if verdict == GO else "Gear the work down, or lower the governed speed of the engine.",
        "own-derivation, circumference times turns",
        guards=True,
    )


def _power_check(draft, reader, states) -> None:
    engine = states[0]
    if engine.torque is None:
        return
    peak, rated, speed = engine_peak(reader), reader.si("engine.rated_power"), reader.si("engine.rated_speed")
    able = peak if peak is not None else None if rated is None or speed is None else rated / speed
    curve, turns = engine_curve(reader), reader.si("engine.work_speed")
    by_curve = curve is not None and turns is not None
    if by_curve:
        able = float(curve.at(turns))
    id, name = "ratio.power", "torque the engine has"
    if able is None:
        reader.note_missing("engine.rated_power", "engine.rated_speed")
        draft.checks.append(
            undecided(
                id,
                name,
                ("engine.rated_power", "engine.rated_speed"),
                "The plate figures of the engine are not known yet.",
            )
        )
        return
    wanted = engine.peak_torque or engine.torque
    verdict = GO if at_least(able, wanted) else CAUTION if at_least(able, engine.torque) else STOP
    draft.check(
        id,
        name,
        reader.show(able, "torque"),
        f"{reader.show(wanted, 'torque')} at the peak load",
        verdict,
        f"The work takes {reader.show(engine.torque, 'torque')} at the engine, "
        f"{reader.show(wanted, 'torque')} at the peak. "
        + (
            f"That is what its torque curve has at {reader.show(turns, 'rotation')}."
            if by_curve
            else "The plate shows the engine's best; it has less at other speeds."
        ),
        "" if verdict == GO else "Take a lighter bite, gear the work down, or take a stronger engine.",
        "own-derivation, power is torque times speed",
    )


def _error_sheet(draft, reader, stages) -> None:
    rows = []
    for stage in stages.values():
        if stage.pulleys is None or stage.outside_error is None:
            continue
        i, j = stage.pulleys.driver, stage.pulleys.driven
        rows.append(
            (
                stage.name,
                reader.show(2 * stage.pulleys.pitch[i], "length"),
                reader.show(2 * stage.pulleys.outside[i], "length"),
                reader.show(2 * stage.pulleys.pitch[j], "length"),
                reader.show(2 * stage.pulleys.outside[j], "length"),
                f"{100 * stage.outside_error:+.1f} %",
            )
        )
    if rows:
        draft.tables.append(
            Table(
                "What outside diameters would make of it",
                ("stage", "driver pitch", "driver outside", "driven pitch", "driven outside", "speed error"),
                tuple(rows),
                "The belt runs on its cord line (pitch diameter). Taking the outside diameters instead promises a "
                "speed that is off by the last column. Where no groove of the section is in the tables, the rim is "
                "taken at the cord line.",
            )
        )


__all__ = [
    "ARROWS",
    "ENGINE",
    "RatioData",
    "ShaftState",
    "StageRatio",
    "chain",
    "lines_of",
    "section_row",
    "turn_of",
    "work_up",
]
