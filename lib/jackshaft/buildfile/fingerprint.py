"""A short name for what a build holds, so that a sheet of paper can be held against the build it came from."""

from __future__ import annotations

import hashlib

from jackshaft.buildfile.model import NONE, Build, at_or_below
from jackshaft.units import Measure

#: Letters of a fingerprint: two builds of one shop share eight by a chance of one in four thousand million.
LENGTH = 8


def fingerprint(build: Build) -> str:
    """Return eight characters that change with any value of the build, and not with how the value was typed.

    Comments, spaces and the order of the keys do not count; 1 in and 25.4 mm are one value. Candidates do not count
    either: what was considered and not taken leaves the machine on the paper as it is.
    """
    design = {k: v for k, v in build.values.items() if not at_or_below(k, "candidate")}
    lines = "\n".join(f"{key} = {plain_value(value)}" for key, value in sorted(design.items()))
    return hashlib.sha256(lines.encode("utf-8", "surrogatepass")).hexdigest()[:LENGTH]


def plain_value(value: object) -> str:
    """Return a value of a build as its fingerprint takes it: the same for the same size, however it was typed."""
    if value is NONE:
        return "none"
    if not isinstance(value, Measure):
        return f"{type(value).__name__} {value}"
    sizes = (value.si, value.plus_minus)
    # nine digits: units that convert exactly still differ in the last bits of a float
    shown = " ".join("-" if size is None else f"{size:.9g}" for size in sizes)
    return f"{value.kind} {shown} {value.known or '-'}"


__all__ = ["LENGTH", "fingerprint", "plain_value"]
