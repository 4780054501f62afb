"""From a family and its chosen options to exactly the parts, joints and operations inside."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, TypeVar

import msgspec

from springcase.assembly.family import (
    After,
    CheckTable,
    Family,
    JointTable,
    OffTable,
    PartTable,
    SplitTable,
    When,
)
from springcase.assembly.model import (
    Act,
    Alternatives,
    Amount,
    Check,
    Energy,
    Joint,
    Lubricant,
    Mark,
    Operation,
    OperationKind,
    Part,
    PartKind,
    RebuildArc,
    RenewRule,
    Scope,
    Setup,
    Structure,
    Tool,
    loose,
    off,
)
from springcase.assembly.regulator_table import regulator_of_build
from springcase.errors import BadInput, UnknownName
from springcase.units import parse_quantity, parse_range

Table = TypeVar("Table", PartTable, JointTable)
BENCH = "bench"


def holds(when: When, options: Mapping[str, str]) -> bool:
    """Return whether a condition holds: all keys, any listed value."""
    return all(options[option] in values for option, values in when.items())


def choose_options(family: Family, chosen: Mapping[str, str]) -> dict[str, str]:
    """
    Return every option's value: as chosen, else its default.

    Raises
    ------
    UnknownName
        If an option or a value is not the family's.
    BadInput
        If the combination is one that is never built.
    """
    name = family.family.id
    for option, value in chosen.items():
        if option not in family.option:
            raise UnknownName(
                "option-unknown",
                field="--set",
                value=option,
                right=sorted(family.option),
                family=name,
            )
        if value not in family.option[option].values:
            raise UnknownName(
                "option-value-unknown",
                field=option,
                value=value,
                right=sorted(family.option[option].values),
                family=name,
            )
    options = {option: chosen.get(option, table.default) for option, table in family.option.items()}
    for combination in family.combination:
        if holds(combination.never, options):
            pairs = ", ".join(f"{option}={options[option]}" for option in combination.never)
            raise BadInput(
                "combination-impossible", field="--set", value=pairs, right=combination.why
            )
    return options


def build_structure(
    family: Family, chosen: Mapping[str, str] | None = None, *, digest: str = ""
) -> Structure:
    """
    Return the structure of one build.

    Raises
    ------
    UnknownName, BadInput
        As `choose_options`, and if a quantity of the family cannot be read.
    """
    given = dict(chosen or {})
    options = choose_options(family, given)
    return _Expansion(family, options).structure(given, digest)


class _Expansion:
    """One family with its options chosen, being expanded."""

    def __init__(self, family: Family, options: Mapping[str, str]) -> None:
        self.family = family
        self.options = options
        self.tables = {
            id: _vary(table, options)
            for id, table in sorted(family.part.items())
            if holds(table.when, options)
        }
        self.bare_hands = {id for id, tool in family.tool.items() if tool.kind == "hand"} | {""}
        self.joint_tables = {
            id: _vary(table, options)
            for id, table in sorted(family.joint.items())
            if holds(table.when, options)
        }
        self.stores = self.energies()

    def has(self, part: str) -> bool:
        return part in self.tables

    def present(self, parts: Collection[str]) -> tuple[str, ...]:
        return tuple(part for part in parts if part in self.tables)

    def alternatives(self, after: After, fact: Any = off) -> Alternatives:
        """Return access lists as sets of facts; an absent part counts as off and loose."""
        sets = {frozenset(fact(part) for part in self.present(each)) for each in after or [[]]}
        return tuple(sorted(sets, key=sorted))

    def operations(self) -> dict[str, Operation]:
        made: dict[str, Operation] = {}
        for id, table in self.tables.items():
            if table.off is not None and holds(table.off.when, self.options):
                made[id] = self._take(id, OperationKind.PART, table.words, (id,), table.off)
            if table.split is not None and holds(table.split.when, self.options):
                made[f"bench-{id}"] = self._split(id, table.words, table.split)
        for id, lump in sorted(self.family.lump.items()):
            members = self.present(lump.parts)
            if members and holds(lump.when, self.options):
                made[id] = self._take(id, OperationKind.LUMP, lump.words, members, lump)
        return dict(sorted(made.items()))

    def _take(
        self, id: str, kind: OperationKind, words: str, parts: tuple[str, ...], table: OffTable
    ) -> Operation:
        gives = {off(part) for part in parts}
        if len(parts) == 1:
            gives.add(loose(parts[0]))
        needs = tuple(need - gives for need in self.alternatives(table.after))
        return self._operation(
            id=id,
            kind=kind,
            words=words,
            parts=parts,
            needs=needs,
            gives=frozenset(gives),
            takes=frozenset(parts),
            table=table,
            place="",
            in_line=table.in_line,
            clearance=table.clearance,
        )

    def _split(self, part: str, words: str, table: SplitTable) -> Operation:
        parts = (part, *self.present(table.leaves))
        needs = tuple(
            need | {off(member) for member in parts}
            for need in self.alternatives(table.after, loose)
        )
        gives = frozenset(loose(member) for member in parts)
        return self._operation(
            id=f"bench-{part}",
            kind=OperationKind.SPLIT,
            words=words,
            parts=parts,
            needs=needs,
            gives=gives,
            takes=frozenset(),
            table=table,
            place=BENCH,
            in_line=True,
            clearance="",
        )

    def _operation(
        self,
        *,
        id: str,
        kind: OperationKind,
        words: str,
        parts: tuple[str, ...],
        needs: Alternatives,
        gives: frozenset[str],
        takes: frozenset[str],
        table: OffTable | SplitTable,
        place: str,
        in_line: bool,
        clearance: str,
    ) -> Operation:
        return Operation(
            id=id,
            kind=kind,
            words=words,
            parts=parts,
            needs=needs,
            gives=gives,
            takes=takes,
            opens=tuple(joint for joint in table.opens if joint in self.joint_tables),
            energies=tuple(each for each in table.energy if each in self.stores),
            withdraws=self.present(table.withdraws),
            exposes=self.present(table.exposes),
            seconds_off=round(table.minutes_off * 60),
            seconds_on=round(table.minutes_on * 60),
            setup=Setup(
                tool="" if table.tool in self.bare_hands else table.tool,
                side=table.side or self.family.family.side_up,
                place=place,
            ),
            in_line=in_line,
            clearance=clearance,
        )

    def check(self, part: str, name: str, table: CheckTable) -> Check | None:
        after_fit = self.present(table.after_fit)
        absent = bool(table.after_fit) and not after_fit
        if absent or not holds(table.when, self.options):
            return None
        return Check(
            id=f"{part}/{name}",
            part=part,
            words=table.words,
            accept=table.accept,
            reject=table.reject,
            reading=table.reading,
            tool=table.tool,
            seconds=round(table.minutes * 60),
            needs=self.alternatives(table.after) if table.after else (),
            after_fit=after_fit,
            before_fit=self.present(table.before_fit),
            before_joint=table.before_joint if table.before_joint in self.joint_tables else "",
        )

    def part(self, id: str, table: PartTable, operations: Mapping[str, Operation]) -> Part:
        checks = [self.check(id, name, check) for name, check in table.check.items()]
        return Part(
            id=id,
            words=table.words,
            kind=PartKind(table.kind),
            material=table.material,
            count=table.count,
            size=table.size,
            o_ring=table.o_ring,
            chamber=table.chamber,
            renew=RenewRule(table.renew),
            life=table.life,
            kit=table.kit,
            sheet=table.sheet,
            fixed=table.fixed,
            look=table.look,
            dynamic=table.dynamic,
            mass=_amount(table.weight, "mass", f"part.{id}.weight"),
            lubricant=table.lubricant,
            lubricate_where=table.lubricate_where,
            clean=table.clean,
            checks=tuple(check for check in checks if check is not None),
            view=self.view(id, table, operations),
            profile=table.profile,
            spring=table.spring,
        )

    def view(self, id: str, table: PartTable, operations: Mapping[str, Operation]) -> Alternatives:
        """Return when a part can be seen: as told, else when nothing bars taking it off."""
        if table.view:
            return self.alternatives(table.view)
        own = [operations[name] for name in (id, f"bench-{id}") if name in operations]
        sets = {need for operation in own for need in operation.needs}
        if not own:
            sets.add(frozenset() if table.fixed else frozenset({off(id)}))
        sets.add(frozenset({loose(id)}))
        return tuple(sorted(sets, key=sorted))

    def joint(self, id: str, table: JointTable) -> Joint:
        fastener = table.fastener if self.has(table.fastener) else ""
        low = high = None
        if table.range:
            ends = parse_range(table.range, "torque", field=f"joint.{id}.range")
            low, high = (Amount(text=end.text, value=end.value) for end in ends)
        return Joint(
            id=id,
            words=table.words,
            kind=table.kind,
            fastener=fastener,
            count=self.tables[fastener].count if fastener else 1,
            seals=self.present(table.seals),
            chambers=tuple(table.chambers),
            torque=_amount(table.torque, "torque", f"joint.{id}.torque"),
            torque_low=low,
            torque_high=high,
            thread=table.thread,
            grade=table.grade,
            turns=table.turns,
            no_torque=table.no_torque,
            lubricated=table.lubricated,
            pattern=table.pattern,
            cover=table.cover,
            passes=tuple(table.passes) or (100,),
            tool="" if table.tool in self.bare_hands else table.tool,
            retorque=table.retorque,
            holds_pressure=table.holds_pressure,
            limits=table.limits,
        )

    def structure(self, given: Mapping[str, str], digest: str) -> Structure:
        family, options = self.family, self.options
        head = family.family
        operations = self.operations()
        return Structure(
            family=head.id,
            name=head.name,
            words=head.words,
            edition=head.edition,
            family_digest=digest,
            action=head.action,
            options=options,
            option_words={id: family.option[id].words for id in options},
            value_words={id: family.option[id].values[value] for id, value in options.items()},
            unusual=tuple(id for id in options if options[id] != family.option[id].default),
            defaulted=tuple(id for id in options if id not in given),
            services=tuple(head.services),
            side_up=head.side_up,
            parts={id: self.part(id, table, operations) for id, table in self.tables.items()},
            joints={id: self.joint(id, table) for id, table in self.joint_tables.items()},
            operations=operations,
            energies=self.stores,
            marks=self.marks(),
            acts=self.acts(),
            arcs=self.arcs(),
            tools={
                id: Tool(id=id, words=tool.words, size=tool.size, kind=tool.kind)
                for id, tool in family.tool.items()
            },
            lubricants={
                id: Lubricant(
                    id=id, words=each.words, base=each.base, services=tuple(each.services)
                )
                for id, each in family.lubricant.items()
            },
            chambers=head.chambers,
            scopes={id: self.scope(id) for id in family.scope},
            on_loss=head.on_loss,
            axes={
                id: {
                    "words": axis.words,
                    "branch_of": axis.branch_of,
                    "at_part": axis.at_part,
                    "direction": axis.direction,
                }
                for id, axis in family.axis.items()
            },
            set_range=head.set_range,
            sheets=head.sheets,
            regulator=regulator_of_build(family.regulator, options),
        )

    def energies(self) -> dict[str, Energy]:
        return {
            id: Energy(
                id=id,
                kind=table.kind,
                words=table.words,
                hold=table.hold,
                chamber=table.chamber,
                part=table.part,
                where=table.where,
            )
            for id, table in self.family.energy.items()
            if holds(table.when, self.options) and (not table.part or self.has(table.part))
        }

    def marks(self) -> tuple[Mark, ...]:
        return tuple(
            Mark(id=id, words=table.words, kind=table.kind, part=table.part)
            for id, table in self.family.mark.items()
            if holds(table.when, self.options) and self.has(table.part)
        )

    def acts(self) -> tuple[Act, ...]:
        return tuple(
            Act(
                id=id,
                words=table.words,
                after_fit=self.present(table.after_fit),
                before_fit=self.present(table.before_fit),
                before_joint=table.before_joint if table.before_joint in self.joint_tables else "",
                tool="" if table.tool in self.bare_hands else table.tool,
                seconds=round(table.minutes * 60),
            )
            for id, table in self.family.act.items()
            if holds(table.when, self.options) and self.present(table.after_fit)
        )

    def arcs(self) -> tuple[RebuildArc, ...]:
        return tuple(
            RebuildArc(first=table.first, then=table.then, why=table.why)
            for table in self.family.rebuild
            if holds(table.when, self.options) and self.has(table.first) and self.has(table.then)
        )

    def scope(self, id: str) -> Scope:
        table = self.family.scope[id]
        inspect = [name for name in table.inspect if self.has(name.split("/")[0])]
        return Scope(
            id=id,
            words=table.words,
            inspect=tuple(inspect),
            reach=self.present(table.reach),
            renew=self.present(table.renew),
            renew_kinds=tuple(table.renew_kinds),
            everything=table.everything,
            exchange=table.exchange,
        )


def _vary(table: Table, options: Mapping[str, str]) -> Table:
    """Return a table with the fields its variants set for these options."""
    changed: dict[str, Any] = {}
    for variant in table.variant:
        if holds(variant.when, options):
            for name in variant.__struct_fields__:
                value = getattr(variant, name)
                if name != "when" and value is not msgspec.UNSET:
                    changed[name] = value
    return msgspec.structs.replace(table, **changed) if changed else table


def _amount(text: str, kind: str, field: str) -> Amount | None:
    """Return a quantity of the file as amount, or None where it is left out."""
    return Amount(text=text, value=parse_quantity(text, kind, field=field).value) if text else None
