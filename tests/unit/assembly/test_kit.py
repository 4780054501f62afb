"""What to take along: everything the steps use, each line once, merged for a day."""

from __future__ import annotations

import pytest

from springcase.assembly.kit import group_lines, merge_kits
from springcase.assembly.model import KitLine, PartKind, Plan, Policy, StepKind
from springcase.scenario import FAMILIES
from unit.assembly.test_policies import BUILDS, plan

SHARED = {"lubricants", "tools", "consumables", "gauges", "papers"}


def lines(made: Plan) -> dict[str, KitLine]:
    """Return a plan's lines by id."""
    found = {line.id: line for line in made.kit}

    assert len(found) == len(made.kit)
    return found


@pytest.mark.parametrize("name", FAMILIES)
@pytest.mark.parametrize("scope", ["change-spring", "soft-parts", "overhaul"])
def test_a_kit_holds_what_the_steps_use(name: str, scope: str) -> None:
    """Every tool, lubricant and renewed part of the steps has its line, under its kit."""
    structure, made = BUILDS[name], plan(name, scope)
    kit = lines(made)
    tools = {step.tool for step in made.steps if step.tool}
    lubricants = {step.lubricant for step in made.steps if step.lubricant}

    assert tools == {id for id, line in kit.items() if line.group == "tools" and ":" not in id}
    assert lubricants == {id for id, line in kit.items() if line.group == "lubricants"}
    assert set(made.renewed) <= set(kit)
    for id in made.renewed:
        part = structure.parts[id]
        assert (part.kit or "loose", part.count, False) == (
            kit[id].group, kit[id].count, kit[id].on_finding
        )  # fmt: skip


@pytest.mark.parametrize("name", FAMILIES)
def test_what_is_used_up_is_taken_and_spares_are_marked(name: str) -> None:
    """Disturbed locking parts, sealant and consumables are firm lines; spares are on finding."""
    structure, made = BUILDS[name], plan(name, "overhaul")
    kit = lines(made)
    used_up = (PartKind.LOCKING, PartKind.SEALANT, PartKind.CONSUMABLE)
    spares = [line for line in kit.values() if line.on_finding]

    assert spares
    for part in made.parts_off:
        if structure.parts[part].kind in used_up:
            assert not kit[part].on_finding
    assert {line.why for line in spares} <= {"on-finding", "age"}
    assert not {line.id for line in spares} & set(made.renewed)


@pytest.mark.parametrize("name", FAMILIES)
def test_o_rings_have_their_dash_number_and_tools_their_size(name: str) -> None:
    """An O-ring is taken by its dash number, a tool by its size, a wrench by its range."""
    structure, made = BUILDS[name], plan(name, "overhaul", Policy.FULL_KIT)
    kit = lines(made)
    torques = [step.torque.value for step in made.steps if step.torque is not None]

    for id in made.renewed:
        if structure.parts[id].o_ring:
            assert kit[id].size.startswith(f"AS568-{structure.parts[id].o_ring}")
    for id, tool in structure.tools.items():
        if id in kit:
            assert tool.size == kit[id].size
    assert f"{min(torques):g} to {max(torques):g} N.m" == kit["tool:torque-wrench"].size
    assert {"gauge:inlet", "gauge:outlet", "paper:permit", "consumable:rags"} <= set(kit)


def test_an_exchange_takes_one_unit_and_not_its_parts() -> None:
    """The new unit is one line; none of the parts it brings is packed by itself."""
    structure, kit = BUILDS["elm"], lines(plan("elm", "exchange"))
    lump = structure.operations[structure.scopes["exchange"].exchange]

    assert "exchange" == kit[f"unit:{lump.id}"].why
    assert set() == set(lump.parts) & {id for id, line in kit.items() if not line.on_finding}


def test_a_days_list_adds_parts_and_takes_tools_once() -> None:
    """Two like jobs need twice the parts and the same tools; two unlike ones need both."""
    spring = plan("alder", "change-spring").kit
    other = plan("birch", "change-spring").kit
    single, double = merge_kits([spring]), merge_kits([spring, spring])
    counts = {(line.group, line.words, line.size, line.on_finding): line.count for line in single}

    assert len(single) == len(double)
    for line in double:
        once = counts[line.group, line.words, line.size, line.on_finding]
        assert (once if line.group in SHARED else 2 * once) == line.count
    assert {line.words for line in merge_kits([spring, other])} == {
        line.words for line in (*spring, *other)
    }


def test_a_spare_is_not_added_to_a_part_that_is_fitted() -> None:
    """A part one job renews and another may need stands on two lines, the spare marked."""
    firm = KitLine(id="disc", group="soft-kit", words="disc", size="14 mm", why="asked")
    spare = KitLine(id="disc", group="soft-kit", words="disc", size="14 mm", on_finding=True)

    assert [(1, False), (1, True)] == [
        (line.count, line.on_finding) for line in merge_kits([(firm,), (spare,)])
    ]


def test_kits_come_first_and_shared_things_last() -> None:
    """A list shows the kits, then loose parts, then what is taken once."""
    groups = list(group_lines(merge_kits([plan("dogwood", "soft-parts").kit])))
    shared = [group for group in groups if group in SHARED]

    assert groups[-len(shared) :] == shared
    assert groups.index("loose") == len(groups) - len(shared) - 1


def test_no_step_uses_a_tool_the_family_does_not_name() -> None:
    """Every tool of every step of every family is one of the family's tools."""
    for name, structure in BUILDS.items():
        used = {step.tool for step in plan(name, "overhaul").steps} - {""}

        assert used <= set(structure.tools)
        assert StepKind.TORQUE in {step.kind for step in plan(name, "overhaul").steps}
