"""`springcase flow`: gas through a restriction, from Kv, Cv or bore, or the Kv for a flow."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import Any, Final

from springcase.cli.air import absolute_typed, add_air_arguments, air_pressure
from springcase.cli.flow_text import text
from springcase.cli.gas_choice import (
    GasTyped,
    Sheet,
    add_gas_arguments,
    gas_facts,
    gas_typed,
    in_typed_words,
    mass_or_base_flow,
    number_typed,
    positive_typed,
)
from springcase.errors import BadInput
from springcase.units import parse_quantity

__all__ = ["FORMAT", "HELP", "NAME", "add_arguments", "document", "text"]

NAME: Final = "flow"
HELP: Final = "gas through a restriction"
FORMAT: Final = "springcase/flow"
_WAYS: Final = ("flow", "kv", "cv", "bore")
_FAST_MACH: Final = 0.3
_WORTH_SAYING: Final = 1.0
_IEC_EXPONENTS: Final = (1.08, 1.65)
_OPTIONS: Final = {
    "inlet_pressure_abs": "--p1",
    "outlet_pressure_abs": "--p2",
    "temperature": "--temperature",
    "molar_mass": "--molar-mass",
    "isentropic_exponent": "--isentropic",
    "compressibility": "--z",
    "viscosity": "--viscosity",
    "xt": "--xt",
    "discharge": "--discharge",
    "valve_diameter": "--valve-size",
    "inlet_pipe": "--inlet-pipe",
    "outlet_pipe": "--outlet-pipe",
    "pressure_recovery": "--recovery",
    "style_modifier": "--style",
    "rated_kv": "--rated-kv",
    "bore": "--bore",
    "body": "--body",
    "lift": "--lift",
    "kv": "--kv",
    "edition": "--edition",
}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options of the command."""
    add = parser.add_argument
    add_gas_arguments(parser)
    add("--p1", metavar="PRESSURE", required=True, help="inlet pressure, such as 5 bar abs")
    add("--p2", metavar="PRESSURE", required=True, help="outlet pressure, such as 100 mbar gauge")
    add("--flow", metavar="FLOW", help="asks the Kv: such as 1000 Nm3/h or 300 kg/h")
    add("--kv", metavar="NUMBER", help="asks the flow of a Kv")
    add("--cv", metavar="NUMBER", help="asks the flow of a Cv")
    add("--bore", metavar="LENGTH", help="asks the flow of an orifice, such as 10 mm or 3/8 in")
    add("--discharge", metavar="NUMBER", help="discharge coefficient of the orifice, such as 0.85")
    add("--lift", metavar="LENGTH", help="lift of a flat disc off the orifice: curtain, then bore")
    add("--body", metavar="LENGTH", help="bore of the body the orifice sits in")
    add("--body-kv", metavar="NUMBER", help="Kv of the body behind the orifice; wants --xt")
    add("--xt", metavar="NUMBER", help="pressure differential ratio factor xT of the valve")
    add("--valve-size", metavar="LENGTH", help="size of the valve, for reducers and small trims")
    add("--inlet-pipe", metavar="LENGTH", help="bore of the pipe before it")
    add("--outlet-pipe", metavar="LENGTH", help="bore of the pipe behind it; asks the velocity")
    add("--recovery", metavar="NUMBER", default="0.9", help="pressure recovery factor FL")
    add(
        "--viscosity",
        metavar="VISCOSITY",
        help="dynamic viscosity, such as 0.011 cP; wants --style",
    )
    add("--style", metavar="NUMBER", help="valve style modifier Fd; asks the Reynolds number")
    add("--rated-kv", metavar="NUMBER", help="Kv at rated travel, where the trim is less open")
    add("--edition", choices=("2007", "2011"), default="2011", help="edition of IEC 60534-2-1")
    add_air_arguments(parser)


def document(arguments: argparse.Namespace) -> tuple[dict[str, Any], int]:
    """Return the flow and the coefficient that passes it, and exit code 0."""
    arguments.command = NAME
    way = _way(arguments)
    sheet = Sheet()
    air = air_pressure(arguments)
    inlet = absolute_typed(arguments.p1, "--p1", air)
    outlet = absolute_typed(arguments.p2, "--p2", air)
    kelvin = parse_quantity(arguments.temperature, "temperature", field="--temperature").value
    with in_typed_words(arguments, _OPTIONS):
        gas = gas_typed(arguments, inlet, kelvin, sheet)
        duty = {
            "inlet_pressure_abs": inlet,
            "outlet_pressure_abs": outlet,
            "temperature": kelvin,
            "molar_mass": gas.molar_mass,
            "compressibility": gas.compressibility,
        }
        work = _orifice if way == "bore" else _valve
        found = work(arguments, gas, duty, sheet)
        found |= _outlet(arguments, gas, duty, found["flow_kg_s"], sheet)
    if found["choked"]:
        sheet.warn("flow-choked")
    found |= gas_facts(gas, kelvin)
    found |= {"inlet_pressure_abs_pa": inlet, "outlet_pressure_abs_pa": outlet}
    return {**found, "warnings": sheet.warnings, "sources": sheet.sources}, 0


def _way(arguments: argparse.Namespace) -> str:
    """Return which of the four questions is asked; exactly one may be."""
    asked = [way for way in _WAYS if getattr(arguments, way) is not None]
    if len(asked) != 1:
        raise BadInput("flow-way-missing", field="springcase flow")
    way = asked[0]
    for option in ("discharge", "lift", "body", "body_kv"):
        if getattr(arguments, option) is not None and way != "bore":
            _needs(arguments, option, "--bore")
    if way == "bore" and arguments.discharge is None:
        raise BadInput("option-needs", field="--bore", value=arguments.bore, right="--discharge")
    wants_xt = way != "bore" or arguments.body_kv is not None
    if wants_xt and arguments.xt is None:
        option = "body_kv" if way == "bore" else way
        _needs(arguments, option, "--xt")
    for option in ("valve_size", "style", "rated_kv", "inlet_pipe"):
        if way == "bore" and getattr(arguments, option) is not None:
            _needs(arguments, option, "--flow, --kv or --cv")
    if arguments.style is not None and arguments.valve_size is None:
        _needs(arguments, "style", "--valve-size")
    if arguments.viscosity is not None and arguments.style is None:
        _needs(arguments, "viscosity", "--style")
    return way


def _needs(arguments: argparse.Namespace, option: str, right: str) -> None:
    raise BadInput(
        "option-needs",
        field="--" + option.replace("_", "-"),
        value=getattr(arguments, option),
        right=right,
    )


def _length(arguments: argparse.Namespace, option: str) -> float | None:
    typed = getattr(arguments, option)
    return None if typed is None else positive_typed(typed, "length", _dashed(option))


def _dashed(option: str) -> str:
    return "--" + option.replace("_", "-")


def _coefficient(arguments: argparse.Namespace, option: str) -> float:
    return number_typed(getattr(arguments, option), _dashed(option))


def _valve(
    arguments: argparse.Namespace, gas: GasTyped, duty: Mapping[str, float], sheet: Sheet
) -> dict[str, Any]:
    """Return flow and Kv of a valve by the standard's equations."""
    from springcase.gas import valve_fittings as fittings
    from springcase.gas.orifice import base_volume_flow, mass_flow_of_base
    from springcase.gas.valve_flow import cv_of_kv, kv_of_cv

    # A reducer is one only where the valve's own size is known.
    size = _length(arguments, "valve_size")
    if size is None and arguments.inlet_pipe is not None:
        _needs(arguments, "inlet_pipe", "--valve-size")
    valve = fittings.Valve(
        xt=_coefficient(arguments, "xt"),
        diameter=size,
        inlet_pipe=_length(arguments, "inlet_pipe"),
        outlet_pipe=None if size is None else _length(arguments, "outlet_pipe"),
        pressure_recovery=_coefficient(arguments, "recovery"),
        style_modifier=1.0 if arguments.style is None else _coefficient(arguments, "style"),
        rated_kv=None if arguments.rated_kv is None else _coefficient(arguments, "rated_kv"),
        edition=arguments.edition,
    )
    if arguments.style is not None and gas.viscosity is None:
        _needs(arguments, "style", "--viscosity or --gas")
    case = fittings.Duty(
        **duty,
        isentropic_exponent=gas.ideal_exponent,
        viscosity=gas.viscosity if arguments.style is not None else None,
    )
    if arguments.flow is not None:
        mass = mass_or_base_flow(arguments.flow, "--flow", gas.molar_mass)
        solved = fittings.solve_kv(case, valve, base_volume_flow(mass, molar_mass=gas.molar_mass))
    elif arguments.kv is not None:
        solved = fittings.solve_flow(case, valve, _coefficient(arguments, "kv"))
    else:
        solved = fittings.solve_flow(case, valve, kv_of_cv(_coefficient(arguments, "cv")))
    sheet.rests_on("iec_60534_2_1_2011", "the sizing equations")
    if arguments.edition == "2007":
        sheet.rests_on("isa_75_01_01_2007", "the expansion factor")
    low, high = _IEC_EXPONENTS
    if not low <= gas.ideal_exponent <= high:
        sheet.warn("flow-exponent-range", exponent=f"{gas.ideal_exponent:.3g}")
    if solved.is_in_scope is not None and not solved.is_in_scope:
        sheet.warn("flow-out-of-scope")
    flow = float(solved.flow_base)
    return {
        "flow_nm3_h": flow * 3600.0,
        "flow_kg_s": float(mass_flow_of_base(flow, molar_mass=gas.molar_mass)),
        "kv": float(solved.kv),
        "cv": float(cv_of_kv(solved.kv)),
        "choked": bool(solved.is_choked),
        "expansion_factor": float(solved.expansion_factor),
        "piping_factor": float(solved.piping_factor),
        "xtp": float(solved.xtp),
        "reynolds": None if solved.reynolds is None else float(solved.reynolds),
        "reynolds_factor": float(solved.reynolds_factor),
        "edition": arguments.edition,
    }


def _opening(arguments: argparse.Namespace) -> float:
    """Return the area that is open: the bore, or the curtain of a small lift."""
    from springcase.gas import orifice, series

    bore = positive_typed(arguments.bore, "length", "--bore")
    if arguments.body is not None:
        series.check_orifice_in_body(bore, positive_typed(arguments.body, "length", "--body"))
    if arguments.lift is None:
        return float(orifice.bore_area(bore))
    lift = parse_quantity(arguments.lift, "length", field="--lift").value
    return float(orifice.opening_area(bore, lift))


def _orifice(
    arguments: argparse.Namespace, gas: GasTyped, duty: Mapping[str, float], sheet: Sheet
) -> dict[str, Any]:
    """Return the flow of an orifice by bore, with the body behind it where it is given."""
    from springcase.gas import orifice, series
    from springcase.gas.valve_flow import cv_of_kv, kv_of_area

    area = _opening(arguments)
    discharge = _coefficient(arguments, "discharge")
    given: dict[str, Any] = {**duty, "isentropic_exponent": gas.exponent}
    middle = None
    if arguments.body_kv is None:
        mass = float(orifice.orifice_mass_flow(area=area, discharge=discharge, **given))
    else:
        passed, between = series.orifice_and_body(
            area=area,
            discharge=discharge,
            body_kv=_coefficient(arguments, "body_kv"),
            body_xt=_coefficient(arguments, "xt"),
            **given,
        )
        mass, middle = float(passed), float(between)
        sheet.rests_on("iec_60534_2_1_2011", "the body's Kv")
    sheet.rests_on("isentropic_flow", "the nozzle equation")
    inlet = duty["inlet_pressure_abs"]
    behind = duty["outlet_pressure_abs"] if middle is None else middle
    choked = bool(
        orifice.is_choked(
            inlet_pressure_abs=inlet,
            outlet_pressure_abs=behind,
            isentropic_exponent=gas.exponent,
        )
    )
    real = None
    if choked and middle is None and gas.name:
        real = area * discharge * float(_real_flux(arguments, duty))
        sheet.rests_on("gerg_2008", "the critical flow of the real gas")
        share = 100.0 * (real / mass - 1.0)
        if abs(share) > _WORTH_SAYING:
            sheet.warn("flow-real-gas", share=f"{share:+.1f}")
    kv = float(kv_of_area(area * discharge))
    return {
        "flow_nm3_h": 3600.0 * float(orifice.base_volume_flow(mass, molar_mass=gas.molar_mass)),
        "flow_kg_s": mass,
        "kv": kv,
        "cv": float(cv_of_kv(kv)),
        "choked": choked,
        "expansion_factor": float(
            orifice.nozzle_expansion(
                inlet_pressure_abs=inlet,
                outlet_pressure_abs=behind,
                isentropic_exponent=gas.exponent,
            )
        ),
        "area_m2": area,
        "real_gas_flow_kg_s": real,
        "middle_pressure_abs_pa": middle,
    }


def _real_flux(arguments: argparse.Namespace, duty: Mapping[str, float]) -> float:
    """Return the critical flow of the named gas for one square metre of throat."""
    from springcase.gas.composition import read_gas
    from springcase.gas.critical_flow import critical_flow

    named = read_gas(arguments.gas, field="--gas")
    return float(critical_flow(named, duty["inlet_pressure_abs"], duty["temperature"]).flux)


def _outlet(
    arguments: argparse.Namespace,
    gas: GasTyped,
    duty: Mapping[str, float],
    mass_flow: float,
    sheet: Sheet,
) -> dict[str, Any]:
    """Return velocity and Mach number in the outlet pipe, null where its bore is not known."""
    from springcase.gas import pipe

    found: dict[str, Any] = {"outlet_velocity_m_s": None, "outlet_mach": None}
    bore = _length(arguments, "outlet_pipe")
    if bore is None or duty["outlet_pressure_abs"] <= 0.0:
        return found
    # The throttled gas is taken at its inlet temperature and as ideal behind the restriction.
    state: dict[str, Any] = {"temperature": duty["temperature"], "molar_mass": gas.molar_mass}
    velocity = pipe.pipe_velocity(
        mass_flow, diameter=bore, pipe_pressure_abs=duty["outlet_pressure_abs"], **state
    )
    sound = pipe.ideal_sound_speed(isentropic_exponent=gas.ideal_exponent, **state)
    mach = float(pipe.mach_number(velocity, sound))
    found |= {"outlet_velocity_m_s": float(velocity), "outlet_mach": mach}
    if mach >= 1.0:
        sheet.warn("flow-sonic-outlet")
    elif mach > _FAST_MACH:
        sheet.warn("flow-fast-outlet", mach=f"{mach:.2f}", limit=f"{_FAST_MACH:g}")
    if mach > _FAST_MACH:
        sheet.rests_on("common_practice", "outlet velocity")
    return found
