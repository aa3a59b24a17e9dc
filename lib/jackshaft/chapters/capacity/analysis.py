"""Belt capacity: what the belts are rated for against the load, how long they last, and what they may be used for."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft import tables
from jackshaft.buildfile.naming import titled
from jackshaft.chapters.capacity import CHAPTER, grooves, rated
from jackshaft.chapters.capacity import service as service_factor
from jackshaft.chapters.capacity import uses as belt_uses
from jackshaft.chapters.capacity.data import PulleyCapacity, Service, StageCapacity
from jackshaft.chapters.capacity.service import service_of
from jackshaft.chapters.capacity.tables import belts_words, design_power, each_tables, rated_table, size_tables
from jackshaft.chapters.capacity.wear import life_of
from jackshaft.chapters.grip.cases import driving_shaft, tension_key, way_of
from jackshaft.chapters.layout.data import StageLayout, pathless
from jackshaft.mechanics import rating
from jackshaft.parts.belt_stage import belts_of, marked_belts
from jackshaft.parts.works import more_words, power_more
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED, Check, grade, undecided
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader, Unknown
from jackshaft.results.values import Number
from jackshaft.units import at_least, at_most, first_least


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up the capacity of every belt stage of a build; without its tables where a panel is in a hurry."""
    draft = Draft(CHAPTER)
    layouts: dict[str, StageLayout] = done["layout"].data or {}
    uses = [done["ratio"], done["layout"], done["grip"]]
    if not layouts and not done["layout"].checks:
        return draft.done(reader, done["layout"].state, done["layout"].words, uses=uses)
    found: dict[str, StageCapacity] = {}
    service_factor.judge(draft, reader)
    for name, layout in layouts.items():
        if not scope.has(name):
            continue
        with draft.attempt(reader, f"capacity.grooves[{name}]", f"{name}: grooves"):
            grooves.judge(draft, reader, layout, full=scope.detail.tables)
        if layout.belt is None:
            words = "The section of the belt is not known yet."
            draft.missing(reader, f"capacity.power[{name}]", f"{name}: rated power", [f"stage[{name}].section"], words)
        if layout.path.reason != 0 or layout.belt is None:
            continue
        with draft.attempt(reader, f"capacity.power[{name}]", f"{name}: rated power"):
            found[name] = stage = _stage(draft, reader, layout, done)
            if scope.detail.tables:
                draft.tables += [rated_table(reader, layout, stage), *each_tables(reader, layout, stage)]
                draft.tables += size_tables(reader, layout, stage)
        with draft.attempt(reader, f"capacity.idlers[{name}]", f"{name}: what the belt is used for"):
            belt_uses.judge(draft, reader, layout, full=scope.detail.tables)
    draft.waits(done["layout"], "layout.length", "capacity.power", "rated power", layouts)
    draft.data = found or None
    draft.cite("rma-ip20", "mh31", "textbook-practice")
    if found:
        draft.cautions.append(
            "A rating is for a belt that is new, aligned and tight; a belt that chars, squeals or dusts is "
            "overloaded whatever the figure says. Stop, block, and look."
        )
    return draft.done(reader, words=pathless(layouts), uses=uses)


def _stage(draft: Draft, reader: Reader, layout: StageLayout, done: Mapping[str, Findings]) -> StageCapacity:
    p, grip = layout.pulleys, (done["grip"].data or {}).get(layout.name)
    power = driving_shaft(reader, layout, done["ratio"].data).power
    service = service_of(reader, layout, grip, float(p.pitch[p.driver] / min(p.pitch[list(p.works)])))
    if service is None:
        raise Unknown("work.load_class", "work.service_factor")
    each = _each(layout, power)
    worst = each[first_least([one.share(service.bad, bad=True) for one in each])] if each else None
    said = None if p.several or rated.stale(reader, layout) else reader.si(f"stage[{layout.name}].rated_power")
    if worst is not None:
        power = worst.power
    stage = StageCapacity(
        layout.name,
        power,
        service,
        design=power * service.likely,
        design_bad=power * service.bad * (1.0 + power_more(reader)),
        rated=worst.rated if worst is not None else None if p.several else rated.rate(layout, said),
        belts=belts_of(reader, f"stage[{layout.name}]"),
        flex=float(rating.flex_rate_si(layout.speed, len(p.names), float(layout.path.length))),
        life=life_of(reader, layout, grip, service.likely),
        each=each,
        at=None if worst is None else worst.at,
    )
    if stage.rated is not None:
        one = stage.rated.power
        worst = stage.rated.low
        stage = stage._replace(
            carried=one * stage.belts,
            carried_bad=worst * stage.belts,
            needed=float(rating.belts_needed_si(stage.design, one)),
            needed_bad=float(rating.belts_needed_si(stage.design_bad, worst)),
        )
    _facts(draft, reader, layout, stage)
    _flex_check(draft, reader, layout, stage)
    before = len(draft.checks)
    _power_check(draft, reader, layout, stage)
    _life_check(draft, reader, layout, stage)
    draft.checks[before:] = [_counted(reader, layout, check) for check in draft.checks[before:]]
    return stage


def _counted(reader: Reader, layout: StageLayout, check: Check) -> Check:
    """Leave open what one belt does not hold where nobody says how many there are: more of them may hold it."""
    at = f"stage[{layout.name}]"
    if check.verdict not in (CAUTION, STOP) or reader.get(f"{at}.belts") or marked_belts(reader, at):
        return check
    reader.note_missing(f"{at}.belts")
    words = f"How many belts run side by side is not written down. One alone: {check.found}."
    return undecided(check.id, check.name, (f"{at}.belts",), words, limit=check.wanted)


def _each(layout: StageLayout, power: float) -> tuple[PulleyCapacity, ...]:
    """Return each pulley with power of a belt that drives several shafts; nothing where it drives one."""
    p = layout.pulleys
    if not p.several:
        return ()
    shares = {p.driver: 1.0, **{i: p.shares[i] for i in p.works}}
    found = ((i, power * share, rated.rate_at(layout, i)) for i, share in shares.items())
    return tuple(PulleyCapacity(*one) for one in found if one[2] is not None)


def band(reader: Reader, stage: StageCapacity, on: str = "") -> Number:
    """Return what the belts carry with its band, and ``on`` which pulley."""
    ends = "" if stage.rated.low == stage.rated.high else " ({low} to {high})"
    return stage.rated.number(reader, stage.belts, f"{{}}{on}{ends}")


def _facts(draft: Draft, reader: Reader, layout: StageLayout, stage: StageCapacity) -> None:
    name, there = layout.name, "" if stage.at is None else f" on {layout.pulleys.names[stage.at]}"
    if stage.rated is not None:
        draft.fact(
            f"{name}: carried by {belts_words(stage.belts)}{there}",
            band(reader, stage),
            f"{stage.rated.method}; {stage.rated.editions}",
        )
    draft.fact(
        f"{name}: power to design for{there}",
        design_power(reader, stage),
        f"{reader.show(stage.power, 'power')} × service factor {stage.service.likely:.2f}"
        + ("" if stage.service.bad == stage.service.likely else f" (up to {stage.service.bad:.2f})")
        + more_words(reader, "; it may take {} more"),
    )
    draft.fact(
        f"{name}: bends a second",
        reader.number(stage.flex, "frequency", f"{stage.flex:.0f}"),
        f"each place of the belt over {len(layout.pulleys.names)} pulleys",
    )
    if stage.life is not None:
        draft.fact(titled(name, "belt", "life by the fatigue constants"), stage.life.number(reader), stage.life.note)


def _power_check(draft: Draft, reader: Reader, layout: StageLayout, stage: StageCapacity) -> None:
    id, name = f"capacity.power[{stage.name}]", f"{stage.name}: rated power"
    limit = design_power(reader, stage, "{} or more")
    stale = rated.stale(reader, layout)
    if stage.rated is None or (stale and not layout.pulleys.several):
        at, p = f"stage[{stage.name}]", layout.pulleys
        small = 2.0 * float(min(p.pitch[p.driver], *p.pitch[list(p.works)]))
        words = f"No rating formula or printed example covers section {layout.belt.name} at this size and speed. "
        words = "The maker's rating that is written down is not for this pulley and speed. " if stale else words
        words += "Ask the belt's maker for the rated power"
        if layout.speed:
            faster = reader.show(2.0 * float(layout.speed) / small, "rotation")
            words += f" on a pulley of {reader.show(small, 'length')} at its line, at {faster}"
        draft.missing(reader, id, name, stale or (f"{at}.rated_power",), f"{words}.", limit=limit)
        return
    # Both ends at once: a generous edition of the ratings with a mild load is not what one designs for.
    verdict = grade(likely=stage.carried / stage.design, bad=stage.carried_bad / stage.design_bad, limit=1.0)
    ends = {"the likely value": (stage.carried, stage.design), "the bad end": (stage.carried_bad, stage.design_bad)}
    over = {end: 100.0 * (has / asks - 1.0) for end, (has, asks) in ends.items()}
    spare = ", ".join(f"{abs(x):.0f} % {'to spare' if x >= 0 else 'short'} at {end}" for end, x in over.items())
    draft.check(
        id,
        name,
        found=band(reader, stage, on="" if stage.at is None else f" on {layout.pulleys.names[stage.at]}"),
        wanted=limit,
        verdict=verdict,
        reason=f"{spare}. {rated_words(reader, layout, stage)}{_nearest(layout, stage)}",
        remedy=""
        if verdict == GO
        else f"Use more belts, larger pulleys on {'all' if stage.each else 'both'} shafts, or a stronger section.",
        source=f"{stage.rated.cite}; mh31 p. 2581",
    )


def _nearest(layout: StageLayout, stage: StageCapacity) -> str:
    """Return in a sentence which of several pulleys the rating is for."""
    if stage.at is None:
        return ""
    return f" Each pulley is rated by its own power and wrap; this is {layout.pulleys.names[stage.at]}, which is worst."


def rated_words(reader: Reader, layout: StageLayout, stage: StageCapacity) -> str:
    """Return how many belts the load asks for, in a sentence."""
    if not np.isfinite(stage.needed):
        size = reader.show(stage.rated.small, "length", digits=3)
        return f"On a pulley of {size} a belt of this section carries nothing."
    bad = f"{stage.needed_bad:.0f}" if np.isfinite(stage.needed_bad) else "no number of belts"
    more = "" if stage.needed == stage.needed_bad else f" ({bad} at the bad end)"
    there = f"there {'is' if stage.belts == 1 else 'are'} {stage.belts}."
    return f"The load asks for {belts_words(stage.needed)}{more}; {there}"


def _flex_check(draft: Draft, reader: Reader, layout: StageLayout, stage: StageCapacity) -> None:
    family = "narrow" if layout.belt.family == "narrow" else "classical"
    row = tables.table("belt_limits").one(item=f"flex rate, {family}")
    verdict = GO if at_most(stage.flex, row["high"]) else CAUTION
    draft.check(
        f"capacity.flex[{stage.name}]",
        f"{stage.name}: bends a second",
        found=reader.number(stage.flex, "frequency", f"{stage.flex:.0f}"),
        wanted=reader.number(row["high"], "frequency", f"{row['high']:g} or fewer", source=row.source),
        verdict=verdict,
        reason="Belt speed times pulleys over belt length; each bend tires the cord.",
        remedy="" if verdict == GO else "Use a longer belt, fewer idlers, or smaller pulleys.",
        source=row.cite,
    )


def _life_check(draft: Draft, reader: Reader, layout: StageLayout, stage: StageCapacity) -> None:
    life, wanted = stage.life, reader.si("wanted_life")
    id, name = f"capacity.life[{stage.name}]", titled(stage.name, "belt", "life")
    if life is not None and (life.short or life.short_bad):
        _short_life(draft, reader, layout, stage)
        return
    if wanted is None:
        return
    if life is None or not life.usable:
        _no_life(draft, reader, layout, stage)
        return
    limit = reader.number(wanted, "time", "{} or more", known=reader.how("wanted_life"))
    verdict, remedy = grade(likely=life.likely, bad=life.bad, limit=wanted), ""
    reason = f"By published fatigue constants of section {layout.belt.name}, at work and with the service factor. "
    reason += "Ten per cent more tension costs two thirds of the life."
    if verdict != GO:
        remedy = "Ease what bends and pulls the belt hardest: the smallest pulley, then the tension."
    if verdict == STOP and life.more_likely:
        # how much longer it lasts is not published: it may be enough at work
        reason = (
            f"The published fatigue constants of section {layout.belt.name} end at {life.hours(reader, life.likely)} "
        )
        reason += "on this belt. At work it lasts longer; by how much, nobody has published."
        verdict = UNDECIDED if life.more_bad else CAUTION
        reason += (
            " Ask the belt's maker, or want no longer life of it and carry a spare."
            if life.more_bad
            else f" With the service factor it lasts {life.hours(reader, life.bad)}, which is too short."
        )
    draft.check(
        id,
        name,
        found=life.number(reader),
        wanted=limit,
        verdict=verdict,
        reason=reason,
        remedy="" if verdict == UNDECIDED else remedy,
        source="shigley, ch. 17",
    )


def _short_life(draft: Draft, reader: Reader, layout: StageLayout, stage: StageCapacity) -> None:
    """Add the check of a belt that is pulled harder than the fatigue constants hold for, at work or now and then."""
    life, wanted = stage.life, reader.si("wanted_life")
    id, name = f"capacity.life[{stage.name}]", titled(stage.name, "belt", "life")
    least = f"less than {life.hours(reader, life.fewest)}"
    reason = (
        f"The belt is pulled harder {'at work' if life.short else 'with the service factor'} than the published "
        f"fatigue constants of section {layout.belt.name} hold for. There it lasts {least}; how much less, nobody has "
        "published."
    )
    if life.short:
        words = f"{least}, about {life.hours(reader, life.likely)} by estimate"
        reason += " The estimate carries the constants on beyond their end."
    else:
        words = f"about {life.hours(reader, life.likely)} at work, {least} with the service factor"
    if wanted is None:
        words = f"{reason} It lasts {words}. How long it must last is not said yet."
        draft.missing(reader, id, name, ["wanted_life"], words)
        return
    draft.check(
        id,
        name,
        found=reader.number(life.likely, "time", words, low=life.bad),
        wanted=reader.number(wanted, "time", "{} or more", known=reader.how("wanted_life")),
        verdict=CAUTION if at_least(life.likely, wanted) else STOP,
        reason=reason,
        remedy="Lower the tension, if it is more than the grip needs; else share the pull out over more belts.",
        source="shigley, ch. 17",
    )


def _no_life(draft: Draft, reader: Reader, layout: StageLayout, stage: StageCapacity) -> None:
    """Add the check of a wanted life that no method covers, or whose tension is not known yet."""
    id, name, wanted = f"capacity.life[{stage.name}]", titled(stage.name, "belt", "life"), reader.si("wanted_life")
    limit = reader.number(wanted, "time", "{} or more", known=reader.how("wanted_life"))
    key = tension_key(layout, way_of(reader, layout))
    covered = stage.life is not None or tables.table("belt_fatigue").where(section=layout.belt.name).rows
    if covered and stage.life is None and reader.get(key) is None:
        reader.note_missing(key)
        words = "The life goes by the tension, which is not known yet. Measure it on a strand, or choose one to set."
        draft.checks.append(undecided(id, name, (key,), words, limit=limit))
        return
    if covered and stage.life is None:
        return  # the loop's forces cannot be worked out, which its own checks say
    why = (
        f"The published fatigue constants of section {layout.belt.name} do not cover this drive: {stage.life.note}."
        if covered
        else f"No fatigue constants are published for section {layout.belt.name}."
    )
    draft.check(
        id,
        name,
        found="no method for it",
        wanted=limit,
        verdict=UNDECIDED,
        reason=f"{why} Ask the belt's maker for the life at this pull. Whether the belt stands the pull at all is "
        f"judged by the pull of one {layout.belt.counted_by}.",
        source="shigley, ch. 17",
    )


__all__ = ["Service", "StageCapacity", "band", "service_of", "work_up"]
