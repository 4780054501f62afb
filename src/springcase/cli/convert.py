"""`springcase convert`: any quantity in another unit, base or reference."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import Any, Final

from springcase.cli.air import add_air_arguments, air_pressure
from springcase.errors import OutsideValidity
from springcase.units import (
    BaseConditions,
    ConversionBasis,
    convert_quantity,
    parse_quantity,
    read_base,
)
from springcase.wording import sentence

NAME: Final = "convert"
HELP: Final = "units and base conditions"
FORMAT: Final = "springcase/convert"
_SOURCES: Final = {
    "pressure": ["nist_sp_811"],
    "torque": ["nist_sp_811"],
}
_SIGNIFICANT: Final = 7


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options of the command."""
    add = parser.add_argument
    add(
        "quantity", metavar="QUANTITY", help='such as "7 in w.c." or "1 scf/h @ 14.73 psi, 60 degF"'
    )
    add("--to", metavar="UNIT", required=True, help='unit wanted, such as psi or "Nm3/h"')
    add("--base", metavar="BASE", help="base of a volume that names none, such as us-14.73")
    add("--molar-mass", metavar="MASS", help="molar mass, where mass becomes volume of gas or back")
    add_air_arguments(parser)


def document(arguments: argparse.Namespace) -> tuple[dict[str, Any], int]:
    """Return the conversion and exit code 0."""
    air = air_pressure(arguments)
    basis = ConversionBasis(
        barometer_abs=air,
        default_base=None if arguments.base is None else read_base(arguments.base, field="--base"),
        molar_mass=_molar_mass(arguments.molar_mass),
    )
    found = convert_quantity(arguments.quantity, arguments.to, basis)
    warnings = [sentence(code) for code in found.assumed]
    sources = list(_SOURCES.get(found.kind, []))
    if arguments.altitude is not None:
        warnings.append(sentence("convert-altitude"))
        sources.append("iso_2533")
    made: dict[str, Any] = {
        "value": found.value,
        "unit": found.unit,
        "given": arguments.quantity,
        "kind": found.kind,
        "reference": found.reference or None,
        "value_si": found.value_si,
        "base": None if found.base is None else _base(found.base),
        "barometer_abs_pa": air,
        "warnings": warnings,
        "sources": sources,
    }
    return made, 0


def _molar_mass(typed: str | None) -> float | None:
    if typed is None:
        return None
    value = parse_quantity(typed, "molar-mass", field="--molar-mass").value
    if value <= 0:
        raise OutsideValidity(
            "not-positive", field="--molar-mass", value=typed, right="more than zero"
        )
    return value


def _base(base: BaseConditions) -> dict[str, Any]:
    return {
        "name": base.name or None,
        "pressure_abs_pa": base.pressure_abs,
        "temperature_k": base.temperature,
    }


def text(document: Mapping[str, Any]) -> str:
    """Return the conversion for people: one line, its base or reference after it."""
    unit, reference = document["unit"], document["reference"]
    words = {"abs": " absolute", "gauge": " gauge", "diff": " difference"}
    # A unit that says its reference itself is not told it twice.
    is_said = reference is None or unit.casefold().endswith((reference, reference[0], "w.c."))
    line = f"{document['given']} = {document['value']:.{_SIGNIFICANT}g} {unit}"
    line += "" if is_said else words[reference]
    base = document["base"]
    if base is not None:
        pressure, kelvin = base["pressure_abs_pa"], base["temperature_k"]
        line += f"\nBase of {unit}: {pressure / 1e5:.6g} bar abs, {kelvin - 273.15:.4g} degC"
    return line
