"""Numbers of the shafts to work by hand: a key, and the safety of the weakest place against fatigue."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.ratio.analysis import ENGINE
from jackshaft.chapters.shafts.data import ShaftsData
from jackshaft.chapters.shafts.sections import FEATURES, RELIABILITY
from jackshaft.mechanics import stress_raisers
from jackshaft.results.by_hand import Worked, worked
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.units import NotKnown


def key(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The torque at which the first parallel key gives way."""
    data: ShaftsData | None = found["shafts"].data
    keys = [j for j in data.joints if j.kind == "parallel key" and j.capacity.sound] if data else []
    keys.sort(key=lambda j: j.shaft == ENGINE)  # the engine's own is worked on the page of the chain
    if not keys:
        return NotKnown("No parallel key of this build is known well enough to work it by hand.")
    joint, sound = keys[0], keys[0].capacity.sound
    hub = None if joint.shaft == ENGINE else reader.si(f"shaft[{joint.shaft}].joint[{joint.name}].hub_yield")
    weaker = sound.key_yield if hub is None else hub
    return worked(
        f"Key {joint.name} on the shaft {joint.shaft}",
        reader.system,
        takes={
            "shaft": (sound.shaft, "length"),
            "width": (sound.width, "length"),
            "height": (sound.height, "length"),
            "length": (sound.length, "length"),
            "key_yield": (sound.key_yield, "stress"),
            "seat_yield": (weaker, "stress"),
        },
        says={"torque": (sound.carries, "torque")},
        call="key_capacity({shaft}, {width}, {height}, {length}, key_yield={key_yield}, seat_yield={seat_yield})",
    )


def weakest(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The safety at work of the weakest place of the first shaft that is worked out."""
    data: ShaftsData | None = found["shafts"].data
    state = next((s for s in data.shafts.values() if s.sections), None) if data else None
    if state is None:
        return NotKnown("No shaft of this build is known well enough to work its safety by hand.")
    place = state.sections[0]

    raiser = stress_raisers.raiser(FEATURES[place.feature])
    return worked(
        f"Shaft {state.name} at {place.name}, {place.feature}",
        reader.system,
        takes={
            "moment": (place.moment, "torque"),
            "torque": (place.torque, "torque"),
            "torque_ripple": float(place.ripple),
            "diameter": (place.diameter, "length"),
            "bore": (place.bore, "length"),
            "tensile": (state.steel.tensile, "stress"),
            "yield_stress": (state.steel.yield_stress, "stress"),
            "finish": place.finish,
            "reliability": RELIABILITY,
            "raiser": [float(raiser.bending), float(raiser.torsion)],
        },
        says={"fatigue": (place.fatigue, "number")},
        call="strength(duty({moment}, {torque}, torque_ripple={torque_ripple}), {diameter}, "
        "endurance=endurance_limit({tensile}, {diameter}, finish={finish}, reliability={reliability}), "
        "tensile={tensile}, yield_stress={yield_stress}, raiser={raiser}, bore={bore})",
    )


EXAMPLES = {"key": key, "weakest": weakest}
