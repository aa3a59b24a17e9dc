"""What one bearing carries and how long it lives: load, rating, speed and life."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft import tables
from jackshaft.chapters.bearings.data import (
    ALONG,
    ALONG_GEARED,
    HEAVY_SHOCK,
    LIKELY_SHOCK,
    SHOCK,
    BearingLife,
    Carried,
    Identity,
)
from jackshaft.chapters.bearings.rating import rating_of
from jackshaft.chapters.ratio.data import speed_keys
from jackshaft.mechanics import bearing_limits, bearings
from jackshaft.parts.belt_stage import shafts_driven
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.units import HOUR

#: Classes of load under which a bearing may feel more than the usual shock; None is a class that nobody wrote down.
SHAKES = (None, "heavy shock")
#: Kinds of stage that may push their shafts along.
SLANTED = {"gear", "friction roller", "gearbox"}


def fact(item: str, column: str = "likely") -> float:
    """Return a figure of the table of bearing facts."""
    return tables.table("bearing_facts").one(item=item)[column]


def speeds(
    reader: Reader, done: Mapping[str, Findings], shaft: str | None, name: str
) -> tuple[float | None, float | None]:
    """Return the speed at work of a bearing's turning ring and the highest that its engine may run it up to, rad/s.

    The second is None where nobody knows how fast the engine runs without load.
    """
    ratio = done["ratio"].data
    state = ratio.shaft(shaft) if ratio is not None and shaft is not None else None
    if state is not None and state.work is not None:
        return state.work, state.top
    own = reader.si(f"bearing[{name}].work_speed")
    if own is None and shaft is not None:
        own = reader.si(f"shaft[{shaft}].work_speed")
    return own, own


def _speed_keys(reader: Reader, done: Mapping[str, Findings], name: str) -> tuple[str, ...]:
    """Return what must be written down for the speed of a bearing: what tells that of its shaft, else its own."""
    shaft = reader.get(f"bearing[{name}].shaft")
    if shaft is None:
        return () if reader.names("shaft") else (f"bearing[{name}].work_speed",)
    return speed_keys(reader, done["ratio"].data, shaft, f"shaft[{shaft}].work_speed")


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
    shock, along = _shock(reader, at), along_of(reader, at)
    rating = rating_of(reader, identity)
    radial = None if carried is None else np.hypot(carried.force[:, 0], carried.force[:, 1])
    axial = reader.si(f"{at}.axial_load", 0.0)
    load = combined = likely = bad = None
    if radial is not None:
        load, combined = equivalent(radial[0], axial, None if rating is None else rating.static)
    if load is not None and rating is not None and speed:
        a1, more = reliability_share(reader, at), 1.0 if along is None else pushed(along)
        hard = more * shock * load
        if reader.get(f"{at}.shock_factor") is None:
            # nobody says how rough the work is: at the bad end it is shaken, or runs in its hardest case all the time
            hard = more * max(SHOCK * load, equivalent(carried.hardest[1], axial, rating.static)[0] or 0.0)
        likely = a1 * rating_life(rating.dynamic, load, speed, shock)
        bad = a1 * dirt(reader) * rating_life(rating.least, hard, speed, 1.0)
    life = BearingLife(
        name=name,
        size=identity.size,
        carried=carried,
        radial=radial,
        axial=axial,
        rating=rating,
        load=load,
        speed=speed,
        top_speed=top,
        shock=shock,
        life=likely,
        life_bad=bad,
        wanted=reader.si("wanted_life"),
        combined=combined,
        preloaded=bool(reader.get(f"{at}.spring_washer")),
        shock_most=HEAVY_SHOCK if reader.get("work.load_class") in SHAKES else SHOCK,
        shock_known=reader.get(f"{at}.shock_factor") is not None,
        along=along,
        speed_keys=() if speed else _speed_keys(reader, done, name),
    )
    _facts(draft, reader, life)
    return life


def _shock(reader: Reader, at: str) -> float:
    """Return the shock factor of the bearing at a key as is likely."""
    return reader.si(f"{at}.shock_factor") or likely_shock(reader)


def likely_shock(reader: Reader) -> float:
    """Return the shock factor that is likely where nobody gives one."""
    return 1.0 if reader.get("work.load_class") == "uniform" else LIKELY_SHOCK


def along_of(reader: Reader, at: str) -> float | None:
    """Return the share of the load across that may push along the shaft where nobody says; None where it is known.

    A bearing that floats slides with the shaft.
    """
    key, shaft = f"{at}.axial_load", reader.get(f"{at}.shaft")
    if reader.get(key) is not None or reader.is_none(key) or reader.get(f"{at}.located") is False:
        return None
    kinds = {
        reader.get(f"stage[{s}].kind")
        for s in reader.names("stage")
        if shaft in (reader.get(f"stage[{s}].from"), *shafts_driven(reader, s))
    }
    return ALONG_GEARED if shaft and kinds & SLANTED else ALONG


def pushed(along: float) -> float:
    """Return the equivalent load over the load across, at the most, where so large a share of that pushes along."""
    rows = tables.table("bearing_axial_factors").rows
    return max(1.0, *(r["x"] + r["y"] * along for r in rows))


def rating_life(dynamic: float, load: float, speed: float, shock: float) -> float:
    """Return the rating life of nine bearings in ten, s; without limit where nothing is carried."""
    if load == 0:
        return float("inf")
    return float(bearings.life.si(dynamic, load, speed, shock=shock).hours) * HOUR


def equivalent(
    radial: float, axial: float, static: bearings.StaticRating | None
) -> tuple[float | None, bearings.EquivalentLoad | None]:
    """Return the equivalent load, N, and how it came about; the first None where the static rating does not do.

    A load along the shaft needs the static rating, and one of the newer generation its f0.
    """
    if axial == 0:
        return float(radial), None
    if static is None or (static.generation != "older" and static.f0 is None):
        return None, None
    found = bearings.equivalent_load.si(radial, axial, static=static)
    return float(found.load), found


def speed_limits(size, closure: str | None) -> tuple[float, float]:
    """Return the speed limit with grease, rad/s, as it is closed; else that of an open bearing and of seals."""
    return tuple(
        float(bearing_limits.speed_limit.si(size.bore, size.od, closure or end, series=size.series))
        for end in ("open", "sealed")
    )


def reliability_share(reader: Reader, at: str) -> float:
    """Return the share of the life left at the reliability that is wanted of the bearing at a key."""
    return bearing_limits.reliability_factor(100 * (reader.si(f"{at}.reliability") or 0.9))


def dirt(reader: Reader) -> float:
    """Return the share of the life left at the bad end for wet and dust; a place that is not known is outdoors."""
    return fact("life factor, wet or dusty", "low") if reader.get("place") in ("outdoors", None) else 1.0


def safety_wanted(reader: Reader, shock: float) -> tuple[float, bool]:
    """Return the static safety wanted, and whether that is the one for shocks; they come where nothing says not."""
    rough = shock > 1 or reader.get("work.load_class") != "uniform"
    return fact("s0, shock" if rough else "s0, normal", "low"), rough


def _facts(draft: Draft, reader: Reader, life: BearingLife) -> None:
    at, rating = f"bearing[{life.name}]", life.rating

    def force(label: str, si: float, note: str, **how) -> None:
        draft.fact(label, reader.number(si, "force", form="both", **how), note)

    if life.radial is not None:
        toward = np.arctan2(life.carried.force[0, 1], life.carried.force[0, 0])
        note = f"toward {reader.show(float(toward), 'angle')}"
        if life.carried.against:
            note += "; against the main load: the shaft lifts here"
        force("load across the shaft", life.signed, note, known=life.carried.known)
    if rating is not None:
        own = reader.how(f"{at}.dynamic_rating")
        force("dynamic rating C", rating.dynamic, rating.words, known=own, source=rating.source)
        if rating.static is not None and (life.axial or reader.get(f"{at}.static_rating") is not None):
            own = reader.how(f"{at}.static_rating")
            force("static rating C0", rating.static.value, rating.static_words, known=own)
    if life.combined is not None:
        force("equivalent load P", life.load, _combined_words(reader, life))
    if life.life is not None:
        draft.fact(
            "rating life",
            reader.number(life.life, "time", by="hours", low=life.life_bad, source="gost18855"),
            f"shock factor {life.shock:g} on the load{shock_words(life)}; "
            f"{reader.show(life.life_bad, 'time', by='hours')} at the bad end",
        )
        _modified(draft, reader, life)


def shock_words(life: BearingLife) -> str:
    """Return that a shock factor is none that somebody gave, to stand behind it."""
    return "" if life.shock_known else f" (not given: {life.shock:g} is likely, {SHOCK:g} the bad end)"


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
        reader.number(life.life * found.a_iso, "time", by="hours"),
        f"factor {found.a_iso:.2g} for film ratio {found.kappa:.2g} and dirt as {dirt}{flags}",
    )


def _combined_words(reader: Reader, life: BearingLife) -> str:
    """Return how the equivalent load came about: by which table, and what the other generation would make of it."""
    kind = "with f0" if life.rating.static.generation == "modern" else "without f0"
    words = (
        f"by the table {kind}, from {reader.show(float(life.radial[0]), 'force')} across the shaft and "
        f"{reader.show(life.axial, 'force')} along it; not their sum"
    )
    if not life.combined.axial_counts:
        words += "; so small a load along the shaft changes nothing"
    if life.combined.beyond_table:
        words += "; the load along the shaft is beyond the table's end, so its last row was taken"
    other = life.rating.other
    load, _ = equivalent(life.radial[0], life.axial, other)
    if load is not None:
        words += (
            f"; if C0 is of the {'older' if other.generation == 'older' else 'newer'} generation, the other table "
            f"makes it {reader.show(load, 'force')}: write down static_rating_is"
        )
    return words
