"""The fitting card of a bearing: what to ask for, how warm, what play is left, on it goes and off; and what could stand in."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from jackshaft import tables
from jackshaft.checks import CAUTION, GO, STOP, Sheet, undecided
from jackshaft.mechanics import bearing_limits, bearing_marks, bearing_sizes, bearings, fitting, seats
from jackshaft.workup.bearing_identity import Identity, size_words, thou
from jackshaft.workup.bearing_life import BearingLife, hours_text
from jackshaft.workup.bearing_seats import Seat
from jackshaft.workup.core import Draft, Looker

AIR = 293.15  # K, a shop at 20 °C
SHOWN, ROWS = 4, 8
USUAL = 1.645 / 3  # 18 of 20 lie within this share of the limits, taken as three sigma (common practice, no source)
CLOSED = {"open": "open", "shielded": "two shields", "sealed": "two seals"}


def work_up(draft: Draft, look: Looker, identity: Identity, seat: Seat, life: BearingLife) -> tuple[tuple[str, ...], ...]:
    """Return the rows of one bearing's card (bearing, about, words), and add the check of the play that is left."""
    size, advice = identity.size, seat.advice
    if size is None or advice is None:
        return ()
    name, at, marking = identity.name, f"bearing[{identity.name}]", identity.marking
    closure = CLOSED.get(look.get(f"{at}.closure") or "") or (marking.closure if marking else None)
    groove = marking.ring_groove if marking else "unknown"
    clearance = marking.clearance if marking else "CN"
    rows = [(name, "ask for", _ask(size, closure, groove, clearance)), (name, "tight ring", advice.why)]
    most = max(seat.shaft.upper, seat.measured or 0.0) - seat.ring.lower
    warm_to = None
    if advice.tight_ring == "inner":
        warm = seats.warming.si(size.bore, most, air=AIR, sealed=closure != "open")
        shown, limit = look.show(warm.temperature, "temperature"), look.show(warm.limit, "temperature")
        warm_to = shown if warm.allowed else None
        rows.append((name, "warm to", f"{shown}, never above {limit}" if warm.allowed else
                     f"would need {shown}, above the {limit} it stands: press it on, or cool the shaft as well"))
        rows.append((name, "play left", _play(draft, look, identity, seat, life, clearance)))
    fillet = _fillet(look, size)
    if fillet:
        rows.append((name, "shoulder", fillet))
    located = look.get(f"{at}.located")
    steps = fitting.fitting_steps(tight_ring=advice.tight_ring, closed=closure != "open",
                                  groove="groove" if groove == "unknown" else groove, located=bool(located), warm_to=warm_to)
    floats = fitting.fitting_steps(tight_ring=advice.tight_ring, closed=True, located=False)[-2]
    if located is None:
        steps = tuple("Settle which one bearing of the shaft is held endways; every other one floats." if s == floats else s
                      for s in steps)
    rows += [(name, f"on, step {n}", s) for n, s in enumerate(steps, 1)]
    off = fitting.removal_steps(groove={"none": "none", "unknown": "unknown"}.get(groove, "found"), tight_ring=advice.tight_ring)
    rows += [(name, f"off, step {n}", s) for n, s in enumerate(off, 1)]
    return tuple(rows)


def _ask(size, closure: str | None, groove: str, clearance: str) -> str:
    base = size.designation.split()[0]
    try:
        words = bearing_marks.marking_for(base, closure=closure or "two seals", ring_groove="none" if groove == "unknown" else groove,
                                          clearance=clearance)
    except ValueError:
        words = base
    tail = "" if closure else ", sealed for work outdoors; what closed the old one is not written down"
    bare = " No list names it with this bore: ask for the body, and say the bore." if size.kind == "inch bore, not listed" else ""
    return f"{words}{tail}.{bare}"


def _play(draft: Draft, look: Looker, identity: Identity, seat: Seat, life: BearingLife, clearance: str) -> str:
    """Return the clearance left with the likely interference of the advised seat, and check it."""
    size = identity.size
    found = seats.interference.si(seat.shaft.lower, seat.shaft.upper, seat.ring, bore=size.bore, width=size.width,
                                  radial=0.0 if life.radial is None else float(life.radial.max()))
    try:
        low, high = seats.clearance_left.si(size.bore, clearance, max(found.effective_likely, 0.0))
    except ValueError:
        return "not tabulated for this bore"
    lost = tables.table("bearing_facts").one(item="clearance lost to a press fit")["likely"]
    # clearance and interference are made apart from each other, so their spreads add as squares
    spread = float(np.hypot((high - low) / 2, lost * (found.effective_most - found.effective_least) / 2)) * USUAL
    likely = (low + high) / 2
    least, most = likely - spread, likely + spread
    verdict = GO if least >= 0 else CAUTION if likely > 0 else STOP
    words = f"{thou(look, least)} to {thou(look, most)}"
    draft.check(f"bearings.play[{identity.name}]", f"{identity.name}: play left when fitted", words, "0 or more", verdict,
                f"Clearance {clearance} less four fifths of the interference of a {seat.advice.shaft_class} seat, in 18 of 20 pairs.",
                "" if verdict == GO else "Ask for the next larger clearance (C3), or take a looser seat class.",
                "gost24810, table 2; textbook-practice")
    return f"{words} of radial play, in 18 of 20 pairs, with clearance {clearance}"


def _fillet(look: Looker, size) -> str:
    rows = tables.table("bearings").where(designation=size.designation.split("-")[0]).rows
    if not rows or not rows[0]["chamfer_min_mm"]:
        return ""
    try:
        radius = seats.largest_fillet.si(rows[0]["chamfer_min_mm"] * 1e-3)
    except ValueError:
        return ""
    return f"corner radius of the shaft's shoulder {look.show(radius, 'length')} or less, under the ring's own chamfer"


def card(rows: Iterable[tuple[str, ...]]) -> Sheet | None:
    """Return the card of every bearing as one table."""
    rows = tuple(rows)
    return Sheet("Fitting card", ("bearing", "about", "what to do"), rows,
                 "Cautions: goggles; gloves with warm parts; no flame; no hammer on a ring; no weld current through a bearing.") \
        if rows else None


def stand_ins(look: Looker, identities: Iterable[Identity], lives: dict[str, BearingLife]) -> Sheet | None:
    """Return sizes that could stand in for each bearing, with what each asks of the builder and its life."""
    rows = []
    for identity in identities:
        if identity.size is None:
            continue
        life = lives[identity.name]
        try:
            found = bearing_sizes.equivalents.si(identity.size.designation)[:SHOWN]
        except ValueError:
            continue
        for size, asks in found:
            rating, hours, fast = _rating(size), "", ""
            if rating is not None and life.load and life.speed and identity.size is not None:
                hours = hours_text(float(bearings.life.si(rating, life.load, life.speed, shock=life.shock).hours))
            if life.top_speed:
                limit = float(bearing_limits.speed_limit.si(size.bore, size.od, "sealed", series=size.series))
                fast = "yes" if limit >= life.top_speed else f"no, {look.show(limit, 'rotation')} sealed"
            rows.append((identity.name, size.designation, size_words(look, size), asks,
                         "" if rating is None else look.show(rating, "force"), hours, fast))
    if not rows:
        return None
    return Sheet("What could stand in", ("bearing", "size", "dimensions", "what it asks", "C", "life", "fast enough"), tuple(rows),
                 "For when the size itself cannot be had, least work first. Life with the same load and shock factor.", aside=True)


def for_the_place(look: Looker, identities: Iterable[Identity], lives: dict[str, BearingLife]) -> Sheet | None:
    """Return the sizes for each bearing's shaft that go into its room, with seal, speed and life held against what is wanted."""
    rows = []
    for identity in identities:
        name, size, life = identity.name, identity.size, lives[identity.name]
        at, closure = f"bearing[{name}]", look.get(f"bearing[{name}].closure")
        room, wide = look.si(f"{at}.room_outside"), look.si(f"{at}.room_width")
        if size is None:
            continue
        fitting = bearing_sizes.choose.si(least_bore=size.bore, most_bore=size.bore, most_od=np.inf if room is None else room,
                                          most_width=np.inf if wide is None else wide)
        fitting = [s for s in fitting if s.kind != "wide" and s.capped in (None, closure != "open")]
        for s in sorted(fitting, key=lambda s: (s.od, s.width))[:ROWS]:
            rows.append((name, s.designation, size_words(look, s), *_holds(look, s, life, closure or "sealed")))
    return Sheet("Sizes for the place", ("bearing", "size", "dimensions", "C", "life", "speed limit", "holds"), tuple(rows),
                 "Listed sizes for the same shaft within the room that the build file gives, smallest first, closed as it says "
                 "(sealed where it says nothing). Life and speed are held against what is wanted.", aside=True) if rows else None


def _holds(look: Looker, size, life: BearingLife, closure: str) -> tuple[str, str, str, str]:
    rating = _rating(size)
    limit = float(bearing_limits.speed_limit.si(size.bore, size.od, closure, series=size.series))
    hours, lacks = None, []
    if rating is not None and life.load and life.speed:
        hours = float(bearings.life.si(rating, life.load, life.speed, shock=life.shock).hours)
    if life.top_speed and limit < life.top_speed:
        lacks.append("too fast for it")
    if hours is not None and life.wanted is not None and hours < life.wanted:
        lacks.append("too short a life")
    unknown = hours is None or life.wanted is None or not life.top_speed
    words = ", ".join(lacks) or ("not known yet" if unknown else "yes")
    return ("not tabulated" if rating is None else look.show(rating, "force"), "" if hours is None else hours_text(hours),
            look.show(limit, "rotation"), words)


def _rating(size) -> float | None:
    try:
        return bearings.ratings(size.designation).dynamic
    except ValueError:
        return None


def located_check(draft: Draft, look: Looker, shaft: str, names: tuple[str, ...]) -> None:
    """Add the check that one bearing of a shaft is held endways and the others float."""
    held = {n: look.get(f"bearing[{n}].located") for n in names}
    id, name, limit = f"bearings.located[{shaft}]", f"{shaft}: held endways", "one bearing located, the others floating"
    known = [n for n, v in held.items() if v]
    lacks = [f"bearing[{n}].located" for n, v in held.items() if v is None]
    if len(known) > 1:
        draft.check(id, name, f"{', '.join(known)} located", limit, CAUTION, "Two bearings that both hold the shaft lock up as it "
                    "warms and grows.", "Let all but one float: leave the outer ring free to move along its bore.", "trade-practice")
    elif lacks:
        draft.checks.append(undecided(id, name, lacks, "Which bearing holds the shaft endways is not written down.", limit=limit))
    elif not known:
        draft.check(id, name, "none located", limit, CAUTION, "Nothing keeps the shaft from wandering endways.",
                    "Hold one bearing on both sides: shoulder, ring or cover.", "trade-practice")
    else:
        draft.check(id, name, f"{known[0]} located", limit, GO, "The others are free to move as the shaft warms.", source="trade-practice")


__all__ = ["card", "for_the_place", "located_check", "stand_ins", "work_up"]
