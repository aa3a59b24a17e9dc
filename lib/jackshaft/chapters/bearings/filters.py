"""Whether a size goes into its place and does what is wanted of it: room, seal, speed, load, hours."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from jackshaft.chapters.bearings.life import equivalent, speed_limits
from jackshaft.chapters.bearings.rating import tabulated
from jackshaft.chapters.bearings.shown import hours_words
from jackshaft.mechanics import bearing_limits, bearing_sizes, bearings, inserts
from jackshaft.parts import seldom
from jackshaft.results.checks import reaches, stays_within
from jackshaft.units import HOUR, show

SLACK = 1e-6  # m; a size of just the room goes in

LISTED = 6  # sizes that a filter left out, by number; more are counted

#: The filters in the order in which they are applied, and what each is called.
FILTERS = ("room outside", "room along the shaft", "seal", "speed", "life", "static load", "load along the shaft")


class Wish(NamedTuple):
    """What is asked of a bearing, in SI units; None where nothing is asked.

    ``radial`` and ``axial`` are the loads at work, N, ``top`` the largest load across it, ``once`` the
    largest that comes seldom, ``speed`` the highest speed, ``work_speed`` the one its life is reckoned at, rad/s,
    ``life`` the life wanted, s; ``a1`` and ``dirt`` the shares of the life left for the reliability and at the bad
    end outdoors.
    """

    closure: str | None = None
    room_outside: float | None = None
    room_width: float | None = None
    speed: float | None = None
    work_speed: float | None = None
    radial: float | None = None
    axial: float = 0.0
    top: float | None = None
    life: float | None = None
    shock: float = 1.0
    a1: float = 1.0
    dirt: float = 1.0
    static_wanted: float = 1.0
    once: float = 0.0


@dataclass
class Judged:
    """One size held against a wish.

    ``fails`` are (filter, words) that exclude it, ``doubts`` what holds at the likely value only, ``unknown``
    what could not be judged; ``rating`` holds the ratings, ``limit`` is the speed limit, rad/s, ``life`` in s.
    """

    size: object
    rating: bearings.Ratings | None = None
    limit: float | None = None
    life: float | None = None
    fails: list[tuple[str, str]] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)

    @property
    def words(self) -> str:
        """The verdict in words: yes, no with reasons, or what is not known."""
        if self.fails:
            return "no: " + "; ".join(f"{name}, {words}" for name, words in self.fails)
        if self.doubts:
            return "likely: " + "; ".join(self.doubts)
        return "not known: " + "; ".join(self.unknown) if self.unknown else "yes"


def judge(size, wish: Wish, system: str) -> Judged:
    """Hold a size against a wish.

    Parameters
    ----------
    size : Size
        From the catalogue of sizes.
    wish : Wish
        What is asked.
    system : str
        inch or metric, for the words.
    """
    one = Judged(size, tabulated(size))
    for name, has, room in (
        ("room outside", size.od, wish.room_outside),
        ("room along the shaft", size.width, wish.room_width),
    ):
        if room is not None and has > room + SLACK:
            one.fails.append((name, f"{show(has, 'length', system)} into {show(room, 'length', system)}"))
    if wish.closure is not None and size.capped not in (None, wish.closure != "open"):
        how = "open" if wish.closure == "open" else "with shields or seals"
        one.fails.append(("seal", f"{how} this size is of another width"))
    _speed(one, wish, system)
    _load(one, wish, system)
    return one


def _speed(one: Judged, wish: Wish, system: str) -> None:
    if bearing_sizes.is_insert(one.size):
        _insert_speed(one, wish, system)
        return
    if one.size.kind == "wide":
        if wish.speed is not None:
            one.unknown.append("no speed rule here for two rows: ask the maker")
        return
    # where nobody asks for a closure, seals that touch are the bad end
    free, one.limit = speed_limits(one.size, wish.closure)
    if wish.speed is None or stays_within(wish.speed, one.limit):
        return
    words = f"{show(wish.speed, 'rotation', system)} over {show(one.limit, 'rotation', system)}"
    if stays_within(wish.speed, free):
        one.doubts.append(f"too fast for touching seals, {words}")
    else:
        one.fails.append(("speed", words))


def _insert_speed(one: Judged, wish: Wish, system: str) -> None:
    """Judge an insert by the limits of its bar: the finest is that of the bearing, h9 what drawn bar is sold as."""
    code = one.size.size_code
    one.limit, drawn = (float(inserts.insert_speed.si(code, c)) for c in ("h6", "h9"))
    if wish.speed is None or stays_within(wish.speed, drawn):
        return
    if stays_within(wish.speed, one.limit):
        one.doubts.append(f"above {show(drawn, 'rotation', system)} it wants finer bar than h9")
    else:
        words = f"{show(wish.speed, 'rotation', system)} over {show(one.limit, 'rotation', system)}"
        one.fails.append(("speed", words))


def _load(one: Judged, wish: Wish, system: str) -> None:
    if wish.radial is None and wish.axial == 0:
        return
    if one.rating is None:
        one.unknown.append("no rating is tabulated, take it from the maker")
        return
    radial, static = wish.radial or 0.0, one.rating.static
    load, _ = equivalent(radial, wish.axial, static)
    if load is None:
        one.unknown.append("no f0 is tabulated for its load along the shaft")
        return
    if wish.axial:
        most = float(bearing_limits.axial_limit.si(static.value, one.size.bore, one.size.series))
        if not stays_within(wish.axial, most):
            words = f"{show(wish.axial, 'force', system)} over {show(most, 'force', system)}"
            one.fails.append(("load along the shaft", words))
    top = max(wish.top or 0.0, radial) * wish.shock
    if static is not None and (top > 0 or wish.axial > 0):
        safety = float(bearing_limits.static_safety.si(top, wish.axial * wish.shock, static.value))
        if not reaches(safety, 1.0):
            one.fails.append(("static load", f"safety {safety:.2f}, under 1"))
        elif not reaches(safety, wish.static_wanted):
            one.doubts.append(f"static safety {safety:.2f}, wanted {wish.static_wanted:g}")
    if static is not None and wish.once > 0:
        safety = float(bearing_limits.static_safety.si(wish.once, wish.axial, static.value))
        if not seldom.holds(safety):
            one.doubts.append(f"static safety {safety:.2f} in a moment that comes seldom")
    if wish.work_speed:
        _life(one, wish, load)
    elif wish.life is not None:
        one.unknown.append("how fast it turns")


def _life(one: Judged, wish: Wish, load: float) -> None:
    if load == 0:
        one.life = float("inf")
        one.doubts.append("loaded too little to roll without skidding")
        return
    found = bearings.life.si(one.rating.dynamic, load, wish.work_speed, shock=wish.shock)
    one.life = life = wish.a1 * float(found.hours) * HOUR
    if not found.in_range:
        one.fails.append(("life", "loaded above half of C"))
    elif wish.life is None:
        one.unknown.append("how long it must last")
    elif not reaches(life, wish.life):
        one.fails.append(("life", f"{hours_words(life)}, wanted {hours_words(wish.life)}"))
    elif not reaches(life * wish.dirt, wish.life):
        one.doubts.append(f"life {hours_words(life)}, but {hours_words(life * wish.dirt)} at the bad end")
    if found.skids:
        one.doubts.append("loaded too little to roll without skidding")


def judge_all(wish: Wish, system: str, *, insert: bool = False, collar: bool = False, **limits) -> list[Judged]:
    """Hold every listed size within limits against a wish, smallest first; ``limits`` as for ``choose``.

    ``insert`` takes the inserts instead of the bearings of one row that are pressed on, ``collar`` those with an
    eccentric collar.
    """
    sizes = bearing_sizes.choose.si(**limits)
    sizes = [s for s in sizes if (bearing_sizes.is_insert(s) if insert else s.kind != "wide")]
    judged = [judge(s.over_collar() if collar else s, wish, system) for s in sizes]
    return sorted(judged, key=lambda one: (one.size.od, one.size.width))


def excluded(judged: Iterable[Judged], filters: tuple[str, ...] = FILTERS) -> tuple[tuple[str, str], ...]:
    """Return what each filter left out: (filter, the sizes by number), each size under its first reason."""
    out: dict[str, list[str]] = {}
    for one in judged:
        first = next((name for name, _ in one.fails if name in filters), None)
        if first is not None:
            out.setdefault(first, []).append(one.size.designation)
    return tuple(
        (name, ", ".join(out[name][:LISTED]) + (f" and {len(out[name]) - LISTED} more" * (len(out[name]) > LISTED)))
        for name in filters
        if name in out
    )
