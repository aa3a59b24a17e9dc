"""What may mend a bearing: another size on the same shaft, less load, a seat machined to its limits, how it is held."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft.buildfile.naming import named
from jackshaft.chapters.bearings import insert_cures
from jackshaft.chapters.bearings.filters import judge_all
from jackshaft.chapters.bearings.fitting import wish_of
from jackshaft.chapters.bearings.idlers import size_of, verdict_of, worked_out
from jackshaft.chapters.bearings.insert_cures import insert_taken
from jackshaft.chapters.bearings.place import agrees, seat_size, shaft_sizes
from jackshaft.chapters.bearings.seats import OTHER_SIZE
from jackshaft.mechanics import bearing_sizes
from jackshaft.mechanics.bearing_sizes import is_insert
from jackshaft.parts import along, shaft_moves
from jackshaft.parts.along import usual
from jackshaft.parts.idlers import idlers
from jackshaft.parts.load_at_speed import carried
from jackshaft.results.checks import GO
from jackshaft.results.cure import Proposal
from jackshaft.results.failing import Failing
from jackshaft.units import read, show, write_nominal

#: Sizes that are tried for one check.
SIZES = 5

#: What was read of the bearing that is taken out, and what its maker says of it: it goes with it.
OF_THE_OLD = (
    "bore outside width marking designation dynamic_rating static_rating static_rating_is static_rating_factor"
).split()

PLACE = ("1/8 in", "1 mm")


def _life(failing: Failing):
    data = failing.data("bearings")
    return None if data is None else data.lives.get(failing.part)


def _another(failing: Failing, *, smaller: bool = False) -> Iterator[Proposal]:
    """Yield other bearings for the same seat that hold against everything the build asks, the smallest first."""
    life, reader = _life(failing), failing.reader
    if life is None or life.size is None:
        return
    bore = seat_size(reader, failing.data("bearings").identity[life.name])
    near = 1e-9 if bore == life.size.bore else usual("bore beside the shaft as written")
    ends = {"least_bore": bore - near, "most_bore": bore + near, "insert": is_insert(life.size)}
    judged = judge_all(wish_of(reader, life), failing.build.system, **ends)
    good = [one for one in judged if one.rating and not one.fails and one.size.designation != life.size.designation]
    good.sort(key=lambda one: (bool(one.doubts), bool(one.unknown), not _common(one.size)))
    if smaller:
        good = [one for one in good if one.size.od < life.size.od]
    for one in good[:SIZES]:
        yield (insert_taken if is_insert(life.size) else _taken)(failing, life.name, one.size)


def _common(size) -> bool:
    """Tell whether every dealer has a size: thin-section bearings of the series 618 and 619 are ordered."""
    return not size.series.startswith(("618", "619", "160"))


def _taken(failing: Failing, name: str, size) -> Proposal:
    at, reader = f"bearing[{name}]", failing.reader
    changes = dict.fromkeys((f"{at}.{k}" for k in OF_THE_OLD if reader.get(f"{at}.{k}") is not None), "")
    outside = show(size.od, "length", failing.build.system)
    words = f"Take a {size.designation} ({outside} outside) in place of {named('bearing', name)}, in a housing for it."
    return Proposal(words, {**changes, f"{at}.designation": size.designation})


def _relieved(failing: Failing) -> Iterator[Proposal]:
    shaft = failing.reader.get(f"bearing[{failing.part}].shaft")
    if shaft is not None:
        yield from shaft_moves.relieved(failing, shaft)


def _loaded(failing: Failing) -> Iterator[Proposal]:
    yield from list(_relieved(failing))[:4]
    yield from _another(failing)
    yield from list(_relieved(failing))[4:]


def _least(failing: Failing) -> Iterator[Proposal]:
    at, life, mine = f"bearing[{failing.part}]", _life(failing), named("bearing", failing.part)
    words = f"Press a light spring washer on the outer ring of {mine}: it takes up the play."
    if life is None or not is_insert(life.size):
        yield Proposal(words, {f"{at}.spring_washer": "yes"})
    shaft = failing.reader.get(f"{at}.shaft")
    if shaft is not None:
        yield from shaft_moves.nearer(failing, shaft)
    yield from _another(failing, smaller=True)


def _speed(failing: Failing) -> Iterator[Proposal]:
    life = _life(failing)
    if life is not None and is_insert(life.size):
        yield from insert_cures.finer(failing)
        yield from _another(failing, smaller=True)
        return
    key = f"bearing[{failing.part}].closure"
    for closure in ("shielded", "open"):
        if failing.reader.get(key) not in (closure, "open"):
            yield Proposal(
                f"Take a bearing of the same size in place of {named('bearing', failing.part)}, {closure}.",
                {key: closure},
            )
    yield from _another(failing, smaller=True)


def _axial(failing: Failing) -> Iterator[Proposal]:
    at = f"bearing[{failing.part}]"
    if failing.reader.get(f"{at}.located") is False:
        shaft = failing.reader.get(f"{at}.shaft")
        others = [n for n in failing.reader.names("bearing") if failing.reader.get(f"bearing[{n}].shaft") == shaft]
        changes = {f"bearing[{n}].located": "yes" if n == failing.part else "no" for n in others}
        words = f"Hold {named('bearing', failing.part)} endways on both sides. Let the others float."
        yield Proposal(words, changes or {f"{at}.located": "yes"})
    yield from _another(failing)


def _located(failing: Failing) -> Iterator[Proposal]:
    """Yield one bearing held endways and the others floating, the one that is held already or loaded least first."""
    reader, data = failing.reader, failing.data("bearings")
    mine = [n for n in reader.names("bearing") if reader.get(f"bearing[{n}].shaft") == failing.part]

    def order(name: str) -> tuple[bool, bool, float]:
        life = data.lives.get(name)
        load = 0.0 if life is None else life.top
        pushed = reader.si(f"bearing[{name}].axial_load", 0.0) > 0
        return not pushed, not reader.get(f"bearing[{name}].located"), load

    inserts = data is not None and all(n in data.identity and is_insert(data.identity[n].size) for n in mine)
    for held in sorted(mine, key=order):
        changes = {f"bearing[{n}].located": "yes" if n == held else "no" for n in mine}
        words = f"Hold {named('bearing', held)} endways on both sides. Let the outer ring of the others float."
        if inserts:
            words = f"Hold {named('bearing', held)} endways. Take units that are made to float for the others."
            changes |= {f"bearing[{n}].housing": "floating unit" for n in mine if n != held}
        yield Proposal(words, changes)


def _seat(failing: Failing) -> Iterator[Proposal]:
    """Yield the seat machined to the middle of its limits, where a micrometer measured it and its size is settled."""
    data = failing.data("bearings")
    seat, identity = (data.seats.get(failing.part), data.identity.get(failing.part)) if data else (None, None)
    if identity is not None and is_insert(identity.size):
        yield from insert_cures.bar(failing)
        yield from _another(failing)
        return
    if identity is None or identity.size is None or identity.shaft is None:
        return
    if abs(identity.size.bore - identity.shaft.value) > OTHER_SIZE:
        yield from _another(failing)
        return
    if seat is None or seat.shaft is None or len(identity.rivals) != 1:
        return
    if identity.shaft.instrument != "micrometer":
        return
    step = ("0.0001 in", "0.001 mm")
    text = failing.down((seat.shaft.lower + seat.shaft.upper) / 2, "length", *step)
    large = identity.shaft.value > seat.shaft.upper
    where = f"of {named('bearing', failing.part)}"
    words = f"Turn or grind the seat {where} to {text}." if large else ""
    words = words or f"Sleeve the seat {where} or build it up. Grind it to {text}."
    yield Proposal(words, {_seat_key(failing): text})


def _seat_key(failing: Failing) -> str:
    return f"bearing[{failing.part}].seat"


def _room(failing: Failing) -> Iterator[Proposal]:
    yield from _another(failing)


def _bore(failing: Failing) -> Iterator[Proposal]:
    """Yield a bearing that goes on the shaft as it is, then the step under it turned down to the bore."""
    for other in _another(failing):
        yield Proposal(other.words, other.changes, clears=True)
    reader, at, data = failing.reader, f"bearing[{failing.part}]", failing.data("bearings")
    size, (sizes, key) = data.identity[failing.part].size, shaft_sizes(reader, reader.get(f"{at}.shaft"), _at(failing))
    if size is None:
        # a bearing of no known size has nothing but its bore; the one in its place is only known to go on the shaft
        changes = {f"{at}.{k}": "" for k in OF_THE_OLD if reader.get(f"{at}.{k}") is not None}
        for bore in sizes:
            text = write_nominal(bore, failing.build.system)
            words = f"Take another bearing in place of {named('bearing', failing.part)}, bored for {text}, "
            words += "in a housing for it."
            yield Proposal(words, {**changes, f"{at}.bore": text}, clears=True)
        return
    if len(sizes) == 1 and sizes[0] > size.bore and ".step[" in key:
        text = write_nominal(size.bore, failing.build.system)
        step = key.split(".step[")[1].split("]")[0]
        yield Proposal(
            f"Turn {named('step', step)} of {reader.get(f'{at}.shaft')} down to {text}.", {key: text}, clears=True
        )


def _at(failing: Failing) -> float | None:
    return failing.reader.si(f"bearing[{failing.part}].position")


def _apart(failing: Failing) -> Iterator[Proposal]:
    """Yield a bearing, or the belt at the engine, moved away from what it stands in, so that each has its own width."""
    shaft, reader = failing.part.partition(": ")[0], failing.reader
    found = along.reaches(reader, shaft, along.bearing_widths(failing))
    clash = next((c for c in along.clashes(found) if f"{shaft}: {c.near.name}, {c.far.name}" == failing.part), None)
    if clash is None:
        return
    if clash.near.kind == "engine's face":
        text = failing.up(clash.needs, "length", *PLACE)
        yield Proposal(f"Set the belt {text} from the engine's face.", {clash.far.key: text}, clears=True)
    for moves, other, sign in ((clash.far, clash.near, 1), (clash.near, clash.far, -1)):
        for share in (1.0, 1.25, 3.0, 6.0) if moves.kind == "bearing" else ():
            round_ = failing.up if sign > 0 else failing.down
            text = round_(other.at + sign * share * clash.needs, "length", *PLACE)
            moved = {moves.key: text}
            if along.has_room(failing, shaft, moved) and _whole(failing, shaft, moves, read(text, "length").si):
                yield Proposal(f"Set {named('bearing', moves.name)} at {text} along its shaft.", moved, clears=True)


def _whole(failing: Failing, shaft: str, bearing, at: float) -> bool:
    """Tell whether a bearing lies with its whole width on one size of its shaft at a place, m."""
    ends = [shaft_sizes(failing.reader, shaft, at + half)[0] for half in (-bearing.width / 2, bearing.width / 2)]
    return bool(set(ends[0]) & set(ends[1])) or not any(ends)


def _idler(failing: Failing) -> Iterator[Proposal]:
    """Yield two bearings side by side in the idler, then larger ones that hold, each for the pin that is there."""
    idler = next((i for i in idlers(failing.reader, failing.results.chapters) if i.part == failing.part), None)
    if idler is None:
        return
    reader, pin = failing.reader, failing.reader.si(f"{idler.at}.pin_diameter")
    wanted, count = reader.si("wanted_life"), reader.get(f"{idler.at}.bearings") or 1
    if failing.check.id.startswith("bearings.idler["):
        for more in range(count + 1, 4):
            yield Proposal(
                f"Let {named('idler', idler.name)} turn on {more} such bearings.", {f"{idler.at}.bearings": str(more)}
            )
    good = [s for s in _for_idlers(failing, idler) if _lives(reader, idler, s, count, wanted)]
    good.sort(key=lambda s: (pin is not None and agrees(s.bore, pin) != GO, s.od, s.width))
    article = "a bearing" if count == 1 else "bearings"
    for size in good[:SIZES]:
        words, changes = f"Let {named('idler', idler.name)} turn on {article} {size.designation}", {}
        if pin is not None and agrees(size.bore, pin) != GO:
            changes = {f"{idler.at}.pin_diameter": write_nominal(size.bore, failing.build.system)}
            words += f", and on a pin of {changes[f'{idler.at}.pin_diameter']}"
        yield Proposal(f"{words}.", {f"{idler.at}.bearing": size.designation, **changes})
    there = size_of(reader.get(f"{idler.at}.bearing") or "")
    if pin is not None and there is not None and agrees(there.bore, pin) != GO:
        text = write_nominal(there.bore, failing.build.system)
        yield Proposal(f"Turn {named('idler', idler.name)} on a pin of {text}.", {f"{idler.at}.pin_diameter": text})


def _for_idlers(failing: Failing, idler) -> Iterator:
    """Yield the listed sizes of the common series that go into an idler."""
    outside = failing.reader.si(f"{idler.at}.diameter")
    for size in bearing_sizes.choose.si(kinds=("metric", "inch bore, listed")):
        if size.series.split(",")[0] in ("60", "62", "63") and (outside is None or size.od < outside):
            yield size


def _lives(reader, idler, size, count: int, wanted: float | None) -> bool:
    """Tell whether a size holds in an idler as far as its load, speed and wanted life are known."""
    if idler.work is None or idler.speed is None or wanted is None:
        return True
    found = worked_out(reader, idler, size, count)
    return found is not None and verdict_of(found, wanted, idler.top or idler.speed) == GO


#: Checks that no change of the build mends, and why.
NO_CHANGE = {
    "bearings.housing": "What was measured of a housing, and its number, are read and not changed.",
    "bearings.identity": "Which bearing it is must be read off it; what to do says which reading decides.",
    "bearings.insert": "Whether it is an insert must be read off the ring.",
    "bearings.number": "A number that no list has must be read again, or its maker asked.",
}

PROPOSALS = carried(
    {
        **insert_cures.PROPOSALS,
        "bearings.life": _loaded,
        "bearings.static": _loaded,
        "bearings.load": _least,
        "bearings.speed": _speed,
        "bearings.axial": _axial,
        "bearings.located": _located,
        "bearings.seat": _seat,
        "bearings.room": _room,
        "bearings.apart": _apart,
        "bearings.bore": _bore,
        "bearings.play": _seat,
        "bearings.idler-fit": _idler,
        "bearings.idler": _idler,
    }
)
