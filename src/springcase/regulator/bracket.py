"""Roots of increasing functions, many at once, by steps that can never leave their bracket."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Index = NDArray[np.intp]

MOST_STEPS: Final = 200
_CLOSE: Final = 4 * np.finfo(np.float64).eps
_FEW: Final = 0.5
"""Share of points still open below which the rest are worked on alone. [-]"""


def solve_increasing(
    function: Callable[[Array, Any], tuple[Array, Array]],
    low: Array,
    high: Array,
    start: Array,
    closed: Array | float,
) -> Array:
    """
    Return where increasing functions cross zero between `low` and `high`.

    `function(x, index)` gives values and slopes at the points `index` (None for all). A Newton
    step is taken where it stays in the bracket and at least halves the step before; otherwise
    the bracket is halved, so the root cannot be missed. A point is done when its value is at
    most `closed` or its step is lost in rounding. Where the function has one sign throughout,
    the end nearest its root is returned.
    """
    x = np.clip(start, low, high)
    result = x.copy()
    low, high = low.copy(), high.copy()
    closed = np.broadcast_to(np.asarray(closed, dtype=np.float64), x.shape)
    before = high - low
    index: Index | None = None
    for _ in range(MOST_STEPS):
        value, slope = function(x, index)
        above = value > 0.0
        np.copyto(high, x, where=above)
        np.copyto(low, x, where=~above)
        with np.errstate(divide="ignore", invalid="ignore"):
            step = -value / slope
            onward = x + step
            good = (onward > low) & (onward < high) & (2.0 * np.abs(step) <= before)
        middle = 0.5 * (low + high)
        onward = np.where(good, onward, middle)
        step = np.abs(onward - x)
        wide = np.where(good, step, 0.5 * (high - low))
        done = (np.abs(value) <= closed) | (step <= _CLOSE * np.abs(x))
        onward = np.where(done, x, onward)
        if index is None:
            result = onward
        else:
            result[index] = onward
        left = int(done.size - np.count_nonzero(done))
        if left == 0:
            return result
        if left <= _FEW * done.size:
            keep = np.flatnonzero(~done)
            index = keep if index is None else index[keep]
            onward, low, high = onward[keep], low[keep], high[keep]
            wide, closed = wide[keep], closed[keep]
        x, before = onward, wide
    return result


def bisect_increasing(
    function: Callable[[Array], Array], low: Array, high: Array, steps: int = 80
) -> Array:
    """Return where increasing functions cross zero, by halving alone; a function may jump."""
    low, high = low.copy(), high.copy()
    for _ in range(steps):
        middle = 0.5 * (low + high)
        above = function(middle) > 0.0
        high = np.where(above, middle, high)
        low = np.where(above, low, middle)
    return np.asarray(0.5 * (low + high))
