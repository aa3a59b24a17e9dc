"""The hand on a panel: handles over its picture that pulleys are moved by, and keys that stay in the panel."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import anywidget
import traitlets

from jackshaft.buildfile import Build
from jackshaft.ui.model import Outcome


@dataclass(frozen=True)
class Grip:
    """A part of the drawing that can be taken hold of.

    ``words`` say where it is; ``x``, ``y`` and its radius ``r`` are in units of the drawing. One that is ``seen`` has a
    ring of its own, where the drawing shows nothing as large.
    """

    part: str
    label: str
    words: str
    x: float
    y: float
    r: float
    seen: bool = False


@dataclass(frozen=True)
class Stop:
    """A place where a part catches, in units of the drawing, and what that place is."""

    x: float
    y: float
    words: str


@dataclass(frozen=True)
class Held:
    """A part that is held.

    ``land(x, y)`` returns the nearest place where it may be; ``texts(x, y)`` the texts of the controls there;
    ``stops`` are the places where it catches, in their order, and ``without`` is said where there
    are none; ``steps`` how far an arrow key moves it, and with Shift.
    """

    land: Callable[[float, float], tuple[float, float]]
    texts: Callable[[float, float], Mapping[str, str]]
    stops: Sequence[Stop] = ()
    steps: tuple[float, float] = (1.0, 0.1)
    without: str = "No belt that is sold goes on within the take-up."


@dataclass(frozen=True)
class Drag:
    """What can be dragged in a panel's picture: its grips, and what holding one of them means."""

    grips: Callable[[Outcome], Sequence[Grip]]
    hold: Callable[[Build, Outcome, str], Held]


class HandWidget(anywidget.AnyWidget):
    """The page's side of the hand; ``done`` is the number of the last message that was answered."""

    _esm = Path(__file__).with_name("hand.js")

    grips = traitlets.List().tag(sync=True)
    maps = traitlets.Dict().tag(sync=True)
    says = traitlets.Unicode().tag(sync=True)
    done = traitlets.Int(0).tag(sync=True)


class Hand:
    """Takes what the page says of the hand and moves the controls of a panel.

    Parameters
    ----------
    drag : Drag or None
        What can be dragged; without it the hand only keeps the keys.
    panel : Panel
        Whose controls are moved: its ``state``, ``dragged()`` to show what came of a move, and ``shown_at()`` to draw
        the picture for the widths that the page shows it at.
    """

    #: A part catches at a stop within this share of the drawing's width.
    CATCH = 0.012
    #: What lies within this share of it is one place: fields are written in thousandths.
    SAME = 2e-4

    def __init__(self, drag: Drag | None, panel):
        self.widget = HandWidget()
        self._drag, self._panel = drag, panel
        self._held: Held | None = None
        self._part = ""
        self._before: Mapping[str, str] = {}
        #: which width of the picture each place on a page shows
        self._shown: dict[str, str] = {}
        self.widget.on_msg(self._told)

    def show(self) -> None:
        """Put the handles where the picture has them now."""
        outcome = self._panel.outcome
        if self._drag is None or outcome is None or outcome.picture is None:
            return
        self.widget.maps = self._panel.view.maps()
        self.widget.grips = [vars(grip) for grip in self._drag.grips(outcome)]

    def _told(self, _widget, message: Mapping[str, object], _buffers) -> None:
        if message["do"] == "shows":
            view, which = str(message["view"]), str(message["which"])
            self._shown = {v: w for v, w in self._shown.items() if v != view} | ({view: which} if which else {})
            if self._shown:  # one that nobody sees any more is not drawn anew
                self._panel.shown_at(self._shown.values())
            return
        try:
            self._panel.dragged(lambda: self._texts(message))
        finally:
            # the page waits for an answer to each message
            self.widget.done = max(self.widget.done, int(message.get("n", 0)))

    def _texts(self, message: Mapping[str, object]) -> Mapping[str, str]:
        """Return the texts that a message asks for; none where nothing is moved."""
        do, part = message["do"], str(message["part"])
        if do == "cancel":
            texts, self._held, self._part = self._before, None, ""
            self.widget.says = "Back where it was." if texts and not message.get("still") else ""
            return texts
        if self._held is None or part != self._part or do == "take":
            self._take(part)
        grip = self._grip(part)
        if grip is None or self._held is None or do == "take":
            return {}
        place = self._wish(grip, message)
        texts = {} if place is None else self._held.texts(*place)
        if do == "drop":
            self._held, self._part = None, ""
        return texts

    def _take(self, part: str) -> None:
        state = self._panel.state
        self._part, self._held = part, self._drag.hold(state.trial, state.outcome, part)
        grip = self._grip(part)
        self._before = {} if grip is None else {id: state.texts[id] for id in self._held.texts(grip.x, grip.y)}
        self.widget.says = ""

    def _grip(self, part: str) -> Grip | None:
        return next((g for g in self._drag.grips(self._panel.state.outcome) if g.part == part), None)

    def _wish(self, grip: Grip, message: Mapping[str, object]) -> tuple[float, float] | None:
        """Return the place that a message asks for, on a stop where it is near one."""
        held = self._held
        if message["do"] == "stop":
            return self._next_stop(grip, int(message["way"]))
        if message["do"] == "key":
            step = held.steps[bool(message["fine"])]
            return held.land(grip.x + step * message["dx"], grip.y + step * message["dy"])
        x, y = held.land(float(message["x"]), float(message["y"]))
        near = min(held.stops, key=lambda s: (s.x - x) ** 2 + (s.y - y) ** 2, default=None)
        if near is not None and (near.x - x) ** 2 + (near.y - y) ** 2 <= (self.CATCH * self._width) ** 2:
            self.widget.says = near.words
            return near.x, near.y
        self.widget.says = ""
        return x, y

    @property
    def _width(self) -> float:
        """What the drawing shows from left to right, in its units."""
        return 1.0 / self.widget.maps["wide"][1]

    def _next_stop(self, grip: Grip, way: int) -> tuple[float, float] | None:
        stops = self._held.stops
        if not stops:
            self.widget.says = self._held.without
            return None
        nearest = min(range(len(stops)), key=lambda i: (stops[i].x - grip.x) ** 2 + (stops[i].y - grip.y) ** 2)
        here = (stops[nearest].x - grip.x) ** 2 + (stops[nearest].y - grip.y) ** 2 < (self.SAME * self._width) ** 2
        chosen = stops[min(max(nearest + way if here else nearest, 0), len(stops) - 1)]
        self.widget.says = chosen.words
        return chosen.x, chosen.y


__all__ = ["Drag", "Grip", "Hand", "HandWidget", "Held", "Stop"]
