"""Everything computed from one build, in the order of the torque's way."""

from __future__ import annotations

from collections.abc import Sequence

from jackshaft.build import Build
from jackshaft.workup import grip, layout, ratio
from jackshaft.workup.core import Chapter, Draft, Looker, Unknown, label, out_of_date
from jackshaft.workup.results import ESSENTIAL, Results, Wanted, run

#: Chapters in the order of the torque's way.
WORKERS = {
    ratio.NAME: ratio.work_up,
    layout.NAME: layout.work_up,
    grip.NAME: grip.work_up,
}

#: Chapters whose inputs are kept but that are not computed yet.
LATER = {"driveline": "Telescoping shaft", "shear_pin": "Shear pin"}

#: What each chapter takes from others, for panels that work up one chapter only.
NEEDS: dict[str, tuple[str, ...]] = {ratio.NAME: (), layout.NAME: (ratio.NAME,), grip.NAME: (layout.NAME,)}


def work_up(build: Build, chapters: Sequence[str] | None = None) -> Results:
    """Work up a build: all of it, or only some chapters and what they need.

    Raises
    ------
    KeyError
        If a chapter of that name does not exist.
    """
    if chapters is None:
        return run(build, WORKERS, LATER)
    wanted: set[str] = set()
    todo = list(chapters)
    while todo:
        name = todo.pop()
        if name not in wanted:
            wanted.add(name)
            todo += NEEDS[name]
    return run(build, {n: w for n, w in WORKERS.items() if n in wanted}, {})


__all__ = ["ESSENTIAL", "LATER", "NEEDS", "WORKERS", "Chapter", "Draft", "Looker", "Results", "Unknown", "Wanted",
           "label", "out_of_date", "work_up"]
