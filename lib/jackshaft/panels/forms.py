"""The start page's and the record page's forms: a thin skin over the plain functions of ``desk``."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from html import escape

import ipywidgets as widgets
from IPython.display import display

from jackshaft.build import Answer, Build, ChangedOnDisk, KeyConflict, NotSaved, has_previous, list_builds
from jackshaft.panels import desk, fragments
from jackshaft.panels.ask import Ask
from jackshaft.panels.base import follow
from jackshaft.panels.state import ASKED, fault_of
from jackshaft.panels.stored import show_live
from jackshaft.panels.style import CSS


class Form:
    """A titled block of fields and buttons with a place for what came of it.

    Parameters
    ----------
    title : str
        What the block is for.
    fields : sequence of widgets
        Its fields, in order.
    buttons : sequence of (words, action)
        An action returns the words to show; what it raises is shown in the error box. One that keeps values
        takes the answers to what was changed elsewhere too, as its only argument.
    """

    def __init__(self, title: str, fields: Sequence[widgets.Widget], buttons: Sequence[tuple[str, Callable[..., str]]]):
        self.said, self.alert, self.ask = widgets.HTML(), widgets.HTML(), Ask()
        row = widgets.Box([self._button(words, action) for words, action in buttons])
        row.add_class("jk-buttons")
        head = widgets.HTML(f"<h4>{escape(title)}</h4>")
        head.add_class("jk-group")
        for field in fields:
            field.add_class("jk-box")
        self.widget = widgets.Box([head, *fields, row, self.alert, self.ask.widget, self.said])
        self.widget.add_class("jk-form")

    def _button(self, words: str, action: Callable[..., str]) -> widgets.Button:
        button = widgets.Button(description=words, tooltip=words)
        button.add_class("jk-button")
        button.on_click(lambda _: self.run(action))
        return button

    def run(self, action: Callable[..., str], settle: Mapping[str, Answer] | None = None) -> None:
        """Run an action and show what came of it; where another changed the same, ask and run it again."""
        words, troubles, refusal = "", (), ""
        self.ask.clear()
        try:
            words = action(settle) if settle else action()
        except KeyConflict as conflict:
            refusal = ASKED
            self.ask.put(conflict, lambda answers: self.run(action, answers))
        except (ValueError, ChangedOnDisk, NotSaved, OSError) as error:
            refusal = str(error)
        except Exception as error:
            # Jupyter only logs what a callback raises, so the form has to show it
            troubles = (fault_of(error),)
        self.said.value = fragments.notice_html(words)
        self.alert.value = fragments.alert_html(troubles, refusal)


class Forms:
    """Forms on one card; where there is no kernel a line says what they are for."""

    def __init__(self, title: str, forms: Sequence[Form], instead: str):
        self.forms = tuple(forms)
        self.instead = instead
        root = widgets.Box([widgets.HTML(f"{CSS}<h3>{escape(title)}</h3>"), *(f.widget for f in forms)])
        root.add_class("jk-panel")
        root.add_class("jk-card")
        self.widget = root

    def _ipython_display_(self) -> None:
        show_live(self.widget)
        display({"text/plain": self.instead, "text/html": f"<p>{escape(self.instead)}</p>"}, raw=True)


def text_box(label: str, value: str = "", hint: str = "") -> widgets.Text:
    """Return a field for text, with its label."""
    return widgets.Text(value=value, description=label, placeholder=hint, continuous_update=False)


def choice_box(label: str, options: Sequence, value=None) -> widgets.Dropdown:
    """Return a list to pick from, with its label."""
    box = widgets.Dropdown(options=list(options), description=label)
    if value is not None:
        box.value = value
    return box


class StartForms(Forms):
    """Open or make a build, add a part, write a measurement down."""

    def __init__(self, build: Build):
        self.build = build
        self.which = choice_box("Build", list_builds(), build.slug if build.slug in list_builds() else None)
        self.name = text_box("Name", hint="such as Drum mixer")
        self.start = choice_box("Start from", (desk.BLANK, *list_builds()))
        self.units = choice_box("Shown in", ("inch", "metric"))
        self.kind = choice_box("Kind of part", desk.lists(build))
        self.part = text_box("Its name", hint="such as idler bearing")
        self.key = choice_box("What was measured", desk.measurements(build))
        self.value = text_box("Value", hint="with its unit, such as 1-3/8 in")
        self.how = choice_box("How it is known", [("not said", ""), *((h, h) for h in desk.HOW if h)])
        self.by = text_box("Measured with", hint="such as calipers")
        self.key.add_class("jk-wide")
        self.hint = widgets.HTML()
        self.key.observe(lambda _: self._hint(), "value")
        self._hint()
        forms = (
            Form(
                "Write a measurement down",
                (self.key, self.hint, self.value, self.how, self.by),
                (("Write it into the build", self._write_down),),
            ),
            Form("Add a part", (self.kind, self.part), (("Add it to the build", self._add),)),
            Form("Open another build", (self.which,), (("Open it", lambda: desk.open_other(self.which.value)),)),
            Form("Make a new build", (self.name, self.start, self.units), (("Make it", self._make),)),
        )
        if build.problems and has_previous(build):
            back = Form("The file is not in order", (), (("Bring the previous version back", self._bring_back),))
            forms = (back, *forms)
        super().__init__(
            f"At the bench: {build.name}",
            forms,
            "With a kernel running, this is the place to write measurements down, add parts, and open or "
            "make builds. Without one, edit the build file in data/builds with any text editor.",
        )

    def _hint(self) -> None:
        self.hint.value = f'<span class="jk-help">{escape(desk.hint(self.build, self.key.value))}</span>'

    def _write_down(self, settle: Mapping[str, Answer] | None = None) -> str:
        self.build, words = desk.write_down(
            self.build, self.key.value, self.value.value, self.how.value, self.by.value, settle=settle
        )
        self._renew()
        return words

    def _add(self, settle: Mapping[str, Answer] | None = None) -> str:
        self.build, words = desk.add_part(self.build, self.kind.value, self.part.value, settle=settle)
        self._renew()
        return words

    def _bring_back(self) -> str:
        self.build, words = desk.bring_previous_back(self.build)
        self._renew()
        return words

    def _make(self) -> str:
        _, words = desk.new_build(self.name.value, self.start.value, self.units.value)
        self.which.options = list_builds()
        return words

    def _renew(self) -> None:
        follow(self.build)
        key = self.key.value
        self.key.options = desk.measurements(self.build)
        self.key.value = key if key in [k for _, k in self.key.options] else self.key.options[0][1]
        self.value.value = ""
        kind = self.kind.value
        self.kind.options = desk.lists(self.build)
        self.kind.value = kind
        self._hint()


class RecordForms(Forms):
    """Render the record of a build into a folder."""

    def __init__(self, build: Build, notebook: str):
        self.build, self.notebook = build, notebook
        self.folder = text_box("Folder", value="", hint=f"data/records/{build.slug} when left empty")
        form = Form("One page and the executed notebooks", (self.folder,), (("Render the record", self._render),))
        super().__init__(
            "Render the build record",
            (form,),
            "With a kernel running, one button here writes the record. Without one, use the command: "
            f"python -m jackshaft record {build.slug} --out FOLDER",
        )

    def _render(self) -> str:
        # This page runs this very code, so it is the one notebook that is left out.
        return desk.render(self.build, self.folder.value.strip(), leave_out=(self.notebook,))
