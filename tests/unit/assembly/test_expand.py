"""Expansion: from a family and its options to exactly what is inside."""

from __future__ import annotations

from typing import Any

import pytest

from springcase.assembly.expand import build_structure, choose_options, holds
from springcase.assembly.model import OperationKind, Setup, Structure, loose, off
from springcase.errors import BadInput, UnknownName
from unit.assembly.small_family import GONE, make_family

OFF = {"minutes_off": 1, "minutes_on": 1}
CHECK = {"words": "stroke", "accept": "free", "reject": "binds"}
FITTED = {"damper": "fitted"}


def build(changes: dict[str, Any] | None = None, **options: str) -> Structure:
    """Return the structure of the small family with these changes and options."""
    return build_structure(make_family(changes), options)


def test_a_condition_holds_by_all_keys_and_any_value() -> None:
    """Every key must hold; of its values any one will do; none at all always holds."""
    options = {"seat": "nbr", "damper": "none"}

    assert holds({}, options)
    assert holds({"seat": ["fkm", "nbr"], "damper": ["none"]}, options)
    assert not holds({"seat": ["nbr"], "damper": ["fitted"]}, options)


def test_chosen_defaulted_and_unusual_are_told_apart() -> None:
    """An option not given is defaulted; one that differs from the default is unusual."""
    read = build(seat="fkm")
    same = build(seat="nbr", damper="none")

    assert ({"seat": "fkm", "damper": "none"}, ("damper",), ("seat",)) == (
        dict(read.options), read.defaulted, read.unusual
    )  # fmt: skip
    assert ((), ()) == (same.defaulted, same.unusual)
    assert ("FKM", "no damper") == (read.value_words["seat"], read.value_words["damper"])


def test_an_unknown_option_value_or_combination_is_refused() -> None:
    """What the family does not have, or is never built, is refused with what would be right."""
    family = make_family(
        {"combination": [{"never": {"seat": ["fkm"], **{"damper": ["fitted"]}}, "why": "no room"}]}
    )

    with pytest.raises(UnknownName, match=r"^\[option-unknown\] --set: 'seet'"):
        choose_options(family, {"seet": "fkm"})
    with pytest.raises(UnknownName, match=r"^\[option-value-unknown\] seat: 'epdm'"):
        choose_options(family, {"seat": "epdm"})
    with pytest.raises(BadInput, match=r"^\[combination-impossible\].*no room"):
        choose_options(family, {"seat": "fkm", **FITTED})
    assert "none" == choose_options(family, {"seat": "fkm"})["damper"]


def test_a_part_is_there_only_when_its_condition_holds() -> None:
    """An absent part is in no list; present, it is in its lump and has its split."""
    without, fitted = build(), build(**FITTED)

    assert "damper" not in without.parts and "bench-damper" not in without.operations
    assert ("diaphragm", "plate") == without.operations["set"].parts
    assert ("diaphragm", "plate", "damper") == fitted.operations["set"].parts
    assert frozenset({loose("damper")}) == fitted.operations["bench-damper"].gives


def test_an_absent_part_counts_as_off_and_loose() -> None:
    """Where access names an absent part, that part is never waited for."""
    changes = {
        "part.disc.off.after": [["diaphragm", "damper"], ["damper"]],
        "part.diaphragm.split.after": [["damper"]],
    }
    without, fitted = build(changes), build(changes, **FITTED)
    both = {off("diaphragm"), off("plate")}

    assert (frozenset(), frozenset({off("diaphragm")})) == without.operations["disc"].needs
    assert (
        frozenset({off("damper")}), frozenset({off("damper"), off("diaphragm")})
    ) == fitted.operations["disc"].needs  # fmt: skip
    assert (frozenset(both),) == without.operations["bench-diaphragm"].needs
    assert (frozenset({*both, loose("damper")}),) == fitted.operations["bench-diaphragm"].needs


def test_a_lump_reduced_to_one_part_brings_it_loose() -> None:
    """A lump of which the build has one part takes it off by itself; of none, there is none."""
    lump = {**OFF, "words": "pair", "parts": ["damper", "ring"]}
    ring = {"words": "ring", "kind": "hard"}
    one = build({"lump.pair": lump, "part.ring": ring})
    none = build({"lump.pair": lump, "part.ring": {**ring, "when": {"damper": ["fitted"]}}})

    assert frozenset({off("ring"), loose("ring")}) == one.operations["pair"].gives
    assert OperationKind.LUMP is one.operations["pair"].kind
    assert "pair" not in none.operations


def test_what_a_part_alone_a_lump_and_a_split_give() -> None:
    """Alone: off and loose. A lump: off. A split: loose, of those it leaves as well."""
    operations = build().operations

    assert frozenset({off("cap"), loose("cap")}) == operations["cap"].gives
    assert frozenset({off("diaphragm"), off("plate")}) == operations["set"].gives
    assert frozenset({loose("diaphragm"), loose("plate")}) == operations["bench-diaphragm"].gives
    assert frozenset() == operations["bench-diaphragm"].takes
    assert ("bench", "top") == (
        operations["bench-diaphragm"].setup.place, operations["bench-diaphragm"].setup.side
    )  # fmt: skip


def test_bare_hands_and_the_side_up_are_filled_in() -> None:
    """A tool of kind hand is no tool; an operation that names no side is done with side_up up."""
    hand = {"words": "hand", "kind": "hand"}
    operations = build({"tool.hand": hand, "part.spring.off.tool": "hand"}).operations

    assert Setup(tool="", side="top", place="") == operations["spring"].setup
    assert Setup(tool="spanner-24", side="top", place="") == operations["cap"].setup
    assert (60, 120) == (operations["cap"].seconds_off, operations["cap"].seconds_on)


def test_a_variant_changes_only_what_it_names() -> None:
    """With its options a variant's values stand, all others stay."""
    plain, other = build().parts["disc"], build(seat="fkm").parts["disc"]

    assert ("nbr", "fkm") == (plain.material, other.material)
    assert (plain.words, plain.checks) == (other.words, other.checks)


def test_a_joint_variant_changes_torque_and_range() -> None:
    """A joint's variant sets its own figure."""
    change = {"when": {"seat": ["fkm"]}, "torque": "19 N.m", "range": "18 N.m to 20 N.m"}
    changes = {"joint.orifice-thread.variant": [change]}
    plain = build(changes).joints["orifice-thread"]
    other = build(changes, seat="fkm").joints["orifice-thread"]

    assert plain.torque is not None and other.torque is not None and other.torque_high is not None
    assert (20.0, 19.0, "19 N.m") == (plain.torque.value, other.torque.value, other.torque.text)
    assert pytest.approx(20.0) == other.torque_high.value


def test_when_a_part_can_be_seen() -> None:
    """As told; else when nothing bars it, or it is off; a fixed part always."""
    parts = build({"part.orifice.view": [["cap"], ["disc", "damper"]]}).parts

    assert (frozenset({off("cap")}), frozenset({off("disc")})) == parts["orifice"].view
    assert (frozenset({loose("disc")}), frozenset({off("diaphragm")})) == parts["disc"].view
    assert (frozenset({loose("plate")}), frozenset({off("plate")})) == parts["plate"].view
    assert frozenset() in parts["body"].view


def test_a_check_of_the_rebuild_waits_for_parts_that_are_there() -> None:
    """A rebuild check whose parts are all absent is not made; a condition drops one too."""
    changes = {
        "part.disc.check.stroke": {**CHECK, "after_fit": ["damper"], "before_joint": "casing"},
        "part.disc.check.print": {**CHECK, "when": {"seat": ["fkm"]}},
    }
    names = {
        key: {check.id for check in build(changes, **options).parts["disc"].checks}
        for key, options in (("plain", {}), ("fitted", FITTED), ("fkm", {"seat": "fkm"}))
    }

    assert {"disc/face"} == names["plain"]
    assert {"disc/face", "disc/stroke"} == names["fitted"]
    assert {"disc/face", "disc/print"} == names["fkm"]


def test_what_names_an_absent_part_is_left_out() -> None:
    """Marks, springs' energy, arcs, acts, seals and scopes do without an absent part."""
    changes = {
        "mark.vent.part": "damper",
        "energy.spring-load.part": "damper",
        "act.slack.after_fit": ["damper"],
        "rebuild.0.first": "damper",
        "joint.casing.seals": ["damper", "diaphragm"],
        "scope.seat": {"words": "seat", "inspect": ["damper", "orifice"], "renew": ["damper"]},
        "part.cap.off.withdraws": ["damper"],
    }
    without, fitted = build(changes), build(changes, **FITTED)

    assert ((), (), ()) == (without.marks, without.acts, without.arcs)
    assert (1, 1, 1) == (len(fitted.marks), len(fitted.acts), len(fitted.arcs))
    assert ("spring-load" in without.energies, "spring-load" in fitted.energies) == (False, True)
    assert ((), ("spring-load",)) == (
        without.operations["cap"].energies, fitted.operations["cap"].energies
    )  # fmt: skip
    assert (("diaphragm",), ("damper", "diaphragm")) == (
        without.joints["casing"].seals, fitted.joints["casing"].seals
    )  # fmt: skip
    assert (("orifice",), ()) == (without.scopes["seat"].inspect, without.scopes["seat"].renew)
    assert ((), ("damper",)) == (
        without.operations["cap"].withdraws, fitted.operations["cap"].withdraws
    )  # fmt: skip


def test_a_joint_without_its_fastener_has_one_tick() -> None:
    """Where the fastener is absent the joint stands for itself."""
    changes = {"joint.orifice-thread.fastener": "damper", "part.damper.count": 3}

    assert (1, "") == (
        build(changes).joints["orifice-thread"].count,
        build(changes).joints["orifice-thread"].fastener,
    )
    assert 3 == build(changes, **FITTED).joints["orifice-thread"].count


def test_the_order_of_the_file_changes_nothing_inside() -> None:
    """Parts, joints and lumps written in another order give the same operations and parts."""
    small = make_family()
    turned = type(small)(
        **{
            name: dict(reversed(value.items())) if name in ("part", "joint", "lump") else value
            for name in small.__struct_fields__
            for value in [getattr(small, name)]
        }
    )

    assert build_structure(small) == build_structure(turned)
    assert list(build_structure(small).operations) == list(build_structure(turned).operations)


def test_a_quantity_that_cannot_be_read_is_refused() -> None:
    """A torque without a unit does not exist."""
    with pytest.raises(BadInput, match=r"^\[unit-missing\] joint.casing.torque: '9'"):
        build({"joint.casing.torque": "9", "joint.casing.range": GONE})
