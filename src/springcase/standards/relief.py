"""Relief devices: standard orifices by letter, back-pressure factors, usual coefficients."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

from springcase.errors import OutsideValidity
from springcase.sources import Sourced
from springcase.standards.register import standing
from springcase.standards.tables import read_table, unknown_name
from springcase.units import INCH

_SAME: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardOrifice:
    """One standard orifice: its letter and its effective area. [m2]"""

    letter: str
    area: float
    source: str


@cache
def standard_orifices() -> tuple[StandardOrifice, ...]:
    """Return the standard orifices D to T, smallest first. [m2]"""
    table = read_table("relief")["orifices"]
    return tuple(
        StandardOrifice(letter=letter, area=area * INCH * INCH, source=table["source"])
        for letter, area in table["rows"]
    )


def standard_orifice(letter: str, *, field: str = "designation") -> StandardOrifice:
    """
    Return one standard orifice by its letter. [m2]

    Raises UnknownName for a letter of no orifice.
    """
    known = {orifice.letter: orifice for orifice in standard_orifices()}
    found = known.get(letter.strip().upper())
    if found is None:
        raise unknown_name(field, letter, known)
    return found


def choose_orifice(area: float) -> StandardOrifice:
    """
    Return the smallest standard orifice of at least an area. [m2]

    Raises OutsideValidity for an area larger than the largest.
    """
    for orifice in standard_orifices():
        if orifice.area >= area * (1 - _SAME):
            return orifice
    largest = standard_orifices()[-1]
    raise OutsideValidity(
        "relief-area-too-large",
        field="area",
        value=f"{1e6 * area:.6g} mm2",
        right=f"at most {1e6 * largest.area:.6g} mm2 ({largest.letter}), or several devices",
    )


@cache
def relief_factors() -> dict[str, Sourced]:
    """Return the usual coefficients of relief sizing by name. [-]"""
    return {
        row["name"]: Sourced(
            value=float(row["value"]), source=row["source"], standing=standing(row["source"])
        )
        for row in read_table("relief")["factor"]
    }


def relief_factor(name: str, *, field: str = "relief factor") -> Sourced:
    """
    Return one usual coefficient of relief sizing. [-]

    Raises UnknownName for a name of no table.
    """
    known = relief_factors()
    if name not in known:
        raise unknown_name(field, name, known)
    return known[name]


def back_pressure_curve(overpressure: float) -> tuple[tuple[float, float], ...]:
    """
    Return the curve of the back-pressure factor at 10, 16 or 21 % overpressure. [-]

    Raises OutsideValidity for another overpressure.
    """
    curves = {
        round(row["overpressure"], 6): row["rows"] for row in read_table("relief")["back_pressure"]
    }
    found = curves.get(round(overpressure, 6))
    if found is None:
        raise OutsideValidity(
            "relief-overpressure",
            field="overpressure",
            value=f"{100 * overpressure:g} %",
            right="10, 16 or 21 %",
        )
    return tuple((float(share), float(factor)) for share, factor in found)
