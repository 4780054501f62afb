"""What a torque means as preload, and what is refused."""

from __future__ import annotations

import pytest

from springcase.bolting import preload
from springcase.errors import OutsideValidity
from springcase.standards.strength import grade
from springcase.standards.threads import thread


def test_a_printed_area_governs_over_the_formula() -> None:
    """Where a table prints the nominal stress area, proof loads stand on it."""
    m16 = thread("M16")
    both = (preload.stress_area(m16), round(preload.formula_stress_area(m16) * 1e6, 2))

    assert (157e-6, 156.67) == both


def test_a_thread_without_a_printed_area_uses_the_formula() -> None:
    """A fine thread of no stress-area table is computed."""
    fine = thread("M16 x 1")

    assert preload.formula_stress_area(fine) == preload.stress_area(fine)


def test_torque_and_preload_are_inverse() -> None:
    """The preload a torque means needs exactly that torque."""
    load = preload.preload_for_torque(12.0, 0.006, 0.2)

    assert 12.0 == pytest.approx(preload.torque_for_preload(load, 0.006, 0.2))


def test_a_grade_without_proof_stress_has_no_proof_load() -> None:
    """A193 B7 has no proof stress: the proof load is refused and a share of yield asked for."""
    screw = thread("5/8-11")

    with pytest.raises(OutsideValidity, match=r"\[no-proof-stress\] grade: 'A193 B7'"):
        preload.proof_load(screw, grade("B7", screw.diameter))


@pytest.mark.parametrize("share", [0.0, -0.1, 1.01, float("nan")])
def test_a_share_outside_nothing_to_all_is_refused(share: float) -> None:
    """A share of proof load is over 0 and at most 1."""
    screw = thread("M12")

    with pytest.raises(OutsideValidity, match=r"\[share-outside\] share"):
        preload.preload_at_share(screw, grade("8.8", screw.diameter), share)


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ((0.0, 0.01, 0.2), "torque"),
        ((-5.0, 0.01, 0.2), "torque"),
        ((5.0, 0.0, 0.2), "diameter"),
        ((5.0, 0.01, 0.0), "nut factor"),
        ((5.0, 0.01, float("inf")), "nut factor"),
    ],
)
def test_what_is_not_more_than_zero_is_refused(
    values: tuple[float, float, float], field: str
) -> None:
    """Torque, diameter and nut factor are more than zero and finite."""
    with pytest.raises(OutsideValidity, match=rf"\[not-positive\] {field}"):
        preload.preload_for_torque(*values)


def test_friction_that_locks_the_thread_is_refused() -> None:
    """Equation 8-26 has no answer where the friction locks the thread."""
    with pytest.raises(OutsideValidity, match=r"\[not-positive\] thread friction"):
        preload.torque_by_friction(1e3, thread("M12"), 50.0, 0.15)


def test_lubricating_lowers_the_torque_for_the_same_preload() -> None:
    """Less friction in thread and collar needs less torque."""
    screw = thread("M12")
    dry = preload.effective_nut_factor(screw, 0.20, 0.20)
    oiled = preload.effective_nut_factor(screw, 0.12, 0.12)

    assert oiled < dry
