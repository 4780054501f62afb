"""What `docs/families.md` shows is true: family, fragments and tables; and Fir is sound."""

from __future__ import annotations

import re
import tomllib
from datetime import date
from functools import cache
from typing import Any, get_type_hints

import msgspec
import pytest

from house.tree import ROOT
from springcase.assembly import family as tables
from springcase.assembly.check import check_plan
from springcase.assembly.expand import build_structure
from springcase.assembly.family import Family
from springcase.assembly.family_file import examine_family
from springcase.assembly.model import GoalKind, Question, loose, off
from springcase.assembly.planner import make_plan, scope_goals
from springcase.assembly.profile import PLACE_KEYS, SHAPES
from springcase.assembly.references import MATERIALS, REQUIRED_SCOPES
from springcase.assembly.soundness import Figures, every_build, prove_family
from springcase.bolting.joint import KINDS_WITHOUT_TORQUE, judge_torque, read_limits, torque_ceiling
from springcase.cli.app import Surroundings, answer
from springcase.formats import Problem
from springcase.job.plan import weigh
from springcase.owner.read import read_owner
from springcase.standards.strength import grade
from springcase.standards.threads import thread
from springcase.units import parse_quantity, parse_range

PAGE = (ROOT / "docs" / "families.md").read_text(encoding="utf-8")
FIR = ROOT / "docs" / "examples" / "fir.toml"
OWNER = read_owner()
FIGURES = Figures(
    proof_share=OWNER.bolting.share_of_proof,
    dry_factor=OWNER.bolting.nut_factor_dry,
    lubricated_factor=OWNER.bolting.nut_factor_lubricated,
)
BLOCKS = re.findall(r"^```(\S+)([^\n]*)\n(.*?)^```$", PAGE, re.M | re.S)
COMPLETE = [text for kind, more, text in BLOCKS if (kind, more) == ("toml", " complete")]
FRAGMENTS = [text for kind, more, text in BLOCKS if (kind, more) == ("toml", "")]
# Modules whose problems `family check` reports.
CHECKING = (
    "assembly/references.py",
    "assembly/soundness.py",
    "assembly/joint_soundness.py",
    "assembly/material_soundness.py",
    "assembly/profile.py",
)


def prove(content: bytes) -> tuple[Family | None, list[Problem]]:
    """Return a family and everything wrong with it, as `family check` finds it."""
    family, problems = examine_family(content)
    if family is None or problems:
        return family, problems
    return family, list(prove_family(family, FIGURES).problems)


@cache
def fir() -> Family:
    """Return Fir."""
    family, problems = examine_family(FIR)
    assert family is not None and not problems
    return family


def unknown_keys(fragment: str) -> list[str]:
    """Return what keeps a fragment's tables from being tables of a family."""
    # A whole family has two parts or more; a fragment may show one.
    kinds = get_type_hints(Family) | {"part": dict[tables.Id, tables.PartTable]}
    found = []
    for name, value in tomllib.loads(fragment).items():
        if name not in kinds:
            found.append(name)
            continue
        try:
            msgspec.convert(value, kinds[name])
        except msgspec.ValidationError as error:
            found.append(f"{name}: {error}")
    return found


def shown_joints() -> list[tuple[str, dict[str, Any], dict[str, Any]]]:
    """Return every joint of the fragments with the fastener that stands beside it."""
    found = []
    for fragment in map(tomllib.loads, FRAGMENTS):
        for name, joint in fragment.get("joint", {}).items():
            found.append((name, joint, fragment.get("part", {}).get(joint.get("fastener"), {})))
    return found


def faults_of(joint: dict[str, Any], fastener: dict[str, Any]) -> list[str]:
    """Return what is wrong with the torque a shown joint states."""
    bolt = thread(joint["thread"])
    ceiling = torque_ceiling(
        thread=bolt,
        grade=grade(joint["grade"], bolt.diameter),
        count=fastener["count"],
        limits=read_limits(joint["limits"], field="limits"),
        nut_factor=FIGURES.dry_factor,
        proof_share=FIGURES.proof_share,
    )
    low, high = parse_range(joint["range"], "torque", field="range")
    faults = judge_torque(
        kind=joint["kind"],
        torque=parse_quantity(joint["torque"], "torque", field="torque").value,
        low=low.value,
        high=high.value,
        ceiling=ceiling,
        field="torque",
    )
    return [fault.code for fault in faults]


def test_the_smallest_family_is_sound() -> None:
    """The page shows one complete family, of six to eight parts, sound in every build."""
    [text] = COMPLETE
    family, problems = prove(text.encode())

    assert [] == problems
    assert family is not None
    assert 6 <= len(family.part) <= 8


@pytest.mark.parametrize("fragment", FRAGMENTS, ids=lambda text: text.split("\n")[0].split("#")[0])
def test_a_fragment_is_of_known_keys(fragment: str) -> None:
    """A fragment of the page is TOML, and its tables are tables of a family."""
    assert [] == unknown_keys(fragment)


@pytest.mark.parametrize("planted", ['[part.a]\nwords = "a"\nkind = "hard"\nx = 1', "[jiont.a]"])
def test_a_planted_key_is_found(planted: str) -> None:
    """A key or table no family has is found in a fragment."""
    assert [] != unknown_keys(planted)


def test_every_torque_shown_is_within_its_bounds() -> None:
    """A torque in an example keeps to its range, and the range to the bounds beside it."""
    torqued = [
        (name, faults_of(joint, fastener))
        for name, joint, fastener in shown_joints()
        if joint["kind"] not in KINDS_WITHOUT_TORQUE
    ]

    assert [("casing", [])] == torqued


def test_a_torque_over_its_bounds_is_found() -> None:
    """The shown casing joint at 10 to 12 N.m would break the diaphragm's clamp stress."""
    [joint, fastener] = next(each[1:] for each in shown_joints() if each[0] == "casing")
    heavy = joint | {"torque": "11 N.m", "range": "10 N.m to 12 N.m"}

    assert ["torque-above-ceiling"] == faults_of(heavy, fastener)


def test_every_key_is_on_the_page() -> None:
    """Every key of every table of a family file stands on the page."""
    structs = [
        each
        for each in vars(tables).values()
        if isinstance(each, type) and issubclass(each, msgspec.Struct)
    ]
    keys = {field for struct in structs for field in struct.__struct_fields__}
    shown = set(re.findall(r"\w+", PAGE))

    assert set() == keys - shown


def test_the_table_of_shapes_is_the_programs() -> None:
    """The page's table of shapes says what each shape needs and may have, and no more."""
    rows = re.findall(r"^\| (`[^|]*`) \| ([^|]*)\| ([^|]*)\| [^|]*\|$", PAGE, re.M)
    shown = {
        shape: (set(re.findall(r"\w+", needed)), set(re.findall(r"\w+", allowed)))
        for shapes, needed, allowed in rows
        for shape in re.findall(r"`([\w-]+)`", shapes)
        if shape in SHAPES
    }

    assert {name: (set(s.needed), set(s.allowed)) for name, s in SHAPES.items()} == shown
    assert all(key in PAGE for key in PLACE_KEYS)


def test_the_list_of_materials_is_the_programs() -> None:
    """The page lists every material a part may be of, and no other."""
    listed = re.search(r"^### Materials\n\n(.*?)\.\n", PAGE, re.M | re.S)

    assert listed is not None
    assert sorted(MATERIALS) == sorted(re.split(r",\s+", listed[1]))


def test_every_problem_is_on_the_page() -> None:
    """Every code the proof of a family can report stands in the page's table."""
    source = ROOT / "src" / "springcase"
    raised = {
        code
        for name in CHECKING
        for pair in re.findall(
            r'code="([a-z-]+)"|BadInput\(\s*"([a-z-]+)"',
            (source / name).read_text(encoding="utf-8"),
        )
        for code in pair
        if code
    }
    judged = re.findall(
        r'"(torque-[a-z-]+)"', (source / "bolting" / "joint.py").read_text(encoding="utf-8")
    )
    shown = set(re.findall(r"`([a-z]+(?:-[a-z]+)+)`", PAGE.split("## When the check complains")[1]))

    assert set() == {*raised, *judged} - shown


def test_the_sheet_shown_is_printed(tmp_path: Any) -> None:
    """The lines the page shows of a sheet are printed in that order for that family and scope."""
    [(name, scope, lines)] = [
        (*more.split(), text.splitlines()) for kind, more, text in BLOCKS if kind == "text"
    ]
    file = tmp_path / f"{name}.toml"
    file.write_text(COMPLETE[0], encoding="utf-8")
    words = ["plan", "--family", str(file), "--scope", scope, "--plain"]
    out = answer(words, Surroundings(settings={}, today=date(2026, 11, 25))).out
    places = [out.find(line) for line in lines]

    assert -1 not in places
    assert sorted(places) == places


def test_fir_is_sound() -> None:
    """The larger example is sound in every build."""
    _, problems = prove(FIR.read_bytes())

    assert [] == problems


def test_fir_is_as_large_as_the_page_says() -> None:
    """Fir shows what the smallest family does not: options, lumps, alternatives, acts, axes."""
    family = fir()
    ways = [part.off.after for part in family.part.values() if part.off] + [
        lump.after for lump in family.lump.values()
    ]

    assert 18 <= len(family.part) <= 24
    assert len(family.option) >= 4
    assert len(family.lump) >= 2
    assert any(len(after) > 1 for after in ways)
    assert family.act and family.mark and family.energy and family.rebuild
    assert [] == [id for id, part in family.part.items() if not part.profile]


@pytest.mark.parametrize("scope", REQUIRED_SCOPES)
def test_fir_is_planned_for_every_scope(scope: str) -> None:
    """In every build of Fir a scope has a plan that reaches its goals and passes the checker."""
    weights = weigh(OWNER)
    for options in every_build(fir()):
        structure = build_structure(fir(), options)
        goals = scope_goals(structure, scope)
        question = Question(goals=goals, place="bench", scope=scope, gas="nitrogen")
        plan = make_plan(structure, question, weights)
        facts = {fact for id in plan.order for fact in structure.operations[id].gives}
        wanted = {
            off(goal.part) if goal.kind is GoalKind.REACH else loose(goal.part)
            for goal in goals
            if goal.kind is not GoalKind.INSPECT
        }

        assert wanted <= facts
        assert () == check_plan(structure, weights, plan)


def test_fir_lets_its_spring_down_with_the_lock_nut_loose() -> None:
    """The screw is backed off after its lock nut and before anything the spring pushes on."""
    for scope in REQUIRED_SCOPES:
        structure = build_structure(fir())
        goals = scope_goals(structure, scope)
        question = Question(goals=goals, place="bench", scope=scope, gas="nitrogen")
        steps = [step.id for step in make_plan(structure, question, weigh(OWNER)).steps]
        let_down = steps.index("hold:spring-load")
        pushed = [
            steps.index(id) for id in steps if id in ("strip:case-screws", "strip:bottom-plug")
        ]

        assert steps.index("strip:lock-nut") < let_down < min(pushed)
