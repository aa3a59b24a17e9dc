"""Tries what the chapters propose for a caution or a stop, and keeps what does what it says.

Each is put into a copy of the build and worked up; where another check gets worse, its proposals are tried with it.
"""

from __future__ import annotations

from collections.abc import Generator, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

from jackshaft import tables
from jackshaft.buildfile import Build, BuildProblems, NoSuchKey, entered
from jackshaft.results.bands import banded
from jackshaft.results.built_in import IF_NOT, allowed
from jackshaft.results.chapter import Detail, Scope, chapters
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, UNDECIDED, Check
from jackshaft.results.cure import Cure, Proposal, Worse, of_which_belt, orders
from jackshaft.results.failing import Failing
from jackshaft.results.findings import CANNOT
from jackshaft.results.memory import Memory
from jackshaft.results.new_belt import asked_of_it
from jackshaft.results.one_frame import unmeshes, with_shaft
from jackshaft.results.running import Results, at_once, judging, work_up
from jackshaft.results.uncured import advised
from jackshaft.results.worsening import NOT_THERE, worsened
from jackshaft.units import Measure, read, write

#: Cures that are shown for a check, work-ups that are spent on it, and changes that are joined to one cure.
MOST, TRIES, JOINED = 3, 30, 3

T = TypeVar("T")
#: Work that is done a step at a time, and what it ends with.
Steps = Generator[None, None, T]


def proposals(results: Results, check: Check) -> Iterator[Proposal]:
    """Yield what the chapters propose for a check, its own chapter first.

    What repeats another, or changes a pulley that is built into the clutch, is left out. What moves a shaft moves it
    in each belt that runs on it; of another belt is asked what the build says of the old one.
    """
    there = chapters()
    own = [c for n, c in there.items() if n == check.chapter]
    what, seen = check.id.partition("[")[0], set()
    for chapter in own + [c for n, c in there.items() if n != check.chapter]:
        part = chapter.part("cures")
        for raw in part.PROPOSALS.get(what, _none)(Failing(results, check)) if part is not None else ():
            may = allowed(results.build, raw)
            if may is None or unmeshes(results.build, may.changes):
                continue
            proposal = asked_of_it(results.build, with_shaft(results.build, may))
            key = frozenset(proposal.changes.items())
            if key and key not in seen:
                seen.add(key)
                yield proposal


def _none(failing: Failing) -> tuple[Proposal, ...]:
    return ()


@dataclass(frozen=True)
class _Trial:
    """Proposals that were put into a copy of the build, the results of the copy, and the verdicts that it harms."""

    proposals: tuple[Proposal, ...]
    changes: Mapping[str, str]
    results: Results
    harm: tuple[Worse, ...] = ()

    @property
    def clears(self) -> bool:
        return any(p.clears for p in self.proposals)


@dataclass
class _Prover:
    """Tries the proposals for the checks of one build; what was tried for one check serves the next."""

    before: Results
    _seen: dict[frozenset[tuple[str, str]], Results | None] = field(default_factory=dict)
    _ends: dict[frozenset[tuple[str, str]], Results] = field(default_factory=dict)
    _memory: Memory = field(init=False)

    def __post_init__(self):
        self._memory = Memory(self.before.build)

    def cures(self, check: Check, most: int = MOST, tries: int = TRIES) -> Steps[tuple[Cure, ...]]:
        """Return the cures of a check: those that make nothing worse first, then those that say what; in steps."""
        offer, todo = _Offer(check, most), [_Trial((), {}, self.before)]
        while todo:
            start = todo.pop(0)
            for proposal in self._each(proposals(start.results, _asked(check, start))):
                changes = {**start.changes, **proposal.changes}
                kept = [p for p in start.proposals if not set(p.changes) <= set(proposal.changes)]
                if any(_against(p, proposal) for p in kept) or offer.settled(changes) or self._same(changes):
                    continue
                if offer.full or not tries:
                    return offer.best()
                tries -= 1
                found = yield from self._cure(check, (*kept, proposal), changes)
                if found is not None:
                    cure, trial = found
                    offer.add((yield from self._least(check, trial)) or cure, trial.proposals)
                    trial = replace(trial, harm=cure.harm)
                    if len(trial.proposals) < JOINED and _mendable(trial):
                        todo.append(trial)
                        todo.sort(key=_least_harm)
                    elif start.proposals and cure.harm and not _mendable(trial):
                        break  # all that could be joined away is: what is left goes with the first change itself
        return offer.best()

    def _each(self, proposals: Iterator[Proposal]) -> Iterator[Proposal]:
        """Yield proposals; what one of them looks up in the tables serves the next."""
        while True:
            with tables.held(self._memory.looked_up):
                proposal = next(proposals, None)
            if proposal is None:
                return
            yield proposal

    def _least(self, check: Check, trial: _Trial) -> Steps[Cure | None]:
        """Return what the last proposal of a joined cure does by itself, where that makes nothing worse either."""
        if len(trial.proposals) < 2:
            return None
        alone = trial.proposals[-1]
        found = yield from self._cure(check, (alone,), alone.changes)
        return found[0] if found is not None and not found[0].harm else None

    def _same(self, changes: Mapping[str, str]) -> bool:
        """Tell whether the build holds all of it already."""
        build = self.before.build
        try:
            new = applied(build, changes)
        except (BuildProblems, NoSuchKey):
            return True
        return all(_plain(build.values.get(k)) == _plain(new.values.get(k)) for k in changes) and (
            build.lists == new.lists
        )

    def _trial(self, check: Check, proposals: tuple[Proposal, ...], changes: Mapping[str, str]) -> Steps[_Trial | None]:
        """Put proposals into a copy of the build; None where it cannot be taken, or does not better the check."""
        key = frozenset(changes.items())
        if key not in self._seen:
            # most fail in the check's own chapter, which needs only those before it
            soon = self._try(changes, (check.chapter,))
            yield
            if soon is None or not self._betters(check, _Trial(proposals, changes, soon)):
                return None
            self._seen[key] = self._try(changes)
            yield
        after = self._seen[key]
        return None if after is None else _Trial(proposals, changes, after)

    def _try(self, changes: Mapping[str, str], chapters: Sequence[str] | None = None) -> Results | None:
        """Work the changed copy up; None where it cannot be taken, or leaves undone what was worked out before."""
        try:
            new = applied(self.before.build, changes)
        except (BuildProblems, NoSuchKey):
            return None
        scope = Scope(Detail.NO_TABLES)
        after = work_up(new, chapters, before=self.before, scope=scope, memory=self._memory)
        if after.faults or _refused(after) - _refused(self.before):
            return None
        return after

    def _at_ends(self, trial: _Trial) -> Steps[Results]:
        """Return the results of a trial, its checks judged at the ends of what is known where the build's own are."""
        if not self.before.at_ends:
            return trial.results
        key = frozenset(trial.changes.items())
        if key not in self._ends:
            self._ends[key] = yield from judging(trial.results, before=self.before, memory=self._memory)
        return self._ends[key]

    def _cure(
        self, check: Check, proposals: tuple[Proposal, ...], changes: Mapping[str, str]
    ) -> Steps[tuple[Cure, _Trial] | None]:
        """Return what proposals are as a cure of a check, and the trial as it was judged; None where they are none."""
        # what is no good at the values written down is not at their ends either, and is found out sooner
        trial = yield from self._trial(check, proposals, changes)
        if trial is None or not self._betters(check, trial):
            return None
        if not _outweighs(check, worsened(self.before, trial.results, but=check.id), trial.proposals):
            trial = replace(trial, results=(yield from self._at_ends(trial)))
            if not self._betters(check, trial):
                return None
        if not (yield from self._holds_with_band(check, trial)):
            return None
        after = _find(trial.results, check.id)
        cure = Cure(
            _told(of_which_belt(self.before.build, check.id, trial.proposals)),
            trial.changes,
            *((after.verdict, after.value) if after else ("", "")),
            worsened(self.before, trial.results, but=check.id),
            after.missing if after and after.verdict == UNDECIDED else (),
            len(trial.proposals),
            after.limit if after and after.limit != check.limit else "",
        )
        return cure, trial

    def _betters(self, check: Check, trial: _Trial) -> bool:
        after = _find(trial.results, check.id)
        return trial.clears if after is None else _better(check, after, self.before.build)

    def _holds_with_band(self, check: Check, trial: _Trial) -> Steps[bool]:
        """Tell whether it betters the check too when each changed value stays as uncertain as it is now.

        Else a guess that is typed over would be a cure by being forgotten.
        """
        banded = _banded(self.before.build, trial.changes)
        if not banded:
            return True
        try:
            new = applied(self.before.build, trial.changes).with_values(banded)
        except BuildProblems:
            return False
        found = work_up(new, before=self.before, scope=Scope(Detail.NO_TABLES), memory=self._memory)
        if self.before.at_ends:
            found = yield from judging(found, before=self.before, memory=self._memory)
        after = _find(found, check.id)
        return after is None or _better(check, after, self.before.build)


@dataclass
class _Offer:
    """The cures found for a check, one for each set of keys."""

    check: Check
    most: int
    _found: dict[frozenset[str], Cure] = field(default_factory=dict)

    def add(self, cure: Cure, proposals: Sequence[Proposal]) -> None:
        """Take a cure in where what it mends is more than what it makes worse, and it betters the one of its keys."""
        if _outweighs(self.check, cure.harm, proposals):
            return
        keys = frozenset(cure.changes)
        if keys not in self._found or _rank(cure) < _rank(self._found[keys]):
            self._found[keys] = cure

    def settled(self, changes: Mapping[str, str]) -> bool:
        """Tell whether nothing better can be found with these keys."""
        found = self._found.get(frozenset(changes))
        return found is not None and _rank(found)[:3] == (False, 0, ORDER.index(GO))

    @property
    def full(self) -> bool:
        """Whether as many as are shown end well and make nothing worse."""
        return sum(self.settled(c.changes) for c in self._found.values()) >= self.most

    def best(self) -> tuple[Cure, ...]:
        """Return the best of them, in the order they were found where they are alike.

        One that does all that another does, and more, without ending better, is left out; so is what joins as many
        proposals as may be where one by itself does, and of those that leave the check open all but the first.
        """
        best = sorted(self._found.values(), key=_rank)
        spare = [c for c in best if any(_within(o, c) and _rank(o) <= _rank(c) for o in best if o is not c)]
        spare += [c for c in best if c.measure][1:]
        if any(self.settled(c.changes) and c.joined == 1 for c in best):
            spare += [c for c in best if c.joined == JOINED]  # nobody does three things where one will do
        return tuple(c for c in best if c not in spare)[: self.most]


def _asked(check: Check, trial: _Trial) -> Check:
    """Return the check whose proposals come next: the worst of those that a trial made worse, as it is there."""
    if not trial.proposals:
        return check
    hardest = max(_mendable(trial), key=lambda w: ORDER.index(w.after))
    return _find(trial.results, hardest.id)


def _least_harm(trial: _Trial) -> tuple[int, int]:
    """Return how bad the worst of what a trial makes worse is, and how much that is; the least goes on first."""
    return max(ORDER.index(w.after) for w in trial.harm), len(trial.harm)


def _outweighs(check: Check, harm: Iterable[Worse], proposals: Sequence[Proposal]) -> bool:
    """Tell whether what proposals make worse is as bad as what they are to mend.

    What those that only reveal bring to light of checks that could not be judged before is not held against them.
    """
    reveals = all(p.reveals for p in proposals)
    counts = [w for w in harm if not w.stays and not (reveals and w.before in (NOT_THERE, UNDECIDED))]
    return any(ORDER.index(w.after) >= ORDER.index(check.verdict) for w in counts)


def _mendable(trial: _Trial) -> tuple[Worse, ...]:
    """Return what of the harm of a trial another change may undo: not what no method judges, which lacks nothing."""
    lacks = {c.id for c in trial.results.checks if c.missing}
    return tuple(w for w in trial.harm if w.after != UNDECIDED or w.id in lacks)


def _within(small: Cure, large: Cure) -> bool:
    """Tell whether all changes of one cure are among those of another."""
    return dict(small.changes).items() < dict(large.changes).items()


def _rank(cure: Cure) -> tuple[bool, int, int, int]:
    """Return what cures are ordered by: whether readings decide, how many verdicts get worse, the verdict after, and
    how many proposals they join."""
    return bool(cure.measure), len(cure.harm), ORDER.index(cure.verdict_after or GO), cure.joined


def applied(build: Build, changes: Mapping[str, str]) -> Build:
    """Return a copy of a build with the changes of a cure, read as a form reads them.

    Raises
    ------
    BuildProblems, NoSuchKey
        If one of them cannot be taken.
    """
    typed = {}
    for key, text in changes.items():
        typed |= entered(build, key, text)
    return build.with_values(typed)


def prove(results: Results, id: str, *, most: int = MOST, tries: int = TRIES) -> tuple[Cure, ...]:
    """Return the proved cures of one check.

    Raises
    ------
    KeyError
        If the results hold no check of that id.
    """
    return at_once(proving(results, id, most=most, tries=tries))


def proving(results: Results, id: str, *, most: int = MOST, tries: int = TRIES) -> Steps[tuple[Cure, ...]]:
    """Do what :func:`prove` does, a step at a time."""
    check = _find(results, id)
    if check is None:
        raise KeyError(id)
    return (yield from _Prover(results).cures(check, most, tries)) if _wants_cure(check) else ()


def with_cures(results: Results, ids: Iterable[str] | None = None) -> Results:
    """Return the results with the cures of each caution and stop that nobody accepted, or only of those named."""
    prover, named = _Prover(results), None if ids is None else set(ids)
    with tables.held():
        wanted = {c.id for c in results.checks if _wants_cure(c) and (named is None or c.id in named)}
        checks = tuple(
            advised(results, replace(c, cures=at_once(prover.cures(c)))) if c.id in wanted else c
            for c in results.checks
        )
    return replace(results, checks=checks)


def _better(before: Check, after: Check, build: Build) -> bool:
    """Tell whether a check is better: a stop also where only readings are wanting then, a caution where they are."""
    if after.verdict == UNDECIDED:
        wanting = before.verdict == STOP or all(build.get(key) is None for key in after.missing)
        return wanting and bool(after.missing) and after.found != CANNOT
    return ORDER.index(after.verdict) < ORDER.index(before.verdict)


def _wants_cure(check: Check) -> bool:
    return check.verdict in (CAUTION, STOP) and check.accepted is None


def _find(results: Results, id: str) -> Check | None:
    return next((c for c in results.checks if c.id == id), None)


def _refused(results: Results) -> set[str]:
    return {c.id for c in results.checks if c.verdict == UNDECIDED and c.value == CANNOT}


def _plain(value):
    return value.si if isinstance(value, Measure) else value


def _banded(build: Build, changes: Mapping[str, str]) -> dict[str, dict[str, str]]:
    """Return those changes whose value has an allowance now, with an allowance of the same share."""
    found = {}
    for key, text in changes.items():
        old = banded(build.values.get(key))
        if not isinstance(old, Measure) or not old.plus_minus or not old.si or not text.strip():
            continue
        new = read(text, old.kind).si
        kind = "temperature rise" if old.kind == "temperature" else old.kind
        share = write(abs(new / old.si) * old.plus_minus, kind, build.system)
        found[key] = {"value": text, "plus_minus": share}
    return found


def _against(one: Proposal, other: Proposal) -> bool:
    """Tell whether two proposals want different values of one key: no sentence could ask for both."""
    return any(one.changes[k] != other.changes[k] for k in one.changes.keys() & other.changes.keys())


def _told(words: Sequence[str]) -> str:
    """Return orders in sentences, what is to be seen first of all of them at their end, once."""
    bare = orders(*(one.replace(IF_NOT, "").strip() for one in words)).replace("  ", " ")
    return f"{bare} {IF_NOT}" if any(IF_NOT in one for one in words) else bare


__all__ = ["applied", "proposals", "prove", "proving", "with_cures"]
