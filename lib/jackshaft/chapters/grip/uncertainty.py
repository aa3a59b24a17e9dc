"""The share of uncertain draws in which a loop grips, and what drives it: one pass over 10,000 draws."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.grip.cases import BY_HAND, LOCKED, Friction, LoadedLoop, tension_key
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import draws
from jackshaft.mechanics import grip as mech
from jackshaft.mechanics import path as belt_path
from jackshaft.results.bands import COMMON, guess_of
from jackshaft.results.reader import Reader
from jackshaft.results.values import GIVEN, Number
from jackshaft.units import Measure

COUNT = 10_000

#: What is taken where the build states no tolerance. Common practice, no source: what a shop reads, or
#: guesses, on a good day. Shares of the value, or metres.
TENSION, POWER, SPEED, PEAK = 0.10, 0.10, 0.01, 0.0  # a tension by hand: see BY_HAND
DIAMETER, PLACE = 0.25e-3, 1.5e-3

#: Bins of the picture: margins from 0 to 4 times the working load; beyond that counts as the last.
BINS = np.linspace(0.0, 4.0, 61)

#: Share of the draws that the bins reach, %: the few beyond are counted in the last one.
REACHED = 99.5

#: Numbers of the drawn inputs: the same input always gets the same draws.
GROOVE, FLAT, LOAD, TURNS, PULL, CORD, TOP = range(7)
SIZES, ACROSS, UP = 100, 200, 300


class Tolerance(NamedTuple):
    """One uncertain input: in words, how far off it may be, and where that comes from."""

    label: str
    amount: Number
    source: str


class Shares(NamedTuple):
    """What the draws say: ``work`` and ``peak`` are shares that hold (None with no peak factor).

    ``counts`` are draws between ``edges``, which are :data:`BINS` or reach farther; ``drivers`` (label, share of the
    scatter, +1 where more of it helps) in falling order; ``broken`` the share of draws in which the belt could
    not go round.
    """

    work: float
    peak: float | None
    count: int
    counts: np.ndarray
    edges: np.ndarray
    low: float
    high: float
    drivers: tuple[tuple[str, float, int], ...]
    tolerances: tuple[Tolerance, ...]
    broken: float


def scale_top(reach: float) -> float:
    """Return where a scale of how many times the load is held ends: at 4, or at a round number no less than ``reach``.

    In whole numbers to 10, then in halves of the power of ten below.
    """
    step = 1.0 if reach <= 10.0 else 10.0 ** np.floor(np.log10(reach)) / 2
    return max(float(BINS[-1]), float(np.ceil(reach / step) * step))


@lru_cache(maxsize=256)
def _even(row: int) -> np.ndarray:
    """Draws between -1 and 1, the same for an input whenever it is drawn."""
    drawn = draws.plus_minus_si(0.0, 1.0, count=COUNT, row=row)
    drawn.setflags(write=False)
    return drawn


@lru_cache(maxsize=16)
def _ranks(rows: tuple[int, ...]) -> np.ndarray:
    ranks = draws.ranks_si(np.stack([_even(r) for r in rows], axis=-1))
    ranks.setflags(write=False)
    return ranks


@lru_cache(maxsize=8)
def _triangle(low: float, likely: float, high: float, row: int) -> np.ndarray:
    return draws.triangle_si(low, likely, high, count=COUNT, row=row)


class _Geometry(NamedTuple):
    """Drawn geometry, pulleys on the last axis; NaN where the belt cannot go round."""

    wrap: np.ndarray
    span: np.ndarray
    r: np.ndarray


@lru_cache(maxsize=4)
def _work(pulleys: int) -> belt_path.Work:
    """Arrays to follow the belt in; kept, since making them takes longer than filling them."""
    return belt_path.work_si(pulleys, COUNT)


class _Drawn(NamedTuple):
    """What the draws take of a loop's geometry, arrays as bytes so that it can be remembered: places and pitch radii,
    how far diameters, places and the cord may be off, which pulleys are inside, the way round, crossed or not."""

    x: bytes
    y: bytes
    r: bytes
    sizes: bytes
    places: bytes
    cord: bytes
    inside: bytes
    ccw: bool
    crossed: bool


@lru_cache(maxsize=6)
def _geometry(drawn: _Drawn) -> _Geometry:
    """Follow the belt round every drawn loop; kept, since most sliders do not move the pulleys."""
    px, py, pr, ds, dp, dc = (np.frombuffer(b) for b in drawn[:6])
    many = range(len(px))
    rs = pr + 0.5 * ds * np.stack([_even(SIZES + i) for i in many], -1) + dc * _even(CORD)[:, None]
    xs = px + dp * np.stack([_even(ACROSS + i) for i in many], -1)
    ys = py + dp * np.stack([_even(UP + i) for i in many], -1)
    inside = np.frombuffer(drawn.inside, dtype=bool)
    found = belt_path.path_si(xs, ys, rs, inside, drawn.ccw, crossed=drawn.crossed, work=_work(len(px)))
    bad = (found.reason != 0)[:, None]
    return _Geometry(np.where(bad, np.nan, found.wrap), np.where(bad, np.nan, found.span), rs)


def _half(reader: Reader, key: str, default: float, *, share: bool = True) -> tuple[float, str]:
    """Return how far a value may be off in SI units, and where that comes from."""
    value = reader.get(key)
    if isinstance(value, Measure) and value.plus_minus is not None:
        word = guess_of(reader.said(key))
        return value.plus_minus, f"it is {word}; {COMMON}" if word else "the build"
    if not share:
        return default, COMMON
    return (abs(value.si) * default if isinstance(value, Measure) else 0.0), COMMON


class _Inputs:
    """The uncertain inputs of a loop: each with its tolerance and the rows of draws it takes."""

    def __init__(self, reader: Reader):
        self.reader = reader
        self.tolerances: list[Tolerance] = []
        self.columns: list[tuple[str, int]] = []

    def add(self, label: str, amount: Number, source: str, *rows: int) -> None:
        """Note a tolerance and the rows that are drawn from it."""
        self.tolerances.append(Tolerance(label, amount, source))
        self.columns += [(label, row) for row in rows]

    def share(self, label: str, key: str, default: float, *rows: int, decimals: int = 0) -> float:
        """Add how far the value at a key may be off, and return that as a share of it; nothing off is left out."""
        off, source = _half(self.reader, key, default)
        value = self.reader.si(key)
        share = default if value is None else off / value
        if share:
            amount = self.reader.number(share, "number", "± {}", by="percent", decimals=decimals)
            self.add(label, amount, source, *rows)
        return share

    def length(self, label: str, off: float, source: str, *rows: int, words: str = "± {}") -> None:
        """Add a tolerance that is a length."""
        self.add(label, self.reader.number(off, "length", words, digits=2), source, *rows)


class _Draw(NamedTuple):
    """All that the count of the draws depends on, arrays as bytes; ``signs`` is the share of the pull that each pulley
    takes, -1 the driver, ``kept`` are the weights of a hold that does not go
    by where the pulleys are, a pair is a value and how far off it may be as a share."""

    loop: _Drawn
    bands: tuple[tuple[int, tuple[float, ...]], ...]
    power: tuple[float, float]
    speed: tuple[float, float]
    tension: tuple[float, float]
    mass: float
    signs: bytes
    flat: bytes
    driver: int
    kept: bytes | None
    peak: tuple[float, float] | None
    columns: tuple[tuple[str, int], ...]


def shares_of(reader: Reader, loop: LoadedLoop, peak: float | None) -> Shares:
    """Draw every uncertain input of a loop and count the draws that grip at work and at the peak.

    Parameters
    ----------
    reader : Reader
        Reads tolerances from the build.
    loop : LoadedLoop
        The loop; its tension must be known.
    peak : float or None
        Peak load over working load.
    """
    inputs, layout, pulls = _Inputs(reader), loop.layout, loop.pulls
    load = inputs.share("load", "work.power", POWER, LOAD)
    turns = inputs.share("engine speed", "engine.work_speed", SPEED, TURNS, decimals=1)
    pull = inputs.share("belt tension", tension_key(layout, loop.way), BY_HAND if loop.way == LOCKED else TENSION, PULL)
    signs = np.where(np.abs(pulls) > 1e-9 * loop.pull, pulls / loop.pull, 0.0)
    # What a spring or a slide keeps does not go by where the pulleys are to a millimetre.
    kept = None if loop.way == LOCKED else loop.hold_at(loop.hold, 0.0).weights.tobytes()
    found = _outcome(
        _Draw(
            bands=_bands(inputs, layout, loop.friction),
            loop=_drawn_loop(inputs, layout),
            power=(loop.pull * float(layout.speed), load),
            speed=(float(layout.speed), turns),
            tension=(loop.hold, pull),
            mass=(layout.belt.mass if layout.belt else 0.0) * loop.belts,
            signs=signs.tobytes(),
            flat=layout.pulleys.flat.tobytes(),
            driver=layout.pulleys.driver,
            kept=kept,
            peak=None if peak is None else (peak, inputs.share("peak factor", "work.peak_factor", PEAK)),
            columns=tuple(inputs.columns),
        )
    )
    return found._replace(tolerances=tuple(inputs.tolerances))


def _bands(inputs: _Inputs, layout: StageLayout, friction: Friction) -> tuple[tuple[int, tuple[float, ...]], ...]:
    """Return the row of draws and the band of friction for grooves and for flats, whichever the loop has.

    What must hold is not let off by a belt that may grip better than it was designed for: the band ends there.
    """
    p, bands = layout.pulleys, []
    for row, on_flat, label in ((GROOVE, False, "friction in the grooves"), (FLAT, True, "friction on the flats")):
        mine = np.flatnonzero(p.flat == on_flat)
        if not len(mine):
            continue
        i = mine[np.argmin(friction.bad[mine])]
        low, likely, high = band = tuple(float(k[i]) for k in (friction.bad, friction.likely, friction.likely))
        bands.append((row, band))
        if any(j in p.powered for j in mine):
            amount = inputs.reader.number(likely, "number", "{low} to {high}", low=low, high=high, form=GIVEN)
            inputs.add(label, amount, friction.conditions[i][0].known, row)
    return tuple(bands)


@lru_cache(maxsize=32)
def _outcome(draw: _Draw) -> Shares:
    """Count the draws that hold; remembered, since a slider moves one stage and the others stay as they were."""
    loop, sign, r = _geometry(draw.loop), np.frombuffer(draw.signs), np.frombuffer(draw.loop.r)
    on_flat = np.frombuffer(draw.flat, dtype=bool)
    k = np.empty((COUNT, len(r)))
    for row, (low, likely, high) in draw.bands:
        k[:, on_flat == (row == FLAT)] = _triangle(low, likely, high, row)[:, None]
    power, speed, held = (
        value * (1.0 + off * _even(row))
        for (value, off), row in ((draw.power, LOAD), (draw.speed, TURNS), (draw.tension, PULL))
    )
    speed = speed * loop.r[:, draw.driver] / r[draw.driver]
    centrifugal = draw.mass * speed**2
    pulls = sign * (power / speed)[:, None]
    hold = (
        mech.fixed_centres_si(loop.span, loop.wrap, loop.r, held, centrifugal)
        if draw.kept is None
        else mech.Hold(np.frombuffer(draw.kept), held, held)
    )
    margin = mech.grip_si(pulls, loop.wrap, k, hold, centrifugal).least
    margin = np.where(np.isfinite(loop.wrap[:, 0]), margin, np.nan)
    at_peak = None
    if draw.peak is not None:
        factor, off = draw.peak
        at_peak = float(draws.share_that_holds_si(margin / (factor * (1.0 + off * _even(TOP)))))
    good = margin[np.isfinite(margin)]
    ends = np.percentile(good, (5, 95)) if len(good) else (np.nan, np.nan)
    edges = np.linspace(0.0, scale_top(float(np.percentile(good, REACHED)) if len(good) else 0.0), len(BINS))
    return Shares(
        work=float(draws.share_that_holds_si(margin)),
        peak=at_peak,
        count=COUNT,
        counts=np.histogram(np.clip(good, edges[0], edges[-1]), edges)[0],
        edges=edges,
        low=float(ends[0]),
        high=float(ends[1]),
        drivers=_drivers(draw.columns, margin),
        tolerances=(),
        broken=1.0 - len(good) / COUNT,
    )


def _drawn_loop(inputs: _Inputs, layout: StageLayout) -> _Drawn:
    """Return what :func:`_geometry` draws: diameters, the cord's place in the belt, and the centres."""
    reader, at = inputs.reader, f"stage[{layout.name}]"
    p, places = layout.pulleys, layout.places
    sizes, sources = zip(
        *(_half(reader, f"{at}.pulley[{n}].diameter", DIAMETER, share=False) for n in p.names), strict=True
    )
    ours = [i for i, s in enumerate(sources) if s != COMMON]
    for i in ours:
        inputs.length(f"diameter of {p.names[i]}", sizes[i], sources[i], SIZES + i)
    others = [SIZES + i for i in range(len(p.names)) if i not in ours]
    if others:
        inputs.length("diameters", DIAMETER, COMMON, *others, words="± {} each")
    if places.given:
        off = np.full(len(p.names), PLACE)
        rows = (row + i for row in (ACROSS, UP) for i in range(len(p.names)))
        inputs.length("places of the pulleys", PLACE, COMMON, *rows, words="± {} each way")
    else:
        place, source = _half(reader, f"{at}.centres", PLACE, share=False)
        inputs.length("centres", place, source, ACROSS + p.driven, UP + p.driven)
        off = np.zeros(len(p.names))
        off[p.driven] = place
    cord = np.zeros(len(p.names))
    if layout.belt is not None:
        band = 0.5 * (layout.belt.cord_high - layout.belt.cord_low)
        on_cord = [reader.get(f"{at}.pulley[{n}].measured_as") == "pitch" for n in p.names]
        # A cord that lies deeper makes an inside pulley smaller and an outside one larger.
        cord = np.where(on_cord, 0.0, np.where(p.inside, -band, band))
        if cord.any():
            inputs.length("where the cord lies", band, layout.belt.known, CORD)
    inside = p.inside.copy()
    if p.crossed:
        inside[p.driven] = False
    numbers = (places.x, places.y, p.pitch, np.array(sizes), off, cord)
    arrays = (np.asarray(a, dtype=float).tobytes() for a in numbers)
    return _Drawn(*arrays, inside=inside.tobytes(), ccw=layout.ccw, crossed=p.crossed)


def _drivers(columns: tuple[tuple[str, int], ...], margin: np.ndarray) -> tuple[tuple[str, float, int], ...]:
    found = draws.drivers_of_ranks_si(_ranks(tuple(row for _, row in columns)), margin)
    shares: dict[str, tuple[float, int]] = {}
    for (label, _), share, sign in zip(columns, found.share, found.sign, strict=True):
        before = shares.get(label, (0.0, 0))
        shares[label] = (before[0] + float(share), int(sign) if share > before[0] else before[1])
    return tuple(sorted(((name, *value) for name, value in shares.items()), key=lambda d: -d[1]))


__all__ = ["BINS", "COUNT", "Shares", "Tolerance", "scale_top", "shares_of"]
