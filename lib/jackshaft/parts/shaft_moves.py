"""Changes that relieve a shaft and its bearings: a pulley or a bearing moved along it, a belt run less tight."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft.buildfile.naming import named
from jackshaft.parts.along import has_room, usual
from jackshaft.parts.shaft_loads import hubs_on
from jackshaft.parts.tightener import with_lever
from jackshaft.results.cure import Proposal
from jackshaft.results.failing import Failing
from jackshaft.results.reader import Reader
from jackshaft.units import read, write_nominal

#: Steps in which a place along a shaft is marked off, and in which a tension is set; inch and metric.
PLACE, TENSION = ("1/8 in", "1 mm"), ("1 lbf", "5 N")

#: Shares of its overhang at which a pulley is tried, and shares of its distance that a bearing keeps.
SHARES = (0.75, 0.5, 0.35)

#: How far over what grip needs at the bad end a lower tension is tried.
OVER = (1.25, 1.1, 1.0)


def bearings_of(reader: Reader, shaft: str) -> dict[str, float]:
    """Return the place of each bearing of a shaft, m, by name."""
    return {
        name: at
        for name in reader.names("bearing")
        if reader.get(f"bearing[{name}].shaft") == shaft and (at := reader.si(f"bearing[{name}].position")) is not None
    }


def overhung(reader: Reader, shaft: str) -> Iterator[tuple[str, float, str, float]]:
    """Yield load, its place, the bearing next to it and that bearing's place, m, for each load outside the bearings."""
    seats = bearings_of(reader, shaft)
    if len(seats) < 2:
        return
    for load in reader.names(f"shaft[{shaft}].load"):
        at = reader.si(f"shaft[{shaft}].load[{load}].position")
        if at is not None and not min(seats.values()) <= at <= max(seats.values()):
            near = min(seats, key=lambda n: (abs(seats[n] - at), n))
            yield load, at, near, seats[near]


def hub_of(load: str) -> str:
    """Return what of a load sits on the shaft, in a sentence."""
    return "the work" if load == "work" else f"the hub of {load}"


def nearer(failing: Failing, shaft: str) -> Iterator[Proposal]:
    """Yield each overhung pulley nearer to its bearing, with the joints and keyseats under it."""
    reader = failing.reader
    for load, at, near, seat in overhung(reader, shaft):
        for share in SHARES:
            text = (failing.up if at > seat else failing.down)(seat + share * (at - seat), "length", *PLACE)
            moved = {f"shaft[{shaft}].load[{load}].position": text}
            for part in ("joint", "feature"):
                for name in reader.names(f"shaft[{shaft}].{part}"):
                    key = f"shaft[{shaft}].{part}[{name}].position"
                    own = reader.si(key)
                    if own is not None and abs(own - at) <= usual("joint beside its pulley"):
                        moved[key] = write_nominal(own + read(text, "length").si - at, failing.build.system)
            if has_room(failing, shaft, moved):
                yield Proposal(
                    f"Set {hub_of(load)} nearer to {named('bearing', near)}, at {text} along {shaft}.", moved
                )


def bearing_nearer(failing: Failing, shaft: str) -> Iterator[Proposal]:
    """Yield the bearing beside an overhung pulley moved toward it, as far as there is room beside its hub."""
    for load, at, near, seat in overhung(failing.reader, shaft):
        for share in SHARES:
            text = (failing.up if at < seat else failing.down)(at + share * (seat - at), "length", *PLACE)
            moved = {f"bearing[{near}].position": text}
            if has_room(failing, shaft, moved):
                yield Proposal(f"Move {named('bearing', near)} toward {hub_of(load)}, to {text} along {shaft}.", moved)


def outboard(failing: Failing, shaft: str) -> Iterator[Proposal]:
    """Yield the nearest bearing set beyond an overhung pulley, so that it runs between two.

    A load that no stage makes is the work itself, such as a blade: nothing goes beyond it.
    """
    for load, at, near, seat in overhung(failing.reader, shaft):
        if failing.reader.get(f"shaft[{shaft}].load[{load}].stage") is None:
            continue
        text = (failing.up if at > seat else failing.down)(at + 0.5 * (at - seat), "length", *PLACE)
        moved = {f"bearing[{near}].position": text}
        if has_room(failing, shaft, moved):
            words = f"Set {named('bearing', near)} beyond {hub_of(load)}, at {text} along {shaft}: it then runs between"
            yield Proposal(f"{words} two.", moved)


def slacker(failing: Failing, shaft: str) -> Iterator[Proposal]:
    """Yield a lower tension for each belt on a shaft, no lower than what holds its work at the bad end of grip."""
    for stage in hubs_on(failing.reader, shaft):
        grip = (failing.data("grip") or {}).get(stage)
        if grip is None or grip.hold is None:
            continue
        held = "slack_tension" if grip.sprung else "static_tension"
        key, per = f"stage[{stage}].takeup.{held}", 1 if grip.sprung else grip.belts
        wanted = max(c.needed_bad for c in grip.cases if c.name in ("work", "start", "peak"))
        for over in OVER:
            if over * wanted < 0.97 * grip.loading:
                text = failing.up(over * wanted / per, "force", *TENSION)
                by, words = with_lever(failing.reader, grip, per * read(text, "force").si, lower=True)
                yield Proposal(f"Lower the tension of {stage} to {text}{words}.", {key: text, **by})


def relieved(failing: Failing, shaft: str) -> Iterator[Proposal]:
    """Yield what takes load off a shaft, cheapest first."""
    yield from slacker(failing, shaft)
    yield from nearer(failing, shaft)
    yield from bearing_nearer(failing, shaft)
    yield from outboard(failing, shaft)


__all__ = ["bearing_nearer", "nearer", "outboard", "overhung", "relieved", "slacker"]
