"""A job's plan as one stable document: format `springcase/plan`, version 1."""

from __future__ import annotations

import os
from typing import Any

from springcase.assembly.model import KitLine, Step, StepKind
from springcase.formats import convert_table, raise_problems, read_json_document
from springcase.job.plan import JobPlan
from springcase.job_file.plan_table import PLAN_FORMAT, PlanTable


def plan_document(job: JobPlan) -> dict[str, Any]:
    """Return the document of a plan: SI numbers, minutes where the key says so."""
    plan, structure = job.plan, job.build.structure
    steps = [step_document(step) for step in plan.steps]
    following = job.following
    return {
        "digest": job.digest,
        "family": {
            "id": structure.family,
            "name": structure.name,
            "edition": structure.edition,
            "digest": structure.family_digest,
        },
        "of": job.of,
        "owner_digest": job.owner_digest,
        "build": dict(structure.options),
        "defaulted": list(structure.defaulted),
        "unusual": list(structure.unusual),
        "scope": job.asked.scope,
        "goals": [{"kind": goal.kind.value, "part": goal.part} for goal in plan.question.goals],
        "policy": job.asked.policy.value,
        "place": plan.question.place,
        "gas": plan.question.gas,
        "removed": list(plan.parts_off),
        "already_off": [
            part
            for id in plan.already
            for part in structure.operations[id].parts
            if part in structure.operations[id].takes
        ],
        "order": list(plan.order),
        "rebuild": list(plan.rebuild),
        "steps": steps,
        "minutes": _minutes(plan.seconds_whole),
        "minutes_strip": _minutes(plan.seconds_strip),
        "minutes_rebuild": _minutes(plan.seconds_rebuild),
        "cost_minutes": _minutes(plan.cost),
        "bound_minutes": _minutes(plan.bound),
        "gap": (plan.cost - plan.bound) / plan.cost if plan.cost else 0.0,
        "optimal": plan.optimal,
        "joints_opened": list(plan.joints_opened),
        "seals_disturbed": list(plan.seals_disturbed),
        "renewed": list(plan.renewed),
        "tools": list(dict.fromkeys(step.tool for step in plan.steps if step.tool)),
        "kit": [kit_document(line) for line in plan.kit],
        "next_policy": None
        if following is None
        else {
            "policy": following.policy.value,
            "adds": list(following.adds),
            "minutes": _minutes(following.seconds),
        },
    }


def step_document(step: Step) -> dict[str, Any]:
    """Return a step with the facts it holds; empty facts are left out."""
    facts: dict[str, Any] = {
        "id": step.id,
        "kind": step.kind.value,
        "phase": step.phase.value,
        "operation": step.operation,
        "parts": list(step.parts),
        "new": list(step.new),
        "joint": step.joint,
        "check": step.check,
        "energy": step.energy,
        "act": step.act,
        "mark": step.mark,
        "lubricant": step.lubricant,
        "tool": step.tool,
        "side": step.side,
        "place": step.place,
        "reading": step.reading,
        "number": step.number,
        "minutes": _minutes(step.seconds),
    }
    document = {key: value for key, value in facts.items() if value or key == "parts"}
    document["count"] = step.count
    if step.torque is not None:
        document["torque"] = step.torque.text
        document["torque_n_m"] = step.torque.value
        if step.kind is StepKind.TORQUE:
            document["share_percent"] = step.share or 100
    return document


def kit_document(line: KitLine) -> dict[str, Any]:
    """Return one line of the kit."""
    return {
        "id": line.id,
        "group": line.group,
        "words": line.words,
        "count": line.count,
        "size": line.size,
        "why": line.why,
        "on_finding": line.on_finding,
    }


def read_plan_document(path: str | os.PathLike[str] | bytes) -> PlanTable:
    """
    Return a plan's document from its file.

    Raises
    ------
    UnreadableFile
        If it cannot be read as a plan, with every problem of it.
    """
    document = read_json_document(path, PLAN_FORMAT)
    table, problems = convert_table(document.tables, PlanTable, "")
    raise_problems(problems, document.name)
    if table is None:
        raise RuntimeError("a plan without problems must convert")
    return table


def read_kit(table: PlanTable) -> tuple[KitLine, ...]:
    """Return the kit of a plan's document."""
    return tuple(
        KitLine(
            id=line.id,
            group=line.group,
            words=line.words,
            count=line.count,
            size=line.size,
            why=line.why,
            on_finding=line.on_finding,
        )
        for line in table.kit
    )


def _minutes(seconds: int) -> float:
    return round(seconds / 60, 2)
