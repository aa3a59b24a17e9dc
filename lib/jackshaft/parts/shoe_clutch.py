"""What a centrifugal clutch holds: the law of its shoes, read from what the build tells of it."""

from __future__ import annotations

from contextlib import suppress
from math import inf, prod, sqrt
from typing import NamedTuple

from jackshaft import tables
from jackshaft.mechanics import clutch, shoes
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import Measure

ENGINE = "engine"
BURNISHED = clutch.Band(1.0, 1.0, 1.0)
FACES = {
    "new": (clutch.NEW_FACES, "new faces: 0.5 to 0.8 of burnished ones until they are run in"),
    "oiled": (clutch.OILED, "oily faces: a quarter to two fifths of dry ones"),
    "burnished": (BURNISHED, "burnished, dry faces"),
    None: (clutch.Band(clutch.NEW_FACES.bad, 1.0, 1.0), "faces taken as run in; at the bad end they are new"),
}
#: Share by which a friction that is given may be off where the build allows nothing: common practice, no source.
FRICTION_SPREAD = 0.2
HELD = "clutch.static_torque", "clutch.torque_speed", "clutch.engage_speed"
SHOES = ("clutch.shoes", "clutch.shoe_mass", "clutch.shoe_radius", "clutch.drum_diameter")
FRICTION, SPRING, ENGAGES = "clutch.shoe_friction", "clutch.shoe_spring", "clutch.engage_speed"
SPRUNG = SPRING, "clutch.shoe_mass", "clutch.shoe_radius"


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


def over_of(ratio, shaft: str) -> float:
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


def torque_at(reader: Reader, ratio, shaft: str, engine_speed: float) -> clutch.Band:
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


def ends(reader: Reader, ratio, shaft: str) -> tuple[clutch.Band, clutch.Band]:
    """Return what the shoes hold at the working speed, and at the engine's top speed; raises as :func:`torque_at`."""
    work = reader.require_si("engine.work_speed")
    engine = None if ratio is None else ratio.shaft(ENGINE)
    top = work if engine is None else max(work, engine.top or 0.0)
    return torque_at(reader, ratio, shaft, work), torque_at(reader, ratio, shaft, top)


__all__ = [
    "BURNISHED",
    "ENGAGES",
    "FACES",
    "HELD",
    "SHOES",
    "Law",
    "by_shoes",
    "ends",
    "engages_at",
    "law_of",
    "over_of",
    "shoes_law",
    "sprung",
    "sprung_ends",
    "torque_at",
]
