"""The card of the record page that puts a part of yours into somebody else's build."""

from __future__ import annotations

from html import escape
from pathlib import Path

from jackshaft.buildfile import Build, BuildProblems, Problem, create, edited, list_builds, load, possible_keys
from jackshaft.record.ride import taken_out
from jackshaft.results import label
from jackshaft.start import controller
from jackshaft.start.names import file_name
from jackshaft.start.swapping import Swap, report, swap
from jackshaft.ui.elements import html
from jackshaft.ui.forms import Form, Forms, choice_box, refill, text_box

THIS = "the build that is open"


class SwapForms(Forms):
    """Take a build or a record page, put your values in one after another, see what becomes of it, keep it as yours."""

    def __init__(self, build: Build):
        self._open, self.build = build, build
        self.typed: dict[str, str] = {}
        self._found: Swap | None = None
        self.other = choice_box("Whose machine", [THIS, *list_builds()], THIS)
        self.page = text_box("Or a record page", hint="the path of its HTML file")
        self.key = choice_box("Your", ())
        self.value = text_box("Is", hint="such as 9 hp")
        self.listed, self.report = html("jk-help"), html("jk-swap")
        self.name = text_box("Name", hint="what your build is called")
        for one in (self.other, self.page, self.key):
            one.add_class("jk-across")
        take = Form("The machine", (self.other, self.page), (("Take this one", self._take),))
        put = Form(
            "Your part",
            (self.key, self.value, self.listed),
            (
                ("Put it in", self._put),
                ("See what becomes of it", self._see),
                ("Take all of it out again", self._clear),
            ),
        )
        put.widget.children = (*put.widget.children, self.report)
        keep = Form("Keep it as your build", (self.name,), (("Make it my build", self._keep),))
        super().__init__(
            "Put your own part in",
            (take, put, keep),
            "Run this page in Jupyter to put your own part into a build. You can also use the command: "
            f"python -m jackshaft swap {build.slug} KEY=TEXT",
        )
        self._stand_on(build)

    def _stand_on(self, build: Build) -> None:
        self.build, self._found = build, None
        self.typed.clear()
        # what the machine says already comes first: that is what a part of yours takes the place of
        said = sorted(possible_keys(build), key=lambda key: not build.has(key))
        refill(self.key, [(label(key), key) for key in said])
        self._show()

    def _show(self) -> None:
        items = "; ".join(f"{escape(label(k))}: {escape(v or 'not known')}" for k, v in self.typed.items())
        self.listed.value = f"{escape(self.build.name)}. Put in: {items or 'nothing yet'}."
        words = "" if self._found is None else escape(report(self._found, label))
        self.report.value = f'<div style="white-space: pre-wrap; line-height: 1.4">{words}</div>' if words else ""

    def _take(self) -> str:
        path = self.page.value.strip().strip("'\"")
        if path:
            build = taken_out(Path(path).expanduser())
        else:
            build = self._open if self.other.value == THIS else load(self.other.value)
        self._stand_on(build)
        return f"Took {build.name}. Nothing in it is changed here."

    def _put(self) -> str:
        self.typed[self.key.value] = self.value.value
        self.value.value, self._found = "", None
        self._show()
        return "Put in. Go on with the next value, or see what becomes of it."

    def _see(self) -> str:
        self._found = None
        self._show()
        self._found = swap(self.build, list(self.typed.items()))
        self._show()
        return "Worked up with and without it. Read from the top: what does not hold comes first."

    def _clear(self) -> str:
        self._stand_on(self.build)
        return "Taken out again."

    def _keep(self) -> str:
        if self._found is None:
            wanted = "a machine with your part in it: see what becomes of it first"
            raise BuildProblems([Problem(self.build.file, "", "nothing to keep", wanted)])
        name = self.name.value.strip()
        path = controller.builds_dir() / f"{file_name(name)}.toml"
        kept = create(path, edited(self.build.text, {"name": name} | dict(self._found.changes)))
        return f"Made {kept.file}. Open it on the start page. Its photographs are not taken along: take your own."


__all__ = ["SwapForms", "THIS"]
