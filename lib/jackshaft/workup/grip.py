"""Tension and grip: strand tensions, the pulley that slips first, and the pull on every shaft."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.checks import CAUTION, GO, STOP, Sheet, grade, undecided
from jackshaft.mechanics import grip as mech
from jackshaft.workup.core import Chapter, Draft, Looker
from jackshaft.workup.layout import NAME as LAYOUT
from jackshaft.workup.layout import StageLayout
from jackshaft.workup.ratio import NAME as RATIO
from jackshaft.workup.ratio import RatioData

NAME, TITLE = "grip", "Tension and grip"
SPRUNG = ("sprung idler", "weighted idler")
CASES = ("start", "work", "peak", "overrun")


class Friction(NamedTuple):
    """Grip coefficients of the pulleys of a loop, shape (n,): likely and at the bad end, and where from."""

    likely: np.ndarray
    bad: np.ndarray
    words: str
    cite: str


class StageGrip(NamedTuple):
    """Tensions and loads of one loop in SI units; pulleys on the last axis.

    ``margin`` and ``margin_bad`` are multiples of the working load at which the loop slips; ``needed``
    what the hold must give at work; ``hub`` (n, 2) the force of the belt on each shaft at work,
    ``hub_rest`` standing still, ``hub_peak`` at the peak load.
    """

    name: str
    pull: float
    pulls: np.ndarray
    centrifugal: float
    hold: float | None
    needed: float
    needed_bad: float
    sprung: bool
    margin: float | None
    margin_bad: float | None
    limiting: int
    net: np.ndarray | None
    hub: np.ndarray | None
    hub_rest: np.ndarray | None
    hub_peak: np.ndarray | None
    strand_role: np.ndarray
    tight_idlers: tuple[str, ...]
    friction: Friction
    peak_factor: float | None


def friction_of(look: Looker, layout: StageLayout) -> Friction:
    """Return the grip coefficients of a loop: the wedge counted in grooves, plain on flats."""
    rows = {(r["surface"], r["condition"]): r for r in tables.table("belt_friction").rows}
    groove = rows["groove", "design"]
    place = look.get("place") or "outdoors"
    damp = "wet" if place == "outdoors" else "damp"
    flat, flat_bad = rows["flat", "dry"], rows["flat", damp]
    on_flat = layout.pulleys.flat
    words = f"groove {groove['coefficient_likely']:g} (bad end {groove['coefficient_low']:g})"
    if on_flat.any():
        words += (f", flat {flat['coefficient_likely']:g} dry "
                  f"(bad end {flat_bad['coefficient_likely']:g} {damp})")
    return Friction(np.where(on_flat, flat["coefficient_likely"], groove["coefficient_likely"]),
                    np.where(on_flat, flat_bad["coefficient_likely"], groove["coefficient_low"]), words, groove.cite)


def work_up(look: Looker, done: Mapping[str, Chapter]) -> Chapter:
    """Work up tension and grip of every belt stage of a build."""
    draft = Draft(NAME, TITLE)
    layouts: dict[str, StageLayout] = done[LAYOUT].data or {}
    if not layouts:
        return draft.done(look, done[LAYOUT].state, done[LAYOUT].words, uses=[done[LAYOUT]])
    found: dict[str, StageGrip] = {}
    for name, layout in layouts.items():
        if layout.path.reason != 0:
            continue
        stage = _stage(draft, look, layout, done[RATIO].data)
        if stage is not None:
            found[name] = stage
    draft.data = found
    draft.cite("shigley", "own-derivation")
    if found:
        draft.cautions.append("A sprung idler or a tight belt holds energy: block the arm before the belt comes off, and "
                              "keep fingers out from between belt and pulley.")
    return draft.done(look, uses=[done[RATIO], done[LAYOUT]])


def _stage(draft: Draft, look: Looker, layout: StageLayout, ratio: RatioData | None) -> StageGrip | None:
    at = f"stage[{layout.name}]"
    id, name = f"grip.margin[{layout.name}]", f"{layout.name}: grip"
    shaft = ratio.shaft(look.get(f"{at}.from")) if ratio else None
    if shaft is None or shaft.power is None or not layout.speed:
        keys = [k for k, v in (("work.power", look.si("work.power")), ("work.power_at", look.get("work.power_at")),
                               ("engine.work_speed", look.si("engine.work_speed"))) if v is None]
        look.lack(*keys)
        draft.checks.append(undecided(id, name, keys or ("work.power",),
                                      "The power through this stage or its speed is not known yet."))
        return None
    n, p, path = len(layout.pulleys.names), layout.pulleys, layout.path
    power = np.zeros(n)
    power[p.driven] = shaft.power
    pulls = mech.pulls_si(power, layout.speed, p.driver)
    belts = look.get(f"{at}.belts") or 1
    mass = layout.belt.mass * belts if layout.belt else 0.0
    centrifugal = mass * layout.speed**2
    friction = friction_of(look, layout)
    hold, sprung = hold_of(look, at, layout, belts, centrifugal)
    shape = hold if hold is not None else (
        mech.held_strand_si(n, layout.idler, 0.0) if sprung else
        mech.fixed_centres_si(path.span, path.wrap, p.pitch, centrifugal, centrifugal))
    likely = mech.grip_si(pulls, path.wrap, friction.likely, shape, centrifugal)
    bad = mech.grip_si(pulls, path.wrap, friction.bad, shape, centrifugal)
    strands = mech.strands_si(pulls)
    idlers = tuple(nm for nm, tight in zip(p.names, strands.tight_idler, strict=True) if tight)
    extra = 0.0 if sprung else centrifugal
    peak = look.si("work.peak_factor")
    known = hold is not None
    hubs = _hubs(pulls, shape, path, friction, centrifugal, peak) if known else (None, None, None)
    stage = StageGrip(layout.name, float(np.max(np.abs(pulls))), pulls, centrifugal,
                      float(hold.at_rest) if known else None, float(likely.needed) + extra, float(bad.needed) + extra,
                      sprung, float(likely.least) if known else None, float(bad.least) if known else None,
                      _limiting(likely, pulls, path.wrap, friction.likely),
                      np.asarray(likely.net) if known else None, *hubs, strands.role, idlers, friction, peak)
    _facts(draft, look, layout, stage, belts)
    _margin_check(draft, look, layout, stage)
    _peak_check(draft, look, layout, stage)
    _idler_check(draft, look, layout, stage)
    return stage


def hold_of(look: Looker, at: str, layout: StageLayout, belts: int, centrifugal: float):
    """Return how the belt is kept tight (None where the tension is not known), and whether by a spring.

    A spring's tension is that of its strand, all belts together; a static tension is that of each
    strand of each belt at rest.
    """
    kind = look.get(f"{at}.takeup.kind")
    path, p = layout.path, layout.pulleys
    if kind in SPRUNG and layout.idler is not None:
        tension = look.si(f"{at}.takeup.slack_tension")
        if tension is None:
            look.lack(f"{at}.takeup.slack_tension")
            return None, True
        return mech.held_strand_si(len(p.names), layout.idler, tension), True
    static = look.si(f"{at}.takeup.static_tension")
    if static is None:
        look.lack(f"{at}.takeup.static_tension")
        return None, False
    return mech.fixed_centres_si(path.span, path.wrap, p.pitch, static * belts, centrifugal), False


def _limiting(found: mech.Grip, pulls: np.ndarray, wrap: np.ndarray, friction: np.ndarray) -> int:
    """Return the pulley that slips first; with no tension known, the one with the least friction times wrap."""
    if np.isfinite(found.least) and found.least > 0:
        return int(found.limiting)
    busy = np.abs(pulls) > 1e-9 * np.max(np.abs(pulls))
    return int(np.argmin(np.where(busy, friction * wrap, np.inf)))


def _hubs(pulls, hold, path, friction, centrifugal, peak):
    def of(net):
        hub = mech.hub_si(net, path.ux, path.uy)
        return np.stack([hub.x, hub.y], axis=-1)

    run = mech.grip_si(pulls, path.wrap, friction.likely, hold, centrifugal).net
    top = mech.grip_si(pulls * (peak or 1.0), path.wrap, friction.likely, hold, centrifugal).net
    return of(run), of(mech.rest_si(hold)), of(top)


def _facts(draft: Draft, look: Looker, layout: StageLayout, stage: StageGrip, belts: int) -> None:
    draft.fact(f"{layout.name}: effective pull", look.both(stage.pull, "force"),
               "tight strand less slack strand, all belts together")
    what = "slack strand" if stage.sprung else "each strand at rest"
    per = "" if stage.sprung or belts == 1 else f", {look.show(stage.needed / belts, 'force')} per belt"
    draft.fact(f"{layout.name}: tension that just holds the work", look.both(stage.needed, "force"), f"{what}{per}")
    if stage.net is None:
        return
    names, rows = layout.pulleys.names, []
    words = {1: "tight", -1: "slack", 0: "between"}
    for i, name in enumerate(names):
        after = names[(i + 1) % len(names)]
        run = stage.net[i] + stage.centrifugal
        rows.append((f"{name} to {after}", words[int(stage.strand_role[i])], look.show(run, "force"),
                     name, look.show(float(np.hypot(*stage.hub[i])), "force"),
                     look.show(float(np.degrees(np.arctan2(stage.hub[i][1], stage.hub[i][0])) * np.pi / 180), "angle"),
                     look.show(float(np.hypot(*stage.hub_rest[i])), "force")))
    draft.sheets.append(Sheet(
        f"{layout.name}: strands and hub loads at work",
        ("strand", "side", "tension", "pulley", "hub load running", "toward", "hub load at rest"), tuple(rows),
        "Tensions are for all belts together, the centrifugal part counted. Hub loads point 0° right, 90° up. "
        f"Grip: {stage.friction.words}."))


def _margin_check(draft: Draft, look: Looker, layout: StageLayout, stage: StageGrip) -> None:
    id, name = f"grip.margin[{layout.name}]", f"{layout.name}: grip at work"
    at = f"stage[{layout.name}].takeup"
    need = look.show(stage.needed, "force")
    if stage.margin is None:
        key = f"{at}.slack_tension" if stage.sprung else f"{at}.static_tension"
        draft.checks.append(undecided(id, name, (key,), "The tension is not known yet. The work needs at least "
                                      f"{need}, {look.show(stage.needed_bad, 'force')} at the bad end.",
                                      limit="1.00 × the working load"))
        return
    verdict = grade(likely=stage.margin, bad=stage.margin_bad, limit=1.0)
    slips = layout.pulleys.names[stage.limiting]
    belts = look.get(f"stage[{layout.name}].belts") or 1
    aim = stage.needed_bad if stage.sprung else stage.needed_bad / belts
    where = "in the slack strand" if stage.sprung else "per strand of each belt at rest"
    draft.check(id, name, f"holds {stage.margin:.2f} × (bad end {stage.margin_bad:.2f} ×)", "1.00 × the working load",
                verdict, f"Pulley {slips} slips first. {stage.friction.words[0].upper()}{stage.friction.words[1:]}.",
                "" if verdict == GO else f"Raise the tension to {look.show(aim, 'force')} {where}, give {slips} more "
                "wrap, or use more belts.", f"shigley ch. 17; {stage.friction.cite}")


def _peak_check(draft: Draft, look: Looker, layout: StageLayout, stage: StageGrip) -> None:
    if stage.margin is None or stage.peak_factor is None:
        return
    likely, bad = stage.margin / stage.peak_factor, stage.margin_bad / stage.peak_factor
    verdict = grade(likely=likely, bad=bad, limit=1.0)
    belts = look.get(f"stage[{layout.name}].belts") or 1
    aim = stage.hold / bad / (1 if stage.sprung else belts) if bad > 0 else stage.needed_bad * stage.peak_factor
    where = "in the slack strand" if stage.sprung else "per strand of each belt at rest"
    draft.check(f"grip.peak[{layout.name}]", f"{layout.name}: grip at the peak load",
                f"holds {likely:.2f} × (bad end {bad:.2f} ×)", f"1.00 × {stage.peak_factor:g} times the working load",
                verdict, f"At {stage.peak_factor:g} times the working load the belt "
                + ("holds." if verdict == GO else "slips; a belt that slips for more than a moment burns."),
                "" if verdict == GO else f"Raise the tension to about {look.show(aim, 'force')} {where}, or see to it that "
                "something meant for it gives first.", f"shigley ch. 17; {stage.friction.cite}")


def _idler_check(draft: Draft, look: Looker, layout: StageLayout, stage: StageGrip) -> None:
    p = layout.pulleys
    idlers = [i for i in range(len(p.names)) if i not in (p.driver, p.driven)]
    if not idlers:
        return
    id, name = f"grip.idlers[{layout.name}]", f"{layout.name}: idlers and the tight strand"
    sprung = p.names[layout.idler] if stage.sprung and layout.idler is not None else None
    slack = [p.names[i] for i in idlers if stage.strand_role[i] < 0]
    if not stage.tight_idlers:
        draft.check(id, name, "all idlers in the slack strand", "no idler in the tight strand", GO,
                    f"{', '.join(slack)} in the strand that leaves the driver.", source="belt-maintenance p. 24")
        return
    loads = "" if stage.hub is None else " (" + ", ".join(
        f"hub load of {n} {look.show(float(np.hypot(*stage.hub[p.names.index(n)])), 'force')}"
        for n in stage.tight_idlers) + ")"
    wrong = sprung in stage.tight_idlers
    draft.check(id, name, f"{', '.join(stage.tight_idlers)} in the tight strand", "no idler in the tight strand",
                STOP if wrong else CAUTION,
                (f"{sprung} is the idler on the spring, and the tight strand pushes it away." if wrong else
                 f"A fixed idler in the tight strand carries its pull{loads}; its bracket and bearings must be made for it."),
                (f"Put the spring on an idler in the slack strand{' (' + ', '.join(slack) + ')' if slack else ''}, the strand "
                 "that leaves the driver." if wrong else
                 "Keep it only where the loop needs it to wrap a pulley; size its pin and bearing for that load."),
                "belt-maintenance p. 24")


__all__ = ["CASES", "NAME", "SPRUNG", "StageGrip", "TITLE", "friction_of", "hold_of", "work_up"]
