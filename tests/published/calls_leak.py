"""What the published cases of leaks and seat classes ask for, from the texts a case gives."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from springcase.gas import leak
from springcase.gas.valve_flow import valve_flow
from springcase.standards import seat_leakage
from springcase.units import ISO_13443, PSI, BaseConditions, parse_quantity, read_base

Given = Mapping[str, str]


def _value(given: Given, key: str, kind: str) -> float:
    return parse_quantity(given[key], kind, field=key).value


def _base(given: Given) -> BaseConditions:
    return read_base(given["base"], field="base") if "base" in given else ISO_13443


def _absolute(given: Given, key: str) -> float:
    typed = parse_quantity(given[key], "pressure", field=key)
    return (
        typed.value if typed.reference == "abs" else typed.value + _value(given, "air", "pressure")
    )


def _readings(given: Given) -> leak.HoldReadings:
    return leak.HoldReadings(
        volume=_value(given, "volume", "volume"),
        start_pressure_abs=_absolute(given, "start"),
        end_pressure_abs=_absolute(given, "end"),
        start_temperature=_value(given, "start_temperature", "temperature"),
        end_temperature=_value(given, "end_temperature", "temperature"),
        seconds=_value(given, "time", "time"),
    )


def _gained_rate(given: Given) -> float:
    readings = _readings(given)
    rate = leak.hold_amount_rate(
        volume=readings.volume,
        start_pressure_abs=readings.start_pressure_abs,
        end_pressure_abs=readings.end_pressure_abs,
        start_temperature=readings.start_temperature,
        end_temperature=readings.end_temperature,
        seconds=readings.seconds,
    )
    return -float(rate)


def _lost(given: Given) -> float:
    """Return the share lost in the time asked, as the share of the hold scaled to it."""
    readings = _readings(given)
    return leak.lost_share(readings) * _value(given, "per", "time") / readings.seconds


def _share(given: Given) -> float:
    found = leak.hold_leak(_readings(given)).temperature_share
    assert found is not None
    return found


def _warming(given: Given) -> float:
    """Return what one kelvin, or the kelvins given, do to a pressure."""
    pressure, kelvin = _absolute(given, "pressure"), _value(given, "temperature", "temperature")
    return float(leak.pressure_per_kelvin(pressure, kelvin)) * float(given.get("kelvins", "1"))


def _throughput(given: Given) -> float:
    kelvin = _value(given, "temperature", "temperature")
    return float(leak.throughput_flow_base(1.0, kelvin, _base(given)))


def _limit(given: Given) -> float:
    seat = _value(given, "seat", "length") if "seat" in given else None
    capacity = None
    if "kv" in given:
        capacity = _capacity(given)
    elif "capacity" in given:
        capacity = float(given["capacity"])
    return seat_leakage.seat_limit(
        given["class"],
        standard=given.get("standard", "FCI 70-2"),
        capacity_base=capacity,
        seat_diameter=seat,
    ).flow_base


def _capacity(given: Given) -> float:
    air = 101325.0
    flow = valve_flow(
        kv=float(given["kv"]),
        inlet_pressure_abs=45 * PSI + air,
        outlet_pressure_abs=air,
        temperature=293.15,
        molar_mass=float(given["molar_mass"]),
        isentropic_exponent=1.4,
        xt=0.72,
    )
    return float(flow)


def _bubble(given: Given) -> float:
    return seat_leakage.bubble_tube(given["tube"]).bubble


def _per_bubble(given: Given) -> float:
    """Return the leak of a row of class VI over the bubbles printed for it."""
    seat = _value(given, "seat", "length")
    return seat_leakage.soft_seat_flow(seat) * 60 / float(given["bubbles"])


CALLS: dict[str, Callable[[Given], float | str]] = {
    "gained amount": _gained_rate,
    "leak": lambda given: leak.hold_leak(_readings(given), _base(given)).flow_base,
    "uncorrected": lambda given: leak.hold_leak(_readings(given), _base(given)).uncorrected_base,
    "share of temperature": _share,
    "lost share": _lost,
    "per kelvin": _warming,
    "throughput": _throughput,
    "seat limit": _limit,
    "capacity": _capacity,
    "class V water": lambda given: seat_leakage.class_v_water_flow(
        _value(given, "seat", "length"), _value(given, "pressure", "pressure-difference")
    ),
    "bubble": _bubble,
    "per bubble": _per_bubble,
    "bubbles in a day": lambda given: _bubble(given) * float(given["bubbles"]) * 24 * 60,
    "classes": lambda given: " ".join(seat_leakage.seat_class_names(given["standard"])),
    "greatest change": lambda given: leak.GREATEST_DROP,
    "finest resolution": lambda given: leak.FINEST_RESOLUTION,
}
