"""The start page's and the record page's forms: a thin skin over the plain functions of ``controller``."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

import ipywidgets as widgets

from jackshaft.buildfile import Answer, Build, has_previous, list_builds
from jackshaft.start import controller
from jackshaft.ui.base import follow
from jackshaft.ui.forms import Form, Forms, choice_box, text_box


class StartForms(Forms):
    """Open or make a build, add a part, write a measurement down."""

    def __init__(self, build: Build):
        self.build = build
        self.which = choice_box("Build", list_builds(), build.slug if build.slug in list_builds() else None)
        self.name = text_box("Name", hint="such as Drum mixer")
        self.start = choice_box("Start from", (controller.BLANK, *list_builds()))
        self.units = choice_box("Shown in", ("inch", "metric"))
        self.kind = choice_box("Kind of part", controller.lists(build))
        self.part = text_box("Its name", hint="such as idler bearing")
        self.key = choice_box("What was measured", controller.measurements(build))
        self.value = text_box("Value", hint="with its unit, such as 1-3/8 in")
        self.how = choice_box("How it is known", [("not said", ""), *((h, h) for h in controller.HOW if h)])
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
            Form("Open another build", (self.which,), (("Open it", lambda: controller.open_other(self.which.value)),)),
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
        self.hint.value = f'<span class="jk-help">{escape(controller.hint(self.build, self.key.value))}</span>'

    def _write_down(self, settle: Mapping[str, Answer] | None = None) -> str:
        self.build, words = controller.write_down(
            self.build, self.key.value, self.value.value, self.how.value, self.by.value, settle=settle
        )
        self._renew()
        return words

    def _add(self, settle: Mapping[str, Answer] | None = None) -> str:
        self.build, words = controller.add_part(self.build, self.kind.value, self.part.value, settle=settle)
        self._renew()
        return words

    def _bring_back(self) -> str:
        self.build, words = controller.bring_previous_back(self.build)
        self._renew()
        return words

    def _make(self) -> str:
        _, words = controller.new_build(self.name.value, self.start.value, self.units.value)
        self.which.options = list_builds()
        return words

    def _renew(self) -> None:
        follow(self.build)
        key = self.key.value
        self.key.options = controller.measurements(self.build)
        self.key.value = key if key in [k for _, k in self.key.options] else self.key.options[0][1]
        self.value.value = ""
        kind = self.kind.value
        self.kind.options = controller.lists(self.build)
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
        return controller.render(self.build, self.folder.value.strip(), leave_out=(self.notebook,))
