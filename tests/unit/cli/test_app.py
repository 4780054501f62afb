"""The command line prints one document or one sentence, and ends with the right code."""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import types
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from springcase import __version__
from springcase.cli import app, registry
from springcase.errors import BrokenPlan, MissingExtra

TODAY = date(2026, 11, 25)
HEAD = 'format = "springcase/owner"\nversion = 1\n'


def make_command(monkeypatch: pytest.MonkeyPatch, answer: Any) -> None:
    """Put a command `try` in place that answers so; an exception is raised."""

    def document(arguments: argparse.Namespace) -> tuple[dict[str, Any], int]:
        if isinstance(answer, BaseException):
            raise answer
        made, code = answer
        return {**made, "bolts": arguments.bolts}, code

    def add_arguments(parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--bolts", type=int, default=4)
        parser.add_argument("--factor", type=float)
        parser.add_argument("--place", choices=["line", "bench"])
        parser.add_argument("--family", required=True)

    module = types.ModuleType("planted_command")
    vars(module).update(
        FORMAT="springcase/try",
        add_arguments=add_arguments,
        document=document,
        text=lambda made: f"bolts {made['bolts']}",
    )
    monkeypatch.setitem(sys.modules, "planted_command", module)
    commands = (*registry.COMMANDS, registry.Command("try", "for tests", "planted_command"))
    monkeypatch.setattr(app, "COMMANDS", commands)


def run(*words: str, **settings: str) -> int:
    """Run a command line in this process."""
    return app.run(words, app.Surroundings(settings, TODAY))


def shell(*words: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run a command line in a process of its own."""
    return subprocess.run(
        [sys.executable, "-c", "from springcase.main import run; run()", *words],
        capture_output=True,
        encoding="utf-8",
        env={**os.environ, **environment},
        check=False,
        timeout=60,
    )


def test_json_is_one_document_that_says_what_it_is(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """With --json one document is printed, its format, version, warnings and sources first."""
    make_command(monkeypatch, ({"é": 1, "warnings": ["careful"]}, 0))
    code = run("try", "--family", "x", "--json")
    out, err = capsys.readouterr()

    assert (0, "careful\n") == (code, err)
    assert ["format", "version", "warnings", "sources", "é", "bolts"] == list(json.loads(out))
    assert "springcase/try" == json.loads(out)["format"]
    assert '"é"' in out


def test_text_is_printed_without_json(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without --json the command's text is printed, and its exit code is passed on."""
    make_command(monkeypatch, ({}, 1))

    assert 1 == run("try", "--family", "x", "--bolts", "12")
    assert ("bolts 12\n", "") == capsys.readouterr()


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["plam"], 'There is no command "plam"; the nearest is plan.'),
        (
            ["xyzzy"],
            'There is no command "xyzzy"; known: convert, curve, decide, family, flow, gas, kit, '
            "leak, owner, plan, relief, schema, spring, torque, try.",
        ),
        (["owner"], "springcase owner wants a further word: show."),
        (["owner", "sho"], 'There is no command "owner sho"; the nearest is owner show.'),
        (["family", "xyz"], 'There is no command "family xyz"; known: family check.'),
        (
            ["--json", "try"],
            'The flag "--json" stands before the command; flags follow it: springcase COMMAND '
            '"--json".',
        ),
        (["try"], "springcase try lacks --family."),
        (["try", "--family"], "--family: expected one argument."),
        (
            ["try", "--family", "x", "--bolt", "3"],
            'springcase try has no flag "--bolt"; the nearest is --bolts.',
        ),
        (
            ["try", "--family", "x", "--xyzzy"],
            'springcase try has no flag "--xyzzy"; known: --bolts, --factor, --family, --figure, '
            "--help, --json, --owner, --place.",
        ),
        (
            ["try", "--family", "x", "y"],
            'springcase try cannot use "y"; springcase … --help says what it takes.',
        ),
        (
            ["try", "--family", "x", "--bolts", "many"],
            '--bolts is "many"; right is a whole number.',
        ),
        (["try", "--family", "x", "--factor", "k"], '--factor is "k"; right is a number.'),
        (
            ["try", "--family", "x", "--place", "van"],
            '--place is "van"; right is one of line, bench.',
        ),
    ],
)
def test_unusable_words_are_one_sentence_and_exit_2(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    words: list[str],
    sentence: str,
) -> None:
    """What cannot be used is refused in one sentence on standard error, nothing on output."""
    make_command(monkeypatch, ({}, 0))

    assert 2 == run(*words)
    assert ("", sentence + "\n") == capsys.readouterr()


@pytest.mark.parametrize(
    ("error", "code", "sentence"),
    [
        (MissingExtra("schema-unknown", value="x", right="y"), 2, "There is no schema"),
        (BrokenPlan("schema-unknown", value="x", right="y"), 3, "There is no schema"),
        (ZeroDivisionError("division by zero"), 3, "Springcase failed by its own fault, not yours"),
        (BrokenPlan("no-such-code"), 3, "Springcase failed by its own fault, not yours (KeyError"),
    ],
)
def test_errors_end_with_their_code_and_one_sentence(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    error: Exception,
    code: int,
    sentence: str,
) -> None:
    """Each kind of error has its exit code, one line on standard error and no traceback."""
    make_command(monkeypatch, error)
    ended = run("try", "--family", "x")
    out, err = capsys.readouterr()

    assert (code, "") == (ended, out)
    assert err.startswith(sentence)
    assert 1 == err.count("\n")


def test_debug_shows_the_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """With SPRINGCASE_DEBUG=1 the traceback is shown before the sentence."""
    make_command(monkeypatch, ZeroDivisionError("division by zero"))

    assert 3 == run("try", "--family", "x", SPRINGCASE_DEBUG="1")
    assert "Traceback (most recent call last)" in capsys.readouterr().err


def test_not_a_number_never_reaches_json(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A document that holds not-a-number is our own fault, not invalid JSON."""
    make_command(monkeypatch, ({"value": float("nan")}, 0))

    assert 3 == run("try", "--family", "x", "--json")
    assert "" == capsys.readouterr().out


def test_a_stop_comes_through(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C in a command is left to the composition root."""
    make_command(monkeypatch, KeyboardInterrupt())
    with pytest.raises(KeyboardInterrupt, match=r"^$"):
        run("try", "--family", "x")


def test_help_lists_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    """Help, and no words at all, list every command and exit 0."""
    assert 0 == run("--help")
    out = capsys.readouterr().out

    assert [] == [each.name for each in registry.COMMANDS if f"  {each.name}" not in out]
    assert 0 == run()
    assert out == capsys.readouterr().out


@pytest.mark.parametrize("command", registry.COMMANDS, ids=lambda command: command.name)
def test_every_command_offers_what_the_registry_says(
    command: registry.Command, capsys: pytest.CaptureFixture[str]
) -> None:
    """A command's module has the name and help of the registry, and its own help page."""
    import importlib

    module = importlib.import_module(command.module)

    assert (command.name, command.help) == (module.NAME, module.HELP)
    assert module.FORMAT.startswith("springcase/")
    assert 0 == run(*command.name.split(), "--help")
    assert f"usage: springcase {command.name}" in capsys.readouterr().out


def test_version_is_printed() -> None:
    """The version is printed by the installed entry."""
    done = shell("--version")

    assert (0, f"springcase {__version__}\n", "") == (done.returncode, done.stdout, done.stderr)


def test_help_imports_nothing_heavy() -> None:
    """Help is printed without numpy, msgspec, argparse or any room below the door."""
    program = (
        "import sys\nfrom springcase.main import run\nsys.argv = ['springcase', '--help']\n"
        "try:\n    run()\nexcept SystemExit:\n    pass\n"
        "print(sorted(n for n in sys.modules if n.split('.')[0] in ('numpy', 'msgspec', 'argparse')"
        " or n.startswith('springcase.')), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, encoding="utf-8", check=True
    )
    expected = ["cli", "cli.app", "cli.registry", "errors", "main"]

    assert str([f"springcase.{name}" for name in expected]) + "\n" == done.stderr


@pytest.mark.parametrize("words", [["--help"], ["owner", "show"]])
def test_output_is_utf8_under_an_ascii_locale(words: list[str]) -> None:
    """Under LANG=C without Python's own rescue the output is still UTF-8."""
    done = shell(*words, LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0")

    assert (0, "") == (done.returncode, done.stderr)
    assert done.stdout


def test_a_reader_that_leaves_is_no_error() -> None:
    """A closed pipe on output ends the run quietly."""
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(
        [sys.executable, "-c", "from springcase.main import run; run()", "owner", "show"],
        stdout=write,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(write)

    assert (0, b"") == (done.returncode, done.stderr)


def test_owner_layers_reach_the_command(tmp_path: Path) -> None:
    """File, environment and flag each set a figure, and the document says which did."""
    path = tmp_path / "owner.toml"
    path.write_text(
        HEAD + '[owner]\nname = "Us"\n[planning]\nlift = "9 min"\nturn_over = "9 min"\n'
    )
    done = shell(
        *("owner", "show", "--json", "--owner", str(path), "--figure", "planning.lift = 8 min"),
        SPRINGCASE_HOLD_LEAK="7 min",
        SPRINGCASE_DEBUG="0",
    )
    made = json.loads(done.stdout)
    figures = {each["name"]: each for each in made["figures"]}
    expected = {
        "planning.turn_over": (540, "file", str(path)),
        "planning.lift": (480, "flag", "planning.lift"),
        "hold.leak": (420, "setting", "SPRINGCASE_HOLD_LEAK"),
        "hold.lock_up": (120, "default", ""),
    }

    assert (0, "Us") == (done.returncode, made["name"])
    assert ["shigley_9e", "shigley_9e_memory"] == made["sources"]
    assert expected == {
        name: (figures[name]["value"], figures[name]["origin"], figures[name]["where"])
        for name in expected
    }


def test_owner_show_prints_every_figure_with_its_origin(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The text names each figure, where it came from, and the tools."""
    frozen = Path(__file__).parents[2] / "frozen" / "formats" / "owner-v1.toml"

    assert 0 == run("owner", "show", "--owner", str(frozen), "--figure", "units.torque=lbf.ft")
    out = capsys.readouterr().out
    assert "The figures of Harrow Vale district." in out
    assert "torque tool click-small: small click wrench, 20 lbf.in to 200 lbf.in" in out
    line = next(line for line in out.splitlines() if line.startswith("units.torque "))
    assert ["units.torque", "lbf.ft", "flag", "--figure"] == line.split()[:4]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--figure", "planning.lift"], '--figure "planning.lift" is not of the form NAME=VALUE.'),
        (
            ["--figure", "planning.lift=1"],
            'owner: planning.lift "1" has no unit; type a time such as 30 s, 5 min or 2 h.',
        ),
        (["--owner", "none.toml"], "none.toml: there is no such file."),
    ],
)
def test_unusable_figures_are_one_sentence(
    capsys: pytest.CaptureFixture[str], words: list[str], sentence: str
) -> None:
    """A figure or file that cannot be used is refused in one sentence, exit 2."""
    assert 2 == run("owner", "show", *words)
    assert ("", sentence + "\n") == capsys.readouterr()


def test_mistyped_setting_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    """A SPRINGCASE_ setting nobody knows is refused, not ignored."""
    assert 2 == run("owner", "show", SPRINGCASE_PLANNING_LIFTT="1 min")
    assert "the nearest is SPRINGCASE_PLANNING_LIFT." in capsys.readouterr().err


@pytest.mark.parametrize("name", ["owner", "family", "springcase/owner"])
def test_schema_is_printed_ready_to_save(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The schema alone is the text; with --json it stands in a document."""
    full = f"springcase/{name.removeprefix('springcase/')}"

    assert 0 == run("schema", name)
    made = json.loads(capsys.readouterr().out)
    assert {"const": full} == made["properties"]["format"]
    assert 0 == run("schema", name, "--json")
    whole = json.loads(capsys.readouterr().out)
    assert (full, made) == (whole["name"], whole["schema"])


def test_unknown_schema_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    """A schema nobody knows is refused with those that are known."""
    assert 2 == run("schema", "xyzzy")
    assert 'There is no schema "xyzzy"; known: family, owner, plan.\n' == capsys.readouterr().err
