"""What the start page and the record page do, as plain functions: open, make, write down, add, render."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from jackshaft import tables
from jackshaft.buildfile import (
    Answer,
    Build,
    BuildProblems,
    Problem,
    bring_back,
    builds_dir,
    create,
    describe,
    edited,
    list_builds,
    load,
    open_next,
    possible_keys,
    takes,
    typed,
)
from jackshaft.buildfile.schema import CHAPTERS, KNOWN
from jackshaft.record import write_record
from jackshaft.results import label, work_up
from jackshaft.results.keeping import keep
from jackshaft.units import Measure

BLANK = "an empty build"
HOW = ("", *KNOWN)
#: Letters of a file's name; what is written beside it while it is saved has a longer one.
LONGEST = 100


def file_name(name: str) -> str:
    """Return the stem of a build's file made from its name: small letters, digits, underscores.

    Raises
    ------
    BuildProblems
        If nothing is left of the name, or it is too long for a file.
    """
    stem = re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_")
    if not stem:
        wanted = "a name with letters or digits in it that its file can be called by: a to z, 0 to 9"
        raise BuildProblems([Problem("new build", "name", f"'{name}'", wanted)])
    if len(stem) > LONGEST:
        raise BuildProblems([Problem("new build", "name", f"{len(stem)} letters", f"a name of at most {LONGEST}")])
    return stem


def open_other(name: str) -> str:
    """Make a build the one that every notebook opens next; return what to do then."""
    open_next(name)
    return f"'{name}' is open now. In each notebook: Run, Run All Cells."


def new_build(name: str, start: str, system: str) -> tuple[Build, str]:
    """Make a build file, empty or as a copy of another build, and open it.

    Raises
    ------
    BuildProblems
        If the name is no name, or a build of that name is there already; no file is made then.
    NotSaved
        If the disk refuses.
    """
    stem = file_name(name)
    text = f'schema = 1\nname = "new"\nshown_in = "{system}"\n' if start == BLANK else load(start).text
    build = create(builds_dir() / f"{stem}.toml", edited(text, {"name": name.strip()}))
    open_next(stem)
    return build, (f"Made {build.file} and opened it. Run this page again from the top to go on with it.")


def bring_previous_back(build: Build) -> tuple[Build, str]:
    """Put the previous version of a build's file in its place; return the build and what was done.

    Raises
    ------
    NotSaved
        If there is none, or the disk refuses; nothing is changed.
    """
    back, aside = bring_back(build)
    words = f"The previous version of {build.file} is back. The file that stood there is kept as {aside.name}."
    left = "" if not back.problems else f" It has {len(back.problems)} faults of its own."
    return back, f"{words}{left} Run this page again from the top."


def measurements(build: Build) -> list[tuple[str, str]]:
    """Return (words, key) of everything that can be written down; what is wanted most comes first."""
    # looked up by the thousand where a file is large, so by table and never along a list
    keys = dict.fromkeys(possible_keys(build))
    wrong = dict.fromkeys(p.key for p in build.problems if p.key in keys)
    wanted = dict.fromkeys(w.key for w in work_up(build).wanted if w.key in keys and w.key not in wrong)
    found = [(f"wrong in the file: {label(k)}", k) for k in wrong]
    found += [(f"wanted: {label(k)}", k) for k in wanted]
    return found + [(label(k), k) for k in keys if k not in wanted and k not in wrong]


def hint(build: Build, key: str) -> str:
    """Return what a key takes and what the build says now."""
    now = build.get(key)
    words = (
        now.text if isinstance(now, Measure) else {True: "yes", False: "no"}.get(now, now) if now is not None else None
    )
    return f"takes: {takes(key)}; " + ("not known yet" if words is None else f"the build says {words}")


def write_down(
    build: Build, key: str, text: str, known: str = "", by: str = "", *, settle: Mapping[str, Answer] | None = None
) -> tuple[Build, str]:
    """Keep one value in the build file, with how it is known; return the build and what it unlocked.

    Raises
    ------
    BuildProblems
        If the text cannot be taken; nothing is written.
    KeyConflict
        If others changed the same in the file, and ``settle`` does not say which is to stand; nothing is written.
    """
    field = describe(key)[1]
    value: object = typed(key, text)
    if known and value and field.kind not in ("text", "choice", "reference", "date", "yes/no", "count"):
        value = {"value": value, "known": known} | ({"by": by.strip()} if by.strip() else {})
    before = {c.id: c.verdict for c in work_up(build).checks}
    kept = keep(build, {key: value}, settle=settle)
    after = work_up(kept)
    moved = [f"{c.name} is now {c.verdict}" for c in after.checks if before.get(c.id) not in (None, c.verdict)]
    shown = kept.get(key)
    now = "not known" if shown is None else shown.text if isinstance(shown, Measure) else shown
    if any(answer.side == "theirs" for answer in (settle or {}).values()):
        words = f"{label(key)} stays as it was written elsewhere: {now}."
    else:
        words = f"Kept {label(key)}: {now}." if text.strip() else f"Forgot {label(key)}."
    return kept, words + (" " + "; ".join(moved) + "." if moved else "")


def lists(build: Build) -> list[tuple[str, str]]:
    """Return (words, key) of every list that a part can be added to: those of the file, then those inside its parts."""
    found = [(c.title, c.name) for c in CHAPTERS if c.many and c.name != "accepted"]
    for chapter in CHAPTERS:
        homes = [f"{chapter.name}[{n}]" for n in build.names(chapter.name)] if chapter.many else [chapter.name]
        for home in homes:
            found += [
                (f"{p.title}: {home.removeprefix(chapter.name).strip('[]') or chapter.title}", f"{home}.{p.name}")
                for p in chapter.parts
                if p.many
            ]
    return found


def add_part(build: Build, kind: str, name: str, *, settle: Mapping[str, Answer] | None = None) -> tuple[Build, str]:
    """Add a named part to a list of the build file.

    Raises
    ------
    BuildProblems
        If the name is empty or taken; nothing is written.
    KeyConflict
        If others changed the same in the file, and ``settle`` does not say which is to stand; nothing is written.
    """
    if name.strip() in build.names(kind):
        raise BuildProblems(
            [Problem(build.file, f"{kind}[{name.strip()}]", f"a second '{name.strip()}'", "a new name")]
        )
    if not name.strip() or set(name) & set("[]"):
        raise BuildProblems([Problem(build.file, kind, f"'{name}'", "a name without square brackets")])
    kept = keep(build, {f"{kind}[{name.strip()}].name": name.strip()}, settle=settle)
    words = label(f"{kind}[{name.strip()}].name").split("(")[-1].rstrip(")")
    return kept, f"Added {words}. What is known of it can be written down now."


def render(build: Build, folder: str, leave_out: tuple[str, ...] = ()) -> str:
    """Write the record of a build into a folder; return where it is.

    Raises
    ------
    NotOurs
        If the folder is a file or one of the workbook's own, or something that no record made is in the way.
    """
    written = write_record(build, folder or records_dir() / build.slug, leave_out=leave_out)
    return f"Wrote {written.words}"


def records_dir() -> Path:
    """Return the folder that records go to when no other is named."""
    return tables.data_dir() / "records"


__all__ = [
    "BLANK",
    "HOW",
    "add_part",
    "file_name",
    "hint",
    "list_builds",
    "lists",
    "measurements",
    "new_build",
    "open_other",
    "records_dir",
    "render",
    "write_down",
]
