"""The start page's and the record page's forms: a thin skin over the plain functions of ``controller``."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from html import escape

import ipywidgets as widgets

from jackshaft.buildfile import Answer, Build, BuildProblems, Problem, list_builds
from jackshaft.photos import folder_of
from jackshaft.results import Results, work_up
from jackshaft.results.measuring import PART_FORM, WRITE_FORM
from jackshaft.start import controller, filling, parts, photographing, work_out
from jackshaft.start.cards import Cards
from jackshaft.start.copying import copy_part
from jackshaft.start.sheet import Sheet
from jackshaft.start.ticks import Ticks
from jackshaft.ui import fragments
from jackshaft.ui.base import follow
from jackshaft.ui.elements import html, put
from jackshaft.ui.forms import Form, Forms, choice_box, refill, text_box

COPY = "Copy it under the new name"
FILL_FORM = "Fill in a part"
FORGET = "Take the value out"
BACK = "Bring the previous version back"
NO_PART = [("there is none yet", "")]


class StartForms(Forms):
    """Open or make a build, add, rename and take out parts, write a measurement down, bring the file into order."""

    def __init__(self, build: Build):
        self.build = build
        self._results: Results | None = None
        #: what the last write of each form was about, so that an answer is never about something typed since
        self._meant: dict[str, tuple] = {}
        self._writing = self._writing_form()
        self._filling = self._filling_form()
        self._parts = self._parts_forms()
        self._builds = self._build_forms()
        self._files = self._file_forms()
        forms = (*self._builds, self._writing, self._filling, *self._parts, *self._files)
        super().__init__(
            f"At the bench: {build.name}",
            forms,
            "Run this page in Jupyter to write measurements down, add parts, and open or make builds here. "
            "You can also edit the build file in data/builds with any text editor.",
        )
        self._renew(build)

    # -- the forms -------------------------------------------------------------------------------------

    def _writing_form(self) -> Form:
        self.key = choice_box("What was measured", ())
        self.value = text_box("Value", hint="with its unit, such as 1-3/8 in")
        self.how = choice_box("How it is known", [("not said", ""), *((h, h) for h in controller.HOW if h)])
        self.by = text_box("Measured with", hint="such as calipers")
        self.key.add_class("jk-across")
        self.hint = widgets.HTML()
        self.key.observe(lambda _: self._hint(), "value")
        fields = (self.key, self.hint, self.value, self.how, self.by)
        buttons = (("Write it into the build", self._write_down), (FORGET, self._forget))
        return Form(WRITE_FORM, fields, buttons)

    def _filling_form(self) -> Form:
        self.sheet = Sheet(self.build, self._to_add)
        fields = (self.sheet.word, self.sheet.found, self.sheet.part, self.sheet.widget)
        self.sheet.word.add_class("jk-across")
        return Form(FILL_FORM, fields, (("Keep all of it", self._fill),))

    def _parts_forms(self) -> tuple[Form, ...]:
        self.kind = choice_box("Kind of part", ())
        self.part = text_box("Its name", hint="such as idler bearing")
        self.old = choice_box("Part", ())
        self.new = text_box("New name", hint="what refers to it follows")
        self.absent = choice_box("Chapter or list", ())
        self.empty = choice_box("What is written there", [("stays", False), ("is taken out", True)])
        self.absent.add_class("jk-across")
        none = (("There is none", self._none), ("Take that back", self._none_back))
        return (
            Form(PART_FORM, (self.kind, self.part), (("Add it to the build", self._add),)),
            Form(
                "Rename a part, copy it or take it out",
                (self.old, self.new),
                (("Rename it", self._rename), (COPY, self._copy), ("Take it out of the build", self._remove)),
            ),
            Form("Say what the machine does not have", (self.absent, self.empty), none),
        )

    def _build_forms(self) -> tuple[Form, ...]:
        builds = list_builds()
        self.cards = Cards(self._press_open)
        self.name = text_box("Name", hint="such as Drum mixer")
        self.start = choice_box("Start from", (controller.BLANK, *builds))
        self.units = choice_box("Shown in", ("inch", "metric"))
        self.ticks = Ticks()
        self.start.observe(lambda _: self._shown_in(), "value")
        for one in (self.name, self.start):
            one.observe(lambda _: self._show_ticks(), "value")
        self._show_ticks()
        fields = (self.name, self.start, self.units, self.ticks.widget)
        return (
            Form("The builds that there are", (self.cards.widget,), ()),
            Form("Make a new build", fields, (("Make it", self._make),)),
        )

    def _file_forms(self) -> tuple[Form, ...]:
        self.fault = choice_box("What the workbook cannot use", ())
        self.fault.add_class("jk-across")
        self.before = widgets.HTML()
        return (
            Form("The file has faults", (self.fault,), (("Take it out of the file", self._take_out),)),
            Form("The version before this one", (self.before,), ((BACK, self._bring_back),)),
        )

    # -- what the buttons do -----------------------------------------------------------------------------

    def _about(self, form: str, settle: Mapping[str, Answer] | None, *now: object) -> tuple:
        """Return what a write is about: what is in the fields, or what was asked about where that is answered."""
        if not settle:
            self._meant[form] = (self.build, *now)
        return self._meant[form]

    def _done(self, found: tuple[Build, str], *typed: widgets.Text) -> str:
        """Clear what was typed, let every form stand on the build that came of it, and return what was done."""
        build, words = found
        for box in typed:
            box.value = ""
        self._renew(build)
        return words

    def _write_down(self, settle: Mapping[str, Answer] | None = None) -> str:
        typed = self.key.value, self.value.value, self.how.value, self.by.value
        build, key, text, how, by = self._about("write", settle, *typed)
        if not text.strip():
            raise BuildProblems([Problem(build.file, key, "nothing", f"a value; '{FORGET}' takes out what is there")])
        return self._done(
            controller.write_down(build, key, text, how, by, settle=settle), self.value, self.how, self.by
        )

    def _forget(self, settle: Mapping[str, Answer] | None = None) -> str:
        build, key = self._about("forget", settle, self.key.value)
        if not build.has(key):
            raise BuildProblems([Problem(build.file, key, "nothing", "a value to take out; the build has none there")])
        return self._done(controller.write_down(build, key, "", settle=settle), self.value, self.how, self.by)

    def _fill(self, settle: Mapping[str, Answer] | None = None) -> str:
        build, entries = self._about("fill", settle, self.sheet.entries)
        at = self.sheet.at
        return self._done(self.sheet.keep(build, entries, settle)) + self._next(filling.next_empty(self.build, at))

    def _next(self, at: str) -> str:
        """Say which part to fill in next; nothing where none is left."""
        return f" Next in '{FILL_FORM}': {filling.part_words(at)}." if at else ""

    def _to_add(self, kind: str) -> None:
        """Let the form that adds a part stand on a list that has none yet, and say so."""
        if kind in [value for _, value in self.kind.options]:
            self.kind.value = kind
        words = (
            f"The build has no such part yet. Give it a name in '{PART_FORM}' below and add it; then fill it in here."
        )
        self._filling.result.value = fragments.notice_html(words)

    def _add(self, settle: Mapping[str, Answer] | None = None) -> str:
        build, kind, name = self._about("add", settle, self.kind.value, self.part.value)
        words = self._done(parts.add_part(build, kind, name, settle=settle), self.part)
        self.sheet.pick(f"{kind}[{' '.join(name.split())}]")
        return words

    def _remove(self, settle: Mapping[str, Answer] | None = None) -> str:
        build, at = self._about("part", settle, self._chosen_part())
        return self._done(parts.remove_part(build, at, settle=settle))

    def _rename(self) -> str:
        old = self._chosen_part()
        build, words, at = parts.rename(self.build, old, self.new.value)
        here = self.sheet.renamed(old, at)
        self._done((build, words), self.new)
        self.sheet.pick(here)
        self.old.value = at
        return words

    def _copy(self, settle: Mapping[str, Answer] | None = None) -> str:
        build, at, name = self._about("part", settle, self._chosen_part(), self.new.value)
        kept, words, copy = copy_part(build, at, name, settle=settle)
        self._done((kept, words), self.new)
        self.sheet.pick(copy)
        return words

    def _chosen_part(self) -> str:
        if not self.old.value:
            raise BuildProblems([Problem(self.build.file, "part", "no part", "a part of the build: add one first")])
        return self.old.value

    def _none(self, settle: Mapping[str, Answer] | None = None) -> str:
        build, key, empty = self._about("none", settle, self.absent.value, self.empty.value)
        found = parts.say_none(build, key, empty=empty, settle=settle)
        self.empty.value = False
        return self._done(found)

    def _none_back(self, settle: Mapping[str, Answer] | None = None) -> str:
        build, key, _ = self._about("none", settle, self.absent.value, False)
        return self._done(parts.take_none_back(build, key, settle=settle))

    def _take_out(self) -> str:
        return self._done(controller.take_fault_out(self.build, self.fault.value))

    def _bring_back(self) -> str:
        return self._done(controller.bring_previous_back(self.build))

    def _press_open(self, name: str) -> None:
        self._builds[0].run(partial(self._open, name))

    def _open(self, name: str) -> str:
        return self._done(controller.open_other(name))

    def _make(self) -> str:
        found = controller.new_build(self.name.value, self.start.value, self.units.value, self.ticks.ticked)
        self.ticks.clear()
        words, at = self._done(found, self.name), filling.next_empty(self.build)
        self.sheet.pick(at)
        return words + self._next(at)

    # -- what is shown ------------------------------------------------------------------------------------

    def _hint(self) -> None:
        self.hint.value = f'<span class="jk-help">{escape(controller.hint(self.build, self.key.value))}</span>'

    def _shown_in(self) -> None:
        """A copy is shown as what it is made from, until another choice is made."""
        self.units.value = controller.system_of(self.start.value) or self.units.value

    def _show_ticks(self) -> None:
        """Ask for the parts once the build has a name: a copy has its own."""
        self.ticks.show(bool(self.name.value.strip()) and self.start.value == controller.BLANK)

    def _renew(self, build: Build) -> None:
        """Let every form stand on a build: the one that was written to, or another one that was opened."""
        other = (build.path, build.instead_of) != (self.build.path, self.build.instead_of)
        self.build = build
        if other:
            self._stand_on_another()
        else:
            follow(build)
        self.title(f"At the bench: {build.name}")
        self._results = work_up(build, before=self._results, at_ends=True)
        builds = list_builds()
        if other or builds != self.cards.names:
            self.cards.lay(builds, controller.listed(build, builds))
        self.cards.follow(build, self._results)
        refill(self.key, controller.measurements(build, self._results))
        refill(self.kind, parts.lists(build, self._results))
        refill(self.old, parts.parts(build) or NO_PART)
        refill(self.absent, parts.absences(build))
        refill(self.fault, faults := controller.faults(build))
        self._hint()
        self.sheet.follow(build, other=other)
        before = controller.previous_words(build)
        button, words = before or (BACK, "")
        self.before.value = f'<span class="jk-help">{escape(words)}</span>'
        self._files[1].button(0, button)
        self._files[0].title(f"The file has faults: {len(build.problems)} to put right")
        front = (self._files[0],) if faults else ()
        back = (self._files[1],) if before is not None else ()
        # what brings a spoiled file back comes first, and last where the file is in order
        first, last = ((*front, *back), ()) if build.problems else ((), back)
        # in the order of the first ten minutes: make it, fill its parts in, add what is not there, measure
        self.show((*first, *self._builds, self._filling, self._parts[0], self._writing, *self._parts[1:], *last))

    def _stand_on_another(self) -> None:
        work_out.stand_on(self.build)
        builds = list_builds()
        self.start.options = (controller.BLANK, *builds)
        self.value.value = self.how.value = self.by.value = ""
        for form in self.forms:
            form.withdraw("another build was opened")


class RecordForms(Forms):
    """Put photographs beside a build, and render its record into a folder."""

    def __init__(self, build: Build, notebook: str):
        self.build, self.notebook = build, notebook
        self.folder = text_box("Folder")
        where = html("jk-help", f"Left empty: <code>data/records/{escape(build.slug)}</code>")
        self.folder.add_class("jk-across")
        self.opens = html("jk-opens")
        buttons = (
            ("Make the record", self._render),
            ("Make it with a PDF", self._with_pdf),
            ("Make it with the notebooks (minutes)", self._with_notebooks),
        )
        form = Form("One page, and the executed notebooks on demand", (self.folder, where), buttons)
        form.widget.children = (*form.widget.children, self.opens)
        self.note = text_box("What it changes", hint="such as: larger idler, first run done")
        self.note.add_class("jk-across")
        revision = Form("Keep it as a revision", (self.note,), (("Make this a revision", self._revise),))
        super().__init__(
            "Make the build record",
            (self._photo_form(), form, revision),
            "Run this page in Jupyter for a button that writes the record. You can also use the command: "
            f"python -m jackshaft record {build.slug} --out FOLDER",
        )

    def _photo_form(self) -> Form:
        self.slot = choice_box("What it shows", photographing.choices(self.build))
        self.words = text_box("Words below it", hint="such as: crank belts, before I took them off")
        self.files = widgets.FileUpload(accept="image/jpeg,image/png,image/webp", multiple=True, description="Pick")
        self.files.add_class("jk-button")
        self.prompt, self.there = widgets.HTML(), widgets.HTML()
        self.slot.observe(lambda _: self._prompt(), "value")
        for one in (self.slot, self.words):
            one.add_class("jk-across")
        self._prompt()
        self._count()
        fields = (self.slot, self.prompt, self.words, self.files, self.there)
        return Form("Put photographs beside the build", fields, (("Keep the photographs", self._photograph),))

    def _prompt(self) -> None:
        self.prompt.value = f'<span class="jk-help">{escape(self.slot.value.prompt)}</span>'

    def _count(self) -> None:
        folder = folder_of(self.build)
        way = f" You can also put files into the folder {folder.name} beside the build file." if folder else ""
        shown = "The record shows them small and upright, without the place where they were taken."
        words = f"{photographing.there(self.build)}{way} {shown}"
        self.there.value = f'<span class="jk-help">{escape(words)}</span>'

    def _photograph(self) -> str:
        try:
            words = photographing.add_photos(self.build, self.slot.value, self.words.value, self.files.value)
        finally:
            self._count()
        self.files.value, self.words.value = (), ""
        return words

    def _revise(self) -> str:
        self.build, words = controller.make_revision(self.build, self.note.value)
        self.note.value = ""
        return words

    def _render(self) -> str:
        return self._made()

    def _with_pdf(self) -> str:
        return self._made(pdf=True)

    def _with_notebooks(self) -> str:
        # This page runs this very code, so it is the one notebook that is left out.
        left = (self.notebook,)
        return self._made(notebooks=True, leave_out=left)

    def _made(self, **how) -> str:
        put(self.opens, "")
        words, page = controller.render(self.build, self.folder.value.strip(), **how)
        way = controller.way_to(page)
        put(self.opens, f'<a href="{escape(way)}" target="_blank">Open {escape(page.name)}</a>' if way else "")
        return words
