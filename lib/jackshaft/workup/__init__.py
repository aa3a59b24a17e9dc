"""Everything computed from one build, in the order of the torque's way."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from jackshaft.build import Build
from jackshaft.workup import bearings, capacity, chain, clutch, electric, grip, layout, ratio, shafts
from jackshaft.workup.core import Chapter, Draft, Looker, Unknown, label, out_of_date
from jackshaft.workup.results import ESSENTIAL, Results, Wanted, run

#: Chapters in the order of the torque's way.
WORKERS = {
    ratio.NAME: ratio.work_up,
    layout.NAME: layout.work_up,
    grip.NAME: grip.work_up,
    capacity.NAME: capacity.work_up,
    electric.NAME: electric.work_up,
    clutch.NAME: clutch.work_up,
    bearings.NAME: bearings.work_up,
    shafts.NAME: shafts.work_up,
    chain.NAME: chain.work_up,
}

TITLES = {m.NAME: m.TITLE for m in (ratio, layout, grip, capacity, electric, clutch, bearings, shafts, chain)}

#: Chapters whose inputs are kept but that are not computed yet.
LATER = {"driveline": "Telescoping shaft"}

#: What each chapter takes from others, for panels that work up one chapter only.
NEEDS: dict[str, tuple[str, ...]] = {
    ratio.NAME: (),
    layout.NAME: (ratio.NAME,),
    grip.NAME: (layout.NAME,),
    capacity.NAME: (grip.NAME,),
    electric.NAME: (),
    clutch.NAME: (ratio.NAME, electric.NAME),
    bearings.NAME: (grip.NAME,),
    shafts.NAME: (bearings.NAME,),
    chain.NAME: (grip.NAME, clutch.NAME, shafts.NAME),
}


#: Chapters whose tables take long, without them: for a slider, where no table is shown.
QUICK = {
    layout.NAME: layout.quick,
    grip.NAME: grip.quick,
    capacity.NAME: capacity.quick,
    bearings.NAME: bearings.quick,
    shafts.NAME: shafts.quick,
}

#: The same without the draws and the belts that are sold, for a panel that shows those once the hand rests.
BARE = QUICK | {layout.NAME: layout.bare, grip.NAME: grip.bare}


def work_up(
    build: Build,
    chapters: Sequence[str] | None = None,
    *,
    before: Results | None = None,
    sheets: bool = True,
    stage: str | None = None,
    draws: bool = True,
) -> Results:
    """Work up a build: all of it, or only some chapters and what they need.

    ``before`` may hold the results of the same chapters for another state of the build: chapters none
    of whose inputs changed are taken from it, which is what makes a slider quick. Without ``sheets``
    chapters whose tables take long come without them, with ``stage`` for that belt stage only, and
    without ``draws`` without the share of random draws that hold and the belts that are sold.

    Raises
    ------
    KeyError
        If a chapter of that name does not exist.
    """
    if chapters is None:
        return run(build, WORKERS, LATER, before, titles=TITLES, needs=NEEDS)
    wanted: set[str] = set()
    todo = list(chapters)
    while todo:
        name = todo.pop()
        if name not in wanted:
            wanted.add(name)
            todo += NEEDS[name]
    workers = (
        WORKERS if sheets else WORKERS | {n: partial(w, only=stage) for n, w in (QUICK if draws else BARE).items()}
    )
    workers = {n: w for n, w in workers.items() if n in wanted}
    return run(build, workers, {}, before, titles=TITLES, needs=NEEDS)


class Worker:
    """Works the same chapters up again and again, each time from what the last time found."""

    def __init__(self, *chapters: str, stage: str | None = None, draws: bool = True):
        self.chapters, self.stage, self.draws = chapters, stage, draws
        self._last: Results | None = None

    def __call__(self, build: Build) -> Results:
        """Work up the chapters of a build."""
        self._last = work_up(build, self.chapters, before=self._last, sheets=False, stage=self.stage, draws=self.draws)
        return self._last


__all__ = [
    "ESSENTIAL",
    "LATER",
    "NEEDS",
    "WORKERS",
    "Chapter",
    "Draft",
    "Looker",
    "Results",
    "Unknown",
    "Wanted",
    "Worker",
    "label",
    "out_of_date",
    "work_up",
]
