"""Work that waits a moment on the page's own loop, so that what matters more leaves first."""

from __future__ import annotations

import asyncio
from collections.abc import Callable


def running_loop() -> asyncio.AbstractEventLoop | None:
    """Return the loop that a live page runs on; None in a plain script or test."""
    try:
        return asyncio.get_running_loop()
    except RuntimeError:
        return None


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
