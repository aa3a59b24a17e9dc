"""Fuses: when one opens, and which rating carries the load and protects the wire.

Currents in A, times in s. A fuse protects the wire behind it, not the coil.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from jackshaft.tables import table
from jackshaft.units import OutOfRange, above_zero, unit_checked

#: Time allowed for the arc once the link has melted (s): from memory.
ARC_SECONDS = 0.003


class FuseTime(NamedTuple):
    """How long a fuse may take: overload multiple, shortest and longest time (s), and how sure.

    ``longest`` reads the band between its gates and is the likely worst; ``surely`` is the time of the
    last gate that is passed, which no fuse to the standard exceeds: the bad end. ``inside`` is False
    outside the band's gates.
    """

    multiple: Any
    shortest: Any
    longest: Any
    surely: Any
    inside: Any


class FuseChoice(NamedTuple):
    """The window for a fuse (A) and the listed rating in it; ``rating`` is None where nothing fits."""

    least: float
    usual_least: float
    most: float
    rating: float | None
    reason: str


class FuseCheck(NamedTuple):
    """A fitted fuse: load as a share of it, does it hold the load, does it protect the wire, why."""

    load_share: float
    holds_load: bool
    holds_usually: bool
    protects_wire: bool
    boat_limit: float
    reason: str


class Gates(NamedTuple):
    """Acceptance gates of one family of fuses: multiples of the rating, times (s), 0 and inf where open."""

    multiple: np.ndarray
    shortest: np.ndarray
    longest: np.ndarray


def fuse_gates_si(style: str = "blade") -> Gates:
    """Time gates of one family of fuses from the table.

    Parameters
    ----------
    style : str
        Family in the table: "blade", "large blade", "glass cartridge".

    Returns
    -------
    Gates
        Multiples of the rating, shortest (s, 0 where none is set) and longest times (s, ``inf``).

    Raises
    ------
    ValueError
        A family that is not in the table.

    Source
    ------
    Table fuse_windows.
    """
    rows = table("fuse_windows").where(style=style).rows
    if not rows:
        raise OutOfRange(f"no fuse family called {style!r} in the table")
    rows = sorted(rows, key=lambda r: r["load_percent"])
    return Gates(
        np.array([r["load_percent"] / 100.0 for r in rows]),
        np.array([r["time_min_s"] or 0.0 for r in rows]),
        np.array([np.inf if r["time_max_s"] is None else r["time_max_s"] for r in rows]),
    )


def fuse_time_si(current: Any, *, rating: Any, gates: Gates) -> FuseTime:
    """Time window in which a fuse opens at a current, from its acceptance gates.

    Parameters
    ----------
    current : float or array
        Current through the fuse (A).
    rating : float or array
        Rating of the fuse (A).
    gates : Gates
        Gates of its family, rising in multiple.

    Returns
    -------
    FuseTime
        Shortest and longest opening time (s); ``inf`` where the fuse need never open. Above the last
        gate the longest times fall by the same I²t, to 3 ms at least, with ``inside`` False.

    Raises
    ------
    ValueError
        A rating of zero or below.

    Source
    ------
    Gates: the fuse table. Straight lines between them on log scales, constant I²t above
    them and 3 ms for the arc: common practice, no source.
    """
    current, rating = np.asarray(current, float), np.asarray(rating, float)
    above_zero(fuse_rating=rating)
    m = np.abs(current) / rating
    x = np.log(np.maximum(m, 1e-9))
    knots = np.log(gates.multiple)
    sure_open = np.isfinite(gates.longest)
    last = np.searchsorted(gates.multiple, m * (1.0 + 1e-12), side="right") - 1
    surely = np.where(last >= 0, gates.longest[np.maximum(last, 0)], np.inf)
    # past the last gate the link melts before it can shed heat: the same I²t, then some ms of arc
    faster = np.where(m > gates.multiple[-1], (gates.multiple[-1] / np.maximum(m, 1e-9)) ** 2, 1.0)
    surely = np.where(faster < 1.0, np.maximum(surely * faster, np.minimum(surely, ARC_SECONDS)), surely)
    long_k, long_t = knots[sure_open], np.log(gates.longest[sure_open])
    longest = np.where(x < long_k[0] - 1e-12, np.inf, np.exp(np.interp(x, long_k, long_t)))
    longest = np.where(faster < 1.0, surely, longest)
    has_short = gates.shortest > 0.0
    if np.any(has_short):
        short_k, short_t = knots[has_short], np.log(gates.shortest[has_short])
        shortest = np.where(x < short_k[0] - 1e-12, np.inf, np.exp(np.interp(x, short_k, short_t)))
    else:
        shortest = np.zeros_like(m)
    inside = (m >= gates.multiple[0]) & (m <= gates.multiple[-1])
    return FuseTime(*(v.item() if np.ndim(v) == 0 else v for v in (m, shortest, longest, surely, inside)))


def survives_inrush_si(current: Any, *, seconds: Any, rating: Any, gates: Gates) -> Any:
    """Does a fuse live through a short inrush, such as that of cold lamps on the same fuse.

    A clutch coil has none: its current rises from zero.

    Parameters
    ----------
    current : float or array
        Inrush current (A).
    seconds : float or array
        How long it lasts (s).
    rating : float or array
        Rating of the fuse (A).
    gates : Gates
        Time gates of its family.

    Returns
    -------
    bool or array
        True where the inrush is over before the shortest time in which such a fuse may open.

    Raises
    ------
    ValueError
        A rating of zero or below.

    Source
    ------
    Table fuse_windows.
    """
    return seconds < fuse_time_si(current, rating=rating, gates=gates).shortest


@unit_checked(
    load="current",
    ampacity="current",
    usual_share="number",
    best_share="number",
    returns={"least": "current", "usual_least": "current", "most": "current", "rating": "current"},
)
def choose_fuse(load, *, ampacity, style="blade", usual_share=0.75, best_share=0.8) -> FuseChoice:
    """Choose a fuse that carries the load all day and still protects the wire.

    Parameters
    ----------
    load : current
        Steady current of everything behind the fuse, coil cold (A).
    ampacity : current
        Derated ampacity of the thinnest wire behind it (A).
    style : str
        Family in the table of ratings.
    usual_share : number
        Steady load over rating by the usual rule.
    best_share : number
        The most that may be asked of it.

    Returns
    -------
    FuseChoice
        Least rating at the two shares, the most the wire allows (A), the smallest listed rating from the
        usual least (else from the least) that the wire allows, and why.

    Raises
    ------
    ValueError
        A load or ampacity of zero or below, or a family that is not in the table.

    Source
    ------
    fuse-glossary (share of the rating); fuse at or under the derated ampacity: rule of this project,
    stricter than the 150 % of cfr-183-455.
    """
    above_zero(load=load, ampacity=ampacity)
    ratings = sorted(r["rating_a"] for r in table("fuse_ratings").where(style=style).rows)
    if not ratings:
        raise OutOfRange(f"no fuse family called {style!r} in the table")
    least, usual = load / best_share, load / usual_share
    for floor in (usual, least):
        fitting = [r for r in ratings if floor * (1.0 - 1e-9) <= r <= ampacity * (1.0 + 1e-9)]
        if fitting:
            why = f"the smallest that carries {load:.3g} A all day"
            return FuseChoice(least, usual, ampacity, fitting[0], why)
    why = f"no rating between {least:.3g} A for the load and {ampacity:.3g} A for the wire: take larger wire"
    return FuseChoice(least, usual, ampacity, None, why)


@unit_checked(rating="current", load="current", ampacity="current", returns={"boat_limit": "current"})
def fuse_check(rating, *, load, ampacity) -> FuseCheck:
    """Judge a fuse that is fitted: the load below it, the wire above it.

    Parameters
    ----------
    rating : current
        Rating on the fuse (A).
    load : current
        Steady current through it (A).
    ampacity : current
        Derated ampacity of the thinnest wire behind it (A).

    Returns
    -------
    FuseCheck
        Share of the rating in use; does it hold the load (80 %) and usually (75 %); is it at or under the
        ampacity; the 150 % that a boat code would allow (A), for information only; and why.

    Raises
    ------
    ValueError
        A rating or ampacity of zero or below.

    Source
    ------
    fuse-glossary; cfr-183-455 for the limit that is mentioned.
    """
    above_zero(fuse_rating=rating, ampacity=ampacity)
    share = load / rating
    protects = rating <= ampacity * (1.0 + 1e-9)
    if not protects:
        reason = f"the {rating:g} A fuse lets through more than the {ampacity:.3g} A the wire may carry"
    elif share > 0.8 + 1e-9:
        reason = f"the load is {share:.0%} of the rating: the fuse ages and opens"
    else:
        reason = f"the load is {share:.0%} of the rating, and the wire may carry {ampacity:.3g} A"
    return FuseCheck(
        load_share=share,
        holds_load=share <= 0.8 + 1e-9,
        holds_usually=share <= 0.75 + 1e-9,
        protects_wire=protects,
        boat_limit=1.5 * ampacity,
        reason=reason,
    )
