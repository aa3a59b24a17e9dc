"""What one bearing carries and how long it lives: load, rating, speed and life."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft import tables
from jackshaft.chapters.bearings.data import BearingLife, Carried, Identity
from jackshaft.chapters.bearings.rating import rating_of
from jackshaft.mechanics import bearing_limits, bearings
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader


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
    draft: Draft, reader: Reader, done: Mapping[str, Findings], identity: Identity, carried: Carried | None
) -> BearingLife:
    """Work up load, life and speed of one bearing, and add its facts.

    Parameters
    ----------
    draft : Draft
        The chapter.
    reader : Reader
        Reads the build.
    done : mapping
        The chapters before.
    identity : Identity
        Which bearing it is.
    carried : Carried or None
        What it carries.
    """
    name, at = identity.name, f"bearing[{identity.name}]"
    speed, top = speeds(reader, done, reader.get(f"{at}.shaft"), name)
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
    wanted = reader.si("wanted_life")
    hours = bad = None
    if load is not None and rating is not None and speed:
        a1 = reliability_share(reader, at)
        hours = a1 * float(bearings.life.si(rating.dynamic, load, speed, shock=shock).hours)
        bad = a1 * dirt(reader) * float(bearings.life.si(rating.least, load, speed, shock=shock).hours)
    life = BearingLife(
        name, identity.size, carried, radial, axial, rating, load, speed, top, shock, hours, bad, wanted, combined
    )
    _facts(draft, reader, life)
    return life


def reliability_share(reader: Reader, at: str) -> float:
    """Return the share of the life left at the reliability that is wanted of the bearing at a key."""
    return bearing_limits.reliability_factor(100 * (reader.si(f"{at}.reliability") or 0.9))


def dirt(reader: Reader) -> float:
    """Return the share of the life left at the bad end for wet and dust; a place that is not told is outdoors."""
    return fact("life factor, wet or dusty", "low") if reader.get("place") in ("outdoors", None) else 1.0


def usable(static: bearings.StaticRating | None) -> bool:
    """Tell whether an equivalent load can be worked out with a static rating: the newer generation needs its f0."""
    return static is not None and (static.generation == "older" or static.f0 is not None)


def safety_wanted(reader: Reader, shock: float) -> tuple[float, bool]:
    """Return the static safety wanted, and whether that is the one for shocks."""
    rough = shock > 1 or (reader.get("work.load_class") or "uniform") != "uniform"
    return fact("s0, shock" if rough else "s0, normal", "low"), rough


def _facts(draft: Draft, reader: Reader, life: BearingLife) -> None:
    at, rating = f"bearing[{life.name}]", life.rating
    if life.radial is not None:
        toward = np.arctan2(life.carried.force[0, 1], life.carried.force[0, 0])
        note = f"toward {reader.show(float(toward), 'angle')}"
        if life.carried.against:
            note += "; against the main load: the shaft lifts here"
        draft.fact(
            "load across the shaft", reader.number(life.signed, "force", form="both", known=life.carried.known), note
        )
    if rating is not None:
        own = reader.how(f"{at}.dynamic_rating")
        draft.fact(
            "dynamic rating C",
            reader.number(rating.dynamic, "force", form="both", known=own, source=rating.source),
            rating.words,
        )
        if rating.static is not None and (life.axial or reader.get(f"{at}.static_rating") is not None):
            own = reader.how(f"{at}.static_rating")
            static = reader.number(rating.static.value, "force", form="both", known=own)
            draft.fact("static rating C0", static, rating.static_words)
    if life.combined is not None:
        draft.fact("equivalent load P", reader.number(life.load, "force", form="both"), _combined_words(reader, life))
    if life.hours is not None:
        draft.fact(
            "rating life",
            reader.number(life.hours, "time", by="hours", low=life.hours_bad, source="gost18855"),
            f"shock factor {life.shock:g} on the load; {reader.show(life.hours_bad, 'time', by='hours')} at the bad "
            "end",
        )
        _modified(draft, reader, life)


def _modified(draft: Draft, reader: Reader, life: BearingLife) -> None:
    """Add the modified life: the basic one times the factor for the film of oil and the dirt in it."""
    viscosity, size = reader.si(f"bearing[{life.name}].oil_viscosity"), life.size
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
        "modified life",
        reader.number(life.hours * found.a_iso, "time", by="hours"),
        f"factor {found.a_iso:.2g} for film ratio {found.kappa:.2g} and dirt as {dirt}{flags}",
    )


def _combined_words(reader: Reader, life: BearingLife) -> str:
    """Return how the equivalent load came about: by which table, and what the other generation would make of it."""
    kind = "with f0" if life.rating.static.generation == "modern" else "without f0"
    words = (
        f"from {reader.show(float(life.radial[0]), 'force')} across and {reader.show(life.axial, 'force')} along by "
        "the table"
        f" {kind}; not their sum"
    )
    if not life.combined.axial_counts:
        words += "; so small a load along the shaft changes nothing"
    if life.combined.beyond_table:
        words += "; the load along lies beyond the table's end, whose last row was held"
    if usable(life.rating.other):
        other = float(bearings.equivalent_load.si(life.radial[0], life.axial, static=life.rating.other).load)
        words += (
            f"; it would be {reader.show(other, 'force')} by the other table if C0 were of the "
            f"{'older' if life.rating.other.generation == 'older' else 'newer'} generation: say static_rating_is"
        )
    return words


__all__ = ["dirt", "fact", "reliability_share", "safety_wanted", "speeds", "usable", "work_up"]
