"""Your part in another builder's machine: what still holds, what does not, what mends it, and what is cut anew."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from jackshaft.buildfile import Build, BuildProblems, Problem, entered, split
from jackshaft.buildfile.candidates import LIST as CANDIDATES
from jackshaft.buildfile.model import at_or_below
from jackshaft.record.opening import overall
from jackshaft.render.parts import outcome
from jackshaft.render.plain import head
from jackshaft.results import Results, chapters, work_up
from jackshaft.results.checks import GO, ORDER, STOP, UNDECIDED, Check
from jackshaft.results.findings import out_of_date
from jackshaft.results.one_frame import moved_along
from jackshaft.results.proving import with_cures
from jackshaft.results.worsening import turned
from jackshaft.sheets.facts import sheets_data
from jackshaft.units import Measure

#: So many checks of one kind are told with their numbers; the rest are counted.
SHOWN = 12


@dataclass(frozen=True)
class Swap:
    """What becomes of a build with other parts in it.

    Attributes
    ----------
    before, after : Results
        Of the build as it was and with the parts; what got worse in ``after`` has its cures, none of which changes
        what was put in.
    changes : mapping of str to object
        What was put in, with what moves along.
    worse, opened, better, other : tuple of Check
        Checks of ``after``: of a worse verdict or new; not decidable any more; of a better verdict; of the same verdict
        with another number.
    untouched : int
        How many are as they were.
    gone : tuple of str
        Names of checks that fall away.
    of_the_old : tuple of str
        Keys of the parts that were touched whose values are still those of the old part.
    anew : tuple of str
        What is cut, turned or printed anew.
    """

    before: Results
    after: Results
    changes: Mapping[str, object]
    worse: tuple[Check, ...]
    opened: tuple[Check, ...]
    better: tuple[Check, ...]
    other: tuple[Check, ...]
    untouched: int
    gone: tuple[str, ...]
    of_the_old: tuple[str, ...]
    anew: tuple[str, ...]


def put_in(build: Build, typed: Sequence[tuple[str, str]]) -> dict[str, object]:
    """Return what typed entries change of a build, with what moves along with them.

    Raises
    ------
    BuildProblems
        If an entry cannot be taken, or nothing was typed.
    NoSuchKey
        If a build has no such key.
    """
    changes: dict[str, object] = {}
    for key, text in typed:
        changes |= entered(build, key, text)
    if not changes:
        raise BuildProblems([Problem(build.file, "", "nothing to put in", "KEY=TEXT, such as engine.rated_power=9 hp")])
    more, _ = moved_along(build, changes)
    return changes | more


def swap(build: Build, typed: Sequence[tuple[str, str]]) -> Swap:
    """Return what becomes of a build with other parts in it.

    Parameters
    ----------
    build : Build
        The build as somebody else made it; nothing is written to it.
    typed : sequence of (key, text)
        The values of your parts.

    Raises
    ------
    BuildProblems, NoSuchKey
        If an entry cannot be taken.
    """
    changes = put_in(build, typed)
    new = _with(build, changes)
    before = work_up(build, at_ends=True)
    after = work_up(new, before=before, at_ends=True)
    was = {c.id: c for c in before.checks}
    fallen = {w.id for w in turned(before, after)}
    opened = {c.id for c in after.checks if c.id in fallen and c.verdict == UNDECIDED}
    after = _cured(after, fallen - opened, changes)

    def those(meant) -> tuple[Check, ...]:
        found = [c for c in after.checks if meant(c)]
        return tuple(sorted(found, key=lambda c: -ORDER.index(c.verdict)))

    other = those(lambda c: c.id in was and c.verdict == was[c.id].verdict and c.value != was[c.id].value)
    better = those(lambda c: c.id in was and ORDER.index(c.verdict) < ORDER.index(was[c.id].verdict))
    told = fallen | {c.id for c in (*other, *better)}
    return Swap(
        before=before,
        after=after,
        changes=changes,
        worse=those(lambda c: c.id in fallen - opened),
        opened=those(lambda c: c.id in opened),
        better=better,
        other=other,
        untouched=sum(c.id not in told for c in after.checks),
        gone=tuple(c.name for c in before.checks if c.id not in {a.id for a in after.checks}),
        of_the_old=_of_the_old(build, changes),
        anew=tuple(_anew(before, after)),
    )


def _with(build: Build, changes: Mapping[str, object]) -> Build:
    """Return the build with the changes; where what is left of the old part does not go with them, say how to go on."""
    try:
        return build.with_values(changes)
    except BuildProblems as error:
        more = "or nothing there (its key with an empty text) until you know yours"
        problems = [p if p.key in changes else replace(p, wanted=f"{p.wanted}; {more}") for p in error.problems]
        raise BuildProblems(problems) from error


def _cured(after: Results, ids: set[str], changes: Mapping[str, object]) -> Results:
    """Return the results with the cures of the checks named; a cure that takes the new part out again is none."""
    found = with_cures(after, ids)
    kept = [
        replace(c, cures=tuple(cure for cure in c.cures if not set(cure.changes) & set(changes)))
        if c.id in ids and c.cures
        else c
        for c in found.checks
    ]
    return replace(found, checks=tuple(kept))


def _of_the_old(build: Build, changes: Mapping[str, object]) -> tuple[str, ...]:
    """Return the keys of what was measured or read of the parts that were touched, and was not put in anew."""
    homes = {key.rpartition(".")[0] for key in changes} - {""}
    return tuple(
        key
        for key, value in build.values.items()
        if isinstance(value, Measure)
        and key not in changes
        and not at_or_below(key, CANDIDATES)
        and any(key.rpartition(".")[0] == home or _inside(key, home) for home in homes)
    )


def _inside(key: str, home: str) -> bool:
    """Tell whether a key lies in a list of a chapter such as the engine, which has no parts beside its own."""
    return len(split(home)) == 1 and split(home)[0][1] is None and key.startswith(home + ".")


def _anew(before: Results, after: Results):
    """Yield the sheets to cut and turn by that are other ones now, then what was printed of the chapters that moved."""
    # what a sheet warns of is not cut by
    kept = ("rows", "sizes", "steps", "turned", "grooves")
    sheets = [
        {_sheet(sheet): [sheet.get(one) for one in kept] for sheet in sheets_data(results)}
        for results in (before, after)
    ]
    for name in dict.fromkeys((*sheets[0], *sheets[1])):
        old, new = (found.get(name) for found in sheets)
        if old != new:
            yield name if new is not None else f"{name}, of which there is none now"
    declared = chapters()
    for findings, _ in out_of_date(before.build, after.build, tuple(after.chapters.values())):
        if findings.name == "layout":
            yield "the templates of belt and guard at 1:1"
        if findings.name in declared and declared[findings.name].paper:
            yield declared[findings.name].paper
    yield "the record"


def _sheet(sheet: Mapping) -> str:
    of = f" of {sheet['stage']}" if "stage" in sheet else ""
    return f"the {sheet['sheet']} sheet of {sheet['part']}{of}"


def report(found: Swap, named: Callable[[str], str] = str) -> str:
    """Return what becomes of a build with other parts in it, as text: what does not hold first.

    ``named`` gives a key the words that it is shown by.
    """
    build = found.after.build
    was = {c.id: c for c in found.before.checks}
    lines = [f"{build.name}, with your own:"]
    lines += [f"  {named(key)}: {_said(found.before.build, key)} -> {_said(build, key)}" for key in found.changes]
    lines += ["", f"Before: {overall(found.before)}", f"With it: {overall(found.after)}", ""]
    lines += [f"To change, or not to build: {len(found.worse) or 'nothing'}"]
    for check in found.worse:
        lines += [f"  {check.words}: {head(check)} [{check.id}]", *_mended(check)]
    if found.opened:
        lines += ["", f"Not decidable with it: {len(found.opened)}"]
        lines += [
            f"  {c.name}: write down {', '.join(map(named, c.missing)) or 'what its reason names'}"
            for c in found.opened
        ]
    for title, group in (("Better with it", found.better), ("Still holds or fails, with another number", found.other)):
        if group:
            lines += ["", f"{title}: {len(group)}"]
            lines += [f"  {c.name}: {_verdict(was[c.id])} -> {_verdict(c)}" for c in group[:SHOWN]]
            lines += [f"  and {len(group) - SHOWN} more" for _ in group[SHOWN : SHOWN + 1]]
    if found.gone:
        lines += ["", f"Falls away: {'; '.join(found.gone)}"]
    lines += ["", f"Not touched by it: {found.untouched} checks"]
    if found.of_the_old:
        lines += ["", "What else is said there is still the other machine's. Put yours in where it differs:"]
        lines += [f"  {named(key)}: {_said(build, key)}" for key in found.of_the_old]
    return "\n".join([*lines, "", f"Cut, turn or print anew: {'; '.join(found.anew)}."])


def _verdict(check: Check) -> str:
    return f"{check.words}, {check.value}"


def _said(build: Build, key: str) -> str:
    value = build.values.get(key)
    return "not known" if value is None else value.text if isinstance(value, Measure) else str(value)


def _mended(check: Check) -> list[str]:
    """Return the lines below a check that got worse: why, and what was tried and mends it."""
    lines = [f"      {check.reason}"] if check.reason else []
    for cure in check.cures:
        changes = " ".join(f"'{key}={text}'" for key, text in cure.changes.items())
        lines += [f"      Tried: {cure.words} {outcome(cure)}", f"        {changes}"]
    if not check.cures and check.verdict != GO:
        kept = "No change that was tried mends it and leaves your part in."
        lines.append(f"      {kept} {check.remedy}".rstrip())
    if check.guards and check.verdict == STOP:
        lines.append("      This guards people or keeps a fire away: do not run it so.")
    return lines


__all__ = ["SHOWN", "Swap", "put_in", "report", "swap"]
