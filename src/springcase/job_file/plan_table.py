"""The tables of `springcase/plan` version 1: what `springcase plan --json` prints."""

from __future__ import annotations

from typing import Any

import msgspec

from springcase.formats import register_format

PLAN_FORMAT = "springcase/plan"


class _Table(msgspec.Struct, frozen=True, kw_only=True):
    """A table of a plan; more keys are welcome."""


class FamilyMark(_Table, frozen=True, kw_only=True):
    """Which family, which edition of it, and the digest of its file."""

    id: str
    name: str
    edition: str
    digest: str


class GoalTable(_Table, frozen=True, kw_only=True):
    """One goal: inspect, reach, renew or separate a part."""

    kind: str
    part: str


class StepTable(_Table, frozen=True, kw_only=True):
    """One step; `torque_n_m` in newton metres, `minutes` of its own work."""

    id: str
    kind: str
    phase: str
    parts: list[str]
    count: int
    operation: str = ""
    new: list[str] = []
    joint: str = ""
    check: str = ""
    energy: str = ""
    act: str = ""
    mark: str = ""
    lubricant: str = ""
    tool: str = ""
    side: str = ""
    place: str = ""
    reading: str = ""
    number: int = 0
    minutes: float = 0
    torque: str = ""
    torque_n_m: float | None = None
    share_percent: int | None = None


class KitTable(_Table, frozen=True, kw_only=True):
    """One line of the kit."""

    id: str
    group: str
    words: str
    count: int
    size: str
    why: str
    on_finding: bool


class NextPolicyTable(_Table, frozen=True, kw_only=True):
    """What the next wider policy would add."""

    policy: str
    adds: list[str]
    minutes: float


class PlanTable(_Table, frozen=True, kw_only=True):
    """A plan with what it stands on."""

    digest: str
    family: FamilyMark
    of: str
    owner_digest: str
    build: dict[str, str]
    defaulted: list[str]
    unusual: list[str]
    scope: str
    goals: list[GoalTable]
    policy: str
    place: str
    gas: str
    removed: list[str]
    already_off: list[str]
    order: list[str]
    rebuild: list[str]
    steps: list[StepTable]
    minutes: float
    minutes_strip: float
    minutes_rebuild: float
    cost_minutes: float
    bound_minutes: float
    gap: float
    optimal: bool
    joints_opened: list[str]
    seals_disturbed: list[str]
    renewed: list[str]
    tools: list[str]
    kit: list[KitTable]
    next_policy: NextPolicyTable | None
    warnings: list[str] = []
    sources: list[dict[str, Any] | str] = []


register_format(
    PLAN_FORMAT,
    PlanTable,
    1,
    title="A plan",
    words="The proven plan of one job: steps with their facts, kit, times and digests.",
)
