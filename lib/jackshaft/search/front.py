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
    # As whole numbers, so that sums are exact: only a row of a smaller sum can dominate another.
    ranks = [np.unique(one, return_inverse=True)[1] for one in np.asarray(aims).T]
    ranks = np.array(ranks, np.int32).reshape(len(ranks), -1)
    order = np.argsort(ranks.sum(axis=0), kind="stable")
    ranked, alive = ranks[:, order], np.ones(len(order), bool)
    for start in range(0, len(order), block):
        part, before = ranked[:, start : start + block], np.flatnonzero(alive[:start])
        hit = _beaten(part, part)
        for at in range(0, len(before), block):
            hit |= _beaten(ranked[:, before[at : at + block]], part)
        alive[start : start + block] = ~hit
    return alive[np.argsort(order)]


def _beaten(by: np.ndarray, rows: np.ndarray, ties: tuple[np.ndarray, np.ndarray] | None = None) -> np.ndarray:
    """Tell which of ``rows``, whole numbers, shape (k, m), one of ``by`` dominates; with ``ties``, the totals of both,
    also which equal one of a lesser total."""
    # no worse anywhere: of a lesser sum it is better somewhere, of the same sum it is the same
    beats = by.sum(axis=0)[:, None] < rows.sum(axis=0)
    if ties is not None:
        beats |= ties[0][:, None] < ties[1]
    for one, other in zip(by, rows, strict=True):
        beats &= one[:, None] <= other
    return beats.any(axis=0)


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
        self._bins = np.zeros((len(self.steps), 0), np.int64)

    def __len__(self) -> int:
        return len(self.rows)

    def fresh(self) -> Front:
        """Return an empty store of the same kind."""
        other = Front(self.rows.shape[1], ())
        other.steps, other.aims, other._bins = self.steps, self.aims[:0], self._bins[:, :0]
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
        if not len(self) or not len(aims):
            return may
        bins, total, mine = self._binned(aims), np.log(aims).sum(axis=1), np.log(self.aims).sum(axis=1)
        # A few good ones dominate most newcomers, which is the quick way to be rid of them.
        for rows in (np.argsort(mine)[:8], np.arange(len(mine))):
            on = np.flatnonzero(may)
            may[on] = ~_beaten(self._bins[:, rows], bins[:, on], (mine[rows], total[on]))
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
        # A few good ones dominate most newcomers, which is the quick way to be rid of them.
        fresh = ~_beaten(self._bins[:, :: max(1, len(self) // 24)], bins)
        aims, rows = np.concatenate([self.aims, aims[fresh]]), np.concatenate([self.rows, rows[fresh]])
        bins = np.concatenate([self._bins, bins[:, fresh]], axis=1)
        # One of each bin: the least sum, then the least of what is stored, so that no order of arrival shows.
        order = np.lexsort((*rows.T[::-1], np.log(aims).sum(axis=1)))
        bins, first, number = np.unique(bins[:, order], axis=1, return_index=True, return_inverse=True)
        # Of the bins that were kept none dominates another.
        old = np.zeros(len(first), bool)
        old[number[order < len(self)]] = True
        new = np.flatnonzero(~old)
        new = new[not_dominated(bins[:, new].T)]
        new = new[~_beaten(bins[:, old], bins[:, new])]
        keep = np.flatnonzero(old)
        keep = np.sort(np.append(keep[~_beaten(bins[:, new], bins[:, keep])], new))
        pick = order[first[keep]]
        self._bins, self.aims, self.rows = bins[:, keep], aims[pick], rows[pick]

    def _binned(self, aims: np.ndarray) -> np.ndarray:
        return np.floor(np.log(aims) / self.steps + 1e-9).astype(np.int64).T.copy()


def apart(aims: np.ndarray) -> np.ndarray:
    """Return how far each row is from its neighbours: the gaps between them in each aim, added up.

    Parameters
    ----------
    aims : array, shape (m, k)
        Less is better, all above nought.

    Returns
    -------
    array, shape (m,)
        Of logarithms scaled to 0 to 1; at the ends of an aim twice the gap to the one neighbour.

    Source
    ------
    the crowding distance of multi-objective sorting, from memory
    """
    total = np.zeros(len(aims))
    for one in np.log(aims).T:
        order, wide = np.argsort(one, kind="stable"), np.ptp(one) if len(one) else 0.0
        if wide > 0.0:
            gaps = np.diff(one[order]) / wide
            total[order] += np.append(gaps[0], gaps) + np.append(gaps, gaps[-1])
    return total


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
