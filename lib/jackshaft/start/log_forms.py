"""The card of the record page that takes over what readings of the log say of values of the build."""

from __future__ import annotations

from html import escape

from jackshaft.buildfile import Build
from jackshaft.chapters.measured.data import Offer
from jackshaft.results import Results, label, work_up
from jackshaft.results.keeping import keep
from jackshaft.start.controller import moved, where
from jackshaft.ui.elements import html
from jackshaft.ui.forms import Form, Forms, choice_box, refill
from jackshaft.units import show

NOTHING = "no reading says anything of a value of the build yet"


def offered(results: Results) -> tuple[Offer, ...]:
    """Return what the readings of the log say of values of the build, in the order of the log."""
    data = results.chapters["measured"].data
    return () if data is None else data.offers


def as_value(offer: Offer, system: str) -> dict[str, str]:
    """Return the value that a reading shows as the build file holds it, with its note: how known, by what, how well."""
    size, off = (show(si, offer.kind, system, digits=digits) for si, digits in ((offer.si, 4), (offer.off, 2)))
    return {"value": size, "known": "calculated", "by": f"the log: {offer.entry}", "plus_minus": off}


def take_over(build: Build, offer: Offer) -> tuple[Build, str]:
    """Keep what a reading shows in the build's file, its note beside it; return the build and what it moved.

    Raises
    ------
    BuildProblems
        If the build cannot take it; nothing is written.
    KeyConflict, NotSaved
        As for saving.
    """
    value = as_value(offer, build.system)
    kept = keep(build, {offer.key: value})
    words = f"Kept {label(offer.key)}: {value['value']}, known by {value['by']}, within {value['plus_minus']}."
    return kept, f"{words}{moved(build, kept)} {where(kept)}"


class LogForms(Forms):
    """Choose what a reading says of the build, see it beside what the build says, and take it over."""

    def __init__(self, build: Build):
        self.build = build
        self.what = choice_box("The reading shows", ())
        self.what.add_class("jk-across")
        self.now = html("jk-help")
        self.what.observe(lambda _: self._say(), "value")
        form = Form("What the log says of the build", (self.what, self.now), (("Write it into the build", self._take),))
        super().__init__(
            "Take a reading over",
            (form,),
            "Run this page in Jupyter to write what the readings show into the build.",
        )
        self._renew()

    def _renew(self) -> None:
        found = offered(work_up(self.build, at_ends=True))
        words = [(f"{label(o.key)}: {as_value(o, self.build.system)['value']}, {o.entry}", o) for o in found]
        refill(self.what, words or [(NOTHING, None)])
        self._say()

    def _say(self) -> None:
        offer = self.what.value
        if offer is None:
            self.now.value = "Write readings into the log first."
            return
        mine, value = self.build.values.get(offer.key), as_value(offer, self.build.system)
        said = "nothing yet" if mine is None else f"{mine.text}{f' ({mine.known})' if mine.known else ''}"
        self.now.value = escape(f"The build says {said}. The reading is right to {value['plus_minus']} either way.")

    def _take(self) -> str:
        if self.what.value is None:
            raise ValueError(f"found nothing to take over; {NOTHING}")
        self.build, words = take_over(self.build, self.what.value)
        self._renew()
        return words


__all__ = ["LogForms", "as_value", "offered", "take_over"]
