"""One shaft as a beam: bending, torque, slope and the safety of every section that something weakens."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.bearings.data import ShaftReactions
from jackshaft.chapters.shafts.mending import on_shaft
from jackshaft.mechanics import shaft_strength, shafts, whirl
from jackshaft.parts.shaft_loads import BESIDE
from jackshaft.results.reader import Reader
from jackshaft.units import first_least

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
    "spline root": "spline root",
}
JOINT_FEATURE = {
    "parallel key": "end-milled keyseat",
    "set screws": "cross hole or screw dimple",
    "split hub": "press-fit edge",
    "weld ring": "weld",
    "taper bush": "press-fit edge",
    "flange": "sharp shoulder",
    "spline": "spline root",
}
RELIABILITY = 99  # per cent
PIECES = 14  # lumps of the shaft's own mass: within half a per cent of the uniform shaft's exact whirl speed
AT = {"work": "at work", "peak": "at the peak", "start": "at the start", "overrun": "at overrun"}


class Steel(NamedTuple):
    """Strengths and stiffness of a shaft, Pa and kg/m3, and where they are from."""

    yield_stress: float
    tensile: float
    elastic: float
    shear: float
    density: float
    words: str


class CaseSafety(NamedTuple):
    """One load case at one place: bending moment and torque, N·m, how they swing, and the safeties.

    In overrun the torque is taken to swing from that at work to that of overrun and back.
    """

    case: str
    moment: float
    torque: float
    duty: shaft_strength.Duty
    fatigue: float
    yielding: float


class SectionState(NamedTuple):
    """One place that something weakens: load there at work and at the peak (N·m), raiser, and safeties.

    ``fatigue`` holds at work, ``fatigue_peak`` and ``yielding_peak`` with the peak load; ``cases`` are the
    peak, start and overrun as far as they are known; ``ripple`` is the swing of the torque over its mean.
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
    shaft: float
    cases: tuple[CaseSafety, ...]

    @property
    def hardest(self) -> CaseSafety:
        """The case beside work that leaves the least safety against fatigue; the peak where they are level."""
        return self.cases[first_least([c.fatigue for c in self.cases])]

    @property
    def yields_first(self) -> CaseSafety:
        """The case beside work that leaves the least safety against yielding."""
        return self.cases[first_least([c.yielding for c in self.cases])]


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


def steel_of(reader: Reader, shaft: str) -> tuple[Steel | None, tuple[str, ...]]:
    """Return the steel of a shaft, or the keys that are missing."""
    at = f"shaft[{shaft}]"
    name, low, high = (
        reader.get(f"{at}.material"),
        reader.si(f"{at}.yield_strength"),
        reader.si(f"{at}.tensile_strength"),
    )
    row = next((r for r in tables.table("materials").rows if name and r["material"].lower() == str(name).lower()), None)
    low = low if low is not None else row and row["yield_mpa"] * 1e6
    high = high if high is not None else row and row["tensile_mpa"] * 1e6
    lacks = tuple(k for k, v in ((f"{at}.yield_strength", low), (f"{at}.tensile_strength", high)) if v is None)
    if lacks:
        return None, lacks
    if row is None:
        return Steel(
            low, high, shafts.STEEL_E, shafts.STEEL_G, shafts.STEEL_DENSITY, "strengths from the build file"
        ), ()
    return Steel(
        low,
        high,
        row["e_gpa"] * 1e9,
        row["g_gpa"] * 1e9,
        row["density_kg_per_m3"],
        f"{row['material']}; {tables.in_words(row.cite)}",
    ), ()


def listed_steps(reader: Reader, shaft: str) -> tuple[tuple[shafts.Step, ...], tuple[str, ...]]:
    """Return the steps of a shaft that are wholly written down, and the keys that are missing in the others."""
    steps, lacks = [], []
    for name in reader.names(f"shaft[{shaft}].step"):
        here = f"shaft[{shaft}].step[{name}]"
        start, end, size = (reader.si(f"{here}.{k}") for k in ("start", "end", "diameter"))
        lacks += [f"{here}.{k}" for k, v in (("start", start), ("end", end), ("diameter", size)) if v is None]
        if None not in (start, end, size):
            steps.append(shafts.Step(start, end, size, reader.si(f"{here}.bore", 0.0)))
    return tuple(steps), tuple(lacks)


def steps_of(reader: Reader, found: ShaftReactions) -> tuple[tuple[shafts.Step, ...], tuple[str, ...]]:
    """Return the steps of a shaft, or the keys that are missing; without steps it is one diameter all along."""
    at = f"shaft[{found.shaft}]"
    if reader.names(f"{at}.step"):
        return listed_steps(reader, found.shaft)
    size = reader.si(f"{at}.diameter")
    if size is None:
        return (), (f"{at}.diameter",)
    places = np.concatenate([found.at, found.loads.at])
    return (shafts.Step(float(places.min()) - BESIDE, float(places.max()) + BESIDE, size),), ()


def beam(found: ShaftReactions, steps, steel: Steel, case: str) -> shafts.Beam:
    """Return the beam of one load case: work, peak, start or overrun; its own weight is spread along it."""
    supports = [shafts.Support(n, float(a)) for n, a in zip(found.bearings, found.at, strict=True)]
    loads = []
    for pull in found.loads.parts:
        if case in pull.more:
            force, torque = pull.more[case]
        else:
            force, torque = (pull.force[2], pull.peak_torque) if case == "peak" else (pull.force[0], pull.torque)
        loads.append(shafts.Load(pull.name, pull.at, x=force[0], y=force[1], torque=torque or 0.0))
    own = len(found.loads.parts) < len(found.loads.pulls)
    return shafts.beam_si(
        steps,
        supports,
        loads,
        elastic_modulus=steel.elastic,
        shear_modulus=steel.shear,
        density=steel.density if own else 0.0,
    )


def work_out(reader: Reader, found: ShaftReactions, steps, steel: Steel) -> ShaftState:
    """Work out one shaft.

    Raises
    ------
    ShaftError
        With every reason why it cannot be.
    """
    beams = {case: beam(found, steps, steel, case) for case in ("work", "peak", *found.loads.more)}
    finish = reader.get(f"shaft[{found.shaft}].finish") or "machined or cold-drawn"
    ripple = reader.si(f"shaft[{found.shaft}].torque_ripple", 0.0)
    sections = [_section(place, beams, steel, finish, ripple) for place in places(reader, found, steps)]
    sections.sort(key=lambda s: (round(s.hardest.fatigue, 6), round(s.at, 7)))
    masses = [(p.at, p.weight) for p in found.loads.parts if p.weight > 0]
    at, mass = shafts.lumps_si(steps, density=steel.density, pieces=PIECES)
    at, mass = np.concatenate([at, [m[0] for m in masses]]), np.concatenate([mass, [m[1] for m in masses]])
    supports = [shafts.Support(n, float(a)) for n, a in zip(found.bearings, found.at, strict=True)]
    speed = whirl.whirl_si(shafts.flexibility_si(steps, supports, at, elastic_modulus=steel.elastic), mass)
    known = all(p.torque is not None for p in found.loads.pulls if p.stage is not None)
    return ShaftState(
        found.shaft, steel, tuple(steps), beams["work"], beams["peak"], tuple(sections), speed, found, known
    )


class Place(NamedTuple):
    """A place that something weakens, its feature in words of the build, and what is left of the diameter, m."""

    name: str
    at: float
    feature: str
    left: float | None = None


def places(reader: Reader, found: ShaftReactions, steps) -> list[Place]:
    """Return every place that something weakens.

    A hub that carries torque and has no joint written down is taken as keyed, each bearing as a press-fit
    edge, each change of diameter as a sharp corner.
    """
    base, listed = f"shaft[{found.shaft}]", []
    for name in reader.names(f"{base}.feature"):
        at, kind = reader.si(f"{base}.feature[{name}].position"), reader.get(f"{base}.feature[{name}].kind")
        if at is not None and kind is not None:
            listed.append(Place(name, at, kind))
    for name in reader.names(f"{base}.joint"):
        here = f"{base}.joint[{name}]"
        at, kind = reader.si(f"{here}.position"), reader.get(f"{here}.kind")
        if at is not None and kind is not None:
            feature, left = on_shaft(reader, here, kind, size_at(steps, at))
            listed.append(Place(name, at, feature or JOINT_FEATURE[kind], left))
    taken = [p.at for p in listed]

    def free(at: float) -> bool:
        return all(abs(at - t) > 5e-3 for t in taken)

    parts = found.loads.parts
    listed += [Place(p.name, p.at, "end-milled keyseat") for p in parts if p.stage is not None and free(p.at)]
    listed += [Place(p.name, p.at, "press-fit edge") for p in parts if p.stage is None and free(p.at)]
    listed += [
        Place(f"bearing {n}", float(a), "press-fit edge")
        for n, a in zip(found.bearings, found.at, strict=True)
        if free(a)
    ]
    order = sorted(steps)
    listed += [
        Place(f"step at {reader.show(a.end, 'length')}", a.end, "sharp shoulder")
        for a, b in zip(order[:-1], order[1:], strict=True)
        if a.diameter != b.diameter and free(a.end)
    ]
    return listed


def size_at(steps, at: float) -> float | None:
    """Return the smaller diameter of a stepped shaft at a place, m; None off the shaft."""
    return min((s.diameter for s in steps if s.start - 1e-9 <= at <= s.end + 1e-9), default=None)


def _section(place: Place, beams, steel: Steel, finish: str, ripple: float) -> SectionState:
    raiser = shaft_strength.raiser(FEATURES[place.feature])
    there = {case: shafts.section_si(beam, place.at) for case, beam in beams.items()}
    now, top = there["work"], there["peak"]
    size = now.diameter if place.left is None else min(now.diameter, place.left)
    if size <= now.bore:
        raise shafts.ShaftError(
            [
                shafts.Problem(
                    f"nothing is left of the shaft at {place.name}: its bore is as large as what the joint leaves",
                    "take a solid shaft there, or a joint that cuts less into it",
                )
            ]
        )
    finish = "hot-rolled" if place.feature == "weld" else finish
    endurance = shaft_strength.endurance_limit.si(steel.tensile, size, finish=finish, reliability=RELIABILITY)
    safeties = {}
    for case, section in there.items():
        duty = shaft_strength.duty.si(section.moment, section.torque, torque_ripple=ripple)
        if case == "overrun":
            duty = _to_and_fro(now, section, ripple)
        found = shaft_strength.strength.si(
            duty,
            size,
            endurance=endurance,
            tensile=steel.tensile,
            yield_stress=steel.yield_stress,
            raiser=raiser,
            bore=section.bore,
        )
        safeties[case] = CaseSafety(
            case, section.moment, section.torque, duty, float(found.fatigue), float(found.yielding)
        )
    cases = tuple(s for case, s in safeties.items() if case != "work")
    return SectionState(
        place.name,
        place.at,
        place.feature,
        now.moment,
        now.torque,
        top.moment,
        top.torque,
        size,
        safeties["work"].fatigue,
        safeties["peak"].fatigue,
        safeties["peak"].yielding,
        finish,
        ripple,
        now.diameter,
        cases,
    )


def _to_and_fro(work: shafts.Section, back: shafts.Section, ripple: float) -> shaft_strength.Duty:
    """Return the duty of a torque that turns round between work and overrun, bending at the worse of the two."""
    most, least = (1 + ripple) * work.torque, -(1 + ripple) * back.torque
    return shaft_strength.Duty(max(work.moment, back.moment), 0.0, (most - least) / 2, abs(most + least) / 2)
