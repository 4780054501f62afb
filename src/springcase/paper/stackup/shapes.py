"""
Half-sections of the shapes: left of the axis seen from outside, right of it cut.

Every figure is drawn about its axis (x = 0) from its top (y = 0), in millimetres on paper.
Thin parts get a least thickness so that they survive printing and photocopying.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final

from springcase.assembly.profile import Profile
from springcase.paper.stackup.fasteners import (
    USUAL_HEAD,
    draw_bolts,
    draw_nut,
    draw_screw,
    has_head,
)
from springcase.paper.stackup.figure import (
    LEAST_HEIGHT,
    LEAST_WALL,
    LEAST_WIDTH,
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
from springcase.paper.stackup.pen import Point, box, circle, polygon, polyline

BREAKABLE: Final = ("ring", "tube", "spring", "cup", "cap", "screw", "bolts", "disc", "cone")


def _ring(drawn: Drawn) -> Figure:
    """Draw a ring, disc or tube: a rectangle outside, its wall cut."""
    reach, hole, height = drawn.radius, drawn.hole(), drawn.height
    strokes = [skin(box(-reach, 0, 0, height)), cut(box(hole, 0, reach, height))]
    if hole > 0:
        strokes += [edge((0, 0), (hole, 0)), edge((0, height), (hole, height))]
    return figure_of(drawn, strokes, reach)


def _plate(drawn: Drawn) -> Figure:
    """Draw a plate: a disc on top, its hub below."""
    reach, height = drawn.radius, drawn.height
    hub = min(max(drawn.size("hub", reach * 0.6) / 2, drawn.hole() + LEAST_WALL), reach)
    has_hub = "hub" in drawn.profile.sizes or "hub_length" in drawn.profile.sizes
    wanted = drawn.size("hub_length", height * 0.5) if has_hub else 0.0
    step = max(height - wanted, min(height * 0.5, LEAST_WALL))
    hole = min(drawn.hole(), hub - LEAST_WALL / 2)
    outside: list[Point] = [(0, 0), (reach, 0), (reach, step), (hub, step), (hub, height)]
    strokes = [
        skin(polygon(mirror([*outside, (0, height)]))),
        cut(polygon([(hole, 0), *outside[1:], (hole, height)])),
    ]
    if hole > 0:
        strokes += [edge((0, 0), (hole, 0)), edge((0, height), (hole, height))]
    return figure_of(drawn, strokes, reach, touch=(reach, step / 2))


def _cup(drawn: Drawn) -> Figure:
    """Draw a cup open at the bottom, with a hole in its end where it has one."""
    return _pot(drawn, opens_down=True)


def _cap(drawn: Drawn) -> Figure:
    """Draw a cup open at the top."""
    return _pot(drawn, opens_down=False)


def _pot(drawn: Drawn, *, opens_down: bool) -> Figure:
    reach, height = drawn.radius, drawn.height
    wall = min(max(drawn.size("wall"), LEAST_WALL), reach * 0.6, height * 0.6)
    hole = min(drawn.hole(), reach - wall)
    bevel = min(wall * 0.8, height * 0.2, reach * 0.25)
    inside = reach - wall

    def down(y: float) -> float:
        return y if opens_down else height - y

    outside: list[Point] = [(0, down(0)), (reach - bevel, down(0)), (reach, down(bevel))]
    outside += [(reach, down(height))]
    section: list[Point] = [(hole, down(0)), *outside[1:], (inside, down(height))]
    section += [(inside, down(wall)), (hole, down(wall))]
    strokes = [
        skin(polygon(mirror([*outside, (0, down(height))]))),
        cut(polygon(section)),
        edge((0, down(height)), (inside, down(height))),
        fine((-reach, down(bevel)), (0, down(bevel))),
    ]
    if hole > 0:
        strokes += [
            edge((0, down(0)), (hole, down(0))),
            edge((0, down(wall)), (hole, down(wall))),
        ]
    return figure_of(drawn, strokes, reach)


def _spring(drawn: Drawn) -> Figure:
    """Draw a spring: front coils on the left, cut wire and back coils on the right."""
    wire = max(drawn.size("wire"), 0.7)
    mean = max(drawn.radius - wire / 2, wire * 0.6)
    full = max(drawn.profile.sizes["length"] * 1000 * drawn.scale, LEAST_HEIGHT)
    coils = max(1, round(drawn.profile.coils * min(1.0, drawn.height / full)))
    coils = max(1, min(coils, int(drawn.height / (wire * 1.25))))
    pitch = (drawn.height - wire) / coils
    half = wire / 2
    strokes: list[Stroke] = []
    for turn in range(coils):
        y = half + turn * pitch
        back = [(mean, y + pitch * 0.5), (0.0, y + pitch * 0.75)]
        strokes.append(skin(_band(back, half)))
    for turn in range(coils):
        y = half + turn * pitch
        strokes.append(skin(_band([(-mean, y), (0.0, y + pitch * 0.25)], half)))
    strokes += [skin(circle(-mean, half + turn * pitch, half)) for turn in range(coils + 1)]
    for turn in range(coils):
        y = half + (turn + 0.5) * pitch
        strokes.append(Stroke(kind="wire", path=circle(mean, y, half)))
    middle = half + (coils // 2) * pitch
    cut = half + (coils // 2 + 0.5 if coils > 1 else 0.5) * pitch
    figure = figure_of(drawn, strokes, mean + half)
    return replace(figure, touch_left=(-mean - half, middle), touch_right=(mean + half, cut))


def _band(ends: list[Point], half: float) -> str:
    (x0, y0), (x1, y1) = ends
    return polygon([(x0, y0 - half), (x1, y1 - half), (x1, y1 + half), (x0, y0 + half)])


def _o_ring(drawn: Drawn) -> Figure:
    """Draw an O-ring: a round section on the right, the ring from the side on the left."""
    section = drawn.height / 2
    reach = max(drawn.radius, section * 2.2)
    mean = reach - section
    side = (
        polyline([(0, 0), (-mean, 0)])
        + f"A{section:.2f} {section:.2f} 0 0 0 {-mean:.2f} {2 * section:.2f}L0 {2 * section:.2f}Z"
    )
    strokes = [
        skin(side),
        edge((0, 0), (mean, 0)),
        edge((0, 2 * section), (mean, 2 * section)),
        cut(circle(mean, section, section)),
    ]
    return figure_of(drawn, strokes, reach)


def _lever(drawn: Drawn) -> Figure:
    """Draw a lever: its pivot on the axis, its arm reaching to the right."""
    height, arm = drawn.height, max(drawn.size("arm"), LEAST_WIDTH * 2)
    eye = min(max(drawn.size("outer", height * 2) / 2, LEAST_WIDTH / 2), arm * 0.4)
    strokes = [
        skin(box(-eye, 0, 0, height)),
        cut(polygon([(0, 0), (arm, height * 0.15), (arm, height * 0.85), (0, height)])),
        Stroke(kind="hole", path=circle(0, height / 2, min(height * 0.32, eye * 0.6))),
    ]
    middle = height / 2
    return replace(figure_of(drawn, strokes, arm), left=eye, touch_left=(-eye, middle))


def _cone(drawn: Drawn) -> Figure:
    """Draw a cone, its large end on top and its small end (`inner`) below."""
    reach, height = drawn.radius, drawn.height
    tip = min(max(drawn.size("inner", reach * 0.6) / 2, 0.3), reach * 0.95)
    rim = height * 0.2
    side: list[Point] = [(0, 0), (reach, 0), (reach, rim), (tip, height), (0, height)]
    strokes = [
        skin(polygon(mirror(side))),
        cut(polygon(side)),
        fine((-reach, rim), (0, rim)),
    ]
    return figure_of(drawn, strokes, reach, touch=(reach, rim / 2))


def _body(drawn: Drawn) -> Figure:
    """Draw a body with its passage across, flanged where it has flanges."""
    reach, height = drawn.radius, drawn.height
    block = reach * 0.62
    middle = height / 2
    bore = min(drawn.size("bore", height * 0.3), height * 0.6) / 2
    opening = min(max(drawn.size("inner", bore * 2.2) / 2, LEAST_WALL), block - LEAST_WALL)
    has_flange = "flange" in drawn.profile.sizes
    flange = min(drawn.size("flange", height) / 2, middle)
    neck = min(bore * 1.5 + LEAST_WALL, middle * 0.9)
    rim = reach - min(max(reach * 0.1, 1.0), reach * 0.2) if has_flange else reach
    end = max(flange, neck) if has_flange else neck
    top: list[Point] = [(block, 0), (block, middle - neck), (rim, middle - neck)]
    top += [(rim, middle - end), (reach, middle - end)]
    below = [(x, height - y) for x, y in reversed(top)]
    strokes = [
        skin(polygon(mirror([(0, 0), *top, *below, (0, height)]))),
        cut(polygon([(opening, 0), *top, (reach, middle - bore), (opening, middle - bore)])),
        cut(polygon([(0, middle + bore), (reach, middle + bore), *below, (0, height)])),
        edge((0, 0), (opening, 0)),
        edge((reach, middle - bore), (reach, middle + bore)),
        edge((-block, middle - neck), (-block, middle + neck)),
    ]
    if has_flange:
        strokes.append(edge((-rim, middle - neck), (-rim, middle + neck)))
    return figure_of(drawn, strokes, reach, touch=(reach, middle - (bore + end) / 2))


def _convoluted(drawn: Drawn) -> Figure:
    """Draw a diaphragm: clamped rim, convolution bulging up, flat middle."""
    reach, height = drawn.radius, drawn.height
    wanted = drawn.profile.sizes["thickness"] / drawn.profile.height * height
    thick = min(max(wanted, 0.9), height)
    hole = min(drawn.hole(), reach * 0.5)
    rise = height - thick
    flat = height - thick
    if rise < 0.3:
        strokes = [skin(box(-reach, 0, 0, height)), cut(box(hole, 0, reach, height))]
        return figure_of(drawn, strokes, reach)
    half = min(max(rise, thick * 1.6), reach * 0.2)
    crest = reach * 0.74
    inner = max(half - thick, half * 0.3)
    upper = (
        f"L{crest - half:.2f} {flat:.2f}A{half:.2f} {rise:.2f} 0 0 1 {crest + half:.2f} {flat:.2f}"
    )
    under = (
        f"L{crest + inner:.2f} {height:.2f}"
        f"A{inner:.2f} {rise:.2f} 0 0 0 {crest - inner:.2f} {height:.2f}"
    )
    face = (
        f"M{hole:.2f} {flat:.2f}{upper}L{reach:.2f} {flat:.2f}L{reach:.2f} {height:.2f}"
        f"{under}L{hole:.2f} {height:.2f}Z"
    )
    side = (
        f"M0 {height:.2f}L{-reach:.2f} {height:.2f}L{-reach:.2f} {flat:.2f}"
        f"L{-crest - half:.2f} {flat:.2f}A{half:.2f} {rise:.2f} 0 0 1 {-crest:.2f} 0L0 0Z"
    )
    strokes = [
        skin(side),
        fine((-crest - half, flat), (0, flat)),
        edge((0, 0), (crest, 0)),
        cut(face),
    ]
    return figure_of(drawn, strokes, reach, touch=(reach, height - thick / 2))


_DRAW: Final[Mapping[str, Callable[[Drawn], Figure]]] = {
    "ring": _ring,
    "disc": _ring,
    "tube": _ring,
    "plate": _plate,
    "cup": _cup,
    "cap": _cap,
    "spring": _spring,
    "screw": draw_screw,
    "bolts": draw_bolts,
    "nut": draw_nut,
    "o-ring": _o_ring,
    "lever": _lever,
    "cone": _cone,
    "body": _body,
    "convoluted": _convoluted,
}


def reach(profile: Profile) -> tuple[float, float]:
    """Return how far a part reaches left and right of its axis at full size. [mm]"""
    sizes = profile.sizes
    if profile.shape == "lever":
        eye = sizes.get("outer", sizes["length"] * 2) / 2
        return min(eye, sizes["arm"] * 0.4) * 1000, sizes["arm"] * 1000
    head = sizes.get("head_outer", sizes["outer"] * USUAL_HEAD)
    if profile.shape == "bolts":
        across = sizes["circle"] + head
    else:
        across = head if has_head(profile) else sizes["outer"]
    return across * 500, across * 500


def drawn_height(profile: Profile, scale: float, longest: float) -> tuple[float, bool, bool]:
    """Return the height on paper, whether it was shortened and whether raised. [mm]"""
    true = profile.height * 1000 * scale
    if true < LEAST_HEIGHT:
        return LEAST_HEIGHT, False, True
    if true > longest and profile.shape in BREAKABLE:
        return longest, True, False
    return true, False, False


def draw_figure(profile: Profile, scale: float, longest: float) -> Figure:
    """Return the half-section of one part at a scale, shortened to at most `longest`. [mm]"""
    height, shortened, raised = drawn_height(profile, scale, longest)
    drawn = Drawn(profile=profile, scale=scale, height=height, shortened=shortened, raised=raised)
    return _DRAW[profile.shape](drawn)
