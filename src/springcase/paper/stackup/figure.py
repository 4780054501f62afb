"""A drawn part as data: its strokes, its reach, and its sizes on paper. [mm]"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from springcase.assembly.profile import Profile
from springcase.paper.stackup.pen import Point, polyline

LEAST_HEIGHT: Final = 1.6
LEAST_WIDTH: Final = 2.6
LEAST_WALL: Final = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """One path: `skin` (outside view), `cut` (hatched), `wire` (cut wire), `edge` or `fine`."""

    kind: str
    path: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A drawn part: its reach left and right of the axis, its height, where leaders touch it."""

    left: float
    right: float
    height: float
    touch_left: Point
    touch_right: Point
    strokes: tuple[Stroke, ...]
    shortened: bool = False
    raised: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """The sizes of a part on paper: height, radii, and the scale for the rest. [mm]"""

    profile: Profile
    scale: float
    height: float
    shortened: bool
    raised: bool

    def size(self, key: str, otherwise: float = 0.0) -> float:
        """Return one size on paper, or the value to use where the profile has none."""
        value = self.profile.sizes.get(key)
        return otherwise if value is None else value * 1000 * self.scale

    @property
    def radius(self) -> float:
        """The outer radius on paper."""
        return max(self.size("outer"), LEAST_WIDTH) / 2

    def hole(self, otherwise: float = 0.0) -> float:
        """Return the inner radius, leaving a wall that can be seen."""
        inner = self.size("inner", otherwise * 2) / 2
        return max(0.0, min(inner, self.radius - LEAST_WALL))


def skin(path: str) -> Stroke:
    """Return an outside face."""
    return Stroke(kind="skin", path=path)


def cut(path: str) -> Stroke:
    """Return a cut face."""
    return Stroke(kind="cut", path=path)


def edge(*points: Point) -> Stroke:
    """Return an edge that is seen."""
    return Stroke(kind="edge", path=polyline(points))


def fine(*points: Point) -> Stroke:
    """Return a fine line: a thread, a change of slope."""
    return Stroke(kind="fine", path=polyline(points))


def mirror(points: list[Point]) -> list[Point]:
    """Return the points on the other side of the axis."""
    return [(-x, y) for x, y in points]


def figure_of(
    drawn: Drawn, strokes: list[Stroke], reach: float, *, touch: Point | None = None
) -> Figure:
    """Return a figure that reaches as far left as right."""
    x, y = touch or (reach, drawn.height / 2)
    return Figure(
        left=reach,
        right=reach,
        height=drawn.height,
        touch_left=(-x, y),
        touch_right=(x, y),
        strokes=tuple(strokes),
        shortened=drawn.shortened,
        raised=drawn.raised,
    )
