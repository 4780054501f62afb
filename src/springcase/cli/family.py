"""`springcase family check`: prove a family file sound in every build its options allow."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping
from typing import Any, Final

from springcase.cli.owner_choice import chosen_owner

NAME: Final = "family check"
HELP: Final = "prove a family file sound"
FORMAT: Final = "springcase/family-check"

_SLOW = 200
"""Builds after which progress is shown, and how often."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the file."""
    parser.add_argument("file", metavar="FILE", help="a family file, or its name")


def document(arguments: argparse.Namespace) -> tuple[dict[str, Any], int]:
    """Return whether the family is sound, and every problem found."""
    from springcase.assembly.family_file import examine_family, family_digest
    from springcase.assembly.soundness import Figures, prove_family
    from springcase.scenario import FAMILIES, family_path
    from springcase.wording import explain_problem

    path = family_path(arguments.file) if arguments.file in FAMILIES else arguments.file
    owner = chosen_owner(arguments)
    family, problems = examine_family(path)
    found = list(problems)
    builds = different = 0
    if family is not None and not found:
        bolting = owner.bolting
        figures = Figures(
            proof_share=bolting.share_of_proof,
            dry_factor=bolting.nut_factor_dry,
            lubricated_factor=bolting.nut_factor_lubricated,
        )
        proof = prove_family(family, figures, _say_progress)
        found, builds, different = list(proof.problems), proof.builds, proof.different
    return {
        "ok": not found,
        "family": family.family.id if family is not None else "",
        "digest": family_digest(family) if family is not None else "",
        "builds": builds,
        "builds_different": different,
        "problems": [
            {
                "code": problem.code,
                "path": problem.path,
                "id": problem.id,
                "build": str(problem.facts.get("build", "")),
                "reason": explain_problem(problem) + ".",
            }
            for problem in found
        ],
    }, 0 if not found else 1


def text(document: Mapping[str, Any]) -> str:
    """Return one line of result, then a line a problem."""
    from springcase.wording import sentence

    if document["ok"]:
        return sentence(
            "family-sound",
            family=document["family"],
            builds=document["builds"],
            different=document["builds_different"],
        )
    lines = [sentence("family-unsound", count=len(document["problems"]))]
    lines += [f"  {problem['reason']}" for problem in document["problems"]]
    return "\n".join(lines)


def _say_progress(number: int) -> None:
    if number and number % _SLOW == 0:
        from springcase.wording import sentence

        sys.stderr.write(sentence("family-progress", number=number) + "\n")
