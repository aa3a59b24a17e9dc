"""Work that drives back, such as a hanging load or a machine on a slope: does it stay once the clutch lets go?"""

from __future__ import annotations

from jackshaft.chapters.ratio.data import RatioData
from jackshaft.parts.tightener import KIND, stage_of
from jackshaft.results.checks import CAUTION, GO, grade
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

ID, NAME = "clutch.held-back", "load held when the clutch lets go"
#: A flywheel or a blade drives back with up to this share of its working load; more comes of a slope or of a load that
#: hangs, which does not run down: common practice, no source.
COASTING = 0.5
FACTOR, BRAKE, TORQUE = "work.overrun_factor", "clutch.brake", "clutch.brake_torque"


def wanted_of(reader: Reader, ratio: RatioData | None, shaft: str) -> float | None:
    """Return the torque (N·m) with which the work drives the clutch's brake; None where that is not known."""
    at = shaft
    if ratio is not None and reader.get("clutch.kind") == KIND:
        stage = ratio.stage(stage_of(reader, ratio, shaft) or "")
        at = shaft if stage is None else stage.end  # let go, the belt is slack: the brake sits behind it
    state, factor = None if ratio is None else ratio.shaft(at), reader.si(FACTOR)
    return None if state is None or state.torque is None or factor is None else factor * state.torque


def check(draft: Draft, reader: Reader, ratio: RatioData | None, shaft: str) -> None:
    """Add the verdict on whether a brake holds work that drives back harder than a flywheel does; else nothing."""
    factor, brake = reader.si(FACTOR), reader.get(BRAKE)
    if factor is None or factor <= COASTING:
        return
    wanted, torque = wanted_of(reader, ratio, shaft), reader.ends(TORQUE)
    limit = "a brake that holds it" if wanted is None else reader.number(wanted, "torque", "a brake of {} or more")
    why = f"The work drives back with {factor:g} × its working load, as a hanging load or a machine on a slope does. "
    why += "Once the clutch lets go, the engine does not hold it: it runs back or away, faster and faster."
    lacks = (BRAKE,) if brake is None else (TORQUE,) if brake and torque is None else ()
    if brake and torque is not None and wanted is None:
        lacks = reader.unknown("work.power", "work.power_at", "engine.work_speed") or ("stage",)
    if lacks:
        draft.missing(reader, ID, NAME, lacks, f"{why} Whether a brake holds it is not known yet.", limit=limit)
        return
    likely = reader.si(TORQUE) if brake else None
    holds = likely is not None and grade(likely=likely, bad=torque[0], limit=wanted) == GO
    draft.check(
        ID,
        NAME,
        found=reader.number(likely, "torque", "a brake of {}") if brake else "no brake",
        wanted=limit,
        verdict=GO if holds else CAUTION,
        reason=f"{why} The brake holds it." if holds else why,
        remedy=""
        if holds
        else "Fit a brake that holds it, a ratchet, or a gear that the load cannot turn, between clutch and work. If "
        "one of these is there, accept this check with it as the reason.",
        source="own-derivation; common practice, no source",
    )


__all__ = ["BRAKE", "ID", "TORQUE", "check", "wanted_of"]
