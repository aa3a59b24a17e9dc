"""The check that says whether it is decided which bearing one is."""

from __future__ import annotations

from jackshaft.chapters.bearings.data import Identity
from jackshaft.chapters.bearings.shown import KEYS, WORDS, bore_words, off, size_words, thou
from jackshaft.mechanics import bearing_id, bearing_sizes, snap_rings
from jackshaft.results.checks import CAUTION, GO, STOP, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

IN_HOUSING = (
    " In its housing, write down the height of the shaft over the foot and the distance of the bolts, or read the "
    "number cast on it."
)
LIMIT, SOURCE = "one size, every reading within its allowance", "gost520; trade-practice"


def work_up(draft: Draft, reader: Reader, identity: Identity, open_: tuple) -> None:
    """Add the check; ``open_`` are the candidates that the readings leave open, likeliest first."""
    id, name = f"bearings.identity[{identity.name}]", f"{identity.name}: which bearing"
    at = f"bearing[{identity.name}]"
    if identity.found is None and identity.size is None:
        words = "Nothing is measured and no marking can be read. Measure bore, outside and width with calipers first."
        draft.checks.append(undecided(id, name, [f"{at}.{k}" for k in KEYS.values()], words, limit=LIMIT))
        return
    if identity.how in ("the marking", "the designation decided on"):
        found = _named(reader, identity)
    elif not identity.found.matched:
        found = _outside(reader, identity, open_)
    else:
        found = _ranked(reader, identity, open_)
    value, verdict, reason, remedy = found
    draft.check(id, name, value, LIMIT, verdict, reason=reason, remedy=remedy, source=SOURCE)


def of_another_kind(draft: Draft, reader: Reader, name: str, kind: str) -> None:
    """Add the caution on a bearing whose number names a kind that no list here has."""
    at = f"bearing[{name}]"
    text = reader.get(f"{at}.marking") or reader.get(f"{at}.designation")
    draft.check(
        f"bearings.identity[{name}]",
        f"{name}: which bearing",
        f"{text}, a {kind}",
        LIMIT,
        CAUTION,
        reason=f"The number '{text}' is that of a {kind}. Deep-groove and insert ball bearings of the same three sizes "
        "carry other loads, so none of their ratings is used.",
        remedy="Read the ring again. If it does say so, take size, ratings and fits from its maker.",
        source="trade-practice",
    )


def _outside(reader: Reader, identity: Identity, open_: tuple) -> tuple[str, str, str, str]:
    """Return value, verdict, reason and cure where no listed size fits every reading."""
    found = identity.found
    nearest = "; ".join(
        f"{c.size.designation} ({', '.join(f'{WORDS[m.dimension]} {off(reader, m)}' for m in c.misses)})"
        for c in found.candidates[:3]
    )
    return (
        f"{identity.size.designation}, just outside" if open_ else "no listed size",
        CAUTION if open_ else STOP,
        f"No listed bearing fits every reading. Nearest: {nearest}.{_under_ring(reader, identity)}",
        f"Measure the {WORDS[found.redo]} again: it does not agree with the other readings.",
    )


def _ranked(reader: Reader, identity: Identity, open_: tuple) -> tuple[str, str, str, str]:
    """Return value, verdict, reason and cure where sizes fit every reading."""
    size, found, best = identity.size, identity.found, identity.best
    value = f"{size.designation}, score {100 * best.score:.0f} %"
    if found.decided:
        reason = f"The readings fit {size_words(reader, size)} alone. {next_words(reader, found)}".rstrip()
        return value, GO, reason, ""
    others = " or ".join(
        f"{c.size.designation} ({bore_words(reader, c.size)} bore, score {100 * c.score:.0f} %)" for c in open_
    )
    apart = support = ""
    if len(open_) > 1:
        gap = abs(open_[0].size.bore - open_[1].size.bore)
        apart = f" The first two differ by {thou(reader, gap)} in bore." if gap > 1e-7 else ""
    if best.seat_gap is not None:
        support = (
            f" The shaft under it speaks for {size.designation}. But a ring that has spun wears its shaft too, so the "
            "shaft cannot decide."
        )
    reason = f"The readings cannot decide: {others}.{apart}{support}"
    more = IN_HOUSING if open_ and all(bearing_sizes.is_insert(c.size) for c in open_) else ""
    return value, CAUTION, reason, (next_words(reader, found) or "Look for a number on the ring.") + more


def _named(reader: Reader, identity: Identity) -> tuple[str, str, str, str]:
    """Return value, verdict, reason and cure where a marking or a decision names the size."""
    size, mine = identity.size, None
    words = f"{size.designation} by {identity.how}: {size_words(reader, size)}."
    if identity.found is not None:
        # the likeliest six may be others where a rule or a tape leaves many open: the readings are held against it
        given = {d: r for d, r in identity.readings.items() if d != "width" or not _own_width(identity)}
        if given:
            mine = bearing_id.identify.si([size], *(given.get(d) for d in KEYS)).candidates[0]
    if mine is None or mine.fits:
        return size.designation, GO, words + (" The readings agree." if mine is not None else ""), ""
    missed = [m for m in mine.misses if not m.within]
    far = ", ".join(f"{WORDS[m.dimension]} off by {thou(reader, m.off)}" for m in missed)
    again = " and ".join(
        f"the {WORDS[m.dimension]} ({reader.show(getattr(size, m.dimension), 'length', by='micrometer')} in the list)"
        for m in missed
    )
    return (
        size.designation,
        CAUTION,
        f"{words} The readings do not agree with it: {far}.",
        f"Read the number on the ring again, and measure {again} again. The number counts for more than a reading of "
        "a worn ring.",
    )


def _own_width(identity: Identity) -> bool:
    """Tell whether the marking is that of an insert whose inner ring is as wide as its maker likes."""
    asked = identity.marking.asked_as if identity.marking else ""
    return bool(asked) and not asked.startswith("UC")


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


def _under_ring(reader: Reader, identity: Identity) -> str:
    od = identity.readings.get("od")
    rings = snap_rings.under_snap_ring.si(od.value) if od is not None else ()
    if not rings:
        return ""
    sizes = " or ".join(reader.show(r.od, "length") for r in rings)
    return f" Was the outside measured over a retaining ring? A bearing of {sizes} would read like this."
