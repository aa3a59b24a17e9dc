"""The live panel: widgets over a :class:`PanelState`, a view beside them, and what is stored for readers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from html import escape

import ipywidgets as widgets

from jackshaft.buildfile import Answer, Build
from jackshaft.drawing.view import View
from jackshaft.render.html import table_html
from jackshaft.ui import fragments, stored
from jackshaft.ui.ask import Ask
from jackshaft.ui.elements import box, button, html, put
from jackshaft.ui.fields import Field, slug
from jackshaft.ui.fold import grouped
from jackshaft.ui.hand import Drag, Hand
from jackshaft.ui.later import InSteps, Later
from jackshaft.ui.matters import what_matters
from jackshaft.ui.mend import Mend
from jackshaft.ui.model import Action, Control, Outcome
from jackshaft.ui.picture import Picture
from jackshaft.ui.pinned import Pinned
from jackshaft.ui.state import OutcomeOf, PanelState
from jackshaft.ui.style import CSS
from jackshaft.ui.together import follow, opened, take_over
from jackshaft.ui.trouble import Asked, NotKept, Trouble, fault_of

#: Seconds from a change to its picture's turn: long enough that the numbers have left first.
DRAW_AFTER = 0.01
#: Seconds without a change after which what was put off is worked out.
FINISH_AFTER = 0.12
#: Seconds from then on after which the checks are judged at the ends of each band.
JUDGE_AFTER = 0.2
#: Seconds without a change after which what is open is listed anew.
MEND_AFTER = 0.3
#: Seconds without a change after which the stored outputs follow.
STORE_AFTER = 0.6


class Panel(Pinned):
    """Fields, sliders, verdicts and a picture that follow each other, over one plain function.

    Parameters
    ----------
    build : Build
        The build that is open.
    title : str
        What the panel is about.
    controls : sequence of Control
        What can be changed.
    outcome_of : callable
        ``outcome_of(build, whatif) -> Outcome``; a plain function, tested without a panel.
    view : View
        What draws the outcome's picture.
    pins : bool, optional
        Whether candidates can be pinned.
    actions : sequence of Action, optional
        Buttons that work out values, such as the nearest standard length.
    drag : Drag, optional
        What can be moved by hand in the picture.
    """

    def __init__(
        self,
        build: Build,
        *,
        title: str,
        controls: Sequence[Control],
        outcome_of: OutcomeOf,
        view: View,
        pins: bool = True,
        actions: Sequence[Action] = (),
        drag: Drag | None = None,
    ):
        self.title = title
        self.view = view
        self.state = PanelState(build, controls, outcome_of, title)
        self._drawing = Later(DRAW_AFTER, self._draw, anew=False)
        self._finishing = Later(FINISH_AFTER, self._finish, anew=True)
        self._judging = InSteps(JUDGE_AFTER, self.state.judging, self._judged)
        self._storing = Later(STORE_AFTER, self._store, anew=True)
        self._resting = Later(FINISH_AFTER, self._rest, anew=True)
        self._mending = Later(MEND_AFTER, lambda: self.mend.show(), anew=True)
        self._stored: stored.StoredOutputs | None = None
        self._drawn = Picture(view)
        self._pins_shown: list = []
        self._fields = {c.id: Field(c, build.system, self._changed) for c in controls}
        self.hand = Hand(drag, self)
        self._make_widgets(actions, pins)
        self._show_fields()
        self._show_words()
        self._draw()
        self.mend.show()
        opened(self)

    @property
    def build(self) -> Build:
        """The build as it is kept now; what was moved and not kept is not in it."""
        return self.state.build

    @property
    def outcome(self) -> Outcome | None:
        """The last outcome that could be worked out."""
        return self.state.outcome

    def set(self, id: str, text: str) -> None:
        """Put a text into a control, as if it were typed; a question about it is withdrawn.

        Parameters
        ----------
        id : str
            The control's key or name.
        text : str
            Shop text.
        """
        self._do(lambda: self._set(id, text))

    def _set(self, id: str, text: str) -> str:
        self.state.set(id, text)
        return self.ask.withdraw("you changed it") if self.ask.about(id) else ""

    def keep(self) -> None:
        """Write what was changed into the build file; the panel says what was written, or why not."""
        self._do(self._keep)

    def _keep(self, settle: Mapping[str, Answer] | None = None) -> str:
        try:
            words = self.state.keep(settle)
        except Asked as asked:
            self.ask.put(asked.conflict, lambda answers: self._do(lambda: self._keep(answers)))
            raise
        self.ask.clear()
        self._others_follow()
        return words

    def reset(self) -> None:
        """Go back to what the build says."""

        def work() -> str:
            self.state.reset()
            return f"Back to what the build says. {self.ask.withdraw('nothing is changed here any more')}".strip()

        self._do(work)

    def _ipython_display_(self) -> None:
        self.put_on_page(self.widget)

    def put_on_page(self, place: widgets.Widget) -> None:
        """Display a place that holds the panel, and what is stored of it for readers without a kernel."""
        self._judging.cancel()
        if self.state.pending:
            self.state.finish()
            self._judged()
        self._drawing.hurry()
        take_over(self)
        self._stored = stored.StoredOutputs()
        stored.show_live(place)
        self._stored.show(self.title, self.state, self.view)

    def stand_for(self, other: Panel) -> None:
        """Take the place of another panel: what is stored on the page follows this one from now on."""
        take_over(self)
        self._stored, other._stored = other._stored, None
        if self._stored is not None:
            self._store()

    # -- widgets ---------------------------------------------------------------------------------

    def _make_widgets(self, actions: Sequence[Action], pins: bool) -> None:
        self._summary = html("jk-strip-box")
        self._alert = html("jk-alert-box")
        self._notice = html("jk-notice-box")
        self.ask = Ask()
        self._facts = html("jk-facts-box")
        self._checks = html("jk-checks-box")
        self.mend = Mend(self.state, self._take_changes, self._do)
        self._matters = html("jk-matters-box")
        self._pins = box("jk-pins", [])
        buttons = [button("Keep in the build", self.keep, "jk-keep", "Write the changed values into the build file")]
        if pins:
            tip = "Hold this design and compare others with it"
            buttons.append(button("Pin as candidate", self.pin, "jk-pin", tip))
        buttons.append(button("Reset to the build", self.reset, "jk-reset", "Go back to the values that are kept"))
        tip = "See how far one step of each field moves the worst check"
        buttons.append(button("What matters most", self._show_matters, "jk-matters", tip))
        buttons += [button(a.label, lambda a=a: self._act(a), f"jk-a-{slug(a.label)}", a.help) for a in actions]
        pressed = [
            box("jk-buttons", buttons),
            self._alert,
            self.ask.widget,
            self._notice,
            self._matters,
            self.mend.widget,
            self._pins,
        ]
        fields, self._folds = grouped(self._fields.values())
        side = box("jk-side", [*fields, *pressed])
        canvas = box("jk-canvas", [self._drawn.widget, self.hand.widget])
        front = box("jk-front", [self._summary, canvas, self._facts])
        body = box("jk-body", [box("jk-show", [front]), side, self._checks])
        # the root is the container that the layout's queries measure, so the grid is a box inside it
        self.widget = box("jk-panel", [html("jk-head", f"{CSS}<h3>{escape(self.title)}</h3>"), body])
        self.widget.add_class(f"jk-p-{slug(self.title)}")

    # -- what a change sets going ------------------------------------------------------------------

    def _changed(self, id: str, text: str, slider: Field | None = None) -> None:
        self._do(lambda: self._set(id, text), slider=slider)

    def _take_changes(self, changes: Mapping[str, str], words: str, keep: bool) -> None:
        """Put the changes of a cure into the panel, and into the file where they are to be kept."""

        def work() -> str:
            self.state.take_changes(changes)
            return self._keep() if keep else words

        self._do(work)

    def dragged(self, texts_of: Callable[[], Mapping[str, str]]) -> None:
        """Put the texts of a dragged part into the controls; the picture first, the fields once the hand rests.

        Parameters
        ----------
        texts_of : callable
            Returns control's key to text; none where nothing moves.
        """
        try:
            texts = texts_of()
            if not texts:
                return
            self.state.set_many(texts)
        except Exception as error:
            # Jupyter only logs what a callback raises, so the panel has to show it
            self._show_words(fault=fault_of(error))
            return
        self._drawing.cancel()
        self._judging.cancel()
        self._draw()
        self._show_summary()
        self._resting.soon()
        self._mending.soon()
        if self._stored is not None:
            self._storing.soon()

    def shown_at(self, widths: Iterable[str]) -> None:
        """Draw the picture for the widths that it is shown at, and for no other.

        Parameters
        ----------
        widths : iterable of str
            Each of :data:`jackshaft.drawing.view.WIDTHS`; all of them where none is named.
        """
        if self._drawn.take_widths(widths):
            self._draw()

    def _rest(self) -> None:
        """Show all that a drag left for later."""
        self._finishing.cancel()
        self.state.complete()
        self._draw()
        self._show_words()
        self._show_fields()
        if self.state.pending:
            self._judging.soon()

    def _show_matters(self) -> None:
        def work() -> str:
            self.state.complete()
            found = what_matters(self.state)
            if found is None:
                raise NotKept("No step of a field moves a check that has a number.")
            self._matters.value = f'<div class="jk-results">{table_html(found)}</div>'
            return ""

        self._do(work)

    def _act(self, action: Action) -> None:
        def work() -> str:
            self.state.complete()
            if not self.state.fresh or self.state.outcome is None:
                raise NotKept(f"'{action.label}' needs a design without errors; put the error right first.")
            texts = action.texts_of(self.state.trial, self.state.outcome)
            self.state.set_many(texts)
            asked = any(self.ask.about(id) for id in texts)
            return f"{action.label}: done. {self.ask.withdraw('it was changed') if asked else ''}".strip()

        self._do(work)

    def _do(self, work: Callable[[], object], *, slider: Field | None = None) -> None:
        """Run something, then show what came of it; whatever goes wrong is shown too, never lost.

        A question stays until it is answered or withdrawn.
        """
        notice, refusal, fault = "", "", None
        try:
            notice = work() or ""
        except (NotKept, ValueError) as error:
            refusal = str(error)
        except Exception as error:
            # Jupyter only logs what a callback raises, so the panel has to show it
            fault = fault_of(error)
        self._show_words(str(notice), refusal, fault)
        self._show_fields(slider)
        self._drawing.soon()
        self._mending.soon()
        self._finishing.cancel()
        self._judging.cancel()
        if self.state.pending:
            self._finishing.soon()
        if self._stored is not None:
            self._storing.soon()

    def _others_follow(self) -> None:
        follow(self.build, self)

    def follow(self, build: Build) -> None:
        """Stand on what was kept of the build elsewhere on the page.

        Parameters
        ----------
        build : Build
            The build as it is kept now.
        """

        def work() -> str:
            self.state.rebase(build)
            return "The build was changed elsewhere on this page. This panel now shows it."

        self._do(work)

    # -- showing -----------------------------------------------------------------------------------

    def _show_words(self, notice: str = "", refusal: str = "", fault: Trouble | None = None) -> None:
        self._last = notice, refusal, fault
        troubles = tuple(t for t in (*self.state.troubles, fault, self._drawn.trouble) if t)
        self._show_summary()
        put(self._checks, fragments.live_checks_html(self.state))
        put(self._alert, fragments.alert_html(troubles, refusal))
        put(self._notice, fragments.notice_html(notice))
        self._show_pins()

    def _show_summary(self) -> None:
        put(self._facts, fragments.live_facts_html(self.state))
        put(self._summary, fragments.strip_html(self.state))

    def _show_fields(self, slider: Field | None = None) -> None:
        by_id = {t.id: t for t in self.state.troubles if t.id}
        changed = self.state.changes()
        for id, field in self._fields.items():
            field.show(
                self.state.texts[id], self.state.readings.get(id), by_id.get(id), move_slider=field is not slider
            )
        for fold in self._folds:
            # what is changed or wrong is never out of sight
            if any(f.control.id in by_id or f.control.id in changed for f in fold.fields):
                fold.open()

    # -- picture -------------------------------------------------------------------------------------

    def _draw(self) -> None:
        before = self._drawn.trouble
        self._drawn.draw(self.state)
        if before or self._drawn.trouble:
            self._show_words(*self._last)
        self._drawn.show(self.state)
        self.hand.show()

    def _finish(self) -> None:
        """Work out what was put off, where no change came for a while; then judge it at the ends of each band."""
        if not self.state.pending or self._judging.going:
            return
        if self.state.outcome.later is not None:
            self.state.complete()
            self._show_words(*self._last)
            self._show_fields()
            self._drawing.soon()
        if self.state.pending:
            self._judging.soon()

    def _judged(self) -> None:
        self._show_words(*self._last)
        self._drawing.soon()
        self._mending.soon()
        if self._stored is not None:
            self._storing.soon()

    def _store(self) -> None:
        self._finish()
        if self._judging.going:
            return  # it is stored once it is judged
        self._drawing.hurry()
        old = self._drawn.is_old(self.state)
        if old:
            self.view.stamp(old=True)
        self._stored.update(self.title, self.state, self.view)
        if old and self.state.outcome is not None:
            self.view.stamp(stop=self.state.outcome.why_it_does_not_work)
