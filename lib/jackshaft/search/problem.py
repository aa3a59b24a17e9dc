"""What is searched: one belt stage of a build, with what may vary and what is wanted, in SI units."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from types import SimpleNamespace
from typing import NamedTuple

import numpy as np

from jackshaft.buildfile import Build
from jackshaft.chapters.capacity.rated import length_factor
from jackshaft.chapters.grip.cases import SPRUNG, friction_of
from jackshaft.chapters.layout.analysis import Body
from jackshaft.chapters.layout.checks import LEAST_GAP, SMALL_PULLEY
from jackshaft.chapters.ratio.stages import default as usual
from jackshaft.chapters.ratio.stages import turn_of
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.parts.belt_stage import lines_of, section_row, standard_of
from jackshaft.results import Reader, Unknown, label, work_up
from jackshaft.search.sizes import distinct, read_sizes

CENTRES = ("adjustable centres", "sliding motor")
IDLERS_MOST = 2


class NothingCanWork(ValueError):
    """The search was not begun, or found nothing; the words say which requirement stands in the way."""


def _unknown(keys) -> NothingCanWork:
    return NothingCanWork("not known yet: " + "; ".join(f"{label(k)} [{k}]" for k in dict.fromkeys(keys)))


class Pulley(NamedTuple):
    """A pulley that stays: its name, place, and its size as it is written; ``surface`` flat or groove."""

    name: str
    x: float
    y: float
    size: float | None
    measured_as: str
    inside: bool
    flat: bool


class Sizes(NamedTuple):
    """Sizes that are tried in one place: as written, cord-line radius and rim radius; m, shape (k,)."""

    size: np.ndarray
    r: np.ndarray
    rim: np.ndarray


@dataclass(frozen=True)
class Problem:
    """One stage as the search takes it; SI units throughout.

    ``tension`` is the slack strand's for a sprung idler, else that of each strand of one belt at rest;
    ``window`` the speeds wanted of the driven shaft, rad/s (None where none is known); ``turns`` +1 where
    the driven shaft shall turn as the driver, -1 against it, 0 either; ``grips`` friction likely and at the
    bad end for groove and flat; ``length_factors`` of the ratings, one for each stock length.
    """

    build: Build
    stage: str
    driver: Pulley
    driven: Pulley
    kept: tuple[Pulley, ...]
    after: tuple[int, ...]
    names: tuple[str, ...]
    idlers_most: int
    takeup: str
    pivot: tuple[float, float] | None
    toward: float | None
    travel: tuple[float, float]
    bodies: tuple[Body, ...]
    zone: tuple[float, float, float, float]
    zone_known: bool
    belt: belt_lengths.Section
    stock: belt_lengths.Stock
    own_belt: str
    driver_sizes: np.ndarray
    driven_sizes: np.ndarray
    idler_sizes: np.ndarray
    on_hand: tuple[tuple[float, int], ...]
    belts_most: int
    turns: int
    ccw: bool
    speed: float
    top_speed: float
    creep: float
    power: float
    window: tuple[float, float] | None
    tension: float
    grips: tuple[tuple[float, float], tuple[float, float]]
    length_factors: np.ndarray
    margin_least: float
    clearance_least: float
    notes: tuple[str, ...] = ()

    @property
    def at(self) -> str:
        """The stage's key."""
        return f"stage[{self.stage}]"

    def on_lines(self, sizes: np.ndarray, measured_as: str, *, flat: bool, inside: bool) -> Sizes:
        """Return sizes with their cord-line and rim radii."""
        row = section_row(Reader(self.build), self.at)
        both = [lines_of(float(s), measured_as, row, flat=flat, inside=inside) for s in sizes]
        pitch, outside = np.array(both).reshape(-1, 2).T / 2
        return Sizes(np.asarray(sizes, dtype=float), pitch, np.maximum(pitch, outside))

    def with_(self, **changes) -> Problem:
        """Return the problem with some things changed, for tests and trials."""
        return replace(self, **changes)


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
    reader, at = Reader(build), f"stage[{stage}]"
    if reader.get(f"{at}.kind") not in ("belt", None) or stage not in reader.names("stage"):
        raise NothingCanWork(f"'{stage}' is no belt stage of this build")
    if reader.get(f"{at}.crossed"):
        raise NothingCanWork("a crossed belt has nothing to place: it runs on two pulleys, without idlers")
    notes: list[str] = []
    missing = [f"{at}.{k}" for k in ("section", "driver", "driven", "from", "to") if reader.get(f"{at}.{k}") is None]
    if missing:
        raise _unknown(missing)
    belt = belt_lengths.section(reader.get(f"{at}.section"), standard_of(reader, at))
    try:
        stock = belt_lengths.stock(belt, "pitch")
    except belt_lengths.SectionError as error:
        raise NothingCanWork(f"{error}; without lengths that are sold no belt can be chosen") from None
    stock = _with_own(reader, at, belt, stock)
    driver, driven, idlers = _pulleys(reader, at, missing)
    kind = reader.get(f"{at}.takeup.kind")
    tension = reader.si(f"{at}.takeup.slack_tension" if kind in SPRUNG else f"{at}.takeup.static_tension")
    if tension is None:
        missing.append(f"{at}.takeup." + ("slack_tension" if kind in SPRUNG else "static_tension"))
    if missing:
        raise _unknown(missing)
    speed, top, power, window, creep = _running(build, reader, stage, notes)
    kept, after, free = _kept(reader, at, idlers, kind)
    sizes = {
        k: read_sizes(str(reader.get(f"{at}.search.{k}") or ""), reader.system)
        for k in ("driver_sizes", "driven_sizes", "idler_sizes", "sizes_on_hand")
    }
    now = [p.size for p in (driver, driven, *idlers) if p.size is not None]
    loose = [p.size for p in (driver, driven, *idlers) if p.size is not None and p not in kept]
    for key, one in (("driver_sizes", driver), ("driven_sizes", driven)):
        if not len(sizes[key]):
            if one.size is None:
                raise _unknown([f"{at}.search.{key}", f"{at}.pulley[{one.name}].diameter"])
            sizes[key] = np.array([one.size])
    if not len(sizes["idler_sizes"]):
        sizes["idler_sizes"] = distinct([p.size for p in idlers if p.size] or [min(now)])
    most = reader.get(f"{at}.search.idlers_most")
    most = min(IDLERS_MOST, len(free)) if most is None else int(most)
    if reader.get(f"{at}.takeup.slot_x") is not None:
        notes.append("The slot of the take-up is left out of what is found: say in the build where the new one ends.")
    side = reader.get(f"{at}.search.direction")
    frictions = _frictions(reader, stage, driven.name)
    zone, zone_known = _zone(reader, at, (driver, driven, *idlers), float(sizes["idler_sizes"].max()))
    pivot = (reader.si(f"{at}.takeup.pivot_x"), reader.si(f"{at}.takeup.pivot_y"))
    problem = Problem(
        build=build,
        stage=stage,
        driver=driver,
        driven=driven,
        kept=kept,
        after=after,
        names=_names(free, reader.get(f"{at}.takeup.idler"), idlers),
        idlers_most=most,
        takeup=str(kind or "fixed idler"),
        pivot=None if None in pivot else pivot,
        toward=_toward(reader, at, driver, driven),
        travel=(reader.si(f"{at}.takeup.travel_in", 0.0), reader.si(f"{at}.takeup.travel_out", 0.0)),
        bodies=_bodies(reader, at),
        zone=zone,
        zone_known=zone_known,
        belt=belt,
        stock=stock,
        own_belt=str(reader.get(f"{at}.marked") or ""),
        driver_sizes=distinct(sizes["driver_sizes"]),
        driven_sizes=distinct(sizes["driven_sizes"]),
        idler_sizes=distinct(sizes["idler_sizes"]),
        on_hand=_hand(sizes["sizes_on_hand"], loose),
        belts_most=int(reader.get(f"{at}.search.belts_most") or max(2, reader.get(f"{at}.belts") or 1)),
        turns=_turns(build, reader, stage, driver=driver, driven=driven, said=side, notes=notes),
        ccw=_ccw(build, reader, at, driver),
        speed=speed,
        top_speed=top,
        creep=creep,
        power=power,
        window=window,
        tension=float(tension),
        grips=(
            (float(frictions.likely[0]), float(frictions.bad[0])),
            (float(frictions.likely[1]), float(frictions.bad[1])),
        ),
        length_factors=_length_factors(belt, stock),
        margin_least=reader.si(f"{at}.search.margin_least", 1.0),
        clearance_least=reader.si(f"{at}.search.clearance_least", LEAST_GAP),
        notes=tuple(notes),
    )
    return problem


def _with_own(reader: Reader, at: str, belt, stock: belt_lengths.Stock) -> belt_lengths.Stock:
    """Return the lengths that are sold, and among them the belt that is on or bought."""
    marked, length, line = (reader.get(f"{at}.marked"), reader.si(f"{at}.length"), reader.get(f"{at}.length_is"))
    if not marked or marked.replace(" ", "") in [d.replace(" ", "") for d in stock.designation]:
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
    names = [*stock.designation, marked]
    nan = np.array([np.nan])
    return belt_lengths.Stock(
        tuple(names[k] for k in order),
        np.append(stock.length, float(pitch))[order],
        np.append(stock.plus, nan)[order],
        np.append(stock.minus, nan)[order],
        tuple([*stock.known, "the build"][k] for k in order),
    )


def _frictions(reader: Reader, stage: str, driven: str):
    """Return what a groove and a flat grip with, as the tension page takes them."""
    materials = (None, reader.get(f"stage[{stage}].pulley[{driven}].material"))
    flat = np.array([False, True])
    return friction_of(reader, SimpleNamespace(name=stage, pulleys=SimpleNamespace(flat=flat, materials=materials)))


def _pulleys(reader: Reader, at: str, missing: list[str]) -> tuple[Pulley, Pulley, tuple[Pulley, ...]]:
    found = {}
    for name in reader.names(f"{at}.pulley"):
        here = f"{at}.pulley[{name}]"
        spot = reader.si(f"{here}.x"), reader.si(f"{here}.y")
        # one of x and y alone is no place yet
        x, y = (np.nan, np.nan) if None in spot else spot
        found[name] = Pulley(
            name=name,
            x=x,
            y=y,
            size=reader.si(f"{here}.diameter"),
            measured_as=reader.get(f"{here}.measured_as") or "pitch",
            inside=(reader.get(f"{here}.side") or "inside") == "inside",
            flat=reader.get(f"{here}.surface") == "flat",
        )
    order = list(found)
    first, last = reader.get(f"{at}.driver"), reader.get(f"{at}.driven")
    if np.isnan([found[first].x, found[last].x]).any():
        centres = reader.si(f"{at}.centres")
        if len(found) != 2 or centres is None:
            missing += (
                [
                    key
                    for n in (first, last)
                    for key in (f"{at}.pulley[{n}].x", f"{at}.pulley[{n}].y")
                    if reader.get(key) is None
                ]
                if len(found) != 2
                else [f"{at}.centres"]
            )
            centres = centres or np.nan
        toward = reader.si(f"{at}.centres_toward", 0.0)
        found[first] = found[first]._replace(x=0.0, y=0.0)
        found[last] = found[last]._replace(x=centres * np.cos(toward), y=centres * np.sin(toward))
    # Travel order, begun at the driver.
    turned = order[order.index(first) :] + order[: order.index(first)]
    return found[first], found[last], tuple(found[n] for n in turned if n not in (first, last))


def _kept(reader: Reader, at: str, idlers, kind):
    """Return the idlers that stay, the shaft each stands behind (0 driver, 1 driven), and the names of the rest."""
    named = [n.strip() for n in str(reader.get(f"{at}.search.idlers_kept") or "").split(",") if n.strip()]
    strange = [n for n in named if n not in [p.name for p in idlers]]
    if strange:
        raise NothingCanWork(
            f"no idler is called '{strange[0]}'; there is {', '.join(p.name for p in idlers) or 'none'}"
        )
    takeup = reader.get(f"{at}.takeup.idler")
    if takeup in named and kind not in CENTRES:
        raise NothingCanWork(f"'{takeup}' takes the belt up, so it cannot be kept where it is: each belt moves it")
    kept = [p for p in idlers if p.name in named]
    bare = [
        f"{at}.pulley[{p.name}].{k}"
        for p in kept
        for k in ("x", "y", "diameter")
        if reader.get(f"{at}.pulley[{p.name}].{k}") is None
    ]
    if bare:
        raise _unknown(bare)
    names = reader.names(f"{at}.pulley")
    ring = names[names.index(reader.get(f"{at}.driver")) :] + names[: names.index(reader.get(f"{at}.driver"))]
    last = ring.index(reader.get(f"{at}.driven"))
    return tuple(kept), tuple(int(ring.index(p.name) > last) for p in kept), [p.name for p in idlers if p not in kept]


def _names(free: list[str], takeup: str | None, idlers) -> tuple[str, ...]:
    """Return names for the placed idlers, the one that takes up first."""
    mine = sorted(free, key=lambda n: n != takeup)
    taken = {p.name for p in idlers}
    new = (n for n in (f"idler {k}" for k in range(1, 99)) if n not in taken)
    return tuple(mine + [next(new) for _ in range(IDLERS_MOST)])[: max(IDLERS_MOST, len(mine))]


def _running(build: Build, reader: Reader, stage: str, notes: list[str]):
    """Return driver speed, top speed, power, the driven shaft's window and creep."""
    at, data = f"stage[{stage}]", work_up(build, ("ratio",)).chapters["ratio"].data
    first = data.shaft(reader.get(f"{at}.from")) if data else None
    wanted = [
        k for k, v in (("engine.work_speed", first and first.work), ("work.power", first and first.power)) if not v
    ]
    if wanted:
        more = [k for k in ("work.power", "work.power_at", "engine.work_speed") if reader.get(k) is None]
        raise _unknown(more or wanted)
    last, work = data.shaft(reader.get(f"{at}.to")), data.shaft(data.work_shaft) if data.work_shaft else None
    window = None
    if data.band is None:
        notes.append("The speed that the work wants is not known, so every pair of sizes counts.")
    elif last is None or work is None or not last.work or not work.work:
        notes.append("How this stage's speed reaches the work is not known, so every pair of sizes counts.")
    else:
        down = work.work / last.work
        window = (data.band[0] / down, data.band[1] / down)
    try:
        creep = usual("creep and slip", at, reader, "creep")
    except Unknown:
        creep = 0.0
    return first.work, first.full if first.full is not None else first.work, first.power, window, creep


def _ccw(build: Build, reader: Reader, at: str, driver: Pulley) -> bool:
    data = work_up(build, ("ratio",)).chapters["ratio"].data
    shaft = data.shaft(reader.get(f"{at}.from"))
    return True if not shaft.turn else (shaft.turn > 0) == driver.inside


def _turns(build, reader, stage, driver, driven, said, notes) -> int:
    """Return how the driven shaft shall turn against the driver: said, else as the work wants, else as it is."""
    if said is not None:
        return {"same as the driver": 1, "against the driver": -1, "either": 0}[said]
    now = 1 if driver.inside == driven.inside else -1
    data = work_up(build, ("ratio",)).chapters["ratio"].data
    work = data.shaft(data.work_shaft) if data and data.work_shaft else None
    wanted = turn_of(reader, "work")
    if not wanted or work is None or not work.turn:
        notes.append("The direction that the work wants is not known: the driven shaft keeps the way it turns now.")
        return now
    return now if work.turn == wanted else -now


def _zone(reader: Reader, at: str, pulleys, size: float):
    given = [reader.si(f"{at}.search.zone_{k}") for k in ("left", "right", "low", "high")]
    spots = np.array([(p.x, p.y) for p in pulleys if np.isfinite([p.x, p.y]).all()])
    low, high = spots.min(axis=0) - size, spots.max(axis=0) + size
    zone = tuple(
        g if g is not None else float(u) for g, u in zip(given, (low[0], high[0], low[1], high[1]), strict=True)
    )
    if not (zone[0] < zone[1] and zone[2] < zone[3]):
        raise NothingCanWork(
            "the zone for idlers is empty: its right edge must lie right of its left one, the upper above the lower"
        )
    return zone, None not in given


def _toward(reader: Reader, at: str, driver: Pulley, driven: Pulley) -> float | None:
    """Return the direction of the centres where they are given by distance; None where x and y are."""
    placed = all(reader.get(f"{at}.pulley[{p.name}].{c}") is not None for p in (driver, driven) for c in "xy")
    return None if placed else reader.si(f"{at}.centres_toward", 0.0)


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


def _hand(listed: np.ndarray, loose: list[float]) -> tuple[tuple[float, int], ...]:
    """Return (size, how many) of the pulleys that need not be bought: those listed, else those on the build."""
    counted = Counter(round(float(s), 6) for s in (listed if len(listed) else loose))
    return tuple(sorted(counted.items()))


def _length_factors(belt, stock: belt_lengths.Stock) -> np.ndarray:
    """Return the length factor of each stock length, as the capacity page takes it: by the datum line."""
    offsets = belt_lengths.line_offsets(belt)
    datum = belt_lengths.convert(stock.length, belt, have="pitch", want="datum") if "datum" in offsets else stock.length
    return np.array([length_factor(belt.name, float(v))[0] for v in datum])


__all__ = ["CENTRES", "IDLERS_MOST", "NothingCanWork", "Problem", "Pulley", "SMALL_PULLEY", "Sizes", "problem_of"]
