"""
The commands: their words, help lines and the module that answers each.

A command's module is imported when that command is called and not before, so that help is
instant and one command's heavy packages never slow another.

A module offers `NAME` (its words), `HELP`, `FORMAT` (the name of the document it returns),
`add_arguments(parser)`, `document(arguments) -> (document, exit code)`, `text(document) -> str`.
"""

from __future__ import annotations

from typing import Final, NamedTuple


class Command(NamedTuple):
    """One command: what is typed, what help says, where it is."""

    name: str
    help: str
    module: str


COMMANDS: Final = (
    Command("plan", "the bench sheet for exactly this build and scope", "springcase.cli.plan"),
    Command("kit", "one list for a day, merged from plans", "springcase.cli.kit"),
    Command("torque", "preload and torque, wrench setting, bolt order", "springcase.cli.torque"),
    Command("family check", "prove a family file sound", "springcase.cli.family"),
    Command("owner show", "the owner's figures and their sources", "springcase.cli.owner_command"),
    Command("schema", "the JSON Schema of a file format", "springcase.cli.schema_command"),
    Command("spring", "rate, stress, set range, which spring is inside", "springcase.cli.spring"),
    Command("convert", "units and base conditions", "springcase.cli.convert"),
    Command(
        "gas", "properties of a gas, and its temperature after a throttle", "springcase.cli.gas"
    ),
    Command("flow", "gas through a restriction", "springcase.cli.flow"),
    Command("relief", "relief area, designation and capacity", "springcase.cli.relief"),
    Command("curve", "set point, droop, lock-up, wide-open flow", "springcase.cli.curve"),
    Command("decide", "a value against a limit with uncertainty", "springcase.cli.decide"),
    Command(
        "leak", "a leak by held pressure, bubbles or meter, and its verdict", "springcase.cli.leak"
    ),
)


def groups() -> dict[str, list[str]]:
    """Return the second words a first word takes, for commands of two words."""
    found: dict[str, list[str]] = {}
    for command in COMMANDS:
        first, _, second = command.name.partition(" ")
        if second:
            found.setdefault(first, []).append(second)
    return found
