"""A conversion of units, beside a general units library."""

from __future__ import annotations

from collections.abc import Iterator

from benchmarks.rows import Row, median_seconds
from springcase.units import convert, parse_quantity

COUNT = 2000


def measure() -> Iterator[Row]:
    """Convert a torque and read a typed one, a few thousand times."""
    import pint

    registry = pint.UnitRegistry()
    ours = median_seconds(lambda: [convert(12.0, "lbf.in") for _ in range(COUNT)], 9) / COUNT
    theirs = (
        median_seconds(
            lambda: [registry.Quantity(12.0, "N*m").to("lbf*inch") for _ in range(COUNT)], 3
        )
        / COUNT
    )
    agree = abs(convert(12.0, "lbf.in") - registry.Quantity(12.0, "N*m").to("lbf*inch").m) < 1e-9
    yield Row(
        name="convert a torque",
        unit="s",
        figure=ours,
        goal=1e-6,
        reference_name="pint",
        reference=theirs,
        ratio_goal=0.05,
        sound=agree,
    )
    typed = "106 lbf.in"
    read = median_seconds(
        lambda: [parse_quantity(typed, "torque", field="torque") for _ in range(COUNT)], 9
    )
    theirs = median_seconds(
        lambda: [registry.Quantity("106 lbf*inch").to("N*m") for _ in range(COUNT)], 3
    )
    yield Row(
        name="read a typed torque",
        unit="s",
        figure=read / COUNT,
        goal=10e-6,
        reference_name="pint",
        reference=theirs / COUNT,
        ratio_goal=0.1,
    )
