"""Numbers and arrays of numbers at the entry of a formula: checked once, broadcast, given back."""

from __future__ import annotations

from collections.abc import Callable
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
    return _bounded(value, field, above=-np.inf, least=-np.inf, up_to=np.inf, right="")


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
    right = "zero or more"
    return _bounded(value, field, above=-np.inf, least=0.0, up_to=np.inf, right=right)


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
    return _bounded(value, field, above=above, least=-np.inf, up_to=up_to, right=right)


def _bounded(
    value: ArrayLike, field: str, *, above: float, least: float, up_to: float, right: str
) -> NDArray[np.float64]:
    """Return checked numbers: two passes where all is well, and a search only where it is not."""
    try:
        found = np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise BadInput("flow-no-number", field=field, value=str(value), right="a number") from error
    if not found.size:
        return found
    low, high = found.min(), found.max()
    # NaN makes both ends NaN, so it fails here too.
    if low > above and low >= least and high <= up_to and high < np.inf:
        return found
    wrong = ~np.isfinite(found)
    if wrong.any():
        raise BadInput(
            "flow-no-number", field=field, value=str(found[wrong][0]), right="a finite number"
        )
    refuse(found, (found <= above) | (found < least) | (found > up_to), field, right)
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


BLOCK: Final = 16384
"""Rows worked on at a time: what a core keeps near while a formula passes over them."""


def in_blocks(
    formula: Callable[..., NDArray[np.float64]], *given: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return a formula of arrays that broadcast, worked out a block of rows at a time."""
    shape = np.broadcast_shapes(*(one.shape for one in given))
    size = int(np.prod(shape))
    if size <= BLOCK:
        return np.asarray(formula(*given))
    rows = [
        one if one.size == 1 else np.ascontiguousarray(np.broadcast_to(one, shape)).reshape(-1)
        for one in given
    ]
    found = np.empty(size)
    for start in range(0, size, BLOCK):
        part = slice(start, start + BLOCK)
        found[part] = formula(*(one if one.size == 1 else one[part] for one in rows))
    return found.reshape(shape)
