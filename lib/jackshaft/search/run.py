"""A search while it runs: chunk after chunk, with progress, a stop that keeps what was found, and reasons."""

from __future__ import annotations

import numpy as np

from jackshaft.mechanics import path
from jackshaft.search.engine import CHUNK, Chunk, least_lack, nearest
from jackshaft.search.fields import FAILS, FIELDS, GRIP, LASTS, POWER, RATE, ROOM, ROUND, STOCK, ZONE
from jackshaft.search.front import Front, apart
from jackshaft.search.measuring import aims_of
from jackshaft.search.patterns import patterns_of
from jackshaft.search.problem import Problem
from jackshaft.units import show

#: Width of a bin of each of the five aims, as a share: layouts nearer than that count as one.
STEPS = (0.01,) * 5
#: Share of the tries that are spread over all patterns first, and behind them one turn in so many.
FIRST, SPREAD_EVERY = 0.1, 20
#: What all patterns get alike of the other turns, for each part that goes by what is kept of a pattern.
ALIKE = 0.3
#: What of that a pattern gets of which nothing holds yet: while what it lacks gets less within PATIENCE turns, then.
FAINT, PATIENCE = (6.0, 0.1), 6
#: Turns after which what is kept is weighed again.
COUNT_EVERY = 8
#: How many times as often as the others one that is kept is looked round, at most.
OFTEN = 20
#: Turns that a pattern gets at least, however short the search: none is left out, or only looked at once.
TURNS = 24


class Run:
    """A search that can be taken step by step.

    Parameters
    ----------
    problem : Problem
        What is searched.
    tries : int
        Layouts to try at most; fewer where there are no more.
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
        steps=STEPS,
    ):
        self.problem, self.tries = problem, int(tries)
        self.patterns = patterns_of(problem)
        #: Whether the belts' power is known for every pair; where it is not, their count rests on grip alone.
        self.rated = bool(np.isfinite(np.concatenate([p.pairs.rated for p in self.patterns])).all())
        #: What is kept of each pattern by itself, to be looked round; all of them together, and whether that is so yet.
        self._fronts = [Front(len(FIELDS), steps) for _ in self.patterns]
        self._front, self._together = self._fronts[0].fresh(), True
        #: Tried; those that meet everything and were better somewhere than what was kept by then.
        self.tried, self.held, self.stopped = 0, 0, False
        # Counted until something holds.
        self.fell, self.near = np.zeros(len(FAILS), np.int64), np.full(len(FAILS), np.inf)
        self.reasons = np.zeros(8, np.int64)
        self._chunks = [Chunk(problem, p, k) for k, p in enumerate(self.patterns)]
        #: How many layouts each pattern has; None where places can be spread without end.
        self._wholes = [c.places.whole for c in self._chunks]
        #: All layouts there are, where they can be counted: pulleys on moving centres, each pair with each belt.
        self._all = None if None in self._wholes else sum(self._wholes)
        self.tries = self.tries if self._all is None else min(self.tries, self._all)
        self._at = [0] * len(self._chunks)
        self._open = list(range(len(self._chunks)))
        # Turns so far, and how many rows of each pattern that was kept have waited for their turn to be looked round.
        self._turns, self._waits = 0, np.zeros(len(self._chunks))
        # Rows of each pattern that have been looked round.
        self._seen: list[set[bytes]] = [set() for _ in self._chunks]
        # Rows of each pattern that almost hold, as long as none does, and for how many turns they have not got nearer.
        self._almost, self._stalled = [one.rows for one in self._fronts], np.zeros(len(self._chunks), int)
        # How far apart the rows that are kept of each pattern are, and at which turn that was weighed.
        self._kept, self._counted = np.zeros(len(self._chunks)), -COUNT_EVERY
        self._work: dict[int, tuple[path.Work, path.Work]] = {}
        self._size = int(np.clip(self.tries // (TURNS * len(self._chunks)), 256, CHUNK))

    @property
    def front(self) -> Front:
        """What is kept: those that no other one dominates."""
        if not self._together:
            self._front, self._together = self._front.fresh(), True
            for one in self._fronts:
                self._front.add(one.aims, one.rows)
        return self._front

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
        self._turns += 1
        k, around = self._looked_round()
        if around is None:
            k = self._open.pop(0)
        chunk, first, whole = self._chunks[k], self._at[k], self._wholes[k]
        count = min(self._size, self.tries - self.tried, *(() if whole is None else (whole - first,)))
        n = chunk.pattern.count
        if n not in self._work:
            self._work[n] = (path.work_si(n, self._size), path.work_si(n, self._size))
        found = chunk.run(first, count, self._work[n], self._fronts[k], counted=not self.held, around=around)
        self.tried += count
        self.held += len(found.rows)
        self.fell += found.fell
        self.near = np.minimum(self.near, found.near)
        self.reasons += found.reasons
        self._fronts[k].add(aims_of(found.rows), found.rows)
        self._together = self._together and not len(found.rows)
        before, self._almost[k] = self._almost[k], nearest(np.concatenate([self._almost[k], found.almost]))
        nearer = least_lack(self._almost[k]) < least_lack(before)
        self._stalled[k] = 0 if nearer else self._stalled[k] + 1
        if around is not None:
            return
        self._at[k] += count
        if whole is None or self._at[k] < whole:
            self._open.append(k)

    def _looked_round(self) -> tuple[int, np.ndarray | None]:
        """Return a pattern and its rows that are kept, to look round them; None where places are spread anew.

        Behind the first tries all turns but one in SPREAD_EVERY go to it, to most patterns by how far apart their rows
        that are kept are, so that no crowd of alike ones takes the turns. Those that have an end are tried whole
        instead, with every other turn.
        """
        if self.tried < FIRST * self.tries or self._turns % SPREAD_EVERY == 0:
            return 0, None
        if self._turns % 2 and any(self._wholes[k] is not None for k in self._open):
            self._open.sort(key=lambda k: self._wholes[k] is None)
            return 0, None
        if self._turns >= self._counted + COUNT_EVERY:
            front = self.front
            self._kept = np.bincount(front.rows[:, 0].astype(int), apart(front.aims), len(self._chunks))
            self._counted = self._turns
        kept = self._kept
        able = np.array([whole is None and len(self._round(j)) > 0 for j, whole in enumerate(self._wholes)])
        if not able.any():
            return 0, None
        faint = np.where(self._stalled < PATIENCE, *FAINT)
        alike = able * np.where([len(f) > 0 for f in self._fronts], 1.0, faint)
        share = able * (kept / max(1e-9, (kept * able).sum()) + alike / max(1e-9, alike.sum()) * ALIKE)
        self._waits += share / share.sum()
        k = int(np.argmax(np.where(able, self._waits, -np.inf)))
        self._waits[k] -= 1.0
        return k, self._good(k)

    def _round(self, k: int) -> np.ndarray:
        """Return the rows of a pattern that are looked round: those that are kept, else those that almost hold."""
        return self._fronts[k].rows if len(self._fronts[k]) else self._almost[k]

    def _good(self, k: int) -> np.ndarray:
        """Return the rows that are kept of a pattern; those far apart, best in one aim, or new again and again.

        They are mixed anew each turn, for a turn may look round fewer than there are.
        """
        rows = self._round(k)
        aims = aims_of(rows)
        mine = [row.tobytes() for row in rows]
        best, new = rows[np.argmin(aims, axis=0)], rows[[row not in self._seen[k] for row in mine]]
        self._seen[k] = set(mine)
        far = apart(aims)
        often = np.clip(np.rint(far / max(far.mean(), 1e-9)), 1, OFTEN).astype(int)
        parts = [np.repeat(rows, often, axis=0), np.tile(best, (max(1, len(rows) // (2 * len(best))), 1))]
        if len(new):
            parts.append(np.tile(new, (max(1, len(rows) // len(new)), 1)))
        return np.random.default_rng(self._turns).permutation(np.concatenate(parts))

    # -- in words ------------------------------------------------------------------------------------

    def why_nothing(self) -> str:
        """Say which requirement is most in the way and what would help; empty where something was found."""
        if len(self.front) or not self.tried:
            return ""
        order = np.argsort(-self.fell, kind="stable")
        parts = [f"{FAILS[k]} ({self.fell[k]})" for k in order if self.fell[k]]
        all_of_them = self.tried == self._all
        words = f"None of the {self.tried} layouts tried meets every requirement. "
        words += (
            "There are no others with these sizes and belts."
            if all_of_them
            else "That does not prove that there is none: more tries may find one."
        )
        words += f" They fell out because {'; '.join(parts[:3])}."
        if self.fell[ROUND] == self.tried:
            code = int(np.argmax(np.where(np.arange(8) > 0, self.reasons, -1)))
            return (
                f"{words} Mostly {path.REASONS[code]}. Widen the zone for idlers, or allow another side or one more "
                "idler."
            )
        if cures := self._cures():
            return f"{words} The nearest of them lacks {cures}."
        if self.fell[LASTS]:
            return f"{words} A belt lasts longer at a lower tension, beside more belts, and on larger pulleys."
        return f"{words} None of them failed in one thing alone. Widen the zone for idlers, or allow more sizes."

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
            found.append(f"a tension {self.near[GRIP]:.2f} times as high")
        if np.isfinite(self.near[POWER]):
            found.append(
                f"{int(np.ceil(self.near[POWER] * p.belts_most - 1e-9))} belts instead of {p.belts_most} at most"
            )
        return "; or ".join(found)


__all__ = ["Run"]
