"""The text of `springcase gas` for people."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

_ICE: Final = 273.15


def text(document: Mapping[str, Any]) -> str:
    """Return the properties for people, the ones a bench asks for first."""
    rows = [
        ("Gas", f"{document['gas']}, {1000 * document['molar_mass_kg_mol']:.4f} g/mol"),
        (
            "State",
            f"{document['pressure_abs_pa'] / 1e5:.6g} bar abs, "
            f"{document['temperature_k'] - _ICE:.2f} degC, by {document['model']}",
        ),
        ("Z", f"{document['z']:.6f}"),
        ("Density", f"{document['density_kg_m3']:.5g} kg/m3"),
        ("Sound speed", f"{document['sound_speed_m_s']:.2f} m/s"),
        ("Isentropic exp.", f"{document['isentropic_exponent']:.4f}"),
        ("Heat capacity", f"{document['heat_capacity_j_kg_k']:.1f} J/(kg.K)"),
        ("Joule-Thomson", f"{1e5 * document['joule_thomson_k_pa']:.4f} K/bar"),
        (
            "Viscosity",
            f"{1e6 * document['viscosity_pa_s']:.2f} uPa.s "
            f"({document['viscosity_correlation']}, within "
            f"{100 * document['viscosity_stated_error']:.0f} %)",
        ),
    ]
    if document["relative_density"] is not None:
        rows.append(("Rel. density", f"{document['relative_density']:.4f}"))
    if document["wobbe_index_j_m3"] is not None:
        rows.append(("Wobbe index", f"{document['wobbe_index_j_m3'] / 1e6:.2f} MJ/m3, gross"))
    if document["flammable_low"] is not None:
        low, high = 100 * document["flammable_low"], 100 * document["flammable_high"]
        rows.append(("Burns in air", f"{low:.2f} to {high:.1f} % ({document['flammable_table']})"))
    if "outlet_temperature_k" in document:
        rows.append(
            (
                "Outlet",
                f"{document['outlet_temperature_k'] - _ICE:.2f} degC at "
                f"{document['outlet_pressure_abs_pa'] / 1e5:.6g} bar abs, "
                f"{document['cooling_k']:.2f} K colder",
            )
        )
    return "\n".join(f"{name:<16}{value}" for name, value in rows)
