"""The pressure of the air, from a barometer or from altitude, that turns gauge into absolute."""

from __future__ import annotations

import math
from typing import Final

from springcase.errors import OutsideValidity
from springcase.units.table import STANDARD_GRAVITY

# ISO 2533, standard atmosphere, lowest layer: sea level, lapse rate, specific gas constant.
SEA_LEVEL_PRESSURE: Final = 101325.0
_SEA_LEVEL_TEMPERATURE: Final = 288.15
_LAPSE: Final = 0.0065
_AIR_CONSTANT: Final = 287.05287
ALTITUDES: Final = (-2000.0, 11000.0)
# The lowest and highest pressures of air ever read at ground level leave room on both sides.
BAROMETERS: Final = (25e3, 115e3)


def standard_atmosphere(altitude: float, *, field: str = "altitude") -> float:
    """
    Return the pressure of the standard atmosphere at an altitude [m]. [Pa]

    Source: iso_2533. The weather moves the true pressure by some 3 % either way.

    Raises OutsideValidity for an altitude outside -2000 to 11000 m.

    Examples
    --------
    >>> round(standard_atmosphere(1000.0), 1)
    89874.6
    """
    low, high = ALTITUDES
    if not low <= altitude <= high:
        raise OutsideValidity(
            "altitude-range", field=field, value=f"{altitude:g} m", right=f"{low:g} to {high:g} m"
        )
    warmth = 1 - _LAPSE * altitude / _SEA_LEVEL_TEMPERATURE
    return SEA_LEVEL_PRESSURE * math.pow(warmth, STANDARD_GRAVITY / (_AIR_CONSTANT * _LAPSE))


def check_barometer(barometer_abs: float, *, field: str = "barometer") -> float:
    """
    Return a barometer reading, absolute [Pa], if air can have it. [Pa]

    Raises OutsideValidity for a reading no ground has, such as one reduced to gauge.
    """
    low, high = BAROMETERS
    if not low <= barometer_abs <= high:
        raise OutsideValidity(
            "barometer-range",
            field=field,
            value=f"{barometer_abs:g} Pa absolute",
            right=f"{low / 1e3:g} to {high / 1e3:g} kPa absolute",
        )
    return barometer_abs


def to_absolute(pressure_gauge: float, barometer_abs: float) -> float:
    """
    Return an absolute pressure from a gauge one and the barometer, both in Pa. [Pa]

    Raises OutsideValidity where the gauge pressure lies below the perfect vacuum.
    """
    found = pressure_gauge + check_barometer(barometer_abs)
    if not found >= 0:
        raise OutsideValidity(
            "below-absolute-zero",
            field="pressure",
            value=f"{pressure_gauge:g} Pa gauge",
            right=f"at least {-barometer_abs:g} Pa gauge at this barometer",
        )
    return found


def to_gauge(pressure_abs: float, barometer_abs: float) -> float:
    """Return a gauge pressure from an absolute one and the barometer, both in Pa. [Pa]"""
    return pressure_abs - check_barometer(barometer_abs)
