"""Screw threads by name: Unified inch and ISO metric, coarse and fine."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Final

from springcase.standards.tables import read_table, unknown_name
from springcase.units import INCH

_METRIC: Final = re.compile(r"[Mm] ?([0-9]+(?:\.[0-9]+)?)(?:\s*[x×X-]\s*([0-9]+(?:\.[0-9]+)?))?")
_SERIES: Final = re.compile(
    r"\s*(?:UNC|UNF|UN|UNEF)(?:-[123][AB])?$|^(?:No\.?|#)\s*", re.IGNORECASE
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """
    One screw thread.

    `form` is ``unified`` or ``metric``; `printed_area` is the area of the table as text in
    `printed_unit`, empty where no table was read. [SI]
    """

    name: str
    form: str
    diameter: float
    pitch: float
    printed_area: str
    printed_unit: str
    source: str


@cache
def threads() -> dict[str, Thread]:
    """Return every known thread by name."""
    table = read_table("threads")
    found: dict[str, Thread] = {}
    for group in ("un", "un_memory"):
        for name, diameter, per_inch, printed in table[group]["rows"]:
            found[name] = Thread(
                name=name,
                form="unified",
                diameter=diameter * INCH,
                pitch=INCH / per_inch,
                printed_area=printed,
                printed_unit="in2",
                source=table[group]["source"],
            )
    for group in ("metric", "metric_memory"):
        for name, diameter, pitch, printed in table[group]["rows"]:
            found[name] = _metric(name, diameter, pitch, printed, table[group]["source"])
    for diameter, pitches in table["metric_fine"]["pitches"]:
        for pitch in pitches:
            name = f"M{diameter:g}x{pitch:g}"
            found[name] = _metric(name, diameter, pitch, "", table["metric_fine"]["source"])
    return found


def _metric(name: str, diameter: float, pitch: float, printed: str, source: str) -> Thread:
    return Thread(
        name=name,
        form="metric",
        diameter=diameter * 1e-3,
        pitch=pitch * 1e-3,
        printed_area=printed,
        printed_unit="mm2",
        source=source,
    )


def thread(name: str, *, field: str = "thread") -> Thread:
    """
    Return a thread by the name people write: "3/4-10", "M12", "M16 x 1", "10-32 UNF".

    Raises UnknownName, with the nearest names, for a thread of no table.
    """
    known = threads()
    plain = " ".join(name.split())
    metric = _METRIC.fullmatch(plain)
    if metric is not None:
        diameter, pitch = metric.groups()
        coarse = known.get(f"M{float(diameter):g}")
        if pitch is None or (coarse is not None and _same(float(pitch) * 1e-3, coarse.pitch)):
            key = f"M{float(diameter):g}"
        else:
            key = f"M{float(diameter):g}x{float(pitch):g}"
    else:
        key = _SERIES.sub("", plain).replace(" in-", "-").replace('"-', "-").strip()
    if key not in known:
        raise unknown_name(field, name, _like(key, known))
    return known[key]


def _like(key: str, known: dict[str, Thread]) -> list[str]:
    """Return the threads of the same size, else those of the nearest diameters of the form."""
    size = re.split("[x-]", key)[0]
    same = [other for other in known if re.split("[x-]", other)[0] == size]
    number = re.fullmatch(r"M([0-9.]+)", size)
    if same or number is None:
        return same or list(known)
    coarse = [other for other in known.values() if other.form == "metric" and "x" not in other.name]
    wanted = float(number[1]) * 1e-3
    coarse.sort(key=lambda other: abs(other.diameter - wanted))
    return [other.name for other in coarse[:3]]


def _same(one: float, other: float) -> bool:
    return abs(one - other) < 1e-9
