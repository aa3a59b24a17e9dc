"""The build file: schema, reading, checking, saving, migrating."""

from jackshaft.buildfile.disk import previous_of, write_atomic
from jackshaft.buildfile.editing import edited
from jackshaft.buildfile.keys import keys_table, possible_keys, takes
from jackshaft.buildfile.lenient import bring_back, has_previous, open_anyhow
from jackshaft.buildfile.model import NONE, Build, NoSuchKey, describe, describe_list, split, typed
from jackshaft.buildfile.problems import (
    Answer,
    BuildProblems,
    ChangedOnDisk,
    Clash,
    DoesNotFit,
    KeyConflict,
    NotSaved,
    Problem,
)
from jackshaft.buildfile.reading import (
    DEMO,
    builds_dir,
    find,
    list_builds,
    load,
    open_next,
    opened_last,
    parse,
)
from jackshaft.buildfile.saving import create, save_values

__all__ = [
    "DEMO",
    "NONE",
    "Answer",
    "Build",
    "BuildProblems",
    "ChangedOnDisk",
    "Clash",
    "DoesNotFit",
    "KeyConflict",
    "NoSuchKey",
    "NotSaved",
    "Problem",
    "bring_back",
    "builds_dir",
    "create",
    "describe",
    "describe_list",
    "edited",
    "find",
    "has_previous",
    "keys_table",
    "list_builds",
    "load",
    "open_anyhow",
    "open_next",
    "opened_last",
    "parse",
    "possible_keys",
    "previous_of",
    "save_values",
    "split",
    "typed",
    "takes",
    "write_atomic",
]
