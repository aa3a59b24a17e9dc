"""A number as it was found: its size in SI units, its kind, its band, and how it is shown."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import copysign

from jackshaft.units import INCH, both, fraction, read, show

#: How a number is written: in the build's units, with the other units in brackets, as a tape reads it, or, a plain
#: number such as a coefficient, with every digit that it was given with; a slope, as it is gauged along a length.
PLAIN, BOTH, TAPE, GIVEN, SLOPE = "plain", "both", "tape", "given", "slope"

#: Where a number stands in its words. Other braces, such as those in a name, are left alone.
PLACE = re.compile(r"\{(low|high|)\}")


@dataclass(frozen=True, slots=True)
class Number:
    """One number of the results.

    Attributes
    ----------
    si : float
        The likely value, in the SI unit of its kind.
    kind : str
        Kind of quantity, one of ``units.KINDS``.
    system : str
        inch or metric: the units it is shown in.
    low, high : float, optional
        The ends of its band, in the same unit.
    known : str
        How it is known, in the words of the build file.
    source : str
        Key of the list of sources.
    words : str
        What stands round the number when it is shown; ``{}`` is the likely value, ``{low}`` and ``{high}`` the ends.
    by, digits, decimals
        As for :func:`jackshaft.units.show`.
    unit : str
        A unit of its kind to show it in, with its decimals, whatever the build's units: "%".
    form : str
        PLAIN, BOTH, TAPE, GIVEN or SLOPE.
    """

    si: float
    kind: str
    system: str
    low: float | None = None
    high: float | None = None
    known: str = ""
    source: str = ""
    words: str = "{}"
    by: str = "caliper"
    digits: int | None = None
    decimals: int | None = None
    unit: str = ""
    form: str = PLAIN

    def _shown(self, si: float | None) -> str:
        if si is None:
            return ""
        if self.form == TAPE:
            if self.system == "metric":
                return f"{si * 1e3:.0f} mm"
            # a minus before a fraction reads as a dash: below nought only the decimals stand
            return f"{si / INCH:.2f} in" if si < 0.0 else f"{fraction(si)} ({si / INCH:.2f} in)"
        if self.unit:
            return f"{si / read(f'1 {self.unit}', self.kind).si:.{self.decimals or 0}f} {self.unit}"
        if self.form == SLOPE:
            share, per = (f"{si * 1e3:.2f}", "mm per m") if self.system == "metric" else (f"{si:.5f}", "in per inch")
            return f"{share.rstrip('0').rstrip('.')} {per}"
        if self.form == GIVEN:
            return f"{si:g}"
        if self.form == BOTH:
            return both(si, self.kind, self.system, by=self.by)
        return show(si, self.kind, self.system, by=self.by, digits=self.digits, decimals=self.decimals)

    @property
    def shown(self) -> str:
        """The number as it is shown, with its words."""
        ends = {"": self.si, "low": self.low, "high": self.high}
        return PLACE.sub(lambda place: self._shown(ends[place[1]]), self.words)

    def __str__(self) -> str:
        return self.shown


#: What a fact, a cell, a check's value or its limit holds.
Value = Number | str


def text_of(value: Value) -> str:
    """Return a value as it is shown."""
    return value.shown if isinstance(value, Number) else value


def signed(si: float, words: str = "{}") -> str:
    """Return words that put a plus before a number that is not negative."""
    return words if copysign(1.0, si) < 0.0 else words.replace("{}", "+{}", 1)


__all__ = ["BOTH", "GIVEN", "PLAIN", "SLOPE", "TAPE", "Number", "Value", "signed", "text_of"]
