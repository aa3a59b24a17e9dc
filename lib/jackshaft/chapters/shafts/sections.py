"""One shaft as a beam: bending, torque, slope and the safety of every section that something weakens."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.bearings.data import ShaftReactions
from jackshaft.chapters.shafts import bent
from jackshaft.chapters.shafts.data import CaseSafety, Place, SectionState, ShaftState, Steel
from jackshaft.chapters.shafts.mending import on_shaft
from jackshaft.mechanics import shaft_strength, shafts, stress_raisers
from jackshaft.parts.shaft_cases import EMPTY, REVERSED
from jackshaft.parts.shaft_loads import lengths_of
from jackshaft.parts.steels import as_taken, steel_row, yield_of_row
from jackshaft.results.reader import Reader

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


def steel_of(reader: Reader, shaft: str) -> tuple[Steel | None, tuple[str, ...]]:
    """Return the steel of a shaft, or the keys that are missing."""
    at = f"shaft[{shaft}]"
    name, low, high = (
        reader.get(f"{at}.material"),
        reader.si(f"{at}.yield_strength"),
        reader.si(f"{at}.tensile_strength"),
    )
    row = steel_row(name)
    low = low if low is not None else row and yield_of_row(row)
    high = high if high is not None else row and row["tensile_mpa"] * 1e6
    missing = tuple(k for k, v in ((f"{at}.yield_strength", low), (f"{at}.tensile_strength", high)) if v is None)
    if missing:
        return None, missing
    steel = Steel(
        yield_stress=low,
        tensile=high,
        elastic=shafts.STEEL_E,
        shear=shafts.STEEL_G,
        density=shafts.STEEL_DENSITY,
        words="strengths from the build file",
    )
    if row is None:
        return steel, ()
    return steel._replace(
        elastic=row["e_gpa"] * 1e9,
        shear=row["g_gpa"] * 1e9,
        density=row["density_kg_per_m3"],
        words=f"{as_taken(name) or row['material'] + '; '}{tables.in_words(row.cite)}",
    ), ()


def listed_steps(reader: Reader, shaft: str) -> tuple[tuple[shafts.Step, ...], tuple[str, ...]]:
    """Return the steps of a shaft that are wholly written down, and the keys that are missing in the others."""
    steps, missing = [], []
    for name in reader.names(f"shaft[{shaft}].step"):
        here = f"shaft[{shaft}].step[{name}]"
        known = {key: reader.si(f"{here}.{key}") for key in ("start", "end", "diameter")}
        lost = [f"{here}.{key}" for key, si in known.items() if si is None]
        missing += lost
        if not lost:
            steps.append(shafts.Step(*known.values(), reader.si(f"{here}.bore", 0.0)))
    return tuple(steps), tuple(missing)


def steps_of(reader: Reader, found: ShaftReactions) -> tuple[tuple[shafts.Step, ...], tuple[str, ...]]:
    """Return the steps of a shaft, or the keys that are missing; without steps it is one diameter all along."""
    at = f"shaft[{found.shaft}]"
    if reader.names(f"{at}.step"):
        return listed_steps(reader, found.shaft)
    lengths = lengths_of(reader, found.shaft, np.concatenate([found.at, found.loads.at]))
    return tuple(shafts.Step(*length) for length in lengths), () if lengths else (f"{at}.diameter",)


def beam_of(found: ShaftReactions, steps, steel: Steel, case: str) -> tuple:
    """Return what :func:`bent.beam` takes of one load case: work, peak, empty, start or overrun.

    The shaft's own weight is spread along it.
    """
    loads = []
    for pull in found.loads.parts:
        if case == EMPTY:
            force, torque = pull.force[1], 0.0
        elif case in pull.more:
            force, torque = pull.more[case]
        else:
            force, torque = (pull.force[2], pull.peak_torque) if case == "peak" else (pull.force[0], pull.torque)
        x, y = (float(f) for f in force)
        loads.append(shafts.Load(pull.name, pull.at, x=x, y=y, torque=torque or 0.0))
    own = len(found.loads.parts) < len(found.loads.pulls)
    density = steel.density if own else 0.0
    return tuple(steps), _supports(found), tuple(loads), steel.elastic, steel.shear, density


def _supports(found: ShaftReactions) -> tuple[shafts.Support, ...]:
    return tuple(shafts.Support(n, float(a)) for n, a in zip(found.bearings, found.at, strict=True))


def work_out(reader: Reader, found: ShaftReactions, steps, steel: Steel) -> ShaftState:
    """Work out one shaft.

    Raises
    ------
    ShaftError
        With every reason why it cannot be.
    """
    at_work, at_rest = (np.hypot(*np.array([p.force[k] for p in found.loads.parts]).T) for k in (0, 1))
    empty = (EMPTY,) if np.any(at_rest > at_work) else ()  # a belt may pull harder while nothing is asked of it
    ways = {case: beam_of(found, steps, steel, case) for case in ("work", "peak", *empty, *found.loads.more)}
    beams = {case: bent.beam(*way) for case, way in ways.items()}
    finish = reader.get(f"shaft[{found.shaft}].finish") or "machined or cold-drawn"
    ripple = reader.si(f"shaft[{found.shaft}].torque_ripple", 0.0)
    sections = [_section(place, ways, steel, finish, ripple) for place in places(reader, found, steps)]
    sections.sort(key=lambda s: (round(s.hardest.fatigue, 6), round(s.at, 7)))
    heavy = tuple((p.at, p.weight) for p in found.loads.parts if p.weight > 0)
    return ShaftState(
        name=found.shaft,
        steel=steel,
        steps=tuple(steps),
        work=beams["work"],
        sections=tuple(sections),
        whirl=bent.whirls(tuple(steps), _supports(found), heavy, steel.elastic, steel.density),
        reactions=found,
        torque_known=all(p.torque is not None for p in found.loads.pulls if p.stage is not None),
    )


def places(reader: Reader, found: ShaftReactions, steps) -> list[Place]:
    """Return every place that something weakens.

    A hub that carries torque and has no joint written down is taken as keyed, each bearing as a press-fit
    edge, each change of diameter as a sharp corner.
    """
    base, listed = f"shaft[{found.shaft}]", []
    for part in ("feature", "joint"):
        for name in reader.names(f"{base}.{part}"):
            here = f"{base}.{part}[{name}]"
            at, feature, left = reader.si(f"{here}.position"), reader.get(f"{here}.kind"), None
            if at is None or feature is None:
                continue
            if part == "joint":
                own, left = on_shaft(reader, here, feature, size_at(steps, at))
                feature = own or JOINT_FEATURE[feature]
            listed.append(Place(name, at, feature, left))
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


def unplaced(reader: Reader, shaft: str) -> tuple[str, ...]:
    """Return what is missing of the features and joints whose place or kind is not known, and that count nowhere.

    A key, a bush or a hub that names its stage sits where the pull of that stage is, which is taken as keyed.
    """
    missing = []
    for part in ("feature", "joint"):
        for name in reader.names(f"shaft[{shaft}].{part}"):
            here = f"shaft[{shaft}].{part}[{name}]"
            kind, at = reader.get(f"{here}.kind"), reader.get(f"{here}.position")
            hub = part == "joint" and reader.get(f"{here}.stage") is not None and kind not in (None, "weld ring")
            missing += [f"{here}.kind"] if kind is None else []
            missing += [f"{here}.position"] if at is None and not hub else []
    return tuple(missing)


def size_at(steps, at: float) -> float | None:
    """Return the smaller diameter of a stepped shaft at a place, m; None off the shaft."""
    return min((s.diameter for s in steps if s.start - 1e-9 <= at <= s.end + 1e-9), default=None)


def _section(place: Place, ways, steel: Steel, finish: str, ripple: float) -> SectionState:
    raiser = stress_raisers.raiser(FEATURES[place.feature])
    there = {case: bent.section(place.at, *way) for case, way in ways.items()}
    now = there["work"]
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
        if case in REVERSED:
            duty = _to_and_fro(now, section, ripple)
        found = bent.strength(
            duty,
            size,
            endurance=endurance,
            tensile=steel.tensile,
            yield_stress=steel.yield_stress,
            raiser=raiser,
            bore=section.bore,
        )
        safeties[case] = CaseSafety(
            case=case,
            moment=section.moment,
            torque=section.torque,
            duty=duty,
            fatigue=float(found.fatigue),
            yielding=float(found.yielding),
        )
    return SectionState(
        name=place.name,
        at=place.at,
        feature=place.feature,
        moment=now.moment,
        torque=now.torque,
        diameter=size,
        fatigue=safeties.pop("work").fatigue,
        finish=finish,
        ripple=ripple,
        shaft=now.diameter,
        bore=now.bore,
        cases=tuple(safeties.values()),
    )


def _to_and_fro(work: shafts.Section, back: shafts.Section, ripple: float) -> shaft_strength.Duty:
    """Return the duty of a torque that turns round between work and what comes back, bending at the worse of both."""
    most, least = (1 + ripple) * work.torque, -(1 + ripple) * back.torque
    return shaft_strength.Duty(max(work.moment, back.moment), 0.0, (most - least) / 2, abs(most + least) / 2)
