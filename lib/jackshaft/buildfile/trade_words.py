"""What the trade calls the choices of a build file, so that a choice typed out is understood."""

from __future__ import annotations

import re

from jackshaft.buildfile.schema import Field

#: A word that means two things in a shop (motor, roller, cast) is left out, so that it is asked about.
#: For each choice what else it is called; how it is spelled, in capitals or with hyphens, makes no difference.
CALLED: dict[str, tuple[str, ...]] = {
    "petrol engine": ("petrol", "petrol motor", "gas", "gas engine", "gas motor", "gasoline", "gasoline engine"),
    "diesel engine": ("diesel", "diesel motor"),
    "electric motor": ("electric", "mains motor"),
    "three-phase": ("3 phase", "three phases"),
    "capacitor start and run": ("capacitor start capacitor run", "two-value capacitor"),
    "capacitor start": ("cap start", "capacitor start induction run"),
    "split phase": ("resistance start",),
    "permanent capacitor": ("permanent split capacitor", "psc", "capacitor run"),
    "clockwise": ("cw", "clock wise", "with the clock"),
    "counter-clockwise": ("ccw", "counterclockwise", "anticlockwise", "anti-clockwise", "acw", "against the clock"),
    "facing the engine's output shaft": (
        "facing shaft",
        "facing output shaft",
        "facing engine shaft",
        "facing engine output shaft",
        "seen facing shaft",
        "from shaft end",
        "from output end",
        "shaft end",
        "output end",
    ),
    "from behind the engine": ("behind", "from behind", "behind engine", "seen from behind", "from back", "back"),
    # what may be the engine's shaft end or the work's own is asked about where both are choices
    "facing its own shaft end": (
        "its own shaft end",
        "its shaft end",
        "own shaft end",
        "from its own shaft end",
        "from its shaft end",
        "facing its shaft end",
        "facing shaft",
        "from shaft end",
        "shaft end",
    ),
    "as the engine's shaft does": ("same way", "same way as engine", "as engine", "same"),
    "the other way": ("other way", "against engine", "opposite", "opposite way"),
    "inch": ("inches", "in", "imperial"),
    "metric": ("mm", "millimetres", "millimeters", "si"),
    "proposed": ("planned", "drawn", "idea"),
    "being built": ("under construction", "building"),
    "running": ("in use", "engine running", "works"),
    "taken apart": ("dismantled", "in pieces"),
    "outdoors": ("outside", "in the open", "open air"),
    "under cover": ("covered", "under a roof", "lean-to"),
    "indoors": ("inside", "in the shop"),
    "belt": ("belts", "v-belt", "v-belts", "vee belt", "vee belts", "flat belt", "belt drive"),
    "roller chain": ("chain", "chain drive"),
    "closed": ("enclosed", "boxed in", "solid", "full cover"),
    "mesh or slots": ("mesh", "expanded metal", "slots", "grille", "wire mesh"),
    "nips only": ("nip guard", "nip guards"),
    "press fit": ("pressed", "press-fit link"),
    "slip fit": ("spring clip", "clip", "cotter", "cottered", "master link"),
    "offset": ("offset link", "half link"),
    "idler sprocket": ("chain tensioner", "tensioner"),
    "drip or bath": ("drip", "oil bath", "bath"),
    "gear": ("gears", "spur gear", "spur gears", "gear pair"),
    "gearbox": ("gear box", "gear case", "reducer", "speed reducer"),
    "friction roller": ("friction wheel", "friction drive"),
    "pitch": ("pitch diameter", "pitch length", "pitch line", "pd"),
    "datum": ("datum diameter", "datum length"),
    "effective": ("effective diameter", "effective length"),
    "outside": ("outside diameter", "outside length", "od", "outer"),
    "inside": ("inside length", "inner length"),
    "groove": ("grooved", "v-groove", "vee groove"),
    "flat": ("flat face", "smooth"),
    "steel": ("mild steel", "machined steel"),
    "cast iron": ("grey iron", "gray iron"),
    "ductile iron": ("nodular iron", "sg iron"),
    "aluminium": ("aluminum", "alu"),
    "pressed sheet": ("pressed steel", "stamped steel", "sheet metal", "sheet steel"),
    "plastic": ("nylon", "polymer"),
    "sprung idler": ("spring idler", "spring-loaded idler", "spring"),
    "weighted idler": ("weight idler", "dead weight", "weight"),
    "fixed idler": ("bolted idler", "idler that is fixed"),
    "adjustable centres": (
        *("adjustable centers", "slotted mount", "moving centres", "moving centers"),
        *("motor on slides", "motor rails", "slide rails", "slide base"),
    ),
    "sliding motor": ("sliding engine", "spring-loaded motor", "motor on a spring"),
    "uniform": ("smooth", "steady", "even"),
    "light shock": ("light",),
    "medium shock": ("medium", "moderate", "moderate shock"),
    "heavy shock": ("heavy",),
    "same at every speed": ("constant", "constant torque"),
    "in step with speed": ("linear", "with speed"),
    "with the square of speed": ("square", "fan", "as a fan"),
    "disc": ("disk", "solid disc", "solid disk"),
    "rim": ("ring", "wheel rim"),
    "bar across the axis": ("bar", "blade"),
    "electromagnetic": ("electric", "magnetic", "electric clutch", "electromagnetic clutch"),
    "centrifugal": ("centrifugal clutch",),
    "idler": ("belt idler", "idler clutch", "belt tightener", "tightener"),
    "direct": ("always engaged", "no clutch between"),
    "blade": ("blade fuse", "spade", "spade fuse"),
    "glass": ("glass fuse", "glass tube", "tube fuse"),
    "circuit breaker": ("breaker",),
    "wire": ("return wire",),
    "chassis": ("frame", "body", "earth", "ground", "chassis ground"),
    "not connected": ("open", "unconnected"),
    "diode": ("flyback diode", "freewheel diode", "free-wheeling diode"),
    "diode and zener": ("zener", "diode with zener"),
    "TVS": ("transient suppressor",),
    "not marked": ("unmarked", "nothing"),
    "open": ("no seal", "no shield"),
    "shielded": ("shield", "shields", "metal shields"),
    "sealed": ("seal", "seals", "rubber seals"),
    "machined or cold-drawn": ("machined", "turned", "cold-drawn", "cold-rolled"),
    "ground": ("polished", "precision ground"),
    "hot-rolled": ("black",),
    "parallel key": ("key", "keyed", "square key"),
    "set screws": ("set screw", "grub screw", "grub screws"),
    "eccentric collar": ("collar", "locking collar", "eccentric locking collar"),
    "adapter sleeve": ("adapter", "clamping sleeve"),
    "pillow block": ("plummer block", "foot", "foot mount"),
    "square flange": ("four-bolt flange", "4-bolt flange"),
    "oval flange": ("two-bolt flange", "2-bolt flange"),
    "take-up unit": ("take-up", "take-up frame"),
    "pressed steel": ("stamped steel", "sheet metal"),
    "split hub": ("clamp hub", "clamping hub"),
    "weld ring": ("weld-on hub", "welded", "weld rings"),
    "taper bush": ("taper bushing", "tapered bush", "tapered bushing"),
    "spline": ("splines", "splined"),
    "calipers": ("caliper", "vernier", "vernier calipers", "vernier caliper"),
    "micrometer": ("mic", "mike"),
    "bore gauge": ("bore gage",),
    "telescoping gauge": ("telescoping gage",),
    "steel rule": ("rule", "ruler"),
    "tape": ("tape measure", "tape rule"),
    "inner": ("inner ring", "inside"),
    "outer": ("outer ring", "outside"),
    "battery only": ("battery", "engine off"),
    "operator presence": ("seat switch", "operator", "dead man"),
    "away from the engine": ("away",),
    "toward the engine": ("toward", "towards", "towards the engine"),
}

#: What the engine's shaft is called where a part's name is wanted.
CRANK = ("crank", "crankshaft", "crank shaft", "engine shaft", "engine crank", "engine crankshaft", "motor shaft")

SMALL_WORDS = ("a", "an", "the", "s")


def plain(text: str) -> str:
    """Return a text without capitals, hyphens, points, articles and genitives."""
    words = re.sub(r"[^\w]+", " ", text.casefold().replace("_", " ")).split()
    return " ".join(w for w in words if w not in SMALL_WORDS)


def names_of(field: Field) -> dict[str, str]:
    """Return every plain text that means a choice of a field; what a field calls two of its choices means none."""
    found: dict[str, str | None] = {}
    for choice in field.choices:
        for words in CALLED.get(choice, ()):
            found[plain(words)] = choice if found.get(plain(words), choice) == choice else None
    # what the choices themselves are called comes before what else they are called
    return {k: v for k, v in found.items() if v is not None} | {plain(c): c for c in field.choices}


def meant(field: Field, text: str) -> str | None:
    """Return the choice of a field that a text means, or None."""
    return text if text in field.choices else names_of(field).get(plain(text))


def meant_first(field: Field, text: str) -> tuple[str, str] | None:
    """Return the choice that the first words of a text mean, as many as do, and the words that are left."""
    words, names = plain(text).split(), names_of(field)
    for n in range(len(words), 0, -1):
        if choice := names.get(" ".join(words[:n])):
            return choice, " ".join(words[n:])
    return None


def part_meant(text: str, names: tuple[str, ...]) -> str:
    """Return the engine where a text is what its shaft is called and no part has that name, or the text."""
    return "engine" if "engine" in names and text not in names and plain(text) in CRANK else text


__all__ = ["CALLED", "CRANK", "meant", "meant_first", "names_of", "part_meant", "plain"]
