"""The seats of a bearing: which ring is tight and how much, warming, and the clearance that is left."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.units import ZERO_C, OutOfRange, above_zero, at_most, unit_checked


class FitAdvice(NamedTuple):
    """Which ring is fixed and how.

    Parameters
    ----------
    tight_ring : str
        "inner", "outer" or "both".
    shaft_class, housing_class : str
        Fit classes of shaft seat and housing bore.
    load_words : str
        "light", "normal" or "heavy".
    why : str
        The reason as a sentence.
    cite : str
        Source of the two classes.
    """

    tight_ring: str
    shaft_class: str
    housing_class: str
    load_words: str
    why: str
    cite: str


class Interference(NamedTuple):
    """What a measured or toleranced seat does to a ring.

    Parameters
    ----------
    least, likely, most : float
        Interference between seat and ring, m; negative is looseness.
    effective_least, effective_likely, effective_most : float
        After the peaks of the surface have been pressed flat, m.
    demand : float
        What load and warmth ask for, m.
    holds, holds_at_least : bool
        Whether the likely and the least effective interference meet the demand.
    too_much : bool
        True if the most could exceed a thousandth of the bore.
    """

    least: float
    likely: float
    most: float
    effective_least: float
    effective_likely: float
    effective_most: float
    demand: float
    holds: bool
    holds_at_least: bool
    too_much: bool


class Warming(NamedTuple):
    """Temperature at which a ring drops onto its seat.

    Parameters
    ----------
    temperature : float
        K.
    limit : float
        Highest that the bearing stands, K.
    allowed : bool
        False where the limit is exceeded: cool the shaft as well, or press.
    """

    temperature: float
    limit: float
    allowed: bool


@unit_checked(bore="length")
def choose(turning, load_ratio, bore, *, load_turns=False) -> FitAdvice:
    """Which ring gets the interference, and the two fit classes.

    Parameters
    ----------
    turning : str
        The ring that turns: "inner" (a live shaft) or "outer" (an idler on a fixed pin).
    load_ratio : float
        Equivalent load over dynamic rating.
    bore : float
        m.
    load_turns : bool
        True where the load goes round with the turning ring, as from unbalance; it swaps the rings.

    Returns
    -------
    FitAdvice
        Classes and the reason.

    Raises
    ------
    ValueError
        If the ring is not one of the two, or the bore is past the table.

    Source
    ------
    Table bearing_fits: catalogue-a, tables 7.1 and 7.2.
    """
    if turning not in ("inner", "outer"):
        raise OutOfRange("say which ring turns: inner (live shaft) or outer (idler on a fixed pin)")
    light, normal = (tables.table("bearing_facts").one(item=f"{w} load over C")["high"] for w in ("light", "normal"))
    load = "light" if at_most(load_ratio, light) else "normal" if at_most(load_ratio, normal) else "heavy"
    tight_inner = (turning == "inner") != load_turns
    rows = tables.table("bearing_fits")
    if tight_inner:
        wanted = "normal" if load == "heavy" else load  # the table's shaft rows end at normal load
        seat = rows.covering(
            round(bore * 1e3, 6), "over_mm", "to_mm", case="live shaft", ring="inner", load=wanted
        ).rows
        if not seat:
            raise OutOfRange(
                f"no shaft fit is tabulated for {wanted} load on {bore * 1e3:.4g} mm: ask the bearing maker"
            )
        housing = rows.one(case="live shaft", ring="outer", load="any")
        why = "The inner ring turns against the load, so it would creep on the shaft. The outer ring may slide."
        extra = " Heavy load: one class tighter, by the bearing maker." if load == "heavy" else ""
        return FitAdvice(
            tight_ring="inner",
            shaft_class=seat[0]["fit_class"],
            housing_class=housing["fit_class"],
            load_words=load,
            why=why + extra,
            cite=seat[0].cite,
        )
    housing = rows.one(case="turning hub", ring="outer", load=load)
    pin = rows.one(case="turning hub", ring="inner", load="any")
    why = "The outer ring turns against the load, so it would creep in its hub. The inner ring may slide."
    return FitAdvice(
        tight_ring="outer",
        shaft_class=pin["fit_class"],
        housing_class=housing["fit_class"],
        load_words=load,
        why=why,
        cite=housing.cite,
    )


@unit_checked(
    seat_low="length",
    seat_high="length",
    ring={"lower": "length", "upper": "length"},
    bore="length",
    width="length",
    radial="force",
    warmer="temperature rise",
    returns=dict.fromkeys(Interference._fields[:7], "length"),
)
def interference(seat_low, seat_high, ring, *, bore, width, radial, warmer=0.0, finish="machined") -> Interference:
    """Interference of an inner ring on its seat, and whether it is enough.

    Parameters
    ----------
    seat_low, seat_high : float
        Smallest and largest shaft, m; equal for a measured one.
    ring : Limits
        Of the ring's bore, from `ring_limits`.
    bore, width : float
        Of the bearing, m.
    radial : float
        Load, N.
    warmer : float
        Inner ring above its surroundings, K.
    finish : str
        "machined" or "ground": a turned seat loses more of its peaks.

    Returns
    -------
    Interference
        Range, what is left of it, and the demand.

    Raises
    ------
    ValueError
        If the finish is not one of the two, or the limits are upside down.

    Source
    ------
    catalogue-a, section 7.3: 0.08 sqrt(d F/B) and 0.0015 d dT in micrometres, with mm, N and K.
    """
    if finish not in ("machined", "ground") or seat_low > seat_high:
        raise OutOfRange("give a machined or ground seat, the smaller limit first")
    lost = tables.table("bearing_facts").one(item=f"interference lost, {finish} shaft")
    least, most = seat_low - ring.upper, seat_high - ring.lower
    # radial load loosens the ring, and so does an inner ring warmer than its shaft
    demand = (0.08 * math.sqrt(bore / width * abs(radial)) + 0.0015 * bore * 1e3 * warmer) * 1e-6
    likely = (least + most) / 2
    kept = [size - lost[c] * 1e-6 for size, c in ((least, "high"), (likely, "likely"), (most, "low"))]
    share = tables.table("bearing_facts").one(item="interference over bore")["high"]
    return Interference(
        least=least,
        likely=likely,
        most=most,
        effective_least=kept[0],
        effective_likely=kept[1],
        effective_most=kept[2],
        demand=demand,
        # sizes that are taken from one another keep a rounding of some 1e-14 m
        holds=kept[1] >= demand - 1e-10,
        holds_at_least=kept[0] >= demand - 1e-10,
        too_much=not at_most(most, share * bore),
    )


@unit_checked(
    bore="length",
    interference="length",
    inner_warmer="temperature rise",
    od="length",
    returns=["length", "length"],
)
def clearance_left(bore, clearance_class, interference, *, inner_warmer=0.0, od=None):
    """Radial clearance left in a bearing after fitting and warming.

    Parameters
    ----------
    bore : float
        m.
    clearance_class : str
        "C2", "CN", "C3", "C4" or "C5".
    interference : float
        Effective interference of the tight ring, m.
    inner_warmer : float
        Inner ring above the outer one, K.
    od : float or None
        Outside diameter, m; needed with `inner_warmer`.

    Returns
    -------
    least, most : float
        m; a negative one means that the balls are squeezed.

    Raises
    ------
    ValueError
        If the class or the bore is not in the table, or the outside diameter is missing.

    Source
    ------
    gost24810, table 2; four fifths of the interference lost, steel expansion (from memory).
    """
    rows = (
        tables.table("bearing_clearance")
        .covering(round(bore * 1e3, 6), "over_mm", "to_mm", clearance_class=clearance_class)
        .rows
    )
    if not rows:
        raise OutOfRange(
            f"no clearance {clearance_class!r} is tabulated at {bore * 1e3:.4g} mm; classes are C2 to C5, CN"
        )
    if inner_warmer and od is None:
        raise OutOfRange("a warmer inner ring needs the outside diameter as well")
    fact = tables.table("bearing_facts")
    lost = fact.one(item="clearance lost to a press fit")["likely"] * max(interference, 0.0)
    if inner_warmer:
        lost += fact.one(item="steel expansion")["likely"] * inner_warmer * (bore + od) / 2
    return rows[0]["min_um"] * 1e-6 - lost, rows[0]["max_um"] * 1e-6 - lost


@unit_checked(
    bore="length",
    interference="length",
    air="temperature",
    slack="length",
    returns={"temperature": "temperature", "limit": "temperature"},
)
def warming(bore, interference, *, air, sealed, slack=None) -> Warming:
    """Temperature at which an inner ring slides onto its seat.

    Parameters
    ----------
    bore : float
        m.
    interference : float
        The most there can be, m.
    air : float
        Temperature of the shaft, K.
    sealed : bool
        True for a greased or sealed bearing, whose grease sets the limit.
    slack : float or None
        Room wanted to slip it on, m; None takes three ten-thousandths of the bore.

    Returns
    -------
    Warming
        Temperature, limit, and whether it is allowed.

    Raises
    ------
    ValueError
        If the bore is not positive.

    Source
    ------
    Steel expansion (from memory); limits and room: common practice, no source.
    """
    above_zero(bore=bore)
    fact = tables.table("bearing_facts")
    name = "warming a greased or sealed bearing" if sealed else "warming an open inner ring"
    limit = fact.one(item=name)["high"] + ZERO_C  # the table counts in degrees Celsius
    grow = fact.one(item="steel expansion")["likely"]
    hot = air + (max(interference, 0.0) + (3e-4 * bore if slack is None else slack)) / (grow * bore)
    return Warming(hot, limit, hot <= limit)


@unit_checked(chamfer="length", returns="length")
def largest_fillet(chamfer):
    """Largest fillet a shaft shoulder may have under a bearing's chamfer.

    Parameters
    ----------
    chamfer : float
        Least chamfer of the bearing, m.

    Returns
    -------
    float
        m.

    Raises
    ------
    ValueError
        If the chamfer is below the table.

    Source
    ------
    Table bearing_fillets: iso582, and no fillet is larger than the chamfer it has to clear.
    """
    return fillet_row_si(chamfer)["fillet_max_mm"] * 1e-3


def fillet_row_si(chamfer):
    """Row of the table of fillets for a chamfer.

    Parameters
    ----------
    chamfer : float
        Least chamfer of the bearing, m.

    Returns
    -------
    jackshaft.tables.Row
        Chamfer and largest fillet in mm.

    Raises
    ------
    ValueError
        If the chamfer is below the table.

    Source
    ------
    Table bearing_fillets: iso582.
    """
    rows = tables.table("bearing_fillets")
    fit = np.flatnonzero(rows.column("chamfer_min_mm") <= chamfer * 1e3 + 1e-9)
    if not fit.size:
        raise OutOfRange("no fillet is tabulated for so small a chamfer: undercut the corner")
    return rows.rows[fit[-1]]
