"""The clutch's magnet: flux from ampere-turns through gaps and steel, pull, and what the gap does to it.

The same flux crosses every gap of the circuit one after the other. The steel's share follows its
magnetisation curve, so the pull levels off where a neck saturates. Flux in Wb, flux density in T, gaps
in m, areas in m².
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from jackshaft.tables import table
from jackshaft.units import OutOfRange, above_zero

MU0 = 4e-7 * math.pi


class Pole(NamedTuple):
    """One gap crossing between rotor and armature: face area (m²), ring width (m; None: no fringing)."""

    area: float
    width: float | None = None


class Fixed(NamedTuple):
    """A running clearance that stays when the clutch is engaged: length (m) and area (m²)."""

    length: float
    area: float


class Iron(NamedTuple):
    """A length of steel in the flux path: length (m) and area (m²)."""

    length: float
    area: float


class Magnet(NamedTuple):
    """The flux path: poles in series, running clearances, steel, share of flux lost with the gap open."""

    poles: tuple[Pole, ...]
    fixed: tuple[Fixed, ...] = ()
    iron: tuple[Iron, ...] = ()
    leakage: float = 0.0


class Steel(NamedTuple):
    """A magnetisation curve: flux density (T) and field (A/m), both rising from zero."""

    density: np.ndarray
    field: np.ndarray


class Pull(NamedTuple):
    """Solved magnet: flux (Wb), pull in all and by pole (N), highest density in steel (T), shares of the
    ampere-turns, reluctance (1/H)."""

    flux: Any
    force: Any
    pole_forces: Any
    density: Any
    iron_share: Any
    reluctance: Any


def mild_steel_si() -> Steel:
    """Magnetisation curve of mild steel, a guide good to about 25 %.

    Returns
    -------
    Steel
        Flux density (T) and field (A/m).

    Raises
    ------
    TableError
        The table is missing.

    Source
    ------
    Table magnetic_steel, from memory.
    """
    curve = table("magnetic_steel")
    return Steel(curve.column("flux_density_t"), curve.column("field_a_per_m"))


def field_si(density: Any, *, steel: Steel) -> Any:
    """Field that drives a flux density through steel.

    Parameters
    ----------
    density : float or array
        Flux density (T).
    steel : Steel
        Its magnetisation curve.

    Returns
    -------
    float or array
        Field (A/m); above the curve's end it rises as in air, the steel being full.

    Raises
    ------
    ValueError
        A negative flux density.

    Source
    ------
    Straight lines between the curve's points: common practice, no source.
    """
    b = np.asarray(density, float)
    if np.any(b < 0.0):
        raise OutOfRange("a flux density is given without sign here")
    field = np.interp(b, steel.density, steel.field) + np.maximum(b - steel.density[-1], 0.0) / MU0
    return field.item() if field.ndim == 0 else field


def _gap_terms(magnet: Magnet, gap: np.ndarray) -> tuple[np.ndarray, list[np.ndarray]]:
    """Reluctance of the pole gaps, and for each pole the factor of flux² that gives its pull.

    With fringing the path is wider by one gap (half at each edge); the pull is then the derivative of
    the gap's energy at constant flux, not flux²/(2 mu0 A) over the wider area.
    """
    reluctance = np.zeros_like(gap)
    factors = []
    for pole in magnet.poles:
        spread = 1.0 if pole.width is None else 1.0 + gap / pole.width
        reluctance = reluctance + gap / (MU0 * pole.area * spread)
        factors.append(np.broadcast_to(1.0 / (2.0 * MU0 * pole.area * spread**2), gap.shape))
    return reluctance, factors


def _most_flux(ni, linear, magnet, steel, lost):
    """Flux (Wb) where gaps and air alone, or one part of the steel alone, take all the ampere-turns."""
    with np.errstate(divide="ignore", invalid="ignore"):
        most = np.where(linear > 0.0, ni / linear, np.inf)
        for part in magnet.iron:
            field = ni / np.float64(part.length)
            density = np.interp(field, steel.field, steel.density) + MU0 * np.maximum(field - steel.field[-1], 0.0)
            most = np.fmin(most, density * part.area / lost)
    return most


def pull_si(ampere_turns: Any, *, gap: Any, magnet: Magnet, steel: Steel | None = None) -> Pull:
    """Flux and pull of the magnet at a gap, steel included.

    Parameters
    ----------
    ampere_turns : float or array
        Ampere-turns of the coil.
    gap : float or array
        Gap at each pole (m); broadcasts with the ampere-turns.
    magnet : Magnet
        The flux path.
    steel : Steel, optional
        Magnetisation curve; mild steel unless given.

    Returns
    -------
    Pull
        Flux over the gap (Wb), pull (N), pull by pole on the last axis, highest flux density in the
        steel (T), share of the ampere-turns it takes, reluctance of the whole (1/H).

    Raises
    ------
    ValueError
        A negative gap or number of ampere-turns, a magnet without poles, or a leakage outside 0 to 1.

    Source
    ------
    Series magnetic circuit; textbook. Fringing by half a gap at each edge: from memory.
    """
    # heavy to load, and few need it
    from scipy.optimize.elementwise import find_root

    ni, gap = np.broadcast_arrays(np.asarray(ampere_turns, float), np.asarray(gap, float))
    if np.any(ni < 0.0) or np.any(gap < 0.0):
        raise OutOfRange("ampere-turns and gap cannot be negative")
    if not magnet.poles or not 0.0 <= magnet.leakage < 1.0:
        raise OutOfRange("a magnet needs at least one pole, and a leakage from 0 to below 1")
    steel = steel or mild_steel_si()
    gap_reluctance, factors = _gap_terms(magnet, gap)
    # flux that misses the armature still passes steel and running clearances
    lost = 1.0 / (1.0 - magnet.leakage)
    linear = gap_reluctance + lost * sum(f.length / (MU0 * f.area) for f in magnet.fixed)

    def driven(flux, linear):
        """Ampere-turns that this flux needs, and their share in the steel."""
        in_iron = np.zeros_like(flux)
        for part in magnet.iron:
            in_iron = in_iron + field_si(flux * lost / part.area, steel=steel) * part.length
        return flux * linear + in_iron, in_iron

    most = _most_flux(ni, linear, magnet, steel, lost)
    if not np.all(np.isfinite(most)):
        raise OutOfRange("nothing in this magnet limits the flux: give a gap or a length of steel")
    # a hair wider, so that rounding does not shut the root out
    flux = find_root(lambda f, ni, linear: driven(f, linear)[0] - ni, (0.0, most * 1.001 + 1e-12), args=(ni, linear)).x
    total, in_iron = driven(flux, linear)
    by_pole = np.stack([f * flux**2 for f in factors], axis=-1)
    density = max((flux * lost / p.area for p in magnet.iron), key=np.max, default=np.zeros_like(flux))
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(total > 0.0, in_iron / np.where(total > 0.0, total, 1.0), 0.0)
        reluctance = np.where(flux > 0.0, total / np.where(flux > 0.0, flux, 1.0), np.nan)
    values = (flux, by_pole.sum(-1), by_pole, density, share, reluctance)
    return Pull(*(v.item() if np.ndim(v) == 0 else v for v in values))


def pull_in_gap_si(ampere_turns: float, *, spring: float, magnet: Magnet, steel: Steel | None = None) -> float:
    """Largest released gap across which the magnet still pulls the armature in.

    Parameters
    ----------
    ampere_turns : float
        Ampere-turns at the lowest voltage and the hottest coil.
    spring : float
        Force of the return springs (N).
    magnet : Magnet
        The flux path.
    steel : Steel, optional
        Magnetisation curve; mild steel unless given.

    Returns
    -------
    float
        Gap (m); 0 where it does not even hold a closed one, ``inf`` where 20 mm are still no limit.

    Raises
    ------
    ValueError
        A spring force of zero or below, or as for `pull_si`.

    Source
    ------
    Own search: the pull falls steadily with the gap.
    """
    from scipy.optimize import brentq

    if spring <= 0.0:
        raise OutOfRange("the force of the return springs must be above zero")
    low, high = 1e-6, 20e-3

    def spare(gap):
        return pull_si(ampere_turns, gap=gap, magnet=magnet, steel=steel).force - spring

    if spare(low) < 0.0:
        return 0.0
    if spare(high) >= 0.0:
        return math.inf
    return brentq(spare, low, high, xtol=1e-15)


def pull_in_turns_si(gap: float, *, spring: float, magnet: Magnet, steel: Steel | None = None) -> float:
    """Ampere-turns at which the armature leaves its stop.

    Parameters
    ----------
    gap : float
        Released gap (m).
    spring : float
        Force of the return springs (N).
    magnet : Magnet
        The flux path.
    steel : Steel, optional
        Magnetisation curve; mild steel unless given.

    Returns
    -------
    float
        Ampere-turns; divide by the turns for the pull-in current.

    Raises
    ------
    ValueError
        A gap or spring force of zero or below.

    Source
    ------
    Flux from the pull, then the sum of ampere-turns round the path; textbook.
    """
    above_zero(gap=gap, spring_force=spring)
    steel = steel or mild_steel_si()
    reluctance, factors = _gap_terms(magnet, np.asarray(gap, float))
    flux = math.sqrt(spring / sum(float(f) for f in factors))
    lost = 1.0 / (1.0 - magnet.leakage)
    total = flux * (float(reluctance) + lost * sum(f.length / (MU0 * f.area) for f in magnet.fixed))
    return total + sum(field_si(flux * lost / p.area, steel=steel) * p.length for p in magnet.iron)


def friction_torque_si(pull: Pull, *, friction: Any, radii: Sequence[float], springs: float = 0.0) -> Any:
    """Torque of the closed clutch: each pole's pull at its own radius.

    Parameters
    ----------
    pull : Pull
        Solved magnet with the gap closed.
    friction : float or array
        Friction coefficient of the faces.
    radii : sequence of float
        Mean radius of each pole ring (m), in the order of the poles.
    springs : float
        Force of the return springs, taken off in proportion (N).

    Returns
    -------
    float or array
        Torque (N·m). The inner ring is the smaller one and carries more force at the smaller radius, so a
        plain mean radius would promise too much.

    Raises
    ------
    ValueError
        As many radii as poles are wanted.

    Source
    ------
    Torque = mu sum(F r); textbook.
    """
    forces = np.asarray(pull.pole_forces)
    radii = np.asarray(radii, float)
    if radii.shape[-1] != forces.shape[-1]:
        raise OutOfRange(f"{forces.shape[-1]} poles need as many radii")
    total = np.asarray(pull.force)
    clamp = np.where(total > 0.0, np.maximum(total - springs, 0.0) / np.where(total > 0.0, total, 1.0), 0.0)
    torque = friction * clamp * (forces * radii).sum(-1)
    return torque.item() if np.ndim(torque) == 0 else torque
