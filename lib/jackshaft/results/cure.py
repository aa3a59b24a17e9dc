"""What a cure is: changes of the build, what they do to the check, and what they make worse."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from jackshaft.buildfile import Build


@dataclass(frozen=True, slots=True)
class Proposal:
    """A change that may help: its words, an order such as "Set the tension to 30 lbf.", and key and text of each value.

    ``clears`` marks a change after which the check has no object any more, such as a load that is carried elsewhere.
    ``reveals`` marks one of how the machine is written down, not of the machine: what could not be judged before it
    was as bad all along, so a stop that comes to light is told and does not speak against it.
    """

    words: str
    changes: Mapping[str, str]
    clears: bool = False
    reveals: bool = False


@dataclass(frozen=True, slots=True)
class Worse:
    """A check that a cure makes worse: its id, its name, and its verdict before and after.

    Where the verdict stays, ``stays`` holds it, and ``before`` and ``after`` are the values found.
    """

    id: str
    name: str
    before: str
    after: str
    stays: str = ""


@dataclass(frozen=True, slots=True)
class Cure:
    """Changes that were tried on a copy of the build, and what became of it.

    Attributes
    ----------
    words : str
        What to do.
    changes : mapping of key to text
        As ``python -m jackshaft set`` takes them.
    verdict_after, value_after : str
        Verdict and value of the check with the changes; both empty where the check has no object any more.
    worse : tuple of Worse
        The other checks that get worse, in their verdict or within it.
    measure : tuple of str
        The keys of what is then still to be measured, where a stop is not decidable any more.
    joined : int
        How many proposals were joined to it.
    limit_after : str
        What the check then wants, where that is something else than before.
    above : str
        In a list of checks: the name of the one further up that shows these changes in full; else empty.
    """

    words: str
    changes: Mapping[str, str] = field(hash=False)
    verdict_after: str
    value_after: str
    worse: tuple[Worse, ...] = ()
    measure: tuple[str, ...] = ()
    joined: int = 1
    limit_after: str = ""
    above: str = ""

    @property
    def harm(self) -> tuple[Worse, ...]:
        """The checks whose verdict gets worse: only these are held against a cure."""
        return tuple(w for w in self.worse if not w.stays)


def orders(*parts: str) -> str:
    """Return orders as sentences, each with a capital and a full stop; empty ones are left out."""
    told = (part.strip().removesuffix(".") for part in parts)
    return " ".join(f"{part[:1].upper()}{part[1:]}." for part in told if part)


def of_which_belt(build: Build, id: str, proposals: Sequence[Proposal]) -> list[str]:
    """Return the words of proposals, each led by the belt it is for where they could be of another one."""
    stages = [s for s in build.names("stage") if build.get(f"stage[{s}].kind") in ("belt", None)]
    part = id.partition("[")[2].removesuffix("]").partition(", ")[0]
    keys = [next((k for k in p.changes if k.startswith("stage[")), "") for p in proposals]
    own = [next((s for s in stages if key.startswith(f"stage[{s}].")), None) for key in keys]
    if len(stages) < 2 or {*own} <= {part, None}:
        return [p.words for p in proposals]
    return [
        p.words
        if stage is None or re.search(rf"\b{re.escape(stage)}\b", p.words) or f"stage[{stage}].pulley[" in key
        else f"For {stage}, {p.words[:1].lower()}{p.words[1:]}"
        for p, stage, key in zip(proposals, own, keys, strict=True)
    ]


__all__ = ["Cure", "Proposal", "Worse", "of_which_belt", "orders"]
