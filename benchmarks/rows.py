"""One measured row: a goal, our figure, a reference in the same run, and the ratio of the two."""

from __future__ import annotations

import gc
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """
    One line of the table.

    `figure` must be at most `goal`; `figure / reference` must be at most `ratio_goal`. All
    figures are costs: seconds, bytes or a plan's cost, so less is better everywhere.
    `sound` is false where the answer itself was wrong, whatever its speed.
    """

    name: str
    unit: str
    figure: float
    goal: float
    reference_name: str
    reference: float
    ratio_goal: float
    sound: bool = True
    note: str = ""

    @property
    def ratio(self) -> float:
        """Our figure over the reference's."""
        return self.figure / self.reference

    @property
    def passed(self) -> bool:
        """Whether goal and ratio are met by a right answer."""
        return self.sound and self.figure <= self.goal and self.ratio <= self.ratio_goal


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One line of the table of time against parts."""

    parts: int
    shape: str
    seconds: float
    cost: int
    bound: int
    effort: int
    found: bool


def median_seconds(action: Callable[[], object], repeats: int, *, warm: int = 1) -> float:
    """Return the median wall time of an action after `warm` unmeasured runs. [s]"""
    for _ in range(warm):
        action()
    times = []
    gc.collect()
    for _ in range(repeats):
        began = time.perf_counter()
        action()
        times.append(time.perf_counter() - began)
    return statistics.median(times)


def once_seconds(action: Callable[[], T]) -> tuple[float, T]:
    """Return the wall time of one run of an action, and what it gave. [s]"""
    began = time.perf_counter()
    given = action()
    return time.perf_counter() - began, given
