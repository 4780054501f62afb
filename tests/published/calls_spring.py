"""What the published cases of spring, diaphragm and lever ask for, from the texts a case gives."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from springcase.gas import orifice
from springcase.regulator import diaphragm, lever, setting, spring
from springcase.standards import wire
from springcase.units import parse_quantity

Given = Mapping[str, str]


def _value(given: Given, key: str, kind: str) -> float:
    return parse_quantity(given[key], kind, field=key).value


def _length(given: Given, key: str) -> float:
    return _value(given, key, "length")


def _coil(given: Given) -> tuple[float, float]:
    """Return wire and mean diameter, from the outer one where that is printed."""
    thin = _length(given, "wire")
    if "outer" in given:
        return thin, _length(given, "outer") - thin
    return thin, _length(given, "mean")


def _ends(given: Given) -> str:
    return given.get("ends", "squared")


def _active(given: Given) -> float:
    if "active" in given:
        return float(given["active"])
    return float(spring.active_coils(float(given["total"]), _ends(given)))


def _rate(given: Given) -> float:
    modulus = _value(given, "modulus", "stress")
    return float(spring.spring_rate(*_coil(given), _active(given), modulus))


def _rate_rise(given: Given) -> float:
    thicker = 1 + _value(given, "thicker", "ratio")
    thin, mean = _coil(given)
    modulus = _value(given, "modulus", "stress")
    return (
        float(spring.spring_rate(thin * thicker, mean, _active(given), modulus)) / _rate(given) - 1
    )


def _factor(given: Given) -> float:
    index = float(given["index"]) if "index" in given else spring.spring_index(*_coil(given))
    return float(spring.stress_factor(index, given["factor"]))


def _stress(given: Given) -> float:
    return float(spring.shear_stress(_value(given, "force", "force"), *_coil(given)))


def _tensile(given: Given) -> float:
    printing = given.get("printing", "")
    return wire.tensile_strength(given["material"], _length(given, "wire"), printing=printing).value


def _strength_exponent(given: Given) -> float:
    """Return the exponent m of A / d^m, recovered from the strengths of two wires."""
    thin, thick = _length(given, "wire"), 1.25 * _length(given, "wire")
    strengths = [
        wire.tensile_strength(given["material"], one, printing="metric").value
        for one in (thin, thick)
    ]
    return math.log(strengths[0] / strengths[1]) / math.log(1.25)


def _strength_coefficient(given: Given) -> float:
    """Return A of A / d^m for a wire in millimetres, recovered from the strengths. [Pa]"""
    thin = _length(given, "wire")
    strength = wire.tensile_strength(given["material"], thin, printing="metric").value
    return strength * math.pow(thin / 1e-3, _strength_exponent(given))


def _shear_limit(given: Given) -> float:
    return wire.shear_limit(given["material"], _length(given, "wire")).value


def _force_at_limit(given: Given) -> float:
    return float(spring.force_at_stress(_shear_limit(given), *_coil(given), given["factor"]))


def _deflection(given: Given) -> float:
    return _force_at_limit(given) / _rate(given)


def _solid(given: Given) -> float:
    return float(spring.solid_length(float(given["total"]), _length(given, "wire"), _ends(given)))


def _free(given: Given) -> float:
    """Return the free length that brings the spring solid at its limit, as the example asks."""
    return _deflection(given) + _solid(given)


def _coil_pitch(given: Given) -> float:
    total, thin = float(given["total"]), _length(given, "wire")
    return float(spring.coil_pitch(_free(given), total, thin, _ends(given)))


def _modulus(given: Given) -> float:
    return wire.wire_shear_modulus(given["material"], _length(given, "wire")).value


def _effective_area(given: Given) -> float:
    return float(
        diaphragm.effective_area(
            given["kind"],
            _length(given, "bore"),
            _length(given, "plate") if "plate" in given else 0.0,
            _length(given, "convolution") if "convolution" in given else 0.0,
        )
    )


def _effective_diameter(given: Given) -> float:
    return math.sqrt(_effective_area(given) * 4 / math.pi)


def _thrust(given: Given) -> float:
    return _effective_area(given) * _value(given, "across", "pressure-difference")


def _area_share(given: Given) -> float:
    whole = float(diaphragm.effective_area("flat", 1.0, 1.0))
    return float(diaphragm.effective_area(given["kind"], 1.0, float(given["plate"]))) / whole


def _kinds_apart(given: Given) -> float:
    bore, plate = _length(given, "bore"), _length(given, "plate")
    flat = float(diaphragm.effective_area("flat", bore, plate))
    return 1 - float(diaphragm.effective_area("convoluted", bore, plate)) / flat


def _wall_tension(given: Given) -> float:
    across = _value(given, "across", "pressure-difference")
    return float(diaphragm.wall_tension(across, _length(given, "convolution")))


def _inlet_shift(given: Given) -> float:
    area = lever.unbalanced_area(_length(given, "orifice"))
    effect = lever.inlet_effect(
        given["direction"], area, _value(given, "area", "area"), float(given["ratio"])
    )
    return float(effect) * _value(given, "rise", "pressure-difference")


def _seat_force(given: Given) -> float:
    area = float(lever.unbalanced_area(_length(given, "orifice")))
    return area * _value(given, "rise", "pressure-difference")


def _droop(given: Given) -> float:
    return float(
        lever.droop_diff(
            _value(given, "rate", "stiffness"),
            _length(given, "travel"),
            _value(given, "area", "area"),
            float(given.get("ratio", "1")),
        )
    )


def _seat_rise(given: Given) -> float:
    load, area = _value(given, "load", "force"), _value(given, "area", "area")
    return float(lever.seat_load_rise_diff(load, area, float(given["ratio"])))


def _full_lift(given: Given) -> float:
    return float(lever.full_lift(_length(given, "bore"), _value(given, "angle", "angle")))


def _per_turn(given: Given) -> float:
    return float(
        setting.pressure_per_turn_diff(
            _value(given, "rate", "stiffness"),
            _length(given, "pitch"),
            _value(given, "area", "area"),
        )
    )


def _identified(given: Given) -> setting.IdentifiedSpring:
    return setting.identify_spring(
        measured_pressure_per_turn_diff=_value(given, "per_turn", "pressure-difference"),
        pitch=_length(given, "pitch"),
        effective_area=_value(given, "area", "area"),
        carded_rate=_value(given, "card", "stiffness"),
    )


def _weight(given: Given) -> float:
    mass, area = _value(given, "mass", "mass"), _value(given, "area", "area")
    if "bench" in given:
        return float(lever.attitude_shift_diff(mass, area, given["bench"], given["fitted"]))
    return float(lever.weight_shift_diff(mass, area, given["fitted"]))


def _valve_force(given: Given) -> float:
    return float(lever.valve_force(_value(given, "force", "force"), float(given["ratio"])))


def _diaphragm_travel(given: Given) -> float:
    return float(lever.diaphragm_travel(_length(given, "travel"), float(given["ratio"])))


CALLS: dict[str, Callable[[Given], float | str]] = {
    "mean diameter of a coil": lambda given: _coil(given)[1],
    "spring index": lambda given: float(spring.spring_index(*_coil(given))),
    "active coils": _active,
    "spring rate": _rate,
    "rise of the rate": _rate_rise,
    "stress factor": _factor,
    "shear stress": _stress,
    "tensile strength": _tensile,
    "strength exponent": _strength_exponent,
    "strength coefficient": _strength_coefficient,
    "shear limit": _shear_limit,
    "force at the limit": _force_at_limit,
    "deflection at the limit": _deflection,
    "solid length": _solid,
    "free length": _free,
    "buckling length": lambda given: float(spring.buckling_length(_coil(given)[1])),
    "coil pitch": _coil_pitch,
    "shear modulus": _modulus,
    "effective area": _effective_area,
    "effective diameter": _effective_diameter,
    "thrust": _thrust,
    "share of the bore": _area_share,
    "convoluted under flat": _kinds_apart,
    "wall tension": _wall_tension,
    "curtain area": lambda given: float(
        orifice.curtain_area(_length(given, "bore"), _length(given, "lift"))
    ),
    "bore area": lambda given: float(orifice.bore_area(_length(given, "bore"))),
    "shift with the inlet": _inlet_shift,
    "force at the seat": _seat_force,
    "droop": _droop,
    "rise to seat": _seat_rise,
    "full lift": _full_lift,
    "pressure per turn": _per_turn,
    "rate from a turn": lambda given: _identified(given).rate,
    "expected per turn": lambda given: _identified(given).expected_per_turn_diff,
    "stiffer by": lambda given: _identified(given).ratio - 1,
    "identity": lambda given: _identified(given).verdict.value,
    "shift by weight": _weight,
    "force at the valve": _valve_force,
    "travel of the diaphragm": _diaphragm_travel,
}
