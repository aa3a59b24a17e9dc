"""What a panel is made of, with no widget in it: controls, readings of what was typed, outcomes."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from jackshaft import units
from jackshaft.buildfile import Build, NoSuchKey, describe, schema
from jackshaft.buildfile.values import Refused
from jackshaft.buildfile.values import take as schema_take
from jackshaft.results.checks import STOP, Check, Fact

#: Kinds of control that are no quantity with a unit.
WORDS = ("choice", "count", "yes/no")

Value = units.Measure | str | int | bool | None
#: One shop text for both unit systems, or a pair (inch, metric).
Span = str | tuple[str, str]


class FieldError(ValueError):
    """A text that a control cannot take, in shop words: what was found, what is wanted."""

    def __init__(self, found: str, wanted: str):
        self.found, self.wanted = found, wanted
        super().__init__(f"found {found}; wanted {wanted}")


@dataclass(frozen=True)
class Control:
    """One thing that can be changed in a panel.

    ``key`` is the key of the build it stands for, or None for a what-if that is never kept; a what-if
    has a ``name`` instead (its key in the mapping that ``outcome_of`` gets) and a ``start``. ``kind`` is a
    kind of quantity, ``choice``, ``count`` or ``yes/no``. ``low``, ``high`` and ``step`` are the slider's,
    as shop text, one text for both unit systems or a pair (inch, metric). A typed value may pass the
    slider's ends up to the bounds of the schema, or for a what-if up to ``hard_low`` and ``hard_high``. ``choices``
    are texts, or pairs (text in the build, words shown). ``by`` says how the shop reads it: caliper, tape, or run for
    lengths of wire (feet or metres).
    ``group`` is the heading it stands under.
    """

    key: str | None
    label: str
    kind: str = "length"
    low: Span = ""
    high: Span = ""
    step: Span = ""
    hard_low: Span = ""
    hard_high: Span = ""
    choices: tuple[str | tuple[str, str], ...] = ()
    help: str = ""
    name: str = ""
    start: Span = ""
    by: str = "caliper"
    group: str = ""

    def __post_init__(self):
        if bool(self.key) == bool(self.name):
            raise ValueError(f"control {self.label!r}: give a key of the build, or a name for a what-if, not both")
        if self.kind not in WORDS and self.kind not in units.KINDS:
            raise ValueError(f"control {self.label!r}: no kind of quantity is called {self.kind!r}")
        if self.kind == "choice" and not self.choices:
            raise ValueError(f"control {self.label!r}: a choice needs its choices")
        if self.kind == "wire":
            raise ValueError(f"control {self.label!r}: wire sizes go by steps; make it a choice of sizes")
        if self.field is not None and (self.hard_low or self.hard_high):
            raise ValueError(f"control {self.label!r}: the bounds of {self.key} are those of the schema")
        if self.kind not in ("choice", "yes/no") and not (self.low and self.high and self.step):
            raise ValueError(f"control {self.label!r}: a slider needs low, high and step")

    @property
    def id(self) -> str:
        """The key of the build, or the name of the what-if."""
        return self.key or self.name

    @cached_property
    def field(self) -> schema.Field | None:
        """What the schema says of the key; None for a what-if, and for a build that is not a build file."""
        try:
            return describe(self.key)[1] if self.key else None
        except NoSuchKey:
            return None

    @property
    def has_slider(self) -> bool:
        """Whether it is moved along a scale; the others are picked from a list."""
        return self.kind not in ("choice", "yes/no")

    @cached_property
    def options(self) -> tuple[tuple[str, str], ...]:
        """Words shown and text meant, for a control that is picked from a list."""
        if self.kind == "yes/no":
            return (("yes", "yes"), ("no", "no"))
        return tuple((c, c) if isinstance(c, str) else (c[1], c[0]) for c in self.choices)

    def unit(self, system: str) -> str:
        """Return the unit that the label shows and a bare number is taken in; nothing for plain numbers.

        Parameters
        ----------
        system : str
            inch or metric.
        """
        if self.kind in WORDS or self.kind == "number":
            return ""
        if self.by == "run":
            return "ft" if system == "inch" else "m"
        kind = units.KINDS[self.kind]
        return kind.inch if system == "inch" else kind.metric

    def title(self, system: str) -> str:
        """Return the label with its unit.

        Parameters
        ----------
        system : str
            inch or metric.
        """
        unit = self.unit(system)
        return f"{self.label} ({unit})" if unit else self.label


@dataclass(frozen=True)
class Reading:
    """A text as a control understood it.

    ``value`` is None when nothing is known; ``kept`` is what would stand in the build file; ``echo`` says
    how the text was read; ``notes`` are remarks such as a value beyond the slider.
    """

    value: Value
    kept: str | int | bool
    echo: str
    notes: tuple[str, ...] = ()

    def same(self, other: Reading | None) -> bool:
        """Tell whether another reading means the same value, however it was typed.

        Parameters
        ----------
        other : Reading or None
            The other one.
        """
        if other is None:
            return False
        a, b = self.value, other.value
        if isinstance(a, units.Measure) and isinstance(b, units.Measure):
            # the same length typed in feet and in inches may differ in the last bit; a tolerance is part of a value
            spreads = [m.plus_minus or 0.0 for m in (a, b)]
            return math.isclose(a.si, b.si, rel_tol=units.SAME) and math.isclose(*spreads, rel_tol=units.SAME)
        return type(a) is type(b) and a == b


def span(text: Span, system: str) -> str:
    """Return the text of a pair (inch, metric) for a system; a single text serves both.

    Parameters
    ----------
    text : str or tuple of str
        One text, or two.
    system : str
        inch or metric.
    """
    return text if isinstance(text, str) else text[0 if system == "inch" else 1]


_BARE = re.compile(r"[-+±\d\s.,/%]+")


def take(control: Control, text: str, system: str) -> Reading:
    """Read what was typed into a control.

    Parameters
    ----------
    control : Control
        The control.
    text : str
        What stands in its field. An empty text means not known, where the control stands for a key of
        the build.
    system : str
        inch or metric; a bare number is taken in the unit that the label shows.

    Raises
    ------
    FieldError
        If it cannot be read or passes a hard limit.
    """
    text = text.strip()
    if not text:
        if control.key is None:
            raise FieldError("nothing", f"a value, such as {span(control.start, system)}")
        return Reading(None, "", "not known")
    if control.kind == "yes/no":
        if text not in ("yes", "no"):
            raise FieldError(f"'{text}'", "yes or no")
        return Reading(text == "yes", text == "yes", "")
    if control.kind == "choice":
        allowed = [meant for _, meant in control.options]
        if text not in allowed:
            raise FieldError(f"'{text}'", "one of " + ", ".join(allowed))
        return Reading(text, text, "")
    return _count(control, text, system) if control.kind == "count" else _quantity(control, text, system)


def _count(control: Control, text: str, system: str) -> Reading:
    if not re.fullmatch(r"[-+]?\d+", text):
        raise FieldError(f"'{text}'", f"a whole number, such as {span(control.low, system)}")
    number = int(text)
    _refuse_beyond(control, number, number, text, system, lambda words: int(words))
    return Reading(number, number, "", _past_slider(control, number, system, lambda words: int(words)))


def _quantity(control: Control, text: str, system: str) -> Reading:
    unit = control.unit(system)
    bare = bool(unit and _BARE.fullmatch(text))
    try:
        measure = units.read(text, control.kind, system=system, unit=unit if bare else None)
    except units.UnitTextError as error:
        raise FieldError(f"{_quoted(error.found)} ({error.why})", _wanted(control, system)) from None

    def si_of(words: str) -> float:
        return units.read(words, control.kind, system=system).si

    _refuse_beyond(control, measure.text, measure.si, text, system, si_of)
    # the echo shows the unit of a bare number, so the note that says the same is left out
    notes = (measure.note,) if measure.note and not bare else ()
    return Reading(
        measure,
        measure.text,
        f"read as {in_both(measure.si, control.kind, system)}",
        notes + _past_slider(control, measure.si, system, si_of),
    )


def _wanted(control: Control, system: str) -> str:
    kind = units.KINDS[control.kind]
    return f"{kind.words}, such as {kind.examples_for(system)[0]}"


def _quoted(words: str) -> str:
    return words if words[:1] in "'\"‘“" else f"'{words}'"


def _refuse_beyond(control, kept, number, text, system, number_of) -> None:
    """Refuse what the schema refuses for the control's key; a what-if has bounds of its own."""
    if control.field is not None:
        try:
            schema_take(control.field, kept, system)
        except Refused as refused:
            raise FieldError(f"'{text}'", refused.wanted) from None
        return
    low, high = span(control.hard_low, system), span(control.hard_high, system)
    if low and number < number_of(low):
        raise FieldError(f"'{text}'", f"{low} or more, the least this can be")
    if high and number > number_of(high):
        raise FieldError(f"'{text}'", f"{high} or less, the most this can be")


def _past_slider(control, number, system, number_of) -> tuple[str, ...]:
    low, high = span(control.low, system), span(control.high, system)
    if number_of(low) <= number <= number_of(high):
        return ()
    return (f"past the slider, which runs from {low} to {high}; the typed value holds",)


def in_both(si: float, kind: str, system: str) -> str:
    """Return a value the way ``units.both`` does, but once where only the unit's name would differ.

    Parameters
    ----------
    si : float
        The value in its SI unit.
    kind : str
        Kind of quantity.
    system : str
        inch or metric.
    """
    own, metric = units.show(si, kind, system), units.show(si, kind, "metric")
    return own if own.split()[0] == metric.split()[0] else units.both(si, kind, system)


@dataclass(frozen=True)
class Scale:
    """The positions of a control's slider, in SI inside and in the shown unit outside."""

    control: Control
    system: str

    @cached_property
    def _ends(self) -> tuple[float, float, float]:
        texts = [span(t, self.system) for t in (self.control.low, self.control.high, self.control.step)]
        if self.control.kind == "count":
            return tuple(float(int(t)) for t in texts)
        kinds = (self.control.kind, self.control.kind, _step_kind(self.control.kind))
        return tuple(units.read(t, k, system=self.system).si for t, k in zip(texts, kinds, strict=True))

    @cached_property
    def count(self) -> int:
        """Number of steps from the low to the high end."""
        low, high, step = self._ends
        return max(1, round((high - low) / step))

    def text_at(self, position: int) -> str:
        """Return the shop text of a position, 0 at the low end.

        Parameters
        ----------
        position : int
            Number of steps from the low end.
        """
        low, high, step = self._ends
        si = min(low + position * step, high)
        if self.control.kind == "count":
            return str(round(si))
        if self.control.by == "tape" and self.system == "inch":
            text = units.fraction(si)
            if abs(units.read(text, "length").si - si) < 1e-9:
                return text
        if self.control.by == "run":
            foot = units.read(f"1 {self.control.unit(self.system)}", "length").si
            return f"{round(si / foot, 9):g} {self.control.unit(self.system)}"
        return units.write(si, self.control.kind, self.system)

    def nearest(self, value: Value) -> int:
        """Return the position nearest to a value; its end for a value past it, the middle for none.

        Parameters
        ----------
        value : Measure, int or None
            What the field holds.
        """
        if value is None:
            return self.count // 2
        low, _, step = self._ends
        si = value.si if isinstance(value, units.Measure) else float(value)
        return min(max(round((si - low) / step), 0), self.count)

    @cached_property
    def numbers(self) -> tuple[float, float, float]:
        """Low end, high end and step in the shown unit, as a slider and a screen reader tell them."""
        low, high, _ = self._ends
        unit = self.control.unit(self.system)
        if unit:
            zero, one = (units.read(f"{n} {unit}", self.control.kind, system=self.system).si for n in (0, 1))
            low, high = ((si - zero) / (one - zero) for si in (low, high))
        low, high = clean(low), clean(high)
        return low, high, clean((high - low) / self.count)

    def number_at(self, position: int) -> float:
        """Return the number of a position in the shown unit.

        Parameters
        ----------
        position : int
            Number of steps from the low end.
        """
        low, high, step = self.numbers
        return clean(min(low + position * step, high))

    def position_of(self, number: float) -> int:
        """Return the position of a number in the shown unit.

        Parameters
        ----------
        number : float
            What the slider sent.
        """
        low, _, step = self.numbers
        return min(max(round((number - low) / step), 0), self.count)


def clean(number: float) -> float:
    """Return a number without the last digits, which came by turning units to and fro: 125, not 124.99999999999997."""
    return float(f"{number:.10g}")


def _step_kind(kind: str) -> str:
    return "temperature rise" if kind == "temperature" else kind


@dataclass(frozen=True)
class Compared:
    """One thing to compare between candidates: how it reads, its number, and which way is better.

    ``better`` is ``lower``, ``higher``, or empty where neither is.
    """

    text: str
    number: float
    better: str = ""


@dataclass(frozen=True)
class Outcome:
    """What a panel shows for one setting: facts, checks, the view's picture, and what to compare.

    ``later`` is for what takes too long to follow a slider (more than some 15 ms): it is called once the
    hand rests and returns the whole outcome, which takes this one's place. Until then the panel says that
    more is being worked out.
    """

    facts: tuple[Fact, ...] = ()
    checks: tuple[Check, ...] = ()
    picture: object = None
    compare: Mapping[str, Compared] = field(default_factory=dict)
    later: Callable[[], Outcome] | None = None

    @property
    def why_it_does_not_work(self) -> str:
        """The reason of the first stop that nobody accepted; empty when there is none."""
        return next((c.reason for c in self.checks if c.verdict == STOP and c.accepted is None), "")


@dataclass(frozen=True)
class Action:
    """A button that works out values for some controls: ``texts_of(build, outcome)`` returns id -> text."""

    label: str
    texts_of: Callable[[Build, Outcome], Mapping[str, str]]
    help: str = ""
