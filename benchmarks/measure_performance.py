"""Operating points of the force balance by the million, beside plain halving in the same run."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from benchmarks.rows import Row, median_seconds
from springcase.regulator.bracket import bisect_increasing
from springcase.regulator.force_balance import Terms, balance, make_terms, solve_held
from springcase.regulator.model import (
    Action,
    ControlSpring,
    FlowDirection,
    GasState,
    Place,
    Regulator,
)

MILLION = 1_000_000
SIZES = (1_000, 10_000, 100_000, MILLION)
HALVINGS = 45
GAS = GasState(molar_mass=0.01604, isentropic_exponent=1.31, temperature=288.15)
SPRING = ControlSpring(name="made", rate=8000.0, free_length=0.1, solid_length=0.04, shortest=0.06)


def many_points(count: int, *, units: bool) -> Terms:
    """Make points at inlets of 1.2 to 8 bar abs; each of another unit, or all of one."""
    random = np.random.default_rng(20261125)
    bore = random.uniform(0.006, 0.012, count) if units else 0.010
    area = random.uniform(0.015, 0.03, count) if units else 0.020
    regulator = Regulator(
        name="made",
        action=Action.REDUCING,
        flow_direction=FlowDirection.TO_OPEN,
        bore=bore,
        travel=0.003,
        plug_area=math.pi / 4 * bore**2,
        effective_area=area,
        area_change=0.02,
        control_spring=SPRING,
        discharge=0.8,
        discharge_open=0.85,
        lever_ratio=3.0,
        friction=2.0,
        body_area=3e-4,
    )
    place = Place(other_abs=random.uniform(1.2e5, 8e5, count))
    flows = random.uniform(0.0, 0.004, count)
    return make_terms(regulator, GAS, place, force=area * 3000.0, mass_flow=flows, motion=1.0)


def is_closed(terms: Terms, held: np.ndarray) -> bool:
    """Say whether the forces close to 1e-9 wherever the valve is not at its stop."""
    left, _, lift = balance(held, terms)
    inside = lift < terms.travel * (1.0 - 1e-6)
    force = np.broadcast_to(terms.force, held.shape)
    return bool(
        np.count_nonzero(inside) > 0.7 * held.size
        and np.all(np.abs(left[inside]) <= 1e-9 * force[inside])
    )


def halved(terms: Terms) -> np.ndarray:
    """Solve the same points by halving alone: slower, and as sure as can be."""
    low = 1e-6 * terms.other
    return bisect_increasing(lambda held: balance(held, terms)[0], low, terms.other, HALVINGS)


def measure() -> Iterator[Row]:
    """Solve a million points of one unit, of a million units, and fewer, for time against size."""
    for units, goal in ((False, 1.0), (True, 1.0)):
        terms = many_points(MILLION, units=units)
        held = solve_held(terms)
        sample = terms.at(slice(0, 100_000))
        few = median_seconds(lambda sample=sample: halved(sample), 1)  # type: ignore[misc]
        _, _, lift = balance(held[:100_000], sample)
        free = lift < sample.travel * (1.0 - 1e-6)
        apart = np.abs(halved(sample) / held[:100_000] - 1.0)[free]
        yield Row(
            name=f"a million operating points of {'a million units' if units else 'one unit'}",
            unit="s",
            figure=median_seconds(lambda terms=terms: solve_held(terms), 3),  # type: ignore[misc]
            goal=goal,
            reference_name=f"{HALVINGS} halvings",
            reference=10 * few,
            ratio_goal=0.5,
            sound=is_closed(terms, held) and bool(np.max(apart) < 1e-7),
        )
    for count in SIZES:
        terms = many_points(count, units=True)
        seconds = median_seconds(lambda terms=terms: solve_held(terms), 5)  # type: ignore[misc]
        yield Row(
            name=f"{count} points",
            unit="s",
            figure=seconds,
            goal=max(count * 1e-6, 0.005),
            reference_name="a microsecond each",
            reference=count * 1e-6,
            ratio_goal=5.0,
            sound=is_closed(terms, solve_held(terms)),
            note=f"{1e6 * seconds / count:.2f} us a point",
        )
