"""The small section on a fitting card, to scale, as SVG text: it prints sharp and stays the same from run to run."""

from __future__ import annotations

from html import escape

from jackshaft.chapters.bearings.data import Card
from jackshaft.chapters.bearings.shown import bare_mm
from jackshaft.drawing import palette
from jackshaft.units import show

#: Size of the drawing and room for the bearing in it, px.
WIDE, HIGH = 330, 252
ROOM = (150, 190)
MIDDLE = (WIDE / 2, 138)

BALL = 0.3  # ball diameter over outside less bore, as most makers choose it (common practice)


def ring_sizes(bore: float, od: float) -> tuple[float, float, float]:
    """Return how thick a ring is drawn, the ball's diameter, and the pitch diameter, in the unit of the two."""
    ball = BALL * (od - bore)
    return ((od - bore) / 2 - 0.55 * ball) / 2, ball, (od + bore) / 2


def section_svg(card: Card, system: str) -> str:
    """Return the section of a card's bearing on its shaft and in its housing, with its three sizes.

    Parameters
    ----------
    card : Card
        The card.
    system : str
        inch or metric.
    """
    bore, od, width = card.sizes
    scale = min(ROOM[0] / width, ROOM[1] / od)
    d, outer, b = bore * scale, od * scale, width * scale
    wall, ball, pitch = (v * scale for v in ring_sizes(bore, od))
    x, y = MIDDLE
    left, right = x - b / 2, x + b / 2
    parts = [
        _box(x - 62, y - d / 2, 124, d, palette.METAL, opacity=0.35),
        _line(x - 78, y, x + 78, y, palette.MUTED, dashes="12 3 2 3"),
    ]
    far = b if card.outer is None else card.outer * scale
    for top, wide in ((y - outer / 2, far), (y + d / 2, b), (y - d / 2 - wall, b), (y + outer / 2 - wall, far)):
        at = x - wide / 2
        parts += [
            f'<g class="ring">{_box(at, top, wide, wall, palette.PAPER, edge=True)}{_hatch(at, top, wide, wall)}</g>'
        ]
    for side in (-1, 1):
        parts.append(
            f'<circle cx="{x:.1f}" cy="{y + side * pitch / 2:.1f}" r="{ball / 2:.1f}" fill="{palette.PAPER}" '
            f'stroke="{palette.INK}" stroke-width="1.3"/>'
        )
        if card.closed:
            near, end = y + side * (d / 2 + wall), y + side * (outer / 2 - wall)
            edges = (x - far / 2 + 2, x + far / 2 - 2)
            parts += [_line(edge, near, edge, end, palette.INK, width=2) for edge in edges]
        at = y + side * (d if card.tight == "inner" else outer) / 2
        if card.tight:
            parts.append(_line(left - 3, at, right + 3, at, palette.STOP, width=4))
    if card.grooved:
        for top in (y - outer / 2, y + outer / 2 - 3):
            parts.append(_box(left + 0.18 * b, top, max(0.08 * b, 2), 3, palette.PAPER, edge=True))
    shown = {name: _sizes(si, system) for name, si in (("outside", od), ("bore", bore), ("width", width))}
    both = {name: sizes[0] + "".join(f" ({s})" for s in sizes[1:]) for name, sizes in shown.items()}
    parts += [
        *_measure(x - 84, y - outer / 2, x - 84, y + outer / 2),
        *_measure(x + 84, y - d / 2, x + 84, y + d / 2),
        *_measure(left, y - outer / 2 - 12, right, y - outer / 2 - 12),
        *_words(x - 92, y, ["outside", *shown["outside"]], "end"),
        *_words(x + 92, y, ["bore", *shown["bore"]], "start"),
        _text(x, y - outer / 2 - 20, f"width {both['width']}", "middle"),
    ]
    seat = f"the thick line marks the {card.tight} ring's tight seat." if card.tight else "no ring is pressed."
    words = f"Section to scale: bore {both['bore']}, outside {both['outside']}, width {both['width']}; {seat}"
    return (
        f'<svg viewBox="0 0 {WIDE} {HIGH}" width="{WIDE}" height="{HIGH}" role="img" aria-label="{escape(words)}" '
        f'font-family="DejaVu Sans, Arial, sans-serif" font-size="12.5">{"".join(parts)}</svg>'
    )


def _sizes(si: float, system: str) -> list[str]:
    """Return a size as it is shown: in the build's units, and in millimetres behind."""
    return ([] if system == "metric" else [show(si, "length", system)]) + [f"{bare_mm(si)} mm"]


def _words(x: float, y: float, lines: list[str], anchor: str) -> list[str]:
    return [_text(x, y + 15 * (i - (len(lines) - 1) / 2) + 4, line, anchor) for i, line in enumerate(lines)]


def _text(x: float, y: float, words: str, anchor: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{palette.INK}">{escape(words)}</text>'


def _line(x1: float, y1: float, x2: float, y2: float, colour: str, *, width: float = 1, dashes: str = "") -> str:
    dash = f' stroke-dasharray="{dashes}"' if dashes else ""
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{colour}"'
        f' stroke-width="{width:g}"{dash}/>'
    )


def _box(x: float, y: float, wide: float, high: float, fill: str, *, edge: bool = False, opacity: float = 1.0) -> str:
    line = f' stroke="{palette.INK}" stroke-width="1.3"' if edge else ""
    return (
        f'<rect x="{x:.1f}" y="{y:.1f}" width="{wide:.1f}" height="{high:.1f}" fill="{fill}"'
        f' fill-opacity="{opacity:g}"{line}/>'
    )


def _hatch(x: float, y: float, wide: float, high: float, step: float = 6.0) -> str:
    """Return slanting lines that fill a box, as on a cut face; drawn out, since a pattern would be a reference."""
    lines = []
    for k in range(1, int((wide + high) / step) + 1):
        c = x + y + step * k
        x1, x2 = max(x, c - y - high), min(x + wide, c - y)
        if x1 < x2:
            lines.append(f"M{x1:.1f} {c - x1:.1f}L{x2:.1f} {c - x2:.1f}")
    return f'<path d="{"".join(lines)}" stroke="{palette.MUTED}" stroke-width="0.8" fill="none"/>'


def _measure(x1: float, y1: float, x2: float, y2: float) -> list[str]:
    """A dimension line, upright or level, with a tick at both ends."""
    across, along = (4, 0) if x1 == x2 else (0, 4)
    ends = ((x1, y1), (x2, y2))
    return [
        _line(x1, y1, x2, y2, palette.ACCENT, width=1.5),
        *(_line(x - across, y - along, x + across, y + along, palette.ACCENT, width=1.5) for x, y in ends),
    ]
