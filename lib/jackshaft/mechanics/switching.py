"""The clutch coil while its current changes: rise, pull-in, decay, and the suppression at switch-off.

The coil's voltage is R I + L dI/dt; closing the gap raises L. Currents in A, times in s, inductance in H.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np

from jackshaft.units import OutOfRange, above_zero, unit_checked

#: Forward drop of a rectifier diode at some amperes: from memory.
DIODE_DROP = 0.8
#: Share of the holding current at which the armature lets go: 0.1 to 0.3, common practice.
RELEASE_SHARE = 0.2
SUPPRESSIONS = ("none", "resistor", "diode", "diode and zener", "TVS")


class Release(NamedTuple):
    """Switch-off through one suppression: coil peak and switch peak (V), release time (s), energy (J)."""

    suppression: str
    coil_peak: float
    switch_peak: float
    seconds: float
    energy: float
    polarised: bool
    fitting: str


class PullIn(NamedTuple):
    """Current in a coil whose armature closes: times, current (A), when it closes (s), does it close."""

    times: np.ndarray
    current: np.ndarray
    closes_at: float
    closes: bool


@unit_checked(turns="number", reluctance="number", returns="inductance")
def inductance(turns, *, reluctance):
    """Inductance of a coil on a magnetic circuit.

    Parameters
    ----------
    turns : number
        Turns.
    reluctance : number
        Ampere-turns for one weber of the whole circuit (1/H), gap open or closed.

    Returns
    -------
    inductance
        Inductance (H); closed it is several times the open one.

    Raises
    ------
    ValueError
        A reluctance of zero or below.

    Source
    ------
    L = N²/R; textbook.
    """
    above_zero(reluctance=reluctance)
    return turns**2 / reluctance


def rise_si(times: Any, *, voltage: Any, resistance: Any, inductance: Any) -> Any:
    """Current after switch-on with the inductance held.

    Parameters
    ----------
    times : float or array
        Time since the contact closed (s).
    voltage : float or array
        Voltage at the coil (V).
    resistance : float or array
        Coil and line (ohm).
    inductance : float or array
        Inductance (H).

    Returns
    -------
    float or array
        Current (A).

    Raises
    ------
    ValueError
        Resistance or inductance of zero or below.

    Source
    ------
    First-order RL circuit; textbook.
    """
    above_zero(resistance=resistance, inductance=inductance)
    return voltage / resistance * -np.expm1(-np.asarray(times, float) * resistance / inductance)


def time_to_current_si(current: Any, *, voltage: Any, resistance: Any, inductance: Any) -> Any:
    """Time until the rising current reaches a value, such as the pull-in current.

    Parameters
    ----------
    current : float or array
        Current to reach (A).
    voltage : float or array
        Voltage at the coil (V).
    resistance : float or array
        Coil and line (ohm).
    inductance : float or array
        Inductance with the gap open (H).

    Returns
    -------
    float or array
        Time (s); ``inf`` where the supply never drives that current. Solid steel adds an eddy-current
        delay: a real armature may take several times as long.

    Raises
    ------
    ValueError
        Resistance or inductance of zero or below.

    Source
    ------
    First-order RL circuit; textbook.
    """
    above_zero(resistance=resistance, inductance=inductance)
    share = np.asarray(current, float) * resistance / voltage
    with np.errstate(divide="ignore", invalid="ignore"):
        time = np.where(share >= 1.0, np.inf, -inductance / resistance * np.log1p(-np.minimum(share, 1.0)))
    return time.item() if time.ndim == 0 else time


def pull_in_si(
    times: Any,
    *,
    voltage: float,
    resistance: float,
    open_henry: float,
    closed_henry: float,
    pull_current: float,
    travel: float,
) -> PullIn:
    """Current while a clutch pulls in: rise with the gap open, the dip as it closes, rise closed.

    The flux linkage cannot jump, so when the gap closes the current drops by the ratio of the
    inductances. The movement is drawn as one step at its end.

    Parameters
    ----------
    times : array
        Times since the contact closed (s).
    voltage : float
        Voltage at the coil (V).
    resistance : float
        Coil and line (ohm).
    open_henry : float
        Inductance, gap open (H).
    closed_henry : float
        Inductance, gap closed (H).
    pull_current : float
        Current at which the armature leaves its stop (A).
    travel : float
        Time the armature takes across the gap (s).

    Returns
    -------
    PullIn
        Times (s), current (A), when the gap is closed (s, ``inf`` when it never is), and whether it is.

    Raises
    ------
    ValueError
        A resistance or inductance of zero or below, or a closed inductance below the open one.

    Source
    ------
    RL circuit with continuity of flux linkage; derived.
    """
    if closed_henry < open_henry:
        raise OutOfRange("a closed gap has the larger inductance: the two may be swapped")
    times = np.asarray(times, float)
    leaves = time_to_current_si(pull_current, voltage=voltage, resistance=resistance, inductance=open_henry)
    closed_at = leaves + travel
    current = rise_si(times, voltage=voltage, resistance=resistance, inductance=open_henry)
    if math.isinf(closed_at):
        return PullIn(times, current, math.inf, False)
    before = rise_si(closed_at, voltage=voltage, resistance=resistance, inductance=open_henry)
    end, start = voltage / resistance, before * open_henry / closed_henry
    after = end + (start - end) * np.exp(-np.maximum(times - closed_at, 0.0) * resistance / closed_henry)
    return PullIn(times, np.where(times < closed_at, current, after), float(closed_at), True)


class Fitted(NamedTuple):
    """Parts across a coil: Zener or TVS voltage (V), resistor (ohm), forward drop of the diode (V)."""

    clamp: float | None = None
    resistor: float | None = None
    diode: float = DIODE_DROP


def release_si(
    suppression: str,
    *,
    current: float,
    release_current: float,
    resistance: float,
    inductance: float,
    supply: float,
    fitted: Fitted = Fitted(),  # noqa: B008, a record that never changes
) -> Release:
    """Switch a coil off through one kind of suppression.

    Parameters
    ----------
    suppression : str
        "none", "resistor", "diode", "diode and zener" or "TVS", across the coil.
    current : float
        Current when the contact opens (A).
    release_current : float
        Current at which the armature lets go (A); 0.1 to 0.3 of the holding current.
    resistance : float
        Coil resistance (ohm).
    inductance : float
        Inductance with the gap closed (H).
    supply : float
        Supply voltage (V).
    fitted : Fitted
        Sizes of the parts across the coil.

    Returns
    -------
    Release
        Peak voltage of the coil and across the opening contact (V, ``inf`` for none: it arcs), time until
        the armature lets go (s, not a number for none), energy freed (J), does polarity matter, and how
        it is fitted. Eddy currents in solid steel lengthen every one of the times.

    Raises
    ------
    ValueError
        Another word, a missing clamp or resistor, a clamp that the supply would open, or a release
        current that is not between zero and the holding current.

    Source
    ------
    RL decay against a constant clamp, t = (L/R) ln((I0 + V/R)/(I + V/R)); derived. Forms of suppression:
    relay-suppression.
    """
    above_zero(coil_resistance=resistance, inductance=inductance)
    if not 0.0 < release_current < current:
        raise OutOfRange("the release current must be between zero and the holding current")
    volts, ohm, fitting = _across(suppression, fitted, supply)
    if suppression == "none":
        seconds = math.nan
    elif suppression == "resistor":
        volts = current * ohm
        seconds = inductance / (resistance + ohm) * math.log(current / release_current)
    else:
        floor = volts / resistance
        seconds = inductance / resistance * math.log((current + floor) / (release_current + floor))
    return Release(
        suppression=suppression,
        coil_peak=volts,
        switch_peak=supply + volts,
        seconds=seconds,
        energy=0.5 * inductance * current**2,
        polarised=suppression in ("diode", "diode and zener"),
        fitting=fitting,
    )


def _across(suppression: str, fitted: Fitted, supply: float) -> tuple[float, float, str]:
    """Constant voltage that the parts hold against the current (V), their resistance (ohm), how they are fitted."""
    clamp, resistor, diode = fitted
    if suppression == "none":
        return math.inf, 0.0, "nothing: the contact arcs at every release and takes the energy"
    if suppression == "resistor":
        if resistor is None or resistor <= 0.0:
            raise OutOfRange("give the resistor across the coil, above zero ohm")
        return 0.0, resistor, f"across the coil, either way round; it draws {supply / resistor:.2g} A all the time"
    if suppression == "diode":
        return diode, 0.0, "band (cathode) to the positive side of the coil; the wrong way round it is a short"
    if suppression not in SUPPRESSIONS:
        raise OutOfRange(f"suppression {suppression!r}: {', '.join(SUPPRESSIONS)}")
    if clamp is None or clamp <= 0.0:
        raise OutOfRange(f"give the clamp voltage of the {suppression}")
    if suppression == "TVS":
        if clamp <= supply:
            raise OutOfRange(f"a {clamp:g} V TVS conducts on the {supply:g} V supply: take one above it")
        return clamp, 0.0, "a two-way one either way round; a one-way one needs its diode in series"
    return (
        diode + clamp,
        0.0,
        "the diode's band to the positive side of the coil, the zener the other way round (anode to anode)",
    )


def decay_si(
    times: Any, *, current: float, resistance: float, inductance: float, clamp: float = 0.0, resistor: float = 0.0
) -> Any:
    """Coil current after switch-off against a clamp voltage, a resistor or both.

    Parameters
    ----------
    times : float or array
        Time since the contact opened (s).
    current : float
        Current at that moment (A).
    resistance : float
        Coil resistance (ohm).
    inductance : float
        Inductance (H).
    clamp : float
        Constant voltage that the suppression holds against the current (V).
    resistor : float
        Resistor in the same loop (ohm).

    Returns
    -------
    float or array
        Current (A), zero from the time the clamp stops conducting.

    Raises
    ------
    ValueError
        A resistance or inductance of zero or below.

    Source
    ------
    First-order RL circuit; textbook.
    """
    above_zero(coil_resistance=resistance, inductance=inductance)
    total = resistance + resistor
    floor = clamp / total
    value = (current + floor) * np.exp(-np.asarray(times, float) * total / inductance) - floor
    return np.maximum(value, 0.0)
