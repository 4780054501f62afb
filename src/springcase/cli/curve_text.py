"""The text of `springcase curve`: one line a figure, in the unit the set point was typed in."""

from __future__ import annotations

from collections.abc import Mapping
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
    unit, reducing = document["shown_unit"], document["action"] == "reducing"

    def pressure(value: float | None) -> str:
        return "-" if value is None else format_value(value, unit, 3)

    def difference(value: float | None) -> str:
        return "-" if value is None else difference_words(value, unit, 3)

    def other(value: float) -> str:
        return format_value(value, "bar gauge", 3)

    def flow(value: float) -> str:
        return f"{value:.4g} Nm3/h"

    def share(value: float | None) -> str:
        return "-" if value is None else f"{100 * value:.1f} %"

    def named(key: str) -> str:
        return "" if document[key] is None else f", {document[key]}"

    largest, spring = document["largest_flow_nm3_h"], document["spring"]
    lines = [
        sentence(
            "curve-line-set" if reducing else "curve-line-set-back",
            value=pressure(document["set_point_gauge_pa"]),
            flow=flow(document["reference_flow_nm3_h"]),
            other=other(document["inlet_gauge_pa"]),
        ),
        sentence(
            "curve-line-droop" if reducing else "curve-line-build-up",
            value=difference(document["droop_pa"]),
            share=share(document["droop_share"]),
            flow=flow(largest),
            worst=named("accuracy_class"),
        ),
        sentence(
            "curve-line-lock-up" if reducing else "curve-line-reseat",
            value=pressure(document["lock_up_gauge_pa"]),
            share=share(document["lock_up_share"]),
            other=other(document["lock_up_inlet_gauge_pa"]),
            **{"class": named("lock_up_class")},
        ),
        sentence("curve-line-hysteresis", value=difference(document["hysteresis_pa"])),
        sentence(
            "curve-line-wide-open",
            flow=flow(document["wide_open_nm3_h"]),
            limit=pressure(document["wide_open_outlet_gauge_pa"]),
        ),
        sentence(
            "curve-line-spring",
            name=spring["name"],
            length=format_value(spring["compression_m"], "mm", 3),
            force=format_value(spring["force_n"], "N", 3),
        ),
    ]
    if document["inlet_effect_from_gauge_pa"] != document["inlet_gauge_pa"]:
        lines.insert(
            4,
            sentence(
                "curve-line-inlet",
                value=difference(document["inlet_effect_pa"]),
                low=other(document["inlet_effect_from_gauge_pa"]),
                high=other(document["inlet_gauge_pa"]),
            ),
        )
    if document["attitude_shift_pa"]:
        shift = difference(document["attitude_shift_pa"])
        lines.append(sentence("curve-line-shift", value=shift))
    if document["relief"] is not None:
        relief = document["relief"]
        lines.append(
            sentence(
                "curve-line-relief",
                value=pressure(relief["starts_gauge_pa"]),
                flow=flow(relief["capacity_nm3_h"]),
                limit=pressure(relief["at_gauge_pa"]),
            )
        )
    if "picture" in document:
        lines.append(sentence("curve-line-picture", file=document["picture"]))
    return "\n".join([*lines, "", sentence("curve-caution")])
