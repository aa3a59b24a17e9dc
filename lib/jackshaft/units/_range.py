"""What a formula raises where an input lies outside what it holds for."""

from __future__ import annotations

from typing import Any

import numpy as np


class OutOfRange(ValueError):
    """An input outside what a formula or a table holds for; the message says which, and what is wanted."""


def above_zero(**values: Any) -> None:
    """Refuse values of zero or below.

    Parameters
    ----------
    **values : float or array
        By the names that the message shows, with spaces for underscores; any unit.

    Raises
    ------
    OutOfRange
        Names the first that is not above zero.
    """
    for name, value in values.items():
        # a plain number is by far the most frequent, and NumPy takes thirty times as long to look at one
        if value <= 0.0 if isinstance(value, float) else np.any(np.asarray(value) <= 0.0):
            raise OutOfRange(f"{name.replace('_', ' ')} must be above zero")
