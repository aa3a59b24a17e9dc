"""A fillet weld round a shaft: stress on its throat, what is allowed, what to look out for."""

from __future__ import annotations

import math
import re
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.units import ZERO_C, OutOfRange, unit_checked

WELD_ALLOWED_SHARE = 0.30  # of the electrode's tensile strength on the throat, shigley, table 9-6
WELD_REVERSING = 35e6  # Pa on the throat where torque or bending reverses: a home-shop ceiling, from memory
# What a hobby welder should know before striking an arc; common practice, with the preheat band from memory.
WELD_CAUTIONS = (
    "Keep the weld away from bearings and from where the shaft bends most: the metal beside it is weak.",
    "Over about 0.3 % carbon (AISI 1045, 4140) preheat to 150-300 °C, use low-hydrogen filler and let it cool slowly. "
    "Do not weld free-machining steels (12L14, 1144).",
    "Clamp the return lead next to the weld: weld current through a bearing pits its races.",
    "Welding distorts the part: tack opposite sides first, and face and bore it after welding.",
)
WELD_BATTERY = "Disconnect the battery before you weld on the machine."


# First two figures of a steel's four: 11 and 12 are free-machining, 40 to 43, 86 and so on alloyed. From memory.
FREE_MACHINING = ("11", "12")
PLAIN = ("10", "15")
ALLOYED = ("13", "40", "41", "43", "51", "52", "61", "86")
# Structural steels sold by name, with the most carbon their standard allows, per cent. From memory.
BY_NAME = {"A36": 0.26, "S235": 0.17, "S355": 0.24, "A53": 0.30, "A500": 0.26}


class WeldCare(NamedTuple):
    """How a steel takes a weld.

    Parameters
    ----------
    group : str
        "plain", "alloy", "free-machining" or "stainless".
    carbon : float or None
        Per cent by mass, None where the name does not tell.
    weldable : str
        "yes", "with care" or "no".
    preheat : tuple of float or None
        Lower and upper end, kelvin; None where none is needed.
    words : str
        What to do, or why not.
    cite : str
        Source, locator and how known.
    """

    group: str
    carbon: float | None
    weldable: str
    preheat: tuple | None
    words: str
    cite: str


class Weld(NamedTuple):
    """A fillet weld round a shaft.

    Parameters
    ----------
    torsion, bending : float or ndarray
        Stress on the throat, Pa.
    combined : float or ndarray
        Both together, Pa.
    """

    torsion: float
    bending: float
    combined: float


@unit_checked(
    shaft="length",
    leg="length",
    torque="torque",
    moment="torque",
    returns={"torsion": "stress", "bending": "stress", "combined": "stress"},
)
def weld_ring(shaft, leg, torque, *, moment=0.0, rings=1) -> Weld:
    """Throat stress of a fillet weld all round a shaft.

    Parameters
    ----------
    shaft : float or ndarray
        Diameter, m.
    leg : float or ndarray
        Leg of the fillet, m.
    torque, moment : float or ndarray
        N·m.
    rings : int
        2 where the hub is welded at both ends.

    Returns
    -------
    Weld
        Stress of the throat as a line of 0.707 times the leg.

    Raises
    ------
    ValueError
        If the shaft or the leg is not positive.

    Source
    ------
    shigley, ch. 9, circular weld: torsion 2T/(pi t d2), bending 4M/(pi t d2).
    """
    if np.min(shaft) <= 0 or np.min(leg) <= 0 or rings < 1:
        raise OutOfRange("a weld needs a shaft, a leg and at least one ring")
    throat = math.sqrt(0.5) * leg * rings
    torsion = 2 * np.abs(torque) / (math.pi * throat * np.square(shaft))
    bending = 4 * np.abs(moment) / (math.pi * throat * np.square(shaft))
    return Weld(torsion, bending, np.hypot(torsion, bending))


@unit_checked(electrode="stress", returns="stress")
def weld_allowed(electrode, *, reversing):
    """Stress allowed on the throat of a fillet weld.

    Parameters
    ----------
    electrode : float
        Tensile strength of the weld metal, Pa: 414 MPa for E60, 483 MPa for E70.
    reversing : bool
        True where the torque or the bending reverses, as on any turning shaft under a belt's pull.

    Returns
    -------
    float
        Pa.

    Raises
    ------
    ValueError
        If the strength is not positive.

    Source
    ------
    shigley, table 9-6; reversing from memory, a home-shop ceiling.
    """
    if electrode <= 0:
        raise OutOfRange("the weld metal needs a strength")
    still = WELD_ALLOWED_SHARE * electrode
    return min(still, WELD_REVERSING) if reversing else still


def weld_care(material):
    """Tell how a steel takes a weld, by its name as sold.

    Parameters
    ----------
    material : str
        "AISI 1045 CD", "12L14 CD", "ASTM A36"; of four figures the last two are hundredths of a per cent of carbon.

    Returns
    -------
    WeldCare or None
        None where the name does not tell what is in it.

    Raises
    ------
    ValueError
        If the table has no line for such a steel.

    Source
    ------
    Table weld_care: common practice; numbering of steels from memory.
    """
    group, carbon = _contents(material)
    if group is None:
        return None
    for row in tables.table("weld_care").where(group=group).rows:
        if carbon is None or row["carbon_over_percent"] < carbon <= row["carbon_to_percent"]:
            low, high = row["preheat_low_c"], row["preheat_high_c"]
            preheat = None if low is None else (low + ZERO_C, high + ZERO_C)
            return WeldCare(
                group=group, carbon=carbon, weldable=row["weldable"], preheat=preheat, words=row["note"], cite=row.cite
            )
    raise OutOfRange(f"no advice on welding a steel with {carbon:g} % carbon")


def _contents(material):
    """Return group and carbon of a steel by its name, (None, None) where it does not tell."""
    numbers = re.findall(r"\b(\d\d)(L?)(\d\d)\b", str(material))
    if numbers:
        series, lead, _ = numbers[0]
        carbon = max(int(n[2]) for n in numbers) / 100
        if lead or series in FREE_MACHINING:
            return "free-machining", carbon
        if series in ALLOYED:
            return "alloy", carbon
        return ("plain", carbon) if series in PLAIN else (None, None)
    if re.search(r"\b(304|316)", str(material)):
        return "stainless", None
    most = [c for name, c in BY_NAME.items() if re.search(rf"\b{name}(?!\d)", str(material))]
    return ("plain", most[0]) if most else (None, None)
