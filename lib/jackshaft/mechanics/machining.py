"""Turning metal on a lathe: how fast the spindle may turn."""

from __future__ import annotations

from jackshaft.units import above_zero, unit_checked


@unit_checked(speed="surface speed", diameter="length", returns="rotation")
def spindle_speed(speed, *, diameter):
    """Speed of the spindle at which the work passes the tool at a cutting speed.

    Parameters
    ----------
    speed : surface speed
        Cutting speed (m/s), of the material and the tool: table cutting_speeds.
    diameter : length
        Of the work where it is cut (m).

    Returns
    -------
    rotation
        rad/s.

    Raises
    ------
    ValueError
        If a speed or a diameter is not above zero.

    Source
    ------
    own-derivation, surface speed over radius
    """
    above_zero(cutting_speed=speed, diameter=diameter)
    return 2.0 * speed / diameter


__all__ = ["spindle_speed"]
