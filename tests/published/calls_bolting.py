"""What the published cases of bolting ask for, from the texts a case gives."""

from __future__ import annotations

from collections.abc import Mapping

from springcase.bolting import pattern, preload, tool_fit, wrench
from springcase.standards import hexagons, strength
from springcase.standards.strength import Grade, grade
from springcase.standards.threads import Thread, thread
from springcase.units import convert, parse_quantity

Given = Mapping[str, str]


def _value(given: Given, key: str, kind: str) -> float:
    return parse_quantity(given[key], kind, field=key).value


def _thread(given: Given) -> Thread:
    return thread(given["thread"])


def _grade(given: Given) -> Grade:
    diameter = _thread(given).diameter if "thread" in given else _value(given, "diameter", "length")
    return grade(given["grade"], diameter)


def _proof_stress(given: Given) -> float | str:
    found = _grade(given).proof_stress
    return "none" if found is None else found


def _torque_of_share(given: Given) -> float:
    screw, strong = _thread(given), _grade(given)
    load = preload.preload_at_share(
        screw, strong, _value(given, "share", "ratio"), of=given.get("of", "proof")
    )
    return preload.torque_for_preload(load, screw.diameter, _value(given, "factor", "ratio"))


def _preload_of_share(given: Given) -> float:
    share = _value(given, "share", "ratio")
    return preload.preload_at_share(
        _thread(given), _grade(given), share, of=given.get("of", "proof")
    )


def _preload_of_torque(given: Given) -> float:
    return preload.preload_for_torque(
        _value(given, "torque", "torque"),
        _thread(given).diameter,
        _value(given, "factor", "ratio"),
    )


def _friction(given: Given) -> tuple[Thread, float, float]:
    return _thread(given), float(given["thread_friction"]), float(given["collar_friction"])


def _friction_torque(given: Given) -> float:
    return preload.torque_by_friction(_value(given, "preload", "force"), *_friction(given))


def _bolt_stress(given: Given) -> float:
    share = preload.bolt_load_share(float(given["bolt"]), float(given["member"]))
    return preload.bolt_stress(
        _value(given, "preload", "force"),
        _value(given, "load", "force"),
        share,
        _value(given, "area", "area"),
    )


def _setting(given: Given) -> float:
    return wrench.wrench_setting(
        _value(given, "torque", "torque"),
        _value(given, "wrench", "length"),
        _value(given, "extension", "length"),
        _value(given, "angle", "angle"),
    )


def _usual_passes(given: Given) -> str:
    shares = ", ".join(f"{100 * low:g}-{100 * high:g}" for low, high in pattern.USUAL_PASSES)
    return f"{shares}, {pattern.plan_passes(1.0)[-1].order}"


CALLS = {
    "stress area by formula": lambda given: preload.formula_stress_area(_thread(given)),
    "stress area used": lambda given: preload.stress_area(_thread(given)),
    "proof load": lambda given: preload.proof_load(_thread(given), _grade(given)),
    "proof stress": _proof_stress,
    "yield stress": lambda given: _grade(given).yield_stress,
    "tensile stress": lambda given: _grade(given).tensile_stress,
    "nut factor": lambda given: strength.nut_factor(given["state"]).value,
    "torque at a share": _torque_of_share,
    "preload at a share": _preload_of_share,
    "preload of a torque": _preload_of_torque,
    "share of proof reached": lambda given: (
        _preload_of_torque(given) / preload.proof_load(_thread(given), _grade(given))
    ),
    "torque of a preload": lambda given: preload.torque_for_preload(
        _value(given, "preload", "force"),
        _value(given, "diameter", "length"),
        _value(given, "factor", "ratio"),
    ),
    "initial stress": lambda given: (
        _value(given, "preload", "force") / _value(given, "area", "area")
    ),
    "bolt load share": lambda given: preload.bolt_load_share(
        float(given["bolt"]), float(given["member"])
    ),
    "bolt stress": _bolt_stress,
    "mean diameter": lambda given: preload.mean_diameter(_thread(given)),
    "lead tangent": lambda given: preload.lead_tangent(_thread(given)),
    "torque by friction": _friction_torque,
    "effective nut factor": lambda given: preload.effective_nut_factor(*_friction(given)),
    "scatter mean": lambda given: strength.preload_scatter(given["state"]).mean,
    "scatter deviation": lambda given: strength.preload_scatter(given["state"]).deviation,
    "scatter coefficient": lambda given: strength.preload_scatter(given["state"]).coefficient,
    "wrench setting": _setting,
    "permissible error": lambda given: tool_fit.permissible_error(
        _value(given, "highest", "torque")
    ),
    "bolt order": lambda given: " ".join(map(str, pattern.bolt_order(int(given["bolts"])))),
    "usual passes": _usual_passes,
    "across flats": lambda given: (
        hexagons.across_flats(given["size"], standard=given["standard"]).width
    ),
    "across flats, greatest": lambda given: hexagons.across_flats(given["size"]).width_max,
    "across flats, least": lambda given: hexagons.across_flats(given["size"]).width_min,
    "screw of a hexagon": lambda given: hexagons.screw_of_hexagon(given["width"]),
    "heavy hex": lambda given: hexagons.heavy_hex_width(_value(given, "diameter", "length")),
    "across corners": lambda given: hexagons.across_corners(_value(given, "width", "length")),
    "torque conversion": lambda given: _value(given, "torque", "torque"),
    "readout in lbf.in": lambda given: convert(
        wrench.readout(_value(given, "torque", "torque")).lbf_in, "N.m"
    ),
}
