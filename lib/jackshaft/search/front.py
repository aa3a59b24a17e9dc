"""The layouts that no other one dominates: a bounded set, the same whatever the order they come in.

Every aim counts "less is better"; aims that grow are handed in with their sign turned or inverted. Aims
are binned on a fixed grid; of the bins that hold a layout those stay that no other bin dominates,
each with the one layout of the least sum of logarithms. What is kept is then dominated by nothing that was
ever seen, and what was seen is at most one bin better anywhere than something kept.
"""

from __future__ import annotations

import numpy as np


def not_dominated(aims: np.ndarray, *, block: int = 256) -> np.ndarray:
    """Tell which rows no other row dominates by being as good everywhere and better somewhere.

    Parameters
    ----------
    aims : array, shape (m, k)
        Less is better (plain numbers).
    block : int
        Rows compared at a time.

    Returns
    -------
    array of bool, shape (m,)
        Of equal rows all stay.

    Source
    ------
    own-derivation, by definition of a non-dominated set
    """
    aims = np.asarray(aims)
    order = np.lexsort((*aims.T[::-1], aims.sum(axis=1)))
    ranked = aims[order]
    alive = np.ones(len(aims), bool)
    # Only a row of a smaller sum can dominate another, so each block is held against the survivors before it.
    for start in range(0, len(aims), block):
        here = slice(start, start + block)
        part = ranked[here]
        before = ranked[:start][alive[:start]]
        hit = np.zeros(len(part), bool)
        for at in range(0, len(before), block):
            hit |= _dominates(before[at : at + block], part).any(axis=0)
        hit |= _dominates(part, part).any(axis=0)
        alive[here] = ~hit
    return alive[np.argsort(order)]


def _dominates(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Rows of ``a`` against rows of ``b``: shape (len(a), len(b))."""
    no_worse = np.ones((len(a), len(b)), bool)
    better = np.zeros((len(a), len(b)), bool)
    for k in range(a.shape[1]):
        no_worse &= a[:, k, None] <= b[None, :, k]
        better |= a[:, k, None] < b[None, :, k]
    return no_worse & better


def _beaten(bins: np.ndarray, total: np.ndarray, new: np.ndarray, new_total: np.ndarray) -> np.ndarray:
    """Tell which of ``new``, bins shape (k, m), one of ``bins`` dominates, or shares its bin with a lesser total."""
    no_worse = bins[:, 0, None] <= new[0]
    for k in range(1, len(new)):
        no_worse &= bins[:, k, None] <= new[k]
    # no worse anywhere: of a lesser sum it is better somewhere, of the same sum it is the same bin
    first = bins.sum(axis=1)[:, None] < new.sum(axis=0)
    return (no_worse & (first | (total[:, None] < new_total))).any(axis=0)


class Front:
    """A bounded store of layouts that no other dominates.

    Parameters
    ----------
    columns : int
        Numbers that a layout is stored as.
    steps : sequence of float
        Width of a bin for each aim; ratios of 1 + step, for aims above nought.
    """

    def __init__(self, columns: int, steps):
        self.steps = np.log1p(np.asarray(steps, dtype=float))
        self.rows = np.zeros((0, columns))
        self.aims = np.zeros((0, len(self.steps)))
        self._bins = np.zeros((0, len(self.steps)), np.int64)

    def __len__(self) -> int:
        return len(self.rows)

    def fresh(self) -> Front:
        """Return an empty store of the same kind."""
        other = Front(self.rows.shape[1], ())
        other.steps, other.aims, other._bins = self.steps, self.aims[:0], self._bins[:0]
        return other

    def may_enter(self, aims: np.ndarray) -> np.ndarray:
        """Tell which layouts would be kept if they were taken in now; the others can be left unmeasured.

        Parameters
        ----------
        aims : array, shape (m, k)
            Less is better, all above nought.

        Returns
        -------
        array of bool, shape (m,)
            Each by itself, whatever else comes with it. A layout as good as the one in its bin may.
        """
        may = np.ones(len(aims), bool)
        if not len(self._bins) or not len(aims):
            return may
        bins, total, mine = self._binned(aims).T.copy(), np.log(aims).sum(axis=1), np.log(self.aims).sum(axis=1)
        # A few good ones dominate most newcomers, which is the quick way to be rid of them.
        for rows in (np.argsort(mine)[:8], slice(None)):
            on = np.flatnonzero(may)
            may[on] = ~_beaten(self._bins[rows], mine[rows], bins[:, on], total[on])
        return may

    def add(self, aims: np.ndarray, rows: np.ndarray) -> None:
        """Take layouts in.

        Parameters
        ----------
        aims : array, shape (m, k)
            Less is better, all above nought.
        rows : array, shape (m, columns)
            What to store of each.
        """
        if not len(aims):
            return
        bins = self._binned(aims)
        if len(self._bins):
            # A few good ones dominate most newcomers, which is the quick way to be rid of them.
            few = self._bins[:: max(1, len(self._bins) // 24)]
            fresh = ~_dominates(few, bins).any(axis=0)
            aims, rows, bins = aims[fresh], rows[fresh], bins[fresh]
        aims, rows, bins = (np.concatenate(p) for p in ((self.aims, aims), (self.rows, rows), (self._bins, bins)))
        total = np.log(aims).sum(axis=1)
        # One of each bin: the least sum, then the least of what is stored, so that no order of arrival shows.
        order = np.lexsort((*rows.T[::-1], total))
        bins, first = np.unique(bins[order], axis=0, return_index=True)
        keep = not_dominated(bins)
        pick = order[first[keep]]
        self._bins, self.aims, self.rows = bins[keep], aims[pick], rows[pick]

    def _binned(self, aims: np.ndarray) -> np.ndarray:
        return np.floor(np.log(aims) / self.steps + 1e-9).astype(np.int64)


def spread_out(aims: np.ndarray, count: int) -> np.ndarray:
    """Pick rows that differ most: the best of each aim first, then the one farthest from those picked.

    Parameters
    ----------
    aims : array, shape (m, k)
        Less is better, all above nought.
    count : int
        How many to pick.

    Returns
    -------
    array of int
        Rows, in the order picked.

    Source
    ------
    own-derivation, farthest-point rule on logarithms scaled to 0 to 1
    """
    aims = np.asarray(aims, dtype=float)
    if not len(aims):
        return np.zeros(0, int)
    scaled = np.log(aims)
    scaled = scaled - scaled.min(axis=0)
    scaled = scaled / np.maximum(scaled.max(axis=0), 1e-12)
    total = scaled.sum(axis=1)
    picked: list[int] = [int(np.argmin(total))]
    for k in range(aims.shape[1]):
        best = int(np.lexsort((total, aims[:, k]))[0])
        if best not in picked:
            picked.append(best)
    picked = picked[:count]
    far = np.min(np.linalg.norm(scaled[:, None, :] - scaled[picked][None], axis=2), axis=1)
    while len(picked) < min(count, len(aims)):
        k = int(np.argmax(far))
        if far[k] <= 0.0:
            break
        picked.append(k)
        far = np.minimum(far, np.linalg.norm(scaled - scaled[k], axis=1))
    return np.array(picked)
