"""The chapter's tables: what the readings could mean, pulls and reactions, lives, and the formulas worked."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from jackshaft.chapters.bearings.data import HEAVY_SHOCK, BearingLife, Identity, ShaftReactions
from jackshaft.chapters.bearings.life import rating_life
from jackshaft.chapters.bearings.reactions import place
from jackshaft.chapters.bearings.shown import KEYS, along, dimensions, gap, kind_words, off, score
from jackshaft.mechanics import bearing_sizes
from jackshaft.results.checks import Table
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number, Value
from jackshaft.tables import in_words
from jackshaft.units import RPM

SHOWN, LEAST_SHOWN = 4, 2

#: A size under this share of the likelihood is not listed behind the first two.
UNLIKELY = 0.001


def grounds(reader: Reader, identities: Iterable[Identity]) -> Table:
    """Return what the dimensions of the listed sizes were checked against, and which bearings of the build rest on it.

    How many sizes rest on each ground; which ones is read in the table of bearings.
    """
    taken = [(i.name, i.size.designation) for i in identities if i.size is not None]
    rows = []
    for words, listed in bearing_sizes.grounds():
        sizes = {text.partition(" (an open table")[0] for text in listed}
        mine = ", ".join(f"{name} ({size})" for name, size in taken if size in sizes)
        rows.append((words, reader.number(len(listed), "number"), mine))
    return Table(
        "What the listed sizes were checked against",
        ("checked against", "sizes", "of this build"),
        tuple(rows),
        "The open data package gives some closed bearings the width of the open one: measure theirs. Measure "
        "every size that rests on memory before you buy or machine for it.",
        aside=True,
    )


def candidates(reader: Reader, identities: Iterable[Identity]) -> Table:
    """Return the candidates of every bearing in one table."""
    rows: list[tuple[Value, ...]] = []
    notes: list[str] = []
    for identity in identities:
        if identity.found is None:
            continue
        notes += [
            n for n in identity.found.notes if n not in notes and (reader.system == "inch" or "inch" not in n.lower())
        ]
        likely = [
            c
            for i, c in enumerate(identity.found.candidates)
            if i < LEAST_SHOWN or c.score >= UNLIKELY or not identity.found.matched
        ]
        for c in likely[:SHOWN]:
            offs = {m.dimension: off(reader, m) for m in c.misses}
            rows.append(
                (
                    identity.name,
                    c.size.designation,
                    dimensions(reader, c.size),
                    kind_words(reader, c.size),
                    score(reader, c),
                    *(offs.get(d, "not read") for d in KEYS),
                    "" if c.seat_gap is None else gap(reader, c.seat_gap),
                )
            )
    return Table(
        "What the readings could mean",
        ("bearing", "size", "dimensions", "family", "score", "bore off", "outside off", "width off", "on the seat"),
        tuple(rows),
        "Off is the reading less the size. The sign ! marks one that is further off than tool, wear and the tolerance "
        "of a new ring allow. " + " ".join(notes),
    )


def pulls(reader: Reader, reactions: Iterable[ShaftReactions]) -> Table:
    """Return what pulls on each shaft and what its bearings carry."""
    rows: list[tuple[Value, ...]] = []
    for found in reactions:
        at = f"shaft[{found.shaft}].load"
        mine = reader.names(at)
        for pull in found.loads.pulls:
            where = place(reader, pull.at, reader.how(f"{at}[{pull.name}].position") if pull.name in mine else "")
            rows.append((found.shaft, pull.name, where, "pulls", *_cells(reader, pull.force)))
        for k, name in enumerate(found.bearings):
            where = place(reader, found.at[k], reader.how(f"bearing[{name}].position"))
            rows.append((found.shaft, f"bearing {name}", where, "pushes back", *_cells(reader, -found.carried[:, k])))
    return Table(
        "Pulls along the shaft and what the bearings carry",
        ("shaft", "part", "at", "", "to the right", "upward", "at work", "toward", "at rest", "at the peak"),
        tuple(rows),
        "The shaft is taken as level. Weights are counted, its own too where its diameter is known. Seen facing the "
        "engine, 0° is to the right and 90° is up. All forces are those on the shaft, as in its picture: pulls and "
        "pushes add up to nothing. What a bearing carries is as large as its push, and points the other way. A pulley "
        "outside a bearing loads it with more than its own pull.",
    )


def _cells(reader: Reader, force: np.ndarray) -> tuple[Number, ...]:
    size, toward = np.hypot(force[:, 0], force[:, 1]), np.arctan2(force[0, 1], force[0, 0])
    if toward + np.pi < 1e-9:
        toward = np.pi  # straight to the left is 180°, whichever way the last digit fell
    right, up, work, rest, peak = (reader.number(f, "force") for f in (*force[0], *size))
    return right, up, work, reader.number(toward, "angle"), rest, peak


def lives(reader: Reader, found: Iterable[BearingLife]) -> Table:
    """Return the rating life of every bearing, without shock, with its own factor and with a heavy one."""
    return Table(
        "Rating life",
        (
            "bearing",
            "size",
            "C",
            "load P",
            "C/P",
            "speed",
            "life, no shock",
            "life, its shock factor",
            f"life, shock {HEAVY_SHOCK:g}",
        ),
        tuple(_life_row(reader, life) for life in found if life.life is not None),
        "The life that 90 of 100 bearings pass: a million turns times (C/P)³, so it falls with the cube of the load.",
    )


def _life_row(reader: Reader, life: BearingLife) -> tuple[Value, ...]:
    c = life.rating.dynamic
    seconds = (rating_life(c, life.load, life.speed, k) for k in (1.0, life.shock, HEAVY_SHOCK))
    return (
        life.name,
        life.size.designation if life.size else "",
        reader.number(c, "force", form="both", known=reader.how(f"bearing[{life.name}].dynamic_rating")),
        reader.number(life.load, "force"),
        reader.number(c / life.load, "number", decimals=1) if life.load else "no load",
        reader.number(life.speed, "rotation"),
        *(reader.number(s, "time", by="hours") for s in seconds),
    )


def worked(reader: Reader, reactions: Iterable[ShaftReactions], found: Iterable[BearingLife]) -> Table:
    """Return the formulas with the numbers of this build put in."""
    rows = []
    for shaft in reactions:
        if len(shaft.bearings) == 2:
            rows += [_moment_row(reader, shaft, k) for k in (0, 1)]
    rows += [_worked_life(reader, life) for life in found if life.life is not None]
    return Table(
        "Worked with the numbers put in",
        ("bearing", "what", "formula", "with numbers", "result", "source"),
        tuple(rows),
        aside=True,
    )


def _moment_row(reader: Reader, found: ShaftReactions, k: int) -> tuple[Value, ...]:
    """Return the moment about the other bearing, in the plane where this bearing carries more."""
    axis = int(np.argmax(np.abs(found.carried[0, k])))
    other = 1 - k
    unit, name = along(reader.system)

    def place(si: float) -> str:
        text = f"{si / unit:.4g}"
        return f"({text})" if si < 0 else text

    def force(si: float) -> str:
        # where all are of one unit it is written behind the whole; a kilonewton among newtons keeps its own
        return reader.show(si, "force").removesuffix(" N").removesuffix(" lbf")

    def arm(to: float) -> str:
        return f"({found.at[other] / unit:.4g} - {place(to)})"

    terms = [f"{force(f[axis])} × {arm(a)}" for a, f in zip(found.loads.at, found.loads.force[0], strict=True)]
    return (
        found.bearings[k],
        f"load {'upward' if axis else 'to the right'}",
        "Σ F (x other - x) / (x other - x own)",
        f"[{' + '.join(terms).replace('+ -', '- ')}] / {arm(found.at[k])}, {name}",
        reader.number(found.carried[0, k, axis], "force", source="own-derivation"),
        in_words("own-derivation, moments about the other bearing"),
    )


def _worked_life(reader: Reader, life: BearingLife) -> tuple[Value, ...]:
    """Return the life formula with the numbers put in."""
    c, p = reader.show(life.rating.dynamic, "force"), reader.show(life.load, "force")
    return (
        life.name,
        "rating life",
        "10⁶ (C / k P)³ / (60 n)",
        f"10⁶ × ({c} / ({life.shock:g} × {p}))³ / (60 × {life.speed / RPM:.4g})",
        reader.number(life.life, "time", by="hours", source="gost18855"),
        in_words("gost18855, clause 5.3"),
    )
