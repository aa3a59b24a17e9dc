"""The service card: what is looked at after how many hours, and when a part has lived its time."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from math import isfinite

from jackshaft import tables
from jackshaft.record.faults import has
from jackshaft.record.first_run import NOT_YET, Found
from jackshaft.results import Results

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
    """Yield how long each bearing lasts by its rating life."""
    data = at.data("bearings")
    for name in at.reader.names("bearing"):
        life = None if data is None else data.lives.get(name)
        if life is None or life.life is None or not isfinite(life.life):
            yield NOT_YET, f"Bearing {name} renewed", "its load, size or speed is not known yet", ""
            continue
        bad = life.life if life.life_bad is None else life.life_bad
        hours = f"{_hours(min(bad, life.life))} h of work"
        yield (
            hours,
            f"Bearing {name} renewed",
            "a tenth of such bearings fail before; sooner with play or noise",
            "this build",
        )


def _hours(seconds: float) -> str:
    """Return hours to two figures, cut off."""
    hours = seconds / 3600.0
    step = 10.0 ** (len(str(int(hours))) - 2) if hours >= 100.0 else 1.0
    return f"{int(hours / step) * step:,.0f}"


_ALSO: Mapping[str, Callable[[Found], bool]] = {
    "any": lambda at: True,
    "insert": lambda at: any(at.reader.get(f"bearing[{n}].relubricated") for n in at.reader.names("bearing")),
}


def _there(at: Found, part: str) -> bool:
    return _ALSO[part](at) if part in _ALSO else has(at, part)


__all__ = ["HEADS", "service"]
