"""Stress raisers of a shaft: keyseats, shoulders, grooves and other features by their name in the table."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft import tables
from jackshaft.units import OutOfRange


class Raiser(NamedTuple):
    """What a feature of the shaft does to the stress.

    Parameters
    ----------
    bending, torsion : float
        Factors on the bending and the shear stress.
    words : str
        The feature, and what was assumed where the table is silent.
    """

    bending: float
    torsion: float
    words: str


@tables.once
def raiser(feature):
    """Stress raiser of a feature by its name in the table.

    Parameters
    ----------
    feature : str
        "plain", or one of table stress_raisers.

    Returns
    -------
    Raiser
        Theoretical factors, taken as if the steel were fully notch-sensitive: the safe side.

    Raises
    ------
    ValueError
        If the feature is not in the table.

    Source
    ------
    Table stress_raisers; where it gives no torsion factor the bending one is used.
    """
    if feature == "plain":
        return Raiser(1.0, 1.0, "plain bar")
    rows = tables.table("stress_raisers").where(feature=feature).rows
    if not rows:
        names = ", ".join(r["feature"] for r in tables.table("stress_raisers"))
        raise OutOfRange(f"no stress raiser {feature!r}; choose plain, {names}")
    row = rows[0]
    words = (
        feature
        if row["torsion"]
        else f"{feature}; the factor for torsion is taken as that for bending, because the table has none"
    )
    return Raiser(row["bending"], row["torsion"] or row["bending"], f"{words} ({row.cite})")
