"""What a bench sheet is made from beside the plan: the unit's card, the owner, the wrenches."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from springcase.paper.document import Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetOwner:
    """
    The owner's figures a sheet prints or decides by.

    `one_person_weight` is the most one person lifts [kg]; `hold_wait` the words for how long a
    proved zero is watched; `torque_unit` stands where no wrench was chosen.
    """

    name: str = ""
    torque_unit: str = "N.m"
    one_person_weight: float = 25.0
    hold_wait: str = "5 min"
    inlet_pressure_unit: str = "bar gauge"
    outlet_pressure_unit: str = "mbar gauge"


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitCard:
    """What the plate and the card say of one unit, as read."""

    tag: str = ""
    serial: str = ""
    position: str = ""
    role: str = ""
    set_point: str = ""
    inlet: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TorqueTool:
    """
    The wrench chosen for a torque step.

    `unit` is what its scale shows. `setting_share` is the setting over the torque at the screw
    where an extension or crowfoot changes it [-]; `note` is the reason printed when work goes
    on with a wrench that does not fit.
    """

    words: str
    unit: str
    setting_share: float = 1.0
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawings:
    """The pictures of a sheet: the stack-up by sheet, and the bolt pattern by joint."""

    stack_up: Mapping[str, tuple[Picture, ...]] = field(default_factory=dict)
    patterns: Mapping[str, Picture] = field(default_factory=dict)
