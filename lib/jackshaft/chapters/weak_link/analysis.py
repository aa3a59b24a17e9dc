"""The torque chain: what gives first, every link carried over to one shaft."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft.chapters.ratio.data import ENGINE, RatioData, ShaftState, chain
from jackshaft.chapters.ratio.motor import AFTER
from jackshaft.chapters.weak_link import CHAPTER, cases, engaging, jam, overload
from jackshaft.chapters.weak_link.at_work import pin
from jackshaft.chapters.weak_link.data import ChainData, Left, Link
from jackshaft.chapters.weak_link.links import LINKS, lacking_load
from jackshaft.chapters.weak_link.slipping import slipping_of
from jackshaft.mechanics import chain as mech
from jackshaft.parts.motor import is_motor, most_torque
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import Table, undecided
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.tables import in_words


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up the torque chain over what the other chapters found."""
    draft = Draft(CHAPTER)
    ratio: RatioData | None = done["ratio"].data
    uses = [c for n, c in done.items() if n in CHAPTER.needs or n in ("ratio", "layout")]
    if ratio is None or not ratio.stages:
        words = "This needs the stages between the engine and the work."
        if ratio is not None:
            left = [part for part in pin(reader, done, ratio) if isinstance(part, Left)]
            lacks = (*ratio.between, *(k for part in left for k in part.keys))
            if reader.has("shear_pin") and not reader.is_none("shear_pin"):
                words += " The shear pin is not judged before."
            draft.missing(reader, *cases.HOLDS, lacks, words)
        return draft.done(reader, done["ratio"].state if ratio is None else "not known yet", words, uses=uses)
    links, left = _links(draft, reader, done, ratio)
    for part in left:
        reader.note_missing(*part.keys)
    on_shaft = [on for link in links if (on := _referred(link, ratio)) is not None]
    lost = [link for link in links if ratio.shaft(link.shaft) is None]
    left += [Left(k.name, k.part, "its speed ratio to the engine is not known", ratio.between) for k in lost]
    engine = ratio.shafts[0]
    if all(link.limit for link in on_shaft):
        _nothing(draft, reader, left)
        return draft.done(reader, "not known yet", "Of no part it is known yet at which torque it gives.", uses=uses)
    order = mech.order_si(*(np.array([getattr(n, k) for n in on_shaft]) for k in ("low", "likely", "high")))
    start = engine.start_factor
    data = ChainData(
        engine.name,
        tuple(on_shaft[i] for i in order.rank),
        engine.torque,
        engine.peak_torque,
        order.sure,
        start=None if start is None or engine.torque is None else start * engine.torque,
        left=tuple(left),
        shared=tuple(dict.fromkeys(s.name for s in ratio.stages if s.pulleys is not None and s.pulleys.several)),
        surge=_surge(reader),
        works=tuple((end, tuple(s.end for s in chain(ratio.stages, end))) for end in ratio.carriers),
    )
    with draft.attempt(reader, "chain.engage", engaging.NAME):
        data = data._replace(slipping=slipping_of(reader, done, ratio))
    draft.data = data
    _tables(draft, reader, data)
    _facts(draft, reader, data)
    found = cases.checks(draft, reader, data, lacking_load(reader, done))
    found += jam.checks(draft, reader, data, lacking_load(reader, done))
    found += engaging.checks(draft, reader, data, done)
    with draft.attempt(reader, *overload.HEAT):
        overload.checks(draft, reader, data, ratio)
    cases.table(draft, reader, found)
    draft.cite("own-derivation", "shigley")
    return draft.done(reader, uses=uses)


def _surge(reader: Reader) -> float | None:
    """Return the most that a motor brings as it starts together with the work, N m; None where nothing does."""
    most = most_torque(reader) if is_motor(reader) and reader.get("clutch.kind") not in AFTER else None
    return None if most is None else most[1]


def _links(
    draft: Draft, reader: Reader, done: Mapping[str, Findings], ratio: RatioData
) -> tuple[list[Link], list[Left]]:
    """Return the links and what is left out; a source that cannot be worked out is left out as a whole."""
    links, left = [], []
    for source in LINKS:
        id, before = f"chain.{source.__name__.replace('_', '-')}", len(draft.checks)
        with draft.attempt(reader, id, f"what gives first: {source.__name__.replace('_', ' ')}"):
            for found in source(reader, done, ratio):
                (left if isinstance(found, Left) else links).append(found)
        for check in draft.checks[before:]:
            lacks = reader.unknown(*check.missing)
            left.append(Left(check.name, check.id, check.reason, lacks))
    return links, left


def _referred(link: Link, ratio: RatioData) -> Link | None:
    """Return a link with its torques on the reference shaft, None where its shaft is not known."""
    shaft = ratio.shaft(link.shaft)
    if shaft is None:
        return None

    def carried(torque: float | None) -> float:
        return float(
            mech.carried_over.si(link.likely if torque is None else torque, over=shaft.over, passed=shaft.passed)
        )

    ends = {"low": carried(link.low), "likely": carried(link.likely), "high": carried(link.high)}
    peak = None if link.peak is None else tuple(carried(t) for t in link.peak)
    standing = None if link.standing is None else tuple(carried(t) for t in link.standing)
    engine, taken = ratio.shafts[0], _taken(link, ratio)
    if (harder := _harder(taken.peak_factor, engine.peak_factor)) != 1.0 and peak is None and not link.limit:
        peak = ends["low"] / harder, ends["likely"] / harder
    if (harder := _harder(taken.start_factor, engine.start_factor)) != 1.0 and not link.limit:
        standing = tuple(torque / harder for torque in standing or (ends["low"], ends["likely"]))
    line = chain(ratio.stages, shaft.name)
    after = tuple(f"stage[{s.name}]" for s in line if s.pulleys is not None)
    passes = tuple(s.start for s in line)
    found = link._replace(**ends, standing=standing, peak=peak, after=after, passes=passes)
    if link.limit or not engine.torque:
        return found
    if taken.torque is None:
        return found._replace(untold=ratio.share_lacks(shaft.name))
    part = taken.torque / (engine.torque * shaft.over * shaft.passed)
    return found._replace(branch=1.0 if np.isclose(part, 1.0, rtol=1e-9) else part)


def _taken(link: Link, ratio: RatioData) -> ShaftState:
    """Return the shaft of a link with the load that goes through the link: a belt takes what its own shafts take."""
    shaft = ratio.shaft(link.shaft)
    if link.kind != "belt slip":
        return shaft
    name = link.part.removeprefix("stage[").removesuffix("]")
    ends = [ratio.shaft(s.end) for s in ratio.stages if s.name == name]
    factors = {
        key: own.pop()
        for key in ("peak_factor", "start_factor")
        if len(own := {getattr(end, key) for end in ends}) == 1 and None not in own
    }
    return ratio.through(name)._replace(**factors)


def _harder(own: float | None, whole: float | None) -> float:
    """Return how much harder a shaft peaks or starts than the engine does: its load over that at work by the engine's.

    One that starts without load gives at no start at all.
    """
    if own is None or not whole or np.isclose(own, whole, rtol=1e-9):
        return 1.0
    return own / whole if own else 1e-9


def _nothing(draft: Draft, reader: Reader, left: list[Left]) -> None:
    """Say what every part lacks where no link is known at all."""
    _left_table(draft, left)
    keys = tuple(dict.fromkeys(k for part in left for k in part.keys))
    if keys:
        draft.checks.append(undecided(*cases.HOLDS, keys, "Of no part is known what it gives at."))


def _tables(draft: Draft, reader: Reader, data: ChainData) -> None:
    rows = [
        (
            link.name,
            cases.number(reader, link),
            "" if link.low == link.high else cases.number(reader, link, "{low} to {high}"),
            link.gives,
            in_words(link.source),
        )
        for link in data.links
    ]
    draft.tables.append(
        Table(
            f"Torque at the {data.shaft}'s shaft at which each part gives",
            ("part", "gives at", "band", "then", "from"),
            tuple(rows),
            f"All torques are carried over to the shaft of the {data.shaft}, with ratios and losses of the stages. "
            "What must hold is judged at the low end of its band, what must give at the high end." + jam.in_step(data),
        )
    )
    _left_table(draft, data.left)


def _left_table(draft: Draft, left) -> None:
    rows = [(part.name, part.why, ", ".join(part.keys)) for part in left]
    if rows:
        note = ""
        if any(part.counts for part in left):
            note = (
                "While a part that the work needs is left out because a number is missing, no load here is called go."
            )
        draft.tables.append(Table("Left out here", ("part", "why", "what is missing"), tuple(rows), note))


def _facts(draft: Draft, reader: Reader, data: ChainData) -> None:
    on = f"on the shaft of the {data.shaft}"
    if data.working is not None:
        draft.fact("working torque", reader.number(data.working, "torque", known=reader.how("work.power")), on)
    if data.start is not None:
        draft.fact("torque of a restart", reader.number(data.start, "torque"), on)
    if data.peak is not None:
        draft.fact("peak torque", reader.number(data.peak, "torque"), on)
    first = data.giving[0]
    draft.fact("gives first", cases.number(reader, first, f"{first.name}, at {{}}"), first.gives)
    if data.lacking:
        names = ", ".join(part.name for part in data.lacking)
        draft.fact("left out", names, "what they give at is not known yet")


__all__ = ["ENGINE", "ChainData", "Link", "work_up"]
