"""
The two-stage unit: a small pilot sets the loading pressure that opens the main valve.

Supply passes the pilot orifice into the loading chamber; a restrictor bleeds the loading into
the outlet. The loading above the outlet lifts the main valve against its spring, so every lift
of the main valve asks for a loading, every loading for a bleed flow, and every bleed flow for a
lift of the pilot's own plug: its spring's relaxation over that lift is the droop. With the
pilot's lift y and its spring K as in `force_balance`::

    (p - p_atm) Ae + s (p1 - p_loading) Ap + K y - F = 0

First principles of statics (``statics``). Everything is bracketed by halving: no slopes.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from springcase.regulator.bracket import bisect_increasing
from springcase.regulator.force_balance import (
    full_lift,
    mass_flux,
    port_term,
    stiffness,
)
from springcase.regulator.model import GasState, Number, Pilot, Regulator

Array = NDArray[np.float64]


def main_lift(
    regulator: Regulator, gas: GasState, inlet_abs: Number, held_abs: Number, mass_flow: Number
) -> Array:
    """Return the lift of the main valve that passes a flow; infinite where none does. [m]"""
    flux = mass_flux(gas, inlet_abs, held_abs)
    with np.errstate(divide="ignore", invalid="ignore"):
        whole = np.asarray(mass_flow) / flux
        left = 1.0 - (whole / np.asarray(regulator.body_area)) ** 2
        seat = np.where(left > 0.0, whole / np.sqrt(np.maximum(left, 0.0)), np.inf)
    lift = seat / (regulator.discharge * np.pi * np.asarray(regulator.bore))
    lift = np.where(lift <= full_lift(regulator) * (1.0 + 1e-12), lift, np.inf)
    return np.where(np.asarray(mass_flow) == 0.0, 0.0, lift)


def loading_needed(
    pilot: Pilot, lift: Array, held_abs: Number, inlet_abs: Number, plug_area: Number
) -> Array:
    """Return the absolute loading pressure at which the main valve stands at a lift. [Pa]"""
    push = np.asarray(plug_area) * (np.asarray(inlet_abs) - held_abs)
    force = pilot.main_force + pilot.main_rate * lift + push
    return np.asarray(np.where(lift > 0.0, held_abs + force / pilot.loading_area, held_abs))


def pilot_lift(
    pilot: Pilot, gas: GasState, inlet_abs: Number, loading: Array, held_abs: Number
) -> Array:
    """Return the pilot's lift that feeds the bleed at a loading; infinite where none does. [m]"""
    bleed = pilot.discharge * np.pi / 4.0 * np.asarray(pilot.bleed_bore) ** 2
    reached = np.minimum(loading, np.asarray(inlet_abs) * (1.0 - 1e-12))
    bled = bleed * mass_flux(gas, np.maximum(reached, held_abs), held_abs)
    fed = mass_flux(gas, inlet_abs, reached)
    with np.errstate(divide="ignore", invalid="ignore"):
        lift = bled / (fed * pilot.discharge * np.pi * np.asarray(pilot.bore))
    most = np.minimum(np.asarray(pilot.travel), np.asarray(pilot.bore) / 4.0)
    can = (loading < inlet_abs) & (lift <= most * (1.0 + 1e-12))
    return np.where(bled == 0.0, 0.0, np.where(can, lift, np.inf))


def pilot_stage(regulator: Regulator, pilot: Pilot) -> Regulator:
    """Return the pilot as the small regulator it is: its orifice, its travel, no body."""
    port = np.pi / 4.0 * np.asarray(pilot.bore) ** 2
    return replace(
        regulator,
        bore=pilot.bore,
        travel=pilot.travel,
        plug_area=port,
        discharge=pilot.discharge,
        discharge_open=pilot.discharge,
        body_area=float("inf"),
        pilot=None,
        relief=None,
    )


def pilot_balance(
    regulator: Regulator,
    pilot: Pilot,
    gas: GasState,
    *,
    inlet_abs: Number,
    atmosphere_abs: Number,
    held_abs: Array,
    mass_flow: Number,
) -> tuple[Array, Array]:
    """Return what closes the pilot, and the lift it needs; that may be infinite. [N], [m]"""
    stage = pilot_stage(regulator, pilot)
    lift = main_lift(regulator, gas, inlet_abs, held_abs, mass_flow)
    loading = loading_needed(pilot, lift, held_abs, inlet_abs, regulator.plug_area)
    needed = pilot_lift(pilot, gas, inlet_abs, loading, held_abs)
    open_lift = np.minimum(needed, full_lift(stage))
    seen = np.minimum(loading, inlet_abs)
    closing = (
        (held_abs - atmosphere_abs) * np.asarray(stage.effective_area)
        + port_term(stage) * (np.asarray(inlet_abs) - seen)
        + stiffness(stage) * open_lift
    )
    return np.asarray(closing), needed


def solve_piloted(
    regulator: Regulator,
    pilot: Pilot,
    gas: GasState,
    *,
    inlet_abs: Number,
    atmosphere_abs: Number,
    force: Number,
    mass_flow: Number,
) -> Array:
    """Return the outlet pressure held, absolute; NaN where the flow is more than passes. [Pa]"""
    inlet, air, setting, flow = np.broadcast_arrays(
        *(np.asarray(v, dtype=float) for v in (inlet_abs, atmosphere_abs, force, mass_flow))
    )
    given: dict[str, Any] = {"inlet_abs": inlet, "atmosphere_abs": air, "mass_flow": flow}

    def left_over(held: Array) -> Array:
        closing, _ = pilot_balance(regulator, pilot, gas, held_abs=held, **given)
        return np.asarray(closing - setting)

    def out_of_reach(held: Array) -> Array:
        _, needed = pilot_balance(regulator, pilot, gas, held_abs=held, **given)
        return np.where(np.isinf(needed), 1.0, -1.0)

    low = 1e-6 * inlet
    held = bisect_increasing(left_over, low, inlet)
    reach = bisect_increasing(out_of_reach, low, inlet)
    held = np.where(out_of_reach(held) > 0.0, reach, held)
    return np.asarray(np.where(out_of_reach(low) > 0.0, np.nan, held))
