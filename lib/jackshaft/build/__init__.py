"""The build file: schema, reading, checking, saving, migrating."""

from jackshaft.build.disk import previous_of, write_atomic
from jackshaft.build.editing import edited
from jackshaft.build.keys import keys_table, possible_keys, takes
from jackshaft.build.lenient import bring_back, has_previous, open_anyhow
from jackshaft.build.model import NONE, Build, NoSuchKey, describe, describe_list, split
from jackshaft.build.problems import (
    Answer,
    BuildProblems,
    ChangedOnDisk,
    Clash,
    DoesNotFit,
    KeyConflict,
    NotSaved,
    Problem,
)
from jackshaft.build.reading import DEMO, builds_dir, find, list_builds, load, open_next, opened_last, parse
from jackshaft.build.saving import create, save_values

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
    "takes",
    "write_atomic",
]
