"""The seats of one bearing: which ring is tight, the limits to machine, and whether the measured seat holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from jackshaft import tables
from jackshaft.chapters.bearings.data import BearingLife, Identity, Seat
from jackshaft.chapters.bearings.place import off_words
from jackshaft.chapters.bearings.shown import KEYS, deviations, gap, span
from jackshaft.mechanics import fits, seats
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, Table, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value
from jackshaft.units import at_least, at_most

#: Load over C taken for the fit where the load is not known yet: the middle of "normal".
NORMAL_RATIO = 0.075

#: Slack on a fixed pin from which the ring hammers: common practice, no source; m.
HAMMERS = 0.2e-3

REPAIR = (
    "Build the seat up and machine it to the limits below, or sleeve it, or make a new shaft. A bonding compound made "
    "for bearings fills the smallest gaps only. A centre-punched seat does not hold."
)


#: A seat so far from the bore is no worn seat but one for another bearing: common practice, no source; m.
OTHER_SIZE = 0.5e-3

#: Interference over the bore from which a ring is not pressed on: twice what takes up the play. From memory: the hoop
#: stress of E times this, some 400 MPa, is beyond what hardened rings are given.
CRACKS = 2e-3

MEASURE = "Measure the shaft under the bearing with a micrometer, at three places, before anything is machined."
OTHER = (
    "Measure bore and seat again. Where both are right, take the bearing or the sleeve that goes with this shaft; a "
    "seat is not built up by so much."
)

#: Why a measured seat is judged so, by the ring that must be tight.
WHY = {
    ("inner", STOP): "The inner ring turns against the load and is loose: it creeps, wears the shaft and runs hot.",
    ("inner", CAUTION): "The seat is outside its class, or it is tight for one of the sizes that the readings leave "
    "open and loose for another.",
    ("inner", GO): "The seat is within its class.",
    ("outer", STOP): "The pin does not suit this ring: it is far too small, or too large to slide on.",
    ("outer", CAUTION): "The inner ring may slide on a pin that does not turn; this pin is outside its class.",
    ("outer", GO): "The inner ring may slide here, since the outer one turns.",
}


def work_up(draft: Draft, reader: Reader, identity: Identity, life: BearingLife) -> Seat:
    """Work up the seats of one bearing: the limits to machine, and the measured seat against them."""
    name, at, size = identity.name, f"bearing[{identity.name}]", identity.size
    turning, seat = reader.get(f"{at}.turning_ring"), identity.shaft
    seated = Seat(name, measured=None if seat is None else seat.value)
    id, title = f"bearings.seat[{name}]", f"{name}: seat on the shaft"
    missing = [k for k, v in ((f"{at}.turning_ring", turning), (f"{at}.seat", seat)) if v is None]
    words = "Measure the shaft under the bearing with a micrometer, at three places." if seat is None else ""
    bore = identity.readings.get("bore")
    if size is None and None not in (seat, bore) and _other(seat, bore.value, bore.plus_minus):
        _other_check(draft, reader, identity, id, title)
        return seated
    if size is None:
        missing = missing or [f"{at}.{k}" for k in KEYS.values()]
        draft.checks.append(undecided(id, title, missing, f"Which bearing it is is not known yet. {words}".strip()))
        return seated
    if identity.marking is not None and identity.marking.taper_bore:
        draft.check(
            id,
            title,
            f"{size.designation}, taper bore",
            "a clamping sleeve, and a seat for it",
            CAUTION,
            reason="A taper bore sits on a clamping sleeve, so the limits of a plain seat are not those of this shaft.",
            remedy="Take the seat's size and limits, and how far the nut is drawn, from the maker of the sleeve.",
            source="trade-practice",
        )
        return seated
    reader.note_missing(*missing)
    if seat is not None and all(_other(seat, rival.bore) for rival in identity.rivals or (size,)):
        _other_check(draft, reader, identity, id, title)
        return seated
    if turning is None:
        words = f"Which ring turns decides which one must be tight. {words}"
        draft.checks.append(undecided(id, title, missing, words.strip()))
        return seated
    seated = limits_of(name, size, turning, life)._replace(measured=seated.measured)
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
        draft.checks.append(undecided(id, title, missing, words, limit=span(reader, seated.shaft)))
    else:
        _check(draft, reader, identity, seated, life)
    return seated


def _other(reading, bore: float, missed: float = 0.0) -> bool:
    """Tell whether a reading of the seat is that of another bore, whatever its instruments may have missed."""
    return abs(bore - reading.value) - reading.plus_minus - missed > OTHER_SIZE


def _other_check(draft: Draft, reader: Reader, identity: Identity, id: str, title: str) -> None:
    """Add the stop of a seat for another bore; which ring turns does not matter."""
    size, value = identity.size, identity.shaft.value
    bore, named = (identity.readings["bore"].value, "as read") if size is None else (size.bore, size.designation)
    draft.check(
        id,
        title,
        reader.number(value, "length", by="micrometer", known=reader.how(f"bearing[{identity.name}].seat")),
        reader.number(bore, "length", f"{named}, bore {{}}", by="micrometer"),
        STOP,
        reason=off_words(reader, bore, value, "seat"),
        remedy=OTHER,
        source="own-derivation; trade-practice",
    )


def limits_of(name: str, size, turning: str, life: BearingLife) -> Seat:
    """Return the fit advice and every limit of one size; no advice where the tables end."""
    ratio = NORMAL_RATIO
    if life.load is not None and life.rating is not None:
        ratio = life.load * life.shock / life.rating.dynamic
    try:
        advice = seats.choose.si(turning, ratio, size.bore)
        ring, outer = (fits.ring_limits.si(d, bore=size.bore, od=size.od, width=size.width) for d in ("bore", "od"))
        shaft, housing = fits.limits.si(size.bore, advice.shaft_class), fits.limits.si(size.od, advice.housing_class)
        return Seat(name, advice, shaft=shaft, housing=housing, ring=ring, outer=outer)
    except ValueError:
        return Seat(name)


def machined(reader: Reader, seat: Seat) -> Iterator[tuple[Value, ...]]:
    """Yield what is machined and what a new ring has there: what, class, how it sits, limits, from nominal, by whom."""
    advice = seat.advice
    if advice is None:
        words = "slides on by hand" if seat.slides == "h6" else "or finer; slides on by hand"
        limits = seat.shaft
        yield (
            "bar",
            seat.slides,
            words,
            span(reader, limits),
            deviations(reader, limits),
            tables.printed_in(limits.cite),
        )
        return
    for what, ring, name, limits in (
        ("shaft seat", "inner", advice.shaft_class, seat.shaft),
        ("bore of a new ring", "", "Normal", seat.ring),
        ("housing bore", "outer", advice.housing_class, seat.housing),
        ("outside of a new ring", "", "Normal", seat.outer),
    ):
        sits = "" if not ring else "tight" if ring == advice.tight_ring else "slides"
        yield what, name, sits, span(reader, limits), deviations(reader, limits), tables.printed_in(limits.cite)


def sheet(reader: Reader, seated: Iterable[Seat]) -> Table:
    """Return the limits of every bearing's seats in one table."""
    known = [s for s in seated if s.advice is not None or s.slides]
    words = []
    if any(s.advice is not None for s in known):
        words.append("The ring that turns against the load is the tight one; the other may slide.")
    if any(s.slides for s in known):
        words.append("An insert slides on its bar and has no housing to bore.")
    if any("computed" in (s.shaft.basis, s.housing.basis if s.housing else "") for s in known):
        words.append("Where the standard's table has no row, its formulas give the limits.")
    return Table(
        "Seats to machine",
        ("bearing", "what", "class", "", "limits", "from nominal", "limits by"),
        tuple((seat.name, *row) for seat in known for row in machined(reader, seat)),
        " ".join(words) if known else "The ring that turns against the load is the tight one; the other may slide.",
    )


def _verdict(seat: Seat, low: float, high: float, size, life: BearingLife) -> tuple[str, seats.Interference]:
    """Return the verdict on a measured seat between ``low`` and ``high`` against one size, and its interference."""
    found = seats.interference.si(low, high, seat.ring, bore=size.bore, width=size.width, radial=life.top)
    if abs((low + high) / 2 - size.bore) > OTHER_SIZE or low - size.bore > CRACKS * size.bore:
        return STOP, found
    inside = at_least((low + high) / 2, seat.shaft.lower) and at_most((low + high) / 2, seat.shaft.upper)
    if seat.advice.tight_ring == "outer":
        # the inner ring may slide on its pin; a pin far under size lets it hammer
        return (GO if inside else STOP if size.bore - high > HAMMERS or found.too_much else CAUTION), found
    if found.likely <= 0:
        return STOP, found
    return (GO if inside and not found.too_much else CAUTION), found


def _check(draft: Draft, reader: Reader, identity: Identity, seat: Seat, life: BearingLife) -> None:
    at, reading, verdicts, words = f"bearing[{identity.name}]", identity.shaft, [], []
    low, high = reading.value - reading.plus_minus, reading.value + reading.plus_minus
    for size in identity.rivals:
        mine = limits_of(identity.name, size, reader.get(f"{at}.turning_ring"), life)
        if mine.advice is None:
            continue
        verdicts.append(_verdict(mine, low, high, size, life))
        words.append(f"{gap(reader, size.bore - reading.value)} on {size.designation}")
    if not verdicts:
        return
    (first, found), worst = verdicts[0], max((v for v, _ in verdicts), key=ORDER.index)
    # the likely size decides a stop; a rival that would stop makes it a caution
    verdict = first if first == STOP or worst == first else CAUTION
    too_much = (
        " At most the interference is above a thousandth of the bore; it can take up the play."
        if found.too_much
        else ""
    )
    reason = WHY[seat.advice.tight_ring, verdict]
    over = reading.value - identity.size.bore
    if verdict == STOP and (abs(over) > OTHER_SIZE or over > CRACKS * identity.size.bore):
        reason = off_words(reader, identity.size.bore, reading.value, "seat")
    cure = "" if verdict == GO else _cure(seat, found, identity)
    if _open(seat, reading, identity, life):
        verdict, cure = CAUTION, MEASURE
        reason = f"The reading, by {reading.instrument}, is too rough for a seat: it may hold and it may be loose."
    draft.check(
        f"bearings.seat[{identity.name}]",
        f"{identity.name}: seat on the shaft",
        reader.number(
            reading.value,
            "length",
            f"{{}}, {', '.join(words)}",
            by="micrometer",
            low=low,
            high=high,
            known=reader.how(f"{at}.seat"),
        ),
        span(reader, seat.shaft, f"seat {seat.advice.shaft_class}: {{}}"),
        verdict,
        reason=f"{reason} A new ring is made under size: likely {gap(reader, -found.likely)}.{too_much}",
        remedy=cure,
        source=f"catalogue-a, section 7.3; {seat.advice.cite}; {seat.shaft.cite}; {seat.ring.cite}",
    )


def _open(seat: Seat, reading, identity: Identity, life: BearingLife) -> bool:
    """Tell whether a reading that no micrometer took leaves it open how the seat is judged."""
    if reading.instrument == "micrometer":
        return False
    low, high = reading.value - reading.plus_minus, reading.value + reading.plus_minus
    # between its ends a rough reading may well be a seat within its class
    good = min(max((seat.shaft.lower + seat.shaft.upper) / 2, low), high)
    return len({_verdict(seat, at, at, identity.size, life)[0] for at in (low, reading.value, high, good)}) > 1


def _cure(seat: Seat, found: seats.Interference, identity: Identity) -> str:
    if abs(identity.size.bore - identity.shaft.value) > OTHER_SIZE:
        return OTHER
    first = "" if len(identity.rivals) < 2 else "Decide the bore first. "
    if found.likely > 0 and seat.measured is not None and seat.measured > seat.shaft.upper:
        return first + "Take the seat down to its limits; never force a ring on a seat that is too large."
    return first + REPAIR
