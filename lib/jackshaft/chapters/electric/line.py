"""The clutch circuit as the build gives it: source, wire, joints and coil, ready to be solved."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.chapters.electric.joints import PLACES, fuse_parts, joint_parts, named_joints
from jackshaft.chapters.electric.supply import nominal_of, supply_of
from jackshaft.chapters.electric.words import wire_words
from jackshaft.mechanics import circuit, coil, wiring
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import ALPHA20, T20, ZERO_C

#: Battery and its cables where nobody measured them: from memory.
SOURCE_OHM = 0.025
#: Path through the frame, and of a chafed wire to it: assumed.
FRAME_OHM = 0.01
#: Rise of a coil that is hot, where it was not measured: class B, 80 K by resistance.
HOT_RISE = 80.0
#: Air round a wire in the open and in the engine space, as the ampacity tables take it.
AIR, ENGINE_AIR = 30.0 + ZERO_C, 50.0 + ZERO_C

#: Name of the load that a resistor across the coil is, all the time that the clutch is engaged.
RESISTOR = "suppression resistor"

REQUIRED = ("clutch.coil_resistance", "circuit.wire", "circuit.length_out", "circuit.length_back")


class Load(NamedTuple):
    """Another load: name, current (A) at the battery's voltage, resistance of a lamp, and where it hangs."""

    name: str
    amps: float
    ohm: float | None
    same_wire: bool


class Line(NamedTuple):
    """The circuit in SI units. ``states`` are (name, V at the battery's posts, coil ohm), clutch engaged; ``unloaded``
    are the same as they were read, the battery alone at rest. ``assumed`` says what was assumed."""

    nominal: float
    states: tuple[tuple[str, float, float], ...]
    unloaded: tuple[tuple[str, float, float], ...]
    r20: float
    hot: float
    rise: float
    size: wiring.WireSize
    wire_words: str
    out: float
    back: float
    parts_out: tuple[circuit.Part, ...]
    parts_back: tuple[circuit.Part, ...]
    worst_out: tuple[circuit.Part, ...]
    worst_back: tuple[circuit.Part, ...]
    taps: tuple[circuit.Tap, ...]
    source_ohm: float
    air: float
    assumed: tuple[str, ...]

    @property
    def chassis(self) -> bool:
        """Whether the frame is the way back: then no wire leads back."""
        return self.back == 0.0

    def chain(self, emf, coil_ohm, *, worst: bool = False, source_ohm: float = 0.0) -> circuit.Chain:
        """Return the chain for a supply and a coil; ``worst`` takes the bad end of wire and joints."""
        out, back = (self.worst_out, self.worst_back) if worst else (self.parts_out, self.parts_back)
        return circuit.Chain(emf, source_ohm, out, coil_ohm, back, taps=self.taps)

    @property
    def ohms(self) -> dict[str, float]:
        """Resistance of the coil (ohm), cold and hot."""
        return {"cold": self.r20, "hot": self.hot}

    @property
    def line_ohm(self) -> float:
        """Resistance of everything in the loop but coil and source."""
        return float(sum(p.ohm for p in (*self.parts_out, *self.parts_back)))

    @property
    def wire_ohm(self) -> float:
        """Resistance of the wire alone, there and back."""
        return float(sum(p.ohm for p in (*self.parts_out, *self.parts_back) if p.kind == "wire"))

    @property
    def joint_ohm(self) -> float:
        """Resistance of joints, contacts and fuse."""
        return self.line_ohm - self.wire_ohm

    @property
    def loop(self) -> float:
        """Length of the wire, there and back (m)."""
        return self.out + self.back


def loads_of(reader: Reader, nominal: float | None) -> tuple[Load, ...]:
    """Return the other loads; one without current and power is noted as missing.

    A load with a power is a lamp: a resistance, whose current is that at the battery's voltage. A resistor across
    the coil is a load of its own.
    """
    found, supply = [], supply_of(reader, nominal)
    for name in reader.names("circuit.load"):
        at = f"circuit.load[{name}]"
        amps, watts = reader.si(f"{at}.current"), reader.si(f"{at}.power")
        same = bool(reader.get(f"{at}.same_wire"))
        if amps is None and watts is None:
            reader.note_missing(f"{at}.current")
        elif amps is not None:
            found.append(Load(name, amps, None, same))
        elif nominal is not None and watts > 0.0:
            found.append(Load(name, supply * watts / nominal**2, nominal**2 / watts, same))
    across = reader.si("circuit.suppression_resistor") if reader.get("circuit.suppression") == "resistor" else None
    if across is not None and supply is not None:
        found.append(Load(RESISTOR, supply / across, across, True))
    return tuple(found)


def load_key(load: Load) -> str:
    """Return the key that gives a load's current."""
    return "circuit.suppression_resistor" if load.name == RESISTOR else f"circuit.load[{load.name}].current"


def largest_load(steps: circuit.Steps) -> float:
    """Return the largest current (A) that any state sends through wire and fuse."""
    return float(np.max(wire_amps(steps)))


def air_of(reader: Reader) -> float:
    """Return the temperature of the air round the wire (K)."""
    return ENGINE_AIR if reader.get("circuit.engine_space") else AIR


def wire_amps(steps: circuit.Steps) -> np.ndarray:
    """Return the current of each state in the part that carries most, the coil left out."""
    return np.max(np.delete(steps.amps, steps.parts.index(circuit.COIL), axis=0), axis=0)


def read_line(reader: Reader) -> Line:
    """Read the circuit.

    Raises
    ------
    Unknown
        Naming every input without which nothing can be solved.
    """
    by = reader.get("circuit.return_by")
    r20, area, out, back = _required(reader, by)
    assumed: list[str] = []
    rise = _rise(reader, assumed)
    hot = float(coil.hot_resistance.si(r20, temperature=T20 + rise))
    if reader.get("circuit.wire_kind") == "automotive":
        area = wiring.automotive_area_si(area)
    size = wiring.wire_size.si(area)
    air, chassis = air_of(reader), back == 0.0
    listed = named_joints(reader)
    if listed:
        joints = worst_joints = fuse_parts(reader, assumed)
    else:
        joints, worst_joints = joint_parts(reader, assumed, 2 if chassis else 4)
    near, far, home, post = (tuple(listed.get(p, ())) for p in PLACES)
    likely = _wires(float(wiring.wire_resistance.si(area, length=1.0)), out, back)
    warm = 1.0 + ALPHA20 * (air - T20)
    worst = _wires(size.r20_worst * warm, out, back)
    if chassis:
        assumed.append(f"the frame as return: {1e3 * FRAME_OHM:.0f} mΩ")
    source = reader.si("circuit.battery_resistance")
    if not source:
        source = SOURCE_OHM
        assumed.append(f"battery and its cables: {1e3 * source:.0f} mΩ, from memory")
    nominal, read = nominal_of(reader), _states(reader, r20, hot)
    line = Line(
        nominal=nominal,
        states=read,
        unloaded=read,
        r20=r20,
        hot=hot,
        rise=rise,
        size=size,
        wire_words=wire_words(reader, size),
        out=out,
        back=back,
        parts_out=(*joints, *near, likely[0], *far),
        parts_back=(*home, likely[1], *post),
        worst_out=(*worst_joints, *near, worst[0], *far),
        worst_back=(*home, worst[1], *post),
        taps=_taps(reader, nominal),
        source_ohm=source,
        air=air,
        assumed=tuple(assumed),
    )
    return line._replace(states=_loaded(line, sum(x.amps for x in loads_of(reader, nominal) if _own_wire(reader, x))))


def _own_wire(reader: Reader, load: Load) -> bool:
    """Return whether a load draws on the battery by a wire of its own while the clutch is engaged."""
    return not load.same_wire and not reader.get(f"circuit.load[{load.name}].off_engaged")


def _loaded(line: Line, others: float) -> tuple[tuple[str, float, float], ...]:
    """Return the states with what the battery alone has at its posts while it feeds the coil and other loads (A)."""
    found = []
    for name, supply, ohm in line.unloaded:
        posts = supply
        if name.startswith("battery"):
            steps = circuit.steps_si(line.chain(supply - others * line.source_ohm, ohm, source_ohm=line.source_ohm))
            posts -= (others + float(wire_amps(steps))) * line.source_ohm
        found.append((name, posts, ohm))
    return tuple(found)


def _required(reader: Reader, by: str | None) -> tuple[float, float, float, float]:
    """Return coil resistance, copper area and the lengths out and back (0 by the frame).

    Raises Unknown, naming what is missing.
    """
    if by == "not connected":
        raise Unknown("circuit.return_by")
    if by == "chassis":
        found = (*reader.require_si(*REQUIRED[:3]), 0.0)
    else:
        found = reader.require_si(*REQUIRED)
        if by == "wire" and found[-1] == 0.0:
            raise Unknown("circuit.length_back")
    if reader.get("circuit.running_voltage") is None:
        reader.note_missing("circuit.running_voltage")
        if reader.get("circuit.battery_voltage") is None:
            raise Unknown("circuit.running_voltage")
    return found


def _rise(reader: Reader, assumed: list[str]) -> float:
    """Return how far a hot coil is above room temperature."""
    rise = reader.si("clutch.hot_rise")
    if rise is None:
        reader.note_missing("clutch.hot_rise")
        rise = HOT_RISE
        room = reader.show(T20, "temperature", decimals=0)
        assumed.append(f"a hot coil: {reader.both(rise, 'temperature rise')} above {room} (class B windings)")
    return rise


def _wires(per_metre: float, out: float, back: float) -> tuple[circuit.Part, circuit.Part]:
    """Return the way out and the way back, through the frame where that is 0."""
    home = circuit.Part("wire back", "wire", per_metre * back) if back else circuit.Part("frame", "chassis", FRAME_OHM)
    return circuit.Part("wire out", "wire", per_metre * out), home


def _states(reader: Reader, r20: float, hot: float) -> tuple[tuple[str, float, float], ...]:
    supplies = (
        ("running", reader.si("circuit.running_voltage")),
        ("battery only", reader.si("circuit.battery_voltage")),
    )
    return tuple(
        (f"{which}, {heat}", supply, ohm)
        for which, supply in supplies
        if supply is not None
        for heat, ohm in (("cold", r20), ("hot", hot))
    )


def _taps(reader: Reader, nominal: float | None) -> tuple[circuit.Tap, ...]:
    """Return the loads that hang on the clutch's own wire."""
    return tuple(
        circuit.Tap(load.name, circuit.COIL_IN, circuit.COIL_OUT, load.ohm, None if load.ohm is not None else load.amps)
        for load in loads_of(reader, nominal)
        if load.same_wire and load.amps > 0.0
    )


__all__ = [
    "AIR",
    "ENGINE_AIR",
    "FRAME_OHM",
    "HOT_RISE",
    "REQUIRED",
    "RESISTOR",
    "SOURCE_OHM",
    "Line",
    "Load",
    "air_of",
    "largest_load",
    "load_key",
    "loads_of",
    "read_line",
    "wire_amps",
]
