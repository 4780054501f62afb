"""`springcase relief`: area and designation for a flow, or capacity of an area or a rating."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final

from springcase.cli.air import absolute_typed, add_air_arguments, air_pressure
from springcase.cli.gas_choice import (
    GasTyped,
    Sheet,
    add_gas_arguments,
    gas_facts,
    gas_typed,
    in_typed_words,
    mass_or_base_flow,
    number_typed,
    positive_typed,
)
from springcase.errors import BadInput
from springcase.units import parse_quantity
from springcase.wording import sentence

if TYPE_CHECKING:
    from springcase.standards.relief import StandardOrifice

NAME: Final = "relief"
HELP: Final = "relief area, designation and capacity"
FORMAT: Final = "springcase/relief"
_ATMOSPHERE: Final = 101325.0
_OPTIONS: Final = {
    "inlet_pressure_abs": "--p1",
    "relieving_pressure_abs": "--p1",
    "back_pressure_abs": "--p2",
    "set_pressure_gauge": "--set",
    "back_pressure_gauge": "--p2",
    "overpressure": "--overpressure",
    "temperature": "--temperature",
    "molar_mass": "--molar-mass",
    "isentropic_exponent": "--isentropic",
    "compressibility": "--z",
    "discharge": "--discharge",
    "back_pressure_factor": "--kb",
    "combination_factor": "--kc",
    "designation": "--orifice",
}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options of the command."""
    add = parser.add_argument
    add_gas_arguments(parser)
    add("--p1", metavar="PRESSURE", help="relieving pressure: set plus overpressure")
    add("--set", metavar="PRESSURE", help="set pressure, gauge, instead of --p1")
    add("--overpressure", metavar="SHARE", default="10 %", help="of --set, at least 3 psi")
    add("--p2", metavar="PRESSURE", help="back pressure while relieving; the atmosphere if none")
    add("--flow", metavar="FLOW", help="flow to relieve: asks the area")
    add("--area", metavar="AREA", help="effective area: asks the capacity")
    add("--orifice", metavar="LETTER", help="standard orifice, D to T: asks the capacity")
    add("--discharge", metavar="NUMBER", help="coefficient of discharge, 0.975 if not known")
    add("--kb", metavar="FACTOR", default="1", help="back-pressure factor of a balanced valve")
    add("--kc", metavar="FACTOR", default="1", help="combination factor with a rupture disk")
    add("--balanced", action="store_true", help="a balanced valve: critical equation with Kb")
    add("--steam-rating", metavar="FLOW", help="capacity stamped for steam: asks that for the gas")
    add("--air-rating", metavar="FLOW", help="capacity stamped for air at 60 degF, likewise")
    add_air_arguments(parser)


def document(arguments: argparse.Namespace) -> tuple[dict[str, Any], int]:
    """Return area, designation and capacity; exit code 1 where a device passes too little."""
    arguments.command = NAME
    sheet = Sheet()
    kelvin = parse_quantity(arguments.temperature, "temperature", field="--temperature").value
    with in_typed_words(arguments, _OPTIONS):
        if arguments.steam_rating is not None or arguments.air_rating is not None:
            found, gas, code = _converted(arguments, kelvin, sheet)
        else:
            found, gas, code = _sized(arguments, kelvin, sheet)
    found |= gas_facts(gas, kelvin)
    return {**found, "warnings": sheet.warnings, "sources": sheet.sources}, code


def _relieving(arguments: argparse.Namespace, air: float | None, sheet: Sheet) -> float:
    """Return the absolute relieving pressure, typed or from the set pressure."""
    from springcase.gas.relief import relieving_pressure

    if (arguments.p1 is None) == (arguments.set is None):
        raise BadInput("relief-pressure-missing", field="springcase relief", right="--p1 or --set")
    if arguments.p1 is not None:
        return absolute_typed(arguments.p1, "--p1", air)
    typed = parse_quantity(arguments.set, "pressure", field="--set")
    if typed.reference != "gauge" or air is None:
        right = "a gauge pressure such as 10 bar gauge, with --barometer or --altitude"
        raise BadInput("relief-set-gauge", field="--set", value=arguments.set, right=right)
    share = parse_quantity(arguments.overpressure, "ratio", field="--overpressure").value
    sheet.rests_on("asme_viii_api_520_memory", "the least overpressure of 3 psi")
    return float(relieving_pressure(typed.value, barometer_abs=air, overpressure=share))


def _back(arguments: argparse.Namespace, air: float | None, sheet: Sheet) -> float:
    if arguments.p2 is not None:
        return absolute_typed(arguments.p2, "--p2", air)
    if air is None:
        sheet.warn("relief-back-pressure-assumed")
    return _ATMOSPHERE if air is None else air


def _discharge(arguments: argparse.Namespace, sheet: Sheet) -> float:
    from springcase.standards.relief import relief_factor

    if arguments.discharge is not None:
        return number_typed(arguments.discharge, "--discharge")
    figure = relief_factor("discharge, effective")
    sheet.warn("relief-discharge-assumed", figure=f"{figure.value:g}")
    sheet.rests_on(figure.source, "the discharge coefficient")
    return figure.value


def _sized(
    arguments: argparse.Namespace, kelvin: float, sheet: Sheet
) -> tuple[dict[str, Any], GasTyped, int]:
    """Return the area for a flow, the capacity of an area, or both against one another."""
    from springcase.gas.orifice import base_volume_flow
    from springcase.gas.relief import relief_area, relief_capacity, relief_is_critical

    fitted = _fitted_area(arguments, sheet)
    if arguments.flow is None and fitted is None:
        raise BadInput("relief-way-missing", field="springcase relief")
    air = air_pressure(arguments)
    inlet = _relieving(arguments, air, sheet)
    back = _back(arguments, air, sheet)
    gas = gas_typed(arguments, inlet, kelvin, sheet)
    duty: dict[str, Any] = {
        "relieving_pressure_abs": inlet,
        "back_pressure_abs": back,
        "temperature": kelvin,
        "molar_mass": gas.molar_mass,
        "isentropic_exponent": gas.ideal_exponent,
        "compressibility": gas.compressibility,
        "discharge": _discharge(arguments, sheet),
        "back_pressure_factor": number_typed(arguments.kb, "--kb"),
        "combination_factor": number_typed(arguments.kc, "--kc"),
        "is_balanced": arguments.balanced,
    }
    sheet.rests_on("api_520_1", "the sizing equations")
    is_critical = bool(
        relief_is_critical(
            relieving_pressure_abs=inlet,
            back_pressure_abs=back,
            isentropic_exponent=gas.ideal_exponent,
        )
    )
    if not is_critical and not arguments.balanced:
        sheet.warn("relief-subcritical")
    wanted = None
    if arguments.flow is not None:
        wanted = mass_or_base_flow(arguments.flow, "--flow", gas.molar_mass)
    area = fitted if wanted is None else float(relief_area(wanted, **duty))
    orifice = _standard(float(area or 0.0), sheet)
    own = fitted or (float(area or 0.0) if orifice is None else orifice.area)
    capacity = float(relief_capacity(own, **duty))
    code = 0
    if wanted is not None and fitted is not None:
        code = _held_to(capacity, wanted, sheet)
    found = {
        "area_m2": area,
        "designation": None if orifice is None else orifice.letter,
        "designation_area_m2": None if orifice is None else orifice.area,
        "fitted_area_m2": fitted,
        "flow_kg_s": wanted,
        "capacity_kg_s": capacity,
        "capacity_nm3_h": 3600 * float(base_volume_flow(capacity, molar_mass=gas.molar_mass)),
        "critical": is_critical,
        "relieving_pressure_abs_pa": inlet,
        "back_pressure_abs_pa": back,
    }
    return found, gas, code


def _held_to(capacity: float, wanted: float, sheet: Sheet) -> int:
    """Return 1, and say so, where a device passes less than is wanted."""
    if capacity >= wanted:
        return 0
    sheet.warn("relief-too-small", capacity=f"{3600 * capacity:.4g}", wanted=f"{3600 * wanted:.4g}")
    return 1


def _standard(area: float, sheet: Sheet) -> StandardOrifice | None:
    """Return the smallest standard orifice of an area, None where even the largest is less."""
    from springcase.standards.relief import choose_orifice, standard_orifices

    if area > standard_orifices()[-1].area:
        sheet.warn("relief-no-orifice")
        return None
    orifice = choose_orifice(area)
    sheet.rests_on(orifice.source, "the standard orifices")
    return orifice


def _fitted_area(arguments: argparse.Namespace, sheet: Sheet) -> float | None:
    """Return the area of the device that is there, None where one is to be chosen."""
    from springcase.standards.relief import standard_orifice

    if arguments.area is not None and arguments.orifice is not None:
        raise BadInput(
            "torque-given-twice", field="--orifice", value=arguments.orifice, right="--area"
        )
    if arguments.area is not None:
        return positive_typed(arguments.area, "area", "--area")
    if arguments.orifice is None:
        return None
    found = standard_orifice(arguments.orifice, field="--orifice")
    sheet.rests_on(found.source, "the standard orifices")
    return found.area


def _converted(
    arguments: argparse.Namespace, kelvin: float, sheet: Sheet
) -> tuple[dict[str, Any], GasTyped, int]:
    """Return the capacity on this gas of a device stamped for steam or air."""
    from springcase.gas import relief
    from springcase.gas.orifice import base_volume_flow

    if arguments.steam_rating is not None and arguments.air_rating is not None:
        raise BadInput(
            "torque-given-twice",
            field="--air-rating",
            value=arguments.air_rating,
            right="--steam-rating",
        )
    for option in ("p1", "set", "p2", "area", "orifice", "discharge"):
        if getattr(arguments, option) is not None:
            raise BadInput(
                "relief-rating-alone", field=f"--{option}", value=getattr(arguments, option)
            )
    # The conversion leaves Z out, so the state of the gas does not enter it.
    gas = gas_typed(arguments, _ATMOSPHERE, kelvin, sheet)
    if arguments.steam_rating is not None:
        stamped = positive_typed(arguments.steam_rating, "mass-flow", "--steam-rating")
        rating = float(relief.rating_of_steam(stamped))
    else:
        air_mass, sixty = 0.02897, 288.7055555555556
        stamped = mass_or_base_flow(arguments.air_rating, "--air-rating", air_mass)
        rating = float(
            relief.rating_of_gas(
                stamped, temperature=sixty, molar_mass=air_mass, isentropic_exponent=1.4
            )
        )
    sheet.rests_on("asme_viii_1_app_11", "the conversion between media")
    capacity = float(
        relief.capacity_of_rating(
            rating,
            temperature=kelvin,
            molar_mass=gas.molar_mass,
            isentropic_exponent=gas.ideal_exponent,
        )
    )
    wanted, code = None, 0
    if arguments.flow is not None:
        wanted = mass_or_base_flow(arguments.flow, "--flow", gas.molar_mass)
        code = _held_to(capacity, wanted, sheet)
    found = {
        "area_m2": None,
        "designation": None,
        "flow_kg_s": wanted,
        "rating_n": rating,
        "stamped_kg_s": stamped,
        "capacity_kg_s": capacity,
        "capacity_nm3_h": 3600 * float(base_volume_flow(capacity, molar_mass=gas.molar_mass)),
    }
    return found, gas, code


def text(document: Mapping[str, Any]) -> str:
    """Return the document for people: area and letter first, then what passes."""
    lines = []
    if document["area_m2"] is not None:
        letter = "larger than any standard orifice"
        if document["designation"] is not None:
            letter = (
                f"standard orifice {document['designation']} "
                f"({1e6 * document['designation_area_m2']:.5g} mm2)"
            )
        lines.append(f"Area           {1e6 * document['area_m2']:.5g} mm2, {letter}")
        lines.append(f"Critical       {'yes' if document['critical'] else 'no'}")
    of = "of the device" if document["area_m2"] is None else "of that orifice"
    if document.get("fitted_area_m2") is not None:
        of = "of the area given"
    lines.append(
        f"Capacity       {3600 * document['capacity_kg_s']:.5g} kg/h, "
        f"{document['capacity_nm3_h']:.5g} Nm3/h, {of}"
    )
    return "\n".join([*lines, "", sentence("relief-caution")])
