"""How fast a rim runs, whether its material may, and how well it must be balanced, in words."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft import tables
from jackshaft.buildfile.naming import named
from jackshaft.chapters.layout.checks import RIMS
from jackshaft.chapters.shafts.balance import PULLEY, balanced
from jackshaft.mechanics.balance import unbalance_allowed
from jackshaft.parts.belt_stage import Pulleys
from jackshaft.results.reader import Reader
from jackshaft.results.running import Results
from jackshaft.sheets.mounting import Mounting
from jackshaft.sheets.words import plain
from jackshaft.units import at_most, show

MM = 1e-3


def rim_words(results: Results, reader: Reader, on: Mounting, p: Pulleys, i: int, here: str) -> Iterator[str]:
    """Yield first what stops the rim, empty where nothing does; then its speed and its balance."""
    runs, material = on.runs, p.materials[i]
    if not runs.top:
        yield ""
        yield f"Rim speed and balance are not known: {', '.join(runs.misses) or 'how fast it runs'}."
        return
    speed = runs.top * float(p.outside[i])
    words = f"The rim runs at {reader.both(speed, 'surface speed')}" + ("" if runs.sure else " or faster")
    if material is None:
        yield ""
        yield f"{words}; what it may run at is not known: {plain(here)}.material."
    else:
        row = tables.table("rim_speeds").one(material=RIMS[material])
        limit = row["speed_m_per_s"]
        over = not at_most(speed, limit)
        yield f"STOP: the rim runs faster than {material} may." if over else ""
        yield f"{words}; {material} may run at {reader.both(limit, 'surface speed')} ({tables.printed_in(row.cite)})."
    yield _balance(results, reader, on, p, i, here)


def _balance(results: Results, reader: Reader, on: Mounting, p: Pulleys, i: int, here: str) -> str:
    """Return how well the pulley must be balanced, in grams at the rim; for each kilogram where it is not weighed."""
    name, across, top = named("pulley", p.names[i]), 2 * float(p.outside[i]), on.runs.top
    found = () if on.shaft is None else balanced(reader, results.chapters, on.shaft)
    mass = next((b.mass for b in found if b.name == name), reader.si(f"{here}.weight"))
    grade = f"Balance to grade G {PULLEY:g} (ISO 21940-11) at {reader.show(top, 'rotation')}"
    left = unbalance_allowed.si(mass or 1.0, speed=top, diameter=across, grade=PULLEY * MM)
    left = show(left, "mass", "metric")
    if not mass:
        return f"{grade}: {left} at the rim for each kilogram that it weighs."
    whole = reader.show(mass, "mass")
    return f"{grade}: {left} or less may be left on one side at the rim of the pulley, which weighs {whole}."


__all__ = ["rim_words"]
