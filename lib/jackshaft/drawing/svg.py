"""Matplotlib's SVG made fit to be inside a page with others."""

from __future__ import annotations

import io
import re
from functools import lru_cache

from matplotlib.backends.backend_svg import FigureCanvasSVG, RendererSVG
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path

from jackshaft.drawing.palette import DARK
from jackshaft.drawing.settings import FONT

#: Dots an inch of matplotlib's SVG.
_DOTS = 72
_NO_METADATA = {"Creator": None, "Date": None, "Format": None, "Type": None}

_PAGE_WIDE = re.compile(r'<style type="text/css">\*\{([^}]*)\}</style>')
_METADATA = re.compile(r"\s*<metadata>.*?</metadata>", re.S)
_COLOURS = re.compile("|".join(DARK))
_SIZE = re.compile(r'\s(?:width|height)="[\d.]+pt"')


@lru_cache(maxsize=4096)
def _extent(words: str, font: FontProperties, ismath: bool | str) -> tuple[float, float, float]:
    return text_to_path.get_text_width_height_descent(words, font, ismath)


class _Renderer(RendererSVG):
    """Keeps the measures of words from one picture to the next; matplotlib keeps them for one picture only."""

    def get_text_width_height_descent(self, s, prop, ismath):
        # a font's hash follows its state, so the key is a copy that nobody changes
        return _extent(s, prop.copy(), ismath)


def rendered(figure: Figure) -> str:
    """Return a figure as a whole SVG file, laid out once. Call it inside :func:`drawing`.

    Parameters
    ----------
    figure : Figure
        What is drawn; nothing in it is rasterised.
    """
    FigureCanvasSVG(figure)
    out, shown = io.StringIO(), figure.dpi
    if shown != _DOTS:  # the same again would have every transform worked out anew
        figure.dpi = _DOTS
    width, height = figure.get_size_inches() * _DOTS
    renderer = _Renderer(width, height, out, image_dpi=shown, metadata=_NO_METADATA)
    figure.draw(renderer)
    renderer.finalize()
    return out.getvalue()


def scoped(svg: str, name: str) -> str:
    """Make matplotlib's SVG fit to be inside a page with others.

    Its style rule for every element of the page is confined to this picture, runs of spaces are
    kept, fixed sizes give way to the width of the page, and a reader without our font gets one of
    nearly the same width.

    Parameters
    ----------
    svg : str
        A whole SVG file as matplotlib writes it.
    name : str
        The picture's name, as given to :func:`drawing`.
    """
    body = svg[svg.index("<svg") :]
    body = _METADATA.sub("", body, count=1)
    mark = f"jk-svg-{name}"
    body = _PAGE_WIDE.sub(
        lambda m: f'<style type="text/css">.{mark} *{{{m[1]}}}.{mark} text{{white-space:pre}}</style>', body
    )
    head, rest = body.split(">", 1)
    head = _SIZE.sub("", head).replace("<svg", f'<svg class="{mark}" width="100%"', 1)
    rest = rest.replace(f"font-family: '{FONT}'", f"font-family: '{FONT}', Verdana, sans-serif")
    return f"{head}>{rest}"


def themed(svg: str) -> str:
    """Return an SVG whose colours follow the theme of the page that it stands in; light where no page says more.

    Parameters
    ----------
    svg : str
        An SVG, or HTML that holds some.
    """
    return _COLOURS.sub(lambda m: f"var(--jk-{m[0][1:]},{m[0]})", svg)
