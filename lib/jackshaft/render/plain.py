"""Results as plain text: for the terminal, and beside every page for readers without HTML."""

from __future__ import annotations

from shlex import quote

from jackshaft.buildfile import Build, describe_whole
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.render.parts import TOOK, WRITE, outcome, parts, told_once
from jackshaft.results import Results, label
from jackshaft.results.checks import GO, STOP, UNDECIDED, Check, Fact, Table
from jackshaft.results.findings import CANNOT
from jackshaft.results.measuring import asked_for
from jackshaft.results.uncured import no_change
from jackshaft.results.versions import Line, Versions

#: Where the text of a check stands in a report.
INDENT = " " * 16


def fact_line(fact: Fact) -> str:
    """Return a fact in one line."""
    return f"{fact.label}: {fact.value}" + (f" ({fact.note})" if fact.note else "")


def head(check: Check) -> str:
    """Return the first line of a check: what was found and what is wanted."""
    return f"{check.name}: {check.value}" + (f" (wanted: {check.limit})" if check.limit else "")


def check_line(check: Check) -> str:
    """Return a check in one line, without its source."""
    tail = [f"{p.title}: {p.words}" if p.title else p.words for p in parts(check) if p.name != "source"]
    return " ".join([f"{check.words}: {head(check)}.", *(w if w[-1:] in ".!?" else f"{w}." for w in tail)])


def table_text(table: Table) -> str:
    """Return a table as lines of text, its columns under each other."""
    widths = [max(len(r[i]) for r in (table.headings, *table.rows)) for i in range(len(table.headings))]
    lines = [table.title] + [
        "  ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)).rstrip()
        for row in (table.headings, *table.rows)
    ]
    return "\n".join(lines + ([table.note] if table.note else []))


def report(results: Results) -> str:
    """Return the checks of a build, chapter by chapter, as the command line prints them."""
    lines, told = [results.build.name, ""], {}
    for check in told_once(c for name in (*results.chapters, "accepted") for c in results.of(name)):
        told.setdefault(check.chapter, []).append(_block(check))
    for name, chapter in results.chapters.items():
        lines.append(f"{chapter.title}: {chapter.state}" + (f" ({chapter.words})" if chapter.words else ""))
        lines += told.get(name, [])
    lines += told.get("accepted", [])
    stops = len(results.stops)
    undecided = sum(c.verdict == UNDECIDED for c in results.checks)
    lines += ["", f"{stops} stop{'s' * (stops != 1)} not accepted, {undecided} not decidable yet."]
    if results.wanted:
        first = results.wanted[0]
        lines.append(f"Measure next: {first.words} [{first.key}]")
        if first.unlocks:
            lines.append(f"It helps to decide: {first.decides}.")
    return "\n".join(lines)


def _block(check: Check) -> str:
    """Return a check with its id; all but a go with what is said of it, the missing keys as they are typed."""
    word = check.words.upper() if check.verdict == STOP else check.words
    lines = [f"  {word:<13} {head(check)} [{check.id}]"]
    for part in parts(check) if check.verdict != "go" else ():
        words = ", ".join(check.missing) if part.name == "missing" else part.words
        if part.name != "source":
            lines.append(f"{INDENT}{part.title}: {words}" if part.title else f"{INDENT}{words}")
    return "\n".join(lines)


def cures_report(check: Check, build: Build) -> str:
    """Return what each cure of a check would do, with the values to give to ``set``; where none is, what to do."""
    lines = [f"{check.words}: {head(check)} [{check.id}]", *([check.reason] if check.reason else []), ""]
    for number, cure in enumerate(check.cures, 1):
        lines += [f"{number}. {cure.words}", f"   {outcome(cure)}"]
        lines += ["   " + " ".join(quote(f"{k}={v}") for k, v in cure.changes.items()), ""]
    return "\n".join(lines + ([] if check.cures else _uncured(check, build))).rstrip()


def _uncured(check: Check, build: Build) -> list[str]:
    """Return why a check has no cure: it holds, is accepted, lacks a value, or nothing that was tried betters it."""
    if check.verdict == GO:
        return ["This holds. There is nothing to mend."]
    if check.verdict == UNDECIDED:
        return _asks(check, build)
    if check.accepted:
        return ["This is accepted, so no change of the build was tried."]
    todo = [f"What to do: {check.remedy}"] if check.remedy else []
    return [no_change(check) or "No change of the build that was tried makes this better.", *todo]


def _asks(check: Check, build: Build) -> list[str]:
    """Return what would decide a check, a key at a time, each with what to give to ``set``."""
    lines, word = ["This cannot be decided yet."], TOOK if check.found == CANNOT else WRITE
    for key in asked_for(build, check.missing):
        lines.append(f"{word}: {key} ({label(key)})")
        whole = describe_whole(key) is not None
        lines.append("   Add it on the start page, or in the build file." if whole else "   " + quote(f"{key}=..."))
    return [" ".join(lines[:2]), *lines[2:]]


def versions_report(found: Versions) -> str:
    """Return what differs between two builds: verdicts first, then what was entered, then the results."""
    older, newer = (f"{b.name}, build {fingerprint(b)}" for b in (found.before, found.after))
    lines = [f"Older: {older}", f"Newer: {newer}", ""]
    if found.same:
        return "\n".join([*lines, "Both say the same machine."])
    for title, group in (
        ("Verdicts that differ", found.verdicts),
        ("Entries that differ", found.values),
        ("Results that differ", found.results),
    ):
        lines += [f"{title}: {len(group) or 'none'}", *map(_version_line, group), ""]
    return "\n".join([*lines, f"Printed from the older one and out of date: {', '.join(found.papers)}."])


def _version_line(line: Line) -> str:
    name = line.id if line.words in ("", line.id) else f"{line.words} [{line.id}]"
    return f"  {name}\n{INDENT}{line.before} -> {line.after}"


__all__ = ["check_line", "cures_report", "fact_line", "head", "report", "table_text", "versions_report"]
