"""What the published cases of gas and of units ask for, from the texts a case gives."""

from __future__ import annotations

from collections.abc import Mapping

from springcase.gas import base_conditions, expansion
from springcase.gas.composition import Gas, read_gas
from springcase.gas.flammability import substance_limits
from springcase.gas.properties import State, state
from springcase.units import (
    ConversionBasis,
    convert,
    convert_quantity,
    parse_quantity,
    read_base,
)

Given = Mapping[str, str]


def _value(given: Given, key: str, kind: str) -> float:
    return parse_quantity(given[key], kind, field=key).value


def _gas(given: Given) -> Gas:
    return read_gas(given["gas"])


def _state(given: Given) -> State:
    return state(
        _gas(given),
        _value(given, "pressure", "pressure"),
        _value(given, "temperature", "temperature"),
        model=given.get("model", "gerg-2008"),
    )


def _molar_density(given: Given) -> float:
    found = _state(given)
    return float(found.density) / found.molar_mass / 1000


def _outlet(given: Given) -> float:
    return float(
        expansion.outlet_temperature(
            _gas(given),
            _value(given, "inlet", "pressure"),
            _value(given, "temperature", "temperature"),
            _value(given, "outlet", "pressure"),
        )
    )


def _cooling_per_100_psi(given: Given) -> float:
    kelvin = _value(given, "temperature", "temperature") - _outlet(given)
    drop = _value(given, "inlet", "pressure") - _value(given, "outlet", "pressure")
    return 1.8 * kelvin / convert(drop, "psi") * 100


def _mean_coefficient(given: Given) -> float:
    """Return the cooling over the drop, in K/bar."""
    kelvin = _value(given, "temperature", "temperature") - _outlet(given)
    drop = _value(given, "inlet", "pressure") - _value(given, "outlet", "pressure")
    return kelvin / (drop / 1e5)


def _hydrate_fahrenheit(given: Given) -> float:
    kelvin = expansion.hydrate_temperature(
        _value(given, "pressure", "pressure"), float(given["relative_density"])
    )
    return convert(kelvin, "degF")


def _converted(given: Given) -> float:
    return convert_quantity(given["quantity"], given["to"], ConversionBasis()).value


CALLS = {
    "z": lambda given: float(_state(given).z),
    "molar mass": lambda given: read_gas(given["gas"]).molar_mass,
    "molar mass of the equation": lambda given: _state(given).molar_mass,
    "molar density": _molar_density,
    "density": lambda given: float(_state(given).density),
    "sound speed": lambda given: float(_state(given).sound_speed),
    "isentropic exponent": lambda given: float(_state(given).isentropic_exponent),
    "heat capacity": lambda given: float(_state(given).heat_capacity) / 1000,
    "heat capacity at constant volume": lambda given: (
        float(_state(given).heat_capacity_volume) / 1000
    ),
    "molar heat capacity": lambda given: (
        float(_state(given).heat_capacity) * _state(given).molar_mass
    ),
    "molar heat capacity at constant volume": lambda given: (
        float(_state(given).heat_capacity_volume) * _state(given).molar_mass
    ),
    "molar enthalpy": lambda given: float(_state(given).enthalpy) * _state(given).molar_mass,
    "joule thomson in K/kPa": lambda given: float(_state(given).joule_thomson) * 1e3,
    "joule thomson in K/MPa": lambda given: float(_state(given).joule_thomson) * 1e6,
    "joule thomson in K/bar": lambda given: float(_state(given).joule_thomson) * 1e5,
    "relative density": lambda given: base_conditions.relative_density(
        _gas(given), read_base(given["base"], field="base")
    ),
    "z at base": lambda given: base_conditions.base_compressibility(
        _gas(given), read_base(given["base"], field="base")
    ),
    "molar volume in L/mol": lambda given: (
        1000 * base_conditions.ideal_molar_volume(read_base(given["base"], field="base"))
    ),
    "outlet temperature": _outlet,
    "cooling": lambda given: _value(given, "temperature", "temperature") - _outlet(given),
    "cooling in degF per 100 psi": _cooling_per_100_psi,
    "mean coefficient in K/bar": _mean_coefficient,
    "hydrate temperature in degF": _hydrate_fahrenheit,
    "converted": _converted,
    "SI value": lambda given: _value(given, "quantity", given["kind"]),
    "lower limit": lambda given: substance_limits(given["substance"], edition=given["edition"]).low,
    "upper limit": lambda given: (
        substance_limits(given["substance"], edition=given["edition"]).high
    ),
}
