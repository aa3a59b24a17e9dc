"""Matplotlib's SVG made fit to be inside a page with others."""

from __future__ import annotations

import re

from jackshaft.drawing.palette import DARK
from jackshaft.drawing.settings import FONT

_PAGE_WIDE = re.compile(r'<style type="text/css">\*\{([^}]*)\}</style>')
_METADATA = re.compile(r"\s*<metadata>.*?</metadata>", re.S)
_COLOURS = re.compile("|".join(DARK))
#: A rule of style that gives the colours of :func:`themed` in a dark theme of the lab.
DARK_CSS = f'[data-jp-theme-light="false"] {{ {" ".join(f"--jk-{k[1:]}: {v};" for k, v in DARK.items())} }}'
_SIZE = re.compile(r'\s(?:width|height)="[\d.]+pt"')


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
