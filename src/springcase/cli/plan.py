"""`springcase plan`: the bench sheet for exactly this build and scope."""

from __future__ import annotations

import argparse
import math
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from springcase.cli.owner_choice import chosen_owner
from springcase.errors import BadInput

if TYPE_CHECKING:
    from datetime import date

    from springcase.assembly.family import Family
    from springcase.assembly.model import Goal, Question, Structure
    from springcase.job.plan import JobPlan
    from springcase.owner import Owner
    from springcase.paper.document import SheetDocument

NAME: Final = "plan"
HELP: Final = "the bench sheet for exactly this build and scope"
FORMAT: Final = "springcase/plan"


class Answer(dict[str, Any]):
    """The plan's document, with the sheet it is shown by where one was made."""

    sheet: SheetDocument | None = None
    plain: bool = False


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what a plan is asked by."""
    add = parser.add_argument
    add("--family", required=True, metavar="NAME_OR_FILE", help="a family file, or its name")
    add("--set", action="append", default=[], metavar="OPTION=VALUE", help="as the plate says")
    add("--scope", default="", metavar="NAME", help="a named scope of the family")
    for kind in ("reach", "inspect", "renew"):
        add(f"--{kind}", nargs="+", action="extend", default=[], metavar="PART", help=f"{kind} it")
    add(
        "--removed",
        nargs="+",
        action="extend",
        default=[],
        metavar="PART",
        help="what is off already, or a lump by its name",
    )
    add(
        "--done",
        nargs="+",
        action="extend",
        default=[],
        metavar="STEP",
        help="steps done already, in order (strip:… and split:… as the sheet calls them)",
    )
    add(
        "--found",
        nargs="+",
        action="extend",
        default=[],
        metavar="PART",
        help="parts a finding asks to renew: the plan is made again from what is off now",
    )
    add("--place", default="bench", help="line or bench (bench if left out)")
    add("--policy", default="least", help="least, while-open or full-kit")
    add("--gas", default="", help="the service gas (the family's first if left out)")
    for name, words in (
        ("tag", "tag of the unit"),
        ("serial", "serial number"),
        ("position", "where it is fitted"),
        ("role", "worker, monitor, relief …"),
        ("set-point", "set point as the card says, with unit"),
        ("inlet", "highest inlet pressure, with unit and reference"),
        ("wrench", "the torque tool you would take, by its id in the owner's figures"),
        ("tool-reason", "why to go on with a torque tool that does not fit"),
    ):
        add(f"--{name}", default="", metavar="TEXT", help=words)
    add("--pdf", default="", metavar="OUT", help="write the sheet as PDF")
    add("--html", default="", metavar="OUT", help="write the sheet as one page of HTML")
    add("--picture", default="", metavar="OUT", help="write the stack-up picture as SVG")
    add("--plain", action="store_true", help="plain ASCII on the terminal")


def document(arguments: argparse.Namespace) -> tuple[Answer, int]:
    """Return the plan as a document; write the papers asked for."""
    from springcase.job.plan import make_job_plan
    from springcase.job_file.plan_document import plan_document

    build, owner = _read_build(arguments), chosen_owner(arguments)
    _check_wrench(arguments.wrench, owner)
    question = _ask(arguments, build.structure)
    job = make_job_plan(build, question, owner)
    answer = Answer(plan_document(job))
    answer.plain = arguments.plain
    answer["warnings"] = _warnings(job, arguments)
    if not arguments.json or arguments.pdf or arguments.html:
        answer.sheet = _make_sheet(job, owner, arguments)
    _write_papers(arguments, job, answer.sheet)
    return answer, 0


def text(document: Mapping[str, Any]) -> str:
    """Return the sheet for the terminal."""
    from springcase.paper.terminal import write_terminal

    if not isinstance(document, Answer) or document.sheet is None:
        raise RuntimeError("a plan shown as text has its sheet")
    return write_terminal(document.sheet, ascii=document.plain)


def read_named_family(name: str) -> Family:
    """
    Return a family by its file, or by its name in the scenario.

    Raises
    ------
    UnknownName
        If it is neither.
    UnreadableFile
        With every problem of the file.
    """
    from springcase.assembly.family_file import read_family
    from springcase.scenario import FAMILIES, family_path

    is_name = name in FAMILIES or not (name.endswith(".toml") or "/" in name or Path(name).exists())
    return read_family(family_path(name) if is_name else name)


def _read_build(arguments: argparse.Namespace) -> Any:
    from springcase.assembly.family_file import family_digest
    from springcase.job.build import make_build
    from springcase.job.nameplate import Nameplate

    family = read_named_family(arguments.family)
    nameplate = Nameplate(
        family=family.family.id,
        family_digest=family_digest(family),
        options=read_options(arguments.set),
        tag=arguments.tag,
        position=arguments.position,
        role=arguments.role,
        serial=arguments.serial,
    )
    return make_build(nameplate, family)


def _check_wrench(wanted: str, owner: Owner) -> None:
    """Refuse a torque tool the owner does not have, whether or not the sheet would need it."""
    known = [tool.id for tool in owner.torque_tools]
    if wanted and wanted not in known:
        right = known or "a torque tool of your owner's file"
        raise BadInput("tool-not-in-kit", field="--wrench", value=wanted, right=right)


def read_options(words: Sequence[str]) -> dict[str, str]:
    """
    Return `--set` words as options.

    Raises
    ------
    BadInput
        If a word is not OPTION=VALUE, or one option is set to two values.
    """
    chosen: dict[str, str] = {}
    for word in words:
        option, equals, value = word.partition("=")
        if not equals or not option or not value:
            raise BadInput("set-not-assigned", field="--set", value=word, right="OPTION=VALUE")
        if chosen.setdefault(option, value) != value:
            raise BadInput(
                "set-twice", field="--set", value=word, right=f"{option}={chosen[option]}"
            )
    return chosen


def _ask(arguments: argparse.Namespace, structure: Structure) -> Question:
    """Return the question the words of a command line ask."""
    from springcase.assembly.model import Goal, GoalKind, Policy, Question
    from springcase.assembly.planner import scope_goals

    policies = [policy.value for policy in Policy]
    if arguments.policy not in policies:
        raise BadInput("policy-unknown", field="--policy", value=arguments.policy, right=policies)
    goals: list[Goal] = list(scope_goals(structure, arguments.scope)) if arguments.scope else []
    for kind in (GoalKind.REACH, GoalKind.INSPECT, GoalKind.RENEW):
        goals += [Goal(kind=kind, part=part) for part in getattr(arguments, kind.value)]
    goals += [Goal(kind=GoalKind.RENEW, part=part) for part in arguments.found]
    if arguments.done and arguments.removed:
        raise BadInput(
            "done-and-removed", field="--done", value="--removed", right="one of the two"
        )
    return Question(
        goals=tuple(dict.fromkeys(goals)),
        place=arguments.place,
        gas=arguments.gas or structure.services[0],
        scope=arguments.scope,
        policy=Policy(arguments.policy),
        removed=tuple(dict.fromkeys(arguments.removed)),
        done=tuple(step.partition(":")[2] or step for step in arguments.done),
        found=tuple(dict.fromkeys(arguments.found)),
    )


def _warnings(job: JobPlan, arguments: argparse.Namespace) -> list[str]:
    from springcase.wording import sentence

    structure, notes = job.build.structure, []
    if structure.defaulted:
        notes.append(sentence("plan-defaulted", options=list(structure.defaulted)))
    if not arguments.gas:
        notes.append(sentence("plan-gas-assumed", gas=job.asked.gas))
    if not job.plan.optimal:
        notes.append(
            sentence(
                "plan-not-proved",
                cost=round(job.plan.cost / 60, 1),
                bound=round(job.plan.bound / 60, 1),
            )
        )
    return notes


def _gauge(text: str, field: str) -> float:
    """Return a pressure as gauge in pascal; infinite where nothing is stated."""
    from springcase.units import parse_quantity

    if not text:
        return math.inf
    quantity = parse_quantity(text, "pressure", field=field)
    # An absolute pressure bounds the gauge pressure from above, which errs to the safe side.
    return quantity.value


def _make_sheet(job: JobPlan, owner: Owner, arguments: argparse.Namespace) -> SheetDocument:
    from springcase.paper.bench_sheet import draw_sheet
    from springcase.paper.given import UnitCard

    card = UnitCard(
        tag=arguments.tag,
        serial=arguments.serial,
        position=arguments.position,
        role=arguments.role,
        set_point=arguments.set_point,
        inlet=arguments.inlet,
    )
    if arguments.set_point:
        _gauge(arguments.set_point, "--set-point")
    return draw_sheet(
        job,
        owner,
        card=card,
        today=arguments.today,
        wrench=arguments.wrench,
        tool_reason=arguments.tool_reason,
        highest_gauge=_gauge(arguments.inlet, "--inlet"),
    )


def _write_papers(arguments: argparse.Namespace, job: JobPlan, sheet: SheetDocument | None) -> None:
    if arguments.pdf and sheet is not None:
        from springcase.paper.pdf import write_pdf

        _write(arguments.pdf, "--pdf", write_pdf(sheet, timestamp=_midnight(arguments.today)))
    if arguments.html and sheet is not None:
        from springcase.paper.html import write_html

        _write(arguments.html, "--html", write_html(sheet).encode())
    if arguments.picture:
        from springcase.paper.bench_sheet import draw_pictures

        pictures = draw_pictures(job)
        target = Path(arguments.picture)
        for number, picture in enumerate(pictures, start=1):
            name = target if number == 1 else target.with_stem(f"{target.stem}-{number}")
            _write(str(name), "--picture", picture.encode())


def _midnight(today: date) -> Any:
    """Return the start of a day in UTC: the same day gives the same bytes."""
    from datetime import UTC, datetime, time

    return datetime.combine(today, time(), tzinfo=UTC)


def _write(path: str, field: str, content: bytes) -> None:
    try:
        Path(path).write_bytes(content)
    except OSError as error:
        raise BadInput(
            "cannot-write", field=field, value=path, right=error.strerror or "a writable file"
        ) from None
