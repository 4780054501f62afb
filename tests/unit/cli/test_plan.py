"""`springcase plan`: the lines of the design work, and whatever cannot be used is refused."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from springcase.cli import app
from unit.assembly.small_family import SMALL

TODAY = date(2026, 11, 25)
HEAD = 'format = "springcase/family"\nversion = 1\n'
LEAST_KEYS = {
    *("format", "version", "warnings", "sources", "build", "defaulted", "removed", "already_off"),
    *("steps", "minutes", "minutes_strip", "minutes_rebuild", "optimal", "seals_disturbed"),
    *("tools", "kit", "cost_minutes", "bound_minutes", "gap", "digest"),
}
ALDER = ("--family", "alder", "--scope", "seat")
Capture = pytest.CaptureFixture[str]


def run(*words: str) -> int:
    """Run `springcase plan` in this process."""
    return app.run(("plan", *words), app.Surroundings({}, TODAY))


def answer(capsys: Capture, *words: str) -> dict[str, Any]:
    """Return the document of a plan."""
    code = run(*words, "--json")
    out = capsys.readouterr().out

    assert 0 == code
    made: dict[str, Any] = json.loads(out)
    return made


def shell(*words: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """Run a command line in a process of its own."""
    return subprocess.run(
        [sys.executable, "-c", "from springcase.main import run; run()", *words],
        capture_output=True,
        encoding="utf-8",
        env={**os.environ},
        cwd=folder,
        check=False,
        timeout=60,
    )


@pytest.mark.parametrize(
    "line",
    [
        "plan --family alder --set sensing=internal --scope change-spring --json",
        "plan --family dogwood --scope overhaul --pdf sheet.pdf",
        "plan --family birch --reach orifice --removed closing-cap --json",
    ],
)
def test_the_lines_of_the_design_work_as_written(line: str, tmp_path: Path) -> None:
    """Each line of the design ends with 0, prints what it should, and writes its sheet."""
    done = shell(*line.split(), folder=tmp_path)

    assert 0 == done.returncode
    assert "Traceback" not in done.stderr
    if "--json" in line:
        assert set() == LEAST_KEYS - set(json.loads(done.stdout))
    else:
        assert b"%PDF-" == (tmp_path / "sheet.pdf").read_bytes()[:5]
        assert "DOGWOOD" in done.stdout.upper()


def test_the_document_says_what_was_asked_and_found(capsys: Capture) -> None:
    """Build, assumed options, what comes off in order, times and steps are all there."""
    made = answer(capsys, "--family", "alder", "--set", "sensing=internal", "--scope",
                  "change-spring")  # fmt: skip
    ids = [step["id"] for step in made["steps"]]
    taken = [part for step in made["steps"] if step["kind"] == "strip" for part in step["parts"]]

    assert ("springcase/plan", "change-spring", True) == (
        made["format"], made["scope"], made["optimal"]
    )  # fmt: skip
    assert "sensing" not in made["defaulted"]
    assert set(made["build"]) == {"sensing", *made["defaulted"]}
    assert "control-spring" in made["removed"]
    assert taken == made["removed"]
    assert len(ids) == len(set(ids))
    assert made["minutes_strip"] + made["minutes_rebuild"] <= made["minutes"]
    assert made["cost_minutes"] == made["bound_minutes"]
    assert any("Not read from the plate" in note for note in made["warnings"])


def test_what_is_off_already_is_not_taken_off_again(capsys: Capture) -> None:
    """Parts removed before stand in already_off and not in removed, and go back."""
    whole = answer(capsys, "--family", "birch", "--reach", "orifice")
    first = whole["removed"][0]
    made = answer(capsys, "--family", "birch", "--reach", "orifice", "--removed", first)

    assert [first] == made["already_off"]
    assert first not in made["removed"]
    assert set(whole["removed"]) <= {first, *made["removed"]}
    assert made["cost_minutes"] < whole["cost_minutes"]


def test_done_steps_are_named_as_the_sheet_names_them(capsys: Capture) -> None:
    """`--done` takes the ids of strip steps, `--found` adds a goal, and the rest is planned."""
    whole = answer(capsys, *ALDER)
    steps = [step["id"] for step in whole["steps"] if step["kind"] in ("strip", "split")]
    made = answer(capsys, *ALDER, "--done", *steps[:3], "--found", "diaphragm")

    assert [step.partition(":")[2] for step in steps[:3]] == [
        id for id in whole["order"] if id not in made["order"]
    ][:3]
    assert "diaphragm" in made["renewed"]


def test_one_question_gives_one_answer(capsys: Capture) -> None:
    """The same words give the same document; options in another order too."""
    words = ("--set", "sensing=internal", "--set", "vent=screened")
    turned = ("--set", "vent=screened", "--set", "sensing=internal")

    assert answer(capsys, *ALDER, *words) == answer(capsys, *ALDER, *turned)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--family", "aldr", "--scope", "seat"), '--family "aldr" is neither'),
        (("--family", "alder", "--scope", "sea"), '--scope "sea" is not a scope of alder'),
        (("--family", "alder"), "--scope is missing"),
        (("--scope", "seat"), "springcase plan lacks --family."),
        ((*ALDER, "--set", "sensng=internal"), '--set names the option "sensng"'),
        ((*ALDER, "--set", "sensing=inside"), 'sensing cannot be "inside" in alder'),
        ((*ALDER, "--set", "sensing"), '--set "sensing" does not name an option'),
        ((*ALDER, "--set", "sensing="), '--set "sensing=" does not name'),
        ((*ALDER, "--set", "=internal"), '--set "=internal" does not name'),
        (
            (*ALDER, "--set", "sensing=internal", "--set", "sensing=external"),
            '--set "sensing=external" sets an option that is sensing=internal already',
        ),
        (("--family", "alder", "--reach", "orifce"), '--reach "orifce" is not a part of'),
        (("--family", "alder", "--inspect", "lever/hight"), '--inspect "lever/hight" is not a'),
        (("--family", "alder", "--reach", "body"), '--reach "body" is the fixed part'),
        (("--family", "alder", "--renew", "lever/height"), '--renew "lever/height" is not a'),
        ((*ALDER, "--found", "nothing"), '--renew "nothing" is not a part of'),
        ((*ALDER, "--removed", "nothing"), '--removed "nothing" is neither a part nor a lump'),
        ((*ALDER, "--removed", "body"), '--removed "body" is the fixed part'),
        ((*ALDER, "--removed", "orifice"), '--removed "orifice" cannot be off'),
        ((*ALDER, "--done", "strip:nothing"), '--done "nothing" is not an operation'),
        ((*ALDER, "--done", "strip:orifice"), '--done "orifice" could not have been done'),
        (
            (*ALDER, "--done", "strip:closing-cap", "--removed", "closing-cap"),
            '--done and "--removed" both say what is off',
        ),
        ((*ALDER, "--policy", "all"), '--policy "all" is not a policy'),
        ((*ALDER, "--place", "van"), '--place "van" is not a place'),
        ((*ALDER, "--gas", "xenon"), '--gas "xenon" is not a gas alder is described for'),
        ((*ALDER, "--gas", "oxygen"), '--gas "oxygen": alder says nothing of oxygen'),
        ((*ALDER, "--inlet", "5 bar"), '--inlet "5 bar" does not say whether'),
        ((*ALDER, "--set-point", "5"), '--set-point "5" has no unit'),
        ((*ALDER, "--wrench", "none-such"), '--wrench "none-such" is not in the kit'),
        ((*ALDER, "--pdf", "none/sheet.pdf"), '--pdf "none/sheet.pdf" cannot be written'),
        ((*ALDER, "--html", "none/sheet.html"), '--html "none/sheet.html" cannot be written'),
        ((*ALDER, "--picture", "none/up.svg"), '--picture "none/up.svg" cannot be written'),
        ((*ALDER, "--pdf", "."), '--pdf "." cannot be written'),
        ((*ALDER, "--owner", "none.toml"), "none.toml: there is no such file."),
        (("--family", "alder", "--scope", "x" * 5000), '--scope "xxx'),
        (("--family", "alder", "--reach", "a\nb"), '--reach "a\\nb" is not a part of'),
    ],
)
def test_words_that_cannot_be_used_are_refused_in_one_sentence(
    capsys: Capture,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    words: tuple[str, ...],
    sentence: str,
) -> None:
    """Exit 2, nothing on standard output, one line on standard error that begins so."""
    monkeypatch.chdir(tmp_path)
    code = run(*words)
    out, err = capsys.readouterr()

    assert (2, "") == (code, out)
    assert err.startswith(sentence)
    assert err.endswith(".\n") and err.count("\n") == 1
    assert [] == list(tmp_path.iterdir())


def test_an_impossible_combination_is_refused_with_why(capsys: Capture, tmp_path: Path) -> None:
    """Options that are never built together are refused with the family's own reason."""
    text = '[[combination]]\nnever = { seat = ["fkm"], damper = ["fitted"] }\nwhy = "no room"\n'
    path = tmp_path / "small.toml"
    path.write_text(HEAD + SMALL + text, encoding="utf-8")
    code = run(
        *("--family", str(path), "--scope", "seat", "--set", "seat=fkm", "--set", "damper=fitted")
    )
    out, err = capsys.readouterr()

    assert (2, "") == (code, out)
    assert '--set "seat=fkm, damper=fitted" is a combination that is never built: no room.\n' == err


def test_a_part_this_build_lacks_is_refused(capsys: Capture, tmp_path: Path) -> None:
    """A part the family has, but not with these options, cannot be asked for."""
    path = tmp_path / "small.toml"
    path.write_text(HEAD + SMALL, encoding="utf-8")
    asked = ("--family", str(path), "--renew", "damper")
    fitted, lacking = run(*asked, "--set", "damper=fitted"), run(*asked, "--set", "damper=none")
    err = capsys.readouterr().err

    assert (0, 2) == (fitted, lacking)
    assert '--renew "damper" is not a part of this build of small; ' in err


SPOILT_FILES: dict[str, tuple[bytes, str]] = {
    "half a file": ((HEAD + SMALL)[:2000].encode(), "is not TOML"),
    "an empty file": (b"", "does not say what it is"),
    "50 MB": (b"#" * 50_000_000, "is too large: 50000000 bytes"),
    "not UTF-8": ((HEAD + SMALL).replace("for tests", "f\xfcr").encode("latin-1"), "not UTF-8"),
    "zeros": (b"\0" * 100, "is not TOML"),
    "another format": (b'format = "springcase/owner"\nversion = 1\n', "has the format"),
    "a newer version": ((HEAD.replace("1", "2") + SMALL).encode(), "has version 2, newer than 1"),
    "an id twice": ((HEAD + SMALL + '[part.cap]\nwords = "cap"\n').encode(), "twice"),
    "an id of part and lump": (
        (HEAD + SMALL).replace("lump.set]", "lump.disc]").encode(),
        'uses the id "disc" a second time',
    ),
    "wrong types": (
        (HEAD + SMALL).replace("count = 4", 'count = "four"').encode(),
        'part.screws.count is "four"; right is a whole number',
    ),
    "a list for a table": (
        (HEAD + SMALL).replace("[scope.seat]", "[[scope.seat]]").encode(),
        "right is a table",
    ),
    "negative minutes": (
        (HEAD + SMALL).replace("minutes_off = 2", "minutes_off = -2").encode(),
        "part.screws.off.minutes_off is -2; right is 0 or more",
    ),
    "huge minutes": (
        (HEAD + SMALL).replace("minutes_off = 2", "minutes_off = 1e308").encode(),
        "right is 1440 or less",
    ),
    "minutes that are no number": (
        (HEAD + SMALL).replace("minutes_off = 2", "minutes_off = nan").encode(),
        "not a finite number",
    ),
    "an unknown key": (
        (HEAD + SMALL).replace('reject = "cut"', 'reject = "cut"\nrejct = "cut"', 1).encode(),
        "unknown key",
    ),
    "circular access": (
        (HEAD + SMALL).replace("[part.cap.off]", '[part.cap.off]\nafter = [["orifice"]]').encode(),
        "can never be reached in this build",
    ),
    "deep tables": (b"a = " + b"[" * 5000 + b"]" * 5000, "nests deeper"),
}


@pytest.mark.parametrize("why", SPOILT_FILES)
def test_a_file_that_cannot_be_used_is_refused_in_one_sentence(
    capsys: Capture, tmp_path: Path, why: str
) -> None:
    """Exit 2, nothing on standard output, one line on standard error that says what is wrong."""
    content, sentence = SPOILT_FILES[why]
    path = tmp_path / "family.toml"
    path.write_bytes(content)
    code = run("--family", str(path), "--scope", "seat")
    out, err = capsys.readouterr()

    assert (2, "") == (code, out)
    assert sentence in err
    assert err.endswith(".\n") and err.count("\n") == 1


def test_a_folder_is_no_family(capsys: Capture, tmp_path: Path) -> None:
    """A folder given as family is refused."""
    code = run("--family", str(tmp_path), "--scope", "seat")
    out, err = capsys.readouterr()

    assert (2, "", f"{tmp_path} is a directory; name a file.\n") == (code, out, err)


def test_a_scope_that_asks_nothing_is_said(capsys: Capture, tmp_path: Path) -> None:
    """A scope whose parts this build lacks is refused by its name."""
    path = tmp_path / "small.toml"
    text = '[scope.damper]\nwords = "damper"\nrenew = ["damper"]\n'
    path.write_text(HEAD + SMALL + text, encoding="utf-8")
    code = run("--family", str(path), "--scope", "damper")
    out, err = capsys.readouterr()

    assert (2, "") == (code, out)
    assert err.startswith('--scope "damper" asks nothing of this build')


def test_no_traceback_in_a_process_of_its_own(tmp_path: Path) -> None:
    """A refused file ends a real process with 2 and one sentence."""
    (tmp_path / "half.toml").write_text((HEAD + SMALL)[:2000], encoding="utf-8")
    done = shell("plan", "--family", "half.toml", "--scope", "seat", folder=tmp_path)

    assert (2, "", 1) == (done.returncode, done.stdout, done.stderr.count("\n"))
    assert done.stderr.startswith("half.toml is not TOML")
