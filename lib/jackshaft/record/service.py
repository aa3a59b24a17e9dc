"""The service card: what is looked at after how many hours, and when a part has lived its time."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from math import isfinite

from jackshaft import tables
from jackshaft.chapters.bearings.idlers import size_of, worked_out
from jackshaft.parts.idlers import idlers
from jackshaft.record.faults import has
from jackshaft.record.first_run import NOT_YET, Found
from jackshaft.results import Results
from jackshaft.units import HOUR

#: A rating life, s, past which the rolling surfaces are not what ends a bearing: from memory.
LONGEST = 100_000 * HOUR
#: Over its columns; the last three are filled in by hand.
HEADS = ("after", "look at", "wanted", "how known", "at hours", "date", "by")

Line = tuple[str, str, str, str]


def service(results: Results) -> list[Line]:
    """Return the lines of the service card, those that come most often first, then each part's life."""
    at = Found(results)
    rows = [row for row in tables.table("service").rows if _there(at, row["part"])]
    rows.sort(key=lambda row: row["hours_low"] or 0.0)
    lines = [(_after(at, row), row["item"], row["wanted"], row["known"]) for row in rows]
    if at.reader.has("slip_clutch"):
        look = "Slip clutch: springs slackened, let slip for 2 or 3 s, set back"
        lines.append(("each season", look, next(at.lets_go(), NOT_YET), "from memory"))
    return [*lines, *_lives(at)]


def _after(at: Found, row) -> str:
    """Return the hours of a row, and how often that is in a year of this build."""
    low, high = row["hours_low"], row["hours_high"]
    if low is None:
        return "each start"
    hours = f"{low:g} h" if low == high else f"{low:g} to {high:g} h"
    if row["item"].endswith("first looks"):
        return hours.replace(" to ", " and ")
    year = at.reader.si("hours_a_year")
    often = None if year is None else year / 3600.0 / low
    if often is None or often < 1.0:
        return f"every {hours}" + ("" if often is None else ", or each season")
    return f"every {hours}: about {'once' if often < 1.5 else f'{often:.0f} times'} a year"


def _lives(at: Found) -> Iterator[Line]:
    """Yield how long each bearing lasts by its rating life, those of the idlers last."""
    data = at.data("bearings")
    for name in at.reader.names("bearing"):
        life = None if data is None else data.lives.get(name)
        known = None if life is None or life.life is None else (life.life, life.life_bad)
        yield _life(f"Bearing {name}", known)
    for idler in idlers(at.reader, at.results.chapters):
        size = size_of(at.reader.get(f"{idler.at}.bearing") or "")
        turns = size is not None and None not in (idler.work, idler.speed, idler.hardest)
        found = worked_out(at.reader, idler, size, at.reader.get(f"{idler.at}.bearings") or 1) if turns else None
        yield _life(f"Bearing of idler {idler.name}", None if found is None else (found.life, found.life_bad))


def _life(what: str, known: tuple[float, float | None] | None) -> Line:
    """Return when a bearing is renewed, by its life in s, likely and at the bad end; None where that is not known."""
    lives = () if known is None else tuple(v for v in known if v is not None)
    if not lives or not isfinite(min(lives)):
        return NOT_YET, f"{what} renewed", "its load, size or speed is not known yet", ""
    if min(lives) >= LONGEST:
        words = "its grease and seals go first: look for play and noise"
        return f"past {_hours(LONGEST)} h of work", f"{what} renewed", words, "from memory"
    words = "a tenth of such bearings fail before; sooner with play or noise"
    return f"{_hours(min(lives))} h of work", f"{what} renewed", words, "this build"


def _hours(seconds: float) -> str:
    """Return hours to two figures, cut off."""
    hours = seconds / 3600.0
    step = 10.0 ** (len(str(int(hours))) - 2) if hours >= 100.0 else 1.0
    return f"{int(hours / step) * step:.0f}"


_ALSO: Mapping[str, Callable[[Found], bool]] = {
    "any": lambda at: True,
    "insert": lambda at: any(at.reader.get(f"bearing[{n}].relubricated") for n in at.reader.names("bearing")),
}


def _there(at: Found, part: str) -> bool:
    return _ALSO[part](at) if part in _ALSO else has(at, part)


__all__ = ["HEADS", "service"]
