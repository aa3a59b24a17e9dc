"""The verdicts on one bearing's load, life and speed."""

from __future__ import annotations

import numpy as np

from jackshaft.chapters.bearings.data import SHOCK, BearingLife
from jackshaft.chapters.bearings.life import fact, safety_wanted, speed_limits
from jackshaft.chapters.ratio.checks import TOP, top_words
from jackshaft.mechanics import bearing_limits, bearings
from jackshaft.mechanics.bearing_sizes import is_insert
from jackshaft.mechanics.bearings import UPPER_BOUND
from jackshaft.parts import seldom
from jackshaft.parts.shaft_cases import at_case
from jackshaft.parts.words import sentence
from jackshaft.parts.works import factor_key, factor_of
from jackshaft.results.checks import CAUTION, GO, STOP, grade, reaches, stays_within
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

LIFE = (
    "Take a bearing of a higher dynamic rating, move the pull nearer to the bearings, or lower the tension as far as "
    "grip allows. Seal it against dirt."
)
#: The same where it is loaded too little; an insert in its round housing has no place for a washer.
PLAY = (
    "Take up the play of this bearing with a light spring washer, set an overhung pulley closer to its "
    "bearing, or set the bearings farther apart. A smaller bearing needs less load."
)
PLAY_OF_INSERT = (
    "Set an overhung pulley closer to its bearing, or set the bearings farther apart. A smaller bearing needs less "
    "load."
)
#: Why a check waits for how hard the work starts and peaks.
SHAKEN = "Under work that shakes hard it may feel up to {:g} times the load, and its shock factor is not known."
HARDER = "How hard the work starts, or works at its peak, is not known, and may load it more."


def add(draft: Draft, reader: Reader, life: BearingLife, why: tuple | None, ratio) -> None:
    """Add the checks of one bearing; ``why`` is (missing keys, words) where it carries nothing known.

    ``ratio`` is what the ratio chapter found.
    """
    _life_check(draft, reader, life, why)
    _load_check(draft, reader, life, ratio)
    _speed_check(draft, reader, life)
    _static_check(draft, reader, life)
    _axial_check(draft, reader, life)


def _missing(reader: Reader, life: BearingLife, why: tuple | None) -> tuple[list[str], list[str]]:
    """Return the keys without which the life cannot be judged, and what of it is not known."""
    at = f"bearing[{life.name}]"
    missing, words = (list(why[0]), [why[1]]) if why and life.load is None else ([], [])
    if life.rating is None:
        # where nothing says which bearing it is but the readings, the ones that are not taken yet settle it
        told = life.size is not None and any(reader.get(f"{at}.{k}") is not None for k in ("marking", "designation"))
        sizes = () if told else reader.unknown(*(f"{at}.{k}" for k in ("bore", "outside", "width")))
        missing += sizes or [f"{at}.dynamic_rating"]
        words.append(
            "No rating is tabulated for it, or it is not settled which bearing it is: take C from its maker."
            if life.size is not None
            else "Which bearing it is is not known yet, so its rating is not known either."
        )
    elif life.load is None and life.radial is not None:
        missing.append(f"{at}.static_rating" if life.rating.static is None else f"{at}.static_rating_factor")
        words.append(
            "For a load along the shaft the static rating is required, and for one of the newer generation its f0."
        )
    if not life.speed:
        missing += life.speed_keys
        words.append("How fast it turns is not known yet.")
    if life.wanted is None:
        missing.append("wanted_life")
        words.append("How long it must last is not known yet.")
    return missing, words


def _life_check(draft: Draft, reader: Reader, life: BearingLife, why: tuple | None) -> None:
    id, name = f"bearings.life[{life.name}]", f"{life.name}: rating life"
    limit = ""
    if life.wanted is not None:
        limit = reader.number(life.wanted, "time", "{} or more", by="hours", known=reader.how("wanted_life"))
    if life.life is None or life.wanted is None:
        missing, words = _missing(reader, life, why)
        value = "" if life.life is None else f"Rating life {reader.show(life.life, 'time', by='hours')}. "
        draft.missing(reader, id, name, missing, value + " ".join(words), limit=limit)
        return
    verdict = grade(likely=life.life, bad=life.life_bad, limit=life.wanted)
    cure = "" if verdict == GO else LIFE
    reason = (
        f"{reader.show(life.load, 'force')} with shock factor {life.shock:g} at {reader.show(life.speed, 'rotation')}."
    )
    if life.load == 0:
        reason = f"It carries nothing across the shaft at {reader.show(life.speed, 'rotation')}, so nothing tires it."
    if reader.get(f"bearing[{life.name}].shock_factor") is None:
        reason += (
            f" No shock factor is given. {life.shock:g} is taken as likely; belts and rough work need 1.2 to 1.5. "
            f"The bad end is that of a shock factor of {SHOCK:g}, or of running in its hardest case all the time."
        )
    reason += along_words(reader, life)
    if life.load > 0 and not bearings.life.si(life.rating.dynamic, life.load, life.speed, shock=life.shock).in_range:
        reason += " The load is above half of C, and the formula holds only up to there."
        verdict, cure = STOP, LIFE
    if life.combined is not None and life.combined.beyond_table:
        reason += (
            " The load along the shaft is beyond the table's end, so its last row was taken: ask the bearing's maker."
        )
        if verdict == GO:
            verdict, cure = CAUTION, "Take a bearing made for endways load, or a larger one."
    if reader.get("place") in ("outdoors", None):
        if reader.get("place") is None:
            reader.note_missing("place")
            reason += " Where it works is not written down, so it is judged as outdoors."
        reason += f" {UPPER_BOUND} The bad end is {fact('life factor, wet or dusty', 'low'):g} of it, for wet or dust."
    source = f"gost18855, clause 5.3; {life.rating.source}".rstrip("; ")
    value = reader.number(life.life, "time", "{} (bad end {low})", by="hours", low=life.life_bad, source="gost18855")
    draft.check(id, name, value, limit, verdict, reason=reason, remedy=cure, source=source)
    if not life.shock_known and life.carried.unsure:
        # a known shock factor says how rough its time at work is; without one the hardest case may last
        draft.doubt(reader, (f"bearing[{life.name}].shock_factor", *life.carried.unsure), HARDER, id)
    # life goes with the cube of the load
    if not life.shock_known and not reaches(life.life_bad, life.wanted * (life.shock_most / SHOCK) ** 3):
        draft.doubt(reader, _shakes(life), SHAKEN.format(life.shock_most), id)


def along_words(reader: Reader, life: BearingLife) -> str:
    """Return what is taken for the load along the shaft where nobody says it; empty where it is known."""
    if life.along is None or life.axial_bad is None:
        return ""
    most, share = reader.show(life.axial_bad, "force"), f"{100 * life.along:.0f} %"
    return (
        f" The load along the shaft is not written down. Up to {most} is taken, {share} of the load across (common "
        "practice, no source). A screw, a fan or a slanted gear pushes harder: write axial_load there."
    )


def _load_check(draft: Draft, reader: Reader, life: BearingLife, ratio) -> None:
    if life.radial is None or life.rating is None:
        return
    least = float(bearing_limits.least_load.si(life.rating.dynamic))
    enough = reaches(life.radial[0], least)
    # where the hard cases are not written down, it is not known that the load never turns round
    peak = factor_of(reader, ratio, reader.get(f"bearing[{life.name}].shaft"), "peak")
    unsure = [*([factor_key(reader, "peak")] if peak is None else []), *reader.unknown("work.overrun_factor")]
    drops = life.carried.against and (bool(unsure) or life.carried.passes_nothing(least))
    verdict = GO if enough and not drops else CAUTION
    if life.preloaded:
        verdict, enough = GO, True
    reason = "The balls roll." if enough else "Under its least load a ball bearing skids instead of rolling, and wears."
    if life.preloaded:
        reason = "A light spring washer takes up its play and keeps the balls rolling."
    elif drops:
        reason += (
            " The load here points against the main load: the overhung pull lifts the shaft, and when the pull is gone "
            "the shaft drops back through the play."
        )
    elif life.carried.against and enough:
        reason += " The load points against the main load, and does so firmly in every case."
    lifts = " against the main load" if life.signed < 0 else ""
    share = f"{100 * float(life.radial[0]) / life.rating.dynamic:.2g} % of C"
    words = f"{{}}{lifts}, {share}{', with a spring washer' if life.preloaded else ''}"
    draft.check(
        f"bearings.load[{life.name}]",
        f"{life.name}: least load",
        reader.number(abs(life.signed), "force", words),
        reader.number(least, "force", "{} or more, one hundredth of C", known="from memory", source="catalogue-a"),
        verdict,
        reason=reason,
        remedy="" if verdict == GO else PLAY_OF_INSERT if is_insert(life.size) else PLAY,
        source="catalogue-a, least load (from memory)",
    )


def _speed_check(draft: Draft, reader: Reader, life: BearingLife) -> None:
    top = life.speed if life.top_speed is None else life.top_speed
    if life.size is None or top is None or is_insert(life.size):
        return
    closure = reader.get(f"bearing[{life.name}].closure")
    likely, bad = speed_limits(life.size, closure)
    # the limit is what is uncertain here, so its two ends are graded against the speed
    verdict = grade(likely=likely, bad=bad, limit=top)
    words = f"at most {'{}' if closure else '{} open, {low} sealed'}, with grease"
    draft.check(
        id := f"bearings.speed[{life.name}]",
        f"{life.name}: speed",
        reader.number(top, "rotation"),
        reader.number(likely, "rotation", words, low=bad, source="gost20918"),
        verdict,
        reason="Judged at the highest speed at which its ring can turn."
        + ("" if closure else " What closes it is not written down, so seals that touch are the bad end."),
        remedy="" if verdict == GO else "Take an open or a shielded bearing or a smaller size, or run slower.",
        source="gost20918; bearing-catalogues, touching seals",
    )
    draft.doubt(reader, () if life.top_speed is not None else (TOP,), top_words(reader), id)


def _static_check(draft: Draft, reader: Reader, life: BearingLife) -> None:
    if life.radial is None or life.rating is None or life.rating.static is None:
        return
    top = life.top * life.shock_bad
    if top <= 0 and life.axial <= 0:
        return
    static = life.rating.static.value
    safety = float(bearing_limits.static_safety.si(top, life.axial_bad * life.shock_bad, static))
    wanted, rough = safety_wanted(reader, life.shock_bad)
    verdict = GO if reaches(safety, wanted) else CAUTION if reaches(safety, 1.0) else STOP
    more, shown = "", (safety, wanted, " with shocks" if rough else "")
    # what comes seldom is already the most that can come, so no shock is counted on top
    once = once_safety(life)
    if not seldom.holds(once):
        more = (
            f" {sentence(at_case(life.carried.seldom[0]))} it is {reader.show(life.once, 'force')}, safety {once:.2f}; "
            "that lasts a moment and comes seldom."
        )
        if verdict == GO or (verdict == CAUTION and once / seldom.HOLDS < safety / wanted):
            # the case that is shortest of what it needs, so that a cure which helps it cannot look like harm
            more += f" With what comes often it is {safety:.2f}, where {wanted:g} is wanted." if verdict != GO else ""
            shown = (once, seldom.HOLDS, f" {at_case(life.carried.seldom[0])}")
        verdict = seldom.joined(verdict, seldom=False)
    shock = "shock counted" if life.shock_known else f"with a shock factor of {SHOCK:g}, since none is given"
    draft.check(
        id := f"bearings.static[{life.name}]",
        f"{life.name}: static safety",
        reader.number(shown[0], "number", decimals=2, source="gost18854"),
        reader.number(shown[1], "number", f"{{}} or more{shown[2]}", source="textbook-practice"),
        verdict,
        reason=f"C0 is {reader.show(static, 'force')}. The largest load that comes often is "
        f"{reader.show(top, 'force')} {at_case(life.carried.hardest[0])}, {shock}.{more} Once a race is "
        "dented, it runs rough.",
        remedy="" if verdict == GO else "Take a larger bearing, or bring the pull nearer to the bearings.",
        source="gost18854; textbook-practice",
    )
    draft.doubt(reader, life.carried.unsure, HARDER, id, of=(GO, CAUTION))
    if not life.shock_known and not reaches(safety, wanted * life.shock_most / SHOCK):
        draft.doubt(reader, _shakes(life), SHAKEN.format(life.shock_most), id, of=(GO, CAUTION))


def once_safety(life: BearingLife) -> float:
    """Return the static safety in the hardest case that comes seldom, no shock on top; ``inf`` where none loads it."""
    if not life.once or life.rating is None or life.rating.static is None:
        return np.inf
    return float(bearing_limits.static_safety.si(life.once, life.axial_bad, life.rating.static.value))


def _shakes(life: BearingLife) -> tuple[str, ...]:
    return (f"bearing[{life.name}].shock_factor",)


def _axial_check(draft: Draft, reader: Reader, life: BearingLife) -> None:
    if not life.axial or life.size is None or life.rating is None or life.rating.static is None:
        return
    static, at = life.rating.static.value, f"bearing[{life.name}]"
    most = float(bearing_limits.axial_limit.si(static, life.size.bore, life.size.series))
    reason, cure = f"C0 is {reader.show(static, 'force')}.", ""
    if reader.get(f"{at}.located") is False:
        reason = "This bearing is written down as floating, so it cannot hold a load along the shaft."
        cure = "Locate this bearing endways, or let the located bearing take the load."
    elif not stays_within(life.axial, most):
        cure = "Take a larger bearing, or one made for endways load."
    draft.check(
        f"bearings.axial[{life.name}]",
        f"{life.name}: load along the shaft",
        reader.number(life.axial, "force", known=reader.how(f"{at}.axial_load")),
        reader.number(most, "force", "{} or less", source="catalogue-a"),
        STOP if cure else GO,
        reason=reason,
        remedy=cure,
        source="catalogue-a, pure axial load",
    )
