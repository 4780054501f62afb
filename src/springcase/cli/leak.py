"""`springcase leak`: a leak by held pressure, bubbles or flow meter, and the verdict on it."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final

from springcase.cli.air import add_air_arguments
from springcase.cli.gas_choice import Sheet, in_typed_words, positive_typed
from springcase.cli.leak_readings import bubbles_typed, hold_typed, meter_typed, method_asked
from springcase.errors import BadInput, UnitMismatch
from springcase.units import ISO_13443, NORMAL, base_ratio
from springcase.wording import sentence

if TYPE_CHECKING:
    from springcase.gas.leak import HoldReadings, Leak
    from springcase.gas.leak_verdict import JudgedLeak
    from springcase.standards.seat_leakage import SeatLimit

NAME: Final = "leak"
HELP: Final = "a leak by held pressure, bubbles or meter, and its verdict"
FORMAT: Final = "springcase/leak"
_MILLILITRE_A_MINUTE: Final = 6e7
_OPTIONS: Final = {
    "seat_diameter": "--seat",
    "capacity_base": "--capacity",
    "seat class": "--seat-class",
    "standard": "--standard",
}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options of the command."""
    add = parser.add_argument
    add("--volume", metavar="VOLUME", help="enclosed volume of a pressure hold")
    add("--start", metavar="PRESSURE", help="at the start of the hold")
    add("--end", metavar="PRESSURE", help="at the end of the hold")
    add("--start-temperature", metavar="TEMPERATURE", help="of the gas at the start")
    add("--end-temperature", metavar="TEMPERATURE", help="of the gas at the end")
    add("--time", metavar="TIME", help="how long was held or counted")
    add_air_arguments(parser)
    add("--end-barometer", metavar="PRESSURE", help="air at the end, where it has changed")
    add("--resolution", metavar="STEP", help="step of the gauge; the last digit typed if not given")
    add("--pressure-uncertainty", metavar="PRESSURE", help="standard, of one pressure reading")
    add("--temperature-resolution", metavar="STEP", help="step of the thermometer, in K")
    add("--temperature-uncertainty", metavar="KELVIN", help="standard, of one reading, in K")
    add("--volume-uncertainty", metavar="VOLUME", help="standard, of the volume")
    add("--bubbles", metavar="COUNT", help="instead of a hold: bubbles counted in --time")
    add("--tube", metavar="TUBE", help="the tube they came from: 6x1 or api-527")
    add("--temperature", metavar="TEMPERATURE", help="of bubbles, or of gas in a meter")
    add("--meter", metavar="FLOW", help="instead of a hold: flow read on a meter")
    add("--meter-uncertainty", metavar="FLOW", help="standard, of that reading")
    add("--into", action="store_true", help="judge what leaks into the volume, as a seat does")
    add("--limit", metavar="FLOW", help="greatest leak, at 15 degC and 101.325 kPa if no base")
    add("--seat-class", metavar="CLASS", help="limit of a seat leakage class, such as IV or VI")
    add("--standard", metavar="NAME", help="of the class: FCI 70-2 (if none) or FCI 70-3")
    add("--seat", metavar="LENGTH", help="seat diameter, for classes V to VII")
    add("--capacity", metavar="FLOW", help="rated capacity at the test, for classes II to IV")


def document(arguments: argparse.Namespace) -> tuple[dict[str, Any], int]:
    """Return the leak and the verdict; exit code 1 where that is not PASS."""
    from springcase.gas.leak_verdict import LeakVerdict, judge_leak

    sheet = Sheet()
    method = method_asked(arguments)
    seat = _seat_limit(arguments, sheet)
    limit = _limit(arguments) if seat is None else seat.flow_base
    readings: HoldReadings | None = None
    step = 0.0
    if method == "hold":
        readings, step = hold_typed(arguments, sheet)
        leak = _held(readings, sheet)
    else:
        leak = (bubbles_typed if method == "bubbles" else meter_typed)(arguments, sheet)
    judged = None
    if limit is None:
        sheet.warn("leak-not-judged")
    else:
        judged = judge_leak(leak, limit, is_inward=arguments.into)
        _explain(judged, leak, readings, sheet)
    code = 0 if judged is None or judged.verdict is LeakVerdict.PASS else 1
    found = _facts(leak, judged, is_inward=arguments.into)
    found |= _hold_facts(readings, leak, step)
    found |= {
        "seat_class": None if seat is None else seat.name,
        "seat_class_conditions": None if seat is None else seat.conditions,
    }
    return {**found, "warnings": sheet.warnings, "sources": sheet.sources}, code


def _limit(arguments: argparse.Namespace) -> float | None:
    """Return the typed limit at 15 degC and 101.325 kPa [m3/s], None where none was typed."""
    if arguments.limit is None:
        return None
    try:
        return positive_typed(arguments.limit, "volume-flow", "--limit")
    except UnitMismatch as error:
        if error.code != "unit-kind":
            raise
    return positive_typed(arguments.limit, "base-flow", "--limit") * base_ratio(NORMAL, ISO_13443)


def _seat_limit(arguments: argparse.Namespace, sheet: Sheet) -> SeatLimit | None:
    """Return the limit of the class that was typed, at 15 degC and 101.325 kPa."""
    from springcase.standards.seat_leakage import STANDARDS, seat_limit

    if arguments.seat_class is None:
        for name in ("standard", "seat", "capacity"):
            typed = getattr(arguments, name)
            if typed is not None:
                raise BadInput("option-needs", field=f"--{name}", value=typed, right="--seat-class")
        return None
    if arguments.limit is not None:
        raise BadInput(
            "torque-given-twice",
            field="--seat-class",
            value=arguments.seat_class,
            right="--limit",
        )
    seat, capacity = None, None
    if arguments.seat is not None:
        seat = positive_typed(arguments.seat, "length", "--seat")
    if arguments.capacity is not None:
        typed = positive_typed(arguments.capacity, "base-flow", "--capacity")
        capacity = typed * base_ratio(NORMAL, ISO_13443)
    standard = STANDARDS[0] if arguments.standard is None else arguments.standard
    with in_typed_words(arguments, _OPTIONS):
        found = seat_limit(
            arguments.seat_class, standard=standard, capacity_base=capacity, seat_diameter=seat
        )
    sheet.rests_on(found.source, "the seat leakage class")
    sheet.warn("leak-class-conditions", name=found.name, conditions=found.conditions)
    return found


def _held(readings: HoldReadings, sheet: Sheet) -> Leak:
    """Return the leak of a hold, and say where the hold was no good one."""
    from springcase.gas.leak import GREATEST_DROP, hold_leak

    sheet.rests_on("leak_balance", "the ideal-gas balance")
    share = abs(1 - readings.end_pressure_abs / readings.start_pressure_abs)
    if share > GREATEST_DROP:
        sheet.rests_on("astm_e2930_scope", "the change a hold may show")
        sheet.warn("leak-large-change", share=f"{100 * share:.3g}")
    return hold_leak(readings)


def _explain(judged: JudgedLeak, leak: Leak, readings: HoldReadings | None, sheet: Sheet) -> None:
    """Say why a verdict is what it is, and what would have been a better test."""
    from springcase.gas.leak_verdict import LONGEST_HOLD, LeakReason, LeakVerdict, better_test
    from springcase.standards.seat_leakage import bubble_tube

    sheet.warn(f"leak-because-{judged.reason}")
    blind = leak.detectable_base > judged.limit_base
    if judged.verdict is not LeakVerdict.INCONCLUSIVE or not (
        blind or judged.reason is LeakReason.UNCERTAIN
    ):
        return
    reach = f"{_MILLILITRE_A_MINUTE * leak.detectable_base:.3g}"
    if readings is None:
        sheet.warn("leak-better-count", reach=reach)
        return
    better = better_test(readings, leak, judged.limit_base, bubble_tube("6x1"))
    key = "leak-better-time" if better.seconds <= LONGEST_HOLD else "leak-better-method"
    sheet.warn(
        key,
        reach=reach,
        hours=f"{better.seconds / 3600:.3g}",
        step=f"{better.pressure_step_diff / 100:.3g}",
        minutes=f"{better.bubble_seconds / 60:.3g}",
    )


def _facts(leak: Leak, judged: JudgedLeak | None, *, is_inward: bool) -> dict[str, Any]:
    """Return what a document says of a leak and its verdict."""
    verdicts = []
    if judged is not None:
        sign = -1.0 if is_inward else 1.0
        verdicts.append(
            {
                "what": "leak into the volume" if is_inward else "leak",
                "verdict": judged.verdict.value,
                "reason": judged.reason.value,
                "value_ml_min": sign * _MILLILITRE_A_MINUTE * leak.flow_base,
                "limit_ml_min": _MILLILITRE_A_MINUTE * judged.limit_base,
            }
        )
    return {
        "method": leak.method,
        "leak_ml_min": _MILLILITRE_A_MINUTE * leak.flow_base,
        "uncorrected_ml_min": _MILLILITRE_A_MINUTE * leak.uncorrected_base,
        "uncertainty_ml_min": _MILLILITRE_A_MINUTE * leak.expanded_base,
        "detectable_ml_min": _MILLILITRE_A_MINUTE * leak.detectable_base,
        "temperature_share": leak.temperature_share,
        "limit_ml_min": None if judged is None else _MILLILITRE_A_MINUTE * judged.limit_base,
        "verdict": None if judged is None else judged.verdict.value,
        "reason": None if judged is None else judged.reason.value,
        "verdicts": verdicts,
    }


def _hold_facts(readings: HoldReadings | None, leak: Leak, step: float) -> dict[str, Any]:
    """Return what only a hold has: what temperature did, the share lost, one step as a leak."""
    if readings is None:
        return {}
    from springcase.gas.leak import lost_share, throughput_flow_base

    warmth = readings.end_temperature / readings.start_temperature - 1
    one_step = throughput_flow_base(
        readings.volume * step / readings.seconds, readings.start_temperature
    )
    return {
        "temperature_change_pa": readings.start_pressure_abs * warmth,
        "pressure_change_pa": readings.end_pressure_abs - readings.start_pressure_abs,
        "lost_share_per_hour": lost_share(readings) * 3600 / readings.seconds,
        "one_step_ml_min": _MILLILITRE_A_MINUTE * float(one_step),
    }


def text(document: Mapping[str, Any]) -> str:
    """Return the document for people: the leak, what temperature made of it, the verdict."""
    lines = [
        f"Method         {document['method']}",
        f"Leak           {document['leak_ml_min']:.4g} mL/min, "
        f"give or take {document['uncertainty_ml_min']:.3g} (15 degC, 101.325 kPa)",
    ]
    if "pressure_change_pa" in document:
        lines.append(f"Uncorrected    {document['uncorrected_ml_min']:.4g} mL/min")
        lines.append(
            f"Pressure       changed by {document['pressure_change_pa'] / 100:.4g} mbar, of which "
            f"temperature alone {document['temperature_change_pa'] / 100:.4g} mbar"
        )
    lines.append(f"Could see      {document['detectable_ml_min']:.3g} mL/min and more")
    if document["verdict"] is not None:
        lines.append(
            f"Verdict        {document['verdict']} (limit {document['limit_ml_min']:.4g} mL/min)"
        )
    return "\n".join([*lines, "", sentence("leak-caution")])
