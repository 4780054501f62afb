"""The import contracts hold, and each finds a breach planted in a copy of the package."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from house.tree import ROOT

RUN = """
import sys
sys.path.insert(0, "src")
from importlinter.cli import lint_imports
sys.exit(lint_imports(config_filename="pyproject.toml", no_cache=True))
"""

BREACHES = [
    ("floors", "sources.py", "import springcase.assembly.model"),
    ("floors", "bolting/planted.py", "import springcase.assembly.model"),
    ("floors", "standards/planted.py", "import springcase.owner"),
    ("floors", "paper/planted.py", "import springcase.job_file"),
    ("floors", "assembly/planted.py", "import springcase.cli"),
    ("floors", "cli/planted.py", "import springcase.main"),
    ("floors", "errors.py", "import springcase.formats"),
    ("floors", "newroom/__init__.py", ""),
    ("walk", "job/nameplate.py", "import springcase.job.build"),
    ("checker", "assembly/check/planted.py", "import springcase.assembly.solve"),
    ("checker", "assembly/check/planted.py", "import springcase.errors"),
]


def lint(checkout: Path) -> subprocess.CompletedProcess[str]:
    """Run the import contracts on a checkout of its own."""
    return subprocess.run(
        [sys.executable, "-c", RUN],
        cwd=checkout,
        env={**os.environ, "PYTHONPATH": str(checkout / "src")},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


def copy_checkout(target: Path) -> Path:
    """Copy what the contracts look at."""
    shutil.copytree(
        ROOT / "src", target / "src", ignore=shutil.ignore_patterns("__pycache__", "*.toml")
    )
    shutil.copy(ROOT / "pyproject.toml", target)
    return target


def test_the_contracts_hold() -> None:
    """Every import contract of pyproject.toml is kept by this checkout."""
    done = lint(ROOT)

    assert done.returncode == 0, done.stdout + done.stderr
    assert " 0 broken" in done.stdout


@pytest.mark.parametrize(("contract", "file", "line"), BREACHES)
def test_a_planted_breach_is_found(contract: str, file: str, line: str, tmp_path: Path) -> None:
    """A breach of a contract, planted in a copy, is found and named."""
    planted = copy_checkout(tmp_path) / "src" / "springcase" / file
    planted.parent.mkdir(exist_ok=True)
    text = planted.read_text(encoding="utf-8") if planted.exists() else '"""Planted."""\n'
    planted.write_text(f"{text}\n{line}\n", encoding="utf-8")

    done = lint(tmp_path)

    assert done.returncode == 1, done.stdout + done.stderr
    assert f"{contract_name(contract)} BROKEN" in " ".join(done.stdout.split())


def contract_name(contract: str) -> str:
    """Return the full name of a contract, as printed by the linter."""
    data = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    return next(c["name"] for c in data["tool"]["importlinter"]["contracts"] if c["id"] == contract)
