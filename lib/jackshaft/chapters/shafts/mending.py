"""Ways to mend a worn keyseat or spline: torque after it, what is left of the shaft, and how it comes apart again."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.chapters.ratio.analysis import ENGINE
from jackshaft.chapters.shafts.data import KEY_YIELD, Sound
from jackshaft.mechanics import joints, keys, shaft_strength, shafts, splines, welds
from jackshaft.parts import seldom
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.results.reader import Reader
from jackshaft.units import at_least

#: All common practice, no source: a sleeve is a tenth of the shaft thick all round, a pressed one is a thousandth
#: tighter than its seat, a cross pin is a quarter of what it goes through, a weld's leg a fifth of the shaft.
TURNED, TIGHT, PIN, LEG = 0.8, 1e-3, 0.25, 0.2
WIDER = 1.25
FRICTION = 0.12  # hub on shaft, oily or painted: common practice, no source

E70 = 482e6  # weld metal, table materials
WANTED = 1.5  # factor on the peak torque: common practice, no source
KEY, SPLINE = "parallel key", "spline"


class Way(NamedTuple):
    """One way to mend: for which joints, what feature it leaves in the shaft, and how it comes apart."""

    kinds: tuple[str, ...]
    feature: str
    words: str


WAYS = {
    "wider seat, stepped key": Way(
        (KEY,),
        "end-milled keyseat",
        "The seat is milled clean and a quarter wider, the key is stepped; it comes apart as before.",
    ),
    "new keyseat opposite": Way(
        (KEY,),
        "end-milled keyseat",
        "The old seat stays as a notch, so it counts as two seats; the hub turns "
        "half round or gets a second seat. It comes apart as before.",
    ),
    "new keyseat a quarter round": Way(
        (KEY,),
        "end-milled keyseat",
        "As the seat opposite, and the shaft is no longer in balance by "
        "itself; the hub gets a second seat. It comes apart as before.",
    ),
    "sleeve, pinned": Way(
        (KEY, SPLINE),
        "cross hole or screw dimple",
        "The shaft is turned down under a sleeve with a new seat; one "
        "cross pin holds it. Drive the pin out and the sleeve comes off.",
    ),
    "sleeve, pressed on": Way(
        (KEY, SPLINE),
        "press-fit edge",
        "The shaft is turned down under a sleeve with a new seat; heat and a "
        "puller take it off. Let it end away from the bearing.",
    ),
    "cross pin through the hub": Way(
        (KEY, SPLINE),
        "cross hole or screw dimple",
        "One pin through hub and shaft takes the torque; it "
        "shears before the shaft, drives out, and its hole weakens the shaft.",
    ),
    "key welded in": Way(
        (KEY,),
        "weld",
        "A bead at each end of the key holds little and cracks early; the next repair grinds it off "
        "and finds a worse seat.",
    ),
    "hub welded on": Way(
        (KEY, SPLINE),
        "weld",
        "A ring all round; the next repair cuts the hub off, and the metal beside the weld is "
        "weaker. Read the cautions on welding.",
    ),
}


class Mended(NamedTuple):
    """One way worked out: torque the joint carries, N·m, how it gives, share of the plain shaft's torque, and words."""

    name: str
    carries: float
    gives: str
    share: float
    words: str


def ways_for(kind: str, shaft: str) -> tuple[str, ...]:
    """Return the ways that belong to a joint; none welds on an engine's shaft, with its seals and races beside it."""
    return tuple(n for n, way in WAYS.items() if kind in way.kinds and not (shaft == ENGINE and way.feature == "weld"))


def mend(name: str, sound: Sound) -> Mended:
    """Work one way out.

    Raises
    ------
    ValueError
        If it does not belong to such a joint, or its pin or seat is too large for the shaft.
    """
    if sound.kind not in WAYS[name].kinds:
        raise ValueError(f"'{name}' does not mend a {sound.kind}")
    carries, gives = _carries(name, sound)
    return Mended(name, float(carries), gives, share_left(name, sound), WAYS[name].words)


def share_left(name: str, sound: Sound) -> float:
    """Return the share of the plain shaft's torque that is left under a mended joint."""
    core, seat = _core(name, sound), _seat(name, sound)
    hole = keys.pinned_share(core, _pin(name, sound)) if "pin" in name else 1.0
    return float((core / sound.shaft) ** 3 * seat * hole)


def left(name: str, sound: Sound) -> float:
    """Return the diameter that counts for the section's bending and torque, m.

    The raiser of a keyseat or a hole covers one of them; what a second seat or a wider one takes away more
    counts as a thinner shaft of the same torque.
    """
    core, seat = _core(name, sound), _seat(name, sound)
    first = _seat("", sound) if WAYS[name].feature == "end-milled keyseat" else 1.0
    return float(core * (seat / first) ** (1 / 3))


def _core(name: str, sound: Sound) -> float:
    if sound.root is not None:
        return sound.root
    return TURNED * sound.shaft if name.startswith("sleeve") else sound.shaft


def _seat(name: str, sound: Sound) -> float:
    """Return the share of torque that the keyseats leave; a sleeve's seat does not reach the shaft."""
    if sound.kind != KEY or name.startswith("sleeve"):
        return 1.0
    depth = keys.seat_depth_si(sound.width, sound.height)
    if name.startswith("new keyseat"):
        return keys.keyed_share(sound.shaft, sound.width, depth, keyseats=2)
    return keys.keyed_share(sound.shaft, sound.width * (WIDER if name.startswith("wider") else 1.0), depth)


def _pin(name: str, sound: Sound) -> float:
    return sound.pin if sound.pin is not None else PIN * _core(name, sound)


def _carries(name: str, sound: Sound) -> tuple[float, str]:
    shear, core = sound.key_yield / np.sqrt(3), _core(name, sound)
    if name == "sleeve, pinned":
        pin = joints.shear_pin_torque.si(_pin(name, sound), core / 2, shear, planes=2)
        return min((pin, "the pin shears"), (sound.carries, "the new seat, as before"))
    if name == "sleeve, pressed on":
        press = joints.press_torque.si(
            TIGHT * core, core, sound.shaft, sound.length, friction=FRICTION, elastic_modulus=shafts.STEEL_E
        )
        return min((press.torque, "the sleeve slips"), (sound.carries, "the new seat, as before"))
    if name == "cross pin through the hub":
        return joints.shear_pin_torque.si(_pin(name, sound), sound.shaft / 2, shear, planes=2), "the pin shears"
    allowed = welds.weld_allowed.si(E70, reversing=True)
    if name == "key welded in":
        # a bead as wide as the key at each of its ends, its leg half the key's height
        bead = allowed * np.sqrt(0.5) * (sound.height / 2) * 2 * sound.width * sound.shaft / 2
        return min((bead, "the beads crack"), (sound.carries, "the key, as before"))
    if name == "hub welded on":
        one = welds.weld_ring.si(sound.shaft, LEG * sound.shaft, 1.0, moment=sound.moment or 0.0)
        words = "the weld's throat" + (", bending left out" if sound.moment is None else ", its bending counted")
        return np.sqrt(max(allowed**2 - one.bending**2, 0.0)) / one.torsion, words
    return sound.carries, "the key, as before"


def on_shaft(reader: Reader, here: str, kind: str, size: float | None) -> tuple[str | None, float | None]:
    """Return the feature a joint leaves in the shaft where it is not the usual one, and the diameter left, m.

    Parameters
    ----------
    reader : Reader
        Reads the build.
    here : str
        Key of the joint.
    kind : str
        Kind of joint.
    size : float or None
        Diameter of the shaft there, m.
    """
    sound = sound_of(reader, here, kind, size)
    if sound is None:
        return None, None
    name = reader.get(f"{here}.repair")
    if name is None or kind not in WAYS[name].kinds:
        return None, sound.root
    try:
        return WAYS[name].feature, left(name, sound)
    except ValueError:
        # sizes that cannot be: the joint's own check says which
        return WAYS[name].feature, None


def sound_of(reader: Reader, here: str, kind: str, size: float | None) -> Sound | None:
    """Return a keyed or splined joint as it was cut; None for other kinds, or where its sizes are not known."""
    length, strength = reader.si(f"{here}.length", 0.0), reader.si(f"{here}.key_yield", KEY_YIELD)
    sound = Sound(kind, size, 0.0, length, pin=reader.si(f"{here}.pin"), key_yield=strength)
    if kind == SPLINE and reader.get(f"{here}.profile") is not None:
        profile = profile_of(reader, here)
        return sound._replace(shaft=profile.nominal, root=profile.root)
    width = reader.si(f"{here}.width") if kind == KEY else None
    if width is None or size is None:
        return None
    return sound._replace(width=width, height=reader.si(f"{here}.height", keys.usual_height_si(width)))


def profile_of(reader: Reader, here: str) -> splines.Profile:
    """Return the spline that a joint names; "type 1, 540 rpm" is type and speed.

    Raises
    ------
    Unknown
        If the joint does not say which.
    """
    words = reader.require(f"{here}.profile").replace(",", " ").split()
    return splines.profile.si(int(words[1]), float(words[2]))


def verdict(mended: Mended, shaft: float, strength: float | None, peak: float | None, once: float | None = None) -> str:
    """Return go, caution or stop for one way against the peak torque, N·m; no word where that is not known.

    Parameters
    ----------
    mended : Mended
        The way.
    shaft : float
        Diameter of the shaft, m.
    strength : float or None
        Its yield strength, Pa; where it is not known the joint alone is judged.
    peak : float or None
        Torque it must carry, N·m.
    once : float or None
        Torque, N·m, of a case that comes seldom; None where there is none.
    """
    if not peak:
        return ""
    carried = [mended.carries]
    if strength is not None:
        carried.append(mended.share * float(shaft_strength.torque_at_yield.si(strength, shaft)))
    least = min(carried) / peak
    often = GO if at_least(least, WANTED) else CAUTION if at_least(least, 1.0) else STOP
    return seldom.joined(often, seldom=not once or seldom.holds(min(carried) / once))
