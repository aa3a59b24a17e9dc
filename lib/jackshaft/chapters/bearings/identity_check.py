"""The check that says whether it is decided which bearing one is."""

from __future__ import annotations

from jackshaft.chapters.bearings.data import Identity
from jackshaft.chapters.bearings.shown import KEYS, WORDS, bore_words, off, size_words, thou
from jackshaft.mechanics import snap_rings
from jackshaft.results.checks import CAUTION, GO, STOP, Check, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

LIMIT, SOURCE = "one size, every reading within its allowance", "gost520; trade-practice"


def work_up(draft: Draft, reader: Reader, identity: Identity, open_: tuple) -> None:
    """Add the check; ``open_`` are the candidates that the readings leave open, likeliest first."""
    id, name = f"bearings.identity[{identity.name}]", f"{identity.name}: which bearing"
    at = f"bearing[{identity.name}]"
    if identity.found is None and identity.size is None:
        draft.checks.append(
            undecided(
                id,
                name,
                [f"{at}.{k}" for k in KEYS.values()],
                "Nothing is measured and no marking can be read: calipers on bore, outside and width tell most.",
                limit=LIMIT,
            )
        )
        return
    if identity.how in ("the marking", "the designation decided on"):
        found = _named(reader, identity)
    elif not identity.found.matched:
        found = _outside(reader, identity, open_)
    else:
        found = _ranked(reader, identity, open_)
    value, verdict, reason, remedy = found
    draft.checks.append(Check(id, name, value, LIMIT, verdict, reason, remedy, SOURCE))


def _outside(reader: Reader, identity: Identity, open_: tuple) -> tuple[str, str, str, str]:
    """Return value, verdict, reason and cure where no listed size takes every reading."""
    found = identity.found
    nearest = "; ".join(
        f"{c.size.designation} ({', '.join(f'{WORDS[m.dimension]} {off(reader, m)}' for m in c.misses)})"
        for c in found.candidates[:3]
    )
    return (
        f"{identity.size.designation}, just outside" if open_ else "no listed size",
        CAUTION if open_ else STOP,
        f"No listed bearing takes every reading. Nearest: {nearest}.{_under_ring(reader, identity)}",
        f"Measure the {WORDS[found.redo]} again: it stands alone against the others.",
    )


def _ranked(reader: Reader, identity: Identity, open_: tuple) -> tuple[str, str, str, str]:
    """Return value, verdict, reason and cure where sizes take every reading."""
    size, found = identity.size, identity.found
    best = next(c for c in found.candidates if c.size == size)
    value = f"{size.designation}, score {100 * best.score:.0f} %"
    if found.decided:
        reason = f"The readings single out {size_words(reader, size)}. To confirm: {next_words(reader, found)}"
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
            f" The shaft under it supports {size.designation}, but a ring that has spun wears its shaft too, so the "
            "shaft cannot decide."
        )
    reason = f"The readings cannot decide: {others}.{apart}{support}"
    return value, CAUTION, reason, next_words(reader, found) or "Look for a number on the ring."


def _named(reader: Reader, identity: Identity) -> tuple[str, str, str, str]:
    """Return value, verdict, reason and cure where a marking or a decision names the size."""
    size, found = identity.size, identity.found
    mine = next((c for c in found.candidates if c.size == size), None) if found else None
    words = f"{size.designation} by {identity.how}: {size_words(reader, size)}."
    if found is None or (mine is not None and mine.fits):
        return size.designation, GO, words + (" The readings agree." if mine is not None else ""), ""
    far = ", ".join(
        f"{WORDS[d]} off by {thou(reader, read.value - getattr(size, d))}" for d, read in identity.readings.items()
    )
    return (
        size.designation,
        CAUTION,
        f"{words} The readings say something else: {far}.",
        "Read the marking again and measure again; a number on the ring wins over a worn reading.",
    )


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
    return (
        " Measured over a retaining ring? "
        + " or ".join(reader.show(r.od, "length") for r in rings)
        + " would read like this."
    )


__all__ = ["next_words", "work_up"]
