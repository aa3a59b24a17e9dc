"""What may put the chain right: more grip, another pin, a thicker shaft, or what the link's own chapter offers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import islice
from math import isfinite

from jackshaft import tables
from jackshaft.chapters.clutch.belts import LONGEST
from jackshaft.chapters.grip.cases import LOCKED, tension_key
from jackshaft.chapters.ratio.data import ENGINE
from jackshaft.chapters.weak_link.data import ChainData, Link, steady
from jackshaft.chapters.weak_link.slipping import felt, let_through
from jackshaft.mechanics import joints
from jackshaft.parts.load_at_speed import carried
from jackshaft.parts.shear_pin import PIN_SPREAD
from jackshaft.parts.slip_clutch import RUN_IN, STOOD
from jackshaft.parts.telescoping import joint_rating
from jackshaft.parts.tightener import LEVER, with_lever
from jackshaft.parts.words import joint_part
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.failing import Failing
from jackshaft.results.proving import proposals
from jackshaft.results.reader import Reader
from jackshaft.units import at_least, read

#: Steps in which a tension is set and in which a shaft is bought, inch and metric.
TENSION, SHAFT = ("1 lbf", "5 N"), ("1/8 in", "5 mm")

#: Steps in which a slip clutch is set.
SETTING = ("1 lbf·ft", "1 N·m")

#: How far over the first guess a size or a tension is tried; what is offered is proved, so these decide nothing.
OVER = (1.02, 1.1, 1.25, 1.5)

#: Pins that are sold everywhere: inch ones by common practice, no source; metric ones of ISO 2338, from memory. Then
#: how far a hole for one may be moved in or out, a guess that is proved.
PINS = {
    "inch": ("3/16 in", "1/4 in", "5/16 in", "3/8 in", "7/16 in", "1/2 in"),
    "metric": ("4 mm", "5 mm", "6 mm", "8 mm", "10 mm", "12 mm"),
}
RADII = (1.0, 1.15, 0.85, 1.3, 0.7)
RADIUS = ("1/16 in", "1 mm")

#: Pins that are offered for one check, and what is tried together where two links are too weak.
MOST_PINS, MOST_FIRST, MOST_SECOND = 8, 3, 3


def short_of(data: ChainData, load: float | None, case: str = "") -> list[Link]:
    """Return the links whose low end falls short of a load, the weakest first; ``case`` is start, peak or another."""
    links = [link.under(case) for link in data.giving]
    short = [link for link in links if load is not None and link.low < load]
    return sorted(short, key=lambda link: steady(link.low))


def for_load(name: str, others: str):
    """Return what proposes for a load: by the weakest link under it; ``others`` is what its own checks are called."""

    def found(failing: Failing) -> Iterator[Proposal]:
        data: ChainData | None = failing.data("chain")
        if data is None:
            return
        load = getattr(data, name)
        if name == "start" and load is not None and data.surge is not None:
            load = max(load, data.surge)
        short = short_of(data, load, name)
        if short:
            yield from for_link(failing, data, short[0], load, others)
        if len(short) > 1:
            # the next link holds the load no better: both are mended, or nothing is bettered
            for first in islice(for_link(failing, data, short[0], load, others), MOST_FIRST):
                for second in islice(for_link(failing, data, short[1], load, others), MOST_SECOND):
                    if not set(first.changes) & set(second.changes):
                        yield Proposal(orders(first.words, second.words), {**first.changes, **second.changes})

    return found


def for_link(failing: Failing, data: ChainData, link: Link, wanted: float, case: str) -> Iterator[Proposal]:
    """Yield what may bring the low end of a link to a torque on the reference shaft."""
    name = link.part.partition("[")[2].removesuffix("]")
    if link.kind == "shear pin":
        yield from pins(failing, data)
    elif link.kind == "slip clutch":
        yield from settings(failing, data)
    elif link.kind == "belt slip":
        yield from slipping(failing, data, name, wanted, case)
    elif link.kind == "clutch slip":
        yield from handed(failing, "clutch.hold")
    elif link.part == "driveline":
        yield from stronger_joints(failing, data, wanted / link.low)
    elif link.kind == "shaft":
        yield from thicker(failing, link, wanted)
    elif ".joint[" in link.part:
        joint = joint_part(failing.reader, link.shaft, link.part.rpartition(".joint[")[2].removesuffix("]"))
        yield from handed(failing, f"shafts.joint[{joint}]")
    elif link.part == "engine key":
        yield from handed(failing, "shafts.joint[engine key]")


def for_part(failing: Failing, data: ChainData, link: Link, wanted: float, case: str) -> Iterator[Proposal]:
    """Yield the same for a torque through the link itself, such as a jam's: tensions go by the whole machine's load."""
    whole = link.under("work")
    times = whole.low / link.low if link.low else 1.0
    yield from for_link(failing, data, whole, wanted * times, case)


def handed(failing: Failing, id: str) -> Iterator[Proposal]:
    """Yield what the chapters propose for another check, as it stands or, where it is not there, as if it were."""
    check = next((c for c in failing.results.checks if c.id == id), None)
    yield from proposals(failing.results, check or replace(failing.check, id=id))


def slipping(failing: Failing, data: ChainData, stage: str, wanted: float, case: str) -> Iterator[Proposal]:
    """Yield what the grip chapter proposes for a load, then tensions for a torque.

    Where more than that load is wanted, the chapter's own tensions are left out: they are too low for it.
    """
    load = {"margin": data.working, "start": data.start, "peak": data.peak}[case]
    grip, layout = (failing.data("grip") or {}).get(stage), (failing.data("layout") or {}).get(stage)
    more = grip is not None and layout is not None and load is not None and wanted > load * (1 + 1e-9)
    key = tension_key(layout, grip.way) if more else None
    yield from (p for p in handed(failing, f"grip.{case}[{stage}]") if set(p.changes) - {LEVER[1]} != {key})
    yield from tighter(failing, data, stage, wanted)


def tighter(failing: Failing, data: ChainData, stage: str, wanted: float) -> Iterator[Proposal]:
    """Yield tensions at which a belt holds a torque, N m on the reference shaft, at the bad end of its friction."""
    grip, layout = (failing.data("grip") or {}).get(stage), (failing.data("layout") or {}).get(stage)
    if grip is None or layout is None or grip.hold is None or not data.working or grip.held_tight:
        return  # in the tight strand more is no cure: the spring belongs elsewhere
    key, load = tension_key(layout, grip.way), wanted / data.working
    turning = grip.centrifugal if grip.way == LOCKED else 0.0
    where = "in the idler's strand, all belts together" if grip.sprung else "in each strand of each belt, at rest"
    for over in OVER:
        aim = ((grip.needed_bad - turning) * load * over + turning) / grip.per
        text = failing.up(aim, "force", *TENSION)
        by, words = with_lever(failing.reader, grip, grip.per * read(text, "force").si)
        yield Proposal(f"Set the tension of {stage} to {text} {where}{words}.", {key: text, **by})


def on_own(failing: Failing, shaft: str, torque: float) -> float:
    """Return a torque on the reference shaft as the torque that it is on another one, N m."""
    state = failing.data("ratio").shaft(shaft)
    return torque * state.over * state.passed


def window(failing: Failing, data: ChainData, guard: Link | None) -> tuple[float, float]:
    """Return what a pin or slip clutch must hold and what it must give before, N m on the reference shaft."""
    loads = {"work": data.working, "start": data.start, "peak": data.peak}
    hold = [t if guard is None else _raised(guard, t, case) for case, t in loads.items() if t is not None]
    if guard is not None and data.slipping is not None and data.slipping.after is not None:
        hold.append(felt(guard, max(data.slipping.now, data.slipping.run_in), data))
    give = [
        link.low - (0.0 if guard is None else data.beside(link, guard))
        for link in data.giving
        if guard is None or link.kind != guard.kind
    ]
    return max(hold, default=0.0), min(give, default=float("inf"))


def _raised(link: Link, load: float, case: str) -> float:
    """Return a load of the whole machine as what a link must stand for it: its own part, in that case."""
    low = link.under(case).low
    return load if not low else load * link.low / low


def pins(failing: Failing, data: ChainData) -> Iterator[Proposal]:
    """Yield pins that hold the loads and give before all else, the hole where it is first; else those that come near.

    The middle of the room that is left comes first, for there a pin has most to spare on both sides.
    """
    reader, pin = failing.reader, data.of_kind("shear pin")
    if pin is None:
        return
    least, most = (on_own(failing, pin.shaft, t) for t in window(failing, data, pin))
    strength, radius = reader.si("shear_pin.shear_strength"), reader.si("shear_pin.radius")
    planes = reader.get("shear_pin.planes") or 1
    middle = (least * most) ** 0.5 if most != float("inf") else 1.2 * least
    moved = failing.data("ratio").work_shaft
    if moved is not None and moved != pin.shaft and len(data.works) < 2:
        yield from at_the_work(failing, data, moved)
    tried = []
    for rank, share in enumerate(RADII):
        away = radius * share
        if share != 1.0:
            away = read(failing.up(away, "length", *RADIUS), "length").si
        for size in PINS[reader.system]:
            bolt = read(size, "length").si
            if bolt >= away:
                continue
            torque = float(joints.shear_pin_torque.si(bolt, away, strength, planes=planes))
            fits = (1 - PIN_SPREAD) * torque >= least and (1 + PIN_SPREAD) * torque < most
            tried.append((not fits, rank > 0, abs(torque / middle - 1), size, share))
    for _, moved, _, size, share in sorted(tried)[:MOST_PINS]:
        changes = {"shear_pin.diameter": size}
        words = f"Use a {size} shear pin of the same steel"
        if moved:
            text = failing.up(radius * share, "length", *RADIUS)
            changes["shear_pin.radius"] = text
            words += f", its hole {text} from the middle of the shaft"
        yield Proposal(f"{words}.", changes)


def settings(failing: Failing, data: ChainData) -> Iterator[Proposal]:
    """Yield settings of the slip clutch that hold the loads and slip before all else; a pin beside it counts as else.

    What is usual over the working torque comes first, then the middle of the room that is left. Where its torque is
    worked out from its springs, they are set.
    """
    reader, plates = failing.reader, data.of_kind("slip clutch")
    if plates is None or not isfinite(plates.high):
        return
    own = on_own(failing, plates.shaft, plates.likely)
    least, most = (on_own(failing, plates.shaft, t) for t in window(failing, data, plates))
    low, high = plates.low / plates.likely, plates.high / plates.likely
    least, most = least / low, most / high
    middle = (least * most) ** 0.5 if most != float("inf") else 1.2 * least
    usual = tables.table("attachment_facts").one(item="slip clutch over working torque")["likely"]
    wanted = usual * on_own(failing, plates.shaft, data.working or 0.0)
    aims = (wanted if at_least(wanted, least) and wanted < most else middle, middle, 1.02 * least, 0.98 * most)
    for aim in dict.fromkeys(a for a in aims if 0.0 < a < float("inf")):
        if reader.get("slip_clutch.torque") is not None:
            text = failing.up(aim, "torque", *SETTING)
            yield Proposal(f"Set the slip clutch to {text}.", {"slip_clutch.torque": text})
        else:
            text = failing.up(reader.si("slip_clutch.spring_force") * aim / own, "force", *TENSION)
            words = f"Set each spring of the slip clutch to {text}."
            yield Proposal(words, {"slip_clutch.spring_force": text, "slip_clutch.spring_length": ""})


def rusted(failing: Failing) -> Iterator[Proposal]:
    """Yield that plates which have stood are let slip."""
    if failing.reader.get("slip_clutch.plates") == STOOD:
        words = "Slacken the springs of the slip clutch, let it slip, and set it again."
        yield Proposal(words, {"slip_clutch.plates": RUN_IN})


def at_the_work(failing: Failing, data: ChainData, shaft: str) -> Iterator[Proposal]:
    """Yield pins of the same steel on the shaft of the work, where one also guards against what turns before it."""
    reader = failing.reader
    strength, radius = reader.si("shear_pin.shear_strength"), reader.si("shear_pin.radius")
    least, most = (on_own(failing, shaft, t) for t in window(failing, data, data.of_kind("shear pin")))
    planes = reader.get("shear_pin.planes") or 1
    for size in PINS[reader.system]:
        bolt = read(size, "length").si
        torque = float(joints.shear_pin_torque.si(bolt, max(radius, 1.5 * bolt), strength, planes=planes))
        if (1 - PIN_SPREAD) * torque >= least and (1 + PIN_SPREAD) * torque < most:
            away = failing.up(max(radius, 1.5 * bolt), "length", *RADIUS)
            changes = {"shear_pin.shaft": shaft, "shear_pin.diameter": size, "shear_pin.radius": away}
            yield Proposal(f"Put a {size} shear pin on {shaft}, {away} from its middle, in place of this one.", changes)


def thicker(failing: Failing, link: Link, wanted: float) -> Iterator[Proposal]:
    """Yield thicker shafts, for one that is of one diameter all along; torsion grows with its cube."""
    reader: Reader = failing.reader
    name = link.shaft
    size = reader.si(f"shaft[{name}].diameter")
    if name == ENGINE or size is None or reader.names(f"shaft[{name}].step"):
        return
    for over in OVER:
        text = failing.up(size * (over * wanted / link.low) ** (1 / 3), "length", *SHAFT)
        yield Proposal(f"Make {name} of {text} stock.", {f"shaft[{name}].diameter": text})


def stronger_joints(failing: Failing, data: ChainData, times: float) -> Iterator[Proposal]:
    """Yield joints of a rating so many times larger."""
    joint = next(k for k in data.giving if k.part == "driveline")
    state = failing.data("ratio").shaft(joint.shaft)
    rating = joint_rating(failing.reader, state.work)
    for over in OVER[:2]:
        text = failing.up(rating.low * times * over, "torque", "10 lbf·ft", "10 N·m")
        words = f"Fit joints rated for {text} or more on the telescoping shaft."
        yield Proposal(words, {"driveline.joint_rating": text})


def jam(failing: Failing) -> Iterator[Proposal]:
    """Yield another pin or setting, or more in what gives before it."""
    yield from rusted(failing)
    data: ChainData | None = failing.data("chain")
    pin = None if data is None else data.guard
    if pin is None or not isfinite(pin.high):
        return
    early = [link for link in data.giving if link is not pin and link.low <= pin.high]
    if early:
        yield from for_part(failing, data, min(early, key=lambda k: steady(k.low)), pin.high, "margin")
    yield from pins(failing, data) if pin.kind == "shear pin" else settings(failing, data)


def joint_torque(failing: Failing) -> Iterator[Proposal]:
    """Yield a pin that guards the joints, and joints that stand what reaches them."""
    data: ChainData | None = failing.data("chain")
    joint = None if data is None else next((k for k in data.giving if k.part == "driveline"), None)
    if joint is None:
        return
    yield from pins(failing, data)
    yield from settings(failing, data)
    reach = min((k.high for k in data.giving if not k.breaks), default=0.0)
    peak = 0.0 if data.peak is None else data.peak / joint.under("peak").low
    yield from stronger_joints(failing, data, max(reach / joint.low, peak))


def engaging_belts(failing: Failing) -> Iterator[Proposal]:
    """Yield tensions at which the belts carry all that the run-in clutch pulls."""
    data: ChainData | None = failing.data("chain")
    if data is None or data.slipping is None:
        return
    belt = next((k for k in data.giving if k.part == f"stage[{failing.part}]"), None)
    most = max(data.slipping.now, data.slipping.run_in)
    most = most if belt is None else let_through(belt, most, data)
    clutch = failing.data("clutch")
    found = None if clutch is None else clutch.engagement
    if found is not None and found.slips:
        # what takes the work up in time, though the belts slip meanwhile
        there = failing.data("ratio").shaft(clutch.shaft)
        speeds_up = found.turning.bad * found.speed / LONGEST / (there.over * there.passed)
        wanted = data.slipping.load + speeds_up
        if wanted < most:
            yield from tighter(failing, data, failing.part, wanted if belt is None else wanted / belt.branch)
    yield from tighter(failing, data, failing.part, most if belt is None else most / belt.branch)
    yield from handed(failing, f"grip.margin[{failing.part}]")


def engaging_pin(failing: Failing) -> Iterator[Proposal]:
    """Yield pins that stand an engagement."""
    data: ChainData | None = failing.data("chain")
    if data is not None:
        yield from pins(failing, data)


def engaging_slip(failing: Failing) -> Iterator[Proposal]:
    """Yield settings of the slip clutch that stand an engagement."""
    data: ChainData | None = failing.data("chain")
    if data is not None:
        yield from settings(failing, data)


def engaging(failing: Failing) -> Iterator[Proposal]:
    """Yield what strengthens the link that comes nearest to giving while the clutch slips."""
    data: ChainData | None = failing.data("chain")
    if data is None or data.slipping is None:
        return
    feels = {k.name: felt(k, data.slipping.top, data) for k in data.giving if k.breaks}
    short = [k for k in data.giving if k.breaks and k.low < feels[k.name]]
    for link in sorted(short, key=lambda k: steady(k.low / feels[k.name])):
        yield from for_part(failing, data, link, feels[link.name], "margin")


def slip_heat(failing: Failing) -> Iterator[Proposal]:
    """Yield lower settings of the slip clutch that still hold the loads, then plates that take up more heat."""
    data: ChainData | None = failing.data("chain")
    if data is not None:
        yield from settings(failing, data)
    short, until = getattr(failing.check.found, "low", None), getattr(failing.check.wanted, "si", None)
    mass = failing.reader.si("slip_clutch.plate_mass")
    if short and until and mass:
        text = failing.up(mass * until / short, "mass", "0.5 lb", "0.2 kg")
        words = f"Fit a slip clutch of the same setting whose steel plates weigh {text} or more together."
        yield Proposal(words, {"slip_clutch.plate_mass": text})


PROPOSALS = carried(
    {
        "chain.slip-heat": slip_heat,
        "chain.holds": for_load("working", "margin"),
        "chain.start": for_load("start", "start"),
        "chain.peak": for_load("peak", "peak"),
        "chain.weak-link": jam,
        "chain.joints": joint_torque,
        "chain.engage-belts": engaging_belts,
        "chain.engage-pin": engaging_pin,
        "chain.engage-slip-clutch": engaging_slip,
        "chain.engage": engaging,
    }
)

__all__ = ["PROPOSALS"]
