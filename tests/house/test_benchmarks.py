"""The benchmarks measure what they say: both solvers get one problem, and a miss is a miss."""

from __future__ import annotations

import pytest
from benchmarks import run
from benchmarks.general_solver import solve_by_constraints
from benchmarks.made import BRANCHED, NEAR_CHAIN, WIDE, Shape, make_problem
from benchmarks.made_family import write_family
from benchmarks.rows import Row

from springcase.assembly.expand import build_structure
from springcase.assembly.family_file import read_family
from springcase.assembly.problem import SECOND
from springcase.assembly.solve import solve


@pytest.mark.parametrize("seed", [1, 2, 3])
@pytest.mark.parametrize("shape", [NEAR_CHAIN, BRANCHED, WIDE], ids=lambda shape: shape.name)
def test_the_general_solver_agrees_where_it_proves(shape: Shape, seed: int) -> None:
    """On problems small enough for a general solver both prove the same least cost."""
    problem = make_problem(9, shape, seed)
    answer = solve_by_constraints(problem, 20.0)
    solution = solve(problem)

    assert answer.proven
    assert solution is not None
    assert (answer.cost, True) == (solution.cost // SECOND, solution.optimal)


@pytest.mark.parametrize("parts", [30, 300])
def test_the_made_up_family_reads(parts: int) -> None:
    """The made-up family is a family file like any other, with every part it promises."""
    structure = build_structure(read_family(write_family(parts, seed=1).encode()))

    assert parts + 1 == len(structure.parts)
    assert any(len(operation.needs) > 1 for operation in structure.operations.values())


@pytest.mark.parametrize(
    ("figure", "reference", "is_sound", "passes"),
    [
        (1.0, 10.0, True, True),
        (3.0, 10.0, True, False),
        (1.0, 1.5, True, False),
        (1.0, 10.0, False, False),
    ],
)
def test_a_miss_is_a_miss(figure: float, reference: float, is_sound: bool, passes: bool) -> None:
    """A row passes only with its goal met, its ratio met, and a right answer."""
    row = Row(
        name="planted",
        unit="s",
        figure=figure,
        goal=2.0,
        reference_name="r",
        reference=reference,
        ratio_goal=0.5,
        sound=is_sound,
    )

    assert passes == row.passed


def test_every_benchmark_is_found() -> None:
    """The harness finds each module of measurements, and refuses a name it does not know."""
    assert [
        "flow",
        "gas",
        "paper",
        "performance",
        "plan",
        "spring",
        "start",
        "units",
    ] == run.discover()
    assert 2 == run.main(["no-such"])
