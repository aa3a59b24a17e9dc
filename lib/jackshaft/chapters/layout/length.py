"""Whether the belt that is on, or one that is sold, has the length that the loop asks for."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jackshaft.chapters.layout.data import StageLayout, StockBelt
from jackshaft.chapters.layout.take_up import unread
from jackshaft.results.checks import CAUTION, GO, STOP, Check, undecided
from jackshaft.results.findings import CANNOT
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import first_least

#: Take-up drawn farther than this from where the belt puts it: 3/8 in, common practice, no source.
DRAWN_OFF = 0.0095

SOURCE = "table belt_lengths; own-derivation, 2π times the distance of parallel lines"


def length_check(reader: Reader, layout: StageLayout) -> Check:
    """Return the check of the belt's length."""
    chosen = layout.chosen
    path = reader.number(layout.path.length, "length", "{}" if chosen is None else "{} by the drawing")
    if chosen is None:
        return _not_chosen(reader, layout, path)
    words = f"{chosen.designation}, {{}} on the cord line"
    length = reader.number(chosen.pitch_length, "length", words, known=chosen.known)
    verdict, reason, cure = _fit(reader, layout, chosen) if chosen.fits else _misfit(reader, layout, chosen)
    return Check(*_named(layout), found=length, wanted=path, verdict=verdict, reason=reason, remedy=cure, source=SOURCE)


def _named(layout: StageLayout) -> tuple[str, str]:
    return f"layout.length[{layout.name}]", f"{layout.name}: belt length"


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
    fitting = [s.designation for s in layout.stock if s.fits]
    listed = ", ".join(fitting) or "none of those in the table"
    words = f"No belt is chosen yet. The path is {path}; within the take-up: {listed}."
    cure = "" if fitting else f" {_nearest_cure(reader, layout)}"
    return undecided(*_named(layout), (f"{at}.marked",), words + cure, limit=path)


def _fit(reader: Reader, layout: StageLayout, chosen: StockBelt) -> tuple[str, str, str]:
    """Return verdict, reason and cure of a belt that fits within the take-up."""
    gone, cure, verdict, where = _drawn_off(layout, chosen), "", GO, ""
    if gone is not None:
        on_idler = np.isfinite(chosen.x)
        part = layout.pulleys.names[layout.idler] if on_idler else "the centres"
        stands = (
            f"{part} is at {reader.tape(chosen.x)}, {reader.tape(chosen.y)}"
            if on_idler
            else f"{part} are {reader.tape(chosen.centres)}"
        )
        where = f" With it {stands}, {reader.tape(gone)} from where it is drawn."
        if gone > DRAWN_OFF:
            verdict = CAUTION
            cure = (
                f"Draw {part} where the belt puts {'it' if on_idler else 'them'}: the panel's button "
                "'Set the take-up for the belt' does that; wraps, grip and clearance then hold for this belt."
            )
        if chosen.gap <= 0:
            verdict = STOP
            where += f" There the belt rubs: {chosen.gap_words}, {reader.tape(-chosen.gap)} too close."
            cure = "Take another length, or move the pivot so that the arm is clear of the strands."
    return verdict, f"{chosen.designation} fits within the take-up.{where}", cure


def _misfit(reader: Reader, layout: StageLayout, chosen: StockBelt) -> tuple[str, str, str]:
    """Return verdict, reason and cure of a belt that the take-up cannot make up for."""
    fitting = [s.designation for s in layout.stock if s.fits]
    reason = f"{chosen.designation} is {_off(reader, chosen)} than the path, more than the take-up can make up."
    if not fitting:
        return STOP, reason, _nearest_cure(reader, layout)
    return STOP, reason, f"Take {fitting[0]}. Within the take-up: {', '.join(fitting)}."


def _off(reader: Reader, belt: StockBelt) -> str:
    return f"{reader.tape(abs(belt.over))} {'longer' if belt.over > 0 else 'shorter'}"


def _drawn_off(layout: StageLayout, chosen: StockBelt) -> float | None:
    """Return how far the take-up stands, as drawn, from where the belt that is on wants it; None where unknown."""
    if np.isfinite(chosen.x):
        at, k = layout.places, layout.idler
        return float(np.hypot(chosen.x - at.x[k], chosen.y - at.y[k]))
    return abs(chosen.centres - layout.centres) if np.isfinite(chosen.centres) else None


def _nearest_cure(reader: Reader, layout: StageLayout) -> str:
    best = layout.stock[first_least([abs(s.over) for s in layout.stock])]
    if np.isfinite(best.centres):
        return f"{best.designation} needs centres of {reader.tape(best.centres)}."
    return (
        f"The nearest, {best.designation}, is {_off(reader, best)} than the path; move a "
        "pulley so that the path changes by that much, or give the take-up more travel."
    )


__all__ = ["DRAWN_OFF", "length_check"]
