"""Cold starts of the command line, beside a bare interpreter."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from benchmarks.rows import Row

REPEATS = 9
SCRIPT = str(Path(sys.executable).parent / "springcase")
PLAN = ("plan", "--family", "alder", "--scope", "soft-parts")


def cold(command: Sequence[str], byte_code: str) -> float:
    """
    Return the median wall time of fresh processes that must end with 0. [s]

    Byte code is kept in a folder of its own, as an installed package keeps it; the first run,
    which writes it, is not counted.
    """
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    surroundings = kept | {"PYTHONPYCACHEPREFIX": byte_code}
    times = []
    for _ in range(1 + REPEATS):
        began = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True, env=surroundings)
        times.append(time.perf_counter() - began)
    return statistics.median(times[1:])


def measure() -> Iterator[Row]:
    """Start for help, for a plan of Alder and for one of Dogwood."""
    cases = (
        ("springcase --help, cold", ("--help",), 0.1, 10.0),
        ("springcase plan, cold", PLAN, 0.5, 50.0),
        ("springcase plan dogwood, cold", ("plan", "--family", "dogwood", *PLAN[3:]), 0.5, 50.0),
    )
    with tempfile.TemporaryDirectory() as byte_code:
        bare = cold([sys.executable, "-c", "pass"], byte_code)
        for name, words, goal, ratio_goal in cases:
            yield Row(
                name=name,
                unit="s",
                figure=cold([SCRIPT, *words], byte_code),
                goal=goal,
                reference_name="python -c pass",
                reference=bare,
                ratio_goal=ratio_goal,
            )
