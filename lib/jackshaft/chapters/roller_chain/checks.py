"""What is judged about a chain's size: its length and slack, its teeth, its wraps and its wear."""

from __future__ import annotations

from math import degrees, isnan, radians

from jackshaft import tables
from jackshaft.chapters.roller_chain.data import IDLER, ChainData
from jackshaft.mechanics import roller_chain as mech
from jackshaft.results.checks import CAUTION, GO, STOP, grade, reaches, stays_within
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import at_most

#: What can take a chain's slack up.
FIXED = "nothing"
#: Teeth below which a sprocket is not made for power, and below which it is for slow, light drives only: common
#: practice, no source.
NO_SPROCKET, FEW_SPROCKET = 9, 11
#: Centres over the pitch beyond which a chain whips and wants a guide: common practice, no source.
LONG = 80.0
ODD = "An odd number of links closes only with an offset link, which is weak in a drive."
OFFSET = "An offset link is weak in a drive, and an even number of links needs none."
#: Share by which a used chain measures less than a new one where the tape or the count must be wrong: common practice,
#: no source.
SHORT = 0.01


def fact(item: str, column: str) -> float:
    """Return a figure of the table of chain facts."""
    return tables.table("chain_facts").one(item=item)[column]


def judge(draft: Draft, reader: Reader, chain: ChainData) -> None:
    """Add the checks of a chain's length, teeth, wraps and wear."""
    _length(draft, reader, chain)
    _teeth(draft, reader, chain)
    _wrap(draft, reader, chain)
    _idler(draft, reader, chain)
    _wear(draft, reader, chain)


def _length(draft: Draft, reader: Reader, chain: ChainData) -> None:
    name, at = chain.stage.name, f"stage[{chain.stage.name}]"
    named = f"roller-chain.length[{name}]", f"{name}: links and slack"
    lacks = reader.unknown(f"{at}.links", f"{at}.centres")
    if lacks:
        words = "Whether the chain closes, and with what slack, is not known yet."
        if chain.needed is not None:
            words += f" The centres take {chain.path.pitches:.2f} pitches: fit {chain.needed} links."
        elif chain.straight is not None:
            words += f" {chain.links} links are straight at {reader.show(chain.straight, 'length')}."
        draft.missing(reader, *named, lacks, words)
        return
    if chain.path is None:
        words = f"The sprockets stand inside each other; '{name}: wrap of the small sprocket' says so. Mend that first."
        draft.missing(reader, *named, (f"{at}.centres",), words)
        return
    source = "own-derivation; chain-maker-faq, tension"
    found, wanted = f"{chain.links} links", _pitches_wanted(reader, chain)
    if isnan(chain.movement):
        words = f"The chain does not close: {chain.links} links do not even reach round the sprockets."
        if chain.straight is not None:
            short = reader.tape(chain.centres - chain.straight)
            words = f"The chain does not close: {chain.links} links are straight {short} before these centres."
        draft.check(*named, found, wanted, STOP, words, "Use more links, or bring the shafts together.", source)
        return
    offset = reader.get(f"{at}.connecting_link") == "offset"
    if chain.links % 2 and not offset:
        draft.check(*named, found, wanted, STOP, ODD, "Use an even number of links.", source)
        return
    verdict, words, remedy = _slack(reader, chain)
    if verdict == GO and chain.toward is None and reader.get(f"{at}.chain_takeup") in (None, FIXED):
        words += " A steep chain wants half of that; which way it runs is not known yet."
        draft.missing(reader, *named, (f"{at}.centres_toward",), words, limit=wanted)
        return
    if verdict == GO and not _holds_at_ends(reader, chain):
        verdict, remedy = CAUTION, "Measure the centres closer, or fit a take-up."
        words += " The centres may be off by so much that it hangs otherwise, or does not close."
    if offset and verdict == GO:
        why, remedy = (
            (ODD, "Use an even number of links.") if chain.links % 2 else (OFFSET, "Close it with another link.")
        )
        verdict, words = CAUTION, f"{words} {why}"
    draft.check(*named, found, wanted, verdict, words, remedy, source)


def _pitches_wanted(reader: Reader, chain: ChainData) -> Number:
    """Return the pitches that close the loop with the slack it wants, or as many as its take-up takes out."""
    need, strand, pitch = float(chain.path.pitches), float(chain.path.strand), chain.stage.pitch
    low, high = (float(mech.slack_in.si(share * chain.centres, strand=strand)) / pitch for share in chain.slack)
    if reader.get(f"stage[{chain.stage.name}].chain_takeup") not in (None, FIXED):
        low, high = 0.0, fact("take-up", "low")
    return reader.number(
        need, "number", "{low} to {high} pitches at these centres", low=need + low, high=need + high, decimals=2
    )


def _holds_at_ends(reader: Reader, chain: ChainData) -> bool:
    """Tell whether the chain also closes with the slack it wants at both ends of what its centres may be."""
    stage = chain.stage
    for centres in set(reader.ends(f"stage[{stage.name}].centres")) - {chain.centres}:
        if centres <= 0.5 * abs(stage.diameters[1] - stage.diameters[0]):
            return False
        path = mech.chain_path.si(centres, pitch=stage.pitch, small=stage.small, large=stage.large)
        over = (chain.links - float(path.pitches)) * stage.pitch
        if over < 0.0:
            return False
        movement = float(mech.movement_of.si(over, strand=float(path.strand)))
        if _slack(reader, chain._replace(centres=centres, path=path, movement=movement))[0] != GO:
            return False
    return True


def _slack(reader: Reader, chain: ChainData) -> tuple[str, str, str]:
    """Return verdict, reason and remedy of the slack that a chain has where it hangs."""
    takeup = reader.get(f"stage[{chain.stage.name}].chain_takeup")
    low, high = (share * chain.centres for share in chain.slack)
    over = chain.links - float(chain.path.pitches)
    words = f"The slack strand moves {reader.tape(chain.movement)} at its middle, up plus down. "
    band = f"{reader.tape(low)} to {reader.tape(high)}"
    if takeup not in (None, FIXED):
        room = fact("take-up", "low")
        if at_most(over, room):
            return GO, f"{words}Set it to {band} with the take-up.", ""
        words += f"The chain is {over:.1f} pitches too long, and a take-up takes out {room:g} pitches."
        return CAUTION, words, "Take two links out, or move the shafts apart."
    if chain.movement < low * 0.997:
        words += f"It wants {band}. A chain without slack pulls on both shafts all the time and wears."
        return CAUTION, words, "Bring the shafts a little together."
    if stays_within(chain.movement, high):
        after = "Nothing takes up its wear: " if takeup == FIXED else "If nothing takes up its wear, "
        worn = fact("worn out on fixed centres", "high")
        return GO, f"{words}It wants {band}. {after}it is done at {worn:g} % longer.", ""
    words += f"It wants {band}. A chain that hangs deeper whips, and may climb over the teeth."
    if takeup is None:
        reader.note_missing(f"stage[{chain.stage.name}].chain_takeup")
    return CAUTION, words, "Fit a take-up in the slack strand, or shafts that move."


def _teeth(draft: Draft, reader: Reader, chain: ChainData) -> None:
    stage = chain.stage
    named = f"roller-chain.teeth[{stage.name}]", f"{stage.name}: teeth of the sprockets"
    least, most = fact("teeth of the small sprocket", "low"), fact("teeth of the large sprocket", "high")
    step = fact("ratio in one step", "high")
    swing = 100.0 * float(mech.speed_swing.si(stage.small))
    found, wanted = f"{stage.teeth[0]} and {stage.teeth[1]}", f"{least:g} or more, {most:g} or fewer"
    words = f"{stage.small} teeth swing the chain's speed by {swing:.1f} % at each tooth."
    source, verdict, remedy = "mott4, section 7-6; from memory", GO, ""
    if stage.small < least:
        verdict = STOP if stage.small < NO_SPROCKET else CAUTION
        words += f" A smooth drive has {least:g} or more; fewer are loud and wear the chain sooner."
        if stage.small < FEW_SPROCKET:
            words += " A chain bends hard over so few: they are for slow and light drives."
        remedy = "Fit larger sprockets."
    elif stage.large > most:
        verdict, remedy = CAUTION, "Fit smaller sprockets, or share the ratio between two stages."
        words += " A little wear lifts the chain over the teeth of so large a sprocket."
    elif stage.large > step * stage.small:
        verdict, remedy = CAUTION, "Share the ratio between two stages."
        words += f" More than {step:g} : 1 in one step leaves few teeth of the small sprocket in the chain."
    draft.check(*named, found, wanted, verdict, words, remedy, source)


def _wrap(draft: Draft, reader: Reader, chain: ChainData) -> None:
    name = chain.stage.name
    named = f"roller-chain.wrap[{name}]", f"{name}: wrap of the small sprocket"
    if chain.centres is None:
        draft.missing(reader, *named, (f"stage[{name}].centres",), "The centres are not known yet.")
        return
    least = radians(fact("wrap on the small sprocket", "low"))
    outside = [d + chain.stage.pitch * 0.62 for d in chain.stage.diameters]
    if chain.sizes is not None:
        outside = [float(s.outside_most) for s in chain.sizes]
    wanted = reader.number(least, "angle", "{} or more")
    found = "the sprockets touch" if chain.path is None else reader.number(chain.wrap, "angle")
    if chain.path is None or chain.centres <= 0.5 * sum(outside):
        touch = reader.show(0.5 * sum(outside), "length")
        words = f"The teeth of both sprockets touch: their centres must be more than {touch} apart."
        draft.check(*named, found, wanted, STOP, words, "Move the shafts apart, or fit smaller sprockets.", "geometry")
        return
    verdict = GO if reaches(chain.wrap, least) else CAUTION
    words = f"The chain lies on {degrees(chain.wrap) / 360.0 * chain.stage.small:.1f} teeth of the small sprocket."
    remedy = "" if verdict == GO else "Move the shafts apart, or let an idler push the slack strand in."
    over = chain.centres / chain.stage.pitch
    if verdict == GO and over > LONG:
        verdict, remedy = CAUTION, "Carry the slack strand on a guide or an idler."
        words += f" The centres are {over:.0f} pitches apart; a chain over {LONG:g} whips."
    draft.check(*named, found, wanted, verdict, words, remedy, "mott4 ex. 7-3")


def _idler(draft: Draft, reader: Reader, chain: ChainData) -> None:
    """Judge in which strand a known idler sprocket stands."""
    name = chain.stage.name
    named, wanted = (f"roller-chain.idler[{name}]", f"{name}: the idler sprocket"), "in the slack strand"
    if chain.idler is None:
        if reader.get(f"stage[{name}].chain_takeup") == IDLER:
            keys = reader.unknown(*(f"stage[{name}].idler_{key}" for key in ("teeth", "x", "y")))
            draft.missing(reader, *named, keys, "Its teeth or its place are not known yet.", limit=wanted)
        return
    keys = () if chain.turn else reader.unknown("engine.turns") or ("stage",)
    keys = (f"stage[{name}].centres_toward",) if chain.toward is None else keys
    if keys:
        draft.missing(reader, *named, keys, "In which strand it stands is not known yet.", limit=wanted)
        return
    tight = chain.idler_side == chain.turn
    words = "An idler in the tight strand carries the whole pull of the chain and is pushed out of its way."
    remedy = "Put it into the slack strand, near the driver." if tight else ""
    found = f"{'in the tight strand' if tight else wanted}; its pin and its bearing are not judged"
    draft.check(*named, found, wanted, CAUTION if tight else GO, words, remedy, "common practice, no source")


def wear_limit(reader: Reader, chain: ChainData) -> tuple[float, str]:
    """Return by what share a chain may grow before it is done, and what sets that."""
    limits = [(fact("worn out", "high"), "worn pins and bushings")]
    limits.append((fact("worn out on a large sprocket", "high") / chain.stage.large, "the large sprocket"))
    if reader.get(f"stage[{chain.stage.name}].chain_takeup") in (None, FIXED):
        limits.append((fact("worn out on fixed centres", "high"), "centres that do not move"))
    most, why = min(limits)
    return most / 100.0, why


def _wear(draft: Draft, reader: Reader, chain: ChainData) -> None:
    name, at = chain.stage.name, f"stage[{chain.stage.name}]"
    named = f"roller-chain.wear[{name}]", f"{name}: wear"
    limit, why = wear_limit(reader, chain)
    wanted = reader.number(limit, "number", "{} longer at most", by="percent", decimals=1)
    count = 20
    done = reader.tape(count * chain.stage.pitch * (1.0 + limit))
    new = reader.tape(count * chain.stage.pitch)
    words = f"It is done, by {why}, when {count} pitches measure {done} instead of {new}."
    length, over = reader.si(f"{at}.worn_length"), reader.get(f"{at}.worn_over")
    source = "gear-maker-faq; chain-maker-page"
    if length is None or over is None:
        if reader.get(f"{at}.chain_is") == "new":
            draft.check(*named, "new", wanted, GO, words, "", source)
            return
        lacks = reader.unknown(f"{at}.worn_length", f"{at}.worn_over")
        words = f"How far the chain is worn is not known yet: pull it straight and measure {count} pitches. {words}"
        draft.missing(reader, *named, (f"{at}.chain_is", *lacks), words, limit=wanted)
        return
    grown, most = (v / (over * chain.stage.pitch) - 1.0 for v in (length, reader.ends(f"{at}.worn_length")[1]))
    if most < -SHORT:
        words = f"So many pitches of a new chain are longer than this: count and measure again. {words}"
        draft.missing(reader, *named, (f"{at}.worn_length", f"{at}.worn_over"), words, limit=wanted)
        return
    found = reader.number(grown, "number", "{} longer", by="percent", decimals=1, known=reader.how(f"{at}.worn_length"))
    verdict = grade(likely=grown, bad=most, limit=limit, higher_is_better=False)
    if verdict == CAUTION:
        words += f" By what the tape may be off it may be {100.0 * most:.1f} % longer."
    remedies = {GO: "", CAUTION: "Measure it closer.", STOP: "Fit a new chain, and new sprockets with it."}
    draft.check(*named, found, wanted, verdict, words, remedies[verdict], source)


__all__ = ["FEW_SPROCKET", "FIXED", "fact", "judge", "wear_limit"]
