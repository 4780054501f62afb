"""What the published cases of the force balance and of the control classes ask for."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from springcase.regulator import force_balance as balance
from springcase.regulator.model import (
    Action,
    Attitude,
    ControlSpring,
    FlowDirection,
    GasState,
    Place,
    Regulator,
)
from springcase.regulator.performance import attitude_shift, inlet_effect, lock_up, settle
from springcase.standards.control_classes import class_of, control_classes
from springcase.units import parse_quantity

Given = Mapping[str, str]
AIR = 101325.0
GAS = GasState(molar_mass=0.01604, isentropic_exponent=1.31, temperature=288.15)


def _value(given: Given, key: str, kind: str, without: str = "0 mm2") -> float:
    return parse_quantity(given.get(key, without), kind, field=key).value


def _regulator(given: Given, **changes: Any) -> Regulator:
    """Make the regulator a case describes; what it leaves out counts for nothing."""
    rate = _value(given, "rate", "stiffness", "8 N/mm")
    bore = _value(given, "bore", "length", "10 mm")
    made = Regulator(
        name="case",
        action=Action.REDUCING,
        flow_direction=FlowDirection(given.get("direction", "flow-to-open")),
        bore=bore,
        travel=1.0,
        plug_area=math.pi / 4 * bore * bore,
        effective_area=_value(given, "area", "area"),
        control_spring=ControlSpring(
            name="case", rate=rate, free_length=1.0, solid_length=0.0, shortest=0.0
        ),
        discharge=1.0,
        discharge_open=1.0,
        lever_ratio=float(given.get("lever", "1")),
    )
    return replace(made, **changes)


PLACE = Place(other_abs=10e5)


def _inlet_effect(given: Given) -> float:
    regulator = _regulator(given)
    setting = settle(regulator, GAS, PLACE, set_point_gauge=2e4)
    change = _value(given, "inlet", "pressure-difference")
    low, high = PLACE.other_abs, PLACE.other_abs + abs(change)
    found = inlet_effect(regulator, GAS, setting, PLACE, low_abs=low, high_abs=high)
    return float(found) * (1.0 if change > 0 else -1.0)


def _droop(given: Given) -> float:
    regulator = _regulator(given)
    lift = _value(given, "lift", "length")
    return float(balance.stiffness(regulator) * lift / regulator.effective_area)


def _seat_rise(given: Given) -> float:
    # The case is of seat load alone: a trim on which the inlet does not act.
    edge = math.pi * _value(given, "bore", "length", "10 mm")
    load = _value(given, "force", "force") / edge
    regulator = _regulator(given, plug_area=0.0, seat_load=load)
    setting = settle(regulator, GAS, PLACE, set_point_gauge=2e4)
    return float(lock_up(regulator, setting, PLACE).held_gauge) - 2e4


def _turned(given: Given) -> float:
    mass = _value(given, "mass", "mass")
    regulator = _regulator(given, plug_area=0.0, moving_mass=mass)
    place = replace(PLACE, attitude=Attitude(given["set"]))
    setting = settle(regulator, GAS, place, set_point_gauge=2e4)
    fitted = replace(place, attitude=Attitude(given["fitted"]))
    return abs(float(attitude_shift(regulator, GAS, setting, fitted)))


def _case_pressure(given: Given) -> float:
    regulator = _regulator(given, plug_area=0.0)
    setting = settle(regulator, GAS, PLACE, set_point_gauge=2e4)
    pressed = replace(PLACE, spring_case_gauge=_value(given, "case", "pressure-difference"))
    return float(attitude_shift(regulator, GAS, setting, pressed))


def _class(kind: str, given: Given) -> str:
    set_point = float(given["set"])
    share = max(abs(float(each) / set_point - 1.0) for each in given["found"].split())
    found = class_of(kind, share)
    return "none" if found is None else found.name


CALLS = {
    "inlet effect": _inlet_effect,
    "droop over a lift": _droop,
    "rise by seat load": _seat_rise,
    "shift by attitude": _turned,
    "shift by spring-case pressure": _case_pressure,
    "accuracy class": lambda given: _class("accuracy", given),
    "lock-up class": lambda given: _class("lock-up", given),
    "classes": lambda given: " ".join(each.name for each in control_classes(given["kind"])),
}
