"""What mends a guard: closing it, a finer mesh, more distance, covered shafts."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft import tables
from jackshaft.chapters.guards import ground
from jackshaft.results.cure import Proposal
from jackshaft.results.failing import Failing


def _stage(failing: Failing) -> Iterator[Proposal]:
    """Yield a guard closed all round, then a mesh further off, then a finer one."""
    at = f"stage[{failing.part}]"
    yield Proposal(f"Close the guard of {failing.part} all round.", {f"{at}.guard": "closed"})
    width, far = (failing.reader.si(f"{at}.guard_{k}") for k in ("opening", "distance"))
    shape = failing.reader.get(f"{at}.guard_shape")
    if failing.reader.get(f"{at}.guard") != "mesh or slots" or None in (width, far, shape):
        return
    rows = tables.table("guard_openings").where(shape=shape).rows
    here = next((row for row in rows if width * 1000.0 <= row["to_mm"]), None)
    if here is not None:
        text = failing.up(here["distance_mm"] / 1000.0, "length", "1/4 in", "5 mm")
        yield Proposal(f"Set the guard {text} from what turns.", {f"{at}.guard_distance": text})
    finer = [row for row in rows if row["distance_mm"] / 1000.0 <= far]
    if finer:
        text = failing.down(finer[-1]["to_mm"] / 1000.0, "length", "1/16 in", "1 mm")
        yield Proposal(f"Fit a mesh with openings of {text}.", {f"{at}.guard_opening": text})


def _shafts(failing: Failing) -> Iterator[Proposal]:
    """Yield covers for the shafts that are open."""
    names = [n for n in failing.reader.names("shaft") if failing.reader.get(f"shaft[{n}].covered") is not True]
    yield Proposal(f"Cover {' and '.join(names)}.", {f"shaft[{n}].covered": "yes" for n in names})


def _work(failing: Failing) -> Iterator[Proposal]:
    """Yield a guard over the work."""
    yield Proposal("Guard all of the work but the part that works.", {"work.covered": "yes"})


PROPOSALS = {
    "guards.work": _work,
    "guards.stage": _stage,
    "guards.shafts": _shafts,
    "guards.ground": ground.raised,
    "guards.ground-shaft": ground.higher,
}
