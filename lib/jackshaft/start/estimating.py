"""What can be worked out from what one knows, in place of a plate, a mark or an instrument; and kept as an estimate."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import NamedTuple

from jackshaft import formulas, units
from jackshaft.buildfile import Answer, Build, describe, possible_keys
from jackshaft.results import label
from jackshaft.results.keeping import keep
from jackshaft.start.parts import where

#: Displacement and bore with stroke may be so far apart: what is stamped is rounded.
APART = 0.03


class NotWorkedOut(ValueError):
    """A field that cannot be taken, by its label, or one that is empty and needed."""


class Ask(NamedTuple):
    """One thing that is asked: its name, label, kind of quantity or ``count``, examples, and whether it may be empty.

    ``choices`` are picked from in place of typing.
    """

    name: str
    label: str
    kind: str
    hint: tuple[str, str] = ("", "")
    choices: tuple[tuple[str, object], ...] = ()
    empty: bool = False

    def unit(self, system: str) -> str:
        """Return the unit that a bare number is taken in; the label shows it."""
        kind = units.KINDS.get(self.kind)
        return "" if kind is None else kind.inch if system == "inch" else kind.metric

    def title(self, system: str) -> str:
        """Return the label with its unit."""
        unit = self.unit(system)
        return f"{self.label} ({unit})" if unit else self.label


class Worked(NamedTuple):
    """A value with its band, SI, what else it tells, in lines, and ``more`` keys of the same part that go with it."""

    kind: str
    likely: float
    low: float
    high: float
    lines: tuple[str, ...] = ()
    more: Mapping[str, str] = {}


class Way(NamedTuple):
    """A way to work a value out: what it asks, how, what it stands on, and which keys the value may be written to."""

    title: str
    asks: tuple[Ask, ...]
    work: Callable[[Mapping[str, object], str], Worked]
    stands_on: str
    keys: str


def _band(kind: str, found) -> Worked:
    return Worked(kind, *(float(v) for v in found))


def _engine(given: Mapping[str, object], system: str) -> Worked:
    size, bore, stroke = (given.get(k) for k in ("displacement", "bore", "stroke"))
    if size is None and None in (bore, stroke):
        raise NotWorkedOut("Displacement: nothing typed. Wanted: the displacement, or both bore and stroke.")
    if None not in (bore, stroke):
        made = formulas.engine_displacement.si(bore, stroke=stroke, cylinders=given.get("cylinders") or 1)
        if size is not None and abs(size / made - 1.0) > APART:
            words = units.show(made, "volume", system)
            raise NotWorkedOut(f"Displacement: bore and stroke make {words}. Leave one of them empty, or correct it.")
        size = made
    more = {k: given[k] for k in ("speed", "strokes", "fuel")}
    found = _band("power", formulas.power_from_displacement.si(size, **more))
    size_words = f"Displacement: {units.show(size, 'volume', system)}."
    return found._replace(lines=(size_words,), more=_rated_at(given, system))


def _brake(given: Mapping[str, object], system: str) -> Worked:
    return _band("power", formulas.power_from_brake.si(**given))._replace(more=_rated_at(given, system))


def _rated_at(given: Mapping[str, object], system: str) -> dict[str, str]:
    """Return the speed that a rated power is for."""
    return {"rated_speed": units.show(given["speed"], "rotation", system)}


def _by(function, kind: str, more: Mapping[str, str] | None = None) -> Callable[[Mapping[str, object], str], Worked]:
    """Return the work of a formula that takes what is asked by name; what is left empty is the formula's own."""

    def work(given: Mapping[str, object], _: str) -> Worked:
        found = function.si(**{k: v for k, v in given.items() if v is not None})
        return _band(kind, found)._replace(more=more or {})

    return work


def _pulley(given: Mapping[str, object], system: str) -> Worked:
    guesses = formulas.unmarked_pulley.si(**{k: v for k, v in given.items() if v is not None})
    if not guesses:
        raise NotWorkedOut(
            "Groove width: no groove of the tables is so wide for this diameter. Gauge it edge to edge at its top; "
            "the pulley may be home-turned or worn."
        )
    lengths = [[units.show(x, "length", system) for x in (g.reference, g.pitch, g.top_width)] for g in guesses]
    lines = tuple(
        f"Belt {g.sections} ({g.system}, {g.groove} groove): reference line {ref}, cord line {pitch}; "
        f"the groove's top is {top} by the table."
        for g, (ref, pitch, top) in zip(guesses, lengths, strict=True)
    )
    one = guesses[0]
    ends = one.outside, one.outside - one.apart, one.outside + one.apart
    return Worked("length", *ends, lines, {"measured_as": "outside"})


_STROKES = Ask("strokes", "Strokes", "choice", choices=(("four-stroke", 4), ("two-stroke", 2)))
_FUEL = Ask("fuel", "Fuel", "choice", choices=(("petrol", "petrol"), ("diesel fuel", "diesel")))
_ENGINE_SPEED = r"engine\.\w*speed"

WAYS: tuple[Way, ...] = (
    Way(
        "Power of an engine without a plate",
        (
            Ask("displacement", "Displacement", "volume", ("12 in³ or 196 cc", "196 cm³"), empty=True),
            Ask("bore", "or its bore", "length", ("2-11/16 in", "68 mm"), empty=True),
            Ask("stroke", "and stroke", "length", ("2-1/8 in", "54 mm"), empty=True),
            Ask("cylinders", "and cylinders", "count", ("1 if left empty",) * 2, empty=True),
            Ask("speed", "Speed at full load", "rotation", ("3600 rpm",) * 2),
            _STROKES,
            _FUEL,
        ),
        _engine,
        "mean effective pressures of small engines, from memory; a sound engine at full throttle, near sea level",
        r"engine\.rated_power",
    ),
    Way(
        "Speed by counting turns",
        (
            Ask("turns", "Turns counted", "number", ("50",) * 2),
            Ask("time", "In a time of", "time", ("10 s",) * 2),
        ),
        _by(formulas.speed_counted, "rotation"),
        "turns over time; half a turn of miscount, and a watch that is 0.3 s out (common practice, no source)",
        "",
    ),
    Way(
        "Engine speed by the sound of its exhaust",
        (
            Ask("tone", "Lowest tone", "frequency", ("30 Hz, by a tuner",) * 2),
            Ask("cylinders", "Cylinders that fire evenly", "count", ("1 if left empty",) * 2, empty=True),
            _STROKES,
        ),
        _by(formulas.speed_from_sound, "rotation"),
        "each cylinder of a four-stroke fires every second turn; a tone half a semitone out. A tuner may hear it an "
        "octave high: then the speed is half",
        _ENGINE_SPEED,
    ),
    Way(
        "Power by the fuel burnt at work",
        (
            Ask("burnt", "Fuel to fill up again", "volume", ("1.5 L",) * 2),
            Ask("time", "After work of", "time", ("1 h",) * 2),
            _FUEL,
        ),
        _by(formulas.power_from_fuel, "power", {"power_at": "engine"}),
        "what small engines burn for each unit of work at half load or more, from memory; a mean that leaves the peaks "
        "out. At light load the engine gave less",
        r"work\.power",
    ),
    Way(
        "Engine power by a slip test at full throttle",
        (
            Ask("force", "Pull on the scale", "force", ("25 lbf", "110 N")),
            Ask("radius", "At a radius of", "length", ("12 in", "300 mm")),
            Ask("speed", "At a speed of", "rotation", ("2100 rpm",) * 2),
        ),
        _brake,
        "torque by speed, and a pull that is a tenth out as the needle swings (common practice, no source). Keep "
        "clear: a lever that is let go strikes",
        r"engine\.rated_power",
    ),
    Way(
        "Pulley without marks",
        (
            Ask("rim", "String round the rim", "length", ("18-1/16 in", "460 mm")),
            Ask("groove_width", "Groove at its top", "length", ("0.64 in", "16.3 mm")),
            Ask("string", "String's thickness", "length", ("0 if left empty",) * 2, empty=True),
        ),
        _pulley,
        "geometry, a string that is 2 mm out (common practice, no source), and the tables of grooves. A belt laid in "
        "tells more: its top stands level with the rim or a little proud",
        r"stage\[.*\]\.pulley\[.*\]\.diameter",
    ),
)


def given_of(way: Way, typed: Mapping[str, object], system: str) -> dict[str, object]:
    """Return what was typed, in SI; None where a field that may be empty is.

    Raises
    ------
    NotWorkedOut
        Naming the field, what was wrong and what is wanted.
    """
    return {ask.name: _given(ask, typed.get(ask.name, ""), system) for ask in way.asks}


def _given(ask: Ask, typed: object, system: str) -> object:
    if ask.choices:
        return typed
    text, such = str(typed).strip(), ask.hint[system == "metric"]
    if not text:
        if ask.empty:
            return None
        raise NotWorkedOut(f"{ask.label}: nothing typed. Wanted: such as {such}.")
    if ask.kind == "count":
        if not (text.isascii() and text.isdigit() and int(text)):
            raise NotWorkedOut(f"{ask.label}: found '{text}'. Wanted: a whole number, 1 or more.")
        return int(text)
    try:
        return units.read(text, ask.kind, system=system, unit=ask.unit(system) or None).si
    except units.UnitTextError as error:
        raise NotWorkedOut(f"{ask.label}: {error}") from None


def work_out(way: Way, typed: Mapping[str, object], system: str) -> Worked:
    """Work a value out from what was typed.

    Raises
    ------
    NotWorkedOut
        If a field cannot be taken.
    OutOfRange
        If the formula refuses the values.
    """
    return way.work(given_of(way, typed, system), system)


def told(way: Way, worked: Worked, system: str) -> str:
    """Return what was worked out, with its band and what it stands on."""
    likely, low, high = (units.show(v, worked.kind, system) for v in worked[1:4])
    what = "Outside diameter" if worked.kind == "length" else "Likely"
    return f"{what}: {likely}, between {low} and {high}. It stands on {way.stands_on}."


def places(build: Build, way: Way, worked: Worked) -> list[tuple[str, str]]:
    """Return (words, key) of where a value may be written in a build."""
    keys = [k for k in possible_keys(build) if describe(k)[1].kind == worked.kind]
    return [(label(k), k) for k in keys if not way.keys or re.fullmatch(way.keys, k)]


def write(
    build: Build, way: Way, worked: Worked, key: str, *, settle: Mapping[str, Answer] | None = None
) -> tuple[Build, str]:
    """Keep a value in the build as an estimate, with its band; return the build and what was done.

    Raises
    ------
    BuildProblems
        If the build cannot take it; nothing is written.
    KeyConflict
        If others changed the same in the file, and ``settle`` does not say which is kept; nothing is written.
    """
    value = units.show(worked.likely, worked.kind, build.system)
    # the file holds one spread to either side: the wider
    spread = units.show(max(worked.high - worked.likely, worked.likely - worked.low), worked.kind, build.system)
    by = f"{way.title[:1].lower()}{way.title[1:]}"
    home = key.rpartition(".")[0]
    changes: dict[str, object] = {key: {"value": value, "known": "estimated", "by": by, "plus_minus": spread}}
    changes |= {f"{home}.{name}": said for name, said in worked.more.items()}
    kept = keep(build, changes, settle=settle)
    also = "".join(f" With it, {label(f'{home}.{name}')}: {said}." for name, said in worked.more.items())
    return kept, f"Kept {label(key)}: {value} ± {spread}, estimated.{also} {where(kept)}"


__all__ = ["WAYS", "Ask", "NotWorkedOut", "Way", "Worked", "given_of", "places", "told", "work_out", "write"]
