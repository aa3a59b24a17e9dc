"""Where else a pulley of a loop could stand: places on a shop's grid, tried all at once on the belt kernels."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.layout.clear_of import room_of
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import clearance
from jackshaft.mechanics import path as belt_path
from jackshaft.units import read

#: Grid of places, inch and metric, and how many steps of it to each side.
GRID, STEPS = {"inch": "1/4 in", "metric": "5 mm"}, 24


class Placed(NamedTuple):
    """Places of one pulley at which the belt goes round, nearest to the present one first; SI units.

    ``gap`` is the least gap there, ``wrap`` the wraps, shape (m, n), ``length`` the belt's.
    """

    x: np.ndarray
    y: np.ndarray
    far: np.ndarray
    gap: np.ndarray
    wrap: np.ndarray
    length: np.ndarray

    def at(self, which: np.ndarray) -> Placed:
        """Some of them."""
        return Placed(*(a[which] for a in self))


def placed(layout: StageLayout, k: int, system: str, *, inside: np.ndarray | None = None) -> Placed:
    """Return the places round pulley ``k`` where the belt goes round; ``inside`` as the pulleys then stand."""
    step = read(GRID[system], "length").si
    off = step * np.arange(-STEPS, STEPS + 1)
    # on the tape's marks, whatever the present place
    x0, y0 = (round(float(c[k]) / (step / 4)) * step / 4 for c in layout.places[:2])
    dx, dy = (a.ravel() for a in np.meshgrid(off, off))
    xs, ys = (np.repeat(np.asarray(c, float)[None], len(dx), axis=0) for c in layout.places[:2])
    xs[:, k], ys[:, k] = x0 + dx, y0 + dy
    return _worked(layout, k, xs, ys, inside)


def along(layout: StageLayout, k: int, way: tuple[float, float], offs: np.ndarray) -> Placed:
    """Return the places of pulley ``k`` along a direction, this far from its own, where the belt goes round."""
    xs, ys = (np.repeat(np.asarray(c, float)[None], len(offs), axis=0) for c in layout.places[:2])
    xs[:, k] += offs * way[0]
    ys[:, k] += offs * way[1]
    return _worked(layout, k, xs, ys, None)


def _worked(layout: StageLayout, k: int, xs, ys, inside) -> Placed:
    p = layout.pulleys
    inside = p.inside if inside is None else inside
    found = belt_path.path_si(xs, ys, p.pitch, inside, layout.ccw)
    ends = belt_path.tangents_si(xs, ys, p.pitch, found)
    good = np.flatnonzero((found.reason == 0) & ~clearance.strands_cross_si(*ends, found, p.pitch))
    found = belt_path.Path(*(np.asarray(a)[good] for a in found))
    xs, ys = xs[good], ys[good]
    room = room_of(layout)._replace(x=xs, y=ys, found=found, inside=inside)
    gap = clearance.least_gap_si(room, layout.bodies)
    far = np.hypot(xs[:, k] - layout.places.x[k], ys[:, k] - layout.places.y[k])
    here = Placed(xs[:, k], ys[:, k], far, gap, found.wrap, found.length)
    return here.at(np.argsort(far, kind="stable"))


def apart(places: Placed, most: int, least: float, good: Callable[[Placed], np.ndarray]) -> list[tuple[float, float]]:
    """Return the nearest places that are good, no two nearer to each other than ``least`` m, at most ``most``."""
    found: list[tuple[float, float]] = []
    these = places.at(np.flatnonzero(good(places) & (places.far > 1e-6)))
    for x, y in zip(these.x.tolist(), these.y.tolist(), strict=True):
        if all(np.hypot(x - a, y - b) >= least for a, b in found):
            found.append((x, y))
        if len(found) == most:
            break
    return found


__all__ = ["GRID", "Placed", "along", "apart", "placed"]
