"""
A small unit with one of everything the checker looks at, and its correct plan.

Invented. The strip is written by hand; `STEP_LINES` says by hand which steps the plan must have,
line by line, so that the tests' plan builder is itself held to the contract.
"""

from __future__ import annotations

from properties.plan_builder import build_plan
from springcase.assembly.model import (
    Act,
    Alternatives,
    Amount,
    Check,
    Energy,
    Goal,
    GoalKind,
    Joint,
    Lubricant,
    Mark,
    Operation,
    OperationKind,
    Part,
    PartKind,
    Plan,
    Question,
    RebuildArc,
    RenewRule,
    Scope,
    Setup,
    Structure,
    Tool,
    Weights,
    loose,
    off,
)

LUMP = ("diaphragm", "plate", "tab-washer", "centre-nut")


def _part(name: str, kind: PartKind, **facts: object) -> Part:
    return Part(id=name, words=name, kind=kind, **facts)  # type: ignore[arg-type]


def _check(part: str, name: str, **facts: object) -> Check:
    return Check(
        id=name,
        part=part,
        words=name,
        accept="sound",
        reject="worn",
        **facts,  # type: ignore[arg-type]
    )


def _after(*parts: str) -> Alternatives:
    return (frozenset(off(part) for part in parts),)


def _off(name: str, *after: str, tool: str = "", side: str = "", **facts: object) -> Operation:
    return Operation(
        id=name,
        kind=OperationKind.PART,
        words=name,
        parts=(name,),
        needs=_after(*after),
        gives=frozenset({off(name), loose(name)}),
        takes=frozenset({name}),
        seconds_off=60,
        seconds_on=90,
        setup=Setup(tool=tool, side=side),
        **facts,  # type: ignore[arg-type]
    )


def _split(name: str, *after: str, leaves: tuple[str, ...] = (), **facts: object) -> Operation:
    return Operation(
        id=f"split-{name}",
        kind=OperationKind.SPLIT,
        words=name,
        parts=(name, *leaves),
        needs=(frozenset([*(off(p) for p in LUMP), *(loose(p) for p in after)]),),
        gives=frozenset(loose(p) for p in (name, *leaves)),
        takes=frozenset(),
        seconds_off=30,
        seconds_on=45,
        **facts,  # type: ignore[arg-type]
    )


PARTS = (
    _part("body", PartKind.HARD, fixed=True),
    _part("closing-cap", PartKind.HARD, chamber="spring-case"),
    _part("control-spring", PartKind.SPRING, checks=(_check("control-spring", "wire"),)),
    _part("casing-screws", PartKind.FASTENER, count=8),
    _part("spring-case", PartKind.HARD, chamber="spring-case"),
    _part(
        "diaphragm",
        PartKind.SOFT,
        chamber="sensing",
        renew=RenewRule.ALWAYS,
        kit="soft-kit",
        checks=(_check("diaphragm", "print", seconds=60),),
    ),
    _part("plate", PartKind.HARD, renew=RenewRule.FINDING),
    _part("tab-washer", PartKind.LOCKING, renew=RenewRule.ALWAYS, kit="soft-kit"),
    _part("centre-nut", PartKind.FASTENER),
    _part(
        "lever",
        PartKind.HARD,
        chamber="outlet",
        lubricant="pin-grease",
        checks=(
            _check(
                "lever",
                "height",
                reading="mm",
                tool="depth-gauge",
                seconds=90,
                after_fit=("lever",),
                before_fit=("diaphragm",),
            ),
        ),
    ),
    _part(
        "orifice",
        PartKind.HARD,
        chamber="inlet",
        renew=RenewRule.FINDING,
        lubricant="thread-paste",
        checks=(_check("orifice", "bore", reading="mm", tool="pin-gauge", seconds=120),),
    ),
    _part("orifice-gasket", PartKind.SOFT, renew=RenewRule.ALWAYS, kit="soft-kit"),
    _part("stem-o-ring", PartKind.SOFT, renew=RenewRule.ALWAYS, lubricant="pin-grease"),
    _part("guide-ring", PartKind.SOFT, dynamic=True, lubricant="pin-grease"),
    _part("sense-tube", PartKind.HARD, chamber="outlet", look=True),
    _part("bottom-plug", PartKind.HARD, chamber="inlet"),
    _part(
        "strainer",
        PartKind.HARD,
        chamber="inlet",
        checks=(_check("strainer", "mesh", needs=_after("bottom-plug")),),
    ),
)

JOINTS = (
    Joint(
        id="casing",
        words="casing joint",
        kind="clamped-soft",
        fastener="casing-screws",
        count=8,
        seals=("diaphragm",),
        chambers=("sensing", "spring-case"),
        torque=Amount(text="11 N.m", value=11.0),
        pattern="cross",
        passes=(30, 60, 100),
        tool="socket-10",
        retorque=True,
        holds_pressure=True,
    ),
    Joint(
        id="stack-nut",
        words="centre nut",
        kind="stack-nut",
        torque=Amount(text="9 N.m", value=9.0),
        tool="socket-17",
    ),
    Joint(
        id="orifice-thread",
        words="orifice thread",
        kind="seat-thread",
        seals=("orifice-gasket",),
        chambers=("inlet", "outlet"),
        torque=Amount(text="38 N.m", value=38.0),
        lubricated="thread-paste",
        tool="socket-19",
    ),
    Joint(
        id="sense-fitting",
        words="sense fitting",
        kind="tube-fitting",
        chambers=("outlet",),
        no_torque="tube fitting",
        tool="spanner-14",
        holds_pressure=True,
    ),
    Joint(
        id="bottom-joint",
        words="bottom plug",
        kind="straight-plug",
        chambers=("inlet",),
        torque=Amount(text="50 N.m", value=50.0),
        tool="spanner-27",
        holds_pressure=True,
    ),
)

OPERATIONS = (
    _off("closing-cap", tool="spanner-27"),
    _off("control-spring", "closing-cap", energies=("spring-load",)),
    _off("casing-screws", "control-spring", tool="socket-10", opens=("casing",)),
    _off("spring-case", "casing-screws", opens=("casing",)),
    Operation(
        id="diaphragm-set",
        kind=OperationKind.LUMP,
        words="diaphragm assembly",
        parts=LUMP,
        needs=_after("spring-case"),
        gives=frozenset(off(part) for part in LUMP),
        takes=frozenset(LUMP),
        seconds_off=60,
        seconds_on=120,
    ),
    _split(
        "centre-nut", leaves=("tab-washer",), opens=("stack-nut",), setup=Setup(tool="socket-17")
    ),
    _split("diaphragm", "centre-nut", leaves=("plate",)),
    _off("lever", "diaphragm", tool="driver-3", energies=("link-load",)),
    _off(
        "orifice",
        "lever",
        tool="socket-19",
        side="bottom",
        opens=("orifice-thread",),
        withdraws=("stem-o-ring",),
        exposes=("guide-ring",),
        in_line=False,
    ),
    _off("orifice-gasket", "orifice", tool="hook"),
    _off("sense-tube", tool="spanner-14", opens=("sense-fitting",)),
    _off("bottom-plug", tool="spanner-27", opens=("bottom-joint",)),
    _off("strainer", "bottom-plug"),
)

ENERGIES = (
    Energy(id="inlet-pressure", kind="chamber", words="inlet", hold="prove-zero", chamber="inlet"),
    Energy(id="outlet-pressure", kind="chamber", words="outlet", hold="prove-zero"),
    Energy(id="spring-load", kind="spring", words="spring", hold="screw-out"),
    Energy(id="link-load", kind="spring", words="link spring", hold="long-studs"),
)

TOOLS = (
    *("socket-10", "socket-17", "socket-19", "spanner-14", "spanner-27"),
    *("driver-3", "hook", "depth-gauge", "pin-gauge", "seat-lapper"),
)


def make_structure() -> Structure:
    """Return the small unit."""
    return Structure(
        family="small",
        name="Small",
        words="a small unit for the tests",
        edition="1",
        family_digest="",
        action="reducing",
        options={},
        option_words={},
        value_words={},
        unusual=(),
        defaulted=(),
        services=("natural-gas",),
        side_up="spring-case",
        parts={part.id: part for part in PARTS},
        joints={joint.id: joint for joint in JOINTS},
        operations={operation.id: operation for operation in OPERATIONS},
        energies={energy.id: energy for energy in ENERGIES},
        marks=(
            Mark(id="vent", words="vent", kind="clock", part="spring-case"),
            Mark(id="tube", words="sense tube", kind="facing", part="sense-tube"),
        ),
        acts=(
            Act(
                id="slack",
                words="set the slack",
                after_fit=("spring-case",),
                before_joint="casing",
                seconds=60,
            ),
            Act(
                id="flat",
                words="hold the diaphragm flat",
                after_fit=("diaphragm",),
                before_joint="stack-nut",
                seconds=15,
            ),
        ),
        arcs=(RebuildArc(first="orifice", then="lever", why="the lever bars the wrench"),),
        tools={name: Tool(id=name, words=name) for name in TOOLS},
        lubricants={
            name: Lubricant(id=name, words=name, base="silicone", services=("natural-gas",))
            for name in ("pin-grease", "thread-paste")
        },
        chambers={n: n for n in ("inlet", "outlet", "sensing", "spring-case")},
        scopes={
            "overhaul": Scope(id="overhaul", words="overhaul", everything=True),
            "exchange": Scope(id="exchange", words="exchange", exchange="diaphragm-set"),
        },
    )


def make_weights() -> Weights:
    """Return an owner's costs, each of another size, so that none hides behind another."""
    return Weights(
        tool_change=20,
        turn_over=45,
        lift=100,
        joint={"clamped-soft": 300, "stack-nut": 70, "seat-thread": 150, "tube-fitting": 35},
        renewal={"soft": 210, "locking": 11},
    )


def make_question(**facts: object) -> Question:
    """Return the question: a new diaphragm, a look at the orifice's bore, the tube off."""
    asked = {
        "goals": (
            Goal(kind=GoalKind.RENEW, part="diaphragm"),
            Goal(kind=GoalKind.INSPECT, part="orifice/bore"),
            Goal(kind=GoalKind.REACH, part="sense-tube"),
            Goal(kind=GoalKind.REACH, part="orifice"),
        ),
        "place": "bench",
        "gas": "natural-gas",
    }
    return Question(**(asked | facts))  # type: ignore[arg-type]


ORDER = (
    *("closing-cap", "control-spring", "casing-screws", "spring-case", "diaphragm-set"),
    *("split-centre-nut", "split-diaphragm", "sense-tube", "lever", "orifice"),
)


def make_plan(structure: Structure | None = None) -> Plan:
    """Return the correct plan of the small unit."""
    return build_plan(structure or make_structure(), make_weights(), make_question(), ORDER)


STEP_LINES = """
mark:vent mark:tube read:screw-height read:screw-turns
read:as-found-inlet read:as-found-set read:as-found-lock-up read:as-found-time
hold:inlet-pressure hold:outlet-pressure
strip:closing-cap hold:spring-load strip:control-spring strip:casing-screws protect:open-ends
strip:spring-case strip:diaphragm-set split:split-centre-nut split:split-diaphragm
strip:sense-tube hold:link-load strip:lever strip:orifice
inspect:control-spring/wire inspect:diaphragm/print inspect:orifice/bore inspect:orifice-gasket
inspect:stem-o-ring inspect:guide-ring look:sense-tube wipe:guide-ring
clean:orifice-thread renew:orifice-gasket lubricate:stem-o-ring renew:stem-o-ring
lubricate:orifice fit:orifice torque:orifice-thread:pass-1
lubricate:lever fit:lever check:lever/height
clean:sense-fitting fit:sense-tube restore:tube tighten:sense-fitting
join:split-diaphragm act:flat clean:stack-nut join:split-centre-nut torque:stack-nut:pass-1
fit:diaphragm-set
clean:casing fit:spring-case restore:vent act:slack fit:casing-screws
torque:casing-screws:pass-1 torque:casing-screws:pass-2 torque:casing-screws:pass-3
torque:casing-screws:round fit:control-spring fit:closing-cap
retorque:casing-screws rags:out
leak:low leak:casing leak:stack-nut leak:sense-fitting leak:orifice-thread
prove:set-point prove:lock-up prove:droop prove:vent
close:left-over close:rags close:locks close:seal close:signed
"""
"""The steps of the correct plan, written by hand from `docs/walk/plan.md`."""

COST_BY_HAND = (
    10 * 150  # ten operations at 60 + 90 seconds,
    - 2 * 75  # two of them splits at 30 + 45,
    + 30  # and the lump at 60 + 120;
    + (300 + 210)  # the casing joint and its diaphragm,
    + 70  # the stack nut,
    + (150 + 210)  # the orifice thread and its gasket,
    + 35  # the sense fitting;
    + 6 * 20  # spanner-27, socket-10, socket-17, spanner-14, driver-3, socket-19 taken in hand,
    + 45  # one turn, for the orifice; all of it on the bench.
)
"""The cost of the correct plan, added up by hand. [s]"""
