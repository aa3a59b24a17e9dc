"""What holds an insert on its shaft, how much of a push along it that takes, and two inserts of one shaft."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.bearings.checks import along_words
from jackshaft.chapters.bearings.data import BearingLife, Identity
from jackshaft.chapters.bearings.inserts import GIVES_WAY, KEYS, fact, housing_of, is_insert, locking_of, said
from jackshaft.mechanics import bearing_marks, inserts, joints
from jackshaft.results.checks import CAUTION, GO, STOP, grade, stays_within
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

SOURCE = "setscrews (from memory); textbook-practice"
#: Screws that bear on the shaft: an insert has two beside each other, a collar one.
SCREWS = {bearing_marks.SET_SCREWS: 2, bearing_marks.COLLAR: 1}
LOW = "That goes with their torque, which is below the lists. "
TORQUE = "They turn the ring with the shaft and no more: no hub may drive through them."


def work_up(draft: Draft, reader: Reader, identity: Identity, life: BearingLife) -> None:
    """Add the checks of what locks one insert."""
    name, at, locking = identity.name, f"bearing[{identity.name}]", locking_of(reader, identity)
    id, title = f"bearings.locking[{name}]", f"{name}: held on its shaft"
    limit = "set screws, a collar or a sleeve"
    if identity.size is None and locking not in (None, "none"):
        return
    if locking is None:
        words = "What holds the ring on the shaft is not written down, and without it the shaft turns in the ring."
        draft.missing(reader, id, title, [f"{at}.locking"], words, limit=limit)
        return
    if locking == "none":
        meant = identity.marking.locking if identity.marking else ""
        draft.check(
            id,
            title,
            "nothing holds it",
            limit,
            STOP,
            reason="The ring slides on its bar, so without its lock the shaft turns in the ring, wears and walks out.",
            remedy=f"Fit the {meant} that belong{'' if meant.endswith('s') else 's'} to it."
            if meant
            else "Fit its lock.",
            source="trade-practice",
        )
        return
    _grip(draft, reader, identity, life, locking)
    _screws(draft, reader, identity, locking)


def tightened(reader: Reader, identity: Identity) -> float:
    """Return the share of their hold that screws have by the torque written down, 1 where it is not or is enough."""
    torque = reader.si(f"bearing[{identity.name}].screw_torque")
    least = inserts.insert_screws.si(identity.size.size_code).low
    return 1.0 if torque is None or stays_within(least, torque) else torque / least


def grip_of(identity: Identity, locking: str, share: float = 1.0) -> tuple[float, float, float] | None:
    """Return holding force, N, and slip torque at the low end, N·m, and the likely force; None for a sleeve.

    ``share`` is how much of the lists' least torque the screws have: a cup point bites with its force, and that goes
    with the torque (textbook-practice).
    """
    if locking not in SCREWS:
        return None
    screw = joints.set_screw.si(inserts.insert_screws.si(identity.size.size_code).size)
    count = SCREWS[locking]
    torque = float(joints.set_screw_torque.si(screw.holding_least, identity.size.bore, count=count))
    return share * count * screw.holding_least, share * torque, share * count * screw.holding


def axial_limit(identity: Identity, life: BearingLife, locking: str, tight: float = 1.0) -> float | None:
    """Return the push along the shaft that the lock takes, N: what its screws hold, and no more than a share of C."""
    grip = grip_of(identity, locking, tight)
    if grip is None:
        return None
    share = float("inf") if life.rating is None else fact("axial load by set screws over C") * life.rating.dynamic
    return min(grip[0], share)


def _grip(draft: Draft, reader: Reader, identity: Identity, life: BearingLife, locking: str) -> None:
    """Add the check of the load along the shaft against what locks the ring."""
    name, at = identity.name, f"bearing[{identity.name}]"
    id, title = f"bearings.locking[{name}]", f"{name}: held on its shaft"
    tight, collar = tightened(reader, identity), reader.get(f"{at}.shaft_collar")
    most = axial_limit(identity, life, locking, tight)
    if most is None:
        if life.axial and not collar:
            words = "How much of a push along the shaft its adapter sleeve takes is not tabulated: ask its maker."
            draft.missing(reader, id, title, [f"{at}.shaft_collar"], words)
            return
        draft.check(id, title, locking, "a lock", GO, reason="A sleeve grips all round.", source="trade-practice")
        return
    force, torque, likely = grip_of(identity, locking, tight)
    bad = life.axial_bad
    verdict = GO if collar else grade(likely=life.axial, bad=bad or life.axial, limit=most, higher_is_better=False)
    held = verdict == GO
    reason = (
        f"{'One screw' if locking == bearing_marks.COLLAR else 'Two screws'} of its size hold"
        f"{'s' if locking == bearing_marks.COLLAR else ''} {reader.show(force, 'force')} along the shaft, up to "
        f"{reader.show(likely, 'force')} by a kinder list, and slip at {reader.show(torque, 'torque')}. "
        f"{LOW if tight < 1 else ''}{TORQUE}"
    )
    if collar and not held:
        reason = f"A collar or a shoulder takes the load along the shaft. {TORQUE}"
    draft.check(
        id,
        title,
        reader.number(
            life.axial,
            "force",
            high=bad,
            words=f"{locking}, {{}} along the shaft",
            known=reader.how(f"{at}.axial_load"),
        ),
        reader.number(most, "force", "{} or less", known="from memory"),
        verdict,
        reason=reason + along_words(reader, life),
        remedy="" if held else "Let a clamp collar or a shoulder beside the ring take the load.",
        source=SOURCE,
    )
    if bad is None:
        words = "The load along the shaft is not known, nor the load across it."
        draft.doubt(reader, () if collar else (f"{at}.axial_load",), words, id)


def _screws(draft: Draft, reader: Reader, identity: Identity, locking: str) -> None:
    """Add the check of the torque that the screws are tightened to, where it is written down."""
    at, torque = f"bearing[{identity.name}]", reader.si(f"bearing[{identity.name}].screw_torque")
    if torque is None or locking not in SCREWS:
        return
    screws = inserts.insert_screws.si(identity.size.size_code)
    verdict, reason, remedy = GO, "Within what makers' lists give for this screw.", ""
    if not stays_within(screws.low, torque):
        verdict, reason = CAUTION, "So little holds less than the lists count on: the ring works loose."
        remedy = "Tighten the screws, and again after the first run."
    elif not stays_within(torque, screws.high):
        verdict = STOP if not stays_within(torque, screws.proof) else CAUTION
        reason = "So much presses the ring out of round and may crack it" + (
            ", and is more than such a screw is tested with." if verdict == STOP else "."
        )
        remedy = "Loosen the screws and tighten them anew; look at the ring for a crack."
    draft.check(
        f"bearings.screws[{identity.name}]",
        f"{identity.name}: its set screws",
        reader.number(torque, "torque", known=reader.how(f"{at}.screw_torque")),
        reader.number(
            screws.low,
            "torque",
            f"{{low}} to {{high}}, {screws.size} in or {screws.metric} screw",
            low=screws.low,
            high=screws.high,
        ),
        verdict,
        reason=f"{reason} The bearing's own sheet comes first.",
        remedy=remedy,
        source=screws.cite,
    )


def not_an_insert(draft: Draft, reader: Reader, identity: Identity) -> None:
    """Add a caution where the build says of another bearing what only an insert has."""
    at = f"bearing[{identity.name}]"
    if identity.size is None or is_insert(identity) or not said(reader, at):
        return
    keys = [k for k in KEYS if reader.get(f"{at}.{k}") is not None or reader.is_none(f"{at}.{k}")]
    draft.check(
        f"bearings.insert[{identity.name}]",
        f"{identity.name}: insert or not",
        identity.size.designation,
        "an insert bearing",
        CAUTION,
        reason=f"{', '.join(keys)} {'is' if len(keys) == 1 else 'are'} of insert bearings, and this is none: judged "
        "as a bearing that is pressed on.",
        remedy="Read the number on the ring again, or take out what belongs to an insert.",
        source="trade-practice",
    )


# -- two of one shaft ------------------------------------------------------------------------------------


def all_inserts(identities: Mapping[str, Identity], names: tuple[str, ...]) -> bool:
    """Tell whether every bearing of a shaft is known to be an insert."""
    return all(n in identities and is_insert(identities[n]) for n in names)


def _floats(reader: Reader, identity: Identity) -> bool:
    """Tell whether an insert may move along the axis: no lock holds it on the shaft, or its housing gives way."""
    return locking_of(reader, identity) == "none" or housing_of(reader, identity) in GIVES_WAY


def located_check(
    draft: Draft, reader: Reader, shaft: str, names: tuple[str, ...], identities: Mapping[str, Identity]
) -> None:
    """Add the check of a shaft whose inserts are all locked on it: what it grows by goes into their play."""
    id, name = f"bearings.located[{shaft}]", f"{shaft}: held endways"
    loose = [n for n in names if reader.get(f"bearing[{n}].located") is False]
    floating = [n for n in loose if _floats(reader, identities[n])]
    against = ", ".join(n for n in loose if n not in floating)
    limit = "one bearing holds it, the others give way as it grows"
    held = [n for n in names if n not in floating]
    if not held:
        draft.check(
            id,
            name,
            "none located",
            limit,
            CAUTION,
            reason="Nothing keeps the shaft from moving endways.",
            remedy="Lock one insert on the shaft in a housing that holds it.",
            source="trade-practice",
        )
        return
    places = {n: reader.si(f"bearing[{n}].position") for n in held}
    missing = [f"bearing[{n}].position" for n, at in places.items() if at is None]
    if len(held) > 1 and missing:
        draft.missing(reader, id, name, missing, "How far apart they are is not known yet.", limit=limit)
        return
    span = max(places.values()) - min(places.values()) if len(held) > 1 else 0.0
    warm, most = fact("warming of a shaft", "likely"), fact("endways play of an insert", "likely") * 1e-3
    grows = float(inserts.shaft_growth.si(span, warm))
    fits = stays_within(grows, most)
    draft.check(
        id,
        name,
        reader.number(grows, "length", f"{', '.join(held)} locked, grows {{}}", by="indicator"),
        reader.number(most, "length", "{} or less", by="indicator", known="common practice"),
        GO if fits else CAUTION,
        reason="Each insert is locked on the shaft and held by its housing. "
        f"As the shaft warms {warm:g} °C ({1.8 * warm:g} °F) more than its frame it grows, and "
        + ("the play of the balls takes that up." if fits else "that presses the balls endways against their races.")
        + (
            f" Written down as floating: {against}. Its lock and its housing hold it, so it does not."
            if against
            else ""
        ),
        remedy="" if fits else "Let one of them float: a unit made to float, or a housing that can give way.",
        source="own-derivation; common practice, no source",
    )
