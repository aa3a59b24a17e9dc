"""A fillet weld round a shaft: stress on its throat, what is allowed, what to look out for."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jackshaft.units import door

WELD_ALLOWED_SHARE = 0.30  # of the electrode's tensile strength on the throat, shigley, table 9-6
WELD_REVERSING = 35e6  # Pa on the throat where torque or bending reverses: a home-shop ceiling, from memory
# What a hobby welder should know before striking an arc; common practice, with the preheat band from memory.
WELD_CAUTIONS = (
    "Keep the weld away from bearings and from where the shaft bends most: the metal beside it is weak.",
    "Over about 0.3 % carbon (AISI 1045, 4140) preheat to 150-300 °C, low-hydrogen filler, slow cooling; "
    "free-machining steels (12L14, 1144) are not welded.",
    "Clamp the return lead next to the weld: current through a bearing pits its races. Battery off.",
    "Welding pulls the part: tack opposite sides, and face and bore after welding.",
)


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


@door(
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
        raise ValueError("a weld needs a shaft, a leg and at least one ring")
    throat = math.sqrt(0.5) * leg * rings
    torsion = 2 * np.abs(torque) / (math.pi * throat * np.square(shaft))
    bending = 4 * np.abs(moment) / (math.pi * throat * np.square(shaft))
    return Weld(torsion, bending, np.hypot(torsion, bending))


@door(electrode="stress", returns="stress")
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
        raise ValueError("the weld metal needs a strength")
    still = WELD_ALLOWED_SHARE * electrode
    return min(still, WELD_REVERSING) if reversing else still
