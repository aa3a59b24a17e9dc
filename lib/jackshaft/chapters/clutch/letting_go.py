"""Letting go without electrics: does the belt stand clear, does the lever come back, are hands kept out."""

from __future__ import annotations

import numpy as np

from jackshaft.chapters.clutch.stopping import cuts
from jackshaft.chapters.clutch.tightener import Tightener, tension_key_of
from jackshaft.chapters.clutch.ways_data import CENTRIFUGAL
from jackshaft.chapters.electric.words import unless_go
from jackshaft.chapters.grip.pull import breaking_pull
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.layout.take_up import track_of, travel_missing
from jackshaft.mechanics import path as belt_path
from jackshaft.mechanics import takeup
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED, Check, grade
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import TAPE
from jackshaft.units import OutOfRange, at_most

#: Places along the idler's way back that are looked at.
LOOKS = 181
#: Wrap of the idler (rad) below which it is taken to have come clear of the belt, not to have run into something.
CLEAR = np.radians(15.0)
#: Pull over strain of one belt, as multiples of what it breaks at: 1 % longer at a fifth of that. Common practice, no
#: source.
STIFF = 20.0
#: No lever lets an idler move back farther, m: common practice, no source.
FARTHEST = 1.0
TRAVEL, KEEPERS = "clutch.release_travel", "clutch.keepers"


def freed(reader: Reader, layout: StageLayout, travel: float) -> float | None:
    """Return the length of belt (m) that comes free when the idler moves back by a travel (m) from where it holds.

    None where the idler cannot move. Once it has come clear of the belt, the rest of the loop runs without it.

    Raises
    ------
    OutOfRange
        Where the idler runs into something on its way back, or its arm turns by more than half a turn.
    """
    found = track_of(reader, f"stage[{layout.name}]", layout)
    if found is None:
        return None
    loop, track = found
    k = layout.mover
    if isinstance(track, takeup.Arm):
        start, unit = 0.5 * (track.low + track.high), track.length
    else:
        spot = float(layout.places.x[k]), float(layout.places.y[k])
        start, unit = float(np.hypot(spot[0] - track.x0, spot[1] - track.y0)), 1.0
    if isinstance(track, takeup.Arm) and travel > np.pi * unit:
        raise OutOfRange("the idler's arm would have to turn by more than half a turn")
    x, y, ex, ey = takeup.point_on_si(track, np.array([start]))
    _, gx, gy = loop(x, y)
    tighter = 1.0 if float((gx * ex + gy * ey)[0]) >= 0.0 else -1.0
    x, y, *_ = takeup.point_on_si(track, start - tighter * np.linspace(0.0, travel / unit, LOOKS))
    path = loop(x, y)[0]
    runs = np.logical_and.accumulate(path.reason == 0)
    last = max(int(np.sum(runs)) - 1, 0)
    length = float(path.length[last])
    if not runs.all():
        if path.wrap[last, k] > CLEAR or len(layout.pulleys.names) < 3:
            raise OutOfRange(
                f"the idler runs into something on its way back: {belt_path.REASONS[int(path.reason[last + 1])]}"
            )
        length = _without(layout, k)
    return float(layout.path.length) - length


def _without(layout: StageLayout, k: int) -> float:
    """Return the length (m) of the loop without one of its pulleys."""
    p, at = layout.pulleys, layout.places
    x, y, r, inside = (np.delete(v, k) for v in (at.x, at.y, p.pitch, p.inside))
    one = belt_path.path_si(x, y, r, inside, layout.ccw)
    if one.reason != 0:
        raise OutOfRange(f"without its idler the belt has no path: {belt_path.REASONS[int(one.reason)]}")
    return float(one.length)


def travel_wanted(reader: Reader, found: Tightener) -> float | None:
    """Return how far (m) the idler must move back until the belt stands clear; None where it never does so."""
    slack = max(slack_wanted(found.layout), 1.01 * (stretched(found) or 0.0))
    low, high = 0.0, 0.01
    try:
        while (freed(reader, found.layout, high) or 0.0) < slack:
            low, high = high, 1.5 * high
            if high > FARTHEST:
                return None
        while high - low > 1e-4:
            middle = 0.5 * (low + high)
            enough = (freed(reader, found.layout, middle) or 0.0) >= slack
            low, high = (low, middle) if enough else (middle, high)
    except OutOfRange:
        return None
    return high


def clear(draft: Draft, reader: Reader, found: Tightener, unknown: tuple[str, ...]) -> None:
    """Add the verdict on whether the belt stands clear of its driver once the tightener is let go.

    ``unknown`` are the keys without which the tension that stretches the belt is not known.
    """
    id, name, layout = "clutch.clear", "belt stands clear when let go", found.layout
    travel, keepers = reader.si(TRAVEL), reader.get(KEEPERS)
    keepers = True if keepers is None and reader.get(f"stage[{found.stage}].clutching_belt") else keepers
    at = f"stage[{found.stage}]"
    known = layout is not None and layout.path.reason == 0 and layout.belt is not None
    lacks = () if known else (f"{at}.section",) if layout is None or layout.belt is None else (f"{at}.takeup.idler",)
    lacks += (TRAVEL,) if travel is None else ()
    lacks += (f"{at}.takeup.idler",) if known and layout.idler is None else ()
    lacks += travel_missing(reader, at, layout, longer=False) if known else ()
    if lacks:
        words = (
            "A belt that still lies in its groove is dragged along, and the work creeps. How far the idler moves back "
        )
        words += "says how much belt comes free."
        draft.missing(reader, id, name, lacks, words)
        return
    if layout.mover != layout.idler:
        raise OutOfRange("the belt is not tightened by its idler: say so in how it is tensioned")
    free, wanted = freed(reader, layout, travel) or 0.0, slack_wanted(layout)
    verdict = grade(likely=free, bad=free, limit=wanted, guards=True)
    verdict = CAUTION if verdict == STOP and free > 0.0 else verdict
    why = "Lifted out of its groove all round the driver, the belt needs its own height times the wrap of slack. With "
    why += "less it lies on the turning driver and is dragged along. Only keepers hold the slack off the driver."
    if keepers is False:
        verdict = STOP if cuts(reader) or free <= 0.0 else CAUTION
        why = f"Nothing holds the slack belt off its driver, so it may grab, and the work starts by itself. {why}"
    stretch = stretched(found)
    if stretch is not None and at_most(free, stretch):
        verdict = STOP
        why = f"The belt is still tight: its tension has stretched it by about {reader.show(stretch, 'length')}, and "
        why += "keepers hold off nothing that is not slack. The work goes on turning."
    value, limit = (
        reader.number(free, "length", "{} of slack" + (", no keepers" if keepers is False else ""), form=TAPE),
        reader.number(wanted, "length", "{} or more", form=TAPE),
    )
    if stretch is None and verdict != STOP:
        words = "The tension stretches the belt, and the slack must be more. How far it is stretched is not known yet."
        draft.missing(reader, id, name, unknown or (tension_key_of(reader, found),), words, limit=limit)
        return
    if keepers is None and verdict == GO:
        reader.note_missing(KEEPERS)
        words = f"It would do. {why} Whether there are any is not known."
        draft.checks.append(Check(id, name, value, limit, UNDECIDED, words, missing=(KEEPERS,)))
        return
    draft.check(
        id=id,
        name=name,
        found=value,
        wanted=limit,
        verdict=verdict,
        reason=why,
        remedy=unless_go(
            verdict,
            "Let the idler move back farther (clutch.release_travel), and fit keepers "
            "close to the belt at its driver (clutch.keepers).",
        ),
        source="own-derivation, the path with the idler moved back; common practice, no source",
        guards=verdict == STOP,
    )


def slack_wanted(layout: StageLayout) -> float:
    """Return the slack (m) of a belt lifted out of its groove all round the driver: its circle grows by its height."""
    return float(layout.belt.height * layout.path.wrap[layout.pulleys.driver])


def stretched(found: Tightener) -> float | None:
    """Return the length (m) that the belt is longer by its tension; None where that is not known."""
    if found.counted is None or found.grip is None:
        return None
    one = found.grip.loading / found.grip.belts
    return one / (STIFF * breaking_pull(found.layout.belt)[0]) * float(found.layout.path.length)


def returns(draft: Draft, reader: Reader) -> None:
    """Add the verdict on whether the tightener lets go when its lever is let go."""
    id, name, key = "clutch.returns", "lets go with the hand", "clutch.returns"
    says, limit = reader.get(key), "lets go by itself"
    if says is None:
        words = "A lever that stays where it is put keeps the work turning after whoever works it has fallen or left."
        draft.missing(reader, id, name, (key,), words, limit=limit)
        return
    verdict = GO if says else STOP if cuts(reader) else CAUTION
    draft.check(
        id=id,
        name=name,
        found="lets go by itself" if says else "stays tight",
        wanted=limit,
        verdict=verdict,
        reason="The belt slackens as soon as hand or foot leaves the lever."
        if says
        else "It goes on turning after whoever works it has fallen or left. Work that cuts or throws must let go with "
        "the hand; the safety standard of the machine and local codes say how.",
        remedy=unless_go(verdict, "Fit a spring that pulls the idler back, and no catch on the lever."),
        source="common practice, no source",
        guards=verdict == STOP,
    )


def guarded(draft: Draft, reader: Reader, kind: str) -> None:
    """Add the verdict on the guard: what turns or closes here does so without warning."""
    id, name, key, limit = "clutch.guarded", "hands kept out", "clutch.guarded", "a fixed guard"
    says = reader.get(key)
    where = "The idler closes on the belt with the whole force of its lever, and the driver turns on in the slack belt."
    if kind == CENTRIFUGAL:
        where = "Shoes and spider turn whenever the engine runs, and drum and work start as soon as it speeds up."
    if says is None:
        draft.missing(reader, id, name, (key,), f"{where} Whether a guard keeps hands out is not known.", limit=limit)
        return
    draft.check(
        id=id,
        name=name,
        found="guarded" if says else "open",
        wanted=limit,
        verdict=GO if says else STOP,
        reason=where,
        remedy="" if says else "Fit a fixed guard that needs a tool to take off.",
        source="common practice, no source",
        guards=not says,
    )


__all__ = ["clear", "freed", "guarded", "returns", "travel_wanted"]
