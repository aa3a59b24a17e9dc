"""What a belt grips with: the coefficients of its pulleys at the low, the design and the high end."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.parts.belt_stage import section_row, wedge_of
from jackshaft.results.reader import Reader
from jackshaft.units import Measure


class Condition(NamedTuple):
    """One row of friction: where, in what state, coefficient at its low, likely and high end, and its source."""

    surface: str
    state: str
    low: float
    likely: float
    high: float
    source: str
    known: str


class Friction(NamedTuple):
    """Grip coefficients of the pulleys of a loop, shape (n,): to design with, at the bad and the high end, where from.

    What must hold is judged at ``bad``, what must slip before something else breaks at ``high``: the design value of a
    groove is a convention for sizing, not where a belt slips. ``conditions`` holds, for each pulley, the states it
    may be in.
    """

    likely: np.ndarray
    bad: np.ndarray
    words: str
    cite: str
    high: np.ndarray
    conditions: tuple[tuple[Condition, ...], ...]


def friction_of(reader: Reader, layout: StageLayout) -> Friction:
    """Return the grip coefficients of a loop: the wedge counted in grooves, plain on flats.

    The build's own figures come before the tables'. Outdoors the bad end of a flat is wet, elsewhere damp.
    """
    rows = {(r["surface"], r["condition"]): r for r in tables.table("belt_friction").rows}
    at, p = f"stage[{layout.name}]", layout.pulleys
    worst = "wet" if (reader.get("place") or "outdoors") == "outdoors" else "damp"
    design = _row(rows["groove", "design"], "groove", "clean, as designed for")
    groove = _own(
        reader,
        f"{at}.friction_groove",
        design,
        design._replace(state="worn, dusty or damp", likely=design.low, high=design.low),
    )
    states, likely, bad, high = [], [], [], []
    section, own_angle = section_row(reader, at), []
    for k, (name, on_flat, material) in enumerate(zip(p.names, p.flat, p.materials, strict=True)):
        if not on_flat:
            wedge = wedge_of(reader, f"{at}.pulley[{name}]", section, 2.0 * float(p.pitch[k]))
            mine = _wedged(reader, f"{at}.friction_groove", groove, wedge)
            if mine[0].likely != groove[0].likely:
                own_angle.append(f"{mine[0].likely:.2g} in {name} by its angle (bad end {mine[1].likely:.2g})")
        else:
            dry = rows["belt on plastic", "dry"] if material == "plastic" else rows["flat", "dry"]
            top = _row(dry, "flat plastic" if material == "plastic" else "flat", "dry")
            others = [_row(rows["flat", s], "flat", s) for s in ("damp", "wet")]
            own = _own(reader, f"{at}.friction_flat", top, next(o for o in others if o.state == worst))
            mine = (own[0], *(own[1] if o.state == worst else o for o in others))
        states.append(mine)
        likely.append(mine[0].likely)
        bad.append(next(c.likely for c in mine[1:] if not on_flat or c.state == worst))
        high.append(max(mine[0].high, mine[0].likely))
    likely, bad, high = np.array(likely), np.minimum(bad, likely), np.array(high)
    words = [] if p.flat.all() else [f"groove {groove[0].likely:g} (bad end {groove[1].likely:g})"]
    words += own_angle
    if p.flat.any():
        k = int(np.argmax(p.flat))
        words.append(f"flat {likely[k]:g} dry (bad end {bad[k]:g} {worst})")
    cite = rows["groove", "design"].cite
    return Friction(likely, bad, ", ".join(words), cite, high=high, conditions=tuple(states))


def _row(row, surface: str, state: str) -> Condition:
    return Condition(
        surface,
        state,
        *(row[f"coefficient_{end}"] for end in ("low", "likely", "high")),
        source="; ".join(tables.source(k).title for k in row.source.split(";")),
        known=row.known,
    )


def _wedged(
    reader: Reader, key: str, conditions: tuple[Condition, Condition], wedge: float
) -> tuple[Condition, Condition]:
    """Return what a groove of its own angle grips with: a wide one wedges less, a narrow one holds no more.

    A coefficient that the build states is that of its own grooves, and stays.
    """
    if wedge == 1.0 or reader.si(key) is not None:
        return conditions
    top, worst = conditions
    less, more = min(wedge, 1.0), max(wedge, 1.0)
    if reader.si(f"{key}_bad") is None:
        worst = worst._replace(low=less * worst.low, likely=less * worst.likely, high=less * worst.high)
    return top._replace(low=less * top.low, likely=less * top.likely, high=more * top.high), worst


def _own(reader: Reader, key: str, top: Condition, worst: Condition) -> tuple[Condition, Condition]:
    """Return the likely and the worst condition: the build's own first; a bad end it leaves out keeps its share.

    A likely value that the build states is the high end too, with its allowance: it is known, not a convention.
    """
    likely, bad = reader.si(key), reader.si(f"{key}_bad")
    if likely is None and bad is None:
        return top, worst
    own = top.likely if likely is None else likely
    low = own * worst.likely / top.likely if bad is None else bad
    stated = reader.get(key)
    more = (stated.plus_minus or 0.0) if isinstance(stated, Measure) else 0.0
    high = max(top.high, own) if likely is None else likely + more
    here = {"source": "the build", "known": "the build"}
    return top._replace(low=min(low, own), likely=own, high=high, **here), worst._replace(
        low=low, likely=low, high=low, **here
    )


__all__ = ["Condition", "Friction", "friction_of"]
