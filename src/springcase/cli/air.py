"""The air around a unit, as typed: barometer or altitude, and the pressures it turns absolute."""

from __future__ import annotations

import argparse

from springcase.errors import BadInput, UnitMismatch
from springcase.units import (
    check_barometer,
    parse_quantity,
    standard_atmosphere,
    to_absolute,
)


def add_air_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare --barometer and --altitude."""
    parser.add_argument(
        "--barometer", metavar="PRESSURE", help="pressure of the air, such as 1013 mbar"
    )
    parser.add_argument(
        "--altitude", metavar="LENGTH", help="height above sea level, instead of --barometer"
    )


def air_pressure(arguments: argparse.Namespace) -> float | None:
    """
    Return the pressure of the air from --barometer or --altitude, None where neither is given.

    Raises BadInput where both are given or one cannot be read, OutsideValidity where no air has
    such a pressure.
    """
    if arguments.barometer is not None and arguments.altitude is not None:
        raise BadInput(
            "air-given-twice", field="--altitude", value=arguments.altitude, right="--barometer"
        )
    if arguments.barometer is not None:
        return barometer_typed(arguments.barometer, "--barometer")
    if arguments.altitude is not None:
        altitude = parse_quantity(arguments.altitude, "length", field="--altitude").value
        return standard_atmosphere(altitude, field="--altitude")
    return None


def barometer_typed(text: str, option: str) -> float:
    """
    Return a typed barometer reading, which is absolute by nature. [Pa]

    Raises BadInput where it is typed as gauge or cannot be read, OutsideValidity where no air
    has such a pressure.
    """
    try:
        reading = parse_quantity(text, "pressure", field=option)
    except UnitMismatch as error:
        if error.code != "pressure-reference-missing":
            raise
        reading = parse_quantity(f"{text} abs", "pressure", field=option)
    if reading.reference != "abs":
        raise BadInput("barometer-gauge", field=option, value=text, right="1013 mbar abs")
    return check_barometer(reading.value, field=option)


def absolute_typed(text: str, option: str, air_abs: float | None) -> float:
    """
    Return a typed pressure as an absolute one.

    Raises BadInput where it is gauge and the pressure of the air is not known.
    """
    typed = parse_quantity(text, "pressure", field=option)
    if typed.reference == "abs":
        return typed.value
    if air_abs is None:
        raise BadInput("barometer-missing", field=option, value=text, right="an absolute pressure")
    return to_absolute(typed.value, air_abs)
