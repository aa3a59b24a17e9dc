"""Older build files brought up to the present schema, one version at a time.

A migration takes the parsed document of version N and returns it as version N + 1, in place, so
that comments and key order live on. Schema 1 is the first that was published, so the table is
still empty; the road is there and tested with made-up steps.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, MutableMapping

from jackshaft.buildfile.schema import SCHEMA_VERSION

Migration = Callable[[MutableMapping], None]

MIGRATIONS: dict[int, Migration] = {}


class TooNew(ValueError):
    """The file was written for a later schema than this workbook knows."""


class NoWay(ValueError):
    """No migration leads from the file's version to the present one."""


def migrate(
    document: MutableMapping,
    version: int,
    *,
    to: int = SCHEMA_VERSION,
    steps: Mapping[int, Migration] | None = None,
) -> int:
    """Bring ``document`` from ``version`` up to ``to``; return how many steps were taken.

    Raises
    ------
    TooNew
        If the document is of a later version.
    NoWay
        If a step on the way is missing.
    """
    steps = MIGRATIONS if steps is None else steps
    if version > to:
        raise TooNew(f"schema {version}")
    taken = 0
    while version < to:
        if version not in steps:
            raise NoWay(f"schema {version}")
        steps[version](document)
        version += 1
        taken += 1
        document["schema"] = version
    return taken
