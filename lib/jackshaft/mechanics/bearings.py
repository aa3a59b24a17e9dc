"""Load, life, speed and safety of ball bearings.

Radial deep-groove ball bearings by ISO 281 and ISO 76. Two generations of the
static rating are in print; each belongs with its own axial-load table, so the
rating carries its generation with it and a mixture is refused.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.units import RPM, SAME, OutOfRange, above_zero, unit_checked

UPPER_BOUND = (
    "Rating life counts fatigue in clean grease. Outdoors, dirt and water end a bearing sooner: "
    "take this life as an upper bound."
)


class StaticRating(NamedTuple):
    """Static load rating C0 with the generation it belongs to.

    Parameters
    ----------
    value : float
        C0, N.
    generation : str
        "modern" (ISO 76 of 1987 and after, goes with f0) or "older" (goes with the table without f0).
    f0 : float or None
        Factor f0 of the bearing; needed with "modern", refused with "older".
    """

    value: float
    generation: str
    f0: float | None = None


class Ratings(NamedTuple):
    """Ratings of one bearing as tabulated, with how far sources disagree.

    Parameters
    ----------
    dynamic : float
        C to design with, the lowest of the sources, N.
    static : StaticRating
        C0 of the modern generation.
    static_older : tuple of float
        C0 of the older generation where standard or textbook give one, N; never for the table with f0.
    lowest, highest : float
        Range of C over catalogues, N.
    speed_open, speed_closed : float or None
        Speed limits with grease by the standard, rad/s.
    words : str
        Where the figures come from and what to prefer.
    cite : str
        Source, locator and how known.
    """

    dynamic: float
    static: StaticRating
    static_older: tuple
    lowest: float
    highest: float
    speed_open: float | None
    speed_closed: float | None
    words: str
    cite: str


class EquivalentLoad(NamedTuple):
    """The steady radial load that tires the bearing as much as radial and axial load together.

    Parameters
    ----------
    load : float or ndarray
        P, N; never below the radial load.
    e, y : float or ndarray
        Limit of Fa/Fr and axial factor read from the table.
    axial_counts : bool or ndarray
        True where the axial load makes a difference.
    beyond_table : bool or ndarray
        True where the axial load lies outside the table and its end value was held.
    """

    load: float
    e: float
    y: float
    axial_counts: bool
    beyond_table: bool


class Life(NamedTuple):
    """Basic rating life: 90 of 100 bearings last longer.

    Parameters
    ----------
    hours : float or ndarray
        L10h, h.
    revolutions : float or ndarray
        L10, revolutions.
    load_ratio : float or ndarray
        C over P.
    in_range : bool or ndarray
        False where P is above half of C: ask the maker.
    skids : bool or ndarray
        True where P is below the least load and the balls skid instead of rolling.
    note : str
        What the figure leaves out.
    """

    hours: float
    revolutions: float
    load_ratio: float
    in_range: bool
    skids: bool
    note: str


@unit_checked(
    returns={
        "dynamic": "force",
        "static": {"value": "force"},
        "static_older": "force",
        "lowest": "force",
        "highest": "force",
        "speed_open": "rotation",
        "speed_closed": "rotation",
    }
)
def ratings(designation) -> Ratings:
    """Ratings of a listed bearing, for design before the maker is known.

    Parameters
    ----------
    designation : str
        As listed; an inch bore in a metric body ("6203-10") takes those of the body; an insert ("UC206") has its own.

    Returns
    -------
    Ratings
        Dynamic and static rating, range over sources, speed limits.

    Raises
    ------
    ValueError
        If no rating is tabulated.

    Source
    ------
    Tables bearing_ratings: lowest of standard, textbook and catalogue median; insert_bearings.
    """
    rows = {r["designation"]: r for r in tables.table("bearing_ratings")}
    name = designation.split()[0]
    body = name.rsplit("-", 1)[0] if "-" in name else name
    if body.startswith("UC2"):
        return _insert_ratings(designation, "6" + body[2:])
    row = rows.get(name) or rows.get(body)
    if row is None:
        raise OutOfRange(
            f"no rating of {designation!r} is tabulated; take C and C0 from the maker, or those of a "
            "metric size with the same outside diameter as a first guess"
        )
    words = "This is the lowest of the sources. Once the part is known, use its maker's figure."
    if body != name:
        words = f"Taken from {body}, which has the same balls (common practice). " + words
    return Ratings(
        dynamic=row["c_n"],
        static=StaticRating(row["c0_n"], "modern", row["f0"]),
        static_older=tuple(v for v in (row["standard_c0_n"], row["textbook_c0_n"]) if v),
        lowest=row["catalogue_c_min_n"] or row["c_n"],
        highest=row["catalogue_c_max_n"] or row["c_n"],
        speed_open=(row["speed_open_rpm"] or np.nan) * RPM,
        speed_closed=(row["speed_capped_rpm"] or np.nan) * RPM,
        words=words,
        cite=row.cite,
    )


def _insert_ratings(designation, body):
    """Ratings of an insert from its own list; range, f0 and speeds are those of the body with the same balls."""
    found = ratings.si(body)
    rows = tables.table("insert_bearings").where(size_code=float(body[1:])).rows
    if not rows:
        raise OutOfRange(f"no rating of the insert {designation!r} is tabulated; take C and C0 from the maker")
    own = rows[0]
    return found._replace(
        dynamic=min(own["c_n"], found.dynamic),
        static=StaticRating(min(own["c0_n"], found.static.value), "modern", found.static.f0),
        lowest=min(own["c_n"], found.lowest),
        words=f"It has the same balls as {body}; the lower of their two lists counts. "
        "Once the part is known, use its maker's figure.",
        cite=f"{own.cite}; {found.cite}",
    )


@unit_checked(radial="force", axial="force", static={"value": "force"}, ring_factor="number", returns={"load": "force"})
def equivalent_load(radial, axial=0.0, *, static, ring_factor=1.0) -> EquivalentLoad:
    """Equivalent dynamic load of a single-row deep-groove ball bearing.

    Parameters
    ----------
    radial, axial : float or ndarray
        Loads, N; sizes count, not signs.
    static : StaticRating
        C0 with its generation.
    ring_factor : float
        V on the radial load: 1, or 1.2 in older texts for a turning outer ring; ISO 281 has none.

    Returns
    -------
    EquivalentLoad
        P with the table values it rests on.

    Raises
    ------
    ValueError
        If C0 and the table are of different generations, f0 is missing, or C0 is not positive.

    Source
    ------
    gost18855, table 3, with f0; the older form shigley, table 11-1.
    """
    if static.value <= 0:
        raise OutOfRange("the static rating C0 must be positive; look up the bearing first")
    fr, fa = np.abs(np.asarray(radial, float)), np.abs(np.asarray(axial, float))
    if static.generation == "modern":
        if static.f0 is None:
            raise OutOfRange(
                "a modern C0 needs the bearing's f0; take it from the table or the maker, not the older "
                "table without f0"
            )
        if ring_factor != 1.0:
            raise OutOfRange("ISO 281 has no factor for the turning ring; use 1 with a modern C0")
        x, table = static.f0 * fa / static.value, "bearing_axial_factors"
    elif static.generation == "older":
        if static.f0 is not None:
            raise OutOfRange("an older C0 has no f0: the two tables must not be mixed; leave f0 out or use a modern C0")
        x, table = fa / static.value, "bearing_axial_factors_older"
    else:
        raise OutOfRange(f"generation {static.generation!r} is not known; choose modern or older")
    rows = tables.table(table)
    steps = rows.column("f0_fa_over_c0" if static.f0 else "fa_over_c0")
    e, y = np.interp(x, steps, rows.column("e")), np.interp(x, steps, rows.column("y"))
    counts = fa > e * fr * ring_factor
    both = np.where(counts, rows.column("x")[0] * ring_factor * fr + y * fa, ring_factor * fr)
    # Below the table's first row the axial load is too small to matter: only the upper end is a limit.
    return EquivalentLoad(np.maximum(both, ring_factor * fr)[()], e[()], y[()], counts[()], (x > steps[-1])[()])


@unit_checked(dynamic="force", load="force", speed="rotation", shock="number", returns={"hours": ("time", "hour")})
def life(dynamic, load, speed, *, shock=1.0) -> Life:
    """Basic rating life L10 in revolutions and as running time.

    Parameters
    ----------
    dynamic : float or ndarray
        Dynamic rating C, N.
    load : float or ndarray
        Equivalent load P without shock, N.
    speed : float or ndarray
        rad/s.
    shock : float or ndarray
        Factor on the load for knocks and vibration, 1 or more.

    Returns
    -------
    Life
        Endless where there is no load or no turning, which the flags then say.

    Raises
    ------
    ValueError
        If C is not positive or the shock factor is below 1.

    Source
    ------
    gost18855, clause 5.3, with its limit of half C; shock on the load: common practice, no source.
    """
    c, p, w, k = (np.asarray(a, float) for a in (dynamic, load, speed, shock))
    if np.any(c <= 0):
        raise OutOfRange("the dynamic rating C must be positive; look up the bearing first")
    if np.any(k < 1):
        raise OutOfRange("a shock factor is 1 or more")
    p, w = np.abs(p) * k, np.abs(w)
    facts = tables.table("bearing_facts")
    least = facts.one(item="load over C, least against skidding")["low"]
    most = facts.one(item="load over C, formula valid to")["high"]
    with np.errstate(divide="ignore"):
        ratio = c / p
        turns = 1e6 * ratio**3
        seconds = np.where(w > 0, turns / np.where(w > 0, w / (2 * np.pi), 1.0), np.inf)
    inside, under = p <= most * c * (1.0 + SAME), p < least * c * (1.0 - SAME)
    return Life(
        hours=seconds[()] / 3600.0,
        revolutions=turns[()],
        load_ratio=ratio[()],
        in_range=inside[()],
        skids=under[()],
        note=UPPER_BOUND,
    )


@unit_checked(
    load="force",
    speed="rotation",
    wanted="time",
    shock="number",
    a1="number",
    a_iso="number",
    returns="force",
)
def needed_rating(load, speed, wanted, *, shock=1.0, a1=1.0, a_iso=1.0):
    """Dynamic rating C that lasts a wanted time.

    Parameters
    ----------
    load, speed : float or ndarray
        Equivalent load, N, and speed, rad/s.
    wanted : float or ndarray
        Running time, s.
    shock, a1, a_iso : float or ndarray
        Shock factor on the load; reliability and lubrication factors on the life.

    Returns
    -------
    float or ndarray
        C, N.

    Raises
    ------
    ValueError
        If a life factor is not positive.

    Source
    ------
    gost18855, clause 5.3 and equation 23, solved for C.
    """
    above_zero(life_factor_a1=a1, life_factor_a_iso=a_iso)
    turns = np.asarray(wanted, float) * np.abs(speed) / (2 * np.pi)
    return (np.abs(load) * shock * np.cbrt(turns / 1e6 / (a1 * a_iso)))[()]
