"""A small sound family as tables, to be spoilt one key at a time by the tests."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Mapping
from typing import Any, Final

import msgspec

from springcase.assembly.family import Family
from springcase.assembly.soundness import Figures, Soundness, prove_family

FIGURES: Final = Figures(proof_share=0.75, dry_factor=0.2, lubricated_factor=0.15)
GONE: Final = "<gone>"
"""Put in place of a value, it takes the key away."""

SMALL: Final = """
[family]
id = "small"
name = "Small"
words = "a family for tests"
edition = "1"
action = "reducing"
side_up = "top"
services = ["natural-gas"]
[family.chambers]
inlet = "inlet"
case = "spring case"

[option.seat]
words = "seat compound"
default = "nbr"
[option.seat.values]
nbr = "NBR"
fkm = "FKM"
[option.damper]
words = "damper"
default = "none"
[option.damper.values]
none = "no damper"
fitted = "damper fitted"

[part.body]
words = "body"
kind = "hard"
material = "aluminium"
fixed = true
[part.cap]
words = "cap"
kind = "hard"
chamber = "case"
[part.cap.off]
tool = "spanner-24"
minutes_off = 1
minutes_on = 2
opens = ["cap-joint"]
energy = ["spring-load"]
[part.spring]
words = "spring"
kind = "spring"
[part.spring.profile]
axis = "main"
order = "10"
shape = "spring"
length = "60 mm"
outer = "30 mm"
wire = "3 mm"
coils = "8"
[part.spring.off]
after = [["cap"]]
minutes_off = 1
minutes_on = 1
[part.screws]
words = "screws"
kind = "fastener"
count = 4
[part.screws.off]
after = [["spring"]]
tool = "spanner-10"
minutes_off = 2
minutes_on = 3
opens = ["casing"]
[part.damper]
words = "damper"
kind = "hard"
when = { damper = ["fitted"] }
[part.damper.split]
minutes_off = 1
minutes_on = 1
[part.diaphragm]
words = "diaphragm"
kind = "soft"
material = "nbr"
renew = "always"
kit = "soft-kit"
[part.diaphragm.split]
minutes_off = 1
minutes_on = 1
leaves = ["plate"]
[part.diaphragm.check.face]
words = "face"
accept = "smooth"
reject = "cut"
[part.plate]
words = "plate"
kind = "hard"
[part.disc]
words = "seat disc"
kind = "soft"
material = "nbr"
chamber = "inlet"
renew = "always"
kit = "soft-kit"
lubricant = "grease"
lubricate_where = "on the rim"
[part.disc.off]
after = [["diaphragm"]]
minutes_off = 1
minutes_on = 1
[part.disc.check.face]
words = "face"
accept = "smooth"
reject = "cut"
[[part.disc.variant]]
when = { seat = ["fkm"] }
material = "fkm"
[part.orifice]
words = "orifice"
kind = "hard"
material = "brass"
chamber = "inlet"
[part.orifice.off]
after = [["disc"]]
tool = "spanner-24"
minutes_off = 1
minutes_on = 2
opens = ["orifice-thread"]

[lump.set]
words = "diaphragm set"
parts = ["diaphragm", "plate", "damper"]
after = [["screws"]]
minutes_off = 1
minutes_on = 2

[joint.cap-joint]
words = "cap thread"
kind = "taper-thread"
chambers = ["case"]
turns = "2 turns past finger-tight"
tool = "spanner-24"
[joint.casing]
words = "casing"
kind = "metal"
fastener = "screws"
chambers = ["case"]
torque = "9 N.m"
range = "8 N.m to 10 N.m"
pattern = "cross"
cover = "square"
passes = [50, 100]
tool = "spanner-10"
thread = "M6"
grade = "8.8"
limits = { cover = "12 N.m" }
[joint.orifice-thread]
words = "orifice thread"
kind = "seat-thread"
chambers = ["inlet"]
torque = "20 N.m"
range = "18 N.m to 22 N.m"
tool = "spanner-24"
lubricated = "grease"
limits = { cover = "30 N.m" }

[energy.inlet-pressure]
kind = "chamber"
words = "inlet pressure"
hold = "prove-zero"
chamber = "inlet"
[energy.case-pressure]
kind = "chamber"
words = "case pressure"
hold = "prove-zero"
chamber = "case"
[energy.spring-load]
kind = "spring"
words = "spring"
hold = "screw-out"
part = "spring"

[mark.vent]
words = "vent"
kind = "clock"
part = "cap"

[act.slack]
words = "set the slack"
after_fit = ["diaphragm"]
before_joint = "casing"

[[rebuild]]
first = "orifice"
then = "disc"
why = "the disc bars the spanner"

[tool.spanner-10]
words = "spanner"
kind = "spanner"
size = "10 mm"
[tool.spanner-24]
words = "spanner"
kind = "spanner"
size = "24 mm"

[lubricant.grease]
words = "silicone grease"
base = "silicone"
services = ["natural-gas"]

[scope.change-spring]
words = "change the spring"
renew = ["spring"]
[scope.soft-parts]
words = "renew the soft parts"
renew_kinds = ["soft"]
[scope.seat]
words = "look at the seat"
inspect = ["orifice"]
[scope.overhaul]
words = "take everything apart"
everything = true

[axis.main]
words = "main axis"
"""


def tables(changes: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """Return the tables of the small family, with values set at dotted paths."""
    made = tomllib.loads(SMALL)
    for path, value in (changes or {}).items():
        *above, last = path.split(".")
        table: Any = made
        for key in above:
            table = table[int(key)] if isinstance(table, list) else table.setdefault(key, {})
        if value is GONE:
            del table[last]
        elif isinstance(table, list):
            table[int(last)] = copy.deepcopy(value)
        else:
            table[last] = copy.deepcopy(value)
    return made


def make_family(changes: Mapping[str, Any] | None = None) -> Family:
    """Return the small family with values set at dotted paths."""
    return msgspec.convert(tables(changes), Family)


def prove(changes: Mapping[str, Any] | None = None) -> Soundness:
    """Return the proof of the small family with values set at dotted paths."""
    return prove_family(make_family(changes), FIGURES)
