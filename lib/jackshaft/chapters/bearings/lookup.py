"""The bearing finder: type what was measured or stamped, read which sizes it may be.

A skin over ``lookup_controller`` and ``marking``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from html import escape

import ipywidgets as widgets
from IPython.display import display

from jackshaft.buildfile import Answer, Build, BuildProblems, ChangedOnDisk, KeyConflict, NotSaved
from jackshaft.chapters.bearings import lookup_controller as desk
from jackshaft.chapters.bearings.marking import Explained, explain
from jackshaft.render.html import checks_html
from jackshaft.render.parts import by_weight
from jackshaft.results.checks import STOP, SYMBOLS
from jackshaft.ui import fragments
from jackshaft.ui.ask import Ask
from jackshaft.ui.elements import box as _box
from jackshaft.ui.elements import button as _button
from jackshaft.ui.elements import html as _html
from jackshaft.ui.elements import put as _set
from jackshaft.ui.fields import slug
from jackshaft.ui.hand import HandWidget
from jackshaft.ui.stored import readable, show_live
from jackshaft.ui.style import CSS
from jackshaft.ui.together import follow
from jackshaft.ui.trouble import ASKED, fault_of

TITLE = "Find a bearing from what you hold"
_CSS = """<style>
.jk-panel .jk-lookup { display: flex; flex-direction: column; gap: 0.7rem; }
.jk-panel .jk-lookup-fields { display: grid;
  grid-template-columns: repeat(auto-fill, minmax(min(100%, 13rem), 1fr)); gap: 0.4rem 1rem; }
.jk-panel .jk-lookup-readings { display: grid;
  grid-template-columns: repeat(auto-fill, minmax(min(100%, 20rem), 1fr)); gap: 0.4rem 1.6rem; }
.jk-panel .jk-lookup :is(.jk-lookup-fields, .jk-lookup-readings) .jk-group { grid-column: 1 / -1; }
.jk-panel .jk-lookup .jk-control { grid-template-columns: minmax(0, 1fr); grid-template-areas: "box" "echo";
  align-content: start; }
.jk-panel .jk-lookup-pair { display: grid; grid-template-columns: minmax(0, 1.2fr) minmax(0, 1fr); gap: 0.5rem;
  align-items: start; }
.jk-panel .jk-lookup table { width: 100%; }
.jk-panel .jk-lookup tr.jk-out td { color: var(--jk-muted); }
.jk-panel .jk-lookup table.jk-found :is(td:first-child, td[data-name="score"]) { white-space: nowrap; }
@container jk (max-width: 40rem) {
  .jk-panel .jk-lookup thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .jk-panel .jk-lookup table.jk-found tr { display: block; border-bottom: 2px solid var(--jk-line); padding: 0.3rem 0; }
  .jk-panel .jk-lookup table.jk-found td { display: grid; grid-template-columns: 5.5rem minmax(0, 1fr);
    gap: 0.5rem; border: 0; padding: 0.1rem 0; }
  .jk-panel .jk-lookup table.jk-found td::before { content: attr(data-name); color: var(--jk-muted); }
  .jk-panel .jk-lookup table.jk-found td:empty { display: none; }
}
</style>"""


class Box:
    """One labelled field with its echo below: how it was read, or what is wrong with it."""

    def __init__(self, name: str, label: str, hint: str, choices: tuple = (), value: str = ""):
        self.name = name
        if choices:
            self.box = widgets.Dropdown(options=list(choices), description=label, value=value)
        else:
            self.box = widgets.Text(value=value, description=label, placeholder=hint, continuous_update=False)
        self.box.add_class("jk-box")
        self.echo = _html("jk-echo")
        self.widget = _box("jk-control", [self.box, self.echo])
        self.widget.add_class(f"jk-c-{slug(name)}")

    def show(self, words: str, fault: str) -> None:
        """Show how the field was read, or its fault."""
        _set(
            self.echo,
            f'<span class="jk-wrong"><span aria-hidden="true">✘</span> {escape(fault)}</span>'
            if fault
            else escape(words),
        )
        (self.widget.add_class if fault else self.widget.remove_class)("jk-bad")


class LookupPanel:
    """The finder and the marking reader on one card.

    Parameters
    ----------
    build : Build
        The build that is open: its units, its place, and where a ring can be put.
    readings : mapping, optional
        Fields to start with, by name, as shop text.
    tools : mapping, optional
        Instrument by reading to start with.
    marking : str, optional
        A marking to start with in the marking reader.
    """

    def __init__(
        self,
        build: Build,
        readings: Mapping[str, str] | None = None,
        tools: Mapping[str, str] | None = None,
        marking: str = "",
    ):
        unknown = set(readings or {}) - set(desk.LABELS) | set(tools or {}) - {r[0] for r in desk.READINGS}
        if unknown:
            raise ValueError(f"no field is called {', '.join(sorted(unknown))}; there is {', '.join(desk.LABELS)}")
        self.build, self.answer, self.explained = build, None, None
        self._make(dict(readings or {}), dict(tools or {}), marking)
        self.look_up()
        self.read_marking()
        for box in (*self.fields.values(), *self.tools.values()):
            box.box.observe(lambda _: self.look_up(), "value")
        self.marking.box.observe(lambda _: self.read_marking(), "value")

    # -- widgets ------------------------------------------------------------------------------------

    def _make(self, readings: dict[str, str], tools: dict[str, str], marking: str) -> None:
        self.fields: dict[str, Box] = {}
        self.tools: dict[str, Box] = {}
        rows: list[widgets.Widget] = [_html("jk-group", "<h4>What you read</h4>")]
        for name, label, hint in desk.READINGS:
            self.fields[name] = Box(name, label, hint, value=readings.get(name, ""))
            listed = (("not said yet", ""), *((t, t) for t in desk.TOOLS))
            self.tools[name] = Box(f"{name}-tool", f"{label.split()[0]} tool", "", listed, tools.get(name, ""))
            rows.append(_box("jk-lookup-pair", [self.fields[name].widget, self.tools[name].widget]))
        parts: list[widgets.Widget] = []
        for group, fields in (("What you see", desk.LOOKS), ("What it must do, where you know", desk.FILTERS)):
            parts.append(_html("jk-group", f"<h4>{escape(group)}</h4>"))
            for name, label, hint in fields:
                listed = {"closure": "not looked at", "must_be": "anything"}.get(name)
                choices = ((listed, ""), *((c, c) for c in desk.CLOSED)) if listed else ()
                self.fields[name] = Box(name, label, hint, choices, readings.get(name, ""))
                parts.append(self.fields[name].widget)
        self._alert, self._found, self._notice = _html("jk-alert-box"), _html("jk-results"), _html("jk-notice-box")
        self.ask = Ask()
        self.name = Box("name", "Put it into the build as", "such as idler bearing")
        self.marking = Box("read-marking", "A marking to explain", "6205-2RS C3", value=marking)
        self._marking_alert, self._pieces = _html("jk-alert-box"), _html("jk-results")
        body = _box(
            "jk-lookup",
            [
                _box("jk-lookup-readings", rows),
                _box("jk-lookup-fields", parts),
                self._alert,
                self._found,
                _box("jk-lookup-fields", [self.name.widget]),
                _box(
                    "jk-buttons",
                    [_button("Put it into the build", self.keep, "jk-keep", "Write the readings into the build file")],
                ),
                self.ask.widget,
                self._notice,
                _box("jk-lookup-fields", [_html("jk-group", "<h4>Read a marking</h4>"), self.marking.widget]),
                self._marking_alert,
                self._pieces,
            ],
        )
        self.widget = _box("jk-panel", [_html("jk-head", f"{CSS}{_CSS}<h3>{escape(TITLE)}</h3>"), body, HandWidget()])
        self.widget.add_class("jk-card")

    # -- what is done -------------------------------------------------------------------------------

    @property
    def texts(self) -> dict[str, str]:
        """The fields as typed."""
        return {name: box.box.value for name, box in self.fields.items()}

    @property
    def instruments(self) -> dict[str, str]:
        """The instrument of each reading."""
        return {name: box.box.value for name, box in self.tools.items()}

    def look_up(self) -> None:
        """Look up what is typed; what was found before is gone when it cannot be."""
        self.answer, faults, refusal = self._do(
            lambda: desk.look_up(self.build, self.texts, self.instruments), self._alert, any(self.texts.values())
        )
        self._show_fields(faults)
        _set(
            self._found,
            answer_html(self.answer) or "<p>Type a reading to begin; each field takes any unit.</p>" * (not refusal),
        )
        _set(self._notice, "")

    def read_marking(self) -> None:
        """Explain the marking that is typed."""
        text = self.marking.box.value
        self.explained, _, _ = self._do(
            lambda: explain(text, self.build.system), self._marking_alert, bool(text.strip())
        )
        _set(self._pieces, explained_html(self.explained))

    def keep(self, settle: Mapping[str, Answer] | None = None) -> None:
        """Write the ring in hand into the build file; where another changed the same, ask which is to stand."""
        self.ask.clear()

        def work() -> str:
            try:
                self.build, notice = desk.put_in(
                    self.build, self.name.box.value, self.texts, self.instruments, settle=settle
                )
            except KeyConflict as conflict:
                self.ask.put(conflict, self.keep)
                raise ValueError(ASKED) from conflict
            follow(self.build)
            return notice

        notice, _, _ = self._do(work, self._alert)
        _set(self._notice, fragments.notice_html(notice or ""))

    def _do(self, work: Callable[[], object], alert: widgets.HTML, typed: bool = True):
        """Run something and show what went wrong; return what came of it, faults by field, and a refusal in words.

        Nothing is refused before something is ``typed``.
        """
        came, faults, refusal, fault = None, {}, "", None
        try:
            came = work()
        except BuildProblems as error:
            faults = desk.faults_of(error)
            refusal = "\n".join(f"{desk.LABELS.get(n, 'Bearing')}: {w}" for n, w in faults.items())
        except (ValueError, ChangedOnDisk, NotSaved, OSError) as error:
            refusal = str(error)
        except Exception as error:
            # Jupyter only logs what a callback raises, so the panel has to show it
            fault = fault_of(error)
        refusal = refusal if typed else ""
        _set(alert, fragments.alert_html(() if fault is None else (fault,), refusal))
        return came, faults, refusal

    def _show_fields(self, faults: Mapping[str, str]) -> None:
        for name, box in self.fields.items():
            words = ""
            if name not in faults and box.box.value.strip():
                try:
                    words = desk.read_as(desk.in_hand(self.build, {name: box.box.value}, {}), name)
                except BuildProblems as error:
                    words = "; ".join(desk.faults_of(error).values())
            box.show(words, faults.get(name, ""))

    def _ipython_display_(self) -> None:
        show_live(self.widget)
        found = self.answer, self.explained
        display(readable(plain(*found), stored_html(*found)), raw=True)


# -- words ---------------------------------------------------------------------------------------------


def answer_html(answer: desk.Answer | None) -> str:
    """Return an answer as HTML: the verdict, the sizes, what each filter left out."""
    if answer is None:
        return ""
    parts = [checks_html(answer.checks), f"<p><strong>{escape(answer.title)}</strong></p>"]
    if answer.lines:
        heads = [
            (h, c)
            for h, c in (
                ("size", lambda x: f"<strong>{escape(x.number)}</strong>"),
                ("dimensions", lambda x: escape(x.size)),
                ("family", lambda x: escape(x.family)),
                ("score", lambda x: escape(x.score)),
                ("off", lambda x: escape(x.off)),
                ("does it", _holds_html),
            )
            if any(c(x) for x in answer.lines)
        ]
        rows = "".join(
            f'<tr class="{"jk-out" if x.left_out or not x.fits else "jk-in"}">'
            + "".join(f'<td data-name="{h}">{c(x)}</td>' for h, c in heads)
            + "</tr>\n"
            for x in answer.lines
        )
        parts.append(
            '<table class="jk-found">\n<thead><tr>'
            + "".join(f'<th scope="col">{h}</th>' for h, _ in heads)
            + f"</tr></thead>\n<tbody>{rows}</tbody></table>"
        )
    parts += [f"<p>Left out by <strong>{escape(name)}</strong>: {escape(sizes)}</p>" for name, sizes in answer.excluded]
    parts += [f'<p class="jk-note">{escape(n)}</p>' for n in answer.notes]
    return "\n".join(p for p in parts if p)


def _holds_html(line: desk.Line) -> str:
    return (f'<span aria-hidden="true">{SYMBOLS[STOP]}</span> ' if line.left_out else "") + escape(line.holds)


def explained_html(said: Explained | None) -> str:
    """Return an explained marking as HTML."""
    if said is None:
        return ""
    rows = "".join(
        f'<tr><th scope="row">{escape(piece)}</th><td>{escape(words)}</td></tr>\n' for piece, words in said.pieces
    )
    parts = [f'<table class="jk-facts">\n{rows}</table>']
    parts += [
        f"<p>Size: <strong>{escape(said.size)}</strong></p>" if said.size else "",
        f"<p>Written in full: <strong>{escape(said.again)}</strong></p>" if said.again else "",
    ]
    parts += [f"<p>{SYMBOLS['caution']} {escape(d)}.</p>" for d in said.doubts]
    return "\n".join(p for p in parts if p)


def plain(answer: desk.Answer | None, said: Explained | None) -> str:
    """Return the finder as plain text, the same for the same readings."""
    lines = [TITLE]
    if answer is None and said is None:
        return f"{TITLE}: with a kernel running, type what you measured or what is stamped on the ring."
    if answer is not None:
        lines += [f"set  {label}: {text}" for label, text in answer.asked]
        lines += [
            f"{c.words}: {c.name}: {c.value}. {c.reason}" + (f" Cure: {c.remedy}" if c.remedy else "")
            for c in by_weight(answer.checks)
        ]
        lines.append(answer.title)
        lines += [
            "  " + "; ".join(p for p in (x.number, x.size, x.family, x.score, x.off, x.holds) if p)
            for x in answer.lines
        ]
        lines += [f"left out by {name}: {sizes}" for name, sizes in answer.excluded] + list(answer.notes)
    if said is not None:
        lines += [f"marking {said.text}"] + [
            f"  {piece}: {words}" if piece else f"  {words}" for piece, words in said.pieces
        ]
        lines += [f"  size: {said.size}"] * bool(said.size) + [f"  written in full: {said.again}"] * bool(said.again)
        lines += [f"  {d}" for d in said.doubts]
    return "\n".join(lines)


def stored_html(answer: desk.Answer | None, said: Explained | None) -> str:
    """Return the finder as HTML that reads well with no style and no script."""
    if answer is None and said is None:
        return f"<p>{escape(plain(answer, said))}</p>"
    asked = "; ".join(f"{label}: {text}" for label, text in answer.asked) if answer is not None else ""
    return "\n".join(
        p
        for p in (
            f"<p><strong>{escape(TITLE)}</strong></p>",
            f"<p>{escape(asked)}</p>" if asked else "",
            answer_html(answer),
            explained_html(said),
        )
        if p
    )
