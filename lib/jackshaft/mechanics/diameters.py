"""Effective diameters: from what was measured to the line that is asked for.

Three lines matter. *Outside*: what calipers and tape read. *Reference* (datum, or effective for narrow
inch and ribbed belts): what pulleys and belts are marked by; belt lengths close on it. *Pitch*: the
cord line, which alone sets the speed. ``pitch_minus_reference`` and ``outside_minus_reference`` are
differences of diameters; they come from the tables of sections and grooves.
"""

from typing import NamedTuple

import numpy as np

from jackshaft.units import OutOfRange, unit_checked


class Diameters(NamedTuple):
    """The diameters of one pulley on its three lines, m."""

    outside: np.ndarray
    reference: np.ndarray
    pitch: np.ndarray


class TurnedGroove(NamedTuple):
    """Where a belt rides in a groove: diameters of reference and pitch line, how proud it stands, m."""

    reference: np.ndarray
    pitch: np.ndarray
    ride_out: np.ndarray


class Wear(NamedTuple):
    """How far the belt has ``sunk`` and the wear of one ``wall``, m; ``worn`` past the limit."""

    sunk: np.ndarray
    wall: np.ndarray
    worn: np.ndarray


@unit_checked(
    measured="length",
    pitch_minus_reference="length",
    outside_minus_reference="length",
    returns={"outside": "length", "reference": "length", "pitch": "length"},
)
def grooved(measured, *, measured_as, pitch_minus_reference, outside_minus_reference) -> Diameters:
    """Diameters of a grooved pulley on all three lines.

    Parameters
    ----------
    measured : length
        The diameter that is known, m.
    measured_as : str
        "outside" (calipered too), "datum", "effective" or "reference" for the marked line, "pitch".
    pitch_minus_reference : length
        Of the belt section, m; may be below nought.
    outside_minus_reference : length
        Of the groove, m.

    Returns
    -------
    Diameters

    Raises
    ------
    ValueError
        If the line is not one of those named.

    Source
    ------
    mh31, pp. 2575-2578 (datum, pitch and outside diameters of inch sheaves)
    """
    away = {
        "outside": outside_minus_reference,
        "calipered": outside_minus_reference,
        "datum": 0.0,
        "effective": 0.0,
        "reference": 0.0,
        "pitch": pitch_minus_reference,
    }
    if measured_as not in away:
        raise OutOfRange(f"{measured_as!r} is no line of a pulley; known: {', '.join(away)}")
    reference = np.asarray(measured, dtype=float) - away[measured_as]
    return Diameters(reference + outside_minus_reference, reference, reference + pitch_minus_reference)


@unit_checked(outside="length", to_cord="length", returns="length")
def flat(outside, *, to_cord):
    """Diameter of the cord line of a belt on a flat pulley.

    Parameters
    ----------
    outside : length
        Outside diameter of the pulley, m.
    to_cord : length
        From the face of the belt that touches to its cord, m: the cord's depth below the top for the back,
        height less that depth for the bottom.

    Returns
    -------
    length
        m.

    Source
    ------
    bansal, ex. 11.3 (a flat belt's neutral line adds its thickness to the diameter)
    """
    return np.asarray(outside) + 2.0 * np.asarray(to_cord)


@unit_checked(
    outside="length",
    top_width="length",
    angle="angle",
    reference_width="length",
    pitch_minus_reference="length",
    belt_top_width="length",
    belt_angle="angle",
    returns={"reference": "length", "pitch": "length", "ride_out": "length"},
)
def turned_groove(
    outside, *, top_width, angle, reference_width, pitch_minus_reference, belt_top_width, belt_angle
) -> TurnedGroove:
    """Diameters of a home-turned groove from its top width and angle, and where the belt rides in it.

    Parameters
    ----------
    outside : length
        Outside diameter, m.
    top_width : length
        Width of the groove at the outside diameter, m.
    angle : angle
        Whole groove angle, rad.
    reference_width : length
        Width of the belt section on its reference line, m.
    pitch_minus_reference : length
        Of the section, on the diameter, m.
    belt_top_width : length
        Top width of the belt, m.
    belt_angle : angle
        Whole angle of the belt, rad.

    Returns
    -------
    TurnedGroove
        ``ride_out`` above nought where the belt stands proud of the rim.

    Source
    ------
    own-derivation, the reference line lies where groove and section are as wide as each other
    """
    reference = np.asarray(outside) - (np.asarray(top_width) - reference_width) / np.tan(0.5 * np.asarray(angle))
    above = 0.5 * (np.asarray(belt_top_width) - reference_width) / np.tan(0.5 * np.asarray(belt_angle))
    return TurnedGroove(reference, reference + pitch_minus_reference, above - 0.5 * (np.asarray(outside) - reference))


@unit_checked(
    ride_out="length",
    ride_out_new="length",
    angle="angle",
    limit="length",
    returns={"sunk": "length", "wall": "length"},
)
def groove_wear(ride_out, *, ride_out_new, angle, limit) -> Wear:
    """Wear of a groove wall from how far the belt has sunk in it.

    Parameters
    ----------
    ride_out : length
        How proud the belt's top stands of the rim now (below nought where it has sunk under it), m.
    ride_out_new : length
        How proud a new belt stands in a new groove, m.
    angle : angle
        Whole groove angle, rad.
    limit : length
        Wear of one wall that is allowed, m.

    Returns
    -------
    Wear
        A worn belt sinks too, so measure with a new one.

    Source
    ------
    groove-wear, wear limits; own-derivation, a worn wall lets the belt down by wear over sine
    """
    sunk = np.asarray(ride_out_new) - np.asarray(ride_out)
    wall = sunk * np.sin(0.5 * np.asarray(angle))
    return Wear(sunk, wall, wall > np.asarray(limit))
