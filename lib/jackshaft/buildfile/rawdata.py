"""A piece of a build file as plain data, to be put back where somebody took it away."""

from __future__ import annotations

import tomllib

from jackshaft.buildfile.model import Build, split


def raw_at(build: Build, key: str) -> object:
    """Return what the text of a build says at a chapter, a list or a part.

    Raises
    ------
    KeyError
        If the text does not have it.
    """
    found = tomllib.loads(build.text)
    for name, item in split(key):
        found = found[name]
        if item is not None:
            found = next((e for e in found if str(e.get("name", "")) == item), None)
            if found is None:
                raise KeyError(key)
    return found
