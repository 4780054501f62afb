"""The text of `springcase curve`: one line a figure, in the unit the set point was typed in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from springcase.cli.curve_choose import choose_text
from springcase.units import format_value
from springcase.wording import sentence


def difference_words(value: float, unit: str, digits: int) -> str:
    """Return a difference of pressures [Pa] in a unit: it is neither gauge nor absolute."""
    shown = format_value(value, unit, digits)
    return shown.replace(" gauge", "").replace("psig", "psi")


def text(document: Mapping[str, Any]) -> str:
    """Return the figures for people, then the caution."""
    if "choices" in document:
        return choose_text(document)
    lines = [*_held(document), *_beside(document)]
    return "\n".join([*lines, "", sentence("curve-caution")])


def _pressure(document: Mapping[str, Any], value: float | None) -> str:
    return "-" if value is None else format_value(value, document["shown_unit"], 3)


def _difference(document: Mapping[str, Any], value: float | None) -> str:
    return "-" if value is None else difference_words(value, document["shown_unit"], 3)


def _other(value: float) -> str:
    return format_value(value, "bar gauge", 3)


def _flow(value: float) -> str:
    return f"{value:.4g} Nm3/h"


def _share(value: float | None) -> str:
    return "-" if value is None else f"{100 * value:.1f} %"


def _named(document: Mapping[str, Any], key: str) -> str:
    return "" if document[key] is None else f", {document[key]}"


def _held(document: Mapping[str, Any]) -> Iterator[str]:
    """Yield what the unit holds: set point, droop, lock-up, hysteresis, inlet effect."""
    reducing = document["action"] == "reducing"
    other = document["inlet_gauge_pa"]
    yield sentence(
        "curve-line-set" if reducing else "curve-line-set-back",
        value=_pressure(document, document["set_point_gauge_pa"]),
        flow=_flow(document["reference_flow_nm3_h"]),
        other=_other(other),
    )
    yield sentence(
        "curve-line-droop" if reducing else "curve-line-build-up",
        value=_difference(document, document["droop_pa"]),
        share=_share(document["droop_share"]),
        flow=_flow(document["largest_flow_nm3_h"]),
        worst=_named(document, "accuracy_class"),
    )
    yield sentence(
        "curve-line-lock-up" if reducing else "curve-line-reseat",
        value=_pressure(document, document["lock_up_gauge_pa"]),
        share=_share(document["lock_up_share"]),
        other=_other(document["lock_up_inlet_gauge_pa"]),
        **{"class": _named(document, "lock_up_class")},
    )
    apart = _difference(document, document["hysteresis_pa"])
    yield sentence("curve-line-hysteresis", value=apart)
    if document["inlet_effect_from_gauge_pa"] != other:
        yield sentence(
            "curve-line-inlet",
            value=_difference(document, document["inlet_effect_pa"]),
            low=_other(document["inlet_effect_from_gauge_pa"]),
            high=_other(other),
        )


def _beside(document: Mapping[str, Any]) -> Iterator[str]:
    """Yield what stands beside the curve: wide open, spring, attitude, relief, picture."""
    yield sentence(
        "curve-line-wide-open",
        flow=_flow(document["wide_open_nm3_h"]),
        limit=_pressure(document, document["wide_open_outlet_gauge_pa"]),
    )
    spring = document["spring"]
    yield sentence(
        "curve-line-spring",
        name=spring["name"],
        length=format_value(spring["compression_m"], "mm", 3),
        force=format_value(spring["force_n"], "N", 3),
    )
    if document["attitude_shift_pa"]:
        shift = _difference(document, document["attitude_shift_pa"])
        yield sentence("curve-line-shift", value=shift)
    relief = document["relief"]
    if relief is not None:
        yield sentence(
            "curve-line-relief",
            value=_pressure(document, relief["starts_gauge_pa"]),
            flow=_flow(relief["capacity_nm3_h"]),
            limit=_pressure(document, relief["at_gauge_pa"]),
        )
    if "picture" in document:
        yield sentence("curve-line-picture", file=document["picture"])
