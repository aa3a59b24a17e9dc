"""The clutch coil in motion: pulling in across the gap, current rise, and letting go through each suppression."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.clutch.torque import geometry_of
from jackshaft.chapters.electric.data import ElectricData
from jackshaft.chapters.electric.line import Line
from jackshaft.chapters.electric.words import unless_go
from jackshaft.mechanics import magnet, switching
from jackshaft.results.checks import CAUTION, GO, STOP, Table
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH, Value
from jackshaft.units import at_least, at_most

#: Without the magnet's measures: open gap's share of the closed inductance, share of the hot current at which the
#: armature leaves its stop, and the time that it travels (s). Assumed, and shown so.
OPEN_SHARE, PULL_SHARE, TRAVEL = 0.4, 0.5, 0.02
POINTS = 121
#: Widest gap (m) that is shown.
WIDEST = 0.02
#: Where rings and turns are not known: what a coil pulls over, in multiples of the widest usual gap. A usual coil pulls
#: in at ``PULL_SHARE`` of its hot current, and what it pulls over goes with its ampere-turns.
PULLS_OVER = 1.0 / PULL_SHARE


class Dynamics(NamedTuple):
    """Coil current in time (s, A): ``rise`` cold and hot, ``decay`` by suppression; ``assumed`` says what was assumed.

    ``releases`` are the suppressions compared, engine running and coil cold, the largest current.
    """

    rise_times: np.ndarray
    rise: dict[str, switching.PullIn]
    decay_times: np.ndarray
    decay: dict[str, np.ndarray]
    releases: tuple[switching.Release, ...]
    fitted: str | None
    hold_amps: float
    assumed: tuple[str, ...]


def dynamics_of(reader: Reader, electric: ElectricData) -> Dynamics | None:
    """Return how the coil's current rises and falls."""
    line, supply = electric.line, electric.line.states[electric.cold][1]
    assumed: list[str] = []
    closed, open_, pull = _inductance(reader, electric, electric.amps(f"{electric.which}, hot"), assumed)
    tau = closed / line.r20
    times = np.linspace(0.0, 8.0 * tau, POINTS)
    rise = {
        heat: switching.pull_in_si(
            times,
            voltage=supply,
            resistance=ohm + line.line_ohm,
            open_henry=open_,
            closed_henry=closed,
            pull_current=pull,
            travel=TRAVEL,
        )
        for heat, ohm in line.ohms.items()
    }
    hold = electric.amps(f"{electric.which}, cold")
    fitted = _fitted(reader, line, supply, assumed)
    values = {
        "diode": (switching.DIODE_DROP, 0.0),
        "diode and zener": (switching.DIODE_DROP + fitted["diode and zener"].clamp, 0.0),
        "TVS": (fitted["TVS"].clamp, 0.0),
        "resistor": (0.0, fitted["resistor"].resistor),
    }
    after = np.linspace(0.0, 4.0 * tau, POINTS)
    decay = {
        name: switching.decay_si(after, current=hold, resistance=line.r20, inductance=closed, clamp=v, resistor=r)
        for name, (v, r) in values.items()
    }
    releases = tuple(
        switching.release_si(
            name,
            current=hold,
            release_current=switching.RELEASE_SHARE * hold,
            resistance=line.r20,
            inductance=closed,
            supply=supply,
            fitted=fitted[name],
        )
        for name in switching.SUPPRESSIONS
    )
    return Dynamics(
        rise_times=times,
        rise=rise,
        decay_times=after,
        decay=decay,
        releases=releases,
        fitted=reader.get("circuit.suppression"),
        hold_amps=hold,
        assumed=tuple(assumed),
    )


def _fitted(reader: Reader, line: Line, supply: float, assumed: list[str]) -> dict[str, switching.Fitted]:
    """Return clamp voltage (V) and resistor (ohm) of each suppression, assumed where the build has none that can be."""
    clamp, resistor = reader.si("circuit.clamp_voltage"), reader.si("circuit.suppression_resistor")
    usual = 2.0 * line.nominal if 2.0 * line.nominal > supply else 2.0 * supply
    if clamp is None:
        assumed.append(f"zener and TVS of {usual:g} V")
    elif clamp <= supply:
        # a zener behind a diode never sees the supply, a TVS does
        assumed.append(f"TVS of {usual:g} V, for one of {clamp:g} V conducts on this supply")
    if resistor is None:
        resistor = 5.0 * line.r20
        assumed.append(f"resistor of five times the coil, {reader.show(resistor, 'resistance')}")
    parts = dict.fromkeys(switching.SUPPRESSIONS, switching.Fitted(usual if clamp is None else clamp, resistor))
    if clamp is not None and clamp <= supply:
        parts["TVS"] = switching.Fitted(usual, resistor)
    return parts


def _inductance(reader: Reader, electric: ElectricData, hot: float, assumed: list[str]) -> tuple[float, float, float]:
    """Return inductance closed and open (H), and the current at which the armature leaves its stop (A)."""
    found, r20 = geometry_of(reader), electric.line.r20
    tau = reader.si("clutch.time_constant")
    if found is not None and found.open:
        shut = magnet.pull_si(found.turns * hot, gap=found.closed, magnet=found.magnet._replace(leakage=0.0))
        apart = magnet.pull_si(found.turns * hot, gap=found.open, magnet=found.magnet)
        closed, open_ = (float(switching.inductance.si(found.turns, reluctance=p.reluctance)) for p in (shut, apart))
        if tau is not None:
            closed, open_ = tau * r20, open_ / closed * tau * r20
        pull = magnet.pull_in_turns_si(found.open, spring=found.springs, magnet=found.magnet) / found.turns
        assumed += found.assumed
        return closed, min(open_, closed), pull
    if tau is None:
        row = tables.table("clutch_facts").one(part="coil", item="time constant")
        tau = row["likely"] / 1e3
        assumed.append(f"time constant {reader.show(tau, 'time')}, that of a published actuator")
    assumed.append(
        f"with the gap open {OPEN_SHARE:g} of the inductance, and pull-in at {PULL_SHARE:g} of the hot current"
    )
    return tau * r20, OPEN_SHARE * tau * r20, PULL_SHARE * hot


def add(draft: Draft, reader: Reader, found: Dynamics) -> None:
    """Add facts and the table of suppressions."""
    hot = found.rise["hot"]
    draft.fact(
        "gap closes after",
        reader.number(hot.closes_at, "time", "{}, coil hot") if hot.closes else "it does not pull in",
        "; ".join(found.assumed),
    )

    sizes = [a for a in found.assumed if a.startswith(("zener", "TVS", "resistor"))]

    def peak(volts: float) -> Value:
        return "arcs" if math.isinf(volts) else reader.number(volts, "voltage")

    rows = [
        (
            r.suppression + (" (fitted)" if r.suppression == found.fitted else ""),
            peak(r.coil_peak),
            peak(r.switch_peak),
            "at once, by arcing" if math.isnan(r.seconds) else reader.number(r.seconds, "time"),
            "yes" if r.polarised else "no",
            r.fitting,
        )
        for r in found.releases
    ]
    draft.tables.append(
        Table(
            "Letting go: what takes up the coil's energy",
            ("across the coil", "coil peak", "contact peak", "lets go after", "polarity matters", "how it is fitted"),
            tuple(rows),
            f"{reader.show(found.releases[0].energy, 'energy')} at "
            f"{reader.show(found.hold_amps, 'current')}; the armature is assumed to let go at "
            f"{switching.RELEASE_SHARE:g} of that. Eddy currents in solid steel lengthen every time."
            + (f" With a {'; '.join(sizes)}, where the build has none." if sizes else ""),
        )
    )


class Gap(NamedTuple):
    """The released gap (m): the widest that is usual, and the widest that the coil pulls over.

    ``amps`` is the least coil current, None where ``most`` is not by the magnet's rings and turns.
    """

    gap: float
    usual: float
    most: float
    amps: float | None
    springs: float

    @property
    def open(self) -> bool:
        """Whether the armature is not pulled in across it."""
        return not at_most(self.gap, self.most)

    @property
    def wide(self) -> bool:
        """Whether it is wider than usual, with nothing known of the magnet that says it still pulls in."""
        return self.amps is None and not at_most(self.gap, self.usual)


def gap_of(reader: Reader, electric: ElectricData | None) -> Gap | None:
    """Return what the released gap is and may be, None where it is not measured."""
    gap, found = reader.si("clutch.air_gap"), geometry_of(reader)
    if gap is None:
        return None
    usual = tables.table("clutch_facts").one(part="gap", item="planning")["high"] / 1e3
    if found is None or electric is None:
        return Gap(gap, usual, PULLS_OVER * usual, None, math.nan)
    amps = float(np.min(electric.steps.coil_amps))
    most = magnet.pull_in_gap_si(found.turns * amps, spring=found.springs, magnet=found.magnet)
    return Gap(gap, usual, float(most), amps, found.springs)


def gap_check(draft: Draft, reader: Reader, found: Gap | None) -> None:
    """Add the verdict on the released gap: by the magnet where its rings are known, else by the usual range."""
    id, name = "clutch.gap", "air gap, released"
    row = tables.table("clutch_facts").one(part="gap", item="planning")
    low, high = row["low"] / 1e3, row["high"] / 1e3
    limit = reader.number(high, "length", "{low} to {}", low=low, high=high, source=row["source"])
    if found is None:
        words = "The gap is not known yet. Measure it with a feeler at three places, the clutch released."
        draft.missing(reader, id, name, ("clutch.air_gap",), words, limit=limit)
        return
    words = ""
    if found.amps is not None:
        draft.fact(
            "largest gap that still pulls in",
            reader.number(found.most, "length", form=BOTH)
            if math.isfinite(found.most)
            else reader.number(WIDEST, "length", "over {}"),
            f"at {reader.show(found.amps, 'current')}, the least; the springs push with "
            f"{reader.show(found.springs, 'force')}",
        )
        widest = reader.show(min(found.most, WIDEST), "length")
        words = f" By its rings and turns it pulls in across {widest} at the least current."
    verdict = GO
    if found.open:
        verdict, words = STOP, f"{words} It does not pull in."
        if found.amps is None:
            words += " This goes by what such coils pull over, from memory; rings and turns of the magnet decide it."
    elif not at_most(found.gap, high):
        verdict = CAUTION
        words += " Across too wide a gap the armature does not pull in when the coil is hot." if found.wide else ""
    elif not at_least(found.gap, low):
        verdict, words = CAUTION, f"{words} With too small a gap the clutch drags when it is off."
    draft.check(
        id=id,
        name=name,
        found=reader.number(found.gap, "length", known=reader.how("clutch.air_gap"), form=BOTH),
        wanted=limit,
        verdict=verdict,
        reason="The released gap decides whether the armature pulls in, cold and hot. Once it has, the torque hardly "
        f"depends on the gap.{words}",
        remedy=unless_go(
            verdict,
            "Set it at three places, to the maker's figure where you have it.",
        ),
        source="clutch-service",
    )


__all__ = ["Dynamics", "Gap", "add", "dynamics_of", "gap_check", "gap_of"]
