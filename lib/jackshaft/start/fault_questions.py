"""The card of the record page that finds a fault by questions."""

from __future__ import annotations

from functools import partial

from jackshaft.record.narrowing import begin, complaints
from jackshaft.results import Results
from jackshaft.ui.questions import Questions


def questions(results: Results) -> Questions:
    """Return the card that asks for one look after another, by the values of this build."""
    return Questions(
        "Find the fault",
        complaints(results),
        partial(begin, results),
        "Run this page in Jupyter to be asked for one look after another. You can also use the command: "
        f"python -m jackshaft fault {results.build.slug}",
    )


__all__ = ["questions"]
