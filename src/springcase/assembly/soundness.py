"""
Proof that a family is sound in every build its options allow.

Builds are enumerated, up to 50,000. Two builds in which the same conditions of the file hold are
the same build inside, so each different inside is proved once.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

import msgspec

from springcase.assembly.expand import build_structure, holds
from springcase.assembly.family import Family, OffTable, SplitTable, When
from springcase.assembly.joint_soundness import find_figure_kept, find_joint_problems
from springcase.assembly.material_soundness import find_material_problems
from springcase.assembly.model import (
    Goal,
    GoalKind,
    OperationKind,
    PartKind,
    Structure,
    Weights,
    loose,
    off,
)
from springcase.assembly.pose import explain_no_plan, pose
from springcase.assembly.profile import validate_profile
from springcase.assembly.rebuild import find_circle_in_rebuild
from springcase.assembly.solve import solve
from springcase.bolting.joint import KINDS
from springcase.errors import BadInput
from springcase.formats import Problem

MOST_BUILDS = 50_000
NO_COSTS = Weights(tool_change=0, turn_over=0, lift=0, joint=dict.fromkeys(KINDS, 0), renewal={})
"""Whether there is a plan at all does not depend on what it costs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """The owner's figures the proof stands on: share of proof load and nut factors. [-]"""

    proof_share: float
    dry_factor: float
    lubricated_factor: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Soundness:
    """What the proof found: the builds, how many differ inside, and every problem once."""

    builds: int
    different: int
    problems: tuple[Problem, ...]


def count_builds(family: Family) -> int:
    """Return the number of option choices of a family, impossible combinations included."""
    return math.prod(len(option.values) for option in family.option.values())


def every_build(family: Family) -> Iterator[dict[str, str]]:
    """Yield the options of every build that is not an impossible combination."""
    names = list(family.option)
    for values in itertools.product(*(family.option[name].values for name in names)):
        options = dict(zip(names, values, strict=True))
        if not any(holds(each.never, options) for each in family.combination):
            yield options


def prove_family(
    family: Family,
    figures: Figures,
    progress: Callable[[int], None] = lambda number: None,
) -> Soundness:
    """
    Return every problem of a family over every build, each once with the build it was found in.

    Raises
    ------
    BadInput
        If the options allow more than 50,000 builds.
    """
    total = count_builds(family)
    if total > MOST_BUILDS:
        raise BadInput("too-many-builds", field=family.family.id, value=total, right=MOST_BUILDS)
    conditions = _conditions(family)
    kinds: dict[tuple[bool, ...], dict[str, str]] = {}
    kind_of: dict[tuple[str, ...], tuple[bool, ...]] = {}
    builds = 0
    for options in every_build(family):
        builds += 1
        kind = tuple(holds(when, options) for when in conditions)
        kinds.setdefault(kind, options)
        kind_of[tuple(options.values())] = kind
    problems: dict[tuple[str, str, str], Problem] = {}
    if not kinds:
        none = Problem(code="no-build", path="combination", id=family.family.id)
        return Soundness(builds=0, different=0, problems=(none,))
    oiled: dict[tuple[str, float], bool] = {}
    for number, options in enumerate(kinds.values()):
        progress(number)
        structure, words = build_structure(family, options), describe_build(family, options)
        found = (*find_build_problems(structure, figures), *find_figure_kept(structure, oiled))
        for problem in found:
            named = replace(problem, facts={**problem.facts, "build": words})
            problems.setdefault((problem.code, problem.path, problem.id), named)
    for problem in (*_idle_options(family, kind_of), *_never_used(family)):
        problems.setdefault((problem.code, problem.path, problem.id), problem)
    return Soundness(builds=builds, different=len(kinds), problems=tuple(problems.values()))


def find_build_problems(structure: Structure, figures: Figures) -> Iterator[Problem]:
    """Yield every problem of one build."""
    facts = _reached(structure)
    yield from _unreachable(structure, facts)
    yield from _unseen(structure, facts)
    yield from _not_together(structure, facts)
    yield from _rebuild_circles(structure)
    yield from _without_criteria(structure)
    yield from _unheld(structure)
    yield from find_joint_problems(
        structure,
        proof_share=figures.proof_share,
        dry_factor=figures.dry_factor,
        lubricated_factor=figures.lubricated_factor,
    )
    yield from find_material_problems(structure)
    yield from _undrawable(structure)


def describe_build(family: Family, options: Mapping[str, str]) -> str:
    """Return what differs from the plain build, as typed on the command line."""
    unusual = [
        f"{id}={value}" for id, value in options.items() if value != family.option[id].default
    ]
    return " ".join(unusual) or "plain"


def _conditions(family: Family) -> list[When]:
    """Return every condition of the file, each once."""
    found: dict[str, When] = {}
    waiting: list[object] = [family]
    while waiting:
        value = waiting.pop()
        if isinstance(value, msgspec.Struct):
            when: When = getattr(value, "when", {})
            if when:
                found.setdefault(repr(sorted(when.items())), when)
            waiting.extend(getattr(value, name) for name in value.__struct_fields__)
        elif isinstance(value, dict):
            waiting.extend(value.values())
        elif isinstance(value, list):
            waiting.extend(value)
    return list(found.values())


def _idle_options(
    family: Family, kind_of: Mapping[tuple[str, ...], tuple[bool, ...]]
) -> Iterator[Problem]:
    """Yield the options that change nothing in any build."""
    names = list(family.option)
    for place, name in enumerate(names):
        seen: dict[tuple[str, ...], tuple[bool, ...]] = {}
        changes = False
        for values, kind in kind_of.items():
            rest = values[:place] + values[place + 1 :]
            changes = changes or seen.setdefault(rest, kind) != kind
        if not changes:
            yield Problem(
                code="option-idle", path=f"option.{name}", id=name, facts={"build": "every"}
            )


def _never_used(family: Family) -> Iterator[Problem]:
    """Yield joints nothing opens, springs nothing is marked with, names nothing uses."""
    takes = [part.off for part in family.part.values() if part.off is not None]
    splits = [part.split for part in family.part.values() if part.split is not None]
    operations: list[OffTable | SplitTable] = [*takes, *splits, *family.lump.values()]
    opened = {joint for each in operations for joint in each.opens}
    marked = {energy for each in operations for energy in each.energy}
    for id in family.joint:
        if id not in opened:
            yield Problem(
                code="joint-never-opened", path=f"joint.{id}", id=id, facts={"build": "every"}
            )
    for id, energy in family.energy.items():
        if energy.kind != "chamber" and id not in marked:
            yield Problem(
                code="energy-never-held", path=f"energy.{id}", id=id, facts={"build": "every"}
            )


def _reached(structure: Structure) -> frozenset[str]:
    """Return every fact that forward chaining from nothing reaches."""
    facts: frozenset[str] = frozenset()
    waiting = dict(structure.operations)
    progress = True
    while progress:
        progress = False
        for id, operation in list(waiting.items()):
            if any(need <= facts for need in operation.needs):
                facts |= operation.gives
                del waiting[id]
                progress = True
    return facts


def _unreachable(structure: Structure, facts: frozenset[str]) -> Iterator[Problem]:
    """Yield the parts that never come off, with one circle that bars them."""
    wanted = {off(id) for id, part in structure.parts.items() if not part.fixed}
    wanted |= {fact for operation in structure.operations.values() for fact in operation.gives}
    given = {fact for operation in structure.operations.values() for fact in operation.gives}
    for fact in sorted(wanted - facts):
        id = fact.split(":")[1]
        if fact not in given:
            yield Problem(code="never-comes-off", path=f"part.{id}", id=id)
        else:
            circle = explain_no_plan(structure, facts, [fact]).right
            yield Problem(code="access-circle", path=f"part.{id}", id=id, right=circle)
    for id, part in structure.parts.items():
        taken = any(id in operation.takes for operation in structure.operations.values())
        if part.fixed and taken:
            yield Problem(code="fixed-comes-off", path=f"part.{id}", id=id)


def _unseen(structure: Structure, facts: frozenset[str]) -> Iterator[Problem]:
    """Yield the views and the checks whose access never holds."""
    for id, part in structure.parts.items():
        # A part that never comes off is named already; how it is seen follows from that.
        ways = [(f"part.{id}.view", part.view)] if part.fixed or off(id) in facts else []
        for check in part.checks:
            if check.needs:
                ways.append((f"part.{id}.check.{check.id.partition('/')[2]}.after", check.needs))
        for path, needs in ways:
            if not any(need <= facts for need in needs):
                least = min(needs, key=lambda need: (len(need - facts), sorted(need)))
                never = sorted({fact.split(":")[1] for fact in least - facts})
                yield Problem(code="never-seen", path=path, id=id, right=never)


def _not_together(structure: Structure, reached: frozenset[str]) -> Iterator[Problem]:
    """Yield the parts that come apart one by one, but never all in one job."""
    wanted = {fact for fact in reached if fact == loose(fact.partition(":")[2])}
    left = wanted
    for prefer in (OperationKind.LUMP, OperationKind.PART):
        gives = [structure.operations[id].gives for id in _whole_strip(structure, prefer)]
        left = wanted.difference(*gives)
        if not left:
            return
    goals = [Goal(kind=GoalKind.SEPARATE, part=fact.partition(":")[2]) for fact in wanted]
    if solve(pose(structure, NO_COSTS, sorted(goals, key=_part_of), "bench").problem) is None:
        parts = sorted(fact.partition(":")[2] for fact in left)
        yield Problem(code="never-all-apart", path=f"part.{parts[0]}", id=parts[0], value=parts)


def _part_of(goal: Goal) -> str:
    return goal.part


def _rebuild_circles(structure: Structure) -> Iterator[Problem]:
    """Yield a circle of the rebuild, whether parts come off one by one or as lumps."""
    for prefer in (OperationKind.PART, OperationKind.LUMP):
        order = _whole_strip(structure, prefer)
        circle = find_circle_in_rebuild(structure, order)
        if circle:
            yield Problem(
                code="rebuild-circle",
                path="rebuild",
                id=circle[0],
                right=" waits for ".join(circle),
            )
            return


def _whole_strip(structure: Structure, prefer: OperationKind) -> tuple[str, ...]:
    """Return one legal strip of everything that prefers single parts, or lumps."""
    facts: frozenset[str] = frozenset()
    order: list[str] = []
    waiting = sorted(
        structure.operations.values(), key=lambda each: (each.kind is not prefer, each.id)
    )
    while True:
        waiting = [
            operation
            for operation in waiting
            if not operation.gives <= facts
            and not any(off(part) in facts for part in operation.takes)
        ]
        for operation in waiting:
            if any(need <= facts for need in operation.needs):
                facts |= operation.gives
                order.append(operation.id)
                break
        else:
            return tuple(order)


def _without_criteria(structure: Structure) -> Iterator[Problem]:
    for id, part in structure.parts.items():
        if part.kind is PartKind.SOFT and not part.checks:
            yield Problem(code="soft-without-check", path=f"part.{id}.check", id=id)
        separable = any(loose(id) in each.gives for each in structure.operations.values())
        if part.kind is PartKind.SOFT and part.renew.value == "never" and separable:
            yield Problem(code="soft-never-renewed", path=f"part.{id}.renew", id=id)


def _undrawable(structure: Structure) -> Iterator[Problem]:
    """Yield what keeps a part's profile from being drawn."""
    for part in structure.parts.values():
        for error in validate_profile(part, structure.axes):
            yield Problem(
                code=error.code,
                path=error.field,
                id=part.id,
                value=error.value,
                right=error.right,
                facts=error.facts,
            )


def _unheld(structure: Structure) -> Iterator[Problem]:
    """Yield the chambers whose pressure nobody proves zero."""
    held = {energy.chamber for energy in structure.energies.values() if energy.kind == "chamber"}
    for chamber in structure.chambers:
        used = any(part.chamber == chamber for part in structure.parts.values()) or any(
            chamber in joint.chambers for joint in structure.joints.values()
        )
        if used and chamber not in held:
            yield Problem(code="chamber-unheld", path=f"family.chambers.{chamber}", id=chamber)
