"""A loop under tension: strands as thick as they are tight, hub loads as arrows, and the draws that hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure
from matplotlib.text import Text

from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.chapters.grip import tag_figure as tag
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.facts import percent
from jackshaft.chapters.grip.uncertainty import BINS, Shares, scale_top
from jackshaft.chapters.layout.loop_figure import LoopPicture, LoopView
from jackshaft.drawing import style
from jackshaft.drawing.following import overlaid, plus_pinned
from jackshaft.drawing.placing import Placer, beside, half_size, round_about
from jackshaft.drawing.view import Candidate, View
from jackshaft.results import Findings, Results
from jackshaft.units import show

#: The longest hub arrow over the width of the drawing, on a page and on a phone.
LONGEST = (0.2, 0.12)
#: Where the words of a strand may be too, as shares of its length: a short one has little room beside it.
PAST = (0.0, 1.0, -0.3, 1.3, -0.6, 1.6)


@dataclass(frozen=True)
class GripPicture(LoopPicture):
    """One loop with its tensions; ``stage`` is None where its power or speed is not known."""

    stage: StageGrip | None

    @property
    def arrows(self) -> tuple[np.ndarray, np.ndarray] | None:
        """The force of the belt on each shaft at work and at rest, N, shape (n, 2); None with no tension known."""
        return None if self.stage is None or self.stage.hub is None else (self.stage.hub, self.stage.hub_rest)


class GripView(LoopView):
    """Draws one loop with its strands and hub loads, and under it the spread of what it holds."""

    size, phone = (7.2, 6.2), (3.8, 4.4)
    # so that the next steps of a slider need no new frame
    spare = 0.08
    margins = (0.06, 0.15)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        count = self.add_loop(figure, self.by_width((0.01, 0.32, 0.98, 0.605), (0.01, 0.38, 0.98, 0.51)))
        ax = self.axes
        self.belt = ax.plot([], [], color=style.BELT, linewidth=style.LINE)[0]
        self.strands = [ax.plot([], [], color=style.BELT, solid_capstyle="butt")[0] for _ in range(count)]
        self.rest = ax.plot([], [], color=style.MUTED, linewidth=style.HEAVY, linestyle=(0, (3, 2)))[0]
        self.loads = [
            style.arrow(ax, (0, 0), (1, 0), colour=style.ACCENT, width=style.HEAVY, head_points=13)
            for _ in range(count)
        ]
        self.point_size = size = self.by_width(style.BODY, style.SMALL)
        self.names = [style.label(ax, (0, 0), size=size, bold=True, up="bottom", boxed=False) for _ in range(count)]
        self.pulls = [
            style.label(ax, (0, 0), size=size, colour=style.ACCENT, up="top", boxed=False) for _ in range(count)
        ]
        self.tensions = [style.label(ax, (0, 0), size=size, colour=style.BELT) for _ in range(count)]
        figure.text(
            0.988,
            self.by_width(0.295, 0.315),
            self.by_width(
                "strand: thicker is tighter · arrow: belt on shaft at work · dashes: at rest",
                "strand: thicker is tighter\narrow: belt on shaft at work · dashes: at rest",
            ),
            ha="right",
            fontsize=style.SMALL,
            color=style.MUTED,
        )
        self._add_spread(figure)

    def _add_spread(self, figure: Figure) -> None:
        box = self.by_width((0.05, 0.085, 0.92, 0.15), (0.05, 0.11, 0.92, 0.14))
        label = "holds so many times the working load"
        self.plot = ax = style.add_plot(figure, (BINS[0], BINS[-1]), (0.0, 1.25), x_label=label, y_label="", box=box)
        ax.set_yticks([])
        ax.spines["left"].set_visible(False)
        none = np.zeros(len(BINS) - 1)
        self.spread = ax.stairs(none, BINS, fill=True, color=style.GRID)
        self.others = [ax.stairs(none, BINS, color=c, linewidth=style.HEAVY) for c, _ in style.CANDIDATES]
        self.letters = [
            style.label(ax, (0, 0), size=style.BODY, colour=c, up="bottom", bold=True) for c, _ in style.CANDIDATES
        ]
        self.band = ax.plot([], [], color=style.BELT, linewidth=5.0, solid_capstyle="butt")[0]
        self.likely = ax.plot([], [], "o", color=style.BELT, markersize=8)[0]
        self.limits = [
            (
                ax.plot([], [], color=colour, linewidth=style.HEAVY)[0],
                style.label(ax, (0, 1.2), size=style.BODY, colour=colour, up="top", across="left", boxed=False),
            )
            for colour in (style.INK, style.STOP)
        ]
        self.holds = figure.text(
            0.05, self.by_width(0.245, 0.26), "", fontsize=style.SMALL, color=style.INK, va="bottom", linespacing=1.35
        )

    def update(self, picture: GripPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a loop."""
        self.move_loop(picture)
        pulls = np.zeros_like(picture.centres)
        if picture.arrows is not None:
            pulls = self._scale(picture.arrows) * picture.stage.hub
        placer = self._placer(picture, pulls)
        self._loads(picture, placer, pulls)
        self._strands(picture, placer)
        self._spread(picture.stage, pinned, picture.system)
        self.words = _in_words(picture, pinned)

    def _strands(self, picture: GripPicture, placer: Placer) -> None:
        stage = picture.stage
        net = None if stage is None else stage.net
        top = None if net is None else max(float(net.max()), 1e-9)
        placed: list[tuple[str, np.ndarray]] = []
        for i, (line, text) in enumerate(zip(self.strands, self.tensions, strict=True)):
            line.set_visible(picture.fits)
            text.set_visible(picture.fits and stage is not None)
            if not picture.fits:
                continue
            line.set_data(*np.transpose(picture.strand(i)))
            line.set_linewidth(2.6 if net is None else 1.5 + 5.5 * max(0.0, float(net[i])) / top)
            if stage is None:
                continue
            side = {1: "tight", -1: "slack", 0: ""}[int(stage.strand_role[i])]
            value = "" if net is None else show(float(net[i]) + stage.centrifugal, "force", picture.system) + " "
            words = f"{value}{side}"
            low, half = np.array([self.axes.get_xlim()[0], self.axes.get_ylim()[0]]), half_size(words, self.point_size)
            a, b = ((end - low) / self._point() for end in picture.strand(i))
            at, _ = placer.put(*beside(a, b, half, 1 if picture.layout.ccw else -1, PAST), half)
            text.set(text=words, position=tuple(low + self._point() * at))
            if self._said(placed, words, at, half):
                text.set_visible(False)
                continue
            placer.take(at, half)
            placed.append((words, at))

    def _said(self, placed: Sequence[tuple[str, np.ndarray]], words: str, at: np.ndarray, half: np.ndarray) -> bool:
        """Tell whether the same words lie there already: an idler takes nothing out of the belt, and its two strands
        are alike."""
        return any(words == w and bool((np.abs(at - a) < 2 * half).all()) for w, a in placed)

    def _point(self) -> float:
        """Return the size of a point, in units of the drawing."""
        return self.wide / (72 * self.size[0] * self.axes.get_position().width)

    def _scale(self, arrows: tuple[np.ndarray, np.ndarray]) -> float:
        """Return the length of a hub arrow for one newton, in units of the drawing."""
        return self.by_width(*LONGEST) * self.wide / max(*(float(np.hypot(*hub.T).max()) for hub in arrows), 1e-9)

    def _loads(self, picture: GripPicture, placer: Placer, pulls: np.ndarray) -> None:
        stage, arrows, still = picture.stage, picture.arrows, [np.zeros((0, 2))]
        for i, (arrow, name, pull) in enumerate(zip(self.loads, self.names, self.pulls, strict=True)):
            arrow.set_visible(arrows is not None)
            here, words = picture.centres[i], []
            if arrows is not None:
                words.append(show(float(np.hypot(*stage.hub[i])), "force", picture.system))
                arrow.set_positions(tuple(here), tuple(here + pulls[i]))
                still.append((here, here + self._scale(arrows) * stage.hub_rest[i], (np.nan, np.nan)))
            words += ["slips first"] if stage is not None and i == stage.limiting else []
            name.set_text(picture.layout.pulleys.names[i])
            pull.set_text("\n".join(words))
            self._place((name, pull), placer, picture, i, pulls[i])
        self.rest.set_data(*np.concatenate(still).T)

    def _placer(self, picture: GripPicture, pulls: np.ndarray) -> Placer:
        """Return what finds room for words beside belt, hub arrows and pulleys."""
        low, high = np.transpose([self.axes.get_xlim(), self.axes.get_ylim()])
        point, along = self._point(), np.linspace(0.0, 1.0, 16)[:, None]
        lines = [a + along * (b - a) for a, b in map(picture.strand, range(len(pulls)))] if picture.fits else []
        lines += [a + along * pull for a, pull in zip(picture.centres, pulls, strict=True) if pull.any()]
        points = np.concatenate([np.zeros((0, 2)), *lines])
        return Placer(
            (high - low) / point, (points - low) / point, (picture.centres - low) / point, picture.rim / point
        )

    def _place(self, texts: tuple[Text, Text], placer: Placer, picture: GripPicture, i: int, pull: np.ndarray) -> None:
        """Put a name and a pull on the far side of the arrow, inside the rim where they fit."""
        low, point, size = np.array([self.axes.get_xlim()[0], self.axes.get_ylim()[0]]), self._point(), self.point_size
        name, force = texts
        both = [half_size(name.get_text(), size, bold=True)]
        both += [half_size(force.get_text(), size)] if force.get_text() else []
        half = np.array([max(h[0] for h in both), sum(h[1] for h in both)])
        here, rim = (picture.centres[i] - low) / point, picture.rim[i] / point
        away = -pull / max(float(np.hypot(*pull)), 1e-9)
        inside = here + away * (float(np.abs(away) @ half) + 4.0 * bool(pull.any()))
        if float(np.hypot(*(np.abs(inside - here) + half))) < 0.97 * rim:
            at = inside
        else:
            if not pull.any():
                away = here - (picture.centres.mean(0) - low) / point
                away = away / max(float(np.hypot(*away)), 1e-9)
            at, _ = placer.put(*round_about(here, rim, half, away), half)
        placer.take(at, half)
        x, y = low + point * at
        top = y + point * (half[1] - 2.0 * both[0][1])
        # a J reaches below its line
        name.set_position((x, top + 2 * point))
        force.set_position((x, top))

    def _spread(self, stage: StageGrip | None, pinned: Sequence[Candidate], system: str) -> None:
        shares = None if stage is None else stage.shares
        # a scale with nothing on it is not shown; the line above says what is not known
        self.plot.set_visible(shares is not None)
        self.spread.set_data(*((np.zeros(len(BINS) - 1), BINS) if shares is None else _heights(shares)))
        known = stage is not None and stage.margin is not None
        top = _scale_of([stage, *(c.picture.stage for c in pinned)])
        self.plot.set_xlim(BINS[0], top)
        ends = np.clip([stage.margin_bad, stage.margin], BINS[0], top) if known else []
        self.band.set_data(ends, [0.5] * len(ends))
        self.likely.set_data(ends[-1:], [0.5] * len(ends[-1:]))
        peak = None if stage is None else stage.peak_factor
        at = (None if stage is None else 1.0, "work"), (peak, f"peak, {peak:g} ×" if peak else "")
        for (line, text), (limit, words) in zip(self.limits, at, strict=True):
            shown = bool(limit)
            line.set_visible(shown)
            text.set_visible(shown)
            if shown:
                line.set_data([limit] * 2, [0.0, 1.25])
                # near the end of the scale the words stand before their line
                late = limit > 0.8 * top
                text.set(
                    text=f"{words} " if late else f" {words}", position=(limit, 1.22), ha="right" if late else "left"
                )
        self.holds.set_text(_what_holds(stage, system))
        there = [c for c in pinned if c.picture.stage is not None and c.picture.stage.shares is not None]
        for letter, candidate in overlaid(self.letters, there):
            other = candidate.picture.stage.shares
            most = int(np.argmax(other.counts))
            middle = other.edges[most : most + 2].mean()
            letter.set(text=candidate.letter, position=(middle, 1.02), color=candidate.colour)
        for patch, candidate in overlaid(self.others, there):
            patch.set_data(*_heights(candidate.picture.stage.shares))
            patch.set(edgecolor=candidate.colour, linestyle=(0, candidate.dashes))


def _heights(shares: Shares) -> tuple[np.ndarray, np.ndarray]:
    """Return the draws in each bin over those in the fullest, and the edges of the bins."""
    return shares.counts / max(1, int(shares.counts.max())), shares.edges


def _scale_of(stages: Sequence[StageGrip | None]) -> float:
    """Return where the scale ends that shows all that stages hold and are asked for, with a little to spare."""
    known = [s for s in stages if s is not None]
    drawn = [float(s.shares.edges[-1]) for s in known if s.shares is not None]
    marks = [1.05 * m for s in known for m in (s.margin, s.peak_factor) if m is not None and np.isfinite(m)]
    return scale_top(max([*drawn, *marks], default=0.0))


def _what_holds(stage: StageGrip | None, system: str) -> str:
    """Return in a line what share of the draws holds, or what is not known."""
    if stage is None:
        return "power or speed not known yet"
    if stage.shares is None:
        return f"tension not known yet; the work needs {show(stage.needed, 'force', system)}"
    share = stage.shares
    peak = "" if share.peak is None else f", {percent(share.peak)} at the peak"
    return f"{percent(share.work)} of {share.count} trials hold at work{peak}"


def _in_words(picture: GripPicture, pinned: Sequence[Candidate]) -> str:
    layout, stage, names = picture.layout, picture.stage, picture.layout.pulleys.names
    holds = _what_holds(stage, picture.system)
    if not picture.fits:
        return f"{layout.name}: the belt cannot go round."
    if stage is None or stage.net is None:
        return f"{layout.name}: {holds}."

    def force(si: float) -> str:
        return show(float(si), "force", picture.system)

    strands = "; ".join(f"{layout.strand(i)} {force(stage.net[i] + stage.centrifugal)}" for i in range(len(names)))
    hubs = ", ".join(f"{n} {force(np.hypot(*h))}" for n, h in zip(names, stage.hub, strict=True))
    return (
        f"{layout.name}: {names[stage.limiting]} slips first, at {stage.margin:.2f} times the working load "
        f"({stage.margin_bad:.2f} at the bad end). Strands at work: {strands}. Hub loads at work: {hubs}. {holds}."
        + plus_pinned(pinned)
    )


def picture_of(results: Results, stage: str) -> GripPicture | None:
    """Return the picture of one belt stage of a worked-up build, or None where nothing can be drawn."""
    chapter = results.chapters.get("layout")
    layout = (chapter.data or {}).get(stage) if chapter else None
    if layout is None:
        return None
    grip = results.chapters.get("grip")
    return GripPicture(layout, results.build.system, (grip.data or {}).get(stage) if grip else None)


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object]]:
    """Yield, for every belt stage with a load, its tensions and the tag for inside the guard."""
    for number, (name, stage) in enumerate((chapter.data or {}).items()):
        picture = picture_of(results, name)
        yield f"{name}, tensions and hub loads", GripView(f"grip-{number}", picture), picture
        if not stage.set.tag:
            continue
        yield (
            f"{name}, tension tag for inside the guard",
            tag.TagView(f"tag-{number}"),
            tag.TagPicture(name, f"{results.build.name}, {fingerprint(results.build)}", stage.set.tag, stage.set.given),
        )
