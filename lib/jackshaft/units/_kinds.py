"""The kinds of quantity, and the table of unit spellings made from them.

A kind is narrower than a dimension: a torque is no energy and a rotational speed is no frequency,
though the units library can turn each into the other.
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from functools import lru_cache

from ._factors import factor
from ._spellings import SPELLINGS


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity: what a field or an argument takes.

    Parameters
    ----------
    name : str
        The name fields and arguments declare it by.
    si : str
        The coherent SI unit the kernels count in, as the units library spells it.
    inch : str
        The unit an inch build shows it in.
    metric : str
        The unit a metric build shows it in.
    words : str
        The kind with its article, for messages.
    examples : tuple of str
        One text for an inch build and two for any build.
    """

    name: str
    si: str
    inch: str
    metric: str
    words: str
    examples: tuple[str, str, str]

    def examples_for(self, system: str) -> tuple[str, str]:
        """Two texts to type; a metric build is never offered an inch one."""
        return self.examples[1:] if system == "metric" else self.examples[:2]


KINDS: dict[str, Kind] = {
    k.name: k
    for k in (
        Kind("length", "meter", "in", "mm", "a length", ("1-3/8 in", "35 mm", "3.5 cm")),
        Kind("rotation", "radian/second", "rpm", "rpm", "a rotational speed", ("3600 rpm", "2600 r/min", "43 r/s")),
        Kind(
            "surface speed",
            "meter/second",
            "ft/min",
            "m/s",
            "a surface speed",
            ("2995 ft/min", "13.6 m/s", "800 m/min"),
        ),
        Kind("force", "newton", "lbf", "N", "a force", ("24 lbf", "110 N", "11 kgf")),
        Kind("torque", "newton*meter", "lbf·ft", "N·m", "a torque", ("45 lbf·ft", "60 N·m", "6 kgf·m")),
        Kind("energy", "joule", "ft·lbf", "J", "an energy", ("500 ft·lbf", "107 kJ", "700 J")),
        Kind("power", "watt", "hp", "kW", "a power", ("14 hp", "3 kW", "55 W")),
        Kind("current", "ampere", "A", "A", "a current", ("4.5 A", "350 mA", "4.5 A")),
        Kind("voltage", "volt", "V", "V", "a voltage", ("12 V", "340 mV", "12 V")),
        Kind("resistance", "ohm", "Ω", "Ω", "a resistance", ("2.9 Ω", "50 mΩ", "2.9 ohm")),
        Kind("angle", "radian", "°", "°", "an angle", ("20°", "0.35 rad", "20 deg")),
        Kind("mass", "kilogram", "lb", "kg", "a mass", ("11 lb", "5 kg", "800 g")),
        Kind("stress", "pascal", "ksi", "MPa", "a stress or pressure", ("54 ksi", "370 MPa", "6 bar")),
        Kind("time", "second", "s", "s", "a time", ("9 s", "150 h", "20 min")),
        Kind("temperature", "kelvin", "°F", "°C", "a temperature", ("68 °F", "20 °C", "293 K")),
        Kind("temperature rise", "kelvin", "°F", "K", "a temperature rise", ("144 °F", "80 K", "+80 K")),
        Kind(
            "inertia",
            "kilogram*meter**2",
            "lb·ft²",
            "kg·m²",
            "a moment of inertia",
            ("12 lb·ft²", "0.5 kg·m²", "900 kg·cm²"),
        ),
        Kind("area", "meter**2", "in²", "mm²", "an area", ("1.2 in²", "1.5 mm²", "30 cm²")),
        Kind("wire", "meter**2", "AWG", "mm²", "a wire size", ("16 AWG", "1.5 mm²", "2.5 mm²")),
        Kind("frequency", "hertz", "Hz", "Hz", "a frequency", ("60 Hz", "50 Hz", "1.2 kHz")),
        Kind(
            "linear density",
            "kilogram/meter",
            "lb/ft",
            "kg/m",
            "a mass for its length",
            ("0.07 lb/ft", "0.1 kg/m", "110 g/m"),
        ),
        Kind("spring rate", "newton/meter", "lbf/in", "N/mm", "a spring rate", ("12 lbf/in", "2.1 N/mm", "2100 N/m")),
        Kind("charge", "ampere*second", "A·h", "A·h", "a battery charge", ("18 Ah", "500 mAh", "18 A·h")),
        Kind("number", "dimensionless", "", "", "a plain number", ("1.2", "55 %", "0.55")),
        Kind("volume", "meter**3", "in³", "cm³", "a volume", ("25 in³", "400 cm³", "1.5 L")),
        Kind(
            "density", "kilogram/meter**3", "lb/in³", "kg/m³", "a density", ("0.284 lb/in³", "7850 kg/m³", "7.85 g/cm³")
        ),
        Kind(
            "acceleration", "meter/second**2", "ft/s²", "m/s²", "an acceleration", ("32.2 ft/s²", "9.81 m/s²", "0.5 g")
        ),
        Kind(
            "angular acceleration",
            "radian/second**2",
            "rad/s²",
            "rad/s²",
            "an angular acceleration",
            ("400 rpm/s", "40 rad/s²", "380 r/min/s"),
        ),
        Kind("second moment", "meter**4", "in⁴", "cm⁴", "a second moment of area", ("0.3 in⁴", "12 cm⁴", "4000 mm⁴")),
        Kind(
            "torsional stiffness",
            "newton*meter/radian",
            "lbf·ft/rad",
            "N·m/rad",
            "a torsional stiffness",
            ("900 lbf·ft/rad", "1200 N·m/rad", "20 N·m/deg"),
        ),
        Kind(
            "linear resistance",
            "ohm/meter",
            "mΩ/ft",
            "mΩ/m",
            "a resistance for its length",
            ("4.0 mΩ/ft", "13.2 mΩ/m", "13.2 Ω/km"),
        ),
        Kind("linear power", "watt/meter", "W/ft", "W/m", "a heat for its length", ("5.4 W/ft", "18 W/m", "20 W/m")),
        Kind(
            "temperature coefficient",
            "kelvin**-1",
            "%/K",
            "%/K",
            "a temperature coefficient",
            ("0.393 %/K", "0.00393 1/K", "0.393 %/K"),
        ),
        Kind(
            "specific heat",
            "joule/kilogram/kelvin",
            "Btu/lb·°F",
            "J/kg·K",
            "a specific heat",
            ("0.11 Btu/lb·°F", "460 J/kg·K", "0.46 kJ/kg·K"),
        ),
        Kind(
            "thermal conductance",
            "watt/kelvin",
            "W/K",
            "W/K",
            "a heat given off for each kelvin",
            ("1.7 W/K", "800 mW/K", "1.7 W/K"),
        ),
        Kind(
            "heat flux", "watt/meter**2", "W/mm²", "W/mm²", "a heat for its area", ("0.8 W/mm²", "90 W/cm²", "1 W/mm²")
        ),
        Kind("inductance", "henry", "mH", "mH", "an inductance", ("120 mH", "0.12 H", "120 mH")),
        Kind(
            "joule integral",
            "ampere**2*second",
            "A²·s",
            "A²·s",
            "a let-through (current squared by time)",
            ("300 A²·s", "300 A2s", "300 A²·s"),
        ),
    )
}


@dataclass(frozen=True, slots=True)
class Unit:
    """One spelling of one unit: si = value * factor + offset."""

    spelling: str
    factor: float
    offset: float
    pint: str
    note: str
    exact_case: bool


def kind_of(name: str) -> Kind:
    """The kind of this name, or a ValueError with the nearest one."""
    try:
        return KINDS[name]
    except (KeyError, TypeError):
        near = difflib.get_close_matches(str(name), KINDS, n=1)
        hint = f"; did you mean {near[0]!r}?" if near else ""
        raise ValueError(f"no kind of quantity is called {name!r}{hint}") from None


_POWERS = str.maketrans(
    {
        "²": "2",
        "³": "3",
        "⁴": "4",
        "¹": "1",
        "⁻": "-",
        "^": None,
        "Ω": "Ω",
        "µ": "μ",
        "⋅": "·",
        "•": "·",
        "*": "·",
        "∙": "·",
        "×": "·",
    }
)
_SLASH = re.compile(r"\s*(?:/|\bper\b)\s*")
_JOIN = re.compile(r"\.?\s*·\s*|\.?\s+|(?<=\w)\.?-(?=[^\W\d])|(?<=\w)\.(?=\w)")


@lru_cache(maxsize=4096)
def canon(unit: str) -> str:
    """One spelling for all the ways to separate and raise units: ``ft-lb``, ``ft lb`` and ``ft.lb`` alike."""
    u = unit.strip().translate(_POWERS).rstrip(".").replace("per cent", "percent").strip()
    u = re.sub(r"/\s*\(([^()]*)\)", r"/\1", u)
    u = _SLASH.sub("/", u.replace("° ", "°"))
    return _JOIN.sub("·", u)


def _table() -> tuple[dict[str, dict[str, Unit]], dict[str, dict[str, Unit]]]:
    exact: dict[str, dict[str, Unit]] = {}
    folded: dict[str, dict[str, Unit]] = {}
    for kind, block in SPELLINGS.items():
        exact[kind], folded[kind] = {}, {}
        for line in filter(str.strip, block.splitlines()):
            pint_unit, rest = (part.strip() for part in line.split("|"))
            names, _, note = rest.partition(">")
            size, offset = factor(pint_unit)
            for raw in names.split(","):
                word = raw.strip()
                strict = word.startswith("!")
                word = word.lstrip("!")
                made = Unit(word, size, offset, pint_unit, note.strip(), strict)
                for table, k in ((exact[kind], canon(word)), (folded[kind], canon(word).casefold())):
                    other = table.get(k)
                    if other is not None and other.factor != made.factor and table is exact[kind]:
                        raise ValueError(f"{kind}: {word!r} stands for two units")
                    if other is None and not (strict and table is folded[kind]):
                        table[k] = made
    return exact, folded


EXACT, FOLDED = _table()


def find_unit(kind: str, key: str) -> Unit | None:
    """The unit that this kind knows under this canonical key; capitals count where they would change it."""
    got = EXACT[kind].get(key)
    return got if got is not None else FOLDED[kind].get(key.casefold())


def kinds_knowing(key: str) -> list[str]:
    """All kinds in which this unit has a meaning."""
    return [name for name in EXACT if find_unit(name, key) is not None]
