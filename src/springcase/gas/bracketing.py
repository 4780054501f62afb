"""
Roots that cannot be missed: many equations at once, each kept between its two ends.

Every step keeps the sign change inside the bracket. Inverse quadratic steps are taken where
they are safe and halves where they are not (``chandrupatla_1997``), so a root is found to the
last digits in about ten evaluations and never lost.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np
from numpy.typing import NDArray

Residual = Callable[[NDArray[np.float64]], NDArray[np.float64]]

MOST_STEPS: Final = 120
_SMALLEST: Final = 4.0 * float(np.finfo(np.float64).eps)


def find_roots(
    residual: Residual, low: NDArray[np.float64], high: NDArray[np.float64]
) -> NDArray[np.float64]:
    """
    Return where each residual changes sign between `low` and `high`; an end where it does not.

    The residual takes and gives arrays of the shape of the ends and is evaluated for all rows
    at every step. Where both ends have one sign the end nearer to zero is returned: the caller
    has made sure of its ends, or says what such an end means.
    """
    first, second = (np.array(one, dtype=np.float64) for one in np.broadcast_arrays(low, high))
    at_first, at_second = residual(first), residual(second)
    third, at_third = first.copy(), at_first.copy()
    share = np.full(first.shape, 0.5)
    bracketed = np.sign(at_first) * np.sign(at_second) < 0
    for _ in range(MOST_STEPS):
        nearest = np.where(np.abs(at_second) < np.abs(at_first), second, first)
        at_nearest = np.where(np.abs(at_second) < np.abs(at_first), at_second, at_first)
        width = np.abs(second - first)
        room = 2.0 * _SMALLEST * np.abs(nearest) / np.where(width > 0, width, np.inf)
        done = ~bracketed | (at_nearest == 0.0) | (room > 0.5) | (width == 0.0)
        if done.all():
            break
        share = np.where(done, 0.0, np.clip(share, np.minimum(room, 0.5), 1.0 - room))
        tried = first + share * (second - first)
        at_tried = residual(tried)
        same = np.sign(at_tried) == np.sign(at_first)
        third = np.where(done, third, np.where(same, first, second))
        at_third = np.where(done, at_third, np.where(same, at_first, at_second))
        second = np.where(done | same, second, first)
        at_second = np.where(done | same, at_second, at_first)
        first = np.where(done, first, tried)
        at_first = np.where(done, at_first, at_tried)
        share = _next_share(first, second, third, at_first, at_second, at_third)
    return np.where(np.abs(at_second) < np.abs(at_first), second, first)


def _next_share(
    first: NDArray[np.float64],
    second: NDArray[np.float64],
    third: NDArray[np.float64],
    at_first: NDArray[np.float64],
    at_second: NDArray[np.float64],
    at_third: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Return how far from `first` to `second` to try next: inverse quadratic where that is safe."""
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        place = (first - second) / (third - second)
        height = (at_first - at_second) / (at_third - at_second)
        safe = (height * height < place) & ((1.0 - height) ** 2 < 1.0 - place)
        slope = at_first / (at_second - at_first) * at_third / (at_second - at_third)
        bend = (third - first) / (second - first)
        bend = bend * at_first / (at_third - at_first) * at_second / (at_third - at_second)
        step = slope + bend
    return np.where(safe & np.isfinite(step), step, 0.5)
