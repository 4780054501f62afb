"""
The frozen data classes of an expanded build, a question about it, and a plan that answers it.

Nothing in this file computes. The planner makes these values, the independent checker
(`check.py`) reads them, and neither knows the other.

Facts are strings: ``off:p`` (part p has left the body, alone or in a lump) and ``loose:p``
(p is by itself). A part the build lacks never appears: both facts count as true of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

Alternatives = tuple[frozenset[str], ...]
"""Ways to satisfy one need: any one set of facts, wholly true. Empty tuple: impossible."""


def off(part: str) -> str:
    """Return the fact that a part has left the body."""
    return f"off:{part}"


def loose(part: str) -> str:
    """Return the fact that a part is by itself."""
    return f"loose:{part}"


class PartKind(StrEnum):
    """What sort of thing a part is; decides what happens to it when disturbed."""

    SOFT = "soft"
    HARD = "hard"
    FASTENER = "fastener"
    SPRING = "spring"
    LOCKING = "locking"
    SEALANT = "sealant"
    CONSUMABLE = "consumable"


class RenewRule(StrEnum):
    """When a disturbed part is renewed."""

    ALWAYS = "always"
    FINDING = "on-finding"
    AGE = "age"
    NEVER = "never"


class OperationKind(StrEnum):
    """Taking one part off the body, taking a lump off it, or splitting one on the bench."""

    PART = "part"
    LUMP = "lump"
    SPLIT = "split"


class Policy(StrEnum):
    """How much more than the scope asks is renewed."""

    LEAST = "least"
    WHILE_OPEN = "while-open"
    FULL_KIT = "full-kit"


class GoalKind(StrEnum):
    """What a goal asks of a part."""

    INSPECT = "inspect"
    REACH = "reach"
    RENEW = "renew"
    SEPARATE = "separate"
    """Loose, not renewed: what an overhaul asks of every part that can come apart."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """A quantity as typed in the file, with its SI value. [SI]"""

    text: str
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """What is in hand for an operation: the tool, the side that is up, line or bench."""

    tool: str = ""
    side: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """
    One inspection of a part, with access of its own.

    `needs` is empty where the part's own view suffices. A check with `after_fit` is made during
    the rebuild: once those parts are back, and before `before_fit` parts or `before_joint`.
    """

    id: str
    part: str
    words: str
    accept: str
    reject: str
    reading: str = ""
    tool: str = ""
    seconds: int = 0
    needs: Alternatives = ()
    after_fit: tuple[str, ...] = ()
    before_fit: tuple[str, ...] = ()
    before_joint: str = ""

    @property
    def in_rebuild(self) -> bool:
        """Whether this check is made while rebuilding."""
        return bool(self.after_fit)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part (or one set of like parts) of the build."""

    id: str
    words: str
    kind: PartKind
    material: str = ""
    count: int = 1
    size: str = ""
    o_ring: str = ""
    chamber: str = ""
    renew: RenewRule = RenewRule.NEVER
    life: str = ""
    kit: str = ""
    sheet: str = ""
    fixed: bool = False
    look: bool = False
    dynamic: bool = False
    mass: Amount | None = None
    lubricant: str = ""
    lubricate_where: str = ""
    clean: str = ""
    checks: tuple[Check, ...] = ()
    view: Alternatives = ()
    profile: Mapping[str, str] = field(default_factory=dict)
    spring: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Where parts meet and are held: what opening it disturbs and how it is closed."""

    id: str
    words: str
    kind: str
    fastener: str = ""
    count: int = 1
    seals: tuple[str, ...] = ()
    chambers: tuple[str, ...] = ()
    torque: Amount | None = None
    thread: str = ""
    grade: str = ""
    torque_low: Amount | None = None
    torque_high: Amount | None = None
    turns: str = ""
    no_torque: str = ""
    lubricated: str = ""
    pattern: str = ""
    cover: str = ""
    passes: tuple[int, ...] = (100,)
    tool: str = ""
    retorque: bool = False
    holds_pressure: bool = False
    limits: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Energy:
    """
    One store of energy and the hold that must be done before it may be disturbed.

    `hold` is ``prove-zero`` (a chamber), ``screw-out`` (a spring let down by its screw),
    ``long-studs`` (a spring still loaded with its screw out) or ``lower`` (a raised weight).
    """

    id: str
    kind: str
    words: str
    hold: str
    chamber: str = ""
    part: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """An orientation read before the strip and restored when `part` goes back."""

    id: str
    words: str
    kind: str
    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """A thing done only in the rebuild: after parts are fitted, before others or a joint."""

    id: str
    words: str
    after_fit: tuple[str, ...]
    before_fit: tuple[str, ...] = ()
    before_joint: str = ""
    tool: str = ""
    seconds: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class RebuildArc:
    """`first` is back (and its joint closed) before `then` is fitted."""

    first: str
    then: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """One thing done in the strip, and undone in the rebuild."""

    id: str
    kind: OperationKind
    words: str
    parts: tuple[str, ...]
    needs: Alternatives
    gives: frozenset[str]
    takes: frozenset[str]
    opens: tuple[str, ...] = ()
    energies: tuple[str, ...] = ()
    withdraws: tuple[str, ...] = ()
    exposes: tuple[str, ...] = ()
    seconds_off: int = 0
    seconds_on: int = 0
    setup: Setup = Setup()
    in_line: bool = True
    clearance: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """A tool the family names."""

    id: str
    words: str
    size: str = ""
    kind: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lubricant:
    """A lubricant, sealant or thread compound, with the services it is named for."""

    id: str
    words: str
    base: str
    services: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """A named set of goals."""

    id: str
    words: str
    inspect: tuple[str, ...] = ()
    reach: tuple[str, ...] = ()
    renew: tuple[str, ...] = ()
    renew_kinds: tuple[str, ...] = ()
    everything: bool = False
    exchange: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Structure:
    """One family with its options chosen: exactly the parts, joints and operations inside."""

    family: str
    name: str
    words: str
    edition: str
    family_digest: str
    action: str
    options: Mapping[str, str]
    option_words: Mapping[str, str]
    value_words: Mapping[str, str]
    unusual: tuple[str, ...]
    defaulted: tuple[str, ...]
    services: tuple[str, ...]
    side_up: str
    parts: Mapping[str, Part]
    joints: Mapping[str, Joint]
    operations: Mapping[str, Operation]
    energies: Mapping[str, Energy]
    marks: tuple[Mark, ...] = ()
    acts: tuple[Act, ...] = ()
    arcs: tuple[RebuildArc, ...] = ()
    tools: Mapping[str, Tool] = field(default_factory=dict)
    lubricants: Mapping[str, Lubricant] = field(default_factory=dict)
    chambers: Mapping[str, str] = field(default_factory=dict)
    scopes: Mapping[str, Scope] = field(default_factory=dict)
    on_loss: Mapping[str, str] = field(default_factory=dict)
    axes: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    set_range: str = ""
    sheets: Mapping[str, str] = field(default_factory=dict)
    regulator: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """The owner's costs, in whole seconds. [s]"""

    tool_change: int
    turn_over: int
    lift: int
    joint: Mapping[str, int]
    renewal: Mapping[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """One thing a job must reach."""

    kind: GoalKind
    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """
    What a plan is asked for.

    `removed` names parts that are off and by themselves already, or lumps that are off and
    whole; `done` names operations in the order they were done and replaces `removed` when the
    history is known. `gas` is the service gas.
    """

    goals: tuple[Goal, ...]
    place: str
    gas: str
    scope: str = ""
    policy: Policy = Policy.LEAST
    removed: tuple[str, ...] = ()
    done: tuple[str, ...] = ()
    found: tuple[str, ...] = ()


class Phase(StrEnum):
    """Where a step stands in the job, in this order."""

    READY = "ready"
    AS_FOUND = "as-found"
    MAKE_SAFE = "make-safe"
    STRIP = "strip"
    INSPECT = "inspect"
    REBUILD = "rebuild"
    LOAD = "load"
    PROVE = "prove"
    CLOSE = "close"


class StepKind(StrEnum):
    """What a step does; its id begins with this word."""

    MARK = "mark"
    READ = "read"
    HOLD = "hold"
    STRIP = "strip"
    SPLIT = "split"
    PROTECT = "protect"
    INSPECT = "inspect"
    LOOK = "look"
    WIPE = "wipe"
    CLEAN = "clean"
    LUBRICATE = "lubricate"
    RENEW = "renew"
    FIT = "fit"
    JOIN = "join"
    ACT = "act"
    CHECK = "check"
    RESTORE = "restore"
    TORQUE = "torque"
    TIGHTEN = "tighten"
    RETORQUE = "retorque"
    RAGS = "rags"
    LEAK = "leak"
    PROVE = "prove"
    CLOSE = "close"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """
    One step of a plan: facts only, no sentence.

    The id is made from what the step does and is equal in every plan of that build, so that
    ticks and readings survive a re-plan. `share` is the per cent of the torque in this pass
    (0 for the closing round at full torque in circular order).
    """

    id: str
    kind: StepKind
    phase: Phase
    operation: str = ""
    parts: tuple[str, ...] = ()
    new: tuple[str, ...] = ()
    joint: str = ""
    check: str = ""
    energy: str = ""
    act: str = ""
    mark: str = ""
    lubricant: str = ""
    tool: str = ""
    side: str = ""
    place: str = ""
    count: int = 1
    torque: Amount | None = None
    share: int = 0
    reading: str = ""
    number: int = 0
    seconds: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class KitLine:
    """One line of the kit: what, how many, why, and whether only a finding needs it."""

    id: str
    group: str
    words: str
    count: int = 1
    size: str = ""
    why: str = ""
    on_finding: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """
    A proven plan.

    `order` holds the strip's operations in order, `rebuild` those put back (order of fitting).
    `cost` is the objective of the plan's mathematics, `bound` the proved lower bound. [s]
    """

    question: Question
    order: tuple[str, ...]
    rebuild: tuple[str, ...]
    already: tuple[str, ...]
    already_joints: tuple[str, ...]
    steps: tuple[Step, ...]
    cost: int
    bound: int
    optimal: bool
    parts_off: tuple[str, ...]
    renewed: tuple[str, ...]
    joints_opened: tuple[str, ...]
    seals_disturbed: tuple[str, ...]
    kit: tuple[KitLine, ...]
    seconds_strip: int
    seconds_rebuild: int
    seconds_whole: int
