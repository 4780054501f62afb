"""Spring wire: names, bands, standing, and what no table covers."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from springcase.errors import SpringcaseError
from springcase.sources import Standing
from springcase.standards import wire
from springcase.wording import explain


@pytest.mark.parametrize("name", ["music-wire", "Music  Wire", "A228", "astm a228"])
def test_a_material_has_several_names(name: str) -> None:
    """A material is found by its word and its specification, whatever the case."""
    assert "ASTM A228" == wire.wire_specification(name)


def test_the_better_sourced_printing_is_used() -> None:
    """Strength of music wire comes from the printing that was read, and the share from memory."""
    strength = wire.tensile_strength("music-wire", 2e-3)
    limit = wire.shear_limit("music-wire", 2e-3)

    assert strength == wire.tensile_strength("music-wire", 2e-3, printing="inch")
    assert (Standing.PUBLISHED, Standing.MEMORY) == (strength.standing, limit.standing)
    assert math.isclose(0.45 * strength.value, limit.value)


@pytest.mark.parametrize("edge", [2.5e-3, 5e-3])
def test_bands_of_one_material_meet(edge: float) -> None:
    """Where two bands of strength meet they differ by less than one per cent."""
    below = wire.tensile_strength("stainless-302", edge).value
    above = wire.tensile_strength("stainless-302", edge + 2e-6).value

    assert math.isclose(below, above, rel_tol=0.01)


@pytest.mark.parametrize("material", wire.wire_materials())
def test_thicker_wire_is_weaker(material: str) -> None:
    """Strength falls with the diameter over all a table covers, and shear bears a share of it."""
    sizes = [1e-3 * size for size in (1.6, 2.0, 2.5, 4.0, 6.0)]
    strengths = [wire.tensile_strength(material, size).value for size in sizes]

    assert sorted(strengths, reverse=True) == strengths
    assert wire.shear_limit(material, 2e-3).value < strengths[1]


@pytest.mark.parametrize(
    ("action", "sentence"),
    [
        (
            lambda: wire.tensile_strength("music-wire", 7e-3),
            'wire "7 mm" has no strength in the table of music-wire; right would be a wire of 0.1 '
            "to 6.5 mm.",
        ),
        (
            lambda: wire.tensile_strength("music-wire", math.nan),
            'wire "nan mm" has no strength in the table of music-wire; right would be a wire of '
            "0.1 to 6.5 mm.",
        ),
        (
            lambda: wire.wire_shear_modulus("music-wire", 0.0),
            "wire 0 cannot be used; right would be more than zero.",
        ),
        (
            lambda: wire.wire_specification("musik-wire"),
            'material "musik-wire" is not known; the nearest known are music-wire.',
        ),
        (
            lambda: wire.tensile_strength("A229", 2e-3, printing="inch"),
            'printing "inch" is not known; the nearest known are metric.',
        ),
    ],
)
def test_what_no_table_covers_is_refused(action: Callable[[], object], sentence: str) -> None:
    """A wire or a name of no table is refused in one sentence."""
    with pytest.raises(SpringcaseError, match=r"^\[") as caught:
        action()

    assert sentence == explain(caught.value)
