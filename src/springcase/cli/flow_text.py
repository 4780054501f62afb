"""What `springcase flow` says to people: the answer first, in the units of the trade."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from springcase.units import format_value
from springcase.wording import sentence


def text(document: Mapping[str, Any]) -> str:
    """Return the document for people: flow and coefficient first."""
    flow = document["flow_nm3_h"]
    lines = [
        f"Flow           {flow:.4g} Nm3/h, {document['flow_kg_s'] * 3600.0:.4g} kg/h",
        f"Coefficient    Kv {document['kv']:.4g}, Cv {document['cv']:.4g}",
        f"Choked         {'yes' if document['choked'] else 'no'}",
        f"Expansion      Y = {document['expansion_factor']:.4f}",
    ]
    if document.get("reynolds") is not None:
        lines.append(
            f"Reynolds       {document['reynolds']:.3g}, FR = {document['reynolds_factor']:.3f}"
        )
    if document.get("middle_pressure_abs_pa") is not None:
        between = format_value(document["middle_pressure_abs_pa"], "bar", 4)
        lines.append(f"Between        {between} abs, behind the orifice")
    if document["outlet_velocity_m_s"] is not None:
        lines.append(
            f"Outlet pipe    {document['outlet_velocity_m_s']:.3g} m/s, "
            f"Mach {document['outlet_mach']:.2f}"
        )
    lines.append(
        f"Gas            M {1e3 * document['molar_mass_kg_mol']:.5g} g/mol, "
        f"exponent {document['isentropic_exponent']:.4g}, Z {document['z']:.4g}"
    )
    return "\n".join([*lines, "", sentence("flow-caution")])
