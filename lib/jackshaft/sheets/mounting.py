"""What a pulley sits on, or an idler turns on: its bore with limits, and how fast it runs."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft import tables
from jackshaft.chapters.bearings.idlers import size_of
from jackshaft.chapters.bearings.life import likely_shock
from jackshaft.chapters.bearings.rating import tabulated
from jackshaft.chapters.bearings.seats import NORMAL_RATIO
from jackshaft.chapters.shafts.turning import turning_of
from jackshaft.mechanics import fits, seats
from jackshaft.parts.belt_stage import Pulleys
from jackshaft.parts.idlers import Idler, idlers
from jackshaft.results.reader import Reader
from jackshaft.results.running import Results
from jackshaft.sheets.bore import Bore, bore_of
from jackshaft.units import OutOfRange


class Runs(NamedTuple):
    """How fast a pulley runs at the most, rad/s, None where it is not known; ``sure``: it runs no faster.

    ``misses`` names the keys without which it is not known.
    """

    top: float | None
    sure: bool
    misses: tuple[str, ...]


class Mounting(NamedTuple):
    """What a pulley sits on: its ``shaft``, None for an idler, its bore, and how fast it runs.

    ``lacks`` says in a sentence why there is no bore. Of an idler ``pin`` holds the limits of what it turns on, and
    ``wide`` the width of its bearings side by side, m.
    """

    shaft: str | None
    runs: Runs
    bore: Bore | None = None
    lacks: str = ""
    pin: fits.Limits | None = None
    wide: float | None = None


def mounting_of(results: Results, reader: Reader, stage: str, p: Pulleys, i: int) -> Mounting:
    """Return what a pulley of a stage sits or turns on."""
    if i not in p.powered:
        return _idler(results, reader, stage, p.names[i])
    shaft = reader.get(f"stage[{stage}].from") if i == p.driver else p.shafts[i]
    if shaft is None:
        return Mounting(None, Runs(None, False, ()), lacks="Its shaft is not known.")
    turning = turning_of(reader, results.chapters, shaft)
    top = turning.full if turning.top is None else turning.top
    misses = turning.misses or (f"the speed of {shaft}",)
    bore, lacks = bore_of(reader, shaft, stage, drives=i == p.driver)
    return Mounting(shaft, Runs(top, turning.top is not None, misses), bore, lacks)


def _idler(results: Results, reader: Reader, stage: str, name: str) -> Mounting:
    at = f"stage[{stage}].pulley[{name}]"
    idler = next((i for i in idlers(reader, results.chapters) if (i.stage, i.name) == (stage, name)), None)
    runs = _runs(idler)
    number, count = reader.get(f"{at}.bearing"), reader.get(f"{at}.bearings") or 1
    if number is None:
        return Mounting(None, runs, lacks=f"What turns in it is not known: {at}.bearing.")
    size = size_of(number)
    if size is None:
        return Mounting(None, runs, lacks=f"Its bearing {number} is in no list here: take the bore from its maker.")
    try:
        advice = seats.choose.si("outer", _ratio(reader, idler, size, count), size.bore)
        hole, pin = fits.limits.si(size.od, advice.housing_class), fits.limits.si(size.bore, advice.shaft_class)
    except OutOfRange as wrong:
        return Mounting(None, runs, lacks=f"No seat is tabulated for {size.designation}: {wrong}.")
    words = f"{advice.housing_class}: its outer ring turns and must be tight ({tables.printed_in(hole.cite)})"
    bore = Bore(
        size=size.od,
        limits=hole,
        whose=f"{words}; for bearing {size.designation}",
        keys=(f"{at}.bearing",),
    )
    return Mounting(None, runs, bore, pin=pin, wide=count * size.width)


def _runs(idler: Idler | None) -> Runs:
    if idler is None:
        return Runs(None, False, ())
    return Runs(idler.speed if idler.top is None else idler.top, idler.top is not None, idler.missing)


def _ratio(reader: Reader, idler: Idler | None, size, count: int) -> float:
    """Return load over rating of one bearing; that of a normal load where either is not known."""
    rating = tabulated(size)
    if rating is None or idler is None or idler.work is None:
        return NORMAL_RATIO
    return likely_shock(reader) * idler.work / count / rating.dynamic


__all__ = ["Mounting", "Runs", "mounting_of"]
