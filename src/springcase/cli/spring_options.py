"""The options of `springcase spring`, and which of them mean nothing alone."""

from __future__ import annotations

import argparse
from typing import Final

from springcase.errors import BadInput

_ENDS: Final = ("plain", "plain-ground", "squared", "squared-ground")
_FACTORS: Final = ("wahl", "bergstraesser", "shear")
_SUPPORTS: Final = ("fixed-fixed", "fixed-pivoted", "pivoted-pivoted")
_COIL: Final = ("material", "mean_diameter", "outer_diameter", "active", "total", "ends")
_TURNING: Final = ("screw_travel", "per_turn")
_NEEDS: Final = {
    **dict.fromkeys((*_COIL, "shear_modulus", "force"), ("wire",)),
    "solid_length": ("rate",),
    "free_length": ("wire", "rate"),
    "fitted_length": ("screw_travel",),
    "pitch": _TURNING,
    "area": (*_TURNING, "stroke"),
    "diaphragm": (*_TURNING, "stroke"),
    "bore": ("diaphragm",),
    "plate": ("diaphragm",),
    "card": ("per_turn",),
    "uncertainty": ("per_turn",),
}
"""What an option needs at least one of beside it: alone it would be passed over in silence."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options of the command."""
    add = parser.add_argument
    add("--material", metavar="NAME", help="wire, such as music-wire, A229 or stainless-302")
    add("--wire", metavar="LENGTH", help="wire diameter")
    add("--mean-diameter", metavar="LENGTH", help="mean diameter of the coil")
    add("--outer-diameter", metavar="LENGTH", help="outer diameter of the coil, for the mean")
    add("--active", metavar="COILS", type=float, help="active coils")
    add("--total", metavar="COILS", type=float, help="total coils, instead of the active ones")
    add("--ends", choices=_ENDS, help="type of the ends, squared-ground where not given")
    add("--shear-modulus", metavar="STRESS", help="shear modulus, where not the material's own")
    add("--force", metavar="FORCE", help="force at which the stress is wanted")
    add("--stress-factor", choices=_FACTORS, default="wahl", help="correction of the stress")
    add("--support", choices=_SUPPORTS, default="fixed-fixed", help="how the ends are held")
    add("--free-length", metavar="LENGTH", help="free length of the spring")
    add("--rate", metavar="RATE", help="rate of the spring, where its wire is not measured")
    add("--solid-length", metavar="LENGTH", help="solid length, beside --rate")
    add(
        "--screw-travel", metavar="LENGTH", help="travel of the adjusting screw: asks the set range"
    )
    add("--fitted-length", metavar="LENGTH", help="room for the spring with the screw backed off")
    add("--pitch", metavar="LENGTH", help='pitch of the screw, such as 2 mm or "12 threads/in"')
    add("--area", metavar="AREA", help="effective area of the diaphragm")
    add("--diaphragm", choices=("convoluted", "flat"), help="kind, instead of --area")
    add("--bore", metavar="LENGTH", help="diameter the diaphragm is clamped in")
    add("--plate", metavar="LENGTH", help="diameter of the diaphragm plate")
    add("--lever-ratio", metavar="R", type=float, default=1.0, help="diaphragm by spring travel")
    add("--per-turn", metavar="PRESSURE", help="measured pressure per turn: asks whose spring")
    add("--card", metavar="RATE", help="spring rate on the card")
    add("--uncertainty", metavar="SHARE", help="of the measured rate (k = 2), such as 5 %%")
    add("--stroke", metavar="LENGTH", help="stroke of the diaphragm for which droop is wanted")


def refuse_lone_options(arguments: argparse.Namespace) -> None:
    """
    Refuse an option that would be passed over for want of another.

    Raises BadInput.
    """
    for name, others in _NEEDS.items():
        value = getattr(arguments, name)
        if value is not None and all(getattr(arguments, other) is None for other in others):
            raise BadInput(
                "option-needs",
                field=_option(name),
                value=value,
                right=" or ".join(_option(other) for other in others),
            )


def _option(name: str) -> str:
    return "--" + name.replace("_", "-")
