"""Whether the belt that is on, or one that is sold, has the length that the loop asks for."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jackshaft.buildfile.naming import titled
from jackshaft.chapters.layout.arm import STRETCH
from jackshaft.chapters.layout.data import StageLayout, StockBelt
from jackshaft.chapters.layout.take_up import (
    MEASURED,
    cannot_at_all,
    drawn_off,
    near_drawn,
    shortest_of,
    track_of,
    travel_missing,
    unread,
)
from jackshaft.parts.words import sentence
from jackshaft.results.checks import GO, STOP, Check, undecided
from jackshaft.results.findings import CANNOT
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import at_least, first_least

#: A difference below this is not shown as a tape reads it, m.
LITTLE = 1.5e-3

#: How a belt is told that has lost its printing.
WORN_OFF = "If the printing on the belt is worn off, measure its length instead, and say which length that is."

SOURCE = "the workbook's table of belt lengths; own-derivation, 2π times the distance of parallel lines"


def length_check(reader: Reader, layout: StageLayout) -> Check:
    """Return the check of the belt's length."""
    chosen, drawn = layout.chosen, layout.as_drawn
    path = reader.number(drawn.path.length, "length", "{} by the drawing")
    if chosen is None:
        return _not_chosen(reader, layout, path)
    if layout.fits is None:
        reader.note_missing(*layout.travel_missing)
        words = f"{_off(reader, chosen)} How far the take-up goes is not known yet."
        return undecided(*_named(layout), layout.travel_missing, words, limit=path)
    words = f"{chosen.designation}, {{}} on the cord line"
    length = reader.number(chosen.pitch_length, "length", words, known=chosen.known)
    verdict, reason, remedy = GO, _fit(reader, layout, chosen), ""
    if not layout.fits:
        verdict, reason = STOP, _misfit(reader, layout, chosen)
        remedy = "Take another length of belt, or place the pulleys for this one."
    return Check(
        *_named(layout),
        found=length,
        wanted=_takes(layout, chosen, path),
        verdict=verdict,
        reason=reason,
        remedy=remedy,
        source=SOURCE,
    )


def _takes(layout: StageLayout, chosen: StockBelt, path: Number) -> Number:
    """Return the lengths from which to which a belt goes on the loop, with the path; where it goes on at all."""
    if not layout.fits:
        return path
    near = near_drawn(layout)
    low, high = (
        path.si + sign * np.fmax(sign * (chosen.pitch_length - path.si) + room, near)
        for sign, room in ((-1.0, chosen.room_in), (1.0, chosen.room_out))
    )
    if np.isinf(low):
        return replace(path, high=high, words="{high} or less; {} by the drawing")
    return replace(path, low=low, high=high, words="{low} to {high}; {} by the drawing")


def _named(layout: StageLayout) -> tuple[str, str]:
    return f"layout.length[{layout.name}]", titled(layout.name, "belt", "length")


def _not_chosen(reader: Reader, layout: StageLayout, path: Number) -> Check:
    """Return the undecided check of a loop whose belt is not known, with what would decide it."""
    at = f"stage[{layout.name}]"
    if not layout.stock:
        keys = (f"{at}.section",) if layout.belt is None else (f"{at}.length", f"{at}.length_is")
        reader.note_missing(*keys)
        return undecided(*_named(layout), keys, "No stock lengths are known for this belt.", limit=path)
    reader.note_missing(f"{at}.marked")
    why = unread(reader, at, layout.belt).rstrip(".") if layout.belt is not None else ""
    if why:
        keys = (f"{at}.marked", f"{at}.length", f"{at}.length_is")
        why = f"{why[:1].upper()}{why[1:]}. Correct the marking, or measure the belt and say which length that is."
        return replace(undecided(*_named(layout), keys, why, limit=path), found=CANNOT)
    fitting = [f"{s.designation}{_but(reader, at, layout, s)}" for s in layout.stock if s.fits]
    listed = ", ".join(fitting) or "none of those in the table"
    open_ways = [longer for longer in (True, False) if travel_missing(reader, at, layout, longer)]
    where = "as drawn it takes" if len(open_ways) == 2 else "within the take-up"
    words = f"No belt is chosen yet. The path is {path}; {where}: {listed}."
    if open_ways and reader.get(f"{at}.takeup.kind") is not None:
        which = {(True,): "longer ", (False,): "shorter "}.get(tuple(open_ways), "other ")
        words += f" How far the take-up goes is not known yet: with it {which}belts may go on."
    cure = "" if fitting else f" {_nearest_cure(reader, layout)}"
    return undecided(*_named(layout), (f"{at}.marked",), f"{words}{cure} {WORN_OFF}", limit=path)


def _but(reader: Reader, at: str, layout: StageLayout, belt: StockBelt) -> str:
    """Return in brackets what is against a belt that goes on: what touches there, and too little left for stretch."""
    against = [f"no gap there: {belt.gap_words}"] if belt.gap <= 0 else []
    # a pulley that slides by a way that is not known yet is drawn without one
    known = np.isfinite(belt.x) or reader.get(f"{at}.takeup.travel_out") is not None
    wanted, room = STRETCH * belt.pitch_length, belt.room_out
    if belt.drawn and len(layout.pulleys.names) > 2 and not travel_missing(reader, at, layout, longer=True):
        # an idler whose way has no length, or centres that do not move
        known, room = True, 0.0 if track_of(reader, at, layout) is None else np.nan
    if known and np.isfinite(room) and not at_least(room, wanted):
        left = "nothing" if room < LITTLE else f"only {reader.tape(room)}"
        against.append(f"{left} left for stretch, {reader.tape(wanted)} is wanted")
    return f" ({'; '.join(against)})" if against else ""


def _fit(reader: Reader, layout: StageLayout, chosen: StockBelt) -> str:
    """Return in words how a belt fits and where the take-up then stands."""
    drawn = "All is worked as drawn."
    if chosen.drawn:
        return f"{_off(reader, chosen)} Lengths and places are not known better than that. {drawn}"
    gone = drawn_off(layout, chosen)
    if gone is None:
        return f"{sentence(chosen.designation)} fits within the take-up. {drawn}"
    where = f"{stands(reader, layout, chosen)}, {reader.tape(gone)} from where it is drawn."
    how = drawn if layout.drawn is None else "All is worked with it there."
    return f"{sentence(chosen.designation)} fits within the take-up. With it {where} {how}"


def stands(reader: Reader, layout: StageLayout, belt: StockBelt) -> str:
    """Return where the take-up stands with a belt: "I is at 6 in, 2 in", or "the centres are 20 in"."""
    if np.isfinite(belt.x):
        return f"{layout.pulleys.names[layout.mover]} is at {reader.tape(belt.x)}, {reader.tape(belt.y)}"
    return f"the centres are {reader.tape(belt.centres)}"


def _misfit(reader: Reader, layout: StageLayout, chosen: StockBelt) -> str:
    """Return in words by how much a belt does not fit, and that nothing makes it fit where that is so."""
    least = shortest_of(layout)
    words = f"{_off(reader, chosen)} The take-up cannot make that up."
    if least is None or not cannot_at_all(layout, chosen):
        return words
    p = layout.pulleys
    big = max(p.driver, p.driven, key=lambda k: p.pitch[k])
    alone = reader.show(2 * np.pi * p.pitch[big], "length")
    return (
        f"{words} No centres make it fit: {p.names[p.driver]} and {p.names[p.driven]} with their belt lines touching, "
        f"and no idler, want {reader.show(least, 'length')}; round {p.names[big]} alone it is {alone}."
    )


def _off(reader: Reader, belt: StockBelt) -> str:
    """Return how far a belt is from the path as drawn, in a sentence; to the thousandth where that is little."""
    by = reader.tape(abs(belt.over)) if abs(belt.over) >= LITTLE else reader.show(abs(belt.over), "length", digits=2)
    name = "The belt" if belt.designation == MEASURED else belt.designation
    return f"{name} is {by} {'longer' if belt.over > 0 else 'shorter'} than the path by the drawing."


def _nearest_cure(reader: Reader, layout: StageLayout) -> str:
    best = layout.stock[first_least([abs(s.over) for s in layout.stock])]
    if np.isfinite(best.centres):
        return f"{best.designation} needs centres of {reader.tape(best.centres)}."
    return f"The nearest: {_off(reader, best)}"


__all__ = ["length_check", "stands"]
