"""The slip clutch as it lets go in a jam: what each part feels, and how long its plates may slip."""

from __future__ import annotations

from math import isfinite, pi
from typing import NamedTuple

from jackshaft import tables
from jackshaft.chapters.ratio.data import RatioData
from jackshaft.chapters.weak_link.cases import number
from jackshaft.chapters.weak_link.data import ChainData, Link
from jackshaft.chapters.weak_link.jam import unguarded
from jackshaft.mechanics.slipheat import slip_time
from jackshaft.parts.slip_clutch import facing_rows
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED, Check, Table, grade
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import ZERO_C

HEAT = ("chain.slip-heat", "slip clutch: it may slip until the drive is let go")

#: What the plates are at before a jam, a machine in summer sun: common practice, no source.
BEFORE = ZERO_C + 40.0
SOURCE = "heat balance, own-derivation; limit of the lining: {}"


class Heat(NamedTuple):
    """What warms the plates, on the clutch's own shaft: slip power likely and at the most (W), what coasts (J or None).

    ``rise`` is how far they may warm (K), ``area`` the rubbing area of all faces together (m², None where not known).
    """

    likely: float
    most: float
    coasts: float | None
    mass: float
    rise: float
    area: float | None


def checks(draft: Draft, reader: Reader, data: ChainData, ratio: RatioData) -> None:
    """Add what each part feels as the slip clutch lets go, and the verdict on its heat."""
    plates = data.of_kind("slip clutch")
    if plates is None or not isfinite(plates.high):
        return
    _neighbours(draft, reader, data, plates)
    here = ratio.shaft(plates.shaft)
    _heat(draft, reader, plates, here, ratio)


def _neighbours(draft: Draft, reader: Reader, data: ChainData, plates: Link) -> None:
    """Set the table of what each part feels at the most while the plates slip."""
    rows = []
    for link in data.giving:
        if link is plates:
            continue
        beyond = unguarded(plates, link) or plates.shaft in link.passes
        words = "what runs on between it and the jam" if beyond else reader.number(plates.high, "torque", "up to {}")
        holds = "not guarded" if beyond else grade(likely=link.likely, bad=link.low, limit=plates.high)
        rows.append((link.name, words, number(reader, link, "from {low} on"), holds))
    draft.tables.append(
        Table(
            "When the slip clutch lets go",
            ("part", "feels", "gives", "verdict"),
            tuple(rows),
            f"Torques on the shaft of the {data.shaft}. Unlike a pin, the plates go on pulling while they slip: every "
            "part between engine and plates feels that until the drive is let go, and the engine keeps its speed.",
        )
    )


def _heat(draft: Draft, reader: Reader, plates: Link, here, ratio: RatioData) -> None:
    """Judge how long the plates may slip against how long it takes to let the drive go."""
    keys = ["slip_clutch.plate_mass", "slip_clutch.facing"]
    lacks = reader.unknown(*keys)
    rows = [row for row in facing_rows(reader) if row["temperature_max_c"]]
    if here.work is None:
        lacks += ("engine.work_speed",)
    if lacks or not rows:
        draft.missing(reader, *HEAT, lacks or ("slip_clutch.facing",), "How hot the plates get is not known yet.")
        return
    found = _found(reader, plates, here, ratio, min(row["temperature_max_c"] for row in rows))
    coasts = found.coasts or 0.0
    short = float(slip_time.si(found.most, mass=found.mass, rise=found.rise, already=coasts))
    likely = float(slip_time.si(found.likely, mass=found.mass, rise=found.rise, already=coasts))
    until = tables.table("attachment_facts").one(item="jam, until the drive is let go")
    draft.fact("slip clutch: power while it slips", reader.number(found.likely, "power", high=found.most), _on(found))
    verdict = grade(likely=likely, bad=short, limit=until["high"])
    if verdict == STOP:
        verdict = CAUTION  # linings burn; nothing else does, and they are meant to give
    value = reader.number(likely, "time", "{} likely, {low} at the most torque", low=short)
    limit = reader.number(until["high"], "time", "{} or more", source=until["source"])
    reason = (
        f"At the most torque the plates take up {reader.show(found.most, 'power')}. From "
        f"{reader.show(BEFORE, 'temperature')} on they may warm by {reader.show(found.rise, 'temperature rise')}, to "
        f"what the lining takes for a short time. It takes up to {reader.show(until['high'], 'time')} to see a jam and "
        "let the drive go."
    )
    if found.coasts is not None:
        reason += f" Crank and flywheel bring {reader.show(found.coasts, 'energy')} more as they coast on through it."
    elif verdict == GO:
        keys = ("engine.inertia",)
        reader.note_missing(*keys)
        words = f"{reason} What crank and flywheel bring as they coast on comes on top, and is not known."
        draft.checks.append(Check(*HEAT, value, limit, UNDECIDED, words, missing=keys))
        return
    draft.check(
        *HEAT,
        value,
        limit,
        verdict,
        reason=reason,
        remedy=""
        if verdict == GO
        else "Let the drive go at the first squeal. Or fit larger plates, which slip longer.",
        source=SOURCE.format(rows[0].cite),
    )


def _found(reader: Reader, plates: Link, here, ratio: RatioData, hottest: float) -> Heat:
    """Return what warms the plates; the engine's speed holds while they slip, so all of their slip is their speed."""
    power = here.over * here.passed * here.work  # of one N m on the reference shaft, at the plates
    inertia = reader.si("engine.inertia")
    crank = ratio.shafts[0].work
    coasts = None if inertia is None or crank is None else 0.5 * inertia * crank**2
    inner, outer, faces = (reader.get(f"slip_clutch.{k}") for k in ("inner_diameter", "outer_diameter", "faces"))
    area = None if None in (inner, outer, faces) else faces * pi / 4 * (outer.si**2 - inner.si**2)
    return Heat(
        plates.likely * power,
        plates.high * power,
        coasts,
        reader.si("slip_clutch.plate_mass"),
        hottest + ZERO_C - BEFORE,
        area,
    )


def _on(found: Heat) -> str:
    if found.area is None:
        return "while the work stands and the engine keeps its speed"
    return f"{found.likely / found.area / 1e6:.2g} W/mm² of lining"


__all__ = ["HEAT", "checks"]
