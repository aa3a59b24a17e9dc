"""Telescoping shaft with two universal joints: where its joints stand through the travel, and how evenly it turns.

The driving shaft lies along z, joint 1 in the origin; the attachment turns about a hinge line that is square to z.
"""

from typing import NamedTuple

import numpy as np

from jackshaft.units import OutOfRange, unit_checked


class Stance(NamedTuple):
    """Where the shaft stands, arrays of one shape: joint to joint (m), the angles of both joints (rad), and the turn
    from the plane of the first bend to that of the second, about the middle shaft (rad, -pi to pi)."""

    distance: np.ndarray
    first: np.ndarray
    second: np.ndarray
    planes: np.ndarray


@unit_checked(
    lift="angle",
    hinge_off="length",
    hinge_away="length",
    joint_along="length",
    joint_square="length",
    joint_aside="length",
    returns={"distance": "length", "first": "angle", "second": "angle", "planes": "angle"},
)
def stance(lift, *, hinge_off, hinge_away, joint_along, joint_square=0.0, joint_aside=0.0) -> Stance:
    """Where both joints stand when the attachment has turned about its hinge.

    Parameters
    ----------
    lift : angle
        Angle of the attachment's shaft against the driving shaft, about the hinge, rad; any shape.
    hinge_off, hinge_away : length
        Hinge line from joint 1: off the driving shaft's axis, and along it, m.
    joint_along, joint_square : length
        Joint 2 from the hinge line: along the attachment's shaft, and square to it on the side away from
        ``hinge_off``, m.
    joint_aside : length
        Joint 2 off the plane in which the attachment turns, m.

    Returns
    -------
    Stance

    Raises
    ------
    OutOfRange
        Where both joints fall together.

    Source
    ------
    own-derivation, unit vectors: the angle of a joint is that between its two shafts, the bends' planes have the
    normals u1 x u2 and u2 x u3
    """
    lift = np.asarray(lift, float)
    sine, cosine = np.sin(lift), np.cos(lift)
    zero = np.zeros_like(lift)
    # axes: aside, off, away
    joint = np.stack(
        [
            joint_aside + zero,
            hinge_off + joint_along * sine - joint_square * cosine,
            hinge_away + joint_along * cosine + joint_square * sine,
        ],
        -1,
    )
    distance = np.linalg.norm(joint, axis=-1)
    if np.any(distance <= 0.0):
        raise OutOfRange("both joints of the telescoping shaft stand in one place")
    start = np.broadcast_to([0.0, 0.0, 1.0], joint.shape)
    middle, end = joint / distance[..., None], np.stack([zero, sine, cosine], -1)
    one, two = np.cross(start, middle), np.cross(middle, end)
    first = np.arctan2(np.linalg.norm(one, axis=-1), np.sum(start * middle, -1))
    second = np.arctan2(np.linalg.norm(two, axis=-1), np.sum(middle * end, -1))
    planes = np.arctan2(np.sum(middle * np.cross(one, two), -1), np.sum(one * two, -1))
    return Stance(distance, first, second, planes)


class Swing(NamedTuple):
    """Speed of the driven shaft over that of the driving one: least and most over a turn."""

    least: np.ndarray
    most: np.ndarray


def turned_si(first, second, planes, phase, turn):
    """Speed of the driven over the driving shaft at each place of a turn.

    Parameters
    ----------
    first, second : array
        Angles of the two joints, rad.
    planes : array
        Turn between the planes of both bends about the middle shaft, rad.
    phase : array
        Turn of the middle shaft's yoke at joint 2 against its yoke at joint 1, the same way round, rad.
    turn : array
        Turn of the driving yoke from the plane of the first bend, rad.

    Returns
    -------
    array
        Of the shape to which all broadcast.

    Source
    ------
    joint-maker-page 2.1, joint by joint; own-derivation of what the second is handed by the first
    """
    one = np.cos(first) / (1.0 - np.sin(first) ** 2 * np.cos(turn) ** 2)
    # the middle yoke stands square to the bend where the driving one lies in it
    passed = np.arctan2(np.sin(turn), np.cos(turn) * np.cos(first)) + phase - planes
    return one * np.cos(second) / (1.0 - np.sin(second) ** 2 * np.sin(passed) ** 2)


@unit_checked(
    first="angle", second="angle", planes="angle", phase="angle", returns={"least": "number", "most": "number"}
)
def speed_of_joints(first, *, second, planes=0.0, phase=0.0, steps=360) -> Swing:
    """How the driven shaft's speed swings over a turn of an evenly driven telescoping shaft.

    Parameters
    ----------
    first, second : angle
        Angles of the two joints, rad; any shape.
    planes : angle
        Turn between the planes of both bends about the middle shaft, rad.
    phase : angle
        Turn of the middle shaft's yoke at joint 2 against that at joint 1, rad; 0 in line.
    steps : int
        Places of half a turn that are looked at.

    Returns
    -------
    Swing

    Source
    ------
    joint-maker-page 2.1; a pair of equal angles in one plane with the yokes in line turns evenly
    """
    args = np.broadcast_arrays(*(np.asarray(v, float)[..., None] for v in (first, second, planes, phase)))
    speed = turned_si(*args, np.linspace(0.0, np.pi, steps, endpoint=False))
    return Swing(speed.min(-1), speed.max(-1))


@unit_checked(first="angle", second="angle", planes="angle", phase="angle", returns="angle")
def left_angle(first, *, second, planes=0.0, phase=0.0):
    """Angle of the one joint that would leave the driven shaft turning as unevenly as both do.

    Parameters
    ----------
    first, second, planes, phase : angle
        As for :func:`speed_of_joints`.

    Returns
    -------
    angle

    Source
    ------
    own-derivation: both bends as waves of twice the turn, b1^2 and b2^2, that stand 2 (phase - planes) apart; with
    yokes in line sae-ae7
    """
    wave = np.asarray(first) ** 2 - np.asarray(second) ** 2 * np.exp(2j * (np.asarray(phase) - planes))
    return np.sqrt(np.abs(wave))


class JointLoad(NamedTuple):
    """Most that a universal joint makes of a steady torque twice a turn: ``torque`` in the shaft that it drives, and
    ``bending`` of the driving shaft, N*m."""

    torque: np.ndarray
    bending: np.ndarray


@unit_checked(torque="torque", angle="angle", returns={"torque": "torque", "bending": "torque"})
def joint_load(torque, *, angle) -> JointLoad:
    """Most torque and bending that one universal joint makes of a steady torque.

    Parameters
    ----------
    torque : torque
        Steady torque of the driving shaft, N*m; any shape.
    angle : angle
        Angle of the joint, rad; of a shape that goes with it.

    Returns
    -------
    JointLoad

    Raises
    ------
    OutOfRange
        Where the joint bends by a right angle or more.

    Source
    ------
    joint-maker-page 2.1 for the speed; own-derivation: no power is lost, so the torque goes against the speed, and the
    cross hands on no moment about its own normal
    """
    angle = np.asarray(angle, float)
    if np.any(np.abs(angle) >= 0.5 * np.pi):
        raise OutOfRange("a universal joint bends by less than a right angle")
    return JointLoad(torque / np.cos(angle), torque * np.abs(np.tan(angle)))


class PairLoad(NamedTuple):
    """Most that two universal joints make of a steady torque over a turn, N*m: ``first`` and ``second`` on their
    crosses, ``torque`` in the driven shaft and ``bending`` of it."""

    first: np.ndarray
    second: np.ndarray
    torque: np.ndarray
    bending: np.ndarray


@unit_checked(
    torque="torque",
    first="angle",
    second="angle",
    planes="angle",
    phase="angle",
    returns={"first": "torque", "second": "torque", "torque": "torque", "bending": "torque"},
)
def pair_load(torque, *, first, second, planes=0.0, phase=None, steps=360) -> PairLoad:
    """Most torque on both joints of an evenly loaded telescoping shaft, and on the shaft that it drives.

    Parameters
    ----------
    torque : torque
        Steady torque of the driving shaft, N*m; any shape.
    first, second, planes : angle
        As for :func:`speed_of_joints`.
    phase : angle, optional
        Turn of the middle shaft's yokes, rad; as bad as they may stand if left out, whatever the planes.
    steps : int
        Places of half a turn that are looked at.

    Returns
    -------
    PairLoad

    Raises
    ------
    OutOfRange
        Where a joint bends by a right angle or more.

    Source
    ------
    joint-maker-page 2.1 for the speeds; own-derivation: no power is lost, the middle shaft's own swing is left out, and
    a cross hands on a moment along its own normal only
    """
    torque, first, second = (np.asarray(v, float) for v in (torque, first, second))
    if np.any(np.abs(first) >= 0.5 * np.pi) or np.any(np.abs(second) >= 0.5 * np.pi):
        raise OutOfRange("a universal joint bends by less than a right angle")
    most = torque / np.cos(first)
    if phase is None:
        # the middle shaft's highest torque meets joint 2 where that raises it most, or where it bends the shaft most
        swing = np.minimum(np.sin(second) ** 2, 0.5)
        loads = (most / np.cos(second),) * 2 + (most / np.cos(second) * np.sqrt(swing * (1.0 - swing)),)
        return PairLoad(most, *loads)
    turn = np.linspace(0.0, np.pi, steps, endpoint=False)
    torque, one, two, planes, phase = np.broadcast_arrays(
        *(np.asarray(v, float)[..., None] for v in (torque, first, second, planes, phase))
    )
    middle = torque * (1.0 - np.sin(one) ** 2 * np.cos(turn) ** 2) / np.cos(one)
    passed = np.arctan2(np.sin(turn), np.cos(turn) * np.cos(one)) + phase - planes
    lean = np.sin(two) ** 2 * np.sin(passed) ** 2  # of the cross of joint 2 from the driven shaft, its sine squared
    loads = (middle * root / np.cos(two) for root in (np.sqrt(1.0 - lean), 1.0 - lean, np.sqrt(lean * (1.0 - lean))))
    return PairLoad(most + 0.0 * planes[..., 0], *(load.max(-1) for load in loads))


@unit_checked(length="length", outside="length", inside="length", returns="rotation")
def tube_whirl(length, *, outside, inside=0.0):
    """First whirl speed of a steel tube between two joints.

    Parameters
    ----------
    length : length
        Joint to joint, m.
    outside, inside : length
        Diameters of the tube, m.

    Returns
    -------
    rotation

    Source
    ------
    own-derivation, Euler's beam with both ends free to tilt: (pi/L)^2 sqrt(E I / m); steel of 206 GPa, 7850 kg/m3
    """
    across = np.sqrt(206e9 * (np.asarray(outside) ** 2 + np.asarray(inside) ** 2) / (16.0 * 7850.0))
    return (np.pi / np.asarray(length)) ** 2 * across


__all__ = [
    "JointLoad",
    "PairLoad",
    "Stance",
    "Swing",
    "joint_load",
    "left_angle",
    "pair_load",
    "speed_of_joints",
    "stance",
    "tube_whirl",
    "turned_si",
]
