"""`springcase torque`: preload and torque, wrench setting, bolt order, passes and tool fit."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from springcase.bolting import pattern, picture, preload, wrench
from springcase.cli.owner_choice import chosen_owner
from springcase.cli.torque_tool import (
    add_tool_arguments,
    judged_tool,
    needs_torque,
    positive,
    share_typed,
    tool_lines,
)
from springcase.errors import BadInput, OutsideValidity, UnknownName
from springcase.owner import Owner
from springcase.sources import Standing
from springcase.standards import register
from springcase.standards.strength import Grade, grade, preload_scatter
from springcase.standards.threads import Thread, thread
from springcase.units import convert, format_value, parse_quantity
from springcase.wording import sentence

NAME: Final = "torque"
HELP: Final = "preload and torque, wrench setting, bolt order"
FORMAT: Final = "springcase/torque"
_FACTOR: Final = "bolting.nut_factor_"


@dataclass(slots=True, kw_only=True)
class _Sheet:
    """What has been worked out so far, with the warnings and sources it gathered."""

    warnings: list[str] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)

    def rests_on(self, key: str, figure: str) -> None:
        """Note a source, and say so where it is from memory."""
        if key in self.sources:
            return
        self.sources.append(key)
        if register.standing(key) is Standing.MEMORY:
            self.warnings.append(sentence("torque-from-memory", figure=figure, source=key))


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options of the command."""
    add = parser.add_argument
    add("--thread", metavar="NAME", help='thread, such as "3/4-10", M12 or "M16 x 1"')
    add("--grade", metavar="NAME", help='strength grade, such as "J429 5", 8.8 or "A193 B7"')
    add("--share", metavar="SHARE", help="preload as a share of proof load, such as 0.75")
    add("--yield-share", metavar="SHARE", help="preload as a share of yield, where no proof is set")
    add(
        "--factor",
        metavar="K",
        help="nut factor K: a number, or dry, black, lubricated, anti_seize",
    )
    add("--diameter", metavar="LENGTH", help="nominal diameter, where no thread is named")
    add("--preload", metavar="FORCE", help="preload wanted, such as 25 kN")
    add("--torque", metavar="TORQUE", help="torque wanted at the fastener, such as 12 N.m")
    add("--wrench", metavar="LENGTH", help="wrench length, drive to middle of the grip")
    add("--extension", metavar="LENGTH", help="extension or crowfoot, drive to fastener")
    add("--angle", metavar="ANGLE", default="0 deg", help="angle of the extension, 0 deg in line")
    add("--bolts", metavar="COUNT", type=int, help="number of bolts, 3 to 32")
    add("--passes", metavar="RANGES", help='such as "20-30, 50-70, 100, circular"')
    add("--cover", choices=pattern.COVERS, default="round", help="shape of the cover drawn")
    add("--picture", metavar="FILE.svg", help="write the bolt order as a picture")
    add_tool_arguments(parser)


def document(arguments: argparse.Namespace) -> tuple[dict[str, Any], int]:
    """Return the torque document and the exit code: 1 where the torque tool does not fit."""
    sheet = _Sheet()
    owner = chosen_owner(arguments)
    found: dict[str, Any] = _settle_torque(arguments, owner, sheet)
    torque = found["torque_n_m"]
    found |= {"wrench_setting_n_m": None, "wrench_setting_lbf_in": None}
    if arguments.wrench or arguments.extension:
        found |= _set_wrench(arguments, torque, sheet)
    found |= _order(arguments, torque, sheet)
    tool = judged_tool(arguments, torque, owner, sheet.warnings)
    if tool is not None:
        sheet.rests_on("iso_6789_1_2017_memory", "20 to 100 % of the tool's range")
        found["tool"] = tool
    if arguments.picture:
        _write_picture(arguments)
        found["picture"] = arguments.picture
    found |= {"warnings": sheet.warnings, "sources": sheet.sources}
    return found, 1 if tool is not None and not tool["fits"] else 0


def _length(arguments: argparse.Namespace, name: str) -> float | None:
    text = getattr(arguments, name)
    return None if text is None else positive(text, "length", f"--{name}")


def _settle_torque(arguments: argparse.Namespace, owner: Owner, sheet: _Sheet) -> dict[str, Any]:
    """Return torque and preload from whichever of them was given."""
    screw = None if arguments.thread is None else thread(arguments.thread, field="--thread")
    if screw is not None and arguments.diameter is not None:
        raise BadInput(
            "torque-given-twice", field="--diameter", value=arguments.diameter, right="--thread"
        )
    diameter = _length(arguments, "diameter") if screw is None else screw.diameter
    strength = None
    if arguments.grade is not None:
        if screw is None:
            raise BadInput("option-needs", field="--grade", value=arguments.grade, right="--thread")
        strength = grade(arguments.grade, screw.diameter, field="--grade")
    torque, load = _given(arguments, screw, strength, owner)
    factor = None
    if diameter is not None and (torque is not None or load is not None):
        factor = _nut_factor(arguments, owner, sheet)
        if torque is None and load is not None:
            torque = preload.torque_for_preload(load, diameter, factor)
        elif torque is not None:
            load = preload.preload_for_torque(torque, diameter, factor)
    if torque is None and load is not None:
        raise BadInput(
            "option-needs",
            field="--preload",
            value=arguments.preload,
            right="--thread or --diameter",
        )
    if torque is None and arguments.bolts is None:
        raise BadInput(
            "torque-basis-missing",
            field="springcase torque",
            right="--torque, or --preload with --thread, or --thread with --grade",
        )
    found: dict[str, Any] = {
        "torque_n_m": torque,
        "torque_lbf_in": None if torque is None else convert(torque, "lbf.in"),
        "torque_lbf_ft": None if torque is None else convert(torque, "lbf.ft"),
        "preload_n": load,
        "nut_factor": factor,
    }
    if load is not None:
        scatter = preload_scatter("lubricated")
        sheet.rests_on(scatter.source, "scatter of preload")
        found["preload_scatter_share"] = 2 * scatter.coefficient
    if screw is not None:
        found |= _say_strength(screw, strength, load, sheet)
    return found


def _given(
    arguments: argparse.Namespace, screw: Thread | None, strength: Grade | None, owner: Owner
) -> tuple[float | None, float | None]:
    """Return the torque or the preload that was asked for; never both."""
    shares = ("share", "yield_share")
    asked = [name for name in ("torque", "preload", *shares) if getattr(arguments, name)]
    if len(asked) > 1:
        raise BadInput(
            "torque-given-twice",
            field="--" + asked[1].replace("_", "-"),
            value=getattr(arguments, asked[1]),
            right="--" + asked[0].replace("_", "-"),
        )
    if arguments.torque:
        return positive(arguments.torque, "torque", "--torque"), None
    if arguments.preload:
        return None, positive(arguments.preload, "force", "--preload")
    if screw is None or strength is None:
        if asked:
            raise BadInput(
                "option-needs",
                field="--" + asked[0].replace("_", "-"),
                value=getattr(arguments, asked[0]),
                right="--thread and --grade",
            )
        return None, None
    if arguments.yield_share:
        share = share_typed(arguments.yield_share, "--yield-share")
        return None, preload.preload_at_share(screw, strength, share, of="yield")
    share = owner.bolting.share_of_proof
    if arguments.share:
        share = share_typed(arguments.share, "--share")
    return None, preload.preload_at_share(screw, strength, share)


def _nut_factor(arguments: argparse.Namespace, owner: Owner, sheet: _Sheet) -> float:
    """Return K as typed, or the owner's for the state of the thread: dry where none is said."""
    states = {name.removeprefix(_FACTOR): figure for name, figure in owner.figures.items()}
    if arguments.factor is not None and arguments.factor not in states:
        if arguments.factor[:1].isalpha():
            known = [name for name in states if "." not in name]
            raise UnknownName(
                "name-not-in-table",
                field="--factor",
                value=arguments.factor,
                right=", ".join(["a number such as 0.20", *known]),
            )
        return positive(arguments.factor, "ratio", "--factor")
    figure = owner.figures[_FACTOR + (arguments.factor or "dry")]
    if figure.source:
        sheet.rests_on(figure.source, figure.words)
    if arguments.factor is None:
        sheet.warnings.append(sentence("torque-factor-assumed", factor=figure.text))
    return float(figure.value or 0)


def _say_strength(
    screw: Thread, strength: Grade | None, load: float | None, sheet: _Sheet
) -> dict[str, Any]:
    """Return what the screw can bear, and warn where the preload is more."""
    sheet.rests_on(screw.source, f"thread {screw.name}")
    found: dict[str, Any] = {
        "thread": screw.name,
        "diameter_m": screw.diameter,
        "stress_area_m2": preload.stress_area(screw),
    }
    if strength is None:
        return found
    sheet.rests_on(strength.source, f"grade {strength.name}")
    found |= {"grade": strength.name, "proof_load_n": None, "share_of_proof": None}
    if strength.proof_stress is None:
        sheet.warnings.append(sentence("torque-no-proof", grade=strength.name))
        return found
    proof = preload.proof_load(screw, strength)
    found["proof_load_n"] = proof
    if load is not None:
        found["share_of_proof"] = load / proof
        if load > proof:
            sheet.warnings.append(
                sentence(
                    "torque-over-proof", grade=strength.name, share=f"{100 * load / proof:.0f}"
                )
            )
    return found


def _set_wrench(
    arguments: argparse.Namespace, torque: float | None, sheet: _Sheet
) -> dict[str, float]:
    """Return what to set on the wrench."""
    length = _length(arguments, "wrench")
    if length is None or arguments.extension is None:
        given = "extension" if length is None else "wrench"
        missing = "wrench" if length is None else "extension"
        raise BadInput(
            "option-needs",
            field=f"--{given}",
            value=getattr(arguments, given),
            right=f"--{missing}",
        )
    extension = parse_quantity(arguments.extension, "length", field="--extension").value
    angle = parse_quantity(arguments.angle, "angle", field="--angle").value
    wanted = needs_torque(torque, "--wrench", arguments.wrench)
    try:
        setting = wrench.wrench_setting(wanted, length, extension, angle)
    except OutsideValidity as error:
        # The same refusal in the units that were typed.
        typed = f"{arguments.extension} at {arguments.angle}"
        raise OutsideValidity(
            error.code, field="--extension", value=typed, right=error.right
        ) from error
    sheet.rests_on("navedtra_14315", "wrench setting")
    return {"wrench_setting_n_m": setting, "wrench_setting_lbf_in": convert(setting, "lbf.in")}


def _read_passes(text: str) -> tuple[tuple[float, float], ...]:
    """Return the ranges of the passes as typed: "20-30, 50-70, 100, circular"."""
    words = [word.strip().rstrip("%").strip() for word in text.split(",")]
    closes = words[-1].casefold() == "circular"
    ranges = []
    for word in words[:-1] if closes else words:
        low, _, high = word.partition("-")
        shares = [
            parse_quantity(f"{end} %", "ratio", field="--passes") for end in (low, high or low)
        ]
        ranges.append((shares[0].value, shares[1].value))
    if not closes:
        raise BadInput(
            "passes-no-closing-round",
            field="--passes",
            value=text,
            right="a last pass named circular, such as 20-30, 50-70, 100, circular",
        )
    return tuple(ranges)


def _order(arguments: argparse.Namespace, torque: float | None, sheet: _Sheet) -> dict[str, Any]:
    """Return bolt order and passes, both empty where no number of bolts is given."""
    if arguments.bolts is None:
        for option in ("passes", "picture"):
            if getattr(arguments, option):
                raise BadInput(
                    "option-needs",
                    field=f"--{option}",
                    value=getattr(arguments, option),
                    right="--bolts",
                )
        return {"order": [], "passes": []}
    order = pattern.bolt_order(arguments.bolts)
    if arguments.bolts == 12:
        sheet.rests_on("cross_pattern_article", "bolt order")
    elif arguments.bolts in pattern.PUBLISHED_COUNTS:
        sheet.rests_on("asme_pcc_1_2019_memory", "bolt order")
    else:
        sheet.rests_on("common_practice", "bolt order")
    if torque is None:
        return {"order": list(order), "passes": []}
    ranges: tuple[tuple[float, float], ...] = pattern.USUAL_PASSES
    if arguments.passes:
        ranges = _read_passes(arguments.passes)
    else:
        sheet.rests_on("asme_pcc_1_2019_memory", "passes")
    passes = [
        {
            "share_low": one.share_low,
            "share_high": one.share_high,
            "torque_low_n_m": one.torque_low,
            "torque_high_n_m": one.torque_high,
            "order": one.order,
        }
        for one in pattern.plan_passes(torque, ranges)
    ]
    return {"order": list(order), "passes": passes}


def _write_picture(arguments: argparse.Namespace) -> None:
    drawn = picture.draw_bolt_order(arguments.bolts, cover=arguments.cover)
    try:
        Path(arguments.picture).write_text(drawn, encoding="utf-8")
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise BadInput(
            "picture-unwritable", field="--picture", value=arguments.picture, right=reason
        ) from error


def text(document: Mapping[str, Any]) -> str:
    """Return the document for people: torque large first, in the three units."""
    lines = []
    torque = document["torque_n_m"]
    if torque is not None:
        lines.append(f"Torque         {wrench.readout(torque).text}")
    if document["wrench_setting_n_m"] is not None:
        lines.append(f"Wrench set to  {wrench.readout(document['wrench_setting_n_m']).text}")
    if document["preload_n"] is not None:
        load = document["preload_n"]
        lines.append(
            f"Preload        {format_value(load, 'kN', 3)}, {format_value(load, 'lbf', 3)}"
            f"  (K = {document['nut_factor']:.2f})"
            f", at best ±{100 * document['preload_scatter_share']:.0f} % from screw to screw"
        )
    if document.get("share_of_proof") is not None:
        lines.append(
            f"Proof load     {format_value(document['proof_load_n'], 'kN', 3)}, "
            f"of which {100 * document['share_of_proof']:.0f} %"
        )
    if document["order"]:
        lines.append("Order          " + " ".join(str(bolt) for bolt in document["order"]))
    for number, one in enumerate(document["passes"], start=1):
        lines.append(f"Pass {number}         " + _pass_text(one))
    if "tool" in document:
        lines += tool_lines(document["tool"])
    if "picture" in document:
        lines.append(f"Picture        {document['picture']}")
    lines += ["", sentence("torque-caution")]
    return "\n".join(lines)


def _pass_text(one: Mapping[str, Any]) -> str:
    low, high = one["torque_low_n_m"], one["torque_high_n_m"]
    words = "round clockwise until none turns" if one["order"] == "circular" else "in the order"
    if low == high:
        return f"{format_value(high, 'N.m', 3)}, {words}"
    return f"{format_value(low, 'N.m', 3)} to {format_value(high, 'N.m', 3)}, {words}"
