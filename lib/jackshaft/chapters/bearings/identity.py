"""Which bearing it is: readings of one bearing, the sizes they could mean, and what decides between them."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from jackshaft import tables
from jackshaft.mechanics import bearing_id, bearing_marks, bearing_sizes
from jackshaft.results.checks import CAUTION, GO, STOP, Table, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

#: Key of the build for each dimension that the method knows.
KEYS = {"bore": "bore", "od": "outside", "width": "width"}
WORDS = {"bore": "bore", "od": "outside diameter", "width": "width"}
SHOWN, LEAST_SHOWN = 4, 2

#: A size under this share of the likelihood is not listed behind the first two.
UNLIKELY = 0.001

#: A rival under this share of the likelihood is not carried into the life.
RIVAL = 0.05


class Identity(NamedTuple):
    """What one bearing was measured to be.

    ``readings`` and ``shaft`` are what was read; ``found`` ranks the sizes, None where nothing was
    measured; ``size`` is the one that later figures take, ``how`` says from where, and ``rivals`` are the
    sizes that the readings leave open, ``size`` among them.
    """

    name: str
    readings: dict
    shaft: object
    found: bearing_id.Identification | None
    size: bearing_sizes.Size | None
    how: str
    rivals: tuple
    marking: bearing_marks.Marking | None


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
        closure = reader.get(f"{at}.closure")
        capped = None if closure is None else closure != "open"
        found = _ranked(tables.table("bearings"), *(readings.get(d) for d in KEYS), shaft, capped)
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
    _check(draft, reader, identity)
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


@lru_cache(maxsize=64)
def _ranked(table, bore, od, width, shaft, capped):
    """Rank the sizes; a panel asks for the same readings again and again while something else is moved."""
    return bearing_id.identify.si(bearing_sizes.catalogue(), bore, od, width, shaft=shaft, capped=capped)


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


def size_words(reader: Reader, size) -> str:
    """Return bore × outside × width as the shop says them: mm, and inches in front in an inch build."""
    metric = " × ".join(f"{v * 1e3:.3f}".rstrip("0").rstrip(".") for v in (size.bore, size.od, size.width)) + " mm"
    if reader.system == "metric":
        return metric
    return " × ".join(f"{v / 0.0254:.4f}" for v in (size.bore, size.od, size.width)) + f" in ({metric})"


def kind_words(reader: Reader, size) -> str:
    """Return what family a size is of, without naming the other system in a metric build."""
    if reader.system == "inch" or "inch" not in size.kind:
        return size.kind
    return {
        "inch": "not a metric series",
        "inch bore, listed": "odd bore, listed",
        "inch bore, not listed": "odd bore, not listed",
    }[size.kind]


def _facts(draft: Draft, reader: Reader, identity: Identity) -> None:
    name, size, found = identity.name, identity.size, identity.found
    if size is not None:
        score = next((c.score for c in found.candidates if c.size == size), None) if found else None
        share = f", score {100 * score:.0f} %" if score is not None and identity.how == "the readings" else ""
        draft.fact(
            f"{name}: size",
            f"{size.designation}, {size_words(reader, size)}",
            f"by {identity.how}{share}; {kind_words(reader, size)}; {checked_words(size)}",
        )
    if identity.marking is not None:
        draft.fact(f"{name}: marking", identity.marking.text, "; ".join(identity.marking.words))


def checked_words(size) -> str:
    """Return what the dimensions of a size were checked against, in words."""
    rows = tables.table("bearings").where(designation=size.designation).rows
    if not rows:
        return "its body is listed, with this bore it is in no list"
    return f"dimensions checked against {bearing_sizes.checked_against(rows[0])}"


def grounds_sheet() -> Table:
    """Return every listed size by what its dimensions were checked against."""
    return Table(
        "What the listed sizes were checked against",
        ("checked against", "sizes", "which"),
        tuple((words, str(len(names)), ", ".join(names)) for words, names in bearing_sizes.grounds()),
        "Where the package and the catalogues differ, it has the width of the open ring for the closed one; measure.",
        aside=True,
    )


def sheet(reader: Reader, identities: Iterable[Identity]) -> Table | None:
    """Return the candidates of every bearing in one table; None where nothing was read."""
    rows, notes = [], []
    for identity in identities:
        if identity.found is None:
            continue
        notes += [
            n for n in identity.found.notes if n not in notes and (reader.system == "inch" or "inch" not in n.lower())
        ]
        likely = [
            c
            for i, c in enumerate(identity.found.candidates)
            if i < LEAST_SHOWN or c.score >= UNLIKELY or not identity.found.matched
        ]
        for c in likely[:SHOWN]:
            misses = {m.dimension: m for m in c.misses}
            cells = [off_words(reader, misses[d]) if d in misses else "not read" for d in KEYS]
            gap = "" if c.seat_gap is None else gap_words(reader, c.seat_gap)
            rows.append(
                (
                    identity.name,
                    c.size.designation,
                    size_words(reader, c.size),
                    kind_words(reader, c.size),
                    f"{100 * c.score:.1f} %",
                    *cells,
                    gap,
                )
            )
    if not rows:
        return None
    return Table(
        "What the readings could mean",
        ("bearing", "size", "dimensions", "family", "score", "bore off", "outside off", "width off", "on the seat"),
        tuple(rows),
        "Off: reading less size; a sign ! marks one beyond what tool, wear and new-ring "
        "tolerance allow. " + " ".join(notes),
    )


def thou(reader: Reader, si: float) -> str:
    """Return a small length in thousandths of an inch, or in micrometres, no finer than a micrometer reads."""
    if reader.system == "metric":
        return f"{si * 1e6:.0f} μm"
    text = f"{si / 25.4e-6:.2f}".rstrip("0").rstrip(".")
    return f"{'0' if text == '-0' else text} thou"


def off_words(reader: Reader, miss) -> str:
    """Return reading less size in words, with a sign ! where it is beyond the allowance."""
    words = thou(reader, miss.off)
    plus = miss.off > 0 and not words.startswith("0 ")
    return f"{'+' if plus else ''}{words}" + ("" if miss.within else " !")


def gap_words(reader: Reader, gap: float) -> str:
    """Return bore less seat in words: so much loose, or so much tight."""
    return f"{thou(reader, abs(gap))} {'loose' if gap > 0 else 'tight'}"


def next_words(reader: Reader, found) -> str:
    """Return the next measurement with what each value would mean."""
    step = found.next
    if step is None:
        return ""
    meanings = "; ".join(
        f"{reader.show(low, 'length', by='micrometer').split()[0]} to {reader.show(high, 'length', by='micrometer')} "
        f"means {name}"
        for name, low, high in step.meanings
    )
    return step.words + (f" {meanings}." if meanings else "")


def _near_misses(draft: Draft, reader: Reader, identity: Identity) -> None:
    size = identity.size
    if size is None:
        return
    words = []
    for miss in bearing_id.near_misses.si(size.bore):
        name = (
            miss.name
            if reader.system == "inch" or "in" not in miss.name.split()
            else reader.show(miss.bore, "length", digits=5)
        )
        less = "larger" if miss.off > 0 else "smaller"
        words.append(f"{name} is {thou(reader, abs(miss.off))} {less}")
    if words:
        draft.fact(
            f"{identity.name}: bores easily mistaken for it", "; ".join(words), f"this one is {_bore(reader, size)}"
        )


def _bore(reader: Reader, size) -> str:
    metric = f"{size.bore * 1e3:.3f}".rstrip("0").rstrip(".") + " mm"
    return metric if reader.system == "metric" else f"{metric} = {size.bore / 0.0254:.4f} in"


def _check(draft: Draft, reader: Reader, identity: Identity) -> None:
    id, name, found, size = (
        f"bearings.identity[{identity.name}]",
        f"{identity.name}: which bearing",
        identity.found,
        identity.size,
    )
    limit, source = "one size, every reading within its allowance", "gost520; trade-practice"
    at = f"bearing[{identity.name}]"
    if found is None and size is None:
        draft.checks.append(
            undecided(
                id,
                name,
                [f"{at}.{k}" for k in KEYS.values()],
                "Nothing is measured and no marking can be read: calipers on bore, outside and width tell most.",
                limit=limit,
            )
        )
        return
    if identity.how in ("the marking", "the designation decided on"):
        _named_check(draft, reader, identity, id, name, limit, source)
        return
    open_ = open_sizes(found)
    if not found.matched:
        nearest = "; ".join(
            f"{c.size.designation} ({', '.join(f'{WORDS[m.dimension]} {off_words(reader, m)}' for m in c.misses)})"
            for c in found.candidates[:3]
        )
        ring = _under_ring(reader, identity)
        value = f"{size.designation}, just outside" if open_ else "no listed size"
        draft.check(
            id,
            name,
            value,
            limit,
            CAUTION if open_ else STOP,
            f"No listed bearing takes every reading. Nearest: {nearest}.{ring}",
            f"Measure the {WORDS[found.redo]} again: it stands alone against the others.",
            source,
        )
        return
    best = next(c for c in found.candidates if c.size == size)
    value = f"{size.designation}, score {100 * best.score:.0f} %"
    if found.decided:
        draft.check(
            id,
            name,
            value,
            limit,
            GO,
            f"The readings single out {size_words(reader, size)}. To confirm: {next_words(reader, found)}",
            source=source,
        )
        return
    others = " or ".join(
        f"{c.size.designation} ({_bore(reader, c.size)} bore, score {100 * c.score:.0f} %)" for c in open_
    )
    apart = ""
    if len(open_) > 1:
        gap = abs(open_[0].size.bore - open_[1].size.bore)
        apart = f" The first two differ by {thou(reader, gap)} in bore." if gap > 1e-7 else ""
    support = ""
    if best.seat_gap is not None:
        support = (
            f" The shaft under it supports {size.designation}, but a ring that has spun wears its shaft too, so the "
            "shaft cannot decide."
        )
    draft.check(
        id,
        name,
        value,
        limit,
        CAUTION,
        f"The readings cannot decide: {others}.{apart}{support}",
        next_words(reader, found) or "Look for a number on the ring.",
        source,
    )


def _named_check(draft, reader, identity, id, name, limit, source) -> None:
    size, found = identity.size, identity.found
    mine = next((c for c in found.candidates if c.size == size), None) if found else None
    words = f"{size.designation} by {identity.how}: {size_words(reader, size)}."
    if found is None or (mine is not None and mine.fits):
        agrees = " The readings agree." if mine is not None else ""
        draft.check(id, name, size.designation, limit, GO, words + agrees, source=source)
        return
    offs = {d: identity.readings[d].value - getattr(size, d) for d in identity.readings}
    far = ", ".join(f"{WORDS[d]} off by {thou(reader, v)}" for d, v in offs.items())
    draft.check(
        id,
        name,
        size.designation,
        limit,
        CAUTION,
        f"{words} The readings say something else: {far}.",
        "Read the marking again and measure again; a number on the ring wins over a worn reading.",
        source,
    )


def _under_ring(reader: Reader, identity: Identity) -> str:
    od = identity.readings.get("od")
    rings = bearing_sizes.under_snap_ring.si(od.value) if od is not None else ()
    if not rings:
        return ""
    return (
        " Measured over a retaining ring? "
        + " or ".join(reader.show(r.od, "length") for r in rings)
        + " would read like this."
    )


__all__ = [
    "Identity",
    "KEYS",
    "RIVAL",
    "checked_words",
    "gap_words",
    "grounds_sheet",
    "identify",
    "kind_words",
    "next_words",
    "off_words",
    "open_sizes",
    "sheet",
    "size_words",
    "thou",
    "tool_of",
]
