"""Factors of units and constants of nature, each declared once: the rest of the package imports them."""

from __future__ import annotations

import math
from typing import Any

#: Exact by definition (international yard and pound, 1959; standard gravity; kelvin and Celsius).
INCH, FOOT = 0.0254, 0.3048  # m
THOU = INCH / 1000.0  # m
POUND_FORCE = 4.4482216152605  # N
HORSEPOWER = 550.0 * FOOT * POUND_FORCE  # W
RPM = 2.0 * math.pi / 60.0  # rad/s
GRAVITY = 9.80665  # m/s², standard acceleration of free fall
ZERO_C = 273.15  # K
HOUR = 3600.0  # s
T20 = ZERO_C + 20.0  # K

#: Rise of copper's resistance per kelvin, of that at 20 °C: the 234.5 rule, exactly; IEC 60028, from memory.
ALPHA20 = 1.0 / (234.5 + 20.0)


def copper_resistivity(temperature: Any = T20, *, coefficient: float = ALPHA20) -> Any:
    """Resistivity of annealed copper.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].
    coefficient : float
        Rise per kelvin of the resistance at 20 °C [1/K].

    Returns
    -------
    float or array
        Resistivity [ohm·m], of the shape of the temperature.

    Source
    ------
    IEC 60028: 1/58 ohm·mm²/m at 20 °C, linear in temperature; from memory
    """
    return 1e-6 / 58.0 * (1.0 + coefficient * (temperature - T20))
