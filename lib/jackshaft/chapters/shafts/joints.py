"""What carries the torque between shaft and hub: the joints that are there, and a table of those that could be."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft.chapters.ratio.analysis import ENGINE
from jackshaft.chapters.shafts import hubs, key_size
from jackshaft.chapters.shafts import splines as shaft_splines
from jackshaft.chapters.shafts.capacity import JointReader
from jackshaft.chapters.shafts.data import Capacity, Joint, Torques
from jackshaft.chapters.shafts.mending import WANTED
from jackshaft.mechanics import welds
from jackshaft.parts import seldom
from jackshaft.parts.along import KEYED, bears
from jackshaft.parts.motor import is_motor
from jackshaft.parts.shaft_cases import BRAKE, JAM, MORE, at_case, factors_of, jam_doubt, overrun_of
from jackshaft.parts.shaft_loads import hard_unknown
from jackshaft.parts.words import ENGINE_KEY, joint_part, sentence
from jackshaft.parts.works import factor_of
from jackshaft.results.checks import CAUTION, GO, STOP, reaches, undecided
from jackshaft.results.findings import CANNOT, Draft, Findings
from jackshaft.results.reader import Reader, Unknown, read_once
from jackshaft.results.values import Number

#: Factor wanted where the torque turns round in overrun: a key or spline works loose, a set screw slides to and fro
#: (4 to 8 for a running load in its table's text). Else common practice, no source.
TURNING_ROUND = {"parallel key": 2.5, "spline": 2.5, "set screws": 4.0, "split hub": 2.0, "flange": 2.0}
#: Times the torque at work that set screws want where the load is not uniform or nobody says what it is like: 4 to 8
#: for running loads in their table's text (from memory).
SHAKEN = 4.0
#: Carbon that hardens little beside a weld: common practice, no source.
MOST_CARBON = 0.003


def cautions(reader: Reader) -> tuple[str, ...]:
    """Return what to know before a hub is welded on; of a battery nothing where a motor's build has no circuit."""
    none = is_motor(reader) and (not reader.has("circuit") or reader.is_none("circuit"))
    return welds.WELD_CAUTIONS if none else (*welds.WELD_CAUTIONS, welds.WELD_BATTERY)


def work_up(draft: Draft, reader: Reader, done: Mapping[str, Findings], found) -> tuple[Joint, ...]:
    """Work up every joint that is written down, the engine's key among them, with a check for each."""
    found_joints = []
    for shaft in (ENGINE, *reader.names("shaft")):
        for name, joint_reader in _written(reader, shaft, found.get(shaft)):
            part = joint_part(reader, shaft, name)
            id, title = f"shafts.joint[{part}]", hubs.title_of(reader, shaft, name)
            key_size.check(draft, reader, joint_reader, part)
            try:
                capacity = joint_reader()
            except Unknown as unknown:
                draft.checks.append(undecided(id, title, unknown.keys, "A size of this joint is not known yet."))
                continue
            except ValueError as why:
                cure = "Correct what is written down for this joint."
                draft.check(id, title, CANNOT, "", STOP, reason=f"{why}.", remedy=cure, source="own-derivation")
                continue
            kind = joint_reader.kind if joint_reader.repair is None else f"{joint_reader.kind}, {joint_reader.repair}"
            joint = Joint(name, part, shaft, kind, torques_of(reader, done, shaft), capacity)
            found_joints.append(joint)
            _check(draft, reader, done, joint, joint_reader)
            _length_check(draft, reader, joint_reader)
            if capacity.spline is not None and joint_reader.repair is None:
                shaft_splines.work_up(draft, reader, done, joint)
            if joint_reader.kind == "weld ring" or joint_reader.repair in ("key welded in", "hub welded on"):
                _weld_check(draft, reader, joint)
    return tuple(found_joints)


def _written(reader: Reader, shaft: str, state):
    """Yield (name, reader) for each joint of a shaft that is written down."""
    if shaft == ENGINE:
        if reader.get("engine.key_width") is not None:
            yield ENGINE_KEY, JointReader(reader, ENGINE, ENGINE_KEY, "parallel key", None)
        return
    for name in reader.names(f"shaft[{shaft}].joint"):
        kind = reader.get(f"shaft[{shaft}].joint[{name}].kind")
        if kind is not None:
            yield name, JointReader(reader, shaft, name, kind, state)


@read_once
def torques_of(reader: Reader, done: Mapping[str, Findings], shaft: str) -> Torques:
    """Return the torque of a shaft in each case as far as it is known."""
    ratio = done["ratio"].data
    state = ratio.shaft(shaft) if ratio is not None else None
    if state is None or state.torque is None:
        return Torques(None, None, None, None, False)
    start, back = factor_of(reader, ratio, shaft, "start"), overrun_of(reader, done)
    factors = factors_of(reader, done, shaft, back)
    return Torques(
        state.torque,
        state.peak_torque,
        start * state.torque if start else None,
        None if back is None else back.share * state.torque,
        back is not None and back.said,
        tuple((n, abs(f) * state.torque) for n, f in factors.items() if n not in MORE and _runs_through(n, shaft)),
    )


def _runs_through(case: str, shaft: str) -> bool:
    """Tell whether the torque of a case runs through a shaft: a brake holds the clutch's driven side, not the crank."""
    return case != BRAKE or shaft != ENGINE


def _unsaid(reader: Reader, joint_reader: JointReader) -> str:
    """Return the words on what is not said of a joint: the hub that it holds, and its place on a judged shaft."""
    key, words = f"{joint_reader.at}.position", hubs.assumed(reader, joint_reader.shaft, joint_reader.name)
    if joint_reader.state is None or reader.si(key) is not None:
        return words
    reader.note_missing(key)
    return f"{words} Where it sits is not written down, so the shaft under it is not judged."


def _torque_lacks(reader: Reader, done: Mapping[str, Findings], shaft: str) -> tuple[str, ...]:
    """Return the keys without which the torque of a shaft is not known."""
    lacks, ratio = reader.unknown("work.power", "work.power_at", "engine.work_speed"), done["ratio"].data
    if not lacks and ratio is not None:
        lacks = ratio.share_lacks(shaft) or ratio.between
    return lacks or ("stage",)


def _check(draft: Draft, reader: Reader, done: Mapping[str, Findings], joint: Joint, joint_reader: JointReader) -> None:
    id, title = f"shafts.joint[{joint.part}]", hubs.title_of(reader, joint.shaft, joint.name)
    torques, capacity, kind = joint.torques, joint.capacity, joint_reader.kind
    unsaid = _unsaid(reader, joint_reader)
    if torques.work is None:
        carries = f"It carries {reader.show(capacity.carries, 'torque')} ({capacity.way})."
        words = f"{carries} The torque through it is not known yet."
        draft.missing(reader, id, title, _torque_lacks(reader, done, joint.shaft), words)
        return
    case, most = torques.hardest
    turning = TURNING_ROUND.get(kind, WANTED) if torques.turns_round else WANTED
    wanted = turning
    shaken = kind == "set screws" and reader.get("work.load_class") != "uniform"
    if shaken:
        wanted = max(wanted, SHAKEN * torques.work / most)
    less, rare = _seldom(reader, joint)
    share, left = capacity.carries / most, np.inf if capacity.shaft is None else capacity.shaft / most
    verdict = CAUTION if reaches(min(share, left), 1.0) else STOP
    if reaches(capacity.bad / most, wanted) and reaches(left, WANTED):
        verdict = GO
    verdict = seldom.joined(verdict, seldom=less is None)
    more = (
        "" if reaches(left, WANTED) else f" The shaft itself, as it is mended, yields at {left:.1f} times the {case}."
    )
    if shaken:
        more += f" Set screws under a load that shakes want {SHAKEN:g} times the torque at work."
    if kind == "set screws" and not torques.overrun_said and torques.overrun is not None:
        more += " Whether the work drives back is not written down; a torque that reverses works set screws loose."
    elif torques.turns_round and turning > WANTED:
        back, size = torques.back
        more += (
            f" {sentence(at_case(back))} {reader.show(size, 'torque')} run through it the other way and work it loose, "
            f"so {turning:g} times the {case} is wanted."
        )
    if capacity.least is not None:
        more += (
            f" Published tables differ: the lower gives {reader.show(capacity.least, 'torque')}, "
            f"{capacity.least / most:.1f} times the {case}, and that one counts."
        )
    found = reader.number(capacity.carries, "torque", f"{{}}, {share:.1f} × the {case}", low=capacity.least)
    limit = reader.number(wanted * most, "torque", f"{{}} or more, {wanted:g} × the {case}")
    if less is not None and verdict == CAUTION and less[1] > wanted * most:
        found, limit = _seldom_numbers(reader, capacity, less)
    draft.check(
        id,
        title,
        found,
        limit,
        verdict,
        reason=f"What gives first: {capacity.way}. What it does to the shaft: "
        f"{capacity.words.rstrip('.')}.{more}{rare}{unsaid}",
        remedy=""
        if verdict == GO
        else "Take a longer or larger joint of this kind, or one that carries more from the table of joints.",
        source=capacity.source,
    )
    words = "How hard the work starts, or works at its peak, is not known, and may ask more of it."
    draft.doubt(reader, hard_unknown(reader, done, joint.shaft), words, id, of=(GO, CAUTION))
    jam = dict(torques.others).get(JAM)
    jam_doubt(draft, reader, done, joint.shaft, {id: capacity.share(jam) if jam else 1.0})


def _length_check(draft: Draft, reader: Reader, joint: JointReader) -> None:
    """Add a caution where a key or spline is longer than the hub or the step that it bears in."""
    held = bears(reader, joint.shaft, joint.name) if joint.kind in KEYED else None
    if held is None:
        return
    key = "engine.key_length" if joint.shaft == ENGINE else f"{joint.at}.length"
    draft.check(
        f"shafts.key[{joint.name}]",
        f"{joint.shaft}: {joint.name}, its length",
        reader.number(reader.si(key), "length", known=reader.how(key)),
        reader.number(held.length, "length", "{} or less"),
        CAUTION,
        reason=f"It is longer than it bears in {held.words} ({held.key}): only that much of it counts in what it "
        "carries.",
        remedy="Measure the key and what it lies in again, or take a key of that length.",
        source="own-derivation",
    )


def _seldom(reader: Reader, joint: Joint) -> tuple[tuple[str, float] | None, str]:
    """Return case and torque, N·m, of what comes seldom where the joint does not hold it, and words; else None, ""."""
    hard = joint.torques.seldom
    if hard is None or seldom.holds(joint.capacity.share(hard[1])):
        return None, ""
    case, torque = hard
    return hard, (
        f" {sentence(at_case(case))} {reader.show(torque, 'torque')} may come, and it carries "
        f"{joint.capacity.share(torque):.2f} times that. It lasts a moment and comes seldom."
    )


def _seldom_numbers(reader: Reader, capacity: Capacity, hard: tuple[str, float]) -> tuple[Number, Number]:
    """Return what is found and what is wanted where a case that comes seldom decides."""
    case, torque = hard
    carries = torque * capacity.share(torque)
    return (
        reader.number(carries, "torque", f"{{}}, {carries / torque:.2f} × the torque {at_case(case)}"),
        reader.number(seldom.HOLDS * torque, "torque", f"{{}} or more {at_case(case)}"),
    )


def _weld_check(draft: Draft, reader: Reader, joint: Joint) -> None:
    """Add the check whether the shaft's steel takes a weld, and how warm it must be."""
    id, key = f"shafts.weld_steel[{joint.part}]", f"shaft[{joint.shaft}].material"
    title = f"{joint.shaft}: {joint.name}: steel beside the weld"
    material = reader.get(key)
    care = None if material is None else welds.weld_care(material)
    if care is None:
        words = (
            "What the shaft is made of is not known yet."
            if material is None
            else f"'{material}' does not show what is in the steel."
        )
        words += (
            " With more than about 0.3 % carbon it hardens beside the weld and cracks. Weld a bead on a scrap end and "
            "try a file at its edge."
        )
        limit = reader.number(MOST_CARBON, "number", "{} carbon or less", by="percent")
        draft.checks.append(undecided(id, title, (key,), words, limit=limit))
        return
    carbon = material
    if care.carbon is not None:
        words = f"{material}: about {{}} carbon"
        carbon = reader.number(care.carbon / 100, "number", words, by="percent", decimals=2)
    warm = "" if care.preheat is None else " to ".join(reader.show(t, "temperature", digits=2) for t in care.preheat)
    verdict = {"yes": GO, "with care": CAUTION, "no": STOP}[care.weldable]
    remedies = {
        GO: "",
        STOP: "Do not weld it: clamp, key or flange the hub, or make the shaft of AISI 1018 or 1020.",
        CAUTION: (f"Preheat to {warm}. " if warm else "")
        + f"{care.words}. Or weld to a collar of mild steel that is keyed on.",
    }
    reasons = {
        GO: f"Low in carbon: it hardens little beside the weld. {care.words}.",
        STOP: f"{care.words}.",
        CAUTION: "It hardens beside the weld. Once it is bent to and fro, cracks start there.",
    }
    draft.check(
        id,
        title,
        carbon,
        reader.number(MOST_CARBON, "number", "{} carbon or less, no sulphur or lead", by="percent"),
        verdict,
        reason=reasons[verdict],
        remedy=remedies[verdict],
        source="trade-practice",
        guards=verdict == STOP,
    )
