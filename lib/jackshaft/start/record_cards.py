"""The cards of the record page by their names: faults, log, a part of yours."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from jackshaft.record.narrowing import begin, complaints
from jackshaft.results import Results
from jackshaft.start.log_forms import LogForms
from jackshaft.start.swap_forms import SwapForms
from jackshaft.ui.forms import Forms
from jackshaft.ui.questions import Questions


def questions(results: Results) -> Questions:
    """Return the card that finds a fault: it asks for one look after another, by the values of this build."""
    return Questions(
        "Find the fault",
        complaints(results),
        partial(begin, results),
        "Run this page in Jupyter to be asked for one look after another. You can also use the command: "
        f"python -m jackshaft fault {results.build.slug}",
    )


#: What makes each card of the results of a build.
CARDS: Mapping[str, Callable[[Results], Forms]] = {
    "fault": questions,
    "log": lambda results: LogForms(results.build),
    "swap": lambda results: SwapForms(results.build),
}

__all__ = ["CARDS", "questions"]
