"""
One page of the drawing: a main axis, side axes beside it, labels in two columns.

Everything here is arithmetic on paper millimetres; whether a set of axes fits a page at a
readable scale is the one question asked of it, and None is the answer "no".
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from springcase.assembly.profile import Profile
from springcase.paper.stackup.figure import Figure
from springcase.paper.stackup.labels import (
    CELL,
    COLUMN,
    KNEE,
    LABEL_GAP,
    LINE,
    Anchor,
    Label,
    PlacedLabel,
    place_labels,
    spread,
)
from springcase.paper.stackup.pen import Point, columns, segments_cross
from springcase.paper.stackup.shapes import draw_figure, drawn_height, reach

WIDTH: Final = 180.0
HEIGHT: Final = 247.0
LEAST_GAP: Final = 2.4
MOST_GAP: Final = 8.0
CHANNEL: Final = 4.0
SIDE_ZONE: Final = 20.0
LONGEST_DRAWN: Final = (42.0, 26.0)
BREAK_GAIN: Final = 1.5
GOOD_SCALE: Final = 0.5
HEAD: Final = 5.0
MOST_SCALE: Final = 1.5
MOST_SIDE_GAIN: Final = 2.5
_STEPS: Final = (1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Part of an axis that stands on one page: its parts in order and its caption."""

    axis: str
    parts: tuple[Profile, ...]
    caption: tuple[str, ...]
    place: tuple[str, ...] = ()
    direction: str = "right"
    at_part: str = ""
    goes_on: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPart:
    """A figure with the place of its axis and top on the page."""

    profile: Profile
    figure: Figure
    x: float
    y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnAxis:
    """An axis on the page: where it stands, its scale, its parts, the line that joins it."""

    run: Run
    x: float
    caption_x: float
    top: float
    bottom: float
    scale: float
    parts: tuple[DrawnPart, ...]
    joined_by: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PageLayout:
    """Everything on one page but its title and legend."""

    axes: tuple[DrawnAxis, ...]
    labels: tuple[PlacedLabel, ...]


def nice_scale(limit: float) -> float:
    """Return the largest drawing scale not above the limit: 1 : 2.5, 1 : 1, 2 : 1 and so on."""
    if limit >= 1:
        return max(step for step in (1.0, 1.5, 2.0) if step <= limit)
    ratio = 1 / limit
    decade = math.floor(math.log10(ratio))
    usual = [step * 10.0**power for power in (decade, decade + 1) for step in _STEPS]
    return 1 / min(step for step in usual if step >= ratio * (1 - 1e-9))


def scale_text(scale: float) -> str:
    """Return a scale as a draughtsman writes it."""
    return f"{scale:g} : 1" if scale > 1 else f"1 : {float(f'{1 / scale:.3g}'):g}"


def _stack_height(parts: Sequence[Profile], scale: float, longest: float) -> float:
    heights = [drawn_height(profile, scale, longest)[0] for profile in parts]
    return sum(heights) + LEAST_GAP * (len(parts) - 1)


def _fit(parts: Sequence[Profile], start: float, room: float, longest: float) -> float | None:
    """Return the largest nice scale, from `start` down, whose stack fits the room."""
    scale = start
    # A stack of nothing but least heights no longer shrinks; then no scale helps.
    for _ in range(200):
        height = _stack_height(parts, scale, longest)
        if height <= room:
            return scale
        smaller = nice_scale(scale * 0.999)
        if _stack_height(parts, smaller / 1e4, longest) > room:
            return None
        scale = smaller
    return None


def choose_scale(
    parts: Sequence[Profile], width: float, room: float, least_quality: float, most: float
) -> tuple[float, float] | None:
    """
    Return the scale of an axis and the longest drawn part, or None where the axis does not fit.

    Long parts are drawn shorter only where the scale is poor and gains half as much again. An
    axis fits when its scale is a fair share of what its width would allow, or half of full size.
    """
    left = max(reach(profile)[0] for profile in parts)
    right = max(reach(profile)[1] for profile in parts)
    start = nice_scale(min(most, width / (left + right)))
    best, longest = _fit(parts, start, room, math.inf), math.inf
    for limit in LONGEST_DRAWN:
        broken = _fit(parts, start, room, limit)
        is_poor = best is None or best < GOOD_SCALE
        if broken is not None and is_poor and broken >= (best or 0.0) * BREAK_GAIN:
            best, longest = broken, limit
    if best is None or best < min(start * least_quality, GOOD_SCALE):
        return None
    return best, longest


def _stack(
    run: Run, x: float, top: float, bottom: float, scale: float, longest: float
) -> tuple[DrawnPart, ...]:
    """Return the parts of a run between top and bottom, slack shared between the gaps."""
    figures = [draw_figure(profile, scale, longest) for profile in run.parts]
    total = sum(figure.height for figure in figures)
    gaps = len(figures) - 1
    gap = min(MOST_GAP, (bottom - top - total) / gaps) if gaps else 0.0
    y = top + max(0.0, (bottom - top - total - gap * gaps) / 2)
    placed = []
    for profile, figure in zip(run.parts, figures, strict=True):
        placed.append(DrawnPart(profile=profile, figure=figure, x=x, y=y))
        y += figure.height + gap
    return tuple(placed)


def _axis_x(run: Run, zone: tuple[float, float], scale: float) -> float:
    left = max(reach(profile)[0] for profile in run.parts) * scale
    right = max(reach(profile)[1] for profile in run.parts) * scale
    return zone[0] + (zone[1] - zone[0] - left - right) / 2 + left


def _caption_height(run: Run) -> float:
    return (len(run.caption) + len(run.place) + 1) * LINE + HEAD


@dataclass(frozen=True, slots=True, kw_only=True)
class _Zones:
    """The strips of the page between the label columns: left side axes, main, right ones."""

    main: tuple[float, float]
    sides: Mapping[int, tuple[float, float]]


def _zones(sides: Sequence[int]) -> _Zones:
    low, high = COLUMN + KNEE, WIDTH - COLUMN - KNEE
    narrow = SIDE_ZONE * (0.75 if len(set(sides)) > 1 else 1.0)
    found: dict[int, tuple[float, float]] = {}
    if -1 in sides:
        found[-1] = (low, low + narrow)
        low += narrow + CHANNEL
    if 1 in sides:
        found[1] = (high - narrow, high)
        high -= narrow + CHANNEL
    return _Zones(main=(low, high), sides=found)


def _side(run: Run) -> int:
    return -1 if run.direction == "left" else 1


def _draw_run(
    run: Run,
    zone: tuple[float, float],
    top: float,
    bottom: float,
    quality: float,
    most: float,
) -> DrawnAxis | None:
    head = _caption_height(run)
    chosen = choose_scale(run.parts, zone[1] - zone[0], bottom - top - head - HEAD, quality, most)
    if chosen is None:
        return None
    scale, longest = chosen
    x = _axis_x(run, zone, scale)
    parts = _stack(run, x, top + head, bottom - HEAD, scale, longest)
    first, last = parts[0], parts[-1]
    # A caption stays inside its strip, clear of the lines that run beside it.
    half = (
        min(max(columns(line) for line in (*run.caption, *run.place)) * CELL, zone[1] - zone[0]) / 2
    )
    return DrawnAxis(
        run=run,
        x=x,
        caption_x=min(max(x, zone[0] + half), zone[1] - half),
        top=first.y - HEAD / 2,
        bottom=last.y + last.figure.height + HEAD / 2,
        scale=scale,
        parts=parts,
    )


def _tight_height(
    run: Run, width: float, room: float, most: float, labels: Mapping[str, Label]
) -> float:
    """Return the height a side axis asks for: its stack with modest gaps, or its labels."""
    chosen = choose_scale(run.parts, width, room, 0.0, most)
    scale, longest = chosen if chosen is not None else (1.0, LONGEST_DRAWN[0])
    stack = _stack_height(run.parts, scale, longest) + 2.0 * (len(run.parts) - 1)
    column = sum(labels[profile.part].height + LABEL_GAP for profile in run.parts)
    return _caption_height(run) + HEAD + max(stack, column * 0.9)


def _touch(part: DrawnPart, side: int) -> Point:
    x, y = part.figure.touch_left if side < 0 else part.figure.touch_right
    return part.x + x, part.y + y


def _join(main: DrawnAxis, axis: DrawnAxis, side: int, lane: float) -> tuple[Point, ...]:
    """Return the reference line from a part of the main axis to the head of a side axis."""
    at = next((part for part in main.parts if part.profile.part == axis.run.at_part), None)
    if at is None:
        return ()
    start = _touch(at, side)
    return (start, (lane, start[1]), (lane, axis.top), (axis.x, axis.top))


def _side_axes(
    main: DrawnAxis,
    runs: Sequence[Run],
    side: int,
    zones: _Zones,
    top: float,
    bottom: float,
    labels: Mapping[str, Label],
) -> list[DrawnAxis] | None:
    """Return the side axes of one side, stacked, each near the part it springs from."""
    zone = zones.sides[side]
    starts = {part.profile.part: _touch(part, side)[1] for part in main.parts}
    runs = sorted(runs, key=lambda run: (starts.get(run.at_part, bottom), run.axis))
    most = min(MOST_SCALE, main.scale * MOST_SIDE_GAIN)
    heights = [_tight_height(run, zone[1] - zone[0], bottom - top, most, labels) for run in runs]
    wanted = [
        starts.get(run.at_part, bottom) + height / 2 - _caption_height(run)
        for run, height in zip(runs, heights, strict=True)
    ]
    middles = spread(wanted, heights, top, bottom, 0.0)
    if middles is None:
        return None
    drawn: list[DrawnAxis] = []
    for run, middle, height in zip(runs, middles, heights, strict=True):
        axis = _draw_run(run, zone, middle - height / 2, middle + height / 2, 0.3, most)
        if axis is None:
            return None
        drawn.append(axis)
    return _joined(main, drawn, side, zone[0] if side > 0 else zone[1])


def _joined(main: DrawnAxis, axes: Sequence[DrawnAxis], side: int, edge: float) -> list[DrawnAxis]:
    """Return the side axes with their reference lines, in the lanes that cross least."""
    count = len(axes)
    lanes = [edge - side * CHANNEL * (number + 1) / (count + 1) for number in range(count)]
    # Beyond five side axes on a page the orders are too many to try, and none was ever met.
    orders = itertools.permutations(lanes) if count <= 5 else iter([tuple(lanes)])
    choices = [
        [_join(main, axis, side, lane) for axis, lane in zip(axes, order, strict=True)]
        for order in orders
    ]
    lines = min(choices, key=_crossings)
    return [replace(axis, joined_by=line) for axis, line in zip(axes, lines, strict=True)]


def _crossings(lines: Sequence[Sequence[Point]]) -> int:
    return sum(
        segments_cross(a, b, c, d)
        for one, other in itertools.combinations(lines, 2)
        for a, b in itertools.pairwise(one)
        for c, d in itertools.pairwise(other)
    )


def _kept_out(axes: Sequence[DrawnAxis]) -> list[tuple[float, float]]:
    """Return the heights that leaders of the main axis may not cross on that side."""
    spans = []
    for axis in axes:
        ys = [axis.top - _caption_height(axis.run), axis.bottom + 1.0]
        ys += [y for _, y in axis.joined_by]
        spans.append((min(ys) - 0.5, max(ys) + 0.5))
    return spans


def _anchors(
    main: DrawnAxis, sides: Mapping[int, Sequence[DrawnAxis]], labels: Mapping[str, Label]
) -> list[Anchor]:
    shut = {side: _kept_out(axes) for side, axes in sides.items()}
    anchors = []
    for part in main.parts:
        starts: dict[int, Point | None] = {}
        for side in (-1, 1):
            start = _touch(part, side)
            # The whole part must clear a side axis: its leader may start anywhere along it.
            low, high = part.y, part.y + part.figure.height
            barred = any(low < end and high > begin for begin, end in shut.get(side, ()))
            starts[side] = None if barred else start
        anchors.append(Anchor(label=labels[part.profile.part], left=starts[-1], right=starts[1]))
    for side, axes in sides.items():
        for part in (part for axis in axes for part in axis.parts):
            start = _touch(part, side)
            anchors.append(
                Anchor(
                    label=labels[part.profile.part],
                    left=start if side < 0 else None,
                    right=start if side > 0 else None,
                )
            )
    return anchors


def lay_page(
    main: Run,
    beside: Sequence[Run],
    labels: Mapping[str, Label],
    *,
    top: float,
    bottom: float,
    least_quality: float,
) -> PageLayout | None:
    """Return a page with these axes and their labels, or None where they do not fit on it."""
    zones = _zones([_side(run) for run in beside])
    axis = _draw_run(main, zones.main, top, bottom, least_quality, MOST_SCALE)
    if axis is None:
        return None
    sides: dict[int, list[DrawnAxis]] = {}
    for side in zones.sides:
        runs = [run for run in beside if _side(run) == side]
        drawn = _side_axes(axis, runs, side, zones, top, bottom, labels)
        if drawn is None:
            return None
        sides[side] = drawn
    anchors = _anchors(axis, sides, labels)
    if any(anchor.left is None and anchor.right is None for anchor in anchors):
        return None
    placed = place_labels(anchors, width=WIDTH, top=top, bottom=bottom)
    if placed is None:
        return None
    every = (axis, *(drawn for side in (-1, 1) for drawn in sides.get(side, ())))
    return PageLayout(axes=every, labels=tuple(placed))
