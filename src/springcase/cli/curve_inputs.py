"""What `springcase curve` reads and writes: the build, the gas at its inlet, flows, a picture."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from springcase.errors import BadInput, UnitMismatch
from springcase.units import parse_quantity

if TYPE_CHECKING:
    from springcase.assembly.model import Structure
    from springcase.gas.composition import Gas
    from springcase.paper.curve_picture import CurveView
    from springcase.regulator.model import GasState, Regulator
    from springcase.regulator.survey import Asked


def read_build(arguments: argparse.Namespace) -> Structure:
    """
    Return the build a command line names.

    Raises
    ------
    UnknownName, BadInput, UnreadableFile
        If there is no such family, option or value, or the file cannot be used.
    """
    from springcase.assembly.expand import build_structure
    from springcase.cli.plan import read_named_family, read_options

    family = read_named_family(arguments.family)
    return build_structure(family, read_options(arguments.options))


def read_gas_state(
    arguments: argparse.Namespace, regulator: Regulator, asked: Asked
) -> tuple[Gas, GasState]:
    """
    Return the gas, and its state where it enters the valve.

    Raises
    ------
    UnknownName, BadInput, OutsideValidity
        If there is no such gas, or the equation of state does not hold for it there.
    """
    from springcase.gas.composition import read_gas
    from springcase.gas.properties import state
    from springcase.regulator.model import Action, GasState

    gas = read_gas(arguments.gas, field="--gas")
    kelvin = parse_quantity(arguments.temperature, "temperature", field="--temperature").value
    is_reducing = regulator.action is Action.REDUCING
    upstream = asked.other_abs if is_reducing else asked.set_point_gauge + asked.atmosphere_abs
    found = state(gas, upstream, kelvin)
    return gas, GasState(
        molar_mass=gas.molar_mass,
        isentropic_exponent=float(found.isentropic_exponent),
        temperature=kelvin,
        compressibility=float(found.z),
    )


def read_flow(text: str | None, field: str, gas: Gas) -> float | None:
    """
    Return a flow typed at a base or by mass as a mass flow; None where none is. [kg/s]

    Raises
    ------
    UnitMismatch, BadInput
        If it cannot be read or is not more than zero.
    """
    from springcase.gas.orifice import mass_flow_of_base

    if text is None:
        return None
    try:
        flow = parse_quantity(text, "base-flow", field=field).value
    except UnitMismatch as error:
        if error.code != "unit-kind":
            raise
        value = parse_quantity(text, "mass-flow", field=field).value
    else:
        value = float(mass_flow_of_base(abs(flow), molar_mass=gas.molar_mass)) * (-1) ** (flow < 0)
    if value <= 0.0:
        raise BadInput("curve-flow", field=field, value=text, right="more than zero")
    return value


def write_picture(file: str, view: CurveView) -> None:
    """
    Write the picture, as SVG or as PNG by the end of its name.

    Raises
    ------
    BadInput
        If the name ends otherwise or the file cannot be written.
    MissingExtra
        If a PNG is asked for and matplotlib is not installed.
    """
    from springcase.paper.curve_picture import draw_curve
    from springcase.paper.curve_png import draw_curve_png

    ending = Path(file).suffix.lower()
    if ending not in {".svg", ".png"}:
        raise BadInput(
            "curve-picture-name",
            field="--picture",
            value=file,
            right="a name that ends in .svg or .png",
        )
    drawn = draw_curve_png(view) if ending == ".png" else draw_curve(view).encode()
    try:
        Path(file).write_bytes(drawn)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise BadInput("picture-unwritable", field="--picture", value=file, right=reason) from error
