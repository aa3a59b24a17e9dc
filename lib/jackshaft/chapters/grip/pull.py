"""Whether one belt stands its pull: what it breaks at, what it runs at for long, and the check of it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.grip.cases import LoadedLoop
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.more_cases import BRAKE, FULL
from jackshaft.chapters.grip.tension import LIKE
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.parts.shaft_cases import at_case
from jackshaft.parts.tightener import counts_at
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, stays_within
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import POUND_FORCE, at_most

#: Pull of one belt over what it breaks at: what it runs at for long, for hours, and not but for a moment. By the law of
#: fatigue of the sections that have constants that is, without any bending, some hundred hours, some hours, and under
#: an hour; the shares themselves are common practice, no source.
FOR_LONG, FOR_HOURS, OUT_OF_REACH = 0.2, 0.3, 0.4

#: Breaking pull over the area of the cross-section, Pa, of a section without constants of its own: the published
#: constants of A to D give 37 to 40 N/mm2, those of the inch narrow sections more. Own derivation.
STRENGTH = 37e6

#: Loads that last a moment; the others last.
MOMENTS = ("start", "peak", "overrun", BRAKE)


class Pull(NamedTuple):
    """The pull of one belt, N, in a case: likely and with the tension at its high end; ``least`` and ``most`` are the
    shares of the breaking pull up to which it is go, and caution."""

    case: str
    likely: float
    bad: float
    least: float
    most: float


def breaking_pull(belt: belt_lengths.Section) -> tuple[float, str]:
    """Return about what one belt of a section breaks at, N, and its source: the constant of the fatigue law that stands
    for one bend, else what the area of its cross-section gives."""
    rows = tables.table("belt_fatigue").where(section=LIKE.get(belt.name, belt.name)).rows
    if rows:
        return float(rows[0]["k_lbf"] * POUND_FORCE), "shigley, ch. 17"  # the table is in lbf
    # a ribbed belt's core goes on between its ribs; a double-V narrows from its middle both ways
    narrows = {"V-ribbed": 0.0, "double-V": 0.5}.get(belt.family, 1.0)
    mean = belt.top_width - narrows * belt.height * np.tan(belt.angle / 2)
    return float(STRENGTH * mean * belt.height), "own-derivation, from the area of the section"


def stands(loop: LoadedLoop, tight: float, belts: int | None = None) -> bool:
    """Tell whether belts stand a tight strand of all of them together, N; where no section is known they do."""
    belt = loop.layout.belt
    return belt is None or at_most(tight / (belts or loop.belts), OUT_OF_REACH * breaking_pull(belt)[0])


def pulls_of(stage: StageGrip) -> tuple[Pull, ...]:
    """Return the pull of one belt at rest and in every regular case; none where the tension is not known."""
    if stage.hold is None:
        return ()
    more = stage.scatter * stage.loading / stage.belts
    tight = {"rest": stage.loading / stage.belts}
    for case in stage.cases:
        if case.net is not None and case.name in ("work", FULL, *MOMENTS):
            tight[case.name] = float(np.max(case.net) + case.centrifugal) / stage.belts
    return tuple(
        Pull(name, one, one + more, *((OUT_OF_REACH, 1.0) if name in MOMENTS else (FOR_LONG, FOR_HOURS)))
        for name, one in tight.items()
    )


def judge(draft: Draft, reader: Reader, stage: StageGrip) -> None:
    """Add the check of the pull of one belt."""
    belt = stage.layout.belt
    if belt is None or not (pulls := pulls_of(stage)):
        return
    (breaks, source), one = breaking_pull(belt), belt.counted_by

    def verdict_of(pull: Pull) -> str:
        if not stays_within(pull.likely, pull.most * breaks):
            return STOP
        return GO if stays_within(pull.bad, pull.least * breaks) else CAUTION

    worst = max(pulls, key=lambda p: (ORDER.index(verdict_of(p)), p.likely / p.least))
    verdict, shown = verdict_of(worst), reader.show(breaks, "force", digits=2)
    last = (
        "A start, a peak or a stop lasts a moment: up to two fifths of that does little harm."
        if worst.case in MOMENTS
        else "By the law of belt fatigue it lasts some hundred hours at a fifth of that, and a few hours at three "
        "tenths, bending not counted."
    )
    draft.check(
        f"grip.pull[{stage.name}]",
        f"{stage.name}: pull of one {one}",
        found=reader.number(worst.likely, "force", f"{{}} {at_case(worst.case)}", high=worst.bad),
        wanted=reader.number(worst.least * breaks, "force", "{} or less", digits=2, known="common practice"),
        verdict=verdict,
        reason=f"One {one} of section {belt.name} breaks at about {shown}. {last}"
        f"{counts_at(reader, stage.name, stage.tensions)}",
        remedy=""
        if verdict == GO
        else f"Lower the tension to what the grip needs, or share the pull out over more {one}s.",
        source=f"{source}; shares: common practice, no source",
    )


__all__ = ["FOR_HOURS", "FOR_LONG", "OUT_OF_REACH", "STRENGTH", "breaking_pull", "judge", "pulls_of", "stands"]
