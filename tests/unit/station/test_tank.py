"""Tank demand: what goes in and out, its parts, and how well its factors are known."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from springcase.errors import SpringcaseError
from springcase.sources import Standing
from springcase.station import tank
from springcase.station.tank import Vapour
from springcase.units import ZERO_CELSIUS
from springcase.wording import explain

HOUR = 3600.0
TANK: dict[str, Any] = {
    "volume": 1000.0,
    "latitude": 30.0,
    "vapour": Vapour.LIKE_HEXANE,
    "vapour_pressure_abs": 15e3,
    "storage_temperature": ZERO_CELSIUS + 20.0,
    "pump_out_actual": 100 / HOUR,
    "pump_in_actual": 80 / HOUR,
}


def test_a_demand_is_the_sum_of_its_parts() -> None:
    """In is pump-out and cooling, out is filling (twice where volatile) and heating."""
    demand = tank.tank_demand(**TANK)

    assert math.isclose(100 + 503.5702, HOUR * demand.in_breathing_base, rel_tol=1e-6)
    assert math.isclose(160 + 160.3799, HOUR * demand.out_breathing_base, rel_tol=1e-6)
    assert demand.in_breathing_base == demand.pump_out_base + demand.cooling_base
    assert demand.out_breathing_base == demand.filling_base + demand.heating_base


def test_insulation_lessens_only_the_weather() -> None:
    """Insulation lowers what cooling and heat move, and leaves what pumps move."""
    bare = tank.tank_demand(**TANK)
    lagged = tank.tank_demand(**TANK, insulation=0.25)

    assert (bare.pump_out_base, bare.filling_base) == (lagged.pump_out_base, lagged.filling_base)
    assert math.isclose(0.25 * bare.cooling_base, lagged.cooling_base)
    assert math.isclose(0.25 * bare.heating_base, lagged.heating_base)


@pytest.mark.parametrize(
    ("latitude", "vapour", "celsius", "standing"),
    [
        (30.0, Vapour.LIKE_HEXANE, 20.0, Standing.PUBLISHED),
        (30.0, Vapour.LIKE_HEXANE, 25.0, Standing.MEMORY),
        (30.0, Vapour.UNKNOWN, 20.0, Standing.MEMORY),
        (50.0, Vapour.LIKE_HEXANE, 20.0, Standing.MEMORY),
        (-65.0, Vapour.ABOVE_HEXANE, 20.0, Standing.MEMORY),
    ],
)
def test_only_the_factor_that_was_read_is_published(
    latitude: float, vapour: Vapour, celsius: float, standing: Standing
) -> None:
    """Each factor C but the 4 carries the mark that it is from memory; 4 near the pole does too."""
    factor = tank.cooling_factor(latitude, vapour, ZERO_CELSIUS + celsius)

    assert standing is factor.standing


def test_the_hemisphere_does_not_matter() -> None:
    """South and north of the equator give the same factors."""
    assert tank.heating_factor(50.0) == tank.heating_factor(-50.0)


def test_arrays_of_tanks() -> None:
    """Several tanks at once give what each gives."""
    flows = tank.cooling_flow_base(np.array([100.0, 1000.0]), 4.0)

    assert isinstance(flows, np.ndarray)
    assert flows[1] == tank.cooling_flow_base(1000.0, 4.0)


@pytest.mark.parametrize(
    ("action", "sentence"),
    [
        (
            lambda: tank.tank_demand(**(TANK | {"latitude": 91.0})),
            "latitude 91 is no latitude; right would be from 0 to 90 degrees.",
        ),
        (
            lambda: tank.tank_demand(**(TANK | {"volume": math.nan})),
            'tank volume "nan" is not a number to reckon with; give a finite number.',
        ),
        (
            lambda: tank.tank_demand(**(TANK | {"pump_out_actual": -1.0})),
            'pump-out rate "-1" is outside what the formula is stated for; right would be zero or '
            "more.",
        ),
        (
            lambda: tank.insulation_factor(0.1, 0.05, 1.5),
            "insulated share 1.5 is no usable share; right would be from 0 to 1 (100 %).",
        ),
        (
            lambda: tank.cooling_flow_base(1000.0, 4.0, 1.2),
            "insulation factor 1.2 is no usable share; right would be over 0 and up to 1.",
        ),
    ],
)
def test_it_refuses_in_one_sentence(action: Callable[[], object], sentence: str) -> None:
    """Each unusable tank is refused in one sentence."""
    with pytest.raises(SpringcaseError, match=r"^\[") as caught:
        action()

    assert sentence == explain(caught.value)
