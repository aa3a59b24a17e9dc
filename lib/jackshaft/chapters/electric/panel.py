"""The clutch circuit panel: supply, coil temperature, wire, joints and fuse against what reaches the coil."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from jackshaft import tables
from jackshaft.buildfile import Build
from jackshaft.chapters.electric.controls import coil_controls
from jackshaft.chapters.electric.figure import ElectricView, picture_of
from jackshaft.chapters.electric.wire import fitting_fuse
from jackshaft.mechanics.clutch import Band
from jackshaft.results import Again, Number, Reader, work_up
from jackshaft.results.checks import Fact
from jackshaft.ui.base import Panel
from jackshaft.ui.model import Action, Compared, Control, Outcome
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
    joints = "all together, fuse and holder counted"
    fuses = _choices(build, "circuit.fuse", "current", fuse_texts())
    return (
        *coil_controls(build, "Supply"),
        *_wire_controls(build),
        Control("circuit.joint_resistance", "Joints and contacts", "0 to 0.5 Ω by 0.01", group="Line", help=joints),
        Control("circuit.fuse", "Fuse", choices=fuses, group="Line"),
    )


def _wire_controls(build: Build) -> Iterator[Control]:
    sizes = _choices(build, "circuit.wire", "wire", wire_texts(build))
    yield Control("circuit.wire", "Wire size", choices=sizes, group="Line")
    if build.system == "inch":
        copper = "automotive wire of a gauge holds up to 11 % less copper"
        yield Control("circuit.wire_kind", "Gauge means", group="Line", help=copper)
    for key, label, least, words in (
        ("length_out", "Wire out", ("1", "0.2"), "from the battery to the coil"),
        ("length_back", "Wire back", ("0", "0"), "0 where the frame is the return"),
    ):
        run = (f"{least[0]} to 30 ft by 0.5", f"{least[1]} to 10 m by 0.1")
        yield Control(f"circuit.{key}", label, run, by="run", group="Line", help=words)


def _holding(build: Build, static: Mapping[str, Band]) -> Iterator[Fact]:
    """Yield the torque that the clutch holds at each supply, coil cold and hot."""
    for which, words in (("running", "engine running"), ("battery only", "engine stopped")):
        cold, hot = (static.get(f"{which}, {heat}") for heat in ("cold", "hot"))
        if cold is None or hot is None:
            continue
        reader = Reader(build)
        now = f"{reader.show(cold.likely, 'torque')} cold, {{}} hot"
        bands = [
            f"{h} {reader.show(b.bad, 'torque')} to {reader.show(b.good, 'torque')}"
            for h, b in (("cold", cold), ("hot", hot))
        ]
        found = reader.number(hot.likely, "torque", now, low=hot.bad, high=hot.good)
        yield Fact(f"holding torque, {words}", found, "; ".join(bands))


def outcome_of(build: Build, whatif: Mapping[str, object]) -> Outcome:
    """Work up the clutch circuit as a panel shows it, with the torque that comes of it."""
    results = WORK(build)
    chapter, clutch = results.chapters["electric"], results.chapters["clutch"]
    static = clutch.data.static if clutch.data else {}
    facts = [*chapter.facts, *_holding(build, static)]
    checks = [*results.of("electric"), *(c for c in results.of("clutch") if c.id == "clutch.hold")]
    compare, data, system = {}, chapter.data, build.system
    if data is not None:
        for heat in ("cold", "hot"):
            amps, volts = data.amps(f"{data.which}, {heat}"), data.volts(f"{data.which}, {heat}")
            compare[f"coil current, {heat}"] = Compared(Number(amps, "current", system))
            compare[f"voltage at the coil, {heat}"] = Compared(Number(volts, "voltage", system), "higher")
        band = static.get(f"{data.which}, hot")
        if band is not None:
            compare["holding torque, hot"] = Compared(Number(band.likely, "torque", system), "higher")
    return Outcome(tuple(facts), tuple(checks), picture_of(results), compare)


def fuse_that_fits(build: Build, outcome: Outcome) -> dict[str, str]:
    """Return the fuse that carries the load and protects the wire, where there is one."""
    rating = fitting_fuse(Reader(build), outcome.picture.data) if outcome.picture is not None else None
    if rating is None:
        raise ValueError("no listed fuse carries this load and protects this wire: take larger wire first")
    return {"circuit.fuse": f"{rating:g} A"}


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
            chapter.words.rstrip(".") or "the circuit cannot be solved before coil, wire and supply are known"
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
