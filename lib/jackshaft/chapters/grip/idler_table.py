"""What each possible idler is worth: belt length it takes up and wrap it costs, for its travel."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.tables import SIDES
from jackshaft.chapters.layout.arm import STRETCH
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.layout.take_up import track_of
from jackshaft.mechanics import idlers, takeup
from jackshaft.mechanics import path as belt_path
from jackshaft.parts.belt_stage import Pulleys
from jackshaft.results.checks import Table
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import TAPE, Number, signed
from jackshaft.units import INCH, SAME, first_least, first_most

#: Size of a tried idler over the smallest pulley: grooved inside, flat on the back.
INSIDE, BACK = 1.0, 1.5

#: Places along the strand that are tried, from the end where the idler belongs.
SHARES = (0.15, 0.25, 0.35, 0.5, 0.65, 0.75, 0.85)

PRESSES = 60


class Tried(NamedTuple):
    """An idler tried on a strand, close to the pulley ``near``: place and ``travel`` in m (NaN where it has no room or
    cannot take up so much), change of wrap of each pulley with power in rad."""

    strand: int
    inside: bool
    near: int
    x: float = np.nan
    y: float = np.nan
    travel: float = np.nan
    wraps: tuple[float, ...] = ()


def add_to(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip) -> None:
    """Add the table of the idlers that stand there, and that of those that could; in a sentence where none could."""
    if layout.pulleys.crossed:
        return
    standing = _standing(reader, layout)
    draft.tables += [standing] if standing else []
    wanted = STRETCH * float(layout.path.length)
    strands = sorted(range(len(layout.pulleys.names)), key=lambda s: (stage.strand_role[s], s))
    tried = [try_on(layout, strand, inside, wanted) for strand in strands for inside in (True, False)]
    if any(np.isfinite(t.travel) for t in tried):
        draft.tables.append(_possible(reader, layout, stage, tried))
        return
    draft.fact(
        f"{layout.name}: one more idler",
        "no room for it",
        "no strand has room for one, inside or on the back, that takes up what a belt stretches, "
        f"{reader.show(wanted, 'length', digits=2)}",
    )


def _per_travel(reader: Reader, rate: float) -> Number:
    """Return a length gained for a length of travel, in the shop's words."""
    words = "{} in per in" if reader.system == "inch" else "{} mm per mm"
    return reader.number(rate, "number", words, decimals=2)


def _wrap_rate(reader: Reader, rate: float) -> Number:
    """Return the angle gained for one inch or millimetre of travel."""
    step, word, decimals = (INCH, "in", 1) if reader.system == "inch" else (1e-3, "mm", 2)
    return reader.number(rate * step, "angle", signed(rate, f"{{}} per {word}"), decimals=decimals)


def _standing(reader: Reader, layout: StageLayout) -> Table | None:
    p, places = layout.pulleys, layout.places
    rows = []
    for k in layout.idlers:
        loop = layout.with_moved(k)
        at, along, how = f"stage[{layout.name}]", None, "square into the belt"
        if k == layout.idler == layout.mover:
            found = track_of(reader, at, layout)
            if found is not None and isinstance(found[1], takeup.Arm):
                along, how = (-(places.y[k] - layout.pivot[1]), places.x[k] - layout.pivot[0]), "on its arm"
            elif found is not None:
                along, how = (found[1].x1 - found[1].x0, found[1].y1 - found[1].y0), "in its slot"
        if along is None or not np.hypot(*along):
            # The way the belt's own pull would push it back, turned round: where it takes up most.
            along = (layout.path.ux[k - 1] - layout.path.ux[k], layout.path.uy[k - 1] - layout.path.uy[k])
        found = takeup.take_up_rate_si(loop, places.x[k], places.y[k], *along)
        rate = float(found.length)
        sign = 1.0 if rate >= 0 else -1.0
        rows.append(
            (
                f"{p.names[k]}, {how}",
                _per_travel(reader, abs(rate)),
                *(_wrap_rate(reader, sign * float(found.wrap[i])) for i in p.powered),
            )
        )
    if not rows:
        return None
    return Table(
        f"{layout.name}: take-up of the idlers that are there",
        ("idler", "belt taken up", *_wraps(p)),
        tuple(rows),
        "This is for a small move in the direction that tightens the belt. Two lengths of belt for one of travel "
        "is the most that any idler can do.",
    )


def _wraps(p: Pulleys) -> tuple[str, ...]:
    """Return the heads of the columns that show the wrap of each pulley with power."""
    return tuple(f"wrap on {p.names[i]}" for i in p.powered)


def try_on(layout: StageLayout, strand: int, inside: bool, wanted: float) -> Tried:
    """Try an idler of the usual size on a strand and press it until it takes up ``wanted`` m.

    It stands as close to the pulley where it belongs as it has room.
    """
    p, places = layout.pulleys, layout.places
    ends = (strand, (strand + 1) % len(p.names))
    # An inside idler belongs near the larger pulley, one on the back near the smaller one.
    near = ends[(first_most if inside else first_least)([p.pitch[k] for k in ends])]
    radius = (INSIDE if inside else BACK) * float(min(p.pitch[list(p.powered)]))
    share = np.array(SHARES if near == ends[0] else [1.0 - s for s in SHARES])[:, None]
    press = np.linspace(0.0, float(layout.path.span[strand]), PRESSES + 1)[1:]
    found = idlers.idler_options_si(
        belt_path.path_si,
        (places.x, places.y, p.pitch, p.inside),
        strand,
        idler_radius=radius,
        idler_inside=inside,
        share=share,
        press=press,
        ccw=layout.ccw,
    )
    rim = np.maximum(p.outside, p.pitch) + radius
    clear = np.all(np.hypot(found.x[..., None] - places.x, found.y[..., None] - places.y) > rim, axis=-1)
    reached = (found.reason == 0) & (found.gained >= wanted * (1.0 - SAME))
    for row in range(len(share)):
        k = int(np.argmax(reached[row]))
        if not reached[row].any() or not clear[row, : k + 1].all():
            continue
        # Between two presses the length taken up runs nearly straight.
        before, start = (found.gained[row, k - 1], press[k - 1]) if k and found.reason[row, k - 1] == 0 else (0.0, 0.0)
        travel = start + (wanted - before) / (found.gained[row, k] - before) * (press[k] - start)
        change = found.wrap_change[row, k]
        wraps = tuple(float(change[i]) for i in p.powered)
        place = float(found.x[row, k]), float(found.y[row, k])
        return Tried(strand, inside, near, *place, travel=float(travel), wraps=wraps)
    return Tried(strand, inside, near)


def _possible(reader: Reader, layout: StageLayout, stage: StageGrip, every: Sequence[Tried]) -> Table:
    p = layout.pulleys
    wanted = STRETCH * float(layout.path.length)
    rows = []
    for tried in every:
        side = "inside, grooved" if tried.inside else "on the back, flat"
        row = (layout.strand(tried.strand), SIDES[int(stage.strand_role[tried.strand])], side, p.names[tried.near])
        if not np.isfinite(tried.travel):
            rows.append((*row, "no room for it", "", *("" for _ in p.powered)))
            continue
        rows.append(
            (
                *row,
                reader.number(tried.travel, "length", form=TAPE),
                _per_travel(reader, wanted / tried.travel),
                *(reader.number(w, "angle", signed(w), decimals=0) for w in tried.wraps),
            )
        )
    heads = ("strand", "side at work", "idler", "belongs close to", "travel", "belt taken up, on average")
    size = f"{reader.show(2 * min(p.pitch[list(p.powered)]), 'length', digits=3)}"
    return Table(
        f"{layout.name}: where one more idler could take up",
        (*heads, *_wraps(p)),
        tuple(rows),
        f"Travel from touching until it has taken up {reader.show(wanted, 'length', digits=2)}, {100 * STRETCH:g} % of "
        f"the path, what a belt stretches. An inside idler is taken as large as the smallest pulley ({size}), one on "
        f"the back {BACK:g} times that; an idler belongs in a slack strand, inside near the larger pulley or on the "
        "back near the smaller one.",
        aside=True,
    )


__all__ = ["Tried", "add_to", "try_on"]
