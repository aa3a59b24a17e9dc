"""What carries the torque between shaft and hub: the joints that are there, and a table of those that could be."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.ratio.analysis import ENGINE
from jackshaft.chapters.shafts import splines as shaft_splines
from jackshaft.chapters.shafts.capacity import Capacity, JointReader
from jackshaft.chapters.shafts.mending import WANTED
from jackshaft.mechanics import welds
from jackshaft.parts.shaft_loads import overrun_of
from jackshaft.results.checks import CAUTION, GO, STOP, undecided
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import at_least

#: Factor wanted where the torque turns round in overrun: a key or spline works loose, a set screw slides to and fro
#: (4 to 8 for a running load in its table's text). Else common practice, no source.
TURNING_ROUND = {"parallel key": 2.5, "spline": 2.5, "set screws": 4.0, "split hub": 2.0, "flange": 2.0}
#: Carbon that hardens little beside a weld: common practice, no source.
MOST_CARBON = 0.003
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
    """One joint: what it carries, and the torque that it must carry in each case."""

    name: str
    shaft: str
    kind: str
    torques: Torques
    capacity: Capacity

    @property
    def carries(self) -> float:
        """The torque it carries, N·m, at yield or at slip."""
        return self.capacity.carries


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
            joint = Joint(name, shaft, kind, torques, capacity)
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
    torques, capacity = joint.torques, joint.capacity
    if torques.work is None:
        draft.checks.append(
            undecided(
                id,
                title,
                ("work.power", "work.power_at"),
                f"It carries {reader.show(capacity.carries, 'torque')} ({capacity.way}); "
                "the torque through it is not known yet.",
            )
        )
        return
    case, most = torques.hardest
    wanted = TURNING_ROUND.get(kind, WANTED) if torques.turns_round else WANTED
    share, left = capacity.carries / most, np.inf if capacity.shaft is None else capacity.shaft / most
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
        reader.number(capacity.carries, "torque", f"{{}}, {share:.1f} × the {case}"),
        reader.number(wanted * most, "torque", f"{wanted:g} × {reader.show(most, 'torque')}"),
        verdict,
        f"Gives first: {capacity.way}. On the shaft: {capacity.words.rstrip('.')}.{thin}{round_words}{placeless}",
        ""
        if verdict == GO
        else "Take a longer or larger joint of the kind, or one of the table of joints that carries more.",
        capacity.source,
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
                limit=reader.number(MOST_CARBON, "number", "{} carbon or less", by="percent"),
            )
        )
        return
    carbon = material
    if care.carbon is not None:
        words = f"{material}: about {{}} carbon"
        carbon = reader.number(care.carbon / 100, "number", words, by="percent", decimals=2)
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
        reader.number(MOST_CARBON, "number", "{} carbon or less, no sulphur or lead", by="percent"),
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
