"""The picture of outlet against flow as PNG, where matplotlib is installed."""

from __future__ import annotations

import io
from typing import Any, Final

from springcase.errors import MissingExtra
from springcase.paper.curve_picture import HEIGHT, WIDTH, CurveView
from springcase.wording import sentence

_INCH: Final = 100.0
_DOTS: Final = 200


def draw_curve_png(view: CurveView) -> bytes:
    """
    Return the picture as PNG: the same lines and words as the SVG.

    Raises
    ------
    MissingExtra
        If matplotlib is not installed.
    """
    figure, axes = _sheet()
    gap = [(float("nan") if value is None else value) for value in view.rising]
    other = [(float("nan") if value is None else value) for value in view.falling]
    band = view.band * view.set_point
    axes.axhspan(view.set_point - band, view.set_point + band, color="0.91", zorder=0)
    share = f"{100 * view.band:g}"
    value = f"{view.set_point:.4g} {view.unit}"
    axes.axhline(
        view.set_point,
        color="0",
        linestyle=":",
        label=sentence("curve-picture-set", value=value, share=share),
    )
    axes.plot(view.flows, gap, color="0", linewidth=1.8, label=sentence("curve-picture-rising"))
    axes.plot(
        view.flows,
        other,
        color="0",
        linewidth=1.2,
        linestyle="--",
        label=sentence("curve-picture-falling"),
    )
    tight = f"{view.lock_up:.4g} {view.unit}"
    words = (
        sentence("curve-picture-lock-up", value=tight, inlet=view.inlet_words)
        if view.is_reducing
        else sentence("curve-picture-reseat", value=tight)
    )
    axes.plot([0], [view.lock_up], color="0", marker="D", linestyle="", label=words, clip_on=False)
    open_words = sentence("curve-picture-wide-open", value=f"{view.wide_open:.4g} Nm³/h")
    if view.wide_open <= 2.0 * max(view.flows):
        axes.axvline(view.wide_open, color="0", linestyle="-.", label=open_words)
    else:
        # Far beyond the scale: said, not drawn.
        axes.plot([], [], linestyle="", marker=">", color="0", label=open_words)
    axes.set_xlim(left=0.0)
    axes.set_xlabel(sentence("curve-picture-flow"))
    axis = "curve-picture-pressure" if view.is_reducing else "curve-picture-pressure-inlet"
    axes.set_ylabel(sentence(axis, unit=view.unit))
    axes.set_title(f"{view.title}\n{view.subtitle}", loc="left", fontsize=10)
    axes.legend(fontsize=8, frameon=False, loc="upper left", bbox_to_anchor=(1.0, 1.0))
    written = io.BytesIO()
    figure.savefig(written, format="png", dpi=_DOTS, metadata={"Software": None})
    return written.getvalue()


def _sheet() -> tuple[Any, Any]:
    """Return an empty figure and its axes, without any window or shared state."""
    try:
        from matplotlib.figure import Figure
    except ImportError as error:
        raise MissingExtra(
            "extra-missing",
            field="png",
            value="matplotlib",
            right='pip install "springcase[paper]"',
        ) from error
    figure: Any = Figure(figsize=(1.35 * WIDTH / _INCH, HEIGHT / _INCH), layout="constrained")
    return figure, figure.subplots()
