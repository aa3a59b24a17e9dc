"""A search while it runs: chunk after chunk, with progress, a stop that keeps what was found, and reasons."""

from __future__ import annotations

import numpy as np

from jackshaft.mechanics import path
from jackshaft.search.engine import CHUNK, Chunk
from jackshaft.search.fields import FAILS, FIELDS, GRIP, POWER, RATE, ROOM, ROUND, STOCK, ZONE
from jackshaft.search.front import Front
from jackshaft.search.measuring import aims_of
from jackshaft.search.patterns import patterns_of
from jackshaft.search.problem import Problem
from jackshaft.units import show

#: Width of a bin of each of the five aims, as a share: layouts nearer than that count as one.
STEPS = (0.01,) * 5


class Run:
    """A search that can be taken step by step.

    Parameters
    ----------
    problem : Problem
        What is searched.
    tries : int
        Layouts to try at most; fewer where there are no more.
    grid : float, optional
        Try a full grid of idler places with this spacing, m, instead of places spread evenly.
    steps : sequence of float, optional
        Width of the bins of the five aims, as shares; see :mod:`jackshaft.search.front`.

    Raises
    ------
    NothingCanWork
        If no pattern can meet a requirement, before anything is tried.
    """

    def __init__(
        self,
        problem: Problem,
        tries: int = 200_000,
        *,
        grid: float | None = None,
        steps=STEPS,
    ):
        self.problem, self.tries = problem, int(tries)
        self.patterns = patterns_of(problem)
        #: Whether the belts' power is known for every pair; where it is not, their count rests on grip alone.
        self.rated = bool(np.isfinite(np.concatenate([p.pairs.rated for p in self.patterns])).all())
        self.front = Front(len(FIELDS), steps)
        #: Tried; those that meet everything and were better somewhere than what was kept by then.
        self.tried, self.held, self.stopped = 0, 0, False
        # Counted until something holds.
        self.fell, self.near = np.zeros(len(FAILS), np.int64), np.full(len(FAILS), np.inf)
        self.reasons = np.zeros(8, np.int64)
        self._chunks = [Chunk(problem, p, k, grid=grid) for k, p in enumerate(self.patterns)]
        #: How many layouts each pattern has; None where places can be spread without end.
        self._wholes = [c.places.whole for c in self._chunks]
        if None not in self._wholes:
            self.tries = min(self.tries, sum(self._wholes))
        self._at = [0] * len(self._chunks)
        self._open = list(range(len(self._chunks)))
        self._work: dict[int, tuple[path.Work, path.Work]] = {}
        # A short search still gives each pattern some turns, so that none is left out or only looked at once.
        self._size = int(np.clip(self.tries // (6 * len(self._chunks)), 256, CHUNK))

    @property
    def done(self) -> bool:
        """Whether nothing more will be tried."""
        return self.stopped or self.tried >= self.tries or not self._open

    @property
    def share(self) -> float:
        """How much of the search is done, 0 to 1."""
        return 1.0 if self.tries == 0 else min(1.0, self.tried / self.tries)

    def stop(self) -> None:
        """End the search; what was found stays."""
        self.stopped = True

    def finish(self) -> Run:
        """Try everything, or until another thread stops it."""
        while not self.done:
            self.step()
        return self

    def step(self) -> None:
        """Try one chunk; nothing where the search is done."""
        if self.done:
            return
        k = self._open.pop(0)
        chunk, first, whole = self._chunks[k], self._at[k], self._wholes[k]
        count = min(self._size, self.tries - self.tried, *(() if whole is None else (whole - first,)))
        n = chunk.pattern.count
        if n not in self._work:
            self._work[n] = (path.work_si(n, self._size), path.work_si(n, self._size))
        found = chunk.run(first, count, self._work[n], self.front, around=self._around(k))
        self.tried += count
        self.held += len(found.rows)
        self.fell += found.fell
        self.near = np.minimum(self.near, found.near)
        self.reasons += found.reasons
        self.front.add(aims_of(found.rows), found.rows)
        self._at[k] += count
        if whole is None or self._at[k] < whole:
            self._open.append(k)

    def _around(self, k: int) -> np.ndarray | None:
        """Rows of a pattern that are kept, to look round them: in every other turn once a third is tried.

        This fills the gaps between them. A grid, and pulleys on moving centres, are tried whole instead.
        """
        if self._wholes[k] is not None or 3 * self.tried < self.tries or self._at[k] // self._size % 2:
            return None
        rows = self.front.rows[self.front.rows[:, 0] == k]
        return rows if len(rows) else None

    # -- in words ------------------------------------------------------------------------------------

    def why_nothing(self) -> str:
        """Say which requirement is most in the way and what would help; empty where something was found."""
        if len(self.front) or not self.tried:
            return ""
        order = np.argsort(-self.fell, kind="stable")
        parts = [f"{FAILS[k]} ({100 * self.fell[k] / self.tried:.0f} %)" for k in order if self.fell[k]]
        words = f"None of the {self.tried} layouts tried meets every requirement: {'; '.join(parts[:3])}."
        if self.fell[ROUND] == self.tried:
            code = int(np.argmax(np.where(np.arange(8) > 0, self.reasons, -1)))
            return (
                f"{words} The usual reason: {path.REASONS[code]}. Widen the zone for idlers, or allow another side or "
                "one more idler."
            )
        if cures := self._cures():
            return f"{words} The smallest change that would help: {cures}."
        return f"{words} No single change helps. Widen the zone for idlers, or allow more sizes or one more idler."

    def _cures(self) -> str:
        p, found = self.problem, []

        def length(si: float) -> str:
            return show(float(si), "length", p.build.system, digits=3)

        if np.isfinite(self.near[STOCK]) and self.near[STOCK] > 0:
            found.append(f"a belt or a take-up that gives {length(self.near[STOCK])} more of belt length")
        if np.isfinite(self.near[ZONE]):
            found.append(f"a zone that reaches {length(self.near[ZONE])} farther")
        if np.isfinite(self.near[ROOM]):
            room = p.clearance_least - self.near[ROOM]
            if room > 0:
                found.append(f"a clearance of {length(room)} instead of {length(p.clearance_least)}")
        if np.isfinite(self.near[RATE]):
            found.append("another pivot for the arm")
        if np.isfinite(self.near[GRIP]):
            found.append(
                f"a tension {self.near[GRIP]:.2f} times as high (the best layout grips "
                f"{p.margin_least / self.near[GRIP]:.2f} × at the bad end)"
            )
        if np.isfinite(self.near[POWER]):
            found.append(
                f"{int(np.ceil(self.near[POWER] * p.belts_most - 1e-9))} belts instead of {p.belts_most} at most"
            )
        return "; or ".join(found)


__all__ = ["Run"]
