"""Checks on a splined joint: pressure on its flanks, wear, and whether speed and direction are the standard's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from jackshaft.chapters.shafts.data import Joint
from jackshaft.chapters.shafts.turning import Turning, turning_of
from jackshaft.mechanics import splines
from jackshaft.results.checks import CAUTION, GO, STOP, Table, grade
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.units import at_least, at_most

#: Speed over the standard one: up to so much is go, up to so much a caution; below the least a caution. Common
#: practice, no source; a shaft of 540 on a 1000 r/min drive is far above, at 1.85.
SPEED_LEAST, SPEED_GO, SPEED_STOP = 0.85, 1.15, 1.25
#: Wear over the sound tooth's thickness. Common practice, no source.
WEAR_GO, WEAR_STOP = 0.1, 0.25
SOURCE = "iso500, part 1 (from memory); tractor-manuals"
CAUTION_WORDS = (
    "Never adapt a tractor's shaft of one speed to a machine for the other: what is built for 540 rpm flies apart at "
    "1000. Shield every driveline. Stop the engine and wait until the driveline has stopped before you go near it."
)


def work_up(draft: Draft, reader: Reader, done: Mapping[str, Findings], joint: Joint) -> None:
    """Add the checks of one spline: flanks, wear, speed and direction.

    Parameters
    ----------
    draft : Draft
        The chapter.
    reader : Reader
        Reads the build.
    done : mapping
        The chapters before, with "ratio".
    joint : Joint
        The joint, its spline worked out.
    """
    if joint.torques.work is not None:
        _flanks(draft, reader, joint)
    if reader.si(f"shaft[{joint.shaft}].joint[{joint.name}].wear") is not None:
        _wear(draft, reader, joint)
    turning = turning_of(reader, done, joint.shaft)
    _speed(draft, reader, joint, turning)
    _direction(draft, reader, joint, turning, done["ratio"].data)


def _flanks(draft: Draft, reader: Reader, joint: Joint) -> None:
    state, torques = joint.capacity.spline, joint.torques
    work, top = state.pressure * torques.work, state.pressure * (torques.hardest[1] or torques.work)
    allowed = state.allowed.low
    longer = state.length * top / allowed
    remedy = (
        f"Let shaft and hub touch over {reader.show(longer, 'length')}"
        if longer < 2.5 * state.profile.nominal
        else "Take a larger spline, or lower the torque by running it faster"
    )
    draft.check(
        f"shafts.spline[{joint.part}]",
        f"{joint.shaft}: {joint.name}: pressure on the flanks",
        reader.number(work, "stress", "{} at work, {high} at most", high=float(top)),
        reader.number(allowed, "stress", "{} or less"),
        verdict := grade(likely=work, bad=top, limit=allowed, higher_is_better=False),
        reason=f"{state.profile.splines} splines touch over {reader.show(state.length, 'length')}, of which "
        f"{100 * state.share:.0f} % bear at once; {state.fit}. More pressure wears the flanks and leaves red dust.",
        remedy="" if verdict == GO else f"{remedy}, and clamp the hub so that it cannot rock.",
        source=f"{'mh31' if state.allowed.words.startswith('mh31') else 'textbook-practice'} (from memory)",
    )


def _wear(draft: Draft, reader: Reader, joint: Joint) -> None:
    state = joint.capacity.spline
    share = state.wear / state.profile.tooth
    verdict = GO if at_most(share, WEAR_GO) else CAUTION if at_most(share, WEAR_STOP) else STOP
    draft.check(
        f"shafts.spline_wear[{joint.part}]",
        f"{joint.shaft}: {joint.name}: wear",
        reader.number(
            state.wear,
            "length",
            f"{{}}, {100 * share:.0f} % of a tooth",
            by="thou",
            known=reader.how(f"shaft[{joint.shaft}].joint[{joint.name}].wear"),
        ),
        reader.number(WEAR_GO * state.profile.tooth, "length", "{} or less", by="thou"),
        verdict,
        reason="Worn flanks bear on fewer teeth and hammer at each change of load.",
        remedy=""
        if verdict == GO
        else f"Renew or mend it before {reader.show(WEAR_STOP * state.profile.tooth, 'length', by='thou')} are gone. "
        "The table of ways to mend shows what each way carries.",
        source="trade-practice",
    )


def _speed(draft: Draft, reader: Reader, joint: Joint, turning: Turning) -> None:
    shaft, id = joint.shaft, f"shafts.spline_speed[{joint.part}]"
    title = f"{shaft}: {joint.name}: speed"
    standard = joint.capacity.spline.profile.speed
    low, high = SPEED_LEAST * standard, SPEED_GO * standard
    words = "{low} to {high}; the standard's for this spline is {}"
    limit = reader.number(standard, "rotation", words, low=low, high=high)
    others = {other for other in _speeds(reader, shaft) if abs(other - standard) > 1e-6}
    if others:
        draft.check(
            id,
            title,
            " and ".join(sorted(reader.show(s, "rotation") for s in {standard, *others})),
            limit,
            STOP,
            reason="The two ends of this shaft are made for different standard speeds: it adapts one speed to the "
            "other.",
            remedy="Take the adapter out. Change the tractor's shaft end or the gearing, so that both ends have one "
            "speed.",
            source=SOURCE,
            guards=True,
        )
        return
    if turning.misses and not (turning.work and at_least(turning.work / standard, SPEED_GO)):
        what = "turns" if turning.work is None else "may turn at most"
        draft.missing(reader, id, title, turning.misses, f"How fast it {what} is not known yet.", limit=limit)
        return
    # too slow counts at work, too fast at the highest speed that the engine may run it up to
    low, full, top = (
        v / standard for v in (turning.work, turning.full, turning.full if turning.top is None else turning.top)
    )
    verdict = GO if at_least(low, SPEED_LEAST) and at_most(top, SPEED_GO) else CAUTION
    if not at_most(full, SPEED_STOP):
        verdict = STOP
    share = top if top >= 1 and (at_least(low, SPEED_LEAST) or not at_most(top, SPEED_GO)) else low
    force = float(splines.rim_force_ratio(share * standard, standard))
    reason = (
        f"What fits this spline is built for its speed; at {share:.2f} times that, rims and knives pull outward "
        f"{force:.1f} times as hard."
        if share >= 1
        else f"At {share:.2f} times the standard speed the same power takes {1 / share:.1f} times the torque."
    )
    draft.check(
        id,
        title,
        reader.number(low * standard, "rotation", "{}, {high} at most" if top > low else "{}", high=top * standard),
        limit,
        verdict,
        reason=reason,
        remedy=""
        if verdict == GO
        else f"Change the ratio so that it turns {reader.show(standard, 'rotation')}, or take the spline that belongs "
        "to its speed; never an adapter.",
        source=SOURCE,
        guards=verdict == STOP,
    )


def _speeds(reader: Reader, shaft: str):
    """Yield the standard speed of each splined joint of a shaft, rad/s."""
    for name in reader.names(f"shaft[{shaft}].joint"):
        here = f"shaft[{shaft}].joint[{name}]"
        words = reader.get(f"{here}.profile")
        if reader.get(f"{here}.kind") == "spline" and words is not None:
            yield float(words.split(",")[1].split()[0]) * np.pi / 30


def _direction(draft: Draft, reader: Reader, joint: Joint, turning: Turning, ratio) -> None:
    id, title = f"shafts.spline_turns[{joint.part}]", f"{joint.shaft}: {joint.name}: direction"
    at = f"shaft[{joint.shaft}].joint[{joint.name}]"
    key, driven = f"{at}.end_faces", reader.get(f"{at}.end_is") == "driven"
    faces = reader.get(key)
    # a tractor's end turns clockwise when you face it; the end it drives looks back at it and turns the other way round
    wanted = "counter-clockwise" if driven else "clockwise"
    limit = f"{wanted}, seen facing the splined end"
    missing = () if faces else (key,)
    if reader.get("engine.turns") is None:
        missing += ("engine.turns",)
    if ratio is None or ratio.shaft(joint.shaft) is None:
        missing += ("stage",) if ratio is None else ratio.between
    if missing:
        words = (
            "Which way its splined end looks, or which way it turns, is not known yet. A tractor's shaft turns "
            "clockwise, seen from behind the tractor."
        )
        draft.missing(reader, id, title, missing, words, limit=limit)
        return
    # turns are counted facing the engine's output shaft: what looks away from the engine is seen from that side
    seen = "counter-clockwise" if (turning.turn > 0) == (faces == "away from the engine") else "clockwise"
    verdict = GO if seen == wanted else CAUTION
    draft.check(
        id,
        title,
        seen,
        limit,
        verdict,
        reason="A tractor's shaft turns clockwise, seen from behind the tractor, and so does what it drives. The "
        "other way "
        "round, fans, augers and one-way clutches work backwards.",
        remedy=""
        if verdict == GO
        else "Reverse the direction: run one belt on its back or crossed, add one gear pair, or drive the shaft from "
        "its other end.",
        source=SOURCE,
    )


def sheet(reader: Reader, joints: Iterable[Joint]) -> Table:
    """Return the table of splined joints that are there."""
    rows = []
    for joint in joints:
        s = joint.capacity.spline
        if s is None:
            continue
        low, high = s.allowed.low / s.pressure, float(s.allowed.high / s.pressure)
        rows.append(
            (
                joint.shaft,
                joint.name,
                f"type {s.profile.kind}, {s.profile.splines} {s.profile.form}",
                reader.number(s.length, "length"),
                reader.number(low, "torque", "{} to {high}", high=high),
                *(reader.number(t, "torque") for t in (s.teeth, s.root, s.profile.power / s.profile.speed)),
            )
        )
    return Table(
        "Splines that are there",
        ("shaft", "joint", "profile", "touches over", "flanks", "teeth shear", "root twists", "standard's most"),
        tuple(rows),
        "The flanks carry so much at the careful and at the upper end of the pressure allowed; teeth and root at yield "
        "of the shaft's steel. The standard's most is its largest power at its speed, for heat-treated steel and a hub "
        "that is clamped.",
    )


def profiles(reader: Reader) -> Table:
    """Return the table that tells the profiles of tractor shafts apart."""
    rows = []
    for kind, speed in ((1, 540), (1, 1000), (2, 1000), (3, 1000), (4, 1300)):
        p = splines.profile.si(kind, speed)
        rows.append(
            (
                reader.number(p.kind, "number"),
                reader.number(p.nominal, "length"),
                reader.number(p.splines, "number"),
                p.form,
                reader.number(p.speed, "rotation"),
                reader.number(p.power, "power"),
                reader.number(p.power / p.speed, "torque"),
                "clockwise, seen from behind the tractor",
            )
        )
    return Table(
        "Splines of tractor shafts",
        ("type", "diameter", "splines", "form", "speed", "most power", "that is", "turns"),
        tuple(rows),
        "From memory of the standard: measure the mating part before you cut metal, and never adapt a shaft of one "
        "speed to another. The power is for heat-treated steel; a home-made end of mild steel is good for about half.",
        aside=True,
    )
