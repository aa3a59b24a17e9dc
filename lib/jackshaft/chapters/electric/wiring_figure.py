"""The wiring diagram of the clutch circuit, drawn from the build: no contact that guards anybody is ever bridged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure

from jackshaft.chapters.electric.picture import ElectricPicture
from jackshaft.chapters.electric.words import volts
from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View

#: Height of the supply rail over the return rail, and where the coil stands, in the drawing's units.
RAIL, COIL_X, SPARE_X = 7.0, 13.0, 15.6


@dataclass(frozen=True)
class TestPoint:
    """A numbered test point: the joint it is, and where it stands."""

    number: int
    joint: str
    at: tuple[float, float]


class WiringView(View):
    """Draws the circuit with trade symbols; the coil's test points carry numbers that the list below explains."""

    size, has_phone = (7.2, 5.6), False
    words = ""
    points: tuple[TestPoint, ...] = ()

    def compose(self, figure: Figure) -> None:
        """Make the axes and the list of test points; the diagram itself is drawn with each picture."""
        self.axes = style.add_plane(figure, (-1.8, 17.6), (-0.9, RAIL + 1.0), box=(0.01, 0.20, 0.98, 0.71))
        self.lists = [
            figure.text(x, 0.175, "", fontsize=style.BODY, color=style.INK, va="top", linespacing=1.35)
            for x in (0.03, 0.52)
        ]

    def update(self, picture: ElectricPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Draw a circuit afresh."""
        limits = self.axes.get_xlim(), self.axes.get_ylim()
        self.axes.clear()
        self.axes.set_axis_off()
        self.points = self._diagram(picture)
        self.axes.set_aspect("equal", adjustable="box")
        self.axes.set_xlim(*limits[0])
        self.axes.set_ylim(*limits[1])
        for p in self.points:
            self.axes.plot(*p.at, "o", color=style.PAPER, markeredgecolor=style.STOP, markersize=11, zorder=6)
            self._write(*p.at, str(p.number), color=style.STOP, va="center", fontsize=style.SMALL, zorder=7)
        levels = zip(self.points, picture.volts("cold"), picture.volts("hot"), strict=True)
        lines = [
            f"{p.number}  {p.joint.replace(' -', ' −')}: {volts(float(cold))} cold, {volts(float(hot))} hot"
            for p, cold, hot in levels
        ]
        half = (len(lines) + 1) // 2
        for text, part in zip(self.lists, (lines[:half], lines[half:]), strict=True):
            text.set_text("\n".join(part))
        self.words = self._say(picture, lines)

    def _diagram(self, picture: ElectricPicture) -> tuple[TestPoint, ...]:
        # the schematic library loads much that nothing else here needs
        import schemdraw
        from schemdraw import elements as elm

        wiring, data = picture.data.wiring, picture.data
        joints, coil = data.steps.joints, data.steps.joints.index("coil +")
        places: dict[str, tuple[float, float]] = {}
        with schemdraw.Drawing(canvas=self.axes) as d:
            d.config(unit=2.0, fontsize=style.BODY, font="DejaVu Sans", lw=1.3, color=style.INK, margin=0)
            # the long plate of the battery is its positive one and stands on top
            d.add(elm.Line().at((0, 0)).to((0, 2.4)))
            d.add(elm.Battery().at((0, 2.4)).to((0, 4.6)).reverse().label("battery", loc="bottom", ofst=0.35))
            d.add(elm.Line().at((0, 4.6)).to((0, RAIL)))
            places["battery +"] = (0.0, RAIL)
            here = self._fuse(d, elm, 1.0, wiring.fuse)
            places["after fuse"] = (here, RAIL)
            here = self._contacts(d, elm, here, wiring)
            kinds = zip(data.steps.parts, data.steps.kinds, strict=True)
            contact = next((p for p, kind in kinds if kind == "contact"), "")
            places[f"after {contact}"] = (here, RAIL)
            self._coil(d, elm, here, wiring, chassis=data.line.chassis)
            places |= {"coil +": (COIL_X, RAIL), "coil -": (COIL_X, 0.0), "battery -": (0.0, 0.0)}
            # joints that have no symbol of their own lie along the wire, in their order, far enough from the contact
            # and from the coil for their numbers to stand apart
            for way, start, end, height in (
                (joints[:coil], here, COIL_X, RAIL),
                (joints[coil + 2 :], COIL_X, 0.0, 0.0),
            ):
                unplaced = [j for j in way if j not in places]
                for number, joint in enumerate(unplaced, 1):
                    places[joint] = (start + (end - start) * number / (len(unplaced) + 1), height)
        return tuple(TestPoint(number, joint, places[joint]) for number, joint in enumerate(joints, 1))

    def _fuse(self, d, elm, x: float, fuse: str) -> float:
        """Draw the fuse, or write that none is known; return where it ends."""
        d.add(elm.Line().at((0, RAIL)).to((x, RAIL)))
        if fuse:
            d.add(elm.Fuse().at((x, RAIL)).to((x + 2.4, RAIL)).label(fuse, loc="top", ofst=0.3))
        else:
            d.add(elm.Line().at((x, RAIL)).to((x + 2.4, RAIL)))
            self._write(x + 1.2, RAIL + 0.3, "no fuse known yet", color=style.STOP, va="bottom")
        return x + 2.4

    def _contacts(self, d, elm, x: float, wiring) -> float:
        """Draw the relay, or without one every switch in series; return where the last ends."""
        contacts = [*wiring.interlocks, "clutch switch"]
        if wiring.relay:
            self._control(d, elm, x, contacts, wiring)
            d.add(elm.Line().at((x, RAIL)).to((x + 0.8, RAIL)))
            d.add(elm.Switch().at((x + 0.8, RAIL)).to((x + 3.2, RAIL)).label("relay 30–87", loc="top", ofst=0.3))
            return x + 3.2
        step = min(2.4, (COIL_X - 3.2 - x) / len(contacts))
        for number, name in enumerate(contacts):
            d.add(elm.Switch().at((x, RAIL)).to((x + step, RAIL)))
            # every other name stands lower, so that long ones do not run into each other
            above = bool(number % 2)
            self._write(x + step / 2, RAIL + (1.1 if above else -0.35), name, va="bottom" if above else "top")
            x += step
        return x

    def _coil(self, d, elm, x: float, wiring, *, chassis: bool) -> None:
        """Draw the wire out, the coil with its suppression, and the way back."""
        d.add(elm.Line().at((x, RAIL)).to((COIL_X, RAIL)))
        self._write((x + COIL_X) / 2, RAIL - 0.4, f"wire out\n{wiring.out}", va="top", linespacing=1.3)
        d.add(elm.Inductor2(loops=4).at((COIL_X, RAIL)).to((COIL_X, 0)).label("clutch\ncoil", loc="top", ofst=0.35))
        self._suppression(d, elm, wiring.suppression)
        d.add(elm.Line().at((COIL_X, 0)).to((0, 0)))
        self._write(0.72 * COIL_X, 0.2, f"back: {wiring.back}", va="bottom")
        if chassis:
            d.add(elm.GroundChassis().at((COIL_X - 2.0, 0)))
            d.add(elm.GroundChassis().at((1.2, 0)))

    def _control(self, d, elm, x: float, contacts: list[str], wiring) -> None:
        """Draw the branch of the relay's coil: clutch switch and interlocks in series, all above the coil."""
        step = (RAIL - 2.2) / len(contacts)
        y = RAIL
        for name in contacts:
            d.add(elm.Switch().at((x, y)).to((x, y - step)))
            self._write(x + 0.75, y - step / 2, name, ha="left", va="center")
            y -= step
        d.add(elm.Inductor2(loops=3).at((x, y)).to((x, 0)))
        self._write(x + 0.75, y / 2, f"relay coil 86–85\n{wiring.relay_words}".strip(), ha="left", va="center")

    def _write(self, x: float, y: float, words: str, *, color=style.INK, **looks) -> None:
        self.axes.text(x, y, words, color=color, parse_math=False, **{"fontsize": style.BODY, "ha": "center"} | looks)

    def _suppression(self, d, elm, kind: str) -> None:
        """Draw what takes up the coil's energy, its band to the positive side."""
        if kind in ("", "none"):
            words = "suppression:\n" + (kind or "not known yet")
            color = style.STOP if kind == "none" else style.MUTED
            self._write(COIL_X + 1.3, RAIL / 2, words, color=color, ha="left", va="center")
            return
        d.add(elm.Line().at((COIL_X, RAIL)).to((SPARE_X, RAIL)))
        d.add(elm.Line().at((COIL_X, 0)).to((SPARE_X, 0)))
        symbol = {"resistor": elm.Resistor, "TVS": elm.DiodeTVS}.get(kind)
        if symbol is not None:
            d.add(symbol().at((SPARE_X, 0)).to((SPARE_X, RAIL)).label(kind, loc="bottom", ofst=0.3))
        else:
            # current of the released coil runs upward here, so the band of the diode is on top
            middle = RAIL / 2 if "zener" in kind else 0.0
            d.add(elm.Diode().at((SPARE_X, middle)).to((SPARE_X, RAIL)).label("diode", loc="bottom", ofst=0.3))
            if "zener" in kind:
                # anode to anode: that current passes the zener backwards, at its clamp voltage
                d.add(elm.Zener().at((SPARE_X, middle)).to((SPARE_X, 0)).label("zener", loc="top", ofst=0.3))

    def _say(self, picture: ElectricPicture, lines: Sequence[str]) -> str:
        w = picture.data.wiring
        contacts = ", ".join([*w.interlocks, "clutch switch"])
        way = f"relay ({w.relay_words}), its coil fed through {contacts}" if w.relay else f"{contacts} in series"
        return (
            f"Wiring of the clutch: battery, fuse {w.fuse or 'not known yet'}, {way}, wire {w.out}, coil with "
            f"suppression {w.suppression or 'not known yet'}, back by {w.back}. Test points: {'; '.join(lines)}."
        )

    def alt(self) -> str:
        """Return in words what is drawn now."""
        return self.words


__all__ = ["TestPoint", "WiringView"]
