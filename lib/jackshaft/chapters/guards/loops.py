"""The loops of a machine that draw hands in, belts and chains alike: their wheels, and where each is run onto."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.layout.arm import follow
from jackshaft.chapters.layout.data import Body, StageLayout
from jackshaft.chapters.ratio.data import RatioData
from jackshaft.chapters.roller_chain.data import ChainData
from jackshaft.mechanics import path as belt_path
from jackshaft.mechanics.roller_chain import sprocket_pitch_diameter
from jackshaft.mechanics.takeup import Slot
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader

#: A hand's length, m, from the wrist to the tip of the middle finger: of a grown hand, from memory.
HAND = 0.18
#: In less, s, nobody lets go: from memory, a simple reaction at its best.
LETS_GO = 0.2
#: Places along the swing of an arm that a guard leaves room for: between two of them it errs by less than a scratch.
SWING = 25


class Loop(NamedTuple):
    """A belt or chain with the wheels that it runs round, in the order in which it meets them; m, arrays of shape (n,).

    ``line`` is the radius of the belt's cord or the chain's pins, ``solid`` that of all that turns there, the belt or
    chain with it. ``start`` and ``end`` are the ends of the strands, (n, 2). ``swept`` holds circles that a wheel
    also stands at, (k, 3). ``sure``: the way that it runs is known. ``notes`` say what is not known of it.
    """

    stage: str
    runs: str
    names: tuple[str, ...]
    x: np.ndarray
    y: np.ndarray
    line: np.ndarray
    solid: np.ndarray
    path: belt_path.Path
    start: np.ndarray
    end: np.ndarray
    sure: bool
    speed: float | None
    bodies: tuple[Body, ...] = ()
    swept: np.ndarray = np.zeros((0, 3))
    notes: tuple[str, ...] = ()

    @property
    def ends(self) -> np.ndarray:
        """The first and the last of what is swept, (2, 3); none where nothing is."""
        return self.swept[[0, -1]] if len(self.swept) else self.swept


class Nip(NamedTuple):
    """A place where a hand is drawn in: where ``stage`` runs onto ``wheel``, m, and the way it runs there, rad.

    ``speed`` is that of the belt or chain at the engine's top speed, m/s, None where it is not known. ``sure`` is False
    where it is a nip only if the machine runs that way.
    """

    stage: str
    runs: str
    wheel: str
    x: float
    y: float
    heading: float
    speed: float | None
    sure: bool

    @property
    def within(self) -> float | None:
        """In what time, s, a hand's length is drawn in; None where the speed is not known."""
        return None if not self.speed else HAND / self.speed


def loops_of(reader: Reader, done: Mapping[str, Findings]) -> Iterator[Loop]:
    """Yield every belt and chain of which the way is known."""
    for layout in (done["layout"].data or {}).values():
        if layout.path.reason == belt_path.OK:
            yield _belt(reader, layout)
    for chain in (done["roller-chain"].data or {}).values():
        loop = _chain(reader, chain, done["ratio"].data)
        if loop is not None:
            yield loop


def _belt(reader: Reader, layout: StageLayout) -> Loop:
    p, at, belt = layout.pulleys, layout.places, layout.belt
    beyond = 0.0 if belt is None else max(belt.cord_depth, belt.height - belt.cord_depth)
    solid = np.maximum(p.outside, p.pitch + beyond)
    notes = () if at.given else ("The places of the pulleys are not given; the two lie level here.",)
    if belt is None:
        notes += ("The belt's section is not known, so its height is left out.",)
    if layout.unplaced:
        notes += ("Not all bodies beside it have a place.",)
    swept, k = np.zeros((0, 3)), layout.mover
    if k is not None:
        way, told = _way(reader, layout)
        swept = np.column_stack([way, np.full(len(way), solid[k])])
        notes += told
    return Loop(
        stage=layout.name,
        runs="belt",
        names=tuple(p.names),
        x=np.asarray(at.x, float),
        y=np.asarray(at.y, float),
        line=p.pitch,
        solid=solid,
        path=layout.path,
        start=layout.start,
        end=layout.end,
        sure=layout.sense_known,
        speed=next((v for v in (layout.top_speed, layout.full_speed, layout.speed) if v is not None), None),
        bodies=layout.bodies,
        swept=swept,
        notes=notes,
    )


def _way(reader: Reader, layout: StageLayout) -> tuple[np.ndarray, tuple[str, ...]]:
    """Return places on the way of what takes the belt up, m, (k, 2), and what is not known of it.

    A slot is counted from end to end, an arm from where it stands to where a worn belt lets it swing.
    """
    name, track = layout.pulleys.names[layout.mover], layout.track
    if isinstance(track, Slot):
        return np.array([[track.x0, track.y0], [track.x1, track.y1]]), ()
    ways = None if track is None else follow(reader, layout)
    if ways is None:
        return np.zeros((0, 2)), (f"How far {name} moves is not counted: leave room for it.",)
    pivot = np.array([track.pivot_x, track.pivot_y])
    here = np.array([layout.places.x[layout.mover], layout.places.y[layout.mover]]) - pivot
    begin = np.arctan2(here[1], here[0])
    angle = begin + ways.way * np.linspace(0.0, ways.travel / track.length, SWING)
    told = f"{name} is counted as far as it swings with a worn belt. Set a stop for its arm there, so that it stays"
    return pivot + track.length * np.stack([np.cos(angle), np.sin(angle)], -1), (f"{told} clear if a belt breaks.",)


def _chain(reader: Reader, chain: ChainData, ratio: RatioData | None) -> Loop | None:
    """Return the loop of a chain; None where its centres are not known or it cannot run round its wheels."""
    if chain.centres is None:
        return None
    toward = 0.0 if chain.toward is None else chain.toward
    wheels = [
        ("driver", 0.0, 0.0, 0.5 * chain.stage.diameters[0], True),
        (
            "driven",
            chain.centres * np.cos(toward),
            chain.centres * np.sin(toward),
            0.5 * chain.stage.diameters[1],
            True,
        ),
    ]
    ccw = chain.turn >= 0
    if chain.idler_side is not None:
        # counter-clockwise the chain runs to the driven on the right of the way there
        place = 1 if chain.idler_side == (-1 if ccw else 1) else 2
        wheels.insert(place, _idler(chain, wheels, place - 1, ccw))
    names, x, y, line, path = _path(wheels, ccw)
    if path.reason != belt_path.OK:
        return None
    start, end = _ends(x, y, line, path)
    shaft = ratio.shaft(reader.get(f"stage[{chain.stage.name}].from")) if ratio else None
    turning = next((v for v in (shaft.top, shaft.full, shaft.work) if v is not None), None) if shaft else None
    lies = () if chain.toward is not None else ("The way from sprocket to sprocket is not given; they lie level here.",)
    return Loop(
        stage=chain.stage.name,
        runs="chain",
        names=names,
        x=x,
        y=y,
        line=line,
        # half a pitch beyond the pins: side plates are at most a pitch high
        solid=line + 0.5 * chain.stage.pitch,
        path=path,
        start=start,
        end=end,
        sure=chain.turn != 0,
        speed=None if turning is None else turning * 0.5 * chain.stage.diameters[0],
        notes=(*lies, "Bodies beside a chain are not in the build."),
    )


def _idler(chain: ChainData, wheels: list, k: int, ccw: bool) -> tuple:
    """Return the idler sprocket as a wheel: within the loop where its middle is, seen from strand ``k`` without it."""
    _, x, y, line, path = _path(wheels, ccw)
    start, _ = _ends(x, y, line, path)
    across = path.ux[k] * (chain.idler.y - start[k, 1]) - path.uy[k] * (chain.idler.x - start[k, 0])
    size = float(sprocket_pitch_diameter.si(chain.stage.pitch, teeth=chain.idler.teeth))
    return "idler sprocket", chain.idler.x, chain.idler.y, 0.5 * size, bool((across > 0.0) == ccw)


def _path(wheels: list, ccw: bool) -> tuple:
    """Return the names, middles and radii of wheels (name, x, y, radius, inside), and the path round them."""
    names, *sizes, inside = zip(*wheels, strict=True)
    x, y, line = (np.array(s, float) for s in sizes)
    return names, x, y, line, belt_path.path_si(x, y, line, np.array(inside), ccw)


def _ends(x, y, line, path) -> tuple[np.ndarray, np.ndarray]:
    a, b, c, d = belt_path.tangents_si(x, y, line, path)
    return np.stack([a, b], -1), np.stack([c, d], -1)


def nips_of(loop: Loop) -> tuple[Nip, ...]:
    """Return every place where a loop runs onto a wheel; where its way is not known, where it leaves one too."""
    found = []
    for i, name in enumerate(loop.names):
        places = [(loop.end[i - 1], float(loop.path.heading[i - 1]))]
        if not loop.sure:
            places.append((loop.start[i], float(loop.path.heading[i]) + np.pi))
        for (x, y), heading in places:
            nip = Nip(
                stage=loop.stage,
                runs=loop.runs,
                wheel=name,
                x=float(x),
                y=float(y),
                heading=heading,
                speed=loop.speed,
                sure=loop.sure,
            )
            found.append(nip)
    return tuple(found)


__all__ = ["HAND", "LETS_GO", "Loop", "Nip", "loops_of", "nips_of"]
