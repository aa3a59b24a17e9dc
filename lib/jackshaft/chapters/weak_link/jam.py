"""The work's shaft is stopped dead: what gives first, whether it is made to, and what the joints then feel."""

from __future__ import annotations

from math import isfinite

from jackshaft.chapters.weak_link.cases import SOURCE, add, left_words, number, shown
from jackshaft.chapters.weak_link.data import CaseFound, ChainData, Left, Link, steady
from jackshaft.parts.works import factor_key
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, UNDECIDED, Check, reaches
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_least

WEAK = ("chain.weak-link", "what gives first in a jam")
JOINTS = ("chain.joints", "telescoping shaft within its joints' torque")
PIN_KEYS = ("shear_pin.shaft", "shear_pin.diameter", "shear_pin.shear_strength", "shear_pin.radius")


def checks(draft: Draft, reader: Reader, data: ChainData, lacks: tuple[str, ...]) -> list[CaseFound]:
    """Add the verdict on a jam and on the joints of the telescoping shaft."""
    pin = data.guard
    if pin is not None:
        verdict, first = _with_pin(draft, reader, data, pin)
    else:
        verdict, first = _without_pin(draft, reader, data)
    _joints(draft, reader, data, lacks)
    if verdict == UNDECIDED:
        return [CaseFound("jam", None, "not known", "", verdict)]
    return [CaseFound("jam", None, first.name, "yes" if first.meant else "no", verdict)]


def in_step(data: ChainData) -> str:
    """Return in sentences what the chain leaves out where one belt drives several shafts; else nothing."""
    if not data.shared:
        return ""
    names = " and ".join(f"'{name}'" for name in data.shared)
    return (
        f" The shafts that {names} drives are taken as loaded in step. One of them held still by itself feels more "
        "than its share: that is left out here, and judged with the belt's grip and with each shaft."
    )


def _with_pin(draft: Draft, reader: Reader, data: ChainData, pin: Link) -> tuple[str, Link]:
    """Judge whether the pin or slip clutch gives before every other link: at its high end, they at their low end."""
    if not isfinite(pin.high):
        return _stuck(draft, reader, data, pin)
    others = [link for link in data.giving if link is not pin]
    graded = {link.name: _against(data, pin, link) for link in others}
    worst = max(graded.values(), key=ORDER.index, default=GO)
    low = [link for link in others if graded[link.name] == worst]
    near = min(low, key=lambda link: steady(link.low), default=None)
    beside = 0.0 if near is None else data.beside(near, pin)
    first = pin if near is None or near.likely > pin.likely + beside else near
    besides = f", with {shown(reader, beside)} more to other shafts of the work meanwhile" if beside else ""
    if worst == GO:
        reason = f"The {pin.name} gives first." + _next(reader, near) + _shears(reader, data, pin)
    elif first is pin and near.low > pin.high + beside:
        reason = (
            f"The {pin.name} gives first, but on the shaft {pin.shaft}. What turns after it still runs on into the "
            f"jam, through {near.name}."
        )
    elif first is pin:
        reason = (
            f"The {pin.name} gives first, but not surely: it may hold up to {shown(reader, pin.high)}{besides}, and "
            f"{near.name} may give from {shown(reader, near.low)} on. Then {near.gives}."
        )
    else:
        called = "pin" if pin.kind == "shear pin" else pin.name
        ends = f"the {called} never {pin.goes}, and"
        if pin.low + beside <= near.likely:
            ends = f"likely the {called} does not {pin.goes.removesuffix('s')}, and"
        reason = f"{near.name} at {shown(reader, near.likely)} gives before the {pin.name} at "
        reason += f"{shown(reader, pin.likely)}{besides}: {ends} {near.gives}."
    if (data.shared or data.open_works(pin)) and worst == GO:
        worst = CAUTION
    reason += in_step(data) + _open(data, pin)
    peaking = pin.under("peak").low
    if data.peak is not None and not pin.untold and not at_least(peaking, data.peak):
        called = "pin" if pin.kind == "shear pin" else pin.name
        reason += (
            f" The {called} also gives below the peak load of {shown(reader, data.peak * pin.low / peaking)}: it may "
            f"{pin.goes.removesuffix('s')} in normal work."
        )
    return add(
        draft,
        data,
        Check(
            *WEAK,
            first.name,
            f"the {pin.name}",
            worst,
            reason + (left_words(data) if worst == STOP else ""),
            "" if worst == GO else _FARTHER[pin.kind],
            SOURCE,
        ),
    ), first


def _open(data: ChainData, pin: Link) -> str:
    """Return in a sentence which shafts of the work a guard does not guard: they do not turn through it."""
    names = " and ".join(data.open_works(pin))
    return f" It guards {pin.shaft} only: with {names} stopped dead it feels nothing, and other parts give." * bool(
        names
    )


#: What helps where a guard does not surely give before the rest.
_FARTHER = {
    "shear pin": "Put the pin at the work, and keep its gap to the next part wide: a weaker pin, or a stronger part.",
    "slip clutch": "Put it at the work, and keep its gap to the next part wide: a lower setting, or a stronger part.",
}


def _stuck(draft: Draft, reader: Reader, data: ChainData, plates: Link) -> tuple[str, Link]:
    """Say that plates which may be rusted together guard nothing; undecided where nobody says how they are."""
    first = next((link for link in data.giving if link is not plates), plates)
    why = "Plates that stand for a season may rust together, and then hold without limit."
    if keys := reader.unknown("slip_clutch.plates"):
        reader.note_missing(*keys)
        words = f"{why} Write down how they are: let slip this season, new, or stood.{left_words(data)}"
        draft.checks.append(Check(*WEAK, "not known", plates.name, UNDECIDED, words, missing=keys))
        return UNDECIDED, plates
    found = "the plates may be rusted together"
    reason = f"{why} The {plates.name} guards nothing until it was let slip. Before that gives: {first.name}."
    remedy = "Stopped and locked off: slacken its springs, let it slip by hand or at idle, and set it again."
    verdict = STOP if first.breaks and _alone(data, first) else CAUTION
    reason += left_words(data) if verdict == STOP else ""
    return add(draft, data, Check(*WEAK, found, plates.name, verdict, reason, remedy, SOURCE)), first


def _alone(data: ChainData, link: Link) -> bool:
    """Tell whether the engine by itself gets to what a link gives at."""
    source = next((link for link in data.links if link.limit), None)
    return source is not None and at_least(source.likely, link.likely)


def _against(data: ChainData, pin: Link, link: Link) -> str:
    """Return how a pin guards one link: a link that breaks before the pin is a stop, one that slips is a caution.

    A link before it carries what other shafts of the work take besides; one on the way to those alone feels no jam.
    """
    beside = data.beside(link, pin)
    if reaches(link.low, pin.high + beside):
        return CAUTION if unguarded(pin, link) else GO
    return STOP if link.breaks and link.likely <= pin.likely + beside else CAUTION


def unguarded(pin: Link, link: Link) -> bool:
    """Tell whether what turns between a pin and a link after it still runs into the jam through the link."""
    return link.breaks and pin.shaft in link.passes


def _next(reader: Reader, near: Link | None) -> str:
    return "" if near is None else f" Next comes {near.name}, from {shown(reader, near.low)} on."


def _shears(reader: Reader, data: ChainData, pin: Link) -> str:
    """Return whether the engine alone can shear the pin."""
    source = next((link for link in data.links if link.limit), None)
    if source is None:
        return ""
    does = "shear it" if pin.kind == "shear pin" else "make it slip"
    if source.likely >= pin.high:
        return f" The {source.name} of {shown(reader, source.likely)} can {does}."
    return (
        f" The {source.name} of {shown(reader, source.likely)} may not {does}. What turns does, or it stalls with "
        "the drive wound up."
    )


def _without_pin(draft: Draft, reader: Reader, data: ChainData) -> tuple[str, Link]:
    """Judge what gives where no shear pin is known: what breaks is a stop where the engine alone can break it."""
    first = data.giving[0]
    value, wanted = first.name, "a part that is made to give"
    gives = f"{first.name}, at {shown(reader, first.likely)} on the shaft of the {data.shaft}. Then {first.gives}."
    guards = {part.part: part for part in data.left if part.part in ("shear_pin", "slip_clutch")}
    elsewhere = next((part for part in guards.values() if not part.counts), None)
    half = guards.get("slip_clutch")
    if half is not None and half.counts:
        words = f"Of what is known this gives first: {gives} Whether the slip clutch slips before it is not known."
        reader.note_missing(*half.keys)
        draft.checks.append(Check(*WEAK, value, wanted, UNDECIDED, words + left_words(data), missing=half.keys))
        return UNDECIDED, first
    if elsewhere is not None:
        gives += (
            f" The {elsewhere.name} is on a shaft that does not lie on the way to the work, and guards nothing here."
        )
    elif not reader.is_none("shear_pin"):
        keys = tuple(k for k in PIN_KEYS if reader.get(k) is None) or data.missing
        words = (
            f"Of what is known this gives first: {gives} Whether a shear pin goes before it is not known. Write the "
        )
        words += "pin down, or that there is none."
        reader.note_missing(*keys)
        draft.checks.append(Check(*WEAK, value, wanted, UNDECIDED, words + left_words(data), missing=keys))
        return UNDECIDED, first
    source = next((link for link in data.links if link.limit), None)
    alone = _alone(data, first)
    reason = f"What gives first: {gives}"
    if first.breaks:
        reason += (
            f" The {source.name} of {shown(reader, source.likely)} can do that alone."
            if alone
            else " The engine alone does not get there; what turns with it and with the large pulleys may."
        )
    else:
        reason += " What turns after it still runs on into the jam and loads all that lies between."
        near = min(
            (k for k in data.giving if k.breaks and k.low < first.high), key=lambda k: steady(k.low), default=None
        )
        if near is not None:
            reason += f" It may hold up to {shown(reader, first.high)}, and then {near.name} may give before it."
    verdict = STOP if first.breaks and alone else CAUTION
    reason += in_step(data) + (left_words(data) if verdict == STOP else "")
    remedy = "Put a shear pin or a slip clutch at the work, where it also catches what pulleys and shafts bring."
    return add(draft, data, Check(*WEAK, value, wanted, verdict, reason, remedy, SOURCE)), first


#: What else guards the joints, by the guard that is there.
_OR_GUARD = {
    None: ", or put a shear pin or a slip clutch at the work.",
    "shear pin": ", or a weaker pin that still holds the peak load.",
    "slip clutch": ", or set the slip clutch lower, so that it still holds the peak load.",
}


def _joints(draft: Draft, reader: Reader, data: ChainData, lacks: tuple[str, ...]) -> None:
    """Judge the rating of the telescoping shaft's joints by the peak load and by what can reach them."""
    joint = next((link for link in data.giving if link.part == "driveline"), None)
    if joint is None:
        left = _not_known(data)
        if left is not None:
            words = f"What reaches its joints cannot be judged: {left.why}."
            if reader.get("driveline.joint_rating") is None:
                words += " The rating is stamped on them, or stands in their maker's list."
            draft.missing(reader, *JOINTS, left.keys, words)
        return
    if data.peak is None:
        key = factor_key(reader, "peak")
        keys = lacks if reader.get(key) is not None else (key,)
        draft.missing(reader, *JOINTS, keys, "The peak load is not known yet.")
        return
    clutch, pin = data.of_kind("clutch slip"), data.guard
    held = "" if clutch is None else f" The clutch holds up to {shown(reader, clutch.high)}, cold and run in."
    guard = None if pin is None or not isfinite(pin.high) or unguarded(pin, joint) else pin
    gives = (k for k in data.giving if not k.breaks and k is not guard and isfinite(k.high))
    slips = min(gives, key=lambda k: steady(k.high), default=None)
    peaking = joint.under("peak")
    peak = data.peak * joint.likely / peaking.likely  # what of the peak goes through them
    found, wanted = number(reader, joint), reader.number(peak, "torque", "{} or more")
    stands, bent = reaches(peaking.likely, data.peak), _not_known(data)
    if guard is None and data.lacking and stands:
        words = "They stand the peak load. What may reach them in a jam is not known yet." + left_words(data)
        draft.checks.append(Check(*JOINTS, found, wanted, UNDECIDED, words, missing=data.missing))
        return
    if not stands:
        verdict = STOP
    else:
        sure = guard is not None and reaches(joint.low, guard.high) and reaches(peaking.low, data.peak)
        verdict = GO if sure else CAUTION
    if guard is not None:
        limit = f"In a jam up to {shown(reader, guard.high)} reaches them, where the {guard.name} surely gives."
    elif slips is None:
        limit = "In a jam nothing that is made to give stands before them."
    else:
        limit = f"The engine brings up to {shown(reader, slips.high)}, where this surely gives: {slips.name}. In a jam "
        limit += "what turns after that comes on top, and how much is not known."
    reason = f"The peak load through them is {shown(reader, peak)}. {limit}{held}"
    if verdict == GO and bent is not None:
        draft.missing(reader, *JOINTS, bent.keys, f"{reason} A bent joint feels more, and {bent.why}.", limit=wanted)
        return
    if verdict == STOP:
        reason = f"The peak load of {shown(reader, peak)} is more than they are rated for.{held}"
    draft.check(
        *JOINTS,
        found,
        wanted,
        verdict,
        reason=reason,
        remedy="" if verdict == GO else f"Fit joints of a larger series{_OR_GUARD[guard and guard.kind]}",
        source=f"{SOURCE}; rating in the build file",
    )


def _not_known(data: ChainData) -> Left | None:
    """Return what is not known of the joints of the telescoping shaft, if anything."""
    return next((part for part in data.left if part.part == "driveline"), None)


__all__ = ["JOINTS", "WEAK", "checks"]
