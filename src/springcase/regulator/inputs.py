"""What the rooms of the regulator accept: finite numbers, scalar or array, and how they answer."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from springcase.errors import BadInput, OutsideValidity, UnknownName

Array: TypeAlias = NDArray[np.float64]
Real: TypeAlias = float | Array
"""A scalar or an array; functions broadcast, and give a float where all they got was scalar."""


def finite(value: Real, field: str) -> Array:
    """
    Return a value as an array of finite floats. [SI]

    Raises BadInput for NaN, infinities and what is no number.
    """
    try:
        array = np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise BadInput(
            "number-not-finite", field=field, value=str(value), right="a finite number"
        ) from error
    if not np.isfinite(array).all():
        raise BadInput(
            "number-not-finite",
            field=field,
            value=first_where(array, ~np.isfinite(array)),
            right="a finite number",
        )
    return array


def positive(value: Real, field: str) -> Array:
    """
    Return a value that must be more than zero. [SI]

    Raises BadInput for NaN and infinities, OutsideValidity for zero or less.
    """
    array = finite(value, field)
    if not (array > 0).all():
        raise OutsideValidity(
            "not-positive",
            field=field,
            value=first_where(array, array <= 0),
            right="more than zero",
        )
    return array


def not_negative(value: Real, field: str) -> Array:
    """
    Return a value that must be zero or more. [SI]

    Raises BadInput for NaN and infinities, OutsideValidity for less than zero.
    """
    array = finite(value, field)
    if not (array >= 0).all():
        raise OutsideValidity(
            "not-positive", field=field, value=first_where(array, array < 0), right="zero or more"
        )
    return array


def first_where(value: Real, is_wrong: NDArray[np.bool_] | np.bool_) -> float:
    """Return the first value an array of refusals points at. [SI]"""
    array, wrong = np.broadcast_arrays(np.asarray(value, dtype=np.float64), is_wrong)
    return float(array[wrong].flat[0])


def one_of(value: str, known: tuple[str, ...], field: str) -> str:
    """
    Return a name that must be among the known ones.

    Raises UnknownName for any other.
    """
    if value not in known:
        raise UnknownName("name-not-in-table", field=field, value=value, right=", ".join(known))
    return value


def answer(value: Real) -> Real:
    """Return a float for a scalar and the array for an array. [SI]"""
    return float(value) if np.ndim(value) == 0 else np.asarray(value, dtype=np.float64)
