"""What carries the torque between shaft and hub: the joints that are there, and a table of those that could be."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.checks import CAUTION, GO, STOP, Sheet, undecided
from jackshaft.mechanics import joints, keys, welds
from jackshaft.workup.core import Chapter, Draft, Looker, Unknown
from jackshaft.workup.ratio import ENGINE

#: Factor wanted between what a joint carries and the peak torque: common practice, no source.
WANTED = 1.5
FRICTION = 0.12  # hub on shaft, oily or painted: common practice, no source
KEY_YIELD = 390e6  # AISI 1020 cold-drawn, usual key stock, table materials
E70 = 482e6  # weld metal, table materials
CAUTIONS = welds.WELD_CAUTIONS


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


def work_up(draft: Draft, look: Looker, done: Mapping[str, Chapter], found) -> tuple[Joint, ...]:
    """Work up every joint that is written down, the engine's key among them, with a check for each."""
    done_joints = []
    for shaft in (ENGINE, *look.names("shaft")):
        for name, reader in _written(look, shaft):
            id, title = f"shafts.joint[{name}]", f"{shaft}: {name}"
            try:
                carries, way, words, source = reader()
            except Unknown as unknown:
                draft.checks.append(undecided(id, title, unknown.keys, "A size of this joint is not known yet."))
                continue
            except ValueError as why:
                draft.check(id, title, "cannot be worked out", "", STOP, f"{why}.", "Correct what is written down for this joint.",
                            "own-derivation")
                continue
            torque, peak = _torque(done, shaft)
            joint = Joint(name, shaft, reader.kind, carries, way, torque, peak, words, source)
            done_joints.append(joint)
            _check(draft, look, id, title, joint)
    return tuple(done_joints)


class _Reader:
    """Reads one joint and returns (torque it carries, in what way it gives, what it does to the shaft, source)."""

    def __init__(self, look: Looker, at: str, kind: str, shaft: str):
        self.look, self.at, self.kind, self.shaft = look, at, kind, shaft

    def __call__(self):
        return {"parallel key": self._key, "set screws": self._screws, "split hub": self._clamp, "flange": self._flange,
                "weld ring": self._weld, "taper bush": self._bush}[self.kind]()

    def _size(self) -> float:
        return self.look.need_si("engine.shaft_diameter" if self.shaft == ENGINE else f"shaft[{self.shaft}].diameter")

    def _key(self):
        if self.at == ENGINE:
            wide, long, strength = self.look.need_si("engine.key_width", "engine.key_length", "engine.shaft_yield")
            high, hub = wide, None
        else:
            wide, long = self.look.need_si(f"{self.at}.width", f"{self.at}.length")
            high = self.look.si(f"{self.at}.height", wide)
            strength, hub = self.look.si(f"{self.at}.key_yield", KEY_YIELD), self.look.si(f"{self.at}.hub_yield")
        found = keys.key_capacity.si(self._size(), wide, high, long, key_yield=strength, seat_yield=hub)
        way = "crushing" if found.crushing <= found.shear else "shear"
        share = keys.keyed_share(self._size(), wide, high / 2)
        other = "shear" if way == "crushing" else "crushing"
        return (float(found.governing), f"{way}; {self.look.show(float(max(found.shear, found.crushing)), 'torque')} in {other}",
                f"the keyseat leaves {100 * share:.0f} % of the plain shaft's torque", "shigley, ch. 7; mott4")

    def _screws(self):
        screw = joints.set_screw(self.look.need(f"{self.at}.screw"))
        count = self.look.get(f"{self.at}.count") or 1
        return (float(joints.set_screw_torque.si(screw.holding, self._size(), count=count, factor=1.0)), "the screws slide",
                "a dimple under each point weakens the shaft in bending; file a flat", "shigley, table 7-4 (from memory)")

    def _clamp(self):
        size, grade = self.look.need(f"{self.at}.bolt", f"{self.at}.grade")
        count = self.look.get(f"{self.at}.count") or 2
        force, _ = joints.preload_si(joints.bolt(size, grade))
        friction = self.look.si(f"{self.at}.friction", FRICTION)
        return (float(joints.clamp_torque.si(count * force, self._size(), friction, model="half circle")), "the hub slips",
                "the hub's edge bites in bending; keep oil and paint out", "khurmi-design; shigley, ch. 8 (from memory)")

    def _flange(self):
        size, grade, count, circle = self.look.need(*(f"{self.at}.{k}" for k in ("bolt", "grade", "count", "circle")))
        row = joints.bolt(size, grade)
        force, _ = joints.preload_si(row)
        found = joints.flange_torque.si(count, circle.si, preload=force, friction=self.look.si(f"{self.at}.friction", FRICTION),
                                        bolt=np.sqrt(4 * row["minor_area_mm2"] / np.pi) * 1e-3 if row["minor_area_mm2"] else
                                        0.8 * row["diameter_mm"] * 1e-3, shear_allowed=0.3 * row["proof_mpa"] * 1e6)
        return (float(found.friction), f"the faces slip; {self.look.show(float(found.shear), 'torque')} in shear where bolts fit their holes",
                "none of its own; what holds the flange on the shaft counts", "singer-pytel; friction from memory")

    def _weld(self):
        leg = self.look.need_si(f"{self.at}.leg")
        allowed = welds.weld_allowed.si(self.look.si(f"{self.at}.electrode", E70), reversing=True)
        one = welds.weld_ring.si(self._size(), leg, 1.0, rings=self.look.get(f"{self.at}.rings") or 1)
        return (float(allowed / one.torsion), "the throat, bending left out",
                "the metal beside a weld is weak and its toe starts cracks; keep it away from where the shaft bends",
                "shigley, ch. 9; allowed stress from memory")

    def _bush(self):
        return (self.look.need_si(f"{self.at}.rating"), "its maker's figure", "grips all round; no key needed up to its rating",
                "the part's maker")


def _written(look: Looker, shaft: str):
    """Yield (name, reader) for each joint of a shaft that is written down."""
    if shaft == ENGINE:
        if look.get("engine.key_width") is not None:
            yield "engine key", _Reader(look, ENGINE, "parallel key", ENGINE)
        return
    for name in look.names(f"shaft[{shaft}].joint"):
        kind = look.get(f"shaft[{shaft}].joint[{name}].kind")
        if kind is not None:
            yield name, _Reader(look, f"shaft[{shaft}].joint[{name}]", kind, shaft)


def _torque(done: Mapping[str, Chapter], shaft: str):
    ratio = done["ratio"].data
    state = ratio.shaft(shaft) if ratio is not None else None
    return (None, None) if state is None else (state.torque, state.peak_torque)


def _check(draft: Draft, look: Looker, id: str, title: str, joint: Joint) -> None:
    text = look.show(joint.carries, "torque")
    if joint.torque is None:
        draft.checks.append(undecided(id, title, ("work.power", "work.power_at"), f"It carries {text} ({joint.way}); the torque through it "
                                      "is not known yet."))
        return
    peak = joint.peak or joint.torque
    share = joint.carries / peak
    verdict = GO if share >= WANTED else CAUTION if share >= 1 else STOP
    draft.check(id, title, f"{text}, {share:.1f} × the peak", f"{WANTED:g} × {look.show(peak, 'torque')}", verdict,
                f"It gives by {joint.way}. On the shaft: {joint.words}.", "" if verdict == GO else
                "Take a longer or larger joint of the kind, or one of the table of joints that carries more.", joint.source)


def sheets(look: Looker, found: tuple[Joint, ...], done: Mapping[str, Chapter]):
    """Yield the sheets of joints: those that are there, those that could be, mending a keyseat, tractor splines."""
    if found:
        yield Sheet("Joints that are there", ("shaft", "joint", "kind", "carries", "gives by", "peak", "on the shaft"), tuple(
            (j.shaft, j.name, j.kind, look.show(j.carries, "torque"), j.way, "" if j.peak is None else look.show(j.peak, "torque"), j.words)
            for j in found), "At yield or at slip, without a factor.")
    rows, mending = [], []
    for shaft in (ENGINE, *look.names("shaft")):
        size = look.si("engine.shaft_diameter" if shaft == ENGINE else f"shaft[{shaft}].diameter")
        if size is None:
            continue
        torque, peak = _torque(done, shaft)
        rows += [(shaft, *cells) for cells in _could_be(look, size, peak or torque)]
        try:
            key = keys.key_for.si(size, system=look.system)
            mending += [(shaft, r.name, f"{100 * r.shaft_share:.0f} %", r.words) for r in keys.repairs(size, key.width, key.shaft_depth)]
        except ValueError:
            continue
    if rows:
        yield Sheet("Joints that could be", ("shaft", "joint", "of the size", "carries", "× the peak", "on the shaft"), tuple(rows),
                    "At yield or at slip, without a factor; take 1.5 for a steady load, 2.5 to 3 with shocks, 4.5 with heavy ones. "
                    "Friction 0.12, key of common key stock, weld with E70.", aside=True)
    if mending:
        yield Sheet("Mending a worn keyseat or spline", ("shaft", "way", "torque left", "what it does"), tuple(mending),
                    "Share of the plain shaft's torque that is left.", aside=True)
    splines = tables.table("splines").rows
    if rows and look.system:
        yield Sheet("Splines of tractor shafts", ("type", "diameter", "splines", "form", "speed", "turns"), tuple(
            (f"{r['type']:g}", look.show(r["nominal_mm"] * 1e-3, "length"), f"{r['splines']:g}", r["form"],
             look.show(r["speed_rpm"] * np.pi / 30, "rotation"), "clockwise, seen from behind the tractor") for r in splines),
            "From memory of the standard: measure the mating part before you cut metal, and never adapt a shaft of one speed to another.")


def _could_be(look: Looker, size: float, torque: float | None):
    """Yield one row for each kind of joint in a usual size for a shaft."""
    def row(name, of, carries, words):
        share = "" if not torque else f"{carries / torque:.1f}"
        return name, of, look.show(carries, "torque"), share, words

    try:
        key = keys.key_for.si(size, system=look.system)
        long = 1.25 * size
        capacity = keys.key_capacity.si(size, key.width, key.height, long, key_yield=KEY_YIELD)
        share = keys.keyed_share(size, key.width, key.shaft_depth)
        yield row("parallel key", f"{look.show(key.width, 'length')} × {look.show(key.height, 'length')}, {look.show(long, 'length')} long",
                  float(capacity.governing), f"leaves {100 * share:.0f} % of the plain shaft; raises bending 2.1 times, torsion 3 times")
    except ValueError:
        yield ("parallel key", "", "no size is tabulated", "", "")
    if look.system == "inch":
        screw = joints.set_screw("3/8" if size > 0.022 else "1/4")
        yield row("two set screws", f"{screw.size} in, seated with {look.show(screw.seating_torque, 'torque')}",
                  float(joints.set_screw_torque.si(screw.holding, size, count=2)), "a dimple at each point; for light loads only")
    bolt, grade = ("3/8-16", "SAE 5") if look.system == "inch" else ("M10x1.5", "8.8")
    try:
        line = joints.bolt(bolt, grade)
        force, tighten = joints.preload_si(line)
        yield row("split hub", f"2 bolts {bolt} {grade}, {look.show(tighten, 'torque')} each",
                  float(joints.clamp_torque.si(2 * force, size, FRICTION, model="half circle")), "no cut in the shaft; the edge bites in bending")
        circle = 2.5 * size
        flange = joints.flange_torque.si(4, circle, preload=force, friction=FRICTION, bolt=0.8 * line["diameter_mm"] * 1e-3,
                                         shear_allowed=0.3 * line["proof_mpa"] * 1e6)
        yield row("flange, 4 bolts", f"{bolt} {grade} on {look.show(circle, 'length')}", float(flange.friction),
                  f"friction; {look.show(float(flange.shear), 'torque')} in shear where bolts fit their holes")
    except ValueError:
        yield ("split hub", "", "no bolt is tabulated", "", "")
    leg = 0.2 * size
    one = welds.weld_ring.si(size, leg, 1.0)
    yield row("weld ring", f"leg {look.show(leg, 'length')}, one end", float(welds.weld_allowed.si(E70, reversing=True) / one.torsion),
              "weak metal beside it, the next repair cuts it off; preheat harder steels")
    yield ("taper bush", "as bought", "its maker's figure", "", "grips all round, comes off with its own screws")


__all__ = ["CAUTIONS", "FRICTION", "Joint", "KEY_YIELD", "WANTED", "sheets", "work_up"]
