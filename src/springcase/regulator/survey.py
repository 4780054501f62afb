"""
One unit asked everything at once: its setting, its curve, and what must be said beside it.

A survey is figures and codes of cautions; sentences and pictures are made at the doors.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from springcase.errors import OutsideValidity
from springcase.regulator.model import (
    Action,
    Attitude,
    Caution,
    GasState,
    Place,
    Regulator,
    Setting,
)
from springcase.regulator.performance import (
    Curve,
    attitude_shift,
    full_lift_flow,
    held_gauge,
    inlet_effect,
    make_curve,
    relief_flow,
    relief_starts_gauge,
    settle,
    wide_open_flow,
)

Array = NDArray[np.float64]

REFERENCE_SHARE: Final = 0.05
"""Flow at which a unit is set where none is said, of that at full lift. Common practice. [-]"""
FALL_SHOWN: Final = 0.20
"""Departure from the set point to which a curve runs where no largest flow is said. [-]"""
POINTS: Final = 101


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """
    What a unit is asked: pressures [Pa], flows [kg/s], None where it is left to the survey.

    `other_abs` is the inlet of a reducer or the outlet of a back-pressure regulator; `low_abs`
    the other end of its range, for the inlet effect; `limit_gauge` the pressure that protection
    holds the outlet to, for the wide-open flow.
    """

    set_point_gauge: float
    other_abs: float
    atmosphere_abs: float
    reference_flow: float | None = None
    largest_flow: float | None = None
    low_abs: float | None = None
    limit_gauge: float | None = None
    set_attitude: Attitude = Attitude.UP
    attitude: Attitude = Attitude.UP
    spring_case_gauge: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Relief:
    """What the internal relief does: opens at [Pa], passes at the limit [kg/s]."""

    starts_gauge: float
    limit_gauge: float
    flow: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """
    The answers: pressures [Pa], flows [kg/s], shares [-]; `droop` is the departure from the set
    point at the largest flow, positive as a reducer falls or a back-pressure regulator rises.
    """

    setting: Setting
    curve: Curve
    reference_flow: float
    largest_flow: float
    full_lift_flow: float
    droop: float
    worst_share: float
    lock_up_share: float
    inlet_effect: float
    inlet_effect_from_abs: float
    wide_open_flow: float
    limit_gauge: float
    attitude_shift: float
    relief: Relief | None
    cautions: tuple[Caution, ...]


def survey(regulator: Regulator, gas: GasState, asked: Asked) -> Survey:
    """
    Return what a unit does as it is set and fitted.

    Raises
    ------
    OutsideValidity
        If it cannot be set so, as `settle` says, or its spring would be coil-bound.
    """
    bench = Place(
        other_abs=asked.other_abs, atmosphere_abs=asked.atmosphere_abs, attitude=asked.set_attitude
    )
    place = replace(bench, attitude=asked.attitude, spring_case_gauge=asked.spring_case_gauge)
    upstream, downstream = _ends(regulator, asked)
    full = float(full_lift_flow(regulator, gas, inlet_abs=upstream, outlet_abs=downstream))
    reference = REFERENCE_SHARE * full if asked.reference_flow is None else asked.reference_flow
    setting = settle(
        regulator, gas, bench, set_point_gauge=asked.set_point_gauge, mass_flow=reference
    )
    largest = asked.largest_flow
    if largest is None:
        largest = _flow_at_departure(regulator, gas, setting, place, full)
    curve = make_curve(regulator, gas, setting, place, np.linspace(0.0, largest, POINTS))
    limit = _limit(regulator, asked)
    low_abs = asked.low_abs if asked.low_abs is not None else _low_end(regulator, asked)
    effect = inlet_effect(
        regulator,
        gas,
        setting,
        place,
        low_abs=low_abs,
        high_abs=asked.other_abs,
        mass_flow=reference,
    )
    sign = 1.0 if regulator.action is Action.REDUCING else -1.0
    set_point = asked.set_point_gauge
    departure = sign * (set_point - curve.rising_gauge)
    found = Survey(
        setting=setting,
        curve=curve,
        reference_flow=reference,
        largest_flow=largest,
        full_lift_flow=full,
        droop=float(departure[-1]),
        worst_share=_worst(curve, set_point),
        lock_up_share=sign * (float(curve.lock_up.held_gauge) - set_point) / set_point,
        inlet_effect=float(effect),
        inlet_effect_from_abs=low_abs,
        wide_open_flow=_wide_open(regulator, gas, asked, limit),
        limit_gauge=limit,
        attitude_shift=float(attitude_shift(regulator, gas, setting, place, mass_flow=reference)),
        relief=_internal_relief(regulator, gas, setting, place, limit),
        cautions=(),
    )
    return replace(found, cautions=tuple(_cautions(regulator, asked, found)))


def _ends(regulator: Regulator, asked: Asked) -> tuple[float, float]:
    """Return the upstream and the downstream pressure at the set point. [Pa]"""
    held = asked.set_point_gauge + asked.atmosphere_abs
    if regulator.action is Action.REDUCING:
        return asked.other_abs, held
    return held, asked.other_abs


def _flow_at_departure(
    regulator: Regulator, gas: GasState, setting: Setting, place: Place, full: float
) -> float:
    """Return the first flow at which the pressure has left its set point by a fifth. [kg/s]"""
    low, high = 0.0, full
    for _ in range(2):
        flows = np.linspace(low, high, 401)
        held = np.asarray(held_gauge(regulator, gas, setting, place, mass_flow=flows, motion=1.0))
        departed = np.abs(held / float(setting.set_point_gauge) - 1.0) >= FALL_SHOWN
        beyond = np.flatnonzero(~np.isfinite(held) | (departed & (flows > 0.0)))
        if beyond.size == 0:
            return high
        first = int(beyond[0])
        low, high = float(flows[first - 1]), float(flows[first])
    return low if low > 0.0 else high


def _limit(regulator: Regulator, asked: Asked) -> float:
    """Return the outlet pressure at which wide open is judged, gauge. [Pa]"""
    if regulator.action is not Action.REDUCING:
        return asked.other_abs - asked.atmosphere_abs
    return asked.set_point_gauge if asked.limit_gauge is None else asked.limit_gauge


def _wide_open(regulator: Regulator, gas: GasState, asked: Asked, limit_gauge: float) -> float:
    upstream, downstream = _ends(regulator, asked)
    if regulator.action is Action.REDUCING:
        downstream = min(limit_gauge + asked.atmosphere_abs, upstream)
    return float(wide_open_flow(regulator, gas, inlet_abs=upstream, outlet_abs=downstream))


def _low_end(regulator: Regulator, asked: Asked) -> float:
    """Return half the other side's gauge pressure, but no less than leaves the unit working."""
    if regulator.action is not Action.REDUCING:
        return asked.atmosphere_abs
    held = asked.set_point_gauge + asked.atmosphere_abs
    return max(0.5 * (asked.other_abs + asked.atmosphere_abs), 0.5 * (asked.other_abs + held))


def _worst(curve: Curve, set_point: float) -> float:
    both = np.concatenate([curve.rising_gauge[1:], curve.falling_gauge[1:]]) / set_point - 1.0
    both = both[np.isfinite(both)]
    return float(both[np.argmax(np.abs(both))]) if both.size else float("nan")


def _internal_relief(
    regulator: Regulator, gas: GasState, setting: Setting, place: Place, limit_gauge: float
) -> Relief | None:
    if regulator.relief is None:
        return None
    flow = relief_flow(regulator, gas, setting, place, outlet_gauge=limit_gauge)
    starts = relief_starts_gauge(regulator, setting, place)
    return Relief(starts_gauge=float(starts), limit_gauge=limit_gauge, flow=float(flow))


def _cautions(regulator: Regulator, asked: Asked, found: Survey) -> Any:
    spring = regulator.control_spring
    length = spring.free_length - float(found.setting.compression)
    if length <= spring.solid_length:
        raise OutsideValidity(
            "performance-coil-bound",
            field=spring.name,
            value=f"{asked.set_point_gauge:.6g}",
            right=f"{length * 1e3:.1f} mm",
            solid=f"{spring.solid_length * 1e3:.1f} mm",
        )
    if length < spring.shortest:
        yield Caution(code="curve-screw-in", facts={"spring": spring.name})
    low, high = spring.low_gauge, spring.high_gauge
    if low is not None and high is not None and not low <= asked.set_point_gauge <= high:
        facts = {
            "set_point": asked.set_point_gauge,
            "low": low,
            "high": high,
            "spring": spring.name,
        }
        yield Caution(code="curve-set-outside-range", facts=facts)
    held_is_outlet = regulator.action is Action.REDUCING
    inlet = asked.other_abs - asked.atmosphere_abs if held_is_outlet else asked.set_point_gauge
    limit = regulator.inlet_limit_gauge
    if limit is not None and inlet > limit:
        yield Caution(code="curve-inlet-over-limit", facts={"inlet": inlet, "limit": limit})
    outlet = regulator.outlet_limit_gauge
    if held_is_outlet and outlet is not None and asked.set_point_gauge > outlet:
        facts = {"set_point": asked.set_point_gauge, "limit": outlet}
        yield Caution(code="curve-set-over-limit", facts=facts)
    if held_is_outlet and asked.limit_gauge is None:
        yield Caution(code="curve-no-limit", facts={})
    if abs(found.attitude_shift) > 0.0:
        yield Caution(code="curve-shift", facts={"shift": found.attitude_shift})
    if found.relief is not None:
        counts = found.relief.flow >= found.wide_open_flow
        facts = {
            "capacity": found.relief.flow,
            "wide_open": found.wide_open_flow,
            "limit": found.limit_gauge,
        }
        yield Caution(code="curve-relief-enough" if counts else "curve-relief-short", facts=facts)
