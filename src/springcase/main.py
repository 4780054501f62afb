"""The composition root: the only place that reads the environment and the clock."""

from __future__ import annotations

import os
import sys
from typing import Final

STOPPED: Final = 130


def run() -> None:
    """Run the command line and exit with its code."""
    try:
        sys.exit(_run())
    except KeyboardInterrupt:
        # Not from the catalogue: the stop may come while that is being imported.
        sys.stderr.write("Stopped.\n")
        sys.exit(STOPPED)


def _run() -> int:
    from datetime import date

    from springcase.cli import app

    settings = {name: value for name, value in os.environ.items() if name.startswith("SPRINGCASE_")}
    return app.run(sys.argv[1:], app.Surroundings(settings, date.today()))
