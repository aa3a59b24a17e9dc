"""The fitting card of one bearing: what to ask for, its seats, how warm, what play is left, on it goes and off."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.bearings.data import BearingLife, Card, Identity, Seat
from jackshaft.chapters.bearings.seats import OTHER_SIZE, machined
from jackshaft.chapters.bearings.shown import size_words
from jackshaft.mechanics import bearing_marks, fitting, seats, snap_rings
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

AIR = 293.15  # K, a shop at 20 °C
USUAL = 1.645 / 3  # 18 of 20 lie within this share of the limits, taken as three sigma (common practice, no source)
CLOSED = {"open": "open", "shielded": "two shields", "sealed": "two seals"}
CAUTIONS = (
    "Goggles: rings are hard and splinter, retaining rings spring out.",
    "Gloves with warm parts; no flame on a bearing.",
    "Hands clear of the press; no hammer on a ring.",
    "No weld current through a bearing.",
)

ENDWAYS = {
    True: "located: held on both sides",
    False: "floating: free to move along its loose ring",
    None: "not settled: one bearing of a shaft is located, the others float",
}

#: A step this much over the bore is in the bearing's way; less is wear or a fit (common practice, no source); m.
IN_THE_WAY = 0.1e-3


def work_up(draft: Draft, reader: Reader, identity: Identity, seat: Seat, life: BearingLife) -> Card | str:
    """Return one bearing's card, or why there is none yet, and add the check of the play that is left."""
    size, advice, marking, at = identity.size, seat.advice, identity.marking, f"bearing[{identity.name}]"
    if size is None:
        return "Which bearing it is is not known yet: measure bore, outside and width, or read its marking."
    if advice is None:
        if seat.measured is not None and abs(seat.measured - size.bore) > OTHER_SIZE:
            return "The seat as measured is for another bore: settle first which bearing goes there."
        if marking is not None and marking.taper_bore:
            return "Its bore is tapered: it goes on a clamping sleeve, by what the maker of the sleeve says."
        return (
            "Which ring turns is not written down, and it decides which one is pressed."
            if reader.get(f"{at}.turning_ring") is None
            else "No fit is tabulated for this size: ask its maker."
        )
    closure = CLOSED.get(reader.get(f"{at}.closure") or "") or (marking.closure if marking else None)
    groove, clearance = (marking.ring_groove, marking.clearance) if marking else ("unknown", "CN")
    ask, with_it = _ask(size, closure, groove, clearance)
    located, shaft, closed = reader.get(f"{at}.located"), reader.get(f"{at}.shaft"), closure != "open"
    warm_to, warm = _warm(reader, seat, size, sealed=closed)
    rows = {
        "tight ring": f"{advice.tight_ring} ring. {advice.why}",
        "how": warm,
        "play left": _play(draft, reader, identity, seat, life, clearance) if advice.tight_ring == "inner" else "",
        "shoulder": _fillet(reader, size),
        "retaining ring": _ring(reader, size, groove),
        "endways": ENDWAYS[located],
        "seat as measured": "" if seat.measured is None else reader.show(seat.measured, "length", by="micrometer"),
    }
    return Card(
        bearing=identity.name,
        ask=ask,
        with_it=with_it,
        explained=bearing_marks.decode(ask).words,
        size=size_words(reader, size),
        sizes=(size.bore, size.od, size.width),
        closed=closed,
        grooved=groove not in ("none", "unknown"),
        tight=advice.tight_ring,
        rows=tuple(r for r in rows.items() if r[1]),
        seats=_seat_rows(reader, seat),
        on=fitting.fitting_steps(
            tight_ring=advice.tight_ring,
            closed=closed,
            groove="groove" if groove == "unknown" else groove,
            located=located,
            warm_to=warm_to,
            welding=welded(reader, shaft),
        ),
        off=fitting.removal_steps(
            groove=groove if groove in ("none", "unknown") else "found",
            tight_ring=advice.tight_ring,
            shaft_leaves=way_off(reader, shaft, reader.si(f"{at}.position"), size.bore),
        ),
        cautions=CAUTIONS,
    )


def _ask(size, closure: str | None, groove: str, clearance: str) -> tuple[str, str]:
    """Return the marking to ask the counter for, and what to say with it."""
    base = size.designation.split()[0]
    try:
        words = bearing_marks.marking_for(
            base,
            closure=closure or "two seals",
            ring_groove="none" if groove == "unknown" else groove,
            clearance=clearance,
        )
    except ValueError:
        words = base
    tail = "" if closure else " (sealed, for work outdoors: what closed the old one is not written down)"
    if size.kind == "inch bore, not listed":
        tail += ". No list has it with this bore: ask for the body, and name the bore."
    return words, tail


def _seat_rows(reader: Reader, seat: Seat) -> tuple[tuple[str, ...], ...]:
    return tuple(
        (*words, limits.shown, off.shown, by) for *words, limits, off, by in machined(reader, seat) if words[2]
    )


def _warm(reader: Reader, seat: Seat, size, *, sealed: bool) -> tuple[str | None, str]:
    """Return the temperature to warm to (None: it is pressed), and the same in words."""
    if seat.advice.tight_ring != "inner":
        return None, "press on the outer ring alone"
    most = max(seat.shaft.upper, seat.measured or 0.0) - seat.ring.lower
    warm = seats.warming.si(size.bore, most, air=AIR, sealed=sealed)
    hot, most = _fives(reader, warm.temperature, up=True), _fives(reader, warm.limit, up=False)
    shown, limit = (reader.show(t, "temperature", decimals=0) for t in (hot, most))
    if warm.allowed and hot <= most:
        return shown, f"warm to {shown}, never above {limit}; or press on the inner ring alone"
    kind = "a closed bearing" if sealed else "it"
    return None, f"press on the inner ring alone: it would slip on at {shown}, but {kind} takes no more than {limit}"


def _fives(reader: Reader, kelvin: float, *, up: bool) -> float:
    """Return a temperature, K, as a whole five of the degrees that are shown, no lower or no higher than it is."""
    unit, zero = (1 / 1.8, 255.372222) if reader.system == "inch" else (1.0, 273.15)
    fives = (kelvin - zero) / (5 * unit)
    return zero + 5 * unit * (np.ceil(fives - 1e-6) if up else np.floor(fives + 1e-6))


def _play(draft: Draft, reader: Reader, identity: Identity, seat: Seat, life: BearingLife, clearance: str) -> str:
    """Return the clearance left with the likely interference of the measured seat, else the advised one; check it."""
    size, reading, ends = life.size, identity.shaft, (seat.shaft.lower, seat.shaft.upper)
    takes = f"A {seat.advice.shaft_class} seat"
    if reading is not None and reading.instrument == "micrometer":
        ends, takes = (reading.value - reading.plus_minus, reading.value + reading.plus_minus), "The seat as measured"
    found = seats.interference.si(*ends, seat.ring, bore=size.bore, width=size.width, radial=life.top)
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
    left = reader.number(likely, "length", "{low} to {high}", by="indicator", low=least, high=most, source="gost24810")
    draft.check(
        f"bearings.play[{life.name}]",
        f"{life.name}: play left when fitted",
        left,
        reader.number(0.0, "length", "0 or more"),
        verdict,
        reason=f"{takes} takes four fifths of its interference from clearance {clearance}. "
        "So much is left in 18 of 20 pairs.",
        remedy="" if verdict == GO else "Ask for a larger clearance, or machine the seat to a looser class.",
        source="gost24810, table 2; textbook-practice",
    )
    return f"{left} of radial play, in 18 of 20 pairs, with clearance {clearance}"


def _fillet(reader: Reader, size) -> str:
    rows = tables.table("bearings").where(designation=size.designation.split("-")[0]).rows
    if not rows or not rows[0]["chamfer_min_mm"]:
        return ""
    chamfer = rows[0]["chamfer_min_mm"]
    try:
        radius = seats.largest_fillet.si(chamfer * 1e-3)
    except ValueError:
        return ""
    by = tables.printed_in(seats.fillet_row_si(chamfer * 1e-3).cite)
    if rows[0]["chamfer_known"] != "read":
        by += f"; the chamfer is {rows[0]['chamfer_known']}: measure it"
    shown = reader.show(radius, "length")
    return f"corner radius at the shaft's shoulder: {shown} or less, under the ring's chamfer ({by})"


def _ring(reader: Reader, size, groove: str) -> str:
    """Return what is known of the retaining ring in the outer ring's groove."""
    if groove == "none":
        return ""
    try:
        ring = snap_rings.snap_ring.si(size.od, series=size.series)
    except ValueError:
        return "look for one before any force"
    over, by = reader.show(ring.ring_od, "length"), tables.in_words("gost2893")
    if groove == "unknown":
        return f"look for one; a ring in the bearing's own groove would be {over} outside ({by})"
    return (
        f"in the bearing's own groove, whose bottom is {reader.show(ring.groove_low, 'length')} to"
        f" {reader.show(ring.groove_high, 'length')}; the ring is {over} outside ({by})"
    )


def welded(reader: Reader, shaft: str | None) -> bool:
    """Tell whether something is welded to a shaft: a weld ring among its joints, or a weld among its features."""
    if shaft is None:
        return False
    base = f"shaft[{shaft}]"
    kinds = [
        reader.get(f"{base}.{part}[{n}].kind") for part in ("joint", "feature") for n in reader.names(f"{base}.{part}")
    ]
    return "weld ring" in kinds or "weld" in kinds


def way_off(reader: Reader, shaft: str | None, at: float | None, bore: float) -> str:
    """Return which way a bearing comes off its shaft by the steps and welds of the build file, or "unknown".

    Parameters
    ----------
    reader : Reader
        Reads the build.
    shaft : str or None
        The shaft it carries.
    at : float or None
        Its place along the shaft, m.
    bore : float
        m.
    """
    if shaft is None or at is None:
        return "unknown"
    base, in_the_way = f"shaft[{shaft}]", ([], [])
    for name in reader.names(f"{base}.step"):
        start, end, diameter = (reader.si(f"{base}.step[{name}].{k}") for k in ("start", "end", "diameter"))
        if None in (start, end, diameter):
            return "unknown"
        if diameter > bore + IN_THE_WAY and not start < at < end:
            in_the_way[start >= at].append(f"step {name}, {reader.show(diameter, 'length')}")
    for name in reader.names(f"{base}.joint"):
        place = reader.si(f"{base}.joint[{name}].position")
        if reader.get(f"{base}.joint[{name}].kind") == "weld ring" and place is not None:
            in_the_way[place >= at].append(f"weld {name}")
    before, after = (", ".join(names) for names in in_the_way)
    if before and after:
        return f"Something is in the way on both sides ({before}; {after}): one of them has to come off first."
    if before or after:
        free, far = ("away from", "toward") if before else ("toward", "away from")
        return (
            f"By the build file the bearing comes off {free} the shaft's zero mark, and the shaft is drawn {far} it: "
            f"{before or after} is in the way on the other side."
        )
    if not reader.names(f"{base}.step"):
        return "unknown"
    return "By the build file no step is in its way: it can come off either way."
