"""The smallest gap of a belt loop to what it does not touch, belt thickness counted."""

from __future__ import annotations

import numpy as np

from jackshaft.mechanics import clearance


def least_gap(pulleys, places, belt, found, ccw, ends, bodies) -> tuple[float, str]:
    """Return the smallest gap of belt and pulleys to what they must not touch, belt thickness counted, in words."""
    if found.reason != 0:
        return np.nan, ""
    inner = (belt.height - belt.cord_depth) if belt else 0.0
    outer = belt.cord_depth if belt else 0.0
    names = pulleys.names
    strand = [f"{names[i]}–{names[(i + 1) % len(names)]}" for i in range(len(names))]
    gaps: list[tuple[float, str]] = []
    rim = np.maximum(pulleys.outside, pulleys.pitch)
    wrapped = rim + outer
    if len(names) > 2:
        table = np.array(
            clearance.strand_pulley_gaps_si(
                ends[:2], found, (places.x, places.y, rim), ccw, inner=inner, outer=outer
            ).table
        )
        for i in range(len(names)):
            for j in range(len(names)):
                if j not in (i, (i + 1) % len(names)) and np.isfinite(table[i, j]):
                    gaps.append((float(table[i, j]), f"strand {strand[i]} to pulley {names[j]}"))
        near = clearance.pulley_gaps_si(places.x, places.y, wrapped)
        gaps += [
            (float(near[i, j]), f"pulley {names[i]} with its belt to pulley {names[j]}")
            for i in range(len(names))
            for j in range(i)
        ]
    for body in bodies:
        if body.radius is not None:
            discs = [np.array([v]) for v in (body.x, body.y, body.radius)]
            each = clearance.strand_circle_gaps_si(ends[:2], found, discs, ccw, inner=inner, outer=outer)[:, 0]
        else:
            each = clearance.strand_polygon_gaps_si(
                *ends, body.corners[:, 0], body.corners[:, 1], thick=max(inner, outer)
            )
        gaps += [(float(g), f"strand {s} to {body.name}") for g, s in zip(each, strand, strict=True)]
        # the belt on a pulley, and the pulley itself, are kept from a body as its strands are
        if body.radius is not None:
            each = np.hypot(places.x - body.x, places.y - body.y) - body.radius - wrapped
        else:
            each = clearance.disc_polygon_gaps_si(places.x, places.y, wrapped, body.corners[:, 0], body.corners[:, 1])
        gaps += [(float(g), f"pulley {n} with its belt to {body.name}") for g, n in zip(each, names, strict=True)]
    # of gaps that are one but for rounding the first in the words' order is named
    return min(gaps, key=lambda g: (round(g[0], 7), g[1])) if gaps else (np.inf, "nothing stands near the belt")
