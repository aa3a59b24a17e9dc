"""The clutch engaged again and again: where it settles, how often is too often, what the facing takes."""

from __future__ import annotations

import math
from typing import NamedTuple

from jackshaft import tables
from jackshaft.chapters.clutch.engage import Engagement
from jackshaft.chapters.clutch.torque import rings_of
from jackshaft.chapters.electric.data import ElectricData
from jackshaft.chapters.electric.line import AIR
from jackshaft.chapters.electric.words import unless_go
from jackshaft.mechanics import coil, slipheat
from jackshaft.results.checks import CAUTION, GO, STOP, Table, grade, stays_within, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value
from jackshaft.units import ZERO_C

BODY = ("clutch.outside_diameter", "clutch.outside_length")
#: Class of winding that a coil is taken to have where nobody knows: common practice, no source.
CLASS = "B"
ENDS = ("bad", "likely", "good")


class Settling(NamedTuple):
    """Repeated engagements at one end of what is not known, SI units.

    ``cooling`` is the heat given to the air for each kelvin (W/K), ``base`` the temperature that the air and the
    coil's own heat keep the clutch at, ``interval`` the shortest time between engagements that keeps the peak within
    the limit; ``peak`` and ``mean`` are the settled temperatures, None where no interval is known.
    """

    cooling: float
    air: float
    base: float
    interval: float
    mean: float | None
    peak: float | None


class Settled(NamedTuple):
    """Repeated engagements, SI units: the limit and where it comes from, and the bad, likely and good end.

    ``every`` is the time between engagements, ``ohm_at_limit`` what the coil reads once it is as hot as the limit.
    """

    limit: float
    limit_words: str
    ends: dict[str, Settling]
    every: float | None
    coil_watts: float
    ohm_at_limit: float


def settle(reader: Reader, found: Engagement | None, electric: ElectricData | None) -> Settled | None:
    """Work out where repeated engagements settle, or None where inputs are missing."""
    every = reader.si("clutch.engage_every")
    sizes = [reader.si(key) for key in BODY]
    if found is None or found.mass is None or not found.steps.locks or electric is None or None in sizes:
        if every is not None:
            reader.note_missing(*(key for key, value in zip(BODY, sizes, strict=True) if value is None))
        return None
    state = f"{electric.which}, hot"
    watts = electric.amps(state) * electric.volts(state)
    surface = float(slipheat.body_surface_si(sizes[0], length=sizes[1]))
    row = tables.table("clutch_facts").one(part="thermal", item="heat given to the air")
    limit, words = _limit(reader)
    # the engine's droop takes heat out, so the end that counts is never better than the likely course
    heats = {
        "bad": max(found.governed["bad"].heat, found.heat),
        "likely": found.heat,
        "good": min(found.governed["good"].heat, found.heat),
    }
    air = air_of(reader)
    ends = {
        end: settling(
            heats[end],
            mass=found.mass,
            cooling=surface * row[column],
            air=air[end],
            coil_watts=watts,
            limit=limit,
            every=every,
        )
        for end, column in zip(ENDS, ("low", "likely", "high"), strict=True)
    }
    return Settled(
        limit=limit,
        limit_words=words,
        ends=ends,
        every=every,
        coil_watts=watts,
        ohm_at_limit=float(coil.hot_resistance.si(electric.line.r20, temperature=limit)),
    )


def settling(heat: float, *, mass, cooling, air, coil_watts, limit, every) -> Settling:
    """Return where engagements of some heat (J) settle, with one set of figures for cooling and air."""
    base = air + coil_watts / cooling
    if not math.isfinite(heat):
        endless = math.inf if every else None
        return Settling(cooling, air, base, interval=math.inf, mean=endless, peak=endless)
    rise = float(slipheat.temperature_rise.si(heat, mass=mass))
    interval = float(slipheat.least_interval_si(rise, allowed=limit - base, mass=mass, cooling=cooling))
    if not every:
        return Settling(cooling, air, base, interval, mean=None, peak=None)
    there = slipheat.repeated_si(heat, every=every, mass=mass, cooling=cooling, ambient=base)
    return Settling(cooling, air, base, interval, mean=float(there.mean), peak=float(there.peak))


def air_of(reader: Reader) -> dict[str, float]:
    """Return the temperature (K) of the air round the clutch at each end."""
    given = reader.si("clutch.air_temperature")
    if given is not None:
        return dict.fromkeys(ENDS, given)
    if not reader.get("circuit.engine_space"):
        return dict.fromkeys(ENDS, AIR)
    row = tables.table("clutch_facts").one(part="mount", item="ambient under an engine cover")
    return {end: row[column] + ZERO_C for end, column in zip(ENDS, ("high", "likely", "low"), strict=True)}


def _limit(reader: Reader) -> tuple[float, str]:
    """Return the highest temperature (K) that the clutch takes for long, and where that comes from."""
    given = reader.si("clutch.temperature_limit")
    if given is not None:
        return given, reader.how("clutch.temperature_limit") or "as given"
    winding = tables.table("insulation_classes").one(class_letter=CLASS)["limit_c"]
    facing = reader.get("clutch.facing")
    if facing is not None:
        rows = tables.table("friction_pairs").where(pair=facing).rows
        known = [t for r in rows if (t := r["temperature_steady_c"] or r["temperature_max_c"])]
        if known and min(known) < winding:
            return min(known) + ZERO_C, f"{facing}, by the table of friction pairs"
    return winding + ZERO_C, f"coil of insulation class {CLASS}, assumed"


def facts(draft: Draft, reader: Reader, settled: Settled | None, found: Engagement | None) -> None:
    """Add the mean heat of repeated engagements, where they settle, and how often is too often."""
    every = reader.si("clutch.engage_every")
    if every and found is not None and found.steps.locks:
        draft.fact(
            "mean heat of repeated engagements",
            reader.number(found.heat / every, "power", by="electric"),
            f"one every {reader.show(every, 'time')}; the housing must give this heat to the air",
        )
    if settled is None:
        return
    likely, bad = (settled.ends[end].interval for end in ("likely", "bad"))
    draft.fact(
        "engage at most",
        "never: one alone goes beyond the limit"
        if math.isinf(likely)
        else reader.number(likely, "time", "once every {}"),
        ("at the bad end never" if math.isinf(bad) else f"at the bad end once every {reader.show(bad, 'time')}")
        + f"; an estimate from the clutch's surface and the air, limit {reader.show(settled.limit, 'temperature')} "
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
            words = (
                "Where the temperature settles depends on the heat of one engagement and on the surface that gives it "
            )
            words += "to the air."
            draft.checks.append(undecided(id, name, missing or ("work.weight",), words))
        return
    bad, likely, good = (settled.ends[end] for end in ENDS)
    # a share of a kelvin temperature means nothing: what may be forgiven is a share of the degrees Celsius
    peaks = {"likely": likely.peak - ZERO_C, "bad": bad.peak - ZERO_C}
    verdict = grade(**peaks, limit=settled.limit - ZERO_C, higher_is_better=False)
    value = " to ".join(
        "without end" if math.isinf(end.peak) else reader.show(end.peak, "temperature") for end in (good, bad)
    )
    if math.isfinite(likely.peak):
        value = reader.number(likely.peak, "temperature", value, low=good.peak, high=bad.peak)
    draft.check(
        id=id,
        name=name,
        found=value,
        wanted=reader.number(settled.limit, "temperature", f"{{}} or less ({settled.limit_words})"),
        verdict=verdict,
        reason=f"Once every {reader.show(every, 'time')}. The coil alone ({settled.coil_watts:.0f} W) keeps it at "
        f"{reader.show(likely.base, 'temperature')}. {bad.cooling:.2g} to {good.cooling:.2g} W go to the air for each "
        f"kelvin, an estimate. At {reader.show(settled.ohm_at_limit, 'resistance')} the coil is as hot as it may get. "
        "Do not touch the faces: they stay hot for a long time.",
        remedy=unless_go(
            verdict,
            "Let air reach the clutch, and read the coil's resistance after an hour's work.",
        ),
        source="shigley, ch. 16; from memory",
        guards=verdict == STOP and math.isinf(likely.peak),
    )


def sheet(draft: Draft, reader: Reader, settled: Settled | None) -> None:
    """Add the table of repeated engagements at the bad end, likely and good end."""
    if settled is None:
        return

    def cell(kelvin: float | None) -> Value:
        return "without end" if kelvin == math.inf else reader.cell(kelvin, "temperature")

    rows = [
        (
            end,
            reader.number(found.cooling, "thermal conductance", digits=3),
            *(cell(t) for t in (found.air, found.base, found.mean, found.peak)),
            "never" if math.isinf(found.interval) else reader.number(found.interval, "time"),
        )
        for end, found in settled.ends.items()
    ]
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
                "no more often than",
            ),
            tuple(rows),
            "Highest = air and coil + rise / (1 - exp(-h A t / (m c))): every engagement adds its rise before that of "
            "the last one is gone. The surface is that of a round body with both ends.",
        )
    )


class FacingHeat(NamedTuple):
    """Mean slip power on the facing (W/m²): likely, with the most torque, and the facing's two limits."""

    likely: float
    most: float
    low: float
    high: float
    area: float


def facing_heat(reader: Reader, found: Engagement | None) -> FacingHeat | None:
    """Return the slip power on the facing, None where facing, rings or engagement are not known.

    The mean is half the torque times the first slip, so it goes with the torque and with the speed.
    """
    facing = reader.get("clutch.facing")
    if facing is None or found is None or not found.steps.locks:
        return None
    row = next((r for r in tables.table("friction_pairs").where(pair=facing).rows if r["power_low_w_per_mm2"]), None)
    area = sum(math.pi / 4 * (outer**2 - inner**2) for inner, outer in rings_of(reader) if inner and outer)
    if row is None or not area:
        return None
    low, high = row["power_low_w_per_mm2"], row["power_high_w_per_mm2"] or row["power_low_w_per_mm2"]
    strong = found.governed["good"]
    return FacingHeat(
        likely=float(slipheat.slip_density_si(found.heat, seconds=found.steps.lock_time, area=area)),
        most=float(slipheat.slip_density_si(strong.heat, seconds=strong.seconds, area=area)),
        low=low * 1e6,
        high=high * 1e6,
        area=area,
    )


def facing_check(draft: Draft, reader: Reader, found: Engagement | None) -> None:
    """Add the verdict on the slip power that the facing takes, where facing and rings are known."""
    heat = facing_heat(reader, found)
    if heat is None:
        return
    facing = reader.get("clutch.facing")
    row = next(r for r in tables.table("friction_pairs").where(pair=facing).rows if r["power_low_w_per_mm2"])
    verdict = CAUTION if stays_within(heat.likely, heat.high) else STOP
    if stays_within(heat.likely, heat.low) and stays_within(heat.most, heat.high):
        verdict = GO
    draft.check(
        id="clutch.facing",
        name="slip power on the facing",
        found=reader.number(heat.likely, "heat flux", "{}, mean", high=heat.most, digits=2),
        wanted=reader.number(
            heat.high,
            "heat flux",
            f"{heat.low / 1e6:g} to {heat.high / 1e6:g} W/mm²",
            low=heat.low,
            high=heat.high,
            source=row["source"],
        ),
        verdict=verdict,
        reason=f"{facing}: {reader.show(found.heat, 'energy')} in "
        f"{reader.show(found.steps.lock_time, 'time')} on {reader.show(heat.area, 'area')}; it starts at twice the "
        "mean, and goes with the torque and with the speed.",
        remedy=unless_go(verdict, "Use a facing that takes more, or larger faces."),
        source=row.cite,
    )


__all__ = [
    "BODY",
    "FacingHeat",
    "Settled",
    "Settling",
    "air_of",
    "check",
    "facing_check",
    "facing_heat",
    "facts",
    "settle",
    "settling",
    "sheet",
]
