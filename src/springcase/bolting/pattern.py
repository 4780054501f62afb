"""The order in which bolts are tightened, where they sit, and the passes."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from springcase.errors import OutsideValidity
from springcase.standards.tables import unknown_name

FEWEST: Final = 3
MOST: Final = 32
COVERS: Final = ("round", "square", "oval")
PATTERNS: Final = ("cross", "circle", "alternate")
# Shares of the final torque: asme_pcc_1_2019_memory.
USUAL_PASSES: Final = ((0.20, 0.30), (0.50, 0.70), (1.0, 1.0))
PUBLISHED_COUNTS: Final = (4, 8, 12, 16, 20, 24)
OVAL_RATIO: Final = 1.5
_ARC_STEPS: Final = 2048


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """
    One pass over all bolts: shares of the final torque, the torque itself, and the order.

    `order` is ``cross`` for a pass in the bolt order and ``circular`` for the closing round.
    """

    share_low: float
    share_high: float
    torque_low: float
    torque_high: float
    order: str


def _spread(count: int) -> list[int]:
    """Return the places of a ring so that each next is among the farthest from all before."""

    def gap(one: int, other: int) -> int:
        return min((one - other) % count, (other - one) % count)

    order = [0]
    free = list(range(1, count))
    while free:
        chosen = max(
            free,
            key=lambda place: (
                min(gap(place, done) for done in order),
                gap(place, order[-1]),
                -place,
            ),
        )
        order.append(chosen)
        free.remove(chosen)
    return order


def bolt_order(count: int) -> tuple[int, ...]:
    """
    Return the cross pattern of a bolt ring, numbered clockwise from 1.

    For 4, 8, 12, 16, 20 and 24 bolts this is the published legacy pattern
    (`asme_pcc_1_2019_memory`; twelve bolts: `cross_pattern_article`): opposite pairs, each
    second pair square to the one before, then the gaps halved. The same rule carries 28 and 32;
    other even counts keep the opposite pairs, and with odd counts each next bolt is among the
    farthest from those already tight (common practice, no source).

    Raises OutsideValidity for fewer than 3 or more than 32 bolts.

    Examples
    --------
    >>> bolt_order(8)
    (1, 5, 3, 7, 2, 6, 4, 8)
    """
    if not FEWEST <= count <= MOST:
        raise OutsideValidity(
            "bolt-count", field="bolts", value=count, right=f"{FEWEST} to {MOST} bolts"
        )
    if count % 4 == 0:
        half, quarter = count // 2, count // 4
        together: tuple[int, ...] = (0, half, quarter, quarter + half)
    elif count % 2 == 0:
        together = (0, count // 2)
    else:
        together = (0,)
    return tuple(place + 1 + step for place in _spread(count // len(together)) for step in together)


def tightening_order(pattern: str, count: int) -> tuple[int, ...]:
    """
    Return the order of a named pattern for any number of fasteners.

    ``cross`` is `bolt_order` (one or two fasteners need no pattern), ``circle`` goes round,
    ``alternate`` takes every second fastener and then the others.

    Raises UnknownName for another pattern, OutsideValidity for a count outside 1 to 32.
    """
    if pattern not in PATTERNS:
        raise unknown_name("pattern", pattern, PATTERNS)
    if not 1 <= count <= MOST:
        raise OutsideValidity("bolt-count", field="bolts", value=count, right=f"1 to {MOST} bolts")
    numbers = tuple(range(1, count + 1))
    if pattern == "alternate":
        return numbers[::2] + numbers[1::2]
    return bolt_order(count) if pattern == "cross" and count >= FEWEST else numbers


def bolt_positions(count: int, cover: str = "round") -> tuple[tuple[float, float], ...]:
    """
    Return where the bolts sit on a cover, in units of half its height, y upwards. [-]

    Bolt 1 stands at 12 o'clock and the numbers run clockwise, evenly spaced along the bolt
    line. On a square cover with a count of 4, 12, 20 or 28 the ring is turned half a step
    clockwise, which puts a bolt in every corner.

    Raises UnknownName for another cover, OutsideValidity for a count outside 1 to 32.
    """
    if cover not in COVERS:
        raise unknown_name("cover", cover, COVERS)
    if not 1 <= count <= MOST:
        raise OutsideValidity("bolt-count", field="bolts", value=count, right=f"1 to {MOST} bolts")
    if cover == "square":
        half_step = 0.5 if count % 8 == 4 else 0.0
        return tuple(_on_square((index + half_step) / count) for index in range(count))
    wide = OVAL_RATIO if cover == "oval" else 1.0
    return _on_ellipse(count, wide)


def _on_square(share: float) -> tuple[float, float]:
    """Return the point of a square's outline after a share of it, clockwise from the top."""
    side, along = divmod(share * 8 + 1, 2)
    across = along - 1
    return ((across, 1.0), (1.0, -across), (-across, -1.0), (-1.0, across))[int(side) % 4]


def _on_ellipse(count: int, wide: float) -> tuple[tuple[float, float], ...]:
    """Return points evenly spaced by arc length, clockwise from the top."""
    points = [
        (wide * math.sin(math.tau * step / _ARC_STEPS), math.cos(math.tau * step / _ARC_STEPS))
        for step in range(_ARC_STEPS + 1)
    ]
    travelled = [0.0]
    for before, after in itertools.pairwise(points):
        travelled.append(travelled[-1] + math.dist(before, after))
    found, step = [], 0
    for index in range(count):
        goal = travelled[-1] * index / count
        while travelled[step + 1] < goal:
            step += 1
        part = (goal - travelled[step]) / (travelled[step + 1] - travelled[step])
        (x0, y0), (x1, y1) = points[step], points[step + 1]
        found.append((x0 + part * (x1 - x0), y0 + part * (y1 - y0)))
    return tuple(found)


def check_passes(passes: Sequence[Pass]) -> None:
    """
    Refuse passes that do not rise, do not end at the full torque, or lack the closing round.

    Raises OutsideValidity with what is wrong.
    """
    rising = [one for one in passes if one.order != "circular"]
    shown = ", ".join(f"{100 * one.share_low:g}-{100 * one.share_high:g} %" for one in rising)
    for one in rising:
        if not 0 < one.share_low <= one.share_high <= 1:
            raise OutsideValidity(
                "pass-outside", field="passes", value=shown, right="shares over 0 up to 100 %"
            )
    for before, after in itertools.pairwise(rising):
        if after.share_low <= before.share_high:
            raise OutsideValidity(
                "passes-not-increasing",
                field="passes",
                value=shown,
                right="each pass above the one before, such as 20-30 %, 50-70 %, 100 %",
            )
    if not rising or rising[-1].share_high != 1 or rising[-1].share_low != 1:
        raise OutsideValidity(
            "passes-not-full", field="passes", value=shown, right="a last pass at 100 %"
        )
    if passes[-1].order != "circular" or passes[-1].share_low != 1:
        raise OutsideValidity(
            "passes-no-closing-round",
            field="passes",
            value=shown,
            right="a closing circular round at 100 % until no fastener turns",
        )


def plan_passes(
    torque: float, ranges: Sequence[tuple[float, float]] = USUAL_PASSES
) -> tuple[Pass, ...]:
    """
    Return the passes to a torque: the ranges given, then the closing circular round. [N.m]

    Raises OutsideValidity for ranges that do not rise or do not end at the full torque.
    """
    if not (math.isfinite(torque) and torque > 0):
        raise OutsideValidity("not-positive", field="torque", value=torque, right="more than zero")
    passes = tuple(
        Pass(
            share_low=low,
            share_high=high,
            torque_low=low * torque,
            torque_high=high * torque,
            order=order,
        )
        for low, high, order in (
            *((low, high, "cross") for low, high in ranges),
            (1.0, 1.0, "circular"),
        )
    )
    check_passes(passes)
    return passes
