"""A belt that a hand's lever keeps tight while its clutch is in: which one it is, and what the hand gives."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from jackshaft.mechanics import tension as mech
from jackshaft.parts.belt_stage import shafts_driven
from jackshaft.parts.shaft_cases import grips_of
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.units import OutOfRange, at_least, at_most

#: The kind of clutch, and what its hand gives: force and lever ratio.
KIND = "idler"
LEVER = ("clutch.hand_force", "clutch.lever_ratio")


class Tensions(NamedTuple):
    """The tension of all belts together that is written down and that the hand gives, N; None where not known."""

    said: float | None
    hand: float | None

    @property
    def least(self) -> float | None:
        """The lower of the two: what must hold is judged at it."""
        return self.said if self.said is None or self.hand is None else min(self)

    @property
    def most(self) -> float | None:
        """The higher of the two: what it loads is judged at it."""
        return self.said if self.said is None or self.hand is None else max(self)

    @property
    def weaker(self) -> bool:
        """Whether the hand gives less than is written down."""
        return self.hand is not None and self.said is not None and not at_least(self.hand, self.said)

    @property
    def harder(self) -> bool:
        """Whether the hand gives more than is written down."""
        return self.hand is not None and self.said is not None and not at_most(self.hand, self.said)


def stage_of(reader: Reader, ratio, shaft: str) -> str | None:
    """Return the belts that leave the clutch's shaft, those on the way to the work first; None where there are none."""
    ends = () if ratio is None else ratio.work_shafts or (ratio.work_shaft,)
    by_end = {} if ratio is None else {s.end: s for s in ratio.stages}
    there = []
    for here in ends:
        while here in by_end:
            there += [by_end[here].name] if by_end[here].start == shaft else []
            here = by_end[here].start
    there += [n for n in reader.names("stage") if reader.get(f"stage[{n}].from") == shaft]
    return next((n for n in there if reader.get(f"stage[{n}].kind") == "belt"), None)


def hand_tension(reader: Reader, layout) -> float | None:
    """Return the tension (N) of all belts together that hand and lever give at the idler; None where not known.

    Raises
    ------
    OutOfRange
        Where the arm stands at dead centre, so that its lever could give any tension.
    """
    hand, ratio, arm = reader.si(LEVER[0]), reader.get(LEVER[1]), reader.si(f"stage[{layout.name}].takeup.spring_lever")
    if None in (hand, ratio, arm) or layout.idler is None or layout.pivot is None:
        return None
    k = layout.idler
    reach = layout.places.x[k] - layout.pivot[0], layout.places.y[k] - layout.pivot[1]
    each = abs(float(mech.arm_moment_si(1.0, layout.path.ux, layout.path.uy, k, arm_x=reach[0], arm_y=reach[1])))
    if each <= 1e-3 * float(np.hypot(*reach)):
        raise OutOfRange("the idler's arm stands at dead centre, where its lever gives no certain tension")
    return hand * float(getattr(ratio, "si", ratio)) * arm / each


def tensions_of(reader: Reader, layout, ratio, said: float | None) -> Tensions:
    """Return the tension of a loop that is written down, and what the hand gives where that is another one.

    At dead centre a hand gives no certain tension: the clutch's own check says so, and what is written down counts.
    """
    if said is None or reader.get("clutch.kind") != KIND:
        return Tensions(said, None)
    if stage_of(reader, ratio, reader.get("clutch.shaft") or "engine") != layout.name:
        return Tensions(said, None)
    try:
        return Tensions(said, hand_tension(reader, layout))
    except OutOfRange:
        return Tensions(said, None)


def held_at(reader: Reader, tensions: Tensions) -> str:
    """Return in a sentence at which of two tensions it is judged what a belt holds; nothing where they agree."""
    if not (tensions.weaker or tensions.harder):
        return ""
    hand, said = reader.show(tensions.hand, "force"), reader.show(tensions.said, "force")
    if tensions.weaker:
        return f" The hand gives {hand}, less than the {said} written down: it is judged at what the hand gives."
    return f" The hand gives {hand}; it is judged at the {said} written down, which is less."


def counts_at(reader: Reader, stage: str, tensions: Tensions) -> str:
    """Return in a sentence that a belt loads things with what the hand gives; nothing where that is no more."""
    if not tensions.harder:
        return ""
    hand, said = reader.show(tensions.hand, "force"), reader.show(tensions.said, "force")
    return f" The belt '{stage}' counts at the {hand} that the hand gives, not at the {said} written down."


def pulls_harder(reader: Reader, done: Mapping[str, Findings], shaft: str) -> str:
    """Return in sentences which belts on a shaft pull with what a hand gives, as that is more than is written down."""
    on_it = (n for n in grips_of(done) if shaft in (reader.get(f"stage[{n}].from"), *shafts_driven(reader, n)))
    return "".join(counts_at(reader, n, grips_of(done)[n].tensions) for n in on_it)


def with_lever(reader: Reader, grip, tension: float, *, lower: bool = False) -> tuple[dict[str, str], str]:
    """Return the change of the lever ratio at which the hand gives a tension (N, all belts together), and its words.

    Both are empty where the hand gives as much anyhow, or with ``lower`` as little.
    """
    hand, ratio = grip.tensions.hand, reader.get(LEVER[1])
    if hand is None or (at_most(hand, tension) if lower else at_least(hand, tension)):
        return {}, ""
    wanted = 100.0 * float(getattr(ratio, "si", ratio)) * tension / hand
    text = f"{(np.floor if lower else np.ceil)(wanted) / 100.0:g}"
    return ({LEVER[1]: text}, f", by a lever of {text} to 1") if float(text) > 0.0 else ({}, "")


__all__ = [
    "KIND",
    "LEVER",
    "Tensions",
    "counts_at",
    "hand_tension",
    "held_at",
    "pulls_harder",
    "stage_of",
    "tensions_of",
    "with_lever",
]
