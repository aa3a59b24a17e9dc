"""Setting the tension without a gauge: deflection, pluck frequency, spring or weight on the arm, and the tag."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.grip.cases import LOCKED, SPRING
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import tension as mech
from jackshaft.results.checks import Table
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH, TAPE, Number, Value
from jackshaft.units import INCH, at_least, at_most, first_most

GRAVITY, POUND_FORCE = 9.80665, 4.4482216152605

#: Sections whose stiffness and thickness are those of another: the double-V and light-duty belts by their size.
LIKE = {"AA": "A", "BB": "B", "CC": "C", "AX": "A", "BX": "B", "CX": "C", "4L": "A", "5L": "B"}


class Strand(NamedTuple):
    """How one strand tells its tension, one belt: SI units; ``index`` is the pulley it leaves."""

    index: int
    words: str
    span: float
    distance: float
    force: float
    force_new: float
    frequency: float | None
    frequency_new: float | None


class Arm(NamedTuple):
    """What a spring or weight must put on the idler's arm: N m, N, m, rad; None where not known.

    ``square`` is the pull square to the arm at the idler's pin; ``pull`` the spring's own pull on its
    lever and ``spring_length`` the spring's length there; ``weight`` kg hung on the pin.
    """

    moment: float
    length: float
    angle: float
    square: float
    pull: float | None
    spring_length: float | None
    weight: float | None


class StageTension(NamedTuple):
    """The tension to set, per strand of one belt at rest, N; ``told`` False where it is what the hardest load needs."""

    name: str
    each: float
    told: bool
    sprung: bool
    share: float
    stiffness: float
    mass: float | None
    new_over_run_in: float
    strands: tuple[Strand, ...]
    arm: Arm | None
    tag: tuple[tuple[str, str], ...]

    def of_force(self, force: float) -> float:
        """Return the tension that a force at mid-span tells, N."""
        return float(mech.tension_from_deflection.si(force, stiffness=self.stiffness, share=self.share))

    def of_frequency(self, frequency: float, strand: Strand) -> float | None:
        """Return the tension that a pluck frequency tells, N; None where the belt's mass is not known."""
        if self.mass is None:
            return None
        return float(mech.tension_from_frequency.si(frequency, span=strand.span, linear_density=self.mass))

    @property
    def keeps(self) -> bool:
        """Whether a spring or weight keeps the tension, so that new and run in are the same."""
        return self.new_over_run_in == 1.0

    @property
    def best(self) -> Strand:
        """The strand to measure on: the longest."""
        return self.strands[first_most([s.span for s in self.strands])]


def tension_of(reader: Reader, layout: StageLayout, each: float, told: bool, way: str, belts: int) -> StageTension:
    """Return how the tension of a loop is set and read.

    Parameters
    ----------
    reader : Reader
        Reads spring and arm from the build.
    layout : StageLayout
        The loop.
    each : float
        Tension of every strand of one belt at rest, N.
    told : bool
        Whether the build gives it; else it is what the hardest load needs.
    way : str
        How the belt is kept tight.
    belts : int
        Belts side by side.
    """
    # A sixty-fourth is what an inch rule reads, 16 mm a metre what a metric one does.
    share = 1.0 / 64.0 if reader.system == "inch" else 0.016
    stiffness, mass = stiffness_of(layout), layout.belt.mass if layout.belt else None
    sprung = way == SPRING
    # A spring keeps its pull while the belt runs in; a locked centre loses a third of it.
    more = 1.0 if way != LOCKED else tables.table("belt_limits").one(item="new belt over run-in tension")["likely"]
    strands = []
    names = layout.pulleys.names
    for i, name in enumerate(names):
        span = float(layout.path.span[i])
        run = mech.deflection_force.si(each, span=span, stiffness=stiffness, share=share)
        new = mech.deflection_force.si(each * more, span=span, stiffness=stiffness, share=share)
        hertz = [
            None if mass is None else float(mech.span_frequency.si(t, span=span, linear_density=mass))
            for t in (each, each * more)
        ]
        strands.append(
            Strand(
                i,
                f"{name} to {names[(i + 1) % len(names)]}",
                span,
                float(run.distance),
                float(run.force),
                float(new.force),
                *hertz,
            )
        )
    stage = StageTension(
        layout.name,
        each,
        told,
        sprung,
        share,
        stiffness,
        mass,
        more,
        tuple(strands),
        arm_of(reader, layout, each * belts) if sprung else None,
        (),
    )
    return stage._replace(tag=tag_of(reader, layout, stage, belts))


def stiffness_of(layout: StageLayout) -> float:
    """Return the stiffness figure of the stage's section, N; nought where none is known."""
    if layout.belt is None:
        return 0.0
    rows = tables.table("belt_stiffness").where(section=LIKE.get(layout.belt.name, layout.belt.name)).rows
    return rows[0]["stiffness_lbf"] * POUND_FORCE if rows else 0.0  # the table is in lbf


def arm_of(reader: Reader, layout: StageLayout, tension: float) -> Arm | None:
    """Return what holds the arm at a tension of all belts together; None where the pivot is not known."""
    if layout.idler is None or layout.pivot is None:
        return None
    at, k = f"stage[{layout.name}].takeup", layout.idler
    ax, ay = layout.places.x[k] - layout.pivot[0], layout.places.y[k] - layout.pivot[1]
    moment = float(mech.arm_moment_si(tension, layout.path.ux, layout.path.uy, k, ax, ay))
    length = float(np.hypot(ax, ay))
    lever, rate, free = (reader.si(f"{at}.spring_{n}") for n in ("lever", "rate", "free_length"))
    pull = None if lever is None else abs(moment) / lever
    long = None
    if pull is not None and rate is not None and free is not None:
        long = float(
            mech.spring_length.si(pull, rate=rate, free_length=free, initial=reader.si(f"{at}.spring_initial", 0.0))
        )
    weight = None
    if reader.get(f"{at}.kind") == "weighted idler" and abs(ax) > 1e-3:
        # A weight on the pin can only turn the arm down on the side it stands.
        weight = -moment / (GRAVITY * ax)
    return Arm(moment, length, float(np.arctan2(ay, ax)), abs(moment) / length, pull, long, weight)


def tag_of(reader: Reader, layout: StageLayout, stage: StageTension, belts: int) -> tuple[tuple[str, str], ...]:
    """Return the lines of the tag inside the guard."""
    belt = reader.get(f"stage[{layout.name}].marked") or (f"section {layout.belt.name}" if layout.belt else "belt")
    best = stage.best
    lines = [("Belts", f"{belts} × {belt}")]
    if stage.sprung:
        lines.append(
            (
                "Slack strand held at",
                f"{reader.show(stage.each * belts, 'force')}, by the idler"
                + ("" if stage.told else ": not set yet; what the hardest load needs"),
            )
        )
    else:
        lines.append(
            (
                "Tension at rest",
                f"{reader.show(stage.each, 'force')} each strand of each belt"
                + ("" if stage.told else ": not set yet; what the hardest load needs"),
            )
        )
    lines.append(("Measure on the strand", f"{best.words}, {reader.tape(best.span)} free"))
    lines.append(("Push at mid-span until it gives", short_of(reader, best.distance).shown))
    run = reader.show(best.force, "force")
    lines.append(
        ("Force on one belt", run if stage.keeps else f"{run} run in, {reader.show(best.force_new, 'force')} new")
    )
    if best.frequency is not None:
        hertz = f"{best.frequency:.0f} Hz"
        lines.append(("Or pluck it", hertz if stage.keeps else f"{hertz} run in, {best.frequency_new:.0f} Hz new"))
    if stage.arm is not None:
        arm = stage.arm
        lines.append(
            (
                "Arm",
                f"{reader.show(abs(arm.moment), 'torque')}, or {reader.show(arm.square, 'force')} square to it "
                "at the pin",
            )
        )
        if arm.spring_length is not None and np.isfinite(arm.spring_length):
            lines.append(("Spring stretched to", reader.show(arm.spring_length, "length")))
    lines.append(("Stop the engine and block it first", "check again after the first half hour and the first day"))
    return tuple(lines)


def short_of(reader: Reader, length: float) -> Number:
    """Return a short length as a rule reads it."""
    if reader.system == "metric":
        return reader.number(length, "length", decimals=1)
    return reader.number(length, "length", f"{{}} ({round(length / INCH * 64)}/64)", decimals=3)


def trade_words(reader: Reader, layout: StageLayout) -> str:
    """Return what the trade's table of deflection forces says for section, pulley and speed; or nothing."""
    if layout.belt is None or not layout.speed:
        return ""
    radius = float(min(layout.pulleys.pitch[layout.pulleys.driver], layout.pulleys.pitch[layout.pulleys.driven]))
    size, speed = 2 * radius / INCH, layout.speed / radius * 60 / (2 * np.pi)
    for row in tables.table("belt_deflection_force").where(section=layout.belt.name).rows:
        spans = (size, row["small_from_in"], row["small_to_in"]), (speed, row["speed_from_rpm"], row["speed_to_rpm"])
        if all(at_least(value, low) and at_most(value, high) for value, low, high in spans):
            used, new = (
                reader.show(row[k] * POUND_FORCE, "force") for k in ("used_lbf", "new_lbf")
            )  # the table is in lbf
            return (
                f" The trade's table gives {used} run in and {new} new for a pulley of this size and speed, whatever "
                "the load."
            )
    return ""


def sheet_of(reader: Reader, layout: StageLayout, stage: StageTension) -> Table:
    """Return the table of a stage: every strand, new and run in."""
    rows = []
    for s in stage.strands:
        hertz = (reader.cell(f, "frequency", decimals=0) for f in (s.frequency, s.frequency_new))
        rows.append(
            (
                s.words + (" (measure here)" if s is stage.best else ""),
                reader.number(s.span, "length", form=TAPE),
                short_of(reader, s.distance),
                reader.number(s.force, "force"),
                reader.number(s.force_new, "force"),
                *hertz,
            )
        )
    each = reader.show(stage.each, "force")
    note = (
        f"For {each} in each strand of one belt at rest"
        + (
            ""
            if stage.told
            else ": no tension is in the build yet, and this holds the hardest load at the bad end of friction"
        )
        + ". "
    )
    if stage.keeps:
        note += (
            "A spring keeps its pull, so new and run in are the same; block the "
            + ("arm" if stage.sprung else "slide")
            + " while you push, or the strand gives way. "
        )
    else:
        note += f"A new belt is set {stage.new_over_run_in:g} times as tight and checked again when it has run in. "
    note += (
        "The section's own stiffness is counted."
        if stage.stiffness
        else "No stiffness is known for this section: the true force is a little higher."
    )
    note += " Short strands sound higher than this, because the belt is stiff."
    note += trade_words(reader, layout)
    return Table(
        f"{stage.name}: tension without a gauge",
        ("strand", "free length", "push it by", "force, run in", "force, new", "plucked, run in", "plucked, new"),
        tuple(rows),
        note,
    )


def arm_facts(reader: Reader, stage: StageTension) -> list[tuple[str, Value, str]]:
    """Return what there is to say about the arm: label, value, note."""
    arm = stage.arm
    if arm is None:
        return []
    way = "counter-clockwise" if arm.moment > 0 else "clockwise"
    said = [
        (
            f"{stage.name}: moment on the idler's arm",
            reader.number(abs(arm.moment), "torque", form=BOTH),
            f"{way}; {reader.show(arm.square, 'force')} square to the arm at its pin, twice that half-way along; the "
            f"arm points to {reader.show(arm.angle, 'angle')}",
        )
    ]
    if arm.pull is not None:
        said.append(
            (
                f"{stage.name}: pull of the spring",
                reader.number(arm.pull, "force", form=BOTH),
                "on the lever that the build gives",
            )
        )
    if arm.spring_length is not None:
        said.append(
            (
                f"{stage.name}: length of the spring, set",
                reader.number(arm.spring_length, "length", form=BOTH)
                if np.isfinite(arm.spring_length)
                else "cannot be set",
                "" if np.isfinite(arm.spring_length) else "it pulls harder than wanted as soon as its coils part",
            )
        )
    if arm.weight is not None:
        said.append(
            (
                f"{stage.name}: weight hung on the idler's pin",
                reader.number(arm.weight, "mass", form=BOTH) if arm.weight > 0 else "cannot hold it there",
                "" if arm.weight > 0 else "a weight turns the arm the other way",
            )
        )
    return said


__all__ = ["Arm", "StageTension", "Strand", "arm_facts", "sheet_of", "tension_of"]
