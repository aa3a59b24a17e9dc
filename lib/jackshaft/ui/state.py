"""The logic of a panel as plain Python: set a text, get an outcome; keep, pin, use, reset.

The widgets are a thin skin over this; everything here is tested without them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from jackshaft import tables, units
from jackshaft.buildfile import (
    Answer,
    Build,
    BuildProblems,
    ChangedOnDisk,
    DoesNotFit,
    KeyConflict,
    NoSuchKey,
    NotSaved,
    entered,
)
from jackshaft.buildfile.editing import Change
from jackshaft.results.keeping import keep
from jackshaft.results.one_frame import carried
from jackshaft.results.running import at_once
from jackshaft.ui.candidates import LETTERS, Candidates, Pin
from jackshaft.ui.model import NOT_KNOWN, Control, FieldError, Outcome, Reading, as_text, take
from jackshaft.ui.put_off import PutOff
from jackshaft.ui.stale import elsewhere_words, lies_in, stale_words
from jackshaft.ui.trouble import Asked, NotKept, Trouble, fault_of

OutcomeOf = Callable[[Build, Mapping[str, object]], Outcome]


def _is(text: str, value: units.Measure) -> bool:
    """Tell whether a text of a list means a quantity, however that was typed."""
    try:
        return math.isclose(units.read(text, value.kind).si, value.si, rel_tol=1e-6)
    except units.UnitTextError:
        return False


class PanelState(PutOff, Candidates):
    """What a panel holds.

    ``outcome`` is the last one that could be worked out; it matches the inputs only while ``troubles``
    is empty.

    Parameters
    ----------
    build : Build
        What is kept now.
    controls : sequence of Control
        What can be changed.
    outcome_of : callable
        ``outcome_of(build, whatif) -> Outcome``; ``whatif`` maps the names of what-if controls to values.
    title : str, optional
        What the panel is called.
    """

    def __init__(self, build: Build, controls: Sequence[Control], outcome_of: OutcomeOf, title: str = ""):
        ids = [c.id for c in controls]
        if len(set(ids)) != len(ids):
            raise ValueError("two controls of a panel stand for the same thing")
        self.build, self.title = build, title
        self.controls = {c.id: c for c in controls}
        self.outcome_of = outcome_of
        self.outcome: Outcome | None = None
        #: the build with the changes in it that ``outcome`` was worked out from
        self.trial = build
        self.troubles: tuple[Trouble, ...] = ()
        self.pins: list[Pin] = []
        self.texts: dict[str, str] = {}
        self.readings: dict[str, Reading] = {}
        #: what is changed here besides the controls: keys of the build that none of them stands for
        self.also: dict[str, Change] = {}
        #: the texts that ``outcome`` belongs to
        self.shown_texts: dict[str, str] = {}
        self.shown_readings: dict[str, Reading] = {}
        self._faults: dict[str, FieldError] = {}
        self._base: dict[str, Reading] = {}
        self._load_base()
        self._take_texts({id: self.base_text(c) for id, c in self.controls.items()})
        self._work_out(first=True)
        self.finish(first=True)
        self.read_stored()

    @property
    def system(self) -> str:
        """The unit system everything is shown in."""
        return self.build.system

    def base_text(self, control: Control) -> str:
        """Return the text that the build (or a what-if's start) gives a control; empty when not known.

        Parameters
        ----------
        control : Control
            One of the panel's.
        """
        if control.key is None:
            start = control.start
            return start if isinstance(start, str) else start[0 if self.system == "inch" else 1]
        value = self.build.get(control.key)
        if value is None:
            return ""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if not isinstance(value, units.Measure):
            return str(value)
        if control.kind == "choice":
            # 16 AWG and 1.3087 mm² are one wire: it stands under the words that the list has for it
            return next((meant for _, meant in control.options if _is(meant, value)), value.text)
        return value.text

    def base_reading(self, id: str) -> Reading | None:
        """Return what the build itself gives a control, or None where the control cannot take that.

        Parameters
        ----------
        id : str
            The control's key or name.
        """
        return self._base.get(id)

    def set(self, id: str, text: str) -> None:
        """Put a text into a control and work the outcome out again.

        Parameters
        ----------
        id : str
            The control's key or name.
        text : str
            What was typed.
        """
        self.set_many({id: text})

    def set_many(self, texts: Mapping[str, str]) -> None:
        """Put texts into several controls, then work the outcome out once.

        Parameters
        ----------
        texts : mapping of str to str
            Control's key or name to text.
        """
        self._take_texts(texts)
        self._work_out()

    def take_changes(self, changes: Mapping[str, str]) -> None:
        """Put changes of the build into the panel: into their controls, the others beside them.

        Parameters
        ----------
        changes : mapping of str to str
            Key to shop text, as a cure has them.

        Raises
        ------
        NotKept
            If one of them cannot be taken; nothing is changed then.
        """
        typed: dict[str, Change] = {}
        try:
            for key, text in changes.items():
                typed |= entered(self.trial, key, text)
            self.trial.with_values(typed)
        except (BuildProblems, NoSuchKey) as error:
            raise NotKept(f"That cannot be taken: {error}") from error
        self.also |= self.besides(typed)
        self.set_many({key: as_text(value) for key, value in typed.items() if key in self.controls})

    def reset(self) -> None:
        """Go back to what the build says, and to the start of every what-if."""
        self.also = {}
        self.set_many({id: self.base_text(c) for id, c in self.controls.items()})

    def rebase(self, build: Build, give_up: Sequence[str] = ()) -> None:
        """Stand on a newer state of the same build; what was changed here and not kept stays changed.

        Parameters
        ----------
        build : Build
            The build as it is kept now.
        give_up : sequence of str, optional
            Controls that take the build's value all the same.
        """
        changed = {*self.changes(), *self._faults} - {*give_up}
        self.build = build
        self._load_base()
        texts = {id: self.base_text(c) for id, c in self.controls.items() if c.key and id not in changed}
        self._take_texts(texts)
        self._work_out()
        self.read_stored()

    def changes(self) -> dict[str, Change]:
        """Return the keys of the build whose value here differs from what is kept, with the new value."""
        found = self._changed(self.readings) | self.also
        return found | self._along(found)

    def _along(self, changes: Mapping[str, Change]) -> dict[str, Change]:
        """Return what goes along with changes: the places in other belts of a shaft that is moved."""
        return {k: v for k, v in carried(self.build, changes)[0].items() if k not in self.controls}

    def _changed(self, readings: Mapping[str, Reading]) -> dict[str, Change]:
        return {
            id: reading.kept
            for id, reading in readings.items()
            if self.controls[id].key and not reading.same(self._base.get(id))
        }

    def outcome_with(
        self, readings: Mapping[str, Reading], also: Mapping[str, Change] | None = None, *, judged: bool = False
    ) -> Outcome:
        """Return what comes of the panel's values with some of them replaced; the panel stays as it is.

        Parameters
        ----------
        readings : mapping of str to Reading
            Control's key or name to what it would hold.
        also : mapping of str to Change, optional
            What else it would change; what the panel changes besides its controls, if left out.
        judged : bool, optional
            Whether its checks are judged at the ends of each band too.

        Raises
        ------
        ValueError
            If there is no such design.
        """
        readings = self.readings | dict(readings)
        with tables.held():
            trial = self.trial_with(readings, self.also if also is None else also)
            outcome = self.outcome_of(trial, {id: readings[id].value for id, c in self.controls.items() if not c.key})
        outcome = outcome if outcome.later is None else outcome.later()
        return at_once(outcome.ends(self.judged))[0] if judged and outcome.ends else outcome

    def trial_with(self, readings: Mapping[str, Reading], also: Mapping[str, Change]) -> Build:
        """Return the build with readings of the controls and other changes in it.

        Parameters
        ----------
        readings : mapping of str to Reading
            Control's key or name to what it would hold; the build's own where it is not there.
        also : mapping of str to Change
            What else is changed.

        Raises
        ------
        ValueError
            If there is no such design.
        """
        changes = self._changed(readings) | dict(also)
        return self.build.with_values(changes | self._along(changes))

    def whatif(self) -> dict[str, object]:
        """Return the values of the what-if controls by name."""
        return {id: self.readings[id].value for id, c in self.controls.items() if c.key is None}

    def keep(self, settle: Mapping[str, Answer] | None = None) -> str:
        """Write what was changed into the build file and say what was written.

        What others changed in the file meanwhile stays, and the panel stands on the merged build.

        Parameters
        ----------
        settle : mapping of str to Answer, optional
            What is kept where another changed the same.

        Returns
        -------
        str
            The sentence to show.

        Raises
        ------
        Asked
            If somebody else changed the same; both values are in it and nothing was written.
        NotKept
            With the reason; the file and the values in the panel are as they were.
        """
        if self.troubles:
            raise NotKept("Nothing was kept: put this right first. " + self.troubles[0].line)
        self.complete()
        changes = self.changes()
        if not changes:
            return f"Nothing to keep: every value here is already in the build '{self.build.name}'."
        before = {id: self._was(id) for id in changes}
        build = self._save(changes, settle or {})
        left = [key for key, answer in (settle or {}).items() if answer.side == "theirs"]
        given_up = [id for id in changes if lies_in(id, left)]
        written = "; ".join(
            f"{id} = {_in_words(changes[id])} (was {before[id]})" for id in changes if id not in given_up
        )
        old, self.also = self.build, {}
        self.rebase(build, given_up)
        words = [f"Kept in the build '{build.name}': {written}." if written else ""]
        for id in given_up:
            words.append(f"{id} stays as the file has it: {self._was(id)}.")
        if isinstance(old, Build):
            words += [elsewhere_words(old, build, changes), stale_words(old, build)]
        return " ".join(w for w in words if w)

    def _was(self, key: str) -> str:
        """Return what the build says of a key, as text."""
        if key in self.controls:
            return self.base_text(self.controls[key]) or NOT_KNOWN
        value = self.build.values.get(key)
        return NOT_KNOWN if value is None else value.text if isinstance(value, units.Measure) else as_text(value)

    def also_changed(self) -> dict[str, tuple[str, str]]:
        """Return what is changed besides the controls: key to its text here and in the build."""
        beside = {k: v for k, v in self.changes().items() if k not in self.controls}
        return {key: (_in_words(value), self._was(key)) for key, value in beside.items()}

    def _save(self, changes: Mapping[str, object], settle: Mapping[str, Answer]) -> Build:
        try:
            return keep(self.build, changes, settle=settle or None)
        except KeyConflict as error:
            raise Asked(error) from error
        except DoesNotFit as error:
            # Standing on the file as it is, the panel shows at its controls what does not go together.
            self.rebase(error.now)
            raise NotKept(
                f"Nothing was kept: {error} This panel now shows the build as the file has it. "
                "Your values are still here."
            ) from error
        except (ChangedOnDisk, NotSaved, BuildProblems, OSError) as error:
            raise NotKept(f"Nothing was kept: {error} Your values are still here.") from error

    def _load_base(self) -> None:
        # a value in the file that a control cannot take still stands there, so it is no reading here
        self._base = {}
        for id, control in self.controls.items():
            try:
                self._base[id] = take(control, self.base_text(control), self.system)
            except FieldError:
                continue

    def _take_texts(self, texts: Mapping[str, str]) -> None:
        for id, text in texts.items():
            self.texts[id] = text
            self._faults.pop(id, None)
            try:
                self.readings[id] = take(self.controls[id], text, self.system)
            except FieldError as error:
                self.readings.pop(id, None)
                self._faults[id] = error

    def _work_out(self, *, first: bool = False) -> None:
        if self._faults:
            self.troubles = tuple(
                Trouble(str(error), id, self.controls[id].label) for id, error in self._faults.items()
            )
            return
        if self._try(self._outcome, first):
            self.shown_texts = dict(self.texts)
            self.shown_readings = dict(self.readings)

    def _outcome(self) -> Outcome:
        changes = self.changes()
        with tables.held():
            trial = self.build.with_values(changes) if changes else self.build
            outcome = self.outcome_of(trial, self.whatif())
        self.trial = trial
        return outcome

    def _try(self, work: Callable[[], Outcome], first: bool) -> bool:
        """Take the outcome of ``work``, or what stands in its way; tell whether there is an outcome."""
        try:
            self.outcome = work()
        except BuildProblems as error:
            self.troubles = tuple(
                Trouble(f"found {p.found}; wanted {p.wanted}", self._id(p.key), self._label(p.key))
                for p in error.problems
            )
        except ValueError as error:
            self.troubles = (Trouble(str(error)),)
        except Exception as error:
            # Jupyter only logs what a callback raises, so the panel has to show it; a cell shows it itself.
            if first:
                raise
            self.troubles = (fault_of(error),)
        else:
            self.troubles = ()
        return not self.troubles

    def _id(self, key: str) -> str:
        return key if key in self.controls else ""

    def _label(self, key: str) -> str:
        return self.controls[key].label if key in self.controls else key


def _in_words(value: Change) -> str:
    return as_text(value) or NOT_KNOWN


__all__ = ["LETTERS", "PanelState", "Pin"]
