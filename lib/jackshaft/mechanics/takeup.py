"""Where a tensioner must stand for a belt to fit: arm, slot or moving shaft, every position.

The loop comes in as a function of where the moving pulley stands (see ``path.with_pulley_moved_si``); a
track says where the pulley can go: an arm by its angle, a slot or a sliding shaft by its travel.
"""

from typing import NamedTuple

import numpy as np

from jackshaft.units import OutOfRange


class Arm(NamedTuple):
    """A pulley on an arm: pivot and length in m, angles in rad from the x axis, low to high."""

    pivot_x: float
    pivot_y: float
    length: float
    low: float = -np.pi
    high: float = np.pi


class Slot(NamedTuple):
    """A pulley or shaft that moves along a straight line between two ends, m."""

    x0: float
    y0: float
    x1: float
    y1: float


class Positions(NamedTuple):
    """Every position that makes a wanted length; one row a position.

    ``target`` is the row of the wanted length, ``travel`` the angle (rad) or the travel (m), ``rate`` how
    the length grows with it, ``stretch_left`` how much longer the loop can still be made before the end
    of the track, ``slack_to_fit`` how much shorter, ``path`` the loop there. ``shortest`` and ``longest``
    are the lengths that the track can reach at all (NaN if none).
    """

    target: np.ndarray
    travel: np.ndarray
    x: np.ndarray
    y: np.ndarray
    rate: np.ndarray
    stretch_left: np.ndarray
    slack_to_fit: np.ndarray
    path: tuple
    shortest: float
    longest: float


class TakeUp(NamedTuple):
    """What a small move of a pulley does: m of belt, and rad of wrap on each pulley, per m of travel."""

    length: np.ndarray
    wrap: np.ndarray


def ends_of_si(track):
    """Give the ends of a track: angles in rad for an arm, travel in m for a slot.

    Parameters
    ----------
    track : Arm or Slot
        The track.

    Returns
    -------
    tuple of float

    Source
    ------
    own-derivation, by definition
    """
    if isinstance(track, Arm):
        return track.low, track.high
    return 0.0, float(np.hypot(track.x1 - track.x0, track.y1 - track.y0))


def point_on_si(track, travel):
    """Give the place on a track, and how it moves with the travel.

    Parameters
    ----------
    track : Arm or Slot
        The track.
    travel : array, shape (...)
        Angle in rad for an arm, m from the first end for a slot.

    Returns
    -------
    tuple of four arrays
        x, y in m, and their rates along the track.

    Source
    ------
    own-derivation, circle and straight line
    """
    travel = np.asarray(travel, dtype=float)
    if isinstance(track, Arm):
        cos, sin = track.length * np.cos(travel), track.length * np.sin(travel)
        return track.pivot_x + cos, track.pivot_y + sin, -sin, cos
    full = np.hypot(track.x1 - track.x0, track.y1 - track.y0)
    if full == 0.0:
        raise OutOfRange("the two ends of the slot are the same point")
    ex, ey = (track.x1 - track.x0) / full, (track.y1 - track.y0) / full
    return track.x0 + ex * travel, track.y0 + ey * travel, np.full_like(travel, ex), np.full_like(travel, ey)


def _edge(works, good, bad, rounds=7, cuts=64):
    """Last workable travel between one that works and one that does not; many cuts at once cost no more than one."""
    share = np.arange(1, cuts + 1) / (cuts + 1)
    for _ in range(rounds):
        t = good + (bad - good) * share
        fails = np.nonzero(~works(t))[0]
        if not len(fails):
            good = t[-1]
            continue
        first = fails[0]
        good, bad = (t[first - 1] if first else good), t[first]
    return good


def _pieces(measure, nodes):
    """Cut the track into pieces on which the belt goes round and its length only grows or only falls."""
    length, rate, ok = measure(nodes)
    pieces, now = [], []

    def close():
        if len(now) > 1:
            pieces.append(np.array(now))
        now.clear()

    def works(t):
        return measure(t)[2]

    for k, t in enumerate(nodes):
        if ok[k] and k and not ok[k - 1]:
            now.append(_edge(works, t, nodes[k - 1]))
        if ok[k]:
            if now and k and ok[k - 1] and rate[k] * rate[k - 1] < 0.0:
                turn = _edge(lambda s, wanted=rate[k - 1]: measure(s)[1] * wanted > 0.0, nodes[k - 1], t)
                now.append(turn)
                close()
                now.append(turn)
            now.append(t)
        elif k and ok[k - 1]:
            now.append(_edge(works, nodes[k - 1], t))
            close()
    close()
    return pieces


def positions_si(loop, track, targets, *, nodes=361):
    """Find every position on a track at which the loop has a wanted length.

    Parameters
    ----------
    loop : callable
        ``loop(px, py)`` gives ``(path, slope_x, slope_y)`` with the moving pulley at px, py (m).
    track : Arm or Slot
        Where the pulley can go.
    targets : array, shape (k,)
        Wanted lengths on the line of the path, m.
    nodes : int
        Places along the track looked at first; turning points and ends are then found exactly.

    Returns
    -------
    Positions
        Sorted by wanted length, then travel.

    Source
    ------
    own-derivation, root search on each monotone piece of the length along the track
    """
    targets = np.atleast_1d(np.asarray(targets, dtype=float))

    def measure(t):
        px, py, ex, ey = point_on_si(track, t)
        found, gx, gy = loop(px, py)
        return found.length, gx * ex + gy * ey, found.reason == 0

    pieces = _pieces(measure, np.linspace(*ends_of_si(track), nodes))
    ends, found_in, brackets = [], [], []
    for piece in pieces:
        length = measure(piece)[0]
        first, last = length[0], length[-1]
        least, most = min(first, last), max(first, last)
        ends += [least, most]
        which = np.nonzero((targets >= least) & (targets <= most))[0]
        order = piece if last > first else piece[::-1]
        rank = np.clip(np.searchsorted(np.sort(length), targets[which]), 1, len(piece) - 1)
        found_in += [(k, most - targets[k], targets[k] - least) for k in which]
        brackets += list(zip(order[rank - 1], order[rank], strict=True))
    rows = []
    if found_in:
        # heavy to load, and few need it
        from scipy.optimize.elementwise import find_root

        wanted = targets[[k for k, _, _ in found_in]]
        # the roots of every piece in one search: a step costs the same for one root as for all
        root = find_root(
            lambda t, wanted: measure(t)[0] - wanted,
            tuple(np.array(brackets).T),
            args=(wanted,),
            tolerances={"xatol": 1e-12},
        ).x
        rows = [(k, t, left, slack) for (k, left, slack), t in zip(found_in, root, strict=True)]
    rows.sort(key=lambda row: row[:2])
    step = 1e-9 * abs(np.subtract(*ends_of_si(track)))
    rows = [row for k, row in enumerate(rows) if not k or row[0] != rows[k - 1][0] or row[1] - rows[k - 1][1] > step]
    target, travel, left, slack = (
        (np.array(c) for c in zip(*rows, strict=True)) if rows else (np.zeros(0) for _ in range(4))
    )
    px, py, ex, ey = point_on_si(track, travel)
    found, gx, gy = loop(px, py)
    return Positions(
        target=target.astype(int),
        travel=travel,
        x=px,
        y=py,
        rate=gx * ex + gy * ey,
        stretch_left=left,
        slack_to_fit=slack,
        path=found,
        shortest=float(np.min(ends)) if ends else np.nan,
        longest=float(np.max(ends)) if ends else np.nan,
    )


def take_up_rate_si(loop, px, py, along_x, along_y, *, step=1e-6):
    """Give belt length gained and wrap gained on each pulley per metre of travel of one pulley.

    Parameters
    ----------
    loop : callable
        As in :func:`positions_si`.
    px, py : array, shape (...)
        Where the pulley stands, m.
    along_x, along_y : array, shape (...)
        Direction of travel (made of unit length here).
    step : float
        Half step of the difference taken for the wraps, m.

    Returns
    -------
    TakeUp
        m/m, shape (...); rad/m, shape (..., n).

    Source
    ------
    own-derivation, slope of the path; central difference for the wraps
    """
    size = np.hypot(along_x, along_y)
    ex, ey = np.asarray(along_x) / size, np.asarray(along_y) / size
    _, gx, gy = loop(px, py)
    ahead = loop(px + step * ex, py + step * ey)[0].wrap
    behind = loop(px - step * ex, py - step * ey)[0].wrap
    return TakeUp(gx * ex + gy * ey, (ahead - behind) / (2.0 * step))
