"""
What a regulator does: set point, outlet against flow, droop, lock-up, hysteresis, wide open.

Everything stands on the force balance. A setting is made once, at a place and a flow, and then
asked at other inlets, flows, attitudes and spring-case pressures. No lock-up is given without
the inlet pressure it belongs to.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from springcase.errors import OutsideValidity
from springcase.regulator import force_balance as balance
from springcase.regulator.bracket import bisect_increasing
from springcase.regulator.force_balance import FALLING, NEITHER, RISING
from springcase.regulator.model import Action, GasState, Number, Place, Regulator, Setting
from springcase.regulator.pilot import pilot_balance, pilot_stage, solve_piloted

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class LockUp:
    """A pressure at which the valve is tight and the other side's it was found at. [Pa]"""

    held_gauge: Number
    other_gauge: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """
    Pressure held against flow at one inlet: flows [kg/s], pressures [Pa], all gauge.

    `rising` is while the flow grows, `falling` while it dies away; NaN beyond what passes.
    """

    mass_flow: Array
    rising_gauge: Array
    falling_gauge: Array
    lock_up: LockUp
    set_point_gauge: float
    hysteresis: float


def settle(
    regulator: Regulator,
    gas: GasState,
    place: Place,
    *,
    set_point_gauge: Number,
    mass_flow: Number = 0.0,
) -> Setting:
    """
    Return the setting that holds a set point at a flow and place; friction in its middle.

    Parameters
    ----------
    regulator : Regulator
        The unit. [-]
    gas : GasState
        The gas at its inlet. [-]
    place : Place
        Where it is set. [-]
    set_point_gauge : array_like
        Pressure to hold. [Pa]
    mass_flow : array_like
        Flow at which it is set. [kg/s]

    Raises
    ------
    OutsideValidity
        If the set point is not more than zero, the flow is more than passes, the spring would
        have to pull, or a number is not finite.
    """
    check_regulator(regulator)
    _check_place(regulator, place, mass_flow)
    target = np.asarray(set_point_gauge, dtype=float)
    _refuse(regulator, target > 0.0, target, "performance-set-point", "more than zero")
    held = target + place.atmosphere_abs
    reducing = regulator.action is Action.REDUCING
    falls = held < place.other_abs if reducing else held > place.other_abs
    right = np.asarray(place.other_abs) - np.asarray(place.atmosphere_abs)
    _refuse(
        regulator,
        falls,
        target,
        "performance-no-drop-reducing" if reducing else "performance-no-drop-back",
        f"{float(np.max(right)):.6g} Pa gauge",
    )
    if regulator.pilot is not None:
        force, needed = pilot_balance(
            regulator,
            regulator.pilot,
            gas,
            inlet_abs=place.other_abs,
            atmosphere_abs=place.atmosphere_abs,
            held_abs=held,
            mass_flow=mass_flow,
        )
        stage = pilot_stage(regulator, regulator.pilot)
        most = np.inf
    else:
        terms = balance.make_terms(regulator, gas, place, force=0.0, mass_flow=mass_flow)
        force, _, needed = balance.balance(held, terms)
        stage, most = regulator, terms.travel * (1.0 + 1e-9)
    flow = np.asarray(mass_flow, dtype=float)
    passes = (needed <= most) & np.isfinite(needed)
    _refuse(regulator, passes, flow, "performance-flow-too-large", "less than full lift passes")
    sign = balance.action_sign(regulator)
    spring = (
        force
        - balance.helping_force(stage, place)
        + sign * np.asarray(stage.valve_spring_force) / stage.lever_ratio
    )
    _refuse(regulator, spring > 0.0, target, "performance-spring-pulls", "a higher set point")
    return Setting(
        set_point_gauge=_plain(target),
        force=_plain(force),
        spring_force=_plain(spring),
        compression=_plain(spring / stage.control_spring.rate),
        place=place,
        mass_flow=mass_flow,
    )


def check_regulator(regulator: Regulator) -> None:
    """
    Refuse a regulator no such thing can be.

    Raises
    ------
    OutsideValidity
        If a size is not more than zero, or its orifice passes more than its body.
    """
    spring = regulator.control_spring
    for field, value in (
        ("bore", regulator.bore),
        ("valve travel", regulator.travel),
        ("effective area", regulator.effective_area),
        ("spring rate", spring.rate),
        ("lever ratio", regulator.lever_ratio),
        ("discharge coefficient", regulator.discharge),
    ):
        numbers = np.asarray(value, dtype=float)
        if not np.all(np.isfinite(numbers) & (numbers > 0.0)):
            worst = f"{float(np.min(numbers)):.4g}"
            raise OutsideValidity(
                "performance-size", field=field, value=worst, right="finite and more than zero"
            )
    seat = regulator.discharge * np.pi * np.asarray(regulator.bore) * balance.full_lift(regulator)
    if np.any(seat > regulator.body_area):
        raise OutsideValidity(
            "performance-bore-over-body",
            field=regulator.name,
            value=f"{float(np.max(seat)) * 1e6:.4g} mm2",
            right=f"at most {float(np.min(regulator.body_area)) * 1e6:.4g} mm2",
        )


def _check_place(regulator: Regulator, place: Place, mass_flow: Number) -> None:
    for code, value in (
        ("performance-other-side", place.other_abs),
        ("performance-flow-negative", mass_flow),
    ):
        numbers = np.asarray(value, dtype=float)
        holds = np.isfinite(numbers) & (numbers >= 0.0)
        _refuse(regulator, holds, numbers, code, "zero or more, and finite")


def _refuse(regulator: Regulator, holds: Any, values: Array, code: str, right: str) -> None:
    if not np.all(holds):
        shown, held = np.broadcast_arrays(values, holds)
        value = f"{float(shown[~held].flat[0]):.6g}"
        raise OutsideValidity(code, field=regulator.name, value=value, right=right)


def _plain(value: Any) -> Number:
    return float(value) if np.ndim(value) == 0 else np.asarray(value)


def force_at(regulator: Regulator, setting: Setting, place: Place) -> Number:
    """Return the setting force as it is at another attitude or spring-case pressure. [N]"""
    there = balance.helping_force(regulator, place)
    return setting.force + there - balance.helping_force(regulator, setting.place)


def held_gauge(
    regulator: Regulator,
    gas: GasState,
    setting: Setting,
    place: Place,
    *,
    mass_flow: Number,
    motion: float = NEITHER,
) -> Number:
    """
    Return the pressure held at flows; NaN where the flow is more than passes. [kg/s], [Pa]

    Raises
    ------
    OutsideValidity
        If a flow is negative, or a flow or a pressure is not finite.
    """
    _check_place(regulator, place, mass_flow)
    force = force_at(regulator, setting, place)
    if regulator.pilot is not None:
        found = solve_piloted(
            regulator,
            regulator.pilot,
            gas,
            inlet_abs=place.other_abs,
            atmosphere_abs=place.atmosphere_abs,
            force=force - motion * np.asarray(regulator.friction),
            mass_flow=mass_flow,
        )
    else:
        terms = balance.make_terms(
            regulator, gas, place, force=force, mass_flow=mass_flow, motion=motion
        )
        found = balance.solve_held(terms)
    return _plain(found - place.atmosphere_abs)


def lock_up(regulator: Regulator, setting: Setting, place: Place) -> LockUp:
    """
    Return the pressure at which the valve is tight, flow dying away, with its inlet. [Pa]

    For a reducer the outlet has to rise until it makes the seat tight and overcomes friction;
    for a back-pressure regulator the inlet has to fall so far. A pilot's own seat decides: with
    it shut, the loading has bled down to the outlet.
    """
    stage = regulator if regulator.pilot is None else pilot_stage(regulator, regulator.pilot)
    sign = balance.action_sign(regulator)
    force = force_at(regulator, setting, place)
    seat = balance.seat_force(stage) / np.asarray(stage.lever_ratio)
    port = balance.port_term(stage)
    other = np.asarray(place.other_abs) - place.atmosphere_abs
    held = (force + sign * (regulator.friction + seat) - port * other) / (
        np.asarray(stage.effective_area) - port
    )
    return LockUp(held_gauge=_plain(held), other_gauge=_plain(other))


def wide_open_flow(
    regulator: Regulator, gas: GasState, *, inlet_abs: Number, outlet_abs: Number
) -> Number:
    """
    Return what passes failed open: full travel, the failed-open coefficient. [Pa], [kg/s]

    This is the flow that protection has to carry. `outlet_abs` is the outlet at its limit.
    """
    area = balance.full_area(regulator, failed=True)
    return _plain(area * balance.mass_flux(gas, inlet_abs, outlet_abs))


def full_lift_flow(
    regulator: Regulator, gas: GasState, *, inlet_abs: Number, outlet_abs: Number
) -> Number:
    """Return what passes at full lift in service. [Pa], [kg/s]"""
    area = balance.full_area(regulator)
    return _plain(area * balance.mass_flux(gas, inlet_abs, outlet_abs))


def make_curve(
    regulator: Regulator, gas: GasState, setting: Setting, place: Place, mass_flow: Array
) -> Curve:
    """Return the pressure held over flows, rising and falling, with lock-up and hysteresis."""
    both = [
        np.asarray(held_gauge(regulator, gas, setting, place, mass_flow=mass_flow, motion=motion))
        for motion in (RISING, FALLING)
    ]
    apart = np.abs(both[1] - both[0])
    return Curve(
        mass_flow=mass_flow,
        rising_gauge=both[0],
        falling_gauge=both[1],
        lock_up=lock_up(regulator, setting, place),
        set_point_gauge=float(setting.set_point_gauge),
        hysteresis=float(np.nanmax(apart)) if np.any(np.isfinite(apart)) else float("nan"),
    )


def inlet_effect(
    regulator: Regulator,
    gas: GasState,
    setting: Setting,
    place: Place,
    *,
    low_abs: float,
    high_abs: float,
    mass_flow: Number = 0.0,
) -> Number:
    """Return the change of the pressure held from the lower to the higher other side. [Pa]"""
    found = [
        held_gauge(regulator, gas, setting, replace(place, other_abs=other), mass_flow=mass_flow)
        for other in (low_abs, high_abs)
    ]
    return _plain(np.asarray(found[1]) - found[0])


def attitude_shift(
    regulator: Regulator, gas: GasState, setting: Setting, place: Place, *, mass_flow: Number = 0.0
) -> Number:
    """Return how far the pressure held moves by being fitted otherwise than it was set. [Pa]"""
    as_set = replace(
        place,
        attitude=setting.place.attitude,
        spring_case_gauge=setting.place.spring_case_gauge,
    )
    there = held_gauge(regulator, gas, setting, place, mass_flow=mass_flow)
    return _plain(
        np.asarray(there) - held_gauge(regulator, gas, setting, as_set, mass_flow=mass_flow)
    )


def least_inlet(
    regulator: Regulator,
    gas: GasState,
    setting: Setting,
    place: Place,
    *,
    mass_flow: float,
    least_held_gauge: float,
) -> float:
    """
    Return the lowest inlet at which a flow still leaves a pressure held; NaN if none up to its.

    Searched from the pressure itself up to the place's inlet: a fine scan, so that no crossing
    is passed over, then halving. [kg/s], [Pa]
    """
    if regulator.action is not Action.REDUCING:
        raise OutsideValidity(
            "performance-reducers-only", field=regulator.name, value=regulator.action.value
        )
    floor = least_held_gauge + float(place.atmosphere_abs)

    def short(inlets: Array) -> Array:
        held = held_gauge(
            regulator, gas, setting, replace(place, other_abs=inlets), mass_flow=mass_flow
        )
        return np.where(np.asarray(held) >= least_held_gauge, 1.0, -1.0)

    inlets = np.geomspace(floor * (1.0 + 1e-9), float(place.other_abs), 400)
    enough = np.flatnonzero(short(inlets) > 0.0)
    if enough.size == 0:
        return float("nan")
    first = int(enough[0])
    if first == 0:
        return float(inlets[0])
    found = bisect_increasing(short, inlets[first - 1 : first], inlets[first : first + 1], 60)
    return float(found[0])


def relief_starts_gauge(regulator: Regulator, setting: Setting, place: Place) -> Number:
    """
    Return the outlet pressure at which the internal relief begins to open. [Pa]

    Raises
    ------
    OutsideValidity
        If the unit has none.
    """
    relief = _relief(regulator)
    force = np.asarray(force_at(regulator, setting, place))
    # The valve spring holds the valve, not the diaphragm, once the two have parted.
    held = force + np.asarray(regulator.valve_spring_force) / regulator.lever_ratio
    return _plain((held + relief.spring_force) / np.asarray(regulator.effective_area))


def relief_flow(
    regulator: Regulator,
    gas: GasState,
    setting: Setting,
    place: Place,
    *,
    outlet_gauge: Number,
) -> Number:
    """
    Return what the internal relief passes to atmosphere at an outlet pressure. [Pa], [kg/s]

    The diaphragm has left the pusher and lifts against its control and relief springs; seat and
    vent stand in series.

    Raises
    ------
    OutsideValidity
        If the unit has none.
    """
    relief = _relief(regulator)
    excess = np.asarray(outlet_gauge) - relief_starts_gauge(regulator, setting, place)
    rate = np.asarray(regulator.control_spring.rate) + relief.spring_rate
    lift = np.clip(excess * regulator.effective_area / rate, 0.0, relief.travel)
    seat = np.pi * np.asarray(relief.seat_diameter)
    area = seat * np.minimum(lift, np.asarray(relief.seat_diameter) / 4.0)
    vent = np.pi / 4.0 * np.asarray(relief.vent_bore) ** 2
    passed = np.where(area > 0.0, balance.in_series(np.maximum(area, 1e-15), vent), 0.0)
    outlet = np.maximum(np.asarray(outlet_gauge), 0.0) + place.atmosphere_abs
    return _plain(relief.discharge * passed * balance.mass_flux(gas, outlet, place.atmosphere_abs))


def _relief(regulator: Regulator) -> Any:
    if regulator.relief is None:
        raise OutsideValidity("performance-no-relief", field=regulator.name)
    return regulator.relief
