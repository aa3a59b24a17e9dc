"""What the chapter finds: the links of the drive, what could not be made a link, and the load cases."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

#: Kinds of link whose giving hurts nothing but the link, for it was made to give.
MEANT = ("shear pin", "slip clutch", "clutch slip")

#: Those of them that are there to guard the rest in a jam, as their links are called too.
GUARDS = ("shear pin", "slip clutch")

#: Joints that hold by friction: their torque scatters, and a hub that slips spoils its shaft.
SLIPS = ("set screws", "split hub", "flange")


class Link(NamedTuple):
    """One link: the torque (N m) it gives at on its own ``shaft``, and the same on the reference shaft.

    ``low`` and ``high`` are the ends of its band, None where it has none; ``gives`` says in shop words what happens
    then; ``limit`` is True for a source of torque (the engine), which gives nothing up. ``part`` is where the build
    names it; ``standing`` is its least and its likely torque where the drive hardly turns yet, None where that makes
    no difference and its shaft starts as hard as the engine. ``peak`` is the same at the peak load, where its shaft
    peaks harder than the engine or shafts that one belt drives peak differently. ``after`` are the belt stages between
    the engine and it, as the build names them, and ``passes`` the shafts that the torque has come through before its
    own. ``share`` is the part of its shaft's load that it carries, likely and at the most: in a jam it may carry all.
    ``branch`` is the part of the whole machine's load that its shaft, or its belt, takes at work: less than all of it
    where the drive parts. ``untold`` are the keys without which that is not known; it is then taken to be all.
    """

    name: str
    kind: str
    shaft: str
    likely: float
    gives: str
    source: str
    part: str
    low: float | None = None
    high: float | None = None
    limit: bool = False
    standing: tuple[float, float] | None = None
    peak: tuple[float, float] | None = None
    after: tuple[str, ...] = ()
    passes: tuple[str, ...] = ()
    share: tuple[float, float] = (1.0, 1.0)
    branch: float = 1.0
    untold: tuple[str, ...] = ()

    @property
    def meant(self) -> bool:
        """Whether it is made to give."""
        return self.kind in MEANT

    @property
    def breaks(self) -> bool:
        """Whether something is hurt when it gives."""
        return not self.limit and not self.meant and self.kind != "belt slip"

    @property
    def goes(self) -> str:
        """What a guard does as it gives."""
        return "slips" if self.kind == "slip clutch" else "shears"

    def under(self, case: str) -> Link:
        """Return it as the load of the whole machine finds it at the start, at the peak or at work.

        What starts or peaks harder gives at less of that load, and what carries a share of its shaft's at more.
        """
        low, likely = {"start": self.standing, "peak": self.peak}.get(case) or (self.low, self.likely)
        part, most = (share * self.branch for share in self.share)
        if part == most == 1.0:
            return self._replace(low=low, likely=likely)
        return self._replace(low=low / most, likely=likely / part, high=self.high / part)


class Left(NamedTuple):
    """A part that the build names and that is no link yet: where the build names it, why, and the keys it lacks.

    ``counts`` is False for a part whose torque decides nothing here, such as one off the way to the work.
    """

    name: str
    part: str
    why: str
    keys: tuple[str, ...] = ()
    counts: bool = True


#: What a source of links yields.
Found = Iterator[Link | Left]


class Slipping(NamedTuple):
    """The clutch while it slips, torques on the reference shaft in N m.

    ``now`` with its faces as they are and ``run_in`` with run-in ones, both hot; ``most`` what a cold run-in one
    likely pulls at the most and ``top`` the upper end of that. ``load`` is what the work takes meanwhile, ``after``
    the share of all inertia that is the work's own, which turns after pin and joints, None where it is not known;
    ``work`` is the shaft of the work. ``magnetic`` tells whether it has a coil. ``what``
    slips, in words, ``state`` in what state that is judged by, ``strongest`` and ``most_state`` in what state it pulls
    its most; ``part`` is where the build names belts that are the clutch themselves.
    """

    shaft: str
    now: float
    run_in: float
    most: float
    top: float
    load: float
    after: float | None
    work: str | None
    magnetic: bool = True
    what: str = "the clutch"
    state: str = " hot and run in"
    strongest: str = "Cold and run in"
    most_state: str = "Cold, run in and at full voltage"
    part: str = ""


def steady(value: float) -> float:
    """Return a number without what rounding may have left in it, so that equal parts keep their order in any unit."""
    return float(f"{value:.9g}")


class CaseFound(NamedTuple):
    """One load case: its torque on the reference shaft (N m, None where it has no end), and what gives in it."""

    name: str
    torque: float | None
    gives: str
    meant: str
    verdict: str


class ChainData(NamedTuple):
    """The links on ``shaft``, weakest first, those left out, with the working and the peak torque (N m).

    ``shared`` names the belts that drive several shafts: what is after them is taken as loaded in step. ``surge`` is
    what a motor brings at the most as it starts the work with no clutch between, None for another engine. ``works`` are
    the shafts of the work, each with the shafts on the way to it, itself among them.
    """

    shaft: str
    links: tuple[Link, ...]
    working: float | None
    peak: float | None
    sure: bool
    start: float | None = None
    left: tuple[Left, ...] = ()
    slipping: Slipping | None = None
    shared: tuple[str, ...] = ()
    surge: float | None = None
    works: tuple[tuple[str, tuple[str, ...]], ...] = ()

    def open_works(self, guard: Link) -> tuple[str, ...]:
        """Return the shafts of the work that do not turn through a guard, where one shaft of the work does."""
        none = guard.shaft == self.shaft
        return () if none else tuple(name for name, way in self.works if guard.shaft not in way)

    @property
    def giving(self) -> list[Link]:
        """The links that can give, weakest first: all but the sources of torque."""
        return [link for link in self.links if not link.limit]

    @property
    def lacking(self) -> list[Left]:
        """The parts left out whose torque might change a verdict."""
        return [part for part in self.left if part.counts]

    @property
    def missing(self) -> tuple[str, ...]:
        """The keys that the parts left out lack."""
        return tuple(dict.fromkeys(key for part in self.lacking for key in part.keys))

    @property
    def guards(self) -> list[Link]:
        """What is there to give in a jam, that first which surely gives at the least."""
        return sorted((link for link in self.links if link.kind in GUARDS), key=lambda link: steady(link.high))

    @property
    def guard(self) -> Link | None:
        """The shear pin or slip clutch that guards the rest, or None."""
        return next(iter(self.guards), None)

    def beside(self, link: Link, guard: Link) -> float:
        """Return what a link before a guard carries besides, N m at work: what other shafts take while one jams."""
        before = not link.limit and (link.shaft in guard.passes or link.part in guard.after)
        return max(link.branch - guard.branch, 0.0) * (self.working or 0.0) if before else 0.0

    def of_kind(self, kind: str) -> Link | None:
        """Return the weakest link of a kind, or None."""
        return next((link for link in self.links if link.kind == kind), None)


__all__ = ["GUARDS", "MEANT", "SLIPS", "CaseFound", "ChainData", "Found", "Left", "Link", "Slipping"]
