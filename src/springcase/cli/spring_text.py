"""What `springcase spring` prints for people."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from springcase.units import format_value
from springcase.wording import sentence


def text(document: Mapping[str, Any]) -> str:
    """Return the document for people: the verdict first, where one was asked."""
    lines = []
    if "verdict" in document:
        lines += _identity_lines(document)
    if "index" in document or "measured_rate_n_m" not in document:
        lines.append(f"Rate           {_rate(document['rate_n_m'])}")
    if "index" in document:
        lines.append(
            f"Coils          {document['active_coils']:g} active of {document['total_coils']:g}, "
            f"{document['ends']}; index {document['index']:.3g}"
        )
    if "solid_length_m" in document:
        lines.append(f"Solid length   {_millimetres(document['solid_length_m'])}")
    if "shear_stress_pa" in document:
        stress = format_value(document["shear_stress_pa"], "MPa", 4)
        lines.append(f"Shear stress   {stress} ({document['stress_factor_kind']})")
    if document.get("shear_limit_pa") is not None:
        lines.append(
            f"Bears once     {format_value(document['shear_limit_pa'], 'MPa', 3)} in shear"
        )
    if "buckling_length_m" in document:
        lines.append(f"May buckle     above {_millimetres(document['buckling_length_m'])} free")
    if "set_range_low_diff_pa" in document:
        low, high = document["set_range_low_diff_pa"], document["set_range_high_diff_pa"]
        lines += [
            f"Set range      {_pressure(low)} to {_pressure(high)}",
            f"Screw          {_pressure(document['per_turn_diff_pa'])} a turn, "
            f"{document['turns']:.3g} turns, {_millimetres(document['left_before_solid_m'])} "
            "left before solid",
        ]
    if "droop_diff_pa" in document:
        lines.append(f"Droop          {_pressure(document['droop_diff_pa'])}")
    if "carded_droop_diff_pa" in document:
        lines.append(f"Droop by card  {_pressure(document['carded_droop_diff_pa'])}")
    return "\n".join([*lines, "", sentence("spring-caution")])


def _identity_lines(document: Mapping[str, Any]) -> list[str]:
    ratio = document["rate_ratio"]
    facts = {
        "measured": _rate(document["measured_rate_n_m"]),
        "card": _rate(document["carded_rate_n_m"]),
        "share": f"{100 * abs(ratio - 1):.0f} % {'stiffer' if ratio >= 1 else 'softer'}",
    }
    said = sentence(f"spring-verdict-{document['verdict']}", **facts)
    expected = _pressure(document["expected_per_turn_diff_pa"])
    return [f"Verdict        {said}", f"By the card    {expected} a turn"]


def _rate(value: float) -> str:
    return f"{format_value(value, 'N/mm', 4)}, {format_value(value, 'lbf/in', 4)}"


def _millimetres(value: float) -> str:
    return format_value(value, "mm", 4)


def _pressure(value: float) -> str:
    return f"{format_value(value, 'mbar', 4)} ({format_value(value, 'psi', 3)})"
