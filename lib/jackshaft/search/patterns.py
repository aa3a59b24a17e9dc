"""The ways a loop can be strung: which idlers are in which strand, on which side, and which sizes go together."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from types import SimpleNamespace

import numpy as np

from jackshaft.chapters.capacity.rated import basic_power
from jackshaft.chapters.capacity.service import SPEEDS_UP, service_of
from jackshaft.chapters.grip.cases import SPRUNG
from jackshaft.chapters.layout.checks import SMALL_PULLEY
from jackshaft.mechanics import belt_rules
from jackshaft.results import Reader
from jackshaft.search.problem import NothingCanWork, Problem, Sizes
from jackshaft.units import SAME, show

#: A flat idler on the back of a belt that is not made to bend both ways: at least this times the smallest sheave.
BACK_IDLER = 1.5


@dataclass(frozen=True)
class Pairs:
    """Driver and driven sizes that go together, shape (k,): sizes as written, radii m, and rated W of one belt at half
    a turn and its base length (inf where no rating is known)."""

    driver: Sizes
    driven: Sizes
    rated: np.ndarray

    def __len__(self) -> int:
        return len(self.rated)


@dataclass(frozen=True)
class Pattern:
    """One way to string the loop; pulleys in travel order, the driver first.

    ``slots`` names what is in each place: "driver", "driven", "kept K" or "idler K". ``moves`` is the
    pulley that is put where a belt that is sold fits (None where the centres are), ``free`` the placed idlers;
    ``design`` the power that the belts must be rated for, W, for each pair.
    """

    slots: tuple[str, ...]
    inside: np.ndarray
    flat: np.ndarray
    driven: int
    free: tuple[int, ...]
    moves: int | None
    pairs: Pairs
    idlers: tuple[Sizes, ...]
    design: np.ndarray

    @property
    def count(self) -> int:
        """Pulleys of the loop."""
        return len(self.slots)


def patterns_of(problem: Problem) -> tuple[Pattern, ...]:
    """Return every way to string the loop.

    Raises
    ------
    NothingCanWork
        If no pair of sizes gives the required speed, or no loop the required direction.
    """
    both = {1: (True,), -1: (False,), 0: (True, False)}[problem.turns]
    found: list[Pattern] = []
    for same in both:
        inside = problem.driver.inside == same
        flat = (
            problem.driven.flat if inside == problem.driven.inside else not inside and problem.belt.family != "double-V"
        )
        pairs = pairs_of(problem, inside, flat)
        for idlers in range(problem.idlers_most + 1):
            for slots in _orders(problem, idlers):
                for sides in product((True, False), repeat=idlers):
                    pattern = _pattern(problem, slots, sides, inside=inside, flat=flat, pairs=pairs)
                    if pattern is not None:
                        found.append(pattern)
    if not found:
        raise NothingCanWork(_why_none(problem))
    return tuple(found)


def _orders(problem: Problem, idlers: int):
    """Yield the slots of every order of ``idlers`` placed idlers among the kept ones."""
    strands = [[f"kept {k}" for k, a in enumerate(problem.after) if a == strand] for strand in (0, 1)]
    if idlers == 0:
        # Without a placed idler only moving centres, or a belt that fits as it stands, can close the loop.
        if not problem.kept and problem.takeup not in SPRUNG:
            yield ("driver", "driven")
        return
    base = ["driver", *strands[0], "driven", *strands[1]]
    seen = set()
    for first in range(1, len(base) + 1):
        one = base[:first] + ["idler 0"] + base[first:]
        if problem.takeup in SPRUNG and one.index("idler 0") > one.index("driven"):
            continue
        for second in range(1, len(one) + 1) if idlers == 2 else (None,):
            slots = tuple(one if second is None else one[:second] + ["idler 1"] + one[second:])
            if slots not in seen:
                seen.add(slots)
                yield slots


def _pattern(problem: Problem, slots, sides, *, inside: bool, flat: bool, pairs: Pairs) -> Pattern | None:
    on_inside, on_flat = [], []
    for slot in slots:
        one = problem.pulley_at(slot)
        if one is None:
            on_inside.append(sides[int(slot.split()[1])])
            # On the outside only a double-V belt has a groove to run in.
            on_flat.append(not on_inside[-1] and problem.belt.family != "double-V")
        else:
            on_inside.append(inside if slot == "driven" else one.inside)
            on_flat.append(flat if slot == "driven" else one.flat)
    if sum(on_inside) < 2:
        return None
    driven = slots.index("driven")
    free = tuple(sorted((i for i, s in enumerate(slots) if s.startswith("idler")), key=lambda i: slots[i]))
    back = [i for i in free if not on_inside[i]]
    if not problem.bends_both_ways and any(i > driven for i in back):
        return None
    sizes = []
    for i in free:
        keep = problem.idler_sizes
        if i in back and not problem.bends_both_ways:
            keep = keep[keep >= _least_on_back(problem) - 1e-9]
        elif not on_flat[i]:
            keep = keep[_thick_enough(problem, keep, problem.driver.measured_as)]
        if not len(keep):
            return None
        sizes.append(
            problem.on_lines(
                keep, "outside" if on_flat[i] else problem.driver.measured_as, flat=on_flat[i], inside=on_inside[i]
            )
        )
    return Pattern(
        slots=tuple(slots),
        inside=np.array(on_inside),
        flat=np.array(on_flat),
        driven=driven,
        free=free,
        moves=free[0] if free else None,
        pairs=pairs,
        idlers=tuple(sizes),
        design=_design(problem, on_inside, driven, pairs),
    )


def _least_on_back(problem: Problem) -> float:
    """Return the smallest idler, m, that may bend a belt backwards which is not made for it."""
    return BACK_IDLER * min(problem.driver_sizes.min(), problem.driven_sizes.min())


def _design(problem: Problem, inside: list[bool], driven: int, pairs: Pairs) -> np.ndarray:
    """Power times service factor for each pair, the idlers counted as the capacity page counts them.

    Strands up to the driven pulley are slack, those behind it tight. Without a factor or a load class it is the power.
    """
    strands = SimpleNamespace(strand_role=np.where(np.arange(len(inside)) < driven, -1, 1))
    names = [str(k) for k in range(len(inside))]
    loop = SimpleNamespace(name=problem.stage, pulleys=SimpleNamespace(names=names, inside=inside, powered=(0, driven)))
    # the factor goes in steps with the ratio: once below them all, once on each
    steps, factors = np.array(sorted(SPEEDS_UP)), []
    for ratio in (1.0, *steps):
        found = service_of(Reader(problem.build), loop, strands, ratio)
        factors.append(1.0 if found is None else found.likely)
    ratios = pairs.driver.r / pairs.driven.r * (1.0 + SAME)
    return problem.power * np.array(factors)[np.searchsorted(steps, ratios, side="right")]


def _thick_enough(problem: Problem, sizes: np.ndarray, line: str) -> np.ndarray:
    """Tell which sizes are not far under the section's smallest pulley."""
    pitch = 2 * problem.on_lines(sizes, line, flat=False, inside=True).r
    return pitch - (problem.belt.pitch_minus_reference or 0.0) >= SMALL_PULLEY * problem.belt.min_pulley


def pairs_of(problem: Problem, inside: bool, flat: bool) -> Pairs:
    """Return the pairs of driver and driven sizes that give a required speed with a belt that may run so fast.

    Raises
    ------
    NothingCanWork
        If there is none, with the nearest.
    """
    first = problem.on_lines(
        problem.driver_sizes, problem.driver.measured_as, flat=problem.driver.flat, inside=problem.driver.inside
    )
    last = problem.on_lines(problem.driven_sizes, problem.driven.measured_as, flat=flat, inside=inside)
    a, b = (k.ravel() for k in np.meshgrid(np.arange(len(first.r)), np.arange(len(last.r)), indexing="ij"))
    driver, driven = first.at(a), last.at(b)
    system = problem.build.system
    speed = problem.speed * driver.r / driven.r * (1.0 - problem.creep)
    fast = problem.top_speed * driver.r <= problem.rim_speed * (1 + 1e-9)
    thick = _thick_enough(problem, driver.size, problem.driver.measured_as) | problem.driver.flat
    thick &= _thick_enough(problem, driven.size, problem.driven.measured_as) | flat
    if not (fast & thick).any():
        raise NothingCanWork(
            f"every size is too fast or too small for {problem.belt.name} belts. The belt and its rims may run at "
            f"{show(problem.rim_speed, 'surface speed', system)} at most, and no pulley may be far under "
            f"{show(problem.belt.min_pulley, 'length', system)}"
        )
    good = fast & thick
    if problem.window is not None:
        low, high = problem.window
        right = (speed >= low * (1 - 1e-9)) & (speed <= high * (1 + 1e-9))
        if not (good & right).any():
            off = np.where(good, np.maximum(low / speed, speed / high), np.inf)
            k = int(np.argmin(off))
            # a little inside the window, so that the size, rounded as it is shown, still gives it
            room = 0.01 * (high - low)
            aim = min(max(speed[k], low + room), high - room)
            better = show(2 * driven.r[k] * speed[k] / aim, "length", system)
            raise NothingCanWork(
                f"no pair of sizes turns the driven shaft at {show(low, 'rotation', system)} to "
                f"{show(high, 'rotation', system)}. The nearest, {show(driver.size[k], 'length', system)} with "
                f"{show(driven.size[k], 'length', system)}, gives {show(speed[k], 'rotation', system)}. Add a driven "
                f"pulley of about {better} pitch diameter"
            )
        good &= right
    driver, driven = driver.at(good), driven.at(good)
    return Pairs(driver, driven, _rated(problem, driver, driven))


def _rated(problem: Problem, driver: Sizes, driven: Sizes) -> np.ndarray:
    """Rated power of one belt at half a turn and its base length, W; inf where no rating covers it."""
    rated = np.full(len(driver.r), np.inf)
    for k, (a, b) in enumerate(zip(driver.r, driven.r, strict=True)):
        small, large = min(a, b), max(a, b)
        found = basic_power(problem.belt, 2 * small, problem.speed * a / small, large / small)
        if found is not None:
            rated[k] = found[0] + found[1]
    return rated


def _why_none(problem: Problem) -> str:
    if problem.turns and (problem.turns < 0) == problem.driver.inside and problem.idlers_most == 0:
        return (
            "the driven shaft cannot turn that way without an idler. The driven pulley is then outside the loop, and "
            "the loop needs another pulley inside it. Allow at least one idler"
        )
    if problem.idlers_most == 0:
        return f"with a {problem.takeup} the loop needs an idler to take the belt up. Allow at least one"
    if not problem.bends_both_ways:
        inside, back = (
            show(least, "length", problem.build.system)
            for least in (SMALL_PULLEY * problem.belt.min_pulley, _least_on_back(problem))
        )
        return (
            f"no idler size that is listed may be used. An idler inside the loop must be {inside} or more, and one on "
            f"the back of a {problem.belt.name} belt {back} or more. "
            f"{belt_rules.back_bend(problem.belt).why.capitalize()}"
        )
    return "no idler size that is listed is large enough for the section"


__all__ = ["BACK_IDLER", "Pairs", "Pattern", "pairs_of", "patterns_of"]
