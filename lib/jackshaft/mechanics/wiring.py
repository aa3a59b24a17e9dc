"""Wire of a low-voltage circuit: trade size, resistance, drop, ampacity.

Kernel units: ohm, A, V, m, m2, K. Wire is known by its copper area; the table tells which trade size
that is and what it may carry.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jackshaft.tables import table
from jackshaft.units import FOOT, THOU, ZERO_C, OutOfRange, above_zero, awg_area, copper_resistivity, unit_checked

CMIL = math.pi / 4.0 * THOU**2
CLASSES = (60, 75, 80, 90, 105, 125, 200)


class WireSize(NamedTuple):
    """A trade size of wire: system and name, area (m²), solid and worst resistance at 20 °C (ohm/m)."""

    system: str
    size: str
    area: float
    r20: float
    r20_worst: float
    listed: bool


class Ampacity(NamedTuple):
    """What a wire may carry as it lies: derated and table current (A), the two factors, what it rests on."""

    amps: float
    table_amps: float
    space_factor: float
    bundle_factor: float
    inside: bool
    basis: str


def gauge_number(size: str) -> int:
    """Number of a wire gauge for the formula: 16 for "16", 0 for "1/0", -3 for "4/0".

    Parameters
    ----------
    size : str
        Gauge as it is written.

    Returns
    -------
    int
        The number n in the gauge formula.

    Raises
    ------
    ValueError
        The text is no gauge from 4/0 to 40.

    Source
    ------
    astm-b258; numbering from memory.
    """
    text = size.strip().upper().removesuffix("AWG").strip()
    number = None
    if text.endswith("/0") and text[:-2].isdigit():
        number = 1 - int(text[:-2])
    elif text and set(text) == {"0"}:
        number = 1 - len(text)
    elif text.isdigit():
        number = int(text)
    if number is None or not -3 <= number <= 40:
        raise OutOfRange(f"{size!r} is no wire gauge from 4/0 to 40")
    return number


@unit_checked(area="wire", returns={"area": "wire"})
def wire_size(area) -> WireSize:
    """Find the trade size that a copper area is: true gauge, automotive gauge or metric.

    Parameters
    ----------
    area : wire
        Copper area (m²).

    Returns
    -------
    WireSize
        System ("AWG", "SAE", "mm2", or "" for no listed size), name, area, resistance per metre at 20 °C
        of solid copper and the highest that wire of this name may have (ohm/m), and whether it is listed.

    Raises
    ------
    ValueError
        An area of zero or below.

    Source
    ------
    Table wire; worst figures by automotive area (marine-wire) or class limit (iec60228, iso6722).
    """
    above_zero(wire_area=area)
    solid = copper_resistivity() / area
    listed = [
        (abs(area * 1e6 / row[column] - 1.0), row, system or row["system"])
        for row in table("wire").rows
        for column, system in (("area_mm2", ""), ("sae_area_mm2", "SAE"))
        if row[column]
    ]
    off, row, system = min(listed, key=lambda found: found[0])
    # neighbours of different systems lie 0.3 % apart at the closest; printed areas are rounded to less
    if off > 0.004:
        return WireSize(system="", size="", area=area, r20=solid, r20_worst=solid, listed=False)
    limits = [row[f"{c}_ohm_per_km"] for c in ("class5_max", "iso6722_max", "sae_r20")]
    worst = max([solid, *(x / 1000.0 for x in limits if x)])
    return WireSize(system=system, size=row["size"], area=area, r20=solid, r20_worst=worst, listed=True)


def automotive_area_si(area: float) -> float:
    """Return the copper area that automotive wire of a gauge number has.

    Parameters
    ----------
    area : float
        Copper area of true gauge (m²).

    Returns
    -------
    float
        Copper area of automotive wire of that number (m²); the area itself where it is no gauge that
        automotive wire is made in.

    Raises
    ------
    ValueError
        An area of zero or below.

    Source
    ------
    Table wire, automotive areas (marine-wire).
    """
    above_zero(wire_area=area)
    for row in table("wire").rows:
        if row["sae_area_mm2"] and abs(area * 1e6 / row["area_mm2"] - 1.0) <= 0.004:
            return row["sae_area_mm2"] * 1e-6
    return area


@unit_checked(area="wire", length="length", temperature="temperature", returns="resistance")
def wire_resistance(area, *, length, temperature=ZERO_C + 20.0):
    """Resistance of a run of copper wire.

    Parameters
    ----------
    area : wire
        Copper area (m²).
    length : length
        Length of copper the current passes, there and back together (m).
    temperature : temperature
        Temperature of the wire (K); 20 °C unless given.

    Returns
    -------
    resistance
        Resistance (ohm).

    Raises
    ------
    ValueError
        An area of zero or below, or a negative length.

    Source
    ------
    IEC 60028 as in `units.copper_resistivity`; from memory.
    """
    above_zero(wire_area=area)
    if np.any(np.asarray(length) < 0.0):
        raise OutOfRange("a length of wire cannot be negative")
    return copper_resistivity(temperature) * length / area


@unit_checked(current="current", loop="length", drop="voltage", constant="number", returns="wire")
def wire_for_drop(current, *, loop, drop, constant=10.75):
    """Copper area that keeps the drop of a run within a limit.

    Parameters
    ----------
    current : current
        Current (A).
    loop : length
        Length there and back (m).
    drop : voltage
        Drop allowed in the wire (V).
    constant : number
        Ohm·circular mil per foot: 10.75 in boat practice (warm wire), 10.37 at 20 °C.

    Returns
    -------
    wire
        Least copper area (m²); take the next size up, by its true copper.

    Raises
    ------
    ValueError
        A drop of zero or below.

    Source
    ------
    abyc-e11: circular mils = K I L / E.
    """
    above_zero(allowed_drop=drop)
    return constant * CMIL / FOOT * current * loop / drop


def next_size_si(area: float, *, system: str = "AWG") -> WireSize | None:
    """Smallest listed size with at least this copper.

    Parameters
    ----------
    area : float
        Least copper area (m²).
    system : str
        "AWG" for true gauge, "SAE" for automotive wire of that number, "mm2".

    Returns
    -------
    WireSize or None
        The size, or None where the list ends below it.

    Raises
    ------
    ValueError
        An unknown system.

    Source
    ------
    Table wire.
    """
    columns = {"AWG": ("AWG", "area_mm2"), "SAE": ("AWG", "sae_area_mm2"), "mm2": ("mm2", "area_mm2")}
    if system not in columns:
        raise OutOfRange(f"wire system {system!r}: AWG, SAE or mm2")
    kind, column = columns[system]
    fitting = [r[column] for r in table("wire").rows if r["system"] == kind and r[column]]
    fitting = [a for a in fitting if a >= area * 1e6 * (1.0 - 1e-9)]
    return wire_size.si(min(fitting) * 1e-6) if fitting else None


def _table_current(size: WireSize, column: str) -> tuple[float, bool, str]:
    """Current in one column for an area: the row itself, between two rows, or off the end by heat balance."""
    kind = "mm2" if size.system == "mm2" else "AWG"
    rows = [r for r in table("wire").rows if r["system"] == kind and r[column]]
    areas = np.array([r["area_mm2"] for r in rows]) * 1e-6
    amps = np.array([r[column] for r in rows])
    if size.system == "SAE":
        true = awg_area(gauge_number(size.size))
        amp, inside, words = _table_current(
            WireSize(system="AWG", size=size.size, area=true, r20=0.0, r20_worst=0.0, listed=True), column
        )
        # the same heat in less copper
        return amp * math.sqrt(size.area / true), inside, words + ", less for automotive copper"
    order = np.argsort(areas)
    areas, amps = areas[order], amps[order]
    hit = np.flatnonzero(np.abs(areas / size.area - 1.0) < 0.004)
    if len(hit):
        return float(amps[hit[0]]), True, f"listed, {kind} {size.size}"
    if areas[0] < size.area < areas[-1]:
        between = math.exp(np.interp(math.log(size.area), np.log(areas), np.log(amps)))
        return between, True, "between two listed sizes"
    end = 0 if size.area < areas[0] else -1
    # heat of the current against surface: current goes with area^0.75 below the list; kept level above it
    share = (size.area / areas[end]) ** 0.75 if end == 0 else 1.0
    words = "starts" if end == 0 else "ends"
    return float(amps[end] * share), False, f"outside the list, which {words} at {areas[end] * 1e6:.3g} mm²"


@unit_checked(
    area="wire", insulation="temperature", bundled="number", returns={"amps": "current", "table_amps": "current"}
)
def ampacity(area, *, insulation, engine_space=False, bundled=1) -> Ampacity:
    """Current a wire may carry all day as it lies.

    Parameters
    ----------
    area : wire
        Copper area (m²).
    insulation : temperature
        Temperature its insulation is rated for (K).
    engine_space : bool
        It runs in the engine space (50 °C air) and not in the open (30 °C).
    bundled : number
        Current-carrying wires in one bundle, this one counted.

    Returns
    -------
    Ampacity
        Derated and table current (A), the factors, ``inside`` False where the list does not reach that
        size, and the basis in words.

    Raises
    ------
    ValueError
        Insulation below 60 °C, or a bundle below one wire.

    Source
    ------
    cfr-183-425 table 5 and note; iso10133 (from memory) for metric; bundling-ul1426.
    """
    celsius = insulation - ZERO_C
    # a class between two columns is read in the cooler one
    usable = [c for c in CLASSES if c <= celsius + 0.05]
    if not usable:
        raise OutOfRange(f"insulation rated {celsius:.0f} °C: the table starts at 60 °C")
    if bundled < 1:
        raise OutOfRange("a bundle holds at least the wire itself")
    size = wire_size.si(area)
    kind = "mm2" if size.system == "mm2" else "AWG"
    rows = [r for r in table("wire").rows if r["system"] == kind]
    used = max(c for c in usable if any(r[f"ampacity_{c}c_a"] for r in rows))
    amps, inside, words = _table_current(size, f"ampacity_{used}c_a")
    space = 1.0
    if engine_space:
        space = next(
            r["factor"]
            for r in table("wire_derating").rows
            if r["cause"] == "engine space at 50 C" and r["insulation_c"] == used
        )
    bundle = 1.0
    for row in table("wire_derating").where(cause="bundle"):
        if row["from_count"] <= bundled <= (row["to_count"] or math.inf):
            bundle = row["factor"]
    return Ampacity(
        amps=amps * space * bundle,
        table_amps=amps,
        space_factor=space,
        bundle_factor=bundle,
        inside=inside,
        basis=f"{words}, {used} °C column",
    )
