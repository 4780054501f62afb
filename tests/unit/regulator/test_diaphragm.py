"""Diaphragms: effective area, its change over the stroke, and what is refused."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from springcase.errors import SpringcaseError
from springcase.regulator import diaphragm
from springcase.wording import explain

BORE, PLATE = 0.200, 0.140


def test_arrays_give_an_array() -> None:
    """Areas of several diaphragms at once are those of each."""
    bores = np.array([0.1, 0.2])
    areas = diaphragm.effective_area("flat", bores, 0.7 * bores)

    assert isinstance(areas, np.ndarray)
    assert areas[1] == diaphragm.effective_area("flat", BORE, 0.7 * BORE)


def test_the_web_at_mid_stroke_gives_the_mean_diameter() -> None:
    """Level with its clamp the hanging web has its crown midway, whatever its slack."""
    middle = diaphragm.effective_area("convoluted", BORE, PLATE)
    webs = diaphragm.area_over_stroke(BORE, PLATE, np.array([0.0301, 0.035, 0.045, 0.09]), 0.0)

    assert np.allclose(middle, webs, rtol=1e-12)


def test_the_area_falls_as_the_plate_leaves_the_pressure() -> None:
    """The area falls steadily away from the pressure, and alike to both sides of mid-stroke."""
    strokes = np.linspace(-0.01, 0.01, 21)
    areas = np.asarray(diaphragm.area_over_stroke(BORE, PLATE, 0.035, strokes))
    radii = np.sqrt(areas / math.pi)

    assert (np.diff(areas) < 0).all()
    assert np.allclose(radii + radii[::-1], (BORE + PLATE) / 2, rtol=1e-12)


def test_the_crown_is_where_the_arc_is_level() -> None:
    """The crown of a web stretched to a known arc lies where geometry by hand puts it."""
    # A quarter circle of radius 30 mm about a centre level with the plate's edge: from the plate,
    # 30 mm up, level there, to the clamp, upright there.
    web = math.pi / 2 * 0.030
    crown = PLATE / 2

    area = float(diaphragm.area_over_stroke(PLATE + 0.060, PLATE, web, 0.030))

    assert math.isclose(math.pi * crown * crown, area, rel_tol=1e-12)


def test_a_deep_convolution_rolls_without_change() -> None:
    """A web longer than a half circle rolls along its walls and keeps its area."""
    areas = diaphragm.area_over_stroke(BORE, PLATE, 0.09, np.array([-0.01, 0.0, 0.01]))

    assert np.allclose(diaphragm.effective_area("convoluted", BORE, PLATE), areas, rtol=1e-12)


def test_change_is_a_share_of_mid_stroke() -> None:
    """The change of area is one at mid-stroke and below it away from the pressure."""
    assert math.isclose(1.0, float(diaphragm.area_change(BORE, PLATE, 0.035, 0.0)))
    assert 1.0 > float(diaphragm.area_change(BORE, PLATE, 0.035, 0.005))


@pytest.mark.parametrize(
    ("action", "sentence"),
    [
        (
            lambda: diaphragm.effective_area("flat", PLATE, BORE),
            "plate diameter 0.2 is larger than its diaphragm; right would be at most the "
            "diaphragm, 0.14 m.",
        ),
        (
            lambda: diaphragm.effective_area("convoluted", BORE, math.nan),
            'plate diameter "nan" is not a number to reckon with; give a finite number.',
        ),
        (
            lambda: diaphragm.effective_area("convoluted", BORE, PLATE, 0.05),
            "convolution 0.05 does not fit between bore and plate; right would be half the gap "
            "between bore and plate, 0.03 m.",
        ),
        (
            lambda: diaphragm.effective_area("convoluted", BORE, 0.0, 0.101),
            "convolution 0.101 does not fit between bore and plate; right would be half the gap "
            "between bore and plate, 0.1 m.",
        ),
        (
            lambda: diaphragm.effective_area("flat", BORE, PLATE, 0.03),
            "convolution 0.03 cannot be used; right would be 0 for a flat diaphragm.",
        ),
        (
            lambda: diaphragm.effective_area("bellows", BORE, PLATE),
            'diaphragm kind "bellows" is not known; the nearest known are convoluted, flat.',
        ),
        (
            lambda: diaphragm.area_over_stroke(BORE, PLATE, 0.035, np.array([0.0, 0.02])),
            "stroke 0.02 pulls the diaphragm taut; right would be a stroke at which the web of "
            "0.035 m still hangs between plate and clamp.",
        ),
        (
            lambda: diaphragm.wall_tension(1e5, 0.0),
            'convolution "0" is outside what the formula is stated for; right would be more than '
            "zero.",
        ),
    ],
)
def test_it_refuses_in_one_sentence(action: Callable[[], object], sentence: str) -> None:
    """Each unusable diaphragm is refused in one sentence."""
    with pytest.raises(SpringcaseError, match=r"^\[") as caught:
        action()

    assert sentence == explain(caught.value)
