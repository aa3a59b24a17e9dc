"""A turning shaft as a beam: reactions, bending, slope and twist.

A stepped shaft rests on two or more bearings and carries loads along its
length and on its overhangs, in two planes at once (x sideways, y up). The
four lines of a beam (shear, moment, slope, deflection) are summed exactly from
segment to segment; the unknown reactions follow from the deflection being zero
at every bearing, so the same sum serves two bearings or five.

Positive forces point along +x and +y; a reaction is the force of the bearing
on the shaft, and the bearing carries its opposite.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from jackshaft.units import GRAVITY, OutOfRange

STEEL_E = 207e9  # Pa, shigley, physical constants of carbon steel (from memory)
STEEL_G = 79.3e9  # Pa, same source
STEEL_DENSITY = 7850.0  # kg/m3
SAME = 1e-6  # m; places closer than this are one place


class Problem(NamedTuple):
    """What is wrong with a shaft as described, and what to change."""

    reason: str
    cure: str


class ShaftError(OutOfRange):
    """A shaft that cannot be worked out; `problems` lists every reason with its cure."""

    def __init__(self, problems: Sequence[Problem]):
        self.problems = tuple(problems)
        super().__init__(" ".join(f"{p.reason}: {p.cure}." for p in self.problems))


class Step(NamedTuple):
    """A length of shaft with one diameter: where it begins and ends along the shaft, its outside diameter and bore, m.

    The bore of a solid bar is 0.
    """

    start: float
    end: float
    diameter: float
    bore: float = 0.0


class Support(NamedTuple):
    """A bearing as the shaft meets it: a point, at its centre along the shaft (m), that cannot move sideways.

    ``located`` is true where it holds the shaft endways; a floating bearing cannot.
    """

    name: str
    at: float
    located: bool = False


class Load(NamedTuple):
    """What acts on the shaft at one place along it, m.

    ``x`` and ``y`` are the force sideways and upwards, N (weight and a downward pull are negative y); ``axial`` the
    endways force towards the far end, N; ``couple_x`` and ``couple_y`` the jump of the bending moment in each plane,
    N·m (an axial force at a radius, a joint at an angle); ``torque`` what is put into the shaft here, N·m, negative
    where it is taken out.
    """

    name: str
    at: float
    x: float = 0.0
    y: float = 0.0
    axial: float = 0.0
    couple_x: float = 0.0
    couple_y: float = 0.0
    torque: float = 0.0


class Beam(NamedTuple):
    """The shaft worked out. Rows come in pairs, one for each end of a segment.

    ``supports`` are the bearings in the order given; ``reactions`` (bearings, 2) the force of each on the shaft in x
    and y, ``axial`` (bearings,) its endways force, N. Along the shaft, at the places ``at`` (rows,), m: ``shear``, N,
    ``moment``, N·m, ``slope``, rad, and ``deflection``, m, each (rows, 2) in x and y; ``torque`` carried, N·m,
    ``twist`` against the first end, rad, outside ``diameter`` and ``bore``, m, each (rows,). ``torque_left_over`` is
    the sum of all torques, N·m; not zero means a torque in or out is missing.
    """

    supports: tuple
    reactions: np.ndarray
    axial: np.ndarray
    at: np.ndarray
    shear: np.ndarray
    moment: np.ndarray
    slope: np.ndarray
    deflection: np.ndarray
    torque: np.ndarray
    twist: np.ndarray
    diameter: np.ndarray
    bore: np.ndarray
    torque_left_over: float


class Section(NamedTuple):
    """The beam at one place, with the worse side where a value jumps.

    Resultant bending moment, torque (N·m), shear (N), slope (rad) and movement (m); the smaller outside diameter there
    and its bore (m).
    """

    moment: float
    torque: float
    shear: float
    slope: float
    deflection: float
    diameter: float
    bore: float


def two_bearing_reactions_si(near, far, at, force):
    """Reactions of a shaft on two bearings, over arrays.

    Parameters
    ----------
    near, far : float or ndarray
        Places of the two bearings along the shaft, m.
    at : ndarray (..., loads)
        Places of the loads, m; outside the bearings is an overhang.
    force : ndarray (..., loads)
        The loads in one plane, N.

    Returns
    -------
    near_reaction, far_reaction : ndarray (...)
        What each bearing carries, N, positive along the loads; a negative value lifts.

    Raises
    ------
    ShaftError
        If the two bearings are on the same spot.

    Source
    ------
    Statics: moments about each bearing.
    """
    near, far = np.asarray(near, float), np.asarray(far, float)
    if np.any(near == far):
        raise ShaftError([_same_spot("the two bearings")])
    force = np.asarray(force, float)
    arm = (np.asarray(at, float) - near[..., None]) / (far - near)[..., None]
    far_reaction = np.sum(force * arm, axis=-1)
    return np.sum(force, axis=-1) - far_reaction, far_reaction


def beam_si(steps, supports, loads, *, elastic_modulus=STEEL_E, shear_modulus=STEEL_G, density=0.0, samples=61):
    """Reactions, shear, moment, slope, deflection and twist of a shaft.

    Parameters
    ----------
    steps : sequence of Step
        The shaft from end to end, without gaps.
    supports : sequence of Support
        Two bearings or more.
    loads : sequence of Load
        Hub loads, weights of pulleys, couples, axial loads, torques.
    elastic_modulus, shear_modulus : float
        Stiffness of the material, Pa.
    density : float
        Of the shaft, kg/m3, for its own weight along -y; 0 leaves it out.
    samples : int
        Extra places along the shaft, for smooth curves.

    Returns
    -------
    Beam
        Every line of the beam and the load of each bearing.

    Raises
    ------
    ShaftError
        Fewer than two bearings, two on one spot, a load or bearing off the
        shaft, a step without diameter, an axial load nothing can hold.

    Source
    ------
    Euler-Bernoulli beam; shear deflection is left out (under 1 % where the span is ten diameters).
    """
    steps, supports, loads = sorted(steps), tuple(supports), tuple(loads)
    _refuse(steps, supports, loads)
    places = [load.at for load in loads] + list(np.linspace(steps[0].start, steps[-1].end, samples))
    x, inertia, polar, outer, inner = _stations(steps, supports, places)
    h = np.diff(x)
    force, couple = np.zeros((2, len(x), 2))
    torque_in = np.zeros(len(x))
    for load in loads:
        i = int(np.argmin(np.abs(x - load.at)))
        force[i] += load.x, load.y
        couple[i] += load.couple_x, load.couple_y
        torque_in[i] += load.torque
    spread = np.zeros((len(h), 2))
    spread[:, 1] = -density * GRAVITY * np.pi / 4 * (outer**2 - inner**2)
    reactions, lines = _lines(x, elastic_modulus * inertia, supports, force=force, couple=couple, spread=spread)
    carried = np.cumsum(torque_in)[:-1]
    twist = np.concatenate([[0.0], np.cumsum(carried * h / (shear_modulus * polar))])
    shear, moment, slope, deflection = lines
    thrust = sum(load.axial for load in loads)
    return Beam(
        supports=supports,
        reactions=reactions,
        axial=np.array([-thrust if s.located else 0.0 for s in supports]),
        at=_pairs(x),
        shear=shear,
        moment=moment,
        slope=slope,
        deflection=deflection,
        torque=np.repeat(carried, 2),
        twist=_pairs(twist),
        diameter=np.repeat(outer, 2),
        bore=np.repeat(inner, 2),
        torque_left_over=float(np.sum(torque_in)),
    )


def section_si(beam, at):
    """Resultants of a worked-out beam at one place.

    Parameters
    ----------
    beam : Beam
        From `beam_si`.
    at : float
        Place along the shaft, m.

    Returns
    -------
    Section
        Interpolated within the segment; the worse side where a line jumps.

    Raises
    ------
    ShaftError
        If the place is not on the shaft.

    Source
    ------
    Geometry of two planes at right angles.
    """
    start, end = beam.at[0::2], beam.at[1::2]
    reach = 1e-9 * (end[-1] - start[0])
    inside = np.flatnonzero((start - reach <= at) & (at <= end + reach))
    if not inside.size:
        raise ShaftError([Problem(f"{at:.4g} m is not on the shaft", "choose a place between its ends")])
    share = (at - start[inside]) / (end - start)[inside]

    def worst(rows):
        size = np.linalg.norm(rows.reshape(len(rows), -1), axis=1)
        return float(np.max(size[2 * inside] * (1 - share) + size[2 * inside + 1] * share))

    thin = inside[np.argmin(beam.diameter[2 * inside])]
    sizes = [worst(line) for line in (beam.moment, beam.torque, beam.shear, beam.slope, beam.deflection)]
    return Section(*sizes, float(beam.diameter[2 * thin]), float(beam.bore[2 * thin]))


def flexibility_si(steps, supports, at, *, elastic_modulus=STEEL_E):
    """Movement at each place for a unit force at each other: what a whirl speed needs.

    Parameters
    ----------
    steps : sequence of Step
        The shaft, without gaps.
    supports : sequence of Support
        Its bearings, taken as rigid; soft mounts make a shaft more flexible.
    at : ndarray (places,)
        Places along the shaft, m.
    elastic_modulus : float
        Pa.

    Returns
    -------
    ndarray (places, places)
        m/N, symmetric.

    Raises
    ------
    ShaftError
        As for `beam_si`.

    Source
    ------
    Maxwell's reciprocal movements.
    """
    steps, supports, at = sorted(steps), tuple(supports), np.asarray(at, float)
    _refuse(steps, supports, [Load("place", float(place)) for place in at])
    x, inertia, _, _, _ = _stations(steps, supports, at)
    index = np.argmin(np.abs(x[:, None] - at), axis=0)
    force = np.zeros((len(x), len(at)))
    force[index, np.arange(len(at))] = 1.0
    none = np.zeros_like(force)
    _, lines = _lines(x, elastic_modulus * inertia, supports, force=force, couple=none, spread=none[:-1])
    moved = np.concatenate([lines[3][0::2], lines[3][-1:]])[index]
    return (moved + moved.T) / 2


def _same_spot(who):
    return Problem(f"{who} are on the same spot", "give each its own place along the shaft")


def _refuse(steps, supports, loads):
    """Raise with every reason why this shaft cannot be worked out."""
    bad = [] if steps else [Problem("the shaft has no length", "give at least one step with its diameter")]
    for a, b, diameter, bore in steps:
        if not diameter > bore >= 0 or not b > a:
            reason = f"the step from {a:.4g} to {b:.4g} m has no section (diameter {diameter:.4g} m)"
            bad.append(Problem(reason, "give it a length and a diameter larger than its bore"))
    for left, right in zip(steps[:-1], steps[1:], strict=True):
        if abs(left.end - right.start) > SAME:
            reason = f"the steps do not meet at {left.end:.4g} m"
            bad.append(Problem(reason, "let each step begin where the last ends"))
    if len(supports) < 2:
        bad.append(Problem("a shaft needs two bearings", "give the place of the second bearing"))
    order = sorted(supports, key=lambda s: s.at)
    for a, b in zip(order[:-1], order[1:], strict=True):
        if b.at - a.at < SAME:
            bad.append(_same_spot(f"bearings {a.name} and {b.name}"))
    for kind, items in (("bearing", order), ("load", loads)):
        for item in items:
            if steps and not steps[0].start - SAME <= item.at <= steps[-1].end + SAME:
                reason = f"{kind} {item.name} at {item.at:.4g} m is off the shaft"
                bad.append(Problem(reason, "move it, or make the shaft longer"))
    if any(load.axial for load in loads) and not any(s.located for s in order):
        bad.append(Problem("an axial load acts, but no bearing holds the shaft endways", "locate one bearing endways"))
    if sum(s.located for s in order) > 1:
        cure = "let all but one float, or they jam as the shaft warms and grows"
        bad.append(Problem("more than one bearing holds the shaft endways", cure))
    if bad:
        raise ShaftError(bad)


def _stations(steps, supports, extra):
    """Cut the shaft wherever something happens; give the section of each segment."""
    x = np.unique(np.concatenate([[s[0] for s in steps], [steps[-1].end], [s.at for s in supports], extra]))
    x = x[np.concatenate([[True], np.diff(x) > 1e-9])]
    which = np.searchsorted([s.end for s in steps[:-1]], (x[1:] + x[:-1]) / 2)
    outer = np.array([s.diameter for s in steps])[which]
    inner = np.array([s.bore for s in steps])[which]
    inertia = np.pi / 64 * (outer**4 - inner**4)
    return x, inertia, 2 * inertia, outer, inner


def _pairs(values):
    """Start and end value of each segment, row after row."""
    return np.column_stack([values[:-1], values[1:]]).reshape(-1)


def _lines(x, stiffness, supports, force, couple, spread):
    """Sum the four lines of the beam for every column of loads and solve for the reactions.

    Columns are the unknowns (movement and slope of the first end, one reaction a
    bearing), each as a unit case, followed by the given load cases.
    """
    count, cases = len(supports), force.shape[1]
    seat = [int(np.argmin(np.abs(x - s.at))) for s in supports]
    length, ref = x[-1] - x[0], float(np.mean(stiffness))
    move, tilt = length**3 / ref, length**2 / ref  # scales that keep the equations well conditioned
    wide = 2 + count + cases
    p, c, q = np.zeros((len(x), wide)), np.zeros((len(x), wide)), np.zeros((len(x) - 1, wide))
    p[seat, 2 + np.arange(count)] = 1.0
    p[:, 2 + count :], c[:, 2 + count :], q[:, 2 + count :] = force, couple, spread
    h, ei = np.diff(x)[:, None], stiffness[:, None]
    first = np.zeros((2, 1, wide))
    first[0, 0, 0], first[1, 0, 1] = move, tilt
    shear = np.cumsum(p, axis=0) + _before(q * h)
    v = shear[:-1]
    moment = np.cumsum(c, axis=0) + _before(v * h + q * h**2 / 2)
    m = moment[:-1]
    slope = first[1] + _before((m * h + v * h**2 / 2 + q * h**3 / 6) / ei)
    deflection = first[0] + _before(slope[:-1] * h + (m * h**2 / 2 + v * h**3 / 6 + q * h**4 / 24) / ei)
    rows = np.vstack([deflection[seat] / move, shear[-1:], moment[-1:] / length])
    unknown = np.linalg.solve(rows[:, : 2 + count], -rows[:, 2 + count :])
    mix = np.vstack([unknown, np.eye(cases)])
    ends = [
        np.stack([v, v + q * h], 1),
        np.stack([m, m + v * h + q * h**2 / 2], 1),
        np.stack([slope[:-1], slope[1:]], 1),
        np.stack([deflection[:-1], deflection[1:]], 1),
    ]
    return unknown[2:], [line.reshape(-1, wide) @ mix for line in ends]


def _before(increments):
    """Running sum with a zero row in front."""
    return np.concatenate([np.zeros((1, increments.shape[1])), np.cumsum(increments, axis=0)])
