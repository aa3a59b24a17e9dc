"""One shaft as a beam: bending, torque, slope and the safety of every section that something weakens."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.mechanics import shaft_strength, shafts, whirl
from jackshaft.workup.bearings import ShaftReactions
from jackshaft.workup.core import Looker

#: Words of the build for each feature, and the row of the table of stress raisers.
FEATURES = {
    "end-milled keyseat": "end-milled keyseat, r/d 0.02",
    "sled-runner keyseat": "sled-runner keyseat",
    "sharp shoulder": "sharp shoulder, r/d 0.02",
    "shoulder with a radius": "shoulder, r/d 0.1",
    "ring groove": "ring groove",
    "press-fit edge": "press-fit edge",
    "cross hole or screw dimple": "cross hole or screw dimple",
    # the toe of a weld: no row of its own, taken as a sharp shoulder on a rolled surface (common practice, no source)
    "weld": "sharp shoulder, r/d 0.02",
}
JOINT_FEATURE = {"parallel key": "end-milled keyseat", "set screws": "cross hole or screw dimple", "split hub": "press-fit edge",
                 "weld ring": "weld", "taper bush": "press-fit edge", "flange": "sharp shoulder"}
RELIABILITY = 99  # per cent
PIECES = 14  # lumps of the shaft's own mass: within half a per cent of the uniform shaft's exact whirl speed
BESIDE = 0.02  # m; a shaft of unknown length ends so far beyond its last part


class Steel(NamedTuple):
    """Strengths and stiffness of a shaft, Pa and kg/m3, and where they are from."""

    yield_stress: float
    tensile: float
    elastic: float
    shear: float
    density: float
    words: str


class SectionState(NamedTuple):
    """One place that something weakens: load there at work and at the peak (N·m), raiser, and safeties.

    ``fatigue`` holds at work, ``fatigue_peak`` and ``yielding_peak`` with the peak load; ``ripple`` is the
    swing of the torque over its mean.
    """

    name: str
    at: float
    feature: str
    moment: float
    torque: float
    moment_peak: float
    torque_peak: float
    diameter: float
    fatigue: float
    fatigue_peak: float
    yielding_peak: float
    finish: str
    ripple: float


class ShaftState(NamedTuple):
    """One shaft worked out; beams at work and at the peak, its weakest section first."""

    name: str
    steel: Steel
    steps: tuple[shafts.Step, ...]
    work: shafts.Beam
    peak: shafts.Beam
    sections: tuple[SectionState, ...]
    whirl: whirl.Whirl
    reactions: ShaftReactions
    torque_known: bool


def steel_of(look: Looker, shaft: str) -> tuple[Steel | None, tuple[str, ...]]:
    """Return the steel of a shaft, or the keys that are missing."""
    at = f"shaft[{shaft}]"
    name, low, high = look.get(f"{at}.material"), look.si(f"{at}.yield_strength"), look.si(f"{at}.tensile_strength")
    row = next((r for r in tables.table("materials").rows if name and r["material"].lower() == str(name).lower()), None)
    low = low if low is not None else row and row["yield_mpa"] * 1e6
    high = high if high is not None else row and row["tensile_mpa"] * 1e6
    lacks = tuple(k for k, v in ((f"{at}.yield_strength", low), (f"{at}.tensile_strength", high)) if v is None)
    if lacks:
        return None, lacks
    if row is None:
        return Steel(low, high, shafts.STEEL_E, shafts.STEEL_G, shafts.STEEL_DENSITY, "strengths from the build file"), ()
    return Steel(low, high, row["e_gpa"] * 1e9, row["g_gpa"] * 1e9, row["density_kg_per_m3"], f"{row['material']}; {row.cite}"), ()


def steps_of(look: Looker, found: ShaftReactions) -> tuple[tuple[shafts.Step, ...], tuple[str, ...]]:
    """Return the steps of a shaft, or the keys that are missing; without steps it is one diameter all along."""
    at = f"shaft[{found.shaft}]"
    names, steps, lacks = look.names(f"{at}.step"), [], []
    for name in names:
        here = f"{at}.step[{name}]"
        start, end, size = (look.si(f"{here}.{k}") for k in ("start", "end", "diameter"))
        lacks += [f"{here}.{k}" for k, v in (("start", start), ("end", end), ("diameter", size)) if v is None]
        if None not in (start, end, size):
            steps.append(shafts.Step(start, end, size, look.si(f"{here}.bore", 0.0)))
    if names:
        return tuple(steps), tuple(lacks)
    size = look.si(f"{at}.diameter")
    if size is None:
        return (), (f"{at}.diameter",)
    places = np.concatenate([found.at, found.loads.at])
    return (shafts.Step(float(places.min()) - BESIDE, float(places.max()) + BESIDE, size),), ()


def beam(found: ShaftReactions, steps, steel: Steel, case: int, *, peak: bool) -> shafts.Beam:
    """Return the beam of one load case (0 work, 1 rest, 2 peak)."""
    supports = [shafts.Support(n, float(a)) for n, a in zip(found.bearings, found.at, strict=True)]
    loads = []
    for pull in found.loads.pulls:
        torque = (pull.peak_torque if peak else pull.torque) or 0.0
        loads.append(shafts.Load(pull.name, pull.at, x=pull.force[case, 0], y=pull.force[case, 1], torque=torque))
    return shafts.beam_si(steps, supports, loads, elastic_modulus=steel.elastic, shear_modulus=steel.shear)


def work_out(look: Looker, found: ShaftReactions, steps, steel: Steel) -> ShaftState:
    """Work out one shaft.

    Raises
    ------
    ShaftError
        With every reason why it cannot be.
    """
    work, peak = beam(found, steps, steel, 0, peak=False), beam(found, steps, steel, 2, peak=True)
    finish = look.get(f"shaft[{found.shaft}].finish") or "machined or cold-drawn"
    ripple = look.si(f"shaft[{found.shaft}].torque_ripple", 0.0)
    sections = [_section(n, at, feature, work, peak, steel, finish, ripple) for n, at, feature in places(look, found, steps)]
    sections.sort(key=lambda s: (s.fatigue_peak, s.at))
    masses = [(p.at, p.weight) for p in found.loads.pulls if p.weight > 0]
    at, mass = shafts.lumps_si(steps, density=steel.density, pieces=PIECES)
    at, mass = np.concatenate([at, [m[0] for m in masses]]), np.concatenate([mass, [m[1] for m in masses]])
    supports = [shafts.Support(n, float(a)) for n, a in zip(found.bearings, found.at, strict=True)]
    speed = whirl.whirl_si(shafts.flexibility_si(steps, supports, at, elastic_modulus=steel.elastic), mass)
    known = all(p.torque is not None for p in found.loads.pulls if p.stage is not None)
    return ShaftState(found.shaft, steel, tuple(steps), work, peak, tuple(sections), speed, found, known)


def places(look: Looker, found: ShaftReactions, steps) -> list[tuple[str, float, str]]:
    """Return every place that something weakens: (name, place, feature in words of the build).

    A hub that carries torque and has no joint written down is taken as keyed, each bearing as a press-fit
    edge, each change of diameter as a sharp corner.
    """
    base, listed = f"shaft[{found.shaft}]", []
    for name in look.names(f"{base}.feature"):
        at, kind = look.si(f"{base}.feature[{name}].position"), look.get(f"{base}.feature[{name}].kind")
        if at is not None and kind is not None:
            listed.append((name, at, kind))
    for name in look.names(f"{base}.joint"):
        at, kind = look.si(f"{base}.joint[{name}].position"), look.get(f"{base}.joint[{name}].kind")
        if at is not None and kind is not None:
            listed.append((name, at, JOINT_FEATURE[kind]))
    taken = [at for _, at, _ in listed]

    def free(at: float) -> bool:
        return all(abs(at - t) > 5e-3 for t in taken)

    found_places = list(listed)
    found_places += [(p.name, p.at, "end-milled keyseat") for p in found.loads.pulls if p.stage is not None and free(p.at)]
    found_places += [(p.name, p.at, "press-fit edge") for p in found.loads.pulls if p.stage is None and free(p.at)]
    found_places += [(f"bearing {n}", float(a), "press-fit edge") for n, a in zip(found.bearings, found.at, strict=True) if free(a)]
    order = sorted(steps)
    found_places += [(f"step at {look.show(a.end, 'length')}", a.end, "sharp shoulder") for a, b in zip(order[:-1], order[1:], strict=True)
                     if a.diameter != b.diameter and free(a.end)]
    return found_places


def _section(name, at, feature, work, peak, steel: Steel, finish: str, ripple: float) -> SectionState:
    raiser = shaft_strength.raiser(FEATURES[feature])
    now, top = shafts.section_si(work, at), shafts.section_si(peak, at)
    finish = "hot-rolled" if feature == "weld" else finish
    endurance = shaft_strength.endurance_limit.si(steel.tensile, now.diameter, finish=finish, reliability=RELIABILITY)
    safeties = []
    for section in (now, top):
        duty = shaft_strength.duty.si(section.moment, section.torque, torque_ripple=ripple)
        safeties.append(shaft_strength.strength.si(duty, section.diameter, endurance=endurance, tensile=steel.tensile,
                                                   yield_stress=steel.yield_stress, raiser=raiser, bore=section.bore))
    return SectionState(name, at, feature, now.moment, now.torque, top.moment, top.torque, now.diameter, float(safeties[0].fatigue),
                        float(safeties[1].fatigue), float(safeties[1].yielding), finish, ripple)


__all__ = ["FEATURES", "JOINT_FEATURE", "RELIABILITY", "SectionState", "ShaftState", "Steel", "beam", "places", "steel_of", "steps_of",
           "work_out"]
