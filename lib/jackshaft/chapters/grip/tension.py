"""Setting the tension without a gauge: deflection, pluck frequency, spring or weight on the arm, and the tag."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.grip.cases import LOCKED, LoadedLoop
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import tension as mech
from jackshaft.parts.belt_stage import belts_of, marked_belts
from jackshaft.results.checks import Table
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH, TAPE, Number
from jackshaft.units import GRAVITY, INCH, POUND_FORCE, RPM, at_least, at_most, first_most, fraction

#: Sections whose stiffness and thickness are those of another: the double-V and light-duty belts by their size.
LIKE = {"AA": "A", "BB": "B", "CC": "C", "AX": "A", "BX": "B", "CX": "C", "4L": "A", "5L": "B"}


class Strand(NamedTuple):
    """What shows the tension of one strand: a push on one belt, on all that moves with it, and by ear; SI units."""

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
    """The tension to set, per strand of one belt at rest, N; ``given`` False: it is what the hardest load needs.

    ``together`` says how many of them one push moves: the ribs of a ribbed belt, the belts of a banded one.
    """

    name: str
    each: float
    given: bool
    sprung: bool
    share: float
    stiffness: float
    mass: float | None
    new_over_run_in: float
    strands: tuple[Strand, ...]
    arm: Arm | None
    tag: tuple[tuple[str, str], ...] = ()
    together: int = 1

    def of_force(self, force: float) -> float:
        """Return the tension that a force at mid-span shows, N."""
        one = force / self.together
        return float(mech.tension_from_deflection.si(one, stiffness=self.stiffness, share=self.share))

    def of_frequency(self, frequency: float, strand: Strand) -> float | None:
        """Return the tension that a pluck frequency shows, N; None where the belt's mass is not known."""
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


def moved_together(reader: Reader, layout: StageLayout) -> int:
    """Return how many ribs or banded belts one push moves; 1 where each belt is by itself."""
    at = f"stage[{layout.name}]"
    if layout.belt is not None and layout.belt.family == "V-ribbed":
        return belts_of(reader, at)
    return marked_belts(reader, at) or 1


def tension_of(reader: Reader, loop: LoadedLoop, each: float) -> StageTension:
    """Return how the tension of a loop is set and read, ``each`` in every strand of one belt at rest, N."""
    layout = loop.layout
    # A sixty-fourth is what an inch rule reads, 16 mm a metre what a metric one does.
    share = 1.0 / 64.0 if reader.system == "inch" else 0.016
    stiffness, mass = stiffness_of(layout), layout.belt.mass if layout.belt else None
    # A spring keeps its pull while the belt runs in; a locked centre loses a third of it.
    new = tables.table("belt_limits").one(item="new belt over run-in tension")["likely"] if loop.way == LOCKED else 1.0
    together, strands = moved_together(reader, layout), []
    for i, span in enumerate(map(float, layout.path.span)):
        pushes, hertz = [], []
        for tension in (each, each * new):
            pushes.append(mech.deflection_force.si(tension, span=span, stiffness=stiffness, share=share))
            plucked = None if mass is None else mech.span_frequency.si(tension, span=span, linear_density=mass)
            hertz.append(None if plucked is None else float(plucked))
        forces = (together * float(push.force) for push in pushes)
        strands.append(Strand(layout.strand(i), span, float(pushes[0].distance), *forces, *hertz))
    stage = StageTension(
        name=layout.name,
        each=each,
        given=loop.hold is not None,
        sprung=loop.sprung,
        share=share,
        stiffness=stiffness,
        mass=mass,
        new_over_run_in=new,
        strands=tuple(strands),
        arm=arm_of(reader, layout, each * loop.belts) if loop.sprung else None,
        together=together,
    )
    if getattr(layout, "fits", None) is False:
        return stage  # nobody hangs a tag on a belt that does not go round
    return stage._replace(tag=tag_of(reader, loop, stage))


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
    moment = float(mech.arm_moment_si(tension, layout.path.ux, layout.path.uy, k, arm_x=ax, arm_y=ay))
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
        # A weight on the pin can only turn the arm down on its own side.
        weight = -moment / (GRAVITY * ax)
    return Arm(
        moment=moment,
        length=length,
        angle=float(np.arctan2(ay, ax)),
        square=abs(moment) / length,
        pull=pull,
        spring_length=long,
        weight=weight,
    )


def tag_of(reader: Reader, loop: LoadedLoop, stage: StageTension) -> tuple[tuple[str, str], ...]:
    """Return the lines of the tag inside the guard."""
    layout, belts = loop.layout, loop.belts
    belt = reader.get(f"stage[{layout.name}].marked") or (f"section {layout.belt.name}" if layout.belt else "belt")
    best = stage.best
    lines = [("Belts", f"{belts} × {belt}")]
    unset = "" if stage.given else ": not set yet; what the hardest load needs"
    if stage.sprung:
        held = f"{reader.show(stage.each * belts, 'force')} from {layout.strand(layout.idler)}, by the idler{unset}"
        lines.append(("Strand held at", held))
    else:
        lines.append(("Tension at rest", f"{reader.show(stage.each, 'force')} each strand of each belt{unset}"))
    lines.append(("Measure on the strand", f"{best.words}, {reader.tape(best.span)} free"))
    lines.append(("Push at mid-span until it gives", short_of(reader, best.distance).shown))
    run, new = (reader.show(force, "force") for force in (best.force, best.force_new))
    lines.append(
        (
            "Force on one belt" if stage.together == 1 else f"Force on all {stage.together} at once",
            run if stage.keeps else f"{run} run in, {new} new",
        )
    )
    if best.frequency is not None:
        hertz = f"{best.frequency:.0f} Hz"
        lines.append(("Or pluck it", hertz if stage.keeps else f"{hertz} run in, {best.frequency_new:.0f} Hz new"))
    if stage.arm is not None:
        arm = stage.arm
        moment, square = reader.show(abs(arm.moment), "torque"), reader.show(arm.square, "force")
        lines.append(("Arm", f"{moment}, or {square} square to it at the pin"))
        if arm.spring_length is not None and np.isfinite(arm.spring_length):
            lines.append(("Spring stretched to", reader.show(arm.spring_length, "length")))
    if trade_words(reader, layout, stage):
        lines.append(("Set this, not the trade's table", "that is for a belt that carries all it is rated for"))
    lines.append(("Check again", "engine stopped and blocked: after the first half hour and the first day"))
    return tuple(lines)


def short_of(reader: Reader, length: float) -> Number:
    """Return a short length as a rule reads it."""
    if reader.system == "metric":
        return reader.number(length, "length", decimals=1)
    return reader.number(length, "length", f"{{}} ({fraction(length)})", decimals=3)


def trade_words(reader: Reader, layout: StageLayout, stage: StageTension) -> str:
    """Return what the trade's table of deflection forces says for section, pulley and speed; or nothing."""
    if layout.belt is None or not layout.speed:
        return ""
    radius = float(min(layout.pulleys.pitch[list(layout.pulleys.powered)]))
    size, speed = 2 * radius / INCH, layout.speed / radius / RPM
    for row in tables.table("belt_deflection_force").where(section=layout.belt.name).rows:
        spans = (size, row["small_from_in"], row["small_to_in"]), (speed, row["speed_from_rpm"], row["speed_to_rpm"])
        if all(at_least(value, low) and at_most(value, high) for value, low, high in spans):
            # the table is in lbf
            used, new = (reader.show(row[k] * POUND_FORCE, "force") for k in ("used_lbf", "new_lbf"))
            return (
                f" The trade's table gives {used} run in and {new} new for a pulley of this size and speed: "
                f"{reader.show(stage.of_force(row['used_lbf'] * POUND_FORCE), 'force')} run in, in each strand of one "
                "belt. It is for a belt that carries all it is rated for, whatever yours carries. Set the forces of "
                "this table: they are for the load of this drive, and more only loads its shafts and bearings."
            )
    return ""


def table_of(reader: Reader, layout: StageLayout, stage: StageTension) -> Table:
    """Return the table of a stage: every strand, new and run in."""
    rows = [
        (
            s.words + (" (measure here)" if s is stage.best else ""),
            reader.number(s.span, "length", form=TAPE),
            short_of(reader, s.distance),
            *(reader.number(force, "force") for force in (s.force, s.force_new)),
            *(reader.cell(pluck, "frequency", decimals=0) for pluck in (s.frequency, s.frequency_new)),
        )
        for s in stage.strands
    ]
    note = f"For {reader.show(stage.each, 'force')} in each strand of one belt at rest"
    if not stage.given:
        note += ": no tension is in the build yet, and this holds the hardest load at the bad end"
    note += ". "
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
    note += trade_words(reader, layout, stage)
    return Table(
        f"{stage.name}: tension without a gauge",
        ("strand", "free length", "push it by", "force, run in", "force, new", "plucked, run in", "plucked, new"),
        tuple(rows),
        note,
    )


def arm_facts(draft: Draft, reader: Reader, stage: StageTension) -> None:
    """Add the facts of the idler's arm."""
    arm, name = stage.arm, stage.name
    if arm is None:
        return
    way = "counter-clockwise" if arm.moment > 0 else "clockwise"
    draft.fact(
        f"{name}: moment on the idler's arm",
        reader.number(abs(arm.moment), "torque", form=BOTH),
        f"{way}, from its pivot; the arm points to {reader.show(arm.angle, 'angle')}",
    )
    square = reader.number(arm.square, "force", form=BOTH)
    draft.fact(
        f"{name}: pull on the idler's arm", square, "square to the arm at the idler's pin; twice that half-way along"
    )
    if arm.pull is not None:
        pull = reader.number(arm.pull, "force", form=BOTH)
        draft.fact(f"{name}: pull of the spring", pull, "on the lever that the build gives")
    if arm.spring_length is not None:
        label = f"{name}: length of the spring, set"
        if np.isfinite(arm.spring_length):
            draft.fact(label, reader.number(arm.spring_length, "length", form=BOTH))
        else:
            draft.fact(label, "cannot be set", "it pulls harder than wanted as soon as its coils part")
    if arm.weight is not None:
        label = f"{name}: weight hung on the idler's pin"
        if arm.weight > 0:
            draft.fact(label, reader.number(arm.weight, "mass", form=BOTH))
        else:
            draft.fact(label, "cannot hold it there", "a weight turns the arm the other way")


__all__ = ["LIKE", "Arm", "StageTension", "Strand", "arm_facts", "table_of", "tension_of"]
