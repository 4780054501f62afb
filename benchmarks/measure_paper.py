"""
The sheet as PDF, first in a fresh process and warm, beside a plain document of equal size.

Every warm sheet has another tag, so that the typesetter's cache does not flatter it; the plain
document has as many pages and lines, no pictures and no table, and other words each time.
"""

from __future__ import annotations

import json
import math
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import Any

from benchmarks.rows import Row

FRESH_PROCESSES = 5
WARM = 10
LINES_A_PAGE = 25
STAMP = datetime(2026, 1, 1, tzinfo=UTC)


def make_sheets() -> tuple[Callable[[int], Any], Callable[[Any], bytes]]:
    """Return what draws and lays out the sheet of Alder's soft parts for one tag, and sets it."""
    from springcase.assembly.family_file import family_digest, read_family
    from springcase.assembly.model import Question
    from springcase.assembly.planner import scope_goals
    from springcase.job.build import make_build
    from springcase.job.nameplate import Nameplate
    from springcase.job.plan import make_job_plan
    from springcase.owner import read_owner
    from springcase.paper.bench_sheet import draw_sheet
    from springcase.paper.given import UnitCard
    from springcase.paper.pdf import write_pdf
    from springcase.scenario import family_path

    family = read_family(family_path("alder"))
    nameplate = Nameplate(family="alder", family_digest=family_digest(family), options={})
    build = make_build(nameplate, family)
    goals = scope_goals(build.structure, "soft-parts")
    gas = build.structure.services[0]
    question = Question(goals=goals, place="bench", gas=gas, scope="soft-parts")
    owner = read_owner()
    job = make_job_plan(build, question, owner)

    def make_document(number: int) -> Any:
        card = UnitCard(tag=f"H-{number:02}")
        return draw_sheet(job, owner, card=card, today=STAMP.date(), highest_gauge=math.inf)

    return make_document, lambda document: write_pdf(document, timestamp=STAMP)


def make_plain(pages: int) -> tuple[Callable[[int], Any], Callable[[Any], bytes]]:
    """Return what writes a plain document of so many pages, and sets it."""
    import typst

    def make_text(number: int) -> Any:
        page = " \\\n".join(
            f"{line}. Turn, lift and look at part {number * line} of {number}, 12 mm, 11.5 N.m"
            for line in range(1, LINES_A_PAGE + 1)
        )
        return "\n#pagebreak()\n".join([page] * pages).encode()

    return make_text, lambda text: bytes(typst.compile(text, format="pdf", timestamp=STAMP))


def count_pages(pdf: bytes) -> int:
    """Return how many pages a PDF has."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    pages = len(document)
    document.close()
    return pages


def time_in_this_process(what: str) -> dict[str, float]:
    """Return the time of the first document, the median of the next, and the pages."""
    kind, _, pages = what.partition(":")
    make, set_ = make_sheets() if kind == "sheet" else make_plain(int(pages))
    whole, setting, pdf = [], [], b""
    for number in range(1, WARM + 2):
        began = time.perf_counter()
        document = make(number)
        made = time.perf_counter()
        pdf = set_(document)
        ended = time.perf_counter()
        whole.append(ended - began)
        setting.append(ended - made)
    return {
        "first": whole[0],
        "whole": statistics.median(whole[1:]),
        "warm": statistics.median(setting[1:]),
        "pages": count_pages(pdf),
    }


def in_fresh_processes(what: str) -> dict[str, float]:
    """Return the medians over fresh processes."""
    runs = []
    for _ in range(FRESH_PROCESSES):
        command = [sys.executable, "-m", "benchmarks.measure_paper", what]
        # The typesetter lays out pages side by side on every processor there is, as a user's does.
        free = {name: value for name, value in os.environ.items() if name != "RAYON_NUM_THREADS"}
        done = subprocess.run(command, check=True, capture_output=True, text=True, env=free)
        runs.append(json.loads(done.stdout))
    return {key: statistics.median(run[key] for run in runs) for key in runs[0]}


def measure() -> Iterator[Row]:
    """Set the sheet, and a plain document of as many pages."""
    ours = in_fresh_processes("sheet")
    pages = round(ours["pages"])
    plain = in_fresh_processes(f"plain:{pages}")
    cases = (
        ("first", "drawn, laid out and set, first", 0.3, 5.0),
        ("warm", "set as PDF, warm", 0.1, 5.0),
        ("whole", "drawn, laid out and set, warm", 0.15, 5.0),
    )
    for key, words, goal, ratio_goal in cases:
        yield Row(
            name=f"sheet of {pages} pages {words}",
            unit="s",
            figure=ours[key],
            goal=goal,
            reference_name=f"plain document, {pages} pages",
            reference=plain[key],
            ratio_goal=ratio_goal,
            sound=pages >= 2 and pages == plain["pages"],
        )


if __name__ == "__main__":
    print(json.dumps(time_in_this_process(sys.argv[1])))
