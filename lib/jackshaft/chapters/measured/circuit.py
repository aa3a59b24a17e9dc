"""The coil's resistance and what is lost on the way to it, as a meter showed them."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot

from jackshaft.chapters.measured.data import Held
from jackshaft.chapters.measured.judging import Words, judge, key, lacks, off_by, share_off
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.units import ALPHA20, T20, ZERO_C

COIL = "resistance of the coil"
VOLTS = "lost between battery and coil"

#: Between these a shop is cold or warm, °C: a coil whose temperature nobody took is somewhere between.
SHOP = (0.0, 40.0)
#: Two coils of one kind differ by so much: common practice, no source.
ALIKE = 0.05


def coil(draft: Draft, reader: Reader, done: Mapping[str, Findings], entry: str) -> Held | None:
    """Hold the coil's resistance against the build's, at the temperature that it had."""
    mine = key(entry, "coil_resistance")
    ohm = reader.si(mine)
    if ohm is None:
        return None
    taken = reader.si(key(entry, "coil_temperature"))
    if (foretold := foretold_ohms(reader, taken)) is None:
        words = "The build does not say the coil's resistance yet. Write this reading into it."
        lacks(draft, reader, "coil", entry, COIL, ("clutch.coil_resistance",), words)
        return None
    kelvin = f"at {reader.show(taken, 'temperature')}" if taken is not None else "in a shop, cold or warm"
    low, high = foretold
    off = off_by(reader, mine, "resistance")
    return judge(
        draft,
        "coil",
        COIL,
        Held(entry, "coil", ohm, ohm - off, ohm + off, low, high),
        reader.number(ohm, "resistance"),
        reader.number((low + high) / 2.0, "resistance", f"{{low}} to {{high}} {kelvin}", low=low, high=high),
        Words(
            (
                "The coil has less resistance than the build says. Turns of it may be shorted: it draws more current, "
                "pulls less and burns.",
                "Read it again, the leads of the meter taken off. If it stays so, change the coil.",
            ),
            (
                "The coil has more resistance than the build says. A joint in it is bad, or it is warmer than was "
                "thought.",
                "Let it cool to the shop's temperature and read again at its own plug.",
            ),
        ),
    )


def foretold_ohms(reader: Reader, taken: float | None = None) -> tuple[float, float] | None:
    """Return between which ends the coil's resistance lies, ohm; None where the build does not say it.

    Parameters
    ----------
    reader : Reader
        What the build says.
    taken : float, optional
        The temperature that the coil had, K; without it that of a shop, cold or warm.
    """
    cold = reader.ends("clutch.coil_resistance")
    if cold is None:
        return None
    at = tuple(t + ZERO_C for t in SHOP) if taken is None else (taken, taken)
    spread = 0.0 if cold[0] < cold[1] else ALIKE
    low, high = (
        r * (1.0 + ALPHA20 * (t - T20)) * (1.0 + sign * spread) for r, t, sign in zip(cold, at, (-1, 1), strict=True)
    )
    return low, high


def volts(draft: Draft, reader: Reader, done: Mapping[str, Findings], entry: str) -> Held | None:
    """Hold the resistance that two voltages and a current show against that of wire and joints."""
    battery, plug, amps = (key(entry, k) for k in ("battery_voltage", "coil_voltage", "coil_current"))
    if reader.get(plug) is None:
        return None
    electric = done["electric"].data
    if asked := reader.unknown(battery, amps):
        words = "What is lost on the way shows between the volts at the battery and at the coil, beside the current."
        lacks(draft, reader, "volts", entry, VOLTS, asked, words)
        return None
    if electric is None:
        words = "What wire and joints should lose is not known yet."
        lacks(draft, reader, "volts", entry, VOLTS, done["electric"].missing or ("circuit",), words)
        return None
    lost, current = reader.si(battery) - reader.si(plug), reader.si(amps)
    # two readings of nearly one size: their difference is as doubtful as both
    off = (off_by(reader, battery, "voltage") ** 2 + off_by(reader, plug, "voltage") ** 2) ** 0.5
    ohm = lost / current
    ohm_off = hypot(off / current, ohm * share_off(reader, {amps: "current"}))
    line = electric.line
    most = max(sum(p.ohm for p in (*line.worst_out, *line.worst_back)), line.line_ohm)
    return judge(
        draft,
        "volts",
        VOLTS,
        Held(entry, "loop", ohm, ohm - ohm_off, ohm + ohm_off, 0.0, most),
        reader.number(lost, "voltage", f"{{}}, {ohm * 1e3:.0f} mΩ in all"),
        reader.number(most * current, "voltage", f"{{}} or less, {most * 1e3:.0f} mΩ"),
        Words(
            (
                "There are more volts at the coil than at the battery. One of the readings is wrong.",
                "Read both again, the black lead on the battery's minus for both.",
            ),
            (
                "Wire and joints lose more than even bad ones should. A joint, a switch or the ground is bad, and "
                "gets hot.",
                "Go along the circuit with the black lead on battery minus and the clutch on. The volts jump at the "
                "bad joint. Clean it, or make it anew.",
            ),
        ),
    )


__all__ = ["ALIKE", "SHOP", "coil", "foretold_ohms", "volts"]
