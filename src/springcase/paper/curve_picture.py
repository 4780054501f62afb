"""Outlet against flow as a picture: set point, accuracy band, lock-up and wide open, in SVG."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Final

from springcase.wording import sentence

WIDTH: Final = 760.0
HEIGHT: Final = 470.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 78.0, 34.0, 64.0, 62.0
_FONT: Final = 'font-family="DejaVu Sans, Arial, sans-serif"'
_HALO: Final = 'paint-order="stroke" stroke="#fff" stroke-width="5" stroke-linejoin="round"'


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveView:
    """
    What is drawn, in the units that are shown: pressures in `unit`, flows in Nm3/h.

    `band` is the accuracy band as a share of the set point [-]; a value of None in a curve is a
    flow that does not pass.
    """

    title: str
    subtitle: str
    unit: str
    flows: Sequence[float]
    rising: Sequence[float | None]
    falling: Sequence[float | None]
    set_point: float
    band: float
    lock_up: float
    inlet_words: str
    wide_open: float
    is_reducing: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Scale:
    """From values to the page."""

    most_flow: float
    low: float
    high: float

    def across(self, value: float) -> float:
        return _LEFT + (WIDTH - _LEFT - _RIGHT) * value / self.most_flow

    def up(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return HEIGHT - _BOTTOM - (HEIGHT - _TOP - _BOTTOM) * share


def draw_curve(view: CurveView) -> str:
    """Return the picture; nothing but black on white carries meaning, so a photocopy is as good."""
    scale = _scale(view)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" '
        f'width="{WIDTH:g}" height="{HEIGHT:g}" role="img">',
        f"<title>{escape(view.title)}</title>",
        f'<rect width="{WIDTH:g}" height="{HEIGHT:g}" fill="#fff"/>',
        _words(_LEFT, 26, view.title, size=min(17.0, 1000 / len(view.title)), weight="bold"),
        _words(_LEFT, 46, view.subtitle, size=13),
        *_band(view, scale),
        *_axes(view, scale),
        _path(view.flows, view.falling, scale, 'stroke-dasharray="7 5" stroke-width="1.8"'),
        _path(view.flows, view.rising, scale, 'stroke-width="2.6"'),
        *_curve_words(view, scale),
        *_lock_up(view, scale),
        *_wide_open(view, scale),
        _set_words(view, scale),
        "</svg>",
    ]
    return "\n".join(part for part in parts if part) + "\n"


def nice_ticks(low: float, high: float, most: int = 8) -> list[float]:
    """Return round values from low to high, at most so many of them. [-]"""
    raw = (high - low) / most
    power = math.pow(10.0, math.floor(math.log10(raw)))
    step = next(power * each for each in (1, 2, 2.5, 5, 10) if power * each >= raw * (1 - 1e-9))
    first = math.ceil(low / step - 1e-9)
    return [number * step for number in range(first, math.floor(high / step + 1e-9) + 1)]


def _scale(view: CurveView) -> _Scale:
    shown = [value for value in (*view.rising, *view.falling) if value is not None]
    edges = [view.set_point * (1 + way * view.band) for way in (-1, 1)]
    low, high = min(*shown, view.lock_up, *edges), max(*shown, view.lock_up, *edges)
    spare = 0.08 * (high - low)
    most = max(view.flows)
    if view.wide_open <= 2.0 * most:
        most = max(most, view.wide_open) * 1.04
    else:
        most *= 1.04
    return _Scale(most_flow=most, low=low - spare, high=high + spare)


def _words(
    x: float,
    y: float,
    text: str,
    *,
    size: float = 12,
    anchor: str = "start",
    weight: str = "normal",
) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" {_FONT} font-size="{size:g}" font-weight="{weight}" '
        f'text-anchor="{anchor}" fill="#000" {_HALO}>{escape(text)}</text>'
    )


def _line(x0: float, y0: float, x1: float, y1: float, style: str) -> str:
    return f'<path d="M{x0:.1f} {y0:.1f}L{x1:.1f} {y1:.1f}" fill="none" stroke="#000" {style}/>'


def _number(value: float, step: float) -> str:
    digits = max(0, -math.floor(math.log10(step) + 1e-9))
    if round(value, digits) == 0:
        value = 0.0
    shown = f"{value:.{digits}f}"
    return shown if abs(step * 10**digits - round(step * 10**digits)) < 1e-6 else f"{value:g}"


def _axes(view: CurveView, scale: _Scale) -> list[str]:
    bottom, right = HEIGHT - _BOTTOM, WIDTH - _RIGHT
    parts = [
        _line(_LEFT, _TOP, _LEFT, bottom, 'stroke-width="1.4"'),
        _line(_LEFT, bottom, right, bottom, 'stroke-width="1.4"'),
    ]
    flows = nice_ticks(0.0, scale.most_flow)
    for value in flows:
        x = scale.across(value)
        parts.append(_line(x, bottom, x, bottom + 5, 'stroke-width="1.2"'))
        parts.append(_words(x, bottom + 20, _number(value, flows[1]), anchor="middle"))
    pressures = nice_ticks(scale.low, scale.high)
    step = pressures[1] - pressures[0] if len(pressures) > 1 else 1.0
    for value in pressures:
        y = scale.up(value)
        parts.append(_line(_LEFT - 5, y, _LEFT, y, 'stroke-width="1.2"'))
        parts.append(_line(_LEFT, y, right, y, 'stroke-width="0.4" stroke-opacity="0.35"'))
        parts.append(_words(_LEFT - 9, y + 4, _number(value, step), anchor="end"))
    axis = "curve-picture-pressure" if view.is_reducing else "curve-picture-pressure-inlet"
    middle = 0.5 * (_TOP + bottom)
    parts.append(
        _words((_LEFT + right) / 2, HEIGHT - 18, sentence("curve-picture-flow"), anchor="middle")
    )
    parts.append(
        f'<g transform="translate(20 {middle:.1f}) rotate(-90)">'
        + _words(0, 0, sentence(axis, unit=view.unit), anchor="middle")
        + "</g>"
    )
    return parts


def _band(view: CurveView, scale: _Scale) -> list[str]:
    low, high = (scale.up(view.set_point * (1 + way * view.band)) for way in (-1, 1))
    right, level = WIDTH - _RIGHT, scale.up(view.set_point)
    return [
        f'<rect x="{_LEFT:.1f}" y="{high:.1f}" width="{right - _LEFT:.1f}" '
        f'height="{low - high:.1f}" fill="#e9e9e9"/>',
        _line(_LEFT, level, right, level, 'stroke-width="1.2" stroke-dasharray="2 4"'),
    ]


def _set_words(view: CurveView, scale: _Scale) -> str:
    """Name set point and band, clear of the wide-open line where that stands at the right."""
    x = WIDTH - _RIGHT - 6
    if 0.0 < x - scale.across(view.wide_open) < 220.0:
        x = scale.across(view.wide_open) - 8
    value, share = f"{view.set_point:.4g} {view.unit}", f"{100 * view.band:g}"
    words = sentence("curve-picture-set", value=value, share=share)
    return _words(x, scale.up(view.set_point) - 6, words, anchor="end")


def _path(flows: Sequence[float], values: Sequence[float | None], scale: _Scale, style: str) -> str:
    points, pen = [], "M"
    for flow, value in zip(flows, values, strict=True):
        if value is None:
            pen = "M"
            continue
        points.append(f"{pen}{scale.across(flow):.1f} {scale.up(value):.1f}")
        pen = "L"
    return f'<path d="{"".join(points)}" fill="none" stroke="#000" {style}/>'


def _curve_words(view: CurveView, scale: _Scale) -> list[str]:
    """Name the two curves where they lie apart, a third of the way along."""
    parts = []
    place = len(view.flows) * 2 // 5
    rising_below = view.is_reducing
    for values, key, below in (
        (view.rising, "curve-picture-rising", rising_below),
        (view.falling, "curve-picture-falling", not rising_below),
    ):
        value = values[place]
        if value is None:
            continue
        x, y = scale.across(view.flows[place]), scale.up(value)
        # A falling line leaves its free side to the right above and to the left below.
        shift = -8.0 if below == view.is_reducing else 8.0
        anchor = "end" if shift < 0 else "start"
        parts.append(_words(x + shift, y + (19 if below else -10), sentence(key), anchor=anchor))
    return parts


def _lock_up(view: CurveView, scale: _Scale) -> list[str]:
    x, y = _LEFT, scale.up(view.lock_up)
    value = f"{view.lock_up:.4g} {view.unit}"
    if view.is_reducing:
        words = sentence("curve-picture-lock-up", value=value, inlet=view.inlet_words)
    else:
        words = sentence("curve-picture-reseat", value=value)
    return [
        f'<path d="M{x - 7:.1f} {y:.1f}L{x:.1f} {y - 7:.1f}L{x + 7:.1f} {y:.1f}'
        f'L{x:.1f} {y + 7:.1f}Z" fill="#000"/>',
        _words(x + 14, y + (-6 if view.is_reducing else 14), words),
    ]


def _wide_open(view: CurveView, scale: _Scale) -> list[str]:
    words = sentence("curve-picture-wide-open", value=f"{view.wide_open:.4g} Nm³/h")
    top, bottom = _TOP, HEIGHT - _BOTTOM
    if view.wide_open <= scale.most_flow:
        x = scale.across(view.wide_open)
        return [
            _line(x, top, x, bottom, 'stroke-width="1.6" stroke-dasharray="10 4 2 4"'),
            _words(x - 6, bottom - 10, words, anchor="end"),
        ]
    right, y = WIDTH - _RIGHT, bottom - 14
    return [
        _line(right - 34, y, right - 2, y, 'stroke-width="2"'),
        f'<path d="M{right:.1f} {y:.1f}l-10 -5v10Z" fill="#000"/>',
        _words(right - 42, y + 4, words, anchor="end"),
    ]
