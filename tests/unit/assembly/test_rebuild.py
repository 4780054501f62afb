"""The order things go back: legal backwards, and the family's own order kept."""

from __future__ import annotations

from typing import Any

import pytest

from springcase.assembly.check import check_plan
from springcase.assembly.expand import build_structure
from springcase.assembly.model import Goal, GoalKind, Plan, Question, Structure
from springcase.assembly.planner import make_plan, scope_goals
from springcase.assembly.rebuild import find_circle_in_rebuild, order_rebuild
from springcase.errors import NoPlan
from springcase.scenario import FAMILIES
from unit.assembly.small_family import make_family
from unit.assembly.test_policies import BUILDS, COSTS, plan

OFF = {"minutes_off": 1, "minutes_on": 1}


def places(made: Plan) -> dict[str, int]:
    """Return where each step stands."""
    return {step.id: place for place, step in enumerate(made.steps)}


def small(changes: dict[str, Any]) -> Structure:
    """Return the small build with these changes."""
    return build_structure(make_family(changes))


def overhaul(structure: Structure) -> Plan:
    """Return the plan of an overhaul."""
    question = Question(
        goals=scope_goals(structure, "overhaul"),
        place="bench",
        gas="natural-gas",
        scope="overhaul",
    )
    return make_plan(structure, question, COSTS)


def test_slack_is_set_before_the_casing_is_torqued() -> None:
    """In Alder the diaphragm's slack is set with the screws in, before their first pass."""
    at = places(plan("alder", "soft-parts"))

    assert at["fit:casing-screws"] < at["act:slack"] < at["torque:casing-screws:pass-1"]


def test_the_orifice_is_torqued_before_the_lever_goes_in() -> None:
    """In Alder the lever bars the torque wrench, so the orifice is home before it is fitted."""
    made = plan("alder", "overhaul")
    at = places(made)
    torque = next(
        step.id for step in reversed(made.steps)
        if step.joint == "orifice-thread" and step.kind.value == "torque"
    )  # fmt: skip

    assert at["fit:orifice"] < at[torque] < at["fit:lever"]


@pytest.mark.parametrize("name", FAMILIES)
@pytest.mark.parametrize("scope", ["soft-parts", "overhaul"])
def test_a_familys_own_order_is_kept(name: str, scope: str) -> None:
    """Of each rebuild line the first part is back before the other where both were off."""
    structure, made = BUILDS[name], plan(name, scope)
    seat = {
        part: index
        for index, id in enumerate(made.rebuild)
        for part in structure.operations[id].takes
    }
    tried = [arc for arc in structure.arcs if arc.first in seat and arc.then in seat]

    assert tried or scope == "soft-parts"
    assert all(seat[arc.first] <= seat[arc.then] for arc in tried)


@pytest.mark.parametrize("name", FAMILIES)
def test_everything_goes_back_once_in_a_legal_order(name: str) -> None:
    """The rebuild undoes each operation once, and backwards it is a legal strip."""
    structure, made = BUILDS[name], plan(name, "overhaul")
    facts: frozenset[str] = frozenset()

    assert sorted(made.order) == sorted(made.rebuild)
    for id in reversed(made.rebuild):
        operation = structure.operations[id]
        assert any(need <= facts for need in operation.needs)
        facts |= operation.gives


def test_what_was_off_before_goes_back_too() -> None:
    """Parts that were off when the job began are part of the rebuild."""
    structure = BUILDS["birch"]
    first = plan("birch", "seat").order[0]
    question = Question(
        goals=(Goal(kind=GoalKind.REACH, part="orifice"),),
        place="bench",
        gas="natural-gas",
        done=(first,),
    )
    made = make_plan(structure, question, COSTS)

    assert first not in made.order
    assert first in made.rebuild
    assert f"fit:{first}" in places(made)


def test_nothing_done_is_nothing_to_rebuild() -> None:
    """Without an operation there is no rebuild."""
    assert () == order_rebuild(BUILDS["birch"], COSTS, (), "bench")


def test_a_joint_an_act_waits_for_is_closed_before_what_follows_it() -> None:
    """An act between a joint and its torque is done before a part that waits for the torque."""
    structure = small(
        {"act.slack": {"words": "press", "after_fit": ["cap"], "before_joint": "orifice-thread"},
         "part.cap.off.after": [], "part.disc.off.after": [["cap"]], "lump.set.after": [],
         "part.screws.off.after": [], "part.spring.off.after": []}
    )  # fmt: skip

    with pytest.raises(NoPlan, match=r"^\[rebuild-circle\] rebuild: 'small'"):
        overhaul(structure)
    assert find_circle_in_rebuild(structure, ("cap", "disc", "orifice"))


def test_a_split_that_leaves_what_another_split_gave_is_joined_in_time() -> None:
    """Where one split gives what another gave before, the rebuild still gives every fact once."""
    structure = small({"part.plate.split": OFF})
    question = Question(
        goals=(Goal(kind=GoalKind.RENEW, part="diaphragm"),),
        place="bench",
        gas="natural-gas",
        done=("cap", "spring", "screws", "set", "bench-plate"),
    )
    made = make_plan(structure, question, COSTS)

    assert () == check_plan(structure, COSTS, made)
    assert made.rebuild.index("bench-diaphragm") < made.rebuild.index("bench-plate")


def test_a_seal_renewed_in_place_comes_after_its_joint_is_cleaned() -> None:
    """A seal renewed where it sits waits for the clean of its joint, whichever fit is first."""
    structure = small(
        {
            "joint.casing.seals": ["gland"],
            "part.gland": {
                "words": "gland", "kind": "soft", "renew": "always",
                "off": {**OFF, "after": [["orifice"]]},
                "check": {"face": {"words": "face", "accept": "smooth", "reject": "cut"}},
            },
            "part.spring.off.withdraws": ["gland"],
            "part.screws.off.after": [],
            "part.spring.off.after": [["screws"]],
        }
    )  # fmt: skip
    question = Question(
        goals=(Goal(kind=GoalKind.REACH, part="spring"),), place="bench", gas="natural-gas"
    )
    made = make_plan(structure, question, COSTS)
    at = places(made)

    assert at["clean:casing"] < at["renew:gland"] < at["fit:spring"] < at["fit:screws"]
