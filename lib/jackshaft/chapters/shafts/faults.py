"""What is wrong with a shaft as it is written down: which key, what was found, what to change, in the build's units."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jackshaft.mechanics.shafts import SAME, Problem
from jackshaft.results.reader import Reader


def words(problems: Sequence[Problem]) -> tuple[str, str]:
    """Return all reasons and all cures, each as one text."""
    return "; ".join(p.reason for p in problems) + ".", "; ".join(dict.fromkeys(p.cure for p in problems)) + "."


def _bearings(reader: Reader, shaft: str) -> list[tuple[float, str]]:
    """Return the place of each bearing of a shaft, m, and its name, in the order of the places."""
    return sorted(
        (place, name)
        for name in reader.names("bearing")
        if reader.get(f"bearing[{name}].shaft") == shaft
        and (place := reader.si(f"bearing[{name}].position")) is not None
    )


def of_bearings(reader: Reader, shaft: str) -> list[Problem]:
    """Return a problem for each two bearings of a shaft that are on one spot."""
    seats = _bearings(reader, shaft)
    return [
        Problem(
            f"bearings '{a}' and '{b}' are on one spot, {reader.show(at, 'length')} (bearing[{b}].position)",
            f"measure again from the shaft's zero mark and give bearing[{b}].position a place of its own",
        )
        for (at, a), (there, b) in zip(seats[:-1], seats[1:], strict=True)
        if there - at < SAME
    ]


def of_shaft(reader: Reader, shaft: str, parts: Sequence) -> list[Problem]:
    """Return every problem of a shaft's steps, and of what sits off it.

    Parameters
    ----------
    reader : Reader
        Reads the build.
    shaft : str
        Its name.
    parts : sequence of Pull
        What pulls on it.
    """
    at = f"shaft[{shaft}]"
    listed = [
        (
            *(reader.si(f"{at}.step[{n}].{k}") for k in ("start", "end", "diameter")),
            reader.si(f"{at}.step[{n}].bore", 0.0),
            n,
        )
        for n in reader.names(f"{at}.step")
    ]
    # a step whose ends are not known yet is nowhere, and what lies beside it cannot be judged by it
    steps = sorted((s for s in listed if s[0] is not None and s[1] is not None), key=lambda s: s[:2])
    problems = list(_shapeless(reader, at, steps))
    if not steps or len(steps) < len(listed):
        return problems
    problems += _apart(reader, at, steps)
    items = [(f"bearing '{n}'", place, f"bearing[{n}].position") for place, n in _bearings(reader, shaft)]
    items += [(f"load '{p.name}'", p.at, f"{at}.load[{p.name}].position") for p in parts]
    for part in ("joint", "feature"):
        items += [
            (f"{part} '{n}'", place, f"{at}.{part}[{n}].position")
            for n in reader.names(f"{at}.{part}")
            if (place := reader.si(f"{at}.{part}[{n}].position")) is not None
        ]
    first, last = steps[0][0], max(s[1] for s in steps)
    return problems + [
        Problem(
            f"{what} at {reader.show(place, 'length')} is off the shaft, which runs from "
            f"{reader.show(first, 'length')} to {reader.show(last, 'length')} ({key})",
            f"correct {key}, or make the shaft longer",
        )
        for what, place, key in items
        if not first - SAME <= place <= last + SAME
    ]


def _shapeless(reader: Reader, at: str, steps) -> Iterator[Problem]:
    """Yield a problem for each step without length or metal; a step is start, end, diameter, bore (m) and name."""
    for start, end, size, bore, name in steps:
        here = f"{at}.step[{name}]"
        if end <= start:
            yield Problem(f"step '{name}' has no length ({here}.end)", f"give {here}.end a place beyond {here}.start")
        if size is not None and (size <= bore or size <= 0):
            yield Problem(
                f"step '{name}' has no metal: diameter {reader.show(size, 'length')}, bore "
                f"{reader.show(bore, 'length')} ({here}.diameter)",
                f"give {here}.diameter a size larger than its bore",
            )


def _apart(reader: Reader, at: str, steps) -> Iterator[Problem]:
    """Yield a problem for each two steps that overlap or leave a gap."""
    for (_, end, *_, a), (start, *_, b) in zip(steps[:-1], steps[1:], strict=True):
        if abs(end - start) > SAME:
            what = "overlap" if start < end else "leave a gap"
            yield Problem(
                f"steps '{a}' and '{b}' {what}: one ends at {reader.show(end, 'length')}, the next begins at "
                f"{reader.show(start, 'length')} ({at}.step[{b}].start)",
                f"set {at}.step[{b}].start to {reader.show(end, 'length')}",
            )
