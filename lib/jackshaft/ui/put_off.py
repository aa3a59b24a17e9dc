"""What a panel's state puts off while a hand moves a field: what takes long, and the ends of each band."""

from __future__ import annotations

from collections.abc import Callable, Generator

from jackshaft.results.running import Results, at_once
from jackshaft.ui.model import Outcome
from jackshaft.ui.trouble import Trouble, fault_of


class PutOff:
    """What a panel's state does once the hand rests."""

    outcome: Outcome | None
    troubles: tuple[Trouble, ...]
    #: what was last judged at the ends of each band
    judged: Results | None = None
    _try: Callable[[Callable[[], Outcome], bool], bool]

    @property
    def fresh(self) -> bool:
        """Whether the outcome matches the inputs."""
        return not self.troubles

    @property
    def pending(self) -> bool:
        """Whether a part of the outcome that takes long is still to be worked out, or judged."""
        outcome = self.outcome
        return self.fresh and outcome is not None and not (outcome.later is None and outcome.ends is None)

    def finish(self, *, first: bool = False) -> None:
        """Work out and judge what was put off, if anything was.

        Parameters
        ----------
        first : bool, optional
            Whether a fault of the program is raised rather than shown.
        """
        at_once(self.judging(first=first))

    def complete(self, *, first: bool = False) -> None:
        """Work out what was put off, if anything was; the checks are not judged at the ends of each band.

        Parameters
        ----------
        first : bool, optional
            Whether a fault of the program is raised rather than shown.
        """
        if self.pending and self.outcome.later is not None:
            self._try(self.outcome.later, first)

    def judging(self, *, first: bool = False) -> Generator[None, None, None]:
        """Complete the outcome, then judge its checks at the ends of each band, a step at a time.

        Parameters
        ----------
        first : bool, optional
            Whether a fault of the program is raised rather than shown.
        """
        self.complete(first=first)
        if not self.pending:
            return
        outcome = self.outcome
        try:
            done, judged = yield from outcome.ends(self.judged)
        except Exception as error:
            # Jupyter only logs what a callback raises, so the panel has to show it; a cell shows it itself.
            if first:
                raise
            self.troubles = (fault_of(error),)
            return
        if self.outcome is outcome and self.fresh:
            self.outcome, self.judged = done, judged


__all__ = ["PutOff"]
