"""Joint kinds stand in one place; the file format spells the same ones."""

from __future__ import annotations

import typing

from springcase.assembly.family import JointTable
from springcase.bolting.joint import KINDS
from springcase.owner import read_owner


def test_the_file_format_knows_every_joint_kind() -> None:
    """A family file may name exactly the kinds bolting can judge and the owner can price."""
    written = typing.get_args(typing.get_type_hints(JointTable)["kind"])

    assert KINDS == written
    assert set(KINDS) == set(read_owner().planning.joint)
