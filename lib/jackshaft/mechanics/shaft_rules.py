"""Rules round the shaft: the older shaft code, stock sizes of bar, the side load of a crank."""

from __future__ import annotations

import math

import numpy as np

from jackshaft.units import INCH, OutOfRange, above_zero, unit_checked

# Round bar that a steel counter keeps. Common practice, no source.
INCH_STOCK = [n / 16 for n in (8, 10, 12, 14, 16, 18, 19, 20, 22, 23, 24, 26, 27, 28, 31, 32, 35, 36, 39, 40, 48)]
METRIC_STOCK = [
    10,
    12,
    14,
    15,
    16,
    17,
    18,
    20,
    22,
    24,
    25,
    28,
    30,
    32,
    35,
    36,
    40,
    45,
    50,
    55,
    60,
    65,
    70,
    75,
    80,
]


#: A bar that is turned all over is at least so much thicker than its largest step; m: common practice, no source.
SKIN = 1e-3


def code_diameter_si(moment, torque, *, tensile, yield_stress, moment_shock, torque_shock, keyseat, bore_ratio=0.0):
    """Diameter by the older shaft code, a second opinion.

    Parameters
    ----------
    moment, torque : float
        N·m.
    tensile, yield_stress : float
        Pa.
    moment_shock, torque_shock : float
        Factors of table shaft_shock_factors.
    keyseat : bool
        True takes a quarter off the allowed stress.
    bore_ratio : float
        Inside over outside diameter.

    Returns
    -------
    diameter, allowed : float
        m, and the allowed shear stress, Pa.

    Raises
    ------
    ValueError
        If a strength is not positive.

    Source
    ------
    khurmi-design, ch. 14: the lower of 0.30 yield and 0.18 tensile, three quarters of it with a keyseat.
    """
    above_zero(tensile_strength=tensile, yield_stress=yield_stress)
    allowed = min(0.30 * yield_stress, 0.18 * tensile) * (0.75 if keyseat else 1.0)
    turning = math.hypot(moment_shock * moment, torque_shock * torque)
    return (16 * turning / (math.pi * allowed * (1 - bore_ratio**4))) ** (1 / 3), allowed


@unit_checked(diameter="length", returns="length")
def next_stock(diameter, *, system):
    """Next size of round bar a steel counter keeps.

    Parameters
    ----------
    diameter : float
        Needed, m.
    system : str
        "inch" or "metric".

    Returns
    -------
    float
        m.

    Raises
    ------
    ValueError
        If none is thick enough or the system is not known.

    Source
    ------
    Common practice, no source.
    """
    if system not in ("inch", "metric"):
        raise OutOfRange("stock comes in inch or metric")
    sizes = [n * INCH for n in INCH_STOCK] if system == "inch" else [n * 1e-3 for n in METRIC_STOCK]
    for size in sizes:
        if size >= diameter - 1e-9:
            return size
    raise OutOfRange(f"no stock size up to {sizes[-1]:.4g} m is thick enough: shorten the overhang or lower the pull")


@unit_checked(diameter="length", returns="length")
def bar_for(diameter, *, system):
    """Round bar to ask for, for a shaft that is turned all over.

    Parameters
    ----------
    diameter : float
        Its largest step, finished, m.
    system : str
        "inch" or "metric".

    Returns
    -------
    float
        m.

    Raises
    ------
    ValueError
        If none is thick enough or the system is not known.

    Source
    ------
    Common practice, no source.
    """
    return next_stock.si(diameter + SKIN, system=system)


@unit_checked(pull="force", at="length", limit="force", limit_at="length", bearing_at="length")
def side_load(pull, at, *, limit, limit_at, bearing_at=0.0):
    """Pull on a crank against the engine maker's limit, by moment about the engine's bearing.

    Parameters
    ----------
    pull : float or ndarray
        Hub load, N.
    at : float or ndarray
        Belt centre line from the engine's face, m.
    limit, limit_at : float
        Largest side load, N, and where the maker takes it, m.
    bearing_at : float
        Engine bearing behind (negative) its face, m.

    Returns
    -------
    float or ndarray
        Share of the limit, the worse of the moment and the pull itself; above 1 an outboard bearing is due.

    Raises
    ------
    ValueError
        If the limit or its place gives nothing to compare with.

    Source
    ------
    Statics; the limit is the engine maker's.
    """
    if limit <= 0 or limit_at <= bearing_at:
        raise OutOfRange("give the maker's side load and the place along the crank that it is for")
    return np.maximum(
        pull * (np.asarray(at) - bearing_at) / (limit * (limit_at - bearing_at)), np.asarray(pull) / limit
    )[()]
