"""Strength grades of fasteners by diameter, and nut factors."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from springcase.errors import OutsideValidity
from springcase.sources import Sourced
from springcase.standards.register import standing
from springcase.standards.tables import read_table, unknown_name
from springcase.units import INCH, PSI

_LENGTH: Final = {"in": INCH, "mm": 1e-3}
_STRESS: Final = {"ksi": 1e3 * PSI, "MPa": 1e6}
# A nominal diameter typed in the other system may miss the edge of a band by rounding.
_EDGE: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """
    Strength of one grade at one diameter, minimum values.

    `proof_stress` is None where the standard defines none: use a share of yield. [Pa]
    """

    name: str
    proof_stress: float | None
    yield_stress: float
    tensile_stress: float
    source: str
    locator: str


@cache
def _grades() -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for row in read_table("strength")["grade"]:
        for name in (row["name"], *row["aliases"]):
            found[name.casefold()] = row
    return found


def grade_names() -> tuple[str, ...]:
    """Return the names of all grades."""
    return tuple(row["name"] for row in read_table("strength")["grade"])


def grade(name: str, diameter: float, *, field: str = "grade") -> Grade:
    """
    Return the strength of a grade for a nominal diameter. [m]

    Raises UnknownName for a grade of no table, OutsideValidity for a diameter it does not cover.
    """
    row = _grades().get(" ".join(name.split()).casefold())
    if row is None:
        raise unknown_name(field, name, grade_names())
    unit, stress = _LENGTH[row["length"]], _STRESS[row["stress"]]
    for over, up_to, proof, yield_, tensile in row["rows"]:
        if over * unit + _EDGE < diameter <= up_to * unit + _EDGE:
            return Grade(
                name=row["name"],
                proof_stress=float(proof) * stress if proof else None,
                yield_stress=float(yield_) * stress,
                tensile_stress=float(tensile) * stress,
                source=row["source"],
                locator=row["locator"],
            )
    rows = row["rows"]
    raise OutsideValidity(
        "diameter-outside-grade",
        field=field,
        value=row["name"],
        right=f"a diameter over {rows[0][0]:g} up to {rows[-1][1]:g} {row['length']}",
        diameter=f"{diameter / unit:.4g} {row['length']}",
    )


@cache
def nut_factors() -> dict[str, Sourced]:
    """Return the published nut factors by the state of the thread. [-]"""
    return {
        row["name"]: Sourced(
            value=float(row["value"]), source=row["source"], standing=standing(row["source"])
        )
        for row in read_table("strength")["nut_factor"]
    }


def nut_factor(name: str, *, field: str = "nut factor") -> Sourced:
    """
    Return one published nut factor. [-]

    Raises UnknownName for a state of no table.
    """
    known = nut_factors()
    if name not in known:
        raise unknown_name(field, name, known)
    return known[name]


@dataclass(frozen=True, slots=True, kw_only=True)
class Scatter:
    """How preload scatters from screw to screw at one torque. [N], [-]"""

    mean: float
    deviation: float
    source: str

    @property
    def coefficient(self) -> float:
        """Standard deviation as a share of the mean. [-]"""
        return self.deviation / self.mean


def preload_scatter(state: str) -> Scatter:
    """
    Return the measured scatter of preload for ``dry`` or ``lubricated`` screws.

    Raises UnknownName for another state.
    """
    import statistics

    rows = {row["name"]: row for row in read_table("strength")["preload_scatter"]}
    if state not in rows:
        raise unknown_name("thread state", state, rows)
    preloads = [1e3 * preload for preload in rows[state]["preloads"]]
    return Scatter(
        mean=statistics.mean(preloads),
        deviation=statistics.stdev(preloads),
        source=rows[state]["source"],
    )


@cache
def thread_materials() -> dict[str, Sourced]:
    """Return the least tensile strength of what threads are cut in, by material. [Pa]"""
    return {
        row["name"]: Sourced(
            value=float(row["tensile"]) * 1e6,
            source=row["source"],
            standing=standing(row["source"]),
        )
        for row in read_table("strength")["thread_material"]
    }


def thread_material(name: str, *, field: str = "tapped") -> Sourced:
    """
    Return the least tensile strength of a material that carries a thread. [Pa]

    Raises UnknownName for a material of no table.
    """
    known = thread_materials()
    if name not in known:
        raise unknown_name(field, name, known)
    return known[name]
