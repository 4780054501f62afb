"""Long pipelines by the formulas of the trade: Weymouth and Panhandle A, flow from pressures."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from springcase.errors import UnknownName
from springcase.gas.numbers import Numbers, falls, give_back, not_negative, positive, within

FORMULAS: Final = {
    # constant, power of base T/p, of the bracket, of the gravity inside it, of the diameter
    "weymouth": (137.32958, 1.0, 0.5, 1.0, 2.667),
    "panhandle-a": (158.02053, 1.0788, 0.5394, 0.8539, 2.6182),
}
"""In SI units throughout (``menon_2005``). [SI]"""


def pipeline_flow(
    formula: str,
    *,
    inlet_pressure_abs: ArrayLike,
    outlet_pressure_abs: ArrayLike,
    length: ArrayLike,
    diameter: ArrayLike,
    temperature: ArrayLike,
    relative_density: ArrayLike,
    compressibility: ArrayLike = 1.0,
    efficiency: ArrayLike = 1.0,
    base_pressure_abs: ArrayLike = 101325.0,
    base_temperature: ArrayLike = 288.7,
) -> Numbers:
    """
    Return the flow of a level pipeline at base conditions. [m3/s]

    Absolute pressures [Pa], length and bore [m], mean temperature [K], relative density,
    compressibility factor and efficiency [-]. For mains, not for the short branches of a
    station: those are `pipe`.

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated, or the outlet pressure is above the inlet's.
    UnknownName
        If the formula is not one of `FORMULAS`.
    """
    if formula not in FORMULAS:
        raise UnknownName(
            "flow-not-listed", field="formula", value=formula, right=" or ".join(FORMULAS)
        )
    constant, base_power, power, gravity_power, diameter_power = FORMULAS[formula]
    inlet = positive(inlet_pressure_abs, "inlet_pressure_abs")
    outlet = not_negative(outlet_pressure_abs, "outlet_pressure_abs")
    falls(inlet, outlet)
    base = positive(base_temperature, "base_temperature") / positive(
        base_pressure_abs, "base_pressure_abs"
    )
    drag: NDArray[np.float64] = (
        positive(length, "length")
        * positive(relative_density, "relative_density") ** gravity_power
        * positive(temperature, "temperature")
        * positive(compressibility, "compressibility")
    )
    share = within(efficiency, "efficiency", above=0.0, up_to=1.0, right="more than 0 and up to 1")
    bracket = (inlet**2 - outlet**2) / drag
    size = positive(diameter, "diameter") ** diameter_power
    return give_back(constant * share * base**base_power * bracket**power * size)
