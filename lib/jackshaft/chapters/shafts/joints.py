"""What carries the torque between shaft and hub: the joints that are there, and a table of those that could be."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.ratio.analysis import ENGINE
from jackshaft.chapters.shafts import mending as shaft_mending
from jackshaft.chapters.shafts import splines as shaft_splines
from jackshaft.chapters.shafts.capacity import Capacity, JointReader, strength_of
from jackshaft.chapters.shafts.mending import E70, FRICTION, KEY_YIELD, WANTED, Sound
from jackshaft.mechanics import joints, keys, welds
from jackshaft.parts.shaft_loads import overrun_of
from jackshaft.results.checks import CAUTION, GO, STOP, Table, undecided
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import at_least

#: Factor wanted where the torque turns round in overrun: a key or spline works loose, a set screw slides to and fro
#: (4 to 8 for a running load in its table's text). Else common practice, no source.
TURNING_ROUND = {"parallel key": 2.5, "spline": 2.5, "set screws": 4.0, "split hub": 2.0, "flange": 2.0}
CAUTIONS = welds.WELD_CAUTIONS


class Torques(NamedTuple):
    """Torque of one shaft at work, at the peak, at the start and in overrun, N·m; None where not known."""

    work: float | None
    peak: float | None
    start: float | None
    overrun: float | None
    overrun_said: bool

    @property
    def hardest(self) -> tuple[str, float | None]:
        """The case with the largest torque, the peak where they are level."""
        known = [
            (n, t)
            for n, t in (("peak", self.peak), ("start", self.start), ("overrun", self.overrun), ("work", self.work))
            if t
        ]
        return max(known, key=lambda nt: round(nt[1], 9), default=("peak", None))

    @property
    def turns_round(self) -> bool:
        """Whether the build says that the work drives back."""
        return self.overrun_said and bool(self.overrun)


class Joint(NamedTuple):
    """One joint: torque it carries and torque it must carry at work and at the peak, N·m, None where not known."""

    name: str
    shaft: str
    kind: str
    carries: float
    way: str
    torque: float | None
    peak: float | None
    words: str
    source: str
    torques: Torques
    capacity: Capacity


def work_up(draft: Draft, reader: Reader, done: Mapping[str, Findings], found) -> tuple[Joint, ...]:
    """Work up every joint that is written down, the engine's key among them, with a check for each."""
    done_joints = []
    for shaft in (ENGINE, *reader.names("shaft")):
        for name, joint_reader in _written(reader, shaft, found.get(shaft)):
            id, title = f"shafts.joint[{name}]", f"{shaft}: {name}"
            try:
                capacity = joint_reader()
            except Unknown as unknown:
                draft.checks.append(undecided(id, title, unknown.keys, "A size of this joint is not known yet."))
                continue
            except ValueError as why:
                draft.check(
                    id,
                    title,
                    "cannot be worked out",
                    "",
                    STOP,
                    f"{why}.",
                    "Correct what is written down for this joint.",
                    "own-derivation",
                )
                continue
            torques = torques_of(reader, done, shaft)
            kind = joint_reader.kind if joint_reader.repair is None else f"{joint_reader.kind}, {joint_reader.repair}"
            joint = Joint(
                name,
                shaft,
                kind,
                capacity.carries,
                capacity.way,
                torques.work,
                torques.peak,
                capacity.words,
                capacity.source,
                torques,
                capacity,
            )
            done_joints.append(joint)
            _check(draft, reader, id, title, joint, joint_reader.kind, _placeless(reader, joint_reader))
            if capacity.spline is not None and joint_reader.repair is None:
                shaft_splines.work_up(
                    draft, reader, done, shaft, name, capacity.spline, torques.work, torques.hardest[1]
                )
            if joint_reader.kind == "weld ring" or joint_reader.repair in ("key welded in", "hub welded on"):
                _weld_check(draft, reader, shaft, name)
    return tuple(done_joints)


def _written(reader: Reader, shaft: str, state):
    """Yield (name, reader) for each joint of a shaft that is written down."""
    if shaft == ENGINE:
        if reader.get("engine.key_width") is not None:
            yield "engine key", JointReader(reader, ENGINE, "engine key", "parallel key", ENGINE, None)
        return
    for name in reader.names(f"shaft[{shaft}].joint"):
        kind = reader.get(f"shaft[{shaft}].joint[{name}].kind")
        if kind is not None:
            yield name, JointReader(reader, f"shaft[{shaft}].joint[{name}]", name, kind, shaft, state)


def torques_of(reader: Reader, done: Mapping[str, Findings], shaft: str) -> Torques:
    """Return the torque of a shaft in each case as far as it is known."""
    ratio = done["ratio"].data
    state = ratio.shaft(shaft) if ratio is not None else None
    if state is None or state.torque is None:
        return Torques(None, None, None, None, False)
    start, back = reader.si("work.start_factor"), overrun_of(reader, done)
    return Torques(
        state.torque,
        state.peak_torque,
        start * state.torque if start else None,
        None if back is None else back.share * state.torque,
        back is not None and back.said,
    )


def _placeless(reader: Reader, joint_reader: JointReader) -> str:
    """Say that the shaft under a joint is not judged, where the shaft is worked out and the place is not known."""
    key = f"{joint_reader.at}.position"
    if joint_reader.state is None or reader.si(key) is not None:
        return ""
    reader.note_missing(key)
    return " Where it sits is not written down, so the shaft under it is not judged."


def _check(draft: Draft, reader: Reader, id: str, title: str, joint: Joint, kind: str, placeless: str) -> None:
    text, torques = reader.show(joint.carries, "torque"), joint.torques
    if torques.work is None:
        draft.checks.append(
            undecided(
                id,
                title,
                ("work.power", "work.power_at"),
                f"It carries {text} ({joint.way}); the torque through it is not known yet.",
            )
        )
        return
    case, most = torques.hardest
    wanted = TURNING_ROUND.get(kind, WANTED) if torques.turns_round else WANTED
    share, left = joint.carries / most, np.inf if joint.capacity.shaft is None else joint.capacity.shaft / most
    verdict = CAUTION if at_least(min(share, left), 1.0) else STOP
    if at_least(share, wanted) and at_least(left, WANTED):
        verdict = GO
    thin = f" The shaft itself, as it is mended, yields at {left:.1f} times the {case}."
    thin = "" if at_least(left, WANTED) else thin
    round_words = (
        f" In overrun {reader.show(torques.overrun, 'torque')} run through it the other way, which works it loose, so "
        f"{wanted:g} is wanted."
        if torques.turns_round and wanted > WANTED
        else ""
    )
    if kind == "set screws" and not torques.overrun_said and torques.overrun is not None:
        round_words = (
            " Whether the work drives back is not written down; a torque that turns round works set screws loose."
        )
    draft.check(
        id,
        title,
        f"{text}, {share:.1f} × the {case}",
        f"{wanted:g} × {reader.show(most, 'torque')}",
        verdict,
        f"Gives first: {joint.way}. On the shaft: {joint.words.rstrip('.')}.{thin}{round_words}{placeless}",
        ""
        if verdict == GO
        else "Take a longer or larger joint of the kind, or one of the table of joints that carries more.",
        joint.source,
    )


def _weld_check(draft: Draft, reader: Reader, shaft: str, name: str) -> None:
    """Say whether the shaft's steel takes a weld, and how warm it must be."""
    id, title, key = f"shafts.weld_steel[{name}]", f"{shaft}: {name}: steel beside the weld", f"shaft[{shaft}].material"
    material = reader.get(key)
    care = None if material is None else welds.weld_care(material)
    if care is None:
        words = (
            "What the shaft is made of is not known yet."
            if material is None
            else f"'{material}' does not tell what is in the steel."
        )
        draft.checks.append(
            undecided(
                id,
                title,
                (key,),
                f"{words} Over about 0.3 % carbon it hardens beside the weld and cracks; try a "
                "file on a bead's edge of a scrap end.",
                limit="0.3 % carbon or less",
            )
        )
        return
    carbon = material if care.carbon is None else f"{material}: about {care.carbon:.2f} % carbon"
    warm = "" if care.preheat is None else " to ".join(reader.show(t, "temperature", digits=2) for t in care.preheat)
    verdict = {"yes": GO, "with care": CAUTION, "no": STOP}[care.weldable]
    remedy = {
        GO: "",
        STOP: "Do not weld it: clamp, key or flange the hub, or make the shaft of AISI 1018 or 1020.",
        CAUTION: (f"Preheat to {warm}. " if warm else "")
        + f"{care.words}. Or weld to a collar of mild steel that is keyed on.",
    }
    draft.check(
        id,
        title,
        carbon,
        "0.3 % carbon or less, no sulphur or lead",
        verdict,
        {
            GO: f"Low in carbon: it hardens little beside the weld. {care.words}.",
            STOP: f"{care.words}.",
            CAUTION: "It hardens beside the weld, and cracks start there once it is bent to and fro.",
        }[verdict],
        remedy[verdict],
        "trade-practice",
        guards=verdict == STOP,
    )


def tables(reader: Reader, found: tuple[Joint, ...], done: Mapping[str, Findings]):
    """Yield the sheets of joints: those that are there, those that could be, ways to mend, tractor splines."""
    if found:
        yield Table(
            "Joints that are there",
            ("shaft", "joint", "kind", "carries", "gives first", "peak", "on the shaft"),
            tuple(
                (
                    j.shaft,
                    j.name,
                    j.kind,
                    reader.show(j.carries, "torque"),
                    j.way,
                    "" if j.peak is None else reader.show(j.peak, "torque"),
                    j.words,
                )
                for j in found
            ),
            "At yield or at slip, without a factor.",
        )
        yield shaft_splines.sheet(
            reader, [(j.shaft, j.name, j.capacity.spline) for j in found if j.capacity.spline is not None]
        )
    rows, mending = [], []
    for shaft in (ENGINE, *reader.names("shaft")):
        size = reader.si("engine.shaft_diameter" if shaft == ENGINE else f"shaft[{shaft}].diameter")
        mine = [j for j in found if j.shaft == shaft and j.capacity.sound is not None]
        if size is None and not mine:
            continue
        most = torques_of(reader, done, shaft).hardest[1]
        if size is not None:
            rows += [(shaft, *cells) for cells in _could_be(reader, size, most)]
        worn = [(j.name, j.capacity.sound) for j in mine]
        worn = worn or [(words, sound) for words, sound in [_usual_key(reader, size)] if sound is not None]
        for name, sound in worn:
            mending += [(shaft, name, *cells) for cells in _mending(reader, shaft, sound, most)]
    if rows:
        yield Table(
            "Joints that could be",
            ("shaft", "joint", "of the size", "carries", "× the peak", "on the shaft"),
            tuple(rows),
            "At yield or at slip, without a factor; take 1.5 for a steady load, 2.5 to 3 with shocks, 4.5 with heavy "
            "ones. Friction 0.12, key of common key stock, weld with E70.",
            aside=True,
        )
    if mending:
        yield Table(
            "Mending a worn keyseat or spline",
            ("shaft", "joint", "way", "carries", "gives first", "× the peak", "shaft keeps", "verdict"),
            tuple(mending),
            "What the joint carries after it, and the share of the plain shaft's torque that is left; the verdict "
            f"wants {WANTED:g} times the peak of both. A sleeve is taken a tenth of the shaft thick and a thousandth "
            "tight, a pin a quarter of the shaft; common practice, no source.",
            aside=True,
        )
        used = {row[2] for row in mending}
        yield Table(
            "What each way of mending does",
            ("way", "what it does"),
            tuple((n, way.words) for n, way in shaft_mending.WAYS.items() if n in used),
            aside=True,
        )
    if rows and reader.system:
        yield shaft_splines.profiles(reader)


def _usual_key(reader: Reader, size: float | None) -> tuple[str, Sound | None]:
    """Return a key of the usual size for a shaft whose joints are not written down."""
    try:
        key = keys.key_for.si(size, system=reader.system)
    except (TypeError, ValueError):
        return "", None
    long = 1.25 * size
    capacity = keys.key_capacity.si(size, key.width, key.height, long, key_yield=KEY_YIELD)
    return "a usual key", Sound("parallel key", size, float(capacity.governing), long, key.width, 2 * key.shaft_depth)


def _mending(reader: Reader, shaft: str, sound: Sound, most: float | None):
    """Yield one row for each way to mend a joint."""
    strength = strength_of(reader, shaft)
    for name in shaft_mending.ways_for(sound.kind, shaft):
        try:
            way = shaft_mending.mend(name, sound)
        except ValueError as why:
            yield name, "", f"{why}", "", "", STOP
            continue
        yield (
            name,
            reader.show(way.carries, "torque"),
            way.gives,
            "" if not most else f"{way.carries / most:.1f}",
            f"{100 * way.share:.0f} %",
            shaft_mending.verdict(way, sound.shaft, strength, most),
        )


def _could_be(reader: Reader, size: float, torque: float | None):
    """Yield one row for each kind of joint in a usual size for a shaft."""

    def row(name, of, carries, words):
        share = "" if not torque else f"{carries / torque:.1f}"
        return name, of, reader.show(carries, "torque"), share, words

    try:
        key = keys.key_for.si(size, system=reader.system)
        long = 1.25 * size
        capacity = keys.key_capacity.si(size, key.width, key.height, long, key_yield=KEY_YIELD)
        share = keys.keyed_share(size, key.width, key.shaft_depth)
        yield row(
            "parallel key",
            f"{reader.show(key.width, 'length')} × {reader.show(key.height, 'length')}, "
            f"{reader.show(long, 'length')} long",
            float(capacity.governing),
            f"leaves {100 * share:.0f} % of the plain shaft; raises bending 2.1 times, torsion 3 times",
        )
    except ValueError:
        yield ("parallel key", "", "no size is tabulated", "", "")
    if reader.system == "inch":
        screw = joints.set_screw.si("3/8" if size > 0.022 else "1/4")
        yield row(
            "two set screws",
            f"{screw.size} in, seated with {reader.show(screw.seating_torque, 'torque')}",
            float(joints.set_screw_torque.si(screw.holding, size, count=2)),
            "a dimple at each point; for light loads only",
        )
    bolt, grade = ("3/8-16", "SAE 5") if reader.system == "inch" else ("M10x1.5", "8.8")
    try:
        line = joints.bolt(bolt, grade)
        force, tighten = joints.preload_si(line)
        yield row(
            "split hub",
            f"2 bolts {bolt} {grade}, {reader.show(tighten, 'torque')} each",
            float(joints.clamp_torque.si(2 * force, size, FRICTION, model="half circle")),
            "no cut in the shaft; the edge bites in bending",
        )
        circle = 2.5 * size
        flange = joints.flange_torque.si(
            4,
            circle,
            preload=force,
            friction=FRICTION,
            bolt=0.8 * line["diameter_mm"] * 1e-3,
            shear_allowed=0.3 * line["proof_mpa"] * 1e6,
        )
        yield row(
            "flange, 4 bolts",
            f"{bolt} {grade} on {reader.show(circle, 'length')}",
            float(flange.friction),
            f"friction; {reader.show(float(flange.shear), 'torque')} in shear where bolts fit their holes",
        )
    except ValueError:
        yield ("split hub", "", "no bolt is tabulated", "", "")
    leg = 0.2 * size
    one = welds.weld_ring.si(size, leg, 1.0)
    yield row(
        "weld ring",
        f"leg {reader.show(leg, 'length')}, one end",
        float(welds.weld_allowed.si(E70, reversing=True) / one.torsion),
        "weak metal beside it, the next repair cuts it off; preheat harder steels",
    )
    yield ("taper bush", "as bought", "its maker's figure", "", "grips all round, comes off with its own screws")


__all__ = ["CAUTIONS", "FRICTION", "Joint", "KEY_YIELD", "Torques", "WANTED", "tables", "torques_of", "work_up"]
