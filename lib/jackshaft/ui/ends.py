"""What a panel shows once the hand rests: the same results, their checks judged at the ends of each band too."""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import replace

from jackshaft.results import Results, judging
from jackshaft.results.ends import spoilt_by
from jackshaft.ui.model import Outcome


def shown(results: Results, show: Callable[[Results], Outcome]) -> Outcome:
    """Return what ``show`` makes of results; where a band may spoil a go of theirs, with the ends still to come.

    Parameters
    ----------
    results : Results
        Worked up at the values as they stand.
    show : callable
        ``show(results) -> Outcome``.
    """
    outcome = show(results)
    if not spoilt_by(results.build, results.raw):
        return outcome

    def ends(before: Results | None) -> Generator[None, None, tuple[Outcome, Results]]:
        judged = yield from judging(results, before=before)
        return show(judged), judged

    return replace(outcome, ends=ends)


__all__ = ["shown"]
