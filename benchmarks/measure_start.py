"""Cold starts of the command line, beside a bare interpreter."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from benchmarks.rows import Row

REPEATS = 9
SCRIPT = str(Path(sys.executable).parent / "springcase")
PLAN = ("plan", "--family", "alder", "--scope", "soft-parts")


def cold(command: Sequence[str]) -> float:
    """Return the median wall time of fresh processes that must end with 0. [s]"""
    times = []
    for _ in range(REPEATS):
        began = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        times.append(time.perf_counter() - began)
    return statistics.median(times)


def measure() -> Iterator[Row]:
    """Start for help, for a plan of Alder and for one of Dogwood."""
    bare = cold([sys.executable, "-c", "pass"])
    cases = (
        ("springcase --help, cold", ("--help",), 0.1, 10.0),
        ("springcase plan, cold", PLAN, 0.5, 50.0),
        ("springcase plan dogwood, cold", ("plan", "--family", "dogwood", *PLAN[3:]), 0.5, 50.0),
    )
    for name, words, goal, ratio_goal in cases:
        yield Row(
            name=name,
            unit="s",
            figure=cold([SCRIPT, *words]),
            goal=goal,
            reference_name="python -c pass",
            reference=bare,
            ratio_goal=ratio_goal,
        )
