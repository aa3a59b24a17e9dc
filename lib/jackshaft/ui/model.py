"""What a panel is made of, with no widget in it: controls, readings of what was typed, outcomes."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Generator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from jackshaft import units
from jackshaft.buildfile import Build, NoSuchKey, describe, schema
from jackshaft.buildfile.editing import Change
from jackshaft.buildfile.values import Refused
from jackshaft.buildfile.values import take as schema_take
from jackshaft.results.checks import STOP, Check, Fact
from jackshaft.results.running import Results
from jackshaft.results.values import Number, Value, text_of

#: Kinds of control that are no quantity with a unit.
WORDS = ("choice", "count", "yes/no")

#: What stands at a control whose value nobody has entered.
NOT_KNOWN = "not known yet"

Held = units.Measure | str | int | bool | None
#: One shop text for both unit systems, or a pair (inch, metric).
Span = str | tuple[str, str]
#: How the run of a slider is written: low end, high end, unit where there is one, step.
SLIDER = re.compile(r"(\S+) to (\S+)(?: (\S+))? by (\S+)")


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
    kind of quantity, ``choice``, ``count`` or ``yes/no``; a key of the build has the kind and the choices that the
    schema gives it. ``slider`` says how far the slider runs and in what steps, such as "6 to 14 in by 1/8": one text
    for both unit systems or a pair (inch, metric). A typed value may pass the
    slider's ends up to the bounds of the schema, or for a what-if up to ``hard_low`` and ``hard_high``. ``choices``
    are texts, or pairs (text in the build, words shown). ``by`` says how the shop reads it: caliper, tape, or run for
    lengths of wire (feet or metres). ``group`` is the heading it is under.
    """

    key: str | None
    label: str
    slider: Span = ""
    kind: str = ""
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
        if not self.kind:
            object.__setattr__(self, "kind", "choice" if self.choices else self.field.kind if self.field else "")
        if self.kind == "choice" and not self.choices and self.field is not None:
            object.__setattr__(self, "choices", self.field.choices)
        if self.kind not in WORDS and self.kind not in units.KINDS:
            raise ValueError(f"control {self.label!r}: no kind of quantity is called {self.kind!r}")
        if self.kind == "choice" and not self.choices:
            raise ValueError(f"control {self.label!r}: a choice needs its choices")
        if self.kind == "wire":
            raise ValueError(f"control {self.label!r}: wire sizes go by steps; make it a choice of sizes")
        if self.field is not None and (self.hard_low or self.hard_high):
            raise ValueError(f"control {self.label!r}: the bounds of {self.key} are those of the schema")
        if self.has_slider and not all(SLIDER.fullmatch(span(self.slider, s)) for s in ("inch", "metric")):
            raise ValueError(f"control {self.label!r}: a slider needs its ends and its step, such as 6 to 14 in by 1/8")

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

    def ends(self, system: str) -> tuple[str, str, str]:
        """Return the low end, the high end and the step of the slider as shop text.

        Parameters
        ----------
        system : str
            inch or metric.
        """
        low, high, unit, step = SLIDER.fullmatch(span(self.slider, system)).groups()
        return tuple(f"{number} {unit}" if unit else number for number in (low, high, step))

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

    ``value`` is None when nothing is known; ``kept`` is what would be in the build file; ``echo`` says
    how the text was read; ``notes`` are remarks such as a value beyond the slider.
    """

    value: Held
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


def as_text(value: Change) -> str:
    """Return a change of the build as it would be typed; the names of a list with commas between them.

    Parameters
    ----------
    value : str, int, bool or tuple of str
        What is to be written.
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    return ", ".join(value) if isinstance(value, tuple) else str(value)


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


_BARE = re.compile(r"(?:[a-z]+\.?\s+|[~≈]\s*)?[-+±\d\s.,/%]+", re.IGNORECASE)


def take(control: Control, text: str, system: str) -> Reading:
    """Read what was typed into a control.

    Parameters
    ----------
    control : Control
        The control.
    text : str
        What is in its field. An empty text means not known, where the control stands for a key of
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
        return Reading(None, "", NOT_KNOWN)
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
        raise FieldError(f"'{text}'", f"a whole number, such as {control.ends(system)[0]}")
    number = int(text)
    _refuse_beyond(control, number, number, text, system)
    return Reading(number, number, "", _past_slider(control, number, system))


def _quantity(control: Control, text: str, system: str) -> Reading:
    unit = control.unit(system)
    bare = bool(unit and _BARE.fullmatch(text))
    try:
        measure = units.read(text, control.kind, system=system, unit=unit if bare else None)
    except units.UnitTextError as error:
        kind = units.KINDS[control.kind]
        found = error.found if error.found[:1] in "'\"‘“" else f"'{error.found}'"
        wanted = f"{kind.words}, such as {kind.examples_for(system)[0]}"
        raise FieldError(f"{found} ({error.why})", wanted) from None
    _refuse_beyond(control, measure.text, measure.si, text, system)
    # the echo shows the unit of a bare number, so the note that says the same is left out
    notes = (measure.note,) if measure.note and not bare else ()
    notes += ("taken as an estimate",) if measure.known else ()
    echo = f"read as {in_both(measure.si, control.kind, system)}"
    return Reading(measure, measure.text, echo, notes + _past_slider(control, measure.si, system))


def _number(control: Control, words: str, system: str) -> float:
    return int(words) if control.kind == "count" else units.read(words, control.kind, system=system).si


def _refuse_beyond(control: Control, kept: str | int, number: float, text: str, system: str) -> None:
    """Refuse what the schema refuses for the control's key; a what-if has bounds of its own."""
    if control.field is not None:
        try:
            schema_take(control.field, kept, system)
        except Refused as refused:
            raise FieldError(f"'{text}'", refused.wanted) from None
        return
    low, high = span(control.hard_low, system), span(control.hard_high, system)
    if low and number < _number(control, low, system):
        raise FieldError(f"'{text}'", f"{low} or more, the least this can be")
    if high and number > _number(control, high, system):
        raise FieldError(f"'{text}'", f"{high} or less, the most this can be")


def _past_slider(control: Control, number: float, system: str) -> tuple[str, ...]:
    low, high, _ = control.ends(system)
    if _number(control, low, system) <= number <= _number(control, high, system):
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
class Compared:
    """One thing to compare between candidates: what was found, and which way is better.

    ``better`` is ``lower``, ``higher``, or empty where neither is. A text is shown and never the better one.
    """

    found: Value
    better: str = ""

    @property
    def text(self) -> str:
        """What was found, as it is shown."""
        return text_of(self.found)

    @property
    def number(self) -> float:
        """What was found, in the SI unit of its kind; nan for a text."""
        return self.found.si if isinstance(self.found, Number) else math.nan


@dataclass(frozen=True)
class Outcome:
    """What a panel shows for one setting: facts, checks, the view's picture, and what to compare.

    ``later`` is for what takes too long to follow a slider (more than some 15 ms): it is called once the
    hand rests and returns the whole outcome, which takes this one's place. Until then the panel says that
    more is being worked out.

    ``ends`` is there where the checks hold at the values as they stand only, and values known within a band may spoil
    them. It goes corner by corner once the hand rests, and ends with the outcome that takes this one's place and the
    results it shows; those may be given to the next one, which takes over what did not change.
    """

    facts: tuple[Fact, ...] = ()
    checks: tuple[Check, ...] = ()
    picture: object = None
    compare: Mapping[str, Compared] = field(default_factory=dict)
    later: Callable[[], Outcome] | None = None
    ends: Callable[[Results | None], Generator[None, None, tuple[Outcome, Results]]] | None = None

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
