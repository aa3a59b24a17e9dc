"""Layouts tried by the thousand: strung, put where a belt that is sold fits, and measured.

A chunk of layouts of one pattern goes through the belt kernels at once, pulleys on the first axis in memory;
those that fall out are dropped on the way. Nothing here grows with the number of layouts tried.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.chapters.capacity.rated import FLAT_RIM
from jackshaft.chapters.grip.cases import SPRUNG
from jackshaft.mechanics import clearance, grip, path, rating, twopulley
from jackshaft.search.patterns import Pattern
from jackshaft.search.places import grid_si, spread_si
from jackshaft.search.problem import CENTRES, Problem
from jackshaft.units import INCH

#: Layouts worked at a time; with it the memory of a search is fixed.
CHUNK = 8192
#: A solved length is off by less than this, m.
CLOSE = 1e-9
#: Steps of Newton's rule along the line of steepest change.
STEPS = 5
#: Belt taken up by a metre of the arm's travel, least: common practice, no source.
LEAST_RATE = 0.2
#: Without a take-up a belt must fit as the loop stands, within this, m.
AS_DRAWN = 1e-3

#: Part of the zone's width within which places near good ones are tried.
NEAR = 0.125

#: What a tape is read to, m.
MARKS = {"inch": INCH / 16, "metric": 1e-3}

#: Why a layout falls out, in the order it is asked.
NEEDS = (
    "the belt goes round",
    "a belt that is sold fits",
    "the idler stays in its zone",
    "nothing is rubbed",
    "the arm takes up belt",
    "it grips",
    "the belts carry the power",
)
ROUND, STOCK, ZONE, ROOM, RATE, GRIP, POWER = range(len(NEEDS))

#: What is stored of a layout.
FIELDS = (
    "pattern",
    "driver",
    "driven",
    "size0",
    "size1",
    "x0",
    "y0",
    "x1",
    "y1",
    "centres",
    "belts",
    "stock",
    "length",
    "margin",
    "margin_bad",
    "hub",
    "wide",
    "high",
    "gap",
    "bought",
    "power",
)
AT = {name: k for k, name in enumerate(FIELDS)}


class Tried(NamedTuple):
    """What a chunk gave: rows of FIELDS that hold everything, how many fell out at each need, and for each need
    the least that would have to be given way for a layout that fails nothing else (inf where there is none)."""

    rows: np.ndarray
    fell: np.ndarray
    near: np.ndarray
    reasons: np.ndarray


class Chunk:
    """The arrays and rules for layouts of one pattern.

    Parameters
    ----------
    problem : Problem
        What is searched.
    pattern : Pattern
        How the loop is strung.
    number : int
        Its number, which its rows carry.
    grid : float or None
        Try a full grid with this spacing, m, instead of spread places.
    """

    def __init__(
        self, problem: Problem, pattern: Pattern, number: int, *, grid: float | None = None, chunk: int = CHUNK
    ):
        self.problem, self.pattern, self.number, self.chunk = problem, pattern, number, chunk
        left, right, low, high = problem.zone
        self.edges = [(left, right), (low, high)] * len(pattern.free)
        self.picks = [len(pattern.pairs), *(len(s.r) for s in pattern.idlers)]
        self.parts: tuple[int, ...] | None = None
        if pattern.moves is None:
            self.parts = (len(pattern.pairs), len(problem.stock.length))
        elif grid is not None:
            self.parts = (*self.picks, *(max(1, round((b - a) / grid)) for a, b in self.edges))
        self.middles = 0.5 * (problem.stock.length[1:] + problem.stock.length[:-1])
        self.belt_inner = problem.belt.height - problem.belt.cord_depth
        self.belt_outer = problem.belt.cord_depth
        self.mark = MARKS[problem.build.system]

    @property
    def whole(self) -> int | None:
        """How many layouts there are in all; None where places can be spread without end."""
        return None if self.parts is None else int(np.prod(self.parts))

    def run(
        self,
        first: int,
        count: int,
        work: tuple[path.Work, path.Work],
        *,
        look_near: bool,
        around: np.ndarray | None = None,
    ) -> Tried:
        """Try layouts number ``first`` to ``first + count``.

        Parameters
        ----------
        first, count : int
            Which.
        work : tuple of two Work
            Arrays of the path kernel for this count of pulleys.
        look_near : bool
            Also find the least that would have to give way; takes longer, so it is done until something holds.
        around : array, shape (m, len(FIELDS)), optional
            Rows of this pattern; places are then taken round theirs, with their sizes.
        """
        p, s = self.problem, self.pattern
        fell, near = np.zeros(len(NEEDS), np.int64), np.full(len(NEEDS), np.inf)
        if s.moves is None:
            x, y, r, rim, picked, target, over = self._moving_centres(first, count)
            found = path.path_si(x.T, y.T, r.T, s.inside, p.ccw, work=work[0])
            reasons = np.bincount(found.reason, minlength=8)
            fell[ROUND] = int(np.count_nonzero(found.reason))
            fits = np.abs(over) <= 1e-12
            short = np.where(found.reason == 0, over, np.inf)
            here = np.flatnonzero((found.reason == 0) & fits)
            fell[STOCK] = int(np.count_nonzero((found.reason == 0) & ~fits))
            near[STOCK] = np.min(np.abs(short), initial=np.inf)
            outside = np.zeros(len(here))
        else:
            x, y, r, rim, picked = self._spread(first, count) if around is None else self._near(first, count, around)
            found = path.path_si(x.T, y.T, r.T, s.inside, p.ccw, work=work[0])
            reasons = np.bincount(found.reason, minlength=8)
            fell[ROUND] = int(np.count_nonzero(found.reason))
            here = np.flatnonzero(found.reason == 0)
            x, y, r, rim, picked = (a[..., here] for a in (x, y, r, rim, picked))
            target = np.searchsorted(self.middles, found.length[here])
            good = self._fit(x, y, r, found=found, here=here, target=target, work=work[1])
            fell[STOCK] = int(np.count_nonzero(~good))
            here = np.flatnonzero(good)
            outside = self._outside(x[s.moves, here], y[s.moves, here])
            x, y, r, rim, picked, target = (a[..., here] for a in (x, y, r, rim, picked, target))
            found, here = path.path_si(x.T, y.T, r.T, s.inside, p.ccw, work=work[1]), np.arange(len(here))
        loops = _Loops(x=x, y=y, r=r, rim=rim, picked=picked, target=target).at(here)
        found = path.Path(*(a[here] for a in found))
        rows = self._judge(loops, found, outside, fell=fell, near=near, look_near=look_near)
        return Tried(rows, fell, near, reasons)

    # -- where they stand ------------------------------------------------------------------------

    def _fill(self, u: np.ndarray, picked: np.ndarray):
        """Return x, y, r, rim of shape (pulleys, layouts); ``u`` places of free idlers, ``picked`` sizes."""
        p, s = self.problem, self.pattern
        x, y, r, rim = (np.empty((s.count, picked.shape[1])) for _ in range(4))
        for i, slot in enumerate(s.slots):
            kind, _, k = slot.partition(" ")
            if kind == "idler":
                sizes, at = s.idlers[int(k)], picked[1 + int(k)]
                (left, right), (low, high) = self.edges[:2]
                np.multiply(u[2 * int(k)], right - left, out=x[i])
                x[i] += left
                np.multiply(u[2 * int(k) + 1], high - low, out=y[i])
                y[i] += low
                if i != s.moves:
                    # An idler that is not moved to fit the belt is drilled for, so it stands on a tape's mark.
                    for a in (x[i], y[i]):
                        np.round(a / self.mark, out=a)
                        a *= self.mark
                np.take(sizes.r, at, out=r[i])
                np.take(sizes.rim, at, out=rim[i])
                continue
            one = {"driver": p.driver, "driven": p.driven}.get(slot) or p.kept[int(k)]
            x[i], y[i] = one.x, one.y
            if kind == "kept":
                fixed = p.on_lines(np.array([one.size]), one.measured_as, flat=one.flat, inside=one.inside)
                r[i], rim[i] = fixed.r, fixed.rim
            else:
                sizes = s.pairs.driver if slot == "driver" else s.pairs.driven
                np.take(sizes.r, picked[0], out=r[i])
                np.take(sizes.rim, picked[0], out=rim[i])
        return x, y, r, rim

    def _spread(self, first: int, count: int):
        many = len(self.picks)
        u = spread_si(first, count, many + len(self.edges)) if self.parts is None else grid_si(first, count, self.parts)
        picked = np.empty((many, count), np.intp)
        for k, n in enumerate(self.picks):
            np.multiply(u[k], n, out=picked[k], casting="unsafe")
        return (*self._fill(u[many:], picked), picked)

    def _near(self, first: int, count: int, around: np.ndarray):
        """Places round those of rows that hold, from an eighth of the zone down to nothing."""
        s, edges = self.pattern, len(self.edges)
        u = spread_si(first, count, edges + 1)
        row = around[np.arange(count) % len(around)].T
        both = [
            np.abs(sizes.size[:, None] - row[AT[name]])
            for name, sizes in (("driver", s.pairs.driver), ("driven", s.pairs.driven))
        ]
        picked = np.stack(
            [np.argmin(both[0] + both[1], axis=0)]
            + [np.argmin(np.abs(one.size[:, None] - row[AT[f"size{k}"]]), axis=0) for k, one in enumerate(s.idlers)]
        )
        reach = NEAR * np.square(u[-1])
        for k, (low, high) in enumerate(self.edges):
            here = (row[AT[f"{'xy'[k % 2]}{k // 2}"]] - low) / (high - low)
            u[k] = np.clip(here + reach * (2.0 * u[k] - 1.0), 0.0, 1.0)
        return (*self._fill(u[:edges], picked), picked)

    def _moving_centres(self, first: int, count: int):
        """Two pulleys: each pair of sizes with each length, the driven shaft where the belt wants it."""
        p, s = self.problem, self.pattern
        pair, target = np.unravel_index(np.arange(first, first + count), self.parts)
        picked = pair[None]
        x, y, r, rim = self._fill(np.zeros((0, count)), picked)
        along = np.array([p.driven.x - p.driver.x, p.driven.y - p.driver.y])
        now = float(np.hypot(*along))
        along = along / now
        low, high = (now - p.travel[0], now + p.travel[1]) if p.takeup in CENTRES else (now, now)
        lengths = [
            path.path_si(*(np.array([0.0, c * q])[None] for q in along), r.T, s.inside, p.ccw).length
            for c in (low, high)
        ]
        wanted = p.stock.length[target]
        slack = AS_DRAWN if low == high else 0.0
        over = np.where(
            wanted < lengths[0] - slack,
            wanted - lengths[0],
            np.where(wanted > lengths[1] + slack, wanted - lengths[1], 0.0),
        )
        centres = np.full(count, now)
        if low != high:
            there = twopulley.centre_distance.si(wanted, first=2 * r[0], second=2 * r[1])
            centres = np.where((over == 0.0) & np.isfinite(there), there, now)
        x[s.driven], y[s.driven] = p.driver.x + centres * along[0], p.driver.y + centres * along[1]
        return x, y, r, rim, picked, target, over

    def _fit(self, x, y, r, found, here, target, work) -> np.ndarray:
        """Move the take-up idler along the steepest change until the nearest belt fits; tell where it does."""
        s, i = self.pattern, self.pattern.moves
        wanted = self.problem.stock.length[target]
        length = found.length[here]
        gx, gy = found.ux[here, i - 1] - found.ux[here, i], found.uy[here, i - 1] - found.uy[here, i]
        rate = np.hypot(gx, gy)
        gx /= rate
        gy /= rate
        moved, good = np.zeros(len(here)), np.zeros(len(here), bool)
        x0, y0 = x[i].copy(), y[i].copy()
        live = np.arange(len(here))
        for _ in range(STEPS):
            with np.errstate(invalid="ignore", divide="ignore"):
                moved[live] += (wanted[live] - length) / rate
            x[i, live], y[i, live] = x0[live] + moved[live] * gx[live], y0[live] + moved[live] * gy[live]
            some = path.path_si(x[:, live].T, y[:, live].T, r[:, live].T, s.inside, self.problem.ccw, work=work)
            length = some.length
            done = np.abs(length - wanted[live]) < CLOSE
            good[live[done]] = True
            # Those that fit are done, and those that cannot be strung on the way are given up.
            on = np.flatnonzero(~done & (some.reason == 0))
            if not len(on):
                break
            rate = (some.ux[on, i - 1] - some.ux[on, i]) * gx[live[on]] + (some.uy[on, i - 1] - some.uy[on, i]) * gy[
                live[on]
            ]
            length, live = length[on], live[on]
        return good

    def _outside(self, x, y):
        """How far a place lies outside the zone, m."""
        left, right, low, high = self.problem.zone
        return np.maximum(np.maximum(left - x, x - right), np.maximum(np.maximum(low - y, y - high), 0.0))

    # -- what they are worth -----------------------------------------------------------------------

    def _judge(self, loops, found, outside, *, fell, near, look_near):
        p, s = self.problem, self.pattern
        # What must hold besides the grip, as what is lacking: above nought it fails.
        gap = self._gap(*loops[:4], found)
        lacks = [(ZONE, np.maximum(outside - 1e-9, 0.0)), (ROOM, np.maximum(p.clearance_least - gap, 0.0))]
        rate = self._rate(loops.x, loops.y, found)
        if rate is not None:
            lacks.append((RATE, np.maximum(LEAST_RATE - rate, 0.0)))
        failed = np.zeros(len(gap), np.int8)
        for _, lack in lacks:
            failed += lack > 0.0
        first = np.zeros(len(gap), bool)
        for need, lack in lacks:
            hit = (lack > 0.0) & ~first
            fell[need] += int(np.count_nonzero(hit))
            first |= hit
        # While nothing holds yet, those that lack one thing only go on, to see whether it is all they lack.
        on = np.flatnonzero(failed <= (1 if look_near else 0))
        loops, gap = loops.at(on), gap[on]
        found = path.Path(*(a[on] for a in found))
        good = failed[on] == 0
        held = self._hold(loops.r, found, loops.picked, loops.target)
        design = s.design[loops.picked[0]]
        enough_belts = [h.power >= design for h in held]
        grips = [h.margin_bad >= p.margin_least for h in held]
        best = len(held) - 1
        fell[GRIP] += int(np.count_nonzero(good & ~grips[best]))
        fell[POWER] += int(np.count_nonzero(good & grips[best] & ~enough_belts[best]))
        if look_near:
            for need, lack in lacks:
                least = lack[on][(lack[on] > 0.0) & grips[best] & enough_belts[best]]
                near[need] = np.min(least, initial=near[need])
            near[GRIP] = np.min(
                (p.margin_least / held[best].margin_bad)[good & ~grips[best] & enough_belts[best]], initial=near[GRIP]
            )
            near[POWER] = np.min(
                (design / held[best].power)[good & grips[best] & ~enough_belts[best]], initial=near[POWER]
            )
        rows = []
        for belts, h in enumerate(held, 1):
            take = np.flatnonzero(good & grips[belts - 1] & enough_belts[belts - 1])
            if len(take):
                rows.append(self._rows(belts, h, take, loops=loops, found=found, gap=gap))
        return np.concatenate(rows) if rows else np.zeros((0, len(FIELDS)))

    def _gap(self, x, y, r, rim, found):
        """The least gap round the belt; 0 where strands cross, inf where nothing stands near."""
        p, n = self.problem, self.pattern.count
        ends = path.tangents_si(x.T, y.T, r.T, found)
        thick = {"inner": self.belt_inner, "outer": self.belt_outer}
        gap = np.full(x.shape[1], np.inf)
        if n > 2:
            discs = x.T, y.T, rim.T
            gap = clearance.strand_pulley_gaps_si(ends[:2], found, discs, p.ccw, **thick, table=False).least
            belt = 2 * self.belt_outer
            for i in range(n):
                for j in range(i):
                    dx, dy = x[i] - x[j], y[i] - y[j]
                    near = np.sqrt(dx * dx + dy * dy) - rim[i] - rim[j] - belt
                    np.minimum(gap, near, out=gap)
            gap[clearance.strands_cross_si(*ends, found, r.T)] = 0.0
        for body in p.bodies:
            if body.radius is not None:
                discs = [np.array([v]) for v in (body.x, body.y, body.radius)]
                strands = clearance.strand_circle_gaps_si(ends[:2], found, discs, p.ccw, **thick)[..., 0]
            else:
                strands = clearance.strand_polygon_gaps_si(
                    *ends, body.corners[:, 0], body.corners[:, 1], thick=max(self.belt_inner, self.belt_outer)
                )
            np.minimum(gap, strands.min(axis=1), out=gap)
            for i in self.pattern.free:
                np.minimum(gap, self._body_gap(body, x[i], y[i]) - rim[i] - self.belt_outer, out=gap)
        return gap

    @staticmethod
    def _body_gap(body, x, y):
        if body.radius is not None:
            return np.hypot(x - body.x, y - body.y) - body.radius
        half = np.abs(body.corners - (body.x, body.y)).max(axis=0)
        return np.hypot(np.maximum(np.abs(x - body.x) - half[0], 0.0), np.maximum(np.abs(y - body.y) - half[1], 0.0))

    def _rate(self, x, y, found):
        """Belt taken up by a metre of the arm's travel; None where there is no arm."""
        p, i = self.problem, self.pattern.moves
        if p.pivot is None or i is None:
            return None
        ax, ay = x[i] - p.pivot[0], y[i] - p.pivot[1]
        sx, sy = found.ux[:, i - 1] - found.ux[:, i], found.uy[:, i - 1] - found.uy[:, i]
        with np.errstate(invalid="ignore", divide="ignore"):
            return np.abs(sy * ax - sx * ay) / np.hypot(ax, ay)

    def _hold(self, r, found, picked, target):
        """Return grip, hub load and rated power for 1, 2, ... belts."""
        p, s = self.problem, self.pattern
        speed = p.speed * r[0]
        pulls = np.zeros((len(speed), s.count))
        pulls[:, s.driven] = p.power / speed
        pulls[:, 0] = -pulls[:, s.driven]
        likely, bad = (np.where(s.flat, p.grips[1][k], p.grips[0][k]) for k in (0, 1))
        sprung = p.takeup in SPRUNG
        # The arc factor that counts is the lesser of the two pulleys with power; on a flat rim it is a flat's.
        arcs = [
            1.25 * (1.0 - np.exp(-FLAT_RIM * found.wrap[:, i])) if s.flat[i] else rating.arc_factor.si(found.wrap[:, i])
            for i in (0, s.driven)
        ]
        one = s.pairs.rated[picked[0]] * np.minimum(*arcs) * p.length_factors[target]
        held = []
        for belts in range(1, p.belts_most + 1):
            centrifugal = p.belt.mass * belts * speed * speed
            if sprung:
                hold = grip.held_strand_si(s.count, s.moves, p.tension)
            else:
                hold = grip.fixed_centres_si(found.span, found.wrap, r.T, p.tension * belts, centrifugal)
            at_bad = grip.grip_si(pulls, found.wrap, bad, hold, centrifugal)
            held.append(
                _Held(at_bad.least, one * belts, pulls, likely, hold=hold, centrifugal=centrifugal, net=at_bad.net)
            )
        return held

    def _rows(self, belts, h, take, *, loops, found, gap):
        s, picked, target = self.pattern, loops.picked, loops.target
        rows = np.full((len(take), len(FIELDS)), np.nan)
        ux, uy, wrap = found.ux[take], found.uy[take], found.wrap[take]
        hold = grip.Hold(
            h.hold.weights if h.hold.weights.ndim == 1 else h.hold.weights[take],
            h.hold.total if h.hold.total.ndim == 0 else h.hold.total[take],
            h.hold.at_rest,
        )
        margin = grip.grip_si(h.pulls[take], wrap, h.likely, hold, h.centrifugal[take]).least
        hub = grip.hub_si(h.net[take], ux, uy).size.max(axis=1)
        x, y, rim = loops.x[:, take], loops.y[:, take], loops.rim[:, take] + self.belt_outer
        wide, high = ((a + rim).max(axis=0) - (a - rim).min(axis=0) for a in (x, y))
        sizes = [s.pairs.driver.size[picked[0, take]], s.pairs.driven.size[picked[0, take]]]
        sizes += [one.size[picked[1 + k, take]] for k, one in enumerate(s.idlers)]
        values = {
            "pattern": self.number,
            "driver": sizes[0],
            "driven": sizes[1],
            "belts": belts,
            "stock": target[take],
            "length": found.length[take],
            "margin": margin,
            "margin_bad": h.margin_bad[take],
            "hub": hub,
            "wide": wide,
            "high": high,
            "gap": gap[take],
            "bought": self._bought(sizes, target[take], belts),
            "power": h.power[take],
        }
        for k, i in enumerate(s.free):
            values |= {f"size{k}": sizes[2 + k], f"x{k}": x[i], f"y{k}": y[i]}
        if s.moves is None:
            values["centres"] = np.hypot(x[s.driven] - x[0], y[s.driven] - y[0])
        for name, value in values.items():
            rows[:, AT[name]] = value
        return rows

    def _bought(self, sizes, target, belts):
        """Count what must be bought: pulleys that are not on hand, and belts."""
        p = self.problem
        table = np.stack(sizes)
        there = np.zeros(table.shape[1])
        for size, number in p.on_hand:
            there += np.minimum((np.abs(table - size) < 1e-5).sum(axis=0), number)
        mine = np.array([d == p.own_belt.replace(" ", "") for d in (n.replace(" ", "") for n in p.stock.designation)])
        have = int(p.build.get(f"{p.at}.belts") or 1)
        return len(sizes) - there + np.where(mine[target], max(0, belts - have), belts)


class _Loops(NamedTuple):
    """Layouts on the last axis: where pulleys stand, their radii, the sizes picked, the row of the stock belt."""

    x: np.ndarray
    y: np.ndarray
    r: np.ndarray
    rim: np.ndarray
    picked: np.ndarray
    target: np.ndarray

    def at(self, which) -> _Loops:
        """Some of them."""
        return _Loops(*(a[..., which] for a in self))


class _Held(NamedTuple):
    """One number of belts: margin at the bad end, rated power, and what the grip was solved from."""

    margin_bad: np.ndarray
    power: np.ndarray
    pulls: np.ndarray
    likely: np.ndarray
    hold: grip.Hold
    centrifugal: np.ndarray
    net: np.ndarray
