"""The owner's figures: which rules, where each came from, and every mistake named."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest
from msgspec import inspect

from springcase.assembly.family import JointTable
from springcase.assembly.model import PartKind
from springcase.errors import UnreadableFile
from springcase.owner import Origin, Owner, owner_digest, read_owner
from springcase.owner.read import setting_name
from springcase.owner.rules import JOINT_KINDS, RENEWED_KINDS, RULES
from springcase.standards.register import standing
from springcase.wording import explain

HEAD = b'format = "springcase/owner"\nversion = 1\n'
FROZEN = Path(__file__).parents[2] / "frozen" / "formats" / "owner-v1.toml"
PROOF = "bolting.share_of_proof"


def make_file(text: str) -> bytes:
    """Return an owner's file with this body."""
    return HEAD + text.encode()


def refusal(content: bytes | None = None, **layers: Any) -> str:
    """Return the sentence these layers are refused with."""
    with pytest.raises(UnreadableFile, match=r"^\[file-has-problems\]") as caught:
        read_owner(content, **layers)
    return explain(caught.value)


def test_shipped_figures_are_complete() -> None:
    """With no file every figure has its shipped value, words, and a standing of its own."""
    owner = read_owner()

    assert list(RULES) == list(owner.figures)
    assert {Origin.DEFAULT} == {figure.origin for figure in owner.figures.values()}
    assert all(figure.words for figure in owner.figures.values())
    assert "owner" not in {figure.standing for figure in owner.figures.values()}


def test_shipped_sources_are_registered() -> None:
    """Each source a shipped figure names is in the register, with the standing it claims."""
    named = {f.source: f.standing for f in read_owner().figures.values() if f.source}

    assert {"shigley_9e", "shigley_9e_memory"} == set(named)
    assert named == {source: standing(source).value for source in named}


def test_planning_is_in_whole_seconds() -> None:
    """Times are typed in any unit and used in whole seconds."""
    planning = read_owner(make_file('[planning]\nlift = "0.1 h"\n')).planning

    assert (30, 120, 360) == (planning.tool_change, planning.turn_over, planning.lift)
    assert 360 == planning.joint["flat-gasket"]
    assert 60 == planning.renewal["locking"]


def test_kinds_are_those_of_the_family_format() -> None:
    """Every joint kind a family may name has a cost, and each renewed kind is a part kind."""
    described = {field.encode_name: field.type for field in inspect.type_info(JointTable).fields}

    assert sorted(JOINT_KINDS) == sorted(described["kind"].values)
    assert set(RENEWED_KINDS) < set(PartKind)


def test_flag_overrules_setting_overrules_file_overrules_shipped() -> None:
    """Each layer overrules those below it, and the figure says which one rules."""
    content = make_file('[bolting]\nshare_of_proof = "70 %"\n')
    settings = {setting_name(PROOF): "65 %"}
    owners = [
        read_owner(),
        read_owner(content),
        read_owner(content, settings=settings),
        read_owner(content, settings=settings, flags={PROOF: "60 %"}),
    ]
    shares = [owner.bolting.share_of_proof for owner in owners]

    assert pytest.approx([0.75, 0.70, 0.65, 0.60], rel=1e-12) == shares
    assert ["", "input", "SPRINGCASE_BOLTING_SHARE_OF_PROOF", PROOF] == [
        owner.figures[PROOF].where for owner in owners
    ]
    assert list(Origin) == [owner.figures[PROOF].origin for owner in owners]


def test_only_what_the_owner_states_is_confirmed() -> None:
    """A figure from memory decides nothing until the owner states it."""
    stated = make_file('[bolting]\nshare_of_proof = "75 %"\n')

    assert not read_owner().figures[PROOF].is_confirmed
    assert read_owner(stated).figures[PROOF].is_confirmed
    assert read_owner().figures["bolting.nut_factor_dry"].is_confirmed


def test_copying_a_standing_confirms_nothing() -> None:
    """A file that repeats a figure as from memory leaves it unconfirmed."""
    copied = make_file('[bolting]\nshare_of_proof = { value = "75 %", standing = "memory" }\n')

    assert not read_owner(copied).figures[PROOF].is_confirmed


def test_no_limit_means_measured_not_judged() -> None:
    """A limit is a share of the set point, or none."""
    owner = read_owner(make_file('[proving]\ndroop_limit = "10 %"\n'))

    assert (0.10, None) == (owner.proving.droop_limit, owner.proving.lock_up_limit)


def test_tools_have_range_accuracy_and_calibration() -> None:
    """A torque tool is typed in its own unit and used in N.m."""
    small, large = read_owner(FROZEN).torque_tools

    assert ("click-small", "lbf.in", "2027-03-31") == (
        small.id,
        small.unit,
        small.calibration_due and small.calibration_due.isoformat(),
    )
    assert 22.5970 == round(small.high, 4)
    assert (10.0, 60.0, 0.04, None) == (
        large.low,
        large.high,
        large.accuracy,
        large.calibration_due,
    )


def test_every_problem_of_a_file_is_listed() -> None:
    """Values that cannot be are all named in one sentence, each with what is right."""
    content = make_file(
        '[planning]\nlift = "-1 min"\nturn_over = "1.001 min"\ntool_change = "2 kg"\n'
        '[bolting]\nshare_of_proof = "1.2"\nmisfit_gauge = "1 bar"\n'
        '[lifting]\none_person_weight = "0 kg"\n[proving]\ndecision_rule = "guard"\n'
        '[[torque_tool]]\nid = "a"\nwords = "w"\nlow = "5 N.m"\nhigh = "2 N.m"\naccuracy = "0 %"\n'
        '[[torque_tool]]\nid = "a"\nwords = "w"\nlow = "1 N.m"\nhigh = "2"\naccuracy = "4 %"\n'
    )
    sentence = refusal(content)

    for clause in (
        'planning.lift is "-1 min"; right is 0 s or more;',
        'planning.turn_over is "1.001 min"; right is a whole number of seconds;',
        'planning.tool_change "2 kg" ',
        'bolting.share_of_proof is "1.2"; right is 100 % or less;',
        'bolting.misfit_gauge "1 bar" does not say whether it is gauge or absolute;',
        'lifting.one_person_weight is "0 kg"; right is more than 0 kg;',
        'proving.decision_rule is "guard"; right is one of simple, guarded;',
        'torque_tool[0].high is "2 N.m"; right is more than low, 5 N.m, which is zero or more;',
        'torque_tool[0].accuracy is "0 %"; right is above 0 and below 100 %;',
        'torque_tool[1].id "a" names a torque tool a second time;',
        'torque_tool[1].high "2" has no unit;',
    ):
        assert clause in sentence


def test_a_wrong_figure_is_named_even_where_it_is_overruled() -> None:
    """A flag does not hide a wrong figure of the file."""
    content = make_file('[bolting]\nshare_of_proof = "2"\n')

    assert 'bolting.share_of_proof is "2"; right is 100 % or less.' in refusal(
        content, flags={PROOF: "60 %"}
    )


def test_unknown_names_are_met_with_the_nearest() -> None:
    """A mistyped key, setting or flag is refused by name with the nearest known one."""
    assert 'planning.joint.metl: unknown key "metl"; the nearest known is metal.' in refusal(
        make_file('[planning.joint]\nmetl = "1 min"\n')
    )
    assert "owner: SPRINGCASE_PLANNING_LIFTT is no figure of the owner; the nearest is " in refusal(
        settings={"SPRINGCASE_PLANNING_LIFTT": "1 min"}
    )
    assert "the nearest is planning.lift." in refusal(flags={"planing.lift": "1 min"})
    assert "xyzzy is no figure of the owner; known: planning.tool_change, " in refusal(
        flags={"xyzzy": "1 min"}
    )


def test_typed_groups_hold_every_figure() -> None:
    """No figure of the rules is missing from the typed value, and none is there twice."""
    owner = read_owner()
    groups = {"planning": owner.planning, "hold": owner.holds, "bolting": owner.bolting}
    groups |= {"lifting": owner.lifting, "proving": owner.proving, "units": owner.units}
    named = []
    for group, held in groups.items():
        for each in fields(held):
            value = getattr(held, each.name)
            kinds = value if each.name in ("joint", "renewal") else ("",)
            named += [f"{group}.{each.name}.{kind}".rstrip(".") for kind in kinds]

    assert sorted(RULES) == sorted(named)


def test_settings_are_spelled_in_one_way_each() -> None:
    """No two figures share the name of a setting."""
    assert len(RULES) == len({setting_name(name) for name in RULES})


def test_digest_changes_with_every_figure_and_with_the_tools() -> None:
    """Stating any figure changes the digest; the same figures give the same one."""
    digests = {owner_digest(read_owner()), owner_digest(read_owner(FROZEN))}
    for name, figure in read_owner().figures.items():
        digests.add(owner_digest(read_owner(flags={name: figure.text})))

    assert len(RULES) + 2 == len(digests)
    assert owner_digest(read_owner()) == owner_digest(read_owner(HEAD))


def test_an_owner_is_a_value() -> None:
    """Two readings of the same file are equal, and nothing in one can be changed."""
    owner = read_owner(FROZEN)

    assert isinstance(owner, Owner)
    assert owner == read_owner(FROZEN)
    with pytest.raises(TypeError, match="does not support item assignment"):
        owner.planning.joint["metal"] = 0  # type: ignore[index]
