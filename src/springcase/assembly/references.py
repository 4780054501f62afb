"""
Names and quantities of a family file: every one must lead somewhere and be readable.

Found here, before any build is expanded: an unknown part, joint, tool, lubricant, energy, option
or axis, a quantity without unit, an id used twice. All problems of a file in one run.
"""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterator

from springcase.assembly.family import (
    Family,
    JointTable,
    JointVariant,
    OffTable,
    PartTable,
    SplitTable,
    When,
)
from springcase.assembly.model import PartKind
from springcase.assembly.part_details import find_detail_problems
from springcase.errors import SpringcaseError
from springcase.formats import Problem
from springcase.units import parse_quantity, parse_range

REQUIRED_SCOPES = ("change-spring", "soft-parts", "seat", "overhaul")
MATERIALS = (
    *("aluminium", "brass", "steel", "stainless", "cast-iron", "zinc", "copper", "plastic"),
    *("nbr", "fkm", "epdm", "cr", "pur", "ptfe", "nbr-fabric", "fkm-fabric"),
    *("fibre", "paper", "graphite", "paste"),
)
LOW = "low"
"""The leak test at low pressure has this name (`leak:low`), so no joint may have it."""
LOSSES = ("supply", "loading", "sensing", "diaphragm")
LOSS_ANSWERS = ("opens", "shuts", "holds")


def find_reference_problems(family: Family) -> list[Problem]:
    """Return every name that leads nowhere and every quantity that cannot be read."""
    return [*_Names(family).problems(), *find_detail_problems(family)]


class _Names:
    def __init__(self, family: Family) -> None:
        self.family = family
        self.chambers = family.family.chambers

    def named(self, path: str, id: str, value: str, known: Collection[str]) -> Iterator[Problem]:
        """Yield a problem if a name is not among the known ones."""
        if value not in known:
            near = difflib.get_close_matches(value[:60], list(known), n=1)
            yield Problem(
                code="name-unknown",
                path=path,
                id=id,
                value=value,
                right=near or sorted(known)[:8],
                facts={"near": near[0] if near else ""},
            )

    def all_named(
        self, path: str, id: str, values: Collection[str], known: Collection[str]
    ) -> Iterator[Problem]:
        for value in values:
            yield from self.named(path, id, value, known)

    def readable(self, path: str, id: str, text: str, kind: str) -> Iterator[Problem]:
        if not text:
            return
        try:
            if kind == "torque-range":
                parse_range(text, "torque", field=path)
            else:
                parse_quantity(text, kind, field=path)
        except SpringcaseError as error:
            yield Problem(
                code=error.code, path=path, id=id, value=text, right=error.right, facts=error.facts
            )

    def condition(self, path: str, id: str, when: When) -> Iterator[Problem]:
        for option, values in when.items():
            yield from self.named(f"{path}.when", id, option, self.family.option)
            if option in self.family.option:
                known = self.family.option[option].values
                yield from self.all_named(f"{path}.when.{option}", id, values, known)

    def problems(self) -> Iterator[Problem]:
        family = self.family
        for id, option in family.option.items():
            yield from self.named(f"option.{id}.default", id, option.default, option.values)
        for place, combination in enumerate(family.combination):
            yield from self.condition(f"combination[{place}]", "combination", combination.never)
        for id, part in family.part.items():
            yield from self.part(id, part)
        for id, lump in family.lump.items():
            path = f"lump.{id}"
            if id.startswith("bench-"):
                yield Problem(code="id-reserved", path=path, id=id, value=id, right="bench-")
            if id in family.part:
                yield Problem(code="id-twice", path=path, id=id, value=id, right="an id of its own")
            yield from self.all_named(f"{path}.parts", id, lump.parts, family.part)
            if len(set(lump.parts)) != len(lump.parts):
                yield Problem(code="listed-twice", path=f"{path}.parts", id=id, value=lump.parts)
            yield from self.access(path, id, lump)
        for id, joint in family.joint.items():
            yield from self.joint(id, joint)
        yield from self.rest()

    def access(self, path: str, id: str, table: OffTable | SplitTable) -> Iterator[Problem]:
        family = self.family
        for each in table.after:
            yield from self.all_named(f"{path}.after", id, each, family.part)
            if id in each:
                yield Problem(code="needs-itself", path=f"{path}.after", id=id, value=id)
        if isinstance(table, OffTable):
            yield from self.readable(f"{path}.clearance", id, table.clearance, "length")
        if table.tool:
            yield from self.named(f"{path}.tool", id, table.tool, family.tool)
        yield from self.all_named(f"{path}.opens", id, table.opens, family.joint)
        yield from self.all_named(f"{path}.energy", id, table.energy, family.energy)
        yield from self.all_named(f"{path}.withdraws", id, table.withdraws, family.part)
        yield from self.all_named(f"{path}.exposes", id, table.exposes, family.part)
        if isinstance(table, SplitTable):
            yield from self.all_named(f"{path}.leaves", id, table.leaves, family.part)
        yield from self.condition(path, id, table.when)

    def part(self, id: str, part: PartTable) -> Iterator[Problem]:
        family, path = self.family, f"part.{id}"
        yield from self.condition(path, id, part.when)
        if id.startswith("bench-"):
            yield Problem(code="id-reserved", path=path, id=id, value=id, right="bench-")
        materials = [part.material, *(each.material for each in part.variant)]
        named = [name for name in materials if isinstance(name, str) and name]
        yield from self.all_named(f"{path}.material", id, named, MATERIALS)
        if part.chamber:
            yield from self.named(f"{path}.chamber", id, part.chamber, self.chambers)
        if part.sheet:
            yield from self.named(f"{path}.sheet", id, part.sheet, family.family.sheets)
        lubricants = [part.lubricant]
        for variant in part.variant:
            yield from self.condition(f"{path}.variant", id, variant.when)
            if isinstance(variant.lubricant, str):
                lubricants.append(variant.lubricant)
            if isinstance(variant.weight, str):
                yield from self.readable(f"{path}.variant.weight", id, variant.weight, "mass")
        yield from self.all_named(
            f"{path}.lubricant", id, [name for name in lubricants if name], family.lubricant
        )
        yield from self.readable(f"{path}.weight", id, part.weight, "mass")
        for each in part.view:
            yield from self.all_named(f"{path}.view", id, each, family.part)
        if "axis" in part.profile:
            yield from self.named(f"{path}.profile.axis", id, part.profile["axis"], family.axis)
        if part.off is not None:
            yield from self.access(f"{path}.off", id, part.off)
        if part.split is not None:
            yield from self.access(f"{path}.split", id, part.split)
        for name, check in part.check.items():
            below = f"{path}.check.{name}"
            for each in check.after:
                yield from self.all_named(f"{below}.after", id, each, family.part)
            yield from self.all_named(f"{below}.after_fit", id, check.after_fit, family.part)
            yield from self.all_named(f"{below}.before_fit", id, check.before_fit, family.part)
            if check.before_joint:
                yield from self.named(f"{below}.before_joint", id, check.before_joint, family.joint)
            if check.tool:
                yield from self.named(f"{below}.tool", id, check.tool, family.tool)
            if (check.before_fit or check.before_joint) and not check.after_fit:
                yield Problem(code="check-without-after-fit", path=below, id=id, value=name)
            yield from self.condition(below, id, check.when)

    def joint(self, id: str, joint: JointTable) -> Iterator[Problem]:
        family, path = self.family, f"joint.{id}"
        if id == LOW:
            yield Problem(code="id-reserved", path=path, id=id, value=id, right=LOW)
        yield from self.condition(path, id, joint.when)
        if joint.fastener:
            yield from self.named(f"{path}.fastener", id, joint.fastener, family.part)
            others = [
                other
                for other, table in family.joint.items()
                if other < id and table.fastener == joint.fastener
            ]
            if others:
                yield Problem(
                    code="fastener-shared",
                    path=f"{path}.fastener",
                    id=id,
                    value=joint.fastener,
                    right=others,
                )
        elif id in family.part and id in {table.fastener for table in family.joint.values()}:
            yield Problem(code="id-twice", path=path, id=id, value=id, right="an id of its own")
        yield from self.all_named(f"{path}.seals", id, joint.seals, family.part)
        yield from self.all_named(f"{path}.chambers", id, joint.chambers, self.chambers)
        if joint.tool:
            yield from self.named(f"{path}.tool", id, joint.tool, family.tool)
        tables: list[JointTable | JointVariant] = [joint, *joint.variant]
        for table in tables:
            if isinstance(table.torque, str):
                yield from self.readable(f"{path}.torque", id, table.torque, "torque")
            if isinstance(table.range, str):
                yield from self.readable(f"{path}.range", id, table.range, "torque-range")
            if isinstance(table.lubricated, str) and table.lubricated:
                yield from self.named(f"{path}.lubricated", id, table.lubricated, family.lubricant)
        for variant in joint.variant:
            yield from self.condition(f"{path}.variant", id, variant.when)

    def rest(self) -> Iterator[Problem]:
        family = self.family
        for id, energy in family.energy.items():
            path = f"energy.{id}"
            yield from self.condition(path, id, energy.when)
            if energy.kind == "chamber":
                yield from self.named(f"{path}.chamber", id, energy.chamber, self.chambers)
            else:
                yield from self.named(f"{path}.part", id, energy.part, family.part)
        for id, mark in family.mark.items():
            yield from self.named(f"mark.{id}.part", id, mark.part, family.part)
            yield from self.condition(f"mark.{id}", id, mark.when)
        for id, act in family.act.items():
            path = f"act.{id}"
            yield from self.all_named(f"{path}.after_fit", id, act.after_fit, family.part)
            yield from self.all_named(f"{path}.before_fit", id, act.before_fit, family.part)
            if act.before_joint:
                yield from self.named(f"{path}.before_joint", id, act.before_joint, family.joint)
            if act.tool:
                yield from self.named(f"{path}.tool", id, act.tool, family.tool)
            yield from self.condition(path, id, act.when)
        for place, arc in enumerate(family.rebuild):
            path = f"rebuild[{place}]"
            yield from self.named(f"{path}.first", arc.first, arc.first, family.part)
            yield from self.named(f"{path}.then", arc.then, arc.then, family.part)
            yield from self.condition(path, arc.first, arc.when)
        kinds = [kind.value for kind in PartKind]
        for id, scope in family.scope.items():
            path = f"scope.{id}"
            named = [name.split("/")[0] for name in scope.inspect]
            yield from self.all_named(f"{path}.inspect", id, named, family.part)
            yield from self.all_named(f"{path}.reach", id, scope.reach, family.part)
            yield from self.all_named(f"{path}.renew", id, scope.renew, family.part)
            yield from self.all_named(f"{path}.renew_kinds", id, scope.renew_kinds, kinds)
            if scope.exchange:
                yield from self.named(f"{path}.exchange", id, scope.exchange, family.lump)
        for needed in REQUIRED_SCOPES:
            if needed not in family.scope:
                yield Problem(code="scope-missing", path=f"scope.{needed}", id=needed, right=needed)
        for loss, answer in family.family.on_loss.items():
            yield from self.named("family.on_loss", loss, loss, LOSSES)
            yield from self.named(f"family.on_loss.{loss}", loss, answer, LOSS_ANSWERS)
        for id, axis in family.axis.items():
            if axis.branch_of:
                yield from self.named(f"axis.{id}.branch_of", id, axis.branch_of, family.axis)
            if axis.at_part:
                yield from self.named(f"axis.{id}.at_part", id, axis.at_part, family.part)
