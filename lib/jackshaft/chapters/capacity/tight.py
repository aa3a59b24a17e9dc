"""Whether a belt is pulled tighter than its section stands, whatever it carries."""

from __future__ import annotations

from jackshaft.chapters.capacity import rated
from jackshaft.chapters.capacity.data import StageCapacity
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_most

#: The ratings stand on a tight strand of five times the slack one at half a turn: pull over tight strand.
CONVENTION = 1.0 - 1.0 / 5.0

#: Tight strand over the one that the rating stands on. A new belt is set to one and a half times a used one's tension
#: (deflection force tables); at twice, fatigue with an exponent of about 11 leaves a thousandth of the life.
NEW_BELT, RUINED = 1.5, 2.0


def rated_strand(layout: StageLayout, stage: StageCapacity) -> float | None:
    """Return the tight strand without its centrifugal part, N, that the rating of one belt stands on at half a turn.

    A pulley under the section's usual least is judged by itself; here the belt is taken to run on the least one.
    """
    if stage.rated is None:
        return None
    strand = strand_of(layout.belt, stage.rated.small, layout.speed, stage.rated.ratio)
    return strand and strand * stage.rated.length


def strand_of(belt, small: float, speed: float, ratio: float) -> float | None:
    """Return the same for a belt of the base length; None where no rating covers it.

    Parameters
    ----------
    belt : Section
        The belt.
    small : float
        Pitch diameter of the smaller pulley with power, m.
    speed : float
        Belt speed, m/s.
    ratio : float
        The larger over the smaller pulley.

    Returns
    -------
    float or None
        N.

    Source
    ------
    rma-ip20; narrow-sheet-b
    """
    small = max(small, belt.min_pulley + (belt.pitch_minus_reference or 0.0))
    found = rated.basic_power(belt, small, 2.0 * speed / small, ratio)
    strand = 0.0 if found is None else (found[0] + found[1]) / speed / CONVENTION
    return strand if strand > 0.0 else None


def judge(draft: Draft, reader: Reader, layout: StageLayout, stage: StageCapacity, grip: StageGrip | None) -> None:
    """Add the check of the tightest strand of one belt at work; none where no tension is known."""
    if grip is None or grip.net is None:
        return
    id, name = f"capacity.tension[{stage.name}]", f"{stage.name}: how hard one belt is pulled"
    # Running off the pulley is no load of this kind: the centrifugal part is left out on both sides.
    tight = float(grip.net.max()) / stage.belts
    limit = rated_strand(layout, stage)
    if limit is None:
        draft.check(
            id,
            name,
            found=reader.number(tight, "force"),
            wanted="no limit known",
            verdict=UNDECIDED,
            reason=f"No rating covers section {layout.belt.name} at this size and speed, so what it may be pulled with "
            "is not known. Ask the belt's maker for the highest tension of one belt.",
            source="rma-ip20; narrow-sheet-b",
        )
        return
    share = tight / limit
    verdict = GO if at_most(share, NEW_BELT) else CAUTION if at_most(share, RUINED) else STOP
    draft.check(
        id,
        name,
        found=reader.number(tight, "force"),
        wanted=reader.number(NEW_BELT * limit, "force", "{} or less", source=stage.rated.cite),
        verdict=verdict,
        reason=f"The tighter strand of one belt has {share:.1f} times the tension that its rating stands on. "
        f"A new belt is set up to {NEW_BELT:g} times; at {RUINED:g} times it lasts about a thousandth as long, and "
        "the shafts and bearings carry it too.",
        remedy="" if verdict == GO else "Ease the tension if the grip has more than it needs; else use more belts.",
        source=f"{stage.rated.cite}; belt-maintenance, deflection force table; own-derivation",
    )


__all__ = ["RUINED", "judge", "rated_strand", "strand_of"]
