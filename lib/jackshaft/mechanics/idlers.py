"""Where an idler would do most good: length taken up, wraps gained and lost, for each strand and side.

The path kernel comes in as an argument (``path.path_si``).
"""

from typing import NamedTuple

import numpy as np

from jackshaft.units import OutOfRange, first_least, first_most


class IdlerOptions(NamedTuple):
    """An idler tried on one strand from one side, at several places along it and depths of press.

    ``x``, ``y`` its centre, m; ``gained`` the belt length it takes up, m; ``rate`` how that grows per metre
    of travel square to the strand; ``wraps`` of the pulleys without and ``wrap_change`` with it, rad;
    ``wrap_idler`` its own; ``reason`` of the path kernel, 0 where the belt goes round.
    """

    x: np.ndarray
    y: np.ndarray
    gained: np.ndarray
    rate: np.ndarray
    wraps: np.ndarray
    wrap_change: np.ndarray
    wrap_idler: np.ndarray
    reason: np.ndarray


def idler_options_si(walk, loop, strand, *, idler_radius, idler_inside, share, press, ccw=True):
    """Try an idler on a strand.

    Parameters
    ----------
    walk : callable
        ``path.path_si``.
    loop : (x, y, r, inside), arrays of shape (n,)
        The loop without the idler, m; ``inside`` is true where the pulley stands inside the loop.
    strand : int
        The strand, by the pulley that it leaves.
    idler_radius : float
        Radius of the belt line on the idler, m.
    idler_inside : bool
        Side of the loop that the idler stands on.
    share : array, shape (...)
        Place along the strand, 0 at the pulley it leaves, 1 at the next.
    press : array, shape (...)
        How far the idler is pressed past touching, square to the strand, m.
    ccw : bool
        Sense in which the belt runs round the loop.

    Returns
    -------
    IdlerOptions
        Arrays of the broadcast shape of ``share`` and ``press``; wraps with the pulleys on the last axis.

    Raises
    ------
    ValueError
        If the loop without the idler does not go round.

    Source
    ------
    own-derivation, the loop with one pulley more; slope of the length as in path.slope_si
    """
    x, y, r = (np.asarray(a, dtype=float) for a in loop[:3])
    inside = np.asarray(loop[3], dtype=bool)
    bare = walk(x, y, r, inside, ccw)
    if bare.reason != 0:
        raise OutOfRange("the loop without the idler does not go round")
    share, press = np.broadcast_arrays(np.asarray(share, float), np.asarray(press, float))
    ux, uy = bare.ux[strand], bare.uy[strand]
    on_x = x[strand] + bare.turn[strand] * r[strand] * uy + share * bare.span[strand] * ux
    on_y = y[strand] - bare.turn[strand] * r[strand] * ux + share * bare.span[strand] * uy
    bend = 1.0 if bool(idler_inside) == bool(ccw) else -1.0
    # The idler's centre stands on the side it bends the belt to; pressing moves it across the strand.
    off = bend * (idler_radius - press)
    cx, cy = on_x - off * uy, on_y + off * ux
    at = strand + 1

    def put(row, value):
        full = np.empty(share.shape + (len(row) + 1,))
        full[..., :at], full[..., at + 1 :] = row[:at], row[at:]
        full[..., at] = value
        return full

    found = walk(put(x, cx), put(y, cy), put(r, idler_radius), np.insert(inside, at, bool(idler_inside)), ccw)
    rate = bend * (
        -(found.ux[..., at - 1] - found.ux[..., at]) * -uy - (found.uy[..., at - 1] - found.uy[..., at]) * ux
    )
    rest = np.delete(found.wrap, at, axis=-1)
    return IdlerOptions(
        x=cx,
        y=cy,
        gained=found.length - bare.length,
        rate=rate,
        wraps=bare.wrap,
        wrap_change=rest - bare.wrap,
        wrap_idler=found.wrap[..., at],
        reason=found.reason,
    )


def proposed_side_si(roles, spans, wraps, r, back_allowed=True):
    """Propose the strand and the end of it that an idler belongs to.

    Parameters
    ----------
    roles : array of int, shape (n,)
        +1 tight, 0 between, -1 slack for each strand, from ``grip.strands_si``.
    spans, wraps, r : array, shape (n,)
        Strands in m, wraps in rad, radii in m.
    back_allowed : bool
        Whether the belt may bend backwards over an idler.

    Returns
    -------
    tuple
        Strand (or None where no strand is slack), the pulley to stand near (the larger end for an inside
        idler, the smaller for one on the back), and True for an inside idler.

    Source
    ------
    belt-maintenance, p. 24 (slack strand; inside near the large sheave, on the back near the small one)
    """
    roles, spans, wraps, r = (np.asarray(a) for a in (roles, spans, wraps, r))
    slack = np.flatnonzero(roles == -1)
    if not len(slack):
        return None, None, None
    strand = int(slack[first_most(spans[slack])])
    ends = [strand, (strand + 1) % len(r)]
    small = ends[first_least(r[ends])]
    large = ends[1] if small == ends[0] else ends[0]
    # An idler on the back adds to both wraps, an inside one costs some: below 120 degrees none can be spared.
    short = bool(np.min(wraps[ends]) < np.radians(120.0)) and back_allowed
    return strand, (small if short else large), not short
