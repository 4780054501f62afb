"""`springcase curve`: set point, droop, lock-up and wide-open flow of a unit, and its picture."""

from __future__ import annotations

import argparse
import math
from typing import TYPE_CHECKING, Any, Final

from springcase.cli.air import add_air_arguments, air_pressure
from springcase.cli.curve_choose import add_choose_arguments, choose_document
from springcase.cli.curve_text import difference_words, text
from springcase.errors import BadInput
from springcase.units import Quantity, format_value, parse_quantity
from springcase.wording import sentence

if TYPE_CHECKING:
    from springcase.assembly.model import Structure
    from springcase.gas.composition import Gas
    from springcase.regulator.model import Regulator
    from springcase.regulator.survey import Asked, Survey

__all__ = ["FORMAT", "HELP", "NAME", "add_arguments", "document", "text"]

NAME: Final = "curve"
HELP: Final = "set point, droop, lock-up, wide-open flow"
FORMAT: Final = "springcase/curve"
_ATTITUDES: Final = ("spring-case-up", "spring-case-down", "level")
_PRESSURES: Final = {"set_point", "low", "high", "inlet", "limit"}
_FLOWS: Final = {"capacity", "wide_open"}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options of the command."""
    add = parser.add_argument
    add("--family", metavar="FILE", required=True, help="a family file, or the name of one shipped")
    add("--set", metavar="OPTION=VALUE", dest="options", action="append", default=[])
    add("--gas", metavar="GAS", required=True, help="name or composition")
    add("--inlet", metavar="PRESSURE", help="inlet pressure of a reducer")
    add("--outlet", metavar="PRESSURE", help="outlet of a back-pressure regulator; else air")
    add("--set-point", metavar="PRESSURE", required=True, help="pressure it is set to hold")
    add("--reference-flow", metavar="FLOW", help="flow it is set at, such as 20 Nm3/h")
    add("--max-flow", metavar="FLOW", help="largest flow wanted: droop is judged there")
    add("--lowest-inlet", metavar="PRESSURE", help="other end of the inlet, for the inlet effect")
    add("--limit", metavar="PRESSURE", help="what protection holds the outlet to: for wide open")
    add("--temperature", metavar="TEMPERATURE", default="15 degC", help="of the gas at the inlet")
    add("--attitude", choices=_ATTITUDES, default=_ATTITUDES[0], help="how it is fitted")
    add("--set-attitude", choices=_ATTITUDES, help="how it stood when it was set, if otherwise")
    add("--spring-case", metavar="PRESSURE", help="pressure in the spring case, not only its vent")
    add("--accuracy", metavar="CLASS", default="AC10", help="class of the band drawn, such as AC5")
    add("--picture", metavar="FILE", help="write outlet against flow as a picture, .svg or .png")
    add_choose_arguments(parser)
    add_air_arguments(parser)


def document(arguments: argparse.Namespace) -> tuple[dict[str, Any], int]:
    """Return the figures of one unit and exit code 0; with --choose 1 where nothing serves."""
    from springcase.cli.curve_inputs import read_build, read_gas_state
    from springcase.job.physics import make_regulator
    from springcase.regulator.survey import survey
    from springcase.standards.control_classes import find_class

    band = find_class(arguments.accuracy, field="--accuracy")
    structure = read_build(arguments)
    regulator = make_regulator(structure)
    set_point = parse_quantity(arguments.set_point, "pressure", field="--set-point")
    asked = _read_asked(arguments, regulator, set_point)
    gas, state = read_gas_state(arguments, regulator, asked)
    asked = _with_flows(arguments, asked, gas)
    shown = _Shown(gas, set_point)
    if arguments.choose:
        return choose_document(
            arguments,
            asked=asked,
            gas=gas,
            state=state,
            flow=shown.flow,
            pressure=shown.pressure_words,
        )
    found = survey(regulator, state, asked)
    made = _figures(structure, regulator, found, asked, shown)
    made["accuracy_band_share"] = band.share
    made["warnings"] = _warnings(arguments, structure, found, shown)
    made["sources"] = ["statics", "isentropic_flow", "common_practice", band.source]
    if arguments.picture:
        from springcase.cli.curve_inputs import write_picture

        view = _view(structure, made, found, regulator, asked, shown, band.share)
        write_picture(arguments.picture, view)
        made["picture"] = arguments.picture
    return made, 0


class _Shown:
    """The gas and the unit the person typed: how flows and pressures are said to him."""

    def __init__(self, gas: Gas, set_point: Quantity) -> None:
        self.gas = gas
        self.unit = set_point.unit
        self.absolute = set_point.reference == "abs"

    def flow(self, mass_flow: float) -> float:
        from springcase.gas.orifice import base_volume_flow

        # Nm3/h: 0 degC and 101.325 kPa, the gas taken as ideal there.
        return 3600.0 * float(base_volume_flow(mass_flow, molar_mass=self.gas.molar_mass))

    def flow_words(self, mass_flow: float) -> str:
        return f"{self.flow(mass_flow):.4g} Nm3/h"

    def pressure_unit(self) -> str:
        return self.unit.replace("abs", "gauge") if self.absolute else self.unit

    def pressure_words(self, gauge: float) -> str:
        return format_value(gauge, self.pressure_unit(), 4)

    def difference_words(self, difference: float) -> str:
        return difference_words(difference, self.pressure_unit(), 4)


def _gauge(text: str, field: str, atmosphere: float) -> float:
    """Return a pressure as gauge, whichever way it was typed. [Pa]"""
    typed = parse_quantity(text, "pressure", field=field)
    return typed.value - atmosphere if typed.reference == "abs" else typed.value


def _read_asked(arguments: argparse.Namespace, regulator: Regulator, set_point: Quantity) -> Asked:
    from springcase.regulator.model import STANDARD_ATMOSPHERE, Action, Attitude
    from springcase.regulator.survey import Asked

    typed_air = air_pressure(arguments)
    air = STANDARD_ATMOSPHERE if typed_air is None else typed_air
    reducing = regulator.action is Action.REDUCING
    wrong = "outlet" if reducing else "inlet"
    if getattr(arguments, wrong) is not None:
        raise BadInput(
            "curve-other-side",
            field=f"--{wrong}",
            value=getattr(arguments, wrong),
            right="--inlet for a reducer" if reducing else "--outlet for a back-pressure regulator",
        )
    if reducing and arguments.inlet is None:
        raise BadInput("arguments-missing", field="springcase curve", right=["--inlet"])
    other = arguments.inlet if reducing else arguments.outlet
    other_gauge = (
        0.0 if other is None else _gauge(other, f"--{'inlet' if reducing else 'outlet'}", air)
    )

    def optional(name: str) -> float | None:
        typed = getattr(arguments, name)
        return None if typed is None else _gauge(typed, f"--{name.replace('_', '-')}", air)

    low = optional("lowest_inlet")
    gauge = set_point.value - air if set_point.reference == "abs" else set_point.value
    return Asked(
        set_point_gauge=gauge,
        other_abs=other_gauge + air,
        atmosphere_abs=air,
        low_abs=None if low is None else low + air,
        limit_gauge=optional("limit"),
        attitude=Attitude(arguments.attitude),
        set_attitude=Attitude(arguments.set_attitude or arguments.attitude),
        spring_case_gauge=optional("spring_case") or 0.0,
    )


def _with_flows(arguments: argparse.Namespace, asked: Asked, gas: Gas) -> Asked:
    from dataclasses import replace

    from springcase.cli.curve_inputs import read_flow

    return replace(
        asked,
        reference_flow=read_flow(arguments.reference_flow, "--reference-flow", gas),
        largest_flow=read_flow(arguments.max_flow, "--max-flow", gas),
    )


def _figures(
    structure: Structure, regulator: Regulator, found: Survey, asked: Asked, shown: _Shown
) -> dict[str, Any]:
    from springcase.standards.control_classes import class_of

    curve, air = found.curve, asked.atmosphere_abs
    accuracy = class_of("accuracy", found.worst_share)
    lock_up = None
    if regulator.action == "reducing":
        lock_up = class_of("lock-up", max(found.lock_up_share, 0.0))
    made: dict[str, Any] = {
        "family": structure.family,
        "build": dict(structure.options),
        "defaulted": list(structure.defaulted),
        "gas": shown.gas.name,
        "inlet_gauge_pa": asked.other_abs - air,
        "set_point_gauge_pa": asked.set_point_gauge,
        "reference_flow_nm3_h": shown.flow(found.reference_flow),
        "largest_flow_nm3_h": shown.flow(found.largest_flow),
        "flow_nm3_h": [shown.flow(flow) for flow in curve.mass_flow],
        "outlet_pressure_gauge_pa": _plain(curve.rising_gauge),
        "outlet_pressure_falling_gauge_pa": _plain(curve.falling_gauge),
        "droop_pa": _plain([found.droop])[0],
        "droop_share": _plain([found.droop / asked.set_point_gauge])[0],
        "lock_up_gauge_pa": float(curve.lock_up.held_gauge),
        "lock_up_inlet_gauge_pa": float(curve.lock_up.other_gauge),
        "lock_up_share": found.lock_up_share,
        "hysteresis_pa": _plain([curve.hysteresis])[0],
        "inlet_effect_pa": _plain([found.inlet_effect])[0],
        "inlet_effect_from_gauge_pa": found.inlet_effect_from_abs - air,
        "wide_open_nm3_h": shown.flow(found.wide_open_flow),
        "wide_open_outlet_gauge_pa": found.limit_gauge,
        "full_lift_nm3_h": shown.flow(found.full_lift_flow),
        "attitude_shift_pa": found.attitude_shift,
        "accuracy_class": None if accuracy is None else accuracy.name,
        "lock_up_class": None if lock_up is None else lock_up.name,
        "spring": {
            "name": regulator.control_spring.name,
            "rate_n_m": float(regulator.control_spring.rate),
            "force_n": float(found.setting.spring_force),
            "compression_m": float(found.setting.compression),
        },
        "relief": None,
        "shown_unit": shown.pressure_unit(),
        "action": str(regulator.action),
    }
    if found.relief is not None:
        made["relief"] = {
            "starts_gauge_pa": found.relief.starts_gauge,
            "capacity_nm3_h": shown.flow(found.relief.flow),
            "at_gauge_pa": found.relief.limit_gauge,
        }
    return made


def _plain(values: Any) -> list[float | None]:
    """Return numbers for JSON, which has no NaN: None where a flow does not pass."""
    return [None if math.isnan(value) else float(value) for value in values]


def _warnings(
    arguments: argparse.Namespace, structure: Structure, found: Survey, shown: _Shown
) -> list[str]:
    said = []
    for caution in found.cautions:
        facts: dict[str, Any] = dict(caution.facts)
        for name, value in facts.items():
            if name in _PRESSURES and isinstance(value, float):
                facts[name] = shown.pressure_words(value)
            elif name == "shift":
                facts[name] = shown.difference_words(value)
            elif name in _FLOWS and isinstance(value, float):
                facts[name] = shown.flow_words(value)
        said.append(sentence(caution.code, **facts))
    if arguments.barometer is None and arguments.altitude is None:
        said.append(sentence("curve-no-barometer"))
    if arguments.reference_flow is None:
        flow = shown.flow_words(found.reference_flow)
        said.append(sentence("curve-no-reference-flow", flow=flow))
    if arguments.max_flow is None:
        said.append(sentence("curve-no-largest-flow", flow=shown.flow_words(found.largest_flow)))
    if structure.defaulted:
        said.append(sentence("curve-defaulted", options=", ".join(structure.defaulted)))
    return [*said, sentence("curve-figures-described"), sentence("curve-class-memory")]


def _view(
    structure: Structure,
    made: dict[str, Any],
    found: Survey,
    regulator: Regulator,
    asked: Asked,
    shown: _Shown,
    band: float,
) -> Any:
    from springcase.paper.curve_picture import CurveView
    from springcase.regulator.model import Action
    from springcase.units import convert

    unit = shown.pressure_unit()

    def in_unit(values: list[float | None]) -> list[float | None]:
        return [None if value is None else convert(value, unit) for value in values]

    inlet = format_value(made["inlet_gauge_pa"], "bar gauge", 3)
    reducing = regulator.action is Action.REDUCING
    chosen = [structure.value_words[id] for id in structure.unusual]
    return CurveView(
        title=f"{structure.name}: {structure.words}",
        subtitle=", ".join(
            [*chosen, shown.gas.name, f"inlet {inlet}" if reducing else f"outlet {inlet}"]
        ),
        unit=unit,
        flows=made["flow_nm3_h"],
        rising=in_unit(made["outlet_pressure_gauge_pa"]),
        falling=in_unit(made["outlet_pressure_falling_gauge_pa"]),
        set_point=convert(asked.set_point_gauge, unit),
        band=band,
        lock_up=convert(made["lock_up_gauge_pa"], unit),
        inlet_words=inlet,
        wide_open=made["wide_open_nm3_h"],
        is_reducing=reducing,
    )
