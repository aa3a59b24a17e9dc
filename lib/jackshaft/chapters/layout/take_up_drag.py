"""Taking hold of a take-up in a loop's drawing: the pivot of its arm, the far end of its slot, the stops of centres."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from jackshaft.buildfile import Build
from jackshaft.chapters.layout.figure import LayoutPicture
from jackshaft.chapters.layout.take_up import CENTRES, IDLERS
from jackshaft.mechanics import takeup
from jackshaft.ui.hand import Grip, Held
from jackshaft.ui.model import Control
from jackshaft.ui.ranges import place_control
from jackshaft.units import show, write

#: Begins the name of each of these handles; no pulley is called so.
MARK = "take-up: "
PIVOT, SLOT, IN, OUT = (f"{MARK}{what}" for what in ("pivot", "slot", "in", "out"))
LABELS = {
    PIVOT: "pivot of the idler's arm",
    SLOT: "far end of the idler's slot",
    IN: "stop of the centres, closed",
    OUT: "stop of the centres, open",
}
#: Two keys that are one place, by what they end in.
PLACES = {PIVOT: ("pivot_x", "pivot_y"), SLOT: ("slot_x", "slot_y")}
STOPS = {IN: "travel_in", OUT: "travel_out"}
TRAVEL = ("0 to 6 in by 1/16", "0 to 150 mm by 1")
#: How far beside the line of centres the handle of a stop is, and its radius, as shares of the centre distance: on the
#: line it would lie over the pulley that moves.
BESIDE, RADIUS = 0.14, 0.04
NONE_SOLD = "Nothing is sold in steps here. Arrow keys move it, with Shift a little."


def controls(build: Build, stage: str) -> Iterator[Control]:
    """Yield the controls of how a take-up moves, where the build says it."""
    at = f"stage[{stage}].takeup"
    kind = build.get(f"{at}.kind")
    if kind in CENTRES:
        for end, words in (("in", "close"), ("out", "open")):
            if build.get(f"{at}.travel_{end}") is not None:
                yield Control(f"{at}.travel_{end}", f"Centres {words} by", TRAVEL, by="tape", group="Take-up")
    elif kind in IDLERS:
        what = next((w for w in ("pivot", "slot") if all(f"{at}.{w}_{c}" in build.values for c in "xy")), None)
        for axis, words in (("x", "to the right"), ("y", "upward")) if what else ():
            label = f"{'Pivot' if what == 'pivot' else 'Slot end'} {words}"
            yield place_control(build, f"{at}.{what}_{axis}", label, "Take-up")


def grips(picture: LayoutPicture, stage: str, ids: frozenset[str]) -> Iterator[Grip]:
    """Yield the handles of what the panel has controls for."""
    at, system, unit = f"stage[{stage}].takeup", picture.system, picture.unit
    for part, keys in PLACES.items():
        place = _place(picture, part)
        if place is None or not {f"{at}.{k}" for k in keys} <= ids:
            continue
        where = " and ".join(
            f"{show(float(v) * unit, 'length', system)} {way}"
            for v, way in zip(place, ("to the right", "up"), strict=True)
        )
        yield Grip(part, LABELS[part], where, float(place[0]), float(place[1]), _radius(picture), seen=True)
    for part, key in STOPS.items():
        if f"{at}.{key}" in ids and picture.layout.centres > 0.0:
            stop, travel = _stop(picture, part)
            x, y = stop + _aside(picture)
            where = f"{show(float(travel) * unit, 'length', system)} from the drawing"
            yield Grip(part, LABELS[part], where, float(x), float(y), _radius(picture), seen=True)


def held(picture: LayoutPicture, stage: str, part: str, steps: tuple[float, float]) -> Held:
    """Return what holding one of these handles means; ``steps`` are in units of the drawing."""
    at, fine = f"stage[{stage}].takeup", steps[1]
    if part in PLACES:
        keys = tuple(f"{at}.{key}" for key in PLACES[part])
        idler = _idler(picture)

        def land(x: float, y: float) -> tuple[float, float]:
            x, y = (round(v / fine) * fine for v in (x, y))
            # on the idler's own middle it is no arm, and no slot
            return (x, y) if np.hypot(x - idler[0], y - idler[1]) > fine else (x + 2 * fine, y)

        def put(x: float, y: float) -> Mapping[str, str]:
            return {key: text_of(picture, v) for key, v in zip(keys, (x, y), strict=True)}

        return Held(land, put, steps=steps, without=NONE_SOLD)

    start, way, sign = *_line(picture), 1.0 if part == OUT else -1.0
    most = np.inf if part == OUT else float(np.hypot(*(start - _driver(picture)))) - fine

    def travel(x: float, y: float) -> float:
        return min(max(round(sign * float((np.array([x, y]) - start) @ way) / fine) * fine, 0.0), most)

    def along(x: float, y: float) -> tuple[float, float]:
        return tuple(start + sign * travel(x, y) * way + _aside(picture))

    return Held(
        along, lambda x, y: {f"{at}.{STOPS[part]}": text_of(picture, travel(x, y))}, steps=steps, without=NONE_SOLD
    )


def text_of(picture: LayoutPicture, value: float) -> str:
    """Return a length in units of the drawing as shop text.

    An arm's end lies on no mark: thousandths, or hundredths of a millimetre, are finer than any shop sets it.
    """
    rounded = round(float(value), 3 if picture.system == "inch" else 2)
    return write(rounded * picture.unit, "length", picture.system)


def _place(picture: LayoutPicture, part: str) -> np.ndarray | None:
    layout = picture.layout
    if layout.idler is None or layout.mover != layout.idler:
        return None
    if part == PIVOT:
        return None if layout.pivot is None else np.array(layout.pivot) / picture.unit
    track = layout.track
    slot = layout.pivot is None and isinstance(track, takeup.Slot)
    return np.array([track.x1, track.y1]) / picture.unit if slot else None


def _idler(picture: LayoutPicture) -> np.ndarray:
    places, k = picture.layout.as_drawn.places, picture.layout.idler
    return np.array([places.x[k], places.y[k]]) / picture.unit


def _driver(picture: LayoutPicture) -> np.ndarray:
    places, k = picture.layout.as_drawn.places, picture.layout.pulleys.driver
    return np.array([places.x[k], places.y[k]]) / picture.unit


def _line(picture: LayoutPicture) -> tuple[np.ndarray, np.ndarray]:
    """Return where the shaft that moves is drawn, and the direction in which the centres open, of length 1."""
    places, k = picture.layout.as_drawn.places, picture.layout.mover
    start = np.array([places.x[k], places.y[k]]) / picture.unit
    way = start - _driver(picture)
    return start, way / np.hypot(*way)


def _stop(picture: LayoutPicture, part: str) -> tuple[np.ndarray, float]:
    """Return where a stop of the centres is, and how far that is from the drawing."""
    start, _ = _line(picture)
    track = picture.layout.track
    if track is None:  # the centres move neither way
        return start, 0.0
    end = np.array([track.x1, track.y1] if part == OUT else [track.x0, track.y0]) / picture.unit
    return end, float(np.hypot(*(end - start)))


def _aside(picture: LayoutPicture) -> np.ndarray:
    """Return the way from a stop to its handle."""
    start, way = _line(picture)
    return BESIDE * float(np.hypot(*(start - _driver(picture)))) * np.array([-way[1], way[0]])


def _radius(picture: LayoutPicture) -> float:
    return RADIUS * float(np.ptp(picture.centres, axis=0).max())


__all__ = ["MARK", "controls", "grips", "held", "text_of"]
