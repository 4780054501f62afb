"""Problems of a build's joints: tool, torque or its reason, and whether the torque breaks it."""

from __future__ import annotations

from collections.abc import Iterator, MutableMapping

from springcase.assembly.model import Joint, Structure
from springcase.bolting.joint import (
    KINDS_WITHOUT_TORQUE,
    judge_torque,
    lubrication_fault,
    read_limits,
    torque_ceiling,
)
from springcase.errors import SpringcaseError
from springcase.formats import Problem
from springcase.standards.strength import grade
from springcase.standards.threads import thread


def find_joint_problems(
    structure: Structure, *, proof_share: float, dry_factor: float, lubricated_factor: float
) -> Iterator[Problem]:
    """Yield every problem of the joints of a build. Shares and nut factors of the owner. [-]"""
    for id, joint in structure.joints.items():
        path = f"joint.{id}"
        if not joint.tool and not joint.no_torque:
            yield Problem(code="joint-without-tool", path=f"{path}.tool", id=id)
        if joint.torque is None:
            yield from _without_torque(joint, path)
            continue
        factor = lubricated_factor if joint.lubricated else dry_factor
        yield from _judge(structure, joint, path, proof_share, factor)
        if joint.count > 1 and not joint.pattern:
            yield Problem(code="pattern-missing", path=f"{path}.pattern", id=id, value=joint.count)
        rising = list(joint.passes) == sorted(set(joint.passes)) and joint.passes[-1] == 100
        if not rising:
            yield Problem(
                code="passes-not-rising", path=f"{path}.passes", id=id, value=joint.passes
            )


def find_figure_kept(
    structure: Structure, oiled: MutableMapping[tuple[str, float], bool]
) -> Iterator[Problem]:
    """Yield the joints dry in one build and lubricated in another at one torque; fills `oiled`."""
    for id, joint in structure.joints.items():
        if joint.torque is None:
            continue
        value = joint.torque.value
        fault = lubrication_fault(
            lubricated_before=oiled.setdefault((id, value), bool(joint.lubricated)),
            lubricated_after=bool(joint.lubricated),
            torque_before=value,
            torque_after=value,
            field=f"joint.{id}.torque",
        )
        if fault is not None:
            yield Problem(
                code=fault.code,
                path=fault.field,
                id=id,
                value=fault.value,
                right=fault.right,
                facts=fault.facts,
            )


def _without_torque(joint: Joint, path: str) -> Iterator[Problem]:
    if joint.kind not in KINDS_WITHOUT_TORQUE and not joint.no_torque:
        yield Problem(
            code="joint-without-torque", path=f"{path}.torque", id=joint.id, value=joint.kind
        )
    elif not joint.turns and not joint.no_torque:
        yield Problem(
            code="joint-without-turns", path=f"{path}.turns", id=joint.id, value=joint.kind
        )


def _judge(
    structure: Structure, joint: Joint, path: str, proof_share: float, factor: float
) -> Iterator[Problem]:
    """Yield what is wrong with a stated torque, judged against everything that bounds it."""
    try:
        bolt = thread(joint.thread, field=f"{path}.thread") if joint.thread else None
        strength = (
            grade(joint.grade, bolt.diameter, field=f"{path}.grade")
            if joint.grade and bolt is not None
            else None
        )
        fastener = structure.parts.get(joint.fastener)
        ceiling = torque_ceiling(
            thread=bolt,
            grade=strength,
            count=joint.count,
            limits=read_limits(joint.limits, field=f"{path}.limits"),
            nut_factor=factor,
            proof_share=proof_share,
            screw_material=fastener.material if fastener is not None and strength is None else "",
        )
        faults = judge_torque(
            kind=joint.kind,
            torque=joint.torque.value if joint.torque else None,
            low=joint.torque_low.value if joint.torque_low else None,
            high=joint.torque_high.value if joint.torque_high else None,
            ceiling=ceiling,
            field=f"{path}.torque",
        )
    except SpringcaseError as error:
        faults = (error,)
    for fault in faults:
        yield Problem(
            code=fault.code,
            path=fault.field,
            id=joint.id,
            value=fault.value,
            right=fault.right,
            facts=fault.facts,
        )
