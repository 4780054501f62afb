"""
What a gas does when it is throttled: the isenthalpic outlet temperature and hydrate caution.

The coefficient at the inlet times the pressure drop under-predicts the cooling of a large drop;
here enthalpy is held, which integrates it.
"""

from __future__ import annotations

from typing import Any, Final

import numpy as np
import pyaga8
from numpy.typing import ArrayLike, NDArray

from springcase.errors import OutsideValidity
from springcase.gas.composition import Gas, wheel_composition
from springcase.gas.properties import GERG_2008, RANGES, check_states, state

Array = NDArray[np.float64]
_CLOSE: Final = 1e-9
_STEPS: Final = 60
# The correlation is drawn for sweet natural gas between these relative densities.
HYDRATE_RELATIVE_DENSITIES: Final = (0.55, 1.0)


def outlet_temperature(
    gas: Gas,
    inlet_pressure_abs: ArrayLike,
    inlet_temperature: ArrayLike,
    outlet_pressure_abs: ArrayLike,
    *,
    model: str = GERG_2008,
) -> float | Array:
    """
    Return the temperature at the outlet of a throttle that neither heats nor does work. [K]

    Pressures absolute [Pa], temperature [K], broadcast together. The gas root is taken below the
    dew line too: a caller asks `phase.condensing` and warns.

    Raises OutsideValidity for a state outside the equation, an inlet below its dew line, or an
    outlet pressure above the inlet's.

    Examples
    --------
    >>> from springcase.gas.composition import read_gas
    >>> round(outlet_temperature(read_gas("methane"), 70e5, 288.15, 10e5), 3)
    258.83
    """
    inlet, warm, outlet = np.broadcast_arrays(
        *(np.asarray(a, np.float64) for a in (inlet_pressure_abs, inlet_temperature)),
        np.asarray(outlet_pressure_abs, np.float64),
    )
    check_states(outlet, warm, model)
    before = state(gas, inlet, warm, model=model)
    if (outlet > inlet).any():
        worst = int(np.argmax((outlet - inlet).ravel()))
        raise OutsideValidity(
            "gas-outlet-above-inlet",
            field="outlet_pressure_abs",
            value=f"{outlet.flat[worst]:g} Pa absolute",
            right=f"at most the inlet's {inlet.flat[worst]:g} Pa absolute",
        )
    equation: Any = pyaga8.Gerg2008() if model == GERG_2008 else pyaga8.Detail()
    equation.set_composition(wheel_composition(gas))
    equation.calc_molar_mass()
    wanted = np.ravel(np.asarray(before.enthalpy) * before.molar_mass)
    rows = zip(outlet.ravel().tolist(), warm.ravel().tolist(), wanted.tolist(), strict=True)
    found = np.array([_hold_enthalpy(equation, p, t, h, gas, model) for p, t, h in rows])
    return float(found[0]) if inlet.shape == () else found.reshape(inlet.shape)


def _hold_enthalpy(
    equation: Any, pressure_abs: float, start: float, enthalpy: float, gas: Gas, model: str
) -> float:
    """Return the temperature that has an enthalpy [J/mol]: Newton's step inside a bracket. [K]"""
    limits = RANGES[model]
    low, high = limits.temperature_low, limits.temperature_high
    flag = (0,) if model == GERG_2008 else ()
    equation.pressure = pressure_abs * 1e-3
    kelvin = start
    for _ in range(_STEPS):
        equation.temperature = kelvin
        try:
            equation.calc_density(*flag)
        except RuntimeError:
            # No gas root here: too cold, so the answer lies above.
            low, kelvin = kelvin, 0.5 * (kelvin + high)
            continue
        equation.calc_properties()
        excess = equation.h - enthalpy
        low, high = (low, kelvin) if excess > 0 else (kelvin, high)
        step = kelvin - excess / equation.cp
        # Newton's own step must vanish: a bracket that shrinks onto a limit is no answer.
        if abs(step - kelvin) < _CLOSE * kelvin:
            return float(step)
        kelvin = step if low <= step <= high else 0.5 * (low + high)
    raise OutsideValidity(
        "gas-no-outlet",
        field=gas.name,
        value=f"at {pressure_abs:g} Pa absolute",
        right="an outlet state inside the range of the equation",
        equation=model,
    )


def hydrate_temperature(pressure_abs: float, relative_density: float) -> float:
    """
    Return the temperature below which hydrates may form where free water is. [K]

    Pressure absolute [Pa], relative density to air [-]. A caution only, never a clearance.
    Source: towler_mokhatab_memory.

    Raises OutsideValidity for a relative density the correlation was not drawn for.
    """
    low, high = HYDRATE_RELATIVE_DENSITIES
    if not low <= relative_density <= high:
        raise OutsideValidity(
            "hydrate-range",
            field="relative density",
            value=f"{relative_density:.4g}",
            right=f"{low:g} to {high:g}",
        )
    log_p, log_d = np.log(pressure_abs / 6894.757293168361), np.log(relative_density)
    fahrenheit = 13.47 * log_p + 34.27 * log_d - 1.675 * log_p * log_d - 20.35
    return float((fahrenheit - 32) * 5 / 9 + 273.15)
