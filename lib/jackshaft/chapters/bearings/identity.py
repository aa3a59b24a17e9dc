"""Which bearing it is: readings of one bearing, the sizes they could mean, and what decides between them."""

from __future__ import annotations

from functools import lru_cache

from jackshaft import tables
from jackshaft.chapters.bearings import identity_check
from jackshaft.chapters.bearings.data import Identity
from jackshaft.chapters.bearings.shown import KEYS, bore_words, kind_words, size_words, thou
from jackshaft.mechanics import bearing_id, bearing_marks, bearing_sizes, near_bores
from jackshaft.results.checks import CAUTION
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

#: A rival under this share of the likelihood is not carried into the life.
RIVAL = 0.05


def identify(draft: Draft, reader: Reader, name: str) -> Identity:
    """Work up the identity of one bearing: facts, candidates, and the check that says whether it is decided."""
    at = f"bearing[{name}]"
    common = reader.get(f"{at}.measured_with") or "calipers"
    readings = {}
    for dimension, key in KEYS.items():
        value = reader.get(f"{at}.{key}")
        if value is not None:
            readings[dimension] = bearing_id.reading.si(value.si, tool_of(value, common), value.plus_minus)
    seat = reader.get(f"{at}.seat")
    shaft = None
    if seat is not None:
        shaft = bearing_id.reading.si(seat.si, reader.get(f"{at}.seat_measured_with") or "micrometer", seat.plus_minus)
    found = None
    if readings:
        found = ranked(reader, at, readings, shaft)
    else:
        reader.note_missing(*(f"{at}.{k}" for k in KEYS.values()))
    marking, size, how = _named(draft, reader, name)
    rivals = (size,) if size is not None else ()
    best = open_sizes(found)
    if size is None and best:
        size, how = best[0].size, "the readings"
        rivals = (size,) if found.decided else tuple(c.size for c in best)
    identity = Identity(name, readings, shaft, found, size, how, rivals, marking)
    _facts(draft, reader, identity)
    if found is not None:
        _near_misses(draft, reader, identity)
    identity_check.work_up(draft, reader, identity, best)
    return identity


def tool_of(value, common: str) -> str:
    """Return the instrument of one reading: the one said with it, else the one said for all."""
    own = (value.known or "").partition(", ")[2]
    return own if own in bearing_id.INSTRUMENTS else common


def open_sizes(found) -> tuple:
    """Return the candidates that the readings leave open, likeliest first.

    Where no size takes every reading, those count that miss by less than the allowance over again, so that
    one reading just outside does not hide what the ring most likely is.
    """
    if found is None:
        return ()
    if found.matched:
        best = [c for c in found.candidates if c.fits]
    else:
        best = [
            c
            for c in found.candidates
            if found.unlisted < RIVAL and all(-2 * m.allowed_below <= m.off <= 2 * m.allowed_above for m in c.misses)
        ]
    best.sort(key=lambda c: -c.score)
    return tuple(c for i, c in enumerate(best) if i == 0 or c.score >= RIVAL)


def ranked(reader: Reader, at: str, readings: dict, shaft=None, count: int = 6) -> bearing_id.Identification:
    """Return the sizes that readings of the bearing at a key could mean, ranked; ``count`` is how many to list."""
    closure = reader.get(f"{at}.closure")
    capped = None if closure is None else closure != "open"
    return _ranked(tables.table("bearings"), *(readings.get(d) for d in KEYS), shaft, capped, count)


@lru_cache(maxsize=64)
def _ranked(table, bore, od, width, shaft, capped, count):
    """Rank the sizes; a panel asks for the same readings again and again while something else is moved."""
    return bearing_id.identify.si(bearing_sizes.catalogue(), bore, od, width, shaft=shaft, capped=capped, count=count)


def _named(draft: Draft, reader: Reader, name: str):
    """Return the marking decoded, and the size that a decision or the marking names, or why it means nothing."""
    at = f"bearing[{name}]"
    text, decided = reader.get(f"{at}.marking"), reader.get(f"{at}.designation")
    marking, not_found = None, []
    if text:
        try:
            marking = bearing_marks.decode(text)
        except ValueError:
            not_found.append(f"no bearing number can be read in the marking '{text}'")
    size, how = None, ""
    for number, words in ((decided, "the designation decided on"), (marking and marking.designation, "the marking")):
        if number and size is None:
            try:
                size, how = bearing_sizes.find.si(number), words
            except ValueError:
                not_found.append(f"'{number}' ({words}) is in no list here")
    if not_found:
        draft.check(
            f"bearings.number[{name}]",
            f"{name}: number on the ring",
            "not found",
            "a listed number",
            CAUTION,
            f"{'; '.join(not_found).capitalize()}.",
            "Read the ring again; if it stands, give the three sizes and the maker's ratings with it.",
            "trade-practice",
        )
    return marking, size, how


def _facts(draft: Draft, reader: Reader, identity: Identity) -> None:
    size, found = identity.size, identity.found
    if size is not None:
        score = next((c.score for c in found.candidates if c.size == size), None) if found else None
        share = f", score {100 * score:.0f} %" if score is not None and identity.how == "the readings" else ""
        draft.fact(
            "size",
            f"{size.designation}, {size_words(reader, size)}",
            f"by {identity.how}{share}; {kind_words(reader, size)}; {checked_words(size)}",
        )
    if identity.marking is not None:
        draft.fact("marking", identity.marking.text, "; ".join(identity.marking.words))


def checked_words(size) -> str:
    """Return what the dimensions of a size were checked against, in words."""
    rows = tables.table("bearings").where(designation=size.designation).rows
    if not rows:
        return "its body is listed, with this bore it is in no list"
    return f"dimensions checked against {bearing_sizes.checked_against(rows[0])}"


def _near_misses(draft: Draft, reader: Reader, identity: Identity) -> None:
    size = identity.size
    if size is None:
        return
    words = []
    for miss in near_bores.near_misses.si(size.bore):
        name = (
            miss.name
            if reader.system == "inch" or "in" not in miss.name.split()
            else reader.show(miss.bore, "length", digits=5)
        )
        less = "larger" if miss.off > 0 else "smaller"
        words.append(f"{name} is {thou(reader, abs(miss.off))} {less}")
    if words:
        draft.fact("bores easily mistaken for it", "; ".join(words), f"this one is {bore_words(reader, size)}")


__all__ = ["RIVAL", "checked_words", "identify", "open_sizes", "ranked", "tool_of"]
