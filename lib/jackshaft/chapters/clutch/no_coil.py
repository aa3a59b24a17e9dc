"""A clutch without electrics: a centrifugal one, or a belt that a tightener engages."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.clutch import (
    centrifugal,
    driven_back,
    letting_go,
    running_up,
    stopping,
    tightener,
    untold,
    ways,
)
from jackshaft.chapters.clutch.asked import required_of
from jackshaft.chapters.clutch.belts import belts_of
from jackshaft.chapters.clutch.data import ClutchData
from jackshaft.chapters.clutch.ways_data import CENTRIFUGAL, IDLER, Way
from jackshaft.chapters.ratio.data import ENGINE
from jackshaft.mechanics import clutch
from jackshaft.parts.words import made_safe
from jackshaft.results.chapter import Scope
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader

CAUTIONS = {
    CENTRIFUGAL: (
        "Nothing but its speed lets a centrifugal clutch go. Before you reach in, {safe}. Never speed the engine "
        "up with its drum or guard off.",
        "Let the engine run up without a halt between idle and working speed, where the shoes slip and heat.",
        "The torque is that of shoes which slide straight outward. Shoes on a pivot that lead press harder, and those "
        "that trail press less: go by the maker's torque then.",
    ),
    IDLER: (
        "A hand between belt and pulley is drawn in when the tightener closes. Before you touch belt, idler or "
        "lever, {safe}.",
        "Never let a tightener in or out with its guard off. The belt jumps, and the idler flies back.",
        "Engage it at once and fully. A belt that is held half tight slips, glazes and burns.",
    ),
}


def work_up(draft: Draft, reader: Reader, done: Mapping[str, Findings], scope: Scope) -> None:
    """Work up a clutch without a coil: what it holds, how it runs the work up, and how it lets go."""
    kind, shaft = reader.get("clutch.kind"), reader.get("clutch.shaft") or ENGINE
    ratio = done["ratio"].data
    data = ClutchData(
        known=(),
        used=None,
        static={},
        dynamic={},
        required=required_of(reader, ratio, shaft),
        curves=None,
        electric=None,
        shaft=shaft,
        engagement=None,
        dynamics=None,
        settled=None,
        run_in={},
        lacking=(),
        between=(),
        gap=None,
        belts=belts_of(reader, done, shaft),
    )
    data = (_shoes if kind == CENTRIFUGAL else _belt)(draft, reader, done, data)
    letting_go.guarded(draft, reader, kind)
    if kind == IDLER:
        letting_go.returns(draft, reader)
    driven_back.check(draft, reader, ratio, shaft)
    untold.leave_open(draft, reader, None, done["ratio"].data, data.shaft)
    _facts(draft, reader, data.way, data.required)
    draft.data = data
    if scope.detail.tables:
        ways.add(draft, reader, done, data)
    safe = made_safe(reader.get("engine.kind"))
    draft.cautions += [line.format(safe=safe) for line in CAUTIONS[kind]]


def _shoes(draft: Draft, reader: Reader, done: Mapping[str, Findings], data: ClutchData) -> ClutchData:
    ratio, way = done["ratio"].data, Way(CENTRIFUGAL)
    with draft.attempt(reader, "clutch.hold", "holding, at the working speed"):
        centrifugal.hold(draft, reader, ratio, data.required, data.shaft)
    with draft.attempt(reader, "clutch.idle", "work stands while the engine idles"):
        centrifugal.idle(draft, reader, ratio, data.shaft)
    with draft.attempt(reader, running_up.ID, running_up.NAME):
        way = running_up.by_shoes(reader, ratio, data.shaft, data.required, data.belts)
        running_up.check(draft, reader, way, ratio, data.shaft, data.belts)
        running_up.repeated(draft, reader, way)
    stop = stopping.at_shaft(draft, reader, done, data.shaft)
    return data._replace(way=way, stop=stop)


def _belt(draft: Draft, reader: Reader, done: Mapping[str, Findings], data: ClutchData) -> ClutchData:
    ratio, way, found = done["ratio"].data, Way(IDLER), None
    with draft.attempt(reader, "clutch.hold", "holding, belt tightened"):
        found = tightener.find(reader, done, data.shaft)
        way = tightener.way_at(reader, done, data.shaft, data.required)
        tightener.hold(draft, reader, way, data.required)
        tightener.slip(draft, reader, way, found)
        if found is not None:
            tightener.repeated(draft, reader, way, ratio)
    if found is not None:
        with draft.attempt(reader, "clutch.lever", "lever gives the belt its tension"):
            tightener.lever(draft, reader, found)
        with draft.attempt(reader, "clutch.clear", "belt stands clear when let go"):
            letting_go.clear(draft, reader, found, way.lacks)
    # let go, its own belt is slack: a brake must sit behind it
    slack = None if ratio is None or found is None or ratio.stage(found.stage) is None else found.stage
    stop = stopping.at_shaft(draft, reader, done, data.shaft, slack)
    return data._replace(way=way, stop=stop)


def _facts(draft: Draft, reader: Reader, way: Way, required: clutch.Required | None) -> None:
    """Add what is held, and what is asked."""
    if way.torque is not None:
        band = way.torque
        number = reader.number(band.likely, "torque", low=float(band.bad), high=float(band.good))
        words = f"{reader.show(band.bad, 'torque')} to {reader.show(band.good, 'torque')}"
        draft.fact("torque it holds at work", number, f"at the clutch's shaft: {words}")
    if way.kind == CENTRIFUGAL and way.top is not None:
        top = reader.number(way.top.likely, "torque", low=float(way.top.bad), high=float(way.top.good))
        words = f"up to {reader.show(way.top.good, 'torque')}: what it lets through at a jam, before it slips"
        draft.fact("torque it holds at the engine's top speed", top, words)
    if required is not None and required.work:
        draft.fact("the work takes", reader.number(required.work, "torque"), "at the clutch's shaft")


__all__ = ["CAUTIONS", "work_up"]
