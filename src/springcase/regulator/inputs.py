"""What the rooms of the regulator say of an input they refuse."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from springcase.errors import UnknownName

Array: TypeAlias = NDArray[np.float64]


def first_where(values: Array, wrong: NDArray[np.bool_] | np.bool_) -> float:
    """Return the first of the values that is marked wrong. [SI]"""
    array, marks = np.broadcast_arrays(values, wrong)
    return float(array[marks].flat[0])


def one_of(value: str, known: tuple[str, ...], field: str) -> str:
    """
    Return a name that must be among the known ones.

    Raises UnknownName for any other.
    """
    if value not in known:
        raise UnknownName("name-not-in-table", field=field, value=value, right=", ".join(known))
    return value
