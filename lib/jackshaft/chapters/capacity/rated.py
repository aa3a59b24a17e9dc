"""What one belt carries by the published ratings, with its corrections, and the sizes that would carry a load."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.grip.tension import LIKE
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.mechanics import rating, twopulley
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import INCH, first_least

#: Sections whose length factor is that of another by their size; light-duty belts have none.
LENGTH_LIKE = {section: like for section, like in LIKE.items() if not section.endswith("L")}

#: What a flat rim grips, as the standard's arc-factor table implies.
FLAT_RIM = 0.29


#: The source of a rating that the builder looked up at the maker of the belt.
MAKER = "the belt's maker"

#: By what share pulley and speed may be off those that a maker's rating is for.
NEAR = 0.03


class Rated(NamedTuple):
    """What one belt carries, W: ``basic`` and ``addon`` of the formula, factors, and the corrected ``power``.

    ``low`` and ``high`` are the ends of its band; ``older`` is what the older formula gives, with the same factors,
    None where it does not cover the section.
    ``method`` says in words where it comes from; ``wrap`` is that of the pulley that counts, ``at`` its index.
    """

    basic: float
    addon: float
    arc: float
    length: float
    power: float
    low: float
    high: float
    older: float | None
    small: float
    faster: float
    ratio: float
    wrap: float
    at: int
    method: str
    cite: str

    def number(self, reader: Reader, belts: int = 1, words: str = "{}") -> Number:
        """Return what so many belts carry, as a number with the band of the ratings."""
        low, power, high = (belts * p for p in (self.low, self.power, self.high))
        return reader.number(power, "power", words, low=low, high=high, source=self.cite)

    @property
    def editions(self) -> str:
        """Return in words where the ends of the band come from."""
        if self.cite == MAKER:
            return "as its maker rates it"
        usual = f"±{100 * spread():.0f} %"
        if self.older is None:
            return f"{usual}: editions of the ratings differ"
        return f"from an older edition of the ratings to the later one, {usual} at the least"


class Size(NamedTuple):
    """A pair of pulleys that carries the load with so many belts: pitch diameters and path m, wrap rad, power W."""

    belts: int
    small: float
    large: float
    path: float
    wrap: float
    power: float
    low: float
    usual: bool


def spread() -> float:
    """Return how far editions of the ratings differ, as a share."""
    return tables.table("belt_limits").one(item="rating uncertainty")["likely"] / 100.0


def band(basic: float, older: float | None) -> tuple[float, float]:
    """Return the ends of what a rated power, W, may be: both editions, and the spread of editions at the least."""
    low, high = sorted(basic * (1.0 + sign * spread()) for sign in (-1.0, 1.0))
    return (low, high) if older is None else (min(low, older), max(high, older))


def older_power(section: str, small: float, faster: float, ratio: float) -> float | None:
    """Return what the older formula rates one belt at, W, before its factors; None where it has no constants."""
    row = rating.older_constants(section)
    if row is None:
        return None
    factor = rating.ratio_factor("classical, older", ratio)
    found = rating.rated_power_older_si(small, faster=faster, k=(row["a"], row["c"], row["e"]), factor=factor)
    return float(found)


def length_factor(section: str, datum: float) -> tuple[float, bool]:
    """Return the length factor of a section and whether a table stands behind it; 1 where none does."""
    rows = tables.table("belt_length_factor_fit").where(section=LENGTH_LIKE.get(section, section)).rows
    if not rows:
        return 1.0, False
    return float(
        rating.length_factor.si(datum, base=rows[0]["base_datum_mm"] * 1e-3, exponent=rows[0]["exponent"])
    ), True


def arc_factor(wrap: float, flat: bool) -> float:
    """Return the arc-of-contact factor of one pulley; on a flat rim with the friction that the standard implies."""
    if flat:
        return float(1.25 * (1.0 - np.exp(-FLAT_RIM * wrap)))
    return float(rating.arc_factor.si(wrap))


def basic_power(
    belt: belt_lengths.Section, small: float, faster: float, ratio: float
) -> tuple[float, float, str, str] | None:
    """Return rated power and add-on of one belt, W, how it was found and its source; None where nothing covers it.

    Parameters
    ----------
    belt : Section
        The belt.
    small : float
        Pitch diameter of the smaller pulley, m.
    faster : float
        Speed of the faster shaft, rad/s.
    ratio : float
        Larger over smaller diameter.
    """
    known = rating.constants(belt.name)
    if known is not None and known.form == "four":
        family = "narrow" if known.family == "narrow" else "classical"
        found = rating.rated_power.si(small, faster=faster, k=known.k, factor=rating.ratio_factor(family, ratio))
        like = f", as its half, section {LENGTH_LIKE[belt.name]}" if belt.family == "double-V" else ""
        return float(found.basic), float(found.addon), f"rating formula{like}", known.cite
    if known is not None:
        return (
            float(rating.rated_power_light.si(small, faster=faster, k=known.k)),
            0.0,
            "light-duty rating formula, doubtful constants",
            known.cite,
        )
    older = older_power(belt.name, small, faster, ratio)
    if older is not None:
        return older, 0.0, "older rating formula, the ratio counted in it", rating.older_constants(belt.name).cite
    datum = small - (belt.pitch_minus_reference or 0.0)
    power, within = rating.from_examples(belt.name, datum, faster)
    if not within:
        return None
    how = "between the examples of a printed rating table, no add-on for the ratio"
    return power, 0.0, how, "narrow-sheet-b, rating table"


def rate_at(layout: StageLayout, i: int) -> Rated | None:
    """Rate one belt of a loop that drives several shafts on one of its pulleys, by its own speed and wrap.

    What the ratio adds is for a pulley that is smaller than its partner: the driver for a driven one, the largest
    driven one for the driver.
    """
    p = layout.pulleys
    partner = max(p.pitch[list(p.works)]) if i == p.driver else p.pitch[p.driver]
    return _rate(layout, 2.0 * float(p.pitch[i]), max(float(partner / p.pitch[i]), 1.0), [i])


def rate(layout: StageLayout, said: float | None = None) -> Rated | None:
    """Rate one belt of a loop: on the smaller of the two pulleys with power and the faster of their shafts.

    ``said`` is what the belt's maker rates it at there, W, before the factors for arc and length. The arc factor is
    the capstan law already, scaled to 1 at half a turn; nothing of grip is counted beside it.
    """
    p = layout.pulleys
    small, large = sorted(2.0 * p.pitch[i] for i in (p.driver, p.driven))
    return _rate(layout, float(small), float(large / small), [p.driver, p.driven], said)


def stale(reader: Reader, layout: StageLayout) -> tuple[str, ...]:
    """Return the keys of a maker's rating that is for another pulley or speed, or does not say for which."""
    at, p = f"stage[{layout.name}]", layout.pulleys
    if reader.si(f"{at}.rated_power") is None or not layout.speed:
        return ()
    small = 2.0 * float(min(p.pitch[p.driver], p.pitch[p.driven]))
    now = {f"{at}.rated_power_for": small, f"{at}.rated_power_at": 2.0 * float(layout.speed) / small}
    said = {key: reader.si(key) for key in now}
    return tuple(key for key, is_now in now.items() if said[key] is None or abs(said[key] / is_now - 1.0) > NEAR)


def _rate(
    layout: StageLayout, small: float, ratio: float, pulleys: list[int], said: float | None = None
) -> Rated | None:
    """Rate one belt on a pulley of pitch diameter ``small`` m; the arc is the worst of the pulleys given."""
    p, belt = layout.pulleys, layout.belt
    if belt is None or not layout.speed:
        return None
    # Every rim runs at belt speed, so the smaller pulley is on the faster shaft.
    faster = 2.0 * layout.speed / small
    found = basic_power(belt, small, float(faster), ratio)
    if said is not None:
        found = said, 0.0, "as its maker rates it, what the ratio adds in it", MAKER
    if found is None:
        return None
    basic, addon, method, cite = found
    arcs = {i: arc_factor(float(layout.path.wrap[i]), bool(p.flat[i])) for i in pulleys}
    at = list(arcs)[first_least(list(arcs.values()))]
    factor, _ = length_factor(belt.name, datum_length(layout))
    both = arcs[at] * factor
    old = older_power(belt.name, small, float(faster), ratio) if said is None else None
    low, high = band((basic + addon) * both, None if old is None else old * both)
    if said is not None:
        low = high = basic * both
    return Rated(
        basic,
        addon,
        arc=arcs[at],
        length=factor,
        power=(basic + addon) * both,
        low=low,
        high=high,
        older=None if old is None else old * both,
        small=small,
        faster=float(faster),
        ratio=ratio,
        wrap=float(layout.path.wrap[at]),
        at=at,
        method=method,
        cite=cite,
    )


def datum_length(layout: StageLayout) -> float:
    """Return the length of the belt on its datum line, m: of the one that is on where it fits, else of the path."""
    on = layout.chosen
    return datum_of(layout.belt, on.pitch_length if on is not None and on.fits else float(layout.path.length))


def datum_of(belt: belt_lengths.Section, pitch: float) -> float:
    """Return the length of a belt on its datum line, or on its cord where the section has no datum line; m."""
    if "datum" not in belt_lengths.line_offsets(belt):
        return pitch
    return float(belt_lengths.convert(pitch, belt, have="pitch", want="datum"))


def sizes(
    layout: StageLayout, design: float, *, system: str, least_share: float, most_belts: int = 4
) -> Iterator[Size]:
    """Yield, for one belt and more, the smallest pulleys of the same ratio and centres that carry a load.

    Parameters
    ----------
    layout : StageLayout
        A loop of two pulleys; others yield nothing.
    design : float
        Power times service factor, W.
    system : str
        Grid of sizes: quarter inches, or 5 mm.
    least_share : float
        Smallest pulley over the section's usual minimum that is offered.
    most_belts : int
        Most belts that are offered.
    """
    p, belt = layout.pulleys, layout.belt
    if len(p.names) != 2 or belt is None or p.crossed or p.flat.any():
        return
    ratio = float(max(p.pitch) / min(p.pitch))
    now = 2.0 * float(min(p.pitch))
    faster = 2.0 * layout.speed / now
    step = 0.25 * INCH if system == "inch" else 5e-3
    added = belt.pitch_minus_reference or 0.0
    grid = step * np.arange(
        int(np.ceil((belt.min_pulley * least_share + added) / step - 1e-9)), int(4 * now / step) + 40
    )
    for count in range(1, most_belts + 1):
        for small in grid:
            size = _size(belt, float(small), ratio, layout.centres, faster=faster, count=count)
            if size is not None and size.low >= design:
                yield size
                break


def _size(belt, small: float, ratio: float, centres: float, faster: float, count: int) -> Size | None:
    large = small * ratio
    if 0.5 * (small + large) >= 0.95 * centres:
        return None
    drive = twopulley.two_pulleys.si(centres, first=small, second=large)
    found = basic_power(belt, small, faster, ratio)
    if found is None:
        return None
    wrap, path = float(drive.wrap_first), float(drive.length)
    factor, _ = length_factor(belt.name, datum_of(belt, path))
    both = arc_factor(wrap, False) * factor * count
    power, old = (found[0] + found[1]) * both, older_power(belt.name, small, faster, ratio)
    return Size(
        count,
        small,
        large=large,
        path=path,
        wrap=wrap,
        power=power,
        low=band(power, None if old is None else old * both)[0],
        usual=small - (belt.pitch_minus_reference or 0.0) >= belt.min_pulley - 1e-9,
    )


__all__ = [
    "FLAT_RIM",
    "Rated",
    "Size",
    "arc_factor",
    "band",
    "basic_power",
    "datum_length",
    "length_factor",
    "older_power",
    "rate",
    "rate_at",
    "sizes",
    "spread",
]
