"""The clutch as the chain sees it: what it holds, what it pulls while it slips, and what of that each link feels."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from jackshaft.chapters.clutch.analysis import torque_of
from jackshaft.chapters.clutch.data import ClutchData
from jackshaft.chapters.clutch.torque import Known
from jackshaft.chapters.clutch.ways_data import CENTRIFUGAL, IDLER
from jackshaft.chapters.ratio.data import RatioData, ShaftState
from jackshaft.chapters.weak_link.data import ChainData, Link, Slipping
from jackshaft.mechanics import chain as mech
from jackshaft.mechanics import clutch
from jackshaft.parts.shoe_clutch import BURNISHED, FACES
from jackshaft.parts.turning import RUN_DOWN
from jackshaft.parts.works import work_shafts
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.units import OutOfRange

#: Share that a clutch may hold less or more than its plate where nothing else is known: common practice, no source.
PLATE_SPREAD = 0.5


class Torques(NamedTuple):
    """Bands of torque on the clutch's own shaft, N m.

    ``holds`` is what it holds in its worst state and run in, cold and at full voltage; ``now``, ``run_in`` and
    ``cold`` are what it pulls while it slips: hot as its faces are, hot and run in, cold and run in.
    """

    holds: tuple[clutch.Band, clutch.Band]
    now: clutch.Band
    run_in: clutch.Band
    cold: clutch.Band


def clutch_torques(reader: Reader, done: Mapping[str, Findings]) -> Torques | None:
    """Return the torques of the clutch, None where the clutch chapter has none.

    The engine turns while there is torque, so the battery alone is not the state to judge by where another is known.
    """
    data: ClutchData | None = done["clutch"].data if "clutch" in done else None
    if data is None or not data.static:
        return None
    states = [s for s in data.static if s.startswith("running")] or list(data.static)
    worst = min((data.static[s] for s in states), key=lambda band: float(band.likely))
    known = run_in(reader, data.used)
    bands = {s: torque_of(known, data.electric.amps(s)) for s in states}
    best = max(bands.values(), key=lambda band: float(band.good))
    hot = bands.get(data.hot, best)
    slips = [clutch.times_si(band, factor=clutch.DYNAMIC) for band in (hot, best)]
    return Torques((worst, best), data.dynamic[data.hot], *slips)


def run_in(reader: Reader, known: Known) -> Known:
    """Return a known torque as it is with run-in, dry faces: those of a slip test are what they were in it."""
    state = reader.get("clutch.faces")
    if known.name != "slip test" or state == "burnished":
        return known._replace(faces=BURNISHED)
    bad, likely, good = FACES[state][0]
    return known._replace(faces=clutch.Band(1 / good, 1 / likely, 1 / bad))


def slipping_of(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Slipping | None:
    """Return the clutch while it slips, on the reference shaft; None where its torque or the load is not known.

    Raises
    ------
    OutOfRange
        If the work alone is said to have more inertia than all that turns.
    """
    data: ClutchData | None = done["clutch"].data if "clutch" in done else None
    if data is not None and data.way is not None:
        return _without_coil(reader, ratio, data)
    torques = clutch_torques(reader, done)
    state = ratio.shaft(data.shaft) if data is not None else None
    if torques is None or state is None or data.engagement is None and state.torque is None:
        return None
    here = {"over": state.over, "passed": state.passed}
    now, later, most, top = (
        float(mech.carried_over.si(t, **here))
        for t in (torques.now.likely, torques.run_in.likely, cold_likely(data, reader), torques.cold.good)
    )
    if data.engagement is not None:
        load = float(mech.carried_over.si(data.engagement.load.takes(data.engagement.speed), **here))
    else:
        load = float(mech.carried_over.si(_start(state) * state.torque, **here))
    return Slipping(
        data.shaft,
        now,
        later,
        max(most, later),
        max(top, later),
        load,
        after_drive(reader, data, ratio),
        ratio.work_shaft,
    )


def _start(state: ShaftState) -> float:
    """Return the starting load over the working load of what a shaft turns; 1 where not known."""
    return 1.0 if state.start_factor is None else state.start_factor


def _without_coil(reader: Reader, ratio: RatioData, data: ClutchData) -> Slipping | None:
    """Return a centrifugal clutch or a tightened belt while it slips; None where its torque is not known.

    Running up, shoes pull what the engine gives; at its top speed, as at a jam, they pull their most.
    """
    way = data.way
    state = ratio.shaft(data.shaft) if way.stage is None else ratio.through(way.stage) or ratio.shaft(data.shaft)
    if way.torque is None or state is None or state.torque is None:
        return None
    here = {"over": state.over, "passed": state.passed}
    stage = None if way.stage is None else ratio.stage(way.stage)
    if way.kind == IDLER and stage is None:
        return None
    running = way.pulls.likely if way.pulls is not None else way.top.likely
    pulls, most, top = (float(mech.carried_over.si(t, **here)) for t in (running, way.top.likely, way.top.good))
    load = float(mech.carried_over.si(_start(state) * state.torque, **here))
    after = None if way.turning is None else own_share(reader, ratio, data.shaft, way.turning.likely)
    found = Slipping(data.shaft, pulls, pulls, most, max(top, pulls), load, after, ratio.work_shaft, False)
    if way.kind == CENTRIFUGAL:
        at_top = "At the engine's top speed"
        return found._replace(state=" as the engine runs up", strongest=at_top, most_state=at_top)
    grips = "Where it grips best"
    words = {"what": "the tightened belt", "state": "", "strongest": grips, "most_state": grips}
    return found._replace(shaft=stage.end, part=f"stage[{way.stage}]", **words)


def cold_likely(data: ClutchData, reader: Reader) -> float:
    """Return what a cold run-in clutch likely pulls while it slips, N m; over its rated current its steel is full."""
    known = run_in(reader, data.used)
    amps = max(data.electric.amps(s) for s in data.static)
    return clutch.DYNAMIC.likely * float(torque_of(known, min(amps, known.amps)).likely)


def after_drive(reader: Reader, data: ClutchData, ratio: RatioData) -> float | None:
    """Return the share of all inertia that is the work's own, after pin and joints, None where it is not known."""
    return None if data.engagement is None else own_share(reader, ratio, data.shaft, data.engagement.inertia)


def own_share(reader: Reader, ratio: RatioData, at: str, inertia: float) -> float | None:
    """Return the share of the inertia at a shaft (kg·m²) that is the work's own, None where it is not known.

    Raises
    ------
    OutOfRange
        If the work alone is said to have more inertia than all that turns.
    """
    own, shaft = reader.si("work.own_inertia"), ratio.shaft(ratio.work_shaft)
    if len(ratio.work_shafts) > 1:
        return None  # after a part on one of them turns that shaft alone, and which share that is nobody wrote down
    if own is None or shaft is None:
        return None
    share = own * (ratio.shaft(at).over / shaft.over) ** 2 / inertia
    if share > 1.0 + 1e-9:
        raise OutOfRange("the work alone is said to have more inertia than all that the clutch turns")
    return min(share, 1.0)


def share_lacks(reader: Reader) -> tuple[str, ...]:
    """Return the keys without which the share of the work's own inertia is not known."""
    keys = ["work.own_inertia", *([] if work_shafts(reader) else ["work.shaft"]), "engine.work_speed"]
    if reader.get("work.inertia") is None:
        keys += [f"work.run_down_{key}" for key in RUN_DOWN]
    return tuple(k for k in keys if reader.get(k) is None)


#: Parts that sit at the work, so that only its own inertia turns after them.
AT_WORK = ("shear_pin", "slip_clutch", "driveline")


def at_work(link: Link, slipping: Slipping) -> bool:
    """Tell whether only the work itself turns after a link."""
    return link.part in AT_WORK and link.shaft == slipping.work


def share_known(link: Link, slipping: Slipping) -> bool:
    """Tell whether it is known how much of the inertia turns after a link: at the clutch all of it does.

    After what carries a share of its shaft's load there is less than all, and how much is not known.
    """
    whole = link.share == (1.0, 1.0) and link.branch == 1.0 and not link.untold
    return whole and (link.shaft == slipping.shaft or at_work(link, slipping) and slipping.after is not None)


def felt(link: Link, torque: float, data: ChainData) -> float:
    """Return what a link feels at the most of a slipping clutch's torque, N m on the reference shaft.

    What turns before it takes its part; where that is not known it feels all of it, which is the safe side. A belt
    between the clutch and it lets no more through than it can grip; on the shaft of a pin or slip clutch and after it
    no more comes than that stands.
    """
    slipping = data.slipping
    after = slipping.after if at_work(link, slipping) and slipping.after is not None else 1.0
    return let_through(link, float(mech.while_slipping.si(torque, load=slipping.load, after=after)), data)


def let_through(link: Link, torque: float, data: ChainData) -> float:
    """Return what of a slipping clutch's torque the belts and the guards on the way let through to a link, N m."""
    clutch_link = data.of_kind("clutch slip")
    before = () if clutch_link is None else clutch_link.after
    caps = [k.high for k in data.giving if k.kind == "belt slip" and k.part in link.after and k.part not in before]
    for guard in data.guards:
        beside = link.shaft == guard.shaft and guard.shaft != data.shaft
        caps += [guard.high] if link is not guard and (beside or guard.shaft in link.passes) else []
    return min([torque, *caps])


__all__ = [
    "PLATE_SPREAD",
    "Torques",
    "at_work",
    "clutch_torques",
    "felt",
    "let_through",
    "run_in",
    "share_known",
    "share_lacks",
    "slipping_of",
]
