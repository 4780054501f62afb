"""What bounds the torque of joints that are not all bolts in tension."""

from __future__ import annotations

import math
from typing import Any

import pytest

from springcase.bolting.joint import (
    KINDS,
    KINDS_WITHOUT_TORQUE,
    Ceiling,
    JointLimits,
    external_strip_load,
    internal_strip_load,
    judge_torque,
    lubrication_fault,
    metal_joint_torque,
    read_limits,
    torque_ceiling,
)
from springcase.errors import BadInput, OutsideValidity, UnknownName
from springcase.standards.strength import grade, thread_materials
from springcase.standards.threads import thread
from springcase.wording import explain

M6 = thread("M6")
STRONG = grade("8.8", M6.diameter)
# Ten M6 screws of 8.8 through a cover on a diaphragm bead of 5000 mm2.
SOFT = {
    "tapped": "aluminium",
    "engagement": "10 mm",
    "clamp_area": "5000 mm2",
    "clamp_stress": "8 MPa",
    "sealing_stress": "2 MPa",
    "cover": "14 N.m",
    "nut_factor": "0.20",
}


def make_ceiling(limits: dict[str, str], **changes: Any) -> Ceiling:
    """Return the ceiling of ten M6 8.8 screws with these limits."""
    facts: dict[str, Any] = {
        "thread": M6,
        "grade": STRONG,
        "count": 10,
        "limits": read_limits(limits, field="joint.casing.limits"),
        "nut_factor": 0.20,
        "proof_share": 0.75,
    }
    return torque_ceiling(**(facts | changes))


def test_the_least_of_all_bounds_governs() -> None:
    """Clamp stress on the bead bounds this casing before thread, proof load and cover do."""
    ceiling = make_ceiling(SOFT)
    # 8 MPa x 5000 mm2 / 10 screws = 4000 N; 0.20 x 6 mm x 4000 N = 4.8 N.m.
    found = (ceiling.governed_by, round(ceiling.limit or 0, 9), round(ceiling.preload or 0, 6))

    assert ("clamp stress on the soft part", 4.8, 4000.0) == found
    assert 5 == len(ceiling.each)


def test_sealing_is_the_lower_bound() -> None:
    """2 MPa on 5000 mm2 by ten screws is 1000 N each, 1.2 N.m at K = 0.20."""
    sealing = make_ceiling(SOFT).sealing

    assert sealing is not None
    assert 1.2 == pytest.approx(sealing.torque)


@pytest.mark.parametrize(
    ("changes", "governed_by"),
    [
        ({"clamp_stress": "80 MPa", "cover": "3 N.m"}, "cover"),
        ({"clamp_stress": "80 MPa", "engagement": "4 mm"}, "thread tapped in aluminium"),
        ({"clamp_stress": "80 MPa", "tapped": "steel"}, "75 % of proof load"),
    ],
)
def test_each_bound_can_govern(changes: dict[str, str], governed_by: str) -> None:
    """Cover, tapped thread and share of proof load each govern where they are least."""
    assert governed_by == make_ceiling(SOFT | changes).governed_by


def test_a_thread_without_grade_strips_by_its_own_material() -> None:
    """A brass seat in a steel body is bounded by the brass thread."""
    ceiling = torque_ceiling(
        thread=thread("M16 x 1"),
        grade=None,
        count=1,
        limits=JointLimits(tapped="steel", engagement=0.008),
        nut_factor=0.18,
        proof_share=0.75,
        screw_material="brass",
    )

    assert "thread cut on brass" == ceiling.governed_by


def test_a_grade_without_proof_stress_is_bounded_by_yield() -> None:
    """A stainless screw has no proof stress: half its yield stands in."""
    ceiling = make_ceiling({}, grade=grade("A2-70", M6.diameter))

    assert ("50 % of yield load", 20.1e-6 * 450e6 * 0.5) == pytest.approx(
        (ceiling.governed_by, ceiling.preload)
    )


def test_stripping_follows_the_basic_profile() -> None:
    """Internal shear is at the major diameter over 7/8 pitch, external at the minor over 3/4."""
    minor = 6.0 - 1.082532 * 1.0
    loads = (internal_strip_load(M6, 0.01, 100e6), external_strip_load(M6, 0.01, 100e6))
    wanted = (
        math.pi * 6 * 10 * 0.875 * 100 * 0.6 * 0.5,
        math.pi * minor * 10 * 0.75 * 100 * 0.6 * 0.5,
    )

    assert wanted == pytest.approx(loads)


def test_only_a_metal_joint_is_computed_from_preload() -> None:
    """75 % of the proof load of M6 8.8 at K = 0.20 is 10.5 N.m."""
    assert 10.5 == round(metal_joint_torque(M6, STRONG, 0.75, 0.20), 1)


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind not in KINDS_WITHOUT_TORQUE])
def test_a_torque_inside_its_bounds_is_sound(kind: str) -> None:
    """A stated torque whose range lies between sealing and ceiling has no fault."""
    faults = judge_torque(
        kind=kind, torque=4.0, low=3.5, high=4.5, ceiling=make_ceiling(SOFT), field="joint.casing"
    )

    assert () == faults


@pytest.mark.parametrize(
    ("stated", "codes"),
    [
        ((4.5, 4.0, 5.0), ["torque-above-ceiling"]),
        ((1.5, 1.0, 2.0), ["torque-below-sealing"]),
        ((4.7, 4.0, 4.5), ["torque-outside-range"]),
        ((4.0, None, None), ["torque-range-missing"]),
        ((None, None, None), ["torque-missing"]),
        ((6.0, 1.0, 5.0), ["torque-outside-range", "torque-above-ceiling", "torque-below-sealing"]),
    ],
)
def test_every_fault_of_a_stated_torque_is_named(
    stated: tuple[float | None, float | None, float | None], codes: list[str]
) -> None:
    """Each fault has its own code, and all are found in one look."""
    torque, low, high = stated
    faults = judge_torque(
        kind="clamped-soft",
        torque=torque,
        low=low,
        high=high,
        ceiling=make_ceiling(SOFT),
        field="joint.casing",
    )

    assert codes == [fault.code for fault in faults]
    assert all(explain(fault).endswith(".") for fault in faults)


def test_a_broken_joint_says_what_breaks() -> None:
    """The sentence names the joint, the torque, what governs and what would be right."""
    fault = judge_torque(
        kind="clamped-soft",
        torque=5.0,
        low=4.5,
        high=5.5,
        ceiling=make_ceiling(SOFT),
        field="joint.casing",
    )[0]

    assert explain(fault) == (
        'joint.casing "5.50 N.m" breaks the joint (clamp stress on the soft part); '
        "right would be at most 4.80 N.m."
    )


def test_a_torque_that_nothing_bounds_is_a_fault() -> None:
    """A torque on a joint of which nothing is known is not accepted in silence."""
    faults = judge_torque(
        kind="lock-nut",
        torque=5.0,
        low=4.5,
        high=5.5,
        ceiling=make_ceiling({}, thread=None, grade=None),
        field="joint.nut",
    )

    assert ["torque-without-ceiling"] == [fault.code for fault in faults]


@pytest.mark.parametrize("kind", KINDS_WITHOUT_TORQUE)
def test_taper_threads_and_tube_fittings_have_no_torque(kind: str) -> None:
    """A torque on a joint that is made up in turns is a fault; none is right."""
    ceiling = make_ceiling({}, thread=None, grade=None)
    none = judge_torque(kind=kind, torque=None, low=None, high=None, ceiling=ceiling, field="j")
    some = judge_torque(kind=kind, torque=5.0, low=4.0, high=6.0, ceiling=ceiling, field="j")

    assert ([], ["torque-not-wanted"]) == ([f.code for f in none], [f.code for f in some])


def test_an_unknown_kind_of_joint_is_refused() -> None:
    """A joint kind that does not exist is refused with the nearest."""
    with pytest.raises(UnknownName, match=r"j.kind: 'metall' \(right: metal\)"):
        judge_torque(
            kind="metall", torque=1.0, low=1.0, high=1.0, ceiling=make_ceiling({}), field="j"
        )


@pytest.mark.parametrize(
    ("limits", "error", "match"),
    [
        ({"clamp_aria": "1 mm2"}, UnknownName, r"j: 'clamp_aria' \(right: clamp_area"),
        ({"tapped": "cheese"}, UnknownName, r"j.tapped: 'cheese'"),
        ({"engagement": "10"}, BadInput, r"\[unit-missing\] j.engagement"),
        ({"engagement": "0 mm"}, OutsideValidity, r"\[not-positive\] j.engagement: '0 mm'"),
        ({"cover": "14 mm"}, BadInput, r"\[unit-kind\] j.cover"),
    ],
)
def test_limits_that_cannot_be_are_refused(
    limits: dict[str, str], error: type[BadInput], match: str
) -> None:
    """An unknown limit, material or unit is refused by its path."""
    with pytest.raises(error, match=match):
        read_limits(limits, field="j")


@pytest.mark.parametrize(
    ("before", "after", "torques", "is_fault"),
    [
        (False, True, (11.0, 11.0), True),
        (True, False, (11.0, 11.0), True),
        (False, True, (11.0, 9.0), False),
        (True, True, (11.0, 11.0), False),
    ],
)
def test_changing_dry_to_lubricated_needs_another_figure(
    before: bool, after: bool, torques: tuple[float, float], is_fault: bool
) -> None:
    """The same torque on a thread that is now lubricated is a fault of the family."""
    fault = lubrication_fault(
        lubricated_before=before,
        lubricated_after=after,
        torque_before=torques[0],
        torque_after=torques[1],
        field="joint.casing.torque",
    )

    assert is_fault == (fault is not None and fault.code == "lubrication-without-figure")


def test_every_material_of_a_thread_can_strip() -> None:
    """Each material of the table gives a stripping load above zero."""
    loads = [internal_strip_load(M6, 0.01, found.value) for found in thread_materials().values()]

    assert all(load > 0 for load in loads)
