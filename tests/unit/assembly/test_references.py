"""Names and quantities of a family file: each that leads nowhere is named, all in one run."""

from __future__ import annotations

from typing import Any

import pytest

from springcase.assembly.references import MATERIALS, find_reference_problems
from springcase.formats import Problem
from springcase.paper.stackup.hatch import MATERIALS as DRAWN
from springcase.wording import explain_problem
from unit.assembly.small_family import GONE, make_family

OFF = {"minutes_off": 1, "minutes_on": 1}
CHECK = {"words": "face", "accept": "smooth", "reject": "cut"}

# A path in the file with a name changed there, what it is near to, and the path that is told.
MISSPELT: list[tuple[str, Any, str, str]] = [
    ("option.seat.default", "nbrr", "nbr", "option.seat.default"),
    ("combination", [{"never": {"sea": ["nbr"]}, "why": "so"}], "seat", "combination[0].when"),
    ("part.damper.when", {"dampr": ["fitted"]}, "damper", "part.damper.when"),
    ("part.damper.when", {"damper": ["fited"]}, "fitted", "part.damper.when.damper"),
    ("part.disc.chamber", "inlt", "inlet", "part.disc.chamber"),
    ("part.disc.sheet", "pilot", "", "part.disc.sheet"),
    ("part.disc.material", "nbrr", "nbr", "part.disc.material"),
    ("part.disc.variant.0.material", "fkn", "fkm", "part.disc.material"),
    ("part.disc.variant.0.lubricant", "greese", "grease", "part.disc.lubricant"),
    ("part.disc.variant.0.when", {"seat": ["fkn"]}, "fkm", "part.disc.variant.when.seat"),
    ("part.disc.lubricant", "greese", "grease", "part.disc.lubricant"),
    ("part.disc.view", [["cup"]], "cap", "part.disc.view"),
    ("part.spring.profile.axis", "mian", "main", "part.spring.profile.axis"),
    ("part.disc.off.after", [["diafragm"]], "diaphragm", "part.disc.off.after"),
    ("part.disc.off.tool", "spanner-11", "spanner-10", "part.disc.off.tool"),
    ("part.disc.off.opens", ["casin"], "casing", "part.disc.off.opens"),
    ("part.disc.off.energy", ["spring-lod"], "spring-load", "part.disc.off.energy"),
    ("part.disc.off.withdraws", ["dics"], "disc", "part.disc.off.withdraws"),
    ("part.disc.off.exposes", ["dics"], "disc", "part.disc.off.exposes"),
    ("part.disc.off.when", {"seet": ["nbr"]}, "seat", "part.disc.off.when"),
    ("part.diaphragm.split.leaves", ["plat"], "plate", "part.diaphragm.split.leaves"),
    ("part.disc.check.face.after", [["cup"]], "cap", "part.disc.check.face.after"),
    ("part.disc.check.face.after_fit", ["cup"], "cap", "part.disc.check.face.after_fit"),
    ("part.disc.check.face.tool", "spaner-10", "spanner-10", "part.disc.check.face.tool"),
    ("part.disc.check.face.when", {"seet": ["nbr"]}, "seat", "part.disc.check.face.when"),
    ("lump.set.parts", ["diaphragm", "plaet"], "plate", "lump.set.parts"),
    ("lump.set.after", [["screw"]], "screws", "lump.set.after"),
    ("lump.set.when", {"seet": ["nbr"]}, "seat", "lump.set.when"),
    ("joint.casing.fastener", "screw", "screws", "joint.casing.fastener"),
    ("joint.casing.seals", ["diafragm"], "diaphragm", "joint.casing.seals"),
    ("joint.casing.chambers", ["cse"], "case", "joint.casing.chambers"),
    ("joint.casing.tool", "spanner-1", "spanner-10", "joint.casing.tool"),
    ("joint.casing.lubricated", "greese", "grease", "joint.casing.lubricated"),
    ("joint.casing.when", {"seet": ["nbr"]}, "seat", "joint.casing.when"),
    ("energy.case-pressure.chamber", "cse", "case", "energy.case-pressure.chamber"),
    ("energy.spring-load.part", "sprng", "spring", "energy.spring-load.part"),
    ("energy.spring-load.when", {"seet": ["nbr"]}, "seat", "energy.spring-load.when"),
    ("mark.vent.part", "cup", "cap", "mark.vent.part"),
    ("mark.vent.when", {"seet": ["nbr"]}, "seat", "mark.vent.when"),
    ("act.slack.after_fit", ["cup"], "cap", "act.slack.after_fit"),
    ("act.slack.before_fit", ["cup"], "cap", "act.slack.before_fit"),
    ("act.slack.before_joint", "casin", "casing", "act.slack.before_joint"),
    ("act.slack.tool", "spaner-10", "spanner-10", "act.slack.tool"),
    ("act.slack.when", {"seet": ["nbr"]}, "seat", "act.slack.when"),
    ("rebuild.0.first", "orifce", "orifice", "rebuild[0].first"),
    ("rebuild.0.then", "dics", "disc", "rebuild[0].then"),
    ("rebuild.0.when", {"seet": ["nbr"]}, "seat", "rebuild[0].when"),
    ("scope.seat.inspect", ["orifce"], "orifice", "scope.seat.inspect"),
    ("scope.seat.reach", ["orifce"], "orifice", "scope.seat.reach"),
    ("scope.seat.renew", ["orifce"], "orifice", "scope.seat.renew"),
    ("scope.seat.renew_kinds", ["sofd"], "soft", "scope.seat.renew_kinds"),
    ("scope.seat.exchange", "sett", "set", "scope.seat.exchange"),
    ("family.on_loss", {"suply": "shuts"}, "supply", "family.on_loss"),
    ("family.on_loss", {"supply": "shut"}, "shuts", "family.on_loss.supply"),
    ("axis.main.branch_of", "mian", "main", "axis.main.branch_of"),
    ("axis.main.at_part", "cup", "cap", "axis.main.at_part"),
]

# What is changed, and the code, path and id of the one problem it makes.
SPOILT: list[tuple[dict[str, Any], tuple[str, str, str]]] = [
    (
        {"lump.cap": {**OFF, "words": "cap", "parts": ["cap", "spring"]}},
        ("id-twice", "lump.cap", "cap"),
    ),
    (
        {"joint.screws": {"words": "x", "kind": "metal"}},
        ("id-twice", "joint.screws", "screws"),
    ),
    (
        {"part.bench-post": {"words": "post", "kind": "hard"}},
        ("id-reserved", "part.bench-post", "bench-post"),
    ),
    (
        {"lump.bench-disc": {**OFF, "words": "x", "parts": ["disc", "orifice"]}},
        ("id-reserved", "lump.bench-disc", "bench-disc"),
    ),
    (
        {"joint.low": {"words": "x", "kind": "metal"}},
        ("id-reserved", "joint.low", "low"),
    ),
    (
        {"lump.set.parts": ["plate", "plate"]},
        ("listed-twice", "lump.set.parts", "set"),
    ),
    (
        {"part.disc.off.after": [["disc"]]},
        ("needs-itself", "part.disc.off.after", "disc"),
    ),
    (
        {"part.disc.check.face.before_joint": "casing"},
        ("check-without-after-fit", "part.disc.check.face", "disc"),
    ),
    (
        {"joint.orifice-thread.fastener": "screws"},
        ("fastener-shared", "joint.orifice-thread.fastener", "orifice-thread"),
    ),
    ({"scope.seat": GONE}, ("scope-missing", "scope.seat", "seat")),
    ({"joint.casing.torque": "9"}, ("unit-missing", "joint.casing.torque", "casing")),
    ({"joint.casing.torque": "9 bar gauge"}, ("unit-kind", "joint.casing.torque", "casing")),
    ({"joint.casing.range": "8 N.m"}, ("range-unreadable", "joint.casing.range", "casing")),
    (
        {"joint.casing.range": "10 N.m to 8 N.m"},
        ("range-reversed", "joint.casing.range", "casing"),
    ),
    ({"part.cap.weight": "heavy"}, ("number-unreadable", "part.cap.weight", "cap")),
    (
        {"part.disc.variant.0.weight": "2"},
        ("unit-missing", "part.disc.variant.weight", "disc"),
    ),
]  # fmt: skip


def problems_of(changes: dict[str, Any]) -> list[Problem]:
    """Return the problems of the small family with these changes."""
    return find_reference_problems(make_family(changes))


def test_the_small_family_names_nothing_unknown() -> None:
    """The family all others are spoilt from has no problem."""
    assert [] == problems_of({})


@pytest.mark.parametrize(("changed", "value", "near", "path"), MISSPELT)
def test_a_misspelt_name_is_told_with_its_path_and_the_nearest(
    changed: str, value: Any, near: str, path: str
) -> None:
    """A name that leads nowhere is one problem: its path, itself, and the nearest known."""
    found = problems_of({changed: value})

    assert [("name-unknown", path, near)] == [
        (each.code, each.path, each.facts["near"]) for each in found
    ]
    assert str(found[0].value) in explain_problem(found[0])


@pytest.mark.parametrize(("changes", "wanted"), SPOILT, ids=[wanted[1] for _, wanted in SPOILT])
def test_each_fault_is_told_once(changes: dict[str, Any], wanted: tuple[str, str, str]) -> None:
    """An id used twice, a list that names itself, a quantity without unit: each told once."""
    found = problems_of(changes)

    assert [wanted] == [(each.code, each.path, each.id) for each in found]
    assert explain_problem(found[0]).startswith(wanted[1])


def test_all_faults_are_told_in_one_run() -> None:
    """A file with many faults is told every one of them at once."""
    together = {changed: value for changed, value, _, _ in MISSPELT if changed != "lump.set.parts"}
    found = problems_of(together)
    told = {each.path for each in found}

    assert len(together) <= len(found)
    assert set() == {path for changed, value, _, path in MISSPELT
                     if together.get(changed) is value} - told  # fmt: skip


def test_every_material_has_its_hatching() -> None:
    """A family may name exactly the materials the picture can draw."""
    assert set(DRAWN) == set(MATERIALS)
