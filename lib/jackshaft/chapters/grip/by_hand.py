"""Numbers of tension and grip to work by hand: the belt's own pull at speed, and how a strand tells its tension."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.buildfile.naming import holds, named
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.results.by_hand import Worked, worked
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.units import NotKnown


def _first(found: Mapping[str, Findings]) -> StageGrip | None:
    stages = (found["grip"].data or {}).values()
    return next((s for s in stages if s.set.mass is not None), next(iter(stages), None))


def _one_belt(stage: StageGrip) -> str:
    """Return one belt of a stage in words: "One belt of crank belts", and "Drive belt, one of 2" where that says it."""
    if not holds(stage.name, "belt"):
        return f"One belt of {stage.name}"
    return named("Belt", stage.name) + (f", one of {stage.belts}" if stage.belts > 1 else "")


def centrifugal(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The part of one belt's tension that only bends it round at speed."""
    stage, layout = _first(found), found["layout"].data or {}
    loop = layout.get(stage.name) if stage else None
    if loop is None or loop.belt is None or loop.speed is None:
        return NotKnown("The speed and the section of no belt of this build are both known yet.")
    return worked(
        f"{_one_belt(stage)} at work",
        reader.system,
        takes={"speed": (loop.speed, "surface speed"), "linear_density": (loop.belt.mass, "linear density")},
        says={"force": (stage.centrifugal / stage.belts, "force")},
        call="centrifugal({speed}, linear_density={linear_density})",
    )


def strand(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """What the longest strand of one belt, run in, tells of its tension: by a push, and by ear."""
    stage = _first(found)
    if stage is None:
        return NotKnown("No belt of this build is known well enough to reckon its tension.")
    best = stage.set.best
    return worked(
        f"{_one_belt(stage)}, strand {best.words}, at rest",
        reader.system,
        takes={
            "tension": (stage.set.each, "force"),
            "span": (best.span, "length"),
            "stiffness": (stage.set.stiffness, "force"),
            "share": float(stage.set.share),
            "linear_density": (stage.set.mass, "linear density"),
        },
        says={"force": (best.force / stage.set.together, "force"), "frequency": (best.frequency, "frequency")},
        call="deflection_force({tension}, span={span}, stiffness={stiffness}, share={share}), "
        "span_frequency({tension}, span={span}, linear_density={linear_density})",
    )


EXAMPLES = {"centrifugal": centrifugal, "strand": strand}

__all__ = ["EXAMPLES"]
