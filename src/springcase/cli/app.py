"""
The command line: find the command, read its arguments, print one document or one text.

Exit codes: 0 everything asked holds, 1 a verdict or a check does not, 2 input unusable, 3 our
own fault, 130 stopped. On 2 and 3 standard output stays empty and standard error has one
sentence.
"""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final, NamedTuple, TextIO

from springcase import __version__
from springcase.cli.registry import COMMANDS, Command, groups
from springcase.errors import BadInput, BrokenPlan, SpringcaseError, UnknownName

if TYPE_CHECKING:
    from datetime import date

DEBUG: Final = "SPRINGCASE_DEBUG"
OWN_SETTINGS: Final = frozenset({DEBUG, "SPRINGCASE_NEED_BROWSER"})
"""Settings that are not figures of the owner."""


class Surroundings(NamedTuple):
    """What a run is given from outside: the settings and today."""

    settings: Mapping[str, str]
    today: date


class Result(NamedTuple):
    """What a run will print and how it ends."""

    out: str
    notes: tuple[str, ...]
    code: int


def run(words: Sequence[str], surroundings: Surroundings) -> int:
    """Run one command line and return its exit code; only a stop comes through."""
    for stream in (sys.stdout, sys.stderr):
        # Under LANG=C the streams would be ASCII; a stream put in place by a test has no encoding.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    try:
        return _print(answer(words, surroundings))
    except Exception as error:
        if _was_stopped(error):
            raise KeyboardInterrupt from None
        return _fail(error, surroundings.settings)


def _was_stopped(error: BaseException | None) -> bool:
    """Return whether a stop lies under an error: one that meets a class being made is wrapped."""
    while error is not None:
        if isinstance(error, KeyboardInterrupt):
            return True
        error = error.__cause__ or error.__context__
    return False


def answer(words: Sequence[str], surroundings: Surroundings) -> Result:
    """
    Return what a command line prints and how it ends.

    Raises
    ------
    SpringcaseError
        If the command refuses; nothing has been printed then.
    """
    if not words or words[0] in ("--help", "-h"):
        return Result(_overview(), (), 0)
    if words[0] == "--version":
        return Result(f"springcase {__version__}\n", (), 0)
    if len(words) > 1 and words[0] in groups() and words[1] in ("--help", "-h"):
        return Result(_overview(words[0] + " "), (), 0)
    command, rest = _find(words)
    module = importlib.import_module(command.module)
    parser = _make_parser(command, module)
    if any(word in ("--help", "-h") for word in rest):
        return Result(parser.format_help(), (), 0)
    arguments = parser.read(rest)
    arguments.settings = {
        name: value for name, value in surroundings.settings.items() if name not in OWN_SETTINGS
    }
    arguments.today = surroundings.today
    document, code = module.document(arguments)
    notes = tuple(str(note) for note in document.get("warnings", ()))
    out = _json(module.FORMAT, document) if arguments.json else module.text(document)
    return Result(out if out.endswith("\n") else out + "\n", notes, code)


def _overview(prefix: str = "") -> str:
    """Return the help of all commands, or of those of one group."""
    shown = [command for command in COMMANDS if command.name.startswith(prefix)]
    width = max(len(command.name) for command in shown)
    lines = [f"  {command.name:<{width}}  {command.help}" for command in shown]
    use = f"usage: springcase {prefix or 'COMMAND '}… [--json] [--owner FILE]"
    return "\n".join(
        [
            use,
            "",
            "The service bench for spring-loaded gas pressure regulators. It advises and never",
            "operates a valve; the maker's instructions, local codes and licensed practice govern.",
            "",
            "commands:",
            *lines,
            "",
            "springcase COMMAND --help says what a command takes; springcase --version says which",
            "Springcase this is.",
            "",
        ]
    )


def _find(words: Sequence[str]) -> tuple[Command, Sequence[str]]:
    """Return the command of a command line and the words left for it."""
    first = words[0]
    names = {command.name: command for command in COMMANDS}
    if first in names:
        return names[first], words[1:]
    if first.startswith("-"):
        raise BadInput("flag-before-command", value=first, right="COMMAND")
    from springcase.cli.parser import nearest

    seconds = groups().get(first)
    if seconds is None:
        known = sorted({name.partition(" ")[0] for name in names})
        typed, near = first, nearest(first, known)
    elif len(words) == 1 or words[1].startswith("-"):
        raise BadInput("command-missing", field=f"springcase {first}", right=seconds)
    elif words[1] in seconds:
        return names[f"{first} {words[1]}"], words[2:]
    else:
        known = [f"{first} {second}" for second in seconds]
        typed = f"{first} {words[1]}"
        near = nearest(typed, known) if nearest(words[1], seconds) else ""
    if near:
        raise UnknownName("command-unknown-near", field="command", value=typed, right=near)
    raise UnknownName("command-unknown", field="command", value=typed, right=known)


def _make_parser(command: Command, module: Any) -> Any:
    from springcase.cli.parser import Parser

    parser = Parser(f"springcase {command.name}", command.help)
    module.add_arguments(parser)
    parser.add_argument("--json", action="store_true", help="print one JSON document")
    parser.add_argument("--owner", metavar="FILE", help="the owner's figures (owner.toml)")
    parser.add_argument(
        "--figure",
        metavar="NAME=VALUE",
        action="append",
        default=[],
        help="one of the owner's figures for this run; springcase owner show lists them",
    )
    return parser


def _json(name: str, document: Mapping[str, Any]) -> str:
    """Return a document as JSON, what it is first."""
    import json

    first = {
        "format": name,
        "version": document.get("version", 1),
        "warnings": list(document.get("warnings", ())),
        "sources": list(document.get("sources", ())),
    }
    whole = first | {key: value for key, value in document.items() if key not in first}
    return json.dumps(whole, ensure_ascii=False, allow_nan=False, indent=2)


def _print(result: Result) -> int:
    try:
        sys.stdout.write(result.out)
        sys.stdout.flush()
        for note in result.notes:
            sys.stderr.write(note + "\n")
    except BrokenPipeError:
        # The reader has what it wanted; without this Python complains once more at its exit.
        _discard(sys.stdout)
    return result.code


def _discard(stream: TextIO) -> None:
    sink = os.open(os.devnull, os.O_WRONLY)
    os.dup2(sink, stream.fileno())
    os.close(sink)


def _fail(error: Exception, settings: Mapping[str, str]) -> int:
    """Print one sentence on standard error and return the exit code."""
    from springcase.wording import explain, sentence

    if settings.get(DEBUG) == "1":
        import traceback

        traceback.print_exception(error)
    try:
        if isinstance(error, SpringcaseError):
            sys.stderr.write(explain(error) + "\n")
            return 3 if isinstance(error, BrokenPlan) else 2
    except KeyError as missing:
        # A sentence that cannot be made is our fault, whatever the input was.
        error = missing
    sys.stderr.write(sentence("run-failed", error=f"{type(error).__name__}: {error}") + "\n")
    return 3
