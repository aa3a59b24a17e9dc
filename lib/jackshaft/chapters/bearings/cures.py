"""What may mend a bearing: another size on the same shaft, less load, a seat machined to its limits, how it is held."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft.chapters.bearings.filters import judge_all
from jackshaft.chapters.bearings.fitting import wish_of
from jackshaft.chapters.bearings.idlers import verdict_of, worked_out
from jackshaft.mechanics import bearing_sizes
from jackshaft.parts import shaft_moves
from jackshaft.parts.idlers import idlers
from jackshaft.results.checks import GO
from jackshaft.results.cure import Proposal
from jackshaft.results.failing import Failing
from jackshaft.units import show

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
    """Yield other bearings with the same bore that hold against everything the build asks, the smallest first."""
    life, reader = _life(failing), failing.reader
    if life is None or life.size is None:
        return
    bore = life.size.bore
    judged = judge_all(wish_of(reader, life), failing.build.system, least_bore=bore, most_bore=bore)
    good = [one for one in judged if one.rating and not one.fails and one.size.designation != life.size.designation]
    good.sort(key=lambda one: (bool(one.doubts), bool(one.unknown)))
    if smaller:
        good = [one for one in good if one.size.od < life.size.od]
    for one in good[:SIZES]:
        yield _taken(failing, life.name, one.size)


def _taken(failing: Failing, name: str, size) -> Proposal:
    at, reader = f"bearing[{name}]", failing.reader
    changes = dict.fromkeys((f"{at}.{k}" for k in OF_THE_OLD if reader.get(f"{at}.{k}") is not None), "")
    outside = show(size.od, "length", failing.build.system)
    words = f"Take a bearing {size.designation} ({outside} outside) at {name}, in a housing for it."
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
    at = f"bearing[{failing.part}]"
    words = f"Press a light spring washer on the outer ring of {failing.part}, which takes up its play."
    yield Proposal(words, {f"{at}.spring_washer": "yes"})
    shaft = failing.reader.get(f"{at}.shaft")
    if shaft is not None:
        yield from shaft_moves.nearer(failing, shaft)
    yield from _another(failing, smaller=True)


def _speed(failing: Failing) -> Iterator[Proposal]:
    key = f"bearing[{failing.part}].closure"
    for closure in ("shielded", "open"):
        if failing.reader.get(key) not in (closure, "open"):
            yield Proposal(f"Take the bearing at {failing.part} {closure}.", {key: closure})
    yield from _another(failing, smaller=True)


def _axial(failing: Failing) -> Iterator[Proposal]:
    at = f"bearing[{failing.part}]"
    if failing.reader.get(f"{at}.located") is False:
        shaft = failing.reader.get(f"{at}.shaft")
        others = [n for n in failing.reader.names("bearing") if failing.reader.get(f"bearing[{n}].shaft") == shaft]
        changes = {f"bearing[{n}].located": "yes" if n == failing.part else "no" for n in others}
        words = f"Hold {failing.part} endways on both sides, and let the others float."
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

    for held in sorted(mine, key=order):
        changes = {f"bearing[{n}].located": "yes" if n == held else "no" for n in mine}
        yield Proposal(f"Hold {held} endways on both sides, and let the outer ring of the others float.", changes)


def _seat(failing: Failing) -> Iterator[Proposal]:
    """Yield the seat machined to the middle of its limits, where a micrometer measured it and its size is settled."""
    data = failing.data("bearings")
    seat, identity = (data.seats.get(failing.part), data.identity.get(failing.part)) if data else (None, None)
    if seat is None or seat.shaft is None or identity is None or identity.shaft is None or len(identity.rivals) != 1:
        return
    if identity.shaft.instrument != "micrometer" or abs(identity.size.bore - identity.shaft.value) > 0.5e-3:
        return
    step = ("0.0001 in", "0.001 mm")
    text = failing.down((seat.shaft.lower + seat.shaft.upper) / 2, "length", *step)
    large = identity.shaft.value > seat.shaft.upper
    how = "Turn or grind" if large else "Sleeve the seat or build it up, and grind"
    yield Proposal(f"{how} {'the seat' if large else 'it'} at {failing.part} to {text}.", {_seat_key(failing): text})


def _seat_key(failing: Failing) -> str:
    return f"bearing[{failing.part}].seat"


def _room(failing: Failing) -> Iterator[Proposal]:
    yield from _another(failing)


def _apart(failing: Failing) -> Iterator[Proposal]:
    """Yield the second of two bearings farther along the shaft, so that each has its own width and room beside it."""
    _, _, names = failing.part.partition(": ")
    reader, wanted = failing.reader, getattr(failing.check.wanted, "si", None)
    pair = [n for n in reader.names("bearing") if n in names]
    places = sorted((reader.si(f"bearing[{n}].position", 0.0), n) for n in pair)
    if wanted is None or len(places) != 2:
        return
    (near, _), (_, second) = places
    for share in (1.25, 3.0, 6.0):
        text = failing.up(near + share * wanted, "length", *PLACE)
        moved = {f"bearing[{second}].position": text}
        yield Proposal(f"Set bearing {second} at {text} along its shaft.", moved, clears=True)


def _idler(failing: Failing) -> Iterator[Proposal]:
    """Yield two bearings side by side in the idler, then larger ones that hold."""
    idler = next((i for i in idlers(failing.reader, failing.results.chapters) if i.part == failing.part), None)
    wanted = failing.reader.si("wanted_life")
    if idler is None or idler.work is None or idler.speed is None or wanted is None:
        return
    count = failing.reader.get(f"{idler.at}.bearings") or 1
    for more in range(count + 1, 4):
        yield Proposal(f"Let {idler.name} turn on {more} such bearings.", {f"{idler.at}.bearings": str(more)})
    good = []
    for size in bearing_sizes.choose.si(kinds=("metric",)):
        found = worked_out(failing.reader, idler, size, count) if size.series in ("60", "62", "63") else None
        if found is not None and verdict_of(found, wanted, idler.top or idler.speed) == GO:
            good.append(size)
    for size in sorted(good, key=lambda s: (s.od, s.width))[:SIZES]:
        words = f"Let {idler.name} turn on {'a bearing' if count == 1 else 'bearings'} {size.designation}."
        yield Proposal(words, {f"{idler.at}.bearing": size.designation})


PROPOSALS = {
    "bearings.life": _loaded,
    "bearings.static": _loaded,
    "bearings.load": _least,
    "bearings.speed": _speed,
    "bearings.axial": _axial,
    "bearings.located": _located,
    "bearings.seat": _seat,
    "bearings.room": _room,
    "bearings.apart": _apart,
    "bearings.idler": _idler,
}
