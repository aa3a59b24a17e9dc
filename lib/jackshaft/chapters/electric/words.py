"""How the chapters of circuit and clutch write: voltages, wires, lengths, limits with two ends, and sentences."""

from __future__ import annotations

from jackshaft.mechanics import wiring
from jackshaft.results.checks import GO
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import FOOT

#: The supplies that the states are named after, and what a fact calls them.
SUPPLIES = {"running": "engine running", "battery only": "engine stopped"}


def unless_go(verdict: str, remedy: str) -> str:
    """Return the remedy of a check, empty where there is nothing to put right."""
    return "" if verdict == GO else remedy


def volts(value: float) -> str:
    """Return a voltage as a meter shows it: hundredths from a volt up, thousandths below."""
    return f"{value:.2f} V" if abs(value) >= 1.0 else f"{value:.3f} V"


def voltage(reader: Reader, si: float, words: str = "{}", **how) -> Number:
    """Return a voltage as a number of the results, shown as a meter shows it: in volts, however small."""
    return reader.number(si, "voltage", words.replace("{}", volts(si)), **how)


def window(reader: Reader, found: float, low: float, high: float, kind: str, words: str = "{low} to {high}") -> Number:
    """Return a limit with two ends as a number: the end that what was found is nearer to, and both as its band."""
    return reader.number(min((low, high), key=lambda end: abs(end - found)), kind, words, low=low, high=high)


def run_words(reader: Reader, metres: float) -> str:
    """Return a length of wire in feet or metres."""
    return f"{metres:.4g} m" if reader.system == "metric" else f"{metres / FOOT:.4g} ft"


def wire_words(reader: Reader, size: wiring.WireSize) -> str:
    """Return a wire's size in the build's own words: gauge in an inch build, copper area in a metric one."""
    if reader.system == "inch" and size.system in ("AWG", "SAE"):
        return f"{size.size} AWG" + (" (automotive)" if size.system == "SAE" else "")
    return reader.show(size.area, "wire")


def sizes_of(reader: Reader) -> tuple[str, str]:
    """Return the list that wire is bought from, as the tables and as the trade call it: gauges or copper areas."""
    return ("AWG", "AWG") if reader.system == "inch" else ("mm2", "mm²")


def fuse_place(reader: Reader) -> str:
    """Return where the fuse of a circuit belongs."""
    return f"within {'7 in (178 mm)' if reader.system == 'inch' else '178 mm'} of the battery's post"


__all__ = [
    "SUPPLIES",
    "fuse_place",
    "run_words",
    "sizes_of",
    "unless_go",
    "voltage",
    "volts",
    "window",
    "wire_words",
]
