"""A digest changes when what it stands on changes, and never else; `of` links the walk."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest

from springcase.assembly.expand import build_structure
from springcase.assembly.family_file import family_digest
from springcase.assembly.model import Goal, GoalKind, Policy, Question
from springcase.assembly.planner import scope_goals
from springcase.job.build import Build, build_digest, make_build
from springcase.job.nameplate import Nameplate, nameplate_digest
from springcase.job.plan import JobPlan, make_job_plan, weigh
from springcase.job_file.plan_document import plan_document
from springcase.owner import read_owner
from unit.assembly.small_family import make_family

PLATE = Nameplate(family="small", family_digest="sha256:0", options={"seat": "fkm"}, tag="H-1")
SEAT = Goal(kind=GoalKind.RENEW, part="disc")


def build(**changes: object) -> Build:
    """Return the build of the small unit's plate, with fields of the plate changed."""
    return make_build(replace(PLATE, **changes), make_family())  # type: ignore[arg-type]


def job(
    made: Build | None = None, figures: dict[str, str] | None = None, **asked: object
) -> JobPlan:
    """Return the plan of a job on the small unit."""
    question = Question(goals=(SEAT,), place="bench", gas="natural-gas")
    owner = read_owner(None, flags=figures or {})
    return make_job_plan(made or build(), replace(question, **asked), owner)  # type: ignore[arg-type]


OTHER_PLATES = {
    "family": "large",
    "family_digest": "sha256:1",
    "options": {"seat": "nbr"},
    "tag": "H-2",
    "position": "north",
    "role": "monitor",
    "serial": "7",
}


def test_every_field_of_a_nameplate_is_tried() -> None:
    """The changes below cover every field there is."""
    assert {field.name for field in fields(Nameplate)} == set(OTHER_PLATES)


@pytest.mark.parametrize("field", OTHER_PLATES)
def test_a_nameplate_digest_changes_with_each_field(field: str) -> None:
    """Whatever is read otherwise gives another digest."""
    other = replace(PLATE, **{field: OTHER_PLATES[field]})  # type: ignore[arg-type]

    assert nameplate_digest(PLATE) != nameplate_digest(other)
    assert nameplate_digest(PLATE) == nameplate_digest(replace(PLATE))


def test_the_order_of_options_changes_no_digest() -> None:
    """Options read in another order are the same reading."""
    one = replace(PLATE, options={"seat": "fkm", "damper": "none"})
    other = replace(PLATE, options={"damper": "none", "seat": "fkm"})

    assert nameplate_digest(one) == nameplate_digest(other)
    assert build_digest(make_build(one, make_family())) == build_digest(
        make_build(other, make_family())
    )


def test_a_default_read_is_not_a_default_assumed() -> None:
    """An option read as its default is the same build inside, but another digest."""
    read = build(options={"seat": "nbr", "damper": "none"})
    assumed = build(options={})

    assert dict(read.structure.options) == dict(assumed.structure.options)
    assert ((), ("seat", "damper")) == (read.structure.defaulted, assumed.structure.defaulted)
    assert build_digest(read) != build_digest(assumed)


def test_each_noun_names_the_one_before() -> None:
    """`of` of a build is its nameplate's digest, `of` of a plan its build's."""
    made = build()
    planned = job(made)

    assert nameplate_digest(made.nameplate) == made.of
    assert build_digest(made) == planned.of
    assert planned.of == plan_document(planned)["of"]
    assert planned.digest == plan_document(planned)["digest"]
    assert PLATE.family_digest == made.structure.family_digest


CHANGED_JOBS = {
    "another goal": {"goals": (Goal(kind=GoalKind.RENEW, part="diaphragm"),)},
    "one goal more": {"goals": (SEAT, Goal(kind=GoalKind.INSPECT, part="orifice"))},
    "in the line": {"place": "line"},
    "a scope": {"scope": "soft-parts"},
    "another policy": {"policy": Policy.WHILE_OPEN},
    "something off already": {"removed": ("cap",)},
}


@pytest.mark.parametrize("why", CHANGED_JOBS)
def test_a_plan_digest_changes_with_the_question(why: str) -> None:
    """Another question is another plan."""
    asked = dict(CHANGED_JOBS[why])
    if "scope" in asked:
        structure = build_structure(make_family(), {"seat": "fkm"})
        asked["goals"] = scope_goals(structure, "soft-parts")

    assert job().digest != job(**asked).digest


def test_a_plan_digest_changes_with_what_it_stands_on() -> None:
    """Another plate or another figure of the owner is another plan; the same is the same."""
    assert job().digest == job().digest
    assert job().digest != job(build(tag="H-2")).digest
    assert job().digest != job(figures={"planning.tool_change": "33 s"}).digest
    assert job().owner_digest != job(figures={"planning.tool_change": "33 s"}).owner_digest


def test_a_family_digest_changes_with_its_tables_and_not_with_their_order() -> None:
    """One minute more is another family; parts in another order are the same."""
    small = make_family()
    turned = {id: small.part[id] for id in reversed(small.part)}

    assert family_digest(small) != family_digest(make_family({"part.cap.off.minutes_off": 1.5}))
    assert family_digest(small) == family_digest(make_family({"part.cap.off.minutes_off": 1.0}))
    assert family_digest(small) == family_digest(type(small)(
        **{name: turned if name == "part" else getattr(small, name)
           for name in small.__struct_fields__}
    ))  # fmt: skip


def test_the_owners_figures_become_the_weights() -> None:
    """The planner's costs are the owner's, second by second."""
    weights = weigh(read_owner(None, flags={"planning.tool_change": "33 s"}))

    assert 33 == weights.tool_change
    assert set(weights.joint) >= {"metal", "seat-thread", "lock-nut"}
