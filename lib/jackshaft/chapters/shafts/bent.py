"""The beams, sections and whirl of a shaft, held: what changes elsewhere in a build leaves most of them as they are."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from jackshaft.mechanics import shaft_strength, shafts, whirl

PIECES = 14  # lumps of the shaft's own mass: within half a per cent of the uniform shaft's exact whirl speed


@lru_cache(maxsize=512)
def beam(
    steps: tuple[shafts.Step, ...],
    supports: tuple[shafts.Support, ...],
    loads: tuple[shafts.Load, ...],
    elastic: float,
    shear: float,
    density: float,
) -> shafts.Beam:
    """Return the beam of :func:`shafts.beam_si`; its lines can only be read, because others read them too."""
    found = shafts.beam_si(steps, supports, loads, elastic_modulus=elastic, shear_modulus=shear, density=density)
    for line in found:
        if isinstance(line, np.ndarray):
            line.flags.writeable = False
    return found


@lru_cache(maxsize=8192)
def section(at: float, *way) -> shafts.Section:
    """Return a section of the beam that the rest of the values, ``way``, give."""
    return shafts.section_si(beam(*way), at)


@lru_cache(maxsize=512)
def whirls(
    steps: tuple[shafts.Step, ...],
    supports: tuple[shafts.Support, ...],
    heavy: tuple[tuple[float, float], ...],
    elastic: float,
    density: float,
) -> whirl.Whirl:
    """Return the whirl speeds of a shaft with masses on it; ``heavy`` holds the place, m, and the mass, kg, of each."""
    at, mass = whirl.lumps_si(steps, density=density, pieces=PIECES)
    at, mass = np.concatenate([at, [a for a, _ in heavy]]), np.concatenate([mass, [m for _, m in heavy]])
    return whirl.whirl_si(shafts.flexibility_si(steps, supports, at, elastic_modulus=elastic), mass)


#: :func:`shaft_strength.strength` on SI numbers.
strength = lru_cache(maxsize=8192)(shaft_strength.strength.si)

__all__ = ["beam", "section", "strength", "whirls"]
