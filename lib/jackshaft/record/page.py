"""A build's results as one self-contained page."""

from __future__ import annotations

import base64
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from jackshaft import tables
from jackshaft.buildfile import NONE, Build, split
from jackshaft.buildfile.naming import named
from jackshaft.buildfile.schema import chapter as schema_chapter
from jackshaft.drawing.pictures import Picture
from jackshaft.record.card import CSS as CARD_CSS
from jackshaft.record.card import card_html, card_page, cards_of
from jackshaft.record.glance import glance
from jackshaft.record.outside import POLICY, OutsideReference, refuse_outside
from jackshaft.record.words import CAUTIONS, MAINS, NO_CERTIFICATE
from jackshaft.render.html import environment
from jackshaft.render.parts import told_once
from jackshaft.results import Results, chapters, label
from jackshaft.results.checks import CAUTION, STOP
from jackshaft.tables import in_words as source_words
from jackshaft.tables import key_and_place
from jackshaft.tables.knowing import how_known
from jackshaft.units import Measure, both

#: Over the columns of :func:`known_rows`.
KNOWN_HEADS = ("table", "from memory", "rows from memory", "common practice", "derived", "read")


@dataclass(frozen=True)
class Inlined:
    """A picture ready to stand in the page."""

    title: str
    alt: str
    base64: str


def page(results: Results, pictures: Mapping[str, Sequence[Picture]]) -> str:
    """Return the record of a build as one HTML page that refers to nothing outside itself.

    Raises
    ------
    OutsideReference
        If something on the page would be fetched from elsewhere.
    """
    build = results.build
    todo = told_once(
        sorted(
            (c for c in results.checks if c.verdict in (STOP, CAUTION)),
            key=lambda c: (c.verdict != STOP, c.accepted is not None),
        )
    )
    html = (
        environment()
        .get_template("page.html.j2")
        .render(
            policy=POLICY,
            build=build,
            results=results,
            chapters=tuple(results.chapters.values()),
            dense=tuple(name for name, chapter in chapters().items() if chapter.dense),
            pictures={name: [_inline(p) for p in found] for name, found in pictures.items()},
            get=build.get,
            header=_header(build),
            glance=glance(results),
            cautions=CAUTIONS + (MAINS if build.get("engine.kind") == "electric motor" else ()),
            no_certificate=NO_CERTIFICATE,
            todo=todo,
            above={c.id: number for number, c in enumerate(todo, 1)},
            places={c.title: name for name, c in results.chapters.items()},
            label=label,
            inputs=inputs(build),
            unknown=results.wanted,
            sources=_sources(results),
            source_words=source_words,
            departures=_departures(),
            known=known_rows(),
            known_share=known_share(),
            known_heads=KNOWN_HEADS,
            cards=[
                (name, None if isinstance(card, str) else card_html(card, results), card)
                for name, card in cards_of(results).items()
            ],
            card_css=CARD_CSS,
        )
    )
    refuse_outside(html)
    return html


def card_pages(results: Results) -> dict[str, str]:
    """Return a page for each fitting card, by the bearing's name.

    Raises
    ------
    OutsideReference
        If something on a page would be fetched from elsewhere.
    """
    pages = {name: card_page(card, results) for name, card in cards_of(results).items() if not isinstance(card, str)}
    for html in pages.values():
        refuse_outside(html)
    return pages


def _inline(picture: Picture) -> Inlined:
    return Inlined(picture.title, picture.alt, base64.b64encode(picture.png).decode("ascii"))


def _header(build: Build) -> str:
    words = []
    for key, before in (
        ("builder", "built by "),
        ("date", ""),
        ("revision", "revision "),
        ("status", ""),
        ("place", ""),
    ):
        if build.get(key):
            words.append(f"{before}{build.get(key)}")
    words.append(f"shown in {'inch' if build.system == 'inch' else 'metric'} units")
    return " · ".join(words)


def inputs(build: Build) -> list[tuple[str, list[tuple[str, str, str, str]]]]:
    """Return every value of a build, a group for each chapter or item: name, as typed, as read, how known."""
    groups: dict[str, list[tuple[str, str, str, str]]] = {}
    for key, value in build.values.items():
        *path, (last, _) = split(key)
        if value is NONE:
            groups.setdefault("Said not to exist", []).append((key.replace("_", " "), "none", "none", ""))
            continue
        if key == "schema":
            continue
        title = _group(path)
        if isinstance(value, Measure):
            read_as = value.text if value.kind == "number" else both(value.si, value.kind, build.system)
            row = (last.replace("_", " "), value.text, read_as, value.known or "")
        else:
            text = {True: "yes", False: "no"}.get(value, str(value)) if isinstance(value, bool) else str(value)
            row = (last.replace("_", " "), text, text, "")
        if last != "name" or not path:
            groups.setdefault(title, []).append(row)
    return list(groups.items())


def _group(path: Sequence[tuple[str, str | None]]) -> str:
    if not path:
        return "The build"
    words = []
    for depth, (name, item) in enumerate(path):
        section = schema_chapter(name) if depth == 0 else None
        word = name.replace("_", " ") if item else (section.title if section else name.replace("_", " "))
        words.append(named(word, item) if item else word)
    text = ", ".join(words)
    return text[0].upper() + text[1:]


def _sources(results: Results) -> list[str]:
    """Return each source once, with every place in it that was used."""
    places: dict[str, list[str]] = {}
    for key in results.sources():
        name, locator = key_and_place(key)
        places.setdefault(source_words(name), []).extend([locator] if locator else [])
    return [title + (f": {'; '.join(found)}" if found else "") for title, found in places.items()]


def known_rows() -> list[tuple[str, ...]]:
    """Return each table of numbers and how its rows are known, the least certain first, under ``KNOWN_HEADS``."""
    return [
        (k.table.replace("_", " "), f"{100 * k.from_memory:.0f} %", *(str(n) for n in reversed(k.counts)))
        for k in how_known(map(tables.table, tables.names()))
    ]


def known_share() -> str:
    """Return in words how many rows of all tables are from memory."""
    found = how_known(map(tables.table, tables.names()))
    rows, memory = sum(k.rows for k in found), sum(k.counts[-1] for k in found)
    return (
        f"{memory} of {rows} rows ({100 * memory / rows:.0f} %) are from memory in one part at least. A row counts by "
        "its weakest part. Look up what is from memory before you cut metal, buy or load anything by it."
    )


def _departures() -> list[tuple[str, str, str, str]]:
    return [
        (f"{source_words(d.source)}, {d.locator}", f"{d.answer}: {d.printed}", d.ours, d.why)
        for d in tables.departures()
    ]


__all__ = [
    "KNOWN_HEADS",
    "OutsideReference",
    "card_pages",
    "inputs",
    "known_rows",
    "known_share",
    "page",
    "refuse_outside",
    "source_words",
]
