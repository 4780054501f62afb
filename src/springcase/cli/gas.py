"""`springcase gas`: properties of a named or typed gas at a state, and after a throttle."""

from __future__ import annotations

import argparse
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

from springcase.cli.air import absolute_typed, add_air_arguments, air_pressure
from springcase.cli.gas_text import text
from springcase.errors import BadInput, OutsideValidity
from springcase.sources import Standing
from springcase.standards import register
from springcase.units import ISO_13443, BaseConditions, parse_quantity, read_base
from springcase.wording import explain, sentence

if TYPE_CHECKING:
    from springcase.gas.composition import Gas
    from springcase.gas.properties import State

__all__ = ["FORMAT", "HELP", "NAME", "add_arguments", "document", "text"]

NAME: Final = "gas"
HELP: Final = "properties of a gas, and its temperature after a throttle"
FORMAT: Final = "springcase/gas"
_MODELS: Final = ("gerg-2008", "aga8-detail")
_TABLES: Final = ("bumines_627", "iec_60079_20_1")
_MODEL_SOURCES: Final = {"gerg-2008": "gerg_2008", "aga8-detail": "aga8_detail"}
_ICE: Final = 273.15


@dataclass(slots=True, kw_only=True)
class _Sheet:
    """What has been worked out so far, with the warnings and sources it gathered."""

    found: dict[str, Any] = field(default_factory=dict)
    warnings: list[str] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)

    def rests_on(self, key: str, figure: str) -> None:
        """Note a source, and say so where it is from memory."""
        if key in self.sources:
            return
        self.sources.append(key)
        if register.standing(key) is Standing.MEMORY:
            self.warnings.append(sentence("gas-from-memory", figure=figure, source=key))

    def warn(self, key: str, **facts: str) -> None:
        """Add a warning of the catalogue."""
        self.warnings.append(sentence(key, **facts))


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options of the command."""
    add = parser.add_argument
    add("--name", metavar="GAS", help="gas by name, such as methane, air, amarillo or biogas")
    add("--composition", metavar="SHARES", help="mole shares, such as methane=0.9,nitrogen=0.1")
    add("--hydrogen", metavar="SHARE", help="hydrogen blended in, as a share of the blend: 20 %%")
    add("--pressure", metavar="PRESSURE", required=True, help="pressure, such as 60 bar abs")
    add("--temperature", metavar="TEMPERATURE", required=True, help="such as 15 degC")
    add("--model", choices=_MODELS, default="gerg-2008", help="equation of state")
    add(
        "--outlet", metavar="PRESSURE", help="pressure after a throttle: asks the temperature there"
    )
    add("--base", metavar="BASE", help="base of relative density and heat, iso-13443 if not given")
    add("--table", choices=_TABLES, default="bumines_627", help="table of flammable limits")
    add_air_arguments(parser)


def document(arguments: argparse.Namespace) -> tuple[dict[str, Any], int]:
    """Return the properties and exit code 0."""
    from springcase.gas.properties import state

    sheet = _Sheet()
    gas = _gas(arguments)
    air = air_pressure(arguments)
    pressure = absolute_typed(arguments.pressure, "--pressure", air)
    kelvin = parse_quantity(arguments.temperature, "temperature", field="--temperature").value
    found = state(gas, pressure, kelvin, model=arguments.model)
    sheet.rests_on(_MODEL_SOURCES[arguments.model], "the equation of state")
    if gas.source:
        sheet.rests_on(gas.source, f"the composition of {gas.name}")
    _say_state(sheet, gas, found, pressure, kelvin, arguments.model)
    base = ISO_13443 if arguments.base is None else read_base(arguments.base, field="--base")
    _say_base(sheet, gas, base)
    _say_limits(sheet, gas, arguments.table)
    if arguments.outlet is not None:
        outlet = absolute_typed(arguments.outlet, "--outlet", air)
        _say_outlet(sheet, gas, (pressure, kelvin, outlet), arguments.model)
    return {**sheet.found, "warnings": sheet.warnings, "sources": sheet.sources}, 0


def _gas(arguments: argparse.Namespace) -> Gas:
    """Return the gas that was asked for, by one of the two ways."""
    from springcase.gas.composition import blend_gases, read_gas

    if (arguments.name is None) == (arguments.composition is None):
        raise BadInput("gas-given", field="springcase gas", right="--name or --composition")
    if arguments.name is not None:
        gas = read_gas(arguments.name, field="--name")
    elif "=" not in arguments.composition:
        raise BadInput(
            "gas-composition-unreadable",
            field="--composition",
            value=arguments.composition,
            right="components such as methane=0.9,nitrogen=0.1",
        )
    else:
        gas = read_gas(arguments.composition, field="--composition")
    if arguments.hydrogen is None:
        return gas
    share = parse_quantity(arguments.hydrogen, "ratio", field="--hydrogen").value
    return blend_gases(gas, read_gas("hydrogen"), share)


def _say_state(
    sheet: _Sheet, gas: Gas, found: State, pressure_abs: float, kelvin: float, model: str
) -> None:
    """Put the properties of the state on the sheet, and what they leave in doubt."""
    from springcase.gas.properties import NORMAL_RANGES
    from springcase.gas.viscosity import STATED_ERROR, correlation_for, is_fitted

    correlation = correlation_for(gas)
    error = STATED_ERROR[correlation]
    sheet.found |= {
        "gas": gas.name,
        "composition": dict(gas.fractions),
        "model": model,
        "pressure_abs_pa": pressure_abs,
        "temperature_k": kelvin,
        "z": found.z,
        "density_kg_m3": found.density,
        "joule_thomson_k_pa": found.joule_thomson,
        "sound_speed_m_s": found.sound_speed,
        "isentropic_exponent": found.isentropic_exponent,
        "heat_capacity_j_kg_k": found.heat_capacity,
        "heat_capacity_volume_j_kg_k": found.heat_capacity_volume,
        "viscosity_pa_s": found.viscosity,
        "viscosity_correlation": correlation,
        "viscosity_stated_error": error,
        "molar_mass_kg_mol": found.molar_mass,
    }
    normal = NORMAL_RANGES[model]
    is_normal = normal.temperature_low <= kelvin <= normal.temperature_high
    if not (is_normal and pressure_abs <= normal.pressure_abs_high):
        sheet.warn("gas-outside-normal", equation=model)
    sheet.rests_on("peng_robinson_1976", "the dew line check")
    sheet.rests_on("coolprop_8_fluids", "critical constants")
    sheet.rests_on(_VISCOSITY_SOURCES[correlation], "viscosity")
    if not is_fitted(correlation, pressure_abs, kelvin):
        sheet.warn("gas-viscosity-outside", correlation=correlation, error=f"{100 * error:.0f}")


_VISCOSITY_SOURCES: Final = {
    "lee_gonzalez_eakin_1966": "lee_gonzalez_eakin_1966",
    "lucas_1980": "poling_2001",
}


def _say_base(sheet: _Sheet, gas: Gas, base: BaseConditions) -> None:
    """Put relative density, heat and Wobbe index on the sheet; null where the gas condenses."""
    from springcase.gas.base_conditions import (
        gross_heating_value,
        ideal_relative_density,
        relative_density,
        wobbe_index,
    )

    keys = ("relative_density", "gross_heating_value_j_m3", "wobbe_index_j_m3")
    sheet.found |= dict.fromkeys(keys)
    sheet.found["relative_density_ideal"] = ideal_relative_density(gas)
    sheet.found["base"] = {"pressure_abs_pa": base.pressure_abs, "temperature_k": base.temperature}
    try:
        sheet.found["relative_density"] = relative_density(gas, base)
        heat = gross_heating_value(gas, base)
    except OutsideValidity as error:
        sheet.warn("gas-no-relative-density", reason=explain(error))
        return
    if heat > 0:
        sheet.found["gross_heating_value_j_m3"] = heat
        sheet.found["wobbe_index_j_m3"] = wobbe_index(gas, base)
        sheet.rests_on("iso_6976_1995_memory", "heat and Wobbe index")


def _say_limits(sheet: _Sheet, gas: Gas, table: str) -> None:
    """Put the flammable limits on the sheet; null where nothing in the gas burns."""
    from springcase.gas.flammability import flammable_limits

    sheet.found |= {"flammable_low": None, "flammable_high": None, "flammable_table": table}
    try:
        limits = flammable_limits(gas, edition=table)
    except OutsideValidity as error:
        sheet.warn("gas-no-limits", reason=explain(error))
        return
    sheet.found |= {"flammable_low": limits.low, "flammable_high": limits.high}
    for source in limits.sources:
        sheet.rests_on(source, "flammable limits")
    if len(gas.fractions) > 1:
        sheet.warn("gas-limits-caution")


def _say_outlet(sheet: _Sheet, gas: Gas, states: tuple[float, float, float], model: str) -> None:
    """Put the temperature after the throttle on the sheet, with its cautions."""
    import numpy as np

    from springcase.gas.expansion import hydrate_temperature, outlet_temperature
    from springcase.gas.phase import condensing

    inlet, kelvin, outlet = states
    cold = float(outlet_temperature(gas, inlet, kelvin, outlet, model=model))
    is_wet = bool(condensing(gas, np.array(outlet), np.array(cold)).any())
    sheet.found |= {
        "outlet_pressure_abs_pa": outlet,
        "outlet_temperature_k": cold,
        "cooling_k": kelvin - cold,
        "outlet_condenses": is_wet,
        "hydrate_temperature_k": None,
    }
    if is_wet:
        sheet.warn("gas-outlet-condenses")
    if cold < _ICE:
        sheet.warn("gas-freezing")
    density = sheet.found["relative_density"]
    # Hydrates are of hydrocarbons and carbon dioxide; the correlation is for natural gas.
    if gas.fraction("methane") < 0.5 or density is None:
        return
    try:
        limit = hydrate_temperature(outlet, density)
        limit_at_inlet = hydrate_temperature(inlet, density)
    except OutsideValidity as error:
        sheet.warn("gas-no-hydrate", reason=explain(error))
        return
    sheet.found["hydrate_temperature_k"] = limit
    sheet.rests_on("towler_mokhatab_memory", "hydrate caution")
    for value, bound, place in (
        (cold, limit, "the outlet pressure"),
        (cold, limit_at_inlet, "the inlet pressure, which the gas leaves at the seat"),
    ):
        if value < bound:
            sheet.warn("gas-hydrate", limit=f"{bound - _ICE:.1f}", place=place)
            return
