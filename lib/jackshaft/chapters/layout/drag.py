"""Taking hold of a loop's drawing: which pulleys can be moved, where each may go, and where it catches."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np

from jackshaft.buildfile import Build
from jackshaft.chapters.layout import take_up_drag
from jackshaft.chapters.layout.figure import LayoutPicture
from jackshaft.ui.hand import Drag, Grip, Held, Stop
from jackshaft.ui.model import Outcome
from jackshaft.units import read, show

#: How far an arrow key moves a pulley, and how far with Shift.
STEPS = {"inch": ("1/8 in", "1/64 in"), "metric": ("2 mm", "0.5 mm")}


def drag_of(stage: str, ids: frozenset[str]) -> Drag:
    """Return what can be dragged in the drawing of a belt stage; ``ids`` are the controls that the panel has."""

    def grips(outcome: Outcome) -> tuple[Grip, ...]:
        picture = outcome.picture
        if picture is None:
            return ()
        return (*_grips(picture, stage, ids), *take_up_drag.grips(picture, stage, ids))

    def hold(build: Build, outcome: Outcome, part: str) -> Held:
        if part.startswith(take_up_drag.MARK):
            return take_up_drag.held(outcome.picture, stage, part, _steps(outcome.picture))
        return _held(outcome.picture, stage, part, f"stage[{stage}].centres" in ids)

    return Drag(grips, hold)


def _grips(picture: LayoutPicture, stage: str, ids: frozenset[str]) -> Iterator[Grip]:
    layout, system = picture.layout, picture.system
    for k, name in enumerate(layout.pulleys.names):
        placed = f"stage[{stage}].pulley[{name}].x" in ids
        if not placed and not (f"stage[{stage}].centres" in ids and k == layout.pulleys.driven):
            continue
        x, y = picture.centres[k]
        where = " and ".join(
            f"{show(float(v) * picture.unit, 'length', system)} {way}" for v, way in ((x, "to the right"), (y, "up"))
        )
        wrap = f", wrap {np.degrees(layout.path.wrap[k]):.0f}°" if picture.fits else ", the belt cannot go round"
        yield Grip(name, f"pulley {name}", where + wrap, float(x), float(y), float(picture.rim[k]))


def _held(picture: LayoutPicture, stage: str, part: str, by_centres: bool) -> Held:
    layout, unit, text = picture.layout, picture.unit, partial(take_up_drag.text_of, picture)
    at, k = f"stage[{stage}]", layout.pulleys.names.index(part)
    coarse, fine = _steps(picture)

    def in_plane(x: float, y: float) -> dict[str, str]:
        return {f"{at}.pulley[{part}].{axis}": text(v) for axis, v in (("x", x), ("y", y))}

    if by_centres:
        from_ = picture.centres[layout.pulleys.driver]
        line = picture.centres[k] - from_
        line = line / np.hypot(*line)

        def along(x: float, y: float) -> tuple[float, float]:
            far = round(max(float((np.array([x, y]) - from_) @ line), coarse) / fine) * fine
            return tuple(from_ + far * line)

        def centres(x: float, y: float) -> dict[str, str]:
            return {f"{at}.centres": text(np.hypot(*(np.array([x, y]) - from_)))}

        stops = [Stop(*(from_ + s.centres / unit * line), _stop(s)) for s in layout.stock if s.fits and s.centres > 0]
        return Held(along, centres, stops, (coarse, fine))

    sold = [s for s in layout.stock if k == layout.mover and s.fits and np.isfinite(s.x)]
    stops = [Stop(s.x / unit, s.y / unit, _stop(s)) for s in sold]
    if layout.pivot is not None and k == layout.idler:
        pivot = np.array(layout.pivot) / unit
        arm = float(np.hypot(*(picture.centres[k] - pivot)))

        def on_arm(x: float, y: float) -> tuple[float, float]:
            away = np.array([x, y]) - pivot
            return tuple(pivot + arm * away / max(float(np.hypot(*away)), 1e-9))

        return Held(on_arm, in_plane, stops, (coarse, fine))

    def on_grid(x: float, y: float) -> tuple[float, float]:
        return tuple(round(v / fine) * fine for v in (x, y))

    return Held(on_grid, in_plane, stops, (coarse, fine))


def _steps(picture: LayoutPicture) -> tuple[float, float]:
    """Return how far an arrow key moves a part, and with Shift, in units of the drawing."""
    coarse, fine = (read(text, "length").si / picture.unit for text in STEPS[picture.system])
    return coarse, fine


def _stop(stock) -> str:
    return f"{stock.designation} goes on here"


__all__ = ["drag_of"]
