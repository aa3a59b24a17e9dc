"""What is printed on a belt: its section, its length and the line that is meant, and how many belts or ribs it has."""

import re
from typing import NamedTuple

from jackshaft.tables import table

#: Sections that the trade marks otherwise; a cogged narrow belt is as long as the plain one of its number.
ALIKE = {
    "XPZ": "SPZ",
    "XPA": "SPA",
    "XPB": "SPB",
    "XPC": "SPC",
    "3VX": "3V",
    "5VX": "5V",
    "8VX": "8V",
    "HAA": "AA",
    "HBB": "BB",
    "HCC": "CC",
}

#: Sections that are cogged and have no row of their own.
COGGED = ("XPZ", "XPA", "XPB", "XPC", "3VX", "5VX", "8VX")

#: Line of a length by the letter behind it: inside, datum ("Wirklänge" in older lists), pitch, outside, effective.
LINES = {"LI": "inside", "LD": "datum", "LW": "datum", "LP": "pitch", "LA": "outside", "LE": "effective"}

TENTH = 2.54  # mm

_NUMBER = r"(\d+(?:[.,]\d+)?)"
_TAIL = r"(?:\s*(L[IDWPAE]|MM|IN|\"|K))?"
_RIBBED = re.compile(rf"(?:(\d{{1,2}})\s*-?\s*)?(?:D|E)?P([HJKLM])\s*-?\s*{_NUMBER}{_TAIL}$")
_TENTHS = re.compile(r"(\d{2,4})\s*([HJKLM])\s*(\d{1,2})$")
_CAR = re.compile(r"K\s*(\d{2})(\d{4})$")
_WIDTH = re.compile(rf"(AVX\s*)?(\d{{1,2}}(?:[.,]5)?)\s*[X×*]\s*{_NUMBER}{_TAIL}$")
_PLAIN = re.compile(rf"(\d{{0,2}}[A-Z]{{1,3}})\s*-?\s*{_NUMBER}{_TAIL}$")
_BANDED = re.compile(r"^(\d{1,2})\s*/\s*(?=\S)|\s*/\s*(\d{1,2})\s*R?$|\s*-\s*(\d{1,2})R$")
#: Words and colours of a maker behind the marking: no figures in them.
_WORDS = re.compile(r"[\s,]+(?!L[IDWPAE]\b|MM\b|IN\b)[^\W\d][^\d]*$")


class Unreadable(ValueError):
    """A marking that does not say a section and one length; its text says what was found."""


class Marking(NamedTuple):
    """What a marking says.

    ``section`` is that of the tables, ``printed`` as it stands on the belt; ``number`` its number, and ``unit_mm`` what
    one of it is where the marking says so itself, else None (the section's own rule counts). ``line`` is the length's
    line where the marking says it. ``belts`` is the belts of a banded one or the ribs of a ribbed one, None where the
    marking does not tell; ``tail`` what a maker adds.
    """

    section: str
    printed: str
    number: float
    unit_mm: float | None = None
    line: str | None = None
    belts: int | None = None
    ribbed: bool = False
    tail: str = ""

    @property
    def cogged(self) -> bool:
        """Whether it is a cogged belt of a section that the tables have plain only."""
        return self.printed in COGGED


def read_marking(text: str) -> Marking:
    """Read a belt's marking.

    Parameters
    ----------
    text : str
        As printed: "A68", "ax60", "SPA 1857", "2/B97", "B97/2R", "6PK1438", "630 J 6", "K060923", "13x1280 Li",
        "4L460K", with or without a maker's words behind it.

    Returns
    -------
    Marking

    Raises
    ------
    Unreadable
        Where it holds no section with one length, or is of a kind that the tables do not have.

    Source
    ------
    trade-practice and the sources of table belt_markings; "6 PJ 1600" is "630 J 6": ribbed-sheet-a, p. 56; "K060923":
    six ribs, 92.3 in, from memory
    """
    said = text.strip().upper()
    words = _WORDS.search(said)
    core = said[: words.start()].strip() if words else said
    tail = text.strip()[words.start() :].strip(" ,") if words else ""
    banded = _BANDED.search(core)
    belts = None
    if banded:
        belts = int(next(g for g in banded.groups() if g))
        core = (core[: banded.start()] + core[banded.end() :]).strip()
    found = _ribbed(core) or _by_width(core) or _plain(core)
    if found is None or belts == 0 or (banded and found.ribbed):
        raise Unreadable(f"{text.strip()!r} is no belt marking; wanted a section and a number, such as A68 or SPA 1800")
    return found._replace(belts=belts or found.belts, tail=tail or found.tail)


def _float(text: str) -> float:
    return float(text.replace(",", "."))


def _ribbed(core: str) -> Marking | None:
    if hit := _RIBBED.match(core):
        ribs, letter, number, line = hit.groups()
        inch = line in ("IN", '"')
        return Marking(
            f"P{letter}",
            f"P{letter}",
            _float(number),
            25.4 if inch else 1.0,
            line=LINES.get(line or "", "effective"),
            belts=int(ribs) if ribs else None,
            ribbed=True,
        )
    if hit := _TENTHS.match(core):
        tenths, letter, ribs = hit.groups()
        number = float(tenths)
        return Marking(f"P{letter}", letter, number, TENTH, line="effective", belts=int(ribs), ribbed=True)
    if hit := _CAR.match(core):
        return Marking("PK", "K", float(hit[2]), TENTH, line="effective", belts=int(hit[1]), ribbed=True)
    return None


def _by_width(core: str) -> Marking | None:
    hit = _WIDTH.match(core)
    if hit is None:
        return None
    car, width, number, line = hit.groups()
    rows = [r for r in table("belt_sections").where(system="metric").rows if r["also_called"] == width.rstrip(" ")]
    if car or not rows or line == "K":
        kind = "a car's belt" if car or "5" in width.split(",")[-1].split(".")[-1] else "a belt"
        raise Unreadable(f"'{core}' is {kind} {width} mm wide, a section that the tables do not have")
    return Marking(rows[0]["section"], width, _float(number), 1.0, line=LINES.get(line or ""))


def _plain(core: str) -> Marking | None:
    hit = _PLAIN.match(core)
    if hit is None:
        return None
    printed, number, tail = hit.groups()
    name = ALIKE.get(printed, printed)
    if not table("belt_sections").where(section=name).rows:
        also = [r for r in table("belt_sections").rows if printed == r["also_called"] and r["system"] == "inch"]
        if not also:
            return None
        return Marking(also[0]["section"], printed, _float(number), 1.0, line="effective")
    unit = {"MM": 1.0, "IN": 25.4, '"': 25.4}.get(tail or "", 1.0 if tail in LINES else None)
    return Marking(name, printed, _float(number), unit, line=LINES.get(tail or ""), tail="K" if tail == "K" else "")


def in_full(belt, name: str, line: str) -> str:
    """Return a belt's name with the line that its number is on, where the name alone does not say it: "A 1640 Ld".

    Some makers number metric classical belts by the inside length, some by the datum length.
    """
    needs = belt.system == "metric" and belt.family == "classical" and line == "datum"
    return f"{name} Ld" if needs and not name.endswith("Ld") else name


__all__ = ["ALIKE", "COGGED", "LINES", "Marking", "Unreadable", "in_full", "read_marking"]
