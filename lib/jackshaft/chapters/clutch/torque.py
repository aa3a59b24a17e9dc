"""What is known of a clutch's torque, in order of trust: plate, slip test, geometry."""

from __future__ import annotations

import math
from typing import NamedTuple

from jackshaft import tables
from jackshaft.chapters.electric.line import nominal_of
from jackshaft.mechanics import clutch, coil, magnet
from jackshaft.results.reader import Looker

BURNISHED = clutch.Band(1.0, 1.0, 1.0)
FACES = {
    "new": (clutch.NEW_FACES, "new faces: 0.5 to 0.8 of burnished ones until they are run in"),
    "oiled": (clutch.OILED, "oily faces: a quarter to two fifths of dry ones"),
    "burnished": (BURNISHED, "burnished, dry faces"),
}
#: A scale on a lever: reading, lever and the moment of slip together, common practice.
SLIP_SPREAD = 0.10


class Geometry(NamedTuple):
    """The magnet as measured: rings (mean radius m), coil turns, friction band, springs (N), gaps shut and open (m)."""

    magnet: magnet.Magnet
    radii: tuple[float, ...]
    turns: float
    friction: clutch.Band
    springs: float
    closed: float
    open: float | None
    assumed: tuple[str, ...]


class Known(NamedTuple):
    """A known static torque: from what, torque (N·m), coil current it is known at (A), its own band, faces, words.

    ``spread`` is the band as shares of the torque; ``faces`` turns it into the faces' present state.
    """

    name: str
    torque: float
    amps: float
    spread: clutch.Band
    faces: clutch.Band
    faces_words: str
    words: str


def known_torques(look: Looker) -> tuple[Known, ...]:
    """Return every torque that is known, the most trusted first."""
    found = tuple(k for k in (_plate(look), _slip_test(look), _from_geometry(look)) if k is not None)
    if not found:
        look.lack("clutch.static_torque", "clutch.slip_force")
    return found


def _faces(look: Looker) -> tuple[clutch.Band, str]:
    return FACES[look.get("clutch.faces") or "burnished"]


def _plate(look: Looker) -> Known | None:
    torque, r20 = look.get("clutch.static_torque"), look.si("clutch.coil_resistance")
    if torque is None:
        return None
    volts = look.si("clutch.plate_voltage", nominal_of(look))
    if volts is None or r20 is None:
        look.lack(*(k for k, v in (("clutch.plate_voltage", volts), ("clutch.coil_resistance", r20)) if v is None))
        return None
    said = look.si("clutch.plate_voltage") is not None
    words = (
        f"{look.how('clutch.static_torque') or 'as given'}, at {look.show(volts, 'voltage')}"
        + ("" if said else " (the system's voltage, assumed)")
        + " and a coil at room temperature"
    )
    share = (torque.plus_minus or 0.0) / torque.si
    return Known("plate", torque.si, volts / r20, clutch.Band(1 - share, 1.0, 1 + share), *_faces(look), words)


def _slip_test(look: Looker) -> Known | None:
    force, lever = look.si("clutch.slip_force"), look.si("clutch.slip_lever")
    volts, r20 = look.si("clutch.slip_voltage"), look.si("clutch.coil_resistance")
    if force is None:
        return None
    missing = [
        k
        for k, v in (("clutch.slip_lever", lever), ("clutch.slip_voltage", volts), ("clutch.coil_resistance", r20))
        if v is None
    ]
    if missing:
        look.lack(*missing)
        return None
    rise = look.si("clutch.slip_rise", 0.0)
    hot = float(coil.hot_resistance.si(r20, temperature=coil.T20 + rise))
    torque = float(clutch.slip_test.si(force, lever=lever))
    words = (
        f"{look.show(force, 'force')} on {look.both(lever, 'length')}, {look.show(volts, 'voltage')} at the coil"
        + (f", {look.both(rise, 'temperature rise')} warm" if rise else ", coil cold")
    )
    # the test felt the faces as they are, so their state is in it already
    return Known(
        "slip test",
        torque,
        volts / hot,
        clutch.Band(1 - SLIP_SPREAD, 1.0, 1 + SLIP_SPREAD),
        BURNISHED,
        "faces as they were in the test",
        words,
    )


def geometry_of(look: Looker) -> Geometry | None:
    """Return the magnet as measured, or None where its rings or its turns are not known."""
    names = look.names("clutch.pole")
    turns = look.get("clutch.turns")
    rings = [(look.si(f"clutch.pole[{n}].inner"), look.si(f"clutch.pole[{n}].outer")) for n in names]
    if not rings:
        return None
    missing = [
        f"clutch.pole[{n}].{k}"
        for n, ring in zip(names, rings, strict=True)
        for k, v in zip(("inner", "outer"), ring, strict=True)
        if v is None
    ]
    if turns is None or missing:
        look.lack(*missing, *(() if turns else ("clutch.turns",)))
        return None
    bad = [n for n, (a, b) in zip(names, rings, strict=True) if a >= b]
    if bad:
        look.lack(*(f"clutch.pole[{n}].outer" for n in bad))
        return None
    facts = tables.table("clutch_facts")
    gap = facts.one(part="gap", item="closed, roughness and run-out")["likely"] / 1e3
    leak = facts.one(part="iron", item="leakage of flux, gap open")["likely"] / 100
    assumed = [f"closed gap {look.show(gap, 'length')}, {100 * leak:.0f} % of the flux misses the armature"]
    poles = tuple(magnet.Pole(math.pi / 4 * (b**2 - a**2), (b - a) / 2) for a, b in rings)
    neck, length = look.si("clutch.neck_area"), look.si("clutch.iron_length")
    if neck is None:
        neck = min(p.area for p in poles)
        assumed.append("the narrowest steel is as large as the smaller ring")
    if length is None:
        length = 2.0 * max(b for _, b in rings)
        assumed.append("the flux runs twice the outer diameter through steel")
    springs = look.si("clutch.spring_force")
    if springs is None:
        springs = facts.one(part="springs", item="return force")["likely"]
        assumed.append(f"springs {look.show(springs, 'force')}")
    given = look.si("clutch.friction")
    row = tables.table("friction_pairs").one(pair="steel armature / steel rotor", condition="dry burnished")
    low, high = row["mu_low"], row["mu_high"]
    friction = (
        clutch.Band(low, 0.5 * (low + high), high) if given is None else clutch.Band(0.8 * given, given, 1.2 * given)
    )
    if given is None:
        assumed.append(f"friction {low:g} to {high:g}")
    return Geometry(
        magnet.Magnet(poles, iron=(magnet.Iron(length, neck),), leakage=leak),
        tuple((a + b) / 4 for a, b in rings),
        float(turns),
        friction,
        springs,
        gap,
        look.si("clutch.air_gap"),
        tuple(assumed),
    )


def _pressure_radius(look: Looker) -> float:
    """Return the friction radius under uniform pressure over that of worn-in rings, the rings' areas counted."""
    rings = [
        (look.si(f"clutch.pole[{n}].inner") / 2, look.si(f"clutch.pole[{n}].outer") / 2)
        for n in look.names("clutch.pole")
    ]
    shares = [
        clutch.face_torque.si(1.0, friction=1.0, inner=a, outer=b, worn_in=False).radius
        / clutch.face_torque.si(1.0, friction=1.0, inner=a, outer=b).radius
        for a, b in rings
    ]
    return float(sum(shares) / len(shares))


def _from_geometry(look: Looker) -> Known | None:
    found, r20 = geometry_of(look), look.si("clutch.coil_resistance")
    volts = look.si("clutch.plate_voltage", nominal_of(look))
    if found is None or r20 is None or volts is None:
        return None
    amps = volts / r20
    # once the gap is closed no flux misses the armature worth counting
    shut = found.magnet._replace(leakage=0.0)
    pull = magnet.pull_si(found.turns * amps, gap=found.closed, magnet=shut)
    torque = [
        float(magnet.friction_torque_si(pull, friction=mu, radii=found.radii, springs=found.springs))
        for mu in found.friction
    ]
    if torque[1] <= 0.0:
        return None
    words = (
        f"{found.turns * amps:.0f} ampere-turns, {look.show(float(pull.force), 'force')} of pull, steel at "
        f"{float(pull.density):.2f} T; worn in (uniform wear); new stiff faces (uniform pressure) "
        f"{100 * (_pressure_radius(look) - 1):+.1f} %; " + "; ".join(found.assumed)
    )
    return Known(
        "geometry",
        torque[1],
        amps,
        clutch.Band(torque[0] / torque[1], 1.0, torque[2] / torque[1]),
        *_faces(look),
        words,
    )


__all__ = ["FACES", "Geometry", "Known", "SLIP_SPREAD", "geometry_of", "known_torques"]
