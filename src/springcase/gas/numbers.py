"""Numbers and arrays of numbers at the entry of a formula: checked once, broadcast, given back."""

from __future__ import annotations

from typing import Final, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from springcase.errors import BadInput, OutsideValidity

Numbers: TypeAlias = float | NDArray[np.float64]
"""What a formula takes and gives: a number for numbers, an array where one was given."""

GAS_CONSTANT: Final = 8.31446261815324
"""Molar gas constant, exact since 2019 (``si_brochure_9``). [J/(mol.K)]"""


def read(value: ArrayLike, field: str) -> NDArray[np.float64]:
    """
    Return a number or numbers as an array of floats.

    Raises
    ------
    BadInput
        If one of them is no number, or not finite.
    """
    try:
        found = np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise BadInput("flow-no-number", field=field, value=str(value), right="a number") from error
    if found.size and not np.isfinite(found.min() + found.max()):
        wrong = found[~np.isfinite(found)]
        # Two finite ends whose sum overflows are finite all the same.
        if wrong.size:
            raise BadInput(
                "flow-no-number", field=field, value=str(wrong[0]), right="a finite number"
            )
    return found


def positive(value: ArrayLike, field: str) -> NDArray[np.float64]:
    """
    Return numbers that are all more than zero.

    Raises
    ------
    OutsideValidity
        If one of them is zero or less.
    """
    return within(value, field, above=0.0, right="more than zero")


def not_negative(value: ArrayLike, field: str) -> NDArray[np.float64]:
    """
    Return numbers that are all zero or more.

    Raises
    ------
    OutsideValidity
        If one of them is less than zero.
    """
    found = read(value, field)
    if found.size and found.min() < 0.0:
        refuse(found, found < 0.0, field, "zero or more")
    return found


def within(
    value: ArrayLike, field: str, *, above: float, up_to: float = np.inf, right: str
) -> NDArray[np.float64]:
    """
    Return numbers that are all above one bound and up to another. [SI]

    Raises
    ------
    OutsideValidity
        If one of them lies outside.
    """
    found = read(value, field)
    if found.size and (found.min() <= above or found.max() > up_to):
        refuse(found, (found <= above) | (found > up_to), field, right)
    return found


def refuse(values: NDArray[np.float64], wrong: NDArray[np.bool_], field: str, right: str) -> None:
    """
    Refuse the first of the values that is marked wrong.

    Raises
    ------
    OutsideValidity
        If any is marked.
    """
    values, wrong = np.broadcast_arrays(values, wrong)
    if wrong.any():
        first = float(values[wrong].flat[0])
        raise OutsideValidity("flow-outside", field=field, value=f"{first:.6g}", right=right)


def falls(
    inlet: NDArray[np.float64], outlet: NDArray[np.float64], field: str = "outlet_pressure_abs"
) -> None:
    """
    Refuse an outlet pressure above the inlet pressure, both absolute. [Pa]

    Raises
    ------
    OutsideValidity
        If one of the outlet pressures is above its inlet pressure.
    """
    above = outlet > inlet
    if above.any():
        highest, inlets = np.broadcast_arrays(outlet, inlet)
        raise OutsideValidity(
            "flow-outlet-above-inlet",
            field=field,
            value=f"{float(highest[above].flat[0]):.6g}",
            right=f"at most the inlet pressure, {float(inlets[above].flat[0]):.6g}",
        )


def give_back(found: NDArray[np.float64]) -> Numbers:
    """Return a number where there is one, the array where there are more."""
    return float(found) if np.ndim(found) == 0 else found
