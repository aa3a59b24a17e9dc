"""A build in plain text for a post in a forum: machine, verdict, ten numbers, what is open, fingerprint."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import shorten

from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.record.glance import glance
from jackshaft.record.opening import order, overall, undecided
from jackshaft.results import Results
from jackshaft.results.checks import CAUTION, STOP

#: What a post may hold: fewer letters than this.
MOST = 2000
#: Numbers of a post, and letters of one line.
NUMBERS, WIDE = 10, 110
END = "No certificate: a builder's working paper. The part maker's data and local codes go first."


def post(results: Results) -> str:
    """Return a build as plain text of fewer than ``MOST`` letters.

    What does not fit is counted, never left out unsaid: verdict, fingerprint and the warning always stand there.
    """
    build = results.build
    head = [_line(build.name), *([_line(f"{build.get('purpose')}.")] if build.get("purpose") else []), overall(results)]
    foot = [f"Build {fingerprint(build)}. {END}"]
    numbers = [_line(f"- {what}: {value}") for what, value in glance(results)]
    needs = [_line(f"- {c.verdict}: {c.name}, {c.value}. {order(c, results)}") for c in _needs(results)]
    opened = [_line(f"- not decided: {'; '.join(o.names)}. Wanted: {o.words or 'see why'}") for o in undecided(results)]
    room = MOST - 1 - len("\n".join([*head, *foot])) - 120  # headings, blank lines and the words for what is left out
    shown = _fitting(numbers[:NUMBERS], room * 3 // 5)
    room -= len("\n".join(shown))
    items = _fitting([*needs, *opened], room)
    return "\n".join(
        [
            *head,
            "",
            "Numbers",
            *(shown or ["- none yet"]),
            *_left_out(len(numbers) - len(shown)),
            "",
            "Open items",
            *(items or ["- none"] if not needs + opened else items),
            *_left_out(len(needs) + len(opened) - len(items)),
            "",
            *foot,
        ]
    )


def _needs(results: Results) -> list:
    """Return what needs doing, stops first; what the builder accepted comes last."""
    found = [c for c in results.checks if c.verdict in (STOP, CAUTION)]
    return sorted(found, key=lambda c: (c.verdict != STOP, c.accepted is not None))


def _line(text: str) -> str:
    return shorten(text, WIDE, placeholder=" ...")


def _left_out(count: int) -> list[str]:
    return [f"- and {count} more in the record"] if count > 0 else []


def _fitting(lines: Iterable[str], room: int) -> list[str]:
    """Return the first lines that fit into so many letters."""
    found = []
    for line in lines:
        room -= len(line) + 1
        if room < 0:
            break
        found.append(line)
    return found


__all__ = ["MOST", "NUMBERS", "post"]
