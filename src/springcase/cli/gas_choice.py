"""The gas of `flow` and `relief`: by name and state, or by its typed figures."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from springcase.errors import BadInput, OutsideValidity, UnknownName
from springcase.sources import Standing
from springcase.standards import register
from springcase.units import parse_quantity
from springcase.wording import sentence

_LEAST_PRESSURE = 1e3


class Sheet:
    """What has been worked out so far: warnings and sources."""

    __slots__ = ("sources", "warnings")

    def __init__(self) -> None:
        self.warnings: list[str] = []
        self.sources: list[str] = []

    def rests_on(self, key: str, figure: str) -> None:
        """Note a source, and say so where it is from memory."""
        if key in self.sources:
            return
        self.sources.append(key)
        if register.standing(key) is Standing.MEMORY:
            self.warnings.append(sentence("flow-from-memory", figure=figure, source=key))

    def warn(self, key: str, /, **facts: str) -> None:
        """Add a warning of the catalogue."""
        self.warnings.append(sentence(key, **facts))


@dataclass(frozen=True, slots=True, kw_only=True)
class GasTyped:
    """
    A gas as flow and relief need it.

    Molar mass [kg/mol], compressibility factor at the inlet, exponent at the inlet and that of
    the ideal gas [-], viscosity [Pa.s] or None where it was not given.
    """

    name: str
    molar_mass: float
    compressibility: float
    exponent: float
    ideal_exponent: float
    viscosity: float | None


def add_gas_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options that say which gas it is."""
    add = parser.add_argument
    add("--gas", metavar="GAS", help="gas by name, or shares such as methane=0.9,nitrogen=0.1")
    add("--molar-mass", metavar="MASS", help="instead of --gas, in g/mol, such as 17.6")
    add("--isentropic", metavar="EXPONENT", help="isentropic exponent, such as 1.30")
    add("--z", metavar="FACTOR", help="compressibility factor at the inlet; 1 if not known")
    add("--temperature", metavar="TEMPERATURE", required=True, help="at the inlet, such as 15 degC")


def number_typed(text: str, option: str) -> float:
    """Return a typed number without a unit that must be more than zero."""
    value = parse_quantity(text, "ratio", field=option).value
    if value <= 0:
        raise OutsideValidity("not-positive", field=option, value=text, right="more than zero")
    return value


def positive_typed(text: str, kind: str, option: str) -> float:
    """Return a typed quantity that must be more than zero, in SI."""
    value = parse_quantity(text, kind, field=option).value
    if value <= 0:
        raise OutsideValidity("not-positive", field=option, value=text, right="more than zero")
    return value


def gas_typed(
    arguments: argparse.Namespace, inlet_pressure_abs: float, temperature: float, sheet: Sheet
) -> GasTyped:
    """
    Return the gas that was asked for, at its inlet state.

    Raises BadInput where it is given twice or not at all, OutsideValidity where the state is
    outside the equation.
    """
    if (arguments.gas is None) == (arguments.molar_mass is None):
        raise BadInput("flow-gas-missing", field=f"springcase {arguments.command}")
    if arguments.gas is not None:
        return _named(arguments, inlet_pressure_abs, temperature, sheet)
    if arguments.isentropic is None:
        raise BadInput(
            "option-needs", field="--molar-mass", value=arguments.molar_mass, right="--isentropic"
        )
    exponent = number_typed(arguments.isentropic, "--isentropic")
    if arguments.z is None:
        sheet.warn("flow-z-assumed")
    return GasTyped(
        name="",
        molar_mass=_molar_mass(arguments.molar_mass),
        compressibility=1.0 if arguments.z is None else number_typed(arguments.z, "--z"),
        exponent=exponent,
        ideal_exponent=exponent,
        viscosity=_viscosity(arguments),
    )


def _molar_mass(text: str) -> float:
    """Return a molar mass; a bare number is g/mol, as every table has it."""
    typed = text.strip()
    bare = typed.replace(".", "", 1).replace(",", "", 1).isdigit()
    return positive_typed(f"{typed} g/mol" if bare else typed, "molar-mass", "--molar-mass")


def _viscosity(arguments: argparse.Namespace) -> float | None:
    typed = getattr(arguments, "viscosity", None)
    if typed is None:
        return None
    return positive_typed(typed, "viscosity", "--viscosity")


def _named(
    arguments: argparse.Namespace, inlet_pressure_abs: float, temperature: float, sheet: Sheet
) -> GasTyped:
    from springcase.gas.composition import read_gas
    from springcase.gas.properties import state

    gas = read_gas(arguments.gas, field="--gas")
    here = state(gas, inlet_pressure_abs, temperature)
    # Almost no pressure: there the exponent is the ratio of the ideal heat capacities.
    thin = state(gas, min(_LEAST_PRESSURE, inlet_pressure_abs), temperature)
    sheet.rests_on("gerg_2008", "the equation of state")
    if gas.source:
        sheet.rests_on(gas.source, f"the composition of {gas.name}")
    typed = None
    if arguments.isentropic is not None:
        typed = number_typed(arguments.isentropic, "--isentropic")
    return GasTyped(
        name=gas.name,
        molar_mass=float(here.molar_mass),
        compressibility=float(here.z) if arguments.z is None else number_typed(arguments.z, "--z"),
        exponent=float(here.isentropic_exponent) if typed is None else typed,
        ideal_exponent=float(thin.isentropic_exponent) if typed is None else typed,
        viscosity=_viscosity(arguments) or float(here.viscosity),
    )


def gas_facts(gas: GasTyped, temperature: float) -> dict[str, Any]:
    """Return what a document says of the gas, in SI."""
    return {
        "gas": gas.name,
        "molar_mass_kg_mol": gas.molar_mass,
        "isentropic_exponent": gas.exponent,
        "z": gas.compressibility,
        "temperature_k": temperature,
    }


@contextmanager
def in_typed_words(arguments: argparse.Namespace, options: Mapping[str, str]) -> Iterator[None]:
    """
    Say the refusals of the formulas in the options that were typed.

    Raises what was raised, with option and typed text in place of parameter and SI value.
    """
    try:
        yield
    except (BadInput, OutsideValidity, UnknownName) as error:
        option = options.get(error.field)
        if option is None:
            raise
        typed = getattr(arguments, option.removeprefix("--").replace("-", "_"), None)
        right = error.right
        if error.code == "flow-outlet-above-inlet":
            right = f"at most {options['inlet_pressure_abs']} {arguments.p1 or ''}".strip()
        raise type(error)(
            error.code,
            field=option,
            value=error.value if typed is None else typed,
            right=right,
            **error.facts,
        ) from error


def mass_or_base_flow(text: str, option: str, molar_mass: float) -> float:
    """
    Return a typed flow, by mass or at base conditions, as mass flow. [kg/s]

    Raises UnitMismatch where it is neither, and says what a flow of gas needs.
    """
    from springcase.errors import UnitMismatch
    from springcase.gas.orifice import mass_flow_of_base

    try:
        return positive_typed(text, "mass-flow", option)
    except UnitMismatch as error:
        if error.code != "unit-kind":
            raise
    flow = positive_typed(text, "base-flow", option)
    return float(mass_flow_of_base(flow, molar_mass=molar_mass))
