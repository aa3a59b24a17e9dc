"""What every sheet says: cautions, and which of its figures are estimates."""

from __future__ import annotations

from jackshaft.buildfile import Build
from jackshaft.buildfile.schema import USUAL_OFF
from jackshaft.results.checks import UNDECIDED
from jackshaft.results.running import Results
from jackshaft.tables import Row
from jackshaft.units import INCH

CARE = (
    "Do not cut metal from figures marked estimate or from memory.",
    "Local codes, the part maker's data and licensed practice go before this sheet.",
)
#: How a figure is known that nobody has measured or looked up.
UNSURE = tuple(USUAL_OFF)


def plain(text: object) -> str:
    """Return a text on one line, without letters that steer a printer or a drawing program."""
    return " ".join("".join(c if c.isprintable() else " " for c in str(text)).split())


def unsure(build: Build, below: str, more: tuple[str, ...]) -> tuple[str, ...]:
    """Return a sentence for each length below a key, and of ``more``, that is an estimate."""
    keys = [
        k
        for k, v in build.values.items()
        if getattr(v, "kind", "") == "length" and (k.startswith(f"{below}.") or k in more)
    ]
    return tuple(f"ESTIMATE: {plain(k)} is {build.values[k].known}." for k in keys if build.values[k].known in UNSURE)


def stops(results: Results) -> tuple[str, ...]:
    """Return what the checks hold against the sheet: the stops that nobody has accepted, how many are not decided."""
    names = "; ".join(plain(c.name) for c in results.stops)
    found = [f"STOP. Make nothing from this sheet before these are mended: {names}."] if names else []
    open_yet = sum(c.verdict == UNDECIDED for c in results.checks)
    if open_yet:
        found.append(f"Checks of this build that are not decided yet: {open_yet}. The record says what is missing.")
    return tuple(found)


def by_memory(row: Row | None, what: str) -> tuple[str, ...]:
    """Return a sentence where a row of a table was not read in its source."""
    if row is None or row["known"] == "read":
        return ()
    return (f"ESTIMATE: the sizes of {what} are not read from a source ({row['known']}).",)


def both(si: float) -> str:
    """Return a length in both systems, mm to a thousandth, so that an inch size is whole."""
    return f"{round(si * 1e3, 3) + 0.0:.3f} mm ({round(si / INCH, 4) + 0.0:.4f} in)"
