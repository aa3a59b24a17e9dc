"""Roller chains: length, slack, rating, oil, strength and wear of each."""

from __future__ import annotations

from collections.abc import Mapping
from math import pi, radians, sin

from jackshaft import tables
from jackshaft.chapters.ratio.data import RatioData
from jackshaft.chapters.roller_chain import CHAPTER, checks, power
from jackshaft.chapters.roller_chain.data import IDLER, ChainData, ChainLoad, Idler
from jackshaft.mechanics import roller_chain as mech
from jackshaft.parts.chain_stage import KIND, ChainStage, lacks_of, read_chain_stage
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import Table
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.units import OutOfRange

#: Lean against level from which a chain counts as steep: common practice, no source.
STEEP = radians(60.0)


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up the roller chains of a build."""
    draft = Draft(CHAPTER)
    names = [n for n in reader.names("stage") if reader.get(f"stage[{n}].kind") == KIND]
    if not names:
        return draft.done(reader, "none", "This build has no roller chain.")
    ratio: RatioData | None = done["ratio"].data
    draft.data = {}
    for name in names:
        stage = read_chain_stage(reader, name)
        if stage is None:
            words = "Nothing is known of the chain without its number and the teeth of both sprockets."
            draft.missing(reader, f"roller-chain.length[{name}]", f"{name}: length", lacks_of(reader, name), words)
            continue
        with draft.attempt(reader, f"roller-chain.length[{name}]", f"{name}: length"):
            draft.data[name] = chain = _chain(reader, ratio, stage)
            _facts(draft, reader, chain)
            checks.judge(draft, reader, chain)
            power.judge(draft, reader, chain)
    if draft.data:
        draft.tables += [_sprockets(reader, draft.data), _pulls(reader, draft.data)]
        draft.cite("sprocket-sheet", "mott4", "chain-maker-faq")
    return draft.done(reader, uses=(done["ratio"],))


def _chain(reader: Reader, ratio: RatioData | None, stage: ChainStage) -> ChainData:
    at = f"stage[{stage.name}]"
    centres, links, toward = reader.si(f"{at}.centres"), reader.get(f"{at}.links"), reader.si(f"{at}.centres_toward")
    ends = {"pitch": stage.pitch, "small": stage.small, "large": stage.large}
    path = None if centres is None else _or_none(mech.chain_path.si, centres, **ends)
    straight = None if links is None else _or_none(mech.chain_centres.si, links, **ends)
    movement = None
    if path is not None and links is not None:
        over = (links - float(path.pitches)) * stage.pitch
        movement = float(mech.movement_of.si(over, strand=float(path.strand))) if over >= 0 else float("nan")
    row = stage.row
    start = None if ratio is None else ratio.shaft(reader.get(f"{at}.from"))
    load = _load(ratio, stage)
    rating = None
    if load is not None and row is not None and row["k_plate"] is not None:
        known = {"k_plate": row["k_plate"], "k_roller": row["k_roller"]}
        rating = mech.chain_rating.si(load.turning, pitch=stage.pitch, teeth=stage.small, **known)
    roller = None if row is None else row["roller_mm"] / 1000.0
    sizes = None
    if roller is not None:
        sizes = tuple(mech.sprocket_sizes.si(stage.pitch, roller=roller, teeth=n) for n in stage.teeth)
    return ChainData(
        stage=stage,
        sizes=sizes,
        centres=centres,
        links=links,
        straight=straight,
        path=path,
        movement=movement,
        slack=slack_band(toward),
        rating=rating,
        strand_factor=tables.table("chain_strands").one(strands=stage.strands)["factor"],
        load=load,
        toward=toward,
        turn=0 if start is None else start.turn,
        idler=_idler(reader, at),
        lacks=(() if ratio is None else ratio.stage_lacks(stage.name)) or (f"{at}.from",),
    )


def _idler(reader: Reader, at: str) -> Idler | None:
    """Return the idler sprocket of a chain; None where it has none, or where its teeth or its place are not known."""
    if reader.get(f"{at}.chain_takeup") != IDLER:
        return None
    keys = tuple(f"{at}.idler_{k}" for k in ("teeth", "x", "y"))
    if lacks := reader.unknown(*keys):
        reader.note_missing(*lacks)
        return None
    return Idler(reader.get(keys[0]), *(reader.si(key) for key in keys[1:]))


def _or_none(formula, *args, **kw):
    """Return what a formula gives; None where the sprockets or the links cannot be so, which the checks judge."""
    try:
        return formula(*args, **kw)
    except OutOfRange:
        return None


def slack_band(toward: float | None) -> tuple[float, float]:
    """Return the least and the most that the slack strand should move at its middle, as shares of the centres.

    A steep chain wants less; where its direction is not known it counts as level.
    """
    steep = toward is not None and abs(sin(toward)) > sin(STEEP)
    row = tables.table("chain_facts").one(item="slack movement of a steep chain" if steep else "slack movement")
    return row["low"] / 100.0, row["high"] / 100.0


def _load(ratio: RatioData | None, stage: ChainStage) -> ChainLoad | None:
    """Return what the chain passes; None where the power or the speed is not known."""
    found = None if ratio is None else ratio.stage(stage.name)
    if found is None:
        return None
    start, end = ratio.shaft(found.start), ratio.shaft(found.end)
    if start is None or end is None or not start.work or not end.work or end.power is None:
        return None
    power_in = end.power / found.efficiency
    speed = stage.mean_radius * start.work
    pull = power_in / speed
    peak = None if end.peak_factor is None else pull * end.peak_factor
    starting = None if end.start_factor is None else pull * end.start_factor
    return ChainLoad(power_in, max(start.work, end.work), pull, peak, speed, starting)


def _facts(draft: Draft, reader: Reader, chain: ChainData) -> None:
    stage, name = chain.stage, chain.stage.name
    pitch = reader.number(stage.pitch, "length")
    draft.fact(f"{name}: chain", pitch, f"pitch; {stage.teeth[0]} teeth drive {stage.teeth[1]}" + _strands(stage))
    swing = float(mech.speed_swing.si(stage.small))
    words = "of the small sprocket: the chain runs fast and slow over each tooth"
    draft.fact(f"{name}: swing of speed", reader.number(swing, "number", by="percent", decimals=1), words)
    if chain.path is not None:
        pitches = reader.number(float(chain.path.pitches), "number", "{} pitches", decimals=2)
        draft.fact(f"{name}: length at these centres", pitches, f"{chain.needed} links go round with a little slack")
    if chain.straight is not None:
        straight = reader.number(float(chain.straight), "length")
        draft.fact(
            f"{name}: centres for {chain.links} links", straight, "both strands straight; set them a little less"
        )
    if chain.path is not None:
        low, high = (reader.tape(share * chain.centres) for share in chain.slack)
        strand = {True: "the upper strand is slack", False: "the lower strand is slack", None: "at the slack strand"}
        draft.fact(
            f"{name}: movement at mid-span", f"{low} to {high}", f"up plus down, by hand; {strand[chain.slack_above]}"
        )
    if chain.load is not None:
        load = chain.load
        draft.fact(f"{name}: chain speed", reader.number(load.speed, "surface speed"))
        peak = "" if load.peak is None else f"{reader.show(load.peak, 'force')} at the peak"
        draft.fact(f"{name}: pull at work", reader.number(load.pull, "force"), peak)


def _strands(stage: ChainStage) -> str:
    return "" if stage.strands == 1 else f"; {stage.strands} strands"


def _sprockets(reader: Reader, chains: Mapping[str, ChainData]) -> Table:
    """Return the sizes by which sprockets are turned and told from each other."""
    rows = []
    for name, chain in chains.items():
        for i, end in enumerate(("driver", "driven")):
            count, sizes = str(chain.stage.teeth[i]), None if chain.sizes is None else chain.sizes[i]
            if sizes is None:
                pitch = reader.number(chain.stage.diameters[i], "length", decimals=3)
                rows.append((f"{name}: {end}", count, pitch, "", "", ""))
                continue
            lengths = (sizes.pitch, sizes.root, sizes.over_pins)
            cells = (reader.number(float(v), "length", decimals=3) for v in lengths)
            ends = (reader.show(float(v), "length") for v in (sizes.outside_least, sizes.outside_most))
            rows.append((f"{name}: {end}", count, *cells, " to ".join(ends)))
    note = (
        "Over pins: two pins as thick as the chain's roller, laid in opposite gaps; where the teeth are odd, in the "
        "two gaps that are nearest to opposite. Source: a maker's technical section after ISO 606."
    )
    heads = ("sprocket", "teeth", "pitch diameter", "root diameter", "over two pins", "over the teeth")
    return Table("Sprockets", heads, tuple(rows), note)


def _pulls(reader: Reader, chains: Mapping[str, ChainData]) -> Table:
    """Return what each chain does to its two shafts."""
    rows = []
    for name, chain in chains.items():
        if chain.load is None:
            continue
        toward = chain.toward_pull
        for end, turned in (("driver", 0.0), ("driven", pi)):
            way = None if toward is None else (toward + turned + pi) % (2.0 * pi) - pi
            cells = (reader.cell(v, "force") for v in (chain.load.pull, chain.load.peak))
            rows.append((f"{name}: {end}", *cells, reader.cell(way, "angle")))
    note = (
        "The tight strand pulls, the slack one hardly. Directions are seen facing the engine's output shaft, 0 to the "
        "right, 90 up. What a pull does to a shaft and its bearings is worked out in their chapters."
    )
    return Table("Pull on each shaft", ("sprocket", "at work", "at the peak", "toward"), tuple(rows), note)


__all__ = ["slack_band", "work_up"]
