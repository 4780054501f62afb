"""The plan of a job: a build, a question, the owner's figures, and the proven answer."""

from __future__ import annotations

from dataclasses import dataclass

from springcase.assembly.model import Plan, Question, Weights
from springcase.assembly.planner import NextPolicy, make_plan, next_policy
from springcase.digest import digest
from springcase.job.build import Build, build_digest
from springcase.owner import Owner, owner_digest


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPlan:
    """
    A proven plan with what it stands on.

    `of` is the digest of the build, `asked` the question before the policy widened it,
    `digest` that of the whole plan, `following` what the next wider policy would add.
    """

    of: str
    build: Build
    asked: Question
    plan: Plan
    following: NextPolicy | None
    owner_digest: str
    digest: str


def weigh(owner: Owner) -> Weights:
    """Return the owner's costs as the planner's weights. [s]"""
    planning = owner.planning
    return Weights(
        tool_change=planning.tool_change,
        turn_over=planning.turn_over,
        lift=planning.lift,
        joint=planning.joint,
        renewal=planning.renewal,
    )


def make_job_plan(build: Build, question: Question, owner: Owner) -> JobPlan:
    """
    Return the proven plan of a job.

    Raises
    ------
    UnknownName, BadInput, NoPlan, BrokenPlan
        As `springcase.assembly.planner.make_plan`.
    """
    weights = weigh(owner)
    plan = make_plan(build.structure, question, weights)
    following = next_policy(build.structure, plan, question, weights)
    figures = owner_digest(owner)
    of = build_digest(build)
    return JobPlan(
        of=of,
        build=build,
        asked=question,
        plan=plan,
        following=following,
        owner_digest=figures,
        digest=_plan_digest(of, figures, plan),
    )


def _plan_digest(of: str, figures: str, plan: Plan) -> str:
    """Return the digest of a plan: what it was asked, what it stands on, every step."""
    question = plan.question
    return digest(
        {
            "of": of,
            "owner": figures,
            "place": question.place,
            "gas": question.gas,
            "scope": question.scope,
            "policy": question.policy.value,
            "goals": [f"{goal.kind.value}:{goal.part}" for goal in question.goals],
            "already": list(plan.already),
            "steps": [
                {
                    "id": step.id,
                    "new": list(step.new),
                    "torque": step.torque.text if step.torque else None,
                    "share": step.share,
                    "lubricant": step.lubricant,
                    "count": step.count,
                }
                for step in plan.steps
            ],
        }
    )
