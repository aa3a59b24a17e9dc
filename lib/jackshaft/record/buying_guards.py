"""What the guards take: mesh or sheet for the face, the strip round it, and the screws that hold it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from jackshaft.record.wants import Counter, Want
from jackshaft.results.values import TAPE, Number
from jackshaft.units import read

#: From screw to screw along a guard, and the fewest that hold one: common practice, no source.
APART, FEWEST = {"inch": "6 in", "metric": "150 mm"}, 4


def guards(at: Counter) -> Iterator[Want]:
    """Yield what the guard of each belt and chain takes whose outline is known."""
    found = at.data("guards")
    for guard in () if found is None else found.outlines:
        stage = guard.loop.stage
        here = f"stage[{stage}]"
        wide, high, strip = (Number(v, "length", at.system, form=TAPE).shown for v in (*guard.size, guard.band.length))
        area = Number(guard.band.area, "area", at.system).shown
        meshed = at.reader.get(f"{here}.guard") == "mesh or slots"
        face = "sheet"
        if meshed:
            shape = at.words(f"{here}.guard_shape", "{} ")
            face = "mesh with " + shape + at.words(f"{here}.guard_opening", "openings of {} or less")
        for name in guard.cuts:
            at.wait(f"Its outline cuts {name}: move one of them first.")
        at.judge(("layout.", "roller-chain."), stage)
        held = at.holding
        yield at.want(
            f"{stage}: guard",
            f"{face}, to cut {wide} by {high}, {area} for each open side; sheet for a strip {strip} long, as wide as "
            "the guard is deep",
            instead=f"{'a finer mesh, or sheet' if meshed else 'a mesh, judged anew'}; leaned on, it may touch nothing "
            "that turns",
        )
        for why in held:
            at.wait(why)
        many = math.ceil(guard.band.length / read(APART[at.system], "length").si)
        yield at.want(
            f"{stage}: guard, screws",
            f"screws that only a tool undoes, one every {APART[at.system]}",
            max(FEWEST, many),
            instead="welded studs with nuts; no wing nuts, no hooks",
            spares="a few",
        )


__all__ = ["guards"]
