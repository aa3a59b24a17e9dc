"""The form that works a value out from what one knows, and keeps it as an estimate."""

from __future__ import annotations

import weakref
from collections.abc import Mapping
from html import escape

from jackshaft.buildfile import Answer, Build, BuildProblems, Problem, open_anyhow
from jackshaft.start import controller, estimating
from jackshaft.start.estimating import WAYS, Way, Worked
from jackshaft.ui.base import follow
from jackshaft.ui.elements import html, put
from jackshaft.ui.forms import Form, Forms, choice_box, text_box

TITLE = "Work it out from what you know"
PICK = ("pick what it is", "")
_open: weakref.WeakSet[WorkOutForms] = weakref.WeakSet()


def stand_on(build: Build) -> None:
    """Let every open form of this kind write into another build."""
    for form in _open:
        form.stand_on(build)


class WorkOutForms(Forms):
    """Pick what you know, type it, see the value with its band, and write it into the build."""

    def __init__(self, build: Build):
        self.build = build
        self.worked: Worked | None = None
        self._asked: tuple | None = None
        self._made: dict[int, tuple[Form, dict]] = {}
        self.way = choice_box("What to work out", [(w.title, i) for i, w in enumerate(WAYS)])
        self.key = choice_box("Where it belongs", ())
        for field in (self.way, self.key):
            field.add_class("jk-across")
        self._pick = Form("What is not on a plate", (self.way,), ())
        self._lines, self._now = html("jk-lines"), html("jk-now")
        self._write = Form("Keep it as an estimate", (self.key, self._now), (("Write it into the build", self._keep),))
        super().__init__(
            TITLE,
            (self._pick,),
            "Run this page in Jupyter to work out a power, a speed or a pulley from what you can count, hear or "
            "measure. The formulas are on the shelf too: from jackshaft import formulas.",
        )
        self.way.observe(lambda _: self._show(), "value")
        self.key.observe(lambda _: self._says(), "value")
        self.stand_on(build)
        _open.add(self)

    @property
    def picked(self) -> Way:
        """The way that is picked."""
        return WAYS[self.way.value]

    @property
    def fields(self) -> dict:
        """The fields of the way that is picked, by name."""
        return self._form()[1]

    def stand_on(self, build: Build) -> None:
        """Write into this build from now on; its units are those of the labels."""
        self.build = build
        self._made.clear()
        self._write.withdraw("another build was opened")
        self.title(f"{TITLE}: {build.name}")
        self._show()

    def _form(self) -> tuple[Form, dict]:
        """Return the form of the way that is picked; made when it is asked for first."""
        if self.way.value not in self._made:
            system = self.build.system
            fields = {
                a.name: choice_box(a.label, a.choices)
                if a.choices
                else text_box(
                    a.title(system), hint=f"such as {a.hint[system == 'metric']}" if not a.empty else a.hint[0]
                )
                for a in self.picked.asks
            }
            form = Form(self.picked.title, (*fields.values(), self._lines), (("Work it out", self._work),))
            self._made[self.way.value] = form, fields
        return self._made[self.way.value]

    def _show(self) -> None:
        """Show the form of the way that is picked, and where its value is written to once there is one."""
        self.worked = None
        put(self._lines, "")
        self.show((self._pick, self._form()[0]))

    def _work(self) -> str:
        form, fields = self._form()
        self._show()
        if self.build.path is not None and self.build.path.exists():
            # parts may have been added elsewhere on the page
            self.build = open_anyhow(self.build.path)
        way = self.picked
        self.worked = estimating.work_out(way, {k: f.value for k, f in fields.items()}, self.build.system)
        places = estimating.places(self.build, way, self.worked)
        if places:
            # one that may belong to several keys is never written to the first of them unasked
            self.key.options = places if len(places) == 1 else [PICK, *places]
            self.key.index = 0
            self._says()
            self._write.result.value = ""
            self.show((self._pick, form, self._write))
        put(self._lines, f"<ul>{''.join(f'<li>{escape(line)}</li>' for line in self.worked.lines)}</ul>")
        words = estimating.told(way, self.worked, self.build.system)
        return words if places else f"{words} The build has no part yet that this belongs to: add it first."

    def _keep(self, settle: Mapping[str, Answer] | None = None) -> str:
        if not settle:
            # an answer is about what was asked, whatever stands in the fields by then
            self._asked = self.build, self.picked, self.worked, self.key.value
        build, way, worked, key = self._asked
        if worked is None or not key:
            found, wanted = ("nothing", "a value: work it out first") if worked is None else ("none picked", PICK[0])
            raise BuildProblems([Problem(build.file, "where it belongs", found, wanted)])
        self.build, words = estimating.write(build, way, worked, key, settle=settle)
        self._says()
        follow(self.build)
        return words

    def _says(self) -> None:
        """Show what the build says now of the key that is picked."""
        words = controller.hint(self.build, self.key.value) if self.key.value else ""
        put(self._now, f'<span class="jk-help">{escape(words)}</span>')


__all__ = ["TITLE", "WorkOutForms", "stand_on"]
