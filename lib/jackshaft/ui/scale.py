"""A control's slider: its positions, in SI inside and in the shown unit outside."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from jackshaft import units
from jackshaft.ui.model import Control, Held


@dataclass(frozen=True)
class Scale:
    """The positions of a control's slider, in SI inside and in the shown unit outside."""

    control: Control
    system: str

    @cached_property
    def _ends(self) -> tuple[float, float, float]:
        texts = self.control.ends(self.system)
        if self.control.kind == "count":
            return tuple(float(int(t)) for t in texts)
        kind = self.control.kind
        kinds = (kind, kind, "temperature rise" if kind == "temperature" else kind)
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

    def nearest(self, value: Held) -> int:
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
        """Low end, high end and step in the shown unit, as a slider and a screen reader give them."""
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
