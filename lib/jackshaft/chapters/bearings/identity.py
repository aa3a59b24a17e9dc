"""Which bearing it is: readings of one bearing, the sizes they could mean, and what decides between them."""

from __future__ import annotations

from functools import lru_cache

from jackshaft import tables
from jackshaft.chapters.bearings import identity_check, inserts
from jackshaft.chapters.bearings.data import Identity
from jackshaft.chapters.bearings.shown import KEYS, bore_words, kind_words, size_words, thou
from jackshaft.mechanics import bearing_id, bearing_kinds, bearing_marks, bearing_sizes, near_bores
from jackshaft.parts.words import sentence
from jackshaft.results.checks import CAUTION
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

#: No listed bearing but an insert is so wide for bores to 62 mm, m: only then is it asked whether it is one with an
#: inch bore.
WIDE = 29e-3
#: Letters of an insert with a collar on a narrow inner ring: over it no wider than one with set screws, from memory.
NARROW = "SA"
#: A rival under this share of the likelihood is not carried into the life.
RIVAL = 0.05


def identify(draft: Draft, reader: Reader, name: str) -> Identity:
    """Work up the identity of one bearing: facts, candidates, and the check that says whether it is decided."""
    at = f"bearing[{name}]"
    common = reader.get(f"{at}.measured_with") or "calipers"
    values = {dimension: reader.get(f"{at}.{key}") for dimension, key in KEYS.items()}
    readings = {
        dimension: bearing_id.reading.si(value.si, tool_of(value, common), value.plus_minus)
        for dimension, value in values.items()
        if value is not None
    }
    seat, shaft = reader.get(f"{at}.seat"), None
    if seat is not None:
        shaft = bearing_id.reading.si(seat.si, reader.get(f"{at}.seat_measured_with") or "micrometer", seat.plus_minus)
    found = ranked(reader, at, readings, shaft) if readings else None
    if found is None:
        reader.note_missing(*(f"{at}.{k}" for k in KEYS.values()))
    kind = other_kind(reader, at)
    marking, size, how = (None, None, "") if kind else _named(draft, reader, name)
    best = () if kind else open_sizes(found)
    if size is not None and _has_collar(reader, at, marking) and bearing_sizes.is_insert(size):
        size = size.over_collar()
    rivals = (size,) if size is not None else ()
    if size is None and best:
        size, how = best[0].size, "the readings"
        rivals = (size,) if found.decided else tuple(c.size for c in best)
    identity = Identity(
        name=name,
        readings=readings,
        shaft=shaft,
        found=found,
        size=size,
        how=how,
        rivals=rivals,
        marking=marking,
    )
    _facts(draft, reader, identity)
    if kind:
        identity_check.of_another_kind(draft, reader, name, kind)
    else:
        identity_check.work_up(draft, reader, identity, best)
    return identity


def other_kind(reader: Reader, at: str) -> str:
    """Return the kind of bearing that marking or designation names where no list here has that kind, else empty."""
    for text in filter(None, (reader.get(f"{at}.marking"), reader.get(f"{at}.designation"))):
        try:
            bearing_marks.decode(text)
        except ValueError:
            if kind := bearing_kinds.other_kind(text):
                return kind
    return ""


def tool_of(value, common: str) -> str:
    """Return the instrument of one reading: the one given with it, else the one given for all."""
    own = (value.known or "").partition(", ")[2]
    return own if own in bearing_id.INSTRUMENTS else common


def open_sizes(found) -> tuple:
    """Return the candidates that the readings leave open, likeliest first.

    Where no size takes every reading, those count that miss by less than the allowance over again, so that
    one reading just outside does not hide what the ring most likely is.
    """
    if found is None:
        return ()

    def near(c) -> bool:
        return all(-2 * m.allowed_below <= m.off <= 2 * m.allowed_above for m in c.misses)

    near_enough = found.candidates if found.unlisted < RIVAL else ()
    best = [c for c in found.candidates if c.fits] if found.matched else [c for c in near_enough if near(c)]
    best.sort(key=lambda c: -c.score)
    return tuple(c for i, c in enumerate(best) if i == 0 or c.score >= RIVAL)


def ranked(reader: Reader, at: str, readings: dict, shaft=None, count: int = 6) -> bearing_id.Identification:
    """Return the sizes that readings of the bearing at a key could mean, ranked; ``count`` is how many to list."""
    closure = reader.get(f"{at}.closure")
    capped = None if closure is None else closure != "open"
    said, codes = inserts.said(reader, at), inserts.codes_by_housing(reader, at)
    pool = (said, frozenset(codes) if said and codes else None, reader.get(f"{at}.locking"))
    return _ranked(tables.table("bearings"), pool, *(readings.get(d) for d in KEYS), shaft, capped, count)


@lru_cache(maxsize=64)
def _ranked(table, pool, bore, od, width, shaft, capped, count):
    """Rank the sizes; a panel asks for the same readings again and again while something else is moved."""
    sizes = _sizes(*pool, width)
    return bearing_id.identify.si(sizes, bore, od, width, shaft=shaft, capped=capped, count=count)


def _has_collar(reader: Reader, at: str, marking) -> bool:
    """Tell whether an insert is said to have an eccentric collar on a wide inner ring; the narrow one is no wider."""
    locking = reader.get(f"{at}.locking") or (marking.locking if marking else "")
    return locking == bearing_marks.COLLAR and not (marking and marking.asked_as.startswith(NARROW))


def _sizes(insert: bool, codes: frozenset | None, locking, width) -> tuple[bearing_sizes.Size, ...]:
    """Return the sizes it may be: inserts alone where it is said to be one, those of its housing where that was read.

    Where nothing says so, an insert with an inch bore is thought of only for a ring as wide as one, and so is one
    with a collar: without a width nothing tells it from one with set screws.
    """
    listed = bearing_sizes.catalogue()
    if locking == bearing_marks.COLLAR:
        listed = tuple(s.over_collar() for s in listed if bearing_sizes.is_insert(s))
    elif locking is None and width is not None and width.value >= WIDE:
        listed += tuple(s.over_collar() for s in listed if bearing_sizes.is_insert(s))
    if insert:
        mine = tuple(s for s in listed if bearing_sizes.is_insert(s))
        return mine if codes is None else tuple(s for s in mine if s.size_code in codes)
    if width is not None and width.value >= WIDE:
        return listed
    return tuple(s for s in listed if not (bearing_sizes.is_insert(s) and "-" in s.designation))


def _named(draft: Draft, reader: Reader, name: str):
    """Return the marking decoded, and the size that a decision or the marking names, or why it means nothing."""
    at = f"bearing[{name}]"
    text, decided = reader.get(f"{at}.marking"), reader.get(f"{at}.designation")
    marking, size, how, not_found = None, None, "", []
    if text:
        try:
            marking = bearing_marks.decode(text)
        except ValueError:
            not_found.append(f"no bearing number can be read in the marking '{text}'")
    for number, words in ((decided, "the designation decided on"), (marking and marking.designation, "the marking")):
        if number and size is None:
            try:
                size, how = size_of(number), words
                # seals and clearance may be written behind the number that was decided on
                marking = marking or (bearing_marks.decode(number) if number != size.designation else None)
            except ValueError:
                not_found.append(f"'{number}' ({words}) is in no list here")
    if not_found:
        draft.check(
            f"bearings.number[{name}]",
            f"{name}: number on the ring",
            "not found",
            "a listed number",
            CAUTION,
            reason=f"{sentence('; '.join(not_found))}.",
            remedy="Read the ring again. If it does say so, write down the three sizes and the maker's ratings.",
            source="trade-practice",
        )
    return marking, size, how


def size_of(number: str) -> bearing_sizes.Size:
    """Return the size that a number names, seals and clearance left aside.

    Raises
    ------
    ValueError
        If no list has it.
    """
    try:
        return bearing_sizes.find.si(number)
    except ValueError:
        return bearing_sizes.find.si(bearing_marks.decode(number).designation)


def _facts(draft: Draft, reader: Reader, identity: Identity) -> None:
    size, best = identity.size, identity.best
    if size is not None:
        share = f", score {100 * best.score:.0f} %" if best is not None and identity.how == "the readings" else ""
        draft.fact(
            "size",
            f"{size.designation}, {size_words(reader, size)}",
            f"by {identity.how}{share}; {kind_words(reader, size)}; {_checked_words(size)}",
        )
    if identity.marking is not None:
        draft.fact("marking", identity.marking.text, "; ".join(identity.marking.words))
    if size is None or identity.found is None:
        return
    words = []
    for miss in near_bores.near_misses.si(size.bore):
        inch = reader.system == "inch" or "in" not in miss.name.split()
        name = miss.name if inch else reader.show(miss.bore, "length", digits=5)
        words.append(f"{name} is {thou(reader, abs(miss.off))} {'larger' if miss.off > 0 else 'smaller'}")
    if words:
        draft.fact("bores easily mistaken for it", "; ".join(words), f"this one is {bore_words(reader, size)}")


def _checked_words(size) -> str:
    """Return what the dimensions of a size were checked against, in words."""
    listed = size.designation.partition("-")[0] if bearing_sizes.is_insert(size) else size.designation
    if size.collared:
        return "its width over the collar is from memory: makers differ, so measure it"
    rows = tables.table("bearings").where(designation=listed).rows
    if not rows:
        return "its body is listed, with this bore it is in no list"
    return f"dimensions checked against {bearing_sizes.checked_against(rows[0])}"
