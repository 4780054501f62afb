"""
What each figure of the owner may be: its kind, its least and greatest value, its choices.

The names are those of ``owner.toml`` (``bolting.share_of_proof``); the shipped values with their
words, sources and standings are in ``defaults.toml``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

JOINT_KINDS: Final = (
    "metal",
    "flat-gasket",
    "clamped-soft",
    "stack-nut",
    "seat-thread",
    "straight-plug",
    "taper-thread",
    "tube-fitting",
    "lock-nut",
)
RENEWED_KINDS: Final = ("soft", "locking", "sealant", "consumable")
NO_LIMIT: Final = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """
    What one figure may be.

    `kind` is a kind of quantity of `units`, ``seconds`` (a time in whole seconds) or ``choice``.
    `least` and `greatest` are texts of that kind; `above` means the least itself is too small.
    """

    kind: str
    least: str = ""
    greatest: str = ""
    above: bool = False
    choices: tuple[str, ...] = ()
    may_be_none: bool = False


_STEP: Final = Rule(kind="seconds", least="0 s", greatest="24 h")
_WAIT: Final = Rule(kind="seconds", least="0 s", greatest="7 d")
_SHARE: Final = Rule(kind="ratio", least="0", greatest="100 %", above=True)
_NUT: Final = Rule(kind="ratio", least="0.05", greatest="0.50")
_LIMIT: Final = Rule(kind="ratio", least="0", greatest="100 %", above=True, may_be_none=True)

RULES: Final[dict[str, Rule]] = {
    "planning.tool_change": _STEP,
    "planning.turn_over": _STEP,
    "planning.lift": _STEP,
    **{f"planning.joint.{kind}": _STEP for kind in JOINT_KINDS},
    **{f"planning.renewal.{kind}": _STEP for kind in RENEWED_KINDS},
    "hold.zero_again": _WAIT,
    "hold.retorque": _WAIT,
    "hold.lock_up": _WAIT,
    "hold.leak": _WAIT,
    "bolting.share_of_proof": _SHARE,
    "bolting.nut_factor_dry": _NUT,
    "bolting.nut_factor_black": _NUT,
    "bolting.nut_factor_lubricated": _NUT,
    "bolting.nut_factor_anti_seize": _NUT,
    "bolting.misfit_gauge": Rule(kind="pressure", least="0 bar gauge", greatest="100 bar gauge"),
    "lifting.one_person_weight": Rule(kind="mass", least="0 kg", greatest="100 kg", above=True),
    "proving.decision_rule": Rule(kind="choice", choices=("simple", "guarded")),
    "proving.guard_band": Rule(kind="ratio", least="0", greatest="4"),
    "proving.droop_limit": _LIMIT,
    "proving.lock_up_limit": _LIMIT,
    "units.system": Rule(kind="choice", choices=("metric", "inch")),
    "units.torque": Rule(kind="choice", choices=("N.m", "lbf.in", "lbf.ft")),
}
