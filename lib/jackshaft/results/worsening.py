"""What a change of a build makes worse: checks whose verdict falls, and checks that fail by more than before."""

from __future__ import annotations

from dataclasses import replace

from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, Check
from jackshaft.results.cure import Worse
from jackshaft.results.running import Results
from jackshaft.results.values import PLAIN, Number

#: What is said to have been of a check that is new.
NOT_THERE = "not there"

#: A value that gets worse by no more than this share, its verdict being the same, is not spoken of.
SLIP = 0.05

#: What a limit says of the side that it is on.
MORE, LESS = (" or more", "at least "), (" or less", "at most ")


def turned(before: Results, after: Results, *, but: str = "") -> tuple[Worse, ...]:
    """Return the checks whose verdict is worse than before, or that are new and no go; ``but`` is left out."""
    old = {c.id: c.verdict for c in before.checks}
    found = []
    for check in after.checks:
        was = old.get(check.id, GO)
        if check.id != but and ORDER.index(check.verdict) > ORDER.index(was):
            found.append(Worse(check.id, check.name, old.get(check.id, NOT_THERE), check.verdict))
    return tuple(found)


def slipped(before: Results, after: Results, *, but: str = "") -> tuple[Worse, ...]:
    """Return the cautions and stops that stay what they are and fail by more; ``but`` is left out."""
    old = {c.id: c for c in before.checks}
    found = []
    for check in after.checks:
        was = old.get(check.id)
        if was is not None and check.id != but and check.verdict == was.verdict and _fails_more(was, check):
            found.append(Worse(check.id, check.name, *_two(was.found, check.found), stays=check.verdict))
    return tuple(found)


def _fails_more(was: Check, now: Check) -> bool:
    """Tell whether what was found is worse than before, by more than :data:`SLIP` and against its own limit too."""
    better = side(was)
    if not better or better != side(now) or was.found.kind != now.found.kind:
        return False
    worse = better * (was.found.si - now.found.si)
    numbers = isinstance(was.wanted, Number) and isinstance(now.wanted, Number)
    limits = better * (was.wanted.si - now.wanted.si) if numbers else 0.0
    return worse > SLIP * abs(was.found.si) and worse > limits


def side(check: Check) -> int:
    """Return which way what a failing check found would have to go: 1 up, -1 down; 0 where its numbers do not tell.

    A stop fails at the likely value. A caution holds there where its band crosses the limit, and fails at the other
    end. Where the limit says in words which side it is on, that end must fail. A caution with a band that does not
    reach its limit has another reason than its numbers. A safety is better high, also where its limit is in words.
    """
    found, limit = check.found, check.wanted
    if isinstance(found, Number) and isinstance(limit, str) and check.verdict in (CAUTION, STOP):
        return 1 if found.words.startswith("safety") else 0
    if check.verdict not in (CAUTION, STOP) or not (isinstance(found, Number) and isinstance(limit, Number)):
        return 0
    if found.kind != limit.kind:
        return 0
    (low, high), (least, most) = _ends(found), _ends(limit)
    if any(w in limit.shown for w in MORE):
        return 1 if low < least else 0
    if any(w in limit.shown for w in LESS):
        return -1 if high > most else 0
    if check.verdict == CAUTION and low < high and (low > most or high < least):
        return 0
    if check.verdict == CAUTION and low < least <= most < high:
        return 1 if found.si >= most else -1 if found.si <= least else 0
    if check.verdict == CAUTION and (low < least <= found.si or found.si <= most < high):
        return 1 if low < least else -1
    return 1 if found.si < least else -1 if found.si > most else 0


def _ends(number: Number) -> tuple[float, float]:
    """Return the least and the most that a number may be."""
    there = [v for v in (number.si, number.low, number.high) if v is not None]
    return min(there), max(there)


def _two(before: Number, after: Number) -> tuple[str, str]:
    """Return two numbers without the words round them, with three digits where they would read alike."""
    bare = tuple(replace(n, words="{}").shown for n in (before, after))
    if bare[0] != bare[1]:
        return bare
    return tuple(replace(n, words="{}", digits=3, decimals=None, unit="", form=PLAIN).shown for n in (before, after))


def worsened(before: Results, after: Results, *, but: str = "") -> tuple[Worse, ...]:
    """Return the checks that get worse: first those whose verdict does, then those that do within it.

    ``but`` is left out.
    """
    return turned(before, after, but=but) + slipped(before, after, but=but)


__all__ = ["SLIP", "side", "slipped", "turned", "worsened"]
