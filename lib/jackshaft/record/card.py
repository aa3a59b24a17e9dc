"""A bearing's fitting card as HTML: one page on paper, one column on a phone, nothing fetched from outside."""

from __future__ import annotations

from html import escape

from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.chapters.bearings.card_figure import section_svg
from jackshaft.chapters.bearings.data import Card
from jackshaft.record.outside import POLICY
from jackshaft.record.words import NO_CERTIFICATE
from jackshaft.results import Results
from jackshaft.results.checks import CAUTION, STOP, SYMBOLS

CSS = """
.fit-card { max-width: 50rem; color: #1d2a33; background: #fff; border: 2px solid #1d2a33; border-radius: 6px;
  padding: .6rem .9rem .7rem; margin: .8rem 0; font: 15px/1.4 system-ui, "DejaVu Sans", Arial, sans-serif;
    box-sizing: border-box; }
.fit-card h3 { font-size: 1.2rem; line-height: 1.25; margin: 0 0 .1rem; padding: 0; border: 0; color: inherit; }
.fit-card h4 { font-size: 1rem; margin: .6rem 0 .2rem; color: inherit; }
.fit-card p { margin: .15rem 0; max-width: none; }
.fit-card .ask { font-size: 1.1rem; } .fit-card .quiet { color: #55646f; font-size: .88rem; }
.fit-card .top { display: grid; grid-template-columns: minmax(0, 1fr); gap: .2rem 1.2rem; align-items: start; }
.fit-card svg { display: block; width: 100%; max-width: 330px; height: auto; }
.fit-card dl { display: grid; grid-template-columns: 7.2rem minmax(0, 1fr); gap: .15rem .7rem; margin: .2rem 0; }
.fit-card :is(dt, dd) { float: none; width: auto; margin: 0; padding: 0; overflow-wrap: anywhere; }
.fit-card dt { color: #55646f; font-weight: 400; } .fit-card :is(h3, h4) { font-weight: 700; }
.fit-card ol { margin: .1rem 0 .2rem; padding-left: 1.5rem; } .fit-card li { margin: .12rem 0; }
.fit-card .seats p { border-top: 1px solid #c4ccd1; padding-top: .15rem; }
.fit-card .bad { color: #a11d24; } .fit-card .warn { border: 2px solid #a11d24; border-radius: 5px;
  padding: .25rem .7rem; margin-top: .5rem; }
.fit-card .fill { display: grid; gap: .1rem; margin-top: .5rem; }
  .fit-card .fill p { border-bottom: 1px solid #55646f; padding-top: .7rem; }
@media (max-width: 30rem) { .fit-card dl { grid-template-columns: minmax(0, 1fr); gap: 0; }
  .fit-card dd { margin-bottom: .25rem; } }
@media (min-width: 46rem) { .fit-card .top { grid-template-columns: 330px minmax(0, 1fr); }
  .fit-card .steps { display: grid; grid-template-columns: 1fr 1fr; gap: 0 1.4rem; } }
@media print { .fit-card { break-before: page; break-inside: avoid; max-width: none; margin: 0; font-size: 8.7pt;
  line-height: 1.26; padding: .3rem .7rem .4rem; }
  .fit-card h3 { font-size: 12pt; } .fit-card h4 { font-size: 10pt; margin-top: .35rem; }
    .fit-card .ask { font-size: 11pt; }
  .fit-card .quiet { font-size: 8pt; } .fit-card svg { max-width: 235px; }
  .fit-card .top { grid-template-columns: 235px minmax(0, 1fr); }
    .fit-card dl { grid-template-columns: 5.8rem minmax(0, 1fr); }
  .fit-card .steps { display: grid; grid-template-columns: 1fr 1fr; gap: 0 1.2rem; } .fit-card li { margin: .06rem 0; }
  .fit-card .fill p { padding-top: .5rem; } }
"""

PAGE_CSS = """
body { margin: 0 auto; padding: .5rem; max-width: 52rem; background: #fdfcf8; }
@media print { body { padding: 0; max-width: none; background: #fff; } .fit-card { break-before: auto; }
  @page { margin: 12mm; } }
"""

HOUSING = "<p>Housing as found, three places:</p>"


def card_html(card: Card, results: Results) -> str:
    """Return the card as a piece of a page; its style is ``CSS``.

    Parameters
    ----------
    card : Card
        The card.
    results : Results
        What it belongs to: a stop of this bearing stands on its card too.
    """
    build = results.build
    facts = "".join(f"<dt>{escape(about)}</dt><dd>{escape(words)}</dd>" for about, words in card.rows)
    seats = "".join(
        f"<p><strong>{escape(what)} {escape(name)}, {escape(tight)}:</strong> {escape(limits)}; "
        f'<strong>{escape(off)}</strong> from nominal <span class="quiet">by {escape(by)}</span></p>'
        for what, name, tight, limits, off, by in card.seats
    )
    red = " Thick red line: the tight seat." if card.tight else ""
    on, off = ("".join(f"<li>{escape(s)}</li>" for s in steps) for steps in (card.on, card.off))
    warn = " ".join(escape(c) for c in card.cautions)
    stops = "".join(
        f'<p class="bad"><strong>{SYMBOLS[STOP]} Not yet:</strong> {escape(words)}</p>\n'
        for words in stops_of(card, results)
    )
    return (
        f'<section class="fit-card" aria-label="Fitting card {escape(card.bearing)}">\n<h3>Fitting card: bearing'
        f' {escape(card.bearing)}</h3>\n<p class="quiet">{escape(build.name)}, build {fingerprint(build)}</p>\n'
        f'{stops}<p class="ask">Ask for'
        f" <strong>{escape(card.ask)}</strong>{escape(card.with_it)}</p>\n<p"
        f' class="quiet">{escape("; ".join(card.explained))}</p>\n<div'
        f' class="top"><div>{section_svg(card, build.system)}<p class="quiet">To scale.{red}</p></div>\n'
        f'<dl>{facts}</dl></div>\n<div class="seats"><h4>Seats to machine</h4>{seats}</div>\n<div'
        f' class="steps"><div><h4>On</h4><ol>{on}</ol></div><div><h4>Off</h4><ol>{off}</ol></div></div>\n<p'
        f' class="warn"><strong>Caution.</strong> {warn}</p>\n<div class="fill"><p>Seat as found, three'
        f" places:</p>{HOUSING if card.tight else ''}</div>\n<p"
        f' class="quiet">{escape(NO_CERTIFICATE)}</p>\n</section>'
    )


def stops_of(card: Card, results: Results) -> list[str]:
    """Return why a bearing is not to be fitted yet, with cures: its stops, and a size that the readings leave open."""
    mine = [c for c in results.of("bearings") if c.id.endswith(f"[{card.bearing}]") and c.accepted is None]
    return [
        f"{c.name}: {c.value}. {c.remedy}"
        for c in mine
        if c.verdict == STOP or (c.verdict == CAUTION and c.id.startswith("bearings.identity"))
    ]


def card_text(card: Card, results: Results) -> str:
    """Return the card as plain text."""
    lines = [
        f"Fitting card: bearing {card.bearing}",
        *(f"Not yet: {words}" for words in stops_of(card, results)),
        f"ask for: {card.ask}{card.with_it}",
        f"  {'; '.join(card.explained)}",
        f"size: {card.size}",
    ]
    lines += [f"{about}: {words}" for about, words in card.rows]
    lines += [
        f"{what} {name}, {tight}: {limits}; {off} from nominal, by {by}"
        for what, name, tight, limits, off, by in card.seats
    ]
    lines += [f"on, step {n}: {s}" for n, s in enumerate(card.on, 1)] + [
        f"off, step {n}: {s}" for n, s in enumerate(card.off, 1)
    ]
    return "\n".join([*lines, *(f"Caution: {c}" for c in card.cautions)])


def card_page(card: Card, results: Results) -> str:
    """Return the card as a page of its own, to print and take to the press."""
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f"{POLICY}\n"
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>Fitting card: {escape(card.bearing)},"
        f" {escape(results.build.name)}</title>\n<style>{CSS}{PAGE_CSS}</style>\n</head>\n"
        f"<body>\n{card_html(card, results)}\n</body>\n</html>\n"
    )


def cards_of(results: Results) -> dict[str, Card | str]:
    """Return each bearing's card by name, or the words that say why it has none yet."""
    data = getattr(results.chapters.get("bearings"), "data", None)
    return {} if data is None else data.cards


__all__ = ["CSS", "card_html", "card_page", "card_text", "cards_of", "stops_of"]
