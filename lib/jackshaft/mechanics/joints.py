"""What carries the torque between shaft and hub beside the key: set screw, clamp, bolts, pin, pressed sleeve.

Each joint answers with the torque it carries.
"""

from __future__ import annotations

import math
import re
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.units import INCH, POUND_FORCE, OutOfRange, unit_checked

CLAMP_MODELS = {"two lines": 1.0, "even pressure": math.pi / 2, "half circle": math.pi / 4}

#: A metric thread with or without its pitch, and the sizes that the table of inch set screws reaches.
METRIC_SCREW = re.compile(r"[mM](\d+(?:\.\d+)?)(?:[xX×]\d+(?:\.\d+)?)?")
METRIC_LEAST, METRIC_MOST = 3, 20


class BoltCapacity(NamedTuple):
    """Torque of a flange with bolts on a circle.

    Parameters
    ----------
    friction : float or ndarray
        Torque carried by the faces pressed together, N·m: what a joint with clearance holes has.
    shear : float or ndarray
        Torque at the allowed shear stress of the bolts, N·m: counts only where they fit their holes.
    """

    friction: float
    shear: float


class Press(NamedTuple):
    """A sleeve pressed on a shaft.

    Parameters
    ----------
    torque : float or ndarray
        At which it slips, N·m.
    pressure : float or ndarray
        In the seat, Pa.
    """

    torque: float
    pressure: float


#: What may stand behind the size of an inch set screw: the unit, or its thread.
INCH_SCREW = re.compile(r"""\s*(?:in|inch|"|-\s*\d{2}\s*(?:UNC|UNF)?)$""", re.IGNORECASE)


class Screw(NamedTuple):
    """A set screw as tabulated.

    Parameters
    ----------
    size : str
        Thread size.
    holding, holding_least : float
        Holding force of a cup point on a steel shaft, N: of a textbook's table, and of the chart that trusts it least.
    seating_torque : float
        Tightening torque it takes, N·m.
    words : str
        Source, locator, how known, and what disagrees.
    """

    size: str
    holding: float
    holding_least: float
    seating_torque: float
    words: str


@unit_checked(returns={"holding": "force", "holding_least": "force", "seating_torque": "torque"})
def set_screw(size) -> Screw:
    """Look a set screw up.

    Parameters
    ----------
    size : str
        "1/4", "#10", "M8", ...; a pitch behind a metric size changes nothing.

    Returns
    -------
    Screw
        Holding force and seating torque.

    Raises
    ------
    ValueError
        If the size is not tabulated.

    Source
    ------
    Table setscrews: shigley, table 7-4 (from memory); set-screw-charts print about half of it. A metric size takes
    the inch size next to it, less by the square of the diameter (force) and its cube (torque) where it is thinner and
    no more where it is thicker: own-derivation. Both are of about the same hardness (ISO 898-5, 45H: from memory).
    """
    table = tables.table("setscrews")
    metric, thinner, more = METRIC_SCREW.fullmatch(str(size).replace(" ", "")), 1.0, ""
    if metric:
        mm = float(metric[1])
        rows = [min(table, key=lambda r: abs(r["diameter_mm"] - mm))]
        thinner = min(mm / rows[0]["diameter_mm"], 1.0)
        more = f"; taken from the {rows[0]['size']} in screw next to it"
    else:
        rows = table.where(size=INCH_SCREW.sub("", str(size).strip())).rows
    if not rows or (metric and not METRIC_LEAST <= mm <= METRIC_MOST):
        listed = ", ".join(r["size"] for r in table)
        raise OutOfRange(
            f"no set screw {size!r}; choose {listed}, or a metric size from M{METRIC_LEAST:g} to M{METRIC_MOST:g}"
        )
    r = rows[0]
    # the table counts in lbf and lbf in
    return Screw(
        size,
        r["holding_lbf"] * POUND_FORCE * thinner**2,
        r["holding_low_lbf"] * POUND_FORCE * thinner**2,
        r["seating_low_lbf_in"] * POUND_FORCE * INCH * thinner**3,
        f"{r.cite} {r['note'] or ''}".strip() + more,
    )


@unit_checked(holding="force", shaft="length", factor="number", returns="torque")
def set_screw_torque(holding, shaft, *, count=1, factor=1.0):
    """Torque of a hub held by set screws.

    Parameters
    ----------
    holding : float or ndarray
        Of one screw, N.
    shaft : float or ndarray
        Diameter, m.
    count : int
        1 or 2; two at 90 to 120 degrees add up.
    factor : float
        Safety: 1.5 to 2 for a still load, 4 to 8 for a running one.

    Returns
    -------
    float or ndarray
        N·m.

    Raises
    ------
    ValueError
        If the count is not 1 or 2, or the factor is below 1.

    Source
    ------
    shigley, table 7-4 and text (from memory).
    """
    if count not in (1, 2):
        raise OutOfRange(f"published tables are for one or two set screws in a hub, not {count}: write 2")
    if factor < 1:
        raise OutOfRange("give a factor of 1 or more")
    return holding * count * shaft / 2 / factor


@unit_checked(clamp="force", shaft="length", friction="number", returns="torque")
def clamp_torque(clamp, shaft, friction, *, model="two lines", slit=False):
    """Torque a clamped or split hub holds by friction.

    Parameters
    ----------
    clamp : float or ndarray
        Force that presses the two halves together, all bolts of both sides, N.
    shaft : float or ndarray
        Diameter, m.
    friction : float or ndarray
        Coefficient of hub on shaft.
    model : str
        "two lines" (stiff hub), "even pressure" (soft, well bored hub), "half circle" (textbook, cautious).
    slit : bool
        True for a hub slit on one side only, whose lips take up half of the bolt force.

    Returns
    -------
    float or ndarray
        N·m.

    Raises
    ------
    ValueError
        If the model is not one of the three.

    Source
    ------
    own-derivation for two lines and even pressure, khurmi-design for half circle; slit share 0.5 (from
    memory).
    """
    if model not in CLAMP_MODELS:
        raise OutOfRange(f"model {model!r} is not known; choose {', '.join(CLAMP_MODELS)}")
    return CLAMP_MODELS[model] * friction * clamp * (0.5 if slit else 1.0) * shaft


@unit_checked(
    preload="force",
    bolt="length",
    circle="length",
    friction="number",
    shear_allowed="stress",
    returns={"friction": "torque", "shear": "torque"},
)
def flange_torque(count, circle, *, preload, friction, bolt, shear_allowed) -> BoltCapacity:
    """Torque of a bolted flange, by friction and by shear.

    Parameters
    ----------
    count : int
        Bolts on the circle.
    circle : float or ndarray
        Diameter of the bolt circle, m.
    preload : float or ndarray
        Of each bolt, N.
    friction : float or ndarray
        0.15 to 0.20 dry steel, 0.08 to 0.12 oily or painted.
    bolt : float or ndarray
        Diameter in the shear plane, m: the body, or the thread's root where it reaches there.
    shear_allowed : float
        Pa.

    Returns
    -------
    BoltCapacity
        Clearance holes: only the friction counts.

    Raises
    ------
    ValueError
        If there is no bolt.

    Source
    ------
    singer-pytel, flanged coupling; friction values from memory.
    """
    if count < 1:
        raise OutOfRange("a flange needs bolts")
    return BoltCapacity(
        friction * count * preload * circle / 2, count * math.pi / 4 * bolt**2 * shear_allowed * circle / 2
    )


@unit_checked(radius="length", shear_strength="stress", bolt="length", returns="torque")
def shear_pin_torque(bolt, radius, shear_strength, *, planes=1):
    """Torque that breaks a shear pin or shear bolt.

    Parameters
    ----------
    bolt : float or ndarray
        Diameter in the shear plane, m.
    radius : float or ndarray
        From the shaft's middle to the shear plane's middle, m; half the shaft for a pin through it.
    shear_strength : float or ndarray
        Pa; about 0.6 of the tensile strength. To protect, reckon with the strongest bolt of the grade.
    planes : int
        Places where it is cut: 2 for a pin through shaft and hub.

    Returns
    -------
    float or ndarray
        N·m.

    Raises
    ------
    ValueError
        If planes is less than one.

    Source
    ------
    Area times strength times radius; share of tensile strength from memory.
    """
    if planes < 1:
        raise OutOfRange("a pin is sheared in one plane at least")
    return planes * math.pi / 4 * np.square(bolt) * shear_strength * radius


@unit_checked(
    interference="length",
    shaft="length",
    outside="length",
    length="length",
    friction="number",
    elastic_modulus="stress",
    returns={"torque": "torque", "pressure": "stress"},
)
def press_torque(interference, shaft, outside, length, *, friction, elastic_modulus) -> Press:
    """Torque of a sleeve pressed or shrunk on a solid shaft of the same stiffness.

    Parameters
    ----------
    interference : float or ndarray
        By how much the shaft is larger than the bore, on the diameter, m.
    shaft, outside : float or ndarray
        Diameter of the seat and outside diameter of the sleeve, m.
    length : float or ndarray
        Of the seat, m.
    friction : float or ndarray
        Coefficient in the seat.
    elastic_modulus : float
        Of both parts, Pa.

    Returns
    -------
    Press
        Torque at which it slips, and the pressure in the seat.

    Raises
    ------
    ValueError
        If the sleeve is no thicker than its bore, or nothing presses.

    Source
    ------
    Thick ring on a solid shaft: p = E i / (2 d) (1 - (d / D)^2); shigley, ch. 3 (from memory).
    """
    if np.min(shaft) <= 0 or np.any(np.asarray(outside) <= shaft) or np.min(interference) <= 0 or np.min(length) <= 0:
        raise OutOfRange("the outside of a pressed sleeve must be larger than its bore, and its fit must be tight")
    pressure = elastic_modulus * interference / (2 * shaft) * (1 - np.square(shaft / outside))
    return Press(friction * pressure * math.pi * np.square(shaft) * length / 2, pressure)


def bolt(size, grade):
    """Look a bolt up.

    Parameters
    ----------
    size, grade : str
        As listed: "3/8-16" with "SAE 5", "M10x1.5" with "8.8".

    Returns
    -------
    jackshaft.tables.Row
        Diameters in mm, areas in mm2, strengths in MPa, each named in its heading.

    Raises
    ------
    ValueError
        If it is not tabulated.

    Source
    ------
    Table bolts: sae-j429 and iso898-1.
    """
    rows = tables.table("bolts").where(size=size, grade=grade).rows
    if not rows:
        raise OutOfRange(f"no bolt {size!r} of grade {grade!r} is tabulated")
    return rows[0]


def preload_si(row, *, share=0.75):
    """Preload of a bolt tightened to a share of its proof load, and the torque for it.

    Parameters
    ----------
    row : jackshaft.tables.Row
        From `bolt`.
    share : float
        Of the proof load; 0.75 for joints that come apart again.

    Returns
    -------
    force, torque : float
        N and N·m, dry: a nut factor of 0.2.

    Raises
    ------
    ValueError
        If the share is not between 0 and 1.

    Source
    ------
    shigley, ch. 8 (from memory).
    """
    if not 0 < share <= 1:
        raise OutOfRange("the share of the proof load that a bolt is tightened to is between 0 and 1")
    force = share * row["proof_mpa"] * row["stress_area_mm2"]  # MPa times mm2 is N
    return force, 0.2 * force * row["diameter_mm"] * 1e-3
