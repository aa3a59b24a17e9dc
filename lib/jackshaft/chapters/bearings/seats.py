"""The seats of one bearing: which ring is tight, the limits to machine, and whether the measured seat holds."""

from __future__ import annotations

from collections.abc import Iterable

from jackshaft.chapters.bearings.data import BearingLife, Identity, Seat
from jackshaft.chapters.bearings.shown import KEYS, deviations, gap, span
from jackshaft.mechanics import fits, seats
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, Table, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_least, at_most

#: Load over C taken for the fit where the load is not known yet: the middle of "normal".
NORMAL_RATIO = 0.075

#: Slack on a standing pin from which the ring hammers: common practice, no source; m.
HAMMERS = 0.2e-3

REPAIR = (
    "Build the seat up and machine it to the limits below, or sleeve it, or make a new shaft; a bonding compound made "
    "for bearings fills the smallest gaps only, and a centre-punched seat does not hold."
)


def work_up(draft: Draft, reader: Reader, identity: Identity, life: BearingLife) -> Seat:
    """Work up the seats of one bearing: the limits to machine, and the measured seat against them."""
    name, at, size = identity.name, f"bearing[{identity.name}]", identity.size
    turning, seat = reader.get(f"{at}.turning_ring"), identity.shaft
    measured = None if seat is None else seat.value
    seated = Seat(name, measured=measured)
    id, title = f"bearings.seat[{name}]", f"{name}: seat on the shaft"
    lacks = [k for k, v in ((f"{at}.turning_ring", turning), (f"{at}.seat", seat)) if v is None]
    words = "Measure the shaft under the bearing with a micrometer, at three places." if seat is None else ""
    if size is None or turning is None:
        if size is None:
            lacks = lacks or [f"{at}.{k}" for k in KEYS.values()]
            words = f"Which bearing it is is not known yet. {words}"
        else:
            reader.note_missing(*lacks)
            words = f"Which ring turns decides which one must be tight. {words}"
        draft.checks.append(undecided(id, title, lacks, words.strip()))
        return seated
    found = limits_of(reader, name, size, turning, life)
    seated = found._replace(measured=measured, gap=None if measured is None else size.bore - measured)
    advice = seated.advice
    if advice is None:
        words = "No fit is tabulated for this size: ask its maker."
        draft.checks.append(undecided(id, title, (f"{at}.designation",), words))
        return seated
    draft.fact(
        "tight ring",
        f"{advice.tight_ring} ring; seat {advice.shaft_class}, housing {advice.housing_class}",
        f"{advice.load_words} load. {advice.why}",
    )
    if seat is None:
        reader.note_missing(*lacks)
        draft.checks.append(undecided(id, title, lacks, words, limit=span(reader, seated.shaft)))
    else:
        _check(draft, reader, id, title, identity, seated, turning, life)
    return seated


def limits_of(reader: Reader, name: str, size, turning: str, life: BearingLife) -> Seat:
    """Return the fit advice and every limit of one size; no advice where the tables end."""
    ratio = NORMAL_RATIO
    if life.load is not None and life.rating is not None:
        ratio = life.load * life.shock / life.rating.dynamic
    try:
        advice = seats.choose.si(turning, ratio, size.bore)
        rings = {d: fits.ring_limits.si(d, bore=size.bore, od=size.od, width=size.width) for d in ("bore", "od")}
        return Seat(
            name,
            advice,
            fits.limits.si(size.bore, advice.shaft_class),
            fits.limits.si(size.od, advice.housing_class),
            rings["bore"],
            rings["od"],
        )
    except ValueError:
        return Seat(name)


def machined(seat: Seat) -> tuple[tuple[str, str, str, fits.Limits], ...]:
    """Return what is machined and what a new ring has there: what, the ring on a seat, its class, and the limits."""
    advice = seat.advice
    return (
        ("shaft seat", "inner", advice.shaft_class, seat.shaft),
        ("bore of a new ring", "", "Normal", seat.ring),
        ("housing bore", "outer", advice.housing_class, seat.housing),
        ("outside of a new ring", "", "Normal", seat.outer),
    )


def sheet(reader: Reader, seated: Iterable[Seat]) -> Table | None:
    """Return the limits of every bearing's seats in one table; None where no fit is known."""
    rows, computed = [], False
    for seat in seated:
        if seat.advice is None:
            continue
        computed |= "computed" in (seat.shaft.basis, seat.housing.basis)
        for what, ring, name, limits in machined(seat):
            tight = "tight" if ring == seat.advice.tight_ring else ""
            rows.append((seat.name, what, name, tight, span(reader, limits), deviations(reader, limits)))
    if not rows:
        return None
    return Table(
        "Seats to machine",
        ("bearing", "what", "class", "", "limits", "from nominal"),
        tuple(rows),
        "The ring that turns against the load is the tight one; the other may slide."
        + (" Where the standard's table has no row, its formulas give the limits." if computed else ""),
    )


def _verdict(seat: Seat, low: float, high: float, size, life: BearingLife) -> tuple[str, seats.Interference]:
    """Return the verdict on a measured seat between ``low`` and ``high`` against one size, and its interference."""
    found = seats.interference.si(low, high, seat.ring, bore=size.bore, width=size.width, radial=life.top)
    inside = at_least((low + high) / 2, seat.shaft.lower) and at_most((low + high) / 2, seat.shaft.upper)
    if seat.advice.tight_ring == "outer":
        # the inner ring may slide on its pin; a pin far under size lets it hammer
        return (GO if inside else STOP if size.bore - high > HAMMERS or found.too_much else CAUTION), found
    if found.likely <= 0:
        return STOP, found
    return (GO if inside and not found.too_much else CAUTION), found


def _check(
    draft: Draft, reader: Reader, id: str, title: str, identity: Identity, seat: Seat, turning: str, life: BearingLife
) -> None:
    reading, verdicts, words = identity.shaft, [], []
    low, high = reading.value - reading.plus_minus, reading.value + reading.plus_minus
    for size in identity.rivals:
        mine = limits_of(reader, identity.name, size, turning, life)
        if mine.advice is None:
            continue
        verdicts.append(_verdict(mine, low, high, size, life))
        words.append(f"{gap(reader, size.bore - reading.value)} on {size.designation}")
    first, worst = verdicts[0][0], max((v for v, _ in verdicts), key=ORDER.index)
    # the likely size decides a stop; a rival that would stop makes it a caution
    verdict = first if first == STOP or worst == first else CAUTION
    found = verdicts[0][1]
    known = reader.how(f"bearing[{identity.name}].seat")
    value = reader.number(
        reading.value, "length", f"{{}}, {', '.join(words)}", by="micrometer", low=low, high=high, known=known
    )
    ring = f"A new ring is made under size: likely {gap(reader, -found.likely)}."
    if seat.advice.tight_ring == "inner":
        why = {
            STOP: "The inner ring turns against the load and is loose: it creeps, wears the shaft and runs hot.",
            CAUTION: "The seat is outside the class, or tight for one size and loose for another that the readings "
            "leave open.",
            GO: "The seat lies within its class.",
        }[verdict]
    else:
        why = {
            STOP: "The pin does not suit this ring: far too small, or too large to slide on.",
            CAUTION: "The inner ring may slide on a pin that stands still; this one is outside its class.",
            GO: "The inner ring may slide here, since the outer one turns.",
        }[verdict]
    too_much = (
        " The most interference is above a thousandth of the bore and can take up the play." if found.too_much else ""
    )
    draft.check(
        id,
        title,
        value,
        span(reader, seat.shaft, f"seat {seat.advice.shaft_class}: {{}}"),
        verdict,
        f"{why} {ring}{too_much}",
        "" if verdict == GO else _cure(seat, found, identity),
        f"catalogue-a, section 7.3; {seat.advice.cite}",
    )


def _cure(seat: Seat, found: seats.Interference, identity: Identity) -> str:
    first = "" if len(identity.rivals) < 2 else "Decide the bore first. "
    if found.likely > 0 and seat.measured is not None and seat.measured > seat.shaft.upper:
        return first + "Take the seat down to its limits; never force a ring on a seat that is too large."
    return first + REPAIR


__all__ = ["REPAIR", "limits_of", "machined", "sheet", "work_up"]
