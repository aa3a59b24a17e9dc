"""A template as DXF, for a cutting table or a drawing program: millimetres, one layer for each kind of thing."""

from __future__ import annotations

import io
import textwrap

import ezdxf

from jackshaft.sheets.shapes import LAYERS, Template

LETTERS = 3.5  # mm
CROSS = 4.0  # mm, half of a centre mark


def dxf_of(template: Template) -> bytes:
    """Return the DXF file of a template."""
    drawing = ezdxf.new("R2010", units=ezdxf.units.MM)
    drawing.header["$MEASUREMENT"] = 1
    for name, colour in LAYERS.items():
        drawing.layers.add(name, color=colour)
    space = drawing.modelspace()
    for c in template.circles:
        space.add_circle((c.x, c.y), c.radius, dxfattribs={"layer": c.layer})
    for line in template.lines:
        layer, way = {"layer": line.layer}, line.points if line.arcs is None else line.arcs
        form = "xy" if line.arcs is None else "xyb"
        space.add_lwpolyline([tuple(p) for p in way], format=form, close=line.closed, dxfattribs=layer)
    for p in template.points:
        layer = {"layer": p.layer}
        if p.layer != "NOTES":
            space.add_point((p.x, p.y), dxfattribs=layer)
            space.add_line((p.x - CROSS, p.y), (p.x + CROSS, p.y), dxfattribs=layer)
            space.add_line((p.x, p.y - CROSS), (p.x, p.y + CROSS), dxfattribs=layer)
        _letters(space, p.words, p.x + 2.0, p.y + (-6.0 if p.layer == "TAKE_UP" else 2.0))
    left, bottom, *_ = template.box
    said = [part for w in (template.title, *template.warnings, *template.notes) for part in textwrap.wrap(w, 110)]
    for k, words in enumerate(said):
        _letters(space, words, left, bottom - (k + 2) * 2 * LETTERS)
    out = io.StringIO()
    drawing.write(out)
    return out.getvalue().encode(drawing.output_encoding, "dxfreplace")


def _letters(space, words: str, x: float, y: float) -> None:
    # two percent signs would begin a special letter
    words = words.replace("%%", "% %")
    space.add_text(words, height=LETTERS, dxfattribs={"layer": "NOTES"}).set_placement((x, y))
