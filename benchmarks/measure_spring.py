"""Springs and diaphragms by the million, beside the bare expressions in the same run."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from benchmarks.rows import Row, median_seconds
from springcase.regulator.diaphragm import effective_area
from springcase.regulator.spring import shear_stress, spring_rate

COUNT = 1_000_000
REPEATS = 7


def measure() -> Iterator[Row]:
    """Work out rate and stress of a million springs, and the area of a million diaphragms."""
    random = np.random.default_rng(1)
    wire = random.uniform(1e-3, 6e-3, COUNT)
    mean = wire * random.uniform(4.0, 12.0, COUNT)
    coils = random.uniform(3.0, 15.0, COUNT)

    def ours() -> tuple[object, object]:
        return spring_rate(wire, mean, coils, 79.3e9), shear_stress(100.0, wire, mean)

    def bare() -> tuple[object, object]:
        index = mean / wire
        wahl = (4 * index - 1) / (4 * index - 4) + 0.615 / index
        rate = 79.3e9 * wire**4 / (8 * mean**3 * coils)
        return rate, wahl * 8 * 100.0 * mean / (np.pi * wire**3)

    agree = all(np.allclose(a, b, rtol=1e-12) for a, b in zip(ours(), bare(), strict=True))
    yield Row(
        name="rate and stress of a million springs",
        unit="s",
        figure=median_seconds(ours, REPEATS),
        goal=0.5,
        reference_name="bare expressions",
        reference=median_seconds(bare, REPEATS),
        ratio_goal=2.0,
        sound=agree,
    )
    bore, plate = 0.2 + wire, 0.14 + wire

    def flat() -> object:
        return np.pi / 12 * (bore**2 + bore * plate + plate**2)

    yield Row(
        name="area of a million flat diaphragms",
        unit="s",
        figure=median_seconds(lambda: effective_area("flat", bore, plate), REPEATS),
        goal=0.1,
        reference_name="bare expression",
        reference=median_seconds(flat, REPEATS),
        ratio_goal=8.0,
        sound=np.allclose(effective_area("flat", bore, plate), np.asarray(flat()), rtol=1e-12),
    )
