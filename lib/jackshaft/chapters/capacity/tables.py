"""The tables of a loop's capacity: its rating step by step, and the pulleys that would carry the load."""

from __future__ import annotations

from jackshaft.chapters.capacity import rated
from jackshaft.chapters.capacity.data import StageCapacity
from jackshaft.chapters.layout.checks import SMALL_PULLEY
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.results.checks import Table
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number


def offers_of(reader: Reader, layout: StageLayout, stage: StageCapacity) -> tuple[rated.Size, ...]:
    """Return the pairs of pulleys that would carry the load, one belt first."""
    return tuple(rated.sizes(layout, stage.design_bad, system=reader.system, least_share=SMALL_PULLEY))


def pair(reader: Reader, size: rated.Size) -> Number:
    """Return a pair of pulleys: the small one, with the large one in its words."""
    large = reader.show(size.large, "length", digits=3)
    return reader.number(size.small, "length", f"{{}} to {large} pitch", digits=3)


def belts_words(count: float) -> str:
    """Return so many belts in words."""
    return f"{count:.0f} belt{'s' if count > 1 else ''}"


def design_power(reader: Reader, stage: StageCapacity, words: str = "{}") -> Number:
    """Return the power to design for; its high end takes the bad end of the service factor."""
    return reader.number(stage.design, "power", words, high=stage.design_bad, known=reader.how("work.power"))


def rated_table(reader: Reader, layout: StageLayout, stage: StageCapacity) -> Table:
    """Return the rating step by step."""
    one = stage.rated
    rows = [(what, amount, "") for what, amount in stage.service.parts]
    rows.append(
        (
            "power to design for",
            design_power(reader, stage),
            f"{reader.show(stage.power, 'power')} × {stage.service.likely:.2f}",
        )
    )
    if one is not None:
        small, length = reader.show(one.small, "length", digits=4), rated.datum_length(layout)
        flat = " flat, where a V-belt grips less" if layout.pulleys.flat[one.at] else ""
        arc = f"{reader.show(one.wrap, 'angle')} on {layout.pulleys.names[one.at]}{flat}; this is the law of grip, "
        addon = reader.number(one.addon, "power", source=one.cite) if one.addon else "nothing"
        by_table = rated.length_factor(layout.belt.name, 1.0)[1]
        rows += [
            (
                "rated on the small pulley and the faster shaft"
                if stage.at is None
                else f"rated on {layout.pulleys.names[stage.at]}, which comes nearest to its limit",
                reader.number(one.basic, "power", source=one.cite),
                f"{small} pitch, {reader.show(one.faster, 'rotation')}, ratio 1, half a turn",
            ),
            (
                "added for the ratio",
                addon,
                f"{one.ratio:.2f} : 1; a sum, never a multiplier" if one.addon else "not in this rating",
            ),
            (
                "arc of contact",
                reader.number(one.arc, "number", "× {}", decimals=3),
                f"{arc}which is not counted again",
            ),
            (
                "length",
                reader.number(one.length, "number", "× {}", decimals=3),
                f"{reader.show(length, 'length')} datum" if by_table else "no table for this section, taken as 1",
            ),
            ("one belt carries", one.number(reader), one.editions),
            *_older(reader, stage),
            (
                belts_words(stage.belts),
                one.number(reader, stage.belts),
                f"{reader.show(stage.carried_bad, 'power')} at the bad end",
            ),
        ]
    return Table(
        f"{stage.name}: rated power",
        ("step", "amount", "how"),
        tuple(rows),
        "" if one is not None else "No rating is known for this section at this size and speed.",
    )


def _older(reader: Reader, stage: StageCapacity) -> list[tuple]:
    """Return the row of the older formula, where it covers the section."""
    one = stage.rated
    if one.older is None:
        return []
    amount = reader.number(stage.belts * one.older, "power", source="faires, table 17.3")
    return [(f"{belts_words(stage.belts)} by the older formula", amount, "with the same factors of arc and length")]


def each_tables(reader: Reader, layout: StageLayout, stage: StageCapacity) -> list[Table]:
    """Return the table of what each pulley asks for and carries, where the belt drives several shafts."""
    rows = [
        (
            layout.pulleys.names[one.at],
            reader.number(one.power, "power", known=reader.how("work.power")),
            reader.number(one.power * stage.service.likely, "power", high=one.power * stage.service.bad),
            reader.number(one.rated.wrap, "angle"),
            reader.number(one.rated.arc, "number", "× {}", decimals=3),
            one.rated.number(reader, stage.belts, "{} ({low} to {high})"),
        )
        for one in stage.each
    ]
    heads = ("pulley", "power", "to design for", "wrap", "arc of contact", "carried there")
    note = "Each pulley is rated by its own power, speed and wrap; the driver passes the power of all."
    return [Table(f"{stage.name}: rated power, pulley by pulley", heads, tuple(rows), note)] if rows else []


def size_tables(reader: Reader, layout: StageLayout, stage: StageCapacity) -> list[Table]:
    """Return the table of pulleys that would carry the load; none where nothing is offered."""
    if stage.rated is None:
        return []
    rows = [
        (
            reader.number(s.belts, "number"),
            pair(reader, s),
            reader.number(s.path, "length"),
            reader.number(s.wrap, "angle"),
            reader.number(s.power, "power", "{} ({low})", low=s.low),
            "yes" if s.usual else f"under it, down to {100 * SMALL_PULLEY:.0f} % is a caution",
        )
        for s in offers_of(reader, layout, stage)
    ]
    heads = ("belts", "pulleys", "path", "wrap on the small one", "carry (bad end)", "section's usual minimum kept")
    note = "Same section, ratio and centres; driven pulleys of any size can be turned, bought ones come in steps."
    return [Table(f"{stage.name}: smallest pulleys that carry the load", heads, tuple(rows), note)] if rows else []


__all__ = ["belts_words", "design_power", "each_tables", "offers_of", "pair", "rated_table", "size_tables"]
