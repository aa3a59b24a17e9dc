"""One persistent figure that is moved rather than redrawn from nothing.

A subject's view makes its artists once in ``compose`` and moves them in ``update``. The axes'
furniture (grid, ticks, names) is rendered once and reused while it does not change: on the machine
it was measured on, that halves the time from a slider to its picture.
"""

from __future__ import annotations

import io
import re
from abc import ABC, abstractmethod
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from copy import copy
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from matplotlib.artist import Artist
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle
from PIL import Image

from jackshaft.drawing import style
from jackshaft.drawing.svg import rendered, scoped, themed
from jackshaft.results.checks import STOP, SYMBOLS

#: What a picture and its results say once the inputs have moved on.
OLD = "old: does not match the inputs"
#: The widths that a picture is drawn for: that of a page, and that of a phone.
WIDTHS = ("wide", "phone")
Placed = TypeVar("Placed")
_BANNERS = {
    "stop": (style.BANNER, "#ffffff", f"{SYMBOLS[STOP]} does not work: "),
    "old": ("#3a444c", "#ffffff", OLD),
}


@dataclass(frozen=True)
class Candidate:
    """A pinned design, as a view overlays it: its letter, its picture, and how its lines are drawn."""

    letter: str
    picture: object
    colour: str
    dashes: tuple[float, ...]


def view_name(kind: str, part: str) -> str:
    """Return a name for the view of a part, whatever letters its builder called it by.

    Parameters
    ----------
    kind : str
        What the view is: small letters and hyphens.
    part : str
        Name of the part; letters beyond plain Latin go by their code, so that two parts seldom share a name.
    """
    plain = (c if re.match(r"[a-z0-9]", c) else "-" if c.isascii() else f"u{ord(c):x}" for c in part.lower())
    return f"{kind}-{''.join(plain)}"


class View(ABC):
    """A figure that follows a result.

    A subclass gives ``compose`` (make every artist once), ``update`` (move them) and ``alt`` (say in
    words what is drawn now, with its numbers; it is also what a browser test reads).

    Parameters
    ----------
    name : str
        Short name, unique on a page: letters, digits, hyphens.
    """

    #: Width and height in inches.
    size: tuple[float, float] = (7.2, 4.8)
    #: The same where it is drawn for a phone: letters keep their size, so that less stands side by side.
    phone: tuple[float, float] = (3.8, 3.8)
    #: Whether it can be drawn for a phone at all; else a phone shows it as for a page, to be swiped.
    has_phone = True
    #: Whether the record shows it as wide as its page.
    whole_page = False
    #: Whether this is the view that is drawn for a phone.
    narrow = False

    def __init__(self, name: str):
        if not re.fullmatch(r"[a-z][a-z0-9-]*", name):
            raise ValueError(f"a view's name takes small letters, digits and hyphens; found {name!r}")
        self.name = name
        self._twin: View | None = None
        self._make()

    def _make(self) -> None:
        self._ground: tuple[object, str] | None = None
        self._banner_words = ""
        self._drawn: tuple = ()
        with style.drawing(self.name):
            self.figure: Figure = style.new_figure(*self.size)
            self.compose(self.figure)
            self._add_banner()

    def by_width(self, wide: Placed, narrow: Placed) -> Placed:
        """Return what holds for the width that is drawn for: a place, a count of letters, a text.

        Parameters
        ----------
        wide, narrow : object
            For a page, and for a phone.
        """
        return narrow if self.narrow else wide

    @abstractmethod
    def compose(self, figure: Figure) -> None:
        """Make every artist once, with fixed limits.

        Parameters
        ----------
        figure : Figure
            The empty figure; keep the top ``style.BAND`` inches free of anything that must be read.
        """

    @abstractmethod
    def update(self, picture: object, pinned: Sequence[Candidate] = ()) -> None:
        """Move the artists to a result, and overlay the pinned candidates.

        Parameters
        ----------
        picture : object
            What the outcome carries for this view.
        pinned : sequence of Candidate, optional
            Designs to draw as dashed lines in their own colours, with their letters.
        """

    @abstractmethod
    def alt(self) -> str:
        """Return in words what is drawn now, with its main numbers."""

    def draw(self, picture: object, pinned: Sequence[Candidate] = (), *, stop: str = "", old: bool = False) -> None:
        """Update the figure and set its banner.

        Parameters
        ----------
        picture : object
            What the outcome carries for this view.
        pinned : sequence of Candidate, optional
            Designs to overlay.
        stop : str, optional
            Why the design does not work; empty when it does.
        old : bool, optional
            Whether the picture no longer matches the inputs.
        """
        self._drawn = (picture, pinned, stop, old)
        with style.drawing(self.name):
            self.update(picture, pinned)
        self.stamp(stop=stop, old=old)

    def stamp(self, *, stop: str = "", old: bool = False) -> None:
        """Set the banner across the figure without moving anything else.

        Parameters
        ----------
        stop : str, optional
            Why the design does not work; empty when it does.
        old : bool, optional
            Whether the picture no longer matches the inputs; this is shown first.
        """
        kind = "old" if old else "stop" if stop else ""
        for artist in self._banner:
            artist.set_visible(bool(kind))
        self._banner_words = ""
        if not kind:
            return
        back, front, words = _BANNERS[kind]
        words = words if old else words + stop
        self._banner_words = words.removeprefix(f"{SYMBOLS[STOP]} ")
        room = self.size[0] - 0.3
        for size, lines in ((11.0, 1), (9.0, 2), (7.5, 2)):
            text, fits = style.wrap(words, room, size, lines)
            if fits:
                break
        band, frame, written = self._banner
        band.set_facecolor(back)
        frame.set_edgecolor(back)
        written.set(text=text, color=front, fontsize=size)

    def describe(self) -> str:
        """Return the alternative text: the banner's words, if any, then what is drawn."""
        return f"{self._banner_words.rstrip('.')}. {self.alt()}" if self._banner_words else self.alt()

    def svg(self) -> str:
        """Return the figure as SVG text that may stand in a page with others."""
        with style.drawing(self.name):
            key = self._furniture_key()
            if self._ground is None or self._ground[0] != key:
                with self._only(furniture=True):
                    self._ground = (key, rendered(self.figure))
            ground = self._ground[1]
            with self._only(furniture=False):
                moving = rendered(self.figure)
        head = ground[: ground.rindex("</svg>")]
        inside = moving[moving.index(">", moving.index("<svg")) + 1 :]
        return scoped(head + inside, self.name)

    def html(self, widths: Sequence[str] = WIDTHS) -> str:
        """Return what was drawn last, as HTML for a panel, in the colours of the page's theme.

        Of a picture that is drawn for both widths the page's style shows the one that fits; one alone is shown as it
        is, so that nothing is blank until the other is drawn.

        Parameters
        ----------
        widths : sequence of str, optional
            Which of :data:`WIDTHS` the page shows.
        """
        alone = " jk-alone" if len(widths) == 1 else ""
        if self.has_phone:
            drawn = {"wide": self.svg, "phone": self._phone}
            svgs = {width: themed(drawn[width]()) for width in widths}
        else:
            svgs = dict.fromkeys(widths, themed(self.svg()))
        return "".join(f'<div class="jk-{width}{alone}">{svg}</div>' for width, svg in svgs.items())

    def vectors(self) -> tuple[str, str]:
        """Return what was drawn last as SVG, for a page and for a phone; empty where it has no form for one."""
        return self.svg(), self._phone() if self.has_phone else ""

    def phone_png(self, *, dpi: int) -> bytes:
        """Return what was drawn last as PNG, drawn for a phone where it has such a form."""
        if not self.has_phone:
            return self.png(dpi=dpi)
        self._phone()
        return self._twin.png(dpi=dpi)

    def _phone(self) -> str:
        """Return what was drawn last as SVG for a phone."""
        if self._twin is None:
            self._twin = copy(self)
            self._twin.narrow, self._twin.size, self._twin.name = True, self.phone, f"{self.name}-phone"
            self._twin._make()
        picture, pinned, stop, old = self._drawn
        self._twin.draw(picture, pinned, stop=stop, old=old)
        return self._twin.svg()

    def maps(self) -> dict[str, tuple[float, float, float, float]]:
        """Return how places of the drawing lie in the picture, for a page and for a phone; empty without a plane.

        Each is (a, b, c, d): a place (x, y) lies at the share a + b x of the width, and c + d y of the height from
        the top.
        """
        both = {"wide": self, "phone": self._twin}
        return {name: _map(view.axes) for name, view in both.items() if view is not None and hasattr(view, "axes")}

    def png(self, *, dpi: int = 180, colours: int = 64) -> bytes:
        """Return the figure as a small palette PNG.

        Parameters
        ----------
        dpi : int, optional
            Dots an inch.
        colours : int, optional
            Size of the palette.
        """
        with style.drawing(self.name):
            self.figure.dpi = dpi
            canvas = FigureCanvasAgg(self.figure)
            canvas.draw()
            pixels = np.asarray(canvas.buffer_rgba())[..., :3]
        image = Image.fromarray(np.ascontiguousarray(pixels))
        image = image.quantize(colours, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
        out = io.BytesIO()
        image.save(out, "PNG", optimize=True)
        return out.getvalue()

    def _add_banner(self) -> None:
        height = style.BAND / self.size[1]
        across = self.figure.transFigure
        band = Rectangle((0, 1 - height), 1, height, transform=across, linewidth=0, zorder=90)
        frame = Rectangle((0, 0), 1, 1, transform=across, fill=False, linewidth=5, zorder=91)
        self.figure.add_artist(band)
        self.figure.add_artist(frame)
        written = self.figure.text(
            0.5, 1 - height / 2, "", ha="center", va="center", fontweight="bold", zorder=92, parse_math=False
        )
        self._banner = (band, frame, written)
        for artist in self._banner:
            artist.set_visible(False)

    def _furniture_key(self) -> tuple:
        """What the axes' furniture looks like depends on this alone."""
        names = ("visible", "xlabel", "ylabel")
        # axes that are off show neither scale nor grid
        scales = ("xlim", "ylim", "xscale", "yscale")
        return tuple(
            (
                *(getattr(axes, f"get_{name}")() for name in (*names, *(scales if axes.axison else ()))),
                *(axes.get_title(loc=place) for place in ("left", "center", "right")),
                # a box that keeps its scale is worked out anew each time, and may come out another last digit
                *np.round(axes.get_position().bounds, 6),
                axes.axison,
            )
            for axes in self.figure.axes
        )

    @contextmanager
    def _only(self, *, furniture: bool) -> Iterator[None]:
        """Hide, for a while, everything but the axes' furniture, or that furniture."""
        hidden = [a for a, is_furniture in self._artists() if a.get_visible() and is_furniture != furniture]
        for artist in hidden:
            artist.set_visible(False)
        try:
            yield
        finally:
            for artist in hidden:
                artist.set_visible(True)

    def _artists(self) -> Iterator[tuple[Artist, bool]]:
        axes = set(self.figure.axes)
        for artist in self.figure.get_children():
            if artist not in axes:
                yield artist, artist is self.figure.patch
                continue
            drawn = {
                *artist.lines,
                *artist.patches,
                *artist.texts,
                *artist.collections,
                *artist.images,
                *artist.tables,
                *artist.artists,
                *artist.child_axes,
                artist.get_legend(),
            }
            for part in artist.get_children():
                yield part, part not in drawn


def _map(axes) -> tuple[float, float, float, float]:
    """Return how the plane of axes lies in its figure, as :meth:`View.maps` says."""
    part, (x0, x1), (y0, y1) = axes.get_position(), axes.get_xlim(), axes.get_ylim()
    across, up = part.width / (x1 - x0), part.height / (y1 - y0)
    return float(part.x0 - across * x0), float(across), float(1.0 - part.y0 + up * y0), float(-up)
