"""
Properties of a gas at many states by GERG-2008 or AGA8 DETAIL.

The equations are those of the reference code, through its wheel: pressure there is kPa and
density mol/L; nothing outside this module sees those units.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import Any, Final

import numpy as np
import pyaga8
from numpy.typing import ArrayLike, NDArray

from springcase.errors import BadInput, OutsideValidity
from springcase.gas.composition import Gas, wheel_composition
from springcase.gas.phase import refuse_condensing
from springcase.gas.viscosity import viscosity

Array = NDArray[np.float64]
Value = float | Array

GERG_2008: Final = "gerg-2008"
AGA8_DETAIL: Final = "aga8-detail"
MODELS: Final = (GERG_2008, AGA8_DETAIL)


_NAMES: Final = ("d", "z", "w", "kappa", "cp", "cv", "jt", "h", "dp_dd")
_READ: Final = attrgetter(*_NAMES)


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """Where an equation holds: temperature [K], absolute pressure [Pa], the source of both."""

    temperature_low: float
    temperature_high: float
    pressure_abs_high: float
    source: str


# Thinner than this no regulator ever works; nearer to nought the logarithms fail.
LOWEST_PRESSURE_ABS: Final = 1.0
RANGES: Final = {
    GERG_2008: Range(
        temperature_low=60.0,
        temperature_high=700.0,
        pressure_abs_high=70e6,
        source="gerg_2008",
    ),
    AGA8_DETAIL: Range(
        temperature_low=143.15,
        temperature_high=676.15,
        pressure_abs_high=280e6,
        source="aga8_detail_range_memory",
    ),
}
# Inside these the equation has its stated accuracy; outside, the range above still holds.
NORMAL_RANGES: Final = {
    GERG_2008: Range(
        temperature_low=90.0, temperature_high=450.0, pressure_abs_high=35e6, source="gerg_2008"
    ),
    AGA8_DETAIL: Range(
        temperature_low=263.0, temperature_high=338.0, pressure_abs_high=12e6, source="iso_12213_2"
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """
    A gas at one state or many: floats for a scalar question, arrays otherwise.

    z [-], density [kg/m3], sound_speed [m/s], isentropic_exponent [-], heat_capacity at constant
    pressure and heat_capacity_volume [J/(kg.K)], joule_thomson [K/Pa], viscosity [Pa.s],
    enthalpy [J/kg] from the zero of the equation, molar_mass [kg/mol] of the equation.
    """

    z: Any
    density: Any
    sound_speed: Any
    isentropic_exponent: Any
    heat_capacity: Any
    heat_capacity_volume: Any
    joule_thomson: Any
    viscosity: Any
    enthalpy: Any
    molar_mass: float


def check_model(model: str, *, field: str = "model") -> str:
    """
    Return the equation of state asked for.

    Raises BadInput for one that is not among `MODELS`.
    """
    if model not in MODELS:
        raise BadInput("gas-model-unknown", field=field, value=model, right=" or ".join(MODELS))
    return model


def check_states(pressure_abs: Array, temperature: Array, model: str) -> None:
    """
    Refuse states that are not finite or lie outside the range of the equation.

    Pressure absolute [Pa], temperature [K]. Raises OutsideValidity with the first such value.
    """
    limits = RANGES[check_model(model)]
    low, high = limits.temperature_low, limits.temperature_high
    asked = (
        (
            "pressure_abs",
            pressure_abs,
            LOWEST_PRESSURE_ABS,
            limits.pressure_abs_high,
            "Pa absolute",
        ),
        ("temperature", temperature, low, high, "K"),
    )
    for field, values, least, most, unit in asked:
        right = f"{least:g} to {most:g} {unit}"
        # A comparison with NaN is false, so what is not inside covers it.
        inside = (values >= least) & (values <= most)
        if not inside.all():
            value = float(values[~inside].flat[0])
            code = "gas-range" if np.isfinite(value) else "gas-not-finite"
            raise OutsideValidity(
                code, field=field, value=f"{value:g} {unit}", right=right, equation=model
            )


def _refuse_no_root(pressure_abs: float, temperature: float, gas: Gas, model: str) -> None:
    raise OutsideValidity(
        "gas-no-root",
        field=gas.name,
        value=f"at {pressure_abs:g} Pa absolute and {temperature:g} K",
        right="a higher temperature or a lower pressure",
        equation=model,
    )


def _sweep(
    gas: Gas, pressures: Sequence[float], temperatures: Sequence[float], model: str
) -> list[tuple[float, ...]]:
    """Return the `_READ` of every state in the wheel's units, the pressures in kPa."""
    equation: Any = pyaga8.Gerg2008() if model == GERG_2008 else pyaga8.Detail()
    flag = (0,) if model == GERG_2008 else ()
    equation.set_composition(wheel_composition(gas))
    equation.calc_molar_mass()
    rows: list[tuple[float, ...]] = []
    solve, fill, keep = equation.calc_density, equation.calc_properties, rows.append
    for pressure, kelvin in zip(pressures, temperatures, strict=True):
        equation.temperature = kelvin
        equation.pressure = pressure
        try:
            solve(*flag)
        except RuntimeError:
            _refuse_no_root(1000 * pressure, kelvin, gas, model)
        fill()
        keep(_READ(equation))
    return rows


def _in_si(table: Array, molar_mass: float | Array) -> dict[str, Array]:
    """Return what was read from the wheel, one row a property, by our names and in SI."""
    d, z, w, kappa, cp, cv, jt, h, _ = table
    return {
        "z": z,
        "density": d * molar_mass * 1000,
        "sound_speed": w,
        "isentropic_exponent": kappa,
        "heat_capacity": cp / molar_mass,
        "heat_capacity_volume": cv / molar_mass,
        "joule_thomson": jt * 1e-3,
        "enthalpy": h / molar_mass,
    }


def model_molar_mass(gas: Gas, model: str) -> float:
    """Return the molar mass by the atomic masses of one equation. [kg/mol]"""
    equation: Any = pyaga8.Gerg2008() if check_model(model) == GERG_2008 else pyaga8.Detail()
    equation.set_composition(wheel_composition(gas))
    equation.calc_molar_mass()
    return float(equation.mm) / 1000


def state(
    gas: Gas,
    pressure_abs: ArrayLike,
    temperature: ArrayLike,
    *,
    model: str = GERG_2008,
    allow_condensing: bool = False,
) -> State:
    """
    Return the properties of a gas at one state or many, broadcast together.

    Pressure absolute [Pa], temperature [K]. `allow_condensing` gives the gas root below the dew
    line as well, for a caller that warns of it.

    Raises OutsideValidity outside the range of the equation, below the dew line by the check of
    `phase`, and where the equation has no stable gas root; BadInput for an unknown equation.

    Examples
    --------
    >>> from springcase.gas.composition import read_gas
    >>> round(state(read_gas("methane"), 50e5, 288.15).z, 6)
    0.905478
    """
    pressures, temperatures = np.broadcast_arrays(
        np.asarray(pressure_abs, dtype=np.float64), np.asarray(temperature, dtype=np.float64)
    )
    check_states(pressures, temperatures, model)
    if not pressures.size:
        raise BadInput("gas-no-states", field="pressure_abs", value="nothing", right="one state")
    if not allow_condensing:
        refuse_condensing(gas, pressures, temperatures)
    rows = _sweep(gas, (pressures.ravel() / 1000).tolist(), temperatures.ravel().tolist(), model)
    shape = pressures.shape
    table = np.array(rows, dtype=np.float64).reshape(-1, len(_NAMES)).T
    stable = table[-1] > 0
    if not stable.all():
        first = int(np.argmin(stable))
        _refuse_no_root(pressures.flat[first], temperatures.flat[first], gas, model)
    mass = model_molar_mass(gas, model)
    found = {name: column.reshape(shape) for name, column in _in_si(table, mass).items()}
    found["viscosity"] = viscosity(gas, pressures, temperatures, found["density"])
    if shape == ():
        return State(**{name: float(value) for name, value in found.items()}, molar_mass=mass)
    return State(**found, molar_mass=mass)


def states_of_gases(
    gases: Sequence[Gas],
    pressures_abs: ArrayLike,
    temperatures: ArrayLike,
    *,
    model: str = GERG_2008,
) -> dict[str, Array]:
    """
    Return the properties of many gases, each at its own state, by the names and units of `State`.

    Pressures absolute [Pa], temperatures [K], as many as gases. Viscosity is not among them, and
    the dew line is not looked at: ask `viscosity` and `condensing` gas by gas.

    Raises OutsideValidity outside the range of the equation or where it has no gas root, BadInput
    for an unknown equation or numbers of states and gases that differ.
    """
    pressures = np.asarray(pressures_abs, dtype=np.float64)
    kelvins = np.asarray(temperatures, dtype=np.float64)
    if not pressures.shape == kelvins.shape == (len(gases),) or not gases:
        raise BadInput(
            "gas-no-states", field="gases", value=len(gases), right="one state for each gas"
        )
    check_states(pressures, kelvins, model)
    equation: Any = pyaga8.Gerg2008() if model == GERG_2008 else pyaga8.Detail()
    flag = (0,) if model == GERG_2008 else ()
    rows, masses = [], []
    for gas, pressure, kelvin in zip(
        gases, (pressures / 1000).tolist(), kelvins.tolist(), strict=True
    ):
        equation.set_composition(wheel_composition(gas))
        equation.calc_molar_mass()
        equation.temperature = kelvin
        equation.pressure = pressure
        try:
            equation.calc_density(*flag)
        except RuntimeError:
            _refuse_no_root(1000 * pressure, kelvin, gas, model)
        equation.calc_properties()
        rows.append(_READ(equation))
        masses.append(equation.mm)
    table = np.array(rows, dtype=np.float64).T
    stable = table[-1] > 0
    if not stable.all():
        first = int(np.argmin(stable))
        _refuse_no_root(float(pressures[first]), float(kelvins[first]), gases[first], model)
    molar_mass = np.array(masses) / 1000
    return {**_in_si(table, molar_mass), "molar_mass": molar_mass}
