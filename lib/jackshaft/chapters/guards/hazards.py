"""What can hurt on a machine, part by part, from what the build has: nothing is left out, and nothing is said of parts
that are not there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from jackshaft.chapters.clutch.stopping import cuts
from jackshaft.parts.belt_stage import shafts_driven
from jackshaft.parts.motor import is_motor
from jackshaft.parts.outside_loads import TIGHTENER
from jackshaft.parts.words import made_safe
from jackshaft.parts.works import work_shafts
from jackshaft.results.reader import Reader
from jackshaft.units import at_least

#: Mass, kg, from which a part is lifted by two people or with a hoist: common practice, no source.
HEAVY = 23.0

#: What to do about each kind of hazard. Local codes and the part maker's data go before all of it.
CARE = {
    "stop": "Before you reach in: {safe}. Take the key out, and wait until everything has stopped.",
    "nip": "A hand is drawn in where a belt or chain runs onto a wheel, or where two wheels meet. Guard each such "
    "place so that nobody can reach over, under, through or round the guard.",
    "shaft": "A turning shaft winds on hair, cords and sleeves, a smooth one too. Cover it with its ends, keys, screw "
    "heads and joints.",
    "telescoping": "A telescoping shaft wraps an arm before anybody can let go. Its guard stands still and covers the "
    "whole shaft and both joints.",
    "coasting": "The work keeps turning after its drive lets go. Wait until it stands before a guard is opened.",
    "caught": "The work catches sleeves and draws in what it touches. Keep a guard between it and people, and a switch "
    "that stops it within reach of whoever feeds it.",
    "thrown": "The work throws stones and pieces. Clear the ground, keep people and animals away, and wear eye "
    "protection.",
    "burst": "A wheel that turns too fast flies to pieces. Keep to the speed of its rim, and stand out of its plane "
    "when it runs for the first time.",
    "crush": "A drum or roller draws in what leans against it. Put a guard between people "
    "and it, and a switch within reach.",
    "spring": "A sprung or weighted take-up and a tight belt hold energy. Block its arm or slide, or let it off, "
    "before you loosen anything.",
    "tightener": "A hand between belt and wheel is drawn in when the tightener closes. Hold the lever open by a catch.",
    "centrifugal": "A centrifugal clutch takes hold by itself when the engine speeds up. Only a stopped engine "
    "is safe.",
    "raised": "A raised attachment falls when a rope, a pin or a hose lets go. Prop it before you go under it.",
    "heavy": "Parts this heavy crush feet and backs. Lift them with a hoist or a second person.",
    "spark": "Take the spark plug lead off and tie it back before you turn anything by hand: the engine may fire.",
    "compression": "A diesel engine fires without any spark. Shut its fuel off and take its starter's lead off before "
    "you turn anything by hand.",
    "exhaust": "Exhaust gas kills in a closed room, without a smell. Run the engine in the open.",
    "fuel": "Fuel burns. Let the engine cool before you fill it, wipe up what is spilt, and keep an extinguisher near.",
    "hot": "Exhaust, engine and a clutch that has slipped burn the skin and light dry chaff. Keep both away from them.",
    "mains": "Mains voltage kills. Its wiring is work for a licensed electrician under the local code: earth, "
    "residual-current protection outdoors, a lockable isolator.",
    "restart": "A motor may start by itself when its overload switch has cooled. Lock the isolator before you reach "
    "in.",
    "capacitor": "The motor's capacitor stays charged after the plug is out. Let a licensed electrician discharge it.",
    "battery": "A battery gives off gas that explodes, and a ring that shorts it burns to the bone. Take "
    "rings off. Undo the lead of its earthed pole first.",
    "live": "Volts are measured on the running machine. Clip the leads on with the engine stopped, and stand where you "
    "can reach nothing that turns.",
    "switch": "Never bridge a seat, neutral, brake or guard switch. Test each of them before every use.",
}


#: What each kind does, in a word or two.
DOES = {
    "stop": "starts",
    "nip": "draws a hand in",
    "shaft": "winds on",
    "telescoping": "winds on",
    "coasting": "keeps turning",
    "caught": "catches, draws in",
    "thrown": "throws",
    "burst": "flies to pieces",
    "crush": "draws in",
    "spring": "springs back",
    "tightener": "draws a hand in",
    "centrifugal": "takes hold by itself",
    "raised": "falls",
    "heavy": "crushes",
    "spark": "fires",
    "compression": "fires",
    "exhaust": "poisons",
    "fuel": "burns",
    "hot": "burns",
    "mains": "kills by current",
    "restart": "starts by itself",
    "capacitor": "holds its charge",
    "battery": "explodes, burns",
    "live": "turns while you measure",
    "switch": "must not be bridged",
}


class Hazard(NamedTuple):
    """One hazard of one part: its kind, the part, where on it, and what to do about it."""

    kind: str
    part: str
    where: str
    care: str = ""


def hazards(reader: Reader) -> tuple[Hazard, ...]:
    """Return every hazard of a build, in the order of the torque's way."""
    finders = (_drive, _stages, _shafts, _clutch, _driveline, _work, _electrics, _lifting)
    safe = made_safe(reader.get("engine.kind"))
    return tuple(h._replace(care=CARE[h.kind].format(safe=safe)) for find in finders for h in find(reader))


def _drive(reader: Reader) -> Iterator[Hazard]:
    kind = reader.get("engine.kind")
    if not reader.has("engine") and kind is None:
        return
    yield Hazard("stop", "engine" if not is_motor(reader) else "motor", "before any work on the machine")
    if is_motor(reader):
        yield Hazard("mains", "motor", "its supply")
        yield Hazard("restart", "motor", "its overload switch")
        if _capacitor(reader):
            yield Hazard("capacitor", "motor", "beside or on top of its body")
        return
    # an engine of a kind that is not said may be either
    if kind in (None, "petrol engine"):
        yield Hazard("spark", "engine", "spark plug")
    if kind in (None, "diesel engine"):
        yield Hazard("compression", "engine", "fuel lever and starter")
    yield Hazard("exhaust", "engine", "where it runs")
    yield Hazard("fuel", "engine", "tank and lines")
    yield Hazard("hot", "engine", "exhaust and cylinder")


def _capacitor(reader: Reader) -> bool:
    """Tell whether a motor may have a capacitor: not where it is of three phases or starts without one."""
    starts = reader.get("engine.starts_by")
    if starts is not None:
        return "capacitor" in starts
    return reader.get("engine.phases") != 3


def _stages(reader: Reader) -> Iterator[Hazard]:
    for name in reader.names("stage"):
        at, kind = f"stage[{name}]", reader.get(f"stage[{name}].kind")
        if kind == "belt":
            pulleys = ", ".join(reader.names(f"{at}.pulley")) or "its pulleys"
            yield Hazard("nip", name, f"where the belt runs onto {pulleys}")
            held = reader.get(f"{at}.takeup.kind")
            if held in (None, "sprung idler", "weighted idler", "sliding motor"):
                yield Hazard("spring", name, "take-up")
            yield Hazard("burst", name, "rims of the pulleys")
        elif kind == "roller chain":
            takeup = reader.get(f"{at}.chain_takeup")
            also = {
                "idler sprocket": " and onto its idler sprocket",
                None: " and onto an idler sprocket, if it has one",
            }
            yield Hazard("nip", name, f"where the chain runs onto both sprockets{also.get(takeup, '')}")
        elif kind == "gear":
            yield Hazard("nip", name, "where the teeth meet")
        elif kind == "friction roller":
            yield Hazard("nip", name, "where the roller meets what it drives")
            yield Hazard("crush", name, "the turning drum or wheel")
        elif kind is None:
            yield Hazard("nip", name, "where its parts run together")


def _shafts(reader: Reader) -> Iterator[Hazard]:
    driven = [s for name in reader.names("stage") for s in shafts_driven(reader, name)]
    for name in dict.fromkeys((*reader.names("shaft"), *driven)):
        yield Hazard("shaft", name, "shaft, its ends, keys and screw heads")
    for name in reader.names("stage"):
        for pulley in reader.names(f"stage[{name}].pulley"):
            yield from _heavy(reader, pulley, f"stage[{name}].pulley[{pulley}].weight")
    for shaft in reader.names("shaft"):
        for load in reader.names(f"shaft[{shaft}].load"):
            yield from _heavy(reader, load, f"shaft[{shaft}].load[{load}].weight")


def _heavy(reader: Reader, part: str, key: str) -> Iterator[Hazard]:
    mass = reader.si(key)
    if mass is not None and at_least(mass, HEAVY):
        yield Hazard("heavy", part, reader.show(mass, "mass"))


def _clutch(reader: Reader) -> Iterator[Hazard]:
    kind = reader.get("clutch.kind")
    if reader.is_none("clutch") or not reader.has("clutch"):
        return
    # a clutch of a kind that is not said may be any
    if kind in (None, TIGHTENER):
        yield Hazard("tightener", "clutch", "belt and idler")
    if kind in (None, "centrifugal"):
        yield Hazard("centrifugal", "clutch", "drum")
    if kind != "direct":
        yield Hazard("hot", "clutch", "its faces after it has slipped")


def _driveline(reader: Reader) -> Iterator[Hazard]:
    if reader.has("driveline") and not reader.is_none("driveline"):
        yield Hazard("telescoping", "telescoping shaft", "tubes and both joints")


def _work(reader: Reader) -> Iterator[Hazard]:
    if not reader.has("work"):
        return
    name = reader.get("work.name") or "the work"
    yield Hazard("caught", name, "wherever it can be reached while it turns")
    yield Hazard("coasting", name, "after its drive lets go")
    throws = cuts(reader)
    if throws is not False:
        yield Hazard("thrown", name, "where it throws" if throws else "where it throws, if it does")
    for shaft in dict.fromkeys((None, *work_shafts(reader))):
        key = "work.weight" if shaft is None else f"shaft[{shaft}].work_weight"
        yield from _heavy(reader, name if shaft is None else f"{name} on {shaft}", key)


def _electrics(reader: Reader) -> Iterator[Hazard]:
    has_coil = not reader.is_none("clutch") and reader.get("clutch.kind") in (None, "electromagnetic")
    there = reader.has("circuit") and not reader.is_none("circuit")
    if there or (has_coil and reader.has("clutch")):
        yield Hazard("battery", "battery", "its poles and the air above it")
        yield Hazard("live", "clutch circuit", "wherever volts are read")
    if not there and reader.get("engine.starts_by") == "starter motor":
        yield Hazard("battery", "battery", "its poles and the air above it")
    for name in reader.names("circuit.interlock"):
        yield Hazard("switch", name, "switch")


def _lifting(reader: Reader) -> Iterator[Hazard]:
    if reader.names("driveline.attitude"):
        yield Hazard("raised", reader.get("work.name") or "the attachment", "under it, and at its hinge")


__all__ = ["CARE", "DOES", "Hazard", "hazards"]
