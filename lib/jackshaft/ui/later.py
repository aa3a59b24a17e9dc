"""Work that waits a moment on the page's own loop, so that what matters more leaves first."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterator
from time import monotonic


def running_loop() -> asyncio.AbstractEventLoop | None:
    """Return the loop that a live page runs on; None in a plain script or test."""
    try:
        return asyncio.get_running_loop()
    except RuntimeError:
        return None


#: Seconds that steps of one work take before the page has its turn, and that it has.
TURN, PAUSE = 0.015, 0.003


class InSteps:
    """Work in steps that waits a moment and leaves the page its turns; without a loop it is done at once.

    Parameters
    ----------
    seconds : float
        How long it waits.
    steps : callable
        Begins the work: ``next`` of what it returns does a step.
    done : callable
        What follows the last one.
    """

    def __init__(self, seconds: float, steps: Callable[[], Iterator[None]], done: Callable[[], None]):
        self._seconds, self._steps, self._done = seconds, steps, done
        self._left: Iterator[None] | None = None
        self._timer: asyncio.TimerHandle | None = None

    @property
    def going(self) -> bool:
        """Whether there are steps left, or it waits."""
        return self._left is not None

    def soon(self) -> None:
        """Ask for it; asking again begins the wait again."""
        self.cancel()
        self._left, loop = self._steps(), running_loop()
        if loop is None:
            self._turn()
        else:
            self._timer = loop.call_later(self._seconds, self._turn)

    def cancel(self) -> None:
        """Leave the rest undone."""
        self._left = None
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None

    def _turn(self) -> None:
        self._timer, loop, until = None, running_loop(), monotonic() + TURN
        for _ in self._left:
            if loop is not None and monotonic() > until:
                self._timer = loop.call_later(PAUSE, self._turn)
                return
        self._left = None
        self._done()


class Later:
    """Work that is put off; without a loop it is done at once.

    Parameters
    ----------
    seconds : float
        How long it waits.
    work : callable
        What is done.
    anew : bool
        Whether asking again begins the wait again. Otherwise the turn that is coming serves every call before it.
    """

    def __init__(self, seconds: float, work: Callable[[], None], *, anew: bool):
        self._seconds, self._work, self._anew = seconds, work, anew
        self._timer: asyncio.TimerHandle | None = None

    def soon(self) -> None:
        """Ask for it."""
        if self._timer is not None and not self._anew:
            return
        self.cancel()
        loop = running_loop()
        if loop is None:
            self._work()
        else:
            self._timer = loop.call_later(self._seconds, self._turn)

    def hurry(self) -> None:
        """Do it now if it is waiting."""
        if self._timer is not None:
            self.cancel()
            self._work()

    def cancel(self) -> None:
        """Do not do it after all."""
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None

    def _turn(self) -> None:
        self._timer = None
        self._work()
