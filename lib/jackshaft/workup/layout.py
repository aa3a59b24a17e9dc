"""Belt layout: path, wraps, length, clearances, and which belt that is sold goes on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.checks import CAUTION, GO, STOP, Check, Sheet, undecided
from jackshaft.mechanics import belt_rules, clearance, misfit, ratio, takeup, twopulley
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.mechanics import path as belt_path
from jackshaft.workup.belt_stage import Places, Pulleys, read_places, read_pulleys
from jackshaft.workup.core import Chapter, Draft, Looker, Unknown
from jackshaft.workup.ratio import ARROWS, NAME as RATIO, RatioData

NAME, TITLE = "layout", "Belt layout"

#: Least gap between a running strand and anything it does not touch: 1/4 in, common practice, no source.
LEAST_GAP = 0.00635

#: A pulley under this share of the section's minimum is refused; down to it, it is a caution.
SMALL_PULLEY = 0.85

NEAR = 5

RIMS = {"steel": "steel, turned", "cast iron": "grey cast iron", "ductile iron": "ductile iron",
        "aluminium": "aluminium casting", "pressed sheet": "steel, pressed sheet", "plastic": "plastic"}


class Body(NamedTuple):
    """Something the belt must clear: a round body by ``radius``, or a box by its corners; m."""

    name: str
    x: float
    y: float
    radius: float | None
    corners: np.ndarray | None


class StockBelt(NamedTuple):
    """A belt that is sold, and where the take-up stands with it (NaN where it cannot).

    ``room_in`` and ``room_out``: belt length, m, by which the loop can still be made shorter (to put
    the belt on) and longer (for stretch).
    """

    designation: str
    pitch_length: float
    over: float
    fits: bool
    x: float
    y: float
    centres: float
    room_in: float
    room_out: float
    known: str


class StageLayout(NamedTuple):
    """One belt loop: where everything stands and runs, in SI units.

    ``start`` and ``end`` are the ends of the strands, shape (n, 2); strand i leaves pulley i.
    """

    name: str
    pulleys: Pulleys
    places: Places
    belt: belt_lengths.Section | None
    ccw: bool
    sense_known: bool
    path: belt_path.Path
    start: np.ndarray
    end: np.ndarray
    bodies: tuple[Body, ...]
    least_gap: float
    gap_words: str
    stock: tuple[StockBelt, ...]
    chosen: StockBelt | None
    idler: int | None
    pivot: tuple[float, float] | None
    speed: float | None
    full_speed: float | None


def work_up(look: Looker, done: Mapping[str, Chapter]) -> Chapter:
    """Work up the layout of every belt stage of a build."""
    draft = Draft(NAME, TITLE)
    stages = [n for n in look.names("stage") if look.get(f"stage[{n}].kind") in ("belt", None)]
    if not stages:
        state = "none" if look.is_none("stage") or look.names("stage") else "not known yet"
        words = "This build has no belt." if state == "none" else "No belt stage is in the build file yet."
        return draft.done(look, state, words)
    found: dict[str, StageLayout] = {}
    for name in stages:
        try:
            found[name] = _stage(draft, look, name, done[RATIO].data)
        except Unknown as unknown:
            draft.checks.append(undecided(
                f"layout.length[{name}]", f"{name}: belt length", unknown.keys,
                "Diameters or positions of the pulleys are not known yet."))
    draft.data = found
    draft.cite("own-derivation")
    return draft.done(look, uses=[done[RATIO]])


def sense(look: Looker, pulleys: Pulleys, stage: str, ratio_data: RatioData | None) -> tuple[bool, bool]:
    """Return whether the belt runs counter-clockwise round its loop, and whether that is known."""
    start = look.get(f"stage[{stage}].from")
    shaft = ratio_data.shaft(start) if ratio_data else None
    if shaft is None or not shaft.turn:
        return True, False
    return (shaft.turn > 0) == bool(pulleys.inside[pulleys.driver]), True


def _stage(draft: Draft, look: Looker, name: str, ratio_data: RatioData | None) -> StageLayout:
    at = f"stage[{name}]"
    pulleys = read_pulleys(look, at)
    places = read_places(look, at, pulleys)
    section = look.get(f"{at}.section")
    belt = belt_lengths.section(section, look.system) if section else None
    ccw, known = sense(look, pulleys, name, ratio_data)
    inside = pulleys.inside.copy()
    if pulleys.crossed:
        inside[pulleys.driven] = False
    found = belt_path.path_si(places.x, places.y, pulleys.pitch, inside, ccw, crossed=pulleys.crossed)
    if not known and found.reason != 0:
        other = belt_path.path_si(places.x, places.y, pulleys.pitch, inside, not ccw, crossed=pulleys.crossed)
        found, ccw = (other, not ccw) if other.reason == 0 else (found, ccw)
    start_x, start_y, end_x, end_y = belt_path.tangents_si(places.x, places.y, pulleys.pitch, found)
    bodies = _bodies(look, at)
    gap, gap_words = _least_gap(pulleys, places, belt, found, ccw, (start_x, start_y, end_x, end_y), bodies)
    shaft = ratio_data.shaft(look.get(f"{at}.from")) if ratio_data else None
    size = 2 * pulleys.pitch[pulleys.driver]
    speeds = [None if shaft is None or v is None else float(ratio.tip_speed.si(size, rotation=v))
              for v in (shaft.work if shaft else None, shaft.full if shaft else None)]
    idler, pivot = _takeup_parts(look, at, pulleys)
    layout = StageLayout(name, pulleys, places, belt, ccw, known, found, np.stack([start_x, start_y], -1),
                         np.stack([end_x, end_y], -1), bodies, gap, gap_words, (), None, idler, pivot, *speeds)
    misfit_check(draft, look, layout)
    if found.reason != 0:
        return layout
    stock, chosen = _stock(look, at, layout)
    layout = layout._replace(stock=stock, chosen=chosen)
    _facts(draft, look, layout)
    _length_check(draft, look, layout)
    _clearance_check(draft, look, layout)
    _wrap_check(draft, look, layout)
    _size_check(draft, look, layout)
    _speed_check(draft, look, layout)
    _bend_check(draft, look, layout)
    return layout


def _bodies(look: Looker, at: str) -> tuple[Body, ...]:
    bodies = []
    for name in look.names(f"{at}.body"):
        here = f"{at}.body[{name}]"
        x, y, size, wide, high = (look.si(f"{here}.{k}") for k in ("x", "y", "diameter", "width", "height"))
        if x is None or y is None or (size is None and (wide is None or high is None)):
            look.lack(*(f"{here}.{k}" for k, v in (("x", x), ("y", y), ("diameter", size)) if v is None))
            continue
        corners = None
        if size is None:
            corners = np.array([x, y]) + np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * np.array([wide, high]) / 2
        bodies.append(Body(name, x, y, None if size is None else size / 2, corners))
    return tuple(bodies)


def _least_gap(pulleys, places, belt, found, ccw, ends, bodies) -> tuple[float, str]:
    """Return the smallest gap of a strand to something it does not touch, belt thickness counted, in words."""
    if found.reason != 0:
        return np.nan, ""
    inner = (belt.height - belt.cord_depth) if belt else 0.0
    outer = belt.cord_depth if belt else 0.0
    names = pulleys.names
    strand = [f"{names[i]}–{names[(i + 1) % len(names)]}" for i in range(len(names))]
    gaps: list[tuple[float, str]] = []
    if len(names) > 2:
        rim = np.maximum(pulleys.outside, pulleys.pitch)
        table = np.array(clearance.strand_pulley_gaps_si(ends[0], ends[1], found, places.x, places.y, rim, ccw,
                                                         inner=inner, outer=outer).table)
        for i in range(len(names)):
            for j in range(len(names)):
                if j not in (i, (i + 1) % len(names)) and np.isfinite(table[i, j]):
                    gaps.append((float(table[i, j]), f"strand {strand[i]} to pulley {names[j]}"))
        near = clearance.pulley_gaps_si(places.x, places.y, rim + belt.cord_depth if belt else rim)
        gaps += [(float(near[i, j]), f"pulley {names[i]} with its belt to pulley {names[j]}")
                 for i in range(len(names)) for j in range(i)]
    for body in bodies:
        if body.radius is not None:
            each = clearance.strand_circle_gaps_si(ends[0], ends[1], found, np.array([body.x]), np.array([body.y]),
                                                   np.array([body.radius]), ccw, inner=inner, outer=outer)[:, 0]
        else:
            each = clearance.strand_polygon_gaps_si(*ends, body.corners[:, 0], body.corners[:, 1],
                                                    thick=max(inner, outer))
        gaps += [(float(g), f"strand {s} to {body.name}") for g, s in zip(each, strand, strict=True)]
    return min(gaps) if gaps else (np.inf, "nothing stands near the belt")


def _takeup_parts(look: Looker, at: str, pulleys: Pulleys):
    idler = look.get(f"{at}.takeup.idler")
    index = pulleys.names.index(idler) if idler else None
    x, y = look.si(f"{at}.takeup.pivot_x"), look.si(f"{at}.takeup.pivot_y")
    return index, None if x is None or y is None else (x, y)


def _stock(look: Looker, at: str, layout: StageLayout) -> tuple[tuple[StockBelt, ...], StockBelt | None]:
    """Return the belts nearest to the path with the take-up position for each, and the belt that is on."""
    wanted: list[tuple[str, float, str]] = []
    belt = layout.belt
    if belt is None:
        look.lack(f"{at}.section")
        return (), None
    mine = _own_belt(look, at, belt)
    try:
        sold = belt_lengths.stock(belt, "pitch")
    except belt_lengths.SectionError:
        sold = None
    if sold is not None:
        nearest = sorted(np.argsort(np.abs(sold.length - float(layout.path.length)))[:NEAR])
        wanted += [(sold.designation[i], float(sold.length[i]), sold.known[i]) for i in nearest]
    if mine and not any(_same(mine[0], d) for d, _, _ in wanted):
        wanted.append(mine)
    if not wanted:
        return (), None
    placed = _place(look, at, layout, np.array([w[1] for w in wanted]))
    over = [w[1] - float(layout.path.length) for w in wanted]
    stock = tuple(StockBelt(d, length, o, *p, k) for (d, length, k), o, p in zip(wanted, over, placed, strict=True))
    stock = tuple(sorted(stock, key=lambda s: s.pitch_length))
    return stock, next((s for s in stock if mine and _same(mine[0], s.designation)), None)


def _same(a: str, b: str) -> bool:
    return a.replace(" ", "").upper() == b.replace(" ", "").upper()


def _own_belt(look: Looker, at: str, belt) -> tuple[str, float, str] | None:
    """Return the belt that is on or bought: its name, pitch length and how known."""
    marked, length = look.get(f"{at}.marked"), look.si(f"{at}.length")
    line = look.get(f"{at}.length_is")
    if length is not None and line is not None:
        return str(marked or "as measured"), float(belt_lengths.convert(length, belt, have=line, want="pitch")), "measured"
    if marked is None:
        return None
    own, read = belt_lengths.marked(marked, line=line, system=look.system)
    return marked, float(belt_lengths.convert(read.length, own, have=read.line, want="pitch")), read.known


def _place(look: Looker, at: str, layout: StageLayout, targets: np.ndarray):
    """Yield (fits, x, y, centres, room_in, room_out) for each wanted pitch length."""
    nan = float("nan")
    pulleys, places = layout.pulleys, layout.places
    kind = look.get(f"{at}.takeup.kind")
    if len(pulleys.names) == 2:
        i, j = pulleys.driver, pulleys.driven
        sizes = {"first": 2 * pulleys.pitch[i], "second": 2 * pulleys.pitch[j], "crossed": pulleys.crossed}
        centres = np.hypot(places.x[j] - places.x[i], places.y[j] - places.y[i])
        least = centres - look.si(f"{at}.takeup.travel_in", 0.0)
        most = centres + look.si(f"{at}.takeup.travel_out", 0.0)
        low, high = (float(twopulley.two_pulleys.si(c, **sizes).length) for c in (least, most))
        for target in targets:
            c = float(twopulley.centre_distance.si(target, **sizes))
            fits = bool(least - 1e-9 <= c <= most + 1e-9)
            yield fits, nan, nan, c, target - low, high - target
        return
    loop_track = track_of(look, at, layout, kind)
    if loop_track is None:
        for target in targets:
            yield bool(abs(target - layout.path.length) < 1e-3), nan, nan, nan, nan, nan
        return
    loop, track = loop_track
    found = takeup.positions_si(loop, track, targets)
    for row in range(len(targets)):
        here = np.nonzero(found.target == row)[0]
        if not len(here):
            yield False, nan, nan, nan, nan, nan
            continue
        now = places.x[layout.idler], places.y[layout.idler]
        k = here[np.argmin(np.hypot(found.x[here] - now[0], found.y[here] - now[1]))]
        yield True, float(found.x[k]), float(found.y[k]), nan, float(found.slack_to_fit[k]), float(found.stretch_left[k])


def track_of(look: Looker, at: str, layout: StageLayout, kind: str | None):
    """Return (loop, track) of the idler that takes up, or None where it cannot move."""
    if layout.idler is None or kind not in ("sprung idler", "weighted idler", "fixed idler"):
        return None
    k, places = layout.idler, layout.places
    x, y = places.x[k], places.y[k]
    if layout.pivot is not None:
        reach = np.hypot(x - layout.pivot[0], y - layout.pivot[1])
        now = np.arctan2(y - layout.pivot[1], x - layout.pivot[0])
        track = takeup.Arm(*layout.pivot, reach, now - np.pi / 2, now + np.pi / 2)
    else:
        end = look.si(f"{at}.takeup.slot_x"), look.si(f"{at}.takeup.slot_y")
        if None in end:
            look.lack(f"{at}.takeup.pivot_x", f"{at}.takeup.pivot_y")
            return None
        track = takeup.Slot(x, y, *end)
    loop = belt_path.with_pulley_moved_si(places.x, places.y, layout.pulleys.pitch, layout.pulleys.inside, k,
                                          layout.ccw)
    return loop, track


def misfit_check(draft: Draft, look: Looker, layout: StageLayout) -> None:
    """Add the check that the belt can go round at all."""
    id, name = f"layout.path[{layout.name}]", f"{layout.name}: the belt goes round"
    found = misfit.misfit_si(layout.pulleys.names, layout.places.x, layout.places.y, layout.pulleys.pitch, layout.path,
                             crossed=layout.pulleys.crossed, system=look.system)
    if found is None:
        turning = float(np.sum(layout.path.turn * layout.path.wrap) / (2 * np.pi))
        draft.check(id, name, f"total turning {turning:+.3f} turns", "+1 or -1, or 0 for a crossed belt", GO,
                    "Every pulley is touched, no pulleys overlap, and the loop turns round once.",
                    source="own-derivation, common tangents")
    else:
        draft.check(id, name, "it cannot", "a path that closes", STOP, found.words, found.cure,
                    "own-derivation, common tangents")


def _facts(draft: Draft, look: Looker, layout: StageLayout) -> None:
    names, path = layout.pulleys.names, layout.path
    way = ARROWS[1 if layout.ccw else -1] + ("" if layout.sense_known else " (assumed: the engine's direction is not known)")
    draft.fact(f"{layout.name}: path on the cord line", look.both(float(path.length), "length"), f"the belt runs {way}")
    if layout.speed is not None:
        draft.fact(f"{layout.name}: belt speed at work", look.show(layout.speed, "surface speed"))
    rows = []
    for i, name in enumerate(names):
        role = "drives" if i == layout.pulleys.driver else "driven" if i == layout.pulleys.driven else "idler"
        side = "inside" if layout.pulleys.inside[i] else "outside"
        surface = "flat" if layout.pulleys.flat[i] else "groove"
        rows.append((name, role, f"{side}, {surface}", look.show(2 * layout.pulleys.pitch[i], "length"),
                     look.show(float(path.wrap[i]), "angle"), ARROWS[int(path.turn[i])],
                     f"to {names[(i + 1) % len(names)]}: {look.tape(float(path.span[i]))}"))
    draft.sheets.append(Sheet(
        f"{layout.name}: pulleys in the order the belt meets them",
        ("pulley", "does", "side, surface", "pitch diameter", "wrap", "turns", "strand that leaves it"), tuple(rows),
        "Directions are seen facing the engine's output shaft."))
    if layout.stock:
        draft.sheets.append(_stock_sheet(look, layout))


def _stock_sheet(look: Looker, layout: StageLayout) -> Sheet:
    two = len(layout.pulleys.names) == 2
    rows = []
    for s in layout.stock:
        place = "does not fit"
        if s.fits and two:
            place = f"centres {look.tape(s.centres)}"
        elif s.fits and np.isfinite(s.x):
            place = f"{layout.pulleys.names[layout.idler]} at {look.tape(s.x)}, {look.tape(s.y)}"
        elif s.fits:
            place = "as drawn"
        elif two and np.isfinite(s.centres):
            place = f"would need centres of {look.tape(s.centres)}"
        room = "" if not s.fits or not np.isfinite(s.room_out) else \
            f"{look.tape(s.room_in)} to put on, {look.tape(s.room_out)} for stretch"
        mark = " (this belt)" if s is layout.chosen else ""
        rows.append((s.designation + mark, look.show(s.pitch_length, "length"),
                     f"{look.tape(abs(s.over))} {'longer' if s.over >= 0 else 'shorter'}", place, room))
    return Sheet(f"{layout.name}: belts that are sold, nearest to the path",
                 ("belt", "length on the cord line", "against the path", "take-up position", "belt length to spare"),
                 tuple(rows), "Lengths are those of the tables; check the marking and its line on the belt itself. "
                 "Where the cord lies is uncertain by a few millimetres of length.")


def _length_check(draft: Draft, look: Looker, layout: StageLayout) -> None:
    id, name = f"layout.length[{layout.name}]", f"{layout.name}: belt length"
    at = f"stage[{layout.name}]"
    path = look.show(float(layout.path.length), "length")
    fitting = [s for s in layout.stock if s.fits]
    chosen = layout.chosen
    if chosen is None:
        if not layout.stock:
            keys = (f"{at}.section",) if layout.belt is None else (f"{at}.length", f"{at}.length_is")
            look.lack(*keys)
            draft.checks.append(undecided(id, name, keys, "No stock lengths are known for this belt.", limit=path))
            return
        look.lack(f"{at}.marked")
        listed = ", ".join(s.designation for s in fitting) or "none of those in the table"
        draft.checks.append(undecided(id, name, (f"{at}.marked",), f"No belt is chosen yet. The path is {path}; within "
                                      f"the take-up: {listed}." + ("" if fitting else " " + _nearest_cure(look, layout)),
                                      limit=path))
        return
    length = look.show(chosen.pitch_length, "length")
    if chosen.fits:
        where = ""
        if np.isfinite(chosen.x):
            k = layout.idler
            gone = np.hypot(chosen.x - layout.places.x[k], chosen.y - layout.places.y[k])
            where = (f" With it {layout.pulleys.names[k]} stands {look.tape(gone)} from where it is drawn, at "
                     f"{look.tape(chosen.x)}, {look.tape(chosen.y)}.")
        elif np.isfinite(chosen.centres):
            where = f" With it the centres are {look.tape(chosen.centres)}."
        draft.check(id, name, f"{chosen.designation}, {length} on the cord line", f"{path} by the drawing", GO,
                    f"{chosen.designation} fits within the take-up.{where}", source=_length_source(layout))
        return
    amount = look.tape(abs(chosen.over))
    word = "longer" if chosen.over > 0 else "shorter"
    can = f" Within the take-up: {', '.join(s.designation for s in fitting)}." if fitting else ""
    draft.check(id, name, f"{chosen.designation}, {length} on the cord line", f"{path} by the drawing", STOP,
                f"{chosen.designation} is {amount} {word} than the path, more than the take-up can make up.",
                (f"Take {fitting[0].designation}.{can}" if fitting else _nearest_cure(look, layout)),
                _length_source(layout))


def _nearest_cure(look: Looker, layout: StageLayout) -> str:
    best = min(layout.stock, key=lambda s: abs(s.over))
    word = "longer" if best.over > 0 else "shorter"
    if np.isfinite(best.centres):
        return f"{best.designation} needs centres of {look.tape(best.centres)}."
    return (f"The nearest, {best.designation}, is {look.tape(abs(best.over))} {word} than the path; move a "
            "pulley so that the path changes by that much, or give the take-up more travel.")


def _length_source(layout: StageLayout) -> str:
    return "table belt_lengths; own-derivation, 2π times the distance of parallel lines"


def _clearance_check(draft: Draft, look: Looker, layout: StageLayout) -> None:
    gap = layout.least_gap
    if not np.isfinite(gap):
        return
    verdict = GO if gap >= LEAST_GAP else CAUTION if gap > 0 else STOP
    text = look.tape(gap)
    draft.check(f"layout.clearance[{layout.name}]", f"{layout.name}: clearance", text,
                f"{look.tape(LEAST_GAP)} or more", verdict,
                f"The nearest is {layout.gap_words}, belt thickness counted; strands whip by more than they sag.",
                "" if verdict == GO else
                f"Move them apart by {look.tape(LEAST_GAP - gap)} or put a kiss idler beside the strand.",
                "common practice, no source")


def _wrap_check(draft: Draft, look: Looker, layout: StageLayout) -> None:
    p = layout.pulleys
    i = min((p.driver, p.driven), key=lambda k: layout.path.wrap[k])
    wrap = float(layout.path.wrap[i])
    least = np.radians(tables.table("belt_limits").one(item="wrap on the small pulley")["low"])
    verdict = GO if wrap >= least else CAUTION
    draft.check(f"layout.wrap[{layout.name}]", f"{layout.name}: least wrap on a pulley with power",
                f"{look.show(wrap, 'angle')} on {p.names[i]}", f"{look.show(least, 'angle')} or more", verdict,
                "Less wrap is less grip; the tension page says whether it is enough.",
                "" if verdict == GO else "Longer centres, or an idler that presses the slack strand round the pulley.",
                tables.table("belt_limits").one(item="wrap on the small pulley").cite)


def _size_check(draft: Draft, look: Looker, layout: StageLayout) -> None:
    belt, p = layout.belt, layout.pulleys
    if belt is None:
        return
    reference = 2 * p.pitch - (belt.pitch_minus_reference or 0.0)
    i = int(np.argmin(np.where(p.flat, np.inf, reference)))
    share = reference[i] / belt.min_pulley
    verdict = GO if share >= 1 else CAUTION if share >= SMALL_PULLEY else STOP
    draft.check(f"layout.pulley-size[{layout.name}]", f"{layout.name}: smallest pulley",
                f"{p.names[i]}, {look.show(reference[i], 'length', digits=4)} {belt.reference_line} diameter",
                f"{look.show(belt.min_pulley, 'length', digits=3)} or more", verdict,
                f"Section {belt.name}: bent round less than its usual minimum a belt tires early; "
                f"under {100 * SMALL_PULLEY:.0f} % of it most of its life is gone.",
                "" if verdict == GO else f"Take a {look.show(belt.min_pulley, 'length', digits=3)} pulley or larger and scale the "
                "other with it, or a smaller section.", belt.cite)


def _speed_check(draft: Draft, look: Looker, layout: StageLayout) -> None:
    top = layout.full_speed if layout.full_speed is not None else layout.speed
    if layout.belt is None or top is None:
        return
    limit, what = layout.belt.speed_max, f"the {layout.belt.name} belt"
    for name, material in zip(layout.pulleys.names, layout.pulleys.materials, strict=True):
        rim = _rim_limit(material)
        if rim is not None and rim < limit:
            limit, what = rim, f"pulley {name} of {material}"
    verdict = GO if top <= limit else STOP
    draft.check(f"layout.speed[{layout.name}]", f"{layout.name}: belt and rim speed",
                look.show(top, "surface speed"), f"{look.show(limit, 'surface speed')} or less", verdict,
                f"Taken at the highest engine speed that is known; {what} sets the limit.",
                "" if verdict == GO else "Smaller pulleys on both shafts, or a governed speed that is lower.",
                "table rim_speeds; table belt_sections", guards=True)


def _rim_limit(material: str | None) -> float | None:
    if material is None:
        return None
    return tables.table("rim_speeds").one(material=RIMS[material])["speed_m_per_s"]


def _bend_check(draft: Draft, look: Looker, layout: StageLayout) -> None:
    belt, p = layout.belt, layout.pulleys
    outside = [n for n, ins in zip(p.names, p.inside, strict=True) if not ins]
    if belt is None or not outside:
        return
    rule = belt_rules.back_bend(belt)
    made_for_it = belt.family in ("double-V", "V-ribbed")
    verdict = STOP if not rule.allowed else GO if made_for_it else CAUTION
    draft.checks.append(Check(
        f"layout.back-bend[{layout.name}]", f"{layout.name}: bending backwards", f"over {', '.join(outside)}",
        "a belt that may", verdict, rule.why[0].upper() + rule.why[1:] + ".",
        "" if made_for_it else "Take a double-V or ribbed belt, or put the pulley inside the loop.",
        "belt-maintenance p. 24; vflat-hints"))
