"""The rules the checker enforces, and the fault that says which one a plan breaks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

RULES: tuple[tuple[str, str], ...] = (
    # What the steps are.
    ("unknown-id", "a step, list or goal names something this build lacks"),
    ("id-duplicated", "two steps have one id"),
    ("id-mismatch", "a step's id does not say what the step does"),
    ("phase-order", "a step stands after one of a later phase"),
    ("phase-wrong", "a step stands in a phase that is not its own"),
    ("step-extra", "nothing asks for this step"),
    ("step-facts", "a step holds parts, a tool, a side, a place, a count or a time that is wrong"),
    ("reading-missing", "a step that must be written down has no reading"),
    # The start.
    ("start-illegal", "no legal sequence gives what is said to be off already"),
    ("start-mismatch", "what is off already is not what the question says"),
    ("already-joints", "the joints open already are not those the start opened"),
    # The strip.
    ("strip-steps", "the strip steps are not the plan's order"),
    ("strip-access", "an operation is done before it can be reached"),
    ("strip-taken-twice", "an operation takes a part that is off already"),
    ("strip-gives-nothing", "an operation frees nothing new"),
    ("strip-in-line", "an operation is done in the line that needs the bench"),
    ("goal-not-reached", "the strip ends before a goal, the scope or the policy is met"),
    # The rebuild.
    ("rebuild-steps", "the fitting steps are not the plan's rebuild"),
    ("part-lost", "something that came off is not put back"),
    ("fitted-twice", "something is put back twice"),
    ("fitted-never-off", "something is put back that never came off"),
    ("rebuild-access", "something is put back over a place still needed"),
    ("rebuild-arc", "an order only the rebuild has is broken"),
    ("rebuild-arc-open", "a joint that must be closed before a part is fitted is still open"),
    ("act-missing", "a rebuild act is left out"),
    ("act-early", "a rebuild act is done before its parts are back"),
    ("act-late", "a rebuild act is done after a part or joint it must come before"),
    ("check-missing", "a rebuild check is left out"),
    ("check-early", "a rebuild check is made before its parts are back"),
    ("check-late", "a rebuild check is made after a part or joint it must come before"),
    ("closed-unchecked", "a chamber is closed before what is in it was looked at"),
    # Joints.
    ("clean-missing", "an opened joint is not cleaned"),
    ("clean-late", "a joint is cleaned after something is fitted over it"),
    ("torque-missing", "a torque pass is missing"),
    ("round-missing", "the closing round at full torque is missing"),
    ("torque-extra", "a joint is tightened that was not opened, or in a pass it does not have"),
    ("torque-value", "a torque step has the wrong torque, share, count, joint or tool"),
    ("torque-order", "torque passes are out of order"),
    ("torque-early", "a joint is tightened before everything it holds is back"),
    ("torque-late", "a joint of a lump is tightened after the lump has gone back"),
    ("tighten-missing", "a joint without torque is not tightened"),
    ("retorque-missing", "a soft joint that relaxes is not tightened again"),
    ("retorque-early", "a joint is tightened again before everything is back"),
    ("leak-missing", "an opened joint is not on the leak list"),
    ("leak-extra", "a joint is on the leak list that was not opened"),
    ("leak-number", "the leak list is not numbered 1 to n in the order opened"),
    ("leak-low-missing", "the first look for leaks at low pressure is missing"),
    # Parts.
    ("renew-missing", "a part that must be renewed is not"),
    ("renew-unasked", "a part is renewed that nobody asked for and no rule demands"),
    ("renew-late", "a part is renewed in place after something is fitted over it"),
    ("renew-uncleaned", "a part is renewed in place before its joint is cleaned"),
    ("new-wrong", "a fitting step says new of a part it does not bring"),
    ("lubricant-missing", "a part is fitted without its lubricant"),
    ("lubricant-wrong", "a part has the wrong lubricant"),
    ("lubricant-not-direct", "a lubricant is not put on directly before the part is fitted"),
    ("lubricant-uncleaned", "a lubricant is put on before the joint is cleaned"),
    ("inspect-missing", "a check of a disturbed part or of a goal is left out"),
    ("inspect-access", "a check is made where the strip gives no access to it"),
    ("disturbed-unseen", "a disturbed soft part is neither inspected nor renewed"),
    ("look-missing", "a part that is always looked at is not"),
    ("wipe-missing", "a dynamic seal laid bare is not wiped"),
    # Safety and record.
    ("hold-missing", "stored energy is not held"),
    ("hold-late", "stored energy is held after it may have been disturbed"),
    ("hold-order", "the holds of the chambers are not in the file's order"),
    ("hold-not-direct", "a hold is not on the line before the operation it guards"),
    ("mark-missing", "an orientation is not asked before its part comes off"),
    ("screw-read-missing", "the screw's height and turns are not recorded"),
    ("ready-late", "a mark or the screw is read after the strip began"),
    ("restore-missing", "an orientation is not restored"),
    ("restore-late", "an orientation is not restored directly after its part is fitted"),
    ("as-found-missing", "an as-found reading is missing"),
    ("as-found-late", "an as-found reading is asked after the strip began"),
    ("protect-missing", "open ends are not protected"),
    ("protect-late", "open ends are not protected as soon as they are open"),
    ("rags-missing", "rags are not counted out"),
    ("rags-early", "rags are counted out before the rebuild is over"),
    ("prove-missing", "a proof of the work is missing"),
    ("close-missing", "a closing line is missing"),
    # What the plan says of itself.
    ("parts-off-list", "the list of parts off is wrong"),
    ("joints-list", "the list of joints opened is wrong"),
    ("seals-list", "the list of seals disturbed is wrong"),
    ("renewed-list", "the list of parts renewed is wrong"),
    ("kit-renewal", "the kit lacks a part that is renewed, or has the wrong count"),
    ("kit-consumable", "the kit lacks a consumable, sealant or locking part that is disturbed"),
    ("kit-lubricant", "the kit lacks a lubricant that is used"),
    ("kit-tool", "the kit lacks a tool that is used"),
    ("kit-extra", "the kit has a line nobody needs"),
    ("cost-wrong", "the cost is not that of the steps"),
    ("bound-above-cost", "the lower bound is above the cost"),
    ("optimal-wrong", "optimal is said of a plan whose bound is not its cost, or the reverse"),
    ("seconds-strip", "the time of the strip is not that of its steps"),
    ("seconds-rebuild", "the time of the rebuild is not that of its steps"),
    ("seconds-whole", "the time of the whole job is not that of its steps"),
)
"""Every rule: its code, and what a plan that breaks it does wrong."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One rule broken by one plan: the rule's code, the step it shows at, and the facts."""

    code: str
    step: str = ""
    facts: Mapping[str, object] = field(default_factory=dict)


def fault(code: str, step: str = "", **facts: object) -> Fault:
    """Return a fault of the rule with this code."""
    return Fault(code=code, step=step, facts=facts)
