"""Belt layout: path, wraps, length, clearances, and which belt that is sold goes on."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft.buildfile.naming import titled
from jackshaft.chapters.layout import CHAPTER
from jackshaft.chapters.layout.checks import judge, misfit_check
from jackshaft.chapters.layout.clear_of import least_gap
from jackshaft.chapters.layout.data import Body, StageLayout, StockBelt
from jackshaft.chapters.layout.reversal import reversal_table
from jackshaft.chapters.layout.series import count_check, length_said_check, series_check
from jackshaft.chapters.layout.shaft_place import zero_marks
from jackshaft.chapters.layout.take_up import CENTRES, cannot_at_all, stock_of, track_of, travel_missing, with_belt_on
from jackshaft.chapters.ratio.data import RatioData
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.mechanics import clearance, ratio
from jackshaft.mechanics import path as belt_path
from jackshaft.parts.belt_stage import Places, Pulleys, read_places, read_pulleys, standard_of
from jackshaft.results.chapter import WHOLE, Detail, Scope
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up the layout of every belt stage of a build; without its tables where a panel is in a hurry."""
    draft = Draft(CHAPTER)
    stages = [n for n in reader.names("stage") if reader.get(f"stage[{n}].kind") in ("belt", None)]
    if not stages:
        state = "none" if reader.is_none("stage") or reader.names("stage") else "not known yet"
        words = "This build has no belt." if state == "none" else "No belt stage is in the build file yet."
        return draft.done(reader, state, words)
    found: dict[str, StageLayout] = {}
    for name in filter(scope.has, stages):
        kind = f"stage[{name}].kind"
        if reader.get(kind) is None and not reader.names(f"stage[{name}].pulley"):
            words = "How this stage passes the torque is not known yet. If it is a belt, it is laid out here."
            draft.missing(reader, f"layout.kind[{name}]", f"{name}: kind of stage", [kind], words)
            continue
        with draft.attempt(reader, f"layout.length[{name}]", titled(name, "belt", "length")):
            found[name] = _stage(draft, reader, name, done["ratio"].data, scope.detail)
    if sum(s.places.given for s in found.values()) > 1:
        zero_marks(draft, reader)
    draft.data = found or None
    draft.cite("own-derivation")
    return draft.done(reader, uses=[done["ratio"]])


def _stage(draft: Draft, reader: Reader, name: str, ratio_data: RatioData | None, detail: Detail) -> StageLayout:
    at = f"stage[{name}]"
    series_check(draft, reader, name)
    count_check(draft, reader, name)
    length_said_check(draft, reader, name)
    pulleys = read_pulleys(reader, at)
    if reader.get(f"{at}.takeup.kind") not in (None, *CENTRES) and len(pulleys.names) == len(pulleys.powered):
        # a belt that an idler tightens runs elsewhere than one without
        reader.require(f"{at}.takeup.idler")
    places = read_places(reader, at, pulleys)
    section = reader.get(f"{at}.section")
    shaft = ratio_data.shaft(reader.get(f"{at}.from")) if ratio_data else None
    known = shaft is not None and bool(shaft.turn)
    # the driver turns with the loop where it is inside it
    ccw = (shaft.turn > 0) == bool(pulleys.inside[pulleys.driver]) if known else True
    found, ccw, ends = _follow(pulleys, places, ccw, known)
    bodies, unplaced = _bodies(reader, at)
    size = 2 * pulleys.pitch[pulleys.driver]
    speed, full_speed, top_speed = (
        None if shaft is None or v is None else float(ratio.tip_speed.si(size, rotation=v))
        for v in (shaft and shaft.work, shaft and shaft.full, shaft and shaft.top)
    )
    idler = reader.get(f"{at}.takeup.idler")
    pivot = reader.si(f"{at}.takeup.pivot_x"), reader.si(f"{at}.takeup.pivot_y")
    layout = StageLayout(
        name=name,
        pulleys=pulleys,
        places=places,
        belt=belt_lengths.section(section, standard_of(reader, at)) if section else None,
        ccw=ccw,
        sense_known=known,
        path=found,
        start=np.stack(ends[:2], -1),
        end=np.stack(ends[2:], -1),
        bodies=bodies,
        unplaced=unplaced,
        idler=(took := pulleys.names.index(idler) if idler else None),
        mover=pulleys.driven if reader.get(f"{at}.takeup.kind") in CENTRES else took,
        pivot=None if None in pivot else pivot,
        speed=speed,
        full_speed=full_speed,
        top_speed=top_speed,
    )
    gap, words = least_gap(layout)
    moves = track_of(reader, at, layout)
    layout = layout._replace(least_gap=gap, gap_words=words, track=moves and moves[1])
    misfit_check(draft, reader, layout)
    if found.reason != 0:
        return layout._replace(fits=False)
    stock, chosen = stock_of(reader, at, layout, mine_only=not detail.draws)
    if chosen is not None and not chosen.fits:
        missing = travel_missing(reader, at, layout, longer=chosen.over > 0)
        layout = layout._replace(travel_missing=() if cannot_at_all(layout, chosen) else missing)
    layout = with_belt_on(layout._replace(stock=stock if detail.draws else (), chosen=chosen))
    judge(draft, reader, layout, lengths=detail.draws)
    if detail.tables:
        if not pulleys.several:
            draft.tables.append(reversal_table(reader, layout))
    return layout


def _follow(
    pulleys: Pulleys, places: Places, ccw: bool, known: bool
) -> tuple[belt_path.Path, bool, tuple[np.ndarray, ...]]:
    """Return the belt's path, the way round that it takes, and the ends of its strands (x, y, x, y).

    Where the way is not known the other one is tried too.
    """
    inside = pulleys.inside.copy()
    if pulleys.crossed:
        inside[pulleys.driven] = False
    for way in (ccw,) if known else (ccw, not ccw):
        tried = belt_path.path_si(places.x, places.y, pulleys.pitch, inside, way, crossed=pulleys.crossed)
        if way == ccw or tried.reason == 0:
            found, took = tried, way
        if found.reason == 0:
            break
    ends = belt_path.tangents_si(places.x, places.y, pulleys.pitch, found)
    if found.reason == 0 and not pulleys.crossed and clearance.strands_cross_si(*ends, found, pulleys.pitch):
        # The total turning cannot see this: a loop with outside pulleys can turn once and still cross itself.
        found = found._replace(reason=np.asarray(belt_path.STRANDS_CROSS))
    return found, took, ends


def _bodies(reader: Reader, at: str) -> tuple[tuple[Body, ...], tuple[str, ...]]:
    """Return the bodies beside a loop, and the keys that are missing of those that cannot be placed yet."""
    bodies, unplaced = [], []
    for name in reader.names(f"{at}.body"):
        here = f"{at}.body[{name}]"
        x, y, size, wide, high = (reader.si(f"{here}.{k}") for k in ("x", "y", "diameter", "width", "height"))
        box = size is None and (wide is not None or high is not None)
        required = {"x": x, "y": y, **({"width": wide, "height": high} if box else {"diameter": size})}
        missing = [f"{here}.{k}" for k, v in required.items() if v is None]
        unplaced += missing
        if missing:
            continue
        corners = None
        if box:
            corners = np.array([x, y]) + np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * np.array([wide, high]) / 2
        bodies.append(Body(name, x, y, None if box else size / 2, corners))
    reader.note_missing(*unplaced)
    return tuple(bodies), tuple(unplaced)


__all__ = ["Body", "StageLayout", "StockBelt", "work_up"]
