"""Spring wire by material: tensile strength and shear modulus, each with its standing."""

from __future__ import annotations

import math
from functools import cache
from typing import Any, Final

from springcase.errors import OutsideValidity
from springcase.sources import Sourced
from springcase.standards.register import standing
from springcase.standards.tables import read_table, unknown_name
from springcase.units import INCH, PSI

_STRESS: Final = {"ksi": 1e3 * PSI, "MPa": 1e6}
_DIAMETER: Final = {"in": INCH, "mm": 1e-3}
_MPSI: Final = 1e6 * PSI
# A nominal wire typed in the other system may miss the edge of a band by rounding.
_EDGE: Final = 1e-6


@cache
def _materials() -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for row in read_table("wire")["material"]:
        for name in (row["name"], *row["aliases"]):
            found[name.casefold()] = row
    return found


def wire_materials() -> tuple[str, ...]:
    """Return the names of all wire materials."""
    return tuple(row["name"] for row in read_table("wire")["material"])


def _row(material: str, field: str) -> dict[str, Any]:
    row = _materials().get(" ".join(material.split()).casefold())
    if row is None:
        raise unknown_name(field, material, wire_materials())
    return row


def wire_specification(material: str, *, field: str = "material") -> str:
    """
    Return the specification a wire material is drawn to.

    Raises UnknownName for a material of no table.
    """
    return str(_row(material, field)["specification"])


def tensile_strength(
    material: str, wire: float, *, printing: str = "", field: str = "material"
) -> Sourced:
    """
    Return the least tensile strength of a wire of a diameter [m], A / d^m. [Pa]

    `printing` asks for the constants of the ``inch`` or the ``metric`` edition; without it the
    better sourced of them is used.

    Raises UnknownName for a material of no table, OutsideValidity for a wire it does not cover.

    Examples
    --------
    >>> round(tensile_strength("music-wire", 0.037 * 0.0254).value / 6.894757e6, 1)
    324.2
    """
    row = _row(material, field)
    rows = [one for one in row["strength"] if printing in ("", one["printing"])]
    if not rows:
        raise unknown_name("printing", printing, (one["printing"] for one in row["strength"]))
    for one in rows:
        if one["over"] * 1e-3 - _EDGE <= wire <= one["up_to"] * 1e-3 + _EDGE:
            diameter = wire / _DIAMETER[one["diameter"]]
            strength = float(one["coefficient"]) / math.pow(diameter, float(one["exponent"]))
            return Sourced(
                value=strength * _STRESS[one["stress"]],
                source=one["source"],
                standing=standing(one["source"]),
            )
    raise OutsideValidity(
        "wire-outside",
        field="wire",
        value=f"{1e3 * wire:.4g} mm",
        right=f"a wire of {rows[0]['over']:g} to {rows[-1]['up_to']:g} mm",
        material=row["name"],
    )


def shear_limit(material: str, wire: float, *, field: str = "material") -> Sourced:
    """
    Return the corrected shear stress a wire bears once before it sets, a share of tensile. [Pa]

    The share is from memory, so that the limit is too. The wire is in [m].

    Raises UnknownName for a material of no table, OutsideValidity for a wire it does not cover.
    """
    row = _row(material, field)
    strength = tensile_strength(material, wire, field=field)
    return Sourced(
        value=float(row["shear_share"]) * strength.value,
        source=row["shear_source"],
        standing=standing(row["shear_source"]),
    )


def wire_shear_modulus(material: str, wire: float, *, field: str = "material") -> Sourced:
    """
    Return the shear modulus of a wire of a diameter [m]. [Pa]

    Raises UnknownName for a material of no table, OutsideValidity for a wire not over zero.
    """
    row = _row(material, field)
    if not (math.isfinite(wire) and wire > 0):
        raise OutsideValidity("not-positive", field="wire", value=wire, right="more than zero")
    modulus = next(modulus for below, modulus in row["modulus"] if not below or wire < below * INCH)
    source = row["modulus_source"]
    return Sourced(value=float(modulus) * _MPSI, source=source, standing=standing(source))
