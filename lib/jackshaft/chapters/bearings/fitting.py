"""What could stand in for a bearing, what else goes into its place, and which bearing of a shaft is held endways."""

from __future__ import annotations

from collections.abc import Iterable

from jackshaft.chapters.bearings.data import BearingLife, Identity
from jackshaft.chapters.bearings.filters import FILTERS, Judged, Wish, excluded, judge, judge_all
from jackshaft.chapters.bearings.life import dirt, reliability_share, safety_wanted
from jackshaft.chapters.bearings.shown import dimensions, size_words
from jackshaft.mechanics import bearing_sizes
from jackshaft.results.checks import CAUTION, GO, STOP, Table, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value

SHOWN, ROWS = 4, 8

#: The filters that leave a size out of the table; the others are said of it.
IN_PLACE = FILTERS[:3]


def wish_of(reader: Reader, life: BearingLife) -> Wish:
    """Return what the build asks of one bearing."""
    at = f"bearing[{life.name}]"
    radial = None if life.radial is None else float(life.radial[0])
    return Wish(
        reader.get(f"{at}.closure"),
        reader.si(f"{at}.room_outside"),
        reader.si(f"{at}.room_width"),
        life.top_speed,
        life.speed,
        radial,
        life.axial,
        None if life.radial is None else life.top,
        life.wanted,
        life.shock,
        reliability_share(reader, at),
        dirt(reader),
        safety_wanted(reader, life.shock)[0],
    )


def stand_ins(reader: Reader, identities: Iterable[Identity], lives: dict[str, BearingLife]) -> Table | None:
    """Return sizes that could stand in for each bearing, with what each asks of the builder and whether it holds."""
    rows = []
    for identity in identities:
        if identity.size is None:
            continue
        try:
            found = bearing_sizes.equivalents.si(identity.size.designation)[:SHOWN]
        except ValueError:
            continue
        wish = wish_of(reader, lives[identity.name])
        for size, asks in found:
            one = judge(size, wish, reader.system)
            rows.append(
                (identity.name, size.designation, dimensions(reader, size), asks, *_cells(reader, one)[:2], one.words)
            )
    if not rows:
        return None
    return Table(
        "What could stand in",
        ("bearing", "size", "dimensions", "what it asks", "C", "life", "holds"),
        tuple(rows),
        "For when the size itself cannot be had, least work first. Held against the room, seal, speed, load and hours"
        " that the build file gives.",
        aside=True,
    )


def for_the_place(reader: Reader, identities: Iterable[Identity], lives: dict[str, BearingLife]) -> Table | None:
    """Return the sizes for each bearing's shaft that go into its room, held against seal, speed, load and life."""
    rows, notes, free = [], [], {}
    for identity in identities:
        name, size = identity.name, identity.size
        if size is None:
            continue
        wish = wish_of(reader, lives[name])
        judged = judge_all(wish, reader.system, least_bore=size.bore, most_bore=size.bore)
        out = [one for one in judged if any(why in IN_PLACE for why, _ in one.fails)]
        for one in [one for one in judged if one not in out][:ROWS]:
            cells = _cells(reader, one)
            rows.append((name, one.size.designation, dimensions(reader, one.size), *cells, one.words))
        left = [
            f"by {why}: {sizes}"
            for why, sizes in excluded(o._replace(fails=tuple(f for f in o.fails if f[0] in IN_PLACE)) for o in out)
        ]
        open_ = [
            words
            for words, v in (("largest outside", wish.room_outside), ("room along the shaft", wish.room_width))
            if v is None
        ]
        if left:
            notes.append(f"{name}: left out {'; '.join(left)}.")
        if open_:
            free.setdefault(" and ".join(open_), []).append(name)
    notes += [
        f"{', '.join(names)}: {words} not written down, so nothing is left out for it." for words, names in free.items()
    ]
    if not rows:
        return None
    notes.insert(
        0,
        "Listed sizes for the same shaft, smallest first, speed limit with touching seals where nothing is said. Held "
        "against seal, speed, load and hours that the build file gives.",
    )
    headings = ("bearing", "size", "dimensions", "C", "life", "speed limit", "holds")
    return Table("Sizes for the place", headings, tuple(rows), " ".join(notes), aside=True)


def _cells(reader: Reader, one: Judged) -> tuple[Value, Value, Value]:
    return (
        "not tabulated" if one.rating is None else reader.number(one.rating, "force"),
        "" if one.life is None else reader.number(one.life, "time", by="hours"),
        "ask the maker" if one.limit is None else reader.number(one.limit, "rotation"),
    )


def room_check(draft: Draft, reader: Reader, identity: Identity) -> None:
    """Add the check that a bearing goes into the room that the build file gives; none where no room is given."""
    at, size = f"bearing[{identity.name}]", identity.size
    wish = Wish(None, reader.si(f"{at}.room_outside"), reader.si(f"{at}.room_width"))
    if size is None or (wish.room_outside is None and wish.room_width is None):
        return
    tight = judge(size, wish, reader.system).fails
    asked = [
        (filter_, words, key, has, room)
        for filter_, words, key, has, room in (
            ("room outside", "outside", "room_outside", size.od, wish.room_outside),
            ("room along the shaft", "width", "room_width", size.width, wish.room_width),
        )
        if room is not None
    ]
    # the number is that of the room that is too small, where one is
    _, _, key, has, room = next((a for a in asked if a[0] in dict(tight)), asked[0])
    limit = ", ".join(f"{words} {reader.show(room, 'length')} or less" for _, words, _, _, room in asked)
    draft.check(
        f"bearings.room[{identity.name}]",
        f"{identity.name}: room",
        reader.number(has, "length", f"{size.designation}, {size_words(reader, size)}"),
        reader.number(room, "length", limit, known=reader.how(f"{at}.{key}")),
        STOP if tight else GO,
        "; ".join(f"{name}: {words}" for name, words in tight) + "." if tight else "It goes in.",
        "Take a size of the table of sizes for the place, or make room: bore the housing, shorten a spacer."
        if tight
        else "",
        "own-derivation",
    )


def located_check(draft: Draft, reader: Reader, shaft: str, names: tuple[str, ...]) -> None:
    """Add the check that one bearing of a shaft is held endways and the others float."""
    held = {n: reader.get(f"bearing[{n}].located") for n in names}
    id, name, limit = f"bearings.located[{shaft}]", f"{shaft}: held endways", "one bearing located, the others floating"
    known = [n for n, v in held.items() if v]
    lacks = [f"bearing[{n}].located" for n, v in held.items() if v is None]
    if lacks and len(known) < 2:
        words = "Which bearing holds the shaft endways is not written down."
        draft.checks.append(undecided(id, name, lacks, words, limit=limit))
        return
    if len(known) == 1:
        verdict, reason, cure = GO, "The others are free to move as the shaft warms.", ""
    elif known:
        verdict, reason = CAUTION, "Two bearings that both hold the shaft lock up as it warms and grows."
        cure = "Let all but one float: leave the outer ring free to move along its bore."
    else:
        verdict, reason = CAUTION, "Nothing keeps the shaft from wandering endways."
        cure = "Hold one bearing on both sides: shoulder, ring or cover."
    value = f"{', '.join(known) or 'none'} located"
    draft.check(id, name, value, limit, verdict, reason, cure, "trade-practice")


__all__ = ["for_the_place", "located_check", "room_check", "stand_ins", "wish_of"]
