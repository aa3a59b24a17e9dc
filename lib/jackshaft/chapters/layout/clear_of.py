"""The smallest gap of a belt loop to what it does not touch, belt thickness counted."""

from __future__ import annotations

import numpy as np

from jackshaft.buildfile.naming import named
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import clearance


def least_gap(layout: StageLayout) -> tuple[float, str]:
    """Return the smallest gap of belt and pulleys to what they must not touch, belt thickness counted, in words."""
    if layout.path.reason != 0:
        return np.nan, ""
    gaps = [(float(g.gap), _words(layout, g)) for g in clearance.loop_gaps_si(room_of(layout), layout.bodies)]
    gaps = [g for g in gaps if np.isfinite(g[0])]
    # of gaps that are one but for rounding the first in the words' order is named
    return min(gaps, key=lambda g: (round(g[0], 7), g[1])) if gaps else (np.inf, "nothing is near the belt")


def bare_gap(layout: StageLayout) -> float:
    """Return the smallest gap of a loop without the belt's thickness: to the line of the cords, m."""
    room = room_of(layout)
    gaps = list(clearance.loop_gaps_si(room, layout.bodies))
    bare = list(clearance.loop_gaps_si(room._replace(inner=0.0, outer=0.0), layout.bodies))
    near = min((i for i, g in enumerate(gaps) if np.isfinite(g.gap)), key=lambda i: round(float(gaps[i].gap), 7))
    return float(bare[near].gap)


def tightest(layout: StageLayout) -> set[int]:
    """Return the pulleys that the smallest gap is about: those named, and those that a strand runs between."""
    gaps = [g for g in clearance.loop_gaps_si(room_of(layout), layout.bodies) if np.isfinite(g.gap)]
    if not gaps:
        return set()
    one, count = min(gaps, key=lambda g: float(g.gap)), len(layout.pulleys.names)
    found = set()
    for what, k in ((one.what, one.one), (one.other, one.two)):
        found |= {k} if what == "pulley" else {k, (k + 1) % count} if what == "strand" else set()
    return found


def room_of(layout: StageLayout) -> clearance.Loop:
    """Return what the room round a loop is measured of."""
    p, belt = layout.pulleys, layout.belt
    return clearance.Loop(
        x=layout.places.x,
        y=layout.places.y,
        r=p.pitch,
        rim=p.outside,
        inside=p.inside,
        found=layout.path,
        ccw=layout.ccw,
        inner=belt.height - belt.cord_depth if belt else 0.0,
        outer=belt.cord_depth if belt else 0.0,
    )


def _words(layout: StageLayout, gap: clearance.Gap) -> str:
    names = layout.pulleys.names
    first = f"strand {layout.strand(gap.one, '–')}" if gap.what == "strand" else named("pulley", names[gap.one])
    if gap.other == "strand":
        return f"{first} to strand {layout.strand(gap.two, '–')}"
    return (
        f"{first} to {named('pulley', names[gap.two])}"
        if gap.other == "pulley"
        else f"{first} to {layout.bodies[gap.two].name}"
    )


__all__ = ["bare_gap", "least_gap", "room_of", "tightest"]
