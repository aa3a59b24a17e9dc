"""The outline that the guard of each belt and chain asks for, what it takes to cut it, and what it would run into."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.guards.checks import OPEN
from jackshaft.chapters.guards.hazards import Hazard
from jackshaft.chapters.guards.loops import HAND, LETS_GO, Loop, Nip
from jackshaft.chapters.layout.data import Body
from jackshaft.mechanics.guards import reach_through
from jackshaft.mechanics.outline import Outline, outline_si, stands_si
from jackshaft.results.checks import Table
from jackshaft.results.reader import Reader
from jackshaft.results.values import TAPE
from jackshaft.units import read

#: How far a guard without openings stands off, for a belt that flaps: common practice, no source.
ROOM = {"inch": "1 in", "metric": "25 mm"}
#: Where a place opens to, by eighths of a turn from the right, counter-clockwise.
WAYS = ("right", "upper right", "top", "upper left", "left", "lower left", "bottom", "lower right")


class GuardOutline(NamedTuple):
    """The outline of one guard: how far it stands ``off`` what turns, m, ``why``, the band itself, and the names of the
    bodies that it would cut (``cuts``) and of those that stand within it (``holds``). ``openings`` says what holes it
    has, ``notes`` what is not known of it."""

    loop: Loop
    off: float
    why: str
    band: Outline
    cuts: tuple[str, ...]
    holds: tuple[str, ...]
    openings: str
    notes: tuple[str, ...]

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the box round it, m."""
        left, bottom, right, top = self.band.box
        return right - left, top - bottom


def outline_of(reader: Reader, loop: Loop) -> GuardOutline | None:
    """Return the outline that a loop's guard asks for; None where its openings count as no guard."""
    asked = _off(reader, loop.stage)
    if asked is None:
        return None
    off, why, openings = asked
    x, y, r = np.concatenate([np.stack([loop.x, loop.y, loop.solid], -1), loop.swept]).T
    band = outline_si(x, y, r + off)
    stands = {body.name: _stands(band, body) for body in loop.bodies}
    return GuardOutline(
        loop=loop,
        off=off,
        why=why,
        band=band,
        cuts=tuple(n for n, s in stands.items() if s == 0),
        holds=tuple(n for n, s in stands.items() if s < 0),
        openings=openings,
        notes=loop.notes,
    )


def _off(reader: Reader, stage: str) -> tuple[float, str, str] | None:
    """Return how far a guard stands off, m, why, and what its openings are; None where they count as no guard."""
    at, room = f"stage[{stage}]", read(ROOM[reader.system], "length").si
    usual = "room for a belt or chain that flaps"
    if reader.get(f"{at}.guard") != "mesh or slots":
        return room, usual, "drawn as closed all round"
    width, shape = reader.si(f"{at}.guard_opening"), reader.get(f"{at}.guard_shape")
    if None in (width, shape):
        return room, usual, "openings not known: drawn as closed all round"
    wide = reader.ends(f"{at}.guard_opening")[1]
    if wide * 1000.0 > OPEN:
        return None
    openings = f"{shape} openings of {reader.tape(width)}"
    least, told = float(reach_through.si(wide, shape=shape)), reader.si(f"{at}.guard_distance")
    # the farthest of the three: a nearer guard would be judged a stop, or be struck
    reasons = [(least, f"what {openings} ask for"), (room, usual)]
    reasons += [] if told is None else [(told, "the distance that the build gives")]
    return (*max(reasons, key=lambda r: r[0]), openings)


def _stands(band: Outline, body: Body) -> int:
    if body.corners is None:
        return stands_si(band, body.x, body.y, body.radius)
    return stands_si(band, *np.asarray(body.corners).T, np.zeros(len(body.corners)))


def opens_to(nip: Nip) -> str:
    """Return the side from which a hand comes to a nip, in words: against the way that the belt runs."""
    eighth = round((nip.heading + np.pi) / (np.pi / 4.0)) % 8
    return WAYS[eighth]


def nip_table(reader: Reader, nips: Sequence[Nip], hurts: Sequence[Hazard]) -> Table:
    """Return the places that draw a hand in, by the numbers of the drawing; behind them those without a place."""
    rows = tuple(
        (
            f"{k}",
            nip.stage,
            f"{nip.runs} runs onto {nip.wheel}" if nip.sure else f"{nip.runs} and {nip.wheel}, if it runs that way",
            reader.number(nip.x, "length", form=TAPE),
            reader.number(nip.y, "length", form=TAPE),
            opens_to(nip),
            reader.cell(nip.speed, "surface speed"),
            reader.cell(nip.within, "time"),
        )
        for k, nip in enumerate(nips, 1)
    )
    drawn = {nip.stage for nip in nips}
    rows += tuple(("", h.part, h.where, *[""] * 5) for h in hurts if h.kind == "nip" and h.part not in drawn)
    long, quick = reader.show(HAND, "length", digits=2), reader.show(LETS_GO, "time", digits=2)
    note = (
        "Each stage is measured from its own zero mark, seen facing the engine's output shaft. The time is that in "
        f"which a hand's length, {long}, is drawn in at the engine's top speed; nobody lets go in less than {quick} "
        "(both from memory). A machine that is turned back draws in where the belt or chain leaves a wheel. "
        "What has no number has no place that the build tells: look for it on the machine."
    )
    heads = ("no.", "stage", "where", "across", "up", "opens to the", "speed", "drawn in within")
    return Table("Where a hand is drawn in", heads, rows, note)


def cut_table(reader: Reader, outlines: Sequence[GuardOutline]) -> Table:
    """Return what each guard takes to be cut."""
    rows = []
    for guard in outlines:
        wide, high = guard.size
        hits = [f"cuts {name}" for name in guard.cuts] + [f"{name} stands within it" for name in guard.holds]
        rows.append(
            (
                guard.loop.stage,
                *(reader.number(v, "length", form=TAPE) for v in (guard.off, wide, high, guard.band.length)),
                reader.number(guard.band.area, "area"),
                "; ".join(hits) or ("nothing" if guard.loop.bodies else "no bodies are written down"),
            )
        )
    unsaid = "".join(f" {g.loop.stage}: {words}" for g in outlines for words in g.notes)
    note = (
        "The face is a band drawn tight round all that turns, so far off it. The strip goes once round; it is as wide "
        "as the guard is deep, and its seam and flanges come on top. Sheets for the shop hold each face at 1:1."
        + unsaid
    )
    heads = ("guard of", "stands off", "face across", "face up", "strip", "face, one side", "what it meets")
    return Table("Guards to cut", heads, tuple(rows), note)


__all__ = ["GuardOutline", "cut_table", "nip_table", "opens_to", "outline_of"]
