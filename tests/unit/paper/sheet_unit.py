"""A small pilot-operated unit and its plan, for the tests of the bench sheet."""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import Any

from springcase.assembly.expand import build_structure
from springcase.assembly.family_file import read_family
from springcase.assembly.model import PartKind, Plan, Policy, Question, Structure, Weights
from springcase.assembly.planner import make_plan, scope_goals
from springcase.bolting.picture import draw_bolt_order
from springcase.paper.document import Picture, SheetDocument
from springcase.paper.given import Drawings, SheetOwner, TorqueTool, UnitCard
from springcase.paper.sheet import make_sheet

FAMILY = """
format = "springcase/family"
version = 1

[family]
id = "trial"
name = "Trial"
words = "pilot-operated reducer of these tests"
edition = "1"
action = "reducing"
side_up = "bonnet"
services = ["natural-gas", "nitrogen"]
set_range = "1 to 4 bar"
[family.chambers]
inlet = "inlet chamber"
outlet = "outlet chamber"
loading = "loading chamber"
[family.on_loss]
supply = "shuts"
sensing = "opens"
diaphragm = "opens"
[family.sheets]
pilot = "Pilot"

[option.seal]
words = "seat material"
default = "rubber"
[option.seal.values]
rubber = "NBR"
resin = "FKM"
[option.line]
words = "sensing"
default = "internal"
[option.line.values]
internal = "internal, by a drilled passage"
external = "external, by a line to the main"

[part.body]
words = "body"
kind = "hard"
material = "cast-iron"
fixed = true
[part.supply-tube]
words = "supply tube"
kind = "hard"
material = "stainless"
size = "8 mm"
chamber = "inlet"
[part.supply-tube.off]
tool = "spanner-14"
minutes_off = 2
minutes_on = 3
opens = ["supply-fitting"]
energy = ["inlet-pressure"]
[part.sense-line]
words = "sensing line filter"
kind = "hard"
chamber = "outlet"
look = true
when = { line = ["external"] }
[part.sense-line.off]
tool = "spanner-14"
minutes_off = 1
minutes_on = 1
[part.pilot-screws]
words = "pilot screws"
kind = "fastener"
size = "M8 x 30"
count = 2
[part.pilot-screws.off]
after = [["supply-tube"]]
tool = "socket-13"
minutes_off = 1
minutes_on = 1
opens = ["pilot-mount"]
energy = ["loading-pressure"]
[part.pilot-gasket]
words = "pilot mounting gasket"
kind = "soft"
material = "fibre"
renew = "always"
kit = "soft-kit"
chamber = "loading"
[part.pilot-gasket.off]
after = [["pilot-body"]]
tool = "hand"
minutes_off = 1
minutes_on = 1
[part.pilot-gasket.check.new]
words = "new gasket"
accept = "flat and whole"
reject = "creased or torn"
[part.pilot-body]
words = "pilot body"
kind = "hard"
sheet = "pilot"
[part.pilot-cap]
words = "pilot cap"
kind = "hard"
sheet = "pilot"
[part.pilot-cap.split]
tool = "spanner-32"
minutes_off = 1
minutes_on = 2
opens = ["pilot-cap-thread"]
energy = ["pilot-spring-load"]
[part.pilot-spring]
words = "pilot spring"
kind = "spring"
sheet = "pilot"
renew = "on-finding"
spring = { wire = "2.0 mm", free_length = "42 mm" }
[part.pilot-spring.split]
after = [["pilot-cap"]]
tool = "hand"
minutes_off = 1
minutes_on = 1
[part.pilot-spring.check.free-length]
words = "free length"
accept = "41.5 mm to 42.5 mm"
reject = "shorter than 41.5 mm, rubbed or rusted wire"
reading = "mm"
tool = "caliper"
minutes = 1
[part.pilot-seat]
words = "pilot seat"
kind = "soft"
material = "nbr"
sheet = "pilot"
renew = "always"
kit = "soft-kit"
[part.pilot-seat.split]
after = [["pilot-spring"]]
leaves = ["pilot-body"]
tool = "hook"
minutes_off = 1
minutes_on = 1
[part.pilot-seat.check.print]
words = "seat print"
accept = "one even ring"
reject = "cut, swollen, or a second ring"
[part.bonnet-screws]
words = "bonnet screws"
kind = "fastener"
size = "M10 x 35"
count = 8
[part.bonnet-screws.off]
after = [["pilot-screws"]]
tool = "socket-16"
minutes_off = 4
minutes_on = 6
opens = ["bonnet-joint"]
energy = ["inlet-pressure", "loading-pressure", "outlet-pressure", "main-spring-load"]
[part.bonnet]
words = "bonnet"
kind = "hard"
weight = "31 kg"
[part.bonnet.off]
after = [["bonnet-screws", "pilot-body"]]
tool = "hand"
minutes_off = 2
minutes_on = 2
[part.bonnet-ring]
words = "bonnet O-ring"
kind = "soft"
material = "nbr"
o_ring = "151"
renew = "age"
life = "10 years"
kit = "soft-kit"
chamber = "loading"
lubricant = "valve-grease"
lubricate_where = "a thin film on the ring only"
[part.bonnet-ring.off]
after = [["bonnet"]]
tool = "hook"
minutes_off = 1
minutes_on = 1
[part.bonnet-ring.check.ring]
words = "ring"
accept = "round, soft, no flat"
reject = "flat, cracked or swollen"
[part.main-spring]
words = "main spring"
kind = "spring"
renew = "on-finding"
[part.main-spring.off]
after = [["bonnet"]]
tool = "hand"
minutes_off = 1
minutes_on = 1
[part.plug]
words = "plug with stem"
kind = "hard"
chamber = "inlet"
[part.plug.off]
after = [["main-spring"]]
tool = "hand"
minutes_off = 1
minutes_on = 1
withdraws = ["stem-ring"]
[part.plug.check.stroke]
words = "free stroke"
accept = "18 mm by hand, no drag"
reject = "sticks or rubs"
reading = "mm"
after_fit = ["plug"]
before_fit = ["main-spring"]
[part.stem-ring]
words = "stem O-ring"
kind = "soft"
material = "nbr"
o_ring = "112"
renew = "always"
kit = "soft-kit"
chamber = "loading"
dynamic = true
lubricant = "valve-grease"
[part.stem-ring.off]
after = [["plug"]]
tool = "hook"
minutes_off = 1
minutes_on = 2
[part.stem-ring.check.new]
words = "new ring"
accept = "no nick"
reject = "nick or flash"
[part.seat-ring]
words = "seat ring"
kind = "hard"
material = "stainless"
renew = "on-finding"
chamber = "inlet"
[part.seat-ring.off]
after = [["plug"]]
tool = "seat-tool"
side = "bottom"
minutes_off = 4
minutes_on = 5
opens = ["seat-thread"]
[part.seat-ring.check.edge]
words = "edge"
accept = "sharp all round"
reject = "nick, groove or wire-drawing"
[part.vent-plug]
words = "vented plug"
kind = "hard"
[part.vent-plug.off]
tool = "spanner-14"
minutes_off = 1
minutes_on = 1

[lump.pilot]
words = "pilot"
parts = ["pilot-body", "pilot-cap", "pilot-spring", "pilot-seat"]
after = [["pilot-screws", "supply-tube"]]
tool = "hand"
minutes_off = 1
minutes_on = 2

[joint.supply-fitting]
words = "supply tube fitting"
kind = "tube-fitting"
chambers = ["inlet"]
no_torque = "tube fitting"
turns = "a quarter turn past finger-tight"
tool = "spanner-14"
holds_pressure = true
[joint.pilot-mount]
words = "pilot mounting joint"
kind = "flat-gasket"
fastener = "pilot-screws"
seals = ["pilot-gasket"]
chambers = ["loading"]
torque = "18 N.m"
range = "16 N.m to 20 N.m"
tool = "socket-13"
holds_pressure = true
[joint.pilot-cap-thread]
words = "pilot cap thread"
kind = "straight-plug"
chambers = ["loading"]
torque = "25 N.m"
range = "22 N.m to 28 N.m"
lubricated = "valve-grease"
tool = "spanner-32"
holds_pressure = true
[joint.bonnet-joint]
words = "bonnet joint"
kind = "metal"
fastener = "bonnet-screws"
seals = ["bonnet-ring"]
chambers = ["loading", "inlet"]
torque = "44 N.m"
pattern = "cross"
cover = "round"
passes = [30, 60, 100]
tool = "socket-16"
holds_pressure = true
retorque = true
thread = "M10"
grade = "8.8"
[joint.seat-thread]
words = "seat ring thread"
kind = "seat-thread"
chambers = ["inlet"]
torque = "90 N.m"
range = "80 N.m to 100 N.m"
lubricated = "valve-grease"
tool = "seat-tool"

[energy.inlet-pressure]
kind = "chamber"
words = "inlet pressure"
hold = "prove-zero"
chamber = "inlet"
where = "the inlet bleed"
[energy.outlet-pressure]
kind = "chamber"
words = "outlet pressure"
hold = "prove-zero"
chamber = "outlet"
where = "the outlet bleed"
[energy.loading-pressure]
kind = "chamber"
words = "loading pressure"
hold = "prove-zero"
chamber = "loading"
where = "the pilot bleed"
[energy.main-spring-load]
kind = "spring"
words = "main spring"
hold = "long-studs"
part = "main-spring"
where = "the bonnet"
[energy.pilot-spring-load]
kind = "spring"
words = "pilot spring"
hold = "screw-out"
part = "pilot-spring"
where = "the pilot adjusting screw"

[mark.vent]
words = "bonnet vent"
kind = "clock"
part = "bonnet"
[mark.supply]
words = "supply tube, ports S1 and S2"
kind = "port-tag"
part = "supply-tube"
[mark.arrow]
words = "flow arrow on the pilot"
kind = "arrow"
part = "pilot-body"
[act.centre]
words = "centre the plug: press it down and let it find its seat"
after_fit = ["plug"]
before_fit = ["main-spring"]
minutes = 1
[[rebuild]]
first = "seat-ring"
then = "plug"
why = "the plug bars the seat tool"

[tool.hand]
words = "bare hands"
kind = "hand"
[tool.spanner-14]
words = "spanner"
kind = "spanner"
size = "14 mm"
[tool.spanner-32]
words = "spanner"
kind = "spanner"
size = "32 mm"
[tool.socket-13]
words = "socket"
kind = "socket"
size = "13 mm"
[tool.socket-16]
words = "socket"
kind = "socket"
size = "16 mm"
[tool.hook]
words = "blunt hook"
kind = "hook"
[tool.seat-tool]
words = "seat tool"
kind = "special"
size = "40 mm, four pins"
[tool.caliper]
words = "caliper"
kind = "gauge"
size = "150 mm"
[lubricant.valve-grease]
words = "silicone valve grease"
base = "silicone"
services = ["natural-gas", "nitrogen"]

[scope.change-spring]
words = "change the main spring"
renew = ["main-spring"]
[scope.soft-parts]
words = "renew the soft parts"
renew_kinds = ["soft"]
[scope.seat]
words = "look at the seat"
inspect = ["seat-ring"]
[scope.overhaul]
words = "take everything apart"
everything = true
"""

JOINT_KINDS = (
    *("metal", "flat-gasket", "clamped-soft", "stack-nut", "seat-thread"),
    *("straight-plug", "taper-thread", "tube-fitting", "lock-nut"),
)
WEIGHTS = Weights(
    tool_change=30,
    turn_over=120,
    lift=300,
    joint=dict.fromkeys(JOINT_KINDS, 60),
    renewal=dict.fromkeys(PartKind, 60),
)
DIGEST = "sha256:" + "0123456789abcdef" * 4


def make_unit(family: str = FAMILY, **options: str) -> Structure:
    """Return the trial unit with its options chosen."""
    read = read_family(family.encode())
    return build_structure(read, options)


def plan_unit(structure: Structure, scope: str = "overhaul", policy: Policy = Policy.LEAST) -> Plan:
    """Return a checked plan of a scope."""
    question = Question(
        goals=scope_goals(structure, scope),
        place="bench",
        gas="natural-gas",
        scope=scope,
        policy=policy,
    )
    return make_plan(structure, question, WEIGHTS)


@cache
def overhaul() -> tuple[Structure, Plan]:
    """Return the trial unit with the rarer options, and its overhaul."""
    structure = make_unit(line="external")
    return structure, plan_unit(structure)


def draw_sheet(
    structure: Structure,
    plan: Plan,
    *,
    card: UnitCard | None = None,
    wrench_unit: str = "lbf.in",
    **more: Any,
) -> SheetDocument:
    """Return the sheet of a plan with a wrench chosen for every torque and patterns drawn."""
    wrenches = {
        step.id: TorqueTool(words="wrench TW-3", unit=wrench_unit)
        for step in plan.steps
        if step.torque is not None
    }
    patterns = {
        joint.id: Picture(svg=draw_bolt_order(joint.count), words=f"order of {joint.words}")
        for joint in structure.joints.values()
        if joint.pattern
    }
    given: dict[str, Any] = {
        "plan_digest": DIGEST,
        "unit": card or UnitCard(tag="H-07-W", serial="48-1172"),
        "wrenches": wrenches,
        "drawings": Drawings(patterns=patterns),
        "today": date(2026, 11, 25),
    }
    return make_sheet(structure, plan, SheetOwner(), **(given | more))


@cache
def overhaul_sheet() -> SheetDocument:
    """Return the sheet of the trial unit's overhaul."""
    return draw_sheet(*overhaul())
