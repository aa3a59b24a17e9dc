"""What brings the work to its speed, its direction and its limit, and what gives the engine more torque for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from itertools import islice, zip_longest

import numpy as np

from jackshaft.buildfile.naming import named
from jackshaft.chapters.ratio.able import engine_able
from jackshaft.chapters.ratio.data import ENGINE, RatioData, StageRatio, chain
from jackshaft.chapters.ratio.shares import own_power
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.parts.belt_changes import DOUBLE, Pair, on_hand, pairs, pulley_key, sized, sold, with_belt
from jackshaft.parts.belt_stage import standard_of
from jackshaft.parts.works import CURVES, work_key
from jackshaft.results.chapter import Detail, Scope
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.failing import Failing
from jackshaft.results.reader import Reader
from jackshaft.results.running import work_up
from jackshaft.units import at_least, at_most, read, write_nominal

#: Steps in which an engine's speed is set by a tachometer, and in which a power is written down.
STEP, POWERS = ("25 rpm", "25 r/min"), ("0.1 hp", "0.01 kW")
WORK, FULL, POWER = "engine.work_speed", "engine.full_speed", "work.power"

#: Pairs of pulleys that are offered for one stage, and pairs of sprockets.
PAIRS, SPROCKETS = 8, 3
#: What a miss of the speed that is aimed at counts, over as much change of a size: above 1, or the edge of a band is
#: as good as its middle.
NEAR = 2.0


def _way(failing: Failing) -> tuple[RatioData, tuple[StageRatio, ...]]:
    """Return the chapter's record and the stages from the engine to the work: to the shaft that the check names."""
    data: RatioData | None = failing.data("ratio")
    if data is None:
        return None, ()
    end = next(iter(data.carriers), None)
    if failing.check.id.startswith("ratio.") and data.shaft(failing.part) is not None:
        end = failing.part
        data = data._replace(band=data.bands.get(end, data.band))
    return data, chain(data.stages, end)


def _engine_limits(failing: Failing) -> tuple[float, float] | None:
    """Return between what speeds, rad/s, the engine may be worked; None where that is not known, and for a motor."""
    reader = failing.reader
    idle, full = reader.si("engine.idle_speed"), reader.si(FULL, reader.si("engine.rated_speed"))
    if reader.get("engine.kind") == "electric motor" or full is None:
        return None
    return (idle if idle is not None else reader.si(WORK, full)), full


def _speed(failing: Failing) -> Iterator[Proposal]:
    """Yield another engine speed, then other pulleys or sprockets, that put the work inside its band."""
    data, line = _way(failing)
    end = data.shaft(line[-1].end) if line else None
    if end is None or end.work is None or data.band is None:
        return
    low, high = data.band[0] / end.work, data.band[1] / end.work
    yield from _engine_speeds(failing, data.shafts[0].work, low, high)
    share = _uncertain(failing)
    low, high = low * (1 + share), high * (1 - share)
    # where the governor's top fits into the band too, the middle of that is aimed at
    most = min(high, data.band[1] / end.top) if end.top and data.band[1] / end.top > low else high
    middle = float(np.sqrt(low * most)) if low and np.isfinite(most) else 1.0
    ways = [
        way
        for stage in line
        for way in (
            _pulleys(failing, stage, low, high, around=middle),
            _own_pulley(failing, stage, low, high),
            _sprockets(failing, stage, low, high, around=middle),
        )
    ]
    # the best of each before the second best of any: another sprocket may be less than two pulleys
    for each in zip_longest(*ways):
        yield from filter(None, each)


def _own_pulley(failing: Failing, stage: StageRatio, low: float, high: float) -> Iterator[Proposal]:
    """Yield other sizes of the pulley of one shaft, where the belt drives several and the others stay as they are."""
    p, found = stage.pulleys, []
    if p is None or not p.several or p.flat[p.driven]:
        return
    key = pulley_key(stage.name, p.names[p.driven])
    here, pitch = failing.reader.si(key), 2.0 * float(p.pitch[p.driven])
    for size in sorted({*on_hand(failing, stage.name), *sold(failing, stage.name)}):
        grown = size + pitch - here
        if grown >= _least_pitch(failing, stage.name) * (1 - 1e-9) and low <= pitch / grown <= high and size != here:
            found.append((abs(np.log(grown / pitch)), size))
    line = failing.reader.get(f"stage[{stage.name}].pulley[{p.names[p.driven]}].measured_as")
    for _, size in islice(sorted(found), SPROCKETS):
        text = write_nominal(size, failing.build.system)
        changes, belt = with_belt(failing, stage.name, {key: text})
        yield Proposal(orders(f"fit {named('pulley', p.names[p.driven])} of {text} {line} diameter", belt), changes)


def _uncertain(failing: Failing) -> float:
    """Return how far the engine's speed may be off, as a share."""
    value = failing.reader.get(WORK)
    return (value.plus_minus or 0.0) / value.si if value is not None and value.si else 0.0


def _engine_speeds(failing: Failing, work: float, low: float, high: float) -> Iterator[Proposal]:
    """Yield speeds of the engine that bring the work just inside its band, and to its middle."""
    limits = _engine_limits(failing)
    if limits is None or not work:
        return
    share, middle = _uncertain(failing), 0.5 * (low + high) if np.isfinite(high) else low * 1.05
    ends = [f for f in (low / (1 - share), high / (1 + share)) if np.isfinite(f) and f]
    # the end of the band that is nearest to the speed now comes first
    for factor in (*sorted(ends, key=lambda f: abs(np.log(f))), middle):
        aim = work * factor
        text = (
            failing.down(aim, "rotation", *STEP) if factor == high / (1 + share) else failing.up(aim, "rotation", *STEP)
        )
        speed = read(text, "rotation").si
        if at_least(speed, limits[0]) and at_most(speed * (1 + share), limits[1]):
            yield Proposal(f"Work the engine at {text}.", {WORK: text})


def _least_pitch(failing: Failing, stage: str) -> float:
    """Return the smallest pitch diameter, m, that the stage's section is made for; 0 where it is not known."""
    section = failing.reader.get(f"stage[{stage}].section")
    if not section:
        return 0.0
    belt = belt_lengths.section(section, standard_of(failing.reader, f"stage[{stage}]"))
    return belt.min_pulley + (belt.pitch_minus_reference or 0.0)


def _pulleys(
    failing: Failing, stage: StageRatio, low: float, high: float, *, around: float, words: str = "", more=None
) -> Iterator[Proposal]:
    """Yield pairs of pulleys that are on hand or sold and turn the work by ``low`` to ``high`` times its speed now.

    The fewest that must be bought come first, then those nearest to ``around`` times the speed and to the sizes now.
    """
    p = stage.pulleys
    if p is None:
        return
    now = Pair(0, 0, 2 * float(p.pitch[p.driver]), 2 * float(p.pitch[p.driven]), 0)
    found = []
    for pair in pairs(failing, stage.name, p, least=_least_pitch(failing, stage.name)):
        factor = pair.ratio / now.ratio
        if low * (1 - 1e-9) <= factor <= high * (1 + 1e-9):
            off = abs(np.log(pair.pitch_driver / now.pitch_driver)) + abs(np.log(pair.pitch_driven / now.pitch_driven))
            found.append((pair.bought, off + NEAR * abs(np.log(factor / around)), pair))
    found.sort(key=lambda f: f[:2])
    for _, _, pair in islice((f for f in found if f[2].ratio != now.ratio), PAIRS):
        changes, fitted = sized(failing, stage.name, p, pair)
        if changes:
            changes, belt = with_belt(failing, stage.name, {**changes, **(more or {})})
            yield Proposal(orders(words, fitted, belt), changes)


def _sprockets(
    failing: Failing, stage: StageRatio, low: float, high: float, *, around: float = 1.0
) -> Iterator[Proposal]:
    """Yield other teeth of one sprocket of a chain, nearest to ``around`` times the speed and to the teeth now.

    Gears come in pairs with their centres, so they are left alone.
    """
    at = f"stage[{stage.name}]"
    if failing.reader.get(f"{at}.kind") != "roller chain":
        return
    teeth = failing.reader.get(f"{at}.driver_teeth"), failing.reader.get(f"{at}.driven_teeth")
    found = []
    for end, key, now in zip((1, -1), ("driver_teeth", "driven_teeth"), teeth, strict=True):
        for count in range(max(9, now // 3), 3 * now + 1):
            if count != now and low <= (count / now) ** end <= high:
                off = abs(np.log(count / now))
                found.append((off + NEAR * abs(np.log((count / now) ** end / around)), f"{at}.{key}", count))
    for _, key, count in islice(sorted(found), SPROCKETS):
        part = "driving" if "driver" in key else "driven"
        yield Proposal(f"Fit a {part} sprocket of {count} teeth to {stage.name}.", {key: str(count)})


def _surface(failing: Failing) -> Iterator[Proposal]:
    """Yield a lower governed speed, then pulleys and sprockets that gear the work down, inside the band it wants."""
    data, line = _way(failing)
    end = data.shaft(line[-1].end) if line else None
    if end is None or end.work is None:
        return
    most, size = (failing.reader.si(work_key(failing.reader, end.name, n)) for n in ("surface_speed_most", "diameter"))
    if not most or not size:
        return
    yield from slowed(failing, most / (0.5 * size * (end.top or end.work)))


def _top(failing: Failing) -> Iterator[Proposal]:
    """Yield a lower governed speed, then gearing, at which the engine cannot run the work past its highest speed."""
    data, line = _way(failing)
    end = data.shaft(line[-1].end) if line else None
    if end is not None and end.top and data.band is not None:
        yield from slowed(failing, data.band[1] / end.top)


def slowed(failing: Failing, factor: float) -> Iterator[Proposal]:
    """Yield a lower governed speed, then pulleys and sprockets, at which the highest speed of the work falls to
    ``factor`` times what it is, with the work inside its band."""
    data, line = _way(failing)
    if not line:
        return
    end, engine, limits = data.shaft(line[-1].end), data.shafts[0], _engine_limits(failing)
    if limits is not None and engine.top is not None:
        text = failing.down(engine.top * factor, "rotation", *STEP)
        aim, words = read(text, "rotation").si, f"Set the engine's governor to {text} at most"
        under = failing.down(aim / (1 + _uncertain(failing)), "rotation", *STEP)
        if at_least(aim, engine.work * (1 + _uncertain(failing))):
            yield Proposal(f"{words}.", {FULL: text})
        elif at_least(read(under, "rotation").si, limits[0]):
            yield Proposal(orders(words, f"work the engine at {under}"), {FULL: text, WORK: under})
    low = data.band[0] / end.work if data.band else 0.0
    for stage in line:
        yield from _own_pulley(failing, stage, low, factor)
        yield from _pulleys(failing, stage, low, factor, around=1.0)
        yield from _sprockets(failing, stage, low, factor)


def _power(failing: Failing) -> Iterator[Proposal]:
    """Yield faster engine speeds with pulleys that keep the work near its speed, where it takes less of the torque."""
    data, line = _way(failing)
    limits, able = _engine_limits(failing), engine_able(failing.reader)
    if limits is None or able is None or not able.now or not line or not data.shafts[0].torque:
        return
    engine, end = data.shafts[0], data.shaft(line[-1].end)
    wanted = engine.peak_torque or engine.torque
    least = engine.work * min(wanted / able.now, limits[1] / engine.work)
    most = limits[1] / (1 + _uncertain(failing))
    for aim in dict.fromkeys((least, 0.5 * (least + most), most)):
        text = failing.down(aim, "rotation", *STEP) if aim == most else failing.up(aim, "rotation", *STEP)
        speed = read(text, "rotation").si
        if not at_most(speed, most) or speed <= engine.work * (1 + 1e-9):
            continue
        if data.band is None or end.work is None:
            continue
        back, (low, high) = engine.work / speed, (b / end.work for b in data.band)
        for stage in line:
            yield from islice(
                _pulleys(
                    failing,
                    stage,
                    back * low,
                    back * high,
                    around=back,
                    words=f"work the engine at {text}",
                    more={WORK: text},
                ),
                3,
            )


def _motor(failing: Failing) -> Iterator[Proposal]:
    """Yield the single-phase motors of the same power that start harder, where none of its own torques is known."""
    reader = failing.reader
    given = any(reader.has(f"engine.{k}") for k in ("start_torque", "pull_up_torque"))
    if given or reader.get("engine.phases") != 1 or reader.get("engine.starts_by") is None:
        return
    for kind in ("capacitor start and run", "capacitor start"):
        yield Proposal(f"Fit a {kind} motor of the same power and speed.", {"engine.starts_by": kind})


#: Motors that other connections turn round; common practice, no source. One with a shaded pole has no other way.
REVERSIBLE = ("three-phase", "capacitor start and run", "capacitor start", "split phase", "permanent capacitor")


def _direction(failing: Failing) -> Iterator[Proposal]:
    """Yield the ways to turn the direction round: the motor, or a stage by another gearbox, a belt uncrossed, a driven
    pulley on the other side."""
    _, line = _way(failing)
    if failing.reader.get("engine.starts_by") in REVERSIBLE:
        way = next(w for w in ("clockwise", "counter-clockwise") if w != failing.reader.get("engine.turns"))
        words = f"Have the motor connected to turn {way}, where its plate or its maker gives a diagram for that."
        yield Proposal(words, {"engine.turns": way})
    for stage in line:
        at, p = f"stage[{stage.name}]", stage.pulleys
        if failing.reader.get(f"{at}.kind") == "gearbox":
            same = bool(failing.reader.get(f"{at}.reverses"))
            words = f"Put in a gearbox for {stage.name} with the same ratio and rating whose output turns "
            words += "as its input does." if same else "against its input."
            yield Proposal(words, {f"{at}.reverses": "no" if same else "yes"})
        if p is None:
            continue
        if p.crossed:
            changes, belt = with_belt(failing, stage.name, {f"{at}.crossed": "no"})
            yield Proposal(orders(f"run the belt of {stage.name} open, not crossed", belt), changes)
            continue
        if len(p.names) == 2 and not p.several:
            changes, belt = with_belt(failing, stage.name, {f"{at}.crossed": "yes"})
            yield Proposal(orders(f"cross the belt of {stage.name} between its pulleys", belt), changes)
        if len(p.names) < 3:
            continue
        name, section = p.names[p.driven], failing.reader.get(f"{at}.section")
        side = "outside" if p.inside[p.driven] else "inside"
        changes, words = (
            {f"{at}.pulley[{name}].side": side},
            f"lead the belt so that {named('pulley', name)} is {side} the loop",
        )
        if side == "outside" and section in DOUBLE:
            changes[f"{at}.section"] = DOUBLE[section]
            words += f", with a double-V belt of section {DOUBLE[section]}"
        changes, belt = with_belt(failing, stage.name, changes)
        yield Proposal(orders(words, belt), changes)


def _governor(failing: Failing) -> Iterator[Proposal]:
    """Yield a work speed whose upper end the governor lets the engine reach."""
    limits = _engine_limits(failing)
    if limits is not None:
        text = failing.down(limits[1] / (1 + _uncertain(failing)), "rotation", *STEP)
        if at_least(read(text, "rotation").si, limits[0]):
            yield Proposal(f"Work the engine at {text}.", {WORK: text}, clears=True)


def _carried(generate: Callable[[Failing], Iterator[Proposal]]) -> Callable[[Failing], Iterator[Proposal]]:
    """Return the same proposals with the power that is taken at the new speeds, by what the build says of each load.

    That asks nothing else of the machine: a fan that is sped up takes more, by the cube of its speed, and what holds
    its torque in step with it. A proposal is left out where that is not known.
    """

    def proposals(failing: Failing) -> Iterator[Proposal]:
        for proposal in generate(failing):
            if (carried := _with_power(failing, proposal)) is not None:
                yield carried

    return proposals


def _with_power(failing: Failing, proposal: Proposal) -> Proposal | None:
    """Return a proposal with the powers that the build states at the speeds that it gives; None where not known."""
    reader, now = failing.reader, failing.data("ratio")
    power, at = reader.si(POWER), reader.get("work.power_at")
    if power is None or now is None or now.shaft(at) is None:
        return proposal
    build = failing.build.with_values(proposal.changes)
    new = work_up(build, ("ratio",), scope=Scope(Detail.NO_TABLES)).chapters["ratio"].data
    times = {} if new is None else _times(reader, now, new)
    own = {s: k for s, k in times.items() if reader.si(own_power(s)) and not np.isclose(k, 1.0)}
    mine = [s for s in times if s == at or at in (ENGINE, *(k.start for k in chain(now.stages, s)))]
    factors = {round(times[s], 9) for s in mine}
    if not factors:
        return proposal
    whole = factors.pop() if len(factors) == 1 else _weighed(now, {s: times[s] for s in mine}, at)
    if whole is None:
        return None
    if np.isclose(whole, 1.0) and not own:
        return proposal
    changes = {POWER: failing.up(power * whole, "power", *POWERS)}
    changes |= {own_power(s): failing.up(reader.si(own_power(s)) * k, "power", *POWERS) for s, k in own.items()}
    taken = f"at that speed the work takes {changes[POWER]}"
    taken += "".join(f", {s} {changes[own_power(s)]}" for s in own)
    return replace(proposal, words=orders(proposal.words, taken), changes={**proposal.changes, **changes})


def _times(reader: Reader, now: RatioData, new: RatioData) -> dict[str, float]:
    """Return by shaft that takes power how many times its power now it takes at its new speed.

    What does not say how its torque goes with its speed holds it.
    """
    found = {}
    ends = (s.name for s in now.shafts if s.name != ENGINE and not now.leaving(s.name))
    for shaft in dict.fromkeys((*now.carriers, *ends)):
        before, after = now.shaft(shaft), new.shaft(shaft)
        if before is not None and after is not None and before.work and after.work:
            curve = reader.get(work_key(reader, shaft, "load_curve")) if shaft in now.carriers else None
            found[shaft] = (after.work / before.work) ** (1.0 + CURVES.get(curve, 0.0))
    return found


def _weighed(now: RatioData, times: Mapping[str, float], at: str) -> float | None:
    """Return how many times its power now a shaft takes, by what each shaft behind it takes; None where not known."""
    parts = {}
    for shaft in times:
        onward = [now.through(name) for name in now.leaving(shaft)]
        if None in (now.shaft(shaft).power, *(s and s.power for s in onward)):
            return None
        behind = chain(now.stages, shaft)[len(chain(now.stages, at)) :]
        lost = float(np.prod([s.efficiency for s in behind]))
        parts[shaft] = (now.shaft(shaft).power - sum(s.power for s in onward)) / lost
    whole = sum(parts.values())
    return sum(parts[s] * k for s, k in times.items()) / whole if whole else None


PROPOSALS = {
    "ratio.governor": _carried(_governor),
    "ratio.speed": _carried(_speed),
    "ratio.top-speed": _carried(_top),
    "ratio.power": _carried(_power),
    "ratio.motor-start": _motor,
    "ratio.direction": _direction,
    "ratio.surface-speed": _carried(_surface),
}

__all__ = ["PROPOSALS", "slowed"]
