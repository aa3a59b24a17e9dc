"""The chain of what gives first: every link's torque carried to one shaft."""

from typing import NamedTuple

import numpy as np

from jackshaft.units import OutOfRange, unit_checked


class Order(NamedTuple):
    """Links from the weakest to the strongest, and the margin of each over the one before.

    ``rank`` holds indices; ``share`` is each link's torque over the weakest one's; ``sure`` is True
    where the likely weakest stays the weakest over every band.
    """

    rank: np.ndarray
    share: np.ndarray
    sure: bool


@unit_checked(torque="torque", over="number", passed="number", returns="torque")
def carried_over(torque, *, over, passed=1.0):
    """Carry a torque from a shaft down the drive to the shaft that all are compared on.

    Parameters
    ----------
    torque : torque
        Torque at the link's own shaft, N m; any shape.
    over : number
        Turns of the reference shaft for one turn of the link's shaft.
    passed : number
        Share of the power that reaches the link's shaft from the reference shaft.

    Returns
    -------
    torque
        The torque at the reference shaft that loads the link so far, N m.

    Source
    ------
    own-derivation, power in times the share passed on is power out
    """
    return np.asarray(torque) / (np.asarray(over) * np.asarray(passed))


def order_si(low, likely, high):
    """Order links by the torque at which they give.

    Parameters
    ----------
    low, likely, high : array, shape (n,)
        Torque of each link on one shaft, N m: the least it may give at, the likely, the most.

    Returns
    -------
    Order

    Source
    ------
    own-derivation, by definition
    """
    low, likely, high = (np.asarray(a, dtype=float) for a in (low, likely, high))
    # Links that differ by rounding alone stay in the order of the torque's way.
    rank = np.argsort([float(f"{value:.9g}") for value in likely], kind="stable")
    first = rank[0]
    others = np.delete(low, first)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = likely / likely[first]  # without limit where the weakest gives at nothing
    return Order(rank, share, bool(len(others) == 0 or high[first] < np.min(others)))


@unit_checked(slip="torque", load="torque", after="number", returns="torque")
def while_slipping(slip, *, load, after):
    """Torque that a place in the drive carries while the clutch slips and the work is run up.

    Parameters
    ----------
    slip : torque
        What the clutch pulls while it slips, N m; any shape. All torques on one shaft.
    load : torque
        What the work takes meanwhile, N m.
    after : number
        Share of all the inertia that the clutch turns that lies after the place, 0 to 1.

    Returns
    -------
    torque
        The load and that share of what is left to speed things up, N m; all that the clutch pulls where that does not
        move the load.

    Raises
    ------
    ValueError
        If the share is not between 0 and 1.

    Source
    ------
    own-derivation, all speeds up in step: what is left over the load is shared by inertia
    """
    slip, load, after = (np.asarray(a, dtype=float) for a in (slip, load, after))
    if np.any(after < 0.0) or np.any(after > 1.0):
        raise OutOfRange("the share of the inertia after a place is between 0 and 1")
    return np.where(slip > load, load + (slip - load) * after, slip)
