"""Half-sections of screws and nuts; drawn about their axis from the top down. [mm]"""

from __future__ import annotations

from typing import Final

from springcase.assembly.profile import Profile
from springcase.paper.stackup.figure import (
    Drawn,
    Figure,
    Stroke,
    cut,
    edge,
    figure_of,
    fine,
    mirror,
    skin,
)
from springcase.paper.stackup.pen import Point, box, polygon, polyline

# Head across the flats and head height over thread diameter where a profile is silent: near a
# hexagon head (common practice, no source).
USUAL_HEAD: Final = 1.6
USUAL_HEAD_HEIGHT: Final = 0.65


def has_head(profile: Profile) -> bool:
    """Return whether a part is drawn with a head: bolts always, a screw where it says so."""
    sizes = profile.sizes
    return profile.shape == "bolts" or "head_outer" in sizes or "head_length" in sizes


def _screw_sizes(drawn: Drawn) -> tuple[float, float, float]:
    """Return shank radius, head radius and head length on paper, the last 0 without a head."""
    shank = drawn.radius
    if not has_head(drawn.profile):
        return shank, shank, 0.0
    head = max(drawn.size("head_outer", shank * 2 * USUAL_HEAD) / 2, shank + 0.5)
    length = min(drawn.size("head_length", shank * 2 * USUAL_HEAD_HEIGHT), drawn.height * 0.6)
    return shank, head, max(length, min(1.0, drawn.height * 0.5))


def draw_screw(drawn: Drawn) -> Figure:
    """Draw a screw: head on top, or a slot where it has none."""
    shank, head, top = _screw_sizes(drawn)
    hole = min(drawn.hole(), shank * 0.75)
    strokes = _screw_half(hole, shank, head, top, drawn.height, side=-1)
    strokes += _screw_half(hole, shank, head, top, drawn.height, side=1)
    if not top and not hole:
        depth = min(1.2, drawn.height * 0.25)
        strokes.append(Stroke(kind="slot", path=box(-0.4, 0, 0.4, depth)))
    touch = (head, (top or drawn.height) / 2)
    return figure_of(drawn, strokes, head, touch=touch)


def _screw_half(
    hole: float, shank: float, head: float, top: float, height: float, *, side: int
) -> list[Stroke]:
    """Return one half of a screw; side 1 is cut, down to its bore where it has one."""
    tip = min(shank * 0.35, (height - top) * 0.2)
    run: list[Point] = [(head, 0), (head, top), (shank, top)] if top else [(shank, 0)]
    run += [(shank, height - tip), (shank - tip, height)]
    inside = hole if side > 0 else 0.0
    path = polygon([(side * x, y) for x, y in [(inside, 0.0), *run, (inside, height)]])
    strokes = [cut(path) if side > 0 else skin(path)]
    if shank > 0.9:
        strokes.append(fine((side * shank * 0.82, top), (side * shank * 0.82, height - tip)))
    if side < 0 and top and head > 1.2:
        strokes.append(edge((-head * 0.5, 0), (-head * 0.5, top)))
    if inside > 0:
        strokes += [edge((0, 0), (inside, 0)), edge((0, height), (inside, height))]
    return strokes


def draw_bolts(drawn: Drawn) -> Figure:
    """Draw a pair of screws on their bolt circle: the left one whole, the right one cut."""
    shank, head, top = _screw_sizes(drawn)
    circle_radius = max(drawn.size("circle") / 2, head + 0.4)
    height = drawn.height
    strokes = []
    for centre, sides in ((-circle_radius, (-1, -1)), (circle_radius, (1, 1))):
        path = _whole_screw(centre, shank, head, top, height)
        strokes.append(cut(path) if sides[0] > 0 else skin(path))
        if head > 1.2 and sides[0] < 0:
            strokes.append(edge((centre - head * 0.5, 0), (centre - head * 0.5, top)))
            strokes.append(edge((centre + head * 0.5, 0), (centre + head * 0.5, top)))
        strokes.append(Stroke(kind="axis", path=polyline([(centre, -1.0), (centre, height + 1.0)])))
    return figure_of(drawn, strokes, circle_radius + head, touch=(circle_radius + head, top / 2))


def _whole_screw(x: float, shank: float, head: float, top: float, height: float) -> str:
    tip = min(shank * 0.35, (height - top) * 0.2)
    right: list[Point] = [(head, 0), (head, top), (shank, top), (shank, height - tip)]
    right.append((shank - tip, height))
    return polygon([(x + a, b) for a, b in right] + [(x - a, b) for a, b in reversed(right)])


def draw_nut(drawn: Drawn) -> Figure:
    """Draw a nut: a chamfered hexagon outside, its thread cut."""
    reach, height = drawn.radius, drawn.height
    hole = drawn.hole(otherwise=reach * 0.55)
    bevel = min(height * 0.2, reach * 0.15)
    outside: list[Point] = [(0, 0), (reach - bevel, 0), (reach, bevel), (reach, height - bevel)]
    outside += [(reach - bevel, height), (0, height)]
    strokes = [
        skin(polygon(mirror(outside))),
        edge((-reach * 0.5, 0), (-reach * 0.5, height)),
        cut(polygon([(hole, 0), *outside[1:-1], (hole, height)])),
        edge((0, 0), (hole, 0)),
        edge((0, height), (hole, height)),
    ]
    return figure_of(drawn, strokes, reach)
