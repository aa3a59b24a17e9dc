"""The build file: schema, reading, checking, saving, migrating."""

from jackshaft.buildfile.disk import previous_of, write_atomic
from jackshaft.buildfile.editing import edited
from jackshaft.buildfile.entries import choices_at, entered
from jackshaft.buildfile.keys import keys_table, possible_keys, takes
from jackshaft.buildfile.lenient import bring_back, has_previous, open_anyhow, previous_build
from jackshaft.buildfile.model import (
    NONE,
    Build,
    NoSuchKey,
    describe,
    describe_list,
    describe_whole,
    part_of,
    said,
    split,
)
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
from jackshaft.buildfile.reshaping import alike, check_name, parts, references, rename_part, take_out
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
    "alike",
    "bring_back",
    "builds_dir",
    "check_name",
    "create",
    "describe",
    "describe_list",
    "describe_whole",
    "edited",
    "choices_at",
    "entered",
    "find",
    "has_previous",
    "keys_table",
    "list_builds",
    "load",
    "open_anyhow",
    "open_next",
    "opened_last",
    "parse",
    "part_of",
    "parts",
    "possible_keys",
    "previous_build",
    "previous_of",
    "references",
    "rename_part",
    "said",
    "save_values",
    "split",
    "take_out",
    "takes",
    "write_atomic",
]
