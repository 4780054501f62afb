"""Family check: each way a family can be unsound is found, named and explained."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from springcase.assembly import soundness
from springcase.assembly.family_file import read_family
from springcase.assembly.soundness import Figures, count_builds, prove_family
from springcase.errors import BadInput
from springcase.owner import read_owner
from springcase.scenario import FAMILIES, family_path
from springcase.wording import explain_problem
from unit.assembly.small_family import FIGURES, GONE, make_family, prove

OFF = {"minutes_off": 1, "minutes_on": 1}
HARD = {"words": "post", "kind": "hard"}
FKM = "seat=fkm"
ALWAYS = {"seat": ["nbr", "fkm"]}

# What is changed, then code, path, id, build of the one problem it makes.
SPOILT: dict[str, tuple[dict[str, Any], tuple[str, str, str, str]]] = {
    "every build is forbidden": (
        {"combination": [{"never": {"seat": ["nbr", "fkm"]}, "why": "no seat at all"}]},
        ("no-build", "combination", "small", ""),
    ),
    "an option changes nothing": (
        {"option.vent": {"words": "vent", "default": "up", "values": {"up": "up", "left": "left"}}},
        ("option-idle", "option.vent", "vent", "every"),
    ),
    "an option stands in a condition that always holds": (
        {"part.disc.variant": GONE, "part.disc.when": ALWAYS},
        ("option-idle", "option.seat", "seat", "every"),
    ),
    "nothing opens a joint": (
        {"part.cap.off.opens": []},
        ("joint-never-opened", "joint.cap-joint", "cap-joint", "every"),
    ),
    "nothing is marked with a spring's load": (
        {"part.cap.off.energy": []},
        ("energy-never-held", "energy.spring-load", "spring-load", "every"),
    ),
    "a part has no way off": (
        {"part.post": HARD},
        ("never-comes-off", "part.post", "post", "plain"),
    ),
    "a part of one build has no way off": (
        {"part.post": {**HARD, "when": {"seat": ["fkm"]}}},
        ("never-comes-off", "part.post", "post", FKM),
    ),
    "a part waits for the fixed one": (
        {"part.post": {**HARD, "off": {**OFF, "after": [["body"]]}}},
        ("access-circle", "part.post", "post", "plain"),
    ),
    "the fixed part comes off": (
        {"part.body.off": OFF},
        ("fixed-comes-off", "part.body", "body", "plain"),
    ),
    "a part is seen when the fixed one is off": (
        {"part.orifice.view": [["disc", "body"]]},
        ("never-seen", "part.orifice.view", "orifice", "plain"),
    ),
    "a check waits for the fixed part": (
        {"part.disc.check.face.after": [["body"]]},
        ("never-seen", "part.disc.check.face.after", "disc", "plain"),
    ),
    "two parts come apart, but not in one job": (
        {
            "part.post": {**HARD, "off": OFF},
            "part.ring": {**HARD, "split": OFF},
            "lump.pair": {**OFF, "words": "pair", "parts": ["post", "ring"]},
        },
        ("never-all-apart", "part.post", "post", "plain"),
    ),
    "the rebuild's own order makes a circle": (
        {"rebuild.0": {"first": "cap", "then": "spring", "why": "for no reason"}},
        ("rebuild-circle", "rebuild", "cap", "plain"),
    ),
    "an act bars the rebuild": (
        {"act.slack": {"words": "slack", "after_fit": ["cap"], "before_fit": ["spring"]}},
        ("rebuild-circle", "rebuild", "cap", "plain"),
    ),
    "a joint of the bench waits for what is fitted after its lump": (
        {
            "part.diaphragm.split.opens": ["stack"],
            "joint.stack": {
                "words": "stack", "kind": "stack-nut", "tool": "spanner-10", "torque": "8 N.m",
                "range": "7 N.m to 9 N.m", "limits": {"cover": "10 N.m"},
            },
            "act.slack": {"words": "slack", "after_fit": ["spring"], "before_joint": "stack"},
        },
        ("rebuild-circle", "rebuild", "spring", "plain"),
    ),
    "only one of two overlapping lumps makes a circle": (
        {
            "part.post": {**HARD, "off": OFF, "split": OFF},
            "part.ring": {**HARD, "off": OFF, "split": OFF},
            "part.shim": {**HARD, "off": OFF, "split": OFF},
            "lump.first": {**OFF, "words": "first", "parts": ["post", "ring"]},
            "lump.second": {**OFF, "words": "second", "parts": ["ring", "shim"]},
            "rebuild": [
                {"first": "ring", "then": "post", "why": "so"},
                {"first": "post", "then": "shim", "why": "so"},
            ],
        },
        ("rebuild-circle", "rebuild", "second", "plain"),
    ),
    "a soft part has no check": (
        {"part.disc.check": {}},
        ("soft-without-check", "part.disc.check", "disc", "plain"),
    ),
    "a soft part is never renewed": (
        {"part.disc.renew": "never"},
        ("soft-never-renewed", "part.disc.renew", "disc", "plain"),
    ),
    "nobody proves a chamber empty": (
        {"energy.case-pressure": GONE},
        ("chamber-unheld", "family.chambers.case", "case", "plain"),
    ),
    "a joint has no tool": (
        {"joint.orifice-thread.tool": ""},
        ("joint-without-tool", "joint.orifice-thread.tool", "orifice-thread", "plain"),
    ),
    "a joint has no torque": (
        {"joint.orifice-thread.torque": ""},
        ("joint-without-torque", "joint.orifice-thread.torque", "orifice-thread", "plain"),
    ),
    "a taper thread has no turns": (
        {"joint.cap-joint.turns": ""},
        ("joint-without-turns", "joint.cap-joint.turns", "cap-joint", "plain"),
    ),
    "four screws have no pattern": (
        {"joint.casing.pattern": ""},
        ("pattern-missing", "joint.casing.pattern", "casing", "plain"),
    ),
    "passes fall": (
        {"joint.casing.passes": [60, 30, 100]},
        ("passes-not-rising", "joint.casing.passes", "casing", "plain"),
    ),
    "passes never reach the torque": (
        {"joint.casing.passes": [30, 60]},
        ("passes-not-rising", "joint.casing.passes", "casing", "plain"),
    ),
    "a taper thread has a torque": (
        {"joint.cap-joint.torque": "20 N.m"},
        ("torque-not-wanted", "joint.cap-joint.torque", "cap-joint", "plain"),
    ),
    "a seat thread has no range": (
        {"joint.orifice-thread.range": ""},
        ("torque-range-missing", "joint.orifice-thread.torque", "orifice-thread", "plain"),
    ),
    "a torque lies outside its range": (
        {"joint.orifice-thread.torque": "23 N.m"},
        ("torque-outside-range", "joint.orifice-thread.torque", "orifice-thread", "plain"),
    ),
    "nothing bounds a torque": (
        {"joint.orifice-thread.limits": {}},
        ("torque-without-ceiling", "joint.orifice-thread.torque", "orifice-thread", "plain"),
    ),
    "a torque breaks the cover": (
        {"joint.orifice-thread.limits": {"cover": "21 N.m"}},
        ("torque-above-ceiling", "joint.orifice-thread.torque", "orifice-thread", "plain"),
    ),
    "a torque breaks the screw": (
        {"joint.casing.thread": "M5", "joint.casing.limits": {"nut_factor": "0.2"}},
        ("torque-above-ceiling", "joint.casing.torque", "casing", "plain"),
    ),
    "a torque does not seal": (
        {
            "joint.casing.limits.clamp_area": "900 mm2",
            "joint.casing.limits.sealing_stress": "60 MPa",
        },
        ("torque-below-sealing", "joint.casing.torque", "casing", "plain"),
    ),
    "a torque is kept though the thread is lubricated": (
        {
            "joint.casing.thread": "M8",
            "joint.casing.variant": [{"when": {"seat": ["fkm"]}, "lubricated": "grease"}],
        },
        ("lubrication-without-figure", "joint.casing.torque", "casing", FKM),
    ),
    "a thread does not exist": (
        {"joint.casing.thread": "M6.5"},
        ("name-not-in-table", "joint.casing.thread", "casing", "plain"),
    ),
    "a grade does not exist": (
        {"joint.casing.grade": "8.9"},
        ("name-not-in-table", "joint.casing.grade", "casing", "plain"),
    ),
    "a limit does not exist": (
        {"joint.casing.limits": {"covr": "12 N.m"}},
        ("name-not-in-table", "joint.casing.limits", "casing", "plain"),
    ),
    "a limit is nothing": (
        {"joint.casing.limits": {"cover": "0 N.m"}},
        ("not-positive", "joint.casing.limits.cover", "casing", "plain"),
    ),
    "a limit has no unit": (
        {"joint.casing.limits": {"cover": "12"}},
        ("unit-missing", "joint.casing.limits.cover", "casing", "plain"),
    ),
    "a lubricant goes nowhere": (
        {"part.disc.lubricate_where": ""},
        ("lubricant-without-where", "part.disc.lubricant", "disc", "plain"),
    ),
    "a lubricant is not named for the gas": (
        {
            "lubricant.oil": {"words": "oil", "base": "silicone", "services": ["air"]},
            "part.disc.lubricant": "oil",
        },
        ("lubricant-not-named", "part.disc.lubricant", "disc", "plain"),
    ),
    "a thread's lubricant is not named for the gas": (
        {
            "lubricant.oil": {"words": "oil", "base": "silicone", "services": ["air"]},
            "joint.orifice-thread.lubricated": "oil",
        },
        ("lubricant-not-named", "joint.orifice-thread.lubricated", "orifice-thread", "plain"),
    ),
    "oxygen is served and no lubricant is named for it": (
        {"family.services": ["natural-gas", "oxygen"], "part.disc.lubricant": ""},
        ("lubricant-not-named", "joint.orifice-thread.lubricated", "orifice-thread", "plain"),
    ),
    "a gas attacks a rubber": (
        {"part.diaphragm.material": "epdm"},
        ("gas-attacks", "part.diaphragm.material", "diaphragm", "plain"),
    ),
    "a lubricant attacks a rubber": (
        {
            "family.services": ["air"],
            "lubricant.grease.services": ["air"],
            "lubricant.oil": {"words": "oil", "base": "hydrocarbon", "services": ["air"]},
            "part.disc.lubricant": "oil",
            "part.disc.material": "epdm",
        },
        ("lubricant-attacks", "part.disc.lubricant", "disc", "plain"),
    ),
    "a thread's lubricant attacks the seal it touches": (
        {
            "family.services": ["air"],
            "lubricant.grease.services": ["air"],
            "lubricant.oil": {"words": "oil", "base": "hydrocarbon", "services": ["air"]},
            "joint.orifice-thread.lubricated": "oil",
            "joint.orifice-thread.seals": ["diaphragm"],
            "part.diaphragm.material": "epdm",
        },
        ("lubricant-attacks", "joint.orifice-thread.lubricated", "diaphragm", "plain"),
    ),
    "a shape cannot be drawn": (
        {"part.spring.profile.shape": "sprng"},
        ("profile-shape-unknown", "part.spring.profile.shape", "spring", "plain"),
    ),
    "a shape lacks a size": (
        {"part.spring.profile.coils": GONE},
        ("profile-key-missing", "part.spring.profile.coils", "spring", "plain"),
    ),
    "a shape has a size it does not know": (
        {"part.spring.profile.arm": "3 mm"},
        ("profile-key-unknown", "part.spring.profile.arm", "spring", "plain"),
    ),
    "the place on the axis is no number": (
        {"part.spring.profile.order": "first"},
        ("profile-number", "part.spring.profile.order", "spring", "plain"),
    ),
    "a size is nothing": (
        {"part.spring.profile.outer": "0 mm"},
        ("profile-not-positive", "part.spring.profile.outer", "spring", "plain"),
    ),
    "a wire is thicker than its spring": (
        {"part.spring.profile.coils": "40"},
        ("profile-size", "part.spring.profile.coils", "spring", "plain"),
    ),
}  # fmt: skip


def test_the_small_family_is_sound() -> None:
    """The family all others are spoilt from has no problem in any of its four builds."""
    proof = prove()

    assert (4, 4, ()) == (proof.builds, proof.different, proof.problems)


@pytest.mark.parametrize("why", SPOILT)
def test_each_fault_is_found_and_no_other(why: str) -> None:
    """One thing wrong is found once, with its path, id, first build and a reason in words."""
    changes, wanted = SPOILT[why]
    found = prove(changes).problems
    told = [(each.code, each.path, each.id, str(each.facts.get("build", ""))) for each in found]

    assert [wanted] == told
    assert explain_problem(found[0]).startswith(found[0].path)


def own_codes() -> set[str]:
    """Return every code the four modules of soundness name themselves."""
    room = Path(soundness.__file__).parent
    names = ("soundness.py", "access_soundness.py", "joint_soundness.py", "material_soundness.py")
    text = "".join((room / name).read_text(encoding="utf-8") for name in names)
    return set(re.findall(r'code="([a-z-]+)"', text))


def test_every_code_has_its_bad_family() -> None:
    """Each problem the proof can name is shown by one family above."""
    shown = {wanted[0] for _, wanted in SPOILT.values()}

    assert set() == own_codes() - shown


def test_all_faults_are_found_in_one_run() -> None:
    """A family with many faults is told all of them at once."""
    together = {
        "part.disc.check": {},
        "part.orifice.view": [["body"]],
        "energy.case-pressure": GONE,
        "joint.casing.pattern": "",
        "joint.orifice-thread.torque": "50 N.m",
        "part.disc.lubricate_where": "",
        "part.diaphragm.material": "epdm",
        "part.spring.profile.outer": "5 mm",
    }
    found = {problem.code for problem in prove(together).problems}

    assert {
        *("soft-without-check", "never-seen", "chamber-unheld", "pattern-missing"),
        *("torque-outside-range", "torque-above-ceiling", "lubricant-without-where"),
        *("gas-attacks", "profile-size"),
    } == found


def test_what_is_called_when_is_no_condition() -> None:
    """A part and an option may be called `when` without being taken for a condition."""
    option = {"words": "when", "default": "now", "values": {"now": "now", "later": "later"}}
    changes = {
        "option.when": option,
        "part.when": {**HARD, "when": {"when": ["later"]}, "off": OFF},
    }
    proof = prove(changes)

    assert (8, ()) == (proof.builds, proof.problems)


def test_builds_are_counted_and_too_many_refused() -> None:
    """50,000 builds may be proved, 50,001 are refused with their count."""

    def family_of(values: int) -> Any:
        choices = {f"v{n}": "value" for n in range(values)}
        option = {"words": "size", "default": "v0", "values": choices}
        return make_family({"option": {"size": option}, "part.disc.variant": GONE,
                            "part.damper.when": {"size": ["v1"]}})  # fmt: skip

    assert 50_001 == count_builds(family_of(50_001))
    with pytest.raises(BadInput, match=r"^\[too-many-builds\] small: 50001 \(right: 50000\)"):
        prove_family(family_of(50_001), FIGURES)
    proof = prove_family(family_of(50_000), FIGURES)
    assert (50_000, 2, ()) == (proof.builds, proof.different, proof.problems)


def test_impossible_combinations_are_no_builds() -> None:
    """A combination that is never built is not proved."""
    never = {"seat": ["fkm"], "damper": ["fitted"]}
    proof = prove({"combination": [{"never": never, "why": "no room"}]})

    assert (3, 3, ()) == (proof.builds, proof.different, proof.problems)


def test_progress_is_told_once_a_build_that_differs() -> None:
    """The caller hears of every different build, in order."""
    heard: list[int] = []
    prove_family(make_family(), FIGURES, heard.append)

    assert [0, 1, 2, 3] == heard


@pytest.mark.parametrize("name", FAMILIES)
def test_a_family_of_the_scenario_is_sound(name: str) -> None:
    """Each invented family is sound in all its builds, with the shipped figures."""
    bolting = read_owner(None).bolting
    figures = Figures(
        proof_share=bolting.share_of_proof,
        dry_factor=bolting.nut_factor_dry,
        lubricated_factor=bolting.nut_factor_lubricated,
    )
    family = read_family(family_path(name))
    proof = prove_family(family, figures)

    assert () == proof.problems
    assert 100 < proof.builds <= count_builds(family)
