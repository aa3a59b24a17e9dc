"""The rules of style that tables and verdicts of a notebook cell share.

They go out with the title of the page. A viewer that drops them still shows every word in order. On a
phone a table of many columns becomes a block for each row, and a picture keeps a width at which it can be read; where
that is wider than the screen, a line below it says to swipe.
"""

from __future__ import annotations

from jackshaft.drawing.palette import DARK_CSS
from jackshaft.render.html import CLASSES
from jackshaft.ui.style import COLOURS

_RULES = """
.jp-RenderedHTMLCommon table.jk-facts :is(th, td) { text-align: left; vertical-align: top; }
.jp-RenderedHTMLCommon table.jk-facts th { font-weight: 400; max-width: 18em; }
.jp-RenderedHTMLCommon :is(table.jk-facts .jk-note, .jk-limit, .jk-source) { opacity: 0.75; font-weight: 400; }
.jp-RenderedHTMLCommon table.jk-sheet caption { text-align: left; }
.jp-RenderedHTMLCommon ul.jk-checks { list-style: none; margin-left: 0; padding-left: 0; }
.jp-RenderedHTMLCommon ul.jk-checks > li { margin: 0 0 0.5em; padding: 0 0 0.4em;
  border-bottom: 1px solid var(--jp-border-color2, #ccc); }
.jp-RenderedHTMLCommon ul.jk-cautions { list-style: none; margin-left: 0; padding-left: 0; }
.jp-RenderedHTMLCommon ul.jk-cautions > li { padding: 0.35em 0;
  border-bottom: 1px solid var(--jp-border-color2, #ccc); }
.jp-RenderedHTMLCommon ul.jk-cautions summary { cursor: pointer; }
.jp-RenderedHTMLCommon .jk-source { font-size: 0.88em; }
.jp-RenderedHTMLCommon ul.jk-verdicts { list-style: none; margin: 0.3em 0; padding: 0; display: flex; flex-wrap: wrap;
  gap: 0.4em; }
.jp-RenderedHTMLCommon ul.jk-verdicts > li { margin: 0; }
.jp-RenderedHTMLCommon ul.jk-verdicts .jk-badge { display: inline-block; }
.jp-RenderedHTMLCommon .jk-badge { border: 1.5px solid; border-radius: 4px; padding: 0 0.45em; font-weight: 600; }
.jp-RenderedHTMLCommon ul.jk-checks .jk-badge { white-space: nowrap; }
@media (max-width: 40rem) {
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
/* A stored picture is light; turned over it has the colours of a panel's dark one, nearly. */
[data-jp-theme-light="false"] .jp-RenderedImage img[width="720"] { filter: invert(0.92) hue-rotate(180deg); }
@media (max-width: 36rem) {
  .jp-RenderedImage { overflow-x: auto; }
  .jp-RenderedImage img { width: 34rem !important; max-width: none !important; }
  .jp-RenderedImage::after { content: "Swipe the picture sideways to see all of it."; display: block; position: sticky;
    left: 0; padding: 0.2em 0; font-size: 0.88em; opacity: 0.75; }
}
"""


_DARK = '[data-jp-theme-light="false"] '


def _colours(which: int) -> str:
    theme = _DARK if which else ""
    return "\n".join(
        f"{theme}.jp-RenderedHTMLCommon .jk-badge.jk-{name} {{ color: {COLOURS[name][which]}; }}"
        for name in CLASSES.values()
    )


PAGE_CSS = f"<style>{_RULES}{DARK_CSS}\n{_colours(0)}\n{_colours(1)}</style>"
