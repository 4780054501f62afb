"""`springcase kit`: one list for a day, merged from the plans `springcase plan --json` printed."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import Any, Final

NAME: Final = "kit"
HELP: Final = "one list for a day, merged from plans"
FORMAT: Final = "springcase/kit"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the plans."""
    parser.add_argument("plan", nargs="+", metavar="PLAN", help="a plan as --json printed it")


def document(arguments: argparse.Namespace) -> tuple[dict[str, Any], int]:
    """Return the merged kit: parts added up, tools and papers taken once."""
    from springcase.assembly.kit import merge_kits
    from springcase.job_file.plan_document import kit_document, read_kit, read_plan_document

    plans = [read_plan_document(path) for path in arguments.plan]
    merged = merge_kits(read_kit(plan) for plan in plans)
    return {
        "plans": [
            {"family": plan.family.id, "scope": plan.scope, "digest": plan.digest} for plan in plans
        ],
        "kit": [kit_document(line) for line in merged],
    }, 0


def text(document: Mapping[str, Any]) -> str:
    """Return the list as the sheet prints a kit: a group, then a line each."""
    from springcase.assembly.kit import group_lines
    from springcase.assembly.model import KitLine
    from springcase.paper.kit_words import group_words, line_words
    from springcase.wording import sentence

    jobs = ", ".join(f"{plan['family']} {plan['scope']}".strip() for plan in document["plans"])
    out = [sentence("kit-for", jobs=jobs)]
    for group, lines in group_lines(KitLine(**line) for line in document["kit"]).items():
        out += ["", group_words(group)]
        for line in lines:
            spare = sentence("kit-spare") if line.on_finding else ""
            cells = (f"{line.count} ×", line_words(line), line.size, spare)
            out.append("  [ ] " + "  ".join(cell for cell in cells if cell))
    return "\n".join(out)
