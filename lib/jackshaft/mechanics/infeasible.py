"""Why one layout cannot be, in shop words: which pulleys, by how much, and the smallest cure."""

from typing import NamedTuple

import numpy as np

from jackshaft.units import first_least, first_most, show

LEAST_WRAP = np.radians(1.0)
MOST_WRAP = np.radians(350.0)


class Infeasible(NamedTuple):
    """What stops one layout: the pulleys it is about, the amount (m, or rad for wraps), words and cure."""

    pulleys: tuple[str, ...]
    amount: float
    words: str
    cure: str


def _pairs(x, y, r):
    i, j = np.triu_indices(len(x), 1)
    return i, j, np.hypot(x[j] - x[i], y[j] - y[i]), r[i] + r[j]


def clear_of_strand_si(x, y, r, turn, index):
    """Give how far the belt would pass clear of one pulley if that pulley were left out.

    Parameters
    ----------
    x, y, r : array, shape (n,)
        Pulleys in travel order, m; n is at least three.
    turn : array, shape (n,)
        Way the belt bends at each pulley, +1 left, -1 right.
    index : int
        The pulley left out.

    Returns
    -------
    float
        m; positive where the belt does not reach the pulley, negative where it is pressed on it.

    Source
    ------
    own-derivation, distance of the centre from the common tangent of the two neighbours
    """
    x, y, r, turn = (np.asarray(a, dtype=float) for a in (x, y, r, turn))
    i, j = (index - 1) % len(x), (index + 1) % len(x)
    dx, dy, delta = x[j] - x[i], y[j] - y[i], turn[j] * r[j] - turn[i] * r[i]
    square = dx * dx + dy * dy
    if square <= delta * delta:
        return float("nan")
    span = np.sqrt(square - delta * delta)
    nx, ny = -(span * dy - delta * dx) / square, (span * dx + delta * dy) / square
    off = (x[index] - x[i]) * nx + (y[index] - y[i]) * ny + turn[i] * r[i]
    return float(turn[index] * off - r[index])


def misfit_si(names, discs, found, *, crossed=False, least_wrap=LEAST_WRAP, most_wrap=MOST_WRAP, system="inch"):
    """Say why one layout cannot be, naming the pulleys, or return None where it can.

    Parameters
    ----------
    names : sequence of str
        Pulley names in travel order.
    discs : (x, y, r), arrays of shape (n,)
        What the path was computed from, m.
    found : Path
        The path of this one layout.
    crossed : bool
        The drive is declared crossed.
    least_wrap, most_wrap : float
        The limits the path was computed with, rad.
    system : str
        "inch" or "metric", for the words.

    Returns
    -------
    Misfit or None

    Source
    ------
    own-derivation, the same tests as the path kernel, for one layout
    """
    if int(found.reason) == 0:
        return None
    x, y, r = (np.asarray(a, dtype=float) for a in discs)

    def say(metres):
        return show(abs(float(metres)), "length", system)

    lost = [n for n, *v in zip(names, x, y, r, strict=True) if not np.all(np.isfinite(v)) or v[2] <= 0.0]
    if lost:
        return Infeasible(
            tuple(lost),
            float("nan"),
            f"{', '.join(lost)}: centre or radius is missing or not above nought, so there is no path.",
            "Measure it.",
        )
    for i in range(len(x)):
        j = (i + 1) % len(x)
        apart, need = np.hypot(x[j] - x[i], y[j] - y[i]), abs(found.turn[j] * r[j] - found.turn[i] * r[i])
        if apart <= need:
            return Infeasible(
                (names[i], names[j]),
                float(need - apart),
                f"The belt cannot pass from {names[i]} to {names[j]}: their centres are {say(apart)} "
                f"apart and the belt line needs more than {say(need)}.",
                f"Move them more than {say(need - apart)} further apart, or take smaller pulleys.",
            )
    i, j, apart, need = _pairs(x, y, r)
    short = need - apart
    if np.max(short) > 0.0:
        k = first_most(short)
        a, b = names[i[k]], names[j[k]]
        return Infeasible(
            (a, b),
            float(short[k]),
            f"{a} and {b} overlap by {say(short[k])} on the belt line: their "
            f"centres are {say(apart[k])} apart, their radii together {say(need[k])}.",
            f"Move {a} and {b} at least {say(short[k])} further apart, and the belt's thickness more.",
        )
    wrap = np.asarray(found.wrap)
    if len(x) == 2:
        return Infeasible(
            tuple(names),
            float("nan"),
            f"With {names[0]} and {names[1]} turning opposite ways the two strands cross.",
            "Declare the drive crossed, or put both pulleys inside the loop.",
        )
    if all(clear_of_strand_si(x, y, r, -found.turn, k) < 0.0 for k in range(len(x))):
        return Infeasible(
            tuple(names),
            float("nan"),
            f"Taken in the order {', '.join(names)} the belt runs round the other way than entered.",
            "Check the place of each pulley (left, right, above, below) and the order in which the belt meets them.",
        )
    gaps = np.array([clear_of_strand_si(x, y, r, found.turn, k) for k in range(len(x))])
    loose = np.where((wrap > most_wrap) | (wrap < least_wrap) | (wrap > np.pi), gaps, -np.inf)
    loose = np.where(np.isfinite(loose), loose, -np.inf)
    k = first_most(loose)
    if loose[k] > -1e-9:
        before, after = names[k - 1], names[(k + 1) % len(x)]
        return Infeasible(
            (names[k],),
            float(loose[k]),
            f"{names[k]} is not touched: the belt from {before} to {after} passes {say(loose[k])} clear of it.",
            f"Move {names[k]} more than {say(loose[k])} towards that strand, or enter the other side of "
            "the loop for it.",
        )
    k = first_least(wrap) if np.min(wrap) < least_wrap else first_most(wrap)
    if wrap[k] < least_wrap:
        return Infeasible(
            (names[k],),
            float(wrap[k]),
            f"{names[k]} is barely touched: wrap {np.degrees(wrap[k]):.2f}°.",
            f"Move {names[k]} into the strand.",
        )
    total = np.sum(found.turn * wrap) / (2.0 * np.pi)
    return Infeasible(
        (names[k],),
        float(wrap[k]),
        f"In this order the belt would turn {total:+.0f} times round instead of once, with "
        f"{np.degrees(wrap[k]):.0f}° on {names[k]}: strands cross.",
        "Check the order of travel and which pulleys stand outside the loop.",
    )
