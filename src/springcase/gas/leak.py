"""
How much gas leaks: by holding a pressure, by counting bubbles, by a flow meter, on one basis.

The gas is ideal: over a hold its compressibility hardly changes, and what is lost is a small
difference of two nearly equal states. A leak is positive when gas is lost. Every leak is at
15 degC and 101.325 kPa unless another base is given.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from numpy.typing import ArrayLike

from springcase.gas.numbers import GAS_CONSTANT, Numbers, give_back, not_negative, positive, read
from springcase.standards.seat_leakage import BubbleTube
from springcase.units import ISO_13443, BaseConditions

COVERAGE: Final = 2.0
"""Standard uncertainties in an expanded one: about 95 % for a normal spread (GUM)."""
GREATEST_DROP: Final = 0.1
FINEST_RESOLUTION: Final = 10.0
"""How much of its start a hold may lose, and how much finer than the limit a gauge should read
(``astm_e2930_scope``)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldReadings:
    """
    The readings of a pressure hold, and how well each is known.

    Enclosed volume [m3], absolute pressures at start and end [Pa], temperatures of the gas [K],
    the time between [s]; standard uncertainties of one pressure reading [Pa], one temperature
    reading [K], the volume [m3]. The two readings of an instrument count as independent.
    """

    volume: float
    start_pressure_abs: float
    end_pressure_abs: float
    start_temperature: float
    end_temperature: float
    seconds: float
    pressure_deviation: float = 0.0
    temperature_deviation: float = 0.0
    volume_deviation: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Leak:
    """
    A leak on one basis, and what its method could have seen.

    Leak, the leak without regard to temperature, its expanded uncertainty, and the least leak
    the method tells from none, all at base conditions [m3/s]; the share of the change that
    temperature explains [-], None where nothing changed or no pressure was held.
    """

    method: str
    flow_base: float
    uncorrected_base: float
    expanded_base: float
    detectable_base: float
    temperature_share: float | None


def throughput_flow_base(
    throughput: ArrayLike, temperature: ArrayLike, base: BaseConditions = ISO_13443
) -> Numbers:
    """
    Return the flow at base conditions of a throughput in Pa.m3/s of gas at a temperature. [m3/s]

    Throughput is pressure times volume over time [SI], temperature that of the gas [K].

    Raises
    ------
    OutsideValidity
        If the temperature is not more than zero.
    """
    warmth = base.temperature / positive(temperature, "temperature")
    return give_back(read(throughput, "throughput") * warmth / base.pressure_abs)


def actual_flow_base(
    flow_actual: ArrayLike,
    *,
    pressure_abs: ArrayLike,
    temperature: ArrayLike,
    base: BaseConditions = ISO_13443,
) -> Numbers:
    """
    Return the flow at base conditions of a flow read at a pressure [Pa] and temperature. [m3/s]

    Raises
    ------
    OutsideValidity
        If pressure or temperature [K] is not more than zero.
    """
    pressure = positive(pressure_abs, "pressure_abs")
    return throughput_flow_base(pressure * read(flow_actual, "flow_actual"), temperature, base)


def hold_amount_rate(
    *,
    volume: ArrayLike,
    start_pressure_abs: ArrayLike,
    end_pressure_abs: ArrayLike,
    start_temperature: ArrayLike,
    end_temperature: ArrayLike,
    seconds: ArrayLike,
) -> Numbers:
    """
    Return how fast a closed volume loses gas, in mol/s. [SI]

    Source: cfr_40_1065_644, with the sign of a loss. Volume [m3], absolute pressures [Pa],
    temperatures [K], time [s].

    Raises
    ------
    OutsideValidity
        If one of them is not more than zero.
    """
    start = positive(start_pressure_abs, "start_pressure_abs")
    end = positive(end_pressure_abs, "end_pressure_abs")
    lost = start / positive(start_temperature, "start_temperature") - end / positive(
        end_temperature, "end_temperature"
    )
    time = positive(seconds, "seconds")
    return give_back(positive(volume, "volume") * lost / (GAS_CONSTANT * time))


def hold_flow_base(
    *,
    volume: ArrayLike,
    start_pressure_abs: ArrayLike,
    end_pressure_abs: ArrayLike,
    start_temperature: ArrayLike,
    end_temperature: ArrayLike,
    seconds: ArrayLike,
    base: BaseConditions = ISO_13443,
) -> Numbers:
    """
    Return the leak of a closed volume by the ideal-gas balance, at base conditions. [m3/s]

    The parameters are those of `hold_amount_rate`.

    Raises
    ------
    OutsideValidity
        If one of them is not more than zero.

    Examples
    --------
    >>> leak = hold_flow_base(volume=0.25, start_pressure_abs=9.01325e5,
    ...     end_pressure_abs=8.91325e5, start_temperature=293.15, end_temperature=292.15,
    ...     seconds=3600)
    >>> round(6e7 * leak, 4)
    280.8849
    """
    rate = hold_amount_rate(
        volume=volume,
        start_pressure_abs=start_pressure_abs,
        end_pressure_abs=end_pressure_abs,
        start_temperature=start_temperature,
        end_temperature=end_temperature,
        seconds=seconds,
    )
    return give_back(read(rate, "rate") * GAS_CONSTANT * base.temperature / base.pressure_abs)


def pressure_per_kelvin(pressure_abs: ArrayLike, temperature: ArrayLike) -> Numbers:
    """
    Return what a kelvin does to a closed volume of gas, in Pa/K. [SI]

    Absolute pressure [Pa], temperature [K].

    Raises
    ------
    OutsideValidity
        If one of them is not more than zero.
    """
    return give_back(positive(pressure_abs, "pressure_abs") / positive(temperature, "temperature"))


def lost_share(readings: HoldReadings) -> float:
    """
    Return the share of its gas that a closed volume has lost over the hold. [-]

    Source: ansi_ans_56_8_memory, without its scaling to a day.
    """
    _check(readings)
    warmth = readings.start_temperature / readings.end_temperature
    return 1 - warmth * readings.end_pressure_abs / readings.start_pressure_abs


def _check(readings: HoldReadings) -> None:
    for field in (
        "volume",
        "start_pressure_abs",
        "end_pressure_abs",
        "start_temperature",
        "end_temperature",
        "seconds",
    ):
        positive(getattr(readings, field), field)
    for field in ("pressure_deviation", "temperature_deviation", "volume_deviation"):
        not_negative(getattr(readings, field), field)


def hold_leak(readings: HoldReadings, base: BaseConditions = ISO_13443) -> Leak:
    """
    Return the leak of a pressure hold, what temperature made of it, and how sure it is.

    The uncertainty is propagated to the first order (GUM) and expanded by `COVERAGE`.

    Raises
    ------
    OutsideValidity
        If a reading is not more than zero, or an uncertainty less than zero.
    """
    _check(readings)
    gain = readings.volume / readings.seconds * base.temperature / base.pressure_abs
    start = readings.start_pressure_abs / readings.start_temperature
    flow = gain * (start - readings.end_pressure_abs / readings.end_temperature)
    drop_diff = readings.start_pressure_abs - readings.end_pressure_abs
    uncorrected = gain * drop_diff / readings.start_temperature
    reading = gain * _state_deviation(readings)
    of_volume = flow * readings.volume_deviation / readings.volume
    return Leak(
        method="pressure hold",
        flow_base=flow,
        uncorrected_base=uncorrected,
        expanded_base=COVERAGE * math.hypot(reading, of_volume),
        detectable_base=COVERAGE * reading,
        temperature_share=None if drop_diff == 0 else 1 - flow / uncorrected,
    )


def _state_deviation(readings: HoldReadings) -> float:
    """Return the standard uncertainty of p1/T1 - p2/T2, in Pa/K."""
    terms = []
    for pressure, kelvin in (
        (readings.start_pressure_abs, readings.start_temperature),
        (readings.end_pressure_abs, readings.end_temperature),
    ):
        terms.append(readings.pressure_deviation / kelvin)
        terms.append(readings.temperature_deviation * pressure / kelvin**2)
    return math.hypot(*terms)


def bubble_leak(
    *,
    count: float,
    seconds: float,
    tube: BubbleTube,
    pressure_abs: float,
    temperature: float,
    base: BaseConditions = ISO_13443,
) -> Leak:
    """
    Return the leak of bubbles counted from a stated tube, at base conditions.

    The count [-] over a time [s] is sure to one bubble either way; the air [Pa] and the water
    [K] say how much gas a bubble holds. How well the tube's bubble is known is not in it.

    Raises
    ------
    OutsideValidity
        If the count is less than zero, or another figure not more than zero.
    """
    rate = tube.bubble / float(positive(seconds, "seconds"))
    one = float(
        read(
            actual_flow_base(rate, pressure_abs=pressure_abs, temperature=temperature, base=base),
            "rate",
        )
    )
    flow = one * float(not_negative(count, "count"))
    return Leak(
        method=f"bubbles, {tube.words}",
        flow_base=flow,
        uncorrected_base=flow,
        expanded_base=one,
        detectable_base=one,
        temperature_share=None,
    )


def meter_leak(*, flow_base: float, deviation_base: float = 0.0) -> Leak:
    """
    Return the leak a flow meter reads, already at base conditions [m3/s].

    `deviation_base` is the standard uncertainty of the reading [m3/s].

    Raises
    ------
    OutsideValidity
        If the uncertainty is less than zero.
    """
    flow = float(read(flow_base, "flow_base"))
    expanded = COVERAGE * float(not_negative(deviation_base, "deviation_base"))
    return Leak(
        method="flow meter",
        flow_base=flow,
        uncorrected_base=flow,
        expanded_base=expanded,
        detectable_base=expanded,
        temperature_share=None,
    )
