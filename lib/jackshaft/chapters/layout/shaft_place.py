"""Whether one shaft stands at one place in the drawings of all its belts, as far as their zero marks can be told."""

from __future__ import annotations

from jackshaft.results.checks import CAUTION
from jackshaft.results.findings import Draft
from jackshaft.results.one_frame import Spot, one_frame, shared
from jackshaft.results.reader import Reader


def zero_marks(draft: Draft, reader: Reader) -> None:
    """Add what is known of the zero marks of the stages, and a caution for each shaft at two places near each other.

    A shaft is driven by one stage, so two stages have one shaft in common at most: no second one can show whether
    their zero marks are one.
    """
    groups = one_frame(reader)
    words = "places are not held against those of another stage: a shaft that two stages share is drawn in both"
    value = "each stage has its own"
    if groups:
        value = "; ".join(f"one for {' and '.join(g)}" for g in groups)
        words = "a shaft of both is at one place in them, so a change of its place in the one belt counts in the other"
    draft.fact("zero mark of the places", value, words)
    apart = [pair for pair in shared(reader) if pair[0].meant_to_meet(pair[1])]
    # three belts on one shaft make several pairs of it: the first is told
    for shaft, (one, other) in {pair[0].shaft: pair for pair in reversed(apart)}.items():
        draft.check(
            f"layout.shaft-place[{shaft}]",
            f"{shaft}: its place in two belts",
            found="; ".join(f"{s.pulley} at {_spot(reader, s)}" for s in (one, other)),
            wanted="one place",
            verdict=CAUTION,
            reason=f"{one.pulley} of {one.stage} and {other.pulley} of {other.stage} sit on the same shaft. They are "
            f"{reader.tape(one.away(other))} apart. If both belts are measured from one zero mark, one of "
            "the two places is wrong.",
            remedy="Measure where the shaft is. Write the same place in both belts. Accept this only where each belt "
            "is measured from a zero mark of its own.",
            source="common practice, no source",
        )


def _spot(reader: Reader, spot: Spot) -> str:
    return ", ".join(f"{c} {reader.tape(v)}" for c, v in (("x", spot.x), ("y", spot.y)))


__all__ = ["zero_marks"]
