"""One slider step of the tension panel, kernel side: working up, 10,000 draws, drawing, SVG; milliseconds.

Run it from the top: ``python tests/benchmarks/bench_grip.py [steps]``. It ends with 1 where the median of a
control passes the aim.
"""

from __future__ import annotations

import statistics
import sys
import time
from functools import partial

from jackshaft.buildfile import DEMO, load
from jackshaft.chapters.grip import uncertainty
from jackshaft.chapters.grip.figure import GripView
from jackshaft.chapters.grip.panel import outcome_of
from jackshaft.results import Again

AIM = 40.0
STAGE, AT = "crank belts", "stage[crank belts]"
RUNS = (
    (STAGE, "spring tension", f"{AT}.takeup.slack_tension", lambda k: f"{30 + 0.5 * k} lbf"),
    (STAGE, "friction", f"{AT}.friction_groove", lambda k: f"{0.41 + 0.002 * k:.3f}"),
    (STAGE, "power", "work.power", lambda k: f"{2 + 0.05 * k:.2f} hp"),
    (STAGE, "diameter of E", f"{AT}.pulley[E].diameter", lambda k: f"{4.0 + 0.01 * k:.2f} in"),
)


def ms(times: list[float]) -> float:
    """Return the median in milliseconds."""
    return 1e3 * statistics.median(times)


def main(steps: int) -> int:
    """Time every control and print working up, drawing and SVG beside the whole."""
    build = load(DEMO)
    print(f"median of {steps} steps, ms; {uncertainty.COUNT} draws in each")
    print(f"{'stage':<13}{'control':<28}{'work up':>9}{'draw':>7}{'svg':>7}{'whole':>8}{'drawing':>9}")
    good = True
    for stage, words, key, text in RUNS:
        step = partial(outcome_of, stage=stage, worker=Again("capacity", stage=stage))
        first = step(build, {})
        view = GripView("grip-bench", first.picture)
        view.draw(first.picture)
        view.svg()
        parts: tuple[list[float], ...] = ([], [], [], [])
        for k in range(steps + 3):
            moved = build.with_values({key: text(k)})
            marks = [time.perf_counter()]
            found = step(moved, {})
            marks.append(time.perf_counter())
            view.draw(found.picture, stop=found.why_it_does_not_work)
            marks.append(time.perf_counter())
            view.svg()
            marks.append(time.perf_counter())
            if k >= 3:  # the first few fill caches
                for part, took in zip(
                    parts, (*(b - a for a, b in zip(marks, marks[1:], strict=False)), marks[-1] - marks[0]), strict=True
                ):
                    part.append(took)
        work, drawn, svg, whole = (ms(p) for p in parts)
        good &= whole < AIM
        share = 100 * (drawn + svg) / whole
        print(f"{stage:<13}{words:<28}{work:>9.1f}{drawn:>7.1f}{svg:>7.1f}{whole:>8.1f}{share:>8.0f}%")
    print(f"aim (median under {AIM:g}): " + ("met" if good else "missed"))
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 40))
