"""`springcase owner show`: the owner's figures in force, each with why and where from."""

from __future__ import annotations

import argparse
from typing import Any, Final

from springcase.cli.owner_choice import chosen_owner

NAME: Final = "owner show"
HELP: Final = "the owner's figures and their sources"
FORMAT: Final = "springcase/owner-figures"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add nothing: every command takes `--owner` and `--figure`."""


def document(arguments: argparse.Namespace) -> tuple[dict[str, Any], int]:
    """Return every figure in force and the torque tools."""
    from springcase.owner import owner_digest

    owner = chosen_owner(arguments)
    figures = [
        {
            "name": figure.name,
            "text": figure.text,
            "value": figure.value,
            "words": figure.words,
            "source": figure.source,
            "standing": figure.standing,
            "confirmed": figure.is_confirmed,
            "origin": figure.origin.value,
            "where": figure.where,
        }
        for figure in owner.figures.values()
    ]
    tools = [
        {
            "id": tool.id,
            "words": tool.words,
            "low": tool.low_text,
            "high": tool.high_text,
            "low_n_m": tool.low,
            "high_n_m": tool.high,
            "accuracy": tool.accuracy,
            "calibration_due": tool.calibration_due and tool.calibration_due.isoformat(),
        }
        for tool in owner.torque_tools
    ]
    sources = sorted({figure.source for figure in owner.figures.values() if figure.source})
    return {
        "sources": sources,
        "name": owner.name,
        "digest": owner_digest(owner),
        "figures": figures,
        "torque_tools": tools,
    }, 0


def text(document: dict[str, Any]) -> str:
    """Return the figures as a table of name, value, origin and what it is."""
    from springcase.wording import sentence

    lines = [sentence("owner-heading", name=document["name"] or sentence("owner-nameless"))]
    rows = [
        (
            figure["name"],
            figure["text"],
            sentence(f"owner-origin-{figure['origin']}", where=figure["where"]),
            sentence(f"owner-standing-{figure['standing']}", source=figure["source"]),
            figure["words"],
        )
        for figure in document["figures"]
    ]
    widths = [max(len(row[place]) for row in rows) for place in range(4)]
    for row in rows:
        cells = [f"{cell:<{width}}" for cell, width in zip(row[:4], widths, strict=True)]
        lines.append("  ".join([*cells, row[4]]).rstrip())
    lines += [
        sentence("owner-tool", **{**tool, "calibration_due": tool["calibration_due"] or "-"})
        for tool in document["torque_tools"]
    ]
    lines.append(document["digest"])
    return "\n".join(lines)
