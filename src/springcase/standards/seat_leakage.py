"""Seat leakage classes of FCI 70-2 and 70-3, and what a bubble is worth in each tube."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from springcase.errors import BadInput, OutsideValidity
from springcase.sources import Standing
from springcase.standards.register import standing
from springcase.standards.tables import read_table, unknown_name
from springcase.units import INCH

STANDARDS: Final = ("FCI 70-2", "FCI 70-3")
_MILLILITRE: Final = 1e-6
_DAY: Final = 86400.0
_KIND_OF_TABLE: Final = {"share": "share", "per_seat": "seat", "by_seat": "seat"}


@dataclass(frozen=True, slots=True, kw_only=True)
class BubbleTube:
    """A tube that bubbles are counted from: its name, in words, and one bubble of it. [m3]"""

    name: str
    words: str
    bubble: float
    source: str
    standing: Standing


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatLimit:
    """The leak a seat class allows at base conditions [m3/s], how it is tested, its source."""

    name: str
    flow_base: float
    conditions: str
    source: str
    standing: Standing


@cache
def bubble_tubes() -> tuple[BubbleTube, ...]:
    """Return every tube bubbles may be counted from."""
    return tuple(
        BubbleTube(
            name=name,
            words=row["words"],
            bubble=_bubble_of(row),
            source=row["source"],
            standing=standing(row["source"]),
        )
        for name, row in read_table("seat_leakage")["tubes"].items()
    )


def _bubble_of(row: dict[str, Any]) -> float:
    if "millilitres" in row:
        return float(row["millilitres"]) * _MILLILITRE
    flow = row["cubic_feet_a_day"] * (12 * INCH) ** 3 / _DAY
    return float(flow / (row["bubbles_a_minute"] / 60))


def bubble_tube(name: str, *, field: str = "tube") -> BubbleTube:
    """
    Return one tube by its name.

    Raises
    ------
    UnknownName
        If there is none of that name: a bubble without its tube is no volume.
    """
    known = {tube.name: tube for tube in bubble_tubes()}
    found = known.get(name.strip().casefold())
    if found is None:
        raise unknown_name(field, name, known)
    return found


def seat_class_names(standard: str = "FCI 70-2") -> tuple[str, ...]:
    """
    Return the classes of a standard that limit a leak of gas.

    Raises
    ------
    UnknownName
        If the standard is not among those known.
    """
    return tuple(_kinds(standard))


def seat_limit(
    name: str,
    *,
    standard: str = "FCI 70-2",
    capacity_base: float | None = None,
    seat_diameter: float | None = None,
) -> SeatLimit:
    """
    Return the leak of gas a seat class allows, at base conditions. [m3/s]

    Parameters
    ----------
    name : str
        The class, such as IV or VI.
    standard : str
        FCI 70-2, or FCI 70-3 for regulators.
    capacity_base : float | None
        Rated capacity at the pressures of the test, for classes II to IV; the leak is at the
        same base. [m3/s]
    seat_diameter : float | None
        For classes V to VII. Between two rows the smaller row's leak is taken. [m]

    Raises
    ------
    BadInput
        If the size the class is counted by is missing.
    OutsideValidity
        If that size is not more than zero, or above the table.
    UnknownName
        If there is no such class or standard.
    """
    kinds = _kinds(standard)
    wanted = name.strip().upper()
    if wanted not in kinds:
        raise unknown_name("seat class", name, kinds)
    kind = kinds[wanted]
    figure = read_table("seat_leakage")[standard][kind][wanted]
    if _KIND_OF_TABLE[kind] == "share":
        flow = figure * _size(capacity_base, "capacity_base", f"{standard} {wanted}")
    else:
        seat = _size(seat_diameter, "seat_diameter", f"{standard} {wanted}")
        flow = figure * 1e3 * seat / 3600 if kind == "per_seat" else soft_seat_flow(seat)
    source = read_table("seat_leakage")[standard]["source"]
    return SeatLimit(
        name=f"{standard} {wanted}",
        flow_base=flow,
        conditions=read_table("seat_leakage")["conditions"][f"{standard} {wanted}"],
        source=source,
        standing=standing(source),
    )


def _kinds(standard: str) -> dict[str, str]:
    """Return, for each class of a standard, the table it stands in."""
    if standard not in STANDARDS:
        raise unknown_name("standard", standard, STANDARDS)
    tables = read_table("seat_leakage")[standard]
    return {
        name: kind
        for kind in _KIND_OF_TABLE
        for name in tables.get(kind, {})
        if not name.endswith("_water")
    }


def _size(value: float | None, field: str, name: str) -> float:
    """Return the size a class is counted by, or say that it is missing or unusable."""
    if value is None:
        what = "the rated capacity" if field == "capacity_base" else "the seat diameter"
        raise BadInput("seat-class-size", field=field, value=name, right=what)
    if not 0 < value < math.inf:
        raise OutsideValidity("not-positive", field=field, value=value, right="more than zero")
    return value


def soft_seat_flow(seat_diameter: float) -> float:
    """
    Return the leak classes VI and VII allow a seat of a diameter [m], at base conditions. [m3/s]

    A seat between two rows takes the smaller row, and one below the first takes the first.

    Raises
    ------
    OutsideValidity
        If the seat is larger than the table, or not more than zero.
    """
    rows = read_table("seat_leakage")["soft"]["rows"]
    seat = _size(seat_diameter, "seat_diameter", "VI")
    largest = max(rows[-1][0] * INCH, rows[-1][1] / 1e3)
    if seat > largest * (1 + 1e-9):
        raise OutsideValidity(
            "seat-too-large",
            field="seat_diameter",
            value=f"{1e3 * seat:g} mm",
            right=f"at most {1e3 * largest:g} mm",
        )
    # A row's inch and millimetre differ by their rounding; either names the row.
    reached = [row for row in rows if seat >= min(row[0] * INCH, row[1] / 1e3) * (1 - 1e-9)]
    row = reached[-1] if reached else rows[0]
    return float(row[2]) * _MILLILITRE / 60


def class_v_water_flow(seat_diameter: float, pressure_diff: float) -> float:
    """
    Return the leak of water class V allows a seat [m] at a pressure difference [Pa]. [m3/s]

    The rounded SI figure of the standard; its inch figure is 5 % lower.

    Raises
    ------
    OutsideValidity
        If one of them is not more than zero.
    """
    figure = read_table("seat_leakage")["FCI 70-2"]["per_seat"]["V_water"]
    seat = _size(seat_diameter, "seat_diameter", "V")
    return float(figure * 1e3 * seat * _size(pressure_diff, "pressure_diff", "V") / 1e5)
