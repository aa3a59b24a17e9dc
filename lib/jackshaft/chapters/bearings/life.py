"""What one bearing carries and how long it lives: load, rating, life, speed, least load, static safety."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.bearings.identity import Identity
from jackshaft.chapters.bearings.rating import Rating, rating_of
from jackshaft.mechanics import bearing_limits, bearings
from jackshaft.mechanics.bearings import UPPER_BOUND
from jackshaft.results.checks import CAUTION, GO, STOP, grade, undecided
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.units import at_least, at_most

HEAVY_SHOCK = 2.5


class Carried(NamedTuple):
    """What a bearing carries, N, shape (3 cases, 2); ``against`` where it points against the shaft's main load."""

    force: np.ndarray
    against: bool
    shaft: str | None


class BearingLife(NamedTuple):
    """Load and life of one bearing in SI units; None where it cannot be worked out.

    ``radial`` holds the size of the load at work, at rest and at the peak, N; ``load`` is the equivalent
    load without shock, ``combined`` how it came about where there is a load along the shaft; ``hours`` the
    life with the shock factor, h, ``hours_bad`` at the bad end, ``wanted`` the life wanted, h.
    """

    name: str
    designation: str | None
    carried: Carried | None
    radial: np.ndarray | None
    rating: Rating | None
    load: float | None
    speed: float | None
    top_speed: float | None
    shock: float
    hours: float | None
    hours_bad: float | None
    wanted: float | None
    combined: bearings.EquivalentLoad | None = None


def fact(item: str, column: str = "likely") -> float:
    """Return a figure of the table of bearing facts."""
    return tables.table("bearing_facts").one(item=item)[column]


def speeds(
    reader: Reader, done: Mapping[str, Findings], shaft: str | None, name: str
) -> tuple[float | None, float | None]:
    """Return the speed at work and the highest speed of a bearing's turning ring, rad/s."""
    ratio = done["ratio"].data
    state = ratio.shaft(shaft) if ratio is not None and shaft is not None else None
    if state is not None and state.work is not None:
        return state.work, state.full if state.full is not None else state.work
    own = reader.si(f"bearing[{name}].work_speed")
    if own is None and shaft is not None:
        own = reader.si(f"shaft[{shaft}].work_speed")
    return own, own


def work_up(
    draft: Draft, reader: Reader, done: Mapping[str, Findings], identity: Identity, carried: Carried | None, why
) -> BearingLife:
    """Work up load, life, speed and safety of one bearing, and add its facts and checks.

    Parameters
    ----------
    draft : Draft
        The chapter.
    look : Looker
        Reads the build.
    done : mapping
        The chapters before.
    identity : Identity
        Which bearing it is.
    carried : Carried or None
        What it carries.
    why : tuple or None
        (missing keys, words) where it carries nothing known.
    """
    name, at = identity.name, f"bearing[{identity.name}]"
    shaft = reader.get(f"{at}.shaft")
    speed, top = speeds(reader, done, shaft, name)
    shock = reader.si(f"{at}.shock_factor") or 1.0
    rating = rating_of(reader, identity)
    radial = None if carried is None else np.hypot(carried.force[:, 0], carried.force[:, 1])
    axial = reader.si(f"{at}.axial_load", 0.0)
    load, combined = None, None
    if radial is not None and axial == 0:
        load = float(radial[0])
    elif radial is not None and rating is not None and usable(rating.static):
        combined = bearings.equivalent_load.si(radial[0], axial, static=rating.static)
        load = float(combined.load)
    wanted = hours_wanted(reader)
    hours = bad = None
    if load is not None and rating is not None and speed:
        reliability = reader.si(f"{at}.reliability") or 0.9
        a1 = bearing_limits.reliability_factor(100 * reliability)
        hours = a1 * float(bearings.life.si(rating.dynamic, load, speed, shock=shock).hours)
        bad = a1 * dirt(reader) * float(bearings.life.si(rating.least, load, speed, shock=shock).hours)
    life = BearingLife(
        name,
        identity.size.designation if identity.size else None,
        carried,
        radial,
        rating,
        load,
        speed,
        top,
        shock,
        hours,
        bad,
        wanted,
        combined,
    )
    _facts(draft, reader, life, axial, identity.size)
    _life_check(draft, reader, life, identity, why)
    _load_check(draft, reader, life)
    _speed_check(draft, reader, life, identity)
    _static_check(draft, reader, life, axial)
    _axial_check(draft, reader, life, identity, axial)
    return life


def hours_wanted(reader: Reader) -> float | None:
    """Return the life that the build wants, in hours, or None where it does not say."""
    wanted = reader.si("wanted_life")
    return None if wanted is None else wanted / 3600.0


def dirt(reader: Reader) -> float:
    """Return the share of the life left at the bad end for wet and dust; a place that is not told is outdoors."""
    return fact("life factor, wet or dusty", "low") if reader.get("place") in ("outdoors", None) else 1.0


def usable(static: bearings.StaticRating | None) -> bool:
    """Tell whether an equivalent load can be worked out with a static rating: the newer generation needs its f0."""
    return static is not None and (static.generation == "older" or static.f0 is not None)


def hours_text(hours: float) -> str:
    """Return a life as the shop says it: hours, rounded to what it can mean."""
    if not np.isfinite(hours):
        return "without limit"
    if hours >= 1e6:
        return "over 1 000 000 h"
    return f"{float(f'{hours:.3g}'):.0f} h" if hours >= 100 else f"{hours:.3g} h"


def signed(life: BearingLife) -> float:
    """Return the radial load at work, N, negative where it points against the shaft's main load."""
    return float(life.radial[0]) * (-1 if life.carried.against else 1)


def _modified(draft: Draft, reader: Reader, life: BearingLife, size) -> None:
    """Add the modified life: the basic one times the factor for the film of oil and the dirt in it."""
    viscosity = reader.si(f"bearing[{life.name}].oil_viscosity")
    if viscosity is None or size is None or life.rating.modern is None or life.load <= 0:
        return
    closed = reader.get(f"bearing[{life.name}].closure")
    dirt = {"sealed": "sealed for life", "shielded": "shielded for life"}.get(closed or "", "typical open")
    found = bearing_limits.lubrication_si(
        life.speed,
        size.bore,
        size.od,
        viscosity * 1e-6,
        life.load * life.shock,
        life.rating.modern,
        cleanliness=fact(f"contamination, {dirt}"),
    )
    flags = f"; {'; '.join(found.flags)}" if found.flags else ""
    draft.fact(
        f"{life.name}: modified life",
        hours_text(life.hours * found.a_iso),
        f"factor {found.a_iso:.2g} for film ratio {found.kappa:.2g} and dirt as {dirt}{flags}",
    )


def _facts(draft: Draft, reader: Reader, life: BearingLife, axial: float, size) -> None:
    if life.radial is not None:
        toward = np.arctan2(life.carried.force[0, 1], life.carried.force[0, 0])
        note = f"toward {reader.show(float(toward), 'angle')}"
        if life.carried.against:
            note += "; against the main load: the shaft lifts here"
        draft.fact(f"{life.name}: load across the shaft", reader.both(signed(life), "force"), note)
    if life.rating is not None:
        draft.fact(f"{life.name}: dynamic rating C", reader.both(life.rating.dynamic, "force"), life.rating.words)
        if life.rating.static is not None and (axial or reader.get(f"bearing[{life.name}].static_rating") is not None):
            draft.fact(
                f"{life.name}: static rating C0",
                reader.both(life.rating.static.value, "force"),
                life.rating.static_words,
            )
    if life.combined is not None:
        draft.fact(
            f"{life.name}: equivalent load P", reader.both(life.load, "force"), _combined_words(reader, life, axial)
        )
    if life.hours is not None:
        draft.fact(
            f"{life.name}: rating life",
            hours_text(life.hours),
            f"shock factor {life.shock:g} on the load; {hours_text(life.hours_bad)} at the bad end",
        )
        _modified(draft, reader, life, size)


def _combined_words(reader: Reader, life: BearingLife, axial: float) -> str:
    """Return how the equivalent load came about: by which table, and what the other generation would make of it."""
    kind = "with f0" if life.rating.static.generation == "modern" else "without f0"
    words = (
        f"from {reader.show(float(life.radial[0]), 'force')} across and {reader.show(axial, 'force')} along by "
        "the table"
        f" {kind}; not their sum"
    )
    if not life.combined.axial_counts:
        words += "; so small a load along the shaft changes nothing"
    if life.combined.beyond_table:
        words += "; the load along lies beyond the table's end, whose last row was held"
    if usable(life.rating.other):
        other = float(bearings.equivalent_load.si(life.radial[0], axial, static=life.rating.other).load)
        words += (
            f"; it would be {reader.show(other, 'force')} by the other table if C0 were of the "
            f"{'older' if life.rating.other.generation == 'older' else 'newer'} generation: say static_rating_is"
        )
    return words


def row(reader: Reader, life: BearingLife) -> tuple[str, ...]:
    """Return one line of the sheet of lives."""
    hours = [
        float(bearings.life.si(life.rating.dynamic, life.load, life.speed, shock=k).hours)
        for k in (1.0, life.shock, HEAVY_SHOCK)
    ]
    ratio = life.rating.dynamic / life.load if life.load else np.inf
    return (
        life.name,
        life.designation or "",
        reader.both(life.rating.dynamic, "force"),
        reader.show(life.load, "force"),
        f"{ratio:.1f}" if np.isfinite(ratio) else "no load",
        reader.show(life.speed, "rotation"),
        *(hours_text(h) for h in hours),
    )


def worked(reader: Reader, life: BearingLife) -> tuple[str, ...]:
    """Return the life formula with the numbers put in."""
    rpm = life.speed * 30 / np.pi
    c, p = reader.show(life.rating.dynamic, "force"), reader.show(life.load, "force")
    return (
        life.name,
        "rating life",
        "10⁶ (C / k P)³ / (60 n)",
        f"10⁶ × ({c} / ({life.shock:g} × {p}))³ / (60 × {rpm:.4g})",
        hours_text(life.hours),
        tables.in_words("gost18855, clause 5.3"),
    )


def _life_check(draft: Draft, reader: Reader, life: BearingLife, identity: Identity, why) -> None:
    id, name = f"bearings.life[{life.name}]", f"{life.name}: rating life"
    at = f"bearing[{life.name}]"
    limit = "" if life.wanted is None else f"{hours_text(life.wanted)} or more"
    lacks, words = list(why[0]) if why and life.load is None else [], [why[1]] if why and life.load is None else []
    if life.rating is None:
        lacks.append(f"{at}.dynamic_rating")
        words.append(
            "No rating is tabulated for it, or which bearing it is stands open: take C from its maker."
            if identity.size is not None
            else "Which bearing it is is not known yet, so its rating is not either."
        )
    elif life.load is None and life.radial is not None:
        lacks.append(f"{at}.static_rating" if life.rating.static is None else f"{at}.static_rating_factor")
        words.append("A load along the shaft needs the static rating, and one of the newer generation its f0.")
    if not life.speed:
        shaft = reader.get(f"{at}.shaft")
        lacks.append(f"shaft[{shaft}].work_speed" if shaft else f"{at}.work_speed")
        words.append("How fast it turns is not known yet.")
    if life.wanted is None:
        lacks.append("wanted_life")
        words.append("How long it must last is not known yet.")
    if life.hours is None or life.wanted is None:
        reader.note_missing(*lacks)
        value = "" if life.hours is None else f"Rating life {hours_text(life.hours)}. "
        draft.checks.append(undecided(id, name, lacks, value + " ".join(words), limit=limit))
        return
    verdict, ahead = grade(likely=life.hours, bad=life.hours_bad, limit=life.wanted), ""
    outdoors = reader.get("place") in ("outdoors", None)
    reason = (
        f"{reader.show(life.load, 'force')} with shock factor {life.shock:g} at {reader.show(life.speed, 'rotation')}."
    )
    if reader.get(f"{at}.shock_factor") is None:
        reason += " No shock factor is given, so none is taken; belts and rough work call for 1.2 to 1.5."
    found = bearings.life.si(life.rating.dynamic, life.load, life.speed, shock=life.shock)
    if not found.in_range:
        reason += " The load is above half of C, where the formula ends."
        verdict = STOP
    if life.combined is not None and life.combined.beyond_table:
        reason += " The load along the shaft lies beyond the table's end, whose last row was held: ask the maker."
        ahead, verdict = (CAUTION, CAUTION) if verdict == GO else ("", verdict)
    if outdoors:
        if reader.get("place") is None:
            reader.note_missing("place")
            reason += " Where it works is not written down, so it is judged as outdoors."
        reason += (
            f" {UPPER_BOUND} The bad end takes {fact('life factor, wet or dusty', 'low'):g} of it for wet or dust."
        )
    draft.check(
        id,
        name,
        f"{hours_text(life.hours)} (bad end {hours_text(life.hours_bad)})",
        limit,
        verdict,
        reason,
        ""
        if verdict == GO
        else _life_cure(reader, life)
        if verdict != ahead
        else "Take a bearing made for endways load, or a larger one.",
        f"gost18855, clause 5.3; {life.rating.source}".rstrip("; "),
    )


def _life_cure(reader: Reader, life: BearingLife) -> str:
    needed = float(
        bearings.needed_rating.si(life.load, life.speed, life.wanted * 3600.0, shock=life.shock, a_iso=dirt(reader))
    )
    return (
        f"Take a bearing with C of {reader.both(needed, 'force')} or more, move the pull nearer to the bearings, or "
        "lower the tension to what grip needs; seal it against dirt."
    )


def _load_check(draft: Draft, reader: Reader, life: BearingLife) -> None:
    if life.radial is None or life.rating is None:
        return
    least = float(bearing_limits.least_load.si(life.rating.dynamic))
    enough = at_least(life.radial[0], least)
    verdict = GO if enough and not life.carried.against else CAUTION
    reason = "The balls roll." if enough else "Under its least load a ball bearing skids instead of rolling, and wears."
    if life.carried.against:
        reason += (
            " The load points against the main one: the overhung pull lifts the shaft here, and with the pull gone it "
            "drops back through the play."
        )
    draft.check(
        f"bearings.load[{life.name}]",
        f"{life.name}: least load",
        reader.show(signed(life), "force"),
        f"{reader.show(least, 'force')} or more, one hundredth of C",
        verdict,
        reason,
        ""
        if verdict == GO
        else "Set the overhung pulley closer to its bearing, set the bearings farther apart, or "
        "hold this bearing against play with a light spring washer; a smaller bearing needs less.",
        "catalogue-a, least load (from memory)",
    )


def _speed_check(draft: Draft, reader: Reader, life: BearingLife, identity: Identity) -> None:
    if identity.size is None or life.top_speed is None:
        return
    size, closure = identity.size, reader.get(f"bearing[{life.name}].closure")
    likely = float(bearing_limits.speed_limit.si(size.bore, size.od, closure or "open", series=size.series))
    bad = float(bearing_limits.speed_limit.si(size.bore, size.od, closure or "sealed", series=size.series))
    # the limit is what is uncertain here, so the two ends of it stand where values stand elsewhere
    verdict = grade(likely=likely, bad=bad, limit=life.top_speed)
    shown = (
        reader.show(likely, "rotation")
        if closure
        else f"{reader.show(likely, 'rotation')} open, {reader.show(bad, 'rotation')} sealed"
    )
    draft.check(
        f"bearings.speed[{life.name}]",
        f"{life.name}: speed",
        reader.show(life.top_speed, "rotation"),
        f"{shown}, with grease",
        verdict,
        "Judged at the highest speed its ring can turn."
        + ("" if closure else " What closes it is not written down, so seals that touch are the bad end."),
        "" if verdict == GO else "Take one that is open or shielded, a smaller size, or run slower.",
        "gost20918; bearing-catalogues, touching seals",
    )


def _static_check(draft: Draft, reader: Reader, life: BearingLife, axial: float) -> None:
    if life.radial is None or life.rating is None or life.rating.static is None:
        return
    top = float(life.radial.max()) * life.shock
    if top <= 0 and axial <= 0:
        return
    safety = float(bearing_limits.static_safety.si(top, axial * life.shock, life.rating.static.value))
    rough = life.shock > 1 or (reader.get("work.load_class") or "uniform") != "uniform"
    wanted = fact("s0, shock" if rough else "s0, normal", "low")
    verdict = GO if at_least(safety, wanted) else CAUTION if at_least(safety, 1.0) else STOP
    draft.check(
        f"bearings.static[{life.name}]",
        f"{life.name}: static safety",
        f"{safety:.1f}",
        f"{wanted:g} or more{' with shocks' if rough else ''}",
        verdict,
        f"C0 {reader.show(life.rating.static.value, 'force')} over the largest of the loads at work, at rest "
        "and at the "
        f"peak, shock counted: {reader.show(top, 'force')}.",
        "" if verdict == GO else "Take a larger bearing: a dented race is rough at once.",
        "gost18854; textbook-practice",
    )


def _axial_check(draft: Draft, reader: Reader, life: BearingLife, identity: Identity, axial: float) -> None:
    if not axial or identity.size is None or life.rating is None or life.rating.static is None:
        return
    most = float(bearing_limits.axial_limit.si(life.rating.static.value, identity.size.bore, identity.size.series))
    floats = reader.get(f"bearing[{life.name}].located") is False
    verdict = STOP if floats or not at_most(axial, most) else GO
    reason = (
        "This bearing is written down as floating: it cannot hold a load along the shaft."
        if floats
        else f"C0 {reader.show(life.rating.static.value, 'force')}."
    )
    draft.check(
        f"bearings.axial[{life.name}]",
        f"{life.name}: load along the shaft",
        reader.show(axial, "force"),
        f"{reader.show(most, 'force')} or less",
        verdict,
        reason,
        ""
        if verdict == GO
        else "Locate this bearing endways, or give the load to the one that is located."
        if floats
        else "Take a larger bearing, or one made for endways load.",
        "catalogue-a, pure axial load",
    )


__all__ = [
    "BearingLife",
    "Carried",
    "HEAVY_SHOCK",
    "UPPER_BOUND",
    "dirt",
    "fact",
    "hours_text",
    "hours_wanted",
    "row",
    "signed",
    "speeds",
    "work_up",
    "worked",
]
