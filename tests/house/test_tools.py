"""The style, format and type checkers find nothing."""

from __future__ import annotations

import subprocess
import sys

import pytest

from house.tree import ROOT


@pytest.mark.parametrize(
    "command",
    [
        ("ruff", "check", "--no-cache", "."),
        ("ruff", "format", "--check", "--no-cache", "."),
        ("mypy", "--strict", "src"),
    ],
    ids=" ".join,
)
def test_the_tool_finds_nothing(command: tuple[str, ...]) -> None:
    """The tool ends with 0 on this checkout."""
    done = subprocess.run(
        [sys.executable, "-m", *command],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )

    assert done.returncode == 0, done.stdout + done.stderr
