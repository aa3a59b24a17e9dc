"""Balance of what turns: how much may be left on one side, as a weight at the rim."""

from __future__ import annotations

from jackshaft.units import above_zero, unit_checked


@unit_checked(mass="mass", speed="rotation", diameter="length", grade="surface speed", returns="mass")
def unbalance_allowed(mass, *, speed, diameter, grade):
    """Weight that may be left on one side of a part that turns, at its rim.

    Parameters
    ----------
    mass : mass
        Of the whole part (kg).
    speed : rotation
        Highest speed it turns at (rad/s).
    diameter : length
        Where the weight would be put or taken off (m).
    grade : surface speed
        Balance grade (m/s; the standard prints mm/s): eccentricity times speed, table balance_grades.

    Returns
    -------
    mass
        kg, both planes together where the part is balanced in two.

    Raises
    ------
    ValueError
        If a value is not above zero.

    Source
    ------
    iso21940-11, table 1: permissible residual unbalance = grade times mass over speed
    """
    above_zero(mass=mass, speed=speed, diameter=diameter, grade=grade)
    return grade * mass / (speed * diameter / 2.0)


__all__ = ["unbalance_allowed"]
