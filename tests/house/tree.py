"""What the house tests look at: the tracked files and parsed modules of this checkout."""

from __future__ import annotations

import ast
import functools
import subprocess
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "src" / "springcase"
SKIPPED = {".venv", ".git", ".stamps", "build", "dist", "__pycache__"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Module:
    """One Python file: its path below the checkout, its text, and its parsed tree."""

    path: str
    text: str
    tree: ast.Module

    @property
    def room(self) -> str:
        """The folder (or file) directly below the package; empty outside of it."""
        parts = Path(self.path).parts
        return Path(parts[2]).stem if parts[:2] == ("src", "springcase") else ""


def make_module(path: str, text: str) -> Module:
    """Parse a module; tests plant breaches with this."""
    return Module(path=path, text=text, tree=ast.parse(text))


@functools.cache
def tracked_files() -> tuple[Path, ...]:
    """List the files git tracks or would track; all files where there is no git."""
    listing = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    if listing.returncode == 0 and listing.stdout:
        candidates = [ROOT / line for line in listing.stdout.splitlines()]
    else:
        candidates = [p for p in ROOT.rglob("*") if not SKIPPED & set(p.relative_to(ROOT).parts)]
    return tuple(sorted(path for path in candidates if path.is_file()))


def name_of(path: Path) -> str:
    """Return a path as written below the checkout."""
    return path.relative_to(ROOT).as_posix()


@functools.cache
def texts(*suffixes: str) -> tuple[tuple[str, str], ...]:
    """Return (name, text) of each tracked UTF-8 file, of these suffixes where any are given."""
    found = []
    for path in tracked_files():
        if suffixes and path.suffix not in suffixes:
            continue
        try:
            found.append((name_of(path), path.read_text(encoding="utf-8")))
        except UnicodeDecodeError:
            continue
    return tuple(found)


@functools.cache
def modules(below: str = "") -> tuple[Module, ...]:
    """Return every tracked Python module whose name starts so."""
    return tuple(make_module(n, t) for n, t in texts(".py") if n.startswith(below))
