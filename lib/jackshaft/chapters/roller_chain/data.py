"""What the roller chain chapter finds, in SI units."""

from __future__ import annotations

from math import asin, ceil, cos, radians, sin
from typing import NamedTuple

from jackshaft.mechanics.roller_chain import ChainPath, ChainRating, SprocketSizes
from jackshaft.parts.chain_stage import ChainStage

#: A chain's slack is taken up by an idler.
IDLER = "idler sprocket"
#: From this lean against level a strand counts as upright, deg: common practice, no source.
UPRIGHT = 80.0


class ChainLoad(NamedTuple):
    """What a chain passes: power (W) and speed of the small sprocket (rad/s) at work, pull of the tight strand at work
    and at the peak (N; None where the peak is not known), chain speed (m/s), pull at the start (N, likewise)."""

    power: float
    turning: float
    pull: float
    peak: float | None
    speed: float
    start: float | None = None


def even_links(pitches: float) -> int:
    """Return the least even number of links that so many pitches take; a rounding error is forgiven."""
    return 2 * ceil((pitches - 1e-9) / 2.0)


class Idler(NamedTuple):
    """The idler sprocket in a chain: its teeth, and its middle from the driver's (m, to the right and up)."""

    teeth: int
    x: float
    y: float


class ChainData(NamedTuple):
    """One chain: ``centres`` as the build has them, ``straight`` those at which its ``links`` are just straight.

    ``path`` is at the centres as they are; ``movement`` what the middle of the slack strand moves up plus down there,
    None where the links or the centres are not known, nan where the chain does not reach. ``strand_factor`` is the
    rating of all strands over that of one. ``toward`` is the direction from driver to driven, ``turn`` that of the
    driver. ``idler`` is the idler sprocket where its teeth and its place are known, ``lacks`` names the keys without
    which its share of a known power is not known.
    """

    stage: ChainStage
    sizes: tuple[SprocketSizes, SprocketSizes] | None
    centres: float | None
    links: int | None
    straight: float | None
    path: ChainPath | None
    movement: float | None
    slack: tuple[float, float]
    rating: ChainRating | None
    strand_factor: float
    load: ChainLoad | None
    toward: float | None
    turn: int
    idler: Idler | None = None
    lacks: tuple[str, ...] = ()

    @property
    def idler_side(self) -> int | None:
        """1 where the idler stands left of the way from driver to driven, -1 right of it; None where not known."""
        if self.idler is None or self.toward is None:
            return None
        return 1 if self.idler.y * cos(self.toward) >= self.idler.x * sin(self.toward) else -1

    @property
    def needed(self) -> int | None:
        """The even number of links that the centres as they are take, a little slack with them; None if not known."""
        if self.path is None:
            return None
        return even_links(float(self.path.pitches))

    @property
    def rated(self) -> float | None:
        """Rated power of all strands at work, W; None where it is not known."""
        return None if self.rating is None else float(self.rating.power) * self.strand_factor

    @property
    def wrap(self) -> float | None:
        """Wrap of the smaller sprocket, rad."""
        return None if self.path is None else float(self.path.wrap_small)

    @property
    def toward_pull(self) -> float | None:
        """Direction of the tight strand's pull on the driver, rad; None where the directions are not known."""
        if self.toward is None or not self.turn or self.path is None:
            return None
        sizes = self.stage.diameters
        return self.toward + self.turn * asin((sizes[1] - sizes[0]) / (2.0 * self.centres))

    @property
    def slack_above(self) -> bool | None:
        """Whether the slack strand is the upper one; None where the directions are not known or it stands upright."""
        if self.toward is None or not self.turn:
            return None
        lean = cos(self.toward) * self.turn
        return None if abs(lean) < cos(radians(UPRIGHT)) else lean < 0
