"""What the published cases of flow and relief ask for, from the texts a case gives."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from springcase.gas import isentropic, orifice, pipe, pipeline, relief, valve_fittings, valve_flow
from springcase.gas.composition import read_gas
from springcase.gas.critical_flow import CriticalFlow, critical_flow
from springcase.gas.valve_reynolds import reynolds_factor, valve_reynolds
from springcase.standards.relief import choose_orifice, relief_factor, standard_orifice
from springcase.units import INCH, NORMAL, BaseConditions, base_ratio, parse_quantity

Given = Mapping[str, str]

GAS = {
    "temperature": ("temperature", "temperature"),
    "p1": ("pressure", "inlet_pressure_abs"),
    "p2": ("pressure", "outlet_pressure_abs"),
}


def _value(given: Given, key: str, kind: str) -> float:
    return parse_quantity(given[key], kind, field=key).value


def _gas(given: Given) -> dict[str, Any]:
    """Return what both valve and orifice take; molar masses are typed in g/mol."""
    found: dict[str, Any] = {
        name: _value(given, key, kind) for key, (kind, name) in GAS.items() if key in given
    }
    found["molar_mass"] = 1e-3 * float(given["molar_mass"])
    found["isentropic_exponent"] = float(given["gamma"])
    found["compressibility"] = float(given.get("z", "1"))
    return found


def _kv(given: Given) -> float:
    flow = _value(given, "flow", "base-flow")
    return float(valve_flow.valve_kv(flow_base=flow, xt=float(given["xt"]), **_gas(given)))


def _duty(given: Given) -> valve_fittings.Duty:
    return valve_fittings.Duty(**_gas(given))


def _valve(given: Given) -> valve_fittings.Valve:
    return valve_fittings.Valve(
        xt=float(given["xt"]),
        diameter=_value(given, "d", "length"),
        inlet_pipe=_value(given, "D1", "length"),
        outlet_pipe=_value(given, "D2", "length"),
        pressure_recovery=float(given.get("fl", "0.9")),
        style_modifier=float(given.get("fd", "1")),
        edition=given.get("edition", "2011"),
    )


def _fitted(given: Given) -> valve_fittings.ValveFlow:
    flow = _value(given, "flow", "base-flow")
    return valve_fittings.solve_kv(_duty(given), _valve(given), flow)


def _small_trim(given: Given) -> valve_fittings.ValveFlow:
    duty = valve_fittings.Duty(**_gas(given), viscosity=float(given["mu"]))
    return valve_fittings.solve_kv(duty, _valve(given), _value(given, "flow", "base-flow"))


def _choked_x(given: Given) -> float:
    return float(valve_flow.choked_ratio(float(given["xt"]), float(given["gamma"])))


def _drop_ratio(given: Given) -> float:
    return 1.0 - _value(given, "p2", "pressure") / _value(given, "p1", "pressure")


def _expansion(given: Given) -> float:
    return float(valve_flow.expansion_factor(_drop_ratio(given), _choked_x(given)))


def _losses(given: Given) -> tuple[float, float]:
    sizes = (_value(given, key, "length") for key in ("d", "D1", "D2"))
    both, inlet = valve_fittings.fitting_losses(*sizes)
    return float(both), float(inlet)


def _piping(given: Given, *, what: str) -> float:
    """Return FP or xTP at a Kv, as the flow of that Kv finds them."""
    found = valve_fittings.solve_flow(_duty(given), _valve(given), float(given["kv"]))
    return float(getattr(found, what))


def _flow_of_cv(given: Given) -> float:
    kv = valve_flow.kv_of_cv(float(given["cv"]))
    return float(valve_flow.valve_flow(kv=kv, xt=float(given["xt"]), **_gas(given)))


def _reynolds(given: Given) -> float:
    return float(
        valve_reynolds(
            float(given["kv"]),
            flow_actual=_value(given, "actual", "volume-flow"),
            kinematic_viscosity=float(given["nu"]),
            valve_diameter=_value(given, "d", "length"),
            pressure_recovery=float(given["fl"]),
            style_modifier=float(given["fd"]),
        )
    )


def _reynolds_factor(given: Given) -> float:
    return float(
        reynolds_factor(
            float(given["kv"]),
            float(given["reynolds"]),
            valve_diameter=_value(given, "d", "length"),
            pressure_recovery=float(given["fl"]),
            trim=given["trim"],
        )
    )


def _orifice(given: Given) -> float:
    area = orifice.bore_area(_value(given, "bore", "length"))
    return float(orifice.orifice_mass_flow(area=area, discharge=float(given["cd"]), **_gas(given)))


def _orifice_base(given: Given) -> float:
    mass = 1e-3 * float(given["molar_mass"])
    return float(orifice.base_volume_flow(_orifice(given), molar_mass=mass))


def _isentropic(given: Given, *, what: str) -> float:
    ratios = isentropic.isentropic_ratios(float(given["mach"]), float(given["gamma"]))
    return float(getattr(ratios, what))


def _critical(given: Given) -> CriticalFlow:
    return critical_flow(
        read_gas(given["gas"]),
        _value(given, "p1", "pressure"),
        _value(given, "temperature", "temperature"),
    )


def _relief(given: Given) -> dict[str, Any]:
    gas = _gas(given)
    gas["relieving_pressure_abs"] = gas.pop("inlet_pressure_abs")
    gas["back_pressure_abs"] = gas.pop("outlet_pressure_abs", 101325.0)
    return gas | {"discharge": float(given.get("cd", "0.975"))}


def _relief_area(given: Given) -> float:
    return float(relief.relief_area(_value(given, "flow", "mass-flow"), **_relief(given)))


def _kb(given: Given) -> float:
    barometer = 101325.0
    return float(
        relief.back_pressure_factor(
            set_pressure_gauge=_value(given, "set", "pressure") - barometer,
            back_pressure_gauge=_value(given, "back", "pressure") - barometer,
            overpressure=0.10,
        )
    )


def _air_of_steam(given: Given) -> float:
    rating = relief.rating_of_steam(_value(given, "steam", "mass-flow"))
    return float(
        relief.capacity_of_rating(
            rating,
            temperature=_value(given, "temperature", "temperature"),
            molar_mass=1e-3 * float(given["molar_mass"]),
            isentropic_exponent=float(given["gamma"]),
        )
    )


def _pipeline(given: Given) -> float:
    """Return the flow at 0 degC, as every base flow is kept."""
    flow = pipeline.pipeline_flow(
        given["formula"],
        inlet_pressure_abs=_value(given, "p1", "pressure"),
        outlet_pressure_abs=_value(given, "p2", "pressure"),
        length=_value(given, "length", "length"),
        diameter=_value(given, "bore", "length"),
        temperature=_value(given, "temperature", "temperature"),
        relative_density=float(given["gravity"]),
        efficiency=float(given["efficiency"]),
    )
    handbook = BaseConditions(pressure_abs=101325.0, temperature=288.7)
    return float(flow) * base_ratio(handbook, NORMAL)


def _branch(given: Given) -> dict[str, Any]:
    return {
        "length": _value(given, "length", "length"),
        "diameter": _value(given, "bore", "length"),
        "roughness": _value(given, "roughness", "length"),
        "temperature": _value(given, "temperature", "temperature"),
        "molar_mass": 1e-3 * float(given["molar_mass"]),
        "viscosity": float(given["mu"]),
        "loss_coefficient": float(given.get("k", "0")),
    }


def _branch_mass(given: Given) -> float:
    flow = _value(given, "flow", "base-flow")
    return float(orifice.mass_flow_of_base(flow, molar_mass=1e-3 * float(given["molar_mass"])))


def _branch_outlet(given: Given) -> float:
    return float(
        pipe.pipe_outlet_pressure(
            _branch_mass(given),
            inlet_pressure_abs=_value(given, "p1", "pressure"),
            **_branch(given),
        )
    )


def _branch_velocity(given: Given, *, at: str) -> float:
    branch = _branch(given)
    pressure = _value(given, "p1", "pressure") if at == "inlet" else _branch_outlet(given)
    return float(
        pipe.pipe_velocity(
            _branch_mass(given),
            diameter=branch["diameter"],
            pipe_pressure_abs=pressure,
            temperature=branch["temperature"],
            molar_mass=branch["molar_mass"],
        )
    )


def _branch_flow(given: Given) -> float:
    flow = pipe.pipe_mass_flow(
        inlet_pressure_abs=_value(given, "p1", "pressure"),
        outlet_pressure_abs=_value(given, "p2", "pressure"),
        **_branch(given),
    )
    return float(orifice.base_volume_flow(flow, molar_mass=1e-3 * float(given["molar_mass"])))


CALLS = {
    "N6": lambda given: valve_flow.constant_n6(),
    "N8": lambda given: valve_flow.constant_n8(),
    "N9": lambda given: valve_flow.constant_n9(_value(given, "base", "temperature")),
    "N9 used": lambda given: valve_flow.n9_of("printed"),
    "Kv of a Cv": lambda given: float(valve_flow.kv_of_cv(float(given["cv"]))),
    "Cv of a Kv": lambda given: float(valve_flow.cv_of_kv(float(given["kv"]))),
    "pressure drop ratio": _drop_ratio,
    "choked drop ratio": _choked_x,
    "expansion factor": _expansion,
    "Kv of a flow": _kv,
    "flow of a Cv": _flow_of_cv,
    "choke outlet pressure": lambda given: float(
        valve_flow.choke_outlet_pressure(
            _value(given, "p1", "pressure"), float(given["xt"]), float(given["gamma"])
        )
    ),
    "choke inlet pressure": lambda given: float(
        valve_flow.choke_inlet_pressure(
            _value(given, "p2", "pressure"), float(given["xt"]), float(given["gamma"])
        )
    ),
    "Kv between reducers": lambda given: float(_fitted(given).kv),
    "expansion factor between reducers": lambda given: float(_fitted(given).expansion_factor),
    "sum of losses": lambda given: _losses(given)[0],
    "inlet losses": lambda given: _losses(given)[1],
    "FP at a Kv": lambda given: _piping(given, what="piping_factor"),
    "xTP at a Kv": lambda given: _piping(given, what="xtp"),
    "Kv of a small trim": lambda given: float(_small_trim(given).kv),
    "valve Reynolds number": _reynolds,
    "Reynolds number factor": _reynolds_factor,
    "critical pressure ratio": lambda given: float(
        orifice.critical_pressure_ratio(float(given["gamma"]))
    ),
    "critical flow function": lambda given: float(
        orifice.critical_flow_function(float(given["gamma"]))
    ),
    "critical pressure": lambda given: (
        _value(given, "p1", "pressure")
        * float(orifice.critical_pressure_ratio(float(given["gamma"])))
    ),
    "is choked": lambda given: (
        "yes"
        if orifice.is_choked(
            inlet_pressure_abs=_value(given, "p1", "pressure"),
            outlet_pressure_abs=_value(given, "p2", "pressure"),
            isentropic_exponent=float(given["gamma"]),
        )
        else "no"
    ),
    "pressure ratio at a Mach number": lambda given: _isentropic(given, what="pressure"),
    "temperature ratio at a Mach number": lambda given: _isentropic(given, what="temperature"),
    "density ratio at a Mach number": lambda given: _isentropic(given, what="density"),
    "area ratio at a Mach number": lambda given: _isentropic(given, what="area"),
    "critical temperature": lambda given: float(
        isentropic.throat_temperature(
            _value(given, "temperature", "temperature"), float(given["gamma"])
        )
    ),
    "critical flow function of a real gas": lambda given: float(_critical(given).flow_function),
    "critical pressure ratio of a real gas": lambda given: float(_critical(given).pressure_ratio),
    "orifice flow": _orifice,
    "orifice flow at base": _orifice_base,
    "relief area": _relief_area,
    "F2": lambda given: float(
        relief.subcritical_factor(float(given["gamma"]), 1.0 - _drop_ratio(given))
    ),
    "C": lambda given: float(relief.relief_coefficient(float(given["gamma"]), given["units"])),
    "Kb": _kb,
    "designation": lambda given: choose_orifice(_value(given, "area", "area")).letter,
    "designation of a duty": lambda given: choose_orifice(_relief_area(given)).letter,
    "standard area": lambda given: standard_orifice(given["letter"]).area,
    "air of a steam rating": _air_of_steam,
    "KAP of a steam rating": lambda given: float(
        relief.rating_of_steam(_value(given, "steam", "mass-flow"))
    ),
    "relief factor": lambda given: relief_factor(given["name"]).value,
    "overpressure": lambda given: (
        float(relief.relieving_pressure(_value(given, "set", "pressure"), barometer_abs=101325.0))
        - 101325.0
        - _value(given, "set", "pressure")
    ),
    "pipeline flow": _pipeline,
    "branch outlet pressure": _branch_outlet,
    "branch pressure loss": lambda given: _value(given, "p1", "pressure") - _branch_outlet(given),
    "branch velocity in ft/min": lambda given: (
        _branch_velocity(given, at=given["end"]) * 60.0 / (12.0 * INCH)
    ),
    "branch flow": _branch_flow,
}
