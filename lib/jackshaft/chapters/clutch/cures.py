"""What may help the clutch: engaged slower or unloaded, faces run in, more voltage at its coil, a larger clutch."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import islice

from jackshaft import tables
from jackshaft.chapters.clutch import driven_back, fitting, no_coil_cures
from jackshaft.chapters.clutch.heat import facing_heat
from jackshaft.chapters.clutch.stopping import cuts
from jackshaft.chapters.electric.cures import joined, misfit, own_wire, wires
from jackshaft.chapters.grip.cases import tension_key
from jackshaft.parts.load_at_speed import carried
from jackshaft.results.checks import GO
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.failing import Failing, Proposer
from jackshaft.results.proving import proposals
from jackshaft.units import read

#: How much larger a clutch is offered: beyond that neither crank nor belts are made for it. An assumption.
LARGER = 3.0
#: Shares of a speed or a time, from what the formula wants toward the safe side.
MARGINS = (1.0, 0.95, 0.9, 0.8)
#: Where a tension is read, with the loop held by an idler's spring or not.
HELD_IN = {True: "in the idler's strand, all belts together", False: "in each strand of each belt, at rest"}
#: Lowest speed to engage at where neither idle nor stall speed is known, over the working speed: assumed.
LOWEST = 0.4
#: Changes that give belts more grip and are tried for an engagement, each by itself and with the work empty.
MOST_FIRMER = 8


def _engine_speeds(failing: Failing) -> tuple[float, float, float] | None:
    """Return the lowest and highest engine speed (rad/s) to engage at, and its turns for one of the clutch's shaft."""
    reader, ratio, data = failing.reader, failing.data("ratio"), failing.data("clutch")
    state = ratio.shaft(data.shaft) if ratio is not None and data is not None else None
    work = reader.si("engine.work_speed")
    low = reader.si("engine.idle_speed")
    if low is None:
        stall = reader.si("engine.stall_speed")
        low = 1.3 * stall if stall else LOWEST * work if work else None
    if low is None:
        return None
    most = reader.si("engine.full_speed", reader.si("engine.rated_speed", work or low))
    return low, most, state.over if state is not None else 1.0


def _slower_texts(failing: Failing, wanted: float | None) -> Iterator[str]:
    """Yield engine speeds at and below a wanted speed of the clutch's shaft, no lower than the engine idles."""
    speeds, data = _engine_speeds(failing), failing.data("clutch")
    if speeds is None or data is None or data.engagement is None:
        return
    low, _, over = speeds
    now = data.engagement.speed * over
    for share in MARGINS if wanted else ():
        if low * (1 - 1e-9) <= share * wanted * over < now:
            text = failing.down(share * wanted * over, "rotation", "10 rpm")
            if read(text, "rotation").si >= low * (1 - 1e-9):
                yield text
    if low < now:
        yield failing.up(low, "rotation", "10 rpm")


def slower(failing: Failing, wanted: float | None) -> Iterator[tuple[str, dict[str, str]]]:
    """Yield lower speeds to engage at."""
    for text in dict.fromkeys(_slower_texts(failing, wanted)):
        yield f"Engage with the engine at {text}.", {"clutch.engage_speed": text}


def unloaded(failing: Failing) -> tuple[str, dict[str, str]] | None:
    """Return the change that engages with the work empty or lifted out; None where it is so already."""
    if failing.reader.get("clutch.engage_unloaded"):
        return None
    return "Engage with the work empty or lifted out.", {"clutch.engage_unloaded": "yes"}


def _run_in(failing: Failing) -> Iterator[tuple[str, dict[str, str]]]:
    if failing.reader.get("clutch.faces") in (None, "new"):
        count = tables.table("clutch_facts").one(part="burnish", item="cycles")
        yield (
            f"Run the faces in first, by {count['low']:g} to {count['high']:g} short engagements at half speed.",
            {"clutch.faces": "burnished"},
        )
    elif failing.reader.get("clutch.faces") == "oiled":
        yield "Clean the faces until they are dry.", {"clutch.faces": "burnished"}


def _voltage(failing: Failing) -> Iterator[tuple[str, dict[str, str]]]:
    """Yield what brings more voltage to the coil; nothing where it has too much already."""
    if failing.data("electric") is None or misfit(failing):
        return
    off, larger = own_wire(failing), [(words, dict(changes)) for words, changes, _ in wires(failing)]
    if off is not None:
        yield off[0], dict(off[1])
    yield from larger
    if off is not None:
        for words, changes in larger[1:]:
            both = joined((words, changes), off)
            yield both.words, dict(both.changes)


def _larger(failing: Failing, wanted: float = math.inf) -> Iterator[Proposal]:
    """Yield clutches with more torque on their plate, where the torque is known from the plate.

    Where the largest does not reach ``wanted`` times the present torque, it is joined with more voltage at the coil.
    """
    data, given = failing.data("clutch"), failing.reader.get("clutch.static_torque")
    if data is None or data.used is None or data.used.name != "plate" or given.known == "measured" or misfit(failing):
        return
    texts = [f"{row['torque_lbf_ft']:g} lbf·ft" for row in tables.table("clutch_ratings").rows]
    if failing.build.system == "metric":
        texts = [f"{read(t, 'torque').si:.0f} N·m" for t in texts]
    texts = [t for t in texts if 1.001 * given.si < read(t, "torque").si <= LARGER * given.si]
    short = bool(texts) and math.isfinite(wanted) and read(texts[-1], "torque").si < wanted * given.si
    more = list(_voltage(failing))[-1:] if short else []
    for text in texts:
        words = f"Use a clutch whose plate says {text} at the same voltage, with a coil of the same resistance."
        larger = words, {"clutch.static_torque": text}
        yield Proposal(*larger)
        yield from (joined(larger, change) for change in more)


def _times(needed: float, bands, state: str | None) -> float:
    """Return how many times the torque at the bad end is needed; infinite where it is not known."""
    return needed / bands[state].bad if state is not None and bands[state].bad > 0.0 else math.inf


def _hold(failing: Failing) -> Iterator[Proposal]:
    if failing.data("clutch") is None:
        return
    yield from _closer(failing)
    for change in (*_run_in(failing), *_voltage(failing)):
        yield Proposal(*change)
    data, empty = failing.data("clutch"), unloaded(failing)
    if data is None or data.required is None:
        return
    if empty is not None and data.required.hold == data.required.start:
        yield Proposal(*empty)
    yield from _larger(failing, _times(data.required.hold, data.static, data.hot))


def _pull(failing: Failing) -> Iterator[Proposal]:
    yield from _closer(failing)
    empty = unloaded(failing)
    if empty is not None:
        yield Proposal(*empty)
    for change in (*_run_in(failing), *_voltage(failing)):
        yield Proposal(*change)
    data = failing.data("clutch")
    yield from _larger(failing, _times(data.required.pull_in, data.dynamic, data.hot))


def _engagement(failing: Failing) -> Iterator[Proposal]:
    yield from _closer(failing)
    data, empty = failing.data("clutch"), unloaded(failing)
    found = None if data is None else data.engagement
    if found is None or data.burns:
        return
    if found.belts_slip:
        firmer = list(islice(_firmer_belts(failing), MOST_FIRMER))
        yield from firmer
        if empty is not None:
            yield Proposal(*empty)
            yield from (Proposal(orders(p.words, empty[0]), {**p.changes, **empty[1]}) for p in firmer)
        return
    low = list(slower(failing, found.below))
    for change in low:
        yield Proposal(*change)
    # where a speed is slow enough by itself, it needs no company
    with_speed = low[-1:] if len(low) < len(MARGINS) else []
    for change in (*(() if empty is None else (empty,)), *_run_in(failing)):
        yield Proposal(*change)
        for speed in with_speed:
            yield joined(change, speed)
    stalls = found.steps.stalls or (found.strong is not None and found.strong.stalls)
    yield from _faster(failing) if stalls else ()
    for change in _voltage(failing):
        yield Proposal(*change)
        if empty is not None:
            yield joined(change, empty)
        for speed in with_speed if empty is not None else ():
            yield joined(change, empty, speed)
    yield from _larger(failing)


def _firmer_belts(failing: Failing) -> Iterator[Proposal]:
    """Yield what is proposed for the belts that slip while the clutch engages."""
    for check in failing.results.checks:
        if check.id.startswith("chain.engage-belts[") and check.verdict != GO:
            yield from proposals(failing.results, check)


def _faster(failing: Failing) -> Iterator[Proposal]:
    """Yield higher speeds to engage at, up to what the engine reaches: its flywheel then has more to give."""
    speeds, found = _engine_speeds(failing), failing.data("clutch").engagement
    if speeds is None:
        return
    _, most, over = speeds
    for share in (1.15, 1.3, 1.5, 2.0):
        text = failing.up(share * found.speed * over, "rotation", "10 rpm")
        if read(text, "rotation").si <= most:
            yield Proposal(f"Engage with the engine at {text}.", {"clutch.engage_speed": text})


def _repeated(failing: Failing) -> Iterator[Proposal]:
    data, empty = failing.data("clutch"), unloaded(failing)
    if data is None or data.settled is None or data.engagement is None or data.burns:
        return
    for end in ("likely", "bad"):
        interval = data.settled.ends[end].interval
        if math.isfinite(interval) and interval > data.settled.every:
            text = failing.up(interval, "time", "1 min" if interval > 120.0 else "5 s")
            yield Proposal(f"Engage no more often than once every {text}.", {"clutch.engage_every": text})
    low = list(slower(failing, data.engagement.speed * 0.9))
    for change in low:
        yield Proposal(*change)
    if empty is not None:
        yield Proposal(*empty)
        for speed in low[-1:]:
            yield joined(empty, speed)


def _facing(failing: Failing) -> Iterator[Proposal]:
    """Yield lower speeds: the mean slip power is half the torque times the first slip, so it goes with the speed."""
    data, empty = failing.data("clutch"), unloaded(failing)
    heat = None if data is None else facing_heat(failing.reader, data.engagement)
    if heat is None:
        return
    share = min(heat.low / heat.likely, heat.high / heat.most)
    for change in slower(failing, share * data.engagement.speed):
        yield Proposal(*change)
    if empty is not None:
        yield Proposal(*empty)


def _gap(failing: Failing) -> Iterator[Proposal]:
    row = tables.table("clutch_facts").one(part="gap", item="planning")
    for end in ("likely", "low"):
        text = failing.up(row[end] / 1e3, "length", "0.001 in", "0.05 mm")
        yield Proposal(f"Set the gap to {text} at three places.", {"clutch.air_gap": text})


def _closer(failing: Failing) -> Iterator[Proposal]:
    """Yield gaps to set, where the gap is too wide to pull in."""
    data = failing.data("clutch")
    if data is not None and data.gap is not None and (data.gap.open or data.gap.wide):
        yield from _gap(failing)


def _stop(failing: Failing) -> Iterator[Proposal]:
    reader, data = failing.reader, failing.data("clutch")
    torque, most = reader.get("clutch.brake_torque"), tables.table("attachment_facts").one(item="blade stop, ride-on")
    found = None if data is None else data.stop
    if found is not None and found.braked and found.limit is None and torque is not None and torque.known != "measured":
        for over in (1.0, 1.1, 1.25):
            text = failing.up(over * torque.si * found.bad / most["high"], "torque", "1 lbf·ft", "1 N·m")
            yield Proposal(f"Use a clutch with a brake of {text}.", {"clutch.brake_torque": text})
    if found is not None and found.limit is not None:
        yield from _tighter(failing, found.bad / most["high"])
    if cuts(reader):
        yield Proposal("Fit a guard that cannot be opened before the work stands.", {"work.guard_holds": "yes"})


def _tighter(failing: Failing, wanted: float) -> Iterator[Proposal]:
    """Yield tensions at which a belt lets so many times the present torque back from the work."""
    for name, grip in (failing.data("grip") or {}).items():
        if grip.hold is None:
            continue
        for over in (1.0, 1.1, 1.25, 1.5) if math.isfinite(wanted) else ():
            text = failing.up(wanted * over * grip.hold / grip.per, "force", "1 lbf", "5 N")
            yield Proposal(
                f"Set the tension of {name} to {text} {HELD_IN[grip.sprung]}.",
                {tension_key(grip.layout, grip.way): text},
            )


def _held_back(failing: Failing) -> Iterator[Proposal]:
    reader, data = failing.reader, failing.data("clutch")
    shaft = reader.get("clutch.shaft") or "engine"
    wanted = driven_back.wanted_of(reader, failing.data("ratio"), shaft if data is None else data.shaft)
    if wanted is not None:
        text = failing.up(1.1 * wanted, "torque", "1 lbf·ft", "1 N·m")
        changes = {driven_back.BRAKE: "yes", driven_back.TORQUE: text}
        yield Proposal(f"Fit a brake of {text} that comes on as the clutch lets go.", changes)


def _magnet(failing: Failing) -> Iterator[Proposal]:
    yield Proposal("Hold the magnet by a strap or pin that leaves it a little play.", {"clutch.magnet_held": "yes"})


def _either(with_coil: Proposer, without: Proposer) -> Proposer:
    """Return what proposes for either kind of clutch, with a coil or without."""
    return lambda failing: (without if no_coil_cures.without_coil(failing) else with_coil)(failing)


PROPOSALS = carried(
    {
        "clutch.bore": fitting.right_bore,
        "clutch.clear": no_coil_cures.clear,
        "clutch.engagement": _either(_engagement, no_coil_cures.engagement),
        "clutch.facing": _facing,
        "clutch.gap": _gap,
        "clutch.guarded": no_coil_cures.guarded,
        driven_back.ID: _held_back,
        "clutch.hold": _either(_hold, no_coil_cures.hold),
        "clutch.idle": no_coil_cures.idle,
        "clutch.keyway": fitting.right_keyway,
        "clutch.lever": no_coil_cures.lever,
        "clutch.magnet": _magnet,
        "clutch.pull-in": _pull,
        "clutch.repeated": _either(_repeated, no_coil_cures.repeated),
        "clutch.returns": no_coil_cures.returns,
        "clutch.stop": _stop,
    }
)
