"""What a new build begins with where its parts are ticked: empty parts with usual names, tied where it is plain."""

from __future__ import annotations

from dataclasses import dataclass

from jackshaft.buildfile.schema import chapter

#: What the machine may be said to have none of where it is not ticked, by chapter or list.
MAY_BE_NONE = ("clutch", "circuit", "bearing", "driveline", "shear_pin", "slip_clutch")
ORDINALS = ("first", "second", "third", "fourth")
IDLER = "idler"
MOST_BELTS, MOST_CHAINS = 3, 2
#: Kinds of clutch in trade words, and as the build file has them.
CLUTCHES = (
    ("electromagnetic", "electromagnetic"),
    ("centrifugal", "centrifugal"),
    ("belt tightener", "idler"),
    ("nothing that lets go", "direct"),
)


def kinds(section: str, part: str = "") -> tuple[str, ...]:
    """Return the choices of the kind of a chapter, or of a list inside it."""
    found = chapter(section)
    return (found.part(part) if part else found).field("kind").choices


@dataclass(frozen=True)
class Ticked:
    """The parts that somebody has.

    ``engine`` and ``clutch`` are kinds as the build file has them, empty where not said; ``belts`` and ``chains`` count
    stages; ``idlers`` says that one runs on each belt; ``switches`` are kinds of interlock; ``rest_none`` says that
    there is none of what is not ticked.
    """

    engine: str = ""
    belts: int = 0
    idlers: bool = False
    chains: int = 0
    clutch: str = ""
    shaft: bool = False
    bearings: bool = False
    driveline: bool = False
    pin: bool = False
    slip_clutch: bool = False
    switches: tuple[str, ...] = ()
    rest_none: bool = False

    @property
    def anything(self) -> bool:
        """Whether any part is ticked."""
        return self != Ticked(rest_none=self.rest_none)


def parts_for(ticked: Ticked) -> dict[str, object]:
    """Return the changes that put the ticked parts into an empty build.

    The belts come before the chains on the torque's way, and each stage drives a shaft of its own; the last shaft does
    the work. Two bearings carry each shaft. Nothing but kinds, names and these ties is written.
    """
    kinds_of = ["belt"] * ticked.belts + ["roller chain"] * ticked.chains
    single = any((ticked.shaft, ticked.bearings, ticked.driveline, ticked.pin, ticked.slip_clutch))
    shafts = _numbered("jackshaft", max(len(kinds_of), int(single)) - 1) if kinds_of or single else []
    if kinds_of or single:
        shafts.append("work shaft")
    changes: dict[str, object] = {"engine.kind": ticked.engine} if ticked.engine else {}
    if shafts:
        changes["work.shaft"] = shafts[-1]
    changes |= {f"shaft[{name}].name": name for name in shafts}
    names = _numbered("belt", ticked.belts) + _numbered("chain", ticked.chains)
    before = ("engine" if ticked.engine else "", *shafts)
    for name, kind, driver, driven in zip(names, kinds_of, before, shafts, strict=False):
        changes |= _stage(name, kind, (driver, driven), ticked.idlers)
    if ticked.clutch:
        changes["clutch.kind"] = ticked.clutch
    changes |= {f"circuit.interlock[{kind}].{key}": kind for kind in ticked.switches for key in ("name", "kind")}
    if ticked.bearings:
        for shaft in shafts:
            for end in ("near", "far"):
                at = f"bearing[{shaft}, {end} end]"
                changes |= {f"{at}.name": f"{shaft}, {end} end", f"{at}.shaft": shaft}
    if ticked.driveline:
        changes["driveline.shaft"] = shafts[-1]
    if ticked.pin:
        changes["shear_pin.shaft"] = shafts[-1]
    if ticked.slip_clutch:
        changes["slip_clutch.shaft"] = shafts[-1]
    return changes | (_none_of(ticked, changes) if ticked.rest_none else {})


def in_words(ticked: Ticked) -> str:
    """Return how the ticked parts are tied: "engine, belt, jackshaft, chain, work shaft"."""
    changes = parts_for(ticked)
    way = ["engine"] if ticked.engine else []
    for key, value in changes.items():
        if key.startswith("stage[") and key.endswith("].to"):
            way += [key.removeprefix("stage[").removesuffix("].to"), str(value)]
    return " → ".join(way) if len(way) > 1 else ""


def _numbered(name: str, many: int) -> list[str]:
    return [name] if many == 1 else [f"{ORDINALS[n]} {name}" for n in range(many)]


def _stage(name: str, kind: str, ends: tuple[str, str], idler: bool) -> dict[str, object]:
    at, (driver, driven) = f"stage[{name}]", ends
    changes: dict[str, object] = {f"{at}.name": name, f"{at}.kind": kind, f"{at}.to": driven}
    if driver:
        changes[f"{at}.from"] = driver
    if kind == "belt":
        for end in ("driver", "idler", "driven") if idler else ("driver", "driven"):
            # in the order that the belt meets them: an idler runs on the strand that leaves the driver, the slack one
            pulley, says = (IDLER, "takeup.idler") if end == "idler" else (f"{end} pulley", end)
            changes |= {f"{at}.pulley[{pulley}].name": pulley, f"{at}.{says}": pulley}
    return changes


def _none_of(ticked: Ticked, changes: dict[str, object]) -> dict[str, object]:
    """Return what there is none of: what is not ticked. An electric clutch has a circuit, and switches a clutch."""
    there = {key.partition(".")[0].partition("[")[0] for key in changes}
    there |= {"circuit"} if ticked.clutch == "electromagnetic" else set()
    there |= {"clutch"} if ticked.switches else set()
    return {name: "none" for name in MAY_BE_NONE if name not in there}


__all__ = ["CLUTCHES", "MOST_BELTS", "MOST_CHAINS", "Ticked", "in_words", "kinds", "parts_for"]
