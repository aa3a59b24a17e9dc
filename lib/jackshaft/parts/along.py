"""How far each part along a shaft reaches to both sides, and which of them would stand in one another.

A bearing is as wide as its size says, a hub as long as it is written down or at least as wide as the grooves on
it, a key as long as it bears. What has no width known counts as a point, or as wide as is usual where a place is
looked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from jackshaft import tables
from jackshaft.buildfile import BuildProblems
from jackshaft.parts.belt_stage import belts_of, groove_row, section_row
from jackshaft.results.failing import Failing
from jackshaft.results.reader import Reader
from jackshaft.units import at_least

ENGINE = "engine"
KEYED = ("parallel key", "spline")
#: Parts at one place to within so much are one spot, which is told of elsewhere; m.
SAME_PLACE = 1e-6


class Reach(NamedTuple):
    """One part along a shaft: what it is, its name, its middle and its width, m, and the key of its place.

    ``sure`` is the width that nothing can stand in, m: a rim wider than its hub may reach over what is beside it.
    """

    kind: str
    name: str
    at: float
    width: float
    sure: float
    key: str

    @property
    def words(self) -> str:
        """What it is and its name."""
        return self.name if self.kind == "engine's face" else f"{self.kind} '{self.name}'"


class Clash(NamedTuple):
    """Two parts that stand in one another, in the order of their places, and how far apart they must be, m."""

    near: Reach
    far: Reach
    needs: float

    @property
    def sure(self) -> bool:
        """Whether they stand in one another for certain: not only by a rim that may reach over."""
        return not at_least(self.far.at - self.near.at, (self.near.sure + self.far.sure) / 2)


def usual(item: str) -> float:
    """Return what is taken for a part whose size nobody has written down, m; see table bearing_facts."""
    return tables.table("bearing_facts").one(item=item)["likely"] * 1e-3


def face_width(reader: Reader, stage: str | None, shaft: str) -> float | None:
    """Return the least width of a belt stage's pulley on a shaft by the grooves side by side on it, m.

    None where it is no belt stage, or its section or pulley is not known.
    """
    at = f"stage[{stage}]"
    if stage is None or reader.get(f"{at}.kind") not in ("belt", None):
        return None
    pulley = reader.get(f"{at}.{'driver' if reader.get(f'{at}.from') == shaft else 'driven'}")
    section, size = section_row(reader, at), reader.si(f"{at}.pulley[{pulley}].diameter")
    groove = None if section is None or size is None else groove_row(section, size)
    if groove is None or groove["pitch_mm"] is None or groove["edge_mm"] is None:
        return None
    return (belts_of(reader, at) - 1) * groove["pitch_mm"] * 1e-3 + 2e-3 * groove["edge_mm"]


def reaches(reader: Reader, shaft: str, widths: Mapping[str, float], *, taken: bool = False) -> list[Reach]:
    """Return every part along a shaft whose place is known.

    Parameters
    ----------
    reader : Reader
        Reads the build.
    shaft : str
        Its name, or "engine".
    widths : mapping of str to float
        Width of each bearing whose size is known, m.
    taken : bool
        Whether a usual width counts where none is known; else it is a point.
    """
    hub = usual("hub length, where not known") if taken else 0.0
    race = usual("bearing width, where not known") if taken else 0.0
    if shaft == ENGINE:
        return _on_the_engine(reader, hub, race)
    base = f"shaft[{shaft}]"
    found = [
        Reach("bearing", name, at, wide := widths.get(name, race), wide, f"bearing[{name}].position")
        for name in reader.names("bearing")
        if reader.get(f"bearing[{name}].shaft") == shaft and (at := reader.si(f"bearing[{name}].position")) is not None
    ]
    for name in reader.names(f"{base}.load"):
        here = f"{base}.load[{name}]"
        at, long, stage = reader.si(f"{here}.position"), reader.si(f"{here}.hub_length"), reader.get(f"{here}.stage")
        # a weight or a pull that no stage makes and no joint holds may be anything, a piece of the shaft itself too
        if at is not None and (long is not None or stage is not None or _held(reader, base, at)):
            found.append(_hub_reach(name, at, (long, face_width(reader, stage, shaft), hub), f"{here}.position"))
    for name in reader.names(f"{base}.joint"):
        here = f"{base}.joint[{name}]"
        at, long = reader.si(f"{here}.position"), reader.si(f"{here}.length")
        if reader.get(f"{here}.kind") in KEYED and at is not None and long is not None:
            found.append(Reach("key", name, at, long, long, f"{here}.position"))
    return found


def _held(reader: Reader, base: str, at: float) -> bool:
    """Tell whether a joint of the shaft stands at a place: what sits there is a hub."""
    places = (reader.si(f"{base}.joint[{joint}].position") for joint in reader.names(f"{base}.joint"))
    return any(place is not None and abs(place - at) <= SAME_PLACE for place in places)


def _hub_reach(name: str, at: float, widths: tuple[float | None, float | None, float], key: str) -> Reach:
    """Return the reach of a hub from its length, its least face and what is taken where neither is known, m."""
    long, face, taken = widths
    sure = long or (0.0 if face else taken)
    return Reach("hub of", name, at, max(sure, face or 0.0), sure, key)


def _on_the_engine(reader: Reader, hub: float, race: float) -> list[Reach]:
    stage = next((s for s in reader.names("stage") if reader.get(f"stage[{s}].from") == ENGINE), None)
    at, beyond, long = (reader.si(f"engine.{k}") for k in ("belt_at", "outboard_at", "hub_length"))
    found = [Reach("engine's face", "the engine's face", 0.0, 0.0, 0.0, "engine.belt_at")]
    if at is not None:
        widths = (long, face_width(reader, stage, ENGINE), hub)
        found.append(_hub_reach(stage or ENGINE, at, widths, "engine.belt_at"))
    if beyond is not None:
        found.append(Reach("bearing", "outboard", beyond, race, race, "engine.outboard_at"))
    return found


def clashes(found: list[Reach]) -> Iterator[Clash]:
    """Yield each two parts that stand in one another: bearings, hubs and keys; a key in its own hub does not."""
    ordered = sorted(found, key=lambda r: (r.at, r.name))
    for i, near in enumerate(ordered):
        for far in ordered[i + 1 :]:
            kinds, needs = {near.kind, far.kind}, (near.width + far.width) / 2
            if kinds <= {"hub of", "key"} and kinds != {"hub of"} or at_least(far.at - near.at, needs):
                continue
            if kinds == {"bearing"} and far.at - near.at < SAME_PLACE:
                continue
            yield Clash(near, far, needs)


def bearing_widths(failing: Failing) -> dict[str, float]:
    """Return the width of each bearing whose size the bearings chapter found, m."""
    data = failing.data("bearings")
    return {} if data is None else {n: i.size.width for n, i in data.identity.items() if i.size is not None}


def has_room(failing: Failing, shaft: str, changes: Mapping[str, str]) -> bool:
    """Tell whether the parts that changes move along a shaft stand clear of every other one; usual widths count."""
    try:
        reader = Reader(failing.build.with_values(dict(changes)))
    except BuildProblems:
        return False
    found = reaches(reader, shaft, bearing_widths(failing), taken=True)
    return not any({c.near.key, c.far.key} & changes.keys() for c in clashes(found))


class Bears(NamedTuple):
    """Over how much of its length a key or spline bears, m, what ends it, and how long one there may be, m."""

    length: float
    key: str
    words: str
    fits: float


def bears(reader: Reader, shaft: str, joint: str) -> Bears | None:
    """Return what shortens a key or spline: its hub or the step it lies in; None where nothing does that is known."""
    found = []
    if shaft == ENGINE:
        long, hub = reader.si("engine.key_length"), reader.si("engine.hub_length")
        if hub is not None:
            found.append(Bears(hub, "engine.hub_length", "its hub", hub))
    else:
        at = f"shaft[{shaft}].joint[{joint}]"
        long = reader.si(f"{at}.length")
        found += [*_hub(reader, shaft, at), *_step(reader, shaft, at, long)]
    least = min(found, default=None)
    return None if least is None or long is None or at_least(least.length, long) else least


def _hub(reader: Reader, shaft: str, at: str) -> Iterator[Bears]:
    """Yield the hub that a joint holds: that of its stage, or the one it lies under."""
    stage, place, near = reader.get(f"{at}.stage"), reader.si(f"{at}.position"), usual("joint beside its pulley")
    for load in reader.names(f"shaft[{shaft}].load"):
        here = f"shaft[{shaft}].load[{load}]"
        hub, middle = reader.si(f"{here}.hub_length"), reader.si(f"{here}.position")
        mine = stage is not None and reader.get(f"{here}.stage") == stage
        under = stage is None and None not in (place, middle) and abs(place - middle) <= near
        if hub is not None and (mine or under):
            off = abs(place - middle) if None not in (place, middle) else 0.0
            long = reader.si(f"{at}.length", 0.0)
            left = max(0.0, min(hub, (hub + long) / 2 - off))
            yield Bears(left, f"{here}.hub_length", f"the hub of {load}", max(0.0, hub - 2 * off))


def _step(reader: Reader, shaft: str, at: str, long: float | None) -> Iterator[Bears]:
    """Yield the length of shaft of one diameter that a joint lies in, as far as its key is on it."""
    place, base = reader.si(f"{at}.position"), f"shaft[{shaft}].step"
    steps = [(n, *(reader.si(f"{base}[{n}].{k}") for k in ("start", "end", "diameter"))) for n in reader.names(base)]
    if place is None or long is None or not steps or any(None in s for s in steps):
        return
    here = next((s for s in steps if s[1] - SAME_PLACE <= place <= s[2] + SAME_PLACE), None)
    if here is None:
        return
    name, start, end, size = here
    for _, other, to, same in sorted(steps, key=lambda s: s[1]):
        if abs(same - size) <= SAME_PLACE and abs(other - end) <= SAME_PLACE:
            end = to
    for _, other, to, same in sorted(steps, key=lambda s: -s[2]):
        if abs(same - size) <= SAME_PLACE and abs(to - start) <= SAME_PLACE:
            start = other
    left = min(end, place + long / 2) - max(start, place - long / 2)
    if not at_least(left, long):
        yield Bears(max(left, 0.0), f"{base}[{name}].end", f"step {name}", 2 * min(end - place, place - start))


__all__ = [
    "Bears",
    "Clash",
    "Reach",
    "bearing_widths",
    "bears",
    "clashes",
    "face_width",
    "has_room",
    "reaches",
    "usual",
]
