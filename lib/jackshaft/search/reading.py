"""Reading from a build what a search needs: pulleys and sizes, speeds and direction, zone and bodies."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from types import SimpleNamespace

import numpy as np

from jackshaft import tables
from jackshaft.buildfile import Build
from jackshaft.chapters.capacity.uses import least_idler
from jackshaft.chapters.grip.cases import LOCKED, SLIDE, SPRING, SPRUNG, scatter_of
from jackshaft.chapters.grip.pull import breaking_pull
from jackshaft.chapters.layout.checks import LEAST_GAP, RIMS
from jackshaft.chapters.layout.data import Body
from jackshaft.chapters.ratio.data import RatioData
from jackshaft.chapters.ratio.stages import default as usual
from jackshaft.chapters.ratio.stages import turn_of
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.parts.belt_stage import shafts_driven, standard_of, working
from jackshaft.parts.listed_sizes import distinct, read_sizes
from jackshaft.parts.works import factor_of, work_key
from jackshaft.results import Reader, Unknown, label, work_up
from jackshaft.search.belt_reading import grips, length_factors
from jackshaft.search.clutched import with_clutch
from jackshaft.search.problem import CENTRES, NothingCanWork, Problem, Pulley, same_belt, tension_field

IDLERS_MOST = 2


def problem_of(build: Build, stage: str) -> Problem:
    """Read from a build what its search needs.

    Parameters
    ----------
    build : Build
        The build; the keys ``stage[...].search`` say what may vary.
    stage : str
        A belt stage.

    Raises
    ------
    NothingCanWork
        With the keys that are not known, or the requirement that nothing can meet.
    SizesError
        If a list of sizes cannot be read.
    """
    try:
        return _problem(build, Reader(build), stage)
    except Unknown as unknown:
        keys = dict.fromkeys(unknown.keys)
        raise NothingCanWork("not known yet: " + "; ".join(f"{label(k)} [{k}]" for k in keys)) from None


def _belt_stage(reader: Reader, stage: str) -> str:
    """Return the key of a stage that has idlers to place."""
    at = f"stage[{stage}]"
    if reader.get(f"{at}.kind") not in ("belt", None) or stage not in reader.names("stage"):
        raise NothingCanWork(f"'{stage}' is not a belt stage of this build")
    if reader.get(f"{at}.crossed"):
        raise NothingCanWork("a crossed belt runs on two pulleys without idlers, so there is nothing to place")
    works = working(reader, at)
    if len(works) > 1 or len(shafts_driven(reader, stage)) > 1:
        raise NothingCanWork(
            f"'{stage}' drives several shafts, and the search knows one driven pulley only. A belt that drives one "
            "shaft can be searched. Here, move pulleys and idlers in the layout notebook, one at a time, and see what "
            "each move does"
        )
    ends = [f"{at}.driven"] * (not works) + [f"{at}.to"] * (not shafts_driven(reader, stage))
    reader.require(*(f"{at}.{k}" for k in ("section", "driver", "from")), *ends)
    return at


def _problem(build: Build, reader: Reader, stage: str) -> Problem:
    at = _belt_stage(reader, stage)
    belt = belt_lengths.section(reader.get(f"{at}.section"), standard_of(reader, at))
    stock = _stock(reader, at, belt)
    driver, driven, idlers, toward = read_pulleys(reader, at)
    kind = reader.get(f"{at}.takeup.kind")
    tension = reader.si(f"{at}.{tension_field(kind)}")
    if tension is None:
        reader.note_missing(f"{at}.{tension_field(kind)}")
    if reader.missing:
        raise Unknown(*reader.missing)
    ratio = work_up(build, ("ratio",)).chapters["ratio"].data
    running, notes = _running(reader, at, ratio)
    kept = _kept(reader, at, idlers, kind)
    free = [p.name for p in idlers if p not in kept]
    turns, more = _turns(reader, at, ratio, driver=driver, driven=driven)
    pivot = _pivot(reader, at, notes)
    sizes = _sizes(reader, at, driver, driven, idlers=idlers, kept=kept)
    zone, zone_known = _zone(reader, at, (driver, driven, *idlers), float(sizes["idler_sizes"].max()))
    turn = ratio.shaft(reader.get(f"{at}.from")).turn
    names = reader.names(f"{at}.pulley")
    # idlers that the belt meets on its way from the driver to the driven pulley
    slack = (names.index(driven.name) - names.index(driver.name)) % len(names) - 1
    problem = Problem(
        build=build,
        stage=stage,
        driver=driver,
        driven=driven,
        kept=kept,
        after=tuple(int(idlers.index(p) >= slack) for p in kept),
        names=_names(free, reader.get(f"{at}.takeup.idler"), idlers),
        idlers_most=min(IDLERS_MOST, len(free))
        if (most := reader.get(f"{at}.search.idlers_most")) is None
        else int(most),
        takeup=str(kind or "fixed idler"),
        pivot=pivot,
        toward=toward,
        travel=(reader.si(f"{at}.takeup.travel_in", 0.0), reader.si(f"{at}.takeup.travel_out", 0.0)),
        bodies=_bodies(reader, at),
        zone=zone,
        zone_known=zone_known,
        belt=belt,
        stock=stock,
        own_belt=str(reader.get(f"{at}.marked") or ""),
        belts_most=int(reader.get(f"{at}.search.belts_most") or max(2, reader.get(f"{at}.belts") or 1)),
        turns=turns,
        ccw=(turn > 0) == driver.inside if turn else True,
        tension=float(tension),
        rim_speed=_rim_speed(reader, at, belt),
        grips=grips(reader, stage, driver.name, driven.name),
        length_factors=length_factors(belt, stock),
        margin_least=reader.si(f"{at}.search.margin_least", 1.0),
        clearance_least=reader.si(f"{at}.search.clearance_least", LEAST_GAP),
        notes=(*notes, *more),
        **_of_section(belt),
        **_held(reader, stage, kind, ratio),
        **running,
        **sizes,
    )
    return replace(problem, **with_clutch(problem, reader))


def _pivot(reader: Reader, at: str, notes: list[str]) -> tuple[float, float] | None:
    """Return where the arm of the idler that takes up turns; without one a note says what is not judged."""
    pivot = (reader.si(f"{at}.takeup.pivot_x"), reader.si(f"{at}.takeup.pivot_y"))
    if None not in pivot:
        return pivot
    notes.append(
        "A layout that is found with an idler has neither slot nor arm for it yet, so its room for stretch and wear is "
        "not judged. Write into the build where the new slot ends, or where the arm's pivot is."
    )
    return None


def _of_section(belt: belt_lengths.Section) -> dict:
    """Return the fatigue constants of a section, what breaks it, and how small its idlers may be."""
    return {
        "fatigue": tuple(tables.table("belt_fatigue").where(section=belt.name).rows),
        "breaks": breaking_pull(belt)[0],
        "least_idlers": tuple(least_idler(belt, back=back and belt.family != "double-V")[2] for back in (False, True)),
    }


def _held(reader: Reader, stage: str, kind: str | None, ratio: RatioData) -> dict:
    """Return by how much the tension may be off, and what the belt must hold and how long."""
    last = next(iter(shafts_driven(reader, stage)), None)
    start, peak = (factor_of(reader, ratio, last, k) or 1.0 for k in ("start", "peak"))
    return {"scatters": _scatters(reader, stage, kind), "start": start, "peak": peak, "life": reader.si("wanted_life")}


def _scatters(reader: Reader, stage: str, kind: str | None) -> tuple[float, float]:
    """Return how far the tension may be off with an idler, and on two pulleys."""
    ways = SPRING if kind in SPRUNG else LOCKED, SLIDE if kind == "sliding motor" else LOCKED
    # The tension of a stage without a spring on an idler is that at rest, whichever way its belt is kept tight then.
    return tuple(scatter_of(reader, SimpleNamespace(name=stage, idler=None), way) for way in ways)


def _rim_speed(reader: Reader, at: str, belt: belt_lengths.Section) -> float:
    """Return how fast the belt and the rims of the materials that are named may run, m/s."""
    rims, names = tables.table("rim_speeds"), reader.names(f"{at}.pulley")
    materials = {reader.get(f"{at}.pulley[{name}].material") for name in names} - {None}
    return min([belt.speed_max, *(rims.one(material=RIMS[m])["speed_m_per_s"] for m in materials)])


# -- belt and pulleys ----------------------------------------------------------------------------


def _stock(reader: Reader, at: str, belt: belt_lengths.Section) -> belt_lengths.Stock:
    """Return the lengths that are sold, and among them the belt that is on or bought."""
    try:
        stock = belt_lengths.stock(belt, "pitch")
    except belt_lengths.SectionError as error:
        raise NothingCanWork(f"{error}; the search chooses among lengths that are sold") from None
    marked, length, line = (reader.get(f"{at}.marked"), reader.si(f"{at}.length"), reader.get(f"{at}.length_is"))
    if not marked or any(same_belt(marked, d) for d in stock.designation):
        return stock
    try:
        if length is not None and line is not None:
            pitch = belt_lengths.convert(length, belt, have=line, want="pitch")
        else:
            own, read = belt_lengths.marked(marked, line=line, system=belt.system)
            pitch = belt_lengths.convert(read.length, own, have=read.line, want="pitch")
    except belt_lengths.SectionError as error:
        raise NothingCanWork(f"{at}.marked: {error}") from None
    order = np.argsort([*stock.length, float(pitch)], kind="stable")
    names, known, unsure = [*stock.designation, marked], [*stock.known, "the build"], np.array([np.nan])
    return belt_lengths.Stock(
        designation=tuple(names[k] for k in order),
        length=np.append(stock.length, float(pitch))[order],
        plus=np.append(stock.plus, unsure)[order],
        minus=np.append(stock.minus, unsure)[order],
        known=tuple(known[k] for k in order),
    )


def read_pulleys(reader: Reader, at: str) -> tuple[Pulley, Pulley, tuple[Pulley, ...], float | None]:
    """Return driver, driven, idlers in travel order behind the driver, and the direction of the centres.

    The direction is None where both shafts have x and y. What is missing is noted.
    """
    found = {}
    ends = reader.get(f"{at}.driver"), working(reader, at)[0]
    for name in reader.names(f"{at}.pulley"):
        here = f"{at}.pulley[{name}]"
        side, surface = reader.get(f"{here}.side") or "inside", reader.get(f"{here}.surface")
        size, line = reader.si(f"{here}.diameter"), reader.get(f"{here}.measured_as")
        if side == "outside" and surface is None:
            reader.note_missing(f"{here}.surface")
        if line is None and (size is not None or name in ends):
            reader.note_missing(f"{here}.measured_as")
        spot = reader.si(f"{here}.x"), reader.si(f"{here}.y")
        # one of x and y alone is no place yet
        x, y = (np.nan, np.nan) if None in spot else spot
        found[name] = Pulley(
            name=name,
            x=x,
            y=y,
            size=size,
            measured_as=line or "pitch",
            inside=side == "inside",
            flat=surface == "flat",
        )
    (first, last), toward = ends, None
    if np.isnan([found[first].x, found[last].x]).any():
        centres, toward = reader.si(f"{at}.centres"), reader.si(f"{at}.centres_toward", 0.0)
        if len(found) != 2:
            spots = [f"{at}.pulley[{n}].{c}" for n in (first, last) for c in "xy"]
            reader.note_missing(*(key for key in spots if reader.get(key) is None))
        elif centres is None:
            reader.note_missing(f"{at}.centres")
        centres = centres or np.nan
        found[first] = found[first]._replace(x=0.0, y=0.0)
        found[last] = found[last]._replace(x=centres * np.cos(toward), y=centres * np.sin(toward))
    order = list(found)
    start = order.index(first)
    turned = order[start:] + order[:start]
    return found[first], found[last], tuple(found[n] for n in turned if n not in (first, last)), toward


def _kept(reader: Reader, at: str, idlers: tuple[Pulley, ...], kind: str | None) -> tuple[Pulley, ...]:
    """Return the idlers that stay where they are."""
    named = [n.strip() for n in str(reader.get(f"{at}.search.idlers_kept") or "").split(",") if n.strip()]
    there = [p.name for p in idlers]
    if strange := [n for n in named if n not in there]:
        raise NothingCanWork(f"no idler is called '{strange[0]}'; there is {', '.join(there) or 'none'}")
    takeup = reader.get(f"{at}.takeup.idler")
    if takeup in named and kind not in CENTRES:
        raise NothingCanWork(f"'{takeup}' takes the belt up: it moves with each belt, so it cannot stay where it is")
    kept = tuple(p for p in idlers if p.name in named)
    if kept:
        reader.require(*(f"{at}.pulley[{p.name}].{k}" for p in kept for k in ("x", "y", "diameter")))
    return kept


def _names(free: list[str], takeup: str | None, idlers: tuple[Pulley, ...]) -> tuple[str, ...]:
    """Return names for the placed idlers, the one that takes up first."""
    mine = sorted(free, key=lambda n: n != takeup)
    taken = {p.name for p in idlers}
    new = (n for n in (f"idler {k}" for k in range(1, 99)) if n not in taken)
    return tuple(mine + [next(new) for _ in range(IDLERS_MOST)])[: max(IDLERS_MOST, len(mine))]


def _sizes(reader: Reader, at: str, driver: Pulley, driven: Pulley, *, idlers, kept) -> dict:
    """Return the sizes to try of each kind of pulley, and those that need not be bought with their count."""
    listed = {
        k: read_sizes(str(reader.get(f"{at}.search.{k}") or ""), reader.system)
        for k in ("driver_sizes", "driven_sizes", "idler_sizes", "sizes_on_hand")
    }
    for key, one in (("driver_sizes", driver), ("driven_sizes", driven)):
        if not len(listed[key]):
            if one.size is None:
                raise Unknown(f"{at}.search.{key}", f"{at}.pulley[{one.name}].diameter")
            listed[key] = np.array([one.size])
    there = [p for p in (driver, driven, *idlers) if p.size is not None]
    if not len(listed["idler_sizes"]):
        listed["idler_sizes"] = [p.size for p in there if p in idlers] or [min(p.size for p in there)]
    on_hand = listed.pop("sizes_on_hand")
    on_hand = on_hand if len(on_hand) else [p.size for p in there if p not in kept]
    counted = Counter(round(float(s), 6) for s in on_hand)
    return {k: distinct(v) for k, v in listed.items()} | {"on_hand": tuple(sorted(counted.items()))}


# -- speeds and direction ------------------------------------------------------------------------


def _running(reader: Reader, at: str, ratio: RatioData | None) -> tuple[dict, list[str]]:
    """Return driver speed, top speed, power, the driven shaft's window and creep; and what is to be noted."""
    first = ratio.shaft(reader.get(f"{at}.from")) if ratio else None
    found = {"engine.work_speed": first and first.work, "work.power": first and first.power}
    if missing := [k for k, v in found.items() if not v]:
        more = [k for k in ("work.power", "work.power_at", "engine.work_speed") if reader.get(k) is None]
        raise Unknown(*(more or missing))
    last, work = (
        ratio.shaft(next(iter(shafts_driven(reader, at[6:-1])), None)),
        ratio.shaft(ratio.work_shaft) if ratio.work_shaft else None,
    )
    window, notes = None, []
    if ratio.band is None:
        notes.append("The speed that the work needs is not known, so every pair of pulley sizes is tried.")
    elif last is None or work is None or not last.work or not work.work:
        notes.append("The ratio from this stage to the work is not known, so every pair of pulley sizes is tried.")
    else:
        low, high = (speed * last.work / work.work for speed in ratio.band)
        given = reader.get("engine.work_speed")  # the page judges by both ends of its uncertainty
        off = (given.plus_minus or 0.0) / given.si if given is not None else 0.0
        window = (low / (1 - off), high / (1 + off)) if low / (1 - off) <= high / (1 + off) else (low, high)
    window = _within_surface(reader, window, last, work)
    try:
        creep = usual("creep and slip", at, reader, "creep")
    except Unknown:
        creep = 0.0
    full = first.full or first.work
    top = first.top if first.top is not None else full
    speeds = {"speed": first.work, "full_speed": full, "top_speed": top}
    return speeds | {"power": first.power, "window": window, "creep": creep}, notes


def _within_surface(reader: Reader, window, last, work) -> tuple[float, float] | None:
    """Return the window of the driven shaft within what the work stands at its tip at full throttle."""
    if None in (last, work) or not last.work or not work.work:
        return window
    size, most = (reader.si(work_key(reader, work.name, n)) for n in ("diameter", "surface_speed_most"))
    if None in (size, most):
        return window
    run_up = (work.full or work.work) / work.work
    high = 2.0 * most / size / run_up * last.work / work.work
    return (0.0, high) if window is None else (window[0], min(window[1], high))


def _turns(reader: Reader, at: str, ratio: RatioData, *, driver: Pulley, driven: Pulley) -> tuple[int, list[str]]:
    """Return how the driven shaft shall turn against the driver: as asked, else as the work needs, else as it is."""
    asked = reader.get(f"{at}.search.direction")
    if asked is not None:
        return {"same as the driver": 1, "against the driver": -1, "either": 0}[asked], []
    now = 1 if driver.inside == driven.inside else -1
    work, wanted = ratio.shaft(ratio.work_shaft) if ratio.work_shaft else None, turn_of(reader, "work")
    if not wanted or work is None or not work.turn:
        return now, ["The direction that the work needs is not known, so the driven shaft keeps its present direction."]
    return now if work.turn == wanted else -now, []


# -- where there is room -------------------------------------------------------------------------


def _zone(reader: Reader, at: str, pulleys: tuple[Pulley, ...], size: float):
    """Return left, right, lower and upper edge of the zone for idlers, and whether the build gives all of them."""
    given = [reader.si(f"{at}.search.zone_{k}") for k in ("left", "right", "low", "high")]
    spots = np.array([(p.x, p.y) for p in pulleys if np.isfinite([p.x, p.y]).all()])
    low, high = spots.min(axis=0) - size, spots.max(axis=0) + size
    around = (low[0], high[0], low[1], high[1])
    zone = tuple(float(u) if g is None else g for g, u in zip(given, around, strict=True))
    if not (zone[0] < zone[1] and zone[2] < zone[3]):
        raise NothingCanWork(
            "the zone for idlers is empty: its right edge must be right of its left edge, and its upper edge above "
            "its lower edge"
        )
    return zone, None not in given


def _bodies(reader: Reader, at: str) -> tuple[Body, ...]:
    found = []
    for name in reader.names(f"{at}.body"):
        x, y, size, wide, high = (
            reader.si(f"{at}.body[{name}].{k}") for k in ("x", "y", "diameter", "width", "height")
        )
        if x is None or y is None or (size is None and (wide is None or high is None)):
            raise NothingCanWork(f"place or size of the body '{name}' is not known yet")
        corners = None
        if size is None:
            corners = np.array([x, y]) + np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * np.array([wide, high]) / 2
        found.append(Body(name, x, y, None if size is None else size / 2, corners))
    return tuple(found)


__all__ = ["IDLERS_MOST", "problem_of", "read_pulleys"]
