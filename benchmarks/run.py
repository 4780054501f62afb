"""
Measure everything, print two tables, and end with 1 where a goal or a ratio is missed.

    python -m benchmarks.run            every benchmark
    python -m benchmarks.run NAME …     some, by module name
"""

from __future__ import annotations

import importlib
import os
import pkgutil
import sys
from collections.abc import Sequence
from pathlib import Path

from benchmarks.rows import Point, Row

PREFIX = "measure_"
SINGLE_THREAD = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "RAYON_NUM_THREADS")


def discover() -> list[str]:
    """Return the names of the benchmark modules."""
    here = str(Path(__file__).parent)
    names = [module.name for module in pkgutil.iter_modules([here])]
    return [name.removeprefix(PREFIX) for name in sorted(names) if name.startswith(PREFIX)]


def show(value: float, unit: str) -> str:
    """Return a figure as a person reads it."""
    if unit == "s" and value < 1e-3:
        return f"{value * 1e6:.3g} µs"
    if unit == "s" and value < 1:
        return f"{value * 1e3:.3g} ms"
    if unit == "B":
        return f"{value / 1e6:.0f} MB"
    return f"{value:.4g} {unit}"


def row_cells(row: Row) -> list[str]:
    """Return the cells of one row."""
    return [
        row.name,
        "≤ " + show(row.goal, row.unit),
        show(row.figure, row.unit),
        f"{row.reference_name}: {show(row.reference, row.unit)}",
        f"{row.ratio:.3g}",
        f"≤ {row.ratio_goal:.3g}",
        "ok" if row.passed else "MISSED" if row.sound else "WRONG",
        row.note,
    ]


def point_cells(point: Point) -> list[str]:
    """Return the cells of one line of time against parts."""
    gap = (point.cost - point.bound) / point.cost if point.cost else 0.0
    return [
        str(point.parts),
        point.shape,
        show(point.seconds, "s"),
        str(point.cost),
        str(point.bound),
        "NO PLAN" if not point.found else "proven" if gap == 0 else f"gap {gap:.1%}",
        f"{point.effort:,}",
    ]


def table(head: Sequence[str], lines: Sequence[Sequence[str]]) -> str:
    """Lay a table out in columns."""
    widths = [max(len(line[i]) for line in [head, *lines]) for i in range(len(head))]
    whole = [head, ["-" * width for width in widths], *lines]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in whole
    )


def main(wanted: Sequence[str]) -> int:
    """Run the benchmarks asked for and return the exit code."""
    os.environ.update(dict.fromkeys(SINGLE_THREAD, "1"))
    known = discover()
    unknown = [name for name in wanted if name not in known]
    if unknown:
        print(f"no benchmark {unknown[0]}: there are {', '.join(known)}", file=sys.stderr)
        return 2
    rows: list[Row] = []
    points: list[Point] = []
    broken: list[str] = []
    for name in wanted or known:
        print(f"measuring {name} …", file=sys.stderr, flush=True)
        try:
            for found in importlib.import_module(f"benchmarks.{PREFIX}{name}").measure():
                (rows if isinstance(found, Row) else points).append(found)
        except Exception as error:
            # One benchmark that cannot run must not hide the figures of the others.
            broken.append(f"{name} did not run to its end: {type(error).__name__}: {error}")
    head = ("what", "goal", "figure", "reference, same run", "ratio", "goal", "", "note")
    print(table(head, [row_cells(row) for row in rows]))
    if points:
        print("\nTime against parts")
        head = ("parts", "graph", "time", "cost, s", "bound, s", "", "effort")
        print(table(head, [point_cells(point) for point in points]))
    missed = [row.name for row in rows if not row.passed]
    missed += [f"{point.parts} parts, {point.shape}" for point in points if not point.found]
    if missed:
        print(f"\nmissed: {'; '.join(missed)}")
    for line in broken:
        print(line)
    return 1 if missed or broken else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
