"""What could stand in for a bearing, what else goes into its place, and which bearing of a shaft is held endways."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from jackshaft.checks import CAUTION, GO, Sheet, undecided
from jackshaft.mechanics import bearing_limits, bearing_sizes, bearings
from jackshaft.workup.bearing_identity import Identity, size_words
from jackshaft.workup.bearing_life import BearingLife, hours_text
from jackshaft.workup.core import Draft, Looker

SHOWN, ROWS = 4, 8


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


__all__ = ["for_the_place", "located_check", "stand_ins"]
