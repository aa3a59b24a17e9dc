"""The tables of a loop's capacity: its rating step by step, and the pulleys that would carry the load."""

from __future__ import annotations

from jackshaft.chapters.capacity import rated
from jackshaft.chapters.capacity.data import StageCapacity
from jackshaft.chapters.layout.checks import SMALL_PULLEY
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.results.checks import Table
from jackshaft.results.reader import Reader


def offers_of(reader: Reader, layout: StageLayout, stage: StageCapacity) -> tuple[rated.Size, ...]:
    """Return the pairs of pulleys that would carry the load, one belt first."""
    return tuple(rated.sizes(layout, stage.design_bad, system=reader.system, least_share=SMALL_PULLEY))


def pair_words(reader: Reader, size: rated.Size) -> str:
    """Return a pair of pulleys as text."""
    return f"{reader.show(size.small, 'length', digits=3)} to {reader.show(size.large, 'length', digits=3)} pitch"


def rated_sheet(reader: Reader, layout: StageLayout, stage: StageCapacity) -> Table:
    """Return the rating step by step."""
    one = stage.rated
    rows = [(what, amount, "") for what, amount in stage.service.parts]
    rows.append(
        (
            "power to design for",
            reader.show(stage.design, "power"),
            f"{reader.show(stage.power, 'power')} × {stage.service.likely:.2f}",
        )
    )
    if one is not None:
        small = reader.show(one.small, "length", digits=4)
        rows += [
            (
                "rated on the small pulley and the faster shaft",
                reader.show(one.basic, "power"),
                f"{small} pitch, {reader.show(one.faster, 'rotation')}, ratio 1, half a turn",
            ),
            (
                "added for the ratio",
                reader.show(one.addon, "power") if one.addon else "nothing",
                f"{one.ratio:.2f} : 1; a sum, never a multiplier" if one.addon else "not in this rating",
            ),
            (
                "arc of contact",
                f"× {one.arc:.3f}",
                f"{reader.show(one.wrap, 'angle')} on {layout.pulleys.names[one.at]}; the law of grip already, grip is "
                "not counted here again",
            ),
            (
                "length",
                f"× {one.length:.3f}",
                f"{reader.show(rated.datum_length(layout), 'length')} datum"
                if rated.length_factor(layout.belt.name, 1.0)[1]
                else "no table for this section, taken as 1",
            ),
            (
                "one belt carries",
                reader.show(one.power, "power"),
                f"±{100 * one.spread:.0f} %: editions of the ratings differ",
            ),
            (
                f"{stage.belts} belt{'s' if stage.belts > 1 else ''}",
                reader.show(stage.carried, "power"),
                f"{reader.show(stage.carried_bad, 'power')} at the bad end",
            ),
        ]
    return Table(
        f"{stage.name}: rated power",
        ("step", "amount", "how"),
        tuple(rows),
        "" if one is not None else "No rating is known for this section at this size and speed.",
    )


def size_sheets(reader: Reader, layout: StageLayout, stage: StageCapacity) -> list[Table]:
    """Return the table of pulleys that would carry the load; none where nothing is offered."""
    if stage.rated is None:
        return []
    rows = []
    for s in offers_of(reader, layout, stage):
        rows.append(
            (
                str(s.belts),
                pair_words(reader, s),
                reader.show(s.path, "length"),
                reader.show(s.wrap, "angle"),
                f"{reader.show(s.power, 'power')} ({reader.show(s.power * (1 - stage.rated.spread), 'power')})",
                "yes" if s.usual else f"under it, down to {100 * SMALL_PULLEY:.0f} % is a caution",
            )
        )
    if not rows:
        return []
    return [
        Table(
            f"{stage.name}: smallest pulleys that carry the load",
            (
                "belts",
                "pulleys",
                "path",
                "wrap on the small one",
                "carry (bad end)",
                "section's usual minimum kept",
            ),
            tuple(rows),
            "Same section, ratio and centres; driven pulleys of any size can be turned, bought ones come in steps.",
        )
    ]


__all__ = ["offers_of", "pair_words", "rated_sheet", "size_sheets"]
