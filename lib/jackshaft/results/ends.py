"""Every check is judged at the ends of what is known within a band only, and its verdict is no better than there.

A chapter judges at the likely value of most of what it reads. Here the build is worked up again with each
value that has an allowance at either end of it, and then, for each check, with all of them at the ends that are bad for
it. A go that fails there is a caution, as it is for a band that a chapter carries itself.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from jackshaft.buildfile import Build
from jackshaft.results.bands import COMMON, banded, ends_of, guess_of
from jackshaft.results.chapter import chapters
from jackshaft.results.checks import CAUTION, GO, LEAST, MOST, ORDER, UNDECIDED, Check
from jackshaft.results.findings import CANNOT, Findings, label, out_of_date
from jackshaft.results.values import Number
from jackshaft.units import Measure, show

#: A value and the end of its band that it is put at: 0 the low one, 1 the high one.
End = tuple[str, int]
#: Values at an end each.
Corner = frozenset[End]
#: Some chapters of a build and what they need, those that are given as they were found before.
Run = Callable[[Build, Mapping[str, Findings], Iterable[str]], Mapping[str, Findings]]
#: Several bands at once may take so many times what they take one by one before their corner is left out.
TOGETHER = 3.0
#: A band of at most this share of its value spoils only what is near its limit, by so many times that share. A life
#: goes with the third power of a load and the first of a speed, so that leaves some room. Own derivation.
NARROW, NEAR = 0.02, 6.0
#: Kinds of which that is true. A fit, a gap and a place are small differences of large sizes; what is rated fits or
#: does not; shares and weights are held against each other.
SCALES = frozenset({"force", "power", "resistance", "rotation", "torque"})
#: What differs by less is the same.
SAME = 1e-9


@dataclass(frozen=True)
class Moved:
    """A build with values at the ends of their bands, what its chapters found, and which of them are judged there."""

    build: Build
    chapters: Mapping[str, Findings]
    judged: frozenset[str]


def judging(
    build: Build, raw: Mapping[str, Findings], run: Run, before: Mapping[Corner, Moved]
) -> Generator[None, None, tuple[Mapping[str, Findings], Mapping[Corner, Moved]]]:
    """Judge the checks at the ends too, a corner at a time, so that what matters more may come between.

    Parameters
    ----------
    build : Build
        The build.
    raw : mapping of name to Findings
        Its chapters as they were found at the values written down.
    run : callable
        Works the chapters of a build up.
    before : mapping of corner to Moved
        What was found at the ends for another state of the build; what did not change is taken from there.

    Returns
    -------
    tuple of mappings
        The chapters with their checks as they are at the ends, and what was found there.
    """
    spoilt = spoilt_by(build, raw)
    ends = {key: ends_of(key, build.values[key]) for key in spoilt}

    def moved(corner: Corner) -> Moved:
        at = replace(build, values={**build.values, **{key: ends[key][end] for key, end in corner}})
        names = frozenset(name for key, _ in corner for name in spoilt[key])
        kept, old = _same(build, at, raw), before.get(corner)
        if old is not None:
            # what was only needed then was worked up bare
            same = _same(old.build, at, old.chapters).items()
            kept = {n: found for n, found in same if n in old.judged or n not in names} | kept
        found = run(at, kept, names)
        # a corner is kept for its data and checks alone: what is shown of it is most of what it holds
        lean = {n: f if n in kept else replace(f, facts=(), tables=()) for n, f in found.items()}
        return Moved(at, lean, names)

    seen: dict[Corner, Moved] = {}
    for corner in [frozenset({(key, end)}) for key in ends for end in (0, 1)]:
        seen[corner] = moved(corner)
        yield
    for corner in _corners(raw, seen) if len(ends) > 1 else ():
        seen[corner] = moved(corner)
        yield
    return {name: _amended(build, found, seen, ends) for name, found in raw.items()}, seen


def spoilt_by(build: Build, raw: Mapping[str, Findings]) -> Mapping[str, tuple[str, ...]]:
    """Return each key whose band may spoil a go of the chapters of a build, with the names of those chapters."""
    read = frozenset().union(*(found.inputs for found in raw.values()))
    found = {
        key: _spoilt(raw, key, value, pair)
        for key, value in build.values.items()
        if key in read and isinstance(value, Measure) and (pair := ends_of(key, value))
    }
    return {key: names for key, names in found.items() if names}


def _spoilt(raw: Mapping[str, Findings], key: str, value: Measure, ends: tuple[Measure, ...]) -> tuple[str, ...]:
    """Return the chapters of which a go may fail where a value lies at the end of its band."""
    mine = [found for found in raw.values() if key in found.inputs and not chapters()[found.name].own_ends]
    share = max(abs(end.si - value.si) for end in ends) / abs(value.si) if value.si else np.inf
    if share > NARROW or value.kind not in SCALES:
        return tuple(found.name for found in mine)
    near = NEAR * share
    return tuple(
        found.name
        for found in mine
        if any(c.verdict == GO and (left := margin(c)) is not None and left < near for c in found.checks)
    )


def _same(before: Build, after: Build, chapters: Mapping[str, Findings]) -> dict[str, Findings]:
    spoiled = {found.name for found, _ in out_of_date(before, after, tuple(chapters.values()))}
    return {name: found for name, found in chapters.items() if name not in spoiled}


def margin(check: Check | None) -> float | None:
    """Return by how much a check is met at its bad end, as the logarithm of a ratio; None where that is no number."""
    if check is None or not isinstance(check.found, Number) or not isinstance(check.wanted, Number):
        return None
    found, limit = check.found, check.wanted.si
    if LEAST.search(check.wanted.words):
        value, limit = found.si if found.low is None else found.low, limit
    elif MOST.search(check.wanted.words):
        value, limit = limit, found.si if found.high is None else found.high
    else:
        return None
    ratio = value / limit if limit > 0 else 0.0
    return float(np.log(ratio)) if 0 < ratio < np.inf else None


def _corners(raw: Mapping[str, Findings], seen: Mapping[Corner, Moved]) -> list[Corner]:
    """Return the corners of several values at once that may spoil a go: for each check the ends that are bad for it.

    A check is left out that would hold if its bands took :data:`TOGETHER` times what they take one by one.
    """
    found: dict[Corner, None] = {}
    at = {corner: {c.id: c for f in one.chapters.values() for c in f.checks} for corner, one in seen.items()}
    for check in (c for f in raw.values() for c in f.checks if c.verdict == GO):
        now = margin(check)
        if now is None:
            continue
        takes: dict[str, tuple[float, int]] = {}
        for corner, checks in at.items():
            ((key, end),) = corner
            there = margin(checks.get(check.id))
            if there is not None and now - there > max(SAME, takes.get(key, (0.0, 0))[0]):
                takes[key] = now - there, end
        if len(takes) > 1 and TOGETHER * sum(t for t, _ in takes.values()) >= now:
            found[frozenset((key, end) for key, (_, end) in takes.items())] = None
    return list(found)


def _amended(
    build: Build, found: Findings, seen: Mapping[Corner, Moved], ends: Mapping[str, tuple[Measure, ...]]
) -> Findings:
    """Return a chapter with each go that fails at an end as what it is there, a stop as a caution."""
    mine = {c: {k.id: k for k in m.chapters[found.name].checks} for c, m in seen.items() if found.name in m.judged}
    mine = {c: there for c, there in mine.items() if seen[c].chapters[found.name] is not found}
    if not mine:
        return found
    checks = [_at_worst(build, check, mine, ends) if check.verdict == GO else check for check in found.checks]
    there, ids = {}, {c.id for c in found.checks}
    for corner, at in mine.items():
        for id, check in at.items():
            if id not in ids and check.verdict != GO:
                there.setdefault(id, (check, corner))
    checks += [_turned(build, check, check, corner, ends) for check, corner in there.values()]
    return replace(found, checks=tuple(checks))


def _at_worst(
    build: Build, check: Check, mine: Mapping[Corner, Mapping[str, Check]], ends: Mapping[str, tuple[Measure, ...]]
) -> Check:
    """Return a go as it is at the worst of the corners."""
    worst, where = check, None
    for corner, there in mine.items():
        one = there.get(check.id)
        if one is not None and ORDER.index(one.verdict) > ORDER.index(worst.verdict):
            worst, where = one, corner
    if where is not None:
        return _turned(build, check, worst, where, ends)
    guesses = dict.fromkeys(
        key
        for corner, there in mine.items()
        for key, _ in corner
        if len(corner) == 1 and guess_of(build.values[key]) and _other(check, there.get(check.id))
    )
    if not guesses:
        return check
    names = " and ".join(_the(label(key)) for key in guesses)
    return replace(check, reason=f"{check.reason} It holds at both ends of what is guessed too: {names} ({COMMON}).")


def _other(check: Check, there: Check | None) -> bool:
    """Tell whether a check finds or wants something else at an end."""
    return there is not None and (there.value, there.limit) != (check.value, check.limit)


def _turned(build: Build, check: Check, there: Check, corner: Corner, ends: Mapping[str, tuple[Measure, ...]]) -> Check:
    """Return a check whose verdict is spoilt at a corner, with words that say where."""
    words = f"{check.reason} {_where(build, corner, ends)}"
    if there.verdict == UNDECIDED:
        if there.found == CANNOT or there.missing == ():
            return replace(
                check,
                found=CANNOT,
                verdict=UNDECIDED,
                reason=f"{words} it cannot be worked out.",
                missing=_keys(corner),
            )
        return replace(check, verdict=UNDECIDED, reason=f"{words} {_small(there.reason)}", missing=there.missing)
    found = check.found
    if isinstance(found, Number) and isinstance(there.found, Number) and found.kind == there.found.kind:
        low, high = (
            [v for n in (found, there.found) for v in (n.si, n.low, n.high) if v is not None] for _ in range(2)
        )
        found = replace(found, low=min(low), high=max(high))
    remedy = f"Find out better what is uncertain, or else: {_small(there.remedy)}"
    wanted = f", with {there.limit} wanted" if there.limit != check.limit else ""
    reason = f"{words} this is a {there.verdict}: {there.value}{wanted}."
    return replace(check, found=found, verdict=CAUTION, reason=reason, remedy=remedy, guards=False)


def _where(build: Build, corner: Corner, ends: Mapping[str, tuple[Measure, ...]]) -> str:
    """Return where the values of a corner lie, as the beginning of a sentence."""
    parts, said = [], []
    for key, end in sorted(corner):
        parts.append(f"{_the(label(key))} at {show(ends[key][end].si, ends[key][end].kind, build.system)}")
        if word := guess_of(build.values[key]):
            off = show(banded(build.values[key]).plus_minus, _off_kind(ends[key][end].kind), build.system)
            said.append(f"it is {word}, so ± {off} is taken, {COMMON}")
    guessed = f" ({'; '.join(said)})" if said else ""
    return f"With {' and '.join(parts)}{guessed}"


def _the(words: str) -> str:
    """Return the words of a key with the article that a sentence wants: none before a question word, nor a second."""
    return words if words.startswith(("the ", "how ", "what ", "which ", "where ", "when ")) else f"the {words}"


def _off_kind(kind: str) -> str:
    return "temperature rise" if kind == "temperature" else kind


def _keys(corner: Iterable[End]) -> tuple[str, ...]:
    return tuple(sorted(key for key, _ in corner))


def _small(words: str) -> str:
    return words[:1].lower() + words[1:]


__all__ = ["Corner", "Moved", "judging", "margin", "spoilt_by"]
