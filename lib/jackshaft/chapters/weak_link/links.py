"""The links of the drive: what each part that the build names gives at, or why that is not known."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from jackshaft.chapters.clutch.untold import plate_untold
from jackshaft.chapters.clutch.ways_data import CENTRIFUGAL, IDLER
from jackshaft.chapters.grip.cases import tension_key
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.ratio.data import ENGINE, RatioData
from jackshaft.chapters.weak_link.at_work import on_the_way, overload, pin, shafts_on_the_way, telescoping
from jackshaft.chapters.weak_link.data import SLIPS, Found, Left, Link
from jackshaft.chapters.weak_link.slipping import PLATE_SPREAD, clutch_torques
from jackshaft.parts.chain_stage import KIND, read_chain_stage
from jackshaft.parts.motor import is_motor, most_torque
from jackshaft.parts.outside_loads import may_carry_clutch
from jackshaft.parts.shaft_loads import boxes_on, hubs_on, places_of_no_loop
from jackshaft.parts.shoe_clutch import ends as shoe_ends
from jackshaft.parts.steels import steel_row, yield_of_row
from jackshaft.parts.words import joint_part
from jackshaft.results.checks import UNDECIDED
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader, Unknown

#: Shear strength over yield strength, by the distortion-energy rule.
SHEAR_SHARE = 0.577

#: Share that the torque of a joint that holds by friction may be off by: common practice, no source.
SLIP_SPREAD = 0.25


def engine(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Found:
    """The highest torque of the engine or motor: a source, which gives nothing up."""
    most, motor = most_torque(reader), is_motor(reader)
    name = "motor's highest torque" if motor else "engine peak torque"
    if most is None:
        keys_ = ("engine.rated_power", "engine.rated_speed") if motor else ("engine.peak_torque",)
        yield Left(name, ENGINE, "its highest torque is not known", tuple(k for k in keys_ if reader.get(k) is None))
        return
    yield Link(
        name,
        "source",
        ENGINE,
        likely=0.5 * (most[0] + most[1]),
        gives=f"the {'motor' if motor else 'engine'} can give no more",
        source="plate, or what is usual for the kind of motor, from memory" if motor else _peak_from(reader),
        part=ENGINE,
        low=most[0],
        high=most[1],
        limit=True,
    )


def _peak_from(reader: Reader) -> str:
    """Return where the engine's highest torque comes from: the build's words for it, or its curve."""
    if reader.get("engine.peak_torque") is None:
        return "highest point of its torque curve"
    return reader.how("engine.peak_torque") or "as given"


def engine_key(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Found:
    """The key in the engine's shaft: crushed or sheared."""
    if not (hubs_on(reader, ENGINE) or boxes_on(reader, ENGINE)) and reader.get("engine.key_width") is None:
        return
    if reader.is_none("engine.key_width"):
        why = "it has no key; what a taper, a thread or a clamp carries there is not judged"
        yield Left("hub on the engine's shaft", "engine key", why, counts=False)
        return
    joints = done["shafts"].data.joints if "shafts" in done and done["shafts"].data else ()
    joint = next((j for j in joints if j.shaft == ENGINE), None)
    if joint is None:
        keys_ = [f"engine.{k}" for k in ("shaft_diameter", "key_width", "key_length", "shaft_yield")]
        lacks = tuple(k for k in keys_ if reader.get(k) is None)
        yield Left("engine key", "engine key", "a size or its steel is not known", lacks)
        return
    yield Link(
        f"engine key, {joint.capacity.way.partition(';')[0]}",
        "key",
        ENGINE,
        likely=joint.carries,
        gives="the key is hammered out",
        source=f"{joint.capacity.source}; yield of the shaft steel",
        part="engine key",
    )


def clutch(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Found:
    """The clutch: it must hold hot and as it is, and it protects nothing before it pulls cold and run in."""
    if reader.is_none("clutch") or not reader.has("clutch") or reader.get("clutch.kind") in ("direct", IDLER):
        return
    shaft = reader.get("clutch.shaft") or ENGINE
    if len(may_carry_clutch(reader)) > 1:
        yield Left("clutch", "clutch", "which shaft carries it is not known", ("clutch.shaft",))
    if not reader.get("clutch.pulley_built_in") and hubs_on(reader, shaft):
        yield Left("pulley on the clutch", "clutch", "what holds it on the clutch is not judged", counts=False)
    torques = clutch_torques(reader, done)
    gives = "the clutch slips and heats"
    if reader.get("clutch.kind") == CENTRIFUGAL:
        yield _shoes(reader, ratio, shaft, gives)
        return
    lacks, why = plate_untold(reader) if reader.get("clutch.kind") in (None, "electromagnetic") else ((), "")
    if lacks:
        yield Left("clutch", "clutch", why[:1].lower() + why[1:].rstrip("."), lacks)
    if torques is not None:
        worst, best = torques.holds
        yield Link(
            "clutch slip, hot",
            "clutch slip",
            shaft,
            likely=float(worst.likely),
            gives=gives,
            source="clutch chapter: hot and as its faces are at the low end, cold and run in at the high end",
            part="clutch",
            low=float(worst.bad),
            high=float(best.good),
        )
        return
    plate = reader.si("clutch.static_torque")
    if plate is None:
        yield Left("clutch", "clutch", "its torque is not known", ("clutch.static_torque",))
        return
    by = "hot and at low voltage" if reader.get("clutch.kind") in (None, "electromagnetic") else "slow or glazed"
    yield Link(
        "clutch slip, by its plate",
        "clutch slip",
        shaft,
        likely=plate,
        gives=gives,
        source=f"plate; {by} it holds less, run in more: half off either way, common practice, no source",
        part="clutch",
        low=(1 - PLATE_SPREAD) * plate,
        high=(1 + PLATE_SPREAD) * plate,
    )


def _shoes(reader: Reader, ratio: RatioData, shaft: str, gives: str) -> Link | Left:
    """A centrifugal clutch: by its torque at work, and at its highest where the engine runs at its top speed."""
    try:
        least, most = shoe_ends(reader, ratio, shaft)
    except Unknown as unknown:
        return Left("clutch", "clutch", "what it holds at the working speed is not known", unknown.keys)
    return Link(
        "centrifugal clutch slip",
        "clutch slip",
        shaft,
        likely=float(least.likely),
        gives=gives,
        source="bhandari ch. 11; at the working speed, at the high end at the engine's top speed",
        part="clutch",
        low=float(least.bad),
        high=float(most.good),
    )


def stages(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Found:
    """Each stage: a belt slips at the pulley that limits it, the others break at the torque that the build states."""
    for name in dict.fromkeys((*on_the_way(ratio, reader), *reader.names("stage"))):
        stage, part = ratio.stage(name), f"stage[{name}]"
        if stage is None:
            lacks = tuple(k for k in done["ratio"].missing if k.startswith(part))
            yield Left(name, part, "its ratio is not known", lacks)
        elif name not in on_the_way(ratio, reader):
            yield Left(name, part, "it does not lie on the way to the work", counts=False)
        elif reader.get(f"{part}.kind") == "belt":
            yield _belt(reader, done, ratio, name)
        else:
            strength, source = reader.si(f"{part}.strength"), "strength in the build file"
            chain_here = read_chain_stage(reader, name) if reader.get(f"{part}.kind") == KIND else None
            if strength is None and chain_here is not None and chain_here.strength is not None:
                strength, source = 0.5 * chain_here.diameters[1] * chain_here.strength, chain_here.row.source
            if strength is None:
                yield _unjudged(reader, name, stage.kind)
                continue
            yield Link(
                f"{name} breaks",
                stage.kind,
                stage.end,
                likely=strength,
                gives=f"the {stage.kind} breaks or skips",
                source=source,
                part=part,
            )


def _unjudged(reader: Reader, name: str, kind: str) -> Left:
    """Return a stage that is no belt and of which nobody says what it stands; a maker's rating is all that may be
    known."""
    part, key = f"stage[{name}]", "strength"
    if reader.get(f"{part}.kind") == KIND:
        key = "chain"
    elif reader.get(f"{part}.rating") is not None:
        why = "its rating is taken from its maker; what its teeth, keys and bearings stand is not judged"
        return Left(f"{name} (its maker's rating is all that is known)", part, why, (f"{part}.{key}",))
    return Left(name, part, f"what this {kind} stands is not known", (f"{part}.{key}",))


def _belt(reader: Reader, done: Mapping[str, Findings], ratio: RatioData, name: str) -> Link | Left:
    """Return one belt stage, or why it is left out."""
    part = f"stage[{name}]"
    grip: StageGrip | None = ((done["grip"].data or {}) if "grip" in done else {}).get(name)
    shaft = ratio.through(name)
    if places := places_of_no_loop(done, name):
        return Left(name, part, "no belt can run between its pulleys", places)
    if grip is None or shaft.torque is None:
        lacks = [
            c for n in ("layout", "grip") for c in done[n].checks if c.verdict == UNDECIDED and f"[{name}]" in c.id
        ]
        keys_ = reader.unknown(*(k for c in lacks for k in c.missing))
        return Left(name, part, "its tensions could not be worked out", keys_ or lacking_load(reader, done))
    if grip.margin is None or not np.isfinite(grip.margin):
        key = tension_key(grip.layout, grip.way)
        return Left(name, part, "its tension is not known", (key,))
    start, peak = grip.case("start"), grip.case("peak")
    # the torque at which the belt slips is the belt's own: what more the work may take is no part of it
    least = (1.0 + grip.more) * shaft.torque
    apart = peak is not None and peak.factor and not np.allclose(peak.pulls, peak.factor * grip.pulls, rtol=1e-9)
    return Link(
        f"{name}: slip",
        "belt slip",
        shaft.name,
        likely=grip.margin * shaft.torque,
        gives="the belt slips and burns",
        source="grip chapter: law of wrap and friction at the limiting pulley",
        part=part,
        low=grip.margin_bad * least,
        high=max(grip.margin_high, grip.margin) * shaft.torque,
        standing=start and (start.least_bad * start.factor * least, start.least * start.factor * shaft.torque),
        peak=(peak.least_bad * peak.factor * least, peak.least * peak.factor * shaft.torque) if apart else None,
    )


def shafts(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Found:
    """Each shaft yields in plain torsion at its thinnest; bending, keyseats and welds come off that on its page."""
    way = shafts_on_the_way(ratio, reader)
    for name in reader.names("shaft"):
        part = f"shaft[{name}]"
        if name not in way:
            yield Left(name, part, "it does not lie on the way to the work", counts=False)
            continue
        modulus, lacks = torsion_modulus(reader, name)
        strength = yield_of(reader, name)
        if strength is None:
            lacks = (*lacks, f"{part}.yield_strength")
        if lacks:
            yield Left(name, part, "its size or its steel is not known", lacks)
            continue
        yield Link(
            f"{name} yields in torsion",
            "shaft",
            name,
            likely=SHEAR_SHARE * strength * modulus,
            gives="the shaft twists",
            source="shigley ch. 7; plain torsion of the thinnest length, no keyseat or bending",
            part=part,
        )


def torsion_modulus(reader: Reader, name: str) -> tuple[float, tuple[str, ...]]:
    """Return what a shaft has against torsion at its thinnest length, m3, and the keys that it lacks."""
    at = f"shaft[{name}]"
    steps = [f"{at}.step[{n}]" for n in reader.names(f"{at}.step")]
    sizes = {f"{s}.diameter": (reader.si(f"{s}.diameter"), reader.si(f"{s}.bore", 0.0)) for s in steps}
    if not steps:
        sizes = {f"{at}.diameter": (reader.si(f"{at}.diameter"), 0.0)}
    lacks = tuple(key for key, (size, _) in sizes.items() if size is None)
    if lacks:
        return 0.0, lacks
    return min(np.pi * max(d**4 - b**4, 0.0) / (16 * d) for d, b in sizes.values()), ()


def yield_of(reader: Reader, name: str) -> float | None:
    """Return the yield strength of a shaft, Pa: the build's, else that of the material in the table; None unknown."""
    given, material = reader.si(f"shaft[{name}].yield_strength"), reader.get(f"shaft[{name}].material")
    if given is not None or not material:
        return given
    row = steel_row(material)
    return None if row is None else yield_of_row(row)


def hubs(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Found:
    """Each joint between a hub and its shaft, as the shafts chapter found it; the engine's key has its own link."""
    data = done["shafts"].data if "shafts" in done else None
    there = {(j.shaft, j.name): j for j in (() if data is None else data.joints)}
    for shaft in shafts_on_the_way(ratio, reader):
        for name in reader.names(f"shaft[{shaft}].joint"):
            part, joint = f"shaft[{shaft}].joint[{name}]", there.get((shaft, name))
            if joint is None or not np.isfinite(joint.carries):
                checks = done["shafts"].checks if "shafts" in done else ()
                check = next((c for c in checks if c.id == f"shafts.joint[{joint_part(reader, shaft, name)}]"), None)
                lacks = reader.unknown(*(check.missing if check else ()))
                if not lacks and reader.get(f"{part}.kind") is None:
                    lacks = (f"{part}.kind",)
                yield Left(f"{shaft}: {name}", part, "what it carries is not known", lacks)
                continue
            slips = joint.kind in SLIPS
            spread = SLIP_SPREAD if slips else 0.0
            yield Link(
                f"{shaft}: {name}",
                joint.kind,
                shaft,
                likely=joint.carries,
                gives=f"the hub {'slips' if slips else 'comes loose'} on its shaft",
                source=joint.capacity.source + ("; friction common practice, no source" if slips else ""),
                part=part,
                low=(1 - spread) * joint.capacity.bad,
                high=(1 + spread) * joint.carries,
            )


def unheld(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Found:
    """Each hub on the way of which the shafts chapter says that nobody wrote down what holds it."""
    way, stages_ = shafts_on_the_way(ratio, reader), on_the_way(ratio, reader)
    off = {f"{s} on {shaft}" for shaft in way for s in reader.names("stage") if s not in stages_}
    for check in done["shafts"].checks if "shafts" in done else ():
        kind, _, what = check.id.removesuffix("]").partition("[")
        if check.verdict != UNDECIDED or kind != "shafts.hub" or what in off:
            continue
        if what == "work" or any(what.endswith(f" on {shaft}") for shaft in way):
            yield Left(check.name, check.id, "what holds it is not known", check.missing)


def lacking_load(reader: Reader, done: Mapping[str, Findings]) -> tuple[str, ...]:
    """Return the keys without which the torque at work is not known, never one that is known."""
    keys_ = ["work.power", "work.power_at", "engine.work_speed"]
    lacks = tuple(k for k in keys_ if reader.get(k) is None)
    if lacks == ("engine.work_speed",) and reader.get("engine.kind") == "electric motor":
        lacks = () if reader.get("engine.rated_speed") is not None else lacks
    ratio: RatioData | None = done["ratio"].data
    return lacks or (("stage",) if ratio is None else ratio.between)


#: What gives the links, in the order of the torque's way; a new kind of link is one function more.
LINKS: tuple[Callable[..., Found], ...] = (
    engine,
    engine_key,
    clutch,
    stages,
    shafts,
    hubs,
    unheld,
    telescoping,
    pin,
    overload,
)

__all__ = ["LINKS", "SHEAR_SHARE", "SLIP_SPREAD", "lacking_load", "torsion_modulus"]
