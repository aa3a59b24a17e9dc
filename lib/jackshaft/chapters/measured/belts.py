"""The tension of a belt as a push or its tone showed it."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.measured.data import Held
from jackshaft.chapters.measured.judging import Words, judge, key, lacks, off_by
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader

TENSION = "tension of one belt"

#: A tension that is set by hand is right to so much either way: common practice, no source.
BY_HAND = 0.10


def tension(draft: Draft, reader: Reader, done: Mapping[str, Findings], entry: str) -> Held | None:
    """Hold the tension that a push or a tone shows against the one that the tag asks for."""
    push, tone = (key(entry, k) for k in ("belt_force", "belt_frequency"))
    if reader.get(push) is None and reader.get(tone) is None:
        return None
    stage, of = reader.get(key(entry, "stage")), done["grip"].data or {}
    if stage is None:
        words = "A push or a tone says something once its belt is named."
        lacks(draft, reader, "tension", entry, TENSION, (key(entry, "stage"),), words)
        return None
    if stage not in of:
        words = f"What {stage} must be set to is not known yet, so a reading has nothing to stand beside."
        lacks(draft, reader, "tension", entry, TENSION, done["grip"].missing or ("stage",), words)
        return None
    set_to = of[stage].set
    pushed = reader.get(push) is not None
    place, kind = (push, "force") if pushed else (tone, "frequency")
    reading, off = reader.si(place), off_by(reader, place, kind)
    ends = [_shown(set_to, pushed, max(size, 0.0)) for size in (reading, reading - off, reading + off)]
    if None in ends:
        words = f"The mass of the belt is not known, so its tone says nothing. Push on {stage} instead."
        lacks(draft, reader, "tension", entry, TENSION, (push,), words)
        return None
    # while it is new it is set tighter, and comes down as it runs in
    low, high = (1.0 - BY_HAND) * set_to.each, (1.0 + BY_HAND) * set_to.each * set_to.new_over_run_in
    unset = "" if set_to.given else " No tension is chosen yet; this is the least that holds."
    return judge(
        draft,
        "tension",
        TENSION,
        Held(entry, f"tension {stage}", *ends, low, high),
        reader.number(ends[0], "force", f"{stage}: {{}} ({{low}} to {{high}})", low=ends[1], high=ends[2]),
        reader.number(set_to.each, "force", "{low} to {high}", low=low, high=high),
        Words(
            (
                f"{stage} is slacker than the tag asks for. It slips sooner, and hot.{unset}",
                f"Set the tension of {stage} again by its tag, and look again after a day.",
            ),
            (
                f"{stage} is tighter than the tag asks for. Shafts and bearings carry that all day.{unset}",
                f"Let {stage} out to its tag.",
            ),
        ),
    )


def _shown(of, pushed: bool, size: float) -> float | None:
    """Return the tension, N, that a push (N) or a tone (Hz) shows."""
    return of.of_force(size) if pushed else of.of_frequency(size, of.best)
