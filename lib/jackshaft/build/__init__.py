"""The build file: schema, reading, checking, saving, migrating."""

from jackshaft.build.keys import keys_table, possible_keys, takes
from jackshaft.build.model import NONE, Build, NoSuchKey, describe, describe_list, split
from jackshaft.build.problems import BuildProblems, ChangedOnDisk, NotSaved, Problem
from jackshaft.build.reading import DEMO, builds_dir, find, list_builds, load, open_next, opened_last, parse
from jackshaft.build.saving import create, edited, save_values, write_atomic

__all__ = [
    "DEMO",
    "NONE",
    "Build",
    "BuildProblems",
    "ChangedOnDisk",
    "NoSuchKey",
    "NotSaved",
    "Problem",
    "builds_dir",
    "create",
    "describe",
    "describe_list",
    "edited",
    "find",
    "keys_table",
    "list_builds",
    "load",
    "open_next",
    "opened_last",
    "parse",
    "possible_keys",
    "save_values",
    "split",
    "takes",
    "write_atomic",
]
