"""Parts by kind and name in a sentence: a kind that the name holds already is not said twice."""

from __future__ import annotations


def holds(name: str, kind: str) -> bool:
    """Tell whether a name holds a word: "engine pulley" holds "pulley"."""
    return kind.lower() in name.lower().split()


def named(kind: str, name: str) -> str:
    """Return kind and name of a part, without the words of the kind that the name holds.

    "pulley E", "rotor pulley", "stage belt". A kind with a capital begins a sentence, and what is returned does too.
    """
    words = " ".join([*(word for word in kind.split() if not holds(name, word)), name])
    return words[:1].upper() + words[1:] if kind[:1].isupper() else words


def titled(name: str, kind: str, words: str) -> str:
    """Return the title of something about a part: "crank: belt length", and "belt: length" where the kind is said."""
    return f"{name}: {words if holds(name, kind) else f'{kind} {words}'}"


__all__ = ["holds", "named", "titled"]
