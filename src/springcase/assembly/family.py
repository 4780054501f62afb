"""
A family as its file says it: the tables of `springcase/family` version 1.

Struct for struct what a family file may hold. Quantities stay text with unit here; `expand`
turns a family and its chosen options into a `Structure`. `docs/families.md` is the page that
explains every key with an example.
"""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from springcase.assembly.regulator_table import RegulatorTable
from springcase.formats import ID_PATTERN

Id = Annotated[str, msgspec.Meta(pattern=ID_PATTERN, max_length=60)]
Words = Annotated[str, msgspec.Meta(min_length=1, max_length=300)]
Minutes = Annotated[float, msgspec.Meta(ge=0, le=1440)]
Count = Annotated[int, msgspec.Meta(ge=1, le=999)]
When = dict[str, list[str]]
After = list[list[str]]


class _Table(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A table of a family file: unknown keys are refused."""


class HeadTable(_Table, frozen=True, kw_only=True):
    """`[family]`: who this family is and how it stands when work begins."""

    id: Id
    name: Words
    words: Words
    edition: Words
    action: Literal["reducing", "back-pressure", "relief"]
    side_up: Id
    services: Annotated[list[Id], msgspec.Meta(min_length=1)]
    set_range: str = ""
    chambers: dict[str, str] = {}
    on_loss: dict[str, str] = {}
    sheets: dict[str, str] = {}


class OptionTable(_Table, frozen=True, kw_only=True):
    """`[option.ID]`: what may be chosen, in words, and the plain choice."""

    words: Words
    default: str
    values: Annotated[dict[str, str], msgspec.Meta(min_length=2)]


class CombinationTable(_Table, frozen=True, kw_only=True):
    """`[[combination]]`: options that are never built together, and why."""

    never: When
    why: Words


class CheckTable(_Table, frozen=True, kw_only=True):
    """`[part.ID.check.NAME]`: one inspection with its criteria and access of its own."""

    words: Words
    accept: Words
    reject: Words
    reading: str = ""
    tool: str = ""
    minutes: Minutes = 0
    after: After = []
    after_fit: list[str] = []
    before_fit: list[str] = []
    before_joint: str = ""
    when: When = {}


class WorkTable(_Table, frozen=True, kw_only=True):
    """What taking something off and coming loose on the bench have in common."""

    after: After = []
    tool: str = ""
    side: str = ""
    minutes_off: Minutes
    minutes_on: Minutes
    opens: list[str] = []
    energy: list[str] = []
    withdraws: list[str] = []
    exposes: list[str] = []
    when: When = {}


class OffTable(WorkTable, frozen=True, kw_only=True):
    """`[part.ID.off]` and the access half of a lump: how it leaves the body."""

    in_line: bool = True
    clearance: str = ""


class SplitTable(WorkTable, frozen=True, kw_only=True):
    """`[part.ID.split]`: how a part of a lump comes loose on the bench."""

    leaves: list[str] = []


class PartVariant(_Table, frozen=True, kw_only=True):
    """`[[part.ID.variant]]`: what differs about a part when options are chosen so."""

    when: When
    words: str | msgspec.UnsetType = msgspec.UNSET
    material: str | msgspec.UnsetType = msgspec.UNSET
    size: str | msgspec.UnsetType = msgspec.UNSET
    o_ring: str | msgspec.UnsetType = msgspec.UNSET
    count: Count | msgspec.UnsetType = msgspec.UNSET
    renew: Literal["always", "on-finding", "age", "never"] | msgspec.UnsetType = msgspec.UNSET
    life: str | msgspec.UnsetType = msgspec.UNSET
    kit: str | msgspec.UnsetType = msgspec.UNSET
    weight: str | msgspec.UnsetType = msgspec.UNSET
    lubricant: str | msgspec.UnsetType = msgspec.UNSET
    lubricate_where: str | msgspec.UnsetType = msgspec.UNSET
    profile: dict[str, str] | msgspec.UnsetType = msgspec.UNSET
    spring: dict[str, str] | msgspec.UnsetType = msgspec.UNSET


class PartTable(_Table, frozen=True, kw_only=True):
    """`[part.ID]`: one part, or one set of like parts."""

    words: Words
    kind: Literal["soft", "hard", "fastener", "spring", "locking", "sealant", "consumable"]
    material: str = ""
    count: Count = 1
    size: str = ""
    o_ring: str = ""
    chamber: str = ""
    renew: Literal["always", "on-finding", "age", "never"] = "never"
    life: str = ""
    kit: str = ""
    sheet: str = ""
    fixed: bool = False
    look: bool = False
    dynamic: bool = False
    weight: str = ""
    lubricant: str = ""
    lubricate_where: str = ""
    clean: str = ""
    when: When = {}
    view: After = []
    profile: dict[str, str] = {}
    spring: dict[str, str] = {}
    off: OffTable | None = None
    split: SplitTable | None = None
    check: dict[str, CheckTable] = {}
    variant: list[PartVariant] = []


class LumpTable(OffTable, frozen=True, kw_only=True):
    """`[lump.ID]`: parts that come off together and can be split on the bench."""

    words: Words
    parts: Annotated[list[str], msgspec.Meta(min_length=2)]


class JointVariant(_Table, frozen=True, kw_only=True):
    """`[[joint.ID.variant]]`: what differs about a joint when options are chosen so."""

    when: When
    torque: str | msgspec.UnsetType = msgspec.UNSET
    range: str | msgspec.UnsetType = msgspec.UNSET
    lubricated: str | msgspec.UnsetType = msgspec.UNSET
    limits: dict[str, str] | msgspec.UnsetType = msgspec.UNSET


class JointTable(_Table, frozen=True, kw_only=True):
    """`[joint.ID]`: where parts meet, what opening it disturbs, how it is closed."""

    words: Words
    kind: Literal[
        "metal",
        "flat-gasket",
        "clamped-soft",
        "stack-nut",
        "seat-thread",
        "straight-plug",
        "taper-thread",
        "tube-fitting",
        "lock-nut",
    ]
    fastener: str = ""
    seals: list[str] = []
    chambers: list[str] = []
    torque: str = ""
    range: str = ""
    turns: str = ""
    no_torque: str = ""
    lubricated: str = ""
    pattern: Literal["", "cross", "circle", "alternate"] = ""
    cover: Literal["", "round", "square", "oval"] = ""
    passes: list[Annotated[int, msgspec.Meta(ge=1, le=100)]] = []
    tool: str = ""
    retorque: bool = False
    holds_pressure: bool = False
    thread: str = ""
    grade: str = ""
    limits: dict[str, str] = {}
    when: When = {}
    variant: list[JointVariant] = []


class EnergyTable(_Table, frozen=True, kw_only=True):
    """`[energy.ID]`: one store of energy and the hold before it may be disturbed."""

    kind: Literal["chamber", "spring", "weight"]
    words: Words
    hold: Literal["prove-zero", "screw-out", "long-studs", "lower"]
    chamber: str = ""
    part: str = ""
    where: str = ""
    when: When = {}


class MarkTable(_Table, frozen=True, kw_only=True):
    """`[mark.ID]`: an orientation asked before the strip and restored with a part."""

    words: Words
    kind: Literal["clock", "arrow", "facing", "witness", "port-tag"]
    part: str
    when: When = {}


class ActTable(_Table, frozen=True, kw_only=True):
    """`[act.ID]`: a thing done only in the rebuild."""

    words: Words
    after_fit: Annotated[list[str], msgspec.Meta(min_length=1)]
    before_fit: list[str] = []
    before_joint: str = ""
    tool: str = ""
    minutes: Minutes = 0
    when: When = {}


class RebuildTable(_Table, frozen=True, kw_only=True):
    """`[[rebuild]]`: one part is back before another is fitted, though the strip never asks."""

    first: str
    then: str
    why: Words
    when: When = {}


class ToolTable(_Table, frozen=True, kw_only=True):
    """`[tool.ID]`: a tool with its size; `kind` says which drives take a torque wrench."""

    words: Words
    kind: Literal["hand", "socket", "spanner", "driver", "hook", "gauge", "special"]
    size: str = ""


class LubricantTable(_Table, frozen=True, kw_only=True):
    """`[lubricant.ID]`: a lubricant or sealant with the services it is named for."""

    words: Words
    base: Literal["silicone", "hydrocarbon", "fluorinated", "graphite", "ptfe-paste", "locking"]
    services: Annotated[list[Id], msgspec.Meta(min_length=1)]


class ScopeTable(_Table, frozen=True, kw_only=True):
    """`[scope.ID]`: a named set of goals."""

    words: Words
    inspect: list[str] = []
    reach: list[str] = []
    renew: list[str] = []
    renew_kinds: list[str] = []
    everything: bool = False
    exchange: str = ""


class AxisTable(_Table, frozen=True, kw_only=True):
    """`[axis.ID]`: an axis of the stack-up picture; side branches start on another axis."""

    words: Words
    branch_of: str = ""
    at_part: str = ""
    direction: Literal["", "left", "right"] = ""


class Family(_Table, frozen=True, kw_only=True):
    """One family of regulators, described once: the tables of a file, by their names there."""

    family: HeadTable
    option: dict[Id, OptionTable] = {}
    combination: list[CombinationTable] = []
    part: Annotated[dict[Id, PartTable], msgspec.Meta(min_length=2, max_length=2000)]
    lump: dict[Id, LumpTable] = {}
    joint: dict[Id, JointTable] = {}
    energy: dict[Id, EnergyTable] = {}
    mark: dict[Id, MarkTable] = {}
    act: dict[Id, ActTable] = {}
    rebuild: list[RebuildTable] = []
    tool: dict[Id, ToolTable] = {}
    lubricant: dict[Id, LubricantTable] = {}
    scope: dict[Id, ScopeTable] = {}
    axis: dict[Id, AxisTable] = {}
    regulator: RegulatorTable | None = None
