"""The service factor: the build's own, the table's for its engine, load and hours, and one held against the other."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft import tables
from jackshaft.buildfile.naming import named
from jackshaft.chapters.capacity.data import Service
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.parts.motor import STARTS_BY, is_motor
from jackshaft.results.checks import CAUTION, GO, Check, reaches, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import HOUR, at_least

ID, NAME = "capacity.service-factor", "service factor"
LOAD, CYLINDERS, OWN = "work.load_class", "engine.cylinders", "work.service_factor"
PHASES = "engine.phases"

#: Hours a day, taken evenly over the year, from which the table wants more.
LONG_DAYS = ((16.0, "over 16 hours a day"), (10.0, "over 10 hours a day"))

#: Turns of the driven shaft for one of the driver from which the table wants more, the largest first.
SPEEDS_UP = (3.5, 2.5, 1.75, 1.25)

#: Columns of the table by the words of what drives, the gentle one first.
ROUGH = "single cylinder"
DRIVERS = {"smooth": "smooth engine or motor", ROUGH: "single-cylinder engine or single-phase motor"}


class TableFactor(NamedTuple):
    """The table's service factor: its ends, the words of what it is for, and its source."""

    low: float
    high: float
    words: str
    source: str

    def number(self, reader: Reader, words: str = "{low} to {high}") -> Number:
        """Return it as a number with its band."""
        likely = 0.5 * (self.low + self.high)
        return reader.number(likely, "number", words, low=self.low, high=self.high, source=self.source)


def _driver(reader: Reader) -> str | None:
    """Return the table's column for what drives the machine; None where its cylinders or phases are not known."""
    cylinders, phases = reader.get(CYLINDERS), reader.get(PHASES)
    if is_motor(reader):
        by = reader.get(STARTS_BY)
        many = phases != 1 if phases is not None else by == "three-phase"
        return None if phases is None and by is None else "smooth" if many else ROUGH
    return None if cylinders is None else ROUGH if cylinders == 1 else "smooth"


def _lacks(reader: Reader) -> str:
    """Return the key that would say how smoothly the machine is driven."""
    return PHASES if is_motor(reader) else CYLINDERS


def long_days(reader: Reader) -> tuple[float, str] | None:
    """Return what long days add to the factor, and in words; None where the hours are few or not known."""
    hours = reader.si("hours_a_year")
    name = next((words for most, words in LONG_DAYS if hours is not None and hours / HOUR / 365.0 > most), None)
    return None if name is None else (tables.table("service_additions").one(place=name)["add"], name)


def table_factor(reader: Reader, driver: str | None = None) -> TableFactor | None:
    """Return the table's factor for the build's load class, engine and hours; None where no load class is known.

    ``driver`` takes another column than the build's; what is not known of the engine counts as the rougher.
    """
    load = reader.get(LOAD)
    if load is None:
        return None
    known = driver or _driver(reader)
    driver = known or ROUGH
    row, more = tables.table("service_factors").one(load=load, driver=driver), long_days(reader)
    added, words = more or (0.0, "")
    assumed = "" if known else f" (assumed: its {_lacks(reader).partition('.')[2]} not known)"
    words = f"{load}, {DRIVERS[driver]}{assumed}" + (f", {words}" if words else "")
    return TableFactor(row["factor_low"] + added, row["factor_high"] + added, words, row.source)


def service_of(reader: Reader, layout: StageLayout, grip: StageGrip | None, ratio: float) -> Service | None:
    """Return the service factor: the build's own, else the table's, with what idlers and speeding up add.

    None where neither a factor nor a load class is known.
    """
    own, table, parts = reader.si(OWN), table_factor(reader), []
    if own is not None:
        low = high = own
        parts.append(("service factor of the build", reader.number(own, "number", f"{own:g}", known=reader.how(OWN))))
    elif table is not None:
        low, high = table.low, table.high
        parts.append((table.words, table.number(reader, f"{low:g} to {high:g}")))
        if _driver(reader) is None:
            reader.note_missing(_lacks(reader))
    else:
        reader.note_missing(OWN, LOAD)
        return None
    more = 0.0

    def add(words: str, place: str, **strand: str) -> float:
        row = tables.table("service_additions").one(place=place, **strand)
        parts.append((words, reader.number(row["add"], "number", f"+{row['add']:g}", source=row.source)))
        return row["add"]

    roles, p = grip.strand_role if grip is not None else None, layout.pulleys
    for i, name in enumerate(p.names):
        if i in p.powered or roles is None:
            continue
        place, strand = "inside" if p.inside[i] else "outside", "tight" if roles[i] > 0 else "slack"
        more += add(f"{named('idler', name)}, {place} in the {strand} strand", place, strand=strand)
    step = next((step for step in SPEEDS_UP if at_least(ratio, step)), None)
    if step is not None:
        more += add("the belt speeds the work up", f"speed increasing drive, from {step:g}")
    return Service(0.5 * (low + high) + more, high + more, tuple(parts))


def judge(draft: Draft, reader: Reader) -> None:
    """Hold the build's own service factor against the table's; nothing to say where the table's is taken."""
    own = reader.si(OWN)
    if own is None:
        return
    if reader.get(LOAD) is None:
        reader.note_missing(LOAD)
        words = "A service factor is given, but how rough the load is is not known yet, so no table can say whether "
        draft.checks.append(undecided(ID, NAME, (LOAD,), words + "it is enough."))
        return
    driver = _driver(reader)
    mild, rough = (table_factor(reader, name) for name in DRIVERS)
    here = mild if driver == "smooth" else rough
    if driver is None and reaches(own, mild.low) and not reaches(own, rough.low):
        words = "It is enough for an engine of several cylinders, and too little for one with a single cylinder."
        if is_motor(reader):
            words = "It is enough for a three-phase motor, and too little for a single-phase one."
        draft.missing(reader, ID, NAME, (_lacks(reader),), words, limit=rough.number(reader, "{low} or more"))
        return
    if driver is None and not reaches(own, mild.low):
        here = mild
    draft.checks.append(_verdict(reader, own, here, known=driver is not None))


def _verdict(reader: Reader, own: float, here: TableFactor, *, known: bool) -> Check:
    good = reaches(own, here.low)
    words = f"The table has {here.low:g} to {here.high:g} for {here.words}."
    if not known:
        what = _lacks(reader).partition(".")[2]
        words += f" The {what} of what drives it are not known; this holds for any number of them."
    if not good:
        words += " A belt that is sized with less wears out early."
    return Check(
        ID,
        NAME,
        reader.number(own, "number", known=reader.how(OWN)),
        reader.number(here.low, "number", "{} or more", source=here.source),
        GO if good else CAUTION,
        words,
        "" if good else "Design with the table's factor, unless the belt's maker gives a lower one for this machine.",
        here.source,
    )


__all__ = ["ID", "OWN", "TableFactor", "judge", "long_days", "service_of", "table_factor"]
