"""Where a bearing sits: its bore against the shaft or the pin there, and what stands beside it along the shaft."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.bearings.data import Identity
from jackshaft.mechanics import fits, inserts
from jackshaft.mechanics.bearing_sizes import Size, is_insert
from jackshaft.parts.along import ENGINE, SAME_PLACE, clashes, reaches, usual
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

#: A bearing may reach so far over the end of its step: places are read with a tape; common practice, no source; m.
OVER_THE_STEP = 1e-3

SOURCE = "own-derivation; trade-practice"


def agrees(bore: float, size: float) -> str:
    """Return how a bore and what goes into it agree by their sizes as written: go, or caution or stop where not."""
    off = abs(bore - size)
    if off <= usual("bore beside the shaft as written"):
        return GO
    return CAUTION if off <= usual("bore beside its seat") else STOP


def off_words(reader: Reader, bore: float, size: float, what: str) -> str:
    """Return in words what becomes of a ring on a shaft or pin of another size."""
    by = reader.show(abs(bore - size), "length", by="indicator" if abs(bore - size) < 1e-3 else "caliper")
    if size > bore:
        return f"The {what} is {by} thicker than the bore: the ring does not go on."
    return f"The {what} is {by} thinner than the bore: the ring is loose on it."


def shaft_sizes(reader: Reader, shaft: str | None, at: float | None) -> tuple[list[float], str]:
    """Return the sizes that a shaft has at a place, m, and the key that says so; nothing where it is not known."""
    base = f"shaft[{shaft}]"
    steps = () if shaft is None else reader.names(f"{base}.step")
    if not steps:
        size = None if shaft is None else reader.si(f"{base}.diameter")
        return ([] if size is None else [size]), f"{base}.diameter"
    found = []
    for step in steps:
        here = f"{base}.step[{step}]"
        start, end, size = (reader.si(f"{here}.{k}") for k in ("start", "end", "diameter"))
        if None not in (at, start, end, size) and start - SAME_PLACE <= at <= end + SAME_PLACE:
            found.append((size, f"{here}.diameter"))
    return [s for s, _ in found], " or ".join(k for _, k in found)


def seat_size(reader: Reader, identity: Identity) -> float:
    """Return the size that a bearing must have as its bore, m: what it has, unless its seat is for another one."""
    bore, at = identity.size.bore, f"bearing[{identity.name}]"
    sizes = [] if identity.shaft is None else [identity.shaft.value]
    if not sizes and not _sleeved(reader, identity):
        sizes, _ = shaft_sizes(reader, reader.get(f"{at}.shaft"), reader.si(f"{at}.position"))
    near = min(sizes, key=lambda size: abs(size - bore), default=bore)
    return bore if agrees(bore, near) != STOP else near


def _sleeved(reader: Reader, identity: Identity) -> bool:
    """Tell whether a sleeve carries a bearing: the build says so, or its bore is tapered, for a clamping sleeve."""
    return bool(reader.get(f"bearing[{identity.name}].sleeve") or (identity.marking and identity.marking.taper_bore))


def bore_check(draft: Draft, reader: Reader, identity: Identity) -> None:
    """Add a check where bore or measured seat of a bearing is not the shaft's size there; none where they agree."""
    at, size = f"bearing[{identity.name}]", identity.size
    sizes, key = shaft_sizes(reader, reader.get(f"{at}.shaft"), reader.si(f"{at}.position"))
    if not sizes:
        return
    if size is None:
        _read_bore_check(draft, reader, identity, sizes, key)
        return
    seat, sleeve = (None if identity.shaft is None else identity.shaft.value), _sleeved(reader, identity)
    sits = size.bore if seat is None else seat
    there = min(sizes, key=lambda s: abs(s - sits))
    shaft_words = " or ".join(reader.show(s, "length") for s in dict.fromkeys(sizes))
    if sleeve:
        verdict = GO if sits > there and agrees(sits, there) == STOP else STOP
        why = f"A sleeve has no wall where the shaft is {shaft_words} ({key}) and what sits on it is no larger."
        remedy = "Measure shaft, sleeve and bearing again, and correct the one that is wrong."
    elif seat is None:
        verdict = GO if _slides_on(size, there) else agrees(size.bore, there)
        verdict = STOP if too_thick(reader, identity) is not None else verdict
        own = next((f"{at}.{k}" for k in ("designation", "marking", "bore") if reader.get(f"{at}.{k}") is not None), at)
        why = f"{off_words(reader, size.bore, there, 'shaft')} The bore is by {own}, the shaft by {key}."
        remedy = (
            "Read the number on the ring and measure the shaft under it. Where both are as written, take the bearing "
            "that goes with this shaft. Where a sleeve lies between them, write it down."
        )
    else:
        # the seat is judged against the bore by itself; the shaft as written is what strength is worked out from
        rough = abs(seat - there) <= identity.shaft.plus_minus
        within = agrees(seat, there) == GO or (is_insert(size) and abs(seat - there) <= _bar(size.bore))
        verdict = GO if rough or within else CAUTION
        why = (
            f"The seat is measured as {reader.show(seat, 'length', by='micrometer')} ({at}.seat), and the shaft is "
            f"written down as {shaft_words} there ({key}). Its strength is worked out from the latter."
        )
        remedy = (
            "Give the shaft a step of the seat's size there, or write down the sleeve that makes up the difference."
        )
    shoulder = "" if verdict != GO else _shoulder(reader, identity, sits)
    if shoulder:
        verdict, why, remedy = CAUTION, shoulder, "Measure the place of the bearing and the ends of the steps again."
    if verdict == GO:
        return
    draft.check(
        f"bearings.bore[{identity.name}]",
        f"{identity.name}: bore and shaft",
        reader.number(sits, "length", f"{size.designation}, {'bore' if seat is None else 'seat'} {{}}"),
        f"the shaft's {shaft_words}",
        verdict,
        reason=why,
        remedy=remedy,
        source=SOURCE,
    )


def _read_bore_check(draft: Draft, reader: Reader, identity: Identity, sizes: list[float], key: str) -> None:
    """Add a stop where a bearing of no known size was read with a bore that is not the shaft's, else none."""
    at, bore = f"bearing[{identity.name}]", identity.readings.get("bore")
    if bore is None or _sleeved(reader, identity):
        return
    there = min(sizes, key=lambda s: abs(s - bore.value))
    if abs(there - bore.value) - bore.plus_minus <= usual("bore beside its seat"):
        return
    draft.check(
        f"bearings.bore[{identity.name}]",
        f"{identity.name}: bore and shaft",
        reader.number(bore.value, "length", "bore {} as read"),
        f"the shaft's {reader.show(there, 'length')}",
        STOP,
        reason=f"{off_words(reader, bore.value, there, 'shaft')} The bore is by {at}.bore, the shaft by {key}.",
        remedy="Measure bore and shaft again. Where both are as written, take a bearing bored for this shaft. Where a "
        "sleeve lies between them, write it down.",
        source=SOURCE,
    )


def _slides_on(size: Size, bar: float) -> bool:
    """Tell whether a size is an insert's whose bar is under size by no more than bar for inserts is."""
    return is_insert(size) and 0 <= size.bore - bar <= _bar(size.bore)


def _bar(bore: float, grade: str = "h11") -> float:
    """Return how far bar of a class, the coarsest for an insert, may be under its nominal size, m."""
    return -fits.limits.si(bore, grade).lower_deviation


def too_thick(reader: Reader, identity: Identity) -> float | None:
    """Return the size of the bar under an insert, m, where all bar of that size and class is over every new bore."""
    at, size = f"bearing[{identity.name}]", identity.size
    if not is_insert(size) or identity.shaft is not None or _sleeved(reader, identity):
        return None
    sizes, _ = shaft_sizes(reader, reader.get(f"{at}.shaft"), reader.si(f"{at}.position"))
    if not sizes:
        return None
    there, top = min(sizes), size.bore + inserts.insert_row_si(size.bore)["bore_high_um"] * 1e-6
    thin = there - _bar(there, reader.get(f"{at}.seat_class") or "h11")
    return there if thin > top + inserts.SHOWN else None


def _shoulder(reader: Reader, identity: Identity, sits: float) -> str:
    """Return in words over which step of another size a bearing reaches by its width; nothing where over none."""
    at, shaft = f"bearing[{identity.name}]", reader.get(f"bearing[{identity.name}].shaft")
    middle, half = reader.si(f"{at}.position"), identity.size.width / 2
    for step in reader.names(f"shaft[{shaft}].step"):
        here = f"shaft[{shaft}].step[{step}]"
        start, end, size = (reader.si(f"{here}.{k}") for k in ("start", "end", "diameter"))
        if None in (middle, start, end, size) or agrees(size, sits) != STOP:
            continue
        over = min(end, middle + half) - max(start, middle - half)
        if over > OVER_THE_STEP:
            does, end_of = ("stands in" if size > sits else "hangs over"), ("end" if end < middle else "start")
            wide, thick, by = (reader.show(v, "length") for v in (2 * half, size, over))
            return f"It is {wide} wide and {does} step {step}, of {thick}, by {by} ({here}.{end_of})."
    return ""


def apart_check(draft: Draft, reader: Reader, identities: Mapping[str, Identity]) -> None:
    """Add a stop or a caution for each two parts along a shaft that stand in one another by their widths."""
    widths = {name: i.size.width for name, i in identities.items() if i.size is not None}
    for shaft in (*reader.names("shaft"), ENGINE):
        for clash in clashes(reaches(reader, shaft, widths)):
            near, far, needs = clash
            wide = " and ".join(
                f"{one.words} {reader.show(one.width, 'length')}" for one in (near, far) if one.width > 0
            )
            rim = " The pulley is taken as wide as its grooves; only a rim that reaches over can stand so."
            draft.check(
                f"bearings.apart[{shaft}: {near.name}, {far.name}]",
                f"{shaft}: {near.name} and {far.name} side by side",
                reader.number(far.at - near.at, "length", "{} from middle to middle"),
                reader.number(needs, "length", "{} or more"),
                STOP if clash.sure else CAUTION,
                reason=f"By their widths along the shaft they stand in one another: {wide}.{'' if clash.sure else rim}",
                remedy="Measure places and lengths again, or set the two farther apart.",
                source="own-derivation",
            )


def idler_check(draft: Draft, reader: Reader, part: str, at: str, size: Size) -> None:
    """Add the check that the bearing of an idler goes on its pin and into its hub, where these are written down."""
    pin, outside = reader.si(f"{at}.pin_diameter"), reader.si(f"{at}.diameter")
    verdict, words = GO, []
    if pin is not None:
        verdict = agrees(size.bore, pin)
        words = [off_words(reader, size.bore, pin, "pin")] if verdict != GO else []
    if outside is not None and size.od >= outside:
        verdict = STOP
        words.append(
            f"{size.designation} is {reader.show(size.od, 'length')} outside, and the idler only "
            f"{reader.show(outside, 'length')}: it does not go in."
        )
    if pin is None and verdict == GO:
        return
    draft.check(
        f"bearings.idler-fit[{part}]",
        f"{part}: bearing on its pin",
        reader.number(size.bore, "length", f"{size.designation}, bore {{}}"),
        "not known" if pin is None else reader.number(pin, "length", "pin {}"),
        verdict,
        reason=" ".join(words) or "By the sizes as written it goes on its pin and into the idler.",
        remedy="Measure pin and ring again. Where both are right, take the bearing that goes with this pin and idler."
        if words
        else "",
        source=SOURCE,
    )
