"""What bounds a ball bearing beside its basic life: reliability, film, static load, speed, least load."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.units import RPM, OutOfRange, unit_checked

# The light sections, by series: the page read on axial loads and the tabulated speed limits name all five.
LIGHT_SERIES = ("618", "619", "160", "161", "60")
SPEED_FACT = {
    "open": "speed number, open, grease",
    "shielded": "speed number, capped, grease",
    "sealed": "speed number, capped, grease",
}


class Lubrication(NamedTuple):
    """Life factor for lubrication and dirt.

    Parameters
    ----------
    a_iso : float
        Factor a_ISO, between 0.1 and 50.
    kappa : float
        Viscosity over the viscosity needed.
    needed_viscosity : float
        Kinematic viscosity needed at running temperature, m2/s.
    flags : tuple of str
        Where a limit of the method was met.
    """

    a_iso: float
    kappa: float
    needed_viscosity: float
    flags: tuple


def reliability_factor(percent, *, edition="2007"):
    """Factor a1 on the life for a reliability above 90 per cent.

    Parameters
    ----------
    percent : float
        Share of bearings that shall survive, 90 to 99.95.
    edition : str
        "2007" or "1990"; the two differ by a few per cent.

    Returns
    -------
    float
        a1, interpolated between the rows.

    Raises
    ------
    ValueError
        Outside the table of that edition.

    Source
    ------
    gost18855, table 12; the edition of 1990 from memory.
    """
    table = tables.table("bearing_reliability").where(edition=edition)
    if not len(table):
        raise OutOfRange(f"edition {edition!r} is not known; choose 2007 or 1990")
    rows = table.column("reliability_percent")
    if not rows[0] <= percent <= rows[-1]:
        raise OutOfRange(f"a reliability of {percent:g} % is outside the table, {rows[0]:g} to {rows[-1]:g} %")
    return float(np.interp(percent, rows, table.column("a1")))


def lubrication_si(speed, bore, od, viscosity, load, static, *, cleanliness):
    """Life factor for the grease film and the dirt in it.

    Parameters
    ----------
    speed : float
        rad/s.
    bore, od : float
        m.
    viscosity : float
        Of the base oil at running temperature, m2/s.
    load : float
        Equivalent load P, N.
    static : float
        Modern C0, N.
    cleanliness : float
        e_C: 0.6 to 0.8 sealed for life, 0.1 to 0.3 outdoors, 0 to 0.1 severe dirt.

    Returns
    -------
    Lubrication
        a_ISO and the film ratio, with flags where a limit was met.

    Raises
    ------
    ValueError
        If there is no speed, no load, or cleanliness is outside 0 to 1.

    Source
    ------
    gost18855, clause 9; fatigue limit C0/22 from memory (catalogues: C0/14 to C0/24).
    """
    if speed <= 0 or load <= 0 or not 0 <= cleanliness <= 1:
        raise OutOfRange("the film needs a speed, a load and a cleanliness from 0 to 1")
    rpm, mean = speed * 30 / np.pi, (bore + od) / 2 * 1e3  # the standard's formula is in r/min, mm and mm2/s
    needed = (45000 * rpm**-0.83 if rpm < 1000 else 4500 * rpm**-0.5) * mean**-0.5 * 1e-6
    kappa, flags = viscosity / needed, []
    if kappa < 0.1:
        flags.append("film ratio under 0.1: outside the method, the surfaces touch")
    if kappa > 4:
        flags.append("film ratio over 4: held at 4")
    k = min(max(kappa, 0.1), 4.0)
    a = 2.2649 / k**0.054381 if k < 0.4 else 1.9987 / k**0.19087 if k < 1 else 1.9987 / k**0.071739
    share = cleanliness * static / _fact("C0 over fatigue load limit") / load
    if share > 5:
        flags.append("load far below the fatigue limit: held at the method's end")
    base = 1 - (2.5671 - a) ** 0.83 * min(share, 5.0) ** (1 / 3)
    factor = 0.1 * base**-9.3 if base > 0 else 50.0
    if not 0.1 <= factor <= 50 or base <= 0:
        flags.append("factor held at the method's limits, 0.1 and 50")
    return Lubrication(float(min(max(factor, 0.1), 50.0)), float(kappa), float(needed), tuple(flags))


@unit_checked(radial="force", axial="force", static="force")
def static_safety(radial, axial, static):
    """Static safety s0: C0 over the equivalent static load.

    Parameters
    ----------
    radial, axial : float or ndarray
        Largest loads, shocks included, N.
    static : float or ndarray
        C0 of either generation, N.

    Returns
    -------
    float or ndarray
        s0; wanted are 2 for quiet running, 1.5 to 2 with shocks, 1 normally, 0.5 when hardly turning.

    Raises
    ------
    ValueError
        If there is no load at all.

    Source
    ------
    gost18854, deep groove; wanted values from memory.
    """
    fr, fa = np.abs(np.asarray(radial, float)), np.abs(np.asarray(axial, float))
    load = np.maximum(_fact("static radial factor") * fr + _fact("static axial factor") * fa, fr)
    if np.any(load <= 0):
        raise OutOfRange("without a load there is no static safety to give")
    return (static / load)[()]


@unit_checked(static="force", bore="length", returns="force")
def axial_limit(static, bore, series):
    """Largest purely axial load of a deep-groove bearing.

    Parameters
    ----------
    static : float
        C0, N.
    bore : float
        m.
    series : str
        Dimension series, "62", "618", "160", ...

    Returns
    -------
    float
        N: a quarter of C0 for light series and bores to 12 mm, else half.

    Raises
    ------
    ValueError
        If C0 is not positive.

    Source
    ------
    catalogue-a, pure axial load; not in the standard.
    """
    if static <= 0:
        raise OutOfRange("the static rating C0 must be positive")
    light = bore <= 0.012 + 1e-9 or series in LIGHT_SERIES
    name = "axial load over C0, light series and bores to 12 mm" if light else "axial load over C0"
    return _fact(name, "high") * static


@unit_checked(bore="length", od="length", returns="rotation")
def speed_limit(bore, od, closure="open", *, series=""):
    """Speed limit of a single-row ball bearing with grease.

    Parameters
    ----------
    bore, od : float
        m.
    closure : str
        "open", "shielded" or "sealed" (lips that touch).
    series : str
        Dimension series; the light sections run a tenth faster, left out where it is not known.

    Returns
    -------
    float
        rad/s.

    Raises
    ------
    ValueError
        If the closure is not one of the three, or the sizes are no bearing.

    Source
    ------
    gost20918, mean diameter times speed, with its tenth more for the light sections; touching seals at 0.8
    of it after several catalogues.
    """
    if closure not in SPEED_FACT:
        raise OutOfRange(f"closure {closure!r} is not known; choose {', '.join(SPEED_FACT)}")
    if not 0 < bore < od:
        raise OutOfRange("the bore must be larger than zero and smaller than the outside diameter")
    rpm = _fact(SPEED_FACT[closure]) / ((bore + od) / 2 * 1e3)  # the constant is in mm times r/min
    if series in LIGHT_SERIES:
        rpm *= _fact("speed number, light series")
    return rpm * (_fact("speed, contact seals") if closure == "sealed" else 1.0) * RPM


@unit_checked(dynamic="force", returns="force")
def least_load(dynamic):
    """Load under which the balls skid instead of rolling.

    Parameters
    ----------
    dynamic : float or ndarray
        C, N.

    Returns
    -------
    float or ndarray
        N, one hundredth of C.

    Raises
    ------
    ValueError
        If C is not positive.

    Source
    ------
    catalogue-a, least load (from memory).
    """
    if np.any(np.asarray(dynamic) <= 0):
        raise OutOfRange("the dynamic rating C must be positive")
    return _fact("load over C, least against skidding", "low") * dynamic


def _fact(item, column="likely"):
    return tables.table("bearing_facts").one(item=item)[column]
