"""Speeds, stop times and warm housings as they were read."""

from __future__ import annotations

from collections.abc import Mapping
from math import prod

from jackshaft import tables
from jackshaft.chapters.measured.data import Held
from jackshaft.chapters.measured.judging import Words, judge, key, lacks, off_by, share_off
from jackshaft.chapters.ratio.data import ENGINE, RatioData
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader

SPEED = "slip between engine and shaft"
STOP = "time to a standstill"
HOUSING = "bearing housing over the air"


def speeds(draft: Draft, reader: Reader, done: Mapping[str, Findings], entry: str) -> Held | None:
    """Hold the slip that two speeds show against the creep of belts in good order.

    The ratio without load is the one of the pitch lines; what a shaft lacks to it is creep and slip.
    """
    engine, mine = (key(entry, k) for k in ("engine_speed", "shaft_speed"))
    if reader.get(mine) is None:
        return None
    shaft = reader.get(key(entry, "shaft"))
    asked = reader.unknown(engine, key(entry, "shaft"))
    ratio: RatioData | None = done["ratio"].data
    path = path_to(ratio, shaft) if shaft else None
    if asked or path is None:
        words = "A speed says something of the belts beside the engine's speed at the same moment."
        lacks(draft, reader, "speed", entry, SPEED, asked or (ratio.between if ratio else ("stage",)), words)
        return None
    slip = 1.0 - reader.si(mine) / (reader.si(engine) * prod(stage.loose for stage in path))
    off = (1.0 - slip) * share_off(reader, {engine: "rotation", mine: "rotation"})
    row = tables.table("belt_limits").one(item="creep and slip")
    low, high = 0.0, sum(stage.pulleys is not None for stage in path) * row["high"] / 100.0
    held = Held(entry, "slip", slip, slip - off, slip + off, low, high)
    found = reader.number(slip, "number", f"{{}} (± {off:.1%})", unit="%", decimals=1, low=slip - off, high=slip + off)
    wanted = reader.number(high, "number", "0 to {}", unit="%", decimals=1, source=row["source"])
    return judge(
        draft,
        "speed",
        SPEED,
        held,
        found,
        wanted,
        Words(
            (
                f"{shaft} turns faster than its pulleys allow. One of them is not what the build says: its pitch line "
                "lies elsewhere, or a reading is wrong.",
                "Read both speeds again. Then measure the pulleys of this path.",
            ),
            (
                f"{shaft} turns slower than creep explains. A belt slips, or a pulley is not what the build says.",
                "Feel with the machine stopped which pulley is hot. Set that belt's tension again; look for oil and "
                "glazed flanks.",
            ),
        ),
    )


def path_to(ratio: RatioData | None, shaft: str):
    """Return the stages from the engine to a shaft, or None where one of them is not known."""
    found, at = [], shaft
    while ratio is not None and at != ENGINE:
        stage = next((s for s in ratio.stages if s.end == at), None)
        if stage is None or stage in found:
            return None
        found.append(stage)
        at = stage.start
    return found or None


def stop(draft: Draft, reader: Reader, done: Mapping[str, Findings], entry: str) -> Held | None:
    """Hold a stop time against the one that the label on the guards says."""
    mine, guards = key(entry, "stop_time"), done["guards"].data
    seconds = reader.si(mine)
    if seconds is None:
        return None
    if guards is None or guards.stands_after is None:
        words = "The build foretells no stop time yet. Write this one into it as a run-down test."
        lacks(draft, reader, "stop", entry, STOP, ("work.run_down_time", "work.run_down_speed"), words)
        return None
    off = off_by(reader, mine, "time")
    # people walk up by what the label says, so the doubt of the watch counts against it
    held = Held(entry, "stop", seconds + off, seconds + off, seconds + off, 0.0, guards.stands_after)
    return judge(
        draft,
        "stop",
        STOP,
        held,
        reader.number(seconds, "time", high=seconds + off),
        reader.number(guards.stands_after, "time", "{} or less, as the label says"),
        Words(
            ("", ""),
            (
                "The work turned on for longer than the label on its guards says. Somebody may reach it turning.",
                "Write the longer time on every label. Find out what changed: the brake, or a drag that is gone.",
            ),
        ),
    )


def housing(draft: Draft, reader: Reader, done: Mapping[str, Findings], entry: str) -> Held | None:
    """Hold the warmth of a bearing's housing against what is usual."""
    mine = key(entry, "housing_rise")
    rise = reader.si(mine)
    if rise is None:
        return None
    name = reader.get(key(entry, "bearing"))
    if name is None:
        words = "A warm housing says something once its bearing is named."
        lacks(draft, reader, "housing", entry, HOUSING, (key(entry, "bearing"),), words)
        return None
    row = tables.table("first_run").one(item="bearing housing over air")
    off = off_by(reader, mine, "temperature rise")
    return judge(
        draft,
        "housing",
        HOUSING,
        Held(entry, f"housing {name}", rise, rise - off, rise + off, 0.0, row["high"]),
        reader.number(rise, "temperature rise", f"{name}: {{}}"),
        reader.number(row["high"], "temperature rise", "{} or less", source=row["source"]),
        Words(
            ("", ""),
            (
                f"The housing of {name} is warmer than is usual. Too much grease, too tight a fit or belt, a bent "
                "shaft and a worn bearing do that.",
                "Let it settle for two hours. Still warm: stop, look at grease, play and belt tension.",
            ),
        ),
    )
