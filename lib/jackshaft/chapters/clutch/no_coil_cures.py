"""What may help a clutch without electrics: more or heavier shoes, other springs, a tighter belt, keepers, a guard."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft.chapters.clutch import letting_go, tightener
from jackshaft.chapters.clutch.ways_data import CENTRIFUGAL, IDLER
from jackshaft.chapters.grip.cases import tension_key
from jackshaft.parts import shoe_clutch
from jackshaft.parts.tightener import with_lever
from jackshaft.results.cure import Proposal
from jackshaft.results.failing import Failing
from jackshaft.results.reader import Unknown
from jackshaft.units import OutOfRange, at_most, read

#: Times a value that is wanted, from just enough upward.
OVER = (1.0, 1.1, 1.25, 1.5, 2.0)
UNLOADED = Proposal("Engage with the work empty or lifted out.", {"clutch.engage_unloaded": "yes"})


def without_coil(failing: Failing) -> bool:
    """Tell whether the build's clutch has no coil."""
    return failing.reader.get("clutch.kind") in (CENTRIFUGAL, IDLER)


def hold(failing: Failing) -> Iterator[Proposal]:
    """Yield what makes the shoes or the belt hold more."""
    data = failing.data("clutch")
    way = None if data is None else data.way
    if way is None or way.torque is None or data.required is None or way.torque.bad <= 0.0:
        return
    if way.kind == IDLER:
        needs = max(data.required.work, data.required.start, data.required.peak)
        yield from _tighter(failing, needs / way.torque.bad)
        return
    if failing.reader.get("clutch.faces") == "oiled":
        yield Proposal("Clean linings and drum until they are dry.", {"clutch.faces": "burnished"})
    wanted = data.required.hold / way.torque.bad
    if shoe_clutch.by_shoes(failing.reader):
        yield from _more_shoes(failing, wanted)
        return
    given = failing.reader.get("clutch.static_torque")
    for over in OVER if given is not None and given.known != "measured" else ():
        text = failing.up(over * wanted * given.si, "torque", "1 lbf·ft", "1 N·m")
        yield Proposal(f"Use a clutch that holds {text} at the same speed.", {"clutch.static_torque": text})


def _more_shoes(failing: Failing, wanted: float) -> Iterator[Proposal]:
    """Yield more shoes, then heavier ones with springs that let them engage at the same speed."""
    reader = failing.reader
    count, mass, spring = reader.get("clutch.shoes"), reader.get("clutch.shoe_mass"), reader.si("clutch.shoe_spring")
    for more in range(count + 1, count + 4) if count is not None else ():
        yield Proposal(f"Use a clutch of {more} such shoes.", {"clutch.shoes": str(more)})
    for over in OVER if mass is not None and mass.known != "measured" else ():
        text = failing.up(over * wanted * mass.si, "mass", "0.5 oz", "10 g")
        changes, words = {"clutch.shoe_mass": text}, f"Use shoes of {text} each"
        if spring:
            pull = failing.up(spring * read(text, "mass").si / mass.si, "force", "1 lbf", "5 N")
            changes["clutch.shoe_spring"] = pull
            words += f", with springs that pull {pull} on each as it touches the drum"
        yield Proposal(f"{words}.", changes)


def _tighter(failing: Failing, wanted: float) -> Iterator[Proposal]:
    """Yield tensions of the tightened belts, with a lever that gives them, for so many times the present grip."""
    way, reader = failing.data("clutch").way, failing.reader
    grip = (failing.data("grip") or {}).get(way.stage)
    if grip is None or grip.hold is None:
        return
    key = tension_key(grip.layout, grip.way)
    for over in OVER:
        text = failing.up(over * wanted * grip.hold / grip.per, "force", "1 lbf", "5 N")
        held = "in the idler's strand, all belts together" if grip.sprung else "in each strand of each belt, at rest"
        by, words = with_lever(reader, grip, grip.per * read(text, "force").si)
        yield Proposal(f"Set the tension of {way.stage} to {text} {held}{words}.", {key: text, **by})
    if not reader.get("clutch.engage_unloaded"):
        yield UNLOADED


def idle(failing: Failing) -> Iterator[Proposal]:
    """Yield lower idle speeds, no lower than the engine keeps turning at, then springs that engage later."""
    reader, ratio = failing.reader, failing.data("ratio")
    spring, runs = reader.si("clutch.shoe_spring"), reader.si("engine.idle_speed")
    stall = reader.si("engine.stall_speed") or 0.0
    try:
        over = shoe_clutch.over_of(ratio, reader.get("clutch.shaft") or "engine")
        engages = over * shoe_clutch.engages_at(reader, over)
    except (Unknown, OutOfRange):
        return
    for share in (0.95, 0.9, 0.8, 0.7):
        text = failing.down(share * engages, "rotation", "10 rpm")
        if read(text, "rotation").si >= 1.3 * stall:
            yield Proposal(f"Set the engine to idle at {text}.", {"engine.idle_speed": text})
    for times in (1.1, 1.2, 1.3) if runs else ():
        pull = None if spring is None else failing.up(spring * (times * runs / engages) ** 2, "force", "1 lbf", "5 N")
        yield from _later(failing, failing.up(times * runs, "rotation", "10 rpm"), pull)


def _later(failing: Failing, speed: str, pull: str | None) -> Iterator[Proposal]:
    """Yield springs, or a clutch, with which the shoes touch the drum at a speed of the engine and no earlier."""
    reader, springs = failing.reader, {} if pull is None else {"clutch.shoe_spring": pull}
    if reader.get(shoe_clutch.ENGAGES) is None:
        if pull is not None:
            yield Proposal(f"Use springs that pull {pull} on each shoe as it touches the drum.", springs)
        return
    changes = {shoe_clutch.ENGAGES: speed, **springs}
    if shoe_clutch.by_shoes(reader):
        force = "" if pull is None else f": they pull {pull} on each as it touches"
        yield Proposal(f"Fit springs with which the shoes touch the drum at {speed} of the engine{force}.", changes)
    elif reader.get("clutch.static_torque") is not None and reader.get("clutch.torque_speed") is not None:
        torque, at = (reader.get(k) for k in ("clutch.static_torque", "clutch.torque_speed"))
        holds = f"{reader.show(torque.si, 'torque')} at {reader.show(at.si, 'rotation')}"
        yield Proposal(f"Use a clutch that engages at {speed} and holds the same {holds}.", changes)


def engagement(failing: Failing) -> Iterator[Proposal]:
    """Yield what shortens the slip: the work empty, a tighter belt, a lower speed of the engine."""
    data, reader = failing.data("clutch"), failing.reader
    if data is None or data.way is None:
        return
    if not reader.get("clutch.engage_unloaded"):
        yield UNLOADED
    if data.way.kind != IDLER:
        return
    yield from _tighter(failing, 1.1)
    now, low = reader.si("clutch.engage_speed", reader.si("engine.work_speed")), reader.si("engine.idle_speed", 0.0)
    for share in (0.8, 0.6) if now else ():
        text = failing.up(share * now, "rotation", "10 rpm")
        if read(text, "rotation").si >= low:
            yield Proposal(f"Engage with the engine at {text}.", {"clutch.engage_speed": text})


def repeated(failing: Failing) -> Iterator[Proposal]:
    """Yield longer times from one engagement to the next."""
    every = failing.reader.si("clutch.engage_every")
    for times in (1.5, 2.0, 3.0, 5.0, 10.0) if every else ():
        text = failing.up(times * every, "time", "1 min" if times * every > 120.0 else "5 s")
        yield Proposal(f"Engage no more often than once every {text}.", {"clutch.engage_every": text})


def lever(failing: Failing) -> Iterator[Proposal]:
    """Yield lever ratios that give the tension which is counted on."""
    found, ratio = failing.check, failing.reader.get("clutch.lever_ratio")
    has, wants = getattr(found.found, "si", None), getattr(found.wanted, "si", None)
    if ratio is None or not has or not wants:
        return
    now = float(getattr(ratio, "si", ratio))
    for over in OVER[:3]:
        text = f"{round(over * now * wants / has + 0.05, 1):g}"
        yield Proposal(f"Give the lever a ratio of {text} to 1.", {"clutch.lever_ratio": text})


def clear(failing: Failing) -> Iterator[Proposal]:
    """Yield keepers, and longer ways back of the idler."""
    reader, keepers = failing.reader, {letting_go.KEEPERS: "yes"}
    travel, lacks = reader.si(letting_go.TRAVEL), reader.get(letting_go.KEEPERS) is False
    if lacks:
        yield Proposal("Fit keepers close to the belt at its driver.", keepers)
    found = tightener.find(reader, failing.results.chapters, reader.get("clutch.shaft") or "engine")
    wanted = letting_go.travel_wanted(reader, found) if travel and found is not None and found.layout.belt else None
    for times in (1.0, 1.25, 1.5, 2.0) if wanted else ():
        text = failing.up(times * wanted, "length", "1/4 in", "5 mm")
        if at_most(read(text, "length").si, travel):
            continue
        changes, words = {letting_go.TRAVEL: text}, f"Let the idler move back by {text}"
        if lacks:
            changes, words = changes | keepers, f"{words}, and fit keepers"
        yield Proposal(f"{words}.", changes)


def returns(failing: Failing) -> Iterator[Proposal]:
    """Yield a lever that comes back."""
    yield Proposal("Fit a spring that pulls the idler back as soon as the lever is let go.", {"clutch.returns": "yes"})


def guarded(failing: Failing) -> Iterator[Proposal]:
    """Yield a guard."""
    yield Proposal("Fit a fixed guard over belt, idler and drum.", {"clutch.guarded": "yes"})


__all__ = [
    "clear",
    "engagement",
    "guarded",
    "hold",
    "idle",
    "lever",
    "repeated",
    "returns",
    "without_coil",
]
