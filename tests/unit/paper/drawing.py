"""Reads a stack-up picture back and checks what must hold of every page."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree import ElementTree

from springcase.assembly.model import Structure
from springcase.paper.stackup.pen import segments_cross

SVG = "{http://www.w3.org/2000/svg}"
Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """The place of a part or a label on the page. [mm]"""

    part: str
    axis: str
    x: float
    y: float
    width: float
    height: float


def parse(page: str) -> ElementTree.Element:
    """Return the root of a page."""
    return ElementTree.fromstring(page)


def groups(root: ElementTree.Element, prefix: str) -> list[ElementTree.Element]:
    """Return the groups whose id begins so, in document order."""
    return [node for node in root.iter(f"{SVG}g") if (node.get("id") or "").startswith(prefix)]


def _box(node: ElementTree.Element) -> Box:
    return Box(
        part=node.get("data-part", ""),
        axis=node.get("data-axis", ""),
        x=float(node.get("data-x", "nan")),
        y=float(node.get("data-y", "nan")),
        width=float(node.get("data-width", "nan")),
        height=float(node.get("data-height", "nan")),
    )


def part_boxes(root: ElementTree.Element) -> dict[str, Box]:
    """Return the boxes of the parts on a page, by part."""
    return {box.part: box for box in map(_box, groups(root, "part-"))}


def boxes_of_axis(root: ElementTree.Element, axis: str) -> list[Box]:
    """Return the boxes of an axis from top to bottom."""
    found = [box for box in part_boxes(root).values() if box.axis == axis]
    return sorted(found, key=lambda box: box.y)


def axes_of(root: ElementTree.Element) -> dict[str, float]:
    """Return the scale of every axis on a page."""
    return {
        node.get("data-axis", ""): float(node.get("data-scale", "nan"))
        for node in groups(root, "axis-")
    }


def leaders(root: ElementTree.Element) -> list[list[Point]]:
    """Return the leader lines of a page."""
    return lines_of(root, "leader-")


def lines_of(root: ElementTree.Element, prefix: str) -> list[list[Point]]:
    """Return the lines of the groups whose id begins so."""
    found = []
    for node in groups(root, prefix):
        line = node.find(f"{SVG}polyline")
        assert line is not None
        pairs = [pair.split(",") for pair in line.get("points", "").split()]
        found.append([(float(x), float(y)) for x, y in pairs])
    return found


def overlaps(boxes: Sequence[Box]) -> int:
    """Return how many pairs of boxes overlap."""
    return sum(
        a.x < b.x + b.width - 0.02
        and b.x < a.x + a.width - 0.02
        and a.y < b.y + b.height - 0.02
        and b.y < a.y + a.height - 0.02
        for a, b in itertools.combinations(boxes, 2)
    )


def crossings(lines: Sequence[Sequence[Point]]) -> int:
    """Return how many pairs of lines cross or touch."""
    return sum(
        any(
            segments_cross(a, b, c, d)
            for a, b in itertools.pairwise(one)
            for c, d in itertools.pairwise(other)
        )
        for one, other in itertools.combinations(lines, 2)
    )


def through(line: Sequence[Point], box: Box) -> bool:
    """Return whether a line runs through the inside of a box."""
    x0, x1 = box.x + 0.05, box.x + box.width - 0.05
    y0, y1 = box.y + 0.05, box.y + box.height - 0.05
    if x0 >= x1 or y0 >= y1:
        return False
    edges: list[tuple[Point, Point]] = [
        ((x0, y0), (x1, y0)),
        ((x1, y0), (x1, y1)),
        ((x1, y1), (x0, y1)),
        ((x0, y1), (x0, y0)),
    ]
    return any(segments_cross(a, b, c, d) for a, b in itertools.pairwise(line) for c, d in edges)


def check_page(root: ElementTree.Element, structure: Structure) -> list[str]:
    """Check order, overlap, labels, leaders and margins of a page; return its parts in order."""
    boxes = list(part_boxes(root).values())
    labels = [_box(node) for node in groups(root, "label-")]
    lines = leaders(root)
    _, _, width, height = (float(cell) for cell in root.get("viewBox", "").split())
    legend = float(
        next(node for node in groups(root, "p") if "legend" in node.get("id", "")).get(
            "data-y", "nan"
        )
    )
    for axis in {box.axis for box in boxes}:
        along = boxes_of_axis(root, axis)
        orders = [float(structure.parts[box.part].profile["order"]) for box in along]

        assert orders == sorted(orders)
        assert all(a.y + a.height < b.y for a, b in itertools.pairwise(along))
    assert overlaps(boxes) == 0
    assert overlaps(labels) == 0
    assert overlaps([*boxes, *labels]) == 0
    assert crossings(lines) == 0
    for node, line in zip(groups(root, "leader-"), lines, strict=True):
        others = [box for box in boxes if box.part != node.get("data-part")]

        assert not any(through(line, box) for box in others)
    joins = lines_of(root, "join-")

    # Side axes of one part share the first run of their reference line.
    apart = [pair for pair in itertools.combinations(joins, 2) if pair[0][0] != pair[1][0]]

    assert all(crossings(pair) == 0 for pair in apart)
    assert all(crossings([join, line]) == 0 for join in joins for line in lines)
    # A reference line starts on the edge of its part and runs clear of every other.
    assert all(sum(through(join, box) for box in boxes) == 0 for join in joins)
    assert sorted(box.part for box in boxes) == sorted(box.part for box in labels)
    assert all(box.x > -0.01 and box.x + box.width < width + 0.01 for box in [*boxes, *labels])
    assert all(box.y > 0 and box.y + box.height < legend + 0.02 for box in [*boxes, *labels])
    assert legend < height
    return [box.part for box in sorted(boxes, key=lambda box: (box.x > width, box.y))]
