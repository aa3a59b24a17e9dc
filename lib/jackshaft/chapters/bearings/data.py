"""What the chapter found, as plain records in SI units."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from jackshaft.mechanics import bearing_id, bearing_marks, bearings, fits, seats
from jackshaft.mechanics.bearing_sizes import Size
from jackshaft.parts.seldom import Largest, largest
from jackshaft.parts.shaft_loads import CASES, ShaftLoads
from jackshaft.results.checks import Fact
from jackshaft.results.findings import Findings
from jackshaft.units import HOUR

#: Shock that a bearing may feel, at the bad end, where none is given: belts and rough work need 1.2 to 1.5,
#: textbook-practice.
SHOCK = 1.5
#: The same as is likely, the low end of that; work that is said to run evenly has none.
LIKELY_SHOCK = 1.2
#: The same under work that shakes hard, or of which nobody says how hard: common practice, no source.
HEAVY_SHOCK = 2.5
#: Load along the shaft over that across it, at the bad end, where none is given: with pulleys and sprockets, and with
#: a gear, a friction roller or a gearbox, whose teeth may be cut aslant. Common practice, no source.
ALONG, ALONG_GEARED = 0.1, 0.35


class Identity(NamedTuple):
    """What one bearing was measured to be.

    ``readings`` and ``shaft`` are what was read; ``found`` ranks the sizes, None where nothing was
    measured; ``size`` is the one that later figures take, ``how`` says from where, and ``rivals`` are the
    sizes that the readings leave open, ``size`` among them.
    """

    name: str
    readings: dict[str, bearing_id.Reading]
    shaft: bearing_id.Reading | None
    found: bearing_id.Identification | None
    size: Size | None
    how: str
    rivals: tuple[Size, ...]
    marking: bearing_marks.Marking | None

    @property
    def best(self) -> bearing_id.Candidate | None:
        """The candidate of the readings that is the size taken; None where nothing was read or it is none of them."""
        candidates = () if self.found is None else self.found.candidates
        return next((c for c in candidates if c.size == self.size), None)


class Rating(NamedTuple):
    """Ratings that the life rests on: C, the least C that the readings leave open, C0, N, and from where.

    ``static_words`` says of which generation C0 is and why; ``modern`` is a C0 of the newer generation, for the
    film in the grease; ``other`` is C0 as if it were of the other generation, where the build does not say which.
    """

    dynamic: float
    least: float
    static: bearings.StaticRating | None
    words: str
    source: str
    static_words: str = ""
    modern: float | None = None
    other: bearings.StaticRating | None = None


class ShaftReactions(NamedTuple):
    """One shaft on its bearings: ``carried`` is what each bearing carries, N, shape (3 cases, bearings, 2).

    ``more`` holds the same, (bearings, 2), of every other case by its name.
    """

    shaft: str
    bearings: tuple[str, ...]
    at: np.ndarray
    loads: ShaftLoads
    carried: np.ndarray
    more: Mapping[str, np.ndarray] = MappingProxyType({})


class Carried(NamedTuple):
    """What a bearing carries, N, shape (3 cases, 2); ``against`` where it points against the shaft's main load.

    ``known`` says how a load of its own is known; it is empty for what its shaft puts on it. ``more`` holds the
    force (2,) of every other case by its name, ``unsure`` the keys without which a harder case may be left out.
    """

    force: np.ndarray
    against: bool
    known: str = ""
    more: Mapping[str, np.ndarray] = MappingProxyType({})
    unsure: tuple[str, ...] = ()

    @property
    def hardest(self) -> tuple[str, float]:
        """The case with the largest load of those that come often, and that load, N; of two alike the first."""
        return self._largest.often

    @property
    def seldom(self) -> tuple[str, float] | None:
        """The same of the cases that last a moment and come seldom; None where there is none."""
        return self._largest.seldom

    def passes_nothing(self, least: float) -> bool:
        """Tell whether the load turns round from what it is at work in another case, or falls below ``least``, N."""
        everywhere = np.array([*self.force, *self.more.values()])
        small = np.hypot(*everywhere.T) < least
        return bool(np.any(small | (everywhere @ self.force[0] < 0.0)))

    @property
    def _largest(self) -> Largest:
        cases = {**dict(zip(CASES, self.force, strict=True)), **self.more}
        return largest({name: float(np.hypot(*f)) for name, f in cases.items()})


class BearingLife(NamedTuple):
    """Load and life of one bearing in SI units; None where it cannot be worked out.

    ``radial`` holds the size of the load at work, at rest and at the peak, N, ``axial`` the load along the shaft,
    ``along`` its share of the load across at the bad end where nobody says it, else None;
    ``load`` is the equivalent load without shock, ``combined`` how it came about where there is a load along the
    shaft; ``life`` the rating life with the shock factor, s, ``life_bad`` at the bad end; ``preloaded`` whether a
    spring washer takes up its play; ``speed_keys`` what tells how fast it turns where that is not known.
    """

    name: str
    size: Size | None
    carried: Carried | None
    radial: np.ndarray | None
    axial: float
    rating: Rating | None
    load: float | None
    speed: float | None
    top_speed: float | None
    shock: float
    life: float | None
    life_bad: float | None
    wanted: float | None
    combined: bearings.EquivalentLoad | None = None
    preloaded: bool = False
    speed_keys: tuple[str, ...] = ()
    shock_known: bool = True
    shock_most: float = HEAVY_SHOCK
    along: float | None = None

    @property
    def axial_bad(self) -> float | None:
        """The load along the shaft at the bad end, N; None where nothing tells it."""
        if self.along is None:
            return self.axial
        return None if self.radial is None else self.along * max(self.top, float(self.radial[0]))

    @property
    def shock_bad(self) -> float:
        """The shock factor that counts at the bad end: its own where it is given."""
        return self.shock if self.shock_known else max(self.shock, SHOCK)

    @property
    def hours(self) -> float | None:
        """The rating life with the shock factor, h."""
        return None if self.life is None else self.life / HOUR

    @property
    def hours_bad(self) -> float | None:
        """The rating life at the bad end, h."""
        return None if self.life_bad is None else self.life_bad / HOUR

    @property
    def signed(self) -> float:
        """The radial load at work, N, negative where it points against the shaft's main load."""
        return float(self.radial[0]) * (-1 if self.carried.against else 1)

    @property
    def top(self) -> float:
        """The largest of the loads across the shaft that come often, N; 0 where none is known."""
        return 0.0 if self.carried is None else self.carried.hardest[1]

    @property
    def once(self) -> float:
        """The largest of the loads across the shaft that come seldom, N; 0 where there is none."""
        hard = None if self.carried is None else self.carried.seldom
        return 0.0 if hard is None else hard[1]


class Seat(NamedTuple):
    """The seats of one bearing in m: limits of shaft, housing and a new ring, and the shaft as measured.

    An insert has no advice on which ring is tight: ``slides`` is the class of the bar that it wants, ``has`` the finest
    class that its bar is known to be of, None where it is not known or of none.
    """

    name: str
    advice: seats.FitAdvice | None = None
    shaft: fits.Limits | None = None
    housing: fits.Limits | None = None
    ring: fits.Limits | None = None
    outer: fits.Limits | None = None
    measured: float | None = None
    slides: str = ""
    has: str | None = None


class Card(NamedTuple):
    """One bearing's fitting card.

    ``ask`` is the marking to ask the counter for, ``with_it`` what to say with it; ``sizes`` are bore, outside
    and width in m; ``rows`` (about, words); ``seats`` (what, class, tight, limits, from nominal, by whom); ``on`` and
    ``off`` the steps in order; ``tight`` the ring that is pressed, empty where none is;
    ``outer`` the outer ring's width in m where it is another.
    """

    bearing: str
    ask: str
    with_it: str
    explained: tuple[str, ...]
    size: str
    sizes: tuple[float, float, float]
    closed: bool
    grooved: bool
    tight: str
    rows: tuple[tuple[str, str], ...]
    seats: tuple[tuple[str, ...], ...]
    on: tuple[str, ...]
    off: tuple[str, ...]
    cautions: tuple[str, ...]
    outer: float | None = None


class BearingsData(NamedTuple):
    """What the chapter found: identity, seat and life of each bearing by name, and each shaft's reactions.

    ``cards`` holds each bearing's fitting card, or the words that say why it has none yet; ``facts`` the facts of
    each bearing, without its name. ``heavy`` is what was found with the parts that nobody weighed as heavy as they may
    be, ``weights`` those, kg, by their keys.
    """

    identity: dict[str, Identity]
    seats: dict[str, Seat]
    lives: dict[str, BearingLife]
    shafts: dict[str, ShaftReactions]
    cards: dict[str, Card | str]
    facts: dict[str, tuple[Fact, ...]]
    heavy: Findings | None = None
    weights: Mapping[str, float] = MappingProxyType({})
