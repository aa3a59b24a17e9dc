"""What lets a loop carry its load and last: belts, pulleys, section and tension together, with the belt that fits."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from itertools import islice
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.buildfile.naming import named
from jackshaft.chapters.capacity import rated
from jackshaft.chapters.capacity.data import StageCapacity
from jackshaft.chapters.capacity.grooves import printed_angle, standard_groove
from jackshaft.chapters.capacity.service import OWN, table_factor
from jackshaft.chapters.capacity.uses import unguided
from jackshaft.chapters.grip.cases import tension_key
from jackshaft.chapters.grip.cures import MANY, more_belts, where
from jackshaft.chapters.grip.tension import LIKE
from jackshaft.chapters.layout.checks import SMALL_PULLEY
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import belt_rules
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.parts.belt_changes import SAME_RATIO, Pair, beside, on_hand, pairs, pulley_key, sized, with_belt
from jackshaft.parts.belt_stage import belts_of, lines_of, section_row
from jackshaft.parts.listed_sizes import SizesError, read_sizes
from jackshaft.parts.load_at_speed import carried
from jackshaft.parts.tightener import with_lever
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.failing import Failing
from jackshaft.units import INCH, OutOfRange, read, write_nominal

#: Belts side by side that are offered at the most, how many of them are not offered last, and how many choices of a
#: section are tried. More than three seldom share a load evenly; common practice, no source.
BELTS, FEW, CHOICES = 4, 3, 6

#: Sections that run in grooves of the same series, weakest first; others are offered from the same line.
LADDERS = (("A", "B", "C", "D"), ("AX", "BX", "CX"), ("3V", "5V", "8V"), ("SPZ", "SPA", "SPB", "SPC"), ("4L", "5L"))

#: The wrapped classical section of the size of a cogged one, and of a narrow one.
WRAPPED = {"AX": "A", "BX": "B", "CX": "C", "SPA": "A", "SPB": "B", "SPC": "C"}

#: Steps of a tension, and of a flat idler's rim, inch and metric.
TENSION, RIM = ("1 lbf", "5 N"), ("1/2 in", "10 mm")


class Choice(NamedTuple):
    """Belts, pulleys and section that carry the load by a first guess."""

    belts: int
    pair: Pair
    section: belt_lengths.Section


def _both(failing: Failing) -> tuple[StageLayout | None, StageCapacity | None]:
    return failing.item("layout"), failing.item("capacity")


def _power(failing: Failing) -> Iterator[Proposal]:
    """Yield belts, pulleys and sections that carry the load at the bad end; the fewest parts to buy come first."""
    layout, stage = _both(failing)
    if layout is None or stage is None or not layout.speed:
        return
    few = max(FEW, stage.belts)
    mine = list(islice(_choices(failing, layout, stage, layout.belt), 2 * CHOICES))
    # belts beside those that are there come before larger pulleys, many of them too
    first = [c for c in mine if c.belts <= few or not c.pair.bought]
    yield from (_proposal(failing, layout, stage, c) for c in first)
    many = [c for c in mine if c not in first]
    for belt in _stronger(layout.belt):
        found = list(islice(_choices(failing, layout, stage, belt), CHOICES // 2))
        yield from (_proposal(failing, layout, stage, c) for c in found if c.belts <= few)
        many += [c for c in found if c.belts > few]
    yield from (_proposal(failing, layout, stage, c) for c in many)


def _stronger(belt: belt_lengths.Section) -> Iterator[belt_lengths.Section]:
    """Yield the next stronger sections of the belt's own line."""
    ladder = next((one for one in LADDERS if belt.name in one), (belt.name,))
    for name in ladder[ladder.index(belt.name) + 1 :][:2]:
        yield belt_lengths.section(name, belt.system)


def _choices(
    failing: Failing, layout: StageLayout, stage: StageCapacity, belt: belt_lengths.Section
) -> Iterator[Choice]:
    """Yield what carries the load with one section, cheapest first; for each pair of pulleys the fewest belts."""
    p, same = layout.pulleys, belt.name == layout.belt.name
    if not same and p.flat[list(p.powered)].any():
        return
    now = Pair(0, 0, 2 * float(p.pitch[p.driver]), 2 * float(p.pitch[p.driven]), 0)
    one, found = _factors(layout, stage), []
    # down to this a small pulley is a caution, under it a stop that more belts do not mend
    least = SMALL_PULLEY * belt.min_pulley + (belt.pitch_minus_reference or 0.0)
    for pair in pairs(failing, stage.name, p, least=least, added=None if same else _added(failing, layout, belt)):
        if abs(pair.ratio / now.ratio - 1.0) > SAME_RATIO or min(pair.pitch_driver, pair.pitch_driven) < least - 1e-9:
            continue
        if same and min(pair.pitch_driver, pair.pitch_driven) < min(now.pitch_driver, now.pitch_driven) * (1 - 1e-9):
            continue
        power = one * _worst(belt, pair, layout.speed / now.pitch_driver * pair.pitch_driver)
        if power <= 0.0:
            continue
        belts = max(int(np.ceil(stage.design_bad / power - 1e-9)), 1 if same else stage.belts)
        if belts <= max(BELTS, stage.belts) and not (same and belts < stage.belts):
            found.append(Choice(belts, pair, belt))
    # the least size for each number of belts, then the others; many belts come last
    found.sort(
        key=lambda c: (
            c.belts > max(FEW, stage.belts) and c.pair.bought > 0,
            c.pair.bought,
            c.belts,
            c.pair.pitch_driver + c.pair.pitch_driven,
        )
    )
    first, rest, seen = [], [], set()
    for choice in found:
        (rest if choice.belts in seen else first).append(choice)
        seen.add(choice.belts)
    yield from first
    yield from rest


def _factors(layout: StageLayout, stage: StageCapacity) -> float:
    """Return the factors of arc and length as they are, the first guess for what they will be."""
    if stage.rated is not None:
        return stage.rated.arc * stage.rated.length
    return 0.9


def _added(failing: Failing, layout: StageLayout, belt: belt_lengths.Section) -> float:
    """Return the pitch diameter of a grooved pulley of a section, less its size in the line the builder measures."""
    p, at = layout.pulleys, f"stage[{layout.name}]"
    line = failing.reader.get(f"{at}.pulley[{p.names[p.driver]}].measured_as")
    row = tables.table("belt_sections").one(section=belt.name, system=belt.system)
    size = max(belt.min_pulley, 0.01)
    return float(lines_of(size, line, row, flat=False, inside=True)[0]) - size


def _worst(belt: belt_lengths.Section, pair: Pair, speed: float) -> float:
    """Return what one belt carries at the bad end of the ratings, W, before arc and length; 0 where not known."""
    small, large = sorted((pair.pitch_driver, pair.pitch_driven))
    faster, ratio = 2.0 * speed / small, large / small
    try:
        found = rated.basic_power(belt, small, faster, ratio)
    except OutOfRange:
        return 0.0
    if found is None:
        return 0.0
    return rated.band(found[0] + found[1], rated.older_power(belt.name, small, faster, ratio))[0]


def _proposal(failing: Failing, layout: StageLayout, stage: StageCapacity, choice: Choice) -> Proposal:
    """Return one choice as changes: pulleys, belts, section, the tension that they need, the belt that fits."""
    at, p = f"stage[{stage.name}]", layout.pulleys
    changes, fitted = sized(failing, stage.name, p, choice.pair)
    words = [f"take section {choice.section.name}"] if choice.section.name != layout.belt.name else []
    if words:
        changes[f"{at}.section"] = choice.section.name
    words.append(fitted)
    if choice.belts != stage.belts:
        grown, side_by_side = beside(p, stage.name, choice.belts, stage.belts)
        changes |= grown
        words.append(side_by_side)
        words.append(_held(failing, layout, choice.belts, changes))
    changes, belt = with_belt(failing, stage.name, changes)
    return Proposal(orders(*words, belt), changes)


def _held(failing: Failing, layout: StageLayout, belts: int, changes: dict[str, str]) -> str:
    """Put the spring's tension for so many belts into the changes; return its words, empty where it is set per belt."""
    grip = failing.item("grip")
    if grip is None or grip.hold is None or not grip.sprung:
        return ""
    text = failing.up(grip.hold * belts / grip.belts, "force", *TENSION)
    changes[tension_key(layout, grip.way)] = text
    return f"let the idler hold {text} in all"


def _life(failing: Failing) -> Iterator[Proposal]:
    """Yield less tension down to what the work needs at the bad end, then more belts, then larger pulleys."""
    layout, grip = failing.item("layout"), failing.item("grip")
    if layout is None:
        return
    if grip is not None and grip.hold is not None:
        share = 1 if grip.sprung else grip.belts
        worst = max((case.needed_bad for case in (grip.case(n) for n in ("work", "start", "peak")) if case), default=0)
        for over in (1.25, 1.1, 1.0):
            text = failing.up(over * worst / share, "force", *TENSION)
            if over * worst < grip.loading:
                by, words = with_lever(failing.reader, grip, share * read(text, "force").si, lower=True)
                yield Proposal(
                    f"Set the tension to {text} {where(grip)}{words}.", {tension_key(layout, grip.way): text, **by}
                )
    have = belts_of(failing.reader, f"stage[{layout.name}]")
    grown = [beside(layout.pulleys, layout.name, n, have) for n in range(have + 1, BELTS + 1)]
    more = [Proposal(orders(words), changes) for changes, words in grown]
    yield from more
    yield from _scaled(failing, layout, grow=True)


def _pull(failing: Failing) -> Iterator[Proposal]:
    """Yield what spares the belt for its life, and on locked centres more belts, each with less tension."""
    yield from _life(failing)
    grip = failing.item("grip")
    if grip is not None and not grip.sprung:
        hardest = max((case for case in map(grip.case, ("work", "start", "peak")) if case), key=lambda c: c.needed_bad)
        yield from more_belts(failing, hardest.name)
        yield from more_belts(failing, hardest.name, MANY)


def _flex(failing: Failing) -> Iterator[Proposal]:
    """Yield smaller pulleys of the same ratio: the belt runs slower over them."""
    layout = failing.item("layout")
    if layout is not None:
        yield from _scaled(failing, layout, grow=False)


def _scaled(failing: Failing, layout: StageLayout, *, grow: bool) -> Iterator[Proposal]:
    """Yield larger or smaller pairs of pulleys of the same ratio, the nearest first, with the belt that fits."""
    p, belt = layout.pulleys, layout.belt
    now = Pair(0, 0, 2 * float(p.pitch[p.driver]), 2 * float(p.pitch[p.driven]), 0)
    least = belt.min_pulley + (belt.pitch_minus_reference or 0.0)
    found = []
    for pair in pairs(failing, layout.name, p, least=least):
        scale = pair.pitch_driver / now.pitch_driver
        if abs(pair.ratio / now.ratio - 1) <= SAME_RATIO and (scale > 1.01 if grow else scale < 0.99):
            found.append((pair.bought, abs(np.log(scale)), pair))
    for _, _, pair in islice(sorted(found), CHOICES):
        changes, words = sized(failing, layout.name, p, pair)
        changes, bought = with_belt(failing, layout.name, changes)
        yield Proposal(orders(words, bought), changes)


def _idlers(failing: Failing) -> Iterator[Proposal]:
    """Yield idlers that are large enough: on hand, then those that the search may take, then in steps.

    Each is moved back by what its radius grows, so that the belt keeps its way, or else stays where it is.
    """
    layout = failing.item("layout")
    if layout is None:
        return
    wants = _wanted(failing, layout)
    free = sorted({*on_hand(failing, layout.name), *_listed(failing, layout.name)})
    for over in (1.0, 1.1, 1.25):
        for moved in (True, False):
            changes, words = {}, []
            for k, need in wants.items():
                name = layout.pulleys.names[k]
                mine = next((s for s in free if s >= over * need * (1 - 1e-9)), None)
                size = over * need if mine is None else mine
                text = failing.up(size, "length", *RIM) if mine is None else write_nominal(mine, failing.build.system)
                changes[pulley_key(layout.name, name)] = text
                words.append(f"fit {named('idler', name)} with a diameter of {text}")
                if moved:
                    words.append(_back(failing, layout, k, read(text, "length").si, changes))
            if changes:
                changes, bought = with_belt(failing, layout.name, changes)
                yield Proposal(orders(*words, bought), changes)


def _listed(failing: Failing, stage: str) -> tuple[float, ...]:
    """Return the idler sizes, m, that the builder lists for the search; none where the list cannot be read."""
    text = failing.reader.get(f"stage[{stage}].search.idler_sizes") or ""
    with suppress(SizesError):
        return tuple(float(v) for v in read_sizes(str(text), failing.reader.system))
    return ()


def _wanted(failing: Failing, layout: StageLayout) -> dict[int, float]:
    """Return the size, m, in the builder's own line, that each idler must have that is too small now."""
    p = layout.pulleys
    smallest = 2 * float(min(p.outside[list(p.powered)]))
    limits, wants = tables.table("belt_limits"), {}
    rows = tables.table("belt_idlers").where(section=LIKE.get(layout.belt.name, layout.belt.name)).rows
    for k in layout.idlers:
        back = not p.inside[k] and layout.belt.family != "double-V"
        share = limits.one(item=f"{'back' if back else 'inside'} idler over smallest sheave")["low"]
        least = rows[0]["back_flat_in" if back else "inside_grooved_in"] if rows else None
        need = max(share * smallest, (least or 0.0) * INCH)
        if 2 * p.outside[k] < need * (1 - 1e-9):
            wants[k] = need + failing.reader.si(pulley_key(layout.name, p.names[k])) - 2 * float(p.outside[k])
    return wants


def _back(failing: Failing, layout: StageLayout, k: int, size: float, changes: dict[str, str]) -> str:
    """Put the place of an idler of another size into the changes, so that the belt keeps its way; return its words."""
    name, here = layout.pulleys.names[k], f"stage[{layout.name}].pulley[{layout.pulleys.names[k]}]"
    if not layout.places.given:
        return ""
    centre = np.array([layout.places.x[k], layout.places.y[k]])
    arc = 0.5 * (layout.end[k - 1] + layout.start[k]) - centre
    grown = 0.5 * (size - failing.reader.si(pulley_key(layout.name, name)))
    x, y = centre - grown * arc / np.hypot(*arc)
    for axis, at in (("x", x), ("y", y)):
        changes[f"{here}.{axis}"] = failing.up(at, "length", "1/16 in", "1 mm")
    return f"put its centre at x {changes[f'{here}.x']}, y {changes[f'{here}.y']}"


def _grooved(layout: StageLayout) -> Iterator[Proposal]:
    """Yield grooves for the pulley, or the pulleys, that may not be flat."""
    p, bare = layout.pulleys, unguided(layout)
    small = min((p.driver, p.driven), key=lambda k: p.pitch[k])
    for names in dict.fromkeys(((p.names[small],), tuple(bare))) if bare else ():
        changes = {f"stage[{layout.name}].pulley[{name}].surface": "groove" for name in names}
        which = " and ".join(named("pulley", n) for n in names)
        words = f"Turn a groove for each belt into {which} in a lathe, to the table of grooves."
        yield Proposal(words, changes, clears=True)


def _wrapped(failing: Failing) -> Iterator[Proposal]:
    """Yield the wrapped classical belt of the same size: as it is sold, and of the length that is on now."""
    layout = failing.item("layout")
    if layout is not None and failing.check.id.startswith("capacity.bottom-on-flat"):
        yield from _grooved(layout)
    name = None if layout is None else WRAPPED.get(layout.belt.name)
    if name is not None:
        section = {f"stage[{layout.name}].section": name}
        changes, bought = with_belt(failing, layout.name, section)
        yield Proposal(orders(f"take a wrapped belt of section {name}", bought), changes)
        if bought and layout.fits is False:
            # The length is wrong today too, which is the length check's matter and not mended here.
            yield Proposal(orders(f"take a wrapped belt of section {name} in place of the {layout.belt.name}"), section)


def _clutching(failing: Failing) -> Iterator[Proposal]:
    """Yield a belt made for it, of a wrapped section where the one that is on has none."""
    layout, words = failing.item("layout"), "that its maker calls fit for clutching, and fit a keeper at each pulley"
    if layout is None:
        return
    fit = {f"stage[{layout.name}].clutching_belt": "yes"}
    if belt_rules.clutching(layout.belt).allowed is None:
        yield Proposal(f"Take a wrapped belt of section {layout.belt.name} {words}.", fit)
    for proposal in _wrapped(failing):
        yield Proposal(orders(proposal.words, f"take one {words}"), {**proposal.changes, **fit})


def _crossed(failing: Failing) -> Iterator[Proposal]:
    """Yield the same belt open."""
    changes, bought = with_belt(failing, failing.part, {f"stage[{failing.part}].crossed": "no"})
    yield Proposal(orders("run the belt open, not crossed", bought), changes, clears=True)


def _service(failing: Failing) -> Iterator[Proposal]:
    """Yield the table's factor, from its low end."""
    found = table_factor(failing.reader)
    if found is None:
        return
    for value in (found.low, found.high):
        yield Proposal(f"Design with a service factor of {value:g}, as the table has it.", {OWN: f"{value:g}"})


#: What is read off a groove, and of a new pulley not yet.
READINGS = "groove_angle", "groove_top_width", "ride_out"


def _angle(failing: Failing) -> Iterator[Proposal]:
    """Yield the groove turned to the angle that the section needs on a pulley of its size, and a pulley as it is sold.

    An angle that was not seen in print is nothing to cut by: there a pulley that is bought brings the right one.
    """
    stage, _, name = failing.part.partition(", ")
    here = f"stage[{stage}].pulley[{name}]"
    section, layout = section_row(failing.reader, f"stage[{stage}]"), (failing.data("layout") or {}).get(stage)
    if section is None:
        return
    row = None if layout is None else standard_groove(layout, section, name)
    if row is not None and row["angle_deg"] is not None and printed_angle(row):
        text = f"{row['angle_deg']:g} deg"
        yield Proposal(f"Turn the groove of {named('pulley', name)} to {text}.", {f"{here}.groove_angle": text})
    words = f"Fit a new {named('pulley', name)} of the same size with a groove made for {section['section']} belts."
    yield Proposal(words, dict.fromkeys((f"{here}.{k}" for k in READINGS), ""), clears=True)


def _worn(failing: Failing) -> Iterator[Proposal]:
    """Yield a new pulley, of which no reading is taken yet."""
    stage, _, name = failing.part.partition(", ")
    key = f"stage[{stage}].pulley[{name}].ride_out"
    yield Proposal(f"Fit a new {named('pulley', name)} of the same size.", {key: ""}, clears=True)


PROPOSALS = carried(
    {
        "capacity.power": _power,
        "capacity.life": _life,
        "grip.pull": _pull,
        "capacity.flex": _flex,
        "capacity.idlers": _idlers,
        "capacity.bottom-on-flat": _wrapped,
        "capacity.clutching": _clutching,
        "capacity.crossed": _crossed,
        "capacity.service-factor": _service,
        "capacity.groove-angle": _angle,
        "capacity.groove-wear": _worn,
    }
)

__all__ = ["BELTS", "PROPOSALS"]
