"""The workbench of the notebooks: one build opened, its results shown chapter by chapter.

``bench = open_build()`` opens the build that is meant (see :func:`open_build`); what its methods return
is shown on the last line of a cell. Nothing is computed here; what draws or holds widgets is imported when asked for.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from html import escape

from jackshaft.buildfile import Build, has_previous, open_anyhow
from jackshaft.buildfile.schema import CHAPTERS, NO_PARTS
from jackshaft.buildfile.schema import chapter as schema_chapter
from jackshaft.drawing.pictures import pictures_of
from jackshaft.record import faults
from jackshaft.record.card import CSS as CARD_CSS
from jackshaft.record.card import card_html, card_text, cards_of
from jackshaft.record.page import KNOWN_HEADS, inputs, known_rows, known_share, source_words
from jackshaft.render.html import cautions_html, checks_html, facts_html, in_words_html, table_html, verdicts_html
from jackshaft.render.parts import by_weight, missing_line, told_once
from jackshaft.render.plain import check_line, fact_line, table_text
from jackshaft.results import Results, chapters, work_up
from jackshaft.results.by_hand import Agreement, Worked, agree
from jackshaft.results.checks import CAUTION, GO, STOP, SYMBOLS, UNDECIDED, Table
from jackshaft.results.reader import Reader
from jackshaft.results.running import fault_of
from jackshaft.results.tried import tried
from jackshaft.results.values import Number
from jackshaft.ui.page_style import PAGE_CSS
from jackshaft.ui.shown import Shown, ShownPicture, fault_shown, not_worked_out, safely
from jackshaft.units import NotKnown, quantity, show_in

NOTHING = "Nothing could be checked yet."

#: What to do where some of a file cannot be taken.
IN_PLACES = (
    "Write the right value down on the start page (00_start_here), or correct the file. What the file should not "
    "have, such as an unknown key, is taken out on the start page by Take it out of the file."
)

#: What to do where a file cannot be read at all.
WHOLE_FILE = "Open the file with a text editor, correct the line that is named, and save it. Then run this page again."


def open_build(name: str | os.PathLike | None = None) -> Bench:
    """Open a build and work it up.

    Without a name it is the one that JACKSHAFT_BUILD names, else the one opened last, else the demo build. What is
    wrong in a file is left out, and every page says so. Quantities show themselves in its units from then on.
    """
    show_in((bench := Bench(open_anyhow(name))).build.system)
    return bench


def search_module():
    """Return the module that makes the panel of the search."""
    from jackshaft.search import panel

    return panel


def _listed(lines: Iterable[str], text: str = "- {}", html: str = "{}") -> Shown:
    """Return lines as a list; ``text`` and ``html`` say how one is set."""
    lines = list(lines)
    items = "".join(f"<li>{html.format(escape(w))}</li>" for w in lines)
    return Shown("\n".join(text.format(w) for w in lines), f"<ul>{items}</ul>")


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def _sheets(tables: list[Table]) -> Shown:
    return Shown("\n\n".join(map(table_text, tables)), "\n".join(map(table_html, tables)))


def _judged(checks) -> Shown:
    return Shown("\n".join(map(check_line, checks)), checks_html(checks))


@dataclass(frozen=True)
class Bench:
    """One build on the bench, with everything computed from it."""

    build: Build
    results: Results = field(init=False)

    def __post_init__(self):
        object.__setattr__(self, "results", work_up(self.build, at_ends=True))

    def __repr__(self) -> str:
        return f"{self.build.name}: {self.results.verdict}"

    @safely
    def title(self) -> Shown:
        """What the build is, in a line or two."""
        build = self.build
        purpose = str(build.get("purpose") or "")
        more = [f"build file {build.file}", f"shown in {build.system} units", str(build.get("status") or "")]
        last = ", ".join(m for m in more if m)
        title = Shown(
            "\n".join(w for w in (build.name, purpose, last) if w),
            f"{PAGE_CSS}\n<p><strong>{escape(build.name)}</strong><br>{escape(purpose)}</p><p>{escape(last)}</p>",
        )
        return self._wrong_with_the_file() + title if build.problems else title

    @property
    def _broken(self) -> bool:
        """Whether the file as a whole cannot be read, so that nothing of it is known."""
        return any(p.file == self.build.file and p.key in ("", "schema") for p in self.build.problems)

    def _wrong_with_the_file(self) -> Shown:
        """What is wrong with the build file, and how to go on."""
        build = self.build
        if any(p.file != build.file for p in build.problems):
            head = "The build that was asked for is not there. The demo build is open in its place."
            way = "Open or make a build on the start page (00_start_here)."
        else:
            head = "The build file is not in order. Nothing in it was changed. What is listed here counts as not known."
            way = WHOLE_FILE if self._broken else IN_PLACES
        if has_previous(build):
            way += " The start page can also bring the previous version back."
        head, found = f"{SYMBOLS[STOP]} {head}", _listed(p.message for p in build.problems)
        return Shown(
            f"{head}\n{found.text}\n{way}",
            f"<p><strong>{escape(head)}</strong></p>{found.html}<p>{escape(way)}</p>",
        )

    @safely
    def have(self) -> Shown:
        """What the machine is made of so far: a line for each chapter of the build file."""
        rows = []
        for chapter in CHAPTERS:
            if chapter.name in NO_PARTS:
                continue
            names = self.build.names(chapter.name)
            known = sum(k.startswith((chapter.name + ".", chapter.name + "[")) for k in self.build.values)
            if self.build.is_none(chapter.name):
                rows.append((chapter.title, "none", "this machine has none"))
            elif not known:
                rows.append((chapter.title, "not known yet", chapter.help))
            else:
                rows.append((chapter.title, ", ".join(names) or self._word_for(chapter.name), f"{known} values known"))
        return _sheets([Table("What you have", ("part", "which", "what is known"), tuple(rows))])

    def _word_for(self, chapter: str) -> str:
        """What a chapter is called in this build: its kind, its name, or that it is there."""
        fields = [f.name for f in schema_chapter(chapter).fields]
        words = [self.build.get(f"{chapter}.{name}") for name in ("kind", "name") if name in fields]
        return next((str(w) for w in words if w), "there")

    @safely
    def verdicts(self) -> Shown:
        """The verdict strip: a word for every chapter that was checked."""
        summary = self.results.summary
        text = " | ".join(f"{title}: {SYMBOLS[verdict]} {words}" for title, verdict, words in summary)
        return Shown(text, verdicts_html(summary)) if summary else Shown(NOTHING)

    @safely
    def facts(self, chapter: str) -> Shown:
        """The numbers of a chapter, one a line."""
        found = self.results.chapters[chapter]
        if not found.facts:
            return not_worked_out(found)
        return Shown("\n".join(fact_line(f) for f in found.facts), facts_html(found.facts))

    @safely
    def tables(self, chapter: str, *only: int | str) -> Shown:
        """The tables of a chapter; ``only`` picks some of them by number, from 0, or by words of their titles."""
        found = self.results.chapters[chapter]
        words = [w for w in only if isinstance(w, str)]
        sheets = [s for i, s in enumerate(found.tables) if not only or i in only or any(w in s.title for w in words)]
        if not sheets:
            return not_worked_out(found) if found.fault else Shown(f"{found.title}: no table yet ({found.state}).")
        return _sheets(sheets)

    @safely
    def checks(self, *chapters: str) -> Shown:
        """The checks of one chapter or several, worst first."""
        checks = by_weight(tried(self.results, (c.id for name in chapters for c in self.results.of(name))))
        words = " ".join(self.results.chapters[c].words for c in chapters)
        return _judged(checks) if checks else Shown(words or NOTHING)

    @safely
    def to_do(self) -> Shown:
        """The stops and cautions of the whole build, worst first, and how many checks are go."""
        bad = (c.id for c in self.results.checks if c.verdict in (STOP, CAUTION))
        open_ones = told_once(by_weight(tried(self.results, bad)))
        good = sum(c.verdict == GO for c in self.results.checks)
        undecided = [c for c in self.results.checks if c.verdict == UNDECIDED]
        count = f"{good} checks are go, {len(undecided)} are not decidable yet{':' if undecided else '.'}"
        lines = [missing_line(c, self.build) for c in undecided]
        found = _judged(open_ones) if open_ones else Shown("No stop and no caution.")
        items = "".join(f"<li>{escape(line)}</li>" for line in lines)
        listed = Shown("\n".join([count, *(f"  {line}" for line in lines)]), f"<p>{count}</p><ul>{items}</ul>")
        return Shown(f"{found.text}\n{listed.text}", (found.html or f"<p>{escape(found.text)}</p>") + listed.html)

    @safely
    def fitting_card(self, bearing: str | None = None) -> Shown:
        """The card of a bearing to take to the press; of every bearing when none is named."""
        cards = cards_of(self.results)
        if not cards:
            return Shown(self.results.chapters["bearings"].words)
        if bearing is not None and bearing not in cards:
            return Shown(f"No bearing is called '{bearing}'; there is {', '.join(cards)}.")
        shown = Shown("", f"<style>{CARD_CSS}</style>")
        for name, card in cards.items() if bearing is None else [(bearing, cards[bearing])]:
            shown += (
                Shown(f"Bearing {name}: no card yet. {card}")
                if isinstance(card, str)
                else Shown(card_text(card, self.results), card_html(card, self.results))
            )
        return Shown(shown.text.strip(), shown.html)

    @safely
    def pictures(self, chapter: str, words: str = "", *, others: bool = False) -> None:
        """Show the pictures of a chapter; ``words`` picks those that have them in their titles.

        ``others`` leaves out the first, which is the one of the panel above. A chapter that never draws anything shows
        nothing.
        """
        from IPython.display import display

        found = [p for p in pictures_of(self.results, chapter) if words in p.title]
        if others and found and self.results.chapters[chapter].data is not None:
            found = found[1:]
            if not found:
                return
        for picture in found:
            display(ShownPicture(picture))
            display(Shown(f"The picture in words: {picture.alt}", in_words_html(picture.alt)))
        there = self.results.chapters[chapter]
        if there.fault:
            display(not_worked_out(there))
        elif not found and there.data is None:
            display(Shown(f"{there.title}: no picture yet ({there.state}). {there.words}".strip()))
        elif not found and chapters()[chapter].part("figure") is not None:
            display(Shown(f"{there.title}: this build has no such picture."))

    @safely
    def cautions(self, *chapters: str) -> Shown:
        """The cautions that belong to chapters."""
        words = [w for name in chapters for w in self.results.chapters[name].cautions]
        if not words:
            return Shown("This page adds no caution to those of the record.")
        return Shown("\n".join(f"Caution: {w}" for w in words), cautions_html(words))

    @safely
    def sources(self, *chapters: str) -> Shown:
        """Where the numbers of chapters come from."""
        keys: list[str] = []
        for name in chapters:
            keys += self.results.chapters[name].sources
            keys += [k.strip() for c in self.results.of(name) for k in c.source.split(";") if k.strip()]
        return _listed(source_words(k) for k in dict.fromkeys(keys))

    @safely
    def wanted(self, most: int = 5) -> Shown:
        """What to measure next, the most useful first."""
        wanted = self.results.wanted[:most]
        if self._broken:
            return Shown("Put the build file right first: nothing that it says could be read.")
        if not wanted:
            return Shown("Nothing is missing for what the workbook computes now.")
        lines, items = [], []
        for n, w in enumerate(wanted, 1):
            tail = f"It helps to decide: {w.decides}. " * bool(w.unlocks) + f"Enter it on the start page: {w.form}."
            lines.append(f"{n}. {_sentence(w.words)} [{w.key}] {tail}")
            items.append(f"<li>{escape(_sentence(w.words))} <code>{escape(w.key)}</code><br>{escape(tail)}</li>")
        more = len(self.results.wanted) - len(lines)
        rest = f"And {more} more, in the forms below." if more > 0 else ""
        return Shown("\n".join([*lines, *filter(None, [rest])]), f"<ol>{''.join(items)}</ol>{rest}")

    @safely
    def inventory(self) -> Shown:
        """What is known: every value of the build, as typed and as read, and how it is known."""
        heads = ("value", "as typed", "read as", "how known")
        shown = _sheets([Table(title, heads, tuple(rows)) for title, rows in inputs(self.build)])
        many = len(self.build.values)
        return Shown(shown.text, f"<details><summary>Show all {many} values</summary>{shown.html}</details>")

    @safely
    def faults(self) -> Shown:
        """What may go wrong with the parts of the build, and the one look that parts the causes of each."""
        lines = faults.rows(faults.faults(self.results))
        return _sheets([Table("Finding a fault", faults.HEADS, tuple(lines))]) if lines else Shown(NOTHING)

    @safely
    def card(self, name: str):
        """Show a card of the record page: ``fault`` asks for looks, ``log`` takes readings over, ``swap`` your part."""
        from jackshaft.start.record_cards import CARDS

        return CARDS[name](self.results)

    @safely
    def how_known(self) -> Shown:
        """How the numbers of the workbook's tables are known, the least certain table first."""
        shown = _sheets([Table("How the numbers of the tables are known", KNOWN_HEADS, tuple(known_rows()))])
        html = f"<p>{known_share()}</p><details><summary>Show all tables</summary>{shown.html}</details>"
        return Shown(f"{known_share()}\n\n{shown.text}", html)

    @safely
    def start(self):
        """The forms of the start page: write down, add, open, make."""
        from jackshaft.start.forms import StartForms

        return StartForms(self.build)

    @safely
    def work_out(self):
        """Show the form that works a value out from what one knows, and keeps it as an estimate."""
        from jackshaft.start.work_out import WorkOutForms

        return WorkOutForms(self.build)

    @safely
    def meter(self):
        """Show the forms that keep what a meter showed along the clutch's circuit."""
        from jackshaft.chapters.electric.meter import MeterForms

        return MeterForms(self.build)

    @safely
    def record(self, notebook: str):
        """The button that renders the record; ``notebook`` is the stem of the page it stands on."""
        from jackshaft.start.forms import RecordForms

        return RecordForms(self.build, notebook)

    @safely
    def sheets(self):
        """The sheets for the shop that this build asks for, and the button that writes them."""
        from jackshaft.start.shop_sheets import SheetForms

        return SheetForms(self.results)

    def bearing_finder(self, *, marking: str = "", tools: Mapping[str, str] | None = None, **readings: str):
        """The finder for a bearing that no build has yet.

        It starts with ``bore``, ``outside``, ``width`` and what it must do, as shop text.

        Raises
        ------
        ValueError
            If a field is called something that the finder does not have.
        """
        from jackshaft.chapters.bearings.lookup import LookupPanel

        return LookupPanel(self.build, readings, tools, marking)

    def data(self, chapter: str):
        """Return the record that a chapter found, numbers in SI units; a NotKnown with the reason where it has none."""
        found = self.results.chapters[chapter]
        return NotKnown(not_worked_out(found).text) if found.data is None else found.data

    def numbers(self, chapter: str) -> dict:
        """Return the facts of a chapter that are one number, as quantities by their labels."""
        facts = self.results.chapters[chapter].facts
        return {f.label: quantity(f.found.si, f.found.kind) for f in facts if isinstance(f.found, Number)}

    def by_hand(self, chapter: str, name: str) -> Worked | NotKnown:
        """Return what a formula takes of this build, as shop text, and what the chapter says of it.

        ``name`` is one of the chapter's examples, such as ``bench.by_hand("ratio", "belt")``. Where the build does not
        tell enough it is a NotKnown, which a formula hands back as it is.
        """
        try:
            example = chapters()[chapter].part("by_hand").EXAMPLES[name]
            return example(Reader(self.build), self.results.chapters)
        except Exception as error:
            return NotKnown(fault_shown(fault_of(error), f"{name} of {chapter}, by hand").text)

    @staticmethod
    def same(by_hand, chapter) -> Agreement:
        """Compare a number worked by hand with the chapter's; true too where there is nothing to compare yet."""
        return agree(by_hand, chapter)

    def panel(self, chapter: str, part: str | None = None):
        """The live panel of a chapter, or a line that says why there is none for this build.

        Where a build has several parts that the panel can be about and none is named, a list over it chooses.
        """
        try:
            module = search_module() if chapter == "search" else chapters()[chapter].part("panel")
            words, parts = getattr(module, "PARTS", ("", lambda build: ()))
            names = () if part else parts(self.build)
            if len(names) > 1:
                from jackshaft.ui.chooser import Chooser

                return Chooser(words, names, module.panel, self.build)
            return module.panel(self.build, part)
        except ValueError as why:
            return Shown(f"No panel here: {why}.")
        except Exception as error:
            fault = self.results.chapters[chapter].fault if chapter in self.results.chapters else None
            return fault_shown(fault or fault_of(error), f"the panel of {chapter}")
