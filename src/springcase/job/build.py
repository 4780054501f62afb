"""What is inside: one family with its options chosen, and which of them were only assumed."""

from __future__ import annotations

from dataclasses import dataclass

from springcase.assembly.expand import build_structure
from springcase.assembly.family import Family
from springcase.assembly.model import Structure
from springcase.digest import digest
from springcase.job.nameplate import Nameplate, nameplate_digest


@dataclass(frozen=True, slots=True, kw_only=True)
class Build:
    """The build of a unit. `of` is the digest of the nameplate it was made from."""

    of: str
    nameplate: Nameplate
    structure: Structure


def make_build(nameplate: Nameplate, family: Family) -> Build:
    """
    Return the build a nameplate picks.

    Raises
    ------
    UnknownName
        If an option or a value read is not the family's.
    BadInput
        If the combination read is never built.
    """
    structure = build_structure(family, nameplate.options, digest=nameplate.family_digest)
    return Build(of=nameplate_digest(nameplate), nameplate=nameplate, structure=structure)


def build_digest(build: Build) -> str:
    """Return the digest of a build: its nameplate, every option, and which were assumed."""
    return digest(
        {
            "of": build.of,
            "options": dict(build.structure.options),
            "defaulted": list(build.structure.defaulted),
        }
    )
