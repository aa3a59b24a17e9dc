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

#: What is said of a bearing for which there is room, and of an insert.
GOES_IN = {False: "It goes in.", True: "Its ring goes in. Its housing takes more room, which is not counted here."}

#: The filters that leave a size out of the table; what fails another one is listed and marked.
IN_PLACE = FILTERS[:3]


def wish_of(reader: Reader, life: BearingLife) -> Wish:
    """Return what the build asks of one bearing."""
    at = f"bearing[{life.name}]"
    return Wish(
        closure=reader.get(f"{at}.closure"),
        room_outside=reader.si(f"{at}.room_outside"),
        room_width=reader.si(f"{at}.room_width"),
        speed=life.top_speed or life.speed,
        work_speed=life.speed,
        radial=None if life.radial is None else float(life.radial[0]),
        axial=life.axial,
        top=None if life.radial is None else life.top,
        once=life.once,
        life=life.wanted,
        shock=life.shock,
        a1=reliability_share(reader, at),
        dirt=dirt(reader),
        static_wanted=safety_wanted(reader, life.shock_bad)[0],
    )


def stand_ins(reader: Reader, identities: Iterable[Identity], lives: dict[str, BearingLife]) -> Table:
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
            number, size, *cells, _ = _cells(reader, one)
            rows.append((identity.name, number, size, asks, *cells, one.words))
    return Table(
        "What could stand in",
        ("bearing", "size", "dimensions", "what it asks", "C", "life", "holds"),
        tuple(rows),
        "For when the size itself cannot be had, least work first. Each is judged by the room, seal, speed, load and"
        " hours that the build file gives.",
        aside=True,
    )


def for_the_place(reader: Reader, identities: Iterable[Identity], lives: dict[str, BearingLife]) -> Table:
    """Return the sizes for each bearing's shaft that go into its room, held against seal, speed, load and life."""
    rows, free = [], {}
    notes = [
        "Listed sizes for the same shaft, smallest first. Each is judged by the seal, speed, load and hours that the "
        "build file gives. Where it gives no seal, the speed limit is that of touching seals."
    ]
    for identity in identities:
        name, size = identity.name, identity.size
        if size is None:
            continue
        wish = wish_of(reader, lives[name])
        insert = bearing_sizes.is_insert(size)
        kind = {"insert": insert, "collar": size.collared}
        judged = judge_all(wish, reader.system, **kind, least_bore=size.bore, most_bore=size.bore)
        go_in = [one for one in judged if not any(why in IN_PLACE for why, _ in one.fails)]
        rows += [(name, *_cells(reader, one), one.words) for one in go_in[:ROWS]]
        left = [f"by {why}: {sizes}" for why, sizes in excluded(judged, IN_PLACE)]
        rooms = (("largest outside", wish.room_outside), ("room along the shaft", wish.room_width))
        open_ = [words for words, room in rooms if room is None]
        if left:
            notes.append(f"{name}: left out {'; '.join(left)}.")
        if open_:
            free.setdefault(" and ".join(open_), []).append(name)
    notes += [
        f"{', '.join(names)}: {words} not written down, so nothing is left out for it." for words, names in free.items()
    ]
    headings = ("bearing", "size", "dimensions", "C", "life", "speed limit", "holds")
    return Table("Sizes for the place", headings, tuple(rows), " ".join(notes), aside=True)


def _cells(reader: Reader, one: Judged) -> tuple[Value, ...]:
    """Return size, dimensions, C, life and speed limit."""
    return (
        one.size.designation,
        dimensions(reader, one.size),
        "not tabulated" if one.rating is None else reader.number(one.rating.dynamic, "force"),
        reader.cell(one.life, "time", by="hours"),
        "ask the maker" if one.limit is None else reader.number(one.limit, "rotation"),
    )


def room_check(draft: Draft, reader: Reader, identity: Identity) -> None:
    """Add the check that a bearing goes into the room that the build file gives; none where no room is given."""
    at, size = f"bearing[{identity.name}]", identity.size
    wish = Wish(room_outside=reader.si(f"{at}.room_outside"), room_width=reader.si(f"{at}.room_width"))
    if size is None or (wish.room_outside is None and wish.room_width is None):
        return
    tight = judge(size, wish, reader.system).fails
    rooms = (
        ("room outside", "outside", "room_outside", size.od, wish.room_outside),
        ("room along the shaft", "width", "room_width", size.width, wish.room_width),
    )
    asked = [room for room in rooms if room[-1] is not None]
    # the number is that of the room that is too small, where one is
    _, _, key, has, room = next((a for a in asked if a[0] in dict(tight)), asked[0])
    limit = ", ".join(f"{words} {reader.show(room, 'length')} or less" for _, words, _, _, room in asked)
    draft.check(
        f"bearings.room[{identity.name}]",
        f"{identity.name}: room",
        reader.number(has, "length", f"{size.designation}, {size_words(reader, size)}"),
        reader.number(room, "length", limit, known=reader.how(f"{at}.{key}")),
        STOP if tight else GO,
        reason="; ".join(f"{name}: {words}" for name, words in tight) + "."
        if tight
        else GOES_IN[bearing_sizes.is_insert(size)],
        remedy="Take a size from the table of sizes for the place, or make room: bore the housing, shorten a spacer."
        if tight
        else "",
        source="own-derivation",
    )


def located_check(draft: Draft, reader: Reader, shaft: str, names: tuple[str, ...]) -> None:
    """Add the check that one bearing of a shaft is held endways and the others float."""
    held = {n: reader.get(f"bearing[{n}].located") for n in names}
    id, name, limit = f"bearings.located[{shaft}]", f"{shaft}: held endways", "one bearing located, the others floating"
    known = [n for n, v in held.items() if v]
    missing = [f"bearing[{n}].located" for n, v in held.items() if v is None]
    if missing and len(known) < 2:
        words = "Which bearing holds the shaft endways is not written down."
        draft.checks.append(undecided(id, name, missing, words, limit=limit))
        return
    if len(known) == 1:
        reason, cure = "The others are free to move as the shaft warms.", ""
    elif known:
        reason = "Two bearings that both hold the shaft lock up as it warms and grows."
        cure = "Let all but one float: leave the outer ring free to move along its bore."
    else:
        reason = "Nothing keeps the shaft from moving endways."
        cure = "Hold one bearing on both sides: shoulder, ring or cover."
    value = f"{', '.join(known) or 'none'} located"
    draft.check(id, name, value, limit, CAUTION if cure else GO, reason=reason, remedy=cure, source="trade-practice")
