"""The first run, step by step: what is looked at, within what band, and an empty box for what was found."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from jackshaft import tables
from jackshaft.chapters.grip.tension import short_of
from jackshaft.chapters.measured.belts import BY_HAND
from jackshaft.chapters.measured.circuit import SHOP
from jackshaft.parts.motor import is_motor
from jackshaft.parts.slip_clutch import slip_clutch
from jackshaft.parts.words import made_safe, sentence
from jackshaft.results import Reader, Results
from jackshaft.results.reader import Unknown
from jackshaft.units import ALPHA20, T20, ZERO_C, show

#: Over the columns of each stage's table; the last three are filled in by hand.
HEADS = ("look at", "wanted", "how known", "found", "date", "by")
NOT_YET = "not known yet"


class Step(NamedTuple):
    """One thing to look at: what, what is wanted, and how that is known."""

    look: str
    wanted: str
    known: str = "this build"


class Stage(NamedTuple):
    """A stage of the first run: its title, what to do and to heed first, and its steps."""

    title: str
    first: str
    steps: tuple[Step, ...]


def first_run(results: Results) -> list[Stage]:
    """Return the stages of a first run in the order that is safe: each begins only when the one before is in order."""
    at = Found(results)
    stages = [_stopped(at), _by_hand(at), *_first_start(at)]
    stages += [
        Stage("At work", "Bring the speed up slowly, then the load.", (*_working(at), *_bearings(at))),
        Stage("Afterwards", "Made safe as in stage 1 before each look.", tuple(_later(at))),
    ]
    return [
        s._replace(title=f"{number}. {s.title}", steps=tuple(map(_honest, s.steps)))
        for number, s in enumerate(stages, start=1)
    ]


def _stopped(at: Found) -> Stage:
    safe = sentence(made_safe(at.reader.get("engine.kind")))
    lead = " Take the battery lead off before you measure the coil." if at.coil else ""
    steps = (*_coil(at), *_gap(at), *_belts(at), *_chains(at), *_springs(at), *_screws(at))
    return Stage("Stopped", f"{safe}.{lead} No one but you near the machine.", steps)


def _by_hand(at: Found) -> Stage:
    return Stage(
        "By hand",
        "It stays made safe. Turn the machine round twice by hand, by a bar or the rim, with no finger near a "
        "belt, chain or pulley.",
        (Step("what rubs, clicks or climbs", "nothing", _PRACTICE), *_let_slip(at), *_engaged_stopped(at)),
    )


def _first_start(at: Found) -> Iterator[Stage]:
    """Yield the first start: at idle with the clutch off and on; all at once where there is no clutch, or no idle."""
    guards = f"All guards on. Stand clear of belts, chains and what flies off. Keep a hand on the stop{{}}. {_EMPTY}"
    clutch = at.reader.get("clutch.kind")
    if is_motor(at.reader):
        yield Stage("First start", guards.format(" switch"), tuple(_engaged(at)))
    elif clutch == "direct" or at.reader.is_none("clutch"):
        yield Stage("First start, at idle", guards.format(""), (*_idle(at), *_engaged(at)))
    else:
        free = Step("work with the clutch off", "stands still", _PRACTICE)
        yield Stage("Idle, not engaged", guards.format("").removesuffix(f" {_EMPTY}"), (*_idle(at), free))
        brought = "Bring the speed up until the clutch takes hold. " if clutch == "centrifugal" else ""
        title = "Engaged, empty" if brought else "Idle, engaged"
        yield Stage(title, f"{brought}{_EMPTY}", tuple(_engaged(at)))


def _honest(step: Step) -> Step:
    """Return a step that says of what is not known nothing about how it is known."""
    return step._replace(known="") if step.wanted.startswith(NOT_YET) else step


_PRACTICE = "common practice"
_EMPTY = "Nothing in the work. Stop at once for smoke, smell or squeal."


class Found:
    """The results by chapter, and rows of the tables."""

    def __init__(self, results: Results):
        self.results, self.build = results, results.build
        self.reader = Reader(results.build)
        self.system = results.build.system
        self.coil = self.reader.get("clutch.kind") == "electromagnetic"

    def data(self, chapter: str):
        there = self.results.chapters.get(chapter)
        return there.data if there else None

    def show(self, si: float, kind: str, **how) -> str:
        return show(float(si), kind, self.system, **how)

    def band(self, low: float, high: float, kind: str, **how) -> str:
        ends = [self.show(v, kind, **how) for v in sorted((float(low), float(high)))]
        return ends[0] if ends[0] == ends[1] else " to ".join(ends)

    def force(self, of) -> str:
        """Return the force that a belt is set to, as new where it loses some while it runs in."""
        force = of.best.force if of.keeps else of.best.force_new
        return self.band((1 - BY_HAND) * force, (1 + BY_HAND) * force, "force") + ("" if of.keeps else " while new")

    def lets_go(self) -> Iterator[str]:
        """Yield at what torque of its own shaft the slip clutch lets go, where that is known."""
        try:
            found = slip_clutch(self.reader)
        except Unknown:
            return
        if found is not None:
            low = self.show(found.low, "torque")
            yield f"{self.band(found.low, found.high, 'torque') if found.moves else f'{low} or more'} on {found.shaft}"

    def volts(self, *states: str) -> str:
        """Return the volts at the coil over states, from the bad end of wire and joints to the likely one."""
        electric = self.data("electric")
        there = [i for s in states if electric and (i := electric.at(s)) is not None]
        if not there:
            return f"{NOT_YET}: see the circuit's checks"
        all_volts = [float(a.coil_volts[i]) for a in (electric.steps, electric.worst) for i in there]
        given = ", with {} at the battery".format(self.show(electric.line.states[there[0]][1], "voltage"))
        return self.band(min(all_volts), max(all_volts), "voltage") + given

    def run_up(self, engagement) -> str:
        """Return how long the clutch may slip as it engages, from its good end to its bad one, which may never end."""
        good, bad = engagement.governed["good"], engagement.governed["bad"]
        if not good.locks:
            return "it never gets there, see the clutch's checks"
        if not bad.locks:
            return f"{self.show(good.seconds, 'time')} or more; at the bad end it never gets there"
        return self.band(good.seconds, bad.seconds, "time")


def _fact(item: str):
    return tables.table("first_run").one(item=item)


def _coil(at: Found) -> Iterator[Step]:
    electric = at.data("electric")
    if not at.coil:
        return
    if electric is None:
        yield Step("coil at its plug, plug off", f"{NOT_YET}: write the coil's resistance down", "")
        return
    ends = [electric.line.r20 * (1.0 + ALPHA20 * (t + ZERO_C - T20)) for t in SHOP]
    cold = " to ".join(show(t + ZERO_C, "temperature", at.system) for t in SHOP)
    known = at.reader.how("clutch.coil_resistance") or "this build"
    yield Step(
        "coil at its plug, plug off, meter's leads taken off", f"{at.band(*ends, 'resistance')} from {cold}", known
    )
    yield Step("each coil lead to the clutch's housing", "no reading (open)", _PRACTICE)


def _gap(at: Found) -> Iterator[Step]:
    if at.coil:
        row = tables.table("clutch_facts").one(part="gap", item="planning")
        band = at.band(row["low"] / 1e3, row["high"] / 1e3, "length", decimals=3)
        yield Step("gap of the clutch, at three places", f"{band}; its maker's own figure goes first", row["known"])


def _belts(at: Found) -> Iterator[Step]:
    for name in at.data("layout") or {}:
        grip = (at.data("grip") or {}).get(name)
        if grip is None:
            yield Step(f"{name}: tension", NOT_YET, "")
            continue
        best, unset = grip.set.best, "" if grip.set.given else "; no tension is chosen yet, this is the least"
        push = f"{short_of(at.reader, best.distance)} at the middle of {best.words}"
        on = "one belt" if grip.set.together == 1 else f"all {grip.set.together} at once"
        yield Step(f"{name}: force on {on} that gives {push}", f"{at.force(grip.set)}{unset}", _hand(grip.set))


def _hand(of) -> str:
    return "this build; band common practice" if of.strands else ""


def _chains(at: Found) -> Iterator[Step]:
    for name, chain in (at.data("roller-chain") or {}).items():
        wanted = NOT_YET
        if chain.centres is not None:
            wanted = " to ".join(short_of(at.reader, share * chain.centres).shown for share in sorted(chain.slack))
        yield Step(f"{name}: slack strand, up plus down at its middle", wanted, "this build; share read")


def _springs(at: Found) -> Iterator[Step]:
    if at.reader.has("slip_clutch"):
        length = at.reader.si("slip_clutch.spring_length")
        wanted = (
            "all alike; write it down"
            if length is None
            else f"{at.show(length, 'length', decimals=1 if at.system == 'metric' else 2)}, all alike"
        )
        yield Step("slip clutch: length of every spring as set", wanted, at.reader.how("slip_clutch.spring_length"))


def _let_slip(at: Found) -> Iterator[Step]:
    if at.reader.has("slip_clutch"):
        wanted = next(at.lets_go(), NOT_YET)
        look = "slip clutch, chalk across its plates, work held by a block: bar and scale at which it lets go"
        yield Step(look, wanted, "this build; scatter from memory")


def _season(at: Found) -> Iterator[Step]:
    if at.reader.has("slip_clutch"):
        yield Step(
            "slip clutch, once a season and after each long stand: springs slackened, let slip for 2 or 3 s, set back",
            "the chalk mark parts; springs at the length of stage 1",
            "from memory",
        )


def _screws(at: Found) -> Iterator[Step]:
    yield Step("every set screw, bolt, key and guard", "tight, in place", _PRACTICE)


def _engaged_stopped(at: Found) -> Iterator[Step]:
    if at.coil:
        yield Step(
            "battery back on, engine stopped, switch on: volts at the coil, connected",
            at.volts("battery only, cold"),
        )
        yield Step("switch off: the clutch", "lets go with a click; the work turns free", _PRACTICE)


def _idle(at: Found) -> Iterator[Step]:
    idle = at.reader.si("engine.idle_speed")
    wanted = NOT_YET if idle is None else f"about {at.show(idle, 'rotation')}"
    yield Step("engine speed", wanted, at.reader.how("engine.idle_speed") or "this build")
    if at.reader.has("circuit"):
        row = tables.table("circuit_facts").one(part="battery", item="charging voltage")
        yield Step(
            "volts at the battery, a little over idle", at.band(row["low"], row["high"], "voltage"), row["known"]
        )


def _engaged(at: Found) -> Iterator[Step]:
    if at.coil:
        clutch = at.data("clutch")
        if clutch is not None and clutch.engagement is not None:
            yield Step("from switch on to full speed of the work", at.run_up(clutch.engagement))
    for name in at.reader.names("circuit.interlock"):
        yield Step(f"open '{name}'", "the work stops; it does not start again by itself", _PRACTICE)
    yield _stop(at, "stop time from there")


def _bedding(at: Found) -> Step:
    part = tables.table("clutch_facts")
    times, rate = (part.one(part="burnish", item=i) for i in ("cycles", "cycles per minute"))
    speed, on = _fact("burnish, engine speed over rated"), _fact("burnish, seconds on")
    rated = at.reader.si("engine.rated_speed")
    share = " to ".join(f"{speed[e]:g}" for e in ("low", "high"))
    turning = (
        f"{share} of the rated speed"
        if rated is None
        else at.band(speed["low"] * rated, speed["high"] * rated, "rotation")
    )
    return Step(
        f"before any load, bed new faces in: {turning}, on for {on['low']:g} to {on['high']:g} s, off as long",
        f"{times['low']:g} to {times['high']:g} times, {rate['low']:g} to {rate['high']:g} a minute; "
        "its maker's own figure goes first; smoke or smell: let it cool",
        "; ".join(dict.fromkeys((times["known"], speed["known"]))),
    )


def _stop(at: Found, look: str) -> Step:
    guards = at.data("guards")
    after = guards.stands_after if guards else None
    if after is None:
        return Step(look, f"{NOT_YET}: time it before anybody opens a guard", "")
    return Step(look, f"{at.show(after, 'time')} or less")


def _working(at: Found) -> Iterator[Step]:
    if at.coil and at.reader.get("clutch.faces") != "burnished":
        yield _bedding(at)
    ratio = at.data("ratio")
    least, most = (at.reader.si(f"work.speed_{end}") for end in ("least", "most"))
    for shaft in ratio.shafts if ratio else ():
        if shaft.work is None or shaft.name == "engine":
            continue
        mine = shaft.name == at.reader.get("work.shaft") and None not in (least, most)
        wanted = at.band(least, most, "rotation") if mine else f"about {at.show(shaft.work, 'rotation')}"
        yield Step(f"speed of {shaft.name}", wanted)
    if at.coil:
        yield Step("volts at the coil, cold to hot", at.volts("running, cold", "running, hot"))
    yield _stop(at, "stop time from work")


def _bearings(at: Found) -> Iterator[Step]:
    over, most = _fact("bearing housing over air"), _fact("bearing housing temperature")
    rise = at.show(over["high"], "temperature rise")
    top = at.show(most["high"] + ZERO_C, "temperature")
    for name in at.reader.names("bearing"):
        yield Step(
            f"bearing {name}: housing, settled",
            f"{rise} or less over the air; where the housing itself reads {top}: stop and look",
            over["known"],
        )


def _later(at: Found) -> Iterator[Step]:
    first, second = _fact("belt tension, first look"), _fact("belt tension, second look")
    for name, grip in (at.data("grip") or {}).items():
        force = grip.set.best.force
        wanted = at.band((1 - BY_HAND) * force, (1 + BY_HAND) * force, "force")
        keeps = "" if grip.set.keeps else ", or more while it runs in"
        for row in (first, second):
            hours = f"{row['likely']:g} h"
            yield Step(f"{name}: force as in stage 1, after {hours}", f"{wanted}{keeps}", f"time {row['known']}")
    row = _fact("chain, first look")
    for name in at.data("roller-chain") or {}:
        hours = f"{row['likely']:g} to {row['high']:g} h"
        yield Step(f"{name}: slack as in stage 1, after {hours}", "as in stage 1", f"time {row['known']}")
    if any("taper bush" == v for k, v in at.build.values.items() if k.endswith(".kind")):
        row = _fact("taper bush, screws tightened again")
        yield Step(
            f"screws of each taper bush, after {row['low']:g} to {row['high']:g} h", "tightened again", row["known"]
        )
    yield from _season(at)
    yield Step("every set screw, bolt and guard", "tight, in place", _PRACTICE)


__all__ = ["HEADS", "NOT_YET", "Found", "Stage", "Step", "first_run"]
