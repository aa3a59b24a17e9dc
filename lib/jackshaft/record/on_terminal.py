"""A fault looked for on a terminal: what is printed, and what is asked."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from jackshaft.record.narrowing import SKIP, Case, begin, complaints
from jackshaft.results import Results


def chosen(results: Results, words: str) -> str:
    """Return the complaint that is meant: by its number from 1, or by words that only one has.

    Raises
    ------
    ValueError
        If none or several are meant; the words list them.
    """
    there = complaints(results)
    if words.isdecimal() and 0 < int(words) <= len(there):
        return there[int(words) - 1]
    meant = [c for c in there if words.strip().lower() in c.lower()]
    if len(meant) != 1:
        raise ValueError(f"found '{words[:60]}'; wanted a number, or words of one of these:\n{listed(results)}")
    return meant[0]


def listed(results: Results) -> str:
    """Return the complaints that a build can have, numbered; words where it has none."""
    lines = [f"{number}. {words}" for number, words in enumerate(complaints(results), 1)]
    return "\n".join(lines) or "The build names no part yet that a fault could be in."


def asked(case: Case) -> str:
    """Return the open question of a case as lines: the look, why, this build's own value and the answers."""
    look = case.question
    if look is None:
        return case.end
    lines = [f"{look.words}.", f"  {case.why}"]
    lines += [f"  In this build: {look.here}."] if look.here else []
    lines += [f"  {number}. {finding.words}" for number, finding in enumerate(look.findings, 1)]
    more = ", a reading with its unit" if look.band else ""
    return "\n".join([*lines, f"  Answer by a number{more}, or '{SKIP}' where you cannot look."])


def converse(
    results: Results,
    complaint: str,
    answers: Sequence[str],
    ask: Callable[[str], str] | None,
    say: Callable[[str], object],
) -> Case:
    """Take a case from its complaint as far as the answers lead.

    Parameters
    ----------
    results : Results
        The build that was worked up.
    complaint : str
        What is wrong, as :func:`complaints` says it.
    answers : sequence of str
        Answers in their order; what is no answer raises a ValueError.
    ask : callable, optional
        Returns what is typed after the answers are used up; an EOFError ends it.
    say : callable
        Gets what is printed.
    """
    case, given = begin(results, complaint), list(answers)
    say(f"{case.complaint}: {len(case.left)} causes are possible.")
    while case.question is not None:
        say(asked(case))
        if given:
            text = given.pop(0)
            say(f"> {text}")
            case = case.answer(text)
            continue
        if ask is None:
            return case
        try:
            case = case.answer(ask("> "))
        except EOFError:
            return case
        except ValueError as error:
            say(str(error))
    if given:
        raise ValueError(f"found {len(given)} more answers, '{given[0][:60]}' first; wanted none: {case.end}")
    say("\n".join([*(f"{number}. {step.words}" for number, step in enumerate(case.steps, 1)), case.end]))
    return case


__all__ = ["asked", "chosen", "converse", "listed"]
