"""The clutch circuit panel: supply, coil temperature, wire, joints and fuse against what reaches the coil."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from jackshaft import tables
from jackshaft.buildfile import Build
from jackshaft.chapters.electric.controls import coil_controls, compared
from jackshaft.chapters.electric.figure import ElectricView, picture_of
from jackshaft.chapters.electric.wire import choice_of
from jackshaft.results import Again, Reader, Results, work_up
from jackshaft.ui.base import Panel
from jackshaft.ui.ends import shown
from jackshaft.ui.model import Action, Control, Outcome
from jackshaft.units import Measure, read

WORK = Again("clutch")
LEAST_GAUGE, MOST_GAUGE = 22, 8
LEAST_AREA, MOST_AREA = 0.35, 10.0
MOST_FUSE = 40.0
FUSE_HELP = "the smallest that carries the load all day and protects the wire"


def _choices(build: Build, key: str, kind: str, texts: list[str]) -> tuple[str, ...]:
    """Return the texts to pick from, the build's own one in its place among them."""
    value = build.get(key)
    if not isinstance(value, Measure) or value.text in texts:
        return tuple(texts)
    sized = [(read(t, kind, system=build.system).si, t) for t in texts]
    kept = [(si, t) for si, t in sized if abs(si / value.si - 1.0) > 1e-6]
    return tuple(t for _, t in sorted([*kept, (value.si, value.text)]))


def wire_texts(build: Build) -> list[str]:
    """Return the wire sizes to pick from, thinnest first: gauges in an inch build, copper areas in a metric one."""
    rows = tables.table("wire").rows
    if build.system == "inch":
        return [
            f"{r['size']} AWG"
            for r in rows
            if r["system"] == "AWG" and MOST_GAUGE <= r["gauge"] <= LEAST_GAUGE and r["gauge"] % 2 == 0
        ]
    return [f"{r['size']} mm²" for r in rows if r["system"] == "mm2" and LEAST_AREA <= r["area_mm2"] <= MOST_AREA]


def fuse_texts() -> list[str]:
    """Return the ratings of blade fuses to pick from."""
    return [
        f"{r['rating_a']:g} A"
        for r in tables.table("fuse_ratings").rows
        if r["style"] == "blade" and r["rating_a"] <= MOST_FUSE
    ]


def controls(build: Build) -> tuple[Control, ...]:
    """Return the controls of the circuit: supply, coil, wire, joints, fuse."""
    fuses = _choices(build, "circuit.fuse", "current", fuse_texts())
    return (
        *coil_controls(build, "Supply"),
        *_wire_controls(build),
        Control(
            "circuit.joint_resistance",
            "Joints and contacts",
            "0 to 0.5 Ω by 0.01",
            group="Line",
            help="all together, with fuse and holder",
        ),
        Control("circuit.fuse", "Fuse", choices=fuses, group="Line"),
    )


def _wire_controls(build: Build) -> Iterator[Control]:
    sizes = _choices(build, "circuit.wire", "wire", wire_texts(build))
    yield Control("circuit.wire", "Wire size", choices=sizes, group="Line")
    if build.system == "inch":
        copper = "automotive wire of the same gauge has up to 11 % less copper"
        yield Control("circuit.wire_kind", "Gauge means", group="Line", help=copper)
    for key, label, least, words in (
        ("length_out", "Wire out", ("1", "0.2"), "from the battery to the coil"),
        ("length_back", "Wire back", ("0", "0"), "0 where the frame is the return"),
    ):
        run = (f"{least[0]} to 30 ft by 0.5", f"{least[1]} to 10 m by 0.1")
        yield Control(f"circuit.{key}", label, run, by="run", group="Line", help=words)


def outcome_of(build: Build, whatif: Mapping[str, object]) -> Outcome:
    """Work up the clutch circuit as a panel shows it, with the torque that comes of it."""
    return shown(WORK(build), _outcome)


def _outcome(results: Results) -> Outcome:
    build, chapter, clutch = results.build, results.chapters["electric"], results.chapters["clutch"]
    facts = (*chapter.facts, *(f for f in clutch.facts if f.label.startswith("holding torque")))
    checks = (*results.of("electric"), *(c for c in results.of("clutch") if c.id == "clutch.hold"))
    compare, data = {}, chapter.data
    if data is not None:
        for heat in ("cold", "hot"):
            state = f"{data.which}, {heat}"
            compare[f"coil current, {heat}"] = compared(build, data.amps(state), "current")
            compare[f"voltage at the coil, {heat}"] = compared(build, data.volts(state), "voltage", "higher")
        band = clutch.data.static.get(f"{data.which}, hot") if clutch.data else None
        if band is not None:
            compare["holding torque, hot"] = compared(build, band.likely, "torque", "higher")
    return Outcome(facts, checks, picture_of(results), compare)


def fuse_that_fits(build: Build, outcome: Outcome) -> dict[str, str]:
    """Return the fuse that carries the load and protects the wire, where there is one."""
    choice = choice_of(Reader(build), outcome.picture.data)[0] if outcome.picture is not None else None
    if choice is None or choice.rating is None:
        raise ValueError("no listed fuse carries this load and protects this wire: use larger wire first")
    return {"circuit.fuse": f"{choice.rating:g} A"}


def panel(build: Build, part: str | None = None) -> Panel:
    """Return the live panel of the clutch circuit.

    Raises
    ------
    ValueError
        If the build has no circuit that can be solved.
    """
    results = work_up(build, ("electric",))
    chapter, picture = results.chapters["electric"], picture_of(results)
    if picture is None:
        raise ValueError(
            chapter.words.rstrip(".") or "the circuit cannot be solved until coil, wire and supply are known"
        )
    return Panel(
        build,
        title="Try other wire, fuse and supply",
        controls=controls(build),
        outcome_of=outcome_of,
        view=ElectricView("electric-panel", picture),
        actions=(Action("Take the fuse that fits", fuse_that_fits, help=FUSE_HELP),),
    )


__all__ = ["controls", "panel", "fuse_texts", "fuse_that_fits", "outcome_of", "wire_texts"]
