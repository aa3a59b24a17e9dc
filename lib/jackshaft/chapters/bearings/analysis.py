"""Bearings: which size each one is, whether its seat holds, what it carries, and how long it lives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from jackshaft.chapters.bearings import (
    CHAPTER,
    card,
    checks,
    fitting,
    idlers,
    insert_card,
    insert_locks,
    inserts,
    place,
    reactions,
    seats,
    tables,
)
from jackshaft.chapters.bearings import identity as bearing_identity
from jackshaft.chapters.bearings import life as bearing_life
from jackshaft.chapters.bearings.data import BearingsData
from jackshaft.mechanics.bearings import UPPER_BOUND
from jackshaft.parts.shaft_cases import jam_doubt
from jackshaft.parts.tightener import pulls_harder
from jackshaft.parts.unweighed import leave_open, pulls_unsaid, supposing, unweighed
from jackshaft.results.chapter import WHOLE, Detail, Scope
from jackshaft.results.checks import Fact
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up every bearing of a build, with its tables or, for a slider, without."""
    draft = Draft(CHAPTER)
    names = reader.names("bearing")
    if not names:
        return _without(draft, reader, done)
    data = _bearings(draft, reader, done, names)
    for shaft, mine in reactions.by_shaft(reader, names).items():
        if shaft is not None and len(mine) > 1:
            if insert_locks.all_inserts(data.identity, mine):
                insert_locks.located_check(draft, reader, shaft, mine, data.identity)
            else:
                fitting.located_check(draft, reader, shaft, mine)
    _shafts_without(draft, reader)
    idlers.work_up(draft, reader, done)
    if scope.detail.tables:
        found = (
            tables.candidates(reader, data.identity.values()),
            tables.pulls(reader, data.shafts.values()),
            tables.lives(reader, data.lives.values()),
            tables.worked(reader, data.shafts.values(), data.lives.values()),
            seats.sheet(reader, data.seats.values()),
            fitting.stand_ins(reader, data.identity.values(), data.lives),
            fitting.for_the_place(reader, data.identity.values(), data.lives),
            tables.grounds(reader, data.identity.values()),
        )
        draft.tables += [t for t in found if t.cells]
    draft.facts = [replace(f, label=f"{name}: {f.label}") for name, mine in data.facts.items() for f in mine]
    if weights := unweighed(reader, done, _bores(reader, data)):
        heavy = work_up(supposing(reader, weights), done, Scope(Detail.BARE))
        leave_open(draft, reader, heavy.checks, weights)
        data = data._replace(heavy=heavy, weights=weights)
    draft.data = data
    draft.cite("gost18855", "gost520", "catalogue-a", "own-derivation")
    draft.cautions += [
        "Wear goggles when a bearing is pressed, driven or pulled: rings are hard and splinter.",
        "A retaining ring springs out of its groove; keep your face out of its line.",
    ]
    if reader.get("place") in ("outdoors", None):
        draft.cautions.append(UPPER_BOUND)
    return draft.done(reader, uses=[done["ratio"], done["layout"], done["grip"]])


def _bores(reader: Reader, data: BearingsData) -> dict[str, float]:
    """Return the largest bore of the bearings on each shaft, m, where it is known."""
    found: dict[str, float] = {}
    for name, identity in data.identity.items():
        shaft = reader.get(f"bearing[{name}].shaft")
        if shaft is not None and identity.size is not None:
            found[shaft] = max(found.get(shaft, 0.0), identity.size.bore)
    return found


def _without(draft: Draft, reader: Reader, done: Mapping[str, Findings]) -> Findings:
    """Close the chapter of a build without a bearing of its own: its shafts and idlers are still asked about."""
    none = reader.is_none("bearing")
    if not none:
        _shafts_without(draft, reader)
    place.apart_check(draft, reader, {})
    idlers.work_up(draft, reader, done)
    uses = [done["ratio"], done["layout"], done["grip"]]
    words = "This build has no bearing of its own." if none else "No bearing is in the build file yet."
    return draft.done(reader, "none" if none else "not known yet", words, uses=uses)


def _shafts_without(draft: Draft, reader: Reader) -> None:
    """Add an undecided check for each shaft whose bearings nobody has written down."""
    boxes = [s for s in reader.names("stage") if reader.get(f"stage[{s}].kind") == "gearbox"]
    carried = {reader.get(f"bearing[{name}].shaft") for name in reader.names("bearing")}
    for shaft in reader.names("shaft"):
        if shaft not in carried:
            keys = reader.unplaced("bearing", "shaft")
            words = f"No bearing of {shaft} is written down, so what they carry is not judged."
            if keys != ("bearing",):
                words = f"It is not written down which bearings carry {shaft}, so what they carry is not judged."
            if any(reader.get(f"stage[{s}].{end}") == shaft for s in boxes for end in ("from", "to")):
                words += " Where it runs in the gearbox's own, the gearbox maker's limit of the side load counts."
            draft.missing(reader, f"bearings.shaft[{shaft}]", f"{shaft}: its bearings", keys, words)


def _bearings(draft: Draft, reader: Reader, done: Mapping[str, Findings], names: tuple[str, ...]) -> BearingsData:
    """Work up each bearing; what could not be identified or carries nothing that can be worked out is left out."""
    identity, seated, lives, cards = {}, {}, {}, {}
    facts: dict[str, tuple[Fact, ...]] = dict.fromkeys(names, ())
    for name in names:
        with draft.attempt(reader, f"bearings.identity[{name}]", f"{name}: which bearing"):
            identity[name] = bearing_identity.identify(draft, reader, name)
        facts[name] += _taken(draft)
    shafts, why = reactions.work_up(draft, reader, done, names)
    for name, mine in identity.items():
        with draft.attempt(reader, f"bearings.life[{name}]", f"{name}: rating life"):
            life = bearing_life.work_up(draft, reader, done, mine, reactions.load_of(reader, done, name, shafts))
            checks.add(draft, reader, life, why.get(name), done["ratio"].data)
            insert = inserts.is_insert(mine) or (mine.size is None and inserts.said(reader, f"bearing[{name}]"))
            seat = (inserts if insert else seats).work_up(draft, reader, mine, life)
            (
                insert_locks.work_up(draft, reader, mine, life)
                if insert
                else insert_locks.not_an_insert(draft, reader, mine)
            )
            fitting.room_check(draft, reader, mine)
            place.bore_check(draft, reader, mine)
            cards[name] = (insert_card if insert else card).work_up(draft, reader, mine, seat, life)
            lives[name], seated[name] = life, seat
            harder = pulls_harder(reader, done, reader.get(f"bearing[{name}].shaft"))
            ids = [f"bearings.{what}[{name}]" for what in ("life", "load", "static")]
            draft.tell(harder, *ids)
            if (there := shafts.get(reader.get(f"bearing[{name}].shaft"))) is not None:
                pulls_unsaid(draft, reader, there.loads, *ids)
                jam_doubt(draft, reader, done, there.shaft, {ids[-1]: checks.once_safety(life)}, leaving=True)
        facts[name] += _taken(draft)
    identity = {n: i for n, i in identity.items() if n in lives}
    place.apart_check(draft, reader, identity)
    return BearingsData(identity=identity, seats=seated, lives=lives, shafts=shafts, cards=cards, facts=facts)


def _taken(draft: Draft) -> tuple[Fact, ...]:
    """Take the facts out of the draft: they are those of one bearing."""
    found = tuple(draft.facts)
    draft.facts.clear()
    return found
