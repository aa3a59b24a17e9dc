"""The search panel: what is asked, Start and Stop, the table of the best layouts, and each of them drawn."""

from __future__ import annotations

import threading
import uuid
import weakref
from collections.abc import Callable, Mapping
from html import escape

import ipywidgets as widgets
from IPython.display import display, update_display

from jackshaft.buildfile import Answer, Build, ChangedOnDisk, KeyConflict, NotSaved, describe
from jackshaft.drawing.view import view_name
from jackshaft.render.html import checks_html, in_words_html
from jackshaft.search import Run
from jackshaft.search.controller import FEW, GROUPS, SearchController, tries_of
from jackshaft.search.drawn import Drawings, picture_html
from jackshaft.search.figure import SearchView
from jackshaft.search.shown import notes_html, plain, stored_html, table_html
from jackshaft.ui import fragments
from jackshaft.ui.ask import Ask
from jackshaft.ui.base import STORE_AFTER, follow
from jackshaft.ui.elements import box as _box
from jackshaft.ui.elements import button as _button
from jackshaft.ui.elements import html as _html
from jackshaft.ui.elements import put as _set
from jackshaft.ui.hand import HandWidget
from jackshaft.ui.later import Later
from jackshaft.ui.later import running_loop as _loop
from jackshaft.ui.one_part import belt_stage, belt_stages
from jackshaft.ui.pinned import NAME, REASON, candidate_field
from jackshaft.ui.stored import NO_PICTURE, picture_bundle, readable, show_live
from jackshaft.ui.style import CSS
from jackshaft.ui.trouble import ASKED, NotKept, fault_of

#: Seconds between two looks at how far the search is. It runs in a thread of its own: on the kernel's own loop
#: the page's messages would wait for it, the press on Stop too.
PAUSE = 0.15

_open: weakref.WeakSet[SearchPanel] = weakref.WeakSet()

_CSS = """<style>
.jk-panel .jk-search-fields { display: grid; grid-template-columns: repeat(auto-fill, minmax(13rem, 1fr)); gap: 0.4rem 1rem; }
.jk-panel .jk-search-fields > .jk-box, .jk-panel .jk-search-fields > .jk-box.widget-dropdown { grid-area: auto; }
.jk-panel .jk-search-fields .jk-group { grid-column: 1 / -1; }
.jk-panel .jk-search { display: flex; flex-direction: column; gap: 0.7rem; }
.jk-panel .jk-search progress { width: 100%; height: 0.9rem; accent-color: var(--jk-accent); }
.jk-panel .jk-search table.jk-compare th[scope=row] { font-weight: 700; color: var(--jk-ink); }
.jk-panel .jk-search table.jk-compare tr.jk-first :is(th, td) { border-bottom: 0; }
.jk-panel .jk-search table.jk-compare td.jk-where { white-space: normal; padding-top: 0; color: var(--jk-muted); font-size: 0.88rem; }
.jk-panel .jk-search-pictures { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 30rem), 1fr)); gap: 0.8rem; }
.jk-panel .jk-search .jk-looked { background: var(--jk-sheet); }
</style>"""


class SearchPanel:
    """A form over :class:`SearchController`.

    Parameters
    ----------
    build : Build
        The build that is open.
    stage : str
        A belt stage.
    """

    def __init__(self, build: Build, stage: str):
        self.controller = SearchController(build, stage)
        self.title = f"Search for layouts: {stage}"
        self.trade, self._drawings = SearchView(view_name("search", stage)), Drawings(stage)
        self._stored: tuple[str, str] | None = None
        self._storing = Later(STORE_AFTER, self._store, anew=True)
        self._pending = None
        self._thread: threading.Thread | None = None
        self._fault: Exception | None = None
        self._make()
        for other in list(_open):
            # The cell was run again: nobody sees the older one, so it need not go on.
            if other.title == self.title:
                other.controller.stop()
                _open.discard(other)
        _open.add(self)
        # A short look at once, so that a reader without a kernel sees what a search gives.
        self._do(lambda: self.controller.search(FEW))
        self._show()

    @property
    def build(self) -> Build:
        """The build as it is kept now."""
        return self.controller.build

    # -- widgets ------------------------------------------------------------------------------------

    def _make(self) -> None:
        self.fields: dict[str, widgets.Widget] = {}
        parts: list[widgets.Widget] = []
        for group, fields in GROUPS:
            parts.append(_html("jk-group", f"<h4>{escape(group)}</h4>"))
            parts += [self._field(*field) for field in fields]
        self.tries = widgets.Text(
            value=str(self.controller.tries), description="Layouts to try", continuous_update=False
        )
        self.tries.add_class("jk-box")
        parts.append(self.tries)
        self._alert, self._noticed, self._bar = _html("jk-alert-box"), _html("jk-notice-box"), _html("jk-progress-box")
        self.ask = Ask()
        self._table, self._notes = _html("jk-table-box"), _html("jk-notes-box")
        self._plot, self._drawn = _html("jk-plot-box"), _html("jk-drawn-box")
        self._looks, self._judged = _box("jk-buttons", []), _html("jk-judged-box")
        self._make_it = _button(
            "Make it the build",
            lambda: self.make(self.controller.looked),
            "jk-keep",
            "Write this layout into the build file",
        )
        self._name, self._reason = candidate_field(NAME, "", "to keep it"), candidate_field(REASON, "", "optional")
        self._store_it = _button(
            "Keep it with the build",
            lambda: self.store(self.controller.looked, self._name.value, self._reason.value),
            "jk-store",
            "Write this layout into the build file as a candidate; the design stays as it is",
        )
        self._looked_at = _box("jk-candidate", [self._make_it, self._name, self._reason, self._store_it])
        self._looked_at.layout.display = "none"
        self._start = _button("Start", self.start, "jk-start", "Search with what the form says")
        self._stop = _button("Stop", self.stop, "jk-stop-search", "End the search; what was found stays")
        self._stop.disabled = True
        body = _box(
            "jk-search",
            [
                _box("jk-search-fields", parts),
                _box("jk-buttons", [self._start, self._stop]),
                self._bar,
                self._alert,
                self._noticed,
                self._table,
                self._looks,
                _box("jk-search-pictures", [self._plot, self._drawn]),
                self._looked_at,
                self.ask.widget,
                self._judged,
                self._notes,
            ],
        )
        head = _html("jk-head", f"{CSS}{_CSS}<h3>{escape(self.title)}</h3>")
        self.widget = _box("jk-panel", [head, body, HandWidget()])
        self.widget.add_class("jk-card")

    def _field(self, name: str, label: str, hint: str) -> widgets.Widget:
        field = describe(self.controller.key(name))[1]
        if name == "tension":
            label = "Slack tension held" if "slack" in field.name else "Tension at rest, each strand of a belt"
        if field.kind == "choice":
            box = widgets.Dropdown(
                options=[("as the work needs", ""), *((c, c) for c in field.choices)],
                description=label,
                value=self.controller.texts[name],
            )
        else:
            box = widgets.Text(
                value=self.controller.texts[name], description=label, placeholder=hint, continuous_update=False
            )
        box.add_class("jk-box")
        box.tooltip = field.help
        self.fields[name] = box
        return box

    # -- what is pressed -----------------------------------------------------------------------------

    def start(self) -> None:
        """Begin a search with what the form says; the page stays alive meanwhile."""
        self.stop()

        def work() -> str:
            withdrawn = self.ask.withdraw("a new search was begun")
            self.controller.forget()
            self.controller.texts |= {name: box.value for name, box in self.fields.items()}
            self.controller.tries = tries_of(self.tries.value)
            self.controller.start()
            return withdrawn

        self._do(work)
        self._clear()
        self._show()
        if self.controller.run is None:
            return
        loop = _loop()
        if loop is None:
            self._do(lambda: self.controller.run.finish() and None)
            self._end()
            return
        self._stop.disabled, self._start.disabled = False, True
        self._thread = threading.Thread(
            target=self._search, args=(self.controller.run,), name="layout search", daemon=True
        )
        self._thread.start()
        self._pending = loop.call_later(PAUSE, self._tick)

    def stop(self) -> None:
        """End the search; what was found is shown."""
        if self._pending is not None:
            self._pending.cancel()
            self._pending = None
            self.controller.stop()
            self._thread.join()
            self._end()

    def _search(self, run: Run) -> None:
        """What the thread does; it touches nothing but the run."""
        self._fault = None
        try:
            run.finish()
        except Exception as error:
            # shown by the loop, which the widgets belong to
            self._fault = error

    def look(self, letter: str) -> None:
        """Draw a layout to scale and judge it as a single one is judged."""
        self._do(lambda: self.controller.look(letter))
        self._show()

    def make(self, letter: str, settle: Mapping[str, Answer] | None = None) -> None:
        """Make a layout the build, in its file; where another changed the same, ask which to keep."""
        self._keep(lambda: self.controller.make(letter, settle), lambda answers: self.make(letter, answers))
        if not self._refusal and not self._troubles:
            for name, box in self.fields.items():
                box.value = self.controller.texts[name]

    def store(self, letter: str, name: str, reason: str, settle: Mapping[str, Answer] | None = None) -> None:
        """Keep a layout with the build as a candidate; where another changed the same, ask which to keep."""
        self._keep(
            lambda: self.controller.store(letter, name, reason, page=self.title, settle=settle),
            lambda answers: self.store(letter, name, reason, answers),
        )

    def _keep(self, write: Callable[[], str], again: Callable[[Mapping[str, Answer]], None]) -> None:
        self.ask.clear()

        def work() -> str:
            try:
                words = write()
            except KeyConflict as conflict:
                self.ask.put(conflict, again)
                raise ValueError(ASKED) from conflict
            follow(self.controller.build)
            return words

        self._do(work)
        self._show()

    def _tick(self) -> None:
        self._pending = None
        self._show_progress()
        loop = _loop()
        if self._thread.is_alive() and loop is not None:
            self._pending = loop.call_later(PAUSE, self._tick)
        else:
            self._thread.join()
            self._end()

    def _end(self) -> None:
        def work() -> None:
            fault, self._fault = self._fault, None
            if fault is not None:
                raise fault
            self.controller.settle()

        self._do(work)
        self._stop.disabled, self._start.disabled = True, False
        self._show()

    def _do(self, work: Callable[[], object]) -> None:
        self._refusal, self._troubles, self._notice = "", (), ""
        try:
            words = work()
        except (ValueError, NotKept, ChangedOnDisk, NotSaved, OSError) as error:
            self._refusal = str(error)
        except Exception as error:
            # Jupyter only logs what a callback raises, so the panel has to show it
            self._troubles = (fault_of(error),)
        else:
            self._notice = words if isinstance(words, str) else ""

    # -- what is shown -------------------------------------------------------------------------------

    def _clear(self) -> None:
        for box in (self._table, self._drawn, self._judged, self._notes):
            _set(box, "")
        self._looked_at.layout.display = "none"

    def _show(self) -> None:
        controller = self.controller
        _set(self._alert, fragments.alert_html(self._troubles, self._refusal))
        _set(self._noticed, fragments.notice_html(self._notice))
        self._show_progress()
        _set(self._notes, notes_html(controller))
        _set(self._table, table_html(controller))
        self._show_looks()
        self._show_looked()
        if controller.run is not None and controller.run.done:
            self.trade.draw(controller.picture())
            _set(self._plot, picture_html(self.trade))
        elif controller.run is None:
            _set(self._plot, "")
        self._storing.soon()

    def _show_progress(self) -> None:
        run = self.controller.run
        html = ""
        if run is not None:
            html = f'<progress max="1" value="{run.share:.3f}" aria-label="share tried"></progress>'
            html += f'<div class="jk-echo" role="status">{escape(self.controller.progress())}</div>'
        _set(self._bar, html)

    def _show_looks(self) -> None:
        letters = [one.letter for one in self.controller.found]
        if letters == getattr(self, "_letters", []):
            return
        self._letters = letters
        for old in self._looks.children:
            old.close()
        self._looks.children = [
            _button(f"Look at {x}", lambda x=x: self.look(x), f"jk-look-{x.lower()}", f"Draw layout {x} to scale")
            for x in letters
        ]

    def _show_looked(self) -> None:
        letter = self.controller.looked
        self._looked_at.layout.display = "" if letter else "none"
        if not letter:
            _set(self._drawn, "")
            _set(self._judged, "")
            return
        alone = self.controller.look(letter)
        self._make_it.description = f"Make {letter} the build"
        self._store_it.description = f"Keep {letter} with the build"
        _set(self._judged, f"<h4>Layout {letter}, worked up alone</h4>{checks_html(alone.checks)}")
        _set(self._drawn, self._drawings.html(letter, alone, self.controller.now))

    # -- what is stored ------------------------------------------------------------------------------

    def _ipython_display_(self) -> None:
        self.put_on_page(self.widget)

    def put_on_page(self, place: widgets.Widget) -> None:
        """Display a place that holds the panel, and what is stored of it for readers without a kernel."""
        self._stored = (uuid.uuid4().hex, uuid.uuid4().hex)
        show_live(place)
        self._display(display)

    def stand_for(self, other: SearchPanel) -> None:
        """Take the place of another panel: what is stored on the page follows this one from now on."""
        self._stored, other._stored = other._stored, None
        self._store()

    def _store(self) -> None:
        if (
            self._stored is None
            or self._pending is not None
            or (self.controller.run is not None and not self.controller.run.done)
        ):
            return
        self._display(update_display)

    def _display(self, put: Callable) -> None:
        data, metadata = picture_bundle(self.trade) if self.controller.run is not None else NO_PICTURE
        found = self.bundle()
        if self.controller.run is not None:
            found["text/html"] += f"\n{in_words_html(self.trade.describe())}"
        put(found, raw=True, display_id=self._stored[0])
        put(data, metadata=metadata, raw=True, display_id=self._stored[1])

    def bundle(self) -> dict[str, str]:
        """Return what is found as plain text and as HTML, for a reader without a kernel."""
        found = self.title, self.controller, self._refusal
        return readable(plain(*found), stored_html(*found))


#: What the panel is about one of, and which there are.
PARTS = ("Belt stage", belt_stages)


def panel(build: Build, stage: str | None = None) -> SearchPanel:
    """Return the search panel of one belt stage; the first one when none is named.

    Raises
    ------
    ValueError
        If the build has no belt stage of that name with pulleys.
    """
    return SearchPanel(build, belt_stage(build, stage))


__all__ = ["SearchPanel", "panel"]
