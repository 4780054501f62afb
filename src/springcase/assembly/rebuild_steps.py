"""The steps of a rebuild: clean, renew, lubricate, fit, check, torque, each in its place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from springcase.assembly.disturbed import Disturbance, exchanged_parts
from springcase.assembly.model import (
    Act,
    Check,
    Joint,
    OperationKind,
    Phase,
    Question,
    Step,
    StepKind,
    Structure,
    loose,
)
from springcase.assembly.pose import setup_of
from springcase.assembly.rebuild import find_places, rebuild_only


def rebuild_steps(
    structure: Structure,
    question: Question,
    done: tuple[str, ...],
    rebuild: tuple[str, ...],
    disturbance: Disturbance,
) -> Iterator[Step]:
    """Yield the whole rebuild in order, from clean faces to rags out."""
    yield from _Rebuild(structure, question, done, rebuild, disturbance).steps()


def torque_name(joint: Joint) -> str:
    """Return what the torque steps of a joint are called after: its fastener, or itself."""
    return joint.fastener or joint.id


class _Rebuild:
    def __init__(
        self,
        structure: Structure,
        question: Question,
        done: tuple[str, ...],
        rebuild: tuple[str, ...],
        disturbance: Disturbance,
    ) -> None:
        self.structure = structure
        self.question = question
        self.rebuild = rebuild
        self.disturbance = disturbance
        operations = structure.operations
        self.open_joints = {
            joint: {id for id in rebuild if joint in operations[id].opens}
            for joint in disturbance.joints
        }
        self.places = find_places(structure, done)
        self.brought = frozenset(exchanged_parts(structure, question))
        self.back: set[str] = set()
        self.cleaned: set[str] = set()
        self.in_place = self._renewed_in_place()
        self.waiting: list[tuple[Act | Check, set[str]]] = []
        for item in rebuild_only(structure):
            after, _ = self.places.moment(item)
            if after and not self.brought.issuperset(item.after_fit):
                self.waiting.append((item, after))

    def _renewed_in_place(self) -> dict[str, set[str]]:
        """Return, for each part renewed where it sits, the operations it must come before."""
        facts = self.disturbance.facts
        found = {}
        for part in self.disturbance.renewed:
            if loose(part) in facts or part in exchanged_parts(self.structure, self.question):
                continue
            found[part] = {
                id
                for id in self.rebuild
                if part in self.structure.operations[id].withdraws
                or any(
                    part in self.structure.joints[joint].seals
                    for joint in self.structure.operations[id].opens
                )
            }
        return found

    def steps(self) -> Iterator[Step]:
        for id in self.rebuild:
            yield from self._before_fit(id)
            operation = self.structure.operations[id]
            setup = setup_of(operation, self.question.place)
            kind = StepKind.JOIN if operation.kind is OperationKind.SPLIT else StepKind.FIT
            new = self._new(id)
            yield Step(
                id=f"{kind}:{id}",
                kind=kind,
                phase=Phase.REBUILD,
                operation=id,
                parts=operation.parts,
                new=new,
                tool=setup.tool,
                side=setup.side,
                place=setup.place,
                count=self._count(operation.parts),
                seconds=operation.seconds_on,
            )
            self.back.add(id)
            yield from self._after_fit(id)
        for joint in self.disturbance.joints:
            table = self.structure.joints[joint]
            if table.retorque and table.torque is not None:
                yield self._torque(table, "retorque", 0)
        yield Step(id="rags:out", kind=StepKind.RAGS, phase=Phase.REBUILD, reading="rags out")

    def _count(self, parts: tuple[str, ...]) -> int:
        return self.structure.parts[parts[0]].count if len(parts) == 1 else 1

    def _new(self, id: str) -> tuple[str, ...]:
        return tuple(
            part
            for part in self.structure.operations[id].parts
            if part in self.disturbance.renewed
            and part not in self.in_place
            and self.places.brings.get(part) == id
        )

    def _before_fit(self, id: str) -> Iterator[Step]:
        operation = self.structure.operations[id]
        yield from self._clean(operation.opens)
        for part in [part for part, before in self.in_place.items() if id in before]:
            if f"renew:{part}" not in self.cleaned:
                self.cleaned.add(f"renew:{part}")
                joints = self.structure.joints
                yield from self._clean(j for j in self.open_joints if part in joints[j].seals)
                yield from self._lubricate(part)
                yield Step(
                    id=f"renew:{part}",
                    kind=StepKind.RENEW,
                    phase=Phase.REBUILD,
                    parts=(part,),
                    new=(part,),
                )
        for part in operation.parts:
            if self.places.brings.get(part) == id and part not in self.in_place:
                yield from self._lubricate(part)

    def _clean(self, joints: Iterable[str]) -> Iterator[Step]:
        for joint in [each for each in joints if each not in self.cleaned]:
            self.cleaned.add(joint)
            yield Step(id=f"clean:{joint}", kind=StepKind.CLEAN, phase=Phase.REBUILD, joint=joint)

    def _lubricate(self, part: str) -> Iterator[Step]:
        lubricant = self.structure.parts[part].lubricant
        # A new unit comes greased and set: only what it is joined with is.
        if lubricant and part not in self.brought:
            yield Step(
                id=f"lubricate:{part}",
                kind=StepKind.LUBRICATE,
                phase=Phase.REBUILD,
                parts=(part,),
                lubricant=lubricant,
            )

    def _after_fit(self, id: str) -> Iterator[Step]:
        for mark in self.structure.marks:
            if self.places.seats.get(mark.part) == id:
                yield Step(
                    id=f"restore:{mark.id}",
                    kind=StepKind.RESTORE,
                    phase=Phase.REBUILD,
                    mark=mark.id,
                    parts=(mark.part,),
                    reading=mark.kind,
                )
        yield from self._ready_acts()
        for joint, openers in list(self.open_joints.items()):
            if openers <= self.back and not self._is_awaited(joint):
                del self.open_joints[joint]
                yield from self._close_joint(self.structure.joints[joint])

    def _is_awaited(self, joint: str) -> bool:
        return any(item.before_joint == joint for item, _ in self.waiting)

    def _ready_acts(self) -> Iterator[Step]:
        for each, after in list(self.waiting):
            if not after <= self.back:
                continue
            self.waiting.remove((each, after))
            if isinstance(each, Act):
                yield Step(
                    id=f"act:{each.id}",
                    kind=StepKind.ACT,
                    phase=Phase.REBUILD,
                    act=each.id,
                    parts=each.after_fit,
                    tool=each.tool,
                    seconds=each.seconds,
                )
            else:
                yield Step(
                    id=f"check:{each.id}",
                    kind=StepKind.CHECK,
                    phase=Phase.REBUILD,
                    check=each.id,
                    parts=(each.part,),
                    tool=each.tool,
                    reading=each.reading,
                    seconds=each.seconds,
                )

    def _close_joint(self, joint: Joint) -> Iterator[Step]:
        if joint.torque is None:
            yield Step(
                id=f"tighten:{torque_name(joint)}",
                kind=StepKind.TIGHTEN,
                phase=Phase.REBUILD,
                joint=joint.id,
                lubricant=joint.lubricated,
                tool=joint.tool,
                count=joint.count,
            )
            return
        for number, share in enumerate(joint.passes, start=1):
            yield self._torque(joint, f"pass-{number}", share)
        if joint.pattern:
            yield self._torque(joint, "round", 0)

    def _torque(self, joint: Joint, which: str, share: int) -> Step:
        again = which == "retorque"
        name = torque_name(joint)
        return Step(
            id=f"retorque:{name}" if again else f"torque:{name}:{which}",
            kind=StepKind.RETORQUE if again else StepKind.TORQUE,
            phase=Phase.REBUILD,
            joint=joint.id,
            torque=joint.torque,
            lubricant=joint.lubricated,
            share=share,
            count=joint.count,
            tool=joint.tool,
        )
