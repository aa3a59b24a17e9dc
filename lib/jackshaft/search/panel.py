"""The search panel: what is asked, Start and Stop, the table of the best layouts, and each of them drawn."""

from __future__ import annotations

import threading
import uuid
import weakref
from collections.abc import Callable, Mapping, Sequence
from html import escape

import ipywidgets as widgets
from IPython.display import display, update_display

from jackshaft.buildfile import Answer, Build, ChangedOnDisk, KeyConflict, NotSaved, describe
from jackshaft.chapters.layout.figure import LayoutView, picture_of
from jackshaft.drawing import style as figure_style
from jackshaft.drawing.view import Candidate, view_name
from jackshaft.render.html import badge, checks_html
from jackshaft.search import Run
from jackshaft.search.controller import BEST, FEW, GROUPS, HEADS, MOST, SearchController
from jackshaft.search.figure import SearchView
from jackshaft.ui import fragments
from jackshaft.ui.ask import Ask
from jackshaft.ui.base import follow
from jackshaft.ui.elements import box as _box
from jackshaft.ui.elements import button as _button
from jackshaft.ui.elements import html as _html
from jackshaft.ui.elements import put as _set
from jackshaft.ui.later import running_loop as _loop
from jackshaft.ui.stored import NO_PICTURE, picture_bundle, show_live
from jackshaft.ui.style import CSS
from jackshaft.ui.trouble import ASKED, fault_of

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
    """A form over :class:`SearchDesk`.

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
        self.trade, self._layout_name = SearchView(view_name("search", stage)), view_name("search-layout", stage)
        self._stored: tuple[str, str] | None = None
        self._pending = None
        self._thread: threading.Thread | None = None
        self._fault: Exception | None = None
        self._make()
        self._refusal, self._troubles, self._notice = "", (), ""
        for other in list(_open):
            # The cell was run again: nobody sees the older one, so it need not go on.
            if other.title == self.title:
                other.controller.stop()
                _open.discard(other)
        _open.add(self)
        # A short look at once, so that a reader without a kernel sees what a search gives.
        self._do(lambda: self.controller.search(FEW))
        self._show()

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
        self._alert, self._said, self._bar = _html("jk-alert-box"), _html("jk-notice-box"), _html("jk-progress-box")
        self.ask = Ask()
        self._table, self._notes = _html("jk-table-box"), _html("jk-notes-box")
        self._plot, self._drawn = _html("jk-plot-box"), _html("jk-drawn-box")
        self._looks, self._judged = _box("jk-buttons", []), _html("jk-judged-box")
        self._make_it = _button(
            "Make it the build",
            lambda: self.make(self.controller.looked),
            "jk-keep",
            "Write the layout that is looked at into the build file",
        )
        self._make_it.layout.display = "none"
        self._start = _button("Start", self.start, "jk-start", "Search with what the form says")
        self._stop = _button("Stop", self.stop, "jk-stop-search", "End the search and keep what was found")
        self._stop.disabled = True
        body = _box(
            "jk-search",
            [
                _box("jk-search-fields", parts),
                _box("jk-buttons", [self._start, self._stop]),
                self._bar,
                self._alert,
                self._said,
                self._table,
                self._looks,
                _box("jk-search-pictures", [self._plot, self._drawn]),
                _box("jk-buttons", [self._make_it]),
                self.ask.widget,
                self._judged,
                self._notes,
            ],
        )
        self.widget = _box("jk-panel", [_html("jk-head", f"{CSS}{_CSS}<h3>{escape(self.title)}</h3>"), body])
        self.widget.add_class("jk-card")

    def _field(self, name: str, label: str, hint: str) -> widgets.Widget:
        field = describe(self.controller.key(name))[1]
        if name == "tension":
            label = "Slack tension held" if "slack" in field.name else "Tension at rest, each strand of a belt"
        if field.kind == "choice":
            box = widgets.Dropdown(
                options=[("as the work wants", ""), *((c, c) for c in field.choices)],
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
            self.controller.tries = _tries(self.tries.value)
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
        """Make a layout the build, in its file; where another changed the same, ask which is to stand."""

        self.ask.clear()

        def work() -> str:
            try:
                words = self.controller.make(letter, settle)
            except KeyConflict as conflict:
                self.ask.put(conflict, lambda answers: self.make(letter, answers))
                raise ValueError(ASKED) from conflict
            follow(self.controller.build)
            return words

        self._do(work)
        if not self._refusal and not self._troubles:
            for name, box in self.fields.items():
                box.value = self.controller.texts[name]
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
            said = work()
        except (ValueError, ChangedOnDisk, NotSaved, OSError) as error:
            self._refusal = str(error)
        except Exception as error:
            # Jupyter only logs what a callback raises, so the panel has to show it
            self._troubles = (fault_of(error),)
        else:
            self._notice = said if isinstance(said, str) else ""

    # -- what is shown -------------------------------------------------------------------------------

    def _clear(self) -> None:
        for box in (self._table, self._drawn, self._judged, self._notes):
            _set(box, "")
        self._make_it.layout.display = "none"

    def _show(self) -> None:
        desk = self.controller
        _set(self._alert, fragments.alert_html(self._troubles, self._refusal))
        _set(self._said, fragments.notice_html(self._notice))
        self._show_progress()
        _set(self._notes, notes_html(desk))
        _set(self._table, table_html(desk))
        self._show_looks()
        if desk.run is not None and desk.run.done:
            self.trade.draw(desk.picture())
            _set(self._plot, _picture_html(self.trade))
        elif desk.run is None:
            _set(self._plot, "")
        self._show_looked()
        self._store()

    def _show_progress(self) -> None:
        run = self.controller.run
        share = 0.0 if run is None else run.share
        words = escape(self.controller.progress())
        _set(
            self._bar,
            ""
            if run is None
            else f'<progress max="1" value="{share:.3f}" aria-label="share tried"></progress>'
            f'<div class="jk-echo" role="status">{words}</div>',
        )

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
        self._make_it.layout.display = "" if letter else "none"
        if not letter:
            _set(self._drawn, "")
            _set(self._judged, "")
            return
        alone = self.controller.look(letter)
        picture = picture_of(alone.results, self.controller.stage)
        view, now = LayoutView(self._layout_name, picture), []
        if self.controller.now is not None:
            # The build as it is lies over it as a dashed line, so that what moves is seen.
            now = [
                Candidate(
                    "the build now",
                    picture_of(self.controller.now.results, self.controller.stage),
                    *figure_style.CANDIDATES[0],
                )
            ]
        view.draw(picture, now, stop=alone.why if alone.verdict == "stop" else "")
        _set(self._drawn, _picture_html(view, f"Layout {letter}. "))
        self._make_it.description = f"Make {letter} the build"
        _set(self._judged, f"<h4>Layout {letter}, worked up alone</h4>{checks_html(alone.checks)}")

    # -- what is stored ------------------------------------------------------------------------------

    def _ipython_display_(self) -> None:
        self._stored = (uuid.uuid4().hex, uuid.uuid4().hex)
        show_live(self.widget)
        display(self.bundle(), raw=True, display_id=self._stored[0])
        data, metadata = self._picture()
        display(data, metadata=metadata, raw=True, display_id=self._stored[1])

    def _store(self) -> None:
        if (
            self._stored is None
            or self._pending is not None
            or (self.controller.run is not None and not self.controller.run.done)
        ):
            return
        update_display(self.bundle(), raw=True, display_id=self._stored[0])
        data, metadata = self._picture()
        update_display(data, metadata=metadata, raw=True, display_id=self._stored[1])

    def _picture(self) -> tuple[dict, dict]:
        return picture_bundle(self.trade) if self.controller.run is not None else NO_PICTURE

    def bundle(self) -> dict[str, str]:
        """Return what is found as plain text and as HTML, for a reader without a kernel."""
        return {
            "text/plain": plain(self.title, self.controller, self._refusal),
            "text/html": stored_html(self.title, self.controller, self._refusal),
        }


def _tries(text: str) -> int:
    digits = text.strip().replace(" ", "").replace("_", "")
    if not digits.isdigit() or not 1 <= int(digits) <= MOST:
        raise ValueError(f"Layouts to try: found '{text}'; wanted a whole number from 1 to {MOST}")
    return int(digits)


def _picture_html(view, before: str = "") -> str:
    return f'<div class="jk-picture" role="img" aria-label="{escape(before + view.describe())}">{view.svg()}</div>'


def table_html(desk: SearchController) -> str:
    """Return the best layouts as a table, one a row, the best of each column said in words."""
    if not desk.found:
        return ""
    heads = "".join(f'<th scope="col">{escape(h)}</th>' for h in ("layout", "verdict", *HEADS[:-1]))
    lines = []
    for row in desk.rows():
        cells = "".join(
            f'<td class="jk-better">{escape(c)} <strong>{BEST}</strong></td>' if good else f"<td>{escape(c)}</td>"
            for c, good in zip(row.cells[:-1], row.best, strict=False)
        )
        looked = " jk-looked" if row.letter == desk.looked else ""
        where = f'<td class="jk-where" colspan="{len(HEADS)}">{escape(row.cells[-1])}</td>'
        lines.append(
            f'<tr class="jk-first{looked}"><th scope="row">{escape(row.letter)}</th>'
            f"<td>{badge(row.verdict)}</td>{cells}</tr>\n"
            f'<tr class="jk-second{looked}"><td></td>{where}</tr>\n'
        )
    return (
        '<div class="jk-scroll" tabindex="0" role="region" aria-label="best layouts found"><table class="jk-compare">\n'
        f"<thead><tr>{heads}</tr></thead>\n<tbody>{''.join(lines)}</tbody></table></div>"
    )


def notes_html(desk: SearchController) -> str:
    """Return what was taken for granted, and why nothing was found."""
    return "".join(f'<p class="jk-note">{escape(w)}</p>' for w in desk.notes())


def asked(desk: SearchController) -> Sequence[tuple[str, str]]:
    """Return what was asked, label and text; fields that say nothing are left out."""
    return [
        (f"{group}: {label}", desk.texts[name])
        for group, fields in GROUPS
        for name, label, _ in fields
        if desk.texts[name]
    ]


def plain(title: str, desk: SearchController, refusal: str = "") -> str:
    """Return the panel as plain text, the same for the same search."""
    lines = [title, *(f"set  {label}: {text}" for label, text in asked(desk))]
    if refusal:
        lines.append(f"not searched: {refusal}")
    if desk.progress():
        lines.append(desk.progress())
    for row in desk.rows():
        cells = "; ".join(
            f"{head} {cell}" + (f" ({BEST})" if good else "")
            for head, cell, good in zip(HEADS, row.cells, row.best, strict=True)
        )
        lines.append(f"{row.letter}: {row.verdict}" + (f" ({row.why})" if row.why else "") + f". {cells}")
    return "\n".join([*lines, *desk.notes()])


def stored_html(title: str, desk: SearchController, refusal: str = "") -> str:
    """Return the panel as HTML that reads well with no style and no script."""
    parts = [f"<p><strong>{escape(title)}</strong></p>"]
    if asked(desk):
        parts.append("<p>" + "; ".join(f"{escape(label)}: {escape(text)}" for label, text in asked(desk)) + "</p>")
    if refusal:
        parts.append(f"<p><strong>not searched:</strong> {escape(refusal)}</p>")
    parts += [f"<p>{escape(desk.progress())}</p>", table_html(desk), notes_html(desk)]
    return "\n".join(p for p in parts if p and p != "<p></p>")


def search_panel(build: Build, stage: str | None = None) -> SearchPanel:
    """Return the search panel of one belt stage; the first one when none is named.

    Raises
    ------
    ValueError
        If the build has no belt stage of that name with pulleys.
    """
    belts = [n for n in build.names("stage") if build.get(f"stage[{n}].kind") == "belt"]
    if stage is None and belts:
        stage = belts[0]
    if stage not in belts:
        raise ValueError(
            f"no belt stage is called '{stage}'; there is {', '.join(belts) or 'none'}"
            if stage
            else "this build has no belt to lay out"
        )
    return SearchPanel(build, stage)


__all__ = ["SearchPanel", "search_panel"]
