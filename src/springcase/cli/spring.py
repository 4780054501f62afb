"""`springcase spring`: rate, stress, lengths, set range, and which spring is really inside."""

from __future__ import annotations

import argparse
import re
from dataclasses import dataclass, field
from typing import Any, Final

from springcase.cli.spring_options import add_arguments, refuse_lone_options
from springcase.cli.spring_text import text
from springcase.cli.torque_tool import positive, share_typed
from springcase.errors import BadInput, OutsideValidity
from springcase.sources import Standing
from springcase.standards import register, wire
from springcase.units import INCH, convert, format_value
from springcase.wording import sentence

__all__ = ["FORMAT", "HELP", "NAME", "add_arguments", "document", "text"]

NAME: Final = "spring"
HELP: Final = "rate, stress, set range, which spring is inside"
FORMAT: Final = "springcase/spring"
_THREADS: Final = re.compile(r"\s*([0-9.]+)\s*(?:threads?\s*(?:/|per)\s*in|tpi)\.?\s*")
_USUAL_INDEX: Final = (4.0, 12.0)


@dataclass(slots=True, kw_only=True)
class _Sheet:
    """What has been worked out so far, with the warnings and sources it gathered."""

    found: dict[str, Any] = field(default_factory=dict)
    warnings: list[str] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)

    def rests_on(self, key: str, figure: str) -> None:
        """Note a source, and say so where it is from memory."""
        if register.standing(key) is Standing.MEMORY:
            said = sentence("spring-from-memory", figure=figure, source=key)
            if said not in self.warnings:
                self.warnings.append(said)
        if key not in self.sources:
            self.sources.append(key)


def document(arguments: argparse.Namespace) -> tuple[dict[str, Any], int]:
    """Return the spring document and the exit code: 1 where it is not the spring on the card."""
    sheet = _Sheet()
    refuse_lone_options(arguments)
    if arguments.wire or arguments.rate:
        _work_out_spring(arguments, sheet)
    elif not arguments.per_turn:
        raise BadInput(
            "spring-basis-missing",
            field="springcase spring",
            right="--wire with --mean-diameter and --active, or --rate, or --per-turn with --card",
        )
    if arguments.screw_travel:
        _work_out_set_range(arguments, sheet)
    code = _identify(arguments, sheet) if arguments.per_turn else 0
    _work_out_droop(arguments, sheet)
    return sheet.found | {"warnings": sheet.warnings, "sources": sheet.sources}, code


def _length(arguments: argparse.Namespace, name: str, needed_by: str = "") -> float:
    return _typed(arguments, name, "length", needed_by)


def _typed(arguments: argparse.Namespace, name: str, kind: str, needed_by: str) -> float:
    """Return a typed quantity more than zero, or refuse that an option lacks it."""
    option = "--" + name.replace("_", "-")
    text = getattr(arguments, name)
    if text is None:
        raise BadInput(
            "option-needs",
            field=needed_by,
            value=getattr(arguments, needed_by.removeprefix("--").replace("-", "_")),
            right=option,
        )
    return positive(text, kind, option)


def _refuse_twice(arguments: argparse.Namespace, first: str, second: str) -> None:
    if getattr(arguments, first) is not None and getattr(arguments, second) is not None:
        raise BadInput(
            "torque-given-twice",
            field="--" + second.replace("_", "-"),
            value=getattr(arguments, second),
            right="--" + first.replace("_", "-"),
        )


def _work_out_spring(arguments: argparse.Namespace, sheet: _Sheet) -> None:
    _refuse_twice(arguments, "wire", "rate")
    if arguments.rate:
        sheet.found |= {"rate_n_m": positive(arguments.rate, "stiffness", "--rate")}
        if arguments.solid_length:
            sheet.found["solid_length_m"] = _length(arguments, "solid_length")
    else:
        _work_out_coils(arguments, sheet)
    sheet.found["rate_lbf_in"] = convert(sheet.found["rate_n_m"], "lbf/in")
    if arguments.free_length and "solid_length_m" in sheet.found:
        _work_out_free_length(arguments, sheet)
    if arguments.force:
        _work_out_force(arguments, sheet)


def _work_out_coils(arguments: argparse.Namespace, sheet: _Sheet) -> None:
    """Work out rate, index and solid length from the wire and the coil."""
    from springcase.regulator import spring

    for first, second in (
        ("mean_diameter", "outer_diameter"),
        ("active", "total"),
        ("wire", "solid_length"),
    ):
        _refuse_twice(arguments, first, second)
    thin = _length(arguments, "wire")
    if arguments.outer_diameter:
        outer = _length(arguments, "outer_diameter")
        if outer <= 2 * thin:
            raise OutsideValidity(
                "coil-too-tight",
                field="--outer-diameter",
                value=arguments.outer_diameter,
                right=f"more than two wires, {format_value(2 * thin, 'mm', 4)}",
            )
        mean = outer - thin
    else:
        mean = _length(arguments, "mean_diameter", "--wire")
    if arguments.active is None and arguments.total is None:
        raise BadInput(
            "option-needs", field="--wire", value=arguments.wire, right="--active or --total"
        )
    ends = arguments.ends or "squared-ground"
    if arguments.ends is None:
        sheet.warnings.append(sentence("spring-ends-assumed", ends=ends))
    if arguments.active is None:
        total, active = arguments.total, spring.active_coils(arguments.total, ends)
    else:
        total, active = spring.total_coils(arguments.active, ends), arguments.active
    modulus = _shear_modulus(arguments, thin, sheet)
    index = float(spring.spring_index(thin, mean))
    low, high = _USUAL_INDEX
    if not low <= index <= high:
        said = sentence("spring-index-unusual", index=f"{index:.3g}", low=low, high=high)
        sheet.warnings.append(said)
    sheet.rests_on("statics", "rate")
    sheet.rests_on("shigley_9e_memory", "the solid length by the type of the ends")
    sheet.found |= {
        "material": arguments.material,
        "wire_m": thin,
        "mean_diameter_m": mean,
        "ends": ends,
        "active_coils": float(active),
        "total_coils": float(total),
        "shear_modulus_pa": modulus,
        "index": index,
        "rate_n_m": float(spring.spring_rate(thin, mean, active, modulus)),
        "solid_length_m": float(spring.solid_length(total, thin, ends)),
    }
    _say_strength(arguments, thin, sheet)


def _shear_modulus(arguments: argparse.Namespace, thin: float, sheet: _Sheet) -> float:
    if arguments.shear_modulus:
        return positive(arguments.shear_modulus, "stress", "--shear-modulus")
    if arguments.material is None:
        raise BadInput(
            "option-needs",
            field="--wire",
            value=arguments.wire,
            right="--material or --shear-modulus",
        )
    modulus = wire.wire_shear_modulus(arguments.material, thin, field="--material")
    sheet.rests_on(modulus.source, f"the shear modulus of {arguments.material}")
    return modulus.value


def _say_strength(arguments: argparse.Namespace, thin: float, sheet: _Sheet) -> None:
    """Add what the wire bears, where its material is named."""
    strength = limit = None
    if arguments.material is not None:
        found = wire.tensile_strength(arguments.material, thin, field="--material")
        bears = wire.shear_limit(arguments.material, thin, field="--material")
        sheet.rests_on(found.source, f"the tensile strength of {arguments.material}")
        sheet.rests_on(bears.source, f"the share of it {arguments.material} bears in shear")
        strength, limit = found.value, bears.value
    sheet.found |= {"tensile_strength_pa": strength, "shear_limit_pa": limit}


def _work_out_force(arguments: argparse.Namespace, sheet: _Sheet) -> None:
    """Work out the stress a force gives, and the length it presses the spring to."""
    from springcase.regulator import spring

    found = sheet.found
    force = positive(arguments.force, "force", "--force")
    thin, mean, kind = found["wire_m"], found["mean_diameter_m"], arguments.stress_factor
    stress = float(spring.shear_stress(force, thin, mean, kind))
    source = {"wahl": "nswc_11", "shear": "statics"}.get(kind, "shigley_9e_memory")
    sheet.rests_on(source, "the correction of the stress")
    found |= {
        "force_n": force,
        "stress_factor": float(spring.stress_factor(found["index"], kind)),
        "stress_factor_kind": kind,
        "shear_stress_pa": stress,
        "deflection_m": force / found["rate_n_m"],
    }
    limit = found["shear_limit_pa"]
    if limit is not None and stress > limit:
        said = sentence("spring-over-limit", share=f"{100 * stress / limit:.0f}")
        sheet.warnings.append(said)
    if arguments.free_length:
        free = _length(arguments, "free_length")
        bound = found["rate_n_m"] * (free - found["solid_length_m"])
        if force >= bound:
            raise OutsideValidity(
                "coil-bound",
                field="--force",
                value=arguments.force,
                right=f"less than {format_value(bound, 'N', 4)}, which brings it solid",
            )
        found["length_at_force_m"] = free - found["deflection_m"]


def _work_out_free_length(arguments: argparse.Namespace, sheet: _Sheet) -> None:
    """Work out the force at solid and whether the free length may buckle."""
    from springcase.regulator import spring

    found = sheet.found
    free, solid = _length(arguments, "free_length"), found["solid_length_m"]
    spring.refuse_coil_bound(free, solid, "--free-length")
    found |= {"free_length_m": free, "force_at_solid_n": found["rate_n_m"] * (free - solid)}
    if "mean_diameter_m" not in found:
        return
    limit = float(spring.buckling_length(found["mean_diameter_m"], arguments.support))
    sheet.rests_on("shigley_9e_memory", "the length above which a spring may buckle")
    found |= {
        "coil_pitch_m": float(
            spring.coil_pitch(free, found["total_coils"], found["wire_m"], found["ends"])
        ),
        "buckling_length_m": limit,
        "may_buckle": free > limit,
    }
    if free > limit:
        sheet.warnings.append(
            sentence("spring-may-buckle", limit=format_value(limit, "mm", 3)),
        )


def _pitch(arguments: argparse.Namespace, needed_by: str) -> float:
    """Return the pitch of the screw, typed as a length or as threads per inch."""
    found = _THREADS.fullmatch(arguments.pitch or "")
    if found is None:
        return _length(arguments, "pitch", needed_by)
    return INCH / (positive(f"{found[1]} in", "length", "--pitch") / INCH)


def _area(arguments: argparse.Namespace, needed_by: str, sheet: _Sheet) -> float:
    """Return the effective area, as typed or from the diaphragm's diameters."""
    _refuse_twice(arguments, "area", "diaphragm")
    if arguments.diaphragm is None:
        return _typed(arguments, "area", "area", needed_by)
    from springcase.regulator.diaphragm import effective_area

    bore = _length(arguments, "bore", "--diaphragm")
    plate = _length(arguments, "plate", "--diaphragm")
    is_flat = arguments.diaphragm == "flat"
    source = "flat_diaphragm_memory" if is_flat else "rolling_diaphragm_guide"
    sheet.rests_on(source, "the effective area of a flat diaphragm")
    return float(effective_area(arguments.diaphragm, bore, plate))


def _work_out_set_range(arguments: argparse.Namespace, sheet: _Sheet) -> None:
    """Work out the set range the screw gives the spring."""
    from springcase.regulator import setting

    asked = "--screw-travel"
    for option in ("rate_n_m", "solid_length_m"):
        if option not in sheet.found:
            raise BadInput(
                "option-needs",
                field=asked,
                value=arguments.screw_travel,
                right="--wire, or --rate with --solid-length",
            )
    area = _area(arguments, asked, sheet)
    fitted = _length(arguments, "fitted_length") if arguments.fitted_length else None
    reach = setting.set_range(
        rate=sheet.found["rate_n_m"],
        free_length=_length(arguments, "free_length", asked),
        solid_length=sheet.found["solid_length_m"],
        screw_travel=_length(arguments, "screw_travel"),
        screw_pitch=_pitch(arguments, asked),
        effective_area=area,
        fitted_length=fitted,
        lever_ratio=arguments.lever_ratio,
    )
    sheet.rests_on("statics", "set range")
    sheet.found |= {
        "effective_area_m2": area,
        "set_range_low_diff_pa": reach.low_diff,
        "set_range_high_diff_pa": reach.high_diff,
        "per_turn_diff_pa": reach.per_turn_diff,
        "turns": reach.turns,
        "left_before_solid_m": reach.left_before_solid,
    }


def _identify(arguments: argparse.Namespace, sheet: _Sheet) -> int:
    """Work out which spring is inside; the exit code is 1 unless it is the one on the card."""
    from springcase.regulator import setting

    asked = "--per-turn"
    area = _area(arguments, asked, sheet)
    doubt = setting.USUAL_UNCERTAINTY
    if arguments.uncertainty:
        doubt = share_typed(arguments.uncertainty, "--uncertainty")
    else:
        sheet.warnings.append(sentence("spring-uncertainty-assumed", share=f"{100 * doubt:.0f}"))
    seen = setting.identify_spring(
        measured_pressure_per_turn_diff=positive(arguments.per_turn, "pressure-difference", asked),
        pitch=_pitch(arguments, asked),
        effective_area=area,
        carded_rate=_typed(arguments, "card", "stiffness", asked),
        lever_ratio=arguments.lever_ratio,
        uncertainty=doubt,
    )
    sheet.rests_on("statics", "rate from pressure per turn")
    sheet.rests_on("common_practice", "tolerance of a spring to its card")
    sheet.warnings.append(sentence("spring-plug-still"))
    if "rate_n_m" not in sheet.found:
        sheet.found |= {"rate_n_m": seen.rate, "rate_lbf_in": convert(seen.rate, "lbf/in")}
    sheet.found |= {
        "effective_area_m2": area,
        "measured_rate_n_m": seen.rate,
        "carded_rate_n_m": seen.carded_rate,
        "rate_ratio": seen.ratio,
        "rate_ratio_low": seen.ratio_low,
        "rate_ratio_high": seen.ratio_high,
        "card_tolerance": seen.card_tolerance,
        "expected_per_turn_diff_pa": seen.expected_per_turn_diff,
        "verdict": seen.verdict.value,
    }
    return 0 if seen.verdict is setting.SpringIdentity.CARDED else 1


def _work_out_droop(arguments: argparse.Namespace, sheet: _Sheet) -> None:
    """Work out the droop a travel of the diaphragm costs, with this spring and the carded one."""
    if not arguments.stroke:
        return
    from springcase.regulator.lever import droop_diff

    found, stroke = sheet.found, _length(arguments, "stroke")
    area = found.get("effective_area_m2") or _area(arguments, "--stroke", sheet)
    # A linkage of ratio R takes R from the spring's travel and R from its force.
    softer = arguments.lever_ratio * arguments.lever_ratio
    rate = found.get("measured_rate_n_m", found["rate_n_m"])
    found["droop_diff_pa"] = float(droop_diff(rate / softer, stroke, area))
    if "carded_rate_n_m" in found:
        carded = found["carded_rate_n_m"] / softer
        found["carded_droop_diff_pa"] = float(droop_diff(carded, stroke, area))
