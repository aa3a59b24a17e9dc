"""What could stand in for a bearing, what else goes into its place, and which bearing of a shaft is held endways."""

from __future__ import annotations

from collections.abc import Iterable

from jackshaft.chapters.bearings.filters import FILTERS, Wish, excluded, judge, static_wanted
from jackshaft.chapters.bearings.identity import Identity, size_words
from jackshaft.chapters.bearings.life import BearingLife, dirt, hours_text
from jackshaft.mechanics import bearing_limits, bearing_sizes
from jackshaft.results.checks import CAUTION, GO, STOP, Table, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

SHOWN, ROWS = 4, 8

#: The filters that leave a size out of the table; the others are said of it.
IN_PLACE = FILTERS[:3]


def wish_of(reader: Reader, life: BearingLife) -> Wish:
    """Return what the build asks of one bearing."""
    at = f"bearing[{life.name}]"
    rough = life.shock > 1 or (reader.get("work.load_class") or "uniform") != "uniform"
    radial = None if life.radial is None else float(life.radial[0])
    return Wish(
        reader.get(f"{at}.closure"),
        reader.si(f"{at}.room_outside"),
        reader.si(f"{at}.room_width"),
        life.top_speed,
        life.speed,
        radial,
        reader.si(f"{at}.axial_load", 0.0),
        None if life.radial is None else float(life.radial.max()),
        life.wanted,
        life.shock,
        bearing_limits.reliability_factor(100 * (reader.si(f"{at}.reliability") or 0.9)),
        dirt(reader),
        static_wanted(rough),
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
                (identity.name, size.designation, size_words(reader, size), asks, *_cells(reader, one)[:2], one.words)
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
        same_bore = [s for s in bearing_sizes.choose.si(least_bore=size.bore, most_bore=size.bore) if s.kind != "wide"]
        judged = sorted(
            (judge(s, wish, reader.system) for s in same_bore), key=lambda one: (one.size.od, one.size.width)
        )
        out = [one for one in judged if any(why in IN_PLACE for why, _ in one.fails)]
        for one in [one for one in judged if one not in out][:ROWS]:
            cells = _cells(reader, one)
            rows.append((name, one.size.designation, size_words(reader, one.size), *cells, one.words))
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
    return (
        Table(
            "Sizes for the place",
            ("bearing", "size", "dimensions", "C", "life", "speed limit", "holds"),
            tuple(rows),
            " ".join(
                (
                    (
                        "Listed sizes for the same shaft, smallest first, speed limit with touching seals where nothing"
                        " is said. Held against seal, speed, load and hours that the build file gives."
                    ),
                    *notes,
                )
            ),
            aside=True,
        )
        if rows
        else None
    )


def _cells(reader: Reader, one) -> tuple[str, str, str]:
    return (
        "not tabulated" if one.rating is None else reader.show(one.rating, "force"),
        "" if one.life is None else hours_text(one.life),
        "ask the maker" if one.limit is None else reader.show(one.limit, "rotation"),
    )


def room_check(draft: Draft, reader: Reader, identity: Identity) -> None:
    """Add the check that a bearing goes into the room that the build file gives; none where no room is given."""
    at, size = f"bearing[{identity.name}]", identity.size
    wish = Wish(None, reader.si(f"{at}.room_outside"), reader.si(f"{at}.room_width"))
    if size is None or (wish.room_outside is None and wish.room_width is None):
        return
    tight = judge(size, wish, reader.system).fails
    limit = ", ".join(
        f"{words} {reader.show(v, 'length')} or less"
        for words, v in (("outside", wish.room_outside), ("width", wish.room_width))
        if v is not None
    )
    draft.check(
        f"bearings.room[{identity.name}]",
        f"{identity.name}: room",
        f"{size.designation}, {size_words(reader, size)}",
        limit,
        STOP if tight else GO,
        "; ".join(f"{name}: {words}" for name, words in tight) + "." if tight else "It goes in.",
        (
            "Take a size of the table of sizes for the place, or make room: bore the housing, shorten a spacer."
            if tight
            else ""
        ),
        "own-derivation",
    )


def located_check(draft: Draft, reader: Reader, shaft: str, names: tuple[str, ...]) -> None:
    """Add the check that one bearing of a shaft is held endways and the others float."""
    held = {n: reader.get(f"bearing[{n}].located") for n in names}
    id, name, limit = f"bearings.located[{shaft}]", f"{shaft}: held endways", "one bearing located, the others floating"
    known = [n for n, v in held.items() if v]
    lacks = [f"bearing[{n}].located" for n, v in held.items() if v is None]
    if len(known) > 1:
        draft.check(
            id,
            name,
            f"{', '.join(known)} located",
            limit,
            CAUTION,
            "Two bearings that both hold the shaft lock up as it warms and grows.",
            "Let all but one float: leave the outer ring free to move along its bore.",
            "trade-practice",
        )
    elif lacks:
        draft.checks.append(
            undecided(id, name, lacks, "Which bearing holds the shaft endways is not written down.", limit=limit)
        )
    elif not known:
        draft.check(
            id,
            name,
            "none located",
            limit,
            CAUTION,
            "Nothing keeps the shaft from wandering endways.",
            "Hold one bearing on both sides: shoulder, ring or cover.",
            "trade-practice",
        )
    else:
        draft.check(
            id,
            name,
            f"{known[0]} located",
            limit,
            GO,
            "The others are free to move as the shaft warms.",
            source="trade-practice",
        )


__all__ = ["for_the_place", "located_check", "room_check", "stand_ins", "wish_of"]
