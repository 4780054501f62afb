"""
A plain builder of plans for the tests: it follows `docs/walk/plan.md` line by line.

It is given an order of strip operations and makes the steps around it. It proves nothing: its
bound is the cost it is told. It shares nothing with the planner or the checker.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from properties.brute_force import (
    can_do,
    change_cost,
    joint_cost,
    sequence_cost,
    setup_for,
    sight,
    start_state,
    true_of,
)
from springcase.assembly.model import (
    Act,
    Check,
    GoalKind,
    Joint,
    KitLine,
    Operation,
    OperationKind,
    Part,
    PartKind,
    Phase,
    Plan,
    Policy,
    Question,
    RenewRule,
    Step,
    StepKind,
    Structure,
    Weights,
    loose,
    off,
)

Moment = tuple[Step, set[str], set[str], str]


@dataclass(slots=True)
class Work:
    """What the builder knows: the question, the operations done, what they disturb."""

    structure: Structure
    question: Question
    order: tuple[str, ...]
    already: tuple[str, ...]
    brings: dict[str, str] = field(default_factory=dict)
    seats: dict[str, str] = field(default_factory=dict)
    facts: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        for operation in self.done():
            for fact in sorted(operation.gives - self.facts, reverse=True):
                kind, _, part = fact.partition(":")
                if kind == "off":
                    self.seats[part] = operation.id
                    self.brings.setdefault(part, operation.id)
                else:
                    self.brings[part] = operation.id
            self.facts |= operation.gives

    def done(self) -> list[Operation]:
        """Return the operations done, in order."""
        return [self.structure.operations[name] for name in (*self.already, *self.order)]

    def gone(self, part: str) -> bool:
        """Return whether a part has left the body."""
        return off(part) in self.facts

    def apart(self, part: str) -> bool:
        """Return whether a part is by itself."""
        return loose(part) in self.facts

    def joints(self) -> list[Joint]:
        """Return the joints opened, in the order opened."""
        names = dict.fromkeys(j for operation in self.done() for j in operation.opens)
        return [self.structure.joints[name] for name in names]

    def openers(self, joint: str) -> set[str]:
        """Return the operations done that open a joint."""
        return {operation.id for operation in self.done() if joint in operation.opens}

    def seals(self) -> set[str]:
        """Return the seals of the joints opened."""
        return {seal for joint in self.joints() for seal in joint.seals}

    def withdrawn(self) -> set[str]:
        """Return the seals something was drawn through."""
        return {seal for operation in self.done() for seal in operation.withdraws}

    def exposed(self) -> set[str]:
        """Return the dynamic seals laid bare."""
        return {seal for operation in self.done() for seal in operation.exposes}

    def disturbed(self) -> set[str]:
        """Return everything disturbed."""
        gone = {part for part in self.structure.parts if self.gone(part)}
        return gone | self.seals() | self.withdrawn() | self.exposed()

    def renewed(self) -> set[str]:
        """Return the parts to renew."""
        asked = {g.part for g in self.question.goals if g.kind is GoalKind.RENEW}
        at_hand = self.seals() | self.withdrawn()
        open_chambers = {chamber for joint in self.joints() for chamber in joint.chambers}
        for part in self.structure.parts.values():
            always = part.renew is RenewRule.ALWAYS and part.id in self.disturbed()
            if always and (self.apart(part.id) or part.id in at_hand):
                asked.add(part.id)
            soft = part.kind is PartKind.SOFT and part.chamber in open_chambers
            policy = self.question.policy
            if self.apart(part.id) and (
                (policy is Policy.WHILE_OPEN and soft) or (policy is Policy.FULL_KIT and part.kit)
            ):
                asked.add(part.id)
        return asked


def build_plan(
    structure: Structure,
    weights: Weights,
    question: Question,
    order: Iterable[str],
    *,
    already: Iterable[str] | None = None,
    bound: int | None = None,
) -> Plan:
    """Return the plan that strips in this order; `bound` defaults to its cost."""
    start = question.done if already is None else tuple(already)
    work = Work(structure=structure, question=question, order=tuple(order), already=start)
    rebuild = rebuild_order(work)
    steps = (*_ready(work), *_strip(work), *_inspect(work), *_rebuild(work, rebuild), *_end(work))
    cost = sequence_cost(structure, weights, work.order, start, question.place)
    bound = cost if bound is None else bound
    opened = tuple(joint.id for joint in work.joints())
    stripped = [structure.operations[name] for name in work.order]
    return Plan(
        question=question,
        order=work.order,
        rebuild=rebuild,
        already=start,
        already_joints=tuple(
            dict.fromkeys(j for name in start for j in structure.operations[name].opens)
        ),
        steps=steps,
        cost=cost,
        bound=bound,
        optimal=bound == cost,
        parts_off=tuple(p for o in stripped for p in o.parts if p in o.takes),
        renewed=tuple(sorted(work.renewed())),
        joints_opened=opened,
        seals_disturbed=tuple(sorted(work.seals() | work.withdrawn() | work.exposed())),
        kit=tuple(_kit(work, steps)),
        **_times(work, weights, rebuild, steps),
    )


def _times(
    work: Work, weights: Weights, rebuild: tuple[str, ...], steps: tuple[Step, ...]
) -> dict[str, int]:
    structure, place = work.structure, work.question.place

    def changes(names: tuple[str, ...]) -> int:
        setups = [setup_for(structure, structure.operations[name], place) for name in names]
        return sum(change_cost(weights, one, other) for one, other in pairwise(setups))

    def own(*phases: Phase) -> int:
        return sum(step.seconds for step in steps if step.phase in phases)

    start = start_state(structure, work.already, place)
    first = [structure.operations[name] for name in work.order[:1]]
    leaving = sum(change_cost(weights, start[2], setup_for(structure, o, place)) for o in first)
    fresh = [joint.id for joint in work.joints() if joint.id not in start[1]]
    strip = changes(work.order) + leaving
    refit = changes(rebuild) + sum(joint_cost(structure, weights, name) for name in fresh)
    return {
        "seconds_strip": own(Phase.STRIP) + strip,
        "seconds_rebuild": own(Phase.REBUILD) + refit,
        "seconds_whole": own(*Phase) + strip + refit,
    }


def rebuild_order(work: Work) -> tuple[str, ...]:
    """Return an order of fitting that keeps the access and the rebuild's own orders."""
    first_off: dict[str, set[str]] = {}
    operations = work.structure.operations
    for arc in work.structure.arcs:
        if work.gone(arc.first) and work.gone(arc.then):
            first, then = work.seats[arc.first], work.seats[arc.then]
            if first == then:
                first, then = work.brings[arc.first], work.brings[arc.then]
            closed = set(operations[first].opens) - set(operations[then].opens)
            for name in {first, *(o for joint in closed for o in work.openers(joint))} - {then}:
                first_off.setdefault(name, set()).add(then)
    for _, after, before, _ in moments(work):
        for name in after:
            first_off.setdefault(name, set()).update(before - {name})
    left = [operation.id for operation in work.done()]
    facts: frozenset[str] = frozenset()
    strip: list[str] = []
    while left:
        ready = [
            name
            for name in left
            if can_do(work.structure, operations[name], facts, "bench")
            and first_off.get(name, set()) <= set(strip)
        ]
        if not ready:
            raise AssertionError(f"no rebuild: {left} wait on {first_off}")
        strip.append(ready[0])
        left.remove(ready[0])
        facts |= operations[ready[0]].gives
    return tuple(reversed(strip))


def _step(kind: StepKind, phase: Phase, name: str, **facts: object) -> Step:
    return Step(id=f"{kind}:{name}", kind=kind, phase=phase, **facts)  # type: ignore[arg-type]


def _ready(work: Work) -> Iterator[Step]:
    structure = work.structure
    taken = {p for name in work.order for p in structure.operations[name].takes}
    for mark in structure.marks:
        if mark.part in taken:
            yield _step(StepKind.MARK, Phase.READY, mark.id, mark=mark.id, reading="clock")
    if any(e.hold == "screw-out" for e in structure.energies.values() if _held(work, e.id)):
        for name in ("screw-height", "screw-turns"):
            yield _step(StepKind.READ, Phase.READY, name, reading="mm")
    reducing = structure.action == "reducing"
    for name in ("inlet", *(("set", "lock-up") if reducing else ("crack", "reseat")), "time"):
        yield _step(StepKind.READ, Phase.AS_FOUND, f"as-found-{name}", reading="mbar")
    for energy in structure.energies.values():
        if energy.kind == "chamber":
            yield _step(StepKind.HOLD, Phase.MAKE_SAFE, energy.id, energy=energy.id)


def _held(work: Work, energy: str) -> bool:
    marked = any(energy in work.structure.operations[name].energies for name in work.order)
    return marked or work.structure.energies[energy].kind == "chamber"


def _strip(work: Work) -> Iterator[Step]:
    structure = work.structure
    held = {e.id for e in structure.energies.values() if e.kind == "chamber"}

    def presses(name: str) -> bool:
        return any(structure.joints[j].holds_pressure for j in structure.operations[name].opens)

    protect = _step(StepKind.PROTECT, Phase.STRIP, "open-ends", reading="count")
    protected = any(presses(name) for name in work.already)
    if protected:
        yield protect
    for name in work.order:
        operation = structure.operations[name]
        for energy in operation.energies:
            if energy not in held:
                held.add(energy)
                yield _step(StepKind.HOLD, Phase.STRIP, energy, energy=energy)
        split = operation.kind is OperationKind.SPLIT
        only = structure.parts[operation.parts[0]] if len(operation.parts) == 1 else None
        yield _step(
            StepKind.SPLIT if split else StepKind.STRIP,
            Phase.STRIP,
            name,
            operation=name,
            parts=operation.parts,
            tool=operation.setup.tool,
            side=operation.setup.side or structure.side_up,
            place="bench" if split else work.question.place,
            count=only.count if only else 1,
            seconds=operation.seconds_off,
        )
        if presses(name) and not protected:
            protected = True
            yield protect


def _inspect(work: Work) -> Iterator[Step]:
    structure = work.structure
    goals = {g.part for g in work.question.goals if g.kind is GoalKind.INSPECT}
    for part in structure.parts.values():
        disturbed, whole = part.id in work.disturbed(), part.id in goals
        due = list(_due_checks(work, part))
        for check in due:
            name = f"{part.id}/{check.id}"
            if disturbed or whole or name in goals:
                yield _step(
                    StepKind.INSPECT,
                    Phase.INSPECT,
                    name,
                    check=check.id,
                    parts=(part.id,),
                    reading=check.reading,
                    seconds=check.seconds,
                )
        if not due and (whole or (disturbed and part.kind is PartKind.SOFT)):
            yield _step(StepKind.INSPECT, Phase.INSPECT, part.id, parts=(part.id,))
    for part in structure.parts.values():
        if part.look:
            yield _step(StepKind.LOOK, Phase.INSPECT, part.id, parts=(part.id,))
    for name in sorted(work.exposed() - work.renewed()):
        lubricant = structure.parts[name].lubricant
        yield _step(StepKind.WIPE, Phase.INSPECT, name, parts=(name,), lubricant=lubricant)


def _due_checks(work: Work, part: Part) -> Iterator[Check]:
    for check in part.checks:
        ways = check.needs or sight(work.structure, part.id)
        if not check.after_fit and any(true_of(work.structure, w, work.facts) for w in ways):
            yield check


def moments(work: Work) -> list[Moment]:
    """Return each act and rebuild check that is due: its step, what it follows and precedes."""
    structure = work.structure
    found: list[Moment] = []
    for act in structure.acts:
        step = _step(StepKind.ACT, Phase.REBUILD, act.id, act=act.id, seconds=act.seconds)
        found.extend(_moment(work, act, step))
    for part in structure.parts.values():
        for check in part.checks:
            if check.after_fit:
                name = f"{part.id}/{check.id}"
                step = _step(
                    StepKind.CHECK,
                    Phase.REBUILD,
                    name,
                    check=check.id,
                    parts=(part.id,),
                    reading=check.reading,
                    seconds=check.seconds,
                )
                found.extend(_moment(work, check, step))
    return found


def _moment(work: Work, item: Act | Check, step: Step) -> Iterator[Moment]:
    after = {part for part in item.after_fit if work.gone(part)}
    before = {part for part in item.before_fit if work.gone(part)}
    operations = work.structure.operations.values()
    openers = work.openers(item.before_joint) or {
        o.id for o in operations if item.before_joint in o.opens
    }
    if item.before_joint and openers:
        kinds = {work.structure.operations[name].kind for name in openers}
        bench = kinds == {OperationKind.SPLIT}
    else:
        bench = bool(before) and len({work.seats[p] for p in after | before}) == 1
    back = work.brings if bench else work.seats
    if bench:
        after = {part for part in after if work.apart(part)}
        before = {part for part in before if work.apart(part)}
    if after:
        yield step, {back[p] for p in after}, {back[p] for p in before}, item.before_joint


def _rebuild(work: Work, order: tuple[str, ...]) -> Iterator[Step]:
    structure = work.structure
    fitted: list[str] = []
    cleaned: set[str] = set()
    closed: set[str] = set()
    in_place = {p for p in work.renewed() if not work.apart(p)}
    left = set(in_place)
    waiting = moments(work)
    for name in order:
        operation = structure.operations[name]
        for part in sorted(left):
            laid_bare = {j.id for j in work.joints() if part in j.seals}
            if laid_bare & set(operation.opens) or part in operation.withdraws:
                left.discard(part)
                yield from _clean(sorted(laid_bare), cleaned)
                yield from _lubricate(work, [part])
                yield _step(StepKind.RENEW, Phase.REBUILD, part, parts=(part,), new=(part,))
        yield from _clean(operation.opens, cleaned)
        brought = [part for part, by in work.brings.items() if by == name]
        yield from _lubricate(work, [part for part in brought if part not in in_place])
        split = operation.kind is OperationKind.SPLIT
        yield _step(
            StepKind.JOIN if split else StepKind.FIT,
            Phase.REBUILD,
            name,
            operation=name,
            parts=operation.parts,
            new=tuple(p for p in brought if p in work.renewed() and work.apart(p)),
            seconds=operation.seconds_on,
        )
        fitted.append(name)
        for mark in structure.marks:
            if work.seats.get(mark.part) == name:
                yield _step(StepKind.RESTORE, Phase.REBUILD, mark.id, mark=mark.id)
        for moment in [m for m in waiting if m[1] <= set(fitted)]:
            waiting.remove(moment)
            yield moment[0]
        for joint in work.joints():
            held = any(moment[3] == joint.id for moment in waiting)
            if joint.id not in closed and not held and work.openers(joint.id) <= set(fitted):
                closed.add(joint.id)
                yield from close(joint)
    for joint in work.joints():
        if joint.retorque and joint.torque:
            named = joint.fastener or joint.id
            yield _step(
                StepKind.RETORQUE, Phase.REBUILD, named, joint=joint.id, torque=joint.torque
            )
    yield _step(StepKind.RAGS, Phase.REBUILD, "out", reading="count")


def _clean(joints: Iterable[str], cleaned: set[str]) -> Iterator[Step]:
    for joint in joints:
        if joint not in cleaned:
            cleaned.add(joint)
            yield _step(StepKind.CLEAN, Phase.REBUILD, joint, joint=joint)


def _lubricate(work: Work, parts: Iterable[str]) -> Iterator[Step]:
    for part in parts:
        lubricant = work.structure.parts[part].lubricant
        if lubricant:
            yield _step(StepKind.LUBRICATE, Phase.REBUILD, part, parts=(part,), lubricant=lubricant)


def close(joint: Joint) -> Iterator[Step]:
    """Yield the steps that close a joint."""
    named = joint.fastener or joint.id
    if joint.torque is None:
        yield _step(StepKind.TIGHTEN, Phase.REBUILD, named, joint=joint.id)
        return
    passes = [(f"pass-{number}", share) for number, share in enumerate(joint.passes, 1)]
    if joint.pattern:
        passes.append(("round", 0))
    for ending, share in passes:
        yield _step(
            StepKind.TORQUE,
            Phase.REBUILD,
            f"{named}:{ending}",
            joint=joint.id,
            torque=joint.torque,
            share=share,
            count=joint.count,
            tool=joint.tool,
        )


def _end(work: Work) -> Iterator[Step]:
    yield _step(StepKind.LEAK, Phase.LOAD, "low", reading="tick")
    for number, joint in enumerate(work.joints(), start=1):
        yield _step(StepKind.LEAK, Phase.LOAD, joint.id, joint=joint.id, number=number)
    reducing = work.structure.action == "reducing"
    proofs = ("set-point", "lock-up", "droop") if reducing else ("crack", "build-up", "reseat")
    for name in (*proofs, "vent"):
        yield _step(StepKind.PROVE, Phase.PROVE, name, reading="mbar")
    for name in ("left-over", "rags", "locks", "seal", "signed"):
        yield _step(StepKind.CLOSE, Phase.CLOSE, name, reading="tick")


def _kit(work: Work, steps: Iterable[Step]) -> Iterator[KitLine]:
    structure = work.structure
    used_up = {PartKind.CONSUMABLE, PartKind.SEALANT, PartKind.LOCKING}
    for name in sorted(work.disturbed()):
        part = structure.parts[name]
        if name in work.renewed() or part.kind in used_up:
            yield KitLine(id=name, group="parts", words=part.words, count=part.count)
        elif part.renew is RenewRule.FINDING:
            yield KitLine(
                id=name, group="parts", words=part.words, count=part.count, on_finding=True
            )
    tools = {joint.tool for joint in work.joints()}
    tools |= {operation.setup.tool for operation in work.done()}
    lubricants = {joint.lubricated for joint in work.joints()}
    acts = {act.id: act.tool for act in structure.acts}
    for step in steps:
        tools |= {step.tool, acts.get(step.act, "")}
        lubricants.add(step.lubricant)
        if step.check:
            checks = structure.parts[step.parts[0]].checks
            tools |= {check.tool for check in checks if check.id == step.check}
    for tool in sorted(tools - {""}):
        yield KitLine(id=tool, group="tools", words=structure.tools[tool].words)
    for lubricant in sorted(lubricants - {""}):
        yield KitLine(id=lubricant, group="lubricants", words=lubricant)
