"""How good the fronts of the search are, beside other ways: ``python tests/benchmarks/bench_front.py [tries [seeds]]``.

On eleven loops (tests/unit/search_loops.py) and five more (search_held_out.py) each way has the same number of tries,
the same measuring and the same store: the search; random places and sizes; SciPy's differential evolution on weighted
worst aims; and NSGA-II where the package ``pymoo`` is installed. Printed is the part of the space that each front
dominates (hypervolume of the logarithms of the five aims, between the best and the worst of all fronts, by counting
random points), over that of the search: 1.00 is as good, less is worse. Random ways are printed for the best of the
seeds and for their median. Nothing is asserted.
"""

from __future__ import annotations

import importlib.util
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "unit"))

import numpy as np  # noqa: E402
from jackshaft.mechanics import path  # noqa: E402
from jackshaft.search import Run, aims_of, problem_of  # noqa: E402
from jackshaft.search.engine import CHUNK, LEAST_RATE, Tried  # noqa: E402
from jackshaft.search.fields import AT, FAILS, FIELDS  # noqa: E402
from jackshaft.search.front import Front, not_dominated  # noqa: E402
from jackshaft.search.measuring import Fitted, rate_of  # noqa: E402
from jackshaft.search.places import Loops  # noqa: E402
from scipy.optimize import differential_evolution  # noqa: E402
from search_held_out import HELD_OUT  # noqa: E402
from search_loops import LOOPS  # noqa: E402

#: Choices of one layout between 0 and 1: pattern, pair, two idler sizes, two places, belts.
CHOICES = 9
#: Aims of what does not hold, the worse the earlier it falls out.
FAR = 100.0


class Measured:
    """Layouts given as choices between 0 and 1, measured as the search measures them; all that hold are stored."""

    def __init__(self, problem):
        run = Run(problem, 1)
        self.problem, self.chunks, self.front = problem, run._chunks, Front(len(FIELDS), (0.01,) * 5)
        self.tried = 0
        counts = {c.pattern.count for c in self.chunks}
        self._work = {n: (path.work_si(n, CHUNK), path.work_si(n, CHUNK)) for n in counts}

    def __call__(self, u: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Return aims, shape (m, 5), and how early each fell out: 0 where it holds, up to 5."""
        u = np.clip(u, 0.0, 1.0 - 1e-12)
        aims, early = np.full((len(u), 5), np.nan), np.full(len(u), 5.0)
        of = (u[:, 0] * len(self.chunks)).astype(int)
        belts = 1 + (u[:, 8] * self.problem.belts_most).astype(int)
        for k in np.unique(of):
            for part in np.array_split(mine := np.flatnonzero(of == k), 1 + len(mine) // CHUNK):
                self._some(self.chunks[k], u[part], (aims, early, part), belts)
        self.tried += len(u)
        return aims, early

    def _some(self, chunk, u, out, belts) -> None:
        aims, early, part = out
        fitted, outside = self._fitted(chunk, u)
        early[part[fitted.loops.picked[-1]]] = 4.0
        rate = rate_of(self.problem, chunk.pattern, fitted)
        good = outside <= 1e-9 if rate is None else (outside <= 1e-9) & (rate >= LEAST_RATE)
        fitted = fitted.at(np.flatnonzero(good))
        early[part[fitted.loops.picked[-1]]] = 3.0
        held, grips, carries = chunk._carried(fitted)
        rows, which = chunk._rows(fitted, held, grips & carries, np.full(len(fitted.target), np.inf))
        early[part[fitted.loops.picked[-1][which]]] = 2.0
        gap, lack = chunk._room_and_arm(fitted)
        stands = lack <= 0.0
        rows[:, AT["gap"]] = gap[which]
        rows, which = rows[stands[which]], which[stands[which]]
        self.front.add(aims_of(rows), rows)
        number = part[fitted.loops.picked[-1][which]]
        early[number] = 1.0
        wanted = rows[:, AT["belts"]] == belts[number]
        early[number[wanted]] = 0.0
        aims[number[wanted]] = aims_of(rows[wanted])

    def _fitted(self, chunk, u):
        """Return layouts with a belt on, their numbers among the choices as the last row of what was picked."""
        places, number = chunk.places, np.arange(len(u))
        many, rows = len(FAILS), np.zeros((0, len(FIELDS)))
        none = Tried(rows, np.zeros(many, int), np.full(many, np.inf), np.zeros(8, int), rows)
        if chunk.pattern.moves is None:
            at = (u[:, 1] * places.parts[0]).astype(int) * places.parts[1] + (u[:, 4] * places.parts[1]).astype(int)
            loops, target, over = (a if isinstance(a, Loops) else a[at] for a in places.on_centres(0, places.whole))
            loops = _numbered(loops.at(at), number)
            found = chunk._strung(loops, self._work[2][0])
            on = np.flatnonzero((found.reason == 0) & (np.abs(over) <= 1e-12))
            return Fitted(loops, target, found).at(on), np.zeros(len(on))
        sizes = np.stack([(u[:, 1 + k] * n).astype(np.intp) for k, n in enumerate(places.picks)])
        loops = places._fill(u[:, 4 : 4 + len(places.edges)].T, sizes)
        return chunk._by_idler(_numbered(loops, number), self._work[chunk.pattern.count], none)


def _numbered(loops: Loops, number: np.ndarray) -> Loops:
    return loops._replace(picked=np.concatenate([loops.picked, number[None]]))


def randomly(problem, tries: int, seed: int) -> Front:
    """Random choices."""
    rng, measured = np.random.default_rng(seed), Measured(problem)
    while measured.tried < tries:
        measured(rng.random((min(CHUNK, tries - measured.tried), CHOICES)))
    return measured.front


def evolved(problem, tries: int, seed: int, weights: int = 20, people: int = 50) -> Front:
    """SciPy's differential evolution, one run for each of some weights of the aims."""
    rng, measured = np.random.default_rng(seed), Measured(problem)
    for weight in rng.dirichlet(np.ones(5), weights):

        def worst(u, weight=weight):
            aims, early = measured(u.T)
            with np.errstate(invalid="ignore"):
                value = (weight * np.log(aims)).max(axis=1) + 0.05 * (weight * np.log(aims)).sum(axis=1)
            return np.where(early > 0, FAR * early, value)

        steps = tries // weights // people - 1
        differential_evolution(
            worst, [(0.0, 1.0)] * CHOICES, init=rng.random((people, CHOICES)), maxiter=steps, tol=0.0, polish=False,
            vectorized=True, updating="deferred", rng=rng,
        )  # fmt: skip
    return measured.front


def nsga(problem, tries: int, seed: int, people: int = 500) -> Front:
    """NSGA-II of the package pymoo, as it comes."""
    # no requirement of the tests: it is only measured against where someone has it
    core, ways, run = (
        importlib.import_module(f"pymoo.{k}") for k in ("core.problem", "algorithms.moo.nsga2", "optimize")
    )
    measured = Measured(problem)

    class Asked(core.Problem):
        def __init__(self):
            super().__init__(n_var=CHOICES, n_obj=5, n_ieq_constr=1, xl=0.0, xu=1.0)

        def _evaluate(self, u, out, *args, **kwargs):
            aims, early = measured(u)
            out["F"] = np.where(early[:, None] > 0, 0.0, np.log(aims))
            out["G"] = early[:, None]

    run.minimize(Asked(), ways.NSGA2(pop_size=people), ("n_gen", tries // people), seed=seed, verbose=False)
    return measured.front


def spaces(fronts: list[np.ndarray], points: int = 200_000) -> list[float]:
    """The part of the box between the best and the worst of all fronts together that each front dominates."""
    together = np.log(np.concatenate(fronts))
    together = together[not_dominated(together)]
    low, high = together.min(axis=0), together.max(axis=0) + 1e-3
    places = low + np.random.default_rng(0).random((points, together.shape[1])) * (high - low)
    found = []
    for aims in fronts:
        below = np.zeros(points, bool)
        for one in np.log(aims):
            below |= (one <= places).all(axis=1)
        found.append(float(below.mean()))
    return found


def main(tries: int = 100_000, seeds: int = 3, first: int = 0, last: int | None = None) -> None:
    ways = {"random": randomly, "evolution": evolved}
    if importlib.util.find_spec("pymoo"):
        ways["NSGA-II"] = nsga
    print(f"{tries} tries; part of the space dominated, over the search's: best and median of {seeds} seeds; s")
    print(f"{'loop':<40}{'search':>14}" + "".join(f"{way:>23}" for way in ways))
    for name, of in list((LOOPS | HELD_OUT).items())[first:last]:
        problem = problem_of(*of())
        began = time.process_time()
        fronts, took = [Run(problem, tries).finish().front.aims], [time.process_time() - began]
        for way in ways.values():
            began = time.process_time()
            fronts += [way(problem, tries, seed).aims for seed in range(seeds)]
            took.append((time.process_time() - began) / seeds)
        own, *rest = spaces(fronts)
        each = [[one / own for one in rest[k * seeds : (k + 1) * seeds]] for k in range(len(ways))]
        cells = "".join(
            f"{max(e):>10.3f} {np.median(e):.3f}{t:>6.1f}s" for e, t in zip(each, took[1:], strict=True)
        )
        print(f"{name:<40}{len(fronts[0]):>6} kept{took[0]:>4.1f}s{cells}", flush=True)


if __name__ == "__main__":
    main(*(int(a) for a in sys.argv[1:]))
