"""Tables and verdicts of a notebook cell as text and as HTML, and the rules of style that they share.

The rules go out with the title of the page. A viewer that drops them still shows every word in order. On a
phone a table of many columns becomes a block for each row, and a picture keeps a width at which it can be read.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from html import escape

from jackshaft.results.checks import CAUTION, GO, STOP, SYMBOLS, UNDECIDED, Table
from jackshaft.ui.style import COLOURS

_FIGURE = re.compile(r"[-+−]?[\d.,]+( ?[^\s\d(]\S*)?")

#: A table of so many columns does not fit across a phone.
STACKED = 4

_VERDICTS = {GO: "go", CAUTION: "caution", STOP: "stop", UNDECIDED: "unknown"}

_RULES = """
.jp-RenderedHTMLCommon table.jk-facts :is(th, td) { text-align: left; vertical-align: top; }
.jp-RenderedHTMLCommon table.jk-facts th { font-weight: 400; max-width: 18em; }
.jp-RenderedHTMLCommon :is(table.jk-facts .jk-note, .jk-limit, .jk-source) { opacity: 0.75; font-weight: 400; }
.jp-RenderedHTMLCommon table.jk-sheet caption { text-align: left; }
.jp-RenderedHTMLCommon ul.jk-checks { list-style: none; margin-left: 0; padding-left: 0; }
.jp-RenderedHTMLCommon ul.jk-checks > li { margin: 0 0 0.5em; padding: 0 0 0.4em;
  border-bottom: 1px solid var(--jp-border-color2, #ccc); }
.jp-RenderedHTMLCommon .jk-source { font-size: 0.88em; }
.jp-RenderedHTMLCommon ul.jk-verdicts { list-style: none; margin: 0.3em 0; padding: 0; display: flex; flex-wrap: wrap;
  gap: 0.4em; }
.jp-RenderedHTMLCommon ul.jk-verdicts > li { margin: 0; }
.jp-RenderedHTMLCommon ul.jk-verdicts .jk-badge { display: inline-block; }
.jp-RenderedHTMLCommon .jk-badge { border: 1.5px solid; border-radius: 4px; padding: 0 0.45em; font-weight: 600; }
.jp-RenderedHTMLCommon ul.jk-checks .jk-badge { white-space: nowrap; }
@media (max-width: 40rem) {
  .jp-RenderedImage { overflow-x: auto; }
  .jp-RenderedImage img { width: 34rem !important; max-width: none !important; }
  .jp-RenderedHTMLCommon table.jk-stack { width: 100%; }
  .jp-RenderedHTMLCommon table.jk-stack thead { display: none; }
  .jp-RenderedHTMLCommon table.jk-stack :is(caption, tbody, tr) { display: block; }
  .jp-RenderedHTMLCommon table.jk-stack tr { padding: 0.3em 0.2em; border-bottom: 1px solid #8896a0; }
  .jp-RenderedHTMLCommon table.jk-stack td { display: grid; grid-template-columns: 6.5em 1fr; gap: 0.5em;
    padding: 0.1em 0; text-align: left !important; overflow-wrap: anywhere; }
  .jp-RenderedHTMLCommon table.jk-stack td:first-child { font-weight: 600; }
  .jp-RenderedHTMLCommon table.jk-stack td:empty { display: none; }
  .jp-RenderedHTMLCommon table.jk-stack td::before { content: attr(data-name); font-weight: 400; opacity: 0.75; }
}
"""


_DARK = '[data-jp-theme-light="false"] '


def _colours(which: int) -> str:
    theme = _DARK if which else ""
    return "\n".join(
        f"{theme}.jp-RenderedHTMLCommon .jk-badge.jk-{name} {{ color: {COLOURS[name][which]}; }}"
        for name in _VERDICTS.values()
    )


PAGE_CSS = f"<style>{_RULES}{_colours(0)}\n{_colours(1)}</style>"


def sheet_text(sheet: Table) -> str:
    """Return a table as lines of text, its columns under each other.

    Parameters
    ----------
    sheet : Sheet
        The table.
    """
    widths = [max(len(r[i]) for r in (sheet.headings, *sheet.rows)) for i in range(len(sheet.headings))]
    lines = [sheet.title] + [
        "  ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)).rstrip()
        for row in (sheet.headings, *sheet.rows)
    ]
    return "\n".join(lines + ([sheet.note] if sheet.note else []))


def sheet_html(sheet: Table) -> str:
    """Return a table as HTML; one of many columns also reads as a list of rows on a phone.

    Parameters
    ----------
    sheet : Sheet
        The table.
    """
    # Jupyter sets every cell to the right; words read better from the left, figures under each other
    looks = [
        ' style="text-align:left"' if words else ""
        for words in (not _figures(c) for c in zip(*sheet.rows, strict=True))
    ]
    looks = looks or [""] * len(sheet.headings)
    stacked = len(sheet.headings) >= STACKED
    names = [f' data-name="{escape(h)}"' if stacked else "" for h in sheet.headings]
    head = "".join(f'<th scope="col"{k}>{escape(h)}</th>' for k, h in zip(looks, sheet.headings, strict=True))
    rows = "\n".join(
        "<tr>" + "".join(f"<td{n}{k}>{escape(c)}</td>" for n, k, c in zip(names, looks, row, strict=True)) + "</tr>"
        for row in sheet.rows
    )
    note = f"<p>{escape(sheet.note)}</p>" if sheet.note else ""
    return (
        f'<div style="overflow-x:auto"><table class="jk-sheet{" jk-stack" if stacked else ""}" '
        f'style="margin-left:0">\n<caption style="text-align:left"><strong>{escape(sheet.title)}</strong></caption>\n'
        f"<thead><tr>{head}</tr></thead>\n<tbody>\n{rows}\n</tbody></table></div>\n{note}"
    )


def verdicts_html(line: Iterable[tuple[str, str, str]]) -> str:
    """Return the verdict strip as a row of tags, each with its sign and its word.

    Parameters
    ----------
    line : iterable of (str, str, str)
        Title of the chapter, its verdict, and the verdict in words.
    """
    items = "\n".join(
        f'<li><span class="jk-badge jk-{_VERDICTS[verdict]}">{SYMBOLS[verdict]} {escape(title)}: {escape(words)}'
        "</span></li>"
        for title, verdict, words in line
    )
    return f'<ul class="jk-verdicts">\n{items}\n</ul>'


def _figures(column: tuple[str, ...]) -> bool:
    """Tell whether a column holds figures: each cell that is not empty is one, with a unit at the most."""
    cells = [c for c in column if c]
    return bool(cells) and all(_FIGURE.fullmatch(c) for c in cells)
