"""How large a build file may be. Up to these bounds nothing takes longer than a few seconds."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from jackshaft.buildfile.problems import Problem

#: Bytes of a file.
FILE_BYTES = 256 * 1024
#: Chapters and parts inside each other.
DEPTH = 12
#: Items of one list of parts; pulleys of one loop have a bound of their own.
ITEMS = 60
PULLEYS = 40
#: All pulleys of a build.
PULLEYS_IN_ALL = 80
#: Letters of a name and of any other text.
NAME_LETTERS, TEXT_LETTERS = 80, 4000
#: TOML asks no reader for a whole number beyond 64 bits; Python cannot even print one of many thousand digits.
WHOLE_BITS, WHOLE_DIGITS = 63, 18


def too_large(file: str, size: int) -> Problem | None:
    """Return the problem of a file of ``size`` bytes that is too large to be read, or None."""
    if size <= FILE_BYTES:
        return None
    return Problem(file, "", f"a file of {math.ceil(size / 1024)} KB", f"at most {FILE_BYTES // 1024} KB")


def too_long(file: str, document: Mapping) -> Iterator[Problem]:
    """Yield each whole number of a parsed document that is too long to be shown or calculated with."""
    left: list[tuple[str, object]] = [("", document)]
    while left:
        at, value = left.pop()
        if isinstance(value, Mapping):
            left += [(f"{at}.{name}" if at else str(name), inside) for name, inside in reversed(value.items())]
        elif isinstance(value, list):
            left += [(at, inside) for inside in reversed(value)]
        elif isinstance(value, int) and value.bit_length() > WHOLE_BITS:
            yield Problem(file, at[:200], "a whole number with too many digits", f"at most {WHOLE_DIGITS} digits")


def beyond(file: str, document: Mapping) -> Iterator[Problem]:
    """Yield what in a parsed document is more than the bounds allow."""
    yield from _lists(file, "", document)
    stages = document.get("stage")
    pulleys = [s.get("pulley") for s in stages if isinstance(s, Mapping)] if isinstance(stages, list) else []
    total = sum(len(p) for p in pulleys if isinstance(p, list))
    if total > PULLEYS_IN_ALL:
        yield Problem(file, "stage", f"{total} pulleys in all stages together", f"at most {PULLEYS_IN_ALL}")


def long_text(file: str, key: str, text: object) -> Problem | None:
    """Return the problem of a text with too many letters for its key, or None."""
    # the build's own name, at the top of the file, has room for a sentence
    most = NAME_LETTERS if key.endswith(".name") else TEXT_LETTERS
    if not isinstance(text, str) or len(text) <= most:
        return None
    return Problem(file, key, f"a text of {len(text)} letters", f"at most {most} letters")


def long_list(file: str, key: str, count: int) -> Problem | None:
    """Return the problem of a list with too many parts, or None."""
    most = PULLEYS if key.rpartition(".")[2] == "pulley" else ITEMS
    return Problem(file, key, f"a list of {count} parts", f"at most {most} parts") if count > most else None


def _lists(file: str, at: str, table: Mapping, depth: int = 1) -> Iterator[Problem]:
    if depth > DEPTH:
        yield Problem(file, at[:200], "too many chapters inside each other", f"at most {DEPTH} levels")
        return
    for name, value in table.items():
        key = f"{at}.{name}" if at else str(name)
        if isinstance(value, str):
            if problem := long_text(file, key, value):
                yield problem
        elif isinstance(value, Mapping):
            yield from _lists(file, key, value, depth + 1)
        elif isinstance(value, list):
            if problem := long_list(file, key, len(value)):
                yield problem
                continue
            for number, item in enumerate(value, 1):
                if isinstance(item, Mapping):
                    yield from _lists(file, f"{key}[{item.get('name', number)}]"[:200], item, depth + 1)
