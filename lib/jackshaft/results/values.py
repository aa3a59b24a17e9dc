"""A number as it was found: its size in SI units, its kind, its band, and how it is shown."""

from __future__ import annotations

from dataclasses import dataclass

from jackshaft.units import both, fraction, read, show

#: How a number is written: in the build's units, with the other units in brackets, or as a tape reads it.
PLAIN, BOTH, TAPE = "plain", "both", "tape"


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
    by, digits
        As for :func:`jackshaft.units.show`.
    decimals : int, optional
        Shown with that many decimals, by percent or in ``unit`` where one is named.
    unit : str
        With ``decimals``: a unit of its kind to show it in, such as mrad, whatever the build's units.
    form : str
        PLAIN, BOTH or TAPE.
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
        if self.decimals is not None:
            if self.by == "percent":
                return f"{100 * si:.{self.decimals}f} %"
            size = read(f"1 {self.unit}", self.kind).si if self.unit else 1.0
            return f"{si / size:.{self.decimals}f} {self.unit}".rstrip()
        if self.form == TAPE:
            return f"{si * 1e3:.0f} mm" if self.system == "metric" else f"{fraction(si)} ({si / 0.0254:.2f} in)"
        if self.form == BOTH:
            return both(si, self.kind, self.system, by=self.by)
        return show(si, self.kind, self.system, by=self.by, digits=self.digits)

    @property
    def shown(self) -> str:
        """The number as it is shown, with its words."""
        return self.words.format(self._shown(self.si), low=self._shown(self.low), high=self._shown(self.high))

    def __str__(self) -> str:
        return self.shown


#: What a fact, a cell, a check's value or its limit holds.
Value = Number | str


def literal(text: str) -> str:
    """Return a text, such as a name that the builder gave, so that it stands in ``words`` as it is."""
    return text.replace("{", "{{").replace("}", "}}")


def text_of(value: Value) -> str:
    """Return a value as it is shown."""
    return value.shown if isinstance(value, Number) else value


__all__ = ["BOTH", "PLAIN", "TAPE", "Number", "Value", "literal", "text_of"]
