"""What must be read before an act: cautions, turns of the unit, and the way between sheets."""

from __future__ import annotations

from springcase.assembly.model import Phase, Step, StepKind
from springcase.paper.bench import Bench
from springcase.paper.document import Line, LineKind, clean
from springcase.units import format_value


class Watch:
    """What has been said and how the unit stands, as the lines are made one after the other."""

    def __init__(self, *, side: str, place: str) -> None:
        self.side = side
        self.place = place
        self.said: set[str] = set()


def lines_before(step: Step, bench: Bench, watch: Watch) -> list[Line]:
    """Return the cautions and notes that stand on the lines before a step."""
    lines = [note_line(bench, key, **facts) for key, facts in _moves(step, watch)]
    lines += [_caution(bench, key, **facts) for key, facts in _dangers(step, bench, watch)]
    return lines


def _caution(bench: Bench, key: str, **facts: object) -> Line:
    return Line(kind=LineKind.CAUTION, words=bench.say(f"sheet-caution-{key}", **facts))


def note_line(bench: Bench, key: str, **facts: object) -> Line:
    """Return a note that leads on: a turn of the unit, a way to another sheet, a stop."""
    return Line(
        kind=LineKind.NOTE,
        verb=bench.say(f"sheet-note-{key}-verb"),
        words=bench.say(f"sheet-note-{key}", **facts),
    )


Said = list[tuple[str, dict[str, object]]]


def _moves(step: Step, watch: Watch) -> Said:
    """Return the notes for a unit that is carried or turned over before this step."""
    said: Said = []
    # A lump is split on the bench while the rest of the unit stays as it is.
    if step.kind not in (StepKind.STRIP, StepKind.FIT):
        return said
    if step.place and step.place != watch.place:
        said.append((f"to-{step.place}", {}))
        watch.place = step.place
    if step.side and step.side != watch.side:
        said.append(("turn", {"side": clean(step.side.replace("-", " "))}))
        watch.side = step.side
    return said


def _dangers(step: Step, bench: Bench, watch: Watch) -> Said:
    said: Said = []
    if step.kind is StepKind.HOLD:
        energy = bench.structure.energies[step.energy]
        facts: dict[str, object] = {"energy": clean(energy.words)}
        # Every chamber has the same danger: it is said before the first.
        is_chamber = energy.hold == "prove-zero"
        said += _once(watch, energy.hold) if is_chamber else [(energy.hold, facts)]
    said += _lifts(step, bench)
    opens = _opened(step, bench)
    if opens and step.kind is StepKind.STRIP:
        said += _once(watch, "open-joint", joint=opens[0])
        said += _once(watch, "black-deposits")
    if step.kind is StepKind.CLEAN:
        said += _once(watch, "old-gasket")
    if step.kind is StepKind.LUBRICATE:
        said += _once(watch, "lubricant")
    if step.phase is Phase.LOAD:
        said += _once(watch, "load")
    if step.phase is Phase.PROVE:
        said += _once(watch, "prove")
    return said


def _once(watch: Watch, key: str, **facts: object) -> Said:
    if key in watch.said:
        return []
    watch.said.add(key)
    return [(key, facts)]


def _opened(step: Step, bench: Bench) -> list[str]:
    """Return the joints holding pressure that a step opens, in words."""
    if not step.operation:
        return []
    joints = [
        bench.structure.joints[name] for name in bench.structure.operations[step.operation].opens
    ]
    return [clean(joint.words) for joint in joints if joint.holds_pressure]


def _lifts(step: Step, bench: Bench) -> Said:
    """Return the caution for a lift above what one person may lift."""
    if step.kind not in (StepKind.STRIP, StepKind.FIT) or not step.operation:
        return []
    parts = bench.structure.operations[step.operation].parts
    masses = [bench.structure.parts[part].mass for part in parts]
    whole = sum(mass.value for mass in masses if mass is not None)
    if whole <= bench.owner.one_person_weight:
        return []
    limit = format_value(bench.owner.one_person_weight, "kg", 2)
    return [("lift", {"mass": format_value(whole, "kg", 2), "limit": limit})]
