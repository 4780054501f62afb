"""The owner's figures as frozen values: typed for those who use them, as typed for the record."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class Origin(StrEnum):
    """Where a figure in force came from; a later one overrules an earlier one."""

    DEFAULT = "default"
    FILE = "file"
    SETTING = "setting"
    FLAG = "flag"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """
    One figure in force: the text typed, its SI value, why, and where it came from. [SI]

    `standing` is ``owner`` once an owner has stated it, else that of the shipped figure; `where`
    names the file, setting or flag.
    """

    name: str
    text: str
    value: float | str | None
    words: str
    source: str
    standing: str
    origin: Origin
    where: str

    @property
    def is_confirmed(self) -> bool:
        """Whether it may decide a safety verdict: stated by the owner, or from a source."""
        return self.standing in ("owner", "published", "computed")


@dataclass(frozen=True, slots=True, kw_only=True)
class Planning:
    """What changes and renewals cost a plan, in whole seconds. [s]"""

    tool_change: int
    turn_over: int
    lift: int
    joint: Mapping[str, int]
    renewal: Mapping[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Holds:
    """How long to wait or watch, in whole seconds. [s]"""

    zero_again: int
    retorque: int
    lock_up: int
    leak: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Bolting:
    """
    Share of proof load and nut factors [-], and where a tool misfit may be accepted.

    `misfit_gauge` is the highest pressure on a joint that may be closed with a torque tool that
    does not fit. [Pa]
    """

    share_of_proof: float
    nut_factor_dry: float
    nut_factor_black: float
    nut_factor_lubricated: float
    nut_factor_anti_seize: float
    misfit_gauge: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifting:
    """The most that one person lifts. [kg]"""

    one_person_weight: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Proving:
    """
    How a test is judged.

    `guard_band` is a multiple of the standard uncertainty [-]; a limit is a share of the set
    point [-], or None where the test is measured and not judged.
    """

    decision_rule: str
    guard_band: float
    droop_limit: float | None
    lock_up_limit: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Units:
    """The units a sheet is printed in."""

    system: str
    torque: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TorqueTool:
    """
    One torque tool of the owner's kit.

    `low` and `high` are its range [N.m], `accuracy` its error as a share of the reading [-],
    `unit` what its scale shows; `calibration_due` is None where nobody knows.
    """

    id: str
    words: str
    low: float
    high: float
    unit: str
    accuracy: float
    calibration_due: date | None
    low_text: str
    high_text: str
    accuracy_text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Owner:
    """Every figure an owner may choose, as one value, with each figure's origin beside it."""

    name: str
    planning: Planning
    holds: Holds
    bolting: Bolting
    lifting: Lifting
    proving: Proving
    units: Units
    torque_tools: tuple[TorqueTool, ...]
    figures: Mapping[str, Figure]
