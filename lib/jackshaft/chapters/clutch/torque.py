"""What is known of a clutch's torque, in order of trust: plate, slip test, geometry."""

from __future__ import annotations

import math
from typing import NamedTuple

from jackshaft import tables
from jackshaft.chapters.electric.line import nominal_of
from jackshaft.mechanics import clutch, coil, magnet
from jackshaft.results.reader import Reader

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


def known_torques(reader: Reader) -> tuple[Known, ...]:
    """Return every torque that is known, the most trusted first."""
    found = tuple(k for k in (_plate(reader), _slip_test(reader), _from_geometry(reader)) if k is not None)
    if not found:
        reader.note_missing("clutch.static_torque", "clutch.slip_force")
    return found


def _faces(reader: Reader) -> tuple[clutch.Band, str]:
    return FACES[reader.get("clutch.faces") or "burnished"]


def _plate(reader: Reader) -> Known | None:
    torque, r20 = reader.get("clutch.static_torque"), reader.si("clutch.coil_resistance")
    if torque is None:
        return None
    volts = reader.si("clutch.plate_voltage", nominal_of(reader))
    if volts is None or r20 is None:
        reader.note_missing(
            *(k for k, v in (("clutch.plate_voltage", volts), ("clutch.coil_resistance", r20)) if v is None)
        )
        return None
    said = reader.si("clutch.plate_voltage") is not None
    words = (
        f"{reader.how('clutch.static_torque') or 'as given'}, at {reader.show(volts, 'voltage')}"
        + ("" if said else " (the system's voltage, assumed)")
        + " and a coil at room temperature"
    )
    share = (torque.plus_minus or 0.0) / torque.si
    return Known("plate", torque.si, volts / r20, clutch.Band(1 - share, 1.0, 1 + share), *_faces(reader), words)


def _slip_test(reader: Reader) -> Known | None:
    force, lever = reader.si("clutch.slip_force"), reader.si("clutch.slip_lever")
    volts, r20 = reader.si("clutch.slip_voltage"), reader.si("clutch.coil_resistance")
    if force is None:
        return None
    missing = [
        k
        for k, v in (("clutch.slip_lever", lever), ("clutch.slip_voltage", volts), ("clutch.coil_resistance", r20))
        if v is None
    ]
    if missing:
        reader.note_missing(*missing)
        return None
    rise = reader.si("clutch.slip_rise", 0.0)
    hot = float(coil.hot_resistance.si(r20, temperature=coil.T20 + rise))
    torque = float(clutch.slip_test.si(force, lever=lever))
    words = (
        f"{reader.show(force, 'force')} on {reader.both(lever, 'length')}, {reader.show(volts, 'voltage')} at the coil"
        + (f", {reader.both(rise, 'temperature rise')} warm" if rise else ", coil cold")
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


def geometry_of(reader: Reader) -> Geometry | None:
    """Return the magnet as measured, or None where its rings or its turns are not known."""
    names = reader.names("clutch.pole")
    turns = reader.get("clutch.turns")
    rings = [(reader.si(f"clutch.pole[{n}].inner"), reader.si(f"clutch.pole[{n}].outer")) for n in names]
    if not rings:
        return None
    missing = [
        f"clutch.pole[{n}].{k}"
        for n, ring in zip(names, rings, strict=True)
        for k, v in zip(("inner", "outer"), ring, strict=True)
        if v is None
    ]
    if turns is None or missing:
        reader.note_missing(*missing, *(() if turns else ("clutch.turns",)))
        return None
    bad = [n for n, (a, b) in zip(names, rings, strict=True) if a >= b]
    if bad:
        reader.note_missing(*(f"clutch.pole[{n}].outer" for n in bad))
        return None
    facts = tables.table("clutch_facts")
    gap = facts.one(part="gap", item="closed, roughness and run-out")["likely"] / 1e3
    leak = facts.one(part="iron", item="leakage of flux, gap open")["likely"] / 100
    assumed = [f"closed gap {reader.show(gap, 'length')}, {100 * leak:.0f} % of the flux misses the armature"]
    poles = tuple(magnet.Pole(math.pi / 4 * (b**2 - a**2), (b - a) / 2) for a, b in rings)
    neck, length = reader.si("clutch.neck_area"), reader.si("clutch.iron_length")
    if neck is None:
        neck = min(p.area for p in poles)
        assumed.append("the narrowest steel is as large as the smaller ring")
    if length is None:
        length = 2.0 * max(b for _, b in rings)
        assumed.append("the flux runs twice the outer diameter through steel")
    springs = reader.si("clutch.spring_force")
    if springs is None:
        springs = facts.one(part="springs", item="return force")["likely"]
        assumed.append(f"springs {reader.show(springs, 'force')}")
    given = reader.si("clutch.friction")
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
        reader.si("clutch.air_gap"),
        tuple(assumed),
    )


def _pressure_radius(reader: Reader) -> float:
    """Return the friction radius under uniform pressure over that of worn-in rings, the rings' areas counted."""
    rings = [
        (reader.si(f"clutch.pole[{n}].inner"), reader.si(f"clutch.pole[{n}].outer"))
        for n in reader.names("clutch.pole")
    ]
    shares = [
        clutch.face_torque.si(1.0, friction=1.0, inner_diameter=a, outer_diameter=b, worn_in=False).radius
        / clutch.face_torque.si(1.0, friction=1.0, inner_diameter=a, outer_diameter=b).radius
        for a, b in rings
    ]
    return float(sum(shares) / len(shares))


def _from_geometry(reader: Reader) -> Known | None:
    found, r20 = geometry_of(reader), reader.si("clutch.coil_resistance")
    volts = reader.si("clutch.plate_voltage", nominal_of(reader))
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
        f"{found.turns * amps:.0f} ampere-turns, {reader.show(float(pull.force), 'force')} of pull, steel at "
        f"{float(pull.density):.2f} T; worn in (uniform wear); new stiff faces (uniform pressure) "
        f"{100 * (_pressure_radius(reader) - 1):+.1f} %; " + "; ".join(found.assumed)
    )
    return Known(
        "geometry",
        torque[1],
        amps,
        clutch.Band(torque[0] / torque[1], 1.0, torque[2] / torque[1]),
        *_faces(reader),
        words,
    )


__all__ = ["FACES", "Geometry", "Known", "SLIP_SPREAD", "geometry_of", "known_torques"]
