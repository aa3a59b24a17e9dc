"""The commands of ``python -m jackshaft``: each reads a build file, and says in words what it found or wrote.

Exit codes of ``check``: 0 no stop, 1 a stop that is not accepted, 2 the file cannot be read or the
call is wrong, 3 no stop but something essential is not decidable yet, 70 a fault of the program.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import signal
import subprocess
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from jackshaft.buildfile import (
    Build,
    BuildProblems,
    ChangedOnDisk,
    KeyConflict,
    NoSuchKey,
    NotSaved,
    Problem,
    builds_dir,
    create,
    edited,
    entered,
    keys_table,
    list_builds,
    load,
    parse,
    parts,
)
from jackshaft.buildfile.revisions import revise, revision_of, revisions
from jackshaft.render.data import checks_data, facts_data, versions_data
from jackshaft.render.plain import cures_report, report, versions_report
from jackshaft.results import work_up
from jackshaft.results.keeping import approve, found_then, keep
from jackshaft.results.one_frame import moved_along, sentences
from jackshaft.results.proving import with_cures
from jackshaft.results.running import FAULT_EXIT, fault_of
from jackshaft.results.versions import versions
from jackshaft.tables import DataNotFound
from jackshaft.terminal import complain, say

USAGE, STOPPED = 2, 130
#: What ``build`` means to every command that takes one.
BUILD = "a name in data/builds or a path"
OPEN = f"{BUILD}; the open build when left out"
EITHER = f"{BUILD}, a revision as NAME@NUMBER, or a record page"


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command and return its exit code."""
    try:
        parser = _parser()
        given, given_on = parser.parse_known_args(argv)
        if given_on and given.command != "lab":
            parser.error(f"unrecognized arguments: {' '.join(given_on)}")
        given.given_on = given_on
    except SystemExit as stop:
        return int(stop.code or 0)
    try:
        return COMMANDS[given.command](given) or 0
    except NoSuchKey as error:
        complain(
            f"found the key {error}; wanted a key that `python -m jackshaft keys` lists, with names in brackets, "
            "such as stage[belt].pulley[idler].x"
        )
        return USAGE
    except (BuildProblems, ChangedOnDisk, DataNotFound, KeyConflict, NotSaved, OSError) as error:
        complain(error)
        return USAGE
    except KeyboardInterrupt:
        complain("Stopped.")
        return STOPPED
    except Exception as error:
        fault = fault_of(error)
        complain(fault.trace)
        complain(f"This is a fault of the program (code {fault.code}), not of the build file.")
        return FAULT_EXIT


def _parser() -> argparse.ArgumentParser:
    """Return what reads the line that was typed."""
    parser = argparse.ArgumentParser(prog="python -m jackshaft", description=__doc__.splitlines()[0])
    commands = parser.add_subparsers(dest="command", required=True)
    check = commands.add_parser("check", help="print every check of a build")
    check.add_argument("build", nargs="?", help=OPEN)
    check.add_argument("--trace", action="store_true", help="show where the program itself failed")
    check.add_argument("--json", action="store_true", help="print everything as JSON, numbers in SI units")
    facts = commands.add_parser("facts", help="print every number and table of a build as JSON")
    facts.add_argument("build", nargs="?", help=OPEN)
    facts.add_argument("--json", action="store_true", required=True, help="the only form so far; must be given")
    setting = commands.add_parser("set", help="work a build up with other values, then write them into it")
    setting.add_argument("build", help=BUILD)
    setting.add_argument("values", nargs="+", metavar="KEY=TEXT", help="an empty text makes the value not known")
    setting.add_argument("--out", type=Path, metavar="FILE", help="write a new file; the build stays as it is")
    trying = commands.add_parser("try", help="show what each cure of a check would do; nothing is written")
    trying.add_argument("build", help=BUILD)
    trying.add_argument("check", help="the id of a check, as `check` prints it in brackets")
    record = commands.add_parser("record", help="make the record of a build: one page and its fitting cards")
    record.add_argument("build", nargs="?", help=OPEN)
    what = record.add_mutually_exclusive_group(required=True)
    what.add_argument("--out", type=Path, metavar="FOLDER", help="folder to write to")
    what.add_argument("--text", action="store_true", help="print a short text for a forum post instead")
    record.add_argument(
        "--pdf", action="store_true", help="print the page to a PDF too, by a Chromium that is installed"
    )
    record.add_argument("--notebooks", action="store_true", help="also run the notebooks on the build (takes minutes)")
    paper = commands.add_parser("sheets", help="write templates at 1:1, shaft and pulley sheets of a build")
    paper.add_argument("build", nargs="?", help=OPEN)
    paper.add_argument("--out", required=True, type=Path, metavar="FOLDER", help="folder to write to")
    revise = commands.add_parser(
        "revise", help="make a build as it stands a numbered revision; lists them without a note"
    )
    revise.add_argument("build", help=BUILD)
    revise.add_argument("note", nargs="?", help="what this revision changes, in a sentence")
    _others_builds(commands)
    commands.add_parser("lab", help="open the workbook; what else is typed goes on to Jupyter, such as --no-browser")
    commands.add_parser("builds", help="list the builds")
    commands.add_parser("keys", help="print the table of keys of a build file")
    refresh = commands.add_parser("refresh", help="run the notebooks on the demo build and store their outputs")
    refresh.add_argument("notebooks", nargs="*", type=Path, help="notebooks; all of them when left out")
    return parser


def _others_builds(commands) -> None:
    """Add the commands for a build that somebody else made, and for one that does not do what it should."""
    unpack = commands.add_parser("unpack", help="take the build file and its photographs out of a record page")
    unpack.add_argument("record", type=Path, help="the record page, an HTML file")
    unpack.add_argument("--out", type=Path, metavar="FILE", help="file to write; data/builds/NAME.toml when left out")
    swap = commands.add_parser("swap", help="put your own part into somebody's build or record, and see what changes")
    swap.add_argument("build", help=EITHER)
    swap.add_argument("values", nargs="+", metavar="KEY=TEXT", help="an empty text makes the value not known")
    swap.add_argument("--out", type=Path, metavar="FILE", help="write it as a new build; without, nothing is written")
    fault = commands.add_parser(
        "fault", help="find a fault: asks for the look that parts the causes, one after another"
    )
    fault.add_argument("build", help=BUILD)
    fault.add_argument(
        "complaint", nargs="?", help="what is wrong, by its number or some of its words; lists them without"
    )
    fault.add_argument("--answers", metavar="LIST", help="answers with semicolons between, in place of typing them")
    compare = commands.add_parser("compare", help="hold two builds against each other; nothing is written")
    compare.add_argument("older", help=EITHER)
    compare.add_argument("newer", help=EITHER)
    compare.add_argument("--json", action="store_true", help="print it as JSON")


def _check(given) -> int:
    results = with_cures(work_up(load(given.build), at_ends=True))
    if given.json:
        say(json.dumps(checks_data(results), indent=2, ensure_ascii=False))
    else:
        say(report(results))
    for chapter in results.faults:
        if given.trace:
            complain(chapter.fault.trace)
        complain(f"{chapter.title}: a fault of the program (code {chapter.fault.code}); check --trace shows where.")
    return results.exit_code


def _try(given) -> int:
    results = work_up(load(given.build), at_ends=True)
    check = next((c for c in results.checks if c.id == given.check), None)
    if check is None:
        complain(f"found no check '{given.check}'; wanted one that `python -m jackshaft check` prints in brackets")
        return USAGE
    (check,) = (c for c in with_cures(results, (check.id,)).checks if c.id == check.id)
    say(cures_report(check, results.build))
    return 0


def _facts(given) -> int:
    from jackshaft.record.buying import buying_data
    from jackshaft.sheets.facts import sheets_data

    results = work_up(load(given.build), at_ends=True)
    more = {"buying": buying_data(results), "sheets": sheets_data(results)}
    say(json.dumps(facts_data(results) | more, indent=2, ensure_ascii=False))
    return FAULT_EXIT if results.faults else 0


def _typed(values: Sequence[str]) -> list[tuple[str, str]]:
    """Return (key, text) of what was typed as KEY=TEXT.

    Raises
    ------
    BuildProblems
        If one of them is typed otherwise.
    """
    pairs = [text.partition("=") for text in values]
    if wrong := [text for text, (key, sign, _) in zip(values, pairs, strict=True) if not (key.strip() and sign)]:
        wanted = "KEY=TEXT, such as engine.work_speed='3000 rpm'"
        raise BuildProblems([Problem("the command", "", f"'{wrong[0]}'", wanted)])
    # a name in quotes, as a TOML file has it, would make a second part beside the one that is meant
    return [(re.sub(r"""\[(["'])([^\[\]]*)\1\]""", r"[\2]", key.strip()), text) for key, _, text in pairs]


def _set(given) -> int | None:
    build = load(given.build)
    changes = {}
    for key, text in _typed(given.values):
        changes |= entered(build, key, text)
    more, along = moved_along(build, changes)
    changes |= more
    if given.out is None:
        kept = keep(build, changes)
    else:
        changes |= found_then(build, changes)
        text = edited(build.text, changes)
        approve(build, parse(text.encode(), file=given.out.name), changes)
        kept = create(given.out, text)
    say(f"Wrote {', '.join(changes)} into {kept.file}.{sentences(along)}")
    there = set(parts(build))
    for part in parts(kept):
        if part not in there:
            say(f"{part} is new: the build had no part of that name.")


def _progress(words: str) -> None:
    say(words)
    sys.stdout.flush()


def _record(given) -> int | None:
    from jackshaft.notebooks import NotRefreshed
    from jackshaft.record import NotOurs, post, write_record

    if given.text:
        say(post(with_cures(work_up(load(given.build), at_ends=True))))
        return None
    try:
        written = write_record(load(given.build), given.out, notebooks=given.notebooks, pdf=given.pdf, tell=_progress)
    except (NotOurs, NotRefreshed) as error:
        complain(error)
        return USAGE
    say(f"Wrote {written.words}")


def _sheets(given) -> int | None:
    from jackshaft.sheets import NotEmpty, write_sheets

    build = load(given.build)
    try:
        written, without = write_sheets(build, given.out)
    except NotEmpty as error:
        complain(error)
        return USAGE
    if not written:
        say("No sheet was written: no layout, shaft or pulley is known yet. `check` says what to measure.")
    for path in written:
        say(f"Wrote {path.name}")
    for shaft in without.shafts:
        say(f"No sheet for {shaft}: it needs steps with start, end and diameter that join.")
    for pulley in without.pulleys:
        say(f"No sheet for {pulley}: its grooves are in no table.")


def _revise(given) -> None:
    build = load(given.build)
    if given.note is not None:
        build = revise(build, given.note, date.today().isoformat())
    for r in revisions(build):
        say(f"{r.number}. {r.date or 'no date'}, build {r.fingerprint or '-'}: {r.note}")
    if not revisions(build):
        say(f"{build.file} has no revision yet. Give a note of what it changes to make one.")


def _unpack(given) -> None:
    from jackshaft.photos import in_place, put_new
    from jackshaft.record.ride import photos_in, taken_out

    build = taken_out(given.record)
    found, refused = photos_in(given.record)
    path = given.out or builds_dir() / build.file
    folder = None
    if not os.path.lexists(path):
        # the build comes last: where this is cut off before it, the same command completes it
        in_place(path, found)
        folder = put_new(path, found)
    written = create(path, build.text)
    say(f"Wrote {written.path}{f' and {len(found)} photographs into {folder.name}' if folder else ''}")
    for one in refused:
        say(f"Left out the photograph {one.name}: {one.why}.")


def _swap(given) -> None:
    from jackshaft.start.swapping import report, swap

    build = _opened(given.build)
    _progress("Working both up and trying what mends it; this takes a while.")
    found = swap(build, _typed(given.values))
    say(report(found))
    if given.out is not None:
        kept = create(given.out, edited(build.text, found.changes))
        say(f"Wrote {kept.file}. Its photographs and revisions are not taken along.")


def _fault(given) -> int | None:
    from jackshaft.record.on_terminal import chosen, converse, listed

    results = work_up(load(given.build), at_ends=True)
    if given.complaint is None:
        say(listed(results))
        return None
    answers = [a for a in (given.answers or "").split(";") if a.strip()]
    try:
        converse(
            results, chosen(results, given.complaint), answers, input if given.answers is None else None, _progress
        )
    except ValueError as error:
        complain(error)
        return USAGE


def _compare(given) -> None:
    found = versions(_opened(given.older), _opened(given.newer))
    say(json.dumps(versions_data(found), indent=2, ensure_ascii=False) if given.json else versions_report(found))


def _opened(name: str) -> Build:
    """Return a build by its name or path, a revision of it, or the one that a record page holds."""
    from jackshaft.record.ride import taken_out

    return taken_out(Path(name)) if name.lower().endswith((".html", ".htm")) else load(revision_of(name) or name)


def _lab(given) -> int:
    from jackshaft.notebooks import find_notebooks
    from jackshaft.quick import WORKBOOK

    first = find_notebooks()[0]
    top, page = first.parents[1], first.relative_to(first.parents[1]).as_posix()
    # a notebook that is named by itself makes its own folder the top
    shows = [f"--ServerApp.root_dir={top}", f"--LabApp.default_url={WORKBOOK}/{page}"]
    # nothing asks over the page whether to fetch news from outside
    shows.append("--LabApp.news_url=None")
    # JupyterLab refuses to start for root without this; a system without getuid has no root
    root = ["--allow-root"] if getattr(os, "geteuid", lambda: 1)() == 0 else []
    say("Opening the workbook in the browser. Press Ctrl+C twice here to close it; what you kept stays.")
    sys.stdout.flush()
    line = [sys.executable, "-m", "jupyterlab", *shows, *root, *given.given_on]
    # Ctrl+C is the lab's to answer: it asks once more, then ends its kernels
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        return subprocess.run(line, cwd=top, check=False).returncode
    finally:
        signal.signal(signal.SIGINT, before)


def _refresh(given) -> int | None:
    from jackshaft.notebooks import NotRefreshed, refresh

    try:
        for path in refresh(given.notebooks or None):
            say(f"refreshed {path.name}")
    except NotRefreshed as error:
        complain(error)
        return USAGE


COMMANDS = {
    "lab": _lab,
    "check": _check,
    "facts": _facts,
    "set": _set,
    "try": _try,
    "record": _record,
    "sheets": _sheets,
    "revise": _revise,
    "unpack": _unpack,
    "fault": _fault,
    "swap": _swap,
    "compare": _compare,
    "builds": lambda given: say("\n".join(list_builds())),
    "keys": lambda given: say(keys_table().rstrip("\n")),
    "refresh": _refresh,
}
