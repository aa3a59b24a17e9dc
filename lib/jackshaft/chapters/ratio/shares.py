"""Which shafts carry the work, and how much of the power each shaft takes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from jackshaft.chapters.ratio.data import ENGINE, RatioData, ShaftState, StageRatio, chain
from jackshaft.parts.belt_stage import shafts_driven
from jackshaft.parts.works import own_power, work_shafts
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader


class Powers(NamedTuple):
    """Power of each shaft at work, W, None where it is not known, and by shaft the keys without which it is not."""

    power: Mapping[str, float | None]
    untold: Mapping[str, tuple[str, ...]]


def carriers(reader: Reader) -> tuple[str, ...]:
    """Return the shafts that carry the work: those that are said to, else the ends of the drive where it has one.

    A belt that drives several shafts at the end is one such end. None where stages end apart, or one of them does not
    say where it begins or leads.
    """
    if said := work_shafts(reader):
        return said
    stages = {name: shafts_driven(reader, name) for name in reader.names("stage")}
    starts = {name: reader.get(f"stage[{name}].from") for name in stages}
    if None in starts.values() or not all(stages.values()):
        return ()
    ends = {name: tuple(e for e in shafts if e not in starts.values()) for name, shafts in stages.items()}
    last = [shafts for shafts in ends.values() if shafts]
    return last[0] if len(last) == 1 else ()


def asides(stages: Iterable[StageRatio], works: tuple[str, ...], at: str) -> tuple[StageRatio, ...]:
    """Return the stages that lead away from the way to the work, and those that lead on from a shaft of the work.

    What leads to where the power is stated is none of them, nor is a belt that drives several shafts: its shares are
    written down.
    """
    stages, line = tuple(stages), {s.end for s in chain(stages, at)}
    way = {ENGINE, *line, *(s.end for end in works for s in chain(stages, end))}
    if not any(chain(stages, work) for work in works):
        return ()
    several = {s.name for s in stages if s.pulleys is not None and s.pulleys.several}
    away = [s for s in stages if s.start in way and s.end not in way]
    onward = [s for s in stages if s.start in works and s.end in way - line]
    return tuple(s for s in (*away, *onward) if s.name not in several)


def powers(
    reader: Reader,
    states: Mapping[str, ShaftState],
    stages: Iterable[StageRatio],
    broken: Mapping[str, tuple[str, ...]],
) -> Powers:
    """Return what each shaft takes where the work's power is known, at a shaft among ``states``.

    What leads away from the way to the work takes what its shafts say of themselves. A power that is stated before it
    leads away counts it in; one that is stated behind it does not, and what lies before takes both. What a stage takes
    that is not worked out, for want of the keys in ``broken``, is not known.
    """
    stages, at, power = tuple(stages), reader.get("work.power_at"), reader.si("work.power")
    found = {name: power * state.passed / states[at].passed for name, state in states.items()}
    untold: dict[str, tuple[str, ...]] = {}
    line = {ENGINE, *(s.end for s in chain(stages, at))}
    works = carriers(reader)
    apart = () if works else tuple(_apart(stages, line))
    # what is known to take power beside the work is not left out of what lies before both
    before = line - {at} if any(reader.si(own_power(shaft)) for shaft in apart) else set()
    for shaft in (*apart, *before):
        found[shaft], untold[shaft] = None, ("work.shaft",)
    for aside in asides(stages, works, at):
        after = _after(stages, aside.end)
        lacks = reader.unknown(*(own_power(shaft) for shaft in _takers(stages, works, after)))
        taken = {shaft: _taken(reader, states, stages, shaft) for shaft in after}
        before = {aside.start, *(s.start for s in chain(stages, aside.start))}
        if aside.start in line and aside.start != at:
            for shaft in before:
                here, there = states[shaft].passed, states[aside.start].passed
                share = None if lacks else taken[aside.end] / aside.efficiency * here / there
                found[shaft] = None if share is None or found[shaft] is None else found[shaft] + share
                untold |= {shaft: (*untold.get(shaft, ()), *lacks)} if lacks else {}
        for shaft in after:
            found[shaft] = None if lacks else taken[shaft]
            untold |= {shaft: lacks} if lacks else {}
    for start, lacks in lost(reader, states, broken):
        if start in line and start != at:
            for shaft in (start, *(s.start for s in chain(stages, start))):
                found[shaft] = None
                untold |= {shaft: tuple(dict.fromkeys((*untold.get(shaft, ()), *lacks)))}
    return Powers(found, untold)


def lost(
    reader: Reader, states: Iterable[str], broken: Mapping[str, tuple[str, ...]]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield each shaft that gives power to something beside the work by a stage that is not worked out, and its keys.

    ``broken`` holds by name what those stages lack. A shaft that takes power and that no stage drives hangs on the
    engine, as far as is known; so does a stage that does not say where it begins.
    """
    drives = {name: shafts_driven(reader, name) for name in reader.names("stage")}
    kept = {*carriers(reader), reader.get("work.power_at")}
    for name, keys in broken.items():
        after = _behind(reader, drives, drives[name])
        if after and not after & kept:
            start = reader.get(f"stage[{name}].from")
            if start in states or start is None:
                yield start or ENGINE, keys
    driven = {shaft for shafts in drives.values() for shaft in shafts}
    for shaft in reader.names("shaft"):
        if reader.si(own_power(shaft)) and shaft not in driven | kept:
            yield ENGINE, ("stage",)


def _behind(reader: Reader, drives: Mapping[str, tuple[str, ...]], shafts: Iterable[str]) -> set[str]:
    """Return some shafts and all that the build says they drive, worked out or not."""
    found, ahead = set(), list(shafts)
    while ahead:
        if (shaft := ahead.pop()) not in found:
            found.add(shaft)
            ahead += [
                end for name, ends in drives.items() if reader.get(f"stage[{name}].from") == shaft for end in ends
            ]
    return found


def _apart(stages: tuple[StageRatio, ...], line: set[str]) -> tuple[str, ...]:
    """Return the shafts off a line that do not lie on the way to every end of the drive; none where it has one end."""
    lines = {
        s.name: {end.end for end in chain(stages, s.end)} for s in stages if s.end not in {t.start for t in stages}
    }
    if len(lines) < 2:
        return ()
    common = set.intersection(*lines.values())
    return tuple(s.end for s in stages if s.end not in common | line)


def _after(stages: tuple[StageRatio, ...], shaft: str) -> tuple[str, ...]:
    """Return a shaft and all that it drives."""
    return (shaft, *(end for s in stages if s.start == shaft for end in _after(stages, s.end)))


def _takers(stages: Iterable[StageRatio], works: tuple[str, ...], shafts: Iterable[str]) -> tuple[str, ...]:
    """Return those of some shafts that take power themselves: the ends, and those that carry the work."""
    starts = {s.start for s in stages}
    return tuple(shaft for shaft in shafts if shaft not in starts or shaft in works)


def _taken(reader: Reader, states, stages: tuple[StageRatio, ...], shaft: str) -> float:
    """Return what a shaft and all behind it take by their own word, W."""
    after = sum(_taken(reader, states, stages, s.end) / s.efficiency for s in stages if s.start == shaft)
    return (reader.si(own_power(shaft)) or 0.0) + after


def aside_checks(draft: Draft, reader: Reader, data: RatioData) -> None:
    """Ask what each shaft takes that a stage drives beside the work, and show it where that is known."""
    works, asked = carriers(reader), []
    for aside in asides(data.stages, works, reader.get("work.power_at")):
        for end in _takers(data.stages, works, _after(data.stages, aside.end)):
            if end in asked:
                continue
            asked.append(end)
            key, name = own_power(end), f"{end}: power it takes"
            taken = reader.si(key)
            if taken is not None:
                draft.fact(
                    name, reader.number(taken, "power", known=reader.how(key)), f"beside the work, by {aside.name}"
                )
                continue
            words = f"'{aside.name}' leads to {end}, and the work is on {' and '.join(works)}. "
            words += f"What {end} drives, and how much power that takes, is not known yet."
            if end in works:
                words = (
                    f"'{aside.name}' leads on from {aside.start}, which takes its own part of the power. How much is "
                )
                words += f"left for {end} is not known yet."
            draft.missing(reader, f"ratio.aside[{end}]", name, (key,), words)


__all__ = ["Powers", "aside_checks", "asides", "carriers", "powers"]
