"""
What a blanketed tank breathes: pad gas in, for pump-out and cooling, and vapour out.

Normal venting of a fixed-roof tank after `api_2000_7e`. Flows are base flows at 0 °C and
101.325 kPa, as the standard states them for air; a volume of liquid moved counts as the same base
volume of gas, as it does there. Factors the standard gives in tables are marked with how well they
are known.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np

from springcase.errors import OutsideValidity
from springcase.gas.numbers import Numbers, give_back, not_negative, positive, read
from springcase.regulator.inputs import first_where
from springcase.sources import Sourced, Standing
from springcase.units import ZERO_CELSIUS

_HOUR: Final = 3600.0
# Above this vapour pressure filling gives twice its volume off (api_2000_7e).
_VOLATILE: Final = 5e3
_WARM: Final = ZERO_CELSIUS + 25.0
# Latitude up to which a row holds, Y, and C cool and light / else. Only the 4 was read.
_LATITUDES: Final = (
    (42.0, False, "0.32", ("4", "6.5")),
    (58.0, True, "0.25", ("3", "5")),
    (90.0, True, "0.20", ("2.5", "4")),
)
INSIDE_HEAT_TRANSFER: Final = 4.0
"""Heat transfer at the inside of an insulated wall, W/(m2 K) (`api_2000_7e`)."""


class Vapour(StrEnum):
    """How volatile the content is, against hexane."""

    LIKE_HEXANE = "like-hexane"
    ABOVE_HEXANE = "above-hexane"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class TankDemand:
    """
    What a tank takes in and gives off at worst, and of what that is made. [m3/s]

    All flows are base flows; `cooling_factor` is C and `heating_factor` Y, with their sources.
    """

    in_breathing_base: float
    pump_out_base: float
    cooling_base: float
    out_breathing_base: float
    filling_base: float
    heating_base: float
    insulation: float
    cooling_factor: Sourced
    heating_factor: Sourced


def _latitude_row(latitude: float) -> tuple[str, tuple[str, str]]:
    size = abs(float(read(latitude, "latitude")))
    for up_to, is_within, heating, cooling in _LATITUDES:
        if size < up_to or (is_within and size == up_to):
            return heating, cooling
    raise OutsideValidity(
        "tank-latitude", field="latitude", value=latitude, right="from 0 to 90 degrees"
    )


def heating_factor(latitude: float) -> Sourced:
    """
    Return the factor Y of the vapour that heat drives out, by latitude in degrees [deg]. [-]

    Raises OutsideValidity for a latitude beyond a pole.
    """
    return Sourced(
        value=float(_latitude_row(latitude)[0]),
        source="api_2000_7e",
        standing=Standing.PUBLISHED,
    )


def cooling_factor(latitude: float, vapour: Vapour, storage_temperature: float) -> Sourced:
    """
    Return the factor C of the gas that cooling draws in. [-]

    By latitude in degrees [deg], and lower for a content no more volatile than hexane that is
    stored below 25 °C on average [K]. Only the 4 below 42 degrees was read; the rest is from
    memory.

    Raises OutsideValidity for a latitude beyond a pole or a temperature not over zero.
    """
    cool, warm = _latitude_row(latitude)[1]
    temperature = float(positive(storage_temperature, "storage temperature"))
    is_light = vapour is Vapour.LIKE_HEXANE and temperature < _WARM
    is_read = is_light and cool == "4"
    return Sourced(
        value=float(cool if is_light else warm),
        source="api_2000_7e" if is_read else "api_2000_7e_memory",
        standing=Standing.PUBLISHED if is_read else Standing.MEMORY,
    )


def insulation_factor(
    thickness: Numbers, conductivity: Numbers, insulated_share: Numbers = 1.0
) -> Numbers:
    """
    Return the factor Ri by which insulation lessens breathing with the weather. [-]

    1 / (1 + h l / lambda) for the insulated share of the wall and roof, 1 for the rest
    (`api_2000_7e`). Takes thickness l [m], conductivity lambda in W/(m K), and the share of the
    surface that is insulated [-].

    Raises OutsideValidity for a negative thickness, a conductivity not over zero or a share
    outside 0 to 1.

    Examples
    --------
    >>> round(insulation_factor(0.1, 0.05), 6), round(insulation_factor(0.1, 0.05, 0.5), 6)
    (0.111111, 0.555556)
    """
    layer = not_negative(thickness, "insulation thickness")
    share = not_negative(insulated_share, "insulated share")
    if (share > 1).any():
        raise OutsideValidity(
            "share-outside",
            field="insulated share",
            value=first_where(share, share > 1),
            right="from 0 to 1 (100 %)",
        )
    whole = 1 / (1 + INSIDE_HEAT_TRANSFER * layer / positive(conductivity, "conductivity"))
    return give_back(share * whole + (1 - share))


def cooling_flow_base(volume: Numbers, factor: Numbers, insulation: Numbers = 1.0) -> Numbers:
    """
    Return the gas that cooling draws into a tank, C V^0.7 Ri (`api_2000_7e`). [m3/s]

    Takes the tank's volume [m3], factor C [-] and insulation factor Ri [-].

    Raises OutsideValidity for a value that is not more than zero.
    """
    return _thermal(volume, factor, insulation, 0.7)


def heating_flow_base(volume: Numbers, factor: Numbers, insulation: Numbers = 1.0) -> Numbers:
    """
    Return the vapour that heat drives out of a tank, Y V^0.9 Ri (`api_2000_7e`). [m3/s]

    Takes the tank's volume [m3], factor Y [-] and insulation factor Ri [-].

    Raises OutsideValidity for a value that is not more than zero.
    """
    return _thermal(volume, factor, insulation, 0.9)


def _thermal(volume: Numbers, factor: Numbers, insulation: Numbers, exponent: float) -> Numbers:
    size = np.power(positive(volume, "tank volume"), exponent)
    lessened = positive(insulation, "insulation factor")
    if (lessened > 1).any():
        raise OutsideValidity(
            "share-outside",
            field="insulation factor",
            value=first_where(lessened, lessened > 1),
            right="over 0 and up to 1",
        )
    return give_back(positive(factor, "breathing factor") * size * lessened / _HOUR)


def filling_flow_base(pump_in_actual: Numbers, vapour_pressure_abs: Numbers) -> Numbers:
    """
    Return the vapour that filling drives out: its volume, or twice that above 5 kPa. [m3/s]

    Takes the filling rate [m3/s] and the vapour pressure of the content at its temperature [Pa]
    (`api_2000_7e`).

    Raises OutsideValidity for a negative rate or vapour pressure.
    """
    rate = not_negative(pump_in_actual, "filling rate")
    vapour = not_negative(vapour_pressure_abs, "vapour pressure")
    return give_back(np.where(vapour > _VOLATILE, 2 * rate, rate))


def tank_demand(
    *,
    volume: float,
    latitude: float,
    vapour: Vapour,
    vapour_pressure_abs: float,
    storage_temperature: float,
    pump_out_actual: float,
    pump_in_actual: float,
    insulation: float = 1.0,
) -> TankDemand:
    """
    Return what a tank takes in and gives off at worst, pumping and weather together.

    Parameters
    ----------
    volume : float
        Volume of the tank. [m3]
    latitude : float
        Latitude in degrees, either hemisphere. [deg]
    vapour : Vapour
        How volatile the content is, against hexane.
    vapour_pressure_abs : float
        Vapour pressure of the content at its storage temperature. [Pa]
    storage_temperature : float
        Average storage temperature. [K]
    pump_out_actual : float
        Highest rate at which liquid leaves. [m3/s]
    pump_in_actual : float
        Highest rate at which liquid comes in. [m3/s]
    insulation : float
        Insulation factor, see `insulation_factor`. [-]

    Returns
    -------
    demand : TankDemand
        Base flows in and out, each with its two parts. [m3/s]

    Raises
    ------
    OutsideValidity
        If a value is negative, or zero where it must not be.
    """
    cooling_by, heating_by = (
        cooling_factor(latitude, vapour, storage_temperature),
        heating_factor(latitude),
    )
    pump_out = float(not_negative(pump_out_actual, "pump-out rate"))
    cooling = float(cooling_flow_base(volume, cooling_by.value, insulation))
    filling = float(filling_flow_base(pump_in_actual, vapour_pressure_abs))
    heating = float(heating_flow_base(volume, heating_by.value, insulation))
    return TankDemand(
        in_breathing_base=math.fsum((pump_out, cooling)),
        pump_out_base=pump_out,
        cooling_base=cooling,
        out_breathing_base=math.fsum((filling, heating)),
        filling_base=filling,
        heating_base=heating,
        insulation=float(insulation),
        cooling_factor=cooling_by,
        heating_factor=heating_by,
    )
