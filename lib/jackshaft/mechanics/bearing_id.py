"""Which bearing is this? Ranked sizes from a measured bore, outside diameter and width.

Each dimension of each listed size is compared with the reading. How far a
reading may lie off the size is not the same on both sides: the new ring is
made a little under size, inside jaws of calipers read a bore small, a ring that
has spun on its seat reads a bore large, a fretted outside reads small. Each of
these is an allowance on its own side, so the score stays honest for a worn ring.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from jackshaft.units import INCH, OutOfRange, unit_checked

DIMENSIONS = ("bore", "od", "width")
NAMES = {"bore": "bore", "od": "outside diameter", "width": "width"}


class Instrument(NamedTuple):
    """A measuring tool: limit of its error as the shop holds it, how much more a bore can read small with it (m)."""

    plus_minus: float
    reads_small: float = 0.0


# Limits as shops hold them: calipers to two thou, a micrometer to two tenths. Common practice, no source.
INSTRUMENTS = {
    "calipers": Instrument(0.002 * INCH, 0.05e-3),
    "micrometer": Instrument(0.0002 * INCH),
    "bore gauge": Instrument(0.0003 * INCH),
    "telescoping gauge": Instrument(0.001 * INCH),
    "steel rule": Instrument(INCH / 64, 0.2e-3),
    "tape": Instrument(INCH / 32, 0.4e-3),
}

#: No reading in a shop is nearer than this, m, whatever it is said to be. Common practice, no source.
FINEST = 1e-6

# Wear seen on salvaged rings, m: (below the size, above the size). Common practice, no source.
WEAR = {"bore": (0.0, 0.10e-3), "od": (0.10e-3, 0.0), "width": (0.18e-3, 0.0)}
WORN_SHARE = 0.2  # of salvaged rings on each dimension; a guess, common practice gives none
# A new ring of Normal class is made under size, iso492: the largest values up to 80 mm bore.
MADE_SMALL = {"bore": 0.015e-3, "od": 0.018e-3, "width": 0.15e-3}
# A turning shaft seat against the bore it belongs to: worn or slack below, press fit above.
SEAT = (0.12e-3, 0.03e-3)
# Odds before anything is measured. Common practice, no source: plain metric series are met most.
ODDS = {"metric": 1.0, "inch": 1.0, "inch bore, listed": 0.5, "inch bore, not listed": 0.05, "wide": 0.5}
# A size that no table here holds: spread evenly over this range of every dimension.
UNLISTED_ODDS, UNLISTED_RANGE = 0.02, 10e-3
#: Two lengths nearer than this are one, m.
LEVEL = 1e-9
DECIDED = 0.95


class Reading(NamedTuple):
    """A measured dimension: what was read (m), with which of `INSTRUMENTS`, and the limit of the reading (m)."""

    value: float
    instrument: str
    plus_minus: float


#: Kinds of its fields.
READING = {"value": "length", "plus_minus": "length"}


class Miss(NamedTuple):
    """How far one reading is from one size: reading minus size, the allowance on either side (m), is it within."""

    dimension: str
    off: float
    allowed_below: float
    allowed_above: float
    within: bool


class Candidate(NamedTuple):
    """A size that the readings could mean.

    Parameters
    ----------
    size : Size
        The bearing, with `designation`, `bore`, `od`, `width`, `kind`.
    score : float
        Share of the likelihood of all sizes, 0 to 1; a size not in the tables holds the rest.
    misses : tuple of Miss
        One for each dimension that was measured.
    fits : bool
        True if every reading is within its allowance.
    seat_gap : float or None
        Bore minus shaft, m, where the shaft was measured; positive is loose.
    """

    size: Any
    score: float
    misses: tuple
    fits: bool
    seat_gap: float | None


class NextMeasurement(NamedTuple):
    """The measurement that would decide between the first two sizes.

    Parameters
    ----------
    dimension : str
        What to measure.
    instrument : str
        With what; "look" where no instrument can tell the two apart.
    meanings : tuple of (str, float, float)
        Size, and the lowest and highest value that would mean it, m.
    words : str
        The same as a sentence without numbers.
    """

    dimension: str
    instrument: str
    meanings: tuple
    words: str


class Identification(NamedTuple):
    """What the readings show.

    Parameters
    ----------
    candidates : tuple of Candidate
        Best first; where nothing matches, the nearest sizes.
    matched : bool
        False if no size lies within the allowances.
    decided : bool
        True if the readings alone single out one size.
    unlisted : float
        Share of the likelihood that the size is in no table here.
    next : NextMeasurement or None
        What would decide, or confirm where it is decided; None where nothing matches.
    redo : str or None
        The dimension to measure again, where nothing matches.
    notes : tuple of str
        What else to look at.
    """

    candidates: tuple
    matched: bool
    decided: bool
    unlisted: float
    next: NextMeasurement | None
    redo: str | None
    notes: tuple


#: Kinds of what a candidate holds.
CANDIDATE = {
    "size": dict.fromkeys(("bore", "od", "width"), "length"),
    "misses": dict.fromkeys(("off", "allowed_below", "allowed_above"), "length"),
    "seat_gap": "length",
}


@unit_checked(value="length", plus_minus="length", returns=READING)
def reading(value, instrument="calipers", plus_minus=None) -> Reading:
    """Make a reading with its limit.

    Parameters
    ----------
    value : float
        What was read, m.
    instrument : str
        Key of `INSTRUMENTS`.
    plus_minus : float or None
        Own limit of the reading, m, taken as :data:`FINEST` where it is less; None takes the instrument's.

    Returns
    -------
    Reading
        The reading.

    Raises
    ------
    ValueError
        An instrument that is not listed, or a value that is no length.

    Source
    ------
    Limits of the instruments: common practice, no source.
    """
    if instrument not in INSTRUMENTS:
        raise OutOfRange(f"instrument {instrument!r} is not known; choose {', '.join(INSTRUMENTS)}")
    if not (np.isfinite(value) and value > 0):
        raise OutOfRange(f"a bearing cannot measure {value!r} m; measure again")
    off = INSTRUMENTS[instrument].plus_minus if plus_minus is None else max(plus_minus, FINEST)
    return Reading(float(value), instrument, off)


@unit_checked(
    bore=READING,
    od=READING,
    width=READING,
    shaft=READING,
    returns={"candidates": CANDIDATE, "next": {"meanings": "length"}},
)
def identify(sizes, bore=None, od=None, width=None, *, shaft=None, capped=None, count=6) -> Identification:
    """Rank the sizes that the readings could mean.

    Parameters
    ----------
    sizes : sequence of Size
        The bearings that can be had, from the catalogue of sizes.
    bore, od, width : Reading or None
        What was measured on the ring; at least one.
    shaft : Reading or None
        The shaft under the bearing: supports a bore, never decides it, since a ring that spun wears both.
    capped : bool or None
        True with shields or seals, False without, None if not looked at.
    count : int
        How many candidates to give.

    Returns
    -------
    Identification
        Ranked candidates and the measurement that decides.

    Raises
    ------
    ValueError
        If nothing was measured, or the bore is not smaller than the outside.

    Source
    ------
    Likelihood of each reading: own method; allowances: iso492 (bounds to 80 mm bore), wear from common
    practice, no source.
    """
    given = {name: r for name, r in zip(DIMENSIONS, (bore, od, width), strict=True) if r is not None}
    if not given:
        raise OutOfRange("measure at least one of bore, outside diameter and width")
    if bore and od and bore.value >= od.value:
        raise OutOfRange("the bore must be smaller than the outside diameter; the two may be swapped")
    grid = np.array([[s.bore, s.od, s.width] for s in sizes])
    keep = np.array([capped is None or s.capped is None or s.capped == capped for s in sizes])
    below, above = _allowances(given)
    off = np.array([given[n].value - grid[:, DIMENSIONS.index(n)] for n in given]).T
    within = (off >= -below - LEVEL) & (off <= above + LEVEL)
    fits = within.all(axis=1) & keep
    likely = np.where(keep, np.log([ODDS[s.kind] for s in sizes]) + _log_likelihood(off, given).sum(axis=1), -np.inf)
    weight = likely if shaft is None else likely + _support(shaft, grid[:, 0])
    floor = np.log(UNLISTED_ODDS) - len(given) * np.log(UNLISTED_RANGE)
    scores, unlisted = _shares(weight, floor)

    def candidate(i):
        numbers = zip(given, off[i], below, above, strict=True)
        misses = (
            Miss(n, float(o), float(lo), float(hi), bool(ok))
            for (n, o, lo, hi), ok in zip(numbers, within[i], strict=True)
        )
        gap = None if shaft is None else float(grid[i, 0] - shaft.value)
        return Candidate(sizes[i], float(scores[i]), tuple(misses), bool(fits[i]), gap)

    order = _ranked(off, weight, fits, keep)[:count]
    out = tuple(candidate(i) for i in order)
    matched = bool(fits.any())
    rivals = [c for c in out if c.fits]
    # The shaft does not count here: only what was read on the ring can decide.
    decided = matched and float(_shares(likely, floor)[0][order[0]]) >= DECIDED
    return Identification(
        candidates=out,
        matched=matched,
        decided=decided,
        unlisted=unlisted,
        next=_next(rivals[:1] if decided else rivals, given) if matched else None,
        redo=None if matched else _redo(list(given), off, below, above, keep),
        notes=_notes(given, out, matched),
    )


def _support(shaft, bores):
    """How well each bore goes with the shaft under it; a shaft can be of another machine, so its say is capped."""
    gap, (below, above) = shaft.value - bores, np.array(SEAT) + shaft.plus_minus
    support = _log_density(gap, below, above)
    return np.maximum(support - support.max(), np.log(0.02))


def _shares(weight, floor):
    """Share of the likelihood of each size, and of the sizes that no table here holds."""
    total = np.logaddexp.reduce(np.append(weight, floor))
    return np.exp(weight - total), float(np.exp(floor - total))


def _ranked(off, weight, fits, keep):
    """Indices of the sizes, best first: those that fit by their likelihood, then the others by their misses."""
    # One wild reading must not hide the size that the others agree on, so each miss is capped.
    miss = np.minimum(np.abs(off), 3e-3).sum(axis=1) + 0.05 * np.abs(off).sum(axis=1)
    # Sizes as far off on either side stay in the table's order, not in that of a last bit.
    rank = np.where(fits, -np.round(weight, 6), np.round(miss / LEVEL))
    return sorted(np.flatnonzero(keep), key=lambda i: (not fits[i], rank[i]))


def _allowances(given, wear=1.0):
    """How far below and above the size each reading may lie."""
    below, above = [], []
    for name, r in given.items():
        small = INSTRUMENTS[r.instrument].reads_small if name == "bore" else 0.0
        below.append(r.plus_minus + small + MADE_SMALL[name] + wear * WEAR[name][0])
        above.append(r.plus_minus + wear * WEAR[name][1])
    return np.array(below), np.array(above)


def _log_likelihood(off, given):
    """Most rings are as made; the worn ones are spread over the allowance for wear."""
    made = _log_density(off, *_allowances(given, wear=0.0)) + np.log(1 - WORN_SHARE)
    return np.logaddexp(made, _log_density(off, *_allowances(given)) + np.log(WORN_SHARE))


def _log_density(off, below, above):
    """Logarithm of a bell curve whose two halves differ; the allowance is two standard deviations."""
    low, high = np.asarray(below) / 2, np.asarray(above) / 2
    spread = np.where(off < 0, low, high)
    return -0.5 * (off / spread) ** 2 - np.log(np.sqrt(np.pi / 2) * (low + high))


def _next(rivals, given):
    """The easiest measurement whose outcomes for the first two sizes cannot overlap."""
    if len(rivals) < 2:
        name = next((n for n in DIMENSIONS if n not in given), "bore")
        tool = "bore gauge" if name == "bore" else "calipers"
        only = rivals[0].size
        return NextMeasurement(
            name,
            tool,
            ((only.designation, *_span(only, name, tool)),),
            f"The size is settled. The {NAMES[name]}, measured with {_article(tool)}, shows how worn the ring is.",
        )
    a, b = rivals[0].size, rivals[1].size
    found = []
    for name in DIMENSIONS:
        gap = abs(getattr(a, name) - getattr(b, name))
        tools = ("calipers", "telescoping gauge", "bore gauge") if name == "bore" else ("calipers", "micrometer")
        for rank, tool in enumerate(tools):
            spread = {s.designation: _span(s, name, tool) for s in (a, b)}
            low, high = sorted(spread.values())
            if gap and high[0] - low[1] > gap / 4:
                found.append(((rank, -gap), name, tool, tuple((k, *v) for k, v in spread.items())))
    if found:
        _, name, tool, meanings = min(found, key=lambda option: option[0])
        again = "again " if name in given else ""
        return NextMeasurement(
            name,
            tool,
            meanings,
            f"Measure the {NAMES[name]} {again}with {_article(tool)}. A value between the two means a worn ring.",
        )
    return NextMeasurement(
        "marking",
        "look",
        (),
        "The two have the same dimensions. Look at the rolling elements, the "
        "number of rows, the inner ring and the marking.",
    )


def _article(tool):
    return tool if tool == "calipers" else f"a {tool}"


def _span(size, name, tool):
    """Lowest and highest value an unworn ring of this size reads with a tool."""
    t = INSTRUMENTS[tool]
    small = t.reads_small if name == "bore" else 0.0
    return getattr(size, name) - t.plus_minus - small - MADE_SMALL[name], getattr(size, name) + t.plus_minus


def _redo(names, off, below, above, keep):
    """The reading that stands alone against the others: without it some size matches best."""
    z = np.where(off < 0, off / below, off / above) ** 2
    z[~keep] = np.inf
    if len(names) < 2:
        return names[0]
    return names[int(np.argmin([np.min(np.delete(z, k, axis=1).sum(axis=1)) for k in range(len(names))]))]


def _notes(given: dict, out: Sequence[Candidate], matched: bool):
    notes = []
    if "od" in given and not matched:
        notes.append("An outside diameter taken over a retaining ring reads too large: measure on the bearing ring.")
    if "bore" in given and given["bore"].instrument == "calipers":
        notes.append("Inside jaws read a bore small: take the largest of three readings.")
    if out and out[0].size.kind == "wide":
        notes.append("The width is that of the inner ring, which is the wider of the two here.")
    if any(c.size.kind.startswith("inch bore") for c in out[:2]):
        notes.append("An inch bore in a metric body is common on idlers and mower spindles.")
    notes.append(
        "A number on the ring counts for more than any measurement. The same size is also made with rollers or with "
        "angular contact."
    )
    return tuple(notes)
