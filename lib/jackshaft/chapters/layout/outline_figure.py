"""What of a loop is drawn to scale: the belt as high as it is, groove bottoms, shafts, the way of the take-up."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from matplotlib.path import Path

from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import takeup
from jackshaft.parts.belt_stage import groove_row, section_row
from jackshaft.results.reader import Reader

#: How far an idler's arm is drawn to swing beyond the positions that are known, rad.
BEYOND = np.radians(6.0)


def _faces(layout: StageLayout) -> tuple[np.ndarray, np.ndarray]:
    """Return how far beyond the pitch radius of each pulley the belt's back and its other face are, m."""
    belt, inside = layout.belt, np.where(layout.pulleys.inside, 1.0, -1.0)
    return inside * belt.cord_depth, -inside * (belt.height - belt.cord_depth)


def has_height(layout: StageLayout) -> bool:
    """Tell whether the belt can be drawn as high as it is: its path and its section are known."""
    return layout.path.reason == 0 and layout.belt is not None


def band(layout: StageLayout) -> Path:
    """Return the belt between its back and its other face as an outline, m."""
    back, face = (_arcs(layout, off) for off in _faces(layout))
    # the other face runs the other way round, so that what is within stays open
    return Path.make_compound_path(_joined(back), _joined([arc[::-1] for arc in face[::-1]]))


def _arcs(layout: StageLayout, off: np.ndarray) -> list[np.ndarray]:
    """Return the points of the curve round each pulley, m: its start, then three for each piece."""
    arcs = []
    for i in range(len(layout.pulleys.names)):
        centre = np.array([layout.places.x[i], layout.places.y[i]])
        first = np.degrees(np.arctan2(*(layout.end[i - 1] - centre)[::-1]))
        turned = float(np.degrees(layout.path.turn[i] * layout.path.wrap[i]))
        # a piece for each eighth of a turn at most: the curve is then off by less than a millionth
        unit = Path.arc(0.0, abs(turned), n=max(1, int(np.ceil(abs(turned) / 45.0)))).vertices * (1, np.sign(turned))
        angle = np.radians(first)
        turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
        arcs.append(centre + (layout.pulleys.pitch[i] + off[i]) * unit @ turn)
    return arcs


def _joined(arcs: list[np.ndarray]) -> Path:
    codes = [[Path.LINETO, *[Path.CURVE4] * (len(arc) - 1)] for arc in arcs]
    points = np.concatenate([*arcs, arcs[0][:1]])
    return Path(points, [Path.MOVETO, *np.concatenate(codes)[1:], Path.CLOSEPOLY])


def strand_band(layout: StageLayout, i: int) -> np.ndarray:
    """Return the corners of strand ``i``, m, shape (4, 2)."""
    corners = []
    for at, k in ((layout.start[i], i), (layout.end[i], (i + 1) % len(layout.pulleys.names))):
        out = (at - (layout.places.x[k], layout.places.y[k])) / layout.pulleys.pitch[k]
        corners.append([at + off[k] * out for off in _faces(layout)])
    (a, b), (c, d) = corners
    return np.array([a, c, d, b])


def circles(centres: np.ndarray, radii: np.ndarray) -> Path:
    """Return circles as one outline; those without a radius (NaN) are left out."""
    unit = Path.unit_circle()
    known = [(c, r) for c, r in zip(centres, radii, strict=True) if np.isfinite(r)]
    if not known:
        return Path(np.zeros((0, 2)))
    return Path.make_compound_path(*(Path(c + r * unit.vertices, unit.codes) for c, r in known))


@lru_cache(maxsize=256)
def _depth(section, outside: float) -> float:
    row = groove_row(section, outside)
    return np.nan if row is None or row["depth_min_mm"] is None else row["depth_min_mm"] * 1e-3


def scaled(path: Path, unit: float) -> Path:
    """Return an outline in units of so many metres."""
    return Path(path.vertices / unit, path.codes)


def groove_bottoms(reader: Reader, layout: StageLayout) -> np.ndarray:
    """Return the radius of each groove's bottom at its least depth, m, shape (n,); NaN where there is none known."""
    p, section = layout.pulleys, section_row(reader, f"stage[{layout.name}]")
    if section is None:
        return np.full(len(p.names), np.nan)
    depth = [np.nan if flat else _depth(section, 2 * float(r)) for flat, r in zip(p.flat, p.outside, strict=True)]
    return p.outside - np.array(depth)


def shaft_radii(reader: Reader, layout: StageLayout) -> np.ndarray:
    """Return the radius of the shaft or pin that each pulley sits on, m, shape (n,); NaN where it is not known."""
    at, p = f"stage[{layout.name}]", layout.pulleys
    on = {p.driver: reader.get(f"{at}.from"), **{i: p.shafts[i] for i in p.works}}
    found = []
    for i, name in enumerate(p.names):
        if i not in on:
            key = f"{at}.pulley[{name}].pin_diameter"
        elif on[i] == "engine":
            key = "engine.shaft_diameter"
        else:
            key = f"shaft[{on[i]}].diameter" if on[i] else ""
        size = reader.si(key) if key else None
        # a shaft as thick as its pulley is a slip of the pen; the checks say so, the drawing leaves it out
        found.append(np.nan if size is None or size >= 2 * p.outside[i] else size / 2)
    return np.array(found)


def way_of(layout: StageLayout, sold: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return the way of the take-up as a line, m, (N, 2), and its two ends with the direction along it, (2, 2, 2).

    No ends where nobody has said where they are: the swing of an idler's arm is drawn a little beyond where the belts
    ``sold``, m, (K, 2), put it.
    """
    track, nothing = layout.track, np.zeros((0, 2, 2))
    if track is None:
        return np.zeros((0, 2)), nothing
    if isinstance(track, takeup.Slot):
        ends = np.array([[track.x0, track.y0], [track.x1, track.y1]])
        along = (ends[1] - ends[0]) / np.hypot(*(ends[1] - ends[0]))
        return ends, np.stack([ends, np.tile(along, (2, 1))], 1)
    pivot = np.array([track.pivot_x, track.pivot_y])
    here = np.array([layout.places.x[layout.mover], layout.places.y[layout.mover]])
    middle = np.arctan2(*(here - pivot)[::-1])
    away = np.concatenate([[here], sold]) - pivot
    # measured from where it stands, so that no swing runs the long way round
    swing = np.angle(np.exp(1j * (np.arctan2(away[:, 1], away[:, 0]) - middle)))
    angle = middle + np.linspace(swing.min() - BEYOND, swing.max() + BEYOND, 30)
    return pivot + track.length * np.stack([np.cos(angle), np.sin(angle)], -1), nothing


__all__ = [
    "band",
    "circles",
    "groove_bottoms",
    "has_height",
    "scaled",
    "shaft_radii",
    "strand_band",
    "way_of",
]
