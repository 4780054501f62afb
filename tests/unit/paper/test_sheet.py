"""The bench sheet as data: what stands on it, in which order, on which page."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from springcase.assembly.model import Phase, Policy, StepKind
from springcase.assembly.planner import NextPolicy
from springcase.paper.document import (
    LINES_PER_PAGE,
    LONGEST_TEXT,
    Facts,
    Figure,
    Group,
    Heading,
    Line,
    LineKind,
    Picture,
    SheetDocument,
    all_lines,
    clean,
    rows_of,
)
from springcase.paper.given import Drawings, SheetOwner, TorqueTool, UnitCard
from springcase.paper.numbering import number_text, stack_numbers
from springcase.paper.sheet import make_sheet
from unit.paper.sheet_unit import (
    DIGEST,
    FAMILY,
    draw_sheet,
    make_unit,
    overhaul,
    overhaul_sheet,
    plan_unit,
)


def line_of(document: SheetDocument, step: str) -> Line:
    """Return the line of one step."""
    return next(line for line in all_lines(document) if line.step == step)


def facts_of(document: SheetDocument) -> dict[str, str]:
    """Return the facts of the sheet by label."""
    return {
        fact.label: fact.value
        for page in document.pages
        for block in page.blocks
        if isinstance(block, Facts)
        for fact in block.rows
    }


@pytest.mark.parametrize("scope", ["change-spring", "soft-parts", "seat", "overhaul"])
def test_every_step_stands_once(scope: str) -> None:
    """Every step of the plan is on exactly one line of the sheet, and no other step is."""
    structure = make_unit()
    plan = plan_unit(structure, scope)
    counted = Counter(line.step for line in all_lines(draw_sheet(structure, plan)) if line.step)

    assert counted == Counter(step.id for step in plan.steps)


def test_lines_of_a_sheet_keep_the_plan_order() -> None:
    """On one sheet lines stand in the plan's order; looking and recording alone are gathered."""
    plan = overhaul()[1]
    document = overhaul_sheet()
    free = (Phase.READY, Phase.INSPECT)
    order = [step.id for step in plan.steps if step.phase not in free]
    for sheet in ("main valve", "Pilot"):
        shown = [
            line.step
            for page in document.pages
            if page.title.endswith(sheet)
            for block in page.blocks
            for line in (block.lines if isinstance(block, Group) else [block])
            if isinstance(line, Line) and line.step in order
        ]

        assert shown == sorted(shown, key=order.index)
        assert len(shown) > 5


def test_a_page_holds_at_most_twenty_five_lines() -> None:
    """No page holds more lines than can be read at arm's length."""
    rows = [sum(map(rows_of, page.blocks)) for page in overhaul_sheet().pages]

    assert max(rows) <= LINES_PER_PAGE
    assert len(rows) > 4


def test_a_caution_stands_before_its_act() -> None:
    """A caution is followed on the same page by another caution or by the act it warns of."""
    last = [page.blocks[-1] for page in overhaul_sheet().pages]
    cautions = [line for line in all_lines(overhaul_sheet()) if line.kind is LineKind.CAUTION]

    assert [b for b in last if isinstance(b, Line) and b.kind is not LineKind.ACT] == []
    assert len(cautions) > 8


@pytest.mark.parametrize(
    ("step", "said"),
    [
        ("hold:inlet-pressure", "Gas under pressure"),
        ("hold:main-spring-load", "stays loaded with its screw out"),
        ("hold:pilot-spring-load", "stored energy after the gas is gone"),
        ("strip:supply-tube", "iron sulphide"),
        ("strip:bonnet", "31 kg"),
        ("fit:bonnet", "31 kg"),
        ("leak:low", "Load slowly"),
        ("prove:set-point", "does not move under load"),
    ],
)
def test_each_danger_is_said_on_the_line_before(step: str, said: str) -> None:
    """The line before a dangerous act is the caution for it."""
    lines = list(all_lines(overhaul_sheet()))
    place = next(index for index, line in enumerate(lines) if line.step == step)

    assert lines[place - 1].kind == LineKind.CAUTION
    assert said in lines[place - 1].words


def test_nothing_is_stripped_before_the_readings() -> None:
    """The first line after page 1 stops the work until every as-found reading is in its box."""
    lines = list(all_lines(overhaul_sheet()))
    gate = next(index for index, line in enumerate(lines) if line.verb == "Stop here")
    phases = {step.id: step.phase for step in overhaul()[1].steps}
    before = {phases[line.step] for line in lines[:gate] if line.step}

    assert before == {Phase.READY, Phase.AS_FOUND}


def test_lines_are_numbered_without_a_gap() -> None:
    """Each sheet counts its own lines; the pilot's begin with its letter."""
    numbers = [line.number for line in all_lines(overhaul_sheet())]
    main = sorted(int(number) for number in numbers if number.isdigit())
    pilot = sorted(int(number[1:]) for number in numbers if number.startswith("P"))

    assert main == list(range(1, len(main) + 1))
    assert pilot == list(range(1, len(pilot) + 1))
    assert len(pilot) > 5


def test_torque_is_large_in_the_unit_of_the_wrench() -> None:
    """A pass stands once in the wrench's unit, large, and once in each other unit."""
    line = line_of(overhaul_sheet(), "torque:bonnet-screws:pass-1")

    assert line.torque is not None
    # 30 % of 44 N.m: 13.2 N.m x 8.850746 lbf.in / N.m (NIST SP 811, appendix B.8).
    assert (line.torque.large, line.torque.unit) == ("117", "lbf·in")
    assert line.torque.others == ("13.2 N·m", "9.74 lbf·ft")


def test_without_a_wrench_the_owner_unit_stands() -> None:
    """Where no wrench was chosen the torque is large in the owner's unit."""
    structure, plan = overhaul()
    owner = SheetOwner(torque_unit="lbf.ft")
    document = draw_sheet(structure, plan, wrenches={})
    other = make_sheet(structure, plan, owner, plan_digest=DIGEST)
    units = [
        line.torque.unit
        for each in (document, other)
        for line in all_lines(each)
        if line.torque is not None and line.step == "torque:bonnet-screws:round"
    ]

    assert units == ["N·m", "lbf·ft"]


def test_an_extension_changes_the_setting_and_says_so() -> None:
    """The large figure is what the wrench is set to; the torque at the screw stands below it."""
    structure, plan = overhaul()
    tool = TorqueTool(words="TW-3", unit="N.m", setting_share=0.5, note="calibration is overdue")
    document = draw_sheet(structure, plan, wrenches={"torque:seat-thread:pass-1": tool})
    line = line_of(document, "torque:seat-thread:pass-1")

    assert line.torque is not None
    assert line.torque.large == "45.0"
    assert any("at the screw 90.0 N·m" in detail for detail in line.details)
    assert any("calibration is overdue" in detail for detail in line.details)


def test_eight_screws_are_one_line_with_eight_ticks() -> None:
    """A line has one box for each thing that is done on it."""
    _, plan = overhaul()
    document = overhaul_sheet()
    wrong = []
    for step in plan.steps:
        line = line_of(document, step.id)
        if (
            step.kind in (StepKind.STRIP, StepKind.FIT, StepKind.TORQUE)
            and line.ticks != step.count
        ):
            wrong.append(step.id)

    assert wrong == []
    assert line_of(document, "strip:bonnet-screws").ticks == 8
    assert line_of(document, "mark:supply").ticks == 2


def test_the_pattern_is_drawn_where_it_is_used() -> None:
    """All passes of a joint with a pattern stand beside its picture, and again to torque anew."""
    groups = [
        [line.step for line in block.lines]
        for page in overhaul_sheet().pages
        for block in page.blocks
        if isinstance(block, Group)
    ]
    passes = [f"torque:bonnet-screws:pass-{number}" for number in (1, 2, 3)]

    captions = {
        block.caption
        for page in overhaul_sheet().pages
        for block in page.blocks
        if isinstance(block, Group)
    }

    # Eight bolts crosswise, as in the trade's usual order: common practice, no source.
    assert captions == {"Order: 1 5 3 7 2 6 4 8"}
    assert groups == [[*passes, "torque:bonnet-screws:round"], ["retorque:bonnet-screws"]]
    assert "bonnet-joint" in overhaul_sheet().pictures


def test_dry_or_lubricated_is_said_with_every_torque() -> None:
    """Every torque line says whether the thread is dry or what is on it."""
    torqued = [line for line in all_lines(overhaul_sheet()) if line.torque is not None]
    said = {line.condition for line in torqued}

    assert said == {"DRY", "LUBRICATED: silicone valve grease"}


def test_stack_up_numbers_follow_the_rebuild() -> None:
    """Parts are numbered in the order they go back, and lines show those numbers."""
    structure, plan = overhaul()
    numbers = stack_numbers(structure, plan)
    fitted = [part for id in plan.rebuild for part in structure.operations[id].parts]

    assert list(numbers) == list(dict.fromkeys(fitted))
    assert list(numbers.values()) == list(range(1, len(numbers) + 1))
    line = line_of(overhaul_sheet(), "fit:bonnet")
    assert line.parts == str(numbers["bonnet"])


def test_runs_of_numbers_are_drawn_together() -> None:
    """Consecutive stack-up numbers are written as a run."""
    text = number_text("abcde", {"a": 1, "b": 2, "c": 3, "d": 7})

    assert text == "1–3, 7"


def test_the_pilot_has_a_sheet_of_its_own() -> None:
    """The pilot's lines stand on pages of their own; the main valve says when to work them."""
    document = overhaul_sheet()
    pilot = [page for page in document.pages if page.title.endswith("Pilot")]
    steps = [
        line.step
        for page in pilot
        for block in page.blocks
        for line in ([block] if isinstance(block, Line) else [])
        if line.step
    ]
    notes = [
        (line.verb, line.words)
        for line in all_lines(document)
        if line.kind is LineKind.NOTE and "Pilot" in line.words
    ]
    last = [line.number for line in all_lines(document) if line.number.startswith("P")][-1]

    assert {step.split(":")[1].split("/")[0] for step in steps} >= {"pilot-seat", "pilot-spring"}
    assert all("pilot" in step or "arrow" in step for step in steps)
    assert [verb for verb, _ in notes] == ["Work", "Finish"]
    assert all(last in words for _, words in notes)


def test_a_pilot_bound_to_the_main_valve_keeps_the_plan_order() -> None:
    """Where the pilot waits for a main part, each sheet points to the next line of the other."""
    bound = FAMILY.replace(
        '[part.pilot-spring.split]\nafter = [["pilot-cap"]]',
        '[part.pilot-spring.split]\nafter = [["pilot-cap", "bonnet"]]',
    )
    structure = make_unit(bound)
    plan = plan_unit(structure)
    document = draw_sheet(structure, plan)
    notes = [line for line in all_lines(document) if line.verb in ("Go", "Work", "Finish")]

    assert bound != FAMILY
    assert {line.verb for line in notes} == {"Go"}
    assert Counter(line.step for line in all_lines(document) if line.step) == Counter(
        step.id for step in plan.steps
    )


def test_the_footer_names_family_plan_and_who_governs() -> None:
    """The footer holds the family's edition, the whole plan digest, and who has the last word."""
    footer = " ".join(overhaul_sheet().footer)

    assert "Family Trial, edition 1" in footer
    assert DIGEST in footer
    assert "maker's instructions and local codes govern" in footer
    pages = overhaul_sheet().pages
    assert [page.label for page in pages] == [
        f"page {number} of {len(pages)}" for number in range(1, len(pages) + 1)
    ]


def test_page_one_tells_options_apart() -> None:
    """What differs is boxed; what was not read from the plate is marked and not shown as read."""
    facts = facts_of(overhaul_sheet())

    assert facts["DIFFERS: sensing"] == "external, by a line to the main"
    assert facts["NOT READ FROM THE PLATE"] == "seat material: NBR"
    assert facts["Build"] == "sensing: external, by a line to the main"
    assert "supply lost: SHUTS" in facts["When lost"]
    assert facts["Proved isolated by"] == ""
    assert facts["No as-found reading: the reason"] == ""


def test_page_one_says_what_more_could_be_done_and_how_good_the_plan_is() -> None:
    """The next policy and a bound that is not reached each have their line."""
    structure, plan = overhaul()
    gap = replace(plan, optimal=False, cost=6000, bound=4530)
    following = NextPolicy(policy=Policy.FULL_KIT, adds=("bonnet-ring",), seconds=241)
    facts = facts_of(draw_sheet(structure, gap, next_policy=following))

    # 4530 s are 75.5 min: a bound is never overstated; (6000 - 4530) / 6000 = 24.5 %.
    assert facts["Not proved best"] == (
        "this plan costs 100 min; no plan can cost less than 75 min (gap 25 %)"
    )
    assert facts["Next policy"] == '"full kit" would add 1: bonnet O-ring; 5 min more'
    assert "Not proved best" not in facts_of(overhaul_sheet())


@pytest.mark.parametrize(
    ("gas", "words"),
    [
        ("natural-gas", ["Flammable", "Asphyxiating", "Ignition"]),
        ("nitrogen", ["Asphyxiating"]),
        ("oxygen", ["Oxygen", "Ignition"]),
        ("silane", ["ask whether", "Ignition"]),
    ],
)
def test_hazards_follow_the_gas(gas: str, words: list[str]) -> None:
    """The hazards of a gas stand on page 1; a gas that is not known is asked about."""
    structure, plan = overhaul()
    plan = replace(plan, question=replace(plan.question, gas=gas))
    hazards = [
        line.words for line in all_lines(draw_sheet(structure, plan)) if line.number.startswith("H")
    ]
    found = [
        word
        for word in ("Flammable", "Asphyxiating", "Oxygen", "ask whether", "Ignition")
        if any(word in hazard for hazard in hazards)
    ]

    assert sorted(found) == sorted(words)
    assert sum("Pressure:" in hazard for hazard in hazards) == 3
    assert sum("Stored energy:" in hazard for hazard in hazards) == 2


def test_close_comes_last() -> None:
    """The last lines of the main valve: parts left over, rags, locks, seal, who and when."""
    document = overhaul_sheet()
    main = [line for line in all_lines(document) if line.number.isdigit()]
    labels = [[reading.label for reading in line.readings] for line in main[-5:]]

    assert [line.step for line in main[-5:]] == [
        "close:left-over",
        "close:rags",
        "close:locks",
        "close:seal",
        "close:signed",
    ]
    assert labels[-1] == ["who", "when"]


def test_headings_never_end_a_page() -> None:
    """A heading is followed by a line on its own page."""
    last = [page.blocks[-1] for page in overhaul_sheet().pages]

    assert [block for block in last if isinstance(block, Heading)] == []


def test_stack_up_pages_stand_before_the_strip() -> None:
    """Each stack-up picture fills a page of its sheet, before its first line of work."""
    structure, plan = overhaul()
    picture = Picture(svg="<svg/>", words="stack")
    drawings = Drawings(stack_up={"": (picture, picture), "pilot": (picture,)})
    document = draw_sheet(structure, plan, drawings=drawings)
    figures = [page for page in document.pages if isinstance(page.blocks[0], Figure)]

    assert [page.title.rsplit(" · ", 1)[1] for page in figures] == [
        "main valve",
        "main valve",
        "Pilot",
    ]
    assert [len(page.blocks) for page in figures] == [1, 1, 1]


def test_weird_text_is_held_in_one_cell() -> None:
    """Control and reordering marks go, a long text ends in an ellipsis, the rest is kept."""
    cut = clean("x" * 10_000)

    assert clean("a\u202eb\x07c\n d") == "ab c d"
    assert clean('#set text(red) "q" <b>') == '#set text(red) "q" <b>'
    assert (len(cut), cut[-1]) == (LONGEST_TEXT, "…")


def test_a_card_without_entries_leaves_rules_to_write_on() -> None:
    """What the card does not say is left blank to be filled in."""
    structure, plan = overhaul()
    facts = facts_of(draw_sheet(structure, plan, card=UnitCard()))

    assert (facts["Tag"], facts["Serial"]) == ("", "")


def test_a_language_without_catalogue_is_refused() -> None:
    """A language that has no catalogue is no silent English."""
    structure, plan = overhaul()

    with pytest.raises(KeyError, match="no catalogue in xx"):
        draw_sheet(structure, plan, language="xx")
