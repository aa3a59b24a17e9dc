"""Drive ratio: how fast, which way and how hard each shaft turns, stage by stage."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from jackshaft.chapters.ratio import CHAPTER, checks
from jackshaft.chapters.ratio.able import power_check, rating_checks
from jackshaft.chapters.ratio.data import ARROWS, ENGINE, RUN_UP, SYNCHRONOUS, RatioData, ShaftState, StageRatio, chain
from jackshaft.chapters.ratio.judged import band_of, judged
from jackshaft.chapters.ratio.shares import aside_checks, carriers, powers
from jackshaft.chapters.ratio.stages import read_stage, turn_lacks, turn_of
from jackshaft.chapters.ratio.starting import engine_start_check
from jackshaft.chapters.ratio.teeth import teeth_checks
from jackshaft.parts.belt_stage import shafts_driven
from jackshaft.parts.works import work_key, work_shafts
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import Table
from jackshaft.results.findings import Draft, Findings, refused
from jackshaft.results.reader import Reader, Unknown
from jackshaft.results.values import signed
from jackshaft.units import OutOfRange, at_least


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up the drive ratio of a build."""
    draft = Draft(CHAPTER)
    names = reader.names("stage")
    if reader.is_none("stage"):
        return draft.done(reader, "none", "This build has no stages.")
    if not names:
        return _no_stages(draft, reader)
    stages, broken = _read_stages(draft, reader, names)
    missing = tuple(dict.fromkeys(k for keys in broken.values() for k in keys))
    shafts, untold = _shafts(reader, stages, broken)
    data = RatioData(
        stages,
        shafts,
        band_of(reader, next(iter(work_shafts(reader)), None)),
        next(iter(work_shafts(reader)), None),
        broken=missing,
        driven=tuple(shaft for name in names for shaft in shafts_driven(reader, name)),
        work_shafts=work_shafts(reader),
        carriers=carriers(reader),
        untold=untold,
    )
    wants = judged(reader, data)
    # where nobody says which shaft carries the work, no shaft is shown with its band
    bands = {one.shaft: one.band for one in wants if one.band and one.shaft and (data.work_shafts or not one.works)}
    draft.data = data = data._replace(bands=bands)
    _shaft_table(draft, reader, data.shafts)
    _facts(draft, reader, data.stages, broken)
    for one in wants:
        line, lacks = chain(stages, one.shaft), missing
        if not line and not missing:
            # the work is on no shaft that a stage drives: either its shaft is not said, or a stage to it is not written
            lacks = ("work.shaft" if data.work_shaft is None else "stage",)
        if one.works or one.band is not None:
            checks.speed_check(draft, reader, data, one, missing=lacks)
        if one.works or one.turn:
            checks.direction_check(draft, reader, one, line, lacks)
        checks.top_check(draft, reader, one)
        if one.works:
            checks.surface_check(draft, reader, one)
    aside_checks(draft, reader, data)
    checks.stray_check(draft, reader)
    checks.governor_check(draft, reader)
    power_check(draft, reader, data)
    engine_start_check(draft, reader, data.shafts[0])
    rating_checks(draft, reader, data)
    teeth_checks(draft, reader)
    _error_table(draft, reader, data.stages)
    draft.cite("own-derivation")
    return draft.done(reader)


def _read_stages(
    draft: Draft, reader: Reader, names: Iterable[str]
) -> tuple[tuple[StageRatio, ...], dict[str, tuple[str, ...]]]:
    """Return the stages that can be worked out, and by name the keys without which the others cannot."""
    stages, broken = [], {}
    for name in names:
        with reader.noting() as keys:
            try:
                stages += read_stage(reader, name)
            except Unknown as unknown:
                broken[name] = unknown.keys
            except OutOfRange as why:
                broken[name] = tuple(k for k in sorted(keys) if k.endswith("].share") and reader.get(k) is not None)
                draft.checks.append(refused(f"ratio.shares[{name}]", f"{name}: shares of the power", broken[name], why))
    return tuple(stages), broken


def _no_stages(draft: Draft, reader: Reader) -> Findings:
    """Close the chapter of a build whose stages are not known yet."""
    if not reader.has("engine") and not reader.has("work"):
        if not reader.has("shaft") and not reader.has("bearing"):
            reader.note_missing("engine.kind", "engine.work_speed", "work.name")
        return draft.done(reader, "not known yet", "No engine, no stage and no work is in the build file yet.")
    needs = {"engine.work_speed": engine_speed(reader), "work.speed_least": band_of(reader, None)}
    words = "No stage is in the build file yet."
    draft.missing(reader, *checks.SPEED, ("stage", *(k for k, v in needs.items() if v is None)), words)
    turns = (lacks for part in (ENGINE, "work") if (lacks := turn_lacks(reader, part)))
    draft.missing(reader, *checks.DIRECTION, ("stage", *turns), words)
    return draft.done(reader)


def engine_speed(reader: Reader) -> float | None:
    """Return the engine's working speed; that of an electric motor is the rated one where nothing else is said."""
    work = reader.si("engine.work_speed")
    if work is None and reader.get("engine.kind") == "electric motor":
        return reader.si("engine.rated_speed")
    return work


def _shafts(
    reader: Reader, stages: Iterable[StageRatio], broken: Mapping[str, tuple[str, ...]]
) -> tuple[tuple[ShaftState, ...], Mapping[str, tuple[str, ...]]]:
    """Carry speed, direction, torque and power outward from the engine, shaft by shaft; and what powers lack."""
    idle, work = reader.si("engine.idle_speed"), engine_speed(reader)
    governed, rated = reader.si("engine.full_speed"), reader.si("engine.rated_speed")
    full = rated if governed is None else governed
    top = governed if governed is not None or rated is None else RUN_UP * rated
    if reader.get("engine.kind") == "electric motor":
        idle = None
        if governed is None and rated is not None:
            top = min((v for v in SYNCHRONOUS if at_least(v, rated)), default=top)
    if top is not None:
        top = max(top, work or 0.0)
    states = {ENGINE: ShaftState(ENGINE, idle, work, full, turn_of(reader, ENGINE), top=top)}
    left = list(stages)
    while ready := [s for s in left if s.start in states]:
        for stage in ready:
            a = states[stage.start]
            states[stage.end] = ShaftState(
                stage.end,
                *(None if v is None else v * stage.ratio for v in (a.idle, a.work)),
                full=None if a.full is None else a.full * stage.loose,
                turn=a.turn * stage.sign,
                over=a.over / stage.ratio,
                passed=a.passed * stage.efficiency * stage.share,
                top=None if a.top is None else a.top * stage.loose,
            )
            left.remove(stage)
    return _loaded(reader, states, stages, broken)


def _loaded(
    reader: Reader,
    states: dict[str, ShaftState],
    stages: Iterable[StageRatio],
    broken: Mapping[str, tuple[str, ...]],
) -> tuple[tuple[ShaftState, ...], Mapping[str, tuple[str, ...]]]:
    power, at = reader.si("work.power"), reader.get("work.power_at")
    if power is None or at not in states:
        reader.note_missing(*(k for k, v in (("work.power", power), ("work.power_at", at)) if v is None))
        bare = tuple(
            s._replace(**{name: _factor(reader, s.name, stages, name) for name in ("start_factor", "peak_factor")})
            for s in states.values()
        )
        return bare, {}
    found, loaded = powers(reader, states, stages, broken), []
    for state in states.values():
        peak, start = (_factor(reader, state.name, stages, name) for name in ("peak_factor", "start_factor"))
        mine = found.power[state.name]
        torque = None if mine is None or not state.work else mine / state.work
        top = None if torque is None or peak is None else torque * peak
        loaded.append(state._replace(power=mine, torque=torque, peak_torque=top, peak_factor=peak, start_factor=start))
    return tuple(loaded), found.untold


def _factor(reader: Reader, shaft: str, stages: Iterable[StageRatio], name: str) -> float | None:
    """Return a load over the working load of what a shaft turns, by the key that says it: its own, else that of the
    shafts after it by what they take, else the work's."""
    own = None if shaft == ENGINE else reader.si(f"shaft[{shaft}].{name}")
    if own is not None:
        return own
    after = [(s.share * s.efficiency, _factor(reader, s.end, stages, name)) for s in stages if s.start == shaft]
    if not after:
        return reader.si(work_key(reader, shaft, name))
    factors = {factor for _, factor in after}
    if None in factors or len(factors) == 1:
        return None if None in factors else factors.pop()
    return sum(share * factor for share, factor in after) / sum(share for share, _ in after)


def _shaft_table(draft: Draft, reader: Reader, states: Iterable[ShaftState]) -> None:
    full = reader.how("engine.full_speed") or reader.how("engine.rated_speed")
    rows = tuple(
        (
            state.name,
            reader.cell(state.idle, "rotation", known=reader.how("engine.idle_speed")),
            reader.cell(state.work, "rotation", known=reader.how("engine.work_speed")),
            reader.cell(state.full, "rotation", known=full),
            ARROWS.get(state.turn, "not known"),
            reader.cell(state.torque, "torque", known=reader.how("work.power")),
            reader.cell(state.peak_torque, "torque", known=reader.how("work.peak_factor")),
            reader.cell(state.power, "power", known=reader.how("work.power")),
        )
        for state in states
    )
    heads = ("shaft", "idle", "at work", "full", "turns", "torque at work", "torque at peak", "power")
    draft.tables.append(Table("Each shaft", heads, rows, "Directions are seen facing the engine's output shaft."))


def _facts(draft: Draft, reader: Reader, stages: Iterable[StageRatio], broken: Mapping[str, tuple]) -> None:
    for stage in stages:
        # The number is the turns in for one out either way; a stage that speeds up is written the other way round.
        down = 1 / stage.ratio
        words = "{} : 1" if stage.ratio <= 1 else f"1 : {reader.show(stage.ratio, 'number')}"
        way = "keeps the direction" if stage.sign > 0 else "turns the direction round"
        part = "" if stage.share == 1.0 else f"; {stage.end} takes {100 * stage.share:.3g} % of it"
        draft.fact(
            f"{stage.name}: {stage.start} to {stage.end}",
            reader.number(down, "number", words),
            f"{stage.kind}, {way}, {100 * stage.efficiency:.3g} % of the power comes through{part}",
        )
    for name, keys in broken.items():
        draft.fact(name, "not known yet", f"missing: {', '.join(keys)}")


def _error_table(draft: Draft, reader: Reader, stages: Iterable[StageRatio]) -> None:
    rows = []
    for stage in stages:
        if stage.pulleys is None or stage.outside_error is None:
            continue
        # what is shown as nothing has no sign of its own
        p, error = stage.pulleys, 0.0 if abs(stage.outside_error) < 5e-4 else stage.outside_error
        sizes = (
            reader.number(2 * line[i], "length", known=reader.how(f"stage[{stage.name}].pulley[{p.names[i]}].diameter"))
            for i in (p.driver, p.driven)
            for line in (p.pitch, p.outside)
        )
        name = f"{stage.name}: {stage.end}" if p.several else stage.name
        rows.append((name, *sizes, reader.number(error, "number", signed(error), by="percent", decimals=1)))
    if rows:
        note = (
            "The belt runs on its cord line (pitch diameter). Taking the outside diameters instead promises a "
            "speed that is off by the last column. Where no groove of the section is in the tables, the rim is "
            "taken at the cord line."
        )
        heads = ("stage", "driver pitch", "driver outside", "driven pitch", "driven outside", "speed error")
        draft.tables.append(Table("What the outside diameters would give", heads, tuple(rows), note, aside=True))


__all__ = ["ENGINE", "RatioData", "ShaftState", "work_up"]
