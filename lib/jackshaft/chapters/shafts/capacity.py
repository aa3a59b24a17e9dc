"""Torque that each kind of joint carries, in what way it gives, and what it does to the shaft."""

from __future__ import annotations

import numpy as np

from jackshaft.chapters.ratio.analysis import ENGINE
from jackshaft.chapters.shafts import mending as shaft_mending
from jackshaft.chapters.shafts.data import Capacity, ShaftState, Sound, SplineState
from jackshaft.chapters.shafts.mending import E70, FRICTION
from jackshaft.chapters.shafts.sections import listed_steps, size_at, steel_of
from jackshaft.mechanics import joints, keys, splines, welds
from jackshaft.mechanics.shaft_strength import torque_at_yield
from jackshaft.parts.along import bears
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import at_most

HEAT_TREATED = 600e6  # Pa; a shaft of so much yield is taken as heat-treated: common practice, no source


class JointReader:
    """Reads one joint of a build and works out what it carries."""

    def __init__(self, reader: Reader, shaft: str, name: str, kind: str, state: ShaftState | None):
        self.reader, self.name, self.kind, self.shaft, self.state = reader, name, kind, shaft, state
        self.at = ENGINE if shaft == ENGINE else f"shaft[{shaft}].joint[{name}]"
        self.repair = None if shaft == ENGINE else reader.get(f"{self.at}.repair")

    def __call__(self) -> Capacity:
        """Return what the joint carries, mended where the build says so.

        Raises
        ------
        Unknown
            Naming the sizes that are missing.
        ValueError
            If the sizes cannot be.
        """
        capacity = {
            "parallel key": self._key,
            "set screws": self._screws,
            "split hub": self._clamp,
            "flange": self._flange,
            "weld ring": self._weld,
            "taper bush": self._bush,
            "spline": self._spline,
        }[self.kind]()
        return self._rated(capacity if self.repair is None else self._mended(capacity))

    def _mended(self, capacity: Capacity) -> Capacity:
        if capacity.sound is None:
            raise ValueError(f"'{self.repair}' mends a keyseat or a spline, not a {self.kind}")
        mended, strength = shaft_mending.mend(self.repair, capacity.sound), strength_of(self.reader, self.shaft)
        shaft = None if strength is None else mended.share * float(torque_at_yield.si(strength, capacity.sound.shaft))
        return capacity._replace(
            carries=mended.carries,
            way=mended.gives,
            shaft=shaft,
            words=f"{self.repair}: it leaves {100 * mended.share:.0f} % of the plain shaft's torque. {mended.words}",
            source=f"{capacity.source}; trade-practice",
        )

    def _rated(self, capacity: Capacity) -> Capacity:
        """Return a joint held to its maker's rating: the lower of the two counts."""
        rated = None if self.shaft == ENGINE else self.reader.si(f"{self.at}.rating")
        if rated is None or self.kind == "taper bush":
            return capacity
        if at_most(capacity.bad, rated):
            return capacity if capacity.once is None else capacity._replace(once=min(capacity.once, rated))
        way = f"its maker's rating; {self.reader.show(capacity.bad, 'torque')} by its sizes"
        return capacity._replace(
            carries=rated, least=None, once=None, way=way, source=f"the part's maker; {capacity.source}"
        )

    def _size(self) -> float:
        """Return the diameter of the shaft under the joint, m; on a stepped shaft that of the step at its place."""
        if self.shaft == ENGINE:
            return self.reader.require_si("engine.shaft_diameter")
        reader, whole, place = self.reader, f"shaft[{self.shaft}].diameter", f"{self.at}.position"
        if not reader.names(f"shaft[{self.shaft}].step"):
            return reader.require_si(whole)
        size = reader.si(whole)
        if reader.si(place) is None and size is not None:
            return size
        at = reader.require_si(place)
        steps, missing = listed_steps(reader, self.shaft)
        size = size_at(steps, at)
        if size is None and missing:
            reader.require(*missing)
        if size is None:
            raise ValueError(f"it sits at {reader.show(at, 'length')}, where the shaft has no step")
        return size

    def size_if_known(self) -> float | None:
        """Return the diameter of the shaft under the joint, m; None where it is not known."""
        try:
            return self._size()
        except Unknown:
            return None

    def _key(self) -> Capacity:
        reader, hub = self.reader, None
        if self.at == ENGINE:
            wide, long, strength = reader.require_si("engine.key_width", "engine.key_length", "engine.shaft_yield")
            sound = Sound(self.kind, self._size(), 0.0, long, wide, key_yield=strength)
            sound = sound._replace(height=keys.usual_height_si(wide))
        else:
            reader.require(f"{self.at}.width", f"{self.at}.length")
            sound, hub = (
                shaft_mending.sound_of(reader, self.at, self.kind, self._size()),
                reader.si(f"{self.at}.hub_yield"),
            )
        held = bears(reader, self.shaft, self.name)
        sound = sound if held is None else sound._replace(length=held.length)
        seat = (sound.shaft, sound.width, sound.height)
        found = keys.key_capacity.si(*seat, sound.length, key_yield=sound.key_yield, seat_yield=hub)
        way, other = ("crushing", "shear") if found.crushing <= found.shear else ("shear", "crushing")
        share = keys.keyed_share(sound.shaft, sound.width, keys.seat_depth_si(sound.width, sound.height))
        sound = sound._replace(carries=float(found.governing), moment=self._moment())
        return Capacity(
            sound.carries,
            f"{way}; {reader.show(float(max(found.shear, found.crushing)), 'torque')} in {other}",
            f"the keyseat leaves {100 * share:.0f} % of the plain shaft's torque",
            "shigley, ch. 7; mott4",
            sound,
        )

    def _screws(self) -> Capacity:
        screw = joints.set_screw.si(self.reader.require(f"{self.at}.screw"))
        count = self.reader.get(f"{self.at}.count") or 1
        most, least = (
            float(joints.set_screw_torque.si(h, self._size(), count=count, factor=1.0))
            for h in (screw.holding, screw.holding_least)
        )
        return Capacity(
            most,
            "the screws slide",
            "a dimple under each point weakens the shaft in bending; file a flat",
            "shigley, table 7-4 (from memory); set-screw-charts",
            least=least,
        )

    def _clamp(self) -> Capacity:
        size, grade = self.reader.require(f"{self.at}.bolt", f"{self.at}.grade")
        count = self.reader.get(f"{self.at}.count") or 2
        force, _ = joints.preload_si(joints.bolt(size, grade))
        friction = self.reader.si(f"{self.at}.friction", FRICTION)
        return Capacity(
            float(joints.clamp_torque.si(count * force, self._size(), friction, model="half circle")),
            "the hub slips",
            "the hub's edge bites in bending; keep oil and paint out",
            "khurmi-design; shigley, ch. 8 (from memory)",
        )

    def _flange(self) -> Capacity:
        size, grade, count, circle = self.reader.require(
            *(f"{self.at}.{k}" for k in ("bolt", "grade", "count", "circle"))
        )
        row, friction = joints.bolt(size, grade), self.reader.si(f"{self.at}.friction", FRICTION)
        root = np.sqrt(4 * row["minor_area_mm2"] / np.pi) * 1e-3 if row["minor_area_mm2"] else None
        found = bolted(row, count, circle.si, friction, root)
        return Capacity(
            float(found.friction),
            f"the faces slip; {self.reader.show(float(found.shear), 'torque')} in shear where bolts fit their holes",
            "none of its own; what holds the flange on the shaft counts",
            "singer-pytel; friction from memory",
        )

    def _weld(self) -> Capacity:
        leg = self.reader.require_si(f"{self.at}.leg")
        electrode = self.reader.si(f"{self.at}.electrode", E70)
        # what comes seldom tires no weld: it is held against the stress of one that does not reverse
        allowed, still = (welds.weld_allowed.si(electrode, reversing=r) for r in (True, False))
        rings = self.reader.get(f"{self.at}.rings") or 1
        size, moment = self._size(), self._moment()
        one = welds.weld_ring.si(size, leg, 1.0, rings=rings)
        words = "the metal beside a weld is weak and its toe starts cracks; keep it away from where the shaft bends"
        source = "shigley, ch. 9; allowed stress from memory"
        if moment is None:
            found = Capacity(float(allowed / one.torsion), "the throat, bending left out", words, source)
            return found._replace(once=float(still / one.torsion))
        most = self._moment(seldom=True)
        bent, once = (float(welds.weld_ring.si(size, leg, 0.0, moment=m, rings=rings).bending) for m in (moment, most))
        carries = np.sqrt(max(allowed**2 - bent**2, 0.0)) / one.torsion
        way = (
            f"the throat, with {self.reader.show(moment, 'torque')} of bending that takes "
            f"{self.reader.show(bent, 'stress')} of {self.reader.show(allowed, 'stress')}"
        )
        once = float(np.sqrt(max(still**2 - once**2, 0.0)) / one.torsion)
        return Capacity(float(carries), way, words, source, once=once)

    def _moment(self, *, seldom: bool = False) -> float | None:
        """Return the most bending at the joint in the cases that come often, N·m, or in those that come seldom too;
        None where the shaft or the place is not known."""
        if self.state is None:
            return None
        here = next(
            (s for s in self.state.sections if s.name == self.name and self.reader.si(f"{self.at}.position") == s.at),
            None,
        )
        if here is None:
            if self.kind == "weld ring":
                self.reader.note_missing(f"{self.at}.position")
            return None
        return max(here.moment, *(c.moment for c in (here.cases if seldom else here.often)))

    def _bush(self) -> Capacity:
        return Capacity(
            self.reader.require_si(f"{self.at}.rating"),
            "its maker's figure",
            "grips all round; no key needed up to its rating",
            "the part's maker",
        )

    def _spline(self) -> Capacity:
        profile = shaft_mending.profile_of(self.reader, self.at)
        length, held = self.reader.require_si(f"{self.at}.length"), bears(self.reader, self.shaft, self.name)
        length = length if held is None else held.length
        strength = strength_of(self.reader, self.shaft)
        if strength is None:
            strength = self.reader.require_si(f"shaft[{self.shaft}].yield_strength")
        size = self.size_if_known()
        if size is not None and size < 0.98 * profile.nominal:
            raise ValueError(
                f"a {self.reader.show(profile.nominal, 'length')} spline cannot be cut on a shaft of "
                f"{self.reader.show(size, 'length')}"
            )
        wear, fit = self.reader.si(f"{self.at}.wear", 0.0), self.reader.get(f"{self.at}.fit") or "fixed"
        share = splines.SHARE_WORN if wear > 0 else splines.SHARE_SOUND
        flank = {"splines": profile.splines, "radius": profile.radius, "height": profile.height, "share": share}
        weaker = min(strength, self.reader.si(f"{self.at}.hub_yield", strength))
        allowed = splines.allowed_pressure.si(fit, "heat-treated" if weaker >= HEAT_TREATED else "as rolled or drawn")
        root = float(torque_at_yield.si(strength, profile.root))
        teeth = float(
            splines.tooth_torque.si(
                strength / np.sqrt(3),
                length,
                splines=profile.splines,
                radius=profile.radius,
                tooth=profile.tooth,
                wear=wear,
                share=share,
            )
        )
        state = SplineState(
            profile=profile,
            length=length,
            wear=wear,
            share=share,
            fit=fit,
            pressure=1.0 / float(splines.flank_torque.si(1.0, length, **flank)),
            allowed=allowed,
            root=root,
            teeth=teeth,
        )
        carries, moment = min(root, teeth), self._moment()
        way, other = ("the root twists", "the teeth") if root <= teeth else ("the teeth shear", "the root")
        return Capacity(
            carries=carries,
            way=f"{way}; {self.reader.show(max(root, teeth), 'torque')} by {other}",
            words=f"{self.reader.show(profile.root, 'length')} are left under the splines, "
            f"{100 * (profile.root / profile.nominal) ** 3:.0f} % of the plain bar's torque",
            source="iso500, parts 1 and 3 (from memory); textbook-practice",
            sound=shaft_mending.sound_of(self.reader, self.at, self.kind, size)._replace(
                carries=carries, moment=moment
            ),
            spline=state,
        )


def bolted(row, count: int, circle: float, friction: float, root: float | None = None) -> joints.BoltCapacity:
    """Return what a flange of bolts carries by friction and in shear; a thread's root is taken as 0.8 of its size."""
    return joints.flange_torque.si(
        count,
        circle,
        preload=joints.preload_si(row)[0],
        friction=friction,
        bolt=0.8 * row["diameter_mm"] * 1e-3 if root is None else root,
        shear_allowed=0.3 * row["proof_mpa"] * 1e6,
    )


def strength_of(reader: Reader, shaft: str) -> float | None:
    """Return the yield strength of a shaft, Pa: the build's own, else its material's; None where not known."""
    if shaft == ENGINE:
        return reader.si("engine.shaft_yield")
    own = reader.si(f"shaft[{shaft}].yield_strength")
    if own is not None:
        return own
    steel, _ = steel_of(reader, shaft)
    return None if steel is None else steel.yield_stress
