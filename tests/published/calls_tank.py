"""What the published cases of tank demand ask for, from the texts a case gives."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from springcase.station import tank
from springcase.units import parse_quantity

Given = Mapping[str, str]


def _value(given: Given, key: str, kind: str) -> float:
    return parse_quantity(given[key], kind, field=key).value


def _volume(given: Given) -> float:
    return _value(given, "volume", "volume")


def _insulation(given: Given) -> float:
    return float(
        tank.insulation_factor(
            _value(given, "thickness", "length"),
            float(given["conductivity"]),
            float(given.get("share", "1")),
        )
    )


def _cooling_factor(given: Given) -> float:
    return tank.cooling_factor(
        float(given["latitude"]),
        tank.Vapour(given["vapour"]),
        _value(given, "temperature", "temperature"),
    ).value


def _demand(given: Given) -> tank.TankDemand:
    return tank.tank_demand(
        volume=_volume(given),
        latitude=float(given["latitude"]),
        vapour=tank.Vapour(given["vapour"]),
        vapour_pressure_abs=_value(given, "vapour_pressure", "pressure"),
        storage_temperature=_value(given, "temperature", "temperature"),
        pump_out_actual=_value(given, "out", "volume-flow"),
        pump_in_actual=_value(given, "in", "volume-flow"),
    )


def _filling(given: Given) -> float:
    rate = _value(given, "in", "volume-flow")
    return float(tank.filling_flow_base(rate, _value(given, "vapour_pressure", "pressure")))


CALLS: dict[str, Callable[[Given], float | str]] = {
    "cooling": lambda given: float(tank.cooling_flow_base(_volume(given), float(given["factor"]))),
    "heating": lambda given: float(tank.heating_flow_base(_volume(given), float(given["factor"]))),
    "insulation factor": _insulation,
    "cooling factor": _cooling_factor,
    "heating factor": lambda given: tank.heating_factor(float(given["latitude"])).value,
    "flow in": lambda given: _demand(given).in_breathing_base,
    "filling": _filling,
}
