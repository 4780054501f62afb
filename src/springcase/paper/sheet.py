"""
The bench sheet: one build, one scope, no branches left.

`make_sheet` is the one source of the sheet. Terminal, HTML and PDF render the document it
returns and add nothing of their own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from itertools import groupby
from typing import Final

from springcase.assembly.kit import group_lines
from springcase.assembly.model import KitLine, Phase, Plan, Step, StepKind, Structure
from springcase.assembly.planner import NextPolicy
from springcase.bolting.pattern import tightening_order
from springcase.paper.bench import Bench
from springcase.paper.cautions import Watch, lines_before, note_line
from springcase.paper.document import (
    Block,
    Figure,
    Group,
    Line,
    LineKind,
    Page,
    Picture,
    SheetDocument,
    Ticks,
    clean,
)
from springcase.paper.front import (
    clock_picture,
    front_facts,
    hazards_block,
    isolation_block,
    record_blocks,
)
from springcase.paper.given import Drawings, SheetOwner, TorqueTool, UnitCard
from springcase.paper.kit_words import group_words, line_words
from springcase.paper.lines import CLOCK_PICTURE, make_line
from springcase.paper.numbering import find_homes, is_worked_apart, stack_numbers
from springcase.paper.pages import Section, fill_pages
from springcase.wording import sentence

# Stands in for a step's id until the line a way leads to has its number.
_WAY: Final = "way:"
# Hazards and kit lines are numbered with these.
_TAKEN_LETTERS: Final = frozenset("HK")
# Words a renderer needs of its own: they too come from the one catalogue.
_WORDS: Final = ("caution", "line", "tick", "page-list", "open-box", "torque", "stack-number")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Placed:
    """A numbered line, the sheet it stands on and the phase of its step."""

    line: Line
    sheet: str
    phase: Phase


def make_sheet(
    structure: Structure,
    plan: Plan,
    owner_figures: SheetOwner,
    *,
    plan_digest: str,
    unit: UnitCard | None = None,
    next_policy: NextPolicy | None = None,
    wrenches: Mapping[str, TorqueTool] | None = None,
    drawings: Drawings | None = None,
    today: date | None = None,
    language: str = "en",
) -> SheetDocument:
    """
    Return the bench sheet of a plan.

    `wrenches` names the tool chosen by torque step id; `drawings` are the stack-up by sheet
    ("" is the main valve) and the bolt pattern by joint.
    """
    bench = Bench(
        structure=structure,
        plan=plan,
        numbers=stack_numbers(structure, plan),
        owner=owner_figures,
        wrenches=wrenches or {},
        drawings=drawings or Drawings(),
        say=partial(sentence, language=language),
    )
    placed = _place_steps(bench)
    pages = _pages(bench, placed, unit, next_policy, today)
    tag = clean(unit.tag) if unit is not None else ""
    return SheetDocument(
        language=language,
        title=bench.say("sheet-title", tag=tag, family=clean(structure.name)).strip(" ·"),
        footer=(
            bench.say(
                "sheet-footer-family",
                family=clean(structure.name),
                edition=clean(structure.edition),
                family_digest=short_digest(structure.family_digest),
                plan_digest=plan_digest,
            ),
            bench.say("sheet-footer-governs"),
        ),
        words={name: bench.say(f"sheet-word-{name}") for name in _WORDS},
        pages=tuple(pages),
        pictures=_pictures(bench),
    )


def short_digest(digest: str) -> str:
    """Return enough of a digest to tell two editions apart by eye."""
    return digest[: len("sha256:") + 12]


def _in_sheet_order(steps: Sequence[Step], bench: Bench, homes: Mapping[str, str]) -> list[Step]:
    """
    Return the steps with inspections gathered sheet by sheet and clock faces first.

    Looking and recording change nothing, so their place among their like is free; all other
    order is the plan's.
    """
    clocks = {mark.id for mark in bench.structure.marks if mark.kind == "clock"}
    ordered: list[Step] = []
    for phase, group in groupby(steps, key=lambda step: step.phase):
        gathered = list(group)
        if phase is Phase.INSPECT:
            gathered.sort(key=lambda step: homes[step.id])
        elif phase is Phase.READY:
            gathered.sort(key=lambda step: step.mark not in clocks)
        ordered += gathered
    return ordered


def _place_steps(bench: Bench) -> list[_Placed]:
    """Return every line of the plan with its number, cautions before acts, ways between sheets."""
    structure, plan = bench.structure, bench.plan
    finder = find_homes(structure, plan)
    homes = {step.id: finder.of(step, structure) for step in plan.steps}
    apart = {
        finder.lump_of(sheet, structure): sheet
        for sheet in set(homes.values()) - {""}
        if is_worked_apart(sheet, finder, structure, plan)
    }
    watch = Watch(side=structure.side_up, place=plan.question.place)
    placed: list[_Placed] = []
    sheet = ""
    gate_is_said = False

    def put(line: Line, home: str, phase: Phase) -> None:
        placed.append(_Placed(line=line, sheet=home, phase=phase))

    for step in _in_sheet_order(plan.steps, bench, homes):
        home = homes[step.id]
        if home != sheet and not {home, sheet} - {""} <= set(apart.values()):
            put(_way("go", step.id), sheet, step.phase)
        sheet = home
        if not gate_is_said and step.phase in (Phase.MAKE_SAFE, Phase.STRIP):
            gate_is_said = True
            put(note_line(bench, "gate"), home, step.phase)
        moved = apart.get(step.operation) if step.kind in (StepKind.STRIP, StepKind.FIT) else None
        if moved is not None and step.kind is StepKind.FIT:
            put(_way("finish", moved), home, step.phase)
        for line in lines_before(step, bench, watch):
            put(line, home, step.phase)
        put(make_line(step, bench), home, step.phase)
        if moved is not None and step.kind is StepKind.STRIP:
            put(_way("begin", moved), home, step.phase)
    return _with_targets(_numbered(placed, bench), bench)


def _way(key: str, target: str) -> Line:
    """Return a note to another sheet; its words are known once that sheet is numbered."""
    return Line(kind=LineKind.NOTE, step=f"{_WAY}{key}:{target}")


def sheet_letters(structure: Structure) -> dict[str, str]:
    """Return what the line numbers of each sheet begin with: none for the main valve."""
    letters: dict[str, str] = {"": ""}
    for position, (sheet, words) in enumerate(structure.sheets.items(), start=2):
        letter = words[:1].upper()
        is_free = letter.isalpha() and letter not in {*letters.values(), *_TAKEN_LETTERS}
        letters[sheet] = letter if is_free else f"{position}."
    return letters


def _numbered(placed: Sequence[_Placed], bench: Bench) -> list[_Placed]:
    """Return the lines numbered sheet by sheet."""
    letters = sheet_letters(bench.structure)
    counts: Counter[str] = Counter()
    numbered = []
    for item in placed:
        counts[item.sheet] += 1
        number = f"{letters.get(item.sheet, '')}{counts[item.sheet]}"
        numbered.append(replace(item, line=replace(item.line, number=number)))
    return numbered


def _with_targets(placed: Sequence[_Placed], bench: Bench) -> list[_Placed]:
    """Return the lines with every way to another sheet naming the line it leads to."""
    done = []
    for item in placed:
        if item.line.step.startswith(_WAY):
            key, _, target = item.line.step.removeprefix(_WAY).partition(":")
            leads = (
                [each for each in placed if each.line.step == target]
                if key == "go"
                else [each for each in placed if each.sheet == target]
            )
            line = note_line(
                bench,
                key,
                sheet=_sheet_words(leads[0].sheet, bench),
                first=leads[0].line.number,
                last=leads[-1].line.number,
            )
            item = replace(item, line=replace(line, number=item.line.number))
        done.append(item)
    return done


def _sheet_words(sheet: str, bench: Bench) -> str:
    structure = bench.structure
    if not sheet:
        return bench.say("sheet-main-valve" if structure.sheets else "sheet-whole-unit")
    return clean(structure.sheets.get(sheet, sheet))


_RECORDED: Final = (Phase.READY, Phase.AS_FOUND)
_PHASE_HEADINGS: Final = (
    Phase.MAKE_SAFE,
    Phase.STRIP,
    Phase.INSPECT,
    Phase.REBUILD,
    Phase.LOAD,
    Phase.PROVE,
    Phase.CLOSE,
)


def _pages(
    bench: Bench,
    placed: Sequence[_Placed],
    unit: UnitCard | None,
    next_policy: NextPolicy | None,
    today: date | None,
) -> list[Page]:
    """Return the pages: the main sheet with front and kit, then each further sheet."""
    structure = bench.structure
    sheets = ["", *(s for s in structure.sheets if any(item.sheet == s for item in placed))]
    contents: list[tuple[str, tuple[Block, ...]]] = []
    for sheet in sheets:
        sections: list[Section] = []
        if not sheet:
            sections.append(_front(bench, placed, unit, next_policy, today))
            sections += _kit_sections(bench)
        sections += _stack_sections(sheet, bench)
        sections += _work_sections([item for item in placed if item.sheet == sheet], bench)
        for blocks in fill_pages(sections, bench.say("sheet-continued")):
            contents.append((sheet, blocks))
    tag = clean(unit.tag) if unit is not None else ""
    pages = []
    for number, (sheet, blocks) in enumerate(contents, start=1):
        title = bench.say(
            "sheet-page-title",
            tag=tag,
            family=clean(structure.name),
            sheet=_sheet_words(sheet, bench),
        ).strip(" ·")
        label = bench.say("sheet-page-of", number=number, pages=len(contents))
        pages.append(Page(number=number, title=title, blocks=blocks, label=label))
    return pages


def _front(
    bench: Bench,
    placed: Sequence[_Placed],
    unit: UnitCard | None,
    next_policy: NextPolicy | None,
    today: date | None,
) -> Section:
    marks = [item.line for item in placed if item.phase is Phase.READY]
    readings = [item.line for item in placed if item.phase is Phase.AS_FOUND]
    blocks: list[Block] = [
        *front_facts(bench, unit, next_policy, today),
        isolation_block(bench),
        hazards_block(bench),
        *record_blocks(bench, marks, readings),
    ]
    return Section(heading="", blocks=tuple(blocks))


def _kit_sections(bench: Bench) -> list[Section]:
    """Return the kit, group by group, a tick each; what only a finding needs says so."""
    blocks: list[Block] = []
    count = 0
    for group, items in group_lines(bench.plan.kit).items():
        lines = [
            _kit_line(item, number, bench) for number, item in enumerate(items, start=count + 1)
        ]
        count += len(lines)
        heading = group_words(group, say=bench.say)
        blocks.append(Ticks(heading=heading, lines=tuple(lines)))
    if not blocks:
        return []
    return [Section(heading=bench.say("sheet-kit"), blocks=tuple(blocks), starts_page=True)]


def _kit_line(item: KitLine, number: int, bench: Bench) -> Line:
    details = [bench.say(f"sheet-kit-why-{item.why}")] if item.why else []
    return Line(
        number=f"K{number}",
        verb=bench.say("sheet-kit-count", count=item.count),
        words=line_words(item, say=bench.say),
        tool=clean(item.size),
        details=tuple(details),
        ticks=1,
    )


def _stack_sections(sheet: str, bench: Bench) -> list[Section]:
    caption = bench.say("sheet-stack-up", sheet=_sheet_words(sheet, bench))
    return [
        Section(
            heading="",
            blocks=(Figure(picture=_stack_key(sheet, position), caption=caption),),
            starts_page=True,
        )
        for position, _ in enumerate(bench.drawings.stack_up.get(sheet, ()))
    ]


def _stack_key(sheet: str, position: int) -> str:
    return f"stack-up-{sheet or 'main'}-{position + 1}"


def _work_sections(placed: Sequence[_Placed], bench: Bench) -> list[Section]:
    sections: list[Section] = []
    for phase in _PHASE_HEADINGS:
        lines = [item.line for item in placed if item.phase is phase]
        if lines:
            sections.append(
                Section(
                    heading=bench.say(f"sheet-phase-{phase}"),
                    blocks=tuple(_group_lines(lines, bench)),
                    starts_page=not sections,
                    together=phase is Phase.CLOSE,
                )
            )
    return sections


def _group_lines(lines: Sequence[Line], bench: Bench) -> list[Block]:
    """Return lines with those worked by one drawn pattern gathered beside their picture."""
    blocks: list[Block] = []
    for line in lines:
        last = blocks[-1] if blocks else None
        if not line.picture:
            blocks.append(line)
        elif isinstance(last, Group) and last.picture == line.picture:
            blocks[-1] = replace(last, lines=(*last.lines, line))
        else:
            joint = bench.structure.joints[line.picture]
            order = tightening_order(joint.pattern, joint.count)
            caption = bench.say("sheet-order", order=" ".join(map(str, order)))
            blocks.append(Group(picture=line.picture, caption=caption, lines=(line,)))
    return blocks


def _pictures(bench: Bench) -> dict[str, Picture]:
    """Return every picture the sheet shows, by id."""
    found: dict[str, Picture] = {}
    if any(mark.kind == "clock" for mark in bench.structure.marks):
        found[CLOCK_PICTURE] = clock_picture(bench)
    used = {step.joint for step in bench.plan.steps if step.kind in _DRAWN}
    for joint, picture in bench.drawings.patterns.items():
        if joint in used:
            found[joint] = picture
    for sheet, pictures in bench.drawings.stack_up.items():
        for position, picture in enumerate(pictures):
            found[_stack_key(sheet, position)] = picture
    return found


_DRAWN: Final = (StepKind.TORQUE, StepKind.RETORQUE)
