"""What is known of a clutch's torque, in order of trust: plate, slip test, geometry."""

from __future__ import annotations

import math
from collections.abc import Sequence
from contextlib import suppress
from typing import NamedTuple

from jackshaft import tables
from jackshaft.chapters.electric.supply import made_for, nominal_of
from jackshaft.mechanics import clutch, coil, magnet
from jackshaft.parts.shoe_clutch import BURNISHED, FACES
from jackshaft.results.reader import Reader, Unknown

#: A scale on a lever: reading, lever and the moment of slip together, common practice.
SLIP_SPREAD = 0.10


class Geometry(NamedTuple):
    """The magnet as measured: rings (diameters m), coil turns, friction band, springs (N), gaps shut and open (m)."""

    magnet: magnet.Magnet
    rings: tuple[tuple[float, float], ...]
    turns: float
    friction: clutch.Band
    springs: float
    closed: float
    open: float | None
    assumed: tuple[str, ...]


#: The name of the torque that is stated on the plate.
PLATE = "plate"


class Known(NamedTuple):
    """A known static torque: from what, torque (N·m), coil current it is known at (A), its own band, faces, words.

    ``spread`` is the band as shares of the torque; ``faces`` turns it into the faces' present state, ``run_in`` into
    that of burnished, dry ones.
    """

    name: str
    torque: float
    amps: float
    spread: clutch.Band
    faces: clutch.Band
    faces_words: str
    words: str
    run_in: clutch.Band = BURNISHED


def known_torques(reader: Reader) -> tuple[Known, ...]:
    """Return every torque that is known, the most trusted first."""
    found = []
    for source in (_plate, _slip_test, _from_geometry):
        with suppress(Unknown):
            found.append(source(reader))
    known = tuple(k for k in found if k is not None)
    if not known:
        reader.note_missing("clutch.static_torque", "clutch.slip_force")
    return known


def lacking(reader: Reader) -> tuple[str, ...]:
    """Return the keys without which no torque of the clutch is known."""
    wanted = ("clutch.static_torque",)
    if reader.get("clutch.static_torque") is not None:
        wanted = ("clutch.coil_resistance",) + (("clutch.plate_voltage",) if nominal_of(reader) is None else ())
    elif reader.get("clutch.slip_force") is not None:
        wanted = ("clutch.slip_lever", "clutch.slip_voltage", "clutch.coil_resistance")
    return tuple(k for k in wanted if reader.get(k) is None)


def _faces(reader: Reader) -> dict[str, object]:
    """Return the state of the faces as the fields of a known torque."""
    faces, words = FACES[reader.get("clutch.faces")]
    return {"faces": faces, "faces_words": words}


def _spread(share: float) -> clutch.Band:
    return clutch.Band(1 - share, 1.0, 1 + share)


def _plate(reader: Reader) -> Known | None:
    torque = reader.get("clutch.static_torque")
    if torque is None:
        return None
    volts = made_for(reader)
    if volts is None:
        reader.require("clutch.plate_voltage", "clutch.coil_resistance")
    assumed = "" if reader.si("clutch.plate_voltage") is not None else " (assumed)"
    how = reader.how("clutch.static_torque") or "as given"
    return Known(
        name=PLATE,
        torque=torque.si,
        amps=volts / reader.require_si("clutch.coil_resistance"),
        spread=_spread((torque.plus_minus or 0.0) / torque.si),
        words=f"{how}, at {reader.show(volts, 'voltage')}{assumed} and a coil at room temperature",
        **_faces(reader),
    )


def _slip_test(reader: Reader) -> Known | None:
    force = reader.si("clutch.slip_force")
    if force is None:
        return None
    lever, volts, r20 = reader.require_si("clutch.slip_lever", "clutch.slip_voltage", "clutch.coil_resistance")
    rise = reader.si("clutch.slip_rise", 0.0)
    hot = float(coil.hot_resistance.si(r20, temperature=coil.T20 + rise))
    words = (
        f"{reader.show(force, 'force')} on {reader.both(lever, 'length')}, {reader.show(volts, 'voltage')} at the coil"
        + (f", {reader.both(rise, 'temperature rise')} warm" if rise else ", coil cold")
    )
    # the test was made with the faces as they are, so their state is in it already
    return Known(
        name="slip test",
        torque=float(clutch.slip_test.si(force, lever=lever)),
        amps=volts / hot,
        spread=_spread(SLIP_SPREAD),
        faces=BURNISHED,
        faces_words="faces as they were in the test",
        words=words,
        run_in=clutch.Band(*(1.0 / share for share in reversed(FACES[reader.get("clutch.faces")][0]))),
    )


def rings_of(reader: Reader) -> tuple[tuple[float | None, float | None], ...]:
    """Return inner and outer diameter (m) of every ring of the magnet, None where it is not known."""
    names = reader.names("clutch.pole")
    return tuple((reader.si(f"clutch.pole[{n}].inner"), reader.si(f"clutch.pole[{n}].outer")) for n in names)


def geometry_of(reader: Reader) -> Geometry | None:
    """Return the magnet as measured, or None where its rings or its turns are not known."""
    names, rings = reader.names("clutch.pole"), rings_of(reader)
    if not rings:
        return None
    try:
        *_, turns = reader.require(
            *(f"clutch.pole[{n}].{k}" for n in names for k in ("inner", "outer")), "clutch.turns"
        )
    except Unknown:
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
    if given is None:
        row = tables.table("friction_pairs").one(pair="steel armature / steel rotor", condition="dry burnished")
        low, high = row["mu_low"], row["mu_high"]
        friction = clutch.Band(low, 0.5 * (low + high), high)
        assumed.append(f"friction {low:g} to {high:g}")
    else:
        friction = clutch.Band(0.8 * given, given, 1.2 * given)
    return Geometry(
        magnet=magnet.Magnet(poles, iron=(magnet.Iron(length, neck),), leakage=leak),
        rings=rings,
        turns=float(turns),
        friction=friction,
        springs=springs,
        closed=gap,
        open=reader.si("clutch.air_gap"),
        assumed=tuple(assumed),
    )


def _pressure_radius(rings: Sequence[tuple[float, float]]) -> float:
    """Return the friction radius under uniform pressure over that of worn-in rings, the rings' areas counted."""

    def radius(ring: tuple[float, float], **how) -> float:
        return clutch.face_torque.si(1.0, friction=1.0, inner_diameter=ring[0], outer_diameter=ring[1], **how).radius

    shares = [radius(ring, worn_in=False) / radius(ring) for ring in rings]
    return float(sum(shares) / len(shares))


def _from_geometry(reader: Reader) -> Known | None:
    found, r20 = geometry_of(reader), reader.si("clutch.coil_resistance")
    volts = made_for(reader)
    if found is None or r20 is None or volts is None:
        return None
    amps = volts / r20
    # once the gap is closed no flux misses the armature worth counting
    shut = found.magnet._replace(leakage=0.0)
    pull = magnet.pull_si(found.turns * amps, gap=found.closed, magnet=shut)
    radii = tuple((a + b) / 4 for a, b in found.rings)
    bad, likely, good = (
        float(magnet.friction_torque_si(pull, friction=mu, radii=radii, springs=found.springs)) for mu in found.friction
    )
    if likely <= 0.0:
        return None
    words = (
        f"{found.turns * amps:.0f} ampere-turns, {reader.show(float(pull.force), 'force')} of pull, steel at "
        f"{float(pull.density):.2f} T; worn in (uniform wear); new stiff faces (uniform pressure) "
        f"{100 * (_pressure_radius(found.rings) - 1):+.1f} %; " + "; ".join(found.assumed)
    )
    return Known(
        name="geometry",
        torque=likely,
        amps=amps,
        spread=clutch.Band(bad / likely, 1.0, good / likely),
        words=words,
        **_faces(reader),
    )


__all__ = ["Geometry", "Known", "PLATE", "SLIP_SPREAD", "geometry_of", "known_torques", "lacking", "rings_of"]
