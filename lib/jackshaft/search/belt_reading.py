"""What the search reads of a belt as the pages take it: length factors and friction."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np

from jackshaft.chapters.capacity.rated import length_factor
from jackshaft.chapters.grip.cases import friction_of
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.results import Reader


def length_factors(belt: belt_lengths.Section, stock: belt_lengths.Stock) -> np.ndarray:
    """Return the length factor of each stock length, as the capacity page takes it: by the datum line."""
    offsets = belt_lengths.line_offsets(belt)
    datum = belt_lengths.convert(stock.length, belt, have="pitch", want="datum") if "datum" in offsets else stock.length
    return np.array([length_factor(belt.name, float(v))[0] for v in datum])


def grips(reader: Reader, stage: str, driver: str, driven: str) -> tuple[tuple[float, float], ...]:
    """Return the friction of a groove and of a flat, each likely and at the bad end, as the tension page takes it.

    A groove of an angle of its own counts for both pulleys: which sizes they will have is not known yet.
    """
    names, at = (driver, driven, driven), f"stage[{stage}].pulley"
    sizes = [reader.si(f"{at}[{name}].diameter", 0.1) for name in names]
    materials = (None, None, reader.get(f"{at}[{driven}].material"))
    pulleys = SimpleNamespace(
        names=names, flat=np.array([False, False, True]), materials=materials, pitch=0.5 * np.array(sizes)
    )
    found = friction_of(reader, SimpleNamespace(name=stage, pulleys=pulleys))
    ends = found.likely, found.bad
    return tuple(float(e[:2].min()) for e in ends), tuple(float(e[2]) for e in ends)


__all__ = ["grips", "length_factors"]
