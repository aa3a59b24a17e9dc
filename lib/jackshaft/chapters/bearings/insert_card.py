"""The fitting card of an insert bearing: what to ask for, its bar, its lock and its housing, how it goes on and off."""

from __future__ import annotations

from jackshaft import tables
from jackshaft.chapters.bearings.card import CLOSED, way_off, welded
from jackshaft.chapters.bearings.data import BearingLife, Card, Identity, Seat
from jackshaft.chapters.bearings.inserts import fact, housing_of, locking_of, turning
from jackshaft.chapters.bearings.seats import machined
from jackshaft.chapters.bearings.shown import housing_words, size_words
from jackshaft.mechanics import bearing_marks, bearing_sizes, fitting, inserts
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

CAUTIONS = (
    "Lock the drive out before you reach in: screws are tightened at rest.",
    "Goggles: a ring that is pressed too hard by its screws splinters.",
    "Guard the screws and collars: they catch sleeves.",
    "No weld current through a bearing.",
)
#: Letter of a housing behind those of an insert held by set screws.
LETTERS = {"pillow block": "P", "square flange": "F", "oval flange": "FL", "take-up unit": "T"}


def work_up(draft: Draft, reader: Reader, identity: Identity, seat: Seat, life: BearingLife) -> Card | str:
    """Return one insert's card, or why there is none yet."""
    size, at, locking = identity.size, f"bearing[{identity.name}]", locking_of(reader, identity)
    if size is None:
        return "Which insert it is is not known yet: measure its bore and its housing, or read its marking."
    if locking in (None, "none"):
        return "What locks the insert on its shaft is not written down, and it decides how it goes on."
    if len({s.size_code for s in identity.rivals if bearing_sizes.is_insert(s)}) > 1:
        return "Which size of insert it is is not settled: it decides its screws, its bar and its housing."
    housing, code = housing_of(reader, identity), size.size_code
    screws, care = inserts.insert_screws.si(code), _care(identity, life)
    ask = asked_as(identity, housing, locking)
    closure = CLOSED.get(reader.get(f"{at}.closure") or "") or (identity.marking.closure if identity.marking else None)
    torque = reader.number(screws.low, "torque", "{low} to {high}", low=screws.low, high=screws.high).shown
    shaft = reader.get(f"{at}.shaft")
    rows = {
        "how": "it slides on by hand: no press, no warming, no housing to bore",
        "held by": locking
        if locking == bearing_marks.SLEEVE
        else f"{locking} of {screws.size} in or {screws.metric}, {torque} by three lists",
        "screws": _screw_words(locking, care),
        "play inside": "" if locking == bearing_marks.SLEEVE else _play(reader, identity),
        "housing": _housing_words(reader, code, housing),
        "grease": _grease(reader, identity),
        "bar as measured": "" if seat.measured is None else reader.show(seat.measured, "length", by="micrometer"),
    }
    return Card(
        bearing=identity.name,
        ask=ask,
        with_it=f" in a {housing}" if housing else " in the housing that you have",
        explained=bearing_marks.decode(ask).words,
        size=size_words(reader, size),
        sizes=(size.bore, size.od, size.width),
        closed=closure != "open",
        grooved=False,
        tight="",
        rows=tuple(r for r in rows.items() if r[1]),
        seats=()
        if seat.shaft is None
        else tuple(
            (*words, limits.shown, off.shown, by) for *words, limits, off, by in machined(reader, seat) if words[2]
        ),
        on=fitting.insert_steps(locking=locking, torque=torque, care=care, welding=welded(reader, shaft)),
        off=_off(reader, identity, shaft, locking),
        cautions=CAUTIONS,
        outer=_outer(code),
    )


def _outer(code: int) -> float | None:
    """Return the width of the outer ring, m."""
    wide = tables.table("bearings").one(designation=f"UC{code}")["outer_width_mm"]
    return wide and wide * 1e-3


def asked_as(identity: Identity, housing: str | None, locking: str) -> str:
    """Return the marking to ask the counter for: with the letter of its housing where that is the trade's."""
    own = identity.marking.asked_as if identity.marking else ""
    if not own:
        letters = {bearing_marks.COLLAR: "UEL", bearing_marks.SLEEVE: "UK"}.get(locking, "UC")
        own = letters + identity.size.screwed.removeprefix("UC")
    letter = LETTERS.get(housing or "", "")
    return own.replace("UC", f"UC{letter}", 1) if own.startswith("UC") else own


def _care(identity: Identity, life: BearingLife) -> bool:
    """Tell whether bore and speed ask for more care with the screws; a speed that is not known does."""
    most = fact("bore times speed, extra care", "low")
    return life.top_speed is None or turning(identity, life.top_speed) > most


def _screw_words(locking: str, care: bool) -> str:
    if locking == bearing_marks.SLEEVE:
        return ""
    low, high = fact("flat under a set screw", "low"), fact("flat under a set screw", "high")
    words = "they carry no drive torque: key or clamp every hub to the shaft by itself"
    if locking == bearing_marks.COLLAR:
        words += "; a collar is for one direction of turning, for both only at low speed and load"
    return words + (f"; a flat {low:g} to {high:g} mm deep under each; tighten again after the first run" * care)


def _play(reader: Reader, identity: Identity) -> str:
    """Return the play between balls and races: a ring that slides on takes none of it."""
    clearance = identity.marking.clearance if identity.marking else "CN"
    row = inserts.insert_row_si(identity.size.bore)
    ends = [row.get(f"{clearance.lower()}_{end}_um") for end in ("low", "high")]
    if None in ends:
        return ""
    low, high = (reader.show(v * 1e-6, "length", by="indicator") for v in ends)
    return f"{low} to {high}, clearance {clearance}; nothing of it is lost, since nothing is pressed"


def _housing_words(reader: Reader, code: int, housing: str | None) -> str:
    """Return the housing's height and bolts; the holes are drilled to the one in hand."""
    flat = f"{fact('base flatness'):g} {'thou in an inch' if reader.system == 'inch' else 'mm in a metre'}"
    tail = (
        "makers set height and bolts a little apart, so drill to the housing in hand; bolts of grade 5 (8.8) with "
        f"washers; base flat within {flat}, hollow if at all"
    )
    listed = [h for h in inserts.insert_housings.si(code) if h.housing == housing]
    if housing and not listed:
        return tail.partition(", so ")[2]
    return (
        "; ".join([*(f"{h.housing}, from memory: {housing_words(h, reader.system)}" for h in listed), tail])
        if listed
        else tail
    )


def _grease(reader: Reader, identity: Identity) -> str:
    """Return how much grease and how often; nothing where it cannot be greased again."""
    if reader.get(f"bearing[{identity.name}].relubricated") is False:
        return "closed for life: it is not greased again"
    dusty = reader.get("place") in ("outdoors", None)
    item = f"relubrication, {'dust or wet' if dusty else 'clean and dry'}"
    portion = float(inserts.grease_portion.si(identity.size.od, identity.size.width))
    grams = f"{portion * 1e3:.0f} g"
    if reader.system == "inch":
        grams = f"{portion / 0.028349523125:.2f} oz ({grams})"
    return (
        f"{grams} each time, every {fact(item, 'low'):g} to {fact(item):g} h "
        f"({'outdoors' if dusty else 'clean and dry'}, from memory; its maker's list comes first); a little at a time, "
        "with the shaft turned by hand and the drive locked out, until fresh grease shows at the seals"
    )


def _off(reader: Reader, identity: Identity, shaft: str | None, locking: str) -> tuple[str, ...]:
    """Return the steps off, with the way that the steps of the shaft leave free."""
    steps = fitting.insert_removal_steps(locking=locking)
    way = way_off(reader, shaft, reader.si(f"bearing[{identity.name}].position"), identity.size.bore)
    return steps if way == "unknown" else (*steps[:3], way, *steps[3:])
