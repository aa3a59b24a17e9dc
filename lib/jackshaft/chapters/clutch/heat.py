"""The clutch engaged again and again: where it settles, how often is too often, what the facing takes."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.clutch.engage import Engagement
from jackshaft.chapters.electric.analysis import ElectricData
from jackshaft.chapters.electric.line import AIR, ZERO_C
from jackshaft.mechanics import coil, slipheat
from jackshaft.results.checks import CAUTION, GO, STOP, Table, grade, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_most

BODY = ("clutch.outside_diameter", "clutch.outside_length")
#: Class of winding that a coil is taken to have where nobody knows: common practice, no source.
CLASS = "B"
ENDS = ("bad", "likely", "good")


class Settled(NamedTuple):
    """Repeated engagements, SI units; each mapping goes from bad, likely and good end to its figure.

    ``cooling`` is the heat given to the air for each kelvin (W/K), ``base`` the temperature that the air and the
    coil's own heat keep it at, ``peak`` the settled highest temperature (empty where no interval is known),
    ``interval`` the shortest time between engagements that keeps the peak within ``limit``; ``ohm_at_limit`` what the
    coil reads once it is as hot as that.
    """

    limit: float
    limit_words: str
    cooling: dict[str, float]
    air: dict[str, float]
    base: dict[str, float]
    peak: dict[str, float]
    mean: dict[str, float]
    interval: dict[str, float]
    every: float | None
    coil_watts: float
    ohm_at_limit: float


def settle(reader: Reader, found: Engagement | None, electric: ElectricData | None) -> Settled | None:
    """Work out where repeated engagements settle, or None where inputs lack."""
    every = reader.si("clutch.engage_every")
    sizes = [reader.si(key) for key in BODY]
    if found is None or found.mass is None or not found.course.locks or electric is None or None in sizes:
        if every is not None:
            reader.note_missing(*(key for key, value in zip(BODY, sizes, strict=True) if value is None))
        return None
    coil_watts = _coil_watts(electric)
    surface = float(slipheat.body_surface_si(sizes[0], length=sizes[1]))
    row = tables.table("clutch_facts").one(part="thermal", item="heat given to the air")
    cooling = {end: surface * row[column] for end, column in zip(ENDS, ("low", "likely", "high"), strict=True)}
    air = _air(reader)
    heats = {
        "bad": found.governed["bad"].heat,
        "likely": float(found.course.heat[-1]),
        "good": found.governed["good"].heat,
    }
    # the engine's droop takes heat out, so the end that counts is never better than the likely course
    heats["bad"], heats["good"] = max(heats["bad"], heats["likely"]), min(heats["good"], heats["likely"])
    limit, words = _limit(reader)
    base = {end: air[end] + coil_watts / cooling[end] for end in ENDS}
    peak, mean, interval = {}, {}, {}
    for end in ENDS:
        if not math.isfinite(heats[end]):
            interval[end] = math.inf
            if every:
                peak[end] = mean[end] = math.inf
            continue
        rise = float(slipheat.temperature_rise.si(heats[end], mass=found.mass))
        interval[end] = float(
            slipheat.least_interval_si(rise, allowed=limit - base[end], mass=found.mass, cooling=cooling[end])
        )
        if every:
            there = slipheat.repeated_si(
                heats[end], every=every, mass=found.mass, cooling=cooling[end], ambient=base[end]
            )
            peak[end], mean[end] = float(there.peak), float(there.mean)
    return Settled(
        limit,
        words,
        cooling,
        air,
        base,
        peak,
        mean,
        interval,
        every,
        coil_watts,
        float(coil.hot_resistance.si(electric.line.r20, temperature=limit)),
    )


def _coil_watts(electric: ElectricData) -> float:
    """Return the heat of the warm coil (W), engine running where known: what it makes while it is on."""
    i = next((k for k in map(electric.at, ("running, hot", "battery only, hot")) if k is not None), 0)
    return float(electric.steps.coil_amps[i] * electric.steps.coil_volts[i])


def _air(reader: Reader) -> dict[str, float]:
    given = reader.si("clutch.air_temperature")
    if given is not None:
        return dict.fromkeys(ENDS, given)
    if not reader.get("circuit.engine_space"):
        return dict.fromkeys(ENDS, AIR)
    row = tables.table("clutch_facts").one(part="mount", item="ambient under an engine cover")
    return {end: row[column] + ZERO_C for end, column in zip(ENDS, ("high", "likely", "low"), strict=True)}


def _limit(reader: Reader) -> tuple[float, str]:
    """Return what the clutch stands for long (K) and where that comes from."""
    given = reader.si("clutch.temperature_limit")
    if given is not None:
        return given, reader.how("clutch.temperature_limit") or "as given"
    rows = tables.table("insulation_classes").rows
    winding = next(r["limit_c"] for r in rows if r["class_letter"] == CLASS)
    facing = reader.get("clutch.facing")
    if facing is not None:
        mine = tables.table("friction_pairs").where(pair=facing).rows
        known = [r["temperature_steady_c"] or r["temperature_max_c"] for r in mine]
        known = [t for t in known if t]
        if known and min(known) < winding:
            return min(known) + ZERO_C, f"{facing}, by the table of friction pairs"
    return winding + ZERO_C, f"coil of insulation class {CLASS}, assumed"


def facts(draft: Draft, reader: Reader, settled: Settled | None, found: Engagement | None) -> None:
    """Add the mean heat of repeated engagements, where they settle, and how often is too often."""
    every = reader.si("clutch.engage_every")
    if every and found is not None and found.course.locks:
        draft.fact(
            "mean heat of repeated engagements",
            reader.number(float(found.course.heat[-1]) / every, "power", by="electric"),
            f"one every {reader.show(every, 'time')}; the housing must give this to the air",
        )
    if settled is None:
        return
    likely = settled.interval["likely"]
    bad = settled.interval["bad"]
    draft.fact(
        "engage at most",
        "never: one alone goes beyond the limit"
        if math.isinf(likely)
        else reader.number(likely, "time", "once every {}"),
        ("at the bad end never" if math.isinf(bad) else f"at the bad end once every {reader.show(bad, 'time')}")
        + f"; an estimate from its surface and the air, limit {reader.show(settled.limit, 'temperature')} "
        f"({settled.limit_words})",
    )


def check(draft: Draft, reader: Reader, settled: Settled | None, found: Engagement | None) -> None:
    """Add the verdict on repeated engagements, where the build says how often."""
    id, name = "clutch.repeated", "temperature, engaged again and again"
    every = reader.si("clutch.engage_every")
    if every is None:
        return
    if settled is None:
        missing = [k for k in (*BODY, "clutch.face_mass") if reader.get(k) is None]
        if found is None or missing:
            draft.checks.append(
                undecided(
                    id,
                    name,
                    missing or ("work.weight",),
                    "Where the temperature settles depends on the "
                    "heat of one engagement and on the surface that gives it to the air.",
                )
            )
        return
    peak = settled.peak
    verdict = grade(likely=peak["likely"], bad=peak["bad"], limit=settled.limit, higher_is_better=False)
    ends = {end: "without end" if math.isinf(t) else reader.show(t, "temperature") for end, t in peak.items()}
    value = f"{ends['good']} to {ends['bad']}"
    if math.isfinite(peak["likely"]):
        value = reader.number(
            peak["likely"], "temperature", f"{ends['good']} to {ends['bad']}", low=peak["good"], high=peak["bad"]
        )
    if math.isinf(settled.interval["likely"]):
        cure = "Engage at a lower speed or with the work unloaded: one engagement alone is too much"
    else:
        least = settled.interval["likely" if verdict == STOP or math.isinf(settled.interval["bad"]) else "bad"]
        cure = (
            f"Engage no oftener than once every {reader.show(least, 'time')}"
            if least > every
            else "This often is likely fine, so measure instead of guessing"
        )
    least, most = min(settled.cooling.values()), max(settled.cooling.values())
    draft.check(
        id,
        name,
        value,
        reader.number(settled.limit, "temperature", f"{{}} or less ({settled.limit_words})"),
        verdict,
        f"Once every {reader.show(every, 'time')}. The coil alone ({settled.coil_watts:.0f} W) keeps it at "
        f"{reader.show(settled.base['likely'], 'temperature')}; {least:.2g} to {most:.2g} W go to the air for "
        f"each kelvin, an estimate. Touch nothing: faces stay hot for long.",
        ""
        if verdict == GO
        else f"{cure}. Let air to the clutch, and read the coil after an hour's work: "
        f"{reader.show(settled.ohm_at_limit, 'resistance')} is as hot as it may get.",
        "shigley, ch. 16; from memory",
    )


def sheet(draft: Draft, reader: Reader, settled: Settled | None) -> None:
    """Add the table of repeated engagements at the bad end, likely and good end."""
    if settled is None:
        return
    rows = []
    for end in ENDS:
        interval = settled.interval[end]
        shown = [
            reader.number(t[end], "temperature") if t and math.isfinite(t[end]) else "" if not t else "without end"
            for t in (settled.air, settled.base, settled.mean, settled.peak)
        ]
        rows.append(
            (
                end,
                reader.number(settled.cooling[end], "thermal conductance", digits=3),
                *shown,
                "never" if math.isinf(interval) else reader.number(interval, "time"),
            )
        )
    draft.tables.append(
        Table(
            "Engaged again and again",
            (
                "end",
                "heat to the air",
                "air",
                "coil on, none engaged",
                "mean, settled",
                "highest, settled",
                "no oftener than",
            ),
            tuple(rows),
            "Highest = air and coil + rise / (1 - exp(-h A t / (m c))): every engagement adds its rise before "
            "the last one has gone. The surface is that of a round body with both ends.",
        )
    )


def facing_check(draft: Draft, reader: Reader, found: Engagement | None) -> None:
    """Add the verdict on the slip power that the facing takes, where facing and rings are known."""
    facing, rings = reader.get("clutch.facing"), reader.names("clutch.pole")
    if facing is None or found is None or not found.course.locks:
        return
    rows = [r for r in tables.table("friction_pairs").where(pair=facing).rows if r["power_low_w_per_mm2"]]
    sizes = [(reader.si(f"clutch.pole[{n}].inner"), reader.si(f"clutch.pole[{n}].outer")) for n in rings]
    area = sum(math.pi / 4 * (outer**2 - inner**2) for inner, outer in sizes if inner and outer)
    if not rows or not area:
        return
    flux = float(slipheat.slip_density_si(float(found.course.heat[-1]), seconds=found.course.lock_time, area=area))
    low, high = rows[0]["power_low_w_per_mm2"], rows[0]["power_high_w_per_mm2"] or rows[0]["power_low_w_per_mm2"]
    verdict = GO if at_most(flux, low * 1e6) else CAUTION if at_most(flux, high * 1e6) else STOP
    draft.check(
        "clutch.facing",
        "slip power on the facing",
        reader.number(flux, "heat flux", "{}, mean", digits=2),
        reader.number(
            high * 1e6,
            "heat flux",
            f"{low:g} to {high:g} W/mm²",
            low=low * 1e6,
            high=high * 1e6,
            source=rows[0]["source"],
        ),
        verdict,
        f"{facing}: {reader.show(float(found.course.heat[-1]), 'energy')} in "
        f"{reader.show(found.course.lock_time, 'time')} on {reader.show(area, 'area')}; it starts at twice the mean.",
        ""
        if verdict == GO
        else f"Engage at {100 * np.sqrt(low * 1e6 / flux):.0f} % of that speed or less, or unloaded: "
        "the power goes with the speed.",
        rows[0].cite,
    )


__all__ = ["BODY", "Settled", "check", "facing_check", "facts", "settle", "sheet"]
