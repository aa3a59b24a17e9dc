"""What a notebook's first cell costs, beside the libraries that every such notebook would load.

Run it from the top: ``python tests/benchmarks/bench_import.py [runs]``. Processor time of fresh interpreters, user and
system, the least of the runs; bare, and with what a kernel has loaded before the first cell. It ends with 1 where the
import takes more than 1.2 times the baseline of the same run.
"""

from __future__ import annotations

import resource
import subprocess
import sys

MOST = 1.2
KERNEL = "import IPython, ipykernel.kernelapp, ipykernel.ipkernel, traitlets\n"
LIBRARIES = "import numpy, pint, matplotlib.pyplot\n"
FIRST_CELL = "from jackshaft.bench import open_build\nfrom jackshaft.formulas import belt_path\n"
CHECK = "from jackshaft import cli\ncli.main(['check', 'feed_wagon_auger'])\n"
#: The same without trying any cure.
BARE = "from jackshaft.buildfile import load\nfrom jackshaft.results import work_up\n"
BARE += "from jackshaft.render.plain import report\nprint(report(work_up(load('feed_wagon_auger'))))\n"


def seconds(code: str, runs: int) -> float:
    """Return the least processor time of fresh interpreters that run a text."""
    found = []
    for _ in range(runs):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, "-c", code], check=True, stdout=subprocess.DEVNULL)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        found.append(after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime)
    return min(found)


def main(runs: int) -> int:
    """Measure and print the table."""
    good = True
    print(f"least of {runs} runs, seconds of processor time")
    print(f"{'':<10}{'libraries':>11}{'first cell':>12}{'ratio':>8}{'to a picture':>14}")
    picture = "open_build().pictures('layout')\n"
    for name, before in (("bare", "pass\n"), ("kernel", KERNEL)):
        start = seconds(before, runs)
        base, ours, drawn = (
            seconds(before + code, runs) - start for code in (LIBRARIES, FIRST_CELL, FIRST_CELL + picture)
        )
        good &= ours <= MOST * base
        print(f"{name:<10}{base:>11.2f}{ours:>12.2f}{ours / base:>8.2f}{drawn:>14.2f}")
    whole, bare = seconds(CHECK, runs), seconds(BARE, runs)
    print(f"check of the demo build, every cure tried: {whole:.2f}; without cures {bare:.2f}; ratio {whole / bare:.2f}")
    print(f"aim for the first cell ({MOST} times the libraries at most): {'met' if good else 'missed'}")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 7))
