"""Settings of a panel that are held as candidates: compared, brought back, and kept with the build."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from jackshaft.buildfile import Answer, Build, NoSuchKey, check_name
from jackshaft.buildfile.candidates import LIST, Stored, differences, lines_of, stored, tried
from jackshaft.buildfile.editing import Change
from jackshaft.buildfile.model import at_or_below
from jackshaft.render.parts import by_weight
from jackshaft.results.checks import worst
from jackshaft.results.findings import differing
from jackshaft.ui.model import NOT_KNOWN, Outcome, Reading, as_text, take
from jackshaft.ui.trouble import NotKept, fault_of

LETTERS = "ABCDEF"


@dataclass(frozen=True)
class Pin:
    """A setting that was held: its letter, the text of every control, its outcome, and what else it changes.

    ``stored`` is what the build file holds of it, None while it is pinned on this page only. ``shown`` tells whether
    the picture draws it, ``taken`` whether the build is by now as the kept candidate makes it. ``trial`` is the build
    with it in, which ``outcome`` was worked out from.
    """

    letter: str
    texts: Mapping[str, str]
    readings: Mapping[str, Reading]
    outcome: Outcome
    also: Mapping[str, Change] = field(default_factory=dict)
    stored: Stored | None = None
    shown: bool = True
    taken: bool = False
    trial: Build | None = field(default=None, repr=False)

    def serves(self, trial: Build, readings: Mapping[str, Reading]) -> bool:
        """Tell whether the outcome stands for a build and readings too: nothing differs but what is kept beside it."""
        if self.trial is None or any(not r.same(self.readings.get(id)) for id, r in readings.items()):
            return False
        return all(at_or_below(key, LIST) for key in differing(self.trial, trial))

    @property
    def name(self) -> str:
        """What the builder calls it; empty while it is not kept."""
        return self.stored.name if self.stored else ""


class Candidates:
    """What a panel's state does with its candidates."""

    pins: list[Pin]
    #: what the panel is called; a candidate that was kept here is shown here again
    title: str = ""
    #: candidates of the build file that cannot stand beside the others, with why not
    unread: tuple[tuple[Stored, str], ...] = ()

    def pin(self) -> Pin:
        """Hold the present setting as a candidate under the next free letter.

        Raises
        ------
        NotKept
            If there is an error, or every letter is taken.
        """
        if self.troubles or self.outcome is None:
            raise NotKept("Nothing was pinned: put the error right first.")
        self.finish()
        free = self._free()
        if not free:
            raise NotKept(f"Nothing was pinned: {len(LETTERS)} candidates are pinned already; drop one first.")
        pin = Pin(free[0], dict(self.texts), dict(self.readings), self.outcome, dict(self.also), trial=self.trial)
        self._sort([*self.pins, pin])
        return pin

    def use(self, letter: str) -> None:
        """Bring the values of a candidate back into the controls.

        Parameters
        ----------
        letter : str
            The candidate's letter.
        """
        pin = self._pin(letter)
        self.also = dict(pin.also)
        self.set_many(pin.texts)

    def drop(self, letter: str) -> None:
        """Forget a candidate that is pinned here, and take one that is kept out of the build file.

        Parameters
        ----------
        letter : str
            The candidate's letter.

        Raises
        ------
        NotKept
            If the file cannot be written.
        """
        pin = self._pin(letter)
        if pin.stored:
            self.take_out(pin.name)
        else:
            self.pins.remove(pin)
            if self.unread:
                self.read_stored()

    def name_of(self, letter: str) -> str:
        """Return what the build file calls a candidate; empty where it is pinned here only.

        Parameters
        ----------
        letter : str
            The candidate's letter.
        """
        return self._pin(letter).name

    def overlay(self, letter: str) -> bool:
        """Show a candidate in the picture, or hide it there; return whether it is shown now.

        Parameters
        ----------
        letter : str
            The candidate's letter.
        """
        pin = self._pin(letter)
        self._sort([replace(p, shown=not p.shown) if p is pin else p for p in self.pins])
        return not pin.shown

    # -- in the build file ---------------------------------------------------------------------------

    def store(self, letter: str, name: str, reason: str, settle: Mapping[str, Answer] | None = None) -> str:
        """Keep a candidate in the build file, or the reason of one that is kept already; return its name.

        Parameters
        ----------
        letter : str
            The candidate's letter.
        name : str
            What it is called; it needs a name once.
        reason : str
            Why it is not taken; it may be empty.
        settle : mapping of str to Answer, optional
            What is kept where another changed the same.

        Raises
        ------
        Asked
            If somebody else changed the same.
        NotKept
            If it has no name, or changes nothing, or the file cannot be written.
        """
        pin = self._pin(letter)
        values = {"reason": reason.strip()} if pin.stored else self._as_stored(pin, name, reason)
        name = pin.name or values["name"]
        build = self._save({f"{LIST}[{name}].{key}": text for key, text in values.items()}, settle or {})
        self._sort([replace(p, stored=Stored(name, "", "", "", "", "")) if p is pin else p for p in self.pins])
        self.rebase(build)
        return name

    def _as_stored(self, pin: Pin, name: str, reason: str) -> dict[str, str]:
        if not isinstance(self.build, Build):
            raise NotKept("Nothing was kept: this build has no file that holds candidates.")
        if not name.strip():
            raise NotKept(f"Nothing was kept. Name of candidate {pin.letter}: found nothing; wanted a name.")
        changes = self._changed(pin.readings) | dict(pin.also)
        changes |= self._along(changes)
        if not changes:
            raise NotKept(
                f"Nothing was kept: candidate {pin.letter} is the build as it is now. Keep another design in the "
                "build first, or pin a design that differs."
            )
        return as_stored(self.build, name, changes, reason, page=self.title, found=found_in_words(pin.outcome))

    def take_out(self, name: str) -> None:
        """Take a candidate out of the build file.

        Parameters
        ----------
        name : str
            What it is called.

        Raises
        ------
        Asked, NotKept
            As :meth:`store`.
        """
        self.rebase(self._save({LIST: tuple(n for n in self.build.names(LIST) if n != name)}, {}))

    def read_stored(self) -> None:
        """Stand the candidates of the build file that are about this panel beside those that are pinned here.

        Each is worked up on the build as it is now. One that was there before keeps its letter.
        """
        there = {p.name: p for p in self.pins if p.stored}
        self.pins = [p for p in self.pins if not p.stored]
        self.unread = ()
        if not isinstance(self.build, Build):
            return
        taken = {p.letter for p in there.values() if p.name in self.build.names(LIST)}
        for one in stored(self.build):
            before = there.get(one.name)
            free = [before.letter] if before else [x for x in self._free() if x not in taken]
            try:
                changes = tried(self.build, one)[1]
                if not self._is_about(one, changes):
                    continue
                if not free:
                    why = f"{len(LETTERS)} candidates stand side by side already. Drop one to see this one."
                    self.unread += ((one, why),)
                    continue
                self._sort([*self.pins, self._stood(free[0], one, changes, before)])
            except (ValueError, NoSuchKey) as error:
                self.unread += ((one, f"It does not go with the build as it is now. {error}"),)
            except Exception as error:
                # one candidate that fails must not take the panel with it
                self.unread += ((one, fault_of(error).line),)

    def _is_about(self, one: Stored, changes: Mapping[str, Change]) -> bool:
        return one.page == self.title or any(key in self.controls for key in changes)

    def _stood(self, letter: str, one: Stored, changes: Mapping[str, Change], before: Pin | None) -> Pin:
        texts = {id: self.base_text(control) for id, control in self.controls.items()}
        texts |= {key: as_text(value) for key, value in changes.items() if key in self.controls}
        readings = {id: take(self.controls[id], text, self.system) for id, text in texts.items()}
        also = self.besides(changes)
        trial, shown, taken = (
            self.trial_with(readings, also),
            bool(before and before.shown),
            not differences(self.build, one),
        )
        if before is not None and before.serves(trial, readings):
            outcome = before.outcome
        else:
            outcome = self.outcome_with(readings, also, judged=True)
        return Pin(letter, texts, readings, outcome, also, one, shown, taken, trial)

    def besides(self, changes: Mapping[str, Change]) -> dict[str, Change]:
        """Return the changes that no control stands for.

        What goes along with a control is no change of its own: it follows when the control is moved on.

        Parameters
        ----------
        changes : mapping of str to Change
            Key to value.
        """
        along = self._along({key: value for key, value in changes.items() if key in self.controls})
        return {k: v for k, v in changes.items() if k not in self.controls and along.get(k) != v}

    def also_cells(self, key: str) -> tuple[str, ...]:
        """Return what the present design and each candidate say of a key that no control stands for."""
        was = self._was(key)
        return tuple(
            as_text(a[key]) or NOT_KNOWN if key in a else was for a in (self.also, *(p.also for p in self.pins))
        )

    def _free(self) -> list[str]:
        return [letter for letter in LETTERS if letter not in {p.letter for p in self.pins}]

    def _sort(self, pins: list[Pin]) -> None:
        self.pins = sorted(pins, key=lambda p: p.letter)

    def _pin(self, letter: str) -> Pin:
        return next(p for p in self.pins if p.letter == letter)


def as_stored(
    build: Build, name: str, changes: Mapping[str, Change], reason: str, *, page: str, found: str
) -> dict[str, str]:
    """Return what the build file holds of a new candidate, by the field of its entry.

    Parameters
    ----------
    build : Build
        The build that it is another design of.
    name : str
        What the builder calls it.
    changes : mapping of str to str, int, bool or tuple of str
        Key to what the candidate says.
    reason : str
        Why it is not taken; it may be empty.
    page : str
        The page or panel that found it.
    found : str
        What was found of it.

    Raises
    ------
    NotKept
        If it cannot be called that.
    """
    try:
        name = check_name(build, LIST, name)
    except ValueError as error:
        raise NotKept(f"Nothing was kept: {error}") from error
    return {
        "name": name,
        "changes": lines_of({key: as_text(value) for key, value in changes.items()}),
        "reason": reason.strip(),
        "date": date.today().isoformat(),
        "page": page,
        "found": found,
    }


def found_in_words(outcome: Outcome) -> str:
    """Return what was found of a design in a line: the worst verdict, and the check that it comes from.

    Parameters
    ----------
    outcome : Outcome
        Or whatever else has checks.
    """
    if not outcome.checks:
        return ""
    first, verdict = by_weight(outcome.checks)[0], worst(outcome.checks)
    return verdict if verdict == "go" else f"{verdict}: {first.name}, {first.value}"


__all__ = ["LETTERS", "Candidates", "Pin", "as_stored", "found_in_words"]
