"""A centrifugal clutch: what its shoes hold at work, and whether the work stands while the engine idles."""

from __future__ import annotations

from contextlib import suppress
from math import inf, prod, sqrt
from typing import NamedTuple

from jackshaft import tables
from jackshaft.chapters.clutch.checks import SERVICE_SOURCE, service_factor
from jackshaft.chapters.clutch.torque import FACES
from jackshaft.chapters.clutch.ways_data import CENTRIFUGAL as KIND
from jackshaft.chapters.electric.words import unless_go
from jackshaft.chapters.ratio.data import ENGINE, RatioData
from jackshaft.mechanics import clutch, shoes
from jackshaft.parts.engine_curve import POINTS, engine_curve, full_throttle
from jackshaft.parts.engine_curve import torque_at as torque_of_engine
from jackshaft.parts.motor import is_motor
from jackshaft.results.checks import CAUTION, GO, ORDER, grade, reaches
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import Measure, at_least, at_most

#: Share by which the speed of engaging may be off where the build allows nothing: common practice, no source.
SPREAD = 0.05
#: Share by which a friction that is given may be off where the build allows nothing: common practice, no source.
FRICTION_SPREAD = 0.2
HELD = "clutch.static_torque", "clutch.torque_speed", "clutch.engage_speed"
SHOES = ("clutch.shoes", "clutch.shoe_mass", "clutch.shoe_radius", "clutch.drum_diameter")
FRICTION, SPRING, ENGAGES = "clutch.shoe_friction", "clutch.shoe_spring", "clutch.engage_speed"
SPRUNG = SPRING, "clutch.shoe_mass", "clutch.shoe_radius"
#: Share by which the speed of engaging that is given may be above that of the springs: common practice, no source.
AGREES = 0.1
SOURCE = "khurmi-friction; bhandari ch. 11"
NO_CURVE = " A peak pulls the engine down, and the shoes let go as it slows: its torque at lower speeds is not known."


class Law(NamedTuple):
    """The torque of the shoes, ``per`` (N·m·s²) for each square of the speed above that of engaging (rad/s).

    Both are at the clutch's own shaft; ``words`` say what they rest on. ``late`` is the speed of engaging at its bad
    end where the springs, the masses or their place may be off.
    """

    per: clutch.Band
    engages: float
    words: str
    late: float = 0.0

    @property
    def engaging(self) -> tuple[float, float, float]:
        """The speeds of engaging that go with the torque's bad end, the likely value and the good end."""
        return max(self.engages, self.late), self.engages, self.engages

    def at(self, speed: float) -> clutch.Band:
        """Return the torque (N·m) at a speed of the clutch's shaft (rad/s)."""
        above = (max(speed**2 - engages**2, 0.0) for engages in self.engaging)
        return clutch.Band(*(a * per for a, per in zip(above, self.per, strict=True)))


def over_of(ratio: RatioData | None, shaft: str) -> float:
    """Return the engine's turns for one of the clutch's shaft; raises ``Unknown`` where no stage leads there."""
    state = ratio.shaft(shaft) if ratio is not None else None
    if state is None and shaft != ENGINE:
        raise Unknown("stage")
    return state.over if state is not None else 1.0


def by_shoes(reader: Reader) -> bool:
    """Tell whether the build gives the shoes rather than a torque of the whole clutch."""
    return reader.get(HELD[0]) is None and any(reader.get(key) is not None for key in (*SHOES, FRICTION, SPRING))


def engages_at(reader: Reader, over: float, *, own: bool = True) -> float:
    """Return the speed of the clutch's shaft (rad/s) at which the shoes touch: as given, else by their springs.

    ``own`` tells whether the build's clutch is this one, so that its speed of engaging is that of the shoes.
    """
    given = reader.si(ENGAGES) if own else None
    if given is not None:
        return given / over
    found = sprung(reader)
    if found is None:
        lacks = [k for k in SPRUNG if reader.get(k) is None]
        raise Unknown(ENGAGES if own and reader.get(SPRING) is None else lacks[0])
    return found


def sprung(reader: Reader) -> float | None:
    """Return the speed of the clutch's shaft (rad/s) at which the springs let the shoes touch; None where unknown."""
    spring, mass, reach = (reader.si(k) for k in SPRUNG)
    if None in (spring, mass, reach):
        return None
    return float(shoes.shoe_engages.si(spring, mass=mass, centre_radius=reach))


def sprung_ends(reader: Reader) -> tuple[float, float] | None:
    """Return the least and the highest speed of :func:`sprung` by the allowances of springs, masses and their place."""
    if sprung(reader) is None:
        return None
    spring, mass, reach = (reader.ends(k) for k in SPRUNG)
    early = float(shoes.shoe_engages.si(spring[0], mass=mass[1], centre_radius=reach[1]))
    light = mass[0] * reach[0]
    return early, sqrt(spring[1] / light) if light > 0.0 else inf


def friction_of(reader: Reader) -> tuple[clutch.Band, str] | None:
    """Return the friction of lining on drum as a band, in words too: as given, else that of what rubs; else None."""
    given = reader.get(FRICTION)
    if given is not None:
        off = given.plus_minus or 0.0 if isinstance(given, Measure) else 0.0
        value = given.si if isinstance(given, Measure) else float(given)
        off = off or FRICTION_SPREAD * value
        return clutch.Band(max(value - off, 0.0), value, value + off), f"friction {value:g}"
    facing = reader.get("clutch.facing")
    rows = [] if facing is None else tables.table("friction_pairs").where(pair=facing).rows
    row = next((r for r in rows if str(r["condition"]).startswith("dry")), None)
    if row is None:
        return None
    low, high = row["mu_low"], row["mu_high"]
    return clutch.Band(low, 0.5 * (low + high), high), f"{facing}, friction {low:g} to {high:g}"


def shoes_law(reader: Reader, over: float, *, own: bool = True) -> Law:
    """Return the law of the shoes from their mass, radius, springs and friction.

    Raises
    ------
    Unknown
        Naming everything that is not known.
    OutOfRange
        A centre of mass outside the drum.
    """
    friction, lacks = friction_of(reader), [k for k in SHOES if reader.get(k) is None]
    lacks += [FRICTION] if friction is None else []
    try:
        engages = engages_at(reader, over, own=own)
    except Unknown as unknown:
        lacks += [k for k in unknown.keys if k not in lacks]
    if lacks:
        raise Unknown(*lacks)
    count, (mass, reach, drum) = reader.get(SHOES[0]), (reader.si(k) for k in SHOES[1:])
    sizes = {"shoes": count, "centre_radius": reach, "drum_diameter": drum, "speed": 1.0}
    per = (float(shoes.shoe_torque.si(mass, friction=mu, **sizes)) if mu > 0.0 else 0.0 for mu in friction[0])
    # what mass, place and drum may be off counts as well as the friction
    off = [prod(v) / (mass * reach * drum) for v in zip(*(reader.ends(k) for k in SHOES[1:]), strict=True)]
    band = clutch.Band(*(p * f for p, f in zip(per, (off[0], 1.0, off[1]), strict=True)))
    state = reader.get("clutch.faces")
    if state is not None:
        band = clutch.times_si(band, factor=FACES[state][0])
    words = f"{count} shoes of {reader.show(mass, 'mass')} at {reader.both(reach, 'length')}, {friction[1]}"
    springs = sprung_ends(reader) if reader.get(ENGAGES) is None or not own else None
    return Law(band, engages, words, engages if springs is None else springs[1])


def plate_law(reader: Reader, over: float) -> Law:
    """Return the law from a torque that is stated at a speed; raises as :func:`shoes_law`."""
    lacks = tuple(k for k in HELD[:2] if reader.get(k) is None)
    with suppress(Unknown):
        engages = engages_at(reader, over)
        torque, stated = reader.require(*HELD[:2])
        per = float(clutch.centrifugal_torque_si(torque.si, at=stated.si, engages=engages, speed=stated.si))
        per /= stated.si**2 - engages**2
        off = (torque.plus_minus or 0.0) / torque.si
        band = clutch.times_si(per, factor=clutch.Band(1.0 - off, 1.0, 1.0 + off))
        words = f"{reader.show(torque.si, 'torque')} at {reader.show(stated.si, 'rotation')}"
        return Law(clutch.times_si(band, factor=FACES[reader.get("clutch.faces")][0]), engages, words)
    raise Unknown(*lacks, *(() if reader.get(ENGAGES) is not None else (ENGAGES,)))


def law_of(reader: Reader, over: float) -> Law:
    """Return the law of the build's clutch: by its stated torque, else by its shoes; raises as :func:`shoes_law`."""
    return shoes_law(reader, over) if by_shoes(reader) else plate_law(reader, over)


def torque_at(reader: Reader, ratio: RatioData | None, shaft: str, engine_speed: float) -> clutch.Band:
    """Return what the shoes hold at a speed of the engine (rad/s), at the clutch's own shaft (N·m).

    Raises
    ------
    Unknown
        Where the torque, its speed, the speed of engaging or the ratio to the engine is not known.
    OutOfRange
        A torque stated at the speed of engaging or below it, where no shoe holds anything.
    """
    over = over_of(ratio, shaft)
    return law_of(reader, over).at(engine_speed / over)


def ends(reader: Reader, ratio: RatioData | None, shaft: str) -> tuple[clutch.Band, clutch.Band]:
    """Return what the shoes hold at the working speed, and at the engine's top speed; raises as :func:`torque_at`."""
    work = reader.require_si("engine.work_speed")
    engine = None if ratio is None else ratio.shaft(ENGINE)
    top = work if engine is None else max(work, engine.top or 0.0)
    return torque_at(reader, ratio, shaft, work), torque_at(reader, ratio, shaft, top)


def lacking(reader: Reader, ratio: RatioData | None, shaft: str) -> tuple[str, ...]:
    """Return the keys without which it is not known what the shoes hold."""
    try:
        law_of(reader, over_of(ratio, shaft))
    except Unknown as unknown:
        return unknown.keys
    return ()


def hold(draft: Draft, reader: Reader, ratio: RatioData | None, required: clutch.Required | None, shaft: str) -> None:
    """Add the verdict on what the shoes hold at the working speed."""
    id, name = "clutch.hold", "holding, at the working speed"
    keys = ("engine.work_speed", "work.power", "work.power_at")
    lacks = (*lacking(reader, ratio, shaft), *(k for k in keys if reader.get(k) is None))
    if lacks or required is None or required.hold == 0.0:
        words = "Its torque, the speed that this is stated at, the speed at which it engages or its load is not known."
        draft.missing(reader, id, name, lacks or (() if ratio is None else ratio.between) or ("stage",), words)
        return
    speed, over = reader.require_si("engine.work_speed"), over_of(ratio, shaft)
    law = law_of(reader, over)
    band = law.at(speed / over)
    draft.fact(
        "torque below the speed of engaging",
        "nothing",
        f"up to {reader.show(law.engages * over, 'rotation')} of the engine, "
        f"{reader.show(band.likely, 'torque')} at {reader.show(speed, 'rotation')}; {law.words}",
    )
    verdict, (rule, words) = grade(likely=band.likely, bad=band.bad, limit=required.hold), service_factor(reader)
    if verdict == GO and not reaches(band.likely, rule * required.work):
        verdict = CAUTION
    worse, pulled, passes = _pulled_down(reader, law, over, required.peak)
    wanted, remedy = required.hold, "Use a larger clutch, or put it on a faster shaft, where the torque is smaller."
    if ORDER.index(worse) > ORDER.index(verdict):
        verdict, band, wanted = worse, passes, required.peak
        remedy = "Use springs that let the shoes engage earlier, more or heavier shoes, or an engine with more torque."
    draft.check(
        id=id,
        name=name,
        found=reader.number(band.likely, "torque", "{} ({low} at the bad end)", low=band.bad, high=band.good),
        wanted=reader.number(wanted, "torque", "{} or more"),
        verdict=verdict,
        reason=f"At {reader.show(speed, 'rotation')} of the engine. Its torque goes with the square of its speed, less "
        f"that of the speed at which it engages. {words.capitalize()} needs {rule:g} × the working torque.{pulled}",
        remedy=unless_go(verdict, remedy),
        source=f"{SOURCE}; {SERVICE_SOURCE}",
        guards=not at_most(required.work, band.likely),
    )
    if pulled == NO_CURVE:
        draft.doubt(reader, (POINTS,), "", id)


def _pulled_down(reader: Reader, law: Law, over: float, peak: float) -> tuple[str, str, clutch.Band | None]:
    """Return verdict, words and torque (N·m) of a peak that pulls the engine down, and the shoes with it.

    A motor without a curve holds its speed; an engine does where it has the peak at its working speed already.
    """
    work, curve = reader.require_si("engine.work_speed"), engine_curve(reader)
    has = torque_of_engine(reader, work)[0]
    if (has is not None and at_least(has * over, peak)) or (curve is None and is_motor(reader)):
        return GO, "", None
    if curve is None:
        return GO, NO_CURVE, None
    gives, least = full_throttle(reader, over)
    at = {"gives": gives, "work": work / over, "least": least}
    at["knots"] = tuple(float(w) / over for w in curve.speeds)
    late, engages, _ = law.engaging
    down, passes = shoes.pulled_down_si(law.per.likely, engages=engages, **at)
    good = shoes.pulled_down_si(law.per.good, engages=engages, **at)[1]
    # shoes that may not touch the drum at the working speed yet pass nothing
    bad = shoes.pulled_down_si(law.per.bad, engages=late, **at)[1] if late < at["work"] else 0.0
    verdict = grade(likely=passes, bad=bad, limit=peak)
    words = f" At a peak the engine is pulled down to {reader.show(down * over, 'rotation')}, where engine and shoes "
    words += f"pass {reader.show(passes, 'torque')} ({reader.show(bad, 'torque')} at the bad end) of "
    words += f"{reader.show(peak, 'torque')} wanted."
    return verdict, "" if verdict == GO else words, clutch.Band(bad, passes, good)


def idle(draft: Draft, reader: Reader, ratio: RatioData | None, shaft: str) -> None:
    """Add the verdict on whether the clutch lets go at idle: nothing else stops the work while the engine runs.

    An electric motor does not idle: it is switched off.
    """
    if is_motor(reader):
        return
    id, name = "clutch.idle", "work stands while the engine idles"
    given, runs = reader.get(ENGAGES), reader.get("engine.idle_speed")
    engages, lacks = None if given is None else given.si, () if runs is not None else ("engine.idle_speed",)
    if engages is None:
        try:
            over = over_of(ratio, shaft)
            engages = engages_at(reader, over) * over
        except Unknown as unknown:
            lacks += unknown.keys
    if lacks:
        words = "The shoes engage by speed alone: the work turns at idle where the engine idles too fast."
        draft.missing(reader, id, name, lacks, words)
        return
    springs, words = _by_springs(reader, ratio, shaft) if given is not None else None, ""
    if springs is not None and not at_most((1.0 - AGREES) * engages, springs):
        words = f" The springs let the shoes engage at {reader.show(springs, 'rotation')} already, where "
        words += f"{reader.show(engages, 'rotation')} is written down: measure it. The lower is counted."
        engages, given = springs, None
    off = runs.plus_minus or 0.0
    spread = SPREAD * engages if given is None or given.plus_minus is None else given.plus_minus
    ends_ = None if given is not None else sprung_ends(reader)
    if ends_ is not None:
        spread = max(spread, engages - ends_[0] * over_of(ratio, shaft))
    off += spread
    verdict = grade(likely=runs.si, bad=runs.si + off, limit=engages, higher_is_better=False, guards=True)
    verdict = CAUTION if words and verdict == GO else verdict
    draft.check(
        id=id,
        name=name,
        found=reader.number(runs.si, "rotation", known=reader.how("engine.idle_speed")),
        wanted=reader.number(engages, "rotation", "below {}, where the shoes engage"),
        verdict=verdict,
        reason="Nothing but its speed lets a centrifugal clutch go. Stop the engine before you come near the work."
        + words,
        remedy=unless_go(verdict, "Set the idle lower, or fit springs that let the shoes engage later."),
        source=SOURCE,
        guards=verdict != GO,
    )


def _by_springs(reader: Reader, ratio: RatioData | None, shaft: str) -> float | None:
    """Return the engine's speed (rad/s) at which the springs let the shoes touch; None where it is not known."""
    with suppress(Unknown):
        found = sprung(reader)
        return None if found is None else found * over_of(ratio, shaft)
    return None


__all__ = ["KIND", "Law", "by_shoes", "ends", "hold", "idle", "lacking", "law_of", "over_of", "shoes_law", "torque_at"]
