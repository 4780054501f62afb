"""Regulators made for the tests, in round figures of the check file."""

from __future__ import annotations

from typing import Any

from springcase.regulator.model import (
    Action,
    ControlSpring,
    FlowDirection,
    GasState,
    Pilot,
    Place,
    Regulator,
)

AIR = 101325.0
METHANE = GasState(molar_mass=0.01604, isentropic_exponent=1.31, temperature=288.15)


def make_spring(rate: float = 8000.0) -> ControlSpring:
    """Make a control spring of a rate in N/m."""
    return ControlSpring(name="plain", rate=rate, free_length=0.1, solid_length=0.04, shortest=0.06)


def make_regulator(**changes: Any) -> Regulator:
    """Make the lever-operated reducer of the check file, with what is changed."""
    given: dict[str, Any] = {
        "name": "made",
        "action": Action.REDUCING,
        "flow_direction": FlowDirection.TO_OPEN,
        "bore": 0.010,
        "travel": 0.0025,
        "plug_area": 78.540e-6,
        "effective_area": 0.020,
        "control_spring": make_spring(),
        "discharge": 0.80,
        "discharge_open": 0.85,
        "lever_ratio": 3.0,
    }
    return Regulator(**(given | changes))


def make_piloted(**changes: Any) -> Regulator:
    """Make a two-stage reducer with a balanced main valve."""
    pilot = Pilot(
        bore=0.004,
        travel=0.001,
        bleed_bore=0.0009,
        discharge=0.8,
        loading_area=0.0400,
        main_rate=9910.0,
        main_force=600.0,
    )
    given: dict[str, Any] = {
        "bore": 0.040,
        "travel": 0.010,
        "plug_area": 0.0,
        "effective_area": 0.0025,
        "control_spring": make_spring(25_000.0),
        "lever_ratio": 1.0,
        "flow_direction": FlowDirection.TO_CLOSE,
        "seat_load": 1500.0,
        "friction": 1.0,
        "pilot": pilot,
    }
    return make_regulator(**(given | changes))


def make_place(inlet_gauge: Any = 4e5, **changes: Any) -> Place:
    """Make a place with an inlet (or, for back pressure, an outlet) pressure in Pa gauge."""
    return Place(other_abs=inlet_gauge + AIR, **changes)
