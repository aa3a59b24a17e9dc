"""Roller chains: sprockets, length in pitches and the centres that follow, swing of speed, rating, sag and wear.

Lengths are SI; a length of chain is counted in pitches. Every function takes arrays that broadcast.
"""

from typing import NamedTuple

import numpy as np

from jackshaft.units import HORSEPOWER, INCH, RPM, OutOfRange, unit_checked


@unit_checked(pitch="length", teeth="number", returns="length")
def sprocket_pitch_diameter(pitch, *, teeth):
    """Pitch diameter of a sprocket: the circle on which the chain's pins sit.

    Parameters
    ----------
    pitch : length
        Pitch of the chain, m.
    teeth : number

    Returns
    -------
    length

    Raises
    ------
    OutOfRange
        With fewer than 4 teeth.

    Source
    ------
    sprocket-sheet p. 12; mott4 ex. 7-3
    """
    teeth = np.asarray(teeth, float)
    if np.any(teeth < 4):
        raise OutOfRange("a sprocket has 4 teeth at least")
    return np.asarray(pitch) / np.sin(np.pi / teeth)


class SprocketSizes(NamedTuple):
    """Diameters of a sprocket, m: pitch, at the roots, over the teeth (least, greatest), over two pins of the roller's
    size laid in opposite gaps (in the nearest pair where the teeth are odd)."""

    pitch: np.ndarray
    root: np.ndarray
    outside_least: np.ndarray
    outside_most: np.ndarray
    over_pins: np.ndarray


@unit_checked(
    pitch="length",
    roller="length",
    teeth="number",
    returns={k: "length" for k in ("pitch", "root", "outside_least", "outside_most", "over_pins")},
)
def sprocket_sizes(pitch, *, roller, teeth) -> SprocketSizes:
    """Diameters by which a sprocket is turned, cut, and told from another.

    Parameters
    ----------
    pitch, roller : length
        Pitch of the chain and diameter of its rollers, m.
    teeth : number

    Returns
    -------
    SprocketSizes

    Raises
    ------
    OutOfRange
        With fewer than 4 teeth.

    Source
    ------
    sprocket-sheet p. 8 and 9 (forms of ISO 606)
    """
    d = sprocket_pitch_diameter.si(pitch, teeth=teeth)
    teeth = np.asarray(teeth, float)
    across = np.where(teeth % 2 == 0, d, d * np.cos(np.pi / (2.0 * teeth)))
    return SprocketSizes(
        d, d - roller, d + pitch * (1.0 - 1.6 / teeth) - roller, d + 1.25 * pitch - roller, across + roller
    )


class ChainPath(NamedTuple):
    """Path of a chain: length in pitches, wraps of the smaller and the larger sprocket, rad, and free strand, m."""

    pitches: np.ndarray
    wrap_small: np.ndarray
    wrap_large: np.ndarray
    strand: np.ndarray


@unit_checked(
    centres="length",
    pitch="length",
    small="number",
    large="number",
    returns={"pitches": "number", "wrap_small": "angle", "wrap_large": "angle", "strand": "length"},
)
def chain_path(centres, *, pitch, small, large) -> ChainPath:
    """Path of a chain over two sprockets, on their pitch circles.

    Parameters
    ----------
    centres, pitch : length
        Distance of the sprockets' centres, and pitch, m.
    small, large : number
        Teeth.

    Returns
    -------
    ChainPath

    Raises
    ------
    OutOfRange
        Where the centres are no further apart than half the difference of the pitch diameters.

    Source
    ------
    own-derivation: N teeth take up N pitches a turn, the straight strands are tangents of the pitch circles.
    shigley17-solutions and mott4 ex. 7-3 print the series that comes near to it.
    """
    d = [sprocket_pitch_diameter.si(pitch, teeth=n) for n in (small, large)]
    lean_sine = (d[1] - d[0]) / (2.0 * np.asarray(centres, float))
    if np.any(np.abs(lean_sine) >= 1.0):
        raise OutOfRange("the sprockets stand inside each other at these centres")
    lean = np.arcsin(lean_sine)
    wraps = np.pi - 2.0 * lean, np.pi + 2.0 * lean
    strand = centres * np.cos(lean)
    turned = (np.asarray(small) * wraps[0] + np.asarray(large) * wraps[1]) / (2.0 * np.pi)
    return ChainPath(2.0 * strand / pitch + turned, *wraps, strand)


@unit_checked(pitches="number", pitch="length", small="number", large="number", returns="length")
def chain_centres(pitches, *, pitch, small, large):
    """Centres at which a chain of so many pitches is just straight on both sides.

    Parameters
    ----------
    pitches : number
        Length of the chain in pitches.
    pitch : length
    small, large : number
        Teeth.

    Returns
    -------
    length

    Raises
    ------
    OutOfRange
        Where the chain does not reach round both sprockets.

    Source
    ------
    own-derivation: the length of :func:`chain_path` grows with the centres by 2 cos(lean) / pitch; Newton's steps from
    the series of mott4 ex. 7-3
    """
    pitches, small, large = (np.asarray(v, float) for v in (pitches, small, large))
    d = [sprocket_pitch_diameter.si(pitch, teeth=n) for n in (small, large)]
    least = 0.5 * np.abs(d[1] - d[0])
    if np.any(pitches <= np.maximum(small, large) * (1.0 + 1e-9)):
        raise OutOfRange("the chain does not reach round both sprockets")
    free = pitches - 0.5 * (small + large)
    inside = free**2 - 8.0 * ((large - small) / (2.0 * np.pi)) ** 2
    c = np.maximum(0.25 * pitch * (free + np.sqrt(np.maximum(inside, 0.0))), least * (1.0 + 1e-6))
    for _ in range(60):
        path = chain_path.si(c, pitch=pitch, small=small, large=large)
        step = (pitches - path.pitches) * pitch / (2.0 * path.strand / c)
        # never past the place where the circles stand inside each other
        c = np.maximum(c + step, 0.5 * (c + least))
        if np.all(np.abs(step) <= 1e-13 * c):
            break
    return c


@unit_checked(teeth="number", returns="number")
def speed_swing(teeth):
    """Swing of a chain's speed over one tooth: highest less lowest, over the mean.

    Parameters
    ----------
    teeth : number

    Returns
    -------
    number

    Source
    ------
    shigley eq. 17-31; it follows from a polygon of so many sides that turns evenly
    """
    half = np.pi / np.asarray(teeth, float)
    return half * (1.0 / np.sin(half) - 1.0 / np.tan(half))


class ChainRating(NamedTuple):
    """Rated power of one strand, W: by its link plates, by rollers and bushings, and the lower of the two."""

    plates: np.ndarray
    rollers: np.ndarray
    power: np.ndarray


@unit_checked(
    speed="rotation",
    pitch="length",
    teeth="number",
    k_plate="number",
    k_roller="number",
    returns={"plates": "power", "rollers": "power", "power": "power"},
)
def chain_rating(speed, *, pitch, teeth, k_plate=0.004, k_roller=17.0) -> ChainRating:
    """Rated power of one strand at the small sprocket, for a smooth load, good oil and 15,000 hours.

    Parameters
    ----------
    speed : rotation
        Speed of the small sprocket, rad/s.
    pitch : length
    teeth : number
        Teeth of the small sprocket.
    k_plate, k_roller : number
        Constants of the chain: 0.004 and 17; 0.0022 and 3.4 for number 41; 0.004 and 29 for number 35.

    Returns
    -------
    ChainRating

    Source
    ------
    chain-sheet, capacity formulas; the figures of b29-1-rating to the printed digit
    """
    rpm, inches, teeth = np.asarray(speed) / RPM, np.asarray(pitch) / INCH, np.asarray(teeth, float)
    plates = k_plate * teeth**1.08 * rpm**0.9 * inches ** (3.0 - 0.07 * inches)
    rollers = 1000.0 * k_roller * teeth**1.5 * inches**0.8 / rpm**1.5
    return ChainRating(plates * HORSEPOWER, rollers * HORSEPOWER, np.minimum(plates, rollers) * HORSEPOWER)


@unit_checked(movement="length", strand="length", returns="length")
def slack_in(movement, *, strand):
    """Chain that is longer than a straight strand, from how far its middle moves up plus down by hand.

    Parameters
    ----------
    movement : length
        Whole movement at mid-span, m.
    strand : length
        Free strand, m.

    Returns
    -------
    length

    Source
    ------
    own-derivation: pulled to one side the strand is two straight lines
    """
    half = 0.5 * np.asarray(strand, float)
    return 2.0 * (np.hypot(half, 0.5 * np.asarray(movement)) - half)


@unit_checked(slack="length", strand="length", returns="length")
def movement_of(slack, *, strand):
    """Whole movement at mid-span of a strand that is longer than straight: the other way round of :func:`slack_in`.

    Parameters
    ----------
    slack, strand : length

    Returns
    -------
    length

    Source
    ------
    own-derivation
    """
    half = 0.5 * np.asarray(strand, float)
    return 2.0 * np.sqrt((half + 0.5 * np.maximum(slack, 0.0)) ** 2 - half**2)


__all__ = [
    "ChainPath",
    "ChainRating",
    "SprocketSizes",
    "chain_centres",
    "chain_path",
    "chain_rating",
    "movement_of",
    "slack_in",
    "speed_swing",
    "sprocket_pitch_diameter",
    "sprocket_sizes",
]
