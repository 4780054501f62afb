"""Ctrl-C ends a run with one word and exit 130, whenever it comes."""

from __future__ import annotations

import signal
import subprocess
import sys
import time

import pytest

SLOW_PLAN = """
import os, signal, sys
from springcase import main
import springcase.assembly.solve as solve
import springcase.cli.plan

def interrupted(*given, **named):
    os.kill(os.getpid(), signal.SIGINT)
    raise SystemExit("the signal was not seen")

for module in list(sys.modules.values()):
    if module.__name__.startswith("springcase.") and getattr(module, "solve", None) is solve.solve:
        module.solve = interrupted
sys.argv = ["springcase", "plan", "--family", "alder", "--scope", "soft-parts"]
main.run()
"""
WHILE_IMPORTING = """
import os, signal, sys
from springcase import main

class Stopping:
    def find_spec(self, name, path=None, target=None):
        if name == "springcase.cli.app":
            os.kill(os.getpid(), signal.SIGINT)

sys.meta_path.insert(0, Stopping())
sys.argv = ["springcase", "--help"]
main.run()
"""
READY_THEN_PLAN = """
import sys
from springcase import main

class Ready:
    def find_spec(self, name, path=None, target=None):
        if name == "springcase.cli":
            print("ready", flush=True)

sys.meta_path.insert(0, Ready())
sys.argv = ["springcase", "plan", "--family", "dogwood", "--scope", "overhaul", "--json"]
main.run()
"""


@pytest.mark.parametrize("program", [SLOW_PLAN, WHILE_IMPORTING], ids=["planning", "importing"])
def test_an_interrupt_inside_a_run_ends_it_cleanly(program: str) -> None:
    """An interrupt while planning, or while importing, ends with 130 and one word."""
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, timeout=60, check=False
    )

    assert (130, "", "Stopped.\n") == (done.returncode, done.stdout, done.stderr)


@pytest.mark.parametrize("delay", [0.0, 0.03, 0.06, 0.1, 0.15])
def test_an_interrupt_from_outside_ends_a_run_cleanly(delay: float) -> None:
    """Whenever the signal comes, the run ends with its whole sheet, or with 130 and one word."""
    process = subprocess.Popen(
        [sys.executable, "-c", READY_THEN_PLAN],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    assert "ready\n" == process.stdout.readline()
    time.sleep(delay)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)

    stopped = (130, "", "Stopped.\n") == (process.returncode, out, err)
    finished = process.returncode == 0 and out.endswith("}\n")
    assert stopped or finished, (process.returncode, out[-200:], err)
