"""What mends a chain: links, centres, sprockets, a larger chain or more strands, oil, a new chain."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from jackshaft import tables
from jackshaft.chapters.roller_chain.checks import FEW_SPROCKET, FIXED, fact
from jackshaft.chapters.roller_chain.data import ChainData, even_links
from jackshaft.chapters.roller_chain.power import OILING, oil_needed, serves
from jackshaft.mechanics import roller_chain as mech
from jackshaft.parts.load_at_speed import carried
from jackshaft.results.cure import Proposal
from jackshaft.results.failing import Failing
from jackshaft.units import OutOfRange, write

#: Steps in which centres are set.
STEP = "0.005 in", "0.1 mm"


def _chain(failing: Failing) -> ChainData | None:
    return failing.item("roller-chain")


def _links(chain: ChainData, pitch: float, teeth: tuple[int, int]) -> int | None:
    """Return the even links that a pitch and teeth take at the centres as they are; None where these are not known."""
    if chain.centres is None:
        return None
    try:
        path = mech.chain_path.si(chain.centres, pitch=pitch, small=min(teeth), large=max(teeth))
    except OutOfRange:
        return None
    return even_links(float(path.pitches))


def _with_links(failing: Failing, chain: ChainData, changes: Mapping[str, str], pitch: float, teeth) -> Proposal | None:
    """Return changes of size or teeth together with the links that they take, in words; None where they cannot be."""
    at, links = f"stage[{chain.stage.name}]", None
    if chain.links is not None:
        links = _links(chain, pitch, teeth)
        if links is None:
            return None
        changes = {**changes, f"{at}.links": str(links)}
        centres = _centres(failing, chain, links, pitch, teeth)
        if centres is not None:
            changes[f"{at}.centres"] = centres
    return changes, "" if links is None else f", with {links} links" + (f" at {centres} centres" if centres else "")


def _centres(failing: Failing, chain: ChainData, links: int, pitch: float, teeth) -> str | None:
    """Return the centres at which a chain hangs with the middle of the slack it wants; None where it does not reach."""
    try:
        straight = float(mech.chain_centres.si(links, pitch=pitch, small=min(teeth), large=max(teeth)))
    except OutOfRange:
        return None
    share = 0.5 * sum(chain.slack)
    slack = float(mech.slack_in.si(share * straight, strand=straight))
    return failing.down(straight - 0.5 * slack, "length", *STEP)


def _length(failing: Failing) -> Iterator[Proposal]:
    """Yield a take-up, then even numbers of links with the centres they want."""
    chain = _chain(failing)
    if chain is None or chain.centres is None:
        return
    at, stage = f"stage[{chain.stage.name}]", chain.stage
    closed = {}
    if failing.reader.get(f"{at}.connecting_link") == "offset":
        closed = {f"{at}.connecting_link": "press fit"}
        if chain.links is not None and not chain.links % 2:
            yield Proposal(f"Close {stage.name} with a press-fit link.", closed)
    for links in dict.fromkeys((chain.links, chain.needed, chain.needed - 2)):
        if links is None or links % 2:
            continue
        centres = _centres(failing, chain, links, stage.pitch, stage.teeth)
        if centres is not None:
            changes = {f"{at}.centres": centres, **closed}
            if links != chain.links:
                changes[f"{at}.links"] = str(links)
            words = f"Fit {links} links to {stage.name} and set its centres to {centres}"
            yield Proposal(words + (", closed with a press-fit link." if closed else "."), changes)
    if failing.reader.get(f"{at}.chain_takeup") in (None, FIXED):
        even = chain.needed
        changes = (
            {f"{at}.chain_takeup": "idler sprocket"}
            | closed
            | ({} if even == chain.links else {f"{at}.links": str(even)})
        )
        words = f"Fit an idler sprocket to the slack strand of {stage.name}"
        yield Proposal(words + (f", and {even} links." if even != chain.links else "."), changes)


def _teeth(failing: Failing) -> Iterator[Proposal]:
    """Yield larger pairs of sprockets of the ratio as it is, or as near to it as whole teeth come."""
    chain = _chain(failing)
    if chain is None:
        return
    stage, at = chain.stage, f"stage[{chain.stage.name}]"
    least, most = int(fact("teeth of the small sprocket", "low")), fact("teeth of the large sprocket", "high")
    for small in (least, 19, 15, 13, FEW_SPROCKET):
        pair = tuple(round(n * small / stage.small) for n in stage.teeth)
        if small == stage.small or max(pair) > most:
            continue
        keys = {f"{at}.{end}_teeth": str(n) for end, n in zip(("driver", "driven"), pair, strict=True)}
        done = _with_links(failing, chain, keys, stage.pitch, pair)
        if done is not None:
            yield Proposal(f"Fit sprockets of {pair[0]} and {pair[1]} teeth to {stage.name}{done[1]}.", done[0])


def _stronger(failing: Failing) -> Iterator[Proposal]:
    """Yield more strands, then larger chains of the same pattern."""
    chain = _chain(failing)
    if chain is None or chain.stage.row is None:
        return
    stage, at = chain.stage, f"stage[{chain.stage.name}]"
    number = stage.row["number"]
    if failing.reader.get(f"{at}.connecting_link") in (None, "slip fit"):
        yield Proposal(f"Join {stage.name} with a press-fit link.", {f"{at}.connecting_link": "press fit"})
    for strands in (2, 3):
        if strands > stage.strands:
            changes = {f"{at}.chain": f"{number}-{strands}"}
            if failing.reader.get(f"{at}.strands") is not None:
                changes[f"{at}.strands"] = str(strands)
            yield Proposal(f"Fit a chain {number}-{strands} with its sprockets to {stage.name}.", changes)
    for row in tables.table("chain_sizes").rows:
        if row["series"] == stage.row["series"] and row["tensile_least_n"] > stage.row["tensile_least_n"]:
            pitch = row["pitch_mm"] / 1000.0
            tail = "" if stage.strands == 1 else f"-{stage.strands}"
            keys = {f"{at}.chain": f"{row['number']}{tail}"}
            if failing.reader.get(f"{at}.chain_pitch") is not None:
                keys[f"{at}.chain_pitch"] = write(pitch, "length", failing.build.system)
            done = _with_links(failing, chain, keys, pitch, stage.teeth)
            if done is not None:
                words = f"Fit a chain {row['number']}{tail} with its sprockets to {stage.name}{done[1]}."
                yield Proposal(words, done[0])


def _oil(failing: Failing) -> Iterator[Proposal]:
    """Yield the ways to oil that serve, the simplest first."""
    chain = _chain(failing)
    if chain is None or chain.load is None or chain.stage.row is None:
        return
    words = {"by hand": "Oil {} by hand.", "drip or bath": "Give {} a drip oiler or an oil bath."}
    for way in OILING[OILING.index(oil_needed(chain)) :]:
        order = words.get(way, "Give {} a pumped stream of oil.").format(chain.stage.name)
        yield Proposal(order, {f"stage[{chain.stage.name}].oiling": way})


def _power(failing: Failing) -> Iterator[Proposal]:
    """Yield the oil that the rating counts on where it is wanting, then stronger chains."""
    chain = _chain(failing)
    has = None if chain is None else failing.reader.get(f"stage[{chain.stage.name}].oiling")
    if has is not None and chain.load is not None and chain.stage.row is not None:
        if not serves(has, oil_needed(chain)):
            yield from _oil(failing)
    yield from _stronger(failing)


def _wear(failing: Failing) -> Iterator[Proposal]:
    """Yield a new chain, which measures what it should."""
    chain = _chain(failing)
    if chain is None:
        return
    at = f"stage[{chain.stage.name}]"
    over = failing.reader.get(f"{at}.worn_over")
    length = write(over * chain.stage.pitch, "length", failing.build.system)
    changes = {f"{at}.worn_length": length, f"{at}.chain_is": "new"}
    yield Proposal(f"Fit a new chain to {chain.stage.name}, with new sprockets.", changes)


def _idler(failing: Failing) -> Iterator[Proposal]:
    """Yield the idler sprocket as far on the other side of the line of centres: there the strand is slack."""
    chain = _chain(failing)
    if chain is None or chain.toward is None:
        return
    at = f"stage[{chain.stage.name}]"
    x, y = (failing.reader.si(f"{at}.idler_{c}") for c in "xy")
    if x is None or y is None:
        return
    along, across = np.array([np.cos(chain.toward), np.sin(chain.toward)]), (x, y)
    spot = 2.0 * (along @ across) * along - across
    texts = [failing.near(float(c), "length", "1/16 in", "1 mm") for c in spot]
    words = f"Put the idler sprocket of {chain.stage.name} into the slack strand, at x {texts[0]}, y {texts[1]}."
    yield Proposal(words, {f"{at}.idler_{c}": text for c, text in zip("xy", texts, strict=True)})


PROPOSALS = carried(
    {
        "roller-chain.idler": _idler,
        "roller-chain.length": _length,
        "roller-chain.wrap": _length,
        "roller-chain.teeth": _teeth,
        "roller-chain.power": _power,
        "roller-chain.strength": _stronger,
        "roller-chain.oil": _oil,
        "roller-chain.wear": _wear,
    }
)
