"""
Gases as mole fractions: by name, as typed, as a mapping, and blends of them.

A composition is used as given: it must sum to one within `SUM_TOLERANCE`, and it is never
renormalised behind the reader's back.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

import pyaga8

from springcase.errors import BadInput, OutsideValidity
from springcase.standards.tables import unknown_name
from springcase.units import parse_quantity

SUM_TOLERANCE: Final = 1e-5
_FOLDER: Final = Path(__file__).parent


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """A component of the equations of state with its critical constants. [SI]"""

    name: str
    critical_temperature: float
    critical_pressure: float
    critical_molar_density: float
    acentric_factor: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Gas:
    """
    A gas as mole fractions [-] in the order of the equations, with its molar mass [kg/mol].

    `source` names where the fractions come from; it is empty for a composition as typed.
    """

    name: str
    fractions: tuple[tuple[str, float], ...]
    molar_mass: float
    source: str = ""

    def fraction(self, component: str) -> float:
        """Return the mole fraction of one component, nought where the gas has none. [-]"""
        return dict(self.fractions).get(component, 0.0)


@cache
def _read(name: str) -> dict[str, Any]:
    return tomllib.loads((_FOLDER / name).read_text(encoding="utf-8"))


@cache
def components() -> dict[str, Component]:
    """Return the 21 components by name, in the order of the equations."""
    return {
        name: Component(name=name, **{key: value for key, value in row.items() if key != "aliases"})
        for name, row in _read("components.toml").items()
    }


@cache
def heating_values() -> dict[str, float]:
    """Return the gross molar heat of combustion of every component at 15 degC, in J/mol."""
    known = _read("heating_values.toml")
    return {name: 1000 * known.get(name, 0.0) for name in components()}


@cache
def _component_names() -> dict[str, str]:
    names = {}
    for name, row in _read("components.toml").items():
        for spelling in (name, *row["aliases"]):
            names[_normal(spelling)] = name
    return names


@cache
def _gas_names() -> dict[str, str]:
    names = {}
    for name, row in _read("named_gases.toml").items():
        for spelling in (name, *row.get("aliases", ())):
            names[_normal(spelling)] = name
    return names


def _normal(spelling: str) -> str:
    return spelling.strip().casefold().replace("_", "-").replace(" ", "-")


def gas_names() -> tuple[str, ...]:
    """Return the gases that are known by name."""
    return tuple(_read("named_gases.toml"))


def wheel_composition(gas: Gas) -> pyaga8.Composition:
    """Return the gas as the wheel of the equations of state takes it."""
    composition = pyaga8.Composition()
    for name, fraction in gas.fractions:
        setattr(composition, name, fraction)
    return composition


def make_gas(
    name: str, fractions: Mapping[str, float], *, source: str = "", field: str = "composition"
) -> Gas:
    """
    Return a gas from mole fractions by component. [-]

    Raises UnknownName for a component the equations do not have, OutsideValidity for a fraction
    that is negative or not finite, BadInput where the fractions do not sum to one within
    `SUM_TOLERANCE`.
    """
    known = _component_names()
    found: dict[str, float] = {}
    for spelling, fraction in fractions.items():
        component = known.get(_normal(spelling))
        if component is None:
            raise unknown_name(field, spelling, components())
        if not math.isfinite(fraction) or fraction < 0:
            raise OutsideValidity(
                "gas-fraction", field=field, value=f"{spelling}={fraction}", right="0 to 1"
            )
        if component in found:
            raise BadInput("gas-component-twice", field=field, value=spelling, right="once")
        found[component] = float(fraction)
    total = math.fsum(found.values())
    if abs(total - 1) > SUM_TOLERANCE:
        raise BadInput(
            "gas-sum", field=field, value=f"{total:.6g}", right=f"1 within {SUM_TOLERANCE:g}"
        )
    ordered = tuple((one, found[one]) for one in components() if found.get(one, 0.0) > 0)
    gas = Gas(name=name, fractions=ordered, molar_mass=math.nan, source=source)
    equation = pyaga8.Gerg2008()
    equation.set_composition(wheel_composition(gas))
    equation.calc_molar_mass()
    return Gas(name=name, fractions=ordered, molar_mass=equation.mm / 1000, source=source)


def _read_typed(text: str, field: str) -> Gas:
    """Return the gas of a composition typed as "methane=0.9,nitrogen=0.1" or in percent."""
    fractions: dict[str, float] = {}
    for part in text.split(","):
        name, equals, share = part.partition("=")
        if not equals or not name.strip():
            raise BadInput(
                "gas-composition-unreadable",
                field=field,
                value=text,
                right="components such as methane=0.9,nitrogen=0.1",
            )
        if name.strip() in fractions:
            raise BadInput("gas-component-twice", field=field, value=name.strip(), right="once")
        fractions[name.strip()] = parse_quantity(share, "ratio", field=field).value
    return make_gas("as typed", fractions, field=field)


@cache
def _named_gas(name: str) -> Gas:
    row = _read("named_gases.toml")[name]
    return make_gas(name, row["fractions"], source=row["source"])


def read_gas(gas: str | Mapping[str, float], *, field: str = "gas") -> Gas:
    """
    Return a gas from its name, from a composition as typed, or from mole fractions. [-]

    A name may carry a hydrogen blend: "gulf-coast + 20 % hydrogen" is 80 % of the one and 20 %
    of the other by amount.

    Raises UnknownName for a name or component that is not known, BadInput for a composition that
    cannot be read or does not sum to one, OutsideValidity for a fraction no mixture can have.

    Examples
    --------
    >>> round(1000 * read_gas("amarillo").molar_mass, 4)
    17.595
    """
    if not isinstance(gas, str):
        return make_gas("as given", gas, field=field)
    if "+" in gas:
        first, _, second = gas.partition("+")
        share, _, other = second.strip().replace("%", "% ").partition("% ")
        added = parse_quantity(f"{share.strip()} %", "ratio", field=field).value
        return blend_gases(read_gas(first, field=field), read_gas(other, field=field), added)
    if "=" in gas:
        return _read_typed(gas, field)
    name = _gas_names().get(_normal(gas))
    if name is None:
        raise unknown_name(field, gas, gas_names())
    return _named_gas(name)


def blend_gases(gas: Gas, added: Gas, share: float) -> Gas:
    """
    Return a blend that holds a share of the added gas by amount. [-]

    Raises OutsideValidity where the share is not from 0 to 1.
    """
    if not 0 <= share <= 1:
        raise OutsideValidity("gas-fraction", field=added.name, value=share, right="0 to 1")
    fractions = {name: (1 - share) * value for name, value in gas.fractions}
    for name, value in added.fractions:
        fractions[name] = fractions.get(name, 0.0) + share * value
    name = f"{gas.name} + {100 * share:g} % {added.name}"
    return make_gas(name, fractions, source=gas.source)
