"""What the start page and the record page do, as plain functions: open, make, write down, bring back, render."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from urllib.parse import quote

from jackshaft import tables
from jackshaft.buildfile import (
    NONE,
    Answer,
    Build,
    BuildProblems,
    NoSuchKey,
    Problem,
    bring_back,
    builds_dir,
    create,
    describe,
    edited,
    entered,
    load,
    open_anyhow,
    open_next,
    part_of,
    possible_keys,
    previous_build,
    said,
    split,
    take_out,
    takes,
)
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.buildfile.revisions import revise
from jackshaft.buildfile.schema import KNOWN
from jackshaft.record import write_record
from jackshaft.results import Results, label, work_up
from jackshaft.results.keeping import keep
from jackshaft.results.one_frame import moved_along, sentences
from jackshaft.start.names import file_name
from jackshaft.start.parts import parts as parts_in
from jackshaft.start.parts import where, words_of
from jackshaft.start.skeleton import Ticked, in_words, parts_for
from jackshaft.ui.model import in_both
from jackshaft.ui.stale import changed_keys, few
from jackshaft.units import Measure

BLANK = "an empty build"
HOW = ("", *KNOWN)
#: Kinds of value that are not written with how they are known.
PLAIN = ("text", "choice", "reference", "references", "date", "yes/no", "count")
#: So many differences of two versions are shown.
FEW = 5


def open_other(name: str) -> tuple[Build, str]:
    """Make a build the one that every notebook opens next; return it and what to do then."""
    open_next(name)
    build = open_anyhow(builds_dir() / f"{name}.toml")
    words = f"'{name}' is open now. The forms here write into {build.file}. In each notebook choose Run, Run All Cells."
    return build, words + _decided_elsewhere(name)


def listed(build: Build, builds: Sequence[str]) -> str:
    """Return which of the builds of the folder is open; nothing where it lies elsewhere or stands in for another."""
    mine = build.path is not None and build.path.resolve().parent == builds_dir().resolve()
    return build.slug if mine and build.instead_of is None and build.slug in builds else ""


def _decided_elsewhere(name: str) -> str:
    """Say that the environment names another build than the one that was opened, where it does."""
    named = os.environ.get("JACKSHAFT_BUILD")
    if not named or named == name:
        return ""
    return f" But JACKSHAFT_BUILD is set to '{named}', so every notebook opens that build. Start Jupyter without it."


def new_build(name: str, start: str, system: str, ticked: Ticked | None = None) -> tuple[Build, str]:
    """Make a build file, empty or as a copy of another build, shown in inch or metric, and open it.

    An empty one begins with the parts that are ticked.

    Raises
    ------
    BuildProblems
        If the name is no name, or a build of that name is there already; no file is made then.
    NotSaved
        If the disk refuses.
    """
    stem, ticked = file_name(name), ticked or Ticked()
    if start == BLANK:
        text, changes = f'schema = 1\nname = "new"\nshown_in = "{system}"\n', parts_for(ticked)
    else:
        model = load(start)
        text, changes = model.text, {} if system == model.system else {"shown_in": system}
    build = create(builds_dir() / f"{stem}.toml", edited(text, {"name": name.strip()} | changes))
    open_next(stem)
    had = _began_with(build, ticked) if start == BLANK else ""
    now = "The forms here write into it now. Run this page again from the top to see how far it is."
    words = f"Made {build.file} and opened it.{had} {now}"
    return build, words + _decided_elsewhere(stem)


def _began_with(build: Build, ticked: Ticked) -> str:
    many, way = len(parts_in(build)), in_words(ticked)
    parts = f" It has {many} named part{'s' * (many != 1)}." if many else ""
    return parts + (f" The torque's way: {way}." if way else "")


def system_of(start: str) -> str | None:
    """Return what a build that a new one starts from is shown in; None where it does not say."""
    return None if start == BLANK else open_anyhow(start).system


def bring_previous_back(build: Build) -> tuple[Build, str]:
    """Put the previous version of a build's file in its place; return the build and what was done.

    Raises
    ------
    NotSaved
        If there is none, or the disk refuses; nothing is changed.
    """
    back, aside = bring_back(build)
    words = f"The previous version of {build.file} is back. The file that was there is kept as {aside.name}."
    left = "" if not back.problems else f" It has {_faults(back)} of its own."
    return back, f"{words}{left} Run this page again from the top. {where(back)}"


def previous_words(build: Build) -> tuple[str, str] | None:
    """Return words for a button that brings the previous version back, and what that version says; None without one."""
    before = previous_build(build)
    if before is None:
        return None
    lines = [
        f"{k}: {said(before.values.get(k))} (now {said(build.values.get(k))})" for k in changed_keys(before, build)
    ]
    words = f"It differs: {few(lines, FEW, '; ')}." if lines else "It is the same as the file now."
    if before.problems:
        return f"Bring back the version with {_faults(before)}", f"Careful: that version has {_faults(before)}. {words}"
    return "Bring the previous version back", words


def _faults(build: Build) -> str:
    return f"{len(build.problems)} fault{'s' * (len(build.problems) != 1)}"


def faults(build: Build) -> list[tuple[str, Problem]]:
    """Return (words, problem) of what is wrong with a build's file at a key, so that it can be taken out."""
    return [(f"{p.key}: found {p.found}", p) for p in build.problems if p.key and p.file == build.file]


def take_fault_out(build: Build, problem: Problem) -> tuple[Build, str]:
    """Take what cannot be taken out of a build's file; return the build and what was done.

    Raises
    ------
    NotSaved
        If it cannot be taken out without harm, or the disk refuses; nothing is written.
    """
    kept = take_out(build, problem)
    left = f"{_faults(kept)} left." if kept.problems else "The file is in order now."
    return kept, f"Took {problem.key} out. {left} {where(kept)}"


def measurements(build: Build, results: Results | None = None) -> list[tuple[str, str]]:
    """Return (words, key) of everything that can be written down; what is wanted most comes first.

    A key that checks wait for is there also where its part is not: writing it down adds the part. ``results`` are
    those of the build, where they are there already.
    """
    # looked up by the thousand where a file is large, so by table and never along a list
    keys = dict.fromkeys(possible_keys(build))
    wrong = dict.fromkeys(p.key for p in build.problems if p.key in keys)
    wanted = dict.fromkeys(w.key for w in (results or work_up(build, at_ends=True)).wanted if w.key not in wrong)
    wanted = {k: _new_part(build, k) for k in wanted if not build.is_none(k)}
    wanted = {k: part for k, part in wanted.items() if k in keys or part}
    found = [(f"wrong in the file: {label(k)}", k) for k in wrong]
    found += [(f"wanted: {label(k)}{', a new part' if part else ''}", k) for k, part in wanted.items()]
    return found + [(label(k), k) for k in keys if k not in wanted and k not in wrong]


def _new_part(build: Build, key: str) -> str | None:
    """Return the innermost part that a key lies in where it is not in the build yet, or None."""
    try:
        describe(key)
        steps = split(key)
    except NoSuchKey:
        return None
    at, new = "", None
    for name, item in steps[:-1]:
        at += ("." if at else "") + name
        if item is not None:
            at += f"[{item}]"
            home, called = part_of(at)
            new = at if called not in build.names(home) else new
    return new


def _named_after(build: Build, new: str) -> dict[str, object]:
    """Return what a new part refers to where checks wait for it: the belt stage that a load is named after."""
    section, name = describe(f"{new}.name")[0], part_of(new)[1]
    return {
        f"{new}.{f.name}": name
        for f in section.fields
        if len(f.refers) == 1 and f.refers[0] != "pulley" and f.name != "drives" and name in build.names(f.refers[0])
    }


def value_words(build: Build, key: str) -> str:
    """Return what a build says at a key: as it was typed, how it was read, and how it is known."""
    value = build.values.get(key)
    if value is NONE:
        return "none, the machine has none"
    if not isinstance(value, Measure):
        return "not known" if value is None else said(value).strip("'")
    text, read = value.text.strip().rstrip("."), in_both(value.si, value.kind, build.system)
    return text + (f", read as {read}" if read != text else "") + (f" ({value.known})" if value.known else "")


def hint(build: Build, key: str) -> str:
    """Return what a key takes, what the build says now, and which part writing it down adds."""
    new = _new_part(build, key)
    now = f"adds {words_of(new)}" if new else f"the build says {value_words(build, key)}"
    return f"takes: {takes(key)}; " + ("not known yet" if build.values.get(key) is None and not new else now)


def write_down(
    build: Build, key: str, text: str, known: str = "", by: str = "", *, settle: Mapping[str, Answer] | None = None
) -> tuple[Build, str]:
    """Keep one value in the build file, with how it is known; return the build and what it unlocked.

    Raises
    ------
    BuildProblems
        If the text cannot be taken; nothing is written.
    KeyConflict
        If others changed the same in the file, and ``settle`` does not say which is kept; nothing is written.
    """
    changes: dict[str, object] = as_known(key, entered(build, key, text), known, by)
    value = changes[key]
    new = _new_part(build, key)
    if new and not value:
        raise BuildProblems([Problem(build.file, key, "nothing", f"a value; writing it down adds {words_of(new)}")])
    if new:
        changes = _named_after(build, new) | changes
    theirs = {k for k, answer in (settle or {}).items() if answer.side == "theirs"}
    more, along = moved_along(build, {k: v for k, v in changes.items() if k not in theirs})
    kept = keep(build, {**changes, **more}, settle=settle)
    words = " ".join(_kept_words(kept, one, settle or {}) for one in reversed(changes))
    added = f" Added {words_of(new)}." if new else ""
    return kept, f"{words}{added}{sentences(along)}{moved(build, kept)} {where(kept)}"


def is_quantity(key: str) -> bool:
    """Tell whether a value of a key is written with how it is known."""
    return describe(key)[1].kind not in PLAIN


def as_known(key: str, changes: Mapping[str, object], known: str, by: str) -> dict[str, object]:
    """Return changes with how the value of a key is known, and by what, written beside it where it is a quantity."""
    value = changes[key]
    if not known or not value or value == "none" or not is_quantity(key):
        return dict(changes)
    return {**changes, key: {"value": value, "known": known} | ({"by": by.strip()} if by.strip() else {})}


def moved(before: Build, kept: Build) -> str:
    """Return which checks have another verdict since a build was changed, as a sentence; nothing where none has."""
    results = work_up(before, at_ends=True)
    was = {c.id: c.verdict for c in results.checks}
    now = work_up(kept, before=results, at_ends=True)
    found = [f"{c.name} is now {c.verdict}" for c in now.checks if was.get(c.id) not in (None, c.verdict)]
    return f" {'; '.join(found)}." if found else ""


def _kept_words(kept: Build, key: str, settle: Mapping[str, Answer]) -> str:
    now = value_words(kept, key)
    if any(answer.side == "theirs" for answer in settle.values()):
        return f"{label(key)} stays as it was written elsewhere: {now}."
    return f"Forgot {label(key)}." if kept.values.get(key) is None else f"Kept {label(key)}: {now}."


def render(build: Build, folder: str, **how) -> tuple[str, Path]:
    """Write the record of a build into a folder; return what it is, and where. ``how`` goes on to the record.

    Raises
    ------
    NotOurs
        If the folder is a file or one of the workbook's own, or something that no record made is in the way.
    """
    written = write_record(build, folder or records_dir() / build.slug, **how)
    return f"Wrote {written.words}", written.page


def make_revision(build: Build, note: str) -> tuple[Build, str]:
    """Make a build as its file stands a revision of today; return it, and what was done.

    Raises
    ------
    BuildProblems
        If there is no note.
    NotSaved, ChangedOnDisk
        If the disk refuses, or the file is no build any more.
    """
    made = revise(build, note, date.today().isoformat())
    words = (
        f"Revision {made.get('revision')} of '{made.name}' is kept, build {fingerprint(made)}. Make the record anew."
    )
    return made, words


def way_to(page: Path) -> str:
    """Return the address of a file as a link of a notebook of the workbook names it; empty where no such link leads.

    The lab shows what lies in the top folder, one above the notebooks, in which they run.
    """
    here, page = Path.cwd(), page.resolve()
    return quote(f"../{page.relative_to(here.parent).as_posix()}") if page.is_relative_to(here.parent) else ""


def records_dir() -> Path:
    """Return the folder that records go to when no other is named."""
    return tables.data_dir() / "records"
