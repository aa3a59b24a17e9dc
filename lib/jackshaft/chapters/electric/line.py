"""The clutch circuit as the build gives it: source, wire, joints and coil, ready to be solved."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.mechanics import circuit, coil, wiring
from jackshaft.results.reader import Reader, Unknown
from jackshaft.results.values import Number

ZERO_C = 273.15
NOMINALS = (6.0, 12.0, 24.0, 48.0)
#: Battery and its cables where nobody measured them: from memory.
SOURCE_OHM = 0.025
#: Path through the frame, and of a chafed wire to it: assumed.
FRAME_OHM = 0.01
#: Rise of a coil that is hot, where it was not measured: class B, 80 K by resistance.
HOT_RISE = 80.0
#: Air round a wire in the open and in the engine space, as the ampacity tables take it.
AIR, ENGINE_AIR = 30.0 + ZERO_C, 50.0 + ZERO_C

NEEDED = ("clutch.coil_resistance", "circuit.wire", "circuit.length_out", "circuit.length_back")
FUSE_STYLES = {"blade": "blade", "glass": "glass cartridge"}


class Load(NamedTuple):
    """Another load: name, current (A) at the system's voltage, resistance of a lamp, and where it hangs."""

    name: str
    amps: float
    ohm: float | None
    same_wire: bool


class Line(NamedTuple):
    """The circuit in SI units. ``states`` are (name, supply V, coil ohm); what was assumed stands in ``assumed``."""

    nominal: float
    states: tuple[tuple[str, float, float], ...]
    r20: float
    hot: float
    rise: float
    size: wiring.WireSize
    wire_words: str
    out: float
    back: float
    chassis: bool
    parts_out: tuple[circuit.Part, ...]
    parts_back: tuple[circuit.Part, ...]
    worst_out: tuple[circuit.Part, ...]
    worst_back: tuple[circuit.Part, ...]
    taps: tuple[circuit.Tap, ...]
    source_ohm: float
    air: float
    assumed: tuple[str, ...]

    def chain(self, emf, coil_ohm, *, worst: bool = False, source_ohm: float = 0.0) -> circuit.Chain:
        """Return the chain for a supply and a coil; ``worst`` takes the bad end of wire and joints."""
        out, back = (self.worst_out, self.worst_back) if worst else (self.parts_out, self.parts_back)
        return circuit.Chain(emf, source_ohm, out, coil_ohm, back, self.taps)

    @property
    def line_ohm(self) -> float:
        """Resistance of everything in the loop but coil and source."""
        return float(sum(p.ohm for p in (*self.parts_out, *self.parts_back)))

    @property
    def wire_ohm(self) -> float:
        """Resistance of the wire alone, there and back."""
        return float(sum(p.ohm for p in (*self.parts_out, *self.parts_back) if p.kind == "wire"))


def nominal_of(reader: Reader) -> float | None:
    """Return the nominal voltage of the system, from what was read at the battery."""
    seen = reader.si("circuit.running_voltage") or reader.si("circuit.battery_voltage")
    if seen is None:
        return None
    # a charged battery stands at about 1.05 times its nominal voltage, a charging one at 1.15
    return min(NOMINALS, key=lambda v: abs(np.log(seen / (1.1 * v))))


def loads_of(reader: Reader, nominal: float | None) -> tuple[Load, ...]:
    """Return the other loads; one without current and power is noted as missing."""
    found = []
    for name in reader.names("circuit.load"):
        at = f"circuit.load[{name}]"
        amps, watts = reader.si(f"{at}.current"), reader.si(f"{at}.power")
        same = bool(reader.get(f"{at}.same_wire"))
        if amps is None and watts is None:
            reader.note_missing(f"{at}.current")
        elif amps is not None:
            found.append(Load(name, amps, None, same))
        elif nominal is not None and watts > 0.0:
            found.append(Load(name, watts / nominal, nominal**2 / watts, same))
    return tuple(found)


def wire_words(reader: Reader, size: wiring.WireSize) -> str:
    """Return a wire's size in the build's own words: gauge in an inch build, copper area in a metric one."""
    if reader.system == "inch" and size.system in ("AWG", "SAE"):
        return f"{size.size} AWG" + (" (automotive)" if size.system == "SAE" else "")
    return reader.show(size.area, "wire")


def volts(value: float) -> str:
    """Return a voltage as a meter shows it: hundredths from a volt up, thousandths below."""
    return f"{value:.2f} V" if abs(value) >= 1.0 else f"{value:.3f} V"


def voltage(reader: Reader, si: float, words: str = "{}", **how) -> Number:
    """Return a voltage as a number of the results, shown as a meter shows it."""
    return reader.number(si, "voltage", words, decimals=2 if abs(si) >= 1.0 else 3, **how)


def window(reader: Reader, found: float, low: float, high: float, kind: str, words: str = "{low} to {high}") -> Number:
    """Return a limit with two ends as a number: the end that what was found is nearer to, and both as its band."""
    return reader.number(min((low, high), key=lambda end: abs(end - found)), kind, words, low=low, high=high)


def wire_amps(steps: circuit.Steps) -> np.ndarray:
    """Return the current of each state in the part that carries most, the coil left out."""
    return np.max(np.delete(steps.amps, steps.parts.index(circuit.COIL), axis=0), axis=0)


def run_words(reader: Reader, metres: float) -> str:
    """Return a length of wire in feet or metres."""
    return f"{metres:.4g} m" if reader.system == "metric" else f"{metres / 0.3048:.4g} ft"


def _fuse_ohm(reader: Reader) -> float | None:
    """Return the cold resistance of the fuse fitted, or None where no table has it."""
    rating = reader.si("circuit.fuse")
    style = FUSE_STYLES.get(reader.get("circuit.fuse_kind") or "blade")
    rows = [
        r
        for r in tables.table("fuse_ratings").rows
        if rating is not None and r["style"] == style and abs(r["rating_a"] - rating) < 1e-6 and r["cold_mohm"]
    ]
    return rows[0]["cold_mohm"] / 1e3 if rows else None


def has_relay(reader: Reader) -> bool | None:
    """Tell whether a relay carries the coil's current; None where the build does not say."""
    said = reader.get("circuit.relay")
    if said is None and (
        reader.get("circuit.relay_rating") is not None or reader.get("circuit.relay_voltage") is not None
    ):
        return True
    return said


class Contacts(NamedTuple):
    """The contacts that the coil's current passes: name, and resistance (ohm) likely and at the bad end."""

    name: str
    likely: float
    bad: float


def contacts_of(reader: Reader) -> Contacts | None:
    """Return the contacts in the coil's line, or None where neither a relay nor a switch is known."""
    facts = tables.table("circuit_facts")
    row = facts.one(part="relay", item="contact drop at 10 A")
    likely, bad = row["likely"] / 10.0, row["high"] / 10.0
    if has_relay(reader):
        return Contacts("relay contact", likely, bad)
    switch = [reader.get(f"circuit.switch_{k}") for k in ("marking", "rated_for", "rating")]
    if all(v is None for v in switch):
        return None
    # without a relay the coil's current passes every interlock as well, all in series
    count = 1 + len(reader.names("circuit.interlock"))
    return Contacts("switch contact" if count == 1 else f"switch contacts, {count}", count * likely, count * bad)


def _joint_ohm(item: str) -> dict:
    return tables.table("circuit_facts").one(part="joint", item=item)


def _joint_parts(reader: Reader, assumed: list[str], ends: int):
    """Return fuse, contact and joints on the way out, likely and at the bad end, where they are not listed one by one.

    ``ends`` is the number of wire ends, each with a crimp.
    """
    joints, contact = reader.get("circuit.joint_resistance"), contacts_of(reader)
    fuse = _fuse_ohm(reader)
    has_fuse = reader.si("circuit.fuse") is not None
    if has_fuse and fuse is None:
        fuse = 0.005
        assumed.append("the fuse's own resistance, 5 mΩ")
    if joints is None:
        reader.note_missing("circuit.joint_resistance")
        sound, rusty = _joint_ohm("resistance, sound crimp"), _joint_ohm("resistance, bad crimp or rusty ground")
        parts = [circuit.Part("fuse", "fuse", fuse)] if has_fuse else []
        worst = list(parts)
        said = f"{ends} sound crimps of {sound['likely']:g} mΩ"
        if contact is not None:
            parts.append(circuit.Part(contact.name, "contact", contact.likely))
            worst.append(circuit.Part(contact.name, "contact", contact.bad))
            said += f" and {contact.name} {1e3 * contact.likely:.2g} mΩ"
        parts.append(circuit.Part("joints", "joint", ends * sound["likely"] / 1e3))
        worst.append(circuit.Part("joints", "joint", ((ends - 1) * sound["high"] + rusty["likely"]) / 1e3))
        assumed.append(f"{said}; one of {rusty['likely']:g} mΩ at the bad end")
        return tuple(parts), tuple(worst)
    total, parts = joints.si, []
    # what was measured or estimated for all joints together holds the fuse, its holder and the contact too
    for name, kind, own in (
        ("fuse", "fuse", fuse if has_fuse else None),
        ("", "contact", None) if contact is None else (contact.name, "contact", contact.likely),
    ):
        if own is not None and total > 0.0:
            share = min(own, 0.5 * total)
            parts.append(circuit.Part(name, kind, share))
            total -= share
    if total > 0.0:
        parts.append(circuit.Part("joints", "joint", total))
    spread = joints.plus_minus or 0.0
    worst = [p._replace(ohm=p.ohm + spread) if p.kind == "joint" else p for p in parts]
    if spread and total <= 0.0:
        worst.append(circuit.Part("joints", "joint", spread))
    return tuple(parts), tuple(worst)


PLACES = ("battery side, out", "coil side, out", "coil side, back", "battery side, back")


def named_joints(reader: Reader) -> dict[str, list[circuit.Part]]:
    """Return the joints that the build lists one by one, by their place; empty where it lists none.

    A joint whose drop was read gets its resistance from that drop and the cold coil's own current.
    """
    found: dict[str, list[circuit.Part]] = {}
    r20 = reader.si("clutch.coil_resistance")
    supply = reader.si("circuit.running_voltage", reader.si("circuit.battery_voltage"))
    for name in reader.names("circuit.joint"):
        at = f"circuit.joint[{name}]"
        place, ohm, drop = (
            reader.get(f"{at}.place") or PLACES[0],
            reader.si(f"{at}.resistance"),
            reader.si(f"{at}.drop"),
        )
        if ohm is None and drop is not None and r20 and supply and drop < supply:
            # the coil has what is left of the supply, near enough for a joint
            ohm = drop * r20 / (supply - drop)
        if ohm is None:
            reader.note_missing(f"{at}.drop")
        elif ohm > 0.0:
            found.setdefault(place, []).append(circuit.Part(name, "joint", ohm))
    return found


def read_line(reader: Reader) -> Line:
    """Read the circuit.

    Raises
    ------
    Unknown
        Naming every input without which nothing can be solved.
    """
    by = reader.get("circuit.return_by")
    if by == "not connected":
        raise Unknown("circuit.return_by")
    if by == "chassis":
        r20, area, out = reader.require_si(*NEEDED[:3])
        back = 0.0
    else:
        r20, area, out, back = reader.require_si(*NEEDED)
        if by == "wire" and back == 0.0:
            raise Unknown("circuit.length_back")
    if reader.get("circuit.running_voltage") is None:
        reader.note_missing("circuit.running_voltage")
        reader.require("circuit.battery_voltage")
    assumed: list[str] = []
    rise = reader.si("clutch.hot_rise")
    if rise is None:
        reader.note_missing("clutch.hot_rise")
        rise = HOT_RISE
        assumed.append(
            f"a hot coil: {reader.both(rise, 'temperature rise')} above 20 °C (class B windings)"
            if reader.system == "metric"
            else f"a hot coil: {reader.both(rise, 'temperature rise')} above 68 °F (class B windings)"
        )
    hot = float(coil.hot_resistance.si(r20, temperature=coil.T20 + rise))
    if reader.get("circuit.wire_kind") == "automotive":
        area = wiring.automotive_area_si(area)
    size = wiring.wire_size.si(area)
    air = ENGINE_AIR if reader.get("circuit.engine_space") else AIR
    listed = named_joints(reader)
    if listed:
        joints = (
            (circuit.Part("fuse", "fuse", _fuse_ohm(reader) or 0.005),) if reader.si("circuit.fuse") is not None else ()
        )
        worst_joints = joints
    else:
        joints, worst_joints = _joint_parts(reader, assumed, 2 if by == "chassis" or back == 0.0 else 4)
    near, far, home, post = (tuple(listed.get(p, ())) for p in PLACES)
    chassis = back == 0.0

    def wires(per_metre: float):
        ways = [circuit.Part("wire out", "wire", per_metre * out)]
        home = (
            circuit.Part("frame", "chassis", FRAME_OHM)
            if chassis
            else circuit.Part("wire back", "wire", per_metre * back)
        )
        return ways, (home,)

    likely_out, likely_back = wires(float(wiring.wire_resistance.si(area, length=1.0)))
    warm = 1.0 + coil.ALPHA20 * (air - coil.T20)
    worst_out, worst_back = wires(size.r20_worst * warm)
    if chassis:
        assumed.append(f"the frame as return: {1e3 * FRAME_OHM:.0f} mΩ")
    source = reader.si("circuit.battery_resistance")
    if not source:
        source = SOURCE_OHM
        assumed.append(f"battery and its cables: {1e3 * source:.0f} mΩ, from memory (for short circuits)")
    nominal = nominal_of(reader)
    states = [
        (f"{words}, {heat}", volts, ohm)
        for words, volts in (
            ("running", reader.si("circuit.running_voltage")),
            ("battery only", reader.si("circuit.battery_voltage")),
        )
        if volts is not None
        for heat, ohm in (("cold", r20), ("hot", hot))
    ]
    taps = tuple(
        circuit.Tap(load.name, circuit.COIL_IN, circuit.COIL_OUT, load.ohm, None if load.ohm is not None else load.amps)
        for load in loads_of(reader, nominal)
        if load.same_wire and load.amps > 0.0
    )
    return Line(
        nominal,
        tuple(states),
        r20,
        hot,
        rise,
        size,
        wire_words(reader, size),
        out,
        back,
        chassis,
        (*joints, *near, *likely_out, *far),
        (*home, *likely_back, *post),
        (*worst_joints, *near, *worst_out, *far),
        (*home, *worst_back, *post),
        taps,
        source,
        air,
        tuple(assumed),
    )


__all__ = [
    "FRAME_OHM",
    "FUSE_STYLES",
    "HOT_RISE",
    "NEEDED",
    "SOURCE_OHM",
    "Contacts",
    "Line",
    "Load",
    "contacts_of",
    "has_relay",
    "loads_of",
    "nominal_of",
    "read_line",
    "run_words",
    "voltage",
    "volts",
    "window",
    "wire_amps",
    "wire_words",
]
