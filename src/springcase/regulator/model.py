"""
What the force balance knows of a regulator, its gas and where it stands: SI floats, no text.

Every number may be one float or an array over units: the formulas broadcast. Nothing in this
file computes more than a sum of its own fields.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final

STANDARD_ATMOSPHERE: Final = 101325.0
GAS_CONSTANT: Final = 8.31446261815324

Number = Any
"""A float, or an array of them: [SI], broadcast against every other."""


class Action(StrEnum):
    """Which side is held: the outlet (reducing) or the inlet (back-pressure, relief)."""

    REDUCING = "reducing"
    BACK_PRESSURE = "back-pressure"


class FlowDirection(StrEnum):
    """Whether the inlet pressure pushes the valve open or shut."""

    TO_OPEN = "flow-to-open"
    TO_CLOSE = "flow-to-close"


class Attitude(StrEnum):
    """How the spring case stands."""

    UP = "spring-case-up"
    DOWN = "spring-case-down"
    LEVEL = "level"


WEIGHT_SHARE: Final = {Attitude.UP: 1.0, Attitude.DOWN: -1.0, Attitude.LEVEL: 0.0}
"""Share of the weight of the moving parts that helps the control spring. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class GasState:
    """The gas at the inlet: molar mass [kg/mol], temperature [K], exponent and Z [-]."""

    molar_mass: Number
    isentropic_exponent: Number
    temperature: Number
    compressibility: Number = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class InternalRelief:
    """
    The relief inside a service regulator.

    `spring_rate` [N/m] of its own spring, `spring_force` [N] that holds its seat with the valve
    shut, `seat_diameter`, `travel` and `vent_bore` [m], `discharge` [-] of seat and vent.
    """

    spring_rate: Number
    spring_force: Number
    seat_diameter: Number
    travel: Number
    vent_bore: Number
    discharge: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class Pilot:
    """
    The first stage of a pilot-operated unit; its diaphragm and spring set the pressure.

    `bore` of the pilot orifice, `travel` of its plug and `bleed_bore` of the restrictor from
    loading to outlet [m], `discharge` of both [-]; `loading_area` of the main diaphragm [m2],
    `main_rate` [N/m] and `main_force` [N] of the spring that holds the main valve shut.
    """

    bore: Number
    travel: Number
    bleed_bore: Number
    discharge: Number
    loading_area: Number
    main_rate: Number
    main_force: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlSpring:
    """
    The spring that sets the pressure, as its card says it.

    `rate` [N/m], `free_length`, `solid_length` and `shortest` with the screw right in [m];
    `low_gauge` and `high_gauge`, the range on its card [Pa], None where the card names none.
    """

    name: str
    rate: Number
    free_length: float
    solid_length: float
    shortest: float
    low_gauge: float | None = None
    high_gauge: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Regulator:
    """
    One regulator as forces: lengths [m], areas [m2], forces [N], rates [N/m].

    `plug_area` is what the inlet acts on: the port for plain trim, the residual area for
    balanced. `effective_area` is that with the valve shut and grows by `area_change` [-] over
    the stroke. `lever_ratio` is diaphragm travel over valve travel. `discharge` and
    `discharge_open` [-] are those of the seat in service and failed open; `body_area` is the
    discharge coefficient times area of the body behind the seat, infinite where it counts for
    nothing. `seat_load` [N/m] is per length of seat edge, `friction` is felt at the diaphragm,
    `boost` [-] is the share of the outlet's dynamic pressure the sensing tube is short of.
    """

    name: str
    action: Action
    flow_direction: FlowDirection
    bore: Number
    travel: Number
    plug_area: Number
    effective_area: Number
    control_spring: ControlSpring
    discharge: Number
    discharge_open: Number
    area_change: Number = 0.0
    lever_ratio: Number = 1.0
    screw_pitch: Number = 1e-3
    valve_spring_rate: Number = 0.0
    valve_spring_force: Number = 0.0
    moving_mass: Number = 0.0
    friction: Number = 0.0
    seat_load: Number = 0.0
    boost: Number = 0.0
    outlet_bore: Number = 0.0
    body_area: Number = float("inf")
    sensing: str = "internal"
    relief: InternalRelief | None = None
    pilot: Pilot | None = None
    inlet_limit_gauge: float | None = None
    outlet_limit_gauge: float | None = None
    casing_limit_gauge: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """
    Where a unit stands: `atmosphere_abs` and `spring_case_gauge` [Pa], and its attitude.

    `other_abs` [Pa] is the pressure that is not held: the inlet of a reducer, the outlet of a
    back-pressure regulator.
    """

    other_abs: Number
    atmosphere_abs: Number = STANDARD_ATMOSPHERE
    spring_case_gauge: Number = 0.0
    attitude: Attitude = Attitude.UP


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """
    How a unit was set: the force of spring, weight and case on the diaphragm, valve shut. [N]

    `force` holds at the place and flow it was set at; `spring_force` [N] is the control
    spring's part of it and `compression` [m] what that shortens the spring, valve shut.
    """

    set_point_gauge: Number
    force: Number
    spring_force: Number
    compression: Number
    place: Place
    mass_flow: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """Something the reader must know beside a figure: a code and its facts."""

    code: str
    facts: Mapping[str, object]
