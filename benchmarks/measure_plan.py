"""
The planner: the sixty-part family beside a general solver, 300 parts, wide graphs.

The general solver (CP-SAT, two workers) is given the very same problem in `general_solver`.
Where it proves an optimum, or states a bound, the planner's answer must agree with it.
"""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from benchmarks.general_solver import Answer, solve_by_constraints
from benchmarks.made import BRANCHED, NEAR_CHAIN, WIDE, make_problem
from benchmarks.made_family import write_family
from benchmarks.rows import Point, Row, median_seconds, once_seconds
from springcase.assembly.expand import build_structure
from springcase.assembly.family_file import read_family
from springcase.assembly.model import Plan, Question, Weights
from springcase.assembly.planner import make_plan, scope_goals
from springcase.assembly.pose import pose
from springcase.assembly.problem import SECOND
from springcase.assembly.solve import solve
from springcase.owner.read import read_owner
from springcase.scenario import family_path

LIMIT = 20.0
SCRIPT = str(Path(sys.executable).parent / "springcase")


def measure() -> Iterator[Row | Point]:
    """Measure the planner."""
    yield from measure_dogwood()
    yield from measure_large()
    yield from measure_wide()
    yield from measure_sizes()


def measure_dogwood() -> Iterator[Row]:
    """Plan the overhaul of Dogwood, exact and checked, in a warm process."""
    weights = default_weights()
    structure = build_structure(read_family(family_path("dogwood")))
    goals = scope_goals(structure, "overhaul")
    question = Question(goals=goals, place="bench", gas=structure.services[0], scope="overhaul")

    def plan_and_check() -> Plan:
        # Every plan is checked by the independent checker before it is returned.
        return make_plan(structure, question, weights)

    plan = plan_and_check()
    answer = solve_by_constraints(pose(structure, weights, goals, "bench").problem, LIMIT)
    agree = plan.optimal and agrees(plan.cost, plan.bound, answer)
    yield Row(
        name=f"plan dogwood overhaul, {len(structure.parts)} parts, warm",
        unit="s",
        figure=median_seconds(plan_and_check, 9),
        goal=0.05,
        reference_name="CP-SAT",
        reference=answer.seconds,
        ratio_goal=0.1,
        sound=agree,
        note=said(plan.cost, plan.bound, answer),
    )


def measure_large() -> Iterator[Row]:
    """Plan a made-up family of 300 parts by the command line, in a process of its own."""
    text = write_family(300, seed=1)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "made.toml"
        file.write_text(text, encoding="utf-8")
        words = (SCRIPT, "plan", "--family", str(file), "--scope", "overhaul", "--json")
        with (Path(folder) / "plan.json").open("w+b") as out:
            began = time.perf_counter()
            process = subprocess.Popen(words, stdout=out)
            _, status, usage = os.wait4(process.pid, 0)
            seconds = time.perf_counter() - began
            out.seek(0)
            document = json.loads(out.read()) if status == 0 else {}
    structure = build_structure(read_family(text.encode()))
    goals = scope_goals(structure, "overhaul")
    posed = pose(structure, default_weights(), goals, "bench")
    answer = solve_by_constraints(posed.problem, LIMIT)
    solution = solve(posed.problem)
    whole = status == 0 and len(document["removed"]) >= 300 and solution is not None
    cost, bound = (solution.cost // SECOND, solution.bound // SECOND) if solution else (0, 0)
    sound = whole and agrees(cost, bound, answer)
    yield Row(
        name="plan 300 parts, cold, whole command",
        unit="s",
        figure=seconds,
        goal=2.0,
        reference_name="CP-SAT",
        reference=answer.seconds,
        ratio_goal=0.2,
        sound=sound,
        note=said(cost, bound, answer),
    )
    yield Row(
        name="the same, memory at its highest",
        unit="B",
        figure=usage.ru_maxrss * 1024.0,
        goal=500e6,
        reference_name="process of CP-SAT",
        reference=float(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024),
        ratio_goal=1.0,
        sound=sound,
    )


def measure_wide() -> Iterator[Row]:
    """Order 60 parts of a wide random graph: bounded effort, a plan and a proven bound."""
    for seed in (1, 2, 3):
        problem = make_problem(60, WIDE, seed)
        seconds, solution = once_seconds(lambda problem=problem: solve(problem))
        answer = solve_by_constraints(problem, LIMIT / 2)
        cost, bound = (solution.cost // SECOND, solution.bound // SECOND) if solution else (0, 0)
        yield Row(
            name=f"wide random graph, 60 parts, 6 %, seed {seed}",
            unit="s",
            figure=seconds,
            goal=5.0,
            reference_name="CP-SAT",
            reference=answer.seconds,
            ratio_goal=1.0,
            sound=solution is not None and agrees(cost, bound, answer),
            note=said(cost, bound, answer),
        )


def measure_sizes() -> Iterator[Point]:
    """Time against parts, for three shapes of access."""
    for shape in (NEAR_CHAIN, BRANCHED, WIDE):
        for parts in (10, 20, 40, 60, 100, 200, 300):
            problem = make_problem(parts, shape, seed=1)
            seconds, solution = once_seconds(lambda problem=problem: solve(problem))
            cost, bound = (solution.cost, solution.bound) if solution else (0, 0)
            yield Point(
                parts=parts,
                shape=shape.name,
                seconds=seconds,
                cost=cost // SECOND,
                bound=bound // SECOND,
                effort=solution.effort if solution else 0,
                found=solution is not None,
            )


def default_weights() -> Weights:
    """Return the costs of the shipped owner's figures. [s]"""
    planning = read_owner().planning
    return Weights(
        tool_change=planning.tool_change,
        turn_over=planning.turn_over,
        lift=planning.lift,
        joint=planning.joint,
        renewal=planning.renewal,
    )


def agrees(cost: int, bound: int, answer: Answer) -> bool:
    """Whether two plans with their bounds can both be right. [s]"""
    ours = bound <= cost and answer.bound <= cost
    return ours and (answer.cost is None or bound <= answer.cost)


def said(cost: int, bound: int, answer: Answer) -> str:
    """Say what both found."""
    theirs = "none" if answer.cost is None else f"{answer.cost} s"
    ours = "proven" if cost == bound else f"bound {bound}"
    proven = "proven" if answer.proven else f"bound {answer.bound}"
    return f"ours {cost} s {ours}; reference {theirs} {proven}"
