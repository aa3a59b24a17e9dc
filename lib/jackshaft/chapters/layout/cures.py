"""What may make a belt loop fit: other belts, centres, places of idlers, pulleys and sections."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import numpy as np

from jackshaft import tables
from jackshaft.buildfile import BuildProblems, NoSuchKey
from jackshaft.buildfile.naming import named
from jackshaft.chapters.layout import moves
from jackshaft.chapters.layout.checks import LEAST_GAP, RIMS, listed_against, small_pulley
from jackshaft.chapters.layout.clear_of import tightest
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.layout.orders import STEP, at_of, belt_on, belts_of, centres_order, spot_order
from jackshaft.chapters.layout.sold import is_sold, sold_near
from jackshaft.chapters.layout.take_up import MEASURED, cannot_at_all
from jackshaft.chapters.layout.take_up_cures import take_up
from jackshaft.mechanics import twopulley
from jackshaft.parts.belt_changes import COGGED, DOUBLE
from jackshaft.parts.load_at_speed import carried
from jackshaft.results.chapter import Detail, Scope
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.failing import Failing
from jackshaft.results.proving import applied
from jackshaft.results.running import work_up
from jackshaft.units import OutOfRange, read, write_nominal

FEW = 3  # of one kind that are proposed for one check


def _worked(failing: Failing, changes: Mapping[str, str]) -> StageLayout | None:
    """Return the loop with changes put into the build; None where they cannot be."""
    try:
        new = applied(failing.build, changes)
        found = work_up(new, ("layout",), scope=Scope(Detail.NO_TABLES)).chapters["layout"].data or {}
    except (BuildProblems, NoSuchKey, OutOfRange):
        return None
    return found.get(failing.part)


def _with_belt(failing: Failing, words: str, changes: Mapping[str, str]) -> Iterator[Proposal]:
    """Yield changes with what they need to have a belt on: none, another belt, or centres or an idler set for it."""
    there, before, more = _worked(failing, changes), words, {}
    if there is not None and there.path.reason != 0:
        order, more = _room_made(failing, there)
        before, words, changes = words, orders(words, order), {**changes, **more}
        there = _worked(failing, changes) if more else None
    if there is None or there.path.reason != 0:
        return
    if there.chosen is None or there.fits:
        yield Proposal(orders(words), changes)
        return
    fitting = sorted((s for s in there.stock if s.fits and s.designation != MEASURED), key=lambda s: abs(s.over))
    for belt in fitting[:2]:
        yield Proposal(
            orders(words, f"use {belts_of(failing, belt.designation)}"),
            {**changes, **belt_on(failing, belt.designation)},
        )
    if fitting:
        return
    sold = [b for b in there.stock if b.designation != MEASURED and not cannot_at_all(there, b)]
    sold = [there.chosen, *sorted(sold, key=lambda s: abs(s.over))[:2]]
    for belt in (b for b in sold if not cannot_at_all(there, b)):
        mine = belt is there.chosen
        on = {} if mine else belt_on(failing, belt.designation)
        used = [] if mine else [f"use {belts_of(failing, belt.designation)}"]
        for order, moved in _for_length(failing, there, belt.pitch_length):
            # what is moved again is ordered once
            first = before if more and moved.keys() >= more.keys() else words
            steps = [*([] if moved.keys() >= changes.keys() else [first]), *used, order]
            yield Proposal(orders(*steps), {**changes, **on, **moved})


def _room_made(failing: Failing, layout: StageLayout) -> tuple[str, dict[str, str]]:
    """Return the order that puts the driven pulley as far out as the belt needs to go round, and its changes."""
    if len(layout.pulleys.names) == 2:
        return centres_order(failing, layout, float(layout.pulleys.outside.sum()) + LEAST_GAP)
    there = _line_of_centres(failing, layout, layout.pulleys.driven)
    spots = moves.apart(there, 1, 0.0, lambda t: t.gap >= LEAST_GAP)
    return spot_order(failing, layout, layout.pulleys.driven, spots[0]) if spots else ("", {})


# -- where pulleys go --------------------------------------------------------------------------------


def _for_length(failing: Failing, layout: StageLayout, length: float) -> Iterator[tuple[str, dict[str, str]]]:
    """Yield orders that make the path of a loop as long as a belt, m."""
    p, loop = layout.pulleys, layout.as_drawn
    if len(p.names) == 2:
        sizes = {"first": 2 * p.pitch[p.driver], "second": 2 * p.pitch[p.driven], "crossed": p.crossed}
        centres = float(twopulley.centre_distance.si(length, **sizes))
        if np.isfinite(centres):
            # finer than a tape, because no travel may be there to make up for its marks
            yield centres_order(failing, layout, centres, ("0.01 in", "0.1 mm"))
        return
    idlers = sorted(layout.idlers, key=lambda k: k != layout.idler)
    for k in idlers:
        away = loop.path.ux[k - 1] - loop.path.ux[k], loop.path.uy[k - 1] - loop.path.uy[k]
        yield from _slid(failing, loop, k, away, length)
    for j in p.works:
        away = loop.places.x[j] - loop.places.x[p.driver], loop.places.y[j] - loop.places.y[p.driver]
        yield from _slid(failing, loop, j, away, length)


def _slid(failing: Failing, loop: StageLayout, k: int, way, length: float) -> Iterator[tuple[str, dict[str, str]]]:
    """Yield the place of a pulley along a direction at which the path has a length, where it is clear."""
    size = float(np.hypot(*way))
    if not size:
        return
    step = read(STEP[failing.build.system == "metric"], "length").si
    there = moves.along(loop, k, (way[0] / size, way[1] / size), step * np.arange(-160, 161))
    there = there.at(np.flatnonzero(there.gap >= LEAST_GAP))
    if len(there.far) and (best := int(np.argmin(np.abs(there.length - length)))) is not None:
        if abs(there.length[best] - length) <= 2.5 * step:
            yield spot_order(failing, loop, k, (there.x[best], there.y[best]))


def _moved(
    failing: Failing, good: Callable[[moves.Placed], np.ndarray], pulleys, most: int = FEW
) -> Iterator[Proposal]:
    """Yield places of pulleys that are good, nearest first; for the idler that takes up those where its belt fits."""
    layout = failing.item("layout")
    for k in pulleys:
        there = moves.placed(layout.as_drawn, k, failing.build.system)
        least = 4 * read(moves.GRID[failing.build.system], "length").si
        if layout.chosen is not None:
            fits = np.abs(there.length - layout.chosen.pitch_length) <= 0.003 * layout.chosen.pitch_length
            for spot in moves.apart(there, 1, least, lambda t, fits=fits: good(t) & fits):
                order, changes = spot_order(failing, layout, k, spot)
                yield from _with_belt(failing, order, changes)
        for spot in moves.apart(there, most, least, good):
            order, changes = spot_order(failing, layout, k, spot)
            yield from _with_belt(failing, order, changes)


def _no_less_wrap(layout: StageLayout, there: moves.Placed) -> np.ndarray:
    """Tell which places leave the pulleys with power what they wrap, or what is enough."""
    if layout.path.reason != 0:
        return np.ones(len(there.far), bool)
    power = list(layout.pulleys.powered)
    least = np.minimum(layout.path.wrap[power], _least_wrap())
    return (there.wrap[:, power] >= least - 1e-3).all(axis=1)


def _least_wrap() -> float:
    return float(np.radians(tables.table("belt_limits").one(item="wrap on the small pulley")["low"]))


# -- the checks --------------------------------------------------------------------------------------


def _length(failing: Failing) -> Iterator[Proposal]:
    layout = failing.item("layout")
    if layout is None or layout.chosen is None:
        return
    fitting = sorted((s for s in layout.stock if s.fits and s is not layout.chosen), key=lambda s: abs(s.over))
    for belt in fitting[: 2 * FEW]:
        yield Proposal(f"Use {belts_of(failing, belt.designation)}.", belt_on(failing, belt.designation))
    if not cannot_at_all(layout, layout.chosen):
        for order, changes in _for_length(failing, layout, layout.chosen.pitch_length):
            yield Proposal(f"{order}.", changes)
    if fitting:
        return
    for belt in sorted(layout.stock, key=lambda s: abs(s.over))[:FEW]:
        if belt is layout.chosen or cannot_at_all(layout, belt):
            continue
        for order, changes in _for_length(failing, layout, belt.pitch_length):
            words = orders(f"use {belts_of(failing, belt.designation)}", order)
            yield Proposal(words, {**belt_on(failing, belt.designation), **changes})


def _clearance(failing: Failing) -> Iterator[Proposal]:
    layout = failing.item("layout")
    if layout is None or layout.path.reason != 0 or layout.pulleys.crossed:
        return

    def good(there):
        return (there.gap >= LEAST_GAP) & _no_less_wrap(layout, there)

    touched = tightest(layout)
    idlers = sorted(layout.idlers, key=lambda k: k not in touched)
    yield from _moved(failing, good, idlers)
    if not idlers:
        yield from _longer(failing, layout)


def _longer(failing: Failing, layout: StageLayout) -> Iterator[Proposal]:
    for share in (1.05, 1.15, 1.3):
        yield from _with_belt(failing, *centres_order(failing, layout, share * layout.centres))


def _wrap(failing: Failing) -> Iterator[Proposal]:
    layout = failing.item("layout")
    if layout is None or layout.path.reason != 0:
        return
    p, least = layout.pulleys, _least_wrap()
    power = list(p.powered)
    if len(p.names) == 2:
        need = abs(p.pitch[p.driven] - p.pitch[p.driver]) / np.sin((np.pi - least) / 2)
        if not p.crossed:
            yield from _with_belt(failing, *centres_order(failing, layout, float(need)))
        return

    def good(there):
        clear = there.gap >= min(LEAST_GAP, max(layout.least_gap, 0.0))
        return clear & (there.wrap[:, power].min(axis=1) >= least)

    yield from _moved(failing, good, layout.idlers, 2)
    for j in sorted(p.works, key=lambda k: layout.path.wrap[k]):
        there = _line_of_centres(failing, layout, j)
        for spot in moves.apart(there, 2, 0.1 * layout.centres, good):
            yield from _with_belt(failing, *spot_order(failing, layout, j, spot))


def _line_of_centres(failing: Failing, layout: StageLayout, j: int) -> moves.Placed:
    """Return the places of a driven pulley on its line of centres, from half the centres to three times them."""
    i, loop, step = layout.pulleys.driver, layout.as_drawn, read(moves.GRID[failing.build.system], "length").si
    far = float(np.hypot(loop.places.x[j] - loop.places.x[i], loop.places.y[j] - loop.places.y[i]))
    way = tuple(float(c[j] - c[i]) / far for c in loop.places[:2])
    return moves.along(loop, j, way, np.arange(-0.5 * far, 2.0 * far, step))


def _size(failing: Failing) -> Iterator[Proposal]:
    layout = failing.item("layout")
    if layout is None or layout.belt is None:
        return
    p, belt = layout.pulleys, layout.belt
    i, reference = small_pulley(layout)
    cogged = COGGED.get(belt.name)
    if cogged:
        yield from _section(failing, cogged, "made to bend round smaller pulleys in the same grooves")
    for size in sold_near(belt.min_pulley, belt.system, up=True, most=FEW):
        if i in p.powered:
            yield from _both(failing, layout, i, size - reference)
        # alone it changes the ratio, which may be what the work wants
        yield from _with_belt(failing, *_sized(failing, layout, {i: size - reference}))


def _both(failing: Failing, layout: StageLayout, i: int, grows: float) -> Iterator[Proposal]:
    """Yield both pulleys with power scaled alike: pulley ``i`` by ``grows`` m of diameter, the other to a sold size."""
    p, minus = layout.pulleys, layout.belt.pitch_minus_reference or 0.0
    if p.several:
        yield from _all(failing, layout, i, grows)
        return
    j = p.driven if i == p.driver else p.driver
    wanted = 2 * p.pitch[j] * (1 + grows / (2 * p.pitch[i]))
    # a flat rim is a wheel that is there, no pulley that is bought
    for other in () if p.flat[j] else sold_near(wanted - minus, layout.belt.system, up=None, most=2):
        order, changes = _sized(failing, layout, {i: grows, j: other + minus - 2 * p.pitch[j]})
        yield from _with_belt(failing, order, changes)


def _all(failing: Failing, layout: StageLayout, i: int, grows: float) -> Iterator[Proposal]:
    """Yield all pulleys with power scaled alike where there are several driven ones, each to a size that is sold."""
    p, minus, sizes = layout.pulleys, layout.belt.pitch_minus_reference or 0.0, {i: grows}
    for k in (k for k in p.powered if k != i and not p.flat[k]):
        wanted = 2 * p.pitch[k] * (1 + grows / (2 * p.pitch[i]))
        (near,) = sold_near(wanted - minus, layout.belt.system, up=None, most=1)
        sizes[k] = near + minus - 2 * p.pitch[k]
    yield from _with_belt(failing, *_sized(failing, layout, sizes))


def _sized(failing: Failing, layout: StageLayout, grows: Mapping[int, float]) -> tuple[str, dict[str, str]]:
    """Return the order for pulleys whose diameters grow, m, and its changes, on the line each is written on."""
    parts, changes = [], {}
    for k, more in grows.items():
        key = f"{at_of(failing)}.pulley[{layout.pulleys.names[k]}].diameter"
        text = write_nominal(failing.reader.si(key) + more, failing.build.system)
        changes[key] = text
        line = failing.build.get(key.removesuffix("diameter") + "measured_as") or "pitch"
        parts.append(f"fit {named('pulley', layout.pulleys.names[k])} of {text} {line} diameter")
    return orders(*parts), changes


def _section(failing: Failing, section: str, why: str) -> Iterator[Proposal]:
    """Yield the change to a section that runs in the same grooves, with the belt of that number or one that fits."""
    at, layout = at_of(failing), failing.item("layout")
    changes = {f"{at}.section": section}
    marked = failing.build.get(f"{at}.marked")
    if marked and layout.belt and str(marked).upper().startswith(layout.belt.name):
        name = section + str(marked)[len(layout.belt.name) :]
        there = _worked(failing, {**changes, **belt_on(failing, name)})
        if there is not None and there.fits and is_sold(there.belt, name):
            yield Proposal(f"Use {belts_of(failing, name)}, {why}.", {**changes, **belt_on(failing, name)})
            return
    words = f"Use section {section}, {why}"
    if not marked and failing.build.get(f"{at}.length") is None:
        yield from _with_belt(failing, words, changes)
        return
    # the belt that is on is of the other section: the loop first without it, then with one that fits
    there = _worked(failing, {**changes, **belt_on(failing, "")})
    on = getattr(layout, "chosen", None)
    for belt in sorted(
        (s for s in there.stock if s.fits) if there else (),
        key=lambda s: abs(s.over if on is None else s.pitch_length - on.pitch_length),
    )[:2]:
        yield Proposal(
            f"Use {belts_of(failing, belt.designation)}, {why}.", {**changes, **belt_on(failing, belt.designation)}
        )


def _back_bend(failing: Failing) -> Iterator[Proposal]:
    layout = failing.item("layout")
    section = DOUBLE.get(layout.belt.name) if layout is not None and layout.belt is not None else None
    if section:
        yield from _section(failing, section, "made to bend both ways")


def _speed(failing: Failing) -> Iterator[Proposal]:
    layout = failing.item("layout")
    top = layout and (layout.top_speed or layout.speed)
    if not top or layout.belt is None:
        return
    p, rims = layout.pulleys, tables.table("rim_speeds")
    speeds = {m: rims.one(material=RIMS[m])["speed_m_per_s"] for m in RIMS}
    slow = [k for k, m in enumerate(p.materials) if m is not None and speeds[m] is not None and speeds[m] < top]
    better = [m for m in ("ductile iron", "steel") if speeds[m] is not None and speeds[m] >= top]
    if slow and better and top <= layout.belt.speed_max:
        words = " and ".join(named("pulley", p.names[k]) for k in slow)
        changes = {f"{at_of(failing)}.pulley[{p.names[k]}].material": better[0] for k in slow}
        yield Proposal(f"Fit {words} of {better[0]}.", changes)
    limit = min([layout.belt.speed_max, *(speeds[p.materials[k]] for k in slow)])
    minus = layout.belt.pitch_minus_reference or 0.0
    aim, now = 2 * p.pitch[p.driver] * limit / top - minus, 2 * p.pitch[p.driver] - minus
    for size in sold_near(aim, layout.belt.system, up=False, most=FEW):
        yield from _both(failing, layout, p.driver, size - now)


def _path(failing: Failing) -> Iterator[Proposal]:
    layout = failing.item("layout")
    if layout is None or layout.pulleys.crossed:
        return
    first, *others = layout.pulleys.names
    if listed_against(layout) and not any("," in name for name in layout.pulleys.names):
        names = ", ".join((first, *reversed(others)))
        words = f"List the pulleys in the other order: {names}."
        yield Proposal(words, {f"{at_of(failing)}.pulley": names}, reveals=True)
    order, changes = _room_made(failing, layout)
    if changes:
        yield from _with_belt(failing, order, changes)
    yield from _moved(failing, lambda there: there.gap >= LEAST_GAP, layout.idlers, 1)


def _double_asked(failing: Failing) -> str:
    """Return the belt to ask for that bends both ways, where none of the lengths that are listed fits."""
    layout = failing.item("layout")
    section = DOUBLE.get(layout.belt.name) if layout is not None and layout.belt is not None else None
    if section is None:
        return ""
    length = float(layout.chosen.pitch_length if layout.chosen is not None else layout.path.length)
    if not np.isfinite(length):
        return ""
    text = failing.reader.show(length, "length")
    return (
        f"Ask a dealer for a double-V belt of section {section}, {text} long on its cord line: none listed here fits."
    )


#: What to ask for where no change of the build mends a check.
ASKS = {"layout.back-bend": _double_asked}

#: Checks that no change of the build mends, and why.
NO_CHANGE = {
    "layout.length-said": "Length and marking are both read off the belt; one is to be read again.",
    "layout.marking": "Belts and ribs are counted, and the marking is read off them.",
    "layout.series": "The series is printed on the belt.",
    "layout.shaft-place": "Where a shaft stands is measured; one of the two places is to be measured again.",
}

PROPOSALS = carried(
    {
        "layout.length": _length,
        "layout.clearance": _clearance,
        "layout.wrap": _wrap,
        "layout.pulley-size": _size,
        "layout.back-bend": _back_bend,
        "layout.speed": _speed,
        "layout.take-up": take_up,
        "layout.path": _path,
    }
)
