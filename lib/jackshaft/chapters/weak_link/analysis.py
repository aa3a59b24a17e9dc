"""The torque chain: what gives first, every link referred to one shaft."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.ratio.analysis import ENGINE, RatioData
from jackshaft.chapters.weak_link import CHAPTER
from jackshaft.mechanics import chain as mech
from jackshaft.mechanics import joints, keys
from jackshaft.parts.engine_curve import engine_peak
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import CAUTION, GO, Table, grade, undecided
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader, Unknown
from jackshaft.results.values import Number
from jackshaft.tables import in_words

#: Shear strength over yield strength, by the distortion-energy rule.
SHEAR_SHARE = 0.577

#: Spread of a shear strength that is stated as one figure: a tenth either way, common practice, no source.
PIN_SPREAD = 0.10

#: Joints that hold by friction, and the share their torque may be off by: common practice, no source.
SLIPS, SLIP_SPREAD = ("split hub", "flange", "set screws"), 0.25

#: Links that are meant to give, or that nothing breaks at when they do.
MEANT = ("shear pin",)


class Link(NamedTuple):
    """One link: the torque (N m) it gives at on its own ``shaft``, and the same on the reference shaft.

    ``low`` and ``high`` are the ends of its band, None where it has none; ``gives`` says in shop words what happens
    then; ``limit`` is True for a source of torque (the engine), which gives nothing up.
    """

    name: str
    kind: str
    shaft: str
    likely: float
    gives: str
    source: str
    low: float | None = None
    high: float | None = None
    limit: bool = False


class ChainData(NamedTuple):
    """The links referred to ``shaft``, weakest first, with the working and the peak torque there (N m)."""

    shaft: str
    links: tuple[Link, ...]
    working: float | None
    peak: float | None
    sure: bool


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up the torque chain over what the other chapters found."""
    draft = Draft(CHAPTER)
    ratio: RatioData | None = done["ratio"].data
    uses = [c for n, c in done.items() if n in CHAPTER.needs or n == "ratio"]
    if ratio is None or not ratio.stages:
        return draft.done(
            reader,
            done["ratio"].state if ratio is None else "not known yet",
            "The chain needs the stages between the engine and the work.",
            uses=uses,
        )
    engine = ratio.shafts[0]
    links = []
    for source in LINKS:
        with draft.attempt(reader, f"chain.{source.__name__.strip('_')}", "a link of the chain"), suppress(Unknown):
            links += source(reader, done, ratio)
    on_shaft = []
    for link in links:
        shaft = ratio.shaft(link.shaft)
        if shaft is not None:
            ends = {"low": link.low, "likely": link.likely, "high": link.high}
            torques = {k: link.likely if t is None else t for k, t in ends.items()}
            to_engine = {"over": shaft.over, "passed": shaft.passed}
            on_shaft.append(link._replace(**{k: float(mech.referred.si(t, **to_engine)) for k, t in torques.items()}))
    if all(link.limit for link in on_shaft):
        return draft.done(reader, "not known yet", "No link of the chain has a known torque yet.", uses=uses)
    order = mech.order_si(*(np.array([getattr(n, k) for n in on_shaft]) for k in ("low", "likely", "high")))
    ranked = tuple(on_shaft[i] for i in order.rank)
    data = ChainData(engine.name, ranked, engine.torque, engine.peak_torque, order.sure)
    draft.data = data
    _table(draft, reader, data)
    _checks(draft, reader, data)
    draft.cite("own-derivation", "shigley")
    return draft.done(reader, uses=uses)


def _belts(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Iterator[Link]:
    """Each belt stage slips at its limiting pulley when the load reaches its margin."""
    for name, grip in ((done["grip"].data or {}) if "grip" in done else {}).items():
        stage = ratio.stage(name)
        shaft = ratio.shaft(stage.start) if stage else None
        if grip.margin is None or shaft is None or shaft.torque is None:
            continue
        yield Link(
            f"{name}: slip",
            "belt slip",
            stage.start,
            likely=grip.margin * shaft.torque,
            gives="the belt slips and burns",
            source="grip chapter: capstan law at the limiting pulley",
            low=grip.margin_bad * shaft.torque,
        )


def _engine(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Iterator[Link]:
    peak = engine_peak(reader)
    if peak is None:
        peak = reader.require_si("engine.peak_torque")
    gives = "the engine can give no more"
    yield Link("engine peak torque", "source", ENGINE, likely=peak, gives=gives, source="plate", limit=True)


def _clutch(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Iterator[Link]:
    """The clutch slips: at its hot holding torque where the clutch chapter knows it, else at the plate's."""
    data = done["clutch"].data if "clutch" in done else None
    shaft = reader.get("clutch.shaft") or ENGINE
    bands = getattr(data, "static", None) or {}
    if bands:
        # The engine turns while there is torque, so the battery alone is not the state to judge by.
        running = [band for state, band in bands.items() if state.startswith("running")] or list(bands.values())
        worst = min(running, key=lambda band: float(band.likely))
        yield Link(
            "clutch slip, hot",
            "clutch slip",
            shaft,
            likely=float(worst.likely),
            gives="the clutch slips and heats",
            source="clutch chapter",
            low=float(worst.bad),
            high=float(worst.good),
        )
        return
    plate = reader.require_si("clutch.static_torque")
    yield Link(
        "clutch slip, by its plate",
        "clutch slip",
        shaft,
        likely=plate,
        gives="the clutch slips and heats",
        source="plate; hot and at low voltage it holds less",
        low=0.5 * plate,
    )


def _key(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Iterator[Link]:
    size, wide, long, strength = reader.require_si(
        "engine.shaft_diameter", "engine.key_width", "engine.key_length", "engine.shaft_yield"
    )
    capacity = keys.key_capacity.si(size, wide, wide, long, key_yield=strength)
    crushing, shear = float(capacity.crushing), float(capacity.shear)
    yield Link(
        f"engine key, {'crushing' if crushing <= shear else 'shear'}",
        "key",
        ENGINE,
        likely=min(crushing, shear),
        gives="the key is hammered out",
        source="shigley ch. 7; square key, yield of the shaft steel",
        high=max(crushing, shear),
    )


def _pin(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Iterator[Link]:
    shaft = reader.require("shear_pin.shaft")
    size, strength, radius = reader.require_si("shear_pin.diameter", "shear_pin.shear_strength", "shear_pin.radius")
    torque = float(joints.shear_pin_torque.si(size, radius, strength, planes=reader.get("shear_pin.planes") or 1))
    yield Link(
        "shear pin",
        "shear pin",
        shaft,
        likely=torque,
        gives="the pin shears, as it is meant to",
        source="own-derivation; spread common practice, no source",
        low=(1 - PIN_SPREAD) * torque,
        high=(1 + PIN_SPREAD) * torque,
    )


def _shafts(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Iterator[Link]:
    """Each shaft yields in plain torsion; bending, keyseats and welds come off this on the shaft page."""
    for name in reader.names("shaft"):
        size, strength = reader.si(f"shaft[{name}].diameter"), reader.si(f"shaft[{name}].yield_strength")
        if size is None or strength is None:
            continue
        yield Link(
            f"{name} yields in torsion",
            "shaft",
            name,
            likely=SHEAR_SHARE * strength * np.pi * size**3 / 16,
            gives="the shaft twists",
            source="shigley ch. 7; plain torsion, no keyseat or bending",
        )


def _joint(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Iterator[Link]:
    rating = reader.require_si("driveline.joint_rating")
    end = reader.get("work.shaft") or ratio.stages[-1].end
    yield Link(
        "joints of the telescoping shaft",
        "joint",
        end,
        likely=rating,
        gives="a joint is overloaded",
        source="rating in the build file",
    )


def _hubs(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Iterator[Link]:
    """Each joint between a hub and its shaft, as the shafts chapter found it; the engine's key has its own link."""
    data = done["shafts"].data if "shafts" in done else None
    for joint in () if data is None else data.joints:
        carries = joint.carries
        if joint.shaft == ENGINE or not np.isfinite(carries):
            continue
        slips = joint.kind in SLIPS
        spread = SLIP_SPREAD if slips else 0.0
        yield Link(
            f"{joint.shaft}: {joint.name}",
            joint.kind,
            joint.shaft,
            likely=carries,
            gives=f"the hub {'slips' if slips else 'comes loose'} on its shaft",
            source=joint.capacity.source + ("; friction common practice, no source" if slips else ""),
            low=(1 - spread) * carries,
            high=(1 + spread) * carries,
        )


#: What gives the links, in the order of the torque's way; a new kind of link is one function more.
LINKS: tuple[Callable[..., Iterator[Link]], ...] = (_engine, _key, _clutch, _belts, _shafts, _hubs, _joint, _pin)


def _number(reader: Reader, link: Link, words: str = "{}") -> Number:
    """Return the torque that a link gives at, with its band."""
    return reader.number(link.likely, "torque", words, low=float(link.low), high=float(link.high))


def _table(draft: Draft, reader: Reader, data: ChainData) -> None:
    rows = [
        (
            link.name,
            _number(reader, link),
            "" if link.low == link.high else _number(reader, link, "{low} to {high}"),
            link.gives,
            in_words(link.source),
        )
        for link in data.links
    ]
    draft.tables.append(
        Table(
            f"Torque at the {data.shaft}'s shaft at which each link gives",
            ("link", "gives at", "band", "then", "from"),
            tuple(rows),
            f"All torques are referred to the shaft of the {data.shaft}; ratios and losses of the stages are counted.",
        )
    )
    on = f"on the shaft of the {data.shaft}"
    if data.working is not None:
        draft.fact("working torque", reader.number(data.working, "torque", known=reader.how("work.power")), on)
    if data.peak is not None:
        draft.fact("peak torque", reader.number(data.peak, "torque"), on)
    first = next(link for link in data.links if not link.limit)
    draft.fact("gives first", _number(reader, first, f"{first.name}, at {{}}"), first.gives)


def _checks(draft: Draft, reader: Reader, data: ChainData) -> None:
    giving = [link for link in data.links if not link.limit]
    first = giving[0]
    words = " < ".join(f"{link.name} {reader.show(link.likely, 'torque')}" for link in data.links)
    named = "chain.holds", "every link over the working load"
    if data.working is None:
        keys = ("work.power", "work.power_at")
        draft.checks.append(undecided(*named, keys, "The working torque is not known yet."))
    else:
        verdict = grade(likely=first.likely, bad=first.low, limit=data.working)
        draft.check(
            *named,
            found=_number(reader, first, f"{first.name} at {{}}"),
            wanted=reader.number(data.working, "torque", "{} or more", known=reader.how("work.power")),
            verdict=verdict,
            reason=f"From the weakest: {words}.",
            remedy="" if verdict == GO else f"Strengthen the weakest link first: {first.name}.",
            source="own-derivation, every torque referred to one shaft",
        )
    meant = next((link for link in giving if link.kind in MEANT), None)
    if meant is not None:
        _weak_link(draft, reader, data, giving, meant)


def _weak_link(draft: Draft, reader: Reader, data: ChainData, giving: list[Link], meant: Link) -> None:
    """Judge whether the part that is meant to give does so before every other link."""
    first = giving[0]
    before = giving[: giving.index(meant)]
    sure = not before and all(meant.high < link.low for link in giving if link is not meant)
    verdict = GO if sure else CAUTION
    if before:
        reason = (
            f"{before[0].name} at {reader.show(before[0].likely, 'torque')} gives before the {meant.name} at "
            f"{reader.show(meant.likely, 'torque')}: the pin never shears, and {before[0].gives}."
        )
        aim = before[0].low / (meant.likely / meant.low) * 0.9
        cure = f"Raise what comes before it above {reader.show(meant.high, 'torque')} (tension, wrap or more belts)"
        wanted = data.peak if data.peak is not None else data.working
        if wanted is not None and aim > wanted:
            cure += f", or take a pin or a radius that gives at about {reader.show(aim, 'torque')} on this shaft"
        elif data.peak is not None and meant.low < data.peak:
            peak = reader.show(data.peak, "torque")
            cure += f". The pin also gives below the peak load of {peak}: it shears in normal work"
        cure += "."
    else:
        near = next((link for link in giving if link is not meant), None)
        reason = f"The {meant.name} gives first" + (
            "." if sure or near is None else f", but only just: the band of {near.name} reaches down to it."
        )
        cure = "" if sure else "Make the gap between the pin and the next link wider."
    draft.check(
        "chain.weak-link",
        "the part that is meant to give gives first",
        found=first.name,
        wanted=meant.name,
        verdict=verdict,
        reason=reason,
        remedy=cure,
        source="own-derivation, every torque referred to one shaft",
    )
