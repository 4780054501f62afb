"""`springcase curve --choose`: every spring and orifice of a family, with the reasons."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, Final

from springcase.errors import BadInput, OutsideValidity
from springcase.units import convert, format_value, parse_quantity
from springcase.wording import sentence

if TYPE_CHECKING:
    from springcase.gas.composition import Gas
    from springcase.regulator.choose import Choice, Reason, Service
    from springcase.regulator.model import GasState
    from springcase.regulator.survey import Asked

_ALL: Final = ("max_flow", "reference_flow", "lowest_inlet", "limit")
_FLOWS: Final = {"flow", "peak", "protection"}
_SHARES: Final = {"used", "droop", "allowed", "rise"}


def add_choose_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare --choose and what it asks."""
    add = parser.add_argument
    add("--choose", action="store_true", help="judge every spring and orifice instead")
    add("--protection", metavar="FLOW", help="what protection passes with the outlet at --limit")
    add("--allowed-droop", metavar="SHARE", default="10 %", help="10 %% where not given")
    add("--allowed-lock-up", metavar="SHARE", default="20 %", help="20 %% where not given")
    add("--outlet-bore", metavar="LENGTH", help="bore of the pipe behind, for the speed there")


def choose_document(
    arguments: argparse.Namespace,
    *,
    asked: Asked,
    gas: Gas,
    state: GasState,
    flow: Callable[[float], float],
    pressure: Callable[[float], str],
) -> tuple[dict[str, Any], int]:
    """
    Return the ranked choices, and exit code 1 where none is accepted.

    Raises
    ------
    BadInput
        If something that the choice stands on was not given.
    """
    from springcase.cli.plan import read_named_family, read_options
    from springcase.job.physics import candidates
    from springcase.regulator.choose import accepted, rank

    missing = [f"--{name.replace('_', '-')}" for name in _ALL if getattr(arguments, name) is None]
    if missing:
        raise BadInput("choose-needs", field="--choose", right=missing)
    if arguments.picture:
        raise BadInput("choose-picture", field="--picture", value=arguments.picture)
    service = _service(arguments, asked, gas, state)
    family = read_named_family(arguments.family)
    choices = rank(service, candidates(family, read_options(arguments.options)))
    made: dict[str, Any] = {
        "family": family.family.id,
        "gas": gas.name,
        "set_point_gauge_pa": asked.set_point_gauge,
        "choices": [_choice(each, flow, pressure) for each in choices],
        "accepted": len(accepted(choices)),
        "warnings": [sentence("curve-figures-described")],
        "sources": ["statics", "isentropic_flow", "common_practice"],
    }
    if service.hydrate_temperature is not None:
        made["sources"].append("towler_mokhatab_memory")
    return made, 0 if made["accepted"] else 1


def _service(arguments: argparse.Namespace, asked: Asked, gas: Gas, state: GasState) -> Service:
    from springcase.cli.curve_inputs import read_flow
    from springcase.gas.expansion import hydrate_temperature, outlet_temperature
    from springcase.regulator.choose import Service

    def share(name: str) -> float:
        text = getattr(arguments, name)
        return parse_quantity(text, "ratio", field=f"--{name.replace('_', '-')}").value

    bore = arguments.outlet_bore
    outlet = asked.set_point_gauge + asked.atmosphere_abs
    density = gas.molar_mass / 0.0289647
    try:
        hydrate = hydrate_temperature(outlet, density)
    except OutsideValidity:
        # The correlation is for natural gas only: of another gas nothing is said.
        hydrate = None
    return Service(
        gas=state,
        highest_inlet_abs=asked.other_abs,
        lowest_inlet_abs=asked.low_abs or 0.0,
        set_point_gauge=asked.set_point_gauge,
        reference_flow=asked.reference_flow or 0.0,
        peak_flow=asked.largest_flow or 0.0,
        allowed_droop=share("allowed_droop"),
        allowed_lock_up=share("allowed_lock_up"),
        limit_gauge=asked.limit_gauge or 0.0,
        protection_flow=read_flow(arguments.protection, "--protection", gas),
        atmosphere_abs=asked.atmosphere_abs,
        outlet_bore=None
        if bore is None
        else parse_quantity(bore, "length", field="--outlet-bore").value,
        outlet_temperature=float(
            outlet_temperature(gas, asked.other_abs, float(state.temperature), outlet)
        ),
        hydrate_temperature=hydrate,
    )


def _choice(
    choice: Choice, flow: Callable[[float], float], pressure: Callable[[float], str]
) -> dict[str, Any]:
    return {
        "spring": choice.candidate.spring,
        "orifice": choice.candidate.orifice,
        "accepted": choice.accepted,
        "reasons": [
            {
                "code": reason.code,
                "standing": reason.standing.value,
                "words": _words(reason, flow, pressure),
                "facts": dict(reason.facts),
            }
            for reason in choice.reasons
        ],
    }


def _words(reason: Reason, flow: Callable[[float], float], pressure: Callable[[float], str]) -> str:
    said: dict[str, Any] = {}
    for name, value in reason.facts.items():
        if isinstance(value, str):
            said[name] = value
        elif name in _FLOWS:
            said[name] = f"{flow(value):.4g} Nm3/h"
        elif name in _SHARES:
            said[name] = f"{100 * value:.3g} %"
        elif name == "mach":
            said[name] = f"{value:.2f}"
        elif name == "bore":
            said[name] = format_value(value, "mm", 3)
        elif name in {"temperature", "hydrate"}:
            said[name] = f"{convert(value, 'degC'):.1f} degC"
        elif name == "inlet" or reason.code == "choose-inlet-limit":
            said[name] = format_value(value, "bar gauge", 3)
        else:
            said[name] = pressure(value)
    return sentence(reason.code, **said)


def choose_text(document: Mapping[str, Any]) -> str:
    """Return the choices for people: the best first, each with what speaks for and against it."""
    lines = []
    for place, choice in enumerate(document["choices"], start=1):
        verdict = sentence("choose-accepted" if choice["accepted"] else "choose-refused")
        lines.append(f"{place}. {choice['orifice']}, {choice['spring']}: {verdict}")
        marks = {"holds": "  ", "caution": "? ", "refused": "x "}
        lines += [f"   {marks[each['standing']]}{each['words']}" for each in choice["reasons"]]
    if not document["accepted"]:
        lines.append(sentence("choose-none"))
    return "\n".join([*lines, "", sentence("choose-caution")])
