"""What is judged about a chain's load: rating, oil and strength."""

from __future__ import annotations

from jackshaft import tables
from jackshaft.chapters.roller_chain.checks import fact
from jackshaft.chapters.roller_chain.data import ChainData
from jackshaft.parts.motor import is_motor
from jackshaft.parts.works import factor_key, more_words, power_more
from jackshaft.results.checks import CAUTION, GO, STOP, reaches, stays_within
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.tables import Row
from jackshaft.units import FOOT

#: Breaking strength over the pull at the peak that is wanted, and below which the plates may yield: common practice,
#: no source.
SAFE, YIELDS = 5.0, 2.5
#: Ways to oil a chain, each better than the one before.
OILING = ("none", "by hand", "drip or bath", "stream")
LOAD = "work.load_class"
#: Inch chains that a metric one has the pitch of: their speeds for oil are taken for it.
LIKE = {"06B": "35", "08B": "40", "10B": "50", "12B": "60", "16B": "80"}


def judge(draft: Draft, reader: Reader, chain: ChainData) -> None:
    """Add the checks of a chain's rating, oil and strength."""
    if chain.load is None:
        _no_load(draft, reader, chain)
        return
    _rating(draft, reader, chain)
    _oil(draft, reader, chain)
    _strength(draft, reader, chain)


def _no_load(draft: Draft, reader: Reader, chain: ChainData) -> None:
    name = chain.stage.name
    keys = reader.unknown("work.power", "work.power_at", "engine.work_speed") or chain.lacks
    words = "What the chain passes is not known yet."
    for what, named in (("power", "rated power"), ("oil", "oil"), ("strength", "pull")):
        draft.missing(reader, f"roller-chain.{what}[{name}]", f"{name}: {named}", keys, words)


def service_factors(reader: Reader) -> tuple[float, float, Row]:
    """Return the service factor at its good and its bad end, and its row; both ends differ where the load is not said.

    A light shock counts as a medium one, for which the table has a row.
    """
    table, driver = tables.table("chain_service"), "motor" if is_motor(reader) else "engine"
    load = reader.get(LOAD)
    if load is None:
        mild, rough = (table.one(load=of, driver=driver) for of in ("uniform", "heavy shock"))
        return mild["factor"], rough["factor"], rough
    row = table.one(load="medium shock" if load == "light shock" else load, driver=driver)
    return row["factor"], row["factor"], row


def _rating(draft: Draft, reader: Reader, chain: ChainData) -> None:
    stage, load, at = chain.stage, chain.load, f"stage[{chain.stage.name}]"
    named = f"roller-chain.power[{stage.name}]", f"{stage.name}: rated power"
    if stage.row is None:
        draft.missing(reader, *named, (f"{at}.chain",), "The chain's number is not known yet.")
        return
    if chain.rating is None:
        words = f"No rating of {stage.row['number']} is in the tables. Take the torque that its maker allows."
        if reader.get(f"{at}.rating") is None:
            draft.missing(reader, *named, (f"{at}.rating",), words)
        return
    rated = chain.rated
    link = reader.get(f"{at}.connecting_link")
    lost = 1.0 if link in ("press fit", "riveted") else 1.0 - fact("slip-fit connecting link", "high") / 100.0
    mild, rough, row = service_factors(reader)
    limited = "the link plates" if chain.rating.plates <= chain.rating.rollers else "rollers and bushings"
    words = f"{limited.capitalize()} set the rating, {reader.show(rated, 'power')} with good oil for 15,000 hours."
    if lost < 1.0:
        which = "a slip-fit connecting link" if link else "its connecting link is not written down: a slip fit"
        words += f" {which[:1].upper()}{which[1:]} takes up to {100 * (1 - lost):.0f} % of it."
    words += f" The work takes {reader.show(load.power, 'power')}, with a service factor of "
    words += f"{rough:g}." if mild == rough else f"{mild:g} to {rough:g}, for nobody has said how rough the load is."
    more = 1.0 + power_more(reader)
    words += more_words(reader, " It may take {} more.")
    bad, wanted = rated * lost, load.power * rough * more
    found = reader.number(rated, "power", "{low} to {high}" if lost < 1.0 else "{}", low=bad, high=rated)
    limit = reader.number(wanted, "power", "{} or more", source=row.source)
    source = f"{stage.row.source}; {row.source}"
    if reaches(bad, wanted):
        needed, has = oil_needed(chain), reader.get(f"{at}.oiling")
        oil = f"The rating holds with oil {_words(needed)}, which this speed wants"
        if has is None:
            draft.missing(reader, *named, (f"{at}.oiling",), f"{oil}. How it is oiled is not known yet.", limit=limit)
        elif not serves(has, needed):
            words += f" {oil}. It is oiled {_words(has)}; what is left of the rating then, nobody has published."
            draft.check(*named, found, limit, CAUTION, words, f"Oil it {_words(needed)}.", source)
        else:
            draft.check(*named, found, limit, GO, words, "", source)
        return
    if mild != rough and reaches(bad, load.power * mild * more):
        draft.missing(reader, *named, (LOAD,), words, limit=limit)
        return
    verdict = CAUTION if reaches(rated, load.power) else STOP
    words += " It wears out early." if verdict == CAUTION else " It breaks or wears out soon."
    draft.check(*named, found, limit, verdict, words, "Use a larger chain, more strands or more teeth.", source)


def oil_limits(chain: ChainData) -> Row:
    """Return the row of chain speeds up to which each way of oiling serves."""
    number = chain.stage.row["number"]
    return tables.table("chain_lubrication").one(number=LIKE.get(number, number))


def oil_needed(chain: ChainData) -> str:
    """Return the least way of oiling that serves at the chain's speed."""
    row = oil_limits(chain)
    limits = [row[k] * FOOT / 60.0 for k in ("by_hand_ft_per_min", "drip_or_bath_ft_per_min")]
    ways = zip(OILING[1:-1], limits, strict=True)
    return next((way for way, most in ways if stays_within(chain.load.speed, most)), OILING[-1])


def serves(has: str, needed: str) -> bool:
    """Return whether a way to oil a chain is as good as the one that it needs."""
    return OILING.index(has) >= OILING.index(needed)


def _oil(draft: Draft, reader: Reader, chain: ChainData) -> None:
    key, name = f"stage[{chain.stage.name}].oiling", chain.stage.name
    named = f"roller-chain.oil[{name}]", f"{name}: oil"
    if chain.stage.row is None:
        draft.missing(reader, *named, (f"stage[{name}].chain",), "The chain's number is not known yet.")
        return
    needed, has = oil_needed(chain), reader.get(key)
    words = (
        f"At {reader.show(chain.load.speed, 'surface speed')} the chain wants oil {_words(needed)}, between its plates."
    )
    source = f"{oil_limits(chain).source}; from memory"
    if has is None:
        draft.missing(reader, *named, (key,), f"{words} How it is oiled is not known yet.", limit=_words(needed))
        return
    good = serves(has, needed)
    if not good:
        words += " With less it loses most of its rating and of its life."
    remedy = "" if good else f"Oil it {_words(needed)}."
    draft.check(*named, _words(has), _words(needed), GO if good else CAUTION, words, remedy, source)


def _words(way: str) -> str:
    return {"none": "not at all", "drip or bath": "by drip or bath", "stream": "by a pumped stream"}.get(way, way)


def _strength(draft: Draft, reader: Reader, chain: ChainData) -> None:
    stage, load = chain.stage, chain.load
    named = f"roller-chain.strength[{stage.name}]", f"{stage.name}: pull"
    if stage.row is None:
        draft.missing(reader, *named, (f"stage[{stage.name}].chain",), "The chain's number is not known yet.")
        return
    # a strand is also pulled by being bent round the sprockets at speed
    flung = stage.row["mass_kg_per_m"] * stage.strands * load.speed**2
    strong = stage.strength
    limit = reader.number(strong / SAFE, "force", "{} or less, a fifth of what breaks it")
    # the chain stands still, or nearly, while it starts: nothing is flung then
    pull = max(load.pull + flung, (load.peak or 0.0) + flung, load.start or 0.0)
    most = pull * (1.0 + power_more(reader))
    found = reader.number(pull, "force", high=most) if most > pull else reader.number(pull, "force")
    good = stays_within(most, strong / SAFE)
    verdict = GO if good else CAUTION if stays_within(pull, strong / YIELDS) else STOP
    lacks = [factor_key(reader, k) for k, v in (("peak", load.peak), ("start", load.start)) if v is None]
    if lacks and verdict != STOP:
        words = (
            f"The pull is {reader.show(pull, 'force')} by what is known. How hard peak and start are is not all known."
        )
        draft.missing(reader, *named, tuple(lacks), words, limit=limit)
        return
    when = "start" if load.start is not None and load.start >= pull else "peak"
    words = (
        f"It is pulled hardest at the {when}. It breaks at {reader.show(strong, 'force')} or more; a fifth of that is "
    )
    words += "usual."
    remedy = "" if verdict == GO else "Use a larger chain, more strands, or a pin or belt that gives first."
    draft.check(
        *named, found, limit, verdict, words, remedy, f"{stage.row.source}; a fifth: common practice, no source"
    )


__all__ = ["OILING", "judge", "oil_needed", "serves", "service_factors"]
