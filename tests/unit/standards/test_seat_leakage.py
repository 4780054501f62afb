"""Seat classes and tubes: what they want, what they refuse, and what stands between two rows."""

from __future__ import annotations

import pytest

from springcase.errors import BadInput, OutsideValidity, UnknownName
from springcase.sources import Standing
from springcase.standards.seat_leakage import (
    bubble_tube,
    bubble_tubes,
    seat_limit,
    soft_seat_flow,
)


def test_a_seat_between_two_rows_takes_the_smaller() -> None:
    """A 45 mm seat may leak what 38 mm may, and a 10 mm seat what the first row may."""
    flows = [soft_seat_flow(size) for size in (0.010, 0.038, 0.045)]

    assert [0.15, 0.30, 0.30] == [round(6e7 * flow, 9) for flow in flows]


def test_a_seat_larger_than_the_table_is_refused() -> None:
    """A seat of half a metre has no row."""
    with pytest.raises(OutsideValidity, match="seat-too-large"):
        soft_seat_flow(0.5)


def test_a_class_says_how_it_is_tested_and_what_it_rests_on() -> None:
    """A limit bears its name, its test, its source and standing."""
    limit = seat_limit("vii", standard="FCI 70-3", seat_diameter=0.051)

    assert ("FCI 70-3 VII", "fci_70_3_2004", Standing.PUBLISHED) == (
        limit.name,
        limit.source,
        limit.standing,
    )
    assert "greatest working difference" in limit.conditions


@pytest.mark.parametrize(("name", "what"), [("IV", "rated capacity"), ("VI", "seat diameter")])
def test_a_class_without_its_size_is_refused(name: str, what: str) -> None:
    """A class says which size it is counted by."""
    with pytest.raises(BadInput, match=what):
        seat_limit(name)


@pytest.mark.parametrize("size", [0.0, -1.0, float("nan"), float("inf")])
def test_a_size_that_is_none_is_refused(size: float) -> None:
    """Zero, negative and not finite sizes are refused."""
    with pytest.raises(OutsideValidity, match="not-positive"):
        seat_limit("V", seat_diameter=size)


@pytest.mark.parametrize("name", ["I", "V", "VIII", "V_water"])
def test_a_class_the_standard_lacks_is_refused(name: str) -> None:
    """FCI 70-3 has no class V, and class I limits nothing."""
    with pytest.raises(UnknownName, match="name-not-in-table"):
        seat_limit(name, standard="FCI 70-3", seat_diameter=0.05)


def test_an_unknown_standard_is_refused() -> None:
    """A standard that is not known is refused by name."""
    with pytest.raises(UnknownName, match="name-not-in-table"):
        seat_limit("VI", standard="FCI 70-9", seat_diameter=0.05)


def test_no_bubble_without_its_tube() -> None:
    """Each tube has a bubble of its own, and a tube nobody knows is refused."""
    tubes = {tube.name: round(1e6 * tube.bubble, 3) for tube in bubble_tubes()}

    assert {"6x1": 0.15, "api-527": 0.295} == tubes
    with pytest.raises(UnknownName, match="name-not-in-table"):
        bubble_tube("a bubble")
