"""Idlers that stand elsewhere: where the pulley that slips first wraps more, and in the slack strand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from jackshaft.buildfile import BuildProblems
from jackshaft.buildfile.naming import named
from jackshaft.chapters.grip.cases import Case, Load, solve_cases, tension_key
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.pull import stands
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import idlers
from jackshaft.mechanics import path as belt_path
from jackshaft.parts.belt_changes import with_belt
from jackshaft.results import work_up
from jackshaft.results.chapter import Detail, Scope
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.failing import Failing
from jackshaft.results.proving import applied
from jackshaft.units import read

#: Steps in which a place or a tension is written, inch and metric.
PLACE, TENSION = ("1/4 in", "5 mm"), ("1 lbf", "5 N")

#: Distances that an idler is moved, in steps of :data:`PLACE`, and the eight directions.
STEPS, WAYS = (2, 4, 8, 12, 16, 24), 8

#: Moves and places that are proposed at the most, and moves that are looked at with the belt on.
MOST, LOOKED = 6, 18

#: Places along a strand, and how deep the idler is pressed into it as a share of the strand.
SHARES, PRESSES = (0.2, 0.35, 0.5, 0.65, 0.8), (0.05, 0.1, 0.2, 0.3)

#: Wrap that is worth a move, rad: common practice, no source.
WORTH = np.radians(2.0)


def wraps_more(failing: Failing, load: str) -> Iterator[Proposal]:
    """Yield places round that of each idler where the pulley that slips first wraps more, those nearest to holding the
    load first, the least change of the belt's length among equals.

    The wrap is the one with a belt on: an idler that takes up goes where the belt lets it, not where it is drawn.
    """
    stage = failing.item("grip")
    case = None if stage is None or stage.hold is None or stage.held_tight else stage.case(load)
    if case is None or not stage.layout.places.given or stage.layout.pulleys.crossed:
        return
    found = []
    for k in stage.layout.idlers:
        for steps in STEPS:
            for way in range(WAYS):
                moved = _moved(failing, stage.layout, k, steps, 2.0 * np.pi * way / WAYS)
                if moved is None:
                    continue
                gained = moved.path.wrap[stage.limiting] - stage.layout.path.wrap[stage.limiting]
                if gained < WORTH:
                    continue
                least = min(_again(stage, moved, case).least_bad, 1.0)
                longer = abs(float(moved.path.length - stage.layout.path.length))
                found.append(((-round(least, 3), longer + 1e-6 * steps), k, moved))
    name, offered = named("pulley", stage.layout.pulleys.names[stage.limiting]), 0
    for _, k, moved in sorted(found, key=lambda f: f[0])[:LOOKED]:
        changes, place = _place(failing, moved, k)
        changes, bought = with_belt(failing, failing.part, changes)
        wrap = _wrap_then(failing, changes, stage.limiting)
        if wrap is None or wrap - stage.layout.path.wrap[stage.limiting] < WORTH:
            continue
        idler, with_it = named("idler", moved.pulleys.names[k]), "" if bought else " with the belt on"
        words = f"move {idler} to {place}; the belt then wraps {name} by {failing.reader.show(wrap, 'angle')}{with_it}"
        yield Proposal(orders(words, bought), changes)
        offered += 1
        if offered == MOST:
            return


def _wrap_then(failing: Failing, changes: dict[str, str], pulley: int) -> float | None:
    """Return the wrap of a pulley, rad, when the build is changed and its belt is on; None where that does not fit."""
    try:
        new = applied(failing.build, changes)
    except BuildProblems:
        return None
    found = work_up(new, ("layout",), scope=Scope(Detail.NO_TABLES)).chapters["layout"].data or {}
    layout = found.get(failing.part)
    if layout is None or layout.path.reason != 0 or layout.fits is False:
        return None
    return float(layout.path.wrap[pulley])


def _place(failing: Failing, layout: StageLayout, k: int) -> tuple[dict[str, str], str]:
    """Return where a pulley stands as changes of the build and in words."""
    at = f"stage[{layout.name}].pulley[{layout.pulleys.names[k]}]"
    x, y = (failing.up(float(v[k]), "length", *PLACE) for v in (layout.places.x, layout.places.y))
    return {f"{at}.x": x, f"{at}.y": y}, f"x {x}, y {y}"


def _step(failing: Failing) -> float:
    return read(PLACE[failing.build.system == "metric"], "length").si


def _moved(failing: Failing, layout: StageLayout, k: int, steps: int, way: float) -> StageLayout | None:
    """Return the loop with a pulley moved, on the shop's grid; None where it has no room or the belt no way round."""
    step = _step(failing)
    x, y = layout.places.x.copy(), layout.places.y.copy()
    x[k] = step * np.round(x[k] / step + steps * np.cos(way))
    y[k] = step * np.round(y[k] / step + steps * np.sin(way))
    return _walked(layout, x, y)


def _walked(layout: StageLayout, x: np.ndarray, y: np.ndarray) -> StageLayout | None:
    """Return a loop with its pulleys at other places; None where rims meet or the belt cannot go round."""
    p = layout.pulleys
    path = belt_path.path_si(x, y, p.pitch, p.inside, layout.ccw)
    rim = np.maximum(p.outside, p.pitch)
    apart = np.hypot(x[:, None] - x, y[:, None] - y) - (rim[:, None] + rim)
    if path.reason != 0 or np.min(apart + np.diag(np.full(len(x), np.inf))) <= 0.0:
        return None
    return layout._replace(places=layout.places._replace(x=x, y=y), path=path)


def _again(stage: StageGrip, layout: StageLayout, case: Case) -> Case:
    """Return a load case in a loop that was changed."""
    load = Load(case.factor, _pulls(layout, stage), case.centrifugal)
    scaled = load._replace(pulls=load.pulls * (np.max(np.abs(case.pulls)) / stage.pull))
    return solve_cases(_in(stage, layout), {case.name: scaled})[0]


def _in(stage: StageGrip, layout: StageLayout) -> StageGrip:
    """Return the loaded loop in another layout of the same pulleys, in any order."""
    order = [stage.layout.pulleys.names.index(n) for n in layout.pulleys.names]
    f = stage.friction
    friction = f._replace(likely=f.likely[order], bad=f.bad[order], high=f.high[order])
    return replace(stage, layout=layout, friction=friction, pulls=stage.pulls[order])


def _pulls(layout: StageLayout, stage: StageGrip) -> np.ndarray:
    return stage.pulls[[stage.layout.pulleys.names.index(n) for n in layout.pulleys.names]]


def to_slack(failing: Failing, load: str | None = None) -> Iterator[Proposal]:
    """Yield places in the slack strand for an idler that stands in the tight one, those first that change the belt's
    length least; one on a spring with the tension that holds a load there at the bad end, as it is with no load named.
    """
    stage = failing.item("grip")
    if stage is None or not stage.layout.places.given or stage.layout.pulleys.crossed:
        return
    for name in stage.tight_idlers:
        k = stage.layout.pulleys.names.index(name)
        sprung = stage.sprung and k == stage.layout.idler
        if load is not None and not (sprung and stage.hold is not None and stage.case(load)):
            continue
        for moved in _slack_places(failing, stage, k)[:MOST]:
            now = moved.pulleys.names.index(name)
            before, after = (
                named("pulley", moved.pulleys.names[(now + step) % len(moved.pulleys.names)]) for step in (-1, 1)
            )
            changes, place = _place(failing, moved, now)
            changes[f"stage[{failing.part}].pulley"] = ", ".join(moved.pulleys.names)
            words = f"move {named('idler', name)} into the slack strand, between {before} and {after}, to {place}"
            if sprung:
                pivot, where = _pivot(failing, stage.layout, moved, now)
                changes |= pivot
                words = orders(words, where)
            if load is not None:
                case = _again(stage, moved, stage.case(load))
                pull = float(np.max(np.abs(case.pulls)))
                if not np.isfinite(case.needed_bad) or not stands(stage, case.needed_bad + pull):
                    continue
                text = failing.up(case.needed_bad, "force", *TENSION)
                changes[tension_key(stage.layout, stage.way)] = text
                words = orders(words, f"take a spring that holds {text} there, all belts together")
            yield Proposal(orders(words), changes)


def _pivot(failing: Failing, before: StageLayout, after: StageLayout, now: int) -> tuple[dict[str, str], str]:
    """Return the pivot of an idler's arm moved as the idler was, and that in words; nothing where it is not known."""
    if before.pivot is None:
        return {}, ""
    k = before.idler
    shift = after.places.x[now] - before.places.x[k], after.places.y[now] - before.places.y[k]
    step, at = _step(failing), f"stage[{before.name}].takeup"
    x, y = (
        failing.up(step * np.round((p + d) / step), "length", *PLACE) for p, d in zip(before.pivot, shift, strict=True)
    )
    return {f"{at}.pivot_x": x, f"{at}.pivot_y": y}, f"put the pivot of its arm at x {x}, y {y}"


def _slack_places(failing: Failing, stage: StageGrip, k: int) -> list[StageLayout]:
    """Return the loop with an idler put into each slack strand, on the side of the loop that it stands on."""
    layout, p = stage.layout, stage.layout.pulleys
    keep = np.arange(len(p.names)) != k
    bare = _ordered(layout, np.flatnonzero(keep))
    x, y, r, inside = bare.places.x, bare.places.y, bare.pulleys.pitch, bare.pulleys.inside
    path = belt_path.path_si(x, y, r, inside, layout.ccw)
    if path.reason != 0:
        return []
    step, found = _step(failing), []
    driver, works = bare.pulleys.driver, bare.pulleys.works
    count, strand = len(r), driver
    while strand not in works:  # the strands between the driver and the first driven pulley are slack
        share, press = np.meshgrid(SHARES, np.array(PRESSES) * float(path.span[strand]))
        tried = idlers.idler_options_si(
            belt_path.path_si,
            (x, y, r, inside),
            strand,
            idler_radius=float(p.pitch[k]),
            idler_inside=bool(p.inside[k]),
            share=share.ravel(),
            press=press.ravel(),
            ccw=layout.ccw,
        )
        order = [*np.flatnonzero(keep)[: strand + 1], k, *np.flatnonzero(keep)[strand + 1 :]]
        for px, py in zip(tried.x, tried.y, strict=True):
            new = _ordered(layout, np.array(order))
            xs, ys = new.places.x.copy(), new.places.y.copy()
            xs[strand + 1], ys[strand + 1] = step * np.round(px / step), step * np.round(py / step)
            walked = _walked(new, xs, ys)
            if walked is not None:
                found.append(walked)
        strand = (strand + 1) % count
    wanted = float(layout.chosen.pitch_length if layout.chosen else layout.path.length)
    return sorted(found, key=lambda new: abs(float(new.path.length) - wanted))


def _ordered(layout: StageLayout, order: np.ndarray) -> StageLayout:
    """Return a loop with its pulleys in another order, or with one left out; its path is still the old one."""
    p, at = layout.pulleys, layout.places
    names = tuple(p.names[i] for i in order)
    pulleys = p._replace(
        names=names,
        pitch=p.pitch[order],
        outside=p.outside[order],
        inside=p.inside[order],
        flat=p.flat[order],
        driver=names.index(p.names[p.driver]),
        driven=names.index(p.names[p.driven]),
        materials=tuple(p.materials[i] for i in order),
        shares=tuple(p.shares[i] for i in order),
        shafts=tuple(p.shafts[i] for i in order),
    )
    idler = p.names[layout.idler] if layout.idler is not None else None
    return layout._replace(
        pulleys=pulleys,
        places=at._replace(x=at.x[order], y=at.y[order]),
        idler=names.index(idler) if idler in names else None,
    )


def left_out(failing: Failing) -> Iterator[Proposal]:
    """Yield the loop without a fixed idler of the tight strand, where the belt goes round without it."""
    stage = failing.item("grip")
    if stage is None:
        return
    names = stage.layout.pulleys.names
    for name in stage.tight_idlers:
        k = names.index(name)
        if k == stage.layout.idler:
            continue
        rest = np.array([i for i in range(len(names)) if i != k])
        bare = _ordered(stage.layout, rest)
        if _walked(bare, bare.places.x, bare.places.y) is not None:
            kept = ", ".join(names[i] for i in rest)
            yield Proposal(f"Take {named('idler', name)} out of the loop.", {f"stage[{failing.part}].pulley": kept})


__all__ = ["left_out", "to_slack", "wraps_more"]
