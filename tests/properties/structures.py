"""
Random builds that are sound by construction, and random questions about them.

A hidden legal strip of the whole build is drawn first; every access, joint, arc, act and check
is then added so that it cannot contradict it. `random_structure` needs only a seeded generator
(the benchmarks use it); the hypothesis strategies wrap it.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from hypothesis import strategies as st

from properties.brute_force import can_do
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
    Policy,
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

TOOLS = ("", "socket-10", "spanner-24", "driver-3")
SIDES = ("", "spring-case", "bottom")
CHAMBERS = ("inlet", "outlet", "sensing")
KINDS = ("metal", "flat-gasket", "clamped-soft", "stack-nut", "seat-thread", "taper-thread")


@dataclass(slots=True)
class _Draft:
    """A build being drawn: what there is so far, and which operation must precede which."""

    rng: random.Random
    parts: dict[str, Part] = field(default_factory=dict)
    operations: dict[str, Operation] = field(default_factory=dict)
    joints: dict[str, Joint] = field(default_factory=dict)
    energies: dict[str, Energy] = field(default_factory=dict)
    before: dict[str, set[str]] = field(default_factory=dict)

    def precedes(self, first: str, then: str) -> bool:
        """Return whether `first` may have to come off before `then`."""
        seen: set[str] = set()
        waiting = [then]
        while waiting:
            name = waiting.pop()
            if name == first:
                return True
            if name not in seen:
                seen.add(name)
                waiting.extend(self.before.get(name, ()))
        return False

    def demand(self, first: str, then: str) -> bool:
        """Ask that `first` comes off before `then`; refuse what would close a circle."""
        if first == then or self.precedes(then, first):
            return False
        self.before.setdefault(then, set()).add(first)
        return True


def random_structure(
    rng: random.Random,
    *,
    parts: int = 8,
    alternatives: float = 0.4,
    lumps: int = 1,
    joints: float = 0.4,
    rules: int = 3,
) -> Structure:
    """
    Return a random sound build.

    `parts` counts what can come off; `alternatives` and `joints` are the shares of operations
    with a second access and with a joint; `rules` is how many arcs, acts and rebuild checks are
    tried. Every fact can be reached, and every legal strip can be rebuilt.
    """
    draft = _Draft(rng=rng)
    names = [f"part-{number:03d}" for number in range(parts)]
    draft.parts["body"] = Part(id="body", words="body", kind=PartKind.HARD, fixed=True)
    for name in names:
        draft.parts[name] = _part(rng, name)
    _operations(draft, names, _groups(rng, names, lumps), alternatives)
    _remember_access(draft)
    _joints(draft, joints)
    _energies(draft)
    arcs, acts = _rules(draft, rules)
    return Structure(
        family="random",
        name="Random",
        words="a random build",
        edition="1",
        family_digest="",
        action=rng.choice(("reducing", "relief")),
        options={},
        option_words={},
        value_words={},
        unusual=(),
        defaulted=(),
        services=("natural-gas",),
        side_up="spring-case",
        parts=draft.parts,
        joints=draft.joints,
        operations=draft.operations,
        energies=draft.energies,
        marks=_marks(draft, names),
        acts=acts,
        arcs=arcs,
        tools={name: Tool(id=name, words=name) for name in (*TOOLS[1:], "pin-gauge")},
        lubricants={
            "grease": Lubricant(
                id="grease", words="grease", base="silicone", services=("natural-gas",)
            )
        },
        chambers={name: name for name in CHAMBERS},
        scopes={
            "soft-parts": Scope(id="soft-parts", words="soft parts", renew_kinds=("soft",)),
            "overhaul": Scope(id="overhaul", words="overhaul", everything=True),
        },
    )


def _part(rng: random.Random, name: str) -> Part:
    kind = rng.choice(tuple(PartKind))
    soft = kind is PartKind.SOFT
    checks = []
    if soft or rng.random() < 0.4:
        checks.append(
            Check(
                id="face",
                part=name,
                words="face",
                accept="smooth",
                reject="cut",
                reading=rng.choice(("", "mm")),
                tool=rng.choice(("", "pin-gauge")),
                seconds=rng.randrange(0, 120, 10),
            )
        )
    return Part(
        id=name,
        words=name,
        kind=kind,
        count=rng.choice((1, 1, 1, 8)),
        chamber=rng.choice(("", *CHAMBERS)),
        renew=RenewRule.ALWAYS if soft or rng.random() < 0.2 else RenewRule.FINDING,
        kit="soft-kit" if soft else "",
        look=rng.random() < 0.1,
        lubricant="grease" if rng.random() < 0.25 else "",
        checks=tuple(checks),
    )


def _groups(rng: random.Random, names: Sequence[str], lumps: int) -> list[list[str]]:
    """Draw neighbours in the hidden strip that come off as one lump, no part in two."""
    groups: list[list[str]] = []
    free = list(range(len(names) - 1))
    for _ in range(lumps):
        if not free:
            break
        first = rng.choice(free)
        size = rng.randint(2, 4)
        group = [i for i in range(first, min(first + size, len(names))) if i in free or i == first]
        if len(group) < 2 or group != list(range(group[0], group[-1] + 1)):
            continue
        groups.append([names[i] for i in group])
        free = [i for i in free if i not in group and i + 1 != group[0]]
    return groups


def _needs(
    draft: _Draft, earlier: Sequence[str], later: Sequence[str], share: float
) -> Alternatives:
    """Draw one access from what the hidden strip has off by then, and perhaps others."""
    rng = draft.rng
    first = frozenset(off(p) for p in rng.sample(earlier, min(len(earlier), rng.randint(0, 2))))
    ways = [first]
    if rng.random() < share:
        around = [*earlier, *later]
        ways.append(frozenset(off(p) for p in rng.sample(around, min(len(around), 2))))
    if rng.random() < share / 4 and earlier:
        ways.append(frozenset({loose(rng.choice(earlier))}))
    return tuple(dict.fromkeys(ways))


def _operations(
    draft: _Draft, names: Sequence[str], groups: list[list[str]], alternatives: float
) -> None:
    rng = draft.rng
    lump_of = {name: group for group in groups for name in group}
    for position, name in enumerate(names):
        group = lump_of.get(name, [])
        earlier = [other for other in names[:position] if other not in group]
        later = [other for other in names[position + 1 :] if other not in group]
        if group and name == group[0]:
            needs = _needs(draft, earlier, later, alternatives)
            _add(draft, OperationKind.LUMP, f"lump-{name}", tuple(group), needs)
        # The last part of a lump may be left by itself when the one before it comes loose.
        left = bool(group) and len(group) % 2 == 1
        if group and not (left and name == group[-1]):
            leaves = group[-1:] if left and name == group[-2] else []
            _add_split(draft, (name, *leaves), group)
        # A part of a lump may come off by itself too, so that there is a choice of lumps.
        if not group or (rng.random() < 0.3 and position):
            needs = _needs(draft, earlier, later, alternatives)
            _add(draft, OperationKind.PART, name, (name,), needs)


def _add_split(draft: _Draft, parts: tuple[str, ...], group: list[str]) -> None:
    """Add how a part comes loose from its lump, perhaps after others of the lump."""
    position = group.index(parts[0])
    inner = [loose(p) for p in group[:position] if draft.rng.random() < 0.5]
    way = frozenset([*(off(p) for p in group), *inner])
    _add(draft, OperationKind.SPLIT, f"split-{parts[0]}", parts, (way,))


def _add(
    draft: _Draft,
    kind: OperationKind,
    name: str,
    parts: tuple[str, ...],
    needs: Alternatives,
) -> None:
    rng = draft.rng
    split = kind is OperationKind.SPLIT
    gives = {loose(p) for p in parts} if split else {off(p) for p in parts}
    if kind is OperationKind.PART:
        gives |= {loose(p) for p in parts}
    draft.operations[name] = Operation(
        id=name,
        kind=kind,
        words=name,
        parts=parts,
        needs=needs,
        gives=frozenset(gives),
        takes=frozenset() if split else frozenset(parts),
        seconds_off=rng.randrange(0, 300, 15),
        seconds_on=rng.randrange(0, 300, 15),
        setup=Setup(tool=rng.choice(TOOLS), side="" if split else rng.choice(SIDES)),
        in_line=rng.random() < 0.9,
    )


def _remember_access(draft: _Draft) -> None:
    """Note that any operation that may give a fact may have to come before what needs it."""
    givers: dict[str, set[str]] = {}
    for operation in draft.operations.values():
        for fact in operation.gives:
            givers.setdefault(fact, set()).add(operation.id)
    for operation in draft.operations.values():
        facts = {fact for way in operation.needs for fact in way}
        before = {name for fact in facts for name in givers.get(fact, ())}
        draft.before[operation.id] = before - {operation.id}


def _joints(draft: _Draft, share: float) -> None:
    rng = draft.rng
    soft = [p.id for p in draft.parts.values() if p.kind is PartKind.SOFT]
    fasteners = [p.id for p in draft.parts.values() if p.kind is PartKind.FASTENER]
    on_bench: dict[str, bool] = {}
    for name, operation in list(draft.operations.items()):
        if rng.random() >= share:
            continue
        joint = _joint(rng, f"joint-{name}", soft, fasteners, draft.parts)
        draft.joints[joint.id] = joint
        opens = [joint.id]
        # A joint of the bench is closed before its lump goes back, so two lumps share none.
        shared = [j for j, bench in on_bench.items() if not bench]
        bench = operation.kind is OperationKind.SPLIT
        if shared and not bench and rng.random() < 0.2:
            opens.append(rng.choice(shared))
        on_bench[joint.id] = bench
        seal = rng.choice(soft) if soft else ""
        draft.operations[name] = replace(
            operation,
            opens=tuple(dict.fromkeys(opens)),
            withdraws=(seal,) if seal and rng.random() < 0.2 else (),
            exposes=(seal,) if seal and rng.random() < 0.2 else (),
        )


def _joint(
    rng: random.Random,
    name: str,
    soft: Sequence[str],
    fasteners: list[str],
    parts: dict[str, Part],
) -> Joint:
    kind = rng.choice(KINDS)
    fastener = fasteners.pop() if fasteners and rng.random() < 0.5 else ""
    count = parts[fastener].count if fastener else 1
    taper = kind == "taper-thread"
    return Joint(
        id=name,
        words=name,
        kind=kind,
        fastener=fastener,
        count=count,
        seals=tuple(rng.sample(soft, 1)) if soft and rng.random() < 0.6 else (),
        chambers=(rng.choice(CHAMBERS),),
        torque=None if taper else Amount(text="12 N.m", value=12.0),
        no_torque="taper thread" if taper else "",
        lubricated="grease" if rng.random() < 0.2 else "",
        pattern="cross" if count > 1 and not taper else "",
        passes=(30, 60, 100) if count > 1 else (100,),
        tool=rng.choice(TOOLS[1:]),
        retorque=kind == "clamped-soft",
        holds_pressure=rng.random() < 0.5,
    )


def _energies(draft: _Draft) -> None:
    rng = draft.rng
    for chamber in rng.sample(CHAMBERS, rng.randint(1, 2)):
        draft.energies[f"{chamber}-pressure"] = Energy(
            id=f"{chamber}-pressure",
            kind="chamber",
            words=chamber,
            hold="prove-zero",
            chamber=chamber,
        )
    draft.energies["spring-load"] = Energy(
        id="spring-load",
        kind="spring",
        words="spring",
        hold=rng.choice(("screw-out", "long-studs")),
    )
    for name, operation in list(draft.operations.items()):
        marked = tuple(e for e in draft.energies if rng.random() < 0.15)
        draft.operations[name] = replace(operation, energies=marked)


def _marks(draft: _Draft, names: Sequence[str]) -> tuple[Mark, ...]:
    chosen = [name for name in names if draft.rng.random() < 0.15]
    return tuple(Mark(id=f"mark-{n}", words=n, kind="clock", part=n) for n in chosen)


def _rules(draft: _Draft, tries: int) -> tuple[tuple[RebuildArc, ...], tuple[Act, ...]]:
    """Draw arcs, acts and rebuild checks, keeping those that close no circle."""
    rng = draft.rng
    arcs: list[RebuildArc] = []
    acts: list[Act] = []
    alone = [
        o.id
        for o in draft.operations.values()
        if o.kind is OperationKind.PART and _takers(draft, o.parts[0]) == [o.id]
    ]
    for number in range(tries):
        if len(alone) < 2:
            break
        first, then = rng.sample(alone, 2)
        kind = rng.choice(("arc", "act", "check", "act-joint"))
        opens = draft.operations[first].opens
        if kind == "arc":
            shared = set(draft.operations[then].opens)
            openers = [
                o.id for o in draft.operations.values() if set(o.opens) & set(opens) - shared
            ]
            # The joint of the first is closed before the other is fitted, so all that opens
            # it comes off after the other.
            if _demand_all(draft, then, {first, *openers}):
                arcs.append(RebuildArc(first=first, then=then, why="reach"))
        elif kind == "act-joint" and opens and not any(a.first == first for a in arcs):
            if not _used_by_arcs(draft, arcs, opens[0]):
                acts.append(
                    Act(
                        id=f"act-{number}",
                        words="act",
                        after_fit=(first,),
                        before_joint=opens[0],
                        seconds=30,
                    )
                )
        elif draft.demand(then, first):
            _act_or_check(draft, acts, number, kind, first, then)
    return tuple(arcs), tuple(acts)


def _act_or_check(
    draft: _Draft, acts: list[Act], number: int, kind: str, first: str, then: str
) -> None:
    if kind == "check":
        check = Check(
            id=f"stroke-{number}",
            part=first,
            words="stroke",
            accept="free",
            reject="binds",
            seconds=20,
            after_fit=(first,),
            before_fit=(then,),
        )
        part = draft.parts[first]
        draft.parts[first] = replace(part, checks=(*part.checks, check))
    else:
        acts.append(
            Act(
                id=f"act-{number}",
                words="act",
                after_fit=(first,),
                before_fit=(then,),
                tool="pin-gauge",
                seconds=40,
            )
        )


def _takers(draft: _Draft, part: str) -> list[str]:
    return [o.id for o in draft.operations.values() if part in o.takes]


def _used_by_arcs(draft: _Draft, arcs: Sequence[RebuildArc], joint: str) -> bool:
    firsts = (draft.operations[arc.first] for arc in arcs)
    return any(joint in operation.opens for operation in firsts)


def _demand_all(draft: _Draft, first: str, others: set[str]) -> bool:
    """Ask that `first` comes off before all others, or ask nothing where one is impossible."""
    if first in others or any(draft.precedes(other, first) for other in others):
        return False
    return all(draft.demand(first, other) for other in sorted(others))


def random_legal_prefix(
    rng: random.Random, structure: Structure, longest: int, place: str = "bench"
) -> tuple[str, ...]:
    """Return some operations in an order in which they can really be done."""
    facts: frozenset[str] = frozenset()
    done: list[str] = []
    for _ in range(longest):
        ready = [o for o in structure.operations.values() if can_do(structure, o, facts, place)]
        if not ready:
            break
        operation = rng.choice(ready)
        done.append(operation.id)
        facts |= operation.gives
    return tuple(done)


def random_goals(rng: random.Random, structure: Structure, most: int = 3) -> tuple[Goal, ...]:
    """Return one to `most` goals on parts that can come off."""
    loosened = {f for o in structure.operations.values() for f in o.gives}
    parts = [p for p in structure.parts if loose(p) in loosened]
    kinds = (GoalKind.INSPECT, GoalKind.REACH, GoalKind.RENEW)
    goals = [Goal(kind=rng.choice(kinds), part=rng.choice(parts)) for _ in range(most)]
    return tuple(dict.fromkeys(goals[: rng.randint(1, most)]))


def random_question(
    rng: random.Random, structure: Structure, *, already: int = 0, policy: bool = True
) -> Question:
    """Return a question with goals, perhaps operations done already, perhaps a policy."""
    place = rng.choice(("bench", "bench", "line"))
    prefix = random_legal_prefix(rng, structure, rng.randint(0, already), place)
    return Question(
        goals=random_goals(rng, structure),
        place=place,
        gas="natural-gas",
        policy=rng.choice(tuple(Policy)) if policy else Policy.LEAST,
        done=prefix,
    )


def random_weights(rng: random.Random) -> Weights:
    """Return random costs; the triangle inequality holds for any of them."""
    return Weights(
        tool_change=rng.randrange(0, 60, 5),
        turn_over=rng.randrange(0, 120, 10),
        lift=rng.randrange(0, 240, 20),
        joint={kind: rng.randrange(0, 300, 30) for kind in KINDS},
        renewal={kind: rng.randrange(0, 200, 20) for kind in PartKind},
    )


@st.composite
def structures(draw: st.DrawFn, smallest: int = 3, largest: int = 10) -> Structure:
    """Draw a random sound build of three to twelve parts."""
    rng = draw(st.randoms(use_true_random=False))
    return random_structure(
        rng,
        parts=draw(st.integers(smallest, largest)),
        alternatives=draw(st.sampled_from((0.0, 0.4, 0.9))),
        lumps=draw(st.integers(0, 2)),
        joints=draw(st.sampled_from((0.0, 0.4, 0.8))),
        rules=draw(st.integers(0, 5)),
    )


@st.composite
def questions(draw: st.DrawFn, structure: Structure, already: int = 0) -> Question:
    """Draw a question about a build."""
    rng = draw(st.randoms(use_true_random=False))
    return random_question(rng, structure, already=already)


def weights() -> st.SearchStrategy[Weights]:
    """Draw random costs."""
    return st.randoms(use_true_random=False).map(random_weights)
