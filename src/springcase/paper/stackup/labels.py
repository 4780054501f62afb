"""
Labels beside the drawing and the leaders to them.

A label column is sorted by height and spread so that no two labels touch; a leader runs level
from its part to a knee outside the drawing and from there to its label. Level runs lie at
different heights and the slopes keep the order of both ends, so no two leaders cross.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from springcase.assembly.model import Part, PartKind
from springcase.paper.stackup.pen import Point, wrap

LETTER: Final = 3.65
CELL: Final = 0.602 * LETTER
LINE: Final = 4.3
BADGE: Final = 3.7
LABEL_GAP: Final = 1.3
COLUMN: Final = 47.0
LANDING: Final = 1.2
KNEE: Final = 5.0
ROOM: Final = int((COLUMN - 2 * BADGE - 1.4) / CELL)
MOST_LINES: Final = 7
LABEL_TOP: Final = 0.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What stands beside one part: its lines, how many of them are its name, its badges."""

    part: str
    number: str
    name: tuple[str, ...]
    further: tuple[str, ...]
    is_soft: bool
    state: str

    @property
    def height(self) -> float:
        """The height of the label on paper. [mm]"""
        lines = len(self.name) + len(self.further)
        return max(2 * BADGE, lines * LINE + 2 * LABEL_TOP)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedLabel:
    """A label with its column (-1 left, 1 right), its middle, and its leader."""

    label: Label
    side: int
    middle: float
    leader: tuple[Point, ...]


def make_label(part: Part, number: int | None, *, state: str, words: Mapping[str, str]) -> Label:
    """Return the label of a part: number or dash, name, count and size, state in words."""
    is_soft = part.kind is PartKind.SOFT
    pieces = [words["count"].format(count=part.count)] if part.count > 1 else []
    pieces += [part.size] if part.size else []
    if part.o_ring and part.o_ring not in part.size:
        pieces.append(words["dash_size"].format(dash=part.o_ring))
    further = wrap(", ".join(pieces), ROOM, most=MOST_LINES - 3)
    if state:
        further += (words[f"state_{state}"],)
    return Label(
        part=part.id,
        number="–" if number is None else str(number),
        name=wrap(part.words, ROOM, first=ROOM - 2 if is_soft else ROOM, most=3),
        further=further,
        is_soft=is_soft,
        state=state,
    )


def spread(
    wanted: Sequence[float], heights: Sequence[float], top: float, bottom: float, gap: float
) -> list[float] | None:
    """
    Return middles in the order given, as near the wanted ones as room allows, or None.

    Least squares under "each a gap below the one before" is the pooling of adjacent values
    that are out of order; clamping to top and bottom keeps the order.
    """
    if not wanted:
        return []
    offsets = [0.0]
    for above, below in itertools.pairwise(heights):
        offsets.append(offsets[-1] + (above + below) / 2 + gap)
    low = top + heights[0] / 2
    high = bottom - heights[-1] / 2 - offsets[-1]
    if high < low - 1e-9:
        return None
    pools: list[tuple[float, int]] = []
    for want, offset in zip(wanted, offsets, strict=True):
        mean, count = want - offset, 1
        while pools and pools[-1][0] >= mean:
            other, size = pools.pop()
            mean, count = (mean * count + other * size) / (count + size), count + size
        pools.append((mean, count))
    levels = [mean for mean, count in pools for _ in range(count)]
    return [
        min(max(level, low), max(low, high)) + offset
        for level, offset in zip(levels, offsets, strict=True)
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Anchor:
    """A part that wants a label: where its leader may start, and on which sides."""

    label: Label
    left: Point | None
    right: Point | None


def place_labels(
    anchors: Sequence[Anchor], *, width: float, top: float, bottom: float
) -> list[PlacedLabel] | None:
    """Return every label in a column with its leader, or None where they do not fit."""
    columns: dict[int, list[tuple[Point, Label]]] = {-1: [], 1: []}
    filled = {-1: top, 1: top}
    for anchor in sorted(anchors, key=_height_of):
        side = _choose_side(anchor, filled)
        start = anchor.left if side < 0 else anchor.right
        if start is None:
            return None
        filled[side] = max(filled[side], start[1] - anchor.label.height / 2)
        filled[side] += anchor.label.height + LABEL_GAP
        columns[side].append((start, anchor.label))
    placed: list[PlacedLabel] = []
    for side, column in columns.items():
        middles = spread(
            [start[1] for start, _ in column],
            [label.height for _, label in column],
            top,
            bottom,
            LABEL_GAP,
        )
        if middles is None:
            return None
        for middle, (start, label) in zip(middles, column, strict=True):
            placed.append(_place(label, start, side, middle, width))
    return placed


def _height_of(anchor: Anchor) -> tuple[float, str]:
    start = anchor.left or anchor.right
    return (0.0 if start is None else start[1], anchor.label.part)


def _choose_side(anchor: Anchor, filled: Mapping[int, float]) -> int:
    """Return the side where the label is moved least; the emptier one where both do."""
    if anchor.left is None or anchor.right is None:
        return 1 if anchor.left is None else -1
    half = anchor.label.height / 2
    moved = {
        -1: max(0.0, filled[-1] - (anchor.left[1] - half)),
        1: max(0.0, filled[1] - (anchor.right[1] - half)),
    }
    if moved[-1] != moved[1]:
        return -1 if moved[-1] < moved[1] else 1
    return -1 if filled[-1] < filled[1] else 1


def _place(label: Label, start: Point, side: int, middle: float, width: float) -> PlacedLabel:
    edge = COLUMN if side < 0 else width - COLUMN
    landing, knee = edge - side * LANDING, edge - side * KNEE
    return PlacedLabel(
        label=label,
        side=side,
        middle=middle,
        leader=(start, (knee, start[1]), (landing, middle), (edge, middle)),
    )
