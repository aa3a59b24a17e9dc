"""Whether a size goes into its place and does what is wanted of it: room, seal, speed, load, hours."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from jackshaft.chapters.bearings.life import usable
from jackshaft.chapters.bearings.shown import hours_words
from jackshaft.mechanics import bearing_limits, bearing_sizes, bearings
from jackshaft.units import at_most, show

SLACK = 1e-6  # m; a size of just the room goes in

#: The filters in the order in which they are applied, and what each is called.
FILTERS = ("room outside", "room along the shaft", "seal", "speed", "life", "static load", "load along the shaft")


class Wish(NamedTuple):
    """What is asked of a bearing, in SI units; None where nothing is asked.

    ``radial`` and ``axial`` are the loads at work, N, ``top`` the largest load across it, ``speed`` the highest
    speed, ``work_speed`` the one its life is reckoned at, rad/s, ``hours`` the life wanted, s; ``a1`` and
    ``dirt`` the shares of the life left for the reliability and at the bad end outdoors.
    """

    closure: str | None = None
    room_outside: float | None = None
    room_width: float | None = None
    speed: float | None = None
    work_speed: float | None = None
    radial: float | None = None
    axial: float = 0.0
    top: float | None = None
    hours: float | None = None
    shock: float = 1.0
    a1: float = 1.0
    dirt: float = 1.0
    static_wanted: float = 1.0


class Judged(NamedTuple):
    """One size held against a wish.

    ``fails`` are (filter, words) that exclude it, ``doubts`` what holds at the likely value only, ``unknown``
    what could not be judged; ``rating`` is C, N, ``limit`` the speed limit, rad/s, ``life`` in s.
    """

    size: object
    rating: float | None
    limit: float | None
    life: float | None
    fails: tuple[tuple[str, str], ...]
    doubts: tuple[str, ...]
    unknown: tuple[str, ...]

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
    fails, doubts, unknown = [], [], []
    for name, has, room in (
        ("room outside", size.od, wish.room_outside),
        ("room along the shaft", size.width, wish.room_width),
    ):
        if room is not None and has > room + SLACK:
            fails.append((name, f"{show(has, 'length', system)} into {show(room, 'length', system)}"))
    if wish.closure is not None and size.capped not in (None, wish.closure != "open"):
        fails.append(
            (
                "seal",
                "with shields or seals this size is another width"
                if wish.closure != "open"
                else "open this size is another width",
            )
        )
    limit = _speed(size, wish, system, fails, doubts, unknown)
    rating = _ratings(size)
    life = _load(size, rating, wish, system, fails, doubts, unknown)
    return Judged(
        size, None if rating is None else rating.dynamic, limit, life, tuple(fails), tuple(doubts), tuple(unknown)
    )


def _speed(size, wish: Wish, system: str, fails: list, doubts: list, unknown: list) -> float | None:
    if size.kind == "wide":
        if wish.speed is not None:
            unknown.append("no speed rule here for two rows or inserts: ask the maker")
        return None
    # what closes it is not asked for: then seals that touch are the bad end
    limit = float(bearing_limits.speed_limit.si(size.bore, size.od, wish.closure or "sealed", series=size.series))
    if wish.speed is None or at_most(wish.speed, limit):
        return limit
    words = f"{show(wish.speed, 'rotation', system)} over {show(limit, 'rotation', system)}"
    free = float(bearing_limits.speed_limit.si(size.bore, size.od, "open", series=size.series))
    if wish.closure is None and at_most(wish.speed, free):
        doubts.append(f"too fast for touching seals, {words}")
    else:
        fails.append(("speed", words))
    return limit


def _load(size, rating, wish: Wish, system: str, fails: list, doubts: list, unknown: list) -> float | None:
    if wish.radial is None and wish.axial == 0:
        return None
    if rating is None:
        unknown.append("no rating is tabulated, take it from the maker")
        return None
    radial = wish.radial or 0.0
    load = radial
    if wish.axial:
        if not usable(rating.static):
            unknown.append("no f0 is tabulated for its load along the shaft")
            return None
        load = float(bearings.equivalent_load.si(radial, wish.axial, static=rating.static).load)
        most = float(bearing_limits.axial_limit.si(rating.static.value, size.bore, size.series))
        if wish.axial > most:
            fails.append(
                ("load along the shaft", f"{show(wish.axial, 'force', system)} over {show(most, 'force', system)}")
            )
    top = max(wish.top or 0.0, radial) * wish.shock
    if rating.static is not None and (top > 0 or wish.axial > 0):
        safety = float(bearing_limits.static_safety.si(top, wish.axial * wish.shock, rating.static.value))
        if safety < 1:
            fails.append(("static load", f"safety {safety:.2f}, under 1"))
        elif safety < wish.static_wanted:
            doubts.append(f"static safety {safety:.1f}, wanted {wish.static_wanted:g}")
    if not wish.work_speed:
        if wish.hours is not None:
            unknown.append("how fast it turns")
        return None
    found = bearings.life.si(rating.dynamic, load, wish.work_speed, shock=wish.shock)
    life = wish.a1 * float(found.hours)
    if not found.in_range:
        fails.append(("life", "loaded above half of C"))
    elif wish.hours is None:
        unknown.append("how long it must last")
    elif life < wish.hours:
        fails.append(("life", f"{hours_words(life)}, wanted {hours_words(wish.hours)}"))
    elif life * wish.dirt < wish.hours:
        doubts.append(f"life {hours_words(life)}, but {hours_words(life * wish.dirt)} at the bad end")
    if found.skids:
        doubts.append("loaded too little to roll without skidding")
    return life


def _ratings(size):
    try:
        return bearings.ratings(size.designation)
    except ValueError:
        return None


def judge_all(wish: Wish, system: str, **limits) -> list[Judged]:
    """Hold every listed size within limits against a wish, smallest first; ``limits`` as for ``choose``."""
    judged = (judge(s, wish, system) for s in bearing_sizes.choose.si(**limits) if s.kind != "wide")
    return sorted(judged, key=lambda one: (one.size.od, one.size.width))


def excluded(judged: Iterable[Judged], most: int = 6) -> tuple[tuple[str, str], ...]:
    """Return what each filter left out: (filter, the sizes by number), each size under its first reason."""
    out: dict[str, list[str]] = {}
    for one in judged:
        if one.fails:
            out.setdefault(one.fails[0][0], []).append(one.size.designation)
    return tuple(
        (name, ", ".join(out[name][:most]) + (f" and {len(out[name]) - most} more" if len(out[name]) > most else ""))
        for name in FILTERS
        if name in out
    )


__all__ = ["FILTERS", "Judged", "Wish", "excluded", "judge", "judge_all"]
