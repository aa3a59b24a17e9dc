"""An insert bearing: the bar it slides on, how fast it runs on that, its housing, and how far out of line it may be."""

from __future__ import annotations

from math import pi

from jackshaft import tables
from jackshaft.chapters.bearings.data import BearingLife, Identity, Seat
from jackshaft.chapters.bearings.place import off_words, too_thick
from jackshaft.chapters.bearings.seats import OTHER_SIZE
from jackshaft.chapters.bearings.shown import gap, housing_words, span
from jackshaft.chapters.ratio.checks import TOP, top_words
from jackshaft.mechanics import bearing_marks, bearing_sizes, fits, inserts
from jackshaft.results.checks import CAUTION, GO, STOP, stays_within
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import RPM, at_least, at_most

CLASSES = inserts.CLASSES
#: Keys that an insert alone has.
KEYS = (
    "locking",
    "housing",
    "centre_height",
    "bolt_spacing",
    "seat_class",
    "screw_torque",
    "shaft_collar",
    "misalignment",
    "relubricated",
)
#: A height by tape may be off by so much, and bolts stand so far apart in slots (common practice, no source); m.
HEIGHT_OFF, SLOT = 0.8e-3, 4e-3
#: Housings of which no sizes are listed.
UNLISTED = ("take-up unit", "pressed steel", "floating unit")
#: Housings that let a locked insert move along the shaft's axis: made to, or thin enough to give way.
GIVES_WAY = ("floating unit", "pressed steel")

SOURCE = "insert-catalogue, table 11; insert-tech-page, bore tolerance"
OTHER = "Measure bore and bar again. Where both are right, take the insert that goes with this bar."
MEASURE = "Measure the bar under the bearing with a micrometer before it is machined or bought again."


def fact(item: str, column: str = "high") -> float:
    """Return a figure of the table of insert facts."""
    return tables.table("insert_facts").one(item=item)[column]


def is_insert(identity: Identity) -> bool:
    """Tell whether a bearing is an insert by the size taken for it."""
    return bearing_sizes.is_insert(identity.size)


def said(reader: Reader, at: str) -> bool:
    """Tell whether the build says of a bearing what only an insert has."""
    return reader.is_none(f"{at}.locking") or any(reader.get(f"{at}.{key}") is not None for key in KEYS)


def locking_of(reader: Reader, identity: Identity) -> str | None:
    """Return what locks an insert: what is written down, else what its marking says; "none" where nothing does."""
    at = f"bearing[{identity.name}]"
    if reader.is_none(f"{at}.locking"):
        return "none"
    said = reader.get(f"{at}.locking") or (identity.marking.locking if identity.marking else "")
    has = identity.size is not None and identity.size.collared
    return said or (bearing_marks.COLLAR if has else None)


def housing_of(reader: Reader, identity: Identity) -> str | None:
    """Return the housing of an insert: what is written down, else what its marking says."""
    own = reader.get(f"bearing[{identity.name}].housing")
    return own or (identity.marking.housing if identity.marking else "") or None


def limits_of(bore: float) -> dict[str, fits.Limits]:
    """Return the limits of every class of bar, the finest first."""
    return {c: fits.limits.si(bore, c) for c in CLASSES}


def ratio_of(life: BearingLife) -> float | None:
    """Return load over rating, shock counted; None where it is not known."""
    if life.load is None or life.rating is None:
        return None
    return life.load * life.shock / life.rating.dynamic


def work_up(draft: Draft, reader: Reader, identity: Identity, life: BearingLife) -> Seat:
    """Work up one insert: its checks, and the seat that it wants."""
    name, at = identity.name, f"bearing[{identity.name}]"
    if identity.size is None:
        keys = reader.unknown(*(f"{at}.{k}" for k in ("bore", "outside", "width"))) or (f"{at}.designation",)
        words = "Which insert it is is not known yet, so the bar that it wants is not known either."
        draft.missing(reader, f"bearings.seat[{name}]", f"{name}: bar that it slides on", keys, words)
        return Seat(name)
    seat = _seat(draft, reader, identity, life)
    _speed(draft, reader, identity, seat, life)
    _housing(draft, reader, identity)
    _tilt(draft, reader, identity)
    return seat


# -- the bar it slides on --------------------------------------------------------------------------------


def wanted(reader: Reader, identity: Identity, life: BearingLife) -> inserts.InsertSeat:
    """Return the class of bar that an insert wants: for its load, that of the heaviest where it is not known."""
    if locking_of(reader, identity) == bearing_marks.SLEEVE:
        return inserts.InsertSeat("h9", "h9", pressed=False, cite="insert-catalogue table 11")
    ratio = ratio_of(life)
    advice = inserts.insert_seat(1.0 if ratio is None else ratio)
    return advice if ratio is not None else advice._replace(pressed=False)


def _seat(draft: Draft, reader: Reader, identity: Identity, life: BearingLife) -> Seat:
    """Add the check of the bar under an insert, and return the seat that it wants."""
    name, at, size = identity.name, f"bearing[{identity.name}]", identity.size
    id, title = f"bearings.seat[{name}]", f"{name}: bar that it slides on"
    advice, said_class = wanted(reader, identity, life), reader.get(f"{at}.seat_class")
    if locking_of(reader, identity) == bearing_marks.SLEEVE:
        _in_a_sleeve(draft, reader, (id, title, f"{at}.seat_class"), advice)
        return Seat(name, has=said_class)
    bars, reading = limits_of(size.bore), identity.shaft
    has = said_class if reading is None else inserts.finest_class_si(reading.value, bars)
    value = None if reading is None else reading.value
    seat = Seat(name, shaft=bars[advice.coarsest], slides=advice.coarsest, has=has, measured=value)
    limit = span(reader, seat.shaft, f"bar {advice.coarsest}{' or finer' if advice.coarsest != 'h6' else ''}: {{}}")
    draft.fact("bar it wants", f"{_range(advice)}, {span(reader, seat.shaft)}", _why(reader, life, advice, identity))
    if reading is None and said_class is None:
        words = "It slides on its bar without force. How thick the bar is, or its tolerance class, is not known yet."
        draft.missing(reader, id, title, [f"{at}.seat", f"{at}.seat_class"], words, limit=limit)
        return seat
    if reading is None:
        value, (verdict, reason, cure) = f"bar {said_class}, by its class", _by_class(said_class, advice)
        if (bar := too_thick(reader, identity)) is not None:
            verdict, reason, cure = STOP, off_words(reader, size.bore, bar, "bar"), OTHER
    else:
        value, (verdict, reason, cure) = _as_measured(reader, identity, bars, advice)
    if advice.pressed and verdict == GO:
        verdict, cure = CAUTION, "Take a larger insert, or a bearing that is pressed on."
        reason += " So much of its rating asks for an interference fit, and a sliding ring has none."
    if ratio_of(life) is None:
        reason += " Its load is not known yet, so the bar is judged as for the heaviest."
    draft.check(id, title, value, limit, verdict, reason=reason, remedy=cure, source=SOURCE)
    return seat


def _in_a_sleeve(draft: Draft, reader: Reader, named: tuple[str, str, str], advice: inserts.InsertSeat) -> None:
    """Add the check of the bar in an adapter sleeve: only its class is asked for, the sleeve closes on it."""
    id, title, key = named
    has, limit = reader.get(key), f"bar {advice.coarsest} or finer, of the sleeve's bore, round within IT5"
    if has is None:
        draft.missing(reader, id, title, [key], f"{SLEEVE} Of which class the bar is is not known yet.", limit=limit)
        return
    fine = CLASSES.index(has) <= CLASSES.index(advice.coarsest)
    cure = "" if fine else "Take finer bar."
    draft.check(
        id, title, f"bar {has}", limit, GO if fine else CAUTION, SLEEVE, cure, source="insert-catalogue, table 11"
    )


SLEEVE = "A taper bore sits on an adapter sleeve, whose nut is drawn as far as its maker says."


def _range(advice: inserts.InsertSeat) -> str:
    return advice.finest if advice.finest == advice.coarsest else f"{advice.finest} to {advice.coarsest}"


def _why(reader: Reader, life: BearingLife, advice: inserts.InsertSeat, identity: Identity) -> str:
    """Return why it wants that bar, and how bar is sold."""
    ratio = ratio_of(life)
    words = "load not known yet: as for the heaviest" if ratio is None else f"load {100 * ratio:.2g} % of C"
    words += "; it slides on, nothing is pressed or warmed"
    if identity.size.bore and reader.system == "inch":
        small = identity.size.bore <= 1.5 * 25.4e-3 * (1 + 1e-9)
        sold = fact("drawn inch bar, to 1-1/2 in" if small else "drawn inch bar, larger")
        thin = identity.size.bore < 50e-3
        seat = fact("seat of an inch bar, to 1-15/16 in" if thin else "seat of an inch bar, larger")
        words += (
            f"; cold-drawn bar is sold up to {sold:g} in under size (from memory), one maker of inserts wants "
            f"{seat:.4f} in under size at most"
        )
    return words


def _by_class(has: str, advice: inserts.InsertSeat) -> tuple[str, str, str]:
    """Return verdict, reason and cure of a bar that was not measured."""
    if CLASSES.index(has) <= CLASSES.index(advice.coarsest):
        return GO, f"A bar of class {has} is fine enough for this load. It slides on without force.", ""
    return CAUTION, f"{LOOSE} This load asks for {_range(advice)}.", "Take finer bar, or turn the seat."


LOOSE = "On so loose a bar the screws push the ring out of centre: it shakes, and wears the bar."


def _judged(bore: float, value: float, bars, advice) -> str:
    """Return the verdict on a bar of one size."""
    top = bore + inserts.insert_row_si(bore)["bore_high_um"] * 1e-6
    if not at_most(value, top + inserts.SHOWN) or not at_least(value, bars[CLASSES[-1]].lower - inserts.SHOWN):
        return STOP
    loose = bars[advice.coarsest].lower - inserts.SHOWN
    return GO if at_most(value, bore + inserts.SHOWN) and at_least(value, loose) else CAUTION


def _as_measured(reader: Reader, identity: Identity, bars, advice):
    """Return value, and verdict, reason and cure of a bar that was measured."""
    reading, bore = identity.shaft, identity.size.bore
    value, by = reading.value, reading.instrument
    low, high = value - reading.plus_minus, value + reading.plus_minus
    play = inserts.insert_play.si(bore, value, value)
    shown = reader.number(
        value,
        "length",
        f"{{}}, {gap(reader, play.least)} to {gap(reader, play.most)} in a new bore",
        by="micrometer",
        low=low,
        high=high,
        known=reader.how(f"bearing[{identity.name}].seat"),
    )
    if abs(value - bore) - reading.plus_minus > OTHER_SIZE:
        return shown, (STOP, off_words(reader, bore, value, "bar"), OTHER)
    verdict = _judged(bore, value, bars, advice)
    ends = (low, value, high, min(max(bore, low), high))
    if by != "micrometer" and len({_judged(bore, v, bars, advice) for v in ends}) > 1:
        words = f"The reading, by {by}, is too rough for this bar: it may slide on well and it may not."
        return shown, (CAUTION, words, MEASURE)
    if verdict == GO:
        return shown, (GO, "It slides on without force and sits close enough for this load.", "")
    if value > bore + inserts.SHOWN:
        over = off_words(reader, bore, value, "bar")
        most = reader.show(inserts.insert_row_si(bore)["bore_high_um"] * 1e-6, "length", by="indicator")
        some = (
            f"The bar is over the nominal bore. A new bore may be up to {most} over it, so it goes on some rings only."
        )
        words = over if verdict == STOP else some
        return shown, (verdict, words, "Polish or turn the bar down to its limits. Never drive an insert on.")
    if verdict == CAUTION:
        has = inserts.finest_class_si(value, bars)
        words = f"It is no finer than {has}, and this load asks for {_range(advice)}. {LOOSE}"
        return shown, (CAUTION, words, "Take finer bar, or sleeve the seat and turn it.")
    words = f"{off_words(reader, bore, value, 'bar')} That is looser than any class for inserts. {LOOSE}"
    return shown, (STOP, words, "Take finer bar, or sleeve the seat and turn it.")


def turning(identity: Identity, speed: float) -> float:
    """Return bore times speed as the trade counts it, mm times rpm."""
    return identity.size.bore * 1e3 * speed / RPM


# -- speed, housing, line --------------------------------------------------------------------------------


def _speed(draft: Draft, reader: Reader, identity: Identity, seat: Seat, life: BearingLife) -> None:
    """Add the check of the speed: the finest bar's limit is that of the bearing, a looser bar's one is for quiet."""
    top = life.speed if life.top_speed is None else life.top_speed
    if top is None:
        return
    code, name = identity.size.size_code, identity.name
    most = float(inserts.insert_speed.si(code, CLASSES[0]))
    loose = seat.has or (None if seat.measured is None else CLASSES[-1])
    if loose and seat.measured is not None and seat.measured > identity.size.bore + inserts.SHOWN:
        loose = seat.slides  # too thick to slide on: it is judged as turned down to what is asked for
    sleeve = locking_of(reader, identity) == bearing_marks.SLEEVE
    fit = CLASSES[0] if sleeve else loose or CLASSES[-1]
    own = float(inserts.insert_speed.si(code, fit))
    verdict = GO if stays_within(top, own) else CAUTION if stays_within(top, most) else STOP
    reason = f"One maker's list, from memory, gives {reader.show(own, 'rotation')} on a bar of class {fit}."
    if sleeve:
        reason = "An adapter sleeve centres the ring, so the limit is that of the bearing."
    elif loose is None:
        reason = f"The bar is not known yet, so it is judged as {fit}, the loosest."
        reader.note_missing(f"bearing[{name}].seat", f"bearing[{name}].seat_class")
    if verdict == STOP:
        reason = f"Even on the finest bar one maker's list, from memory, ends at {reader.show(most, 'rotation')}."
    if turning(identity, top) > fact("bore times speed, extra care", "low"):
        reason += " At this speed and bore the screws want care: a flat under each, and tightening again after a run."
    draft.check(
        id := f"bearings.speed[{name}]",
        f"{name}: speed",
        reader.number(top, "rotation"),
        reader.number(own, "rotation", f"{{}} on this bar, {reader.show(most, 'rotation')} on h6", known="from memory"),
        verdict,
        reason=reason,
        remedy=""
        if verdict == GO
        else "Take finer bar or a smaller size, or run slower. Its maker's own limit counts.",
        source="insert-catalogue, limiting speeds by shaft tolerance (from memory)",
    )
    draft.doubt(reader, () if life.top_speed is not None else (TOP,), top_words(reader), id)


def codes_by_housing(reader: Reader, at: str) -> set[int] | None:
    """Return the size codes that height and bolts of a housing leave open; None where neither was measured."""
    found = list(_by_reading(reader, at).values())
    return set.intersection(*found) if found else None


def _by_reading(reader: Reader, at: str) -> dict[str, set[int]]:
    """Return the size codes that go with each of height and bolts that was measured, by what it is."""
    height, bolts = reader.get(f"{at}.centre_height"), reader.get(f"{at}.bolt_spacing")
    rows = tables.table("insert_housings").where(housing=reader.get(f"{at}.housing") or "pillow block").rows
    found = {}
    if height is not None:
        off = HEIGHT_OFF + (height.plus_minus or 0.0)
        near = [r for r in rows if r["centre_height_mm"] and abs(r["centre_height_mm"] * 1e-3 - height.si) <= off]
        found["height"] = {int(r["size_code"]) for r in near}
    if bolts is not None:
        low, high = bolts.si - SLOT, bolts.si + SLOT
        near = [r for r in rows if low <= r["spacing_high_mm"] * 1e-3 and r["spacing_low_mm"] * 1e-3 <= high]
        found["bolts"] = {int(r["size_code"]) for r in near}
    return found


def _housing(draft: Draft, reader: Reader, identity: Identity) -> None:
    """Add a check where the housing was measured: is it one for this size?"""
    name, at = identity.name, f"bearing[{identity.name}]"
    kind, found = reader.get(f"{at}.housing"), _by_reading(reader, at)
    if not found or kind in UNLISTED:
        return
    code = identity.size.size_code
    listed = next(h for h in inserts.insert_housings.si(code) if h.housing == (kind or "pillow block"))
    keys = {"height": ("centre_height", "shaft"), "bolts": ("bolt_spacing", "bolts")}
    wrong = {what: codes for what, codes in found.items() if code not in codes}
    value = ", ".join(
        f"{word} {reader.show(reader.si(f'{at}.{key}'), 'length')}"
        for what, (key, word) in keys.items()
        if what in found
    )
    said = [
        f"The {what} {'is' if what == 'height' else 'are'} that of "
        + (f"a {' or '.join(map(str, sorted(codes)))}." if codes else f"no {listed.housing} listed.")
        for what, codes in wrong.items()
    ]
    draft.check(
        f"bearings.housing[{name}]",
        f"{name}: housing",
        value,
        f"{code}: {housing_words(listed, reader.system)}",
        CAUTION if wrong else GO,
        reason=" ".join(said) or "What was measured of the housing is that of its size.",
        remedy="Measure the housing again, and read the number cast on it." if wrong else "",
        source="jis-b1559, height and bolts (from memory); bearing-sheet-inch, dimension tables",
    )


def _tilt(draft: Draft, reader: Reader, identity: Identity) -> None:
    """Add the check of the angle between shaft and housing, where it was measured."""
    at = f"bearing[{identity.name}]"
    angle, greased = reader.si(f"{at}.misalignment"), reader.get(f"{at}.relubricated")
    if angle is None:
        return
    item = "misalignment, not relubricated" if greased is False else "misalignment, relubricated"
    likely, most = (fact(item, c) * pi / 180 for c in ("likely", "high"))
    verdict = GO if stays_within(angle, likely) else CAUTION if stays_within(angle, most) else STOP
    draft.check(
        f"bearings.tilt[{identity.name}]",
        f"{identity.name}: out of line",
        reader.number(angle, "angle", known=reader.how(f"{at}.misalignment")),
        reader.number(likely, "angle", "{} or less, at rest"),
        verdict,
        reason="The round back lets the ring tilt once, when it is set up. It must not rock at every turn."
        + ("" if greased is False else " Tilted further, the housing's grease hole no longer meets the ring's groove."),
        remedy=""
        if verdict == GO
        else "Set the housing in line with the shaft: shim its foot or turn it in its slots.",
        source="insert-mounting-sheet; bearing-sheet-inch, p. 10",
    )
