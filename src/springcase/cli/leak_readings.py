"""What was read in a leak test, as typed: a held pressure, bubbles, or a flow meter."""

from __future__ import annotations

import argparse
import math
import re
from typing import TYPE_CHECKING, Final

from springcase.cli.air import absolute_typed, air_pressure, barometer_typed
from springcase.cli.gas_choice import Sheet, positive_typed
from springcase.errors import BadInput, OutsideValidity, UnitMismatch
from springcase.units import (
    ISO_13443,
    NORMAL,
    base_ratio,
    convert,
    parse_quantity,
    to_absolute,
)

if TYPE_CHECKING:
    from springcase.gas.leak import HoldReadings, Leak

_HOLD: Final = ("volume", "start", "end", "start_temperature", "end_temperature")
_OF_HOLD: Final = (
    *_HOLD,
    *("end_barometer", "resolution", "pressure_uncertainty"),
    *("temperature_resolution", "temperature_uncertainty", "volume_uncertainty"),
)
# For each test: the readings it needs, and those that belong to another.
_TESTS: Final[dict[str, tuple[tuple[str, ...], tuple[str, ...]]]] = {
    "hold": ((*_HOLD, "time"), ("temperature", "meter_uncertainty")),
    "bubbles": (
        ("bubbles", "tube", "temperature", "time"),
        (*_OF_HOLD, "meter_uncertainty"),
    ),
    "meter": (("meter",), (*_OF_HOLD, "bubbles", "tube", "time")),
}
_FRACTION: Final = re.compile(r"^\s*[+-]?\s*\d+[.,](\d+)(?=[^\d.,]|$)")


def method_asked(arguments: argparse.Namespace) -> str:
    """
    Return which test was typed: hold, bubbles or meter.

    Raises BadInput where what was typed belongs to two tests, or one of its readings lacks.
    """
    method = "hold"
    if arguments.meter is not None:
        method = "meter"
    elif arguments.bubbles is not None or arguments.tube is not None:
        method = "bubbles"
    wanted, alien = _TESTS[method]
    missing = [_option(name) for name in wanted if getattr(arguments, name) is None]
    if missing:
        raise BadInput("arguments-missing", field="springcase leak", right=missing)
    for name in alien:
        if getattr(arguments, name) is not None:
            raise BadInput(
                "leak-two-tests",
                field=_option(name),
                value=getattr(arguments, name),
                right=method,
            )
    return method


def _option(name: str) -> str:
    return "--" + name.replace("_", "-")


def hold_typed(arguments: argparse.Namespace, sheet: Sheet) -> tuple[HoldReadings, float]:
    """
    Return the readings of a hold, and the step its gauge shows, zero where not known. [Pa]

    Raises BadInput, UnitMismatch or OutsideValidity for a reading that cannot be used.
    """
    from springcase.gas.leak import HoldReadings

    air = air_pressure(arguments)
    start_reference = parse_quantity(arguments.start, "pressure", field="--start").reference
    end_reference = parse_quantity(arguments.end, "pressure", field="--end").reference
    if start_reference != end_reference:
        raise UnitMismatch(
            "leak-references-differ", field="--end", value=arguments.end, right=arguments.start
        )
    step, pressure = _pressure_deviation(arguments, sheet)
    readings = HoldReadings(
        volume=positive_typed(arguments.volume, "volume", "--volume"),
        start_pressure_abs=_positive(absolute_typed(arguments.start, "--start", air), arguments, 0),
        end_pressure_abs=_positive(_end_pressure(arguments, air), arguments, 1),
        start_temperature=positive_typed(
            arguments.start_temperature, "temperature", "--start-temperature"
        ),
        end_temperature=positive_typed(
            arguments.end_temperature, "temperature", "--end-temperature"
        ),
        seconds=positive_typed(arguments.time, "time", "--time"),
        pressure_deviation=pressure,
        temperature_deviation=_temperature_deviation(arguments, sheet),
        volume_deviation=_optional(arguments.volume_uncertainty, "volume", "--volume-uncertainty"),
    )
    return readings, step


def _positive(value: float, arguments: argparse.Namespace, end: int) -> float:
    if value <= 0:
        option, typed = (("--start", arguments.start), ("--end", arguments.end))[end]
        raise OutsideValidity("not-positive", field=option, value=typed, right="above a vacuum")
    return value


def _end_pressure(arguments: argparse.Namespace, air: float | None) -> float:
    """Return the absolute end pressure, with the air of the end where that was read."""
    if arguments.end_barometer is None:
        return absolute_typed(arguments.end, "--end", air)
    typed = parse_quantity(arguments.end, "pressure", field="--end")
    late_air = barometer_typed(arguments.end_barometer, "--end-barometer")
    return typed.value if typed.reference == "abs" else to_absolute(typed.value, late_air)


def _optional(text: str | None, kind: str, option: str) -> float:
    return (
        0.0
        if text is None
        else _not_negative(parse_quantity(text, kind, field=option).value, option, text)
    )


def _not_negative(value: float, option: str, text: str) -> float:
    if value < 0:
        raise OutsideValidity("not-positive", field=option, value=text, right="zero or more")
    return value


def _kelvins(text: str, option: str) -> float:
    """Return a difference of temperature, which only K says without doubt. [K]"""
    typed = parse_quantity(text, "temperature", field=option)
    if typed.unit.strip() not in ("K", "kelvin"):
        raise UnitMismatch("leak-kelvin", field=option, value=text, right="0.5 K")
    return typed.value


def _last_digit(text: str, *kinds: str) -> str:
    """
    Return what the last digit of a reading stands for, with its unit; 1 where it has no point.

    A number in an odd form, such as 1e3 or 1 1/2, stands for its whole unit as well.
    """
    unit = ""
    for kind in kinds:
        try:
            unit = parse_quantity(text, kind, field="--meter").unit
            break
        except UnitMismatch:
            if kind == kinds[-1]:
                raise
    found = _FRACTION.match(text)
    digits = 0 if found is None else len(found[1])
    return f"{10.0**-digits:.{digits}f} {unit}"


def _typed_step(texts: tuple[str, str], kind: str) -> tuple[float, str]:
    """Return the coarser of the last digits of two readings, in SI and as text."""
    steps = []
    for text in texts:
        words = _last_digit(text, kind)
        number, unit = words.split(" ", 1)
        size = 1 / (convert(1.0, unit) - convert(0.0, unit))
        steps.append((float(number) * size, words))
    return max(steps)


def _pressure_deviation(arguments: argparse.Namespace, sheet: Sheet) -> tuple[float, float]:
    """Return the gauge's step and the standard uncertainty of one reading. [Pa]"""
    given = arguments.pressure_uncertainty
    kind = "pressure-difference"
    own = _optional(given, kind, "--pressure-uncertainty")
    if arguments.resolution is not None:
        step = _optional(arguments.resolution, kind, "--resolution")
    elif given is not None:
        step = 0.0
    else:
        step, words = _typed_step((arguments.start, arguments.end), "pressure")
        sheet.warn("leak-step-typed", option="--resolution", step=words)
    return step, math.hypot(own, step / math.sqrt(12))


def _temperature_deviation(arguments: argparse.Namespace, sheet: Sheet) -> float:
    """Return the standard uncertainty of one temperature reading. [K]"""
    given = arguments.temperature_uncertainty
    own = 0.0 if given is None else _kelvins(given, "--temperature-uncertainty")
    if arguments.temperature_resolution is not None:
        step = _kelvins(arguments.temperature_resolution, "--temperature-resolution")
    elif given is not None:
        step = 0.0
    else:
        texts = (arguments.start_temperature, arguments.end_temperature)
        step, words = _typed_step(texts, "temperature")
        sheet.warn("leak-step-typed", option="--temperature-resolution", step=words)
    return math.hypot(own, step / math.sqrt(12))


def air_needed(arguments: argparse.Namespace, option: str) -> float:
    """
    Return the pressure of the air a reading was made in. [Pa]

    Raises BadInput where it is not given.
    """
    air = air_pressure(arguments)
    if air is None:
        raise BadInput("leak-air-missing", field=option, value=_typed(arguments, option))
    return air


def _typed(arguments: argparse.Namespace, option: str) -> str:
    return str(getattr(arguments, option.removeprefix("--").replace("-", "_")))


def bubbles_typed(arguments: argparse.Namespace, sheet: Sheet) -> Leak:
    """
    Return the leak of bubbles counted.

    Raises BadInput, UnknownName or OutsideValidity for what cannot be used.
    """
    from springcase.gas.leak import bubble_leak
    from springcase.standards.seat_leakage import bubble_tube

    tube = bubble_tube(arguments.tube, field="--tube")
    sheet.rests_on(tube.source, "the volume of a bubble")
    count = parse_quantity(arguments.bubbles, "ratio", field="--bubbles").value
    return bubble_leak(
        count=_not_negative(count, "--bubbles", arguments.bubbles),
        seconds=positive_typed(arguments.time, "time", "--time"),
        tube=tube,
        pressure_abs=air_needed(arguments, "--bubbles"),
        temperature=positive_typed(arguments.temperature, "temperature", "--temperature"),
    )


def meter_typed(arguments: argparse.Namespace, sheet: Sheet) -> Leak:
    """
    Return the leak a flow meter read.

    Raises BadInput, UnitMismatch or OutsideValidity for what cannot be used.
    """
    from springcase.gas.leak import meter_leak

    flow = _meter_flow(arguments, arguments.meter, "--meter")
    if arguments.meter_uncertainty is None:
        words = _last_digit(arguments.meter, "volume-flow", "base-flow")
        sheet.warn("leak-step-typed", option="--meter-uncertainty", step=words)
        deviation = _meter_flow(arguments, words, "--meter") / math.sqrt(12)
    else:
        deviation = _meter_flow(arguments, arguments.meter_uncertainty, "--meter-uncertainty")
    return meter_leak(flow_base=flow, deviation_base=deviation)


def _meter_flow(arguments: argparse.Namespace, text: str, option: str) -> float:
    """Return a flow read at base conditions, or at the air and temperature given. [m3/s]"""
    from springcase.gas.leak import actual_flow_base

    try:
        typed = parse_quantity(text, "volume-flow", field=option)
    except UnitMismatch as error:
        if error.code != "unit-kind":
            raise
        normal = parse_quantity(text, "base-flow", field=option).value
        return _not_negative(normal, option, text) * base_ratio(NORMAL, ISO_13443)
    if arguments.temperature is None:
        raise BadInput("leak-meter-actual", field=option, value=text, right="--temperature")
    air = air_needed(arguments, option)
    kelvin = positive_typed(arguments.temperature, "temperature", "--temperature")
    value = _not_negative(typed.value, option, text)
    return float(actual_flow_base(value, pressure_abs=air, temperature=kelvin))
