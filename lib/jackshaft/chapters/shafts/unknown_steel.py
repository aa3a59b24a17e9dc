"""What can be said of a shaft whose steel nobody knows: how it is bent needs none, and the weakest steel is a floor."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.shafts.data import Steel
from jackshaft.chapters.shafts.sections import size_at, work_out
from jackshaft.mechanics import shaft_strength, shafts
from jackshaft.parts.shaft_cases import at_case
from jackshaft.parts.steels import yield_of_row
from jackshaft.results.reader import Reader
from jackshaft.units import first_most


def words_of(reader: Reader, found, steps) -> str:
    """Return how a shaft is bent at work, and what its safety would be in the weakest steel of the table.

    Nothing where it cannot be worked out at all.
    """
    bars = (r for r in tables.table("materials").rows if "steel bar" in (r["form"] or "") and yield_of_row(r))
    row = min(bars, key=yield_of_row)
    weakest = Steel(
        yield_stress=yield_of_row(row),
        tensile=row["tensile_mpa"] * 1e6,
        elastic=row["e_gpa"] * 1e9,
        shear=row["g_gpa"] * 1e9,
        density=row["density_kg_per_m3"],
        words=row["material"],
    )
    try:
        state = work_out(reader, found, steps, weakest)
    except shafts.ShaftError:
        return ""
    moments = np.hypot(*state.work.moment.T)
    most = first_most(moments)
    at, moment = float(state.work.at[most]), float(moments[most])
    stress = float(shaft_strength.bending_stress.si(moment, size_at(steps, at)))
    place, worst = reader.show(at, "length", by="tape"), state.sections[0]
    return (
        f" At work it is bent hardest {place} along, with {reader.show(moment, 'torque')}: "
        f"{reader.show(stress, 'stress')} in the plain bar there. In the weakest steel of the list, {row['material']}, "
        f"its fatigue safety at {worst.name} would be {worst.fatigue:.2f} at work and {worst.hardest.fatigue:.2f} "
        f"{at_case(worst.hardest.case)}."
    )


__all__ = ["words_of"]
