"""A centrifugal clutch or a tightened belt brings the work up: how long it slips, what heat that makes."""

from __future__ import annotations

import math

from jackshaft import tables
from jackshaft.chapters.clutch.belts import Belts
from jackshaft.chapters.clutch.engage import RISE, Load, load_of
from jackshaft.chapters.clutch.heat import BODY, air_of, settling
from jackshaft.chapters.clutch.ways_data import CENTRIFUGAL, ENDS, Way
from jackshaft.chapters.electric.words import unless_go
from jackshaft.chapters.ratio.data import RatioData
from jackshaft.mechanics import clutch, engagement, engagement_history, shoes, slipheat
from jackshaft.parts.derating import power_left
from jackshaft.parts.engine_curve import full_throttle, rated_torque
from jackshaft.parts.motor import is_motor, pull_out
from jackshaft.parts.shoe_clutch import law_of, over_of, shoes_law
from jackshaft.parts.turning import missing_shape, turning
from jackshaft.parts.works import work_shafts
from jackshaft.results.checks import STOP, grade
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader, Unknown
from jackshaft.results.values import BOTH
from jackshaft.units import ZERO_C

ID, NAME = "clutch.engagement", "running up, while the shoes slip"
#: Time to let it in where the build does not say: common practice, no source.
CLOSING = 0.5
SOURCE = "khurmi-friction; own-derivation"


def run_up(
    reader: Reader, load: Load, inertia: float, speed: float, torque: float
) -> tuple[engagement.Engagement, engagement_history.History | None]:
    """Return the run-up (kg·m², rad/s, N·m) with the driving side's speed held and the torque rising to its full one.

    The second is its course, step by step. Where the full torque never takes the work up there is none, and the run-up
    is that of :meth:`Load.run_up`, which does not lock.
    """
    at_once = load.run_up(inertia, speed, torque)
    if not at_once.locks:
        return at_once, None
    closing = reader.si("clutch.closing_time", CLOSING)
    # a flywheel without end holds the speed, whatever the clutch takes
    found = engagement_history.history_si(
        engine=engagement_history.Side(1e9 * inertia, lambda w: 0.0, speed),
        load=engagement_history.Side(inertia, load.takes),
        clutch=lambda t, slip: torque * min(t / closing, 1.0),
        longest=closing + 3.0 * float(at_once.seconds),
        points=81,
        solver={"rtol": 1e-6, "max_step": 0.05 * closing},
    )
    if not found.locks:
        return at_once._replace(seconds=math.inf, heat=math.inf, locks=False), None
    return engagement.Engagement(found.lock_time, float(found.heat[-1]), speed, True, False), found


def gives_of(reader: Reader, over: float):
    """Return the engine's torque (N·m) as a function of the speed of the clutch's shaft; None where not known.

    Its curve, else its highest torque, else what its plate gives; a motor's until it pulls out.
    """
    throttle = full_throttle(reader, over)
    if throttle is not None:
        return throttle[0]
    motor, left = is_motor(reader), power_left(reader).likely
    flat = (pull_out(reader) or (None,))[0] if motor else rated_torque(reader)
    return None if flat is None else lambda speed: flat * over * (1.0 if motor else left)


def missing_run(reader: Reader, ratio: RatioData | None, required: clutch.Required | None, turns) -> tuple[str, ...]:
    """Return the keys without which no run-up is known, whatever engages."""
    lacks = () if turns is not None else missing_shape(reader)
    if required is None or not required.work:
        lacks += tuple(k for k in ("work.power", "work.power_at") if reader.get(k) is None)
    lacks += tuple(k for k in ("engine.work_speed",) if reader.get(k) is None)
    if not lacks and (turns is None or required is None or not required.work):
        lacks = () if work_shafts(reader) else ("work.shaft",)
        lacks = lacks or (("stage",) if ratio is None else ratio.between)
    return tuple(dict.fromkeys(lacks))


def by_shoes(
    reader: Reader,
    ratio: RatioData | None,
    shaft: str,
    required: clutch.Required | None,
    belts: Belts | None,
    own: bool = True,
) -> Way:
    """Return a centrifugal clutch at a shaft; the build's ``own`` one, or the one that its shoes would make.

    The engine runs up until the slipping shoes take all that it gives; there it stays while the work comes up.
    """
    try:
        over = over_of(ratio, shaft)
        law = law_of(reader, over) if own else shoes_law(reader, over, own=False)
        work = reader.require_si("engine.work_speed") if own else reader.si("engine.work_speed")
        if work is None:
            raise Unknown("engine.work_speed")
    except Unknown as unknown:
        return Way(CENTRIFUGAL, lacks=unknown.keys)
    top = max(work, reader.si("engine.full_speed", reader.si("engine.rated_speed", work)))
    way = Way(CENTRIFUGAL, law.at(work / over), law.at(top / over))
    turns, gives = turning(reader, ratio, shaft), gives_of(reader, over)
    lacks = missing_run(reader, ratio, required, turns) + (() if gives is not None else ("engine.peak_torque",))
    if lacks:
        return way._replace(lacks=lacks)
    load, through = load_of(reader, ratio, shaft, required), None if belts is None else belts.forward
    runs, pulls, speeds, courses = {}, [], {}, {}
    for end in ENDS:
        most = max(work / over, law.engages * (1.0 + 1e-9))
        speeds[end], torque = shoes.settling_speed_si(
            getattr(law.per, end), engages=law.engages, gives=gives, most=most
        )
        pulls.append(torque)
        passed = torque if through is None else min(torque, getattr(through, end))
        mass = turns.bad if end == "bad" else turns.likely
        runs[end], courses[end] = run_up(reader, load, mass, speeds[end], passed)
    found = {"slips": runs, "pulls": clutch.Band(*pulls), "speed": speeds["likely"], "turning": turns}
    return way._replace(**found, course=courses["likely"])


def check(
    draft: Draft, reader: Reader, way: Way, ratio: RatioData | None, shaft: str, belts: Belts | None = None
) -> None:
    """Add facts and verdict of the run-up of a centrifugal clutch."""
    mass, allowed = reader.si("clutch.face_mass"), reader.si("clutch.rise_allowed", RISE)
    limit = reader.number(allowed, "temperature rise", "locks, the drum up by {} or less", form=BOTH)
    if not way.slips:
        words = "How long the shoes slip depends on their torque, on the engine's and on the inertia of the work: its "
        words += "weight and shape, or a run-down test."
        draft.missing(reader, ID, NAME, way.lacks, words, limit=limit)
        return
    over, likely, bad = over_of(ratio, shaft), way.slips["likely"], way.slips["bad"]
    settles = reader.show(way.speed * over, "rotation")
    why = (
        f"The engine runs up to {settles}, where the slipping shoes take {reader.show(way.pulls.likely, 'torque')} of "
    )
    why += "it. There it stays until the work has come up to that speed. The throttle is opened within "
    why += f"{reader.show(reader.si('clutch.closing_time', CLOSING), 'time')}; held half open, the shoes slip on. "
    why += "The heat is on the high side: the engine is slower than that at first."
    if belts is not None and belts.forward is not None and belts.forward.likely < way.pulls.likely:
        why += f" The belts let only {reader.show(belts.forward.likely, 'torque')} through: they slip, not the shoes."
    if not likely.locks:
        draft.check(
            ID,
            NAME,
            "does not lock",
            limit,
            STOP,
            f"{why} The load takes all of that, so the heat has no end.",
            "Use springs that engage later, an engine with more torque, or start with the work empty.",
            SOURCE,
            guards=True,
        )
        return
    value = f"{reader.show(likely.seconds, 'time')}, {reader.show(likely.heat, 'energy')}"
    draft.fact(f"slip while the engine runs up to {settles}", reader.number(likely.seconds, "time"), _span(reader, way))
    draft.fact("heat of one run-up", reader.number(likely.heat, "energy", form=BOTH), "into linings and drum")
    if mass is None:
        words = f"{why} It locks after {value}. How far that warms the drum depends on its mass."
        draft.missing(reader, ID, NAME, ("clutch.face_mass",), words, limit=limit)
        return
    rise, worst = (rise_of(way, end, mass) for end in ("likely", "bad"))
    verdict = grade(likely=rise, bad=worst, limit=allowed, higher_is_better=False)
    draft.check(
        id=ID,
        name=NAME,
        found=reader.number(
            rise, "temperature rise", f"{value}, the drum up by {{}}", high=worst if bad.locks else None, form=BOTH
        ),
        wanted=limit,
        verdict=verdict,
        reason=why + ("" if bad.locks else " At the bad end it never locks."),
        remedy=unless_go(verdict, "Start with the work empty, or use a clutch with a heavier drum."),
        source=SOURCE,
    )


def rise_of(way: Way, end: str, mass: float) -> float:
    """Return how far (K) one run-up warms a drum of some mass (kg), infinite where it never locks."""
    run = way.slips[end]
    return float(slipheat.temperature_rise.si(run.heat, mass=mass)) if run.locks else math.inf


def _span(reader: Reader, way: Way) -> str:
    good, bad = way.slips["good"], way.slips["bad"]
    ends = [
        f"{reader.show(r.seconds, 'time')} and {reader.show(r.heat, 'energy')}" if r.locks else "without end"
        for r in (good, bad)
    ]
    return f"at the good end {ends[0]}, at the bad end {ends[1]}"


def repeated(draft: Draft, reader: Reader, way: Way) -> None:
    """Add the verdict on run-ups again and again, where the build says how often; the drum's surface cools it."""
    id, name = "clutch.repeated", "temperature, engaged again and again"
    every, likely = reader.si("clutch.engage_every"), way.slips.get("likely")
    if every is None or likely is None or not likely.locks:
        return
    limit, words = limit_of(reader)
    keys = [*BODY, "clutch.face_mass"] + ([] if limit is not None else ["clutch.temperature_limit"])
    lacks = tuple(k for k in keys if reader.get(k) is None)
    if lacks:
        why = "Where the temperature settles depends on the heat of one run-up and on the drum's surface."
        draft.missing(reader, id, name, lacks, why)
        return
    mass = reader.si("clutch.face_mass")
    surface = float(slipheat.body_surface_si(*(reader.si(k) for k in BODY[:1]), length=reader.si(BODY[1])))
    row, air = tables.table("clutch_facts").one(part="thermal", item="heat given to the air"), air_of(reader)
    ends = {
        end: settling(
            way.slips[end].heat if way.slips[end].locks else math.inf,
            mass=mass,
            cooling=surface * row[column],
            air=air[end],
            coil_watts=0.0,
            limit=limit,
            every=every,
        )
        for end, column in zip(ENDS, ("low", "likely", "high"), strict=True)
    }
    peaks = {end: ends[end].peak - ZERO_C for end in ("likely", "bad")}
    verdict = grade(**peaks, limit=limit - ZERO_C, higher_is_better=False)
    draft.check(
        id=id,
        name=name,
        found=reader.number(ends["likely"].peak, "temperature", low=ends["good"].peak, high=ends["bad"].peak),
        wanted=reader.number(limit, "temperature", f"{{}} or less, {words}"),
        verdict=verdict,
        reason=f"Once every {reader.show(every, 'time')}. How much heat the drum gives to the air is an estimate. "
        "Do not touch it: it stays hot for a long time.",
        remedy=unless_go(verdict, "Let air reach the drum, or engage less often."),
        source="shigley, ch. 16; from memory",
    )


def limit_of(reader: Reader) -> tuple[float | None, str]:
    """Return the highest temperature (K) that the lining takes for long, in words too; None where not known."""
    given, facing = reader.si("clutch.temperature_limit"), reader.get("clutch.facing")
    if given is not None:
        return given, reader.how("clutch.temperature_limit") or "as given"
    rows = [] if facing is None else tables.table("friction_pairs").where(pair=facing).rows
    known = [t for r in rows if (t := r["temperature_steady_c"] or r["temperature_max_c"])]
    return (min(known) + ZERO_C, f"{facing}, by the table of friction pairs") if known else (None, "")


__all__ = ["CLOSING", "ID", "NAME", "by_shoes", "check", "missing_run", "repeated", "rise_of", "run_up"]
