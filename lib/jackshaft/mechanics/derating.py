"""Power that an engine or motor loses to height and heat, by the straight rules of the trade."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from jackshaft.units import ZERO_C, OutOfRange, above_zero

#: Height and warmth of the air, m and K, beyond which no rule of the table is meant: from memory.
HIGHEST, HOTTEST = 4000.0, ZERO_C + 60.0


class Rule(NamedTuple):
    """From where on power is lost, and which share with each step: heights in m, temperatures in K."""

    height_from: float
    height_step: float
    height_loss: float
    air_from: float
    air_step: float
    air_loss: float


def power_share_si(height: Any, *, air: Any, rule: Rule) -> Any:
    """Share of its rated power that an engine has at a height and in warm air.

    Parameters
    ----------
    height : float or array
        Above the sea (m).
    air : float or array
        Temperature of the air that it draws in, or that cools a motor (K).
    rule : Rule
        Thresholds, steps and losses.

    Returns
    -------
    float or array
        Share, 1 where neither counts. Nothing is gained below the thresholds; losses are added up.

    Raises
    ------
    ValueError
        Above 4000 m or 60 °C, where the rules no longer hold, or a step of zero or below.

    Source
    ------
    ag-engineering, altitude and temperature rules; table derating.
    """
    above_zero(height_step=rule.height_step, air_step=rule.air_step)
    if np.any(np.asarray(height) > HIGHEST) or np.any(np.asarray(air) > HOTTEST):
        raise OutOfRange("the rules for height and heat hold up to 4000 m (13,100 ft) and 60 °C (140 °F)")
    high = np.maximum(np.asarray(height, float) - rule.height_from, 0.0) / rule.height_step
    hot = np.maximum(np.asarray(air, float) - rule.air_from, 0.0) / rule.air_step
    return 1.0 - high * rule.height_loss - hot * rule.air_loss


__all__ = ["HIGHEST", "HOTTEST", "Rule", "power_share_si"]
