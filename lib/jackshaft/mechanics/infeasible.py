"""Why one layout cannot be, in shop words: which pulleys, by how much, and the smallest cure."""

from typing import NamedTuple

import numpy as np

from jackshaft.units import first_least, first_most, show

# As in ``path``: a wrap below or above is no contact.
LEAST_WRAP = np.radians(1.0)
MOST_WRAP = np.radians(350.0)


class Infeasible(NamedTuple):
    """What stops one layout: the pulleys it is about, the amount (m, or rad for wraps), words and cure."""

    pulleys: tuple[str, ...]
    amount: float
    words: str
    cure: str


class _Loop(NamedTuple):
    """One layout and its path: names, centres and radii (m), way it bends, wraps (rad), system for the words."""

    names: tuple[str, ...]
    x: np.ndarray
    y: np.ndarray
    r: np.ndarray
    turn: np.ndarray
    wrap: np.ndarray
    system: str

    def show(self, metres) -> str:
        return show(abs(float(metres)), "length", self.system)

    def apart(self, i, j):
        return np.hypot(self.x[j] - self.x[i], self.y[j] - self.y[i])


def infeasible_si(names, discs, found, *, system="inch"):
    """Say why one layout cannot be, naming the pulleys, or return None where it can.

    Parameters
    ----------
    names : sequence of str
        Pulley names in travel order.
    discs : (x, y, r), arrays of shape (n,)
        What the path was computed from, m.
    found : Path
        The path of this one layout.
    system : str
        "inch" or "metric", for the words.

    Returns
    -------
    Infeasible or None

    Source
    ------
    own-derivation, the same tests as the path kernel, for one layout
    """
    if int(found.reason) == 0:
        return None
    x, y, r = (np.asarray(a, dtype=float) for a in discs)
    wrap = np.asarray(found.wrap)
    loop = _Loop(names=tuple(names), x=x, y=y, r=r, turn=found.turn, wrap=wrap, system=system)
    tests = (_missing, _no_reach, _overlap, _strands_of_two if len(x) == 2 else _other_way, _not_touched, _wrong_wrap)
    return next(why for test in tests if (why := test(loop)) is not None)


def _missing(loop):
    numbers = zip(loop.names, loop.x, loop.y, loop.r, strict=True)
    missing = tuple(n for n, *v in numbers if not np.all(np.isfinite(v)) or v[2] <= 0.0)
    if missing:
        words = f"{', '.join(missing)}: the centre or the radius is missing or not above zero, so there is no path."
        return Infeasible(missing, float("nan"), words, "Measure it.")
    return None


def _no_reach(loop):
    for i in range(len(loop.x)):
        j = (i + 1) % len(loop.x)
        apart, need = loop.apart(i, j), abs(loop.turn[j] * loop.r[j] - loop.turn[i] * loop.r[i])
        if apart <= need:
            a, b = loop.names[i], loop.names[j]
            return Infeasible(
                (a, b),
                float(need - apart),
                f"The belt cannot pass from {a} to {b}: their centres are {loop.show(apart)} apart and the belt line "
                f"needs more than {loop.show(need)}.",
                f"Move them more than {loop.show(need - apart)} further apart, or take smaller pulleys.",
            )
    return None


def _overlap(loop):
    i, j = np.triu_indices(len(loop.x), 1)
    apart, need = loop.apart(i, j), loop.r[i] + loop.r[j]
    if np.max(need - apart) <= 0.0:
        return None
    k = first_most(need - apart)
    short = need[k] - apart[k]
    a, b = loop.names[i[k]], loop.names[j[k]]
    return Infeasible(
        (a, b),
        float(short),
        f"{a} and {b} overlap by {loop.show(short)} on the belt line: their centres are {loop.show(apart[k])} apart, "
        f"and their radii add up to {loop.show(need[k])}.",
        f"Move {a} and {b} at least {loop.show(short)} further apart, plus the thickness of the belt.",
    )


def _strands_of_two(loop):
    return Infeasible(
        loop.names,
        float("nan"),
        f"With {loop.names[0]} and {loop.names[1]} turning opposite ways the two strands cross.",
        "Declare the drive crossed, or put both pulleys inside the loop.",
    )


def _other_way(loop):
    if any(not gap < 0.0 for gap in _gaps(loop, -loop.turn)):
        return None
    side = np.sign(loop.turn)
    odd = np.flatnonzero(side != np.sign(np.sum(side)))
    if len(loop.names) == 3 and len(odd) == 1:
        return _other_side(loop, int(odd[0]))
    return Infeasible(
        loop.names,
        float("nan"),
        f"In the order {', '.join(loop.names)} the belt runs round the other way from the one entered.",
        "Check the place of each pulley (left, right, above, below) and the order in which the belt reaches them.",
    )


def _other_side(loop, k):
    """Say that the one outside pulley of three stands on the other side of the line between the other two.

    Mirrored in that line the loop runs round the way that was entered: the two others stay where they are.
    """
    before, after = (k - 1) % 3, (k + 1) % 3
    x, y = loop.x, loop.y
    ux, uy = x[after] - x[before], y[after] - y[before]
    along = ((x[k] - x[before]) * ux + (y[k] - y[before]) * uy) / (ux * ux + uy * uy)
    there = 2.0 * (x[before] + along * ux) - x[k], 2.0 * (y[before] + along * uy) - y[k]
    names, (px, py) = loop.names, (show(float(c), "length", loop.system) for c in there)
    return Infeasible(
        (names[k],),
        float("nan"),
        f"{names[k]} stands on the other side of the belt: the strand from {names[before]} to {names[after]}, on "
        "which it presses from outside, runs on the other side of their centre line.",
        f"Set {names[k]} on the other side of the line from {names[before]} to {names[after]}: mirrored there it "
        f"stands at x {px}, y {py}. Or list it on the other strand, if it presses there.",
    )


def _not_touched(loop):
    odd = (loop.wrap > MOST_WRAP) | (loop.wrap < LEAST_WRAP) | (loop.wrap > np.pi)
    gaps = _gaps(loop, loop.turn)
    gaps = np.where(odd & np.isfinite(gaps), gaps, -np.inf)
    k = first_most(gaps)
    if not gaps[k] > -1e-9:
        return None
    name, gap = loop.names[k], loop.show(gaps[k])
    before, after = loop.names[k - 1], loop.names[(k + 1) % len(loop.x)]
    return Infeasible(
        (name,),
        float(gaps[k]),
        f"{name} is not touched: the belt from {before} to {after} passes {gap} clear of it.",
        f"Move {name} more than {gap} towards that strand, or enter the other side of the loop for it.",
    )


def _wrong_wrap(loop):
    wrap = loop.wrap
    k = first_least(wrap) if np.min(wrap) < LEAST_WRAP else first_most(wrap)
    name, degrees = loop.names[k], np.degrees(wrap[k])
    if wrap[k] < LEAST_WRAP:
        words, cure = f"{name} is barely touched: wrap {degrees:.2f}°.", f"Move {name} into the strand."
    else:
        times = np.sum(loop.turn * wrap) / (2.0 * np.pi)
        words = (
            f"In this order the belt would go round {times:+.0f} times instead of once, with a wrap of {degrees:.0f}° "
            f"on {name}, and strands would cross."
        )
        cure = "Check the order of travel and which pulleys are outside the loop."
    return Infeasible((name,), float(wrap[k]), words, cure)


def _gaps(loop, turn):
    """How far the belt would pass clear of each pulley if that pulley were left out; negative where it is pressed on.

    The distance of the centre from the common tangent of its two neighbours, m; NaN where they have none.
    """
    x, y, arm = loop.x, loop.y, turn * loop.r
    i, j = np.roll(np.arange(len(x)), 1), np.roll(np.arange(len(x)), -1)
    dx, dy, delta = x[j] - x[i], y[j] - y[i], arm[j] - arm[i]
    square = dx * dx + dy * dy
    with np.errstate(invalid="ignore", divide="ignore"):
        span = np.sqrt(np.where(square <= delta * delta, np.nan, square - delta * delta))
        nx, ny = -(span * dy - delta * dx) / square, (span * dx + delta * dy) / square
    return turn * ((x - x[i]) * nx + (y - y[i]) * ny + arm[i]) - loop.r
