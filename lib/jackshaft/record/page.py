"""A build's results as one self-contained page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from jackshaft import tables
from jackshaft.buildfile import NONE, Build, BuildProblems, split
from jackshaft.buildfile.candidates import LIST as CANDIDATES
from jackshaft.buildfile.candidates import differences, stored
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.buildfile.model import at_or_below
from jackshaft.buildfile.naming import named
from jackshaft.buildfile.schema import chapter as schema_chapter
from jackshaft.drawing.pictures import Picture
from jackshaft.photos import Taken
from jackshaft.record import sheets
from jackshaft.record.card import CSS as CARD_CSS
from jackshaft.record.card import card_html, card_page, cards_of
from jackshaft.record.glance import glance
from jackshaft.record.lined_up import Sheet, sheet
from jackshaft.record.notes import Notes
from jackshaft.record.opening import lines, overall, todo, undecided, verdict_of
from jackshaft.record.outside import POLICY, OutsideReference, refuse_outside
from jackshaft.record.ride import link
from jackshaft.record.shots import shots, still_to_take
from jackshaft.record.words import CAUTIONS, MAINS, NO_CERTIFICATE, WARNING
from jackshaft.render.html import environment
from jackshaft.render.parts import told_once
from jackshaft.results import Results
from jackshaft.results.checks import CAUTION, STOP, Table
from jackshaft.results.findings import Findings
from jackshaft.tables import in_words as source_words
from jackshaft.tables.knowing import how_known
from jackshaft.units import Measure, both

#: Over the columns of :func:`known_rows`.
KNOWN_HEADS = ("table", "from memory", "rows from memory", "common practice", "derived", "read")


#: Over the columns of :func:`considered`.
CONSIDERED_HEADS = ("candidate", "what differs", "why not taken", "found then", "kept")


class Told(NamedTuple):
    """A chapter as the page shows it: its facts as rows, and its tables ready to be set."""

    name: str
    title: str
    state: str
    words: str
    cautions: tuple[str, ...]
    rows: tuple[tuple[str, str, str], ...]
    sheets: tuple[tuple[Table, Sheet], ...]


def page(results: Results, pictures: Mapping[str, Sequence[Picture]], taken: Taken | None = None) -> str:
    """Return the record of a build as one HTML page that refers to nothing outside itself.

    ``taken`` are its photographs.

    Raises
    ------
    OutsideReference
        If something on the page would be fetched from elsewhere.
    """
    html = (
        environment()
        .get_template("page.html.j2")
        .render(**_opening(results, pictures), **_body(results, pictures), **_photographs(results, taken or Taken()))
    )
    refuse_outside(html)
    return html


def _opening(results: Results, pictures: Mapping[str, Sequence[Picture]]) -> dict[str, object]:
    """Return what the first pages are made from: verdict, drawing, cautions, chapters and what needs doing."""
    build = results.build
    needs = todo(
        told_once(
            sorted(
                (c for c in results.checks if c.verdict in (STOP, CAUTION)),
                key=lambda c: (c.verdict != STOP, c.accepted is not None),
            )
        )
    )
    above = {t.check.id: number for number, t in enumerate(needs, 1)}
    still = undecided(results)
    numbered = above | {id: number for number, o in enumerate(still, len(needs) + 1) for id in o.ids}
    mains = MAINS if build.get("engine.kind") == "electric motor" else ()
    mark = fingerprint(build)
    return {
        "policy": POLICY,
        "build": build,
        "get": build.get,
        "header": _header(build),
        "fingerprint": mark,
        "running": _running(build),
        "file_link": link(build),
        "verdict": verdict_of(results),
        "overall": overall(results),
        "machine": next(iter(pictures.get("layout", ())), None),
        "warning": WARNING + mains[:1],
        "cautions": CAUTIONS,
        "no_certificate": NO_CERTIFICATE,
        "lines": lines(results, numbered),
        "glance": [(what, value, "") for what, value in glance(results)],
        "todo": needs,
        "open": still,
        "above": above,
    }


def _body(results: Results, pictures: Mapping[str, Sequence[Picture]]) -> dict[str, object]:
    """Return what the chapters, the lists and the sheets are made from."""
    cards = cards_of(results).items()
    return {
        **sheets.values(results),
        "results": results,
        "chapters": [_told(c) for c in results.chapters.values()],
        "pictures": pictures,
        "notes": Notes(results),
        "inputs": [(title, [_in_short(row) for row in rows]) for title, rows in inputs(results.build)],
        "unknown": results.wanted,
        "considered": sheet(CONSIDERED_HEADS, considered(results.build)),
        "departures": sheet(("source", "printed", "ours", "why"), _departures()),
        "known": sheet(KNOWN_HEADS, known_rows()),
        "known_share": known_share(),
        "cards": [(name, None if isinstance(c, str) else card_html(c, results), c) for name, c in cards],
        "card_css": CARD_CSS,
    }


def _photographs(results: Results, taken: Taken) -> dict[str, object]:
    """Return what the photographs are set from."""
    return {"shots": shots(taken, results.chapters), "to_take": still_to_take(results.build, taken)}


def _told(c: Findings) -> Told:
    return Told(
        c.name,
        c.title,
        c.state,
        c.words,
        tuple(c.cautions),
        tuple((f.label, f.value, f.note) for f in c.facts),
        tuple((t, sheet(t.headings, t.rows)) for t in c.tables),
    )


def _in_short(row: tuple[str, str, str, str]) -> tuple[str, str, str]:
    """Return what a value is, as it was typed with what was read from it, and how it is known."""
    what, typed, read_as, known = row
    return what, read_as if read_as.startswith(typed) else f"{typed}: {read_as}", known


def _running(build: Build) -> str:
    """Return the foot of each printed page: the build and its fingerprint."""
    return _in_css(f"{build.name[:70]}, build {fingerprint(build)}")


def side_sheets(results: Results) -> dict[str, str]:
    """Return the buying list and the first run as pages of their own, by the names of their files."""
    return sheets.sheet_pages(results, _running(results.build))


def _in_css(text: str) -> str:
    """Return a text as the inside of a string of a style sheet, where nothing ends the string or the sheet."""
    return "".join(c if c.isascii() and (c.isalnum() or c in " ,.") else f"\\{ord(c):x} " for c in text)


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
    """Return the values of a build, candidates left out, a group for each part: name, as typed, as read, how known."""
    groups: dict[str, list[tuple[str, str, str, str]]] = {}
    for key, value in build.values.items():
        *path, (last, _) = split(key)
        if value is NONE:
            groups.setdefault("Said not to exist", []).append((key.replace("_", " "), "none", "none", ""))
            continue
        if key == "schema" or at_or_below(key, CANDIDATES):
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


def considered(build: Build) -> list[tuple[str, ...]]:
    """Return each candidate that the build is not by now, under ``CONSIDERED_HEADS``."""
    rows = []
    for one in stored(build):
        try:
            differ = differences(build, one)
        except BuildProblems as error:
            words = f"it does not go with the build as it is now: {error}"
        else:
            if not differ and one.changes.strip():
                continue
            words = "; ".join(f"{key} = {theirs} (the build: {mine})" for key, theirs, mine in differ) or "nothing"
        rows.append((one.name, words, one.reason or "no reason given", one.found or "not written down", one.date))
    return rows


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
    "side_sheets",
    "source_words",
]
