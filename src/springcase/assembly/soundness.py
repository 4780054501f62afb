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

from springcase.assembly.access_soundness import access_of, find_access_problems
from springcase.assembly.expand import build_structure, holds
from springcase.assembly.family import Family, OffTable, SplitTable, When
from springcase.assembly.joint_soundness import find_figure_kept, find_joint_problems
from springcase.assembly.material_soundness import find_material_problems
from springcase.assembly.model import (
    PartKind,
    Structure,
    loose,
)
from springcase.assembly.profile import validate_profile
from springcase.assembly.regulator_table import find_regulator_problems
from springcase.errors import BadInput
from springcase.formats import Problem

MOST_BUILDS = 50_000


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
    proved: set[object] = set()
    for number, options in enumerate(kinds.values()):
        progress(number)
        structure, words = build_structure(family, options), describe_build(family, options)
        found = [*find_build_problems(structure, figures), *find_figure_kept(structure, oiled)]
        # Most options change no access, and what is proved of one build holds of the next.
        key = access_of(structure)
        if key not in proved:
            proved.add(key)
            found = [*find_access_problems(structure), *found]
        for problem in found:
            named = replace(problem, facts={**problem.facts, "build": words})
            problems.setdefault((problem.code, problem.path, problem.id), named)
    for problem in (*_idle_options(family, kind_of), *_never_used(family)):
        problems.setdefault((problem.code, problem.path, problem.id), problem)
    return Soundness(builds=builds, different=len(kinds), problems=tuple(problems.values()))


def find_build_problems(structure: Structure, figures: Figures) -> Iterator[Problem]:
    """Yield every problem of one build but those of its access."""
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
    yield from find_regulator_problems(structure)


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
