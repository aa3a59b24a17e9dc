"""Height over the ground of a telescoping shaft's second joint, as the attachment moves.

Lengths in m, angles in rad; the ground is level and the driving shaft stands level over it.
"""

from __future__ import annotations

from typing import Any

import numpy as np


def joint_height_si(
    lift: Any, *, axis: Any, hinge_off: Any, joint_along: Any, joint_square: Any, joint_aside: Any, level: bool
) -> Any:
    """Return the height of joint 2 over the ground when the attachment has turned about its hinge.

    Parameters
    ----------
    lift : float or array
        Angle of the attachment's shaft against the driving shaft, about the hinge (rad).
    axis : float
        Height of joint 1 and of the driving shaft (m).
    hinge_off, joint_along, joint_square, joint_aside : float
        As for the stance of the shaft (m).
    level : bool
        Whether the hinge is level; about an upright one the joint keeps its height.

    Returns
    -------
    float or array
        Height (m), below 0 under the ground.

    Source
    ------
    own-derivation, the turn of one point about the hinge line
    """
    if not level:
        return axis + joint_aside + np.zeros_like(np.asarray(lift, float))
    return axis + hinge_off + joint_along * np.sin(lift) - joint_square * np.cos(lift)


__all__ = ["joint_height_si"]
