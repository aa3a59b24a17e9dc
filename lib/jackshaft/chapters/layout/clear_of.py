"""The smallest gap of a belt loop to what it does not touch, belt thickness counted."""

from __future__ import annotations

import numpy as np

from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import clearance


def least_gap(layout: StageLayout) -> tuple[float, str]:
    """Return the smallest gap of belt and pulleys to what they must not touch, belt thickness counted, in words."""
    if layout.path.reason != 0:
        return np.nan, ""
    p, at, belt = layout.pulleys, layout.places, layout.belt
    outer = belt.cord_depth if belt else 0.0
    thick = {"inner": belt.height - belt.cord_depth if belt else 0.0, "outer": outer}
    starts, many = layout.ends[:2], range(len(p.names))
    strand = [layout.strand(i, "–") for i in many]
    gaps: list[tuple[float, str]] = []
    rim = np.maximum(p.outside, p.pitch)
    wrapped = rim + outer
    if len(p.names) > 2:
        table = clearance.strand_pulley_gaps_si(starts, layout.path, (at.x, at.y, rim), layout.ccw, **thick).table
        gaps += [
            (float(table[i, j]), f"strand {strand[i]} to pulley {p.names[j]}")
            for i in many
            for j in many
            if j not in (i, (i + 1) % len(p.names)) and np.isfinite(table[i, j])
        ]
        near = clearance.pulley_gaps_si(at.x, at.y, wrapped)
        gaps += [
            (float(near[i, j]), f"pulley {p.names[i]} with its belt to pulley {p.names[j]}")
            for i in many
            for j in range(i)
        ]
    for body in layout.bodies:
        # the belt on a pulley, and the pulley itself, are kept from a body as its strands are
        if body.radius is not None:
            discs = [np.array([v]) for v in (body.x, body.y, body.radius)]
            strands = clearance.strand_circle_gaps_si(starts, layout.path, discs, layout.ccw, **thick)[:, 0]
            pulleys = np.hypot(at.x - body.x, at.y - body.y) - body.radius - wrapped
        else:
            corners = dict(zip(("corners_x", "corners_y"), body.corners.T, strict=True))
            strands = clearance.strand_polygon_gaps_si(*layout.ends, **corners, thick=max(thick.values()))
            pulleys = clearance.disc_polygon_gaps_si(at.x, at.y, wrapped, **corners)
        gaps += [(float(g), f"strand {s} to {body.name}") for g, s in zip(strands, strand, strict=True)]
        gaps += [(float(g), f"pulley {n} with its belt to {body.name}") for g, n in zip(pulleys, p.names, strict=True)]
    # of gaps that are one but for rounding the first in the words' order is named
    return min(gaps, key=lambda g: (round(g[0], 7), g[1])) if gaps else (np.inf, "nothing is near the belt")
