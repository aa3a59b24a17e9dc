"""Widget callbacks run in threads beside the cell: working up and drawing at once must not disturb each other."""

from __future__ import annotations

import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager

import matplotlib
import pytest
from jackshaft import tables
from jackshaft.buildfile import DEMO, load
from jackshaft.drawing.pictures import pictures_of
from jackshaft.results import work_up

ROUNDS = 6


@contextmanager
def switching_often():
    """Let threads take turns far more often than they do by themselves."""
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-5)
    try:
        yield
    finally:
        sys.setswitchinterval(before)


def test_tables_held_crosswise_by_two_threads_are_let_go():
    entered, leave = threading.Event(), threading.Event()

    def other():
        with tables.held():
            entered.set()
            leave.wait(10)

    thread = threading.Thread(target=other)
    with tables.held():
        thread.start()
        assert entered.wait(10)
    leave.set()
    thread.join(10)
    first = tables.table("wire")
    with tables.held():
        assert tables.table("wire") is first
    assert tables._held.get() is None


@pytest.mark.filterwarnings("error")
def test_two_threads_work_up_and_draw_as_one_does():
    build = load(DEMO)
    alone = work_up(build)
    chapters = ("layout", "ratio")
    pictures = {name: [p.png for p in pictures_of(alone, name)] for name in chapters}
    assert all(pictures.values())
    settings = dict(matplotlib.rcParams)

    def both(name: str):
        found = []
        for _ in range(ROUNDS):
            results = work_up(build)
            drawn = [p.png for p in pictures_of(results, name)]
            found.append((results.checks == alone.checks, drawn == pictures[name]))
        return found

    with switching_often(), ThreadPoolExecutor(2) as pool:
        rounds = [r for found in pool.map(both, chapters) for r in found]
    assert rounds == [(True, True)] * (2 * ROUNDS)
    assert dict(matplotlib.rcParams) == settings
