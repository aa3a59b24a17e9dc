"""What a build does not say of its load, and of the shaft that carries the clutch, leaves a go of the clutch open."""

from __future__ import annotations

from jackshaft.chapters.clutch import engage as clutch_engage
from jackshaft.chapters.clutch.torque import PLATE, known_torques
from jackshaft.chapters.electric.supply import voltage_untold
from jackshaft.chapters.ratio.data import ENGINE, RatioData
from jackshaft.parts.outside_loads import may_carry_clutch
from jackshaft.parts.works import STRAY, factor_key, factor_of, stray_works
from jackshaft.results.checks import CAUTION, GO
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

#: What rests on the shaft that carries the clutch; the first four rest on its torque too.
RESTS = ("hold", "pull-in", "engagement", "repeated", "bore", "keyway", "idle")


def leave_open(
    draft: Draft, reader: Reader, found: clutch_engage.Engagement | None, ratio: RatioData | None, shaft: str
) -> None:
    """Leave open what a hard start or peak may spoil, where the build does not say how hard they are.

    That is a go, and of what the clutch holds a caution too, for a peak may make a stop of it.
    """
    lacks = {n: factor_key(reader, n) for n in ("start", "peak") if factor_of(reader, ratio, shaft, n) is None}
    if reader.get("clutch.engage_unloaded"):
        lacks.pop("start", None)
    start = [lacks[n] for n in lacks if n == "start"]
    words = "How hard the work starts is not known: here it starts as hard as it works."
    steady = () if found is not None and found.load.power else ("clutch.engagement", "clutch.repeated")
    draft.doubt(reader, start, words, "clutch.pull-in", *steady)
    hard = "How hard the work starts, or how hard its peaks are, is not known."
    draft.doubt(reader, list(lacks.values()), hard, "clutch.hold", of=(GO, CAUTION))
    draft.doubt(reader, stray_works(reader), STRAY, "clutch.engagement", "clutch.repeated")
    draft.doubt(reader, *plate_untold(reader), *(f"clutch.{what}" for what in RESTS[:4]))
    _carried(draft, reader)


def plate_untold(reader: Reader) -> tuple[tuple[str, ...], str]:
    """Return the key without which the torque on a clutch's plate is that of a voltage nobody wrote down, and words."""
    used = next(iter(known_torques(reader)), None)
    return voltage_untold(reader) if used is not None and used.name == PLATE else ((), "")


def _carried(draft: Draft, reader: Reader) -> None:
    """Say that the clutch is taken to sit on the engine's shaft; ask for its shaft where others drive something too."""
    shafts, named = may_carry_clutch(reader), ("clutch.shaft", "shaft that carries the clutch")
    if not shafts:
        return
    if len(shafts) == 1:
        reader.note_missing("clutch.shaft")
        why = "Its shaft is not written down, and no other shaft drives anything."
        draft.check(*named, f"{ENGINE}, assumed", "a shaft that drives", GO, reason=why, source="the build")
        return
    draft.missing(reader, *named, ("clutch.shaft",), f"It may be {' or '.join(shafts)}. Here {ENGINE} is taken.")
    words = f"It may sit on {' or '.join(shafts[1:])} as well, where the torque is another."
    draft.doubt(reader, ("clutch.shaft",), words, *(f"clutch.{what}" for what in RESTS))


__all__ = ["leave_open", "plate_untold"]
