"""The clutch and the circuit on the buying list."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from jackshaft.record.wants import Counter, Want
from jackshaft.units import FOOT

#: Wire for bends and joints, over the length that was measured: a tenth, common practice, no source.
SLACK = 0.10
#: Least reverse voltage of a diode across the coil, V: common practice, no source.
DIODE_VOLTS = 200


def clutch(at: Counter) -> Iterator[Want]:
    """Return the clutch by what its plate says."""
    kind = at.reader.get("clutch.kind")
    if not at.reader.has("clutch") or kind in (None, "direct", "idler"):
        return
    ask = (
        f"{kind} clutch"
        + at.words("clutch.bore", ", bore {}")
        + at.words("clutch.key_width", ", key {} wide", without="")
    )
    if kind == "electromagnetic":
        # a slip test stands for the plate of a clutch that has none
        tested = at.reader.get("clutch.slip_force") is not None
        ask += at.words("clutch.static_torque", ", {} static torque", without="" if tested else None)
        ask += at.words("clutch.plate_voltage", ", {} coil", without="" if tested else None)
        ask += at.words("clutch.coil_resistance", ", {} at the leads, cold")
    elif kind == "centrifugal":
        ask += at.words("clutch.engage_speed", ", takes hold at {}")
    at.judge(("clutch.hold", "clutch.bore", "clutch.keyway", "clutch.magnet", "clutch.pull-in", "electric.coil"))
    yield at.want("clutch", ask, instead="same bore, key and voltage, no less torque")
    if at.reader.get("clutch.bolt"):
        yield at.want(
            "clutch: bolt",
            at.words("clutch.bolt", "bolt {}, of the grade that the engine's maker names"),
            spares="one bolt",
        )


def circuit(at: Counter) -> Iterator[Want]:
    """Return wire, fuse, switch, relay, what takes up the coil's energy, and the battery."""
    if not at.reader.has("circuit"):
        return
    yield _wire(at)
    if not at.reader.is_none("circuit.fuse"):
        ask = (at.words("circuit.fuse_kind", "{} fuse") or "fuse") + at.words("circuit.fuse", ", {}")
        at.judge(("electric.fuse", "electric.short"))
        yield at.want(
            "fuse", f"{ask}, with its holder", instead="same kind and amperes; never more", spares="two fuses"
        )
    ask = at.words("circuit.switch_rating", "switch, {} direct current or more")
    if at.reader.get("circuit.switch_rated_for") == "AC only":
        ask = "switch for direct current with a coil behind it"
    at.judge(("electric.switch",))
    yield at.want("switch", ask or "switch", instead="a higher direct-current rating")
    if at.reader.get("circuit.relay"):
        ask = at.words("circuit.relay_voltage", "relay, {} coil") or "relay"
        ask += at.words("circuit.relay_rating", ", {} contact")
        at.judge(("electric.relay",))
        yield at.want(
            "relay", f"{ask}, with its socket", instead="same coil voltage, a higher rating", spares="one relay"
        )
    yield from _suppression(at)
    ask = at.words("circuit.battery_capacity", "battery, {}")
    nominal = getattr(_electric(at), "line", None)
    at.judge(("electric.charging",))
    yield at.want(
        "battery",
        (ask or "battery") + (f", {nominal.nominal:g} V" if nominal else ""),
        instead="same voltage, no less capacity",
    )


def _electric(at: Counter):
    chapter = at.results.chapters.get("electric")
    return chapter.data if chapter else None


def _wire(at: Counter) -> Want:
    ask = at.words("circuit.wire", "stranded copper wire, {}") + at.words("circuit.insulation", ", insulation for {}")
    out = at.words("circuit.length_out") and at.reader.si("circuit.length_out")
    back = 0.0
    if at.reader.get("circuit.return_by") != "chassis":
        back = at.words("circuit.length_back") and at.reader.si("circuit.length_back")
    if out and back != "":
        whole = (1.0 + SLACK) * (out + back)
        unit, word = (FOOT, "ft") if at.system == "inch" else (1.0, "m")
        ask += f", {ceil(whole / unit - 1e-9)} {word} with a tenth for bends and joints; mark both ends of each run"
    at.judge(("electric.ampacity", "electric.drop", "electric.voltage"))
    return at.want("clutch wire", ask, instead="the next thicker size; hotter insulation")


def _suppression(at: Counter) -> Iterator[Want]:
    kind = at.reader.get("circuit.suppression")
    if kind in (None, "none"):
        at.wait(
            "Not known yet: what takes up the coil's energy at switch-off." if kind is None else "The build has none."
        )
    found = _electric(at)
    amps = max((float(a) for s in (found.steps, found.worst) for a in s.coil_amps), default=0.0) if found else 0.0
    if kind in ("diode", "diode and zener"):
        if not amps:
            at.wait("Not known yet: the coil's current, which the diode takes over.")
        volts = at.words("circuit.clamp_voltage", ", and a zener diode of {}") if kind != "diode" else ""
        ask = f"rectifier diode, {ceil(amps)} A or more, {DIODE_VOLTS} V or more{volts}"
    elif kind == "resistor":
        ask = at.words("circuit.suppression_resistor", "resistor, {}") + at.words("circuit.suppression_power", ", {}")
    elif kind == "TVS":
        ask = at.words("circuit.clamp_voltage", "transient suppressor, clamps at {}")
    else:
        ask = "diode or resistor across the coil"
    at.judge(("electric.suppression", "electric.contact"))
    yield at.want("across the coil", ask, instead="a higher rating of the same kind", spares="one")


__all__ = ["DIODE_VOLTS", "SLACK", "circuit", "clutch"]
