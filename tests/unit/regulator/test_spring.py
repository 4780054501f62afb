"""Springs: what is worked out, by array as by number, and what is refused in one sentence."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from springcase.errors import SpringcaseError
from springcase.regulator import spring
from springcase.wording import explain

WIRE, MEAN, COILS, MODULUS = 2e-3, 16e-3, 8.0, 79.3e9


def refusal(action: Callable[[], object]) -> str:
    """Return the sentence an action is refused with."""
    with pytest.raises(SpringcaseError, match=r"^\[") as caught:
        action()
    return explain(caught.value)


def test_numbers_give_a_number_and_arrays_an_array() -> None:
    """A rate of numbers is a float, one of arrays has their broadcast shape and the same values."""
    wires = np.array([[1e-3], [2e-3]])
    coils = np.array([4.0, 8.0, 16.0])
    rates = spring.spring_rate(wires, MEAN, coils, MODULUS)

    assert isinstance(spring.spring_rate(WIRE, MEAN, COILS, MODULUS), float)
    assert isinstance(rates, np.ndarray)
    assert (2, 3) == rates.shape
    assert rates[1, 1] == spring.spring_rate(WIRE, MEAN, COILS, MODULUS)


@pytest.mark.parametrize(
    ("ends", "active", "solid"),
    [("plain", 10, 11), ("plain-ground", 9, 10), ("squared", 8, 11), ("squared-ground", 8, 10)],
)
def test_the_ends_take_their_coils(ends: str, active: int, solid: int) -> None:
    """Of ten coils each type of ends leaves its own to work and stacks its own wires solid."""
    assert active == spring.active_coils(10, ends)
    assert 10 == spring.total_coils(active, ends)
    assert math.isclose(solid * WIRE, float(spring.solid_length(10, WIRE, ends)))


@pytest.mark.parametrize("ends", spring.ENDS)
def test_coils_at_solid_are_a_wire_apart(ends: str) -> None:
    """Just above solid the pitch of every type of ends comes down to the wire."""
    solid = float(spring.solid_length(10, WIRE, ends))
    pitch = float(spring.coil_pitch(solid * (1 + 1e-12), 10, WIRE, ends))

    assert math.isclose(pitch, WIRE, rel_tol=1e-9)


def test_force_and_stress_are_inverse() -> None:
    """The force at a stress gives that stress again, with each correction."""
    for factor in spring.STRESS_FACTORS:
        force = spring.force_at_stress(600e6, WIRE, MEAN, factor)

        assert math.isclose(600e6, float(spring.shear_stress(force, WIRE, MEAN, factor)))


def test_a_spring_pressed_in_pushes() -> None:
    """The force is rate times what is pressed in, and nothing at the free length."""
    assert math.isclose(200.0, float(spring.spring_force(5e3, 0.06, 0.02, 0.018)))
    assert 0.0 == spring.spring_force(5e3, 0.06, 0.06, 0.018)


def test_a_pivoted_spring_buckles_sooner() -> None:
    """The less the ends are held, the shorter the spring that may buckle."""
    lengths = [float(spring.buckling_length(MEAN, support)) for support in spring.SUPPORTS]

    assert sorted(lengths, reverse=True) == lengths
    assert math.isclose(lengths[0], 2 * lengths[2])


@pytest.mark.parametrize(
    ("action", "sentence"),
    [
        (
            lambda: spring.spring_rate(WIRE, WIRE, COILS, MODULUS),
            "mean diameter 0.002 is no coil; right would be more than the wire, 0.002 m.",
        ),
        (
            lambda: spring.spring_rate(WIRE, MEAN, math.nan, MODULUS),
            'active coils "nan" is not a number to reckon with; give a finite number.',
        ),
        (
            lambda: spring.spring_rate(np.array([WIRE, math.inf]), MEAN, COILS, MODULUS),
            'wire "inf" is not a number to reckon with; give a finite number.',
        ),
        (
            lambda: spring.spring_rate(WIRE, MEAN, COILS, -MODULUS),
            'shear modulus "-7.93e+10" is outside what the formula is stated for; right would be '
            "more than zero.",
        ),
        (
            lambda: spring.spring_force(5e3, 0.06, 0.018, 0.018),
            'spring length "18 mm" leaves the coils touching (coil-bound); right would be more '
            "than the solid length, 18 mm.",
        ),
        (
            lambda: spring.spring_force(5e3, 0.018, 0.018, 0.02),
            'free length "18 mm" leaves the coils touching (coil-bound); right would be more than '
            "the solid length, 20 mm.",
        ),
        (
            lambda: spring.spring_force(5e3, 0.06, 0.07, 0.018),
            "spring length 0.07 leaves the spring loose; right would be at most the free length, "
            "0.06 m.",
        ),
        (
            lambda: spring.active_coils(2, "squared"),
            "total coils 2 cannot be used; right would be more than the 2 coils that squared ends "
            "take.",
        ),
        (
            lambda: spring.solid_length(10, WIRE, "closed"),
            'ends "closed" is not known; the nearest known are plain, plain-ground, squared, '
            "squared-ground.",
        ),
        (
            lambda: spring.stress_factor(1.0),
            "spring index 1 cannot be used; right would be more than 1.",
        ),
    ],
)
def test_it_refuses_in_one_sentence(action: Callable[[], object], sentence: str) -> None:
    """Each unusable input is refused in one sentence."""
    assert sentence == refusal(action)
