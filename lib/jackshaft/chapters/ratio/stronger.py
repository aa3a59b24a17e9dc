"""A stronger engine or motor, a stage rated for more, gears with more teeth: what is bought where no speed helps."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft.buildfile.naming import named
from jackshaft.chapters.ratio.able import more
from jackshaft.chapters.ratio.teeth import FEW_GEAR, RING_MORE
from jackshaft.parts.derating import power_left
from jackshaft.parts.motor import is_motor, source_word
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.failing import Failing
from jackshaft.results.values import Number
from jackshaft.units import at_least, read

#: Ratings that motors are sold with, of NEMA MG 1 and of IEC 60072-1: from memory. Engines come in steps as fine.
MOTORS = {
    "inch": tuple(f"{hp:g} hp" for hp in (0.25, 0.33, 0.5, 0.75, 1, 1.5, 2, 3, 5, 7.5, 10, 15)),
    "metric": tuple(f"{kw:g} kW" for kw in (0.25, 0.37, 0.55, 0.75, 1.1, 1.5, 2.2, 3, 4, 5.5, 7.5, 11)),
}
ENGINES = ("0.5 hp", "0.5 kW")
#: How much stronger an engine is offered at the most; beyond that the machine wants another plan. An assumption.
MOST = 2.0
#: Kinds of single-phase motor that start and pull hard, the cheaper first.
HARD = ("capacitor start", "capacitor start and run")
#: Torques of the old one that the new one must have more of, and what of the old one goes with it.
TORQUES = {"peak_torque": "highest", "start_torque": "starting", "pull_up_torque": "pull-up"}
OF_THE_OLD = "inertia", "stall_speed"


def source(failing: Failing) -> Iterator[Proposal]:
    """Yield an engine or motor of the next sizes that has the torque that is wanted, its shaft and speed the same."""
    reader, found, wanted = failing.reader, failing.check.found, failing.check.wanted
    power = reader.si("engine.rated_power")
    if not isinstance(found, Number) or not isinstance(wanted, Number) or not power:
        return
    has = found.si if found.low is None else found.low
    if has <= 0.0:
        return
    times = wanted.si * (1.0 + more(reader)) / has
    for over in (1.0, 1.2):
        text = _size(failing, over * times * power)
        if text is not None and 1.0 < read(text, "power").si / power <= MOST:
            yield _fitted(failing, text, read(text, "power").si / power)
    if is_motor(reader) and reader.get("engine.starts_by") is None:
        yield from _of_a_kind(failing, power)


def _of_a_kind(failing: Failing, power: float) -> Iterator[Proposal]:
    """Yield motors of a kind that starts hard, of the same power and then of the next, where no kind is said yet."""
    kinds = ("three-phase",) if failing.reader.get("engine.phases") == 3 else HARD
    sizes = [t for t in MOTORS[failing.build.system] if 1.0 <= read(t, "power").si / power <= MOST]
    for text in sizes:
        for kind in kinds:
            fitted = _fitted(failing, text, read(text, "power").si / power)
            words = fitted.words.replace("a motor", f"a {kind} motor", 1)
            yield Proposal(words, {**fitted.changes, "engine.starts_by": kind})


def _size(failing: Failing, power: float) -> str | None:
    """Return the least power, W, that engines or motors are sold with from this one upward; None where none is."""
    if not is_motor(failing.reader):
        return failing.up(power, "power", *ENGINES)
    return next((t for t in MOTORS[failing.build.system] if at_least(read(t, "power").si, power)), None)


def _fitted(failing: Failing, text: str, times: float) -> Proposal:
    """Return the engine of a power as changes: all its torques are more by as much, and asked for in words."""
    reader, changes = failing.reader, {"engine.rated_power": text}
    asked = []
    for key, what in TORQUES.items():
        old = reader.si(f"engine.{key}")
        if old is not None:
            changes[f"engine.{key}"] = more = failing.up(times * old, "torque", "0.5 lbf·ft", "0.5 N·m")
            asked.append(f"its {what} torque {more} or more")
    points = reader.names("engine.torque_point")
    for name in points:
        key = f"engine.torque_point[{name}].torque"
        if (old := reader.si(key)) is not None:
            changes[key] = failing.up(times * old, "torque", "0.5 lbf·ft", "0.5 N·m")
    asked += ["its torque curve higher in the same measure"] if points else []
    changes |= {f"engine.{k}": "" for k in OF_THE_OLD if reader.get(f"engine.{k}") is not None}
    words = f"fit {'a' if is_motor(reader) else 'an'} {source_word(reader)} of {text} or more at the same speed, "
    words += "with the same output shaft" + (f", {' and '.join(asked)}" if asked else "")
    return Proposal(orders(words), changes)


def torque_asked(failing: Failing) -> str:
    """Return the torque to ask the seller of an engine or motor for."""
    reader, wanted = failing.reader, failing.check.wanted
    if not isinstance(wanted, Number):
        return ""
    text = failing.up(wanted.si * (1.0 + more(reader)), "torque", "0.5 lbf·ft", "0.5 N·m")
    if is_motor(reader):
        data, rated = failing.data("ratio"), reader.si("engine.rated_speed", 0.0)
        steady = data.shafts[0].torque * (1.0 + more(reader)) * rated / power_left(reader).bad
        size = _size(failing, steady)
        return "" if size is None else f"Ask for a motor of {size} or more that pulls out at {text} or more."
    speed = reader.si("engine.work_speed")
    return f"Ask for an engine that has {text} or more" + (f" at {reader.show(speed, 'rotation')}." if speed else ".")


def rating(failing: Failing) -> Iterator[Proposal]:
    """Yield a stage of the same ratio that its maker rates for the torque that is wanted."""
    key, wanted = f"stage[{failing.part}].rating", failing.check.wanted
    if isinstance(wanted, Number):
        aim = wanted.si * (1.0 + more(failing.reader))
        text = failing.up(aim, "torque", "1 lbf·ft", "1 N·m")
        kind = failing.reader.get(f"stage[{failing.part}].kind")
        words = f"Fit another {named(kind, failing.part)} of the same ratio, which its maker rates for {text} or more "
        yield Proposal(f"{words}on its driving shaft.", {key: text})


def teeth(failing: Failing) -> Iterator[Proposal]:
    """Yield a pair of gears of the same ratio with teeth enough, or so many more on the ring."""
    at = f"stage[{failing.part}]"
    pair = [failing.reader.get(f"{at}.{end}_teeth") for end in ("driver", "driven")]
    if None in pair:
        return
    least, ring = min(pair), failing.check.id.startswith("ratio.ring-gear")
    for small in range(least + 1, 4 * least):
        new = [round(n * small / least) for n in pair]
        if (max(new) - min(new) >= RING_MORE if ring else small >= FEW_GEAR) and new[0] * pair[1] == new[1] * pair[0]:
            changes = {f"{at}.{end}_teeth": str(n) for end, n in zip(("driver", "driven"), new, strict=True)}
            words = f"Fit gears of {new[0]} and {new[1]} teeth for {failing.part}, at the centres that they want."
            yield Proposal(words, changes, clears=True)
            return


def by_starter(failing: Failing) -> Iterator[Proposal]:
    """Yield a starter motor in place of a hand."""
    if failing.reader.get("engine.starts_by") == "recoil starter":
        yield Proposal("Fit an engine with a starter motor.", {"engine.starts_by": "starter motor"})


__all__ = ["by_starter", "rating", "source", "teeth", "torque_asked"]
