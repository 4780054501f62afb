"""The bolt order drawn on its cover, black on white, to be read photocopied."""

from __future__ import annotations

from typing import Final

from springcase.bolting.pattern import OVAL_RATIO, bolt_positions, tightening_order

_BOLT_LINE: Final = 150.0
_MARGIN: Final = 62.0
_CAPTION: Final = 54.0
_LINE: Final = 'fill="none" stroke="#000" stroke-width="2.5"'
_TEXT: Final = 'font-family="DejaVu Sans, Arial, sans-serif" text-anchor="middle" fill="#000"'


def _bolt_radius(count: int, positions: tuple[tuple[float, float], ...]) -> float:
    """Return a radius at which neighbouring bolts leave a gap. [px]"""
    nearest = 2.0
    for index, (x0, y0) in enumerate(positions):
        x1, y1 = positions[(index + 1) % count]
        distance = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        if distance > 0:
            nearest = min(nearest, distance)
    return min(30.0, 0.42 * nearest * _BOLT_LINE)


def _outline(cover: str, across: float, up: float, grown: float, style: str) -> str:
    if cover == "square":
        half = _BOLT_LINE + grown
        return (
            f'<rect x="{across - half:.1f}" y="{up - half:.1f}" width="{2 * half:.1f}" '
            f'height="{2 * half:.1f}" rx="14" {style}/>'
        )
    wide = _BOLT_LINE * (OVAL_RATIO if cover == "oval" else 1.0) + grown
    return (
        f'<ellipse cx="{across:.1f}" cy="{up:.1f}" rx="{wide:.1f}" '
        f'ry="{_BOLT_LINE + grown:.1f}" {style}/>'
    )


def draw_bolt_order(
    count: int, *, cover: str = "round", pattern: str = "cross", caption: bool = True
) -> str:
    """
    Return an SVG of a cover with its bolts, each with its number and its place in the order.

    The number in the bolt is counted clockwise from 12 o'clock; the order runs below, unless
    `caption` is false because whoever shows the picture prints it. Nothing but black on white
    carries meaning, so a photocopy says the same.

    Raises UnknownName for another cover or pattern, OutsideValidity for a count it cannot draw.
    """
    order = tightening_order(pattern, count)
    positions = bolt_positions(count, cover)
    radius = _bolt_radius(count, positions)
    wide = _BOLT_LINE * (OVAL_RATIO if cover == "oval" else 1.0)
    across, up = wide + _MARGIN, _BOLT_LINE + _MARGIN + 12
    rows = [order[start : start + 12] for start in range(0, count, 12)] if caption else []
    below = _CAPTION + 24 * (len(rows) - 1) if caption else 0.0
    height = up + _BOLT_LINE + _MARGIN + below
    dashed = 'fill="none" stroke="#000" stroke-width="1" stroke-dasharray="6 4"'
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {2 * across:.0f} {height:.0f}" '
        f'width="{2 * across:.0f}" height="{height:.0f}" role="img">',
        f"<title>Bolt order for {count} bolts, {cover} cover</title>",
        f'<rect width="{2 * across:.0f}" height="{height:.0f}" fill="#fff"/>',
        _outline(cover, across, up, 34.0, _LINE),
        _outline(cover, across, up, 0.0, dashed),
        f'<text x="{across:.1f}" y="20" font-size="22" {_TEXT}>12 o\'clock</text>',
        f'<path d="M {across - 7:.1f} 25 h 14 l -7 10 z" fill="#000"/>',
    ]
    place = {bolt: turn for turn, bolt in enumerate(order, start=1)}
    for bolt, (x, y) in enumerate(positions, start=1):
        parts += _bolt(bolt, place[bolt], across + x * _BOLT_LINE, up - y * _BOLT_LINE, radius)
    parts += _clockwise(across, up)
    for row, bolts in enumerate(rows):
        lead = "Order: " if row == 0 else ""
        base = up + _BOLT_LINE + _MARGIN + 14 + 24 * row
        parts.append(
            f'<text x="{across:.1f}" y="{base:.1f}" font-size="16" font-weight="bold" '
            f'class="order" {_TEXT}>{lead}{" ".join(map(str, bolts))}</text>'
        )
    if caption:
        parts.append(
            f'<text x="{across:.1f}" y="{height - 10:.1f}" font-size="12" {_TEXT}>'
            "numbered clockwise; then one round clockwise until none turns</text>"
        )
    return "\n".join([*parts, "</svg>"]) + "\n"


def _bolt(bolt: int, turn: int, x: float, y: float, radius: float) -> list[str]:
    """Return one bolt: its number inside, heavier for the first to be tightened."""
    weight = 5 if turn == 1 else 2
    size = min(32.0, radius * 1.15)
    return [
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" fill="#fff" stroke="#000" '
        f'stroke-width="{weight}" data-bolt="{bolt}" data-turn="{turn}"/>',
        f'<text x="{x:.1f}" y="{y + 0.36 * size:.1f}" font-size="{size:.1f}" '
        f'font-weight="bold" {_TEXT}>{bolt}</text>',
    ]


def _clockwise(across: float, up: float) -> list[str]:
    """Return an arrow in the middle that says which way the numbers run."""
    return [
        f'<path d="M {across - 30:.1f} {up + 10:.1f} A 32 32 0 1 1 '
        f'{across + 30:.1f} {up + 10:.1f}" {_LINE}/>',
        f'<path d="M {across + 22:.1f} {up + 6:.1f} h 17 l -10 15 z" fill="#000"/>',
    ]
