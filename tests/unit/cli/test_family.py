"""`springcase family check`: sound or every problem listed, and unusable files refused."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from springcase.cli import app
from unit.assembly.small_family import SMALL
from unit.cli.test_plan import SPOILT_FILES

TODAY = date(2026, 11, 25)
HEAD = 'format = "springcase/family"\nversion = 1\n'
UNREADABLE = (
    *("half a file", "an empty file", "50 MB", "not UTF-8", "zeros", "another format"),
    *("a newer version", "an id twice", "minutes that are no number", "deep tables"),
)
"""What cannot be read as a family file at all; the rest is a family file with problems."""
Capture = pytest.CaptureFixture[str]


def run(*words: str) -> int:
    """Run `springcase family check` in this process."""
    return app.run(("family", "check", *words), app.Surroundings({}, TODAY))


def checked(capsys: Capture, path: Path) -> tuple[int, dict[str, Any]]:
    """Return the exit code and document of a check."""
    code = run(str(path), "--json")
    made: dict[str, Any] = json.loads(capsys.readouterr().out)
    return code, made


def write(folder: Path, text: str) -> Path:
    """Write a family file."""
    path = folder / "family.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_sound_family_ends_with_0(capsys: Capture, tmp_path: Path) -> None:
    """A sound file is ok with no problem, its builds counted; as text it is one sentence."""
    path = write(tmp_path, HEAD + SMALL)
    code, made = checked(capsys, path)

    assert (0, True, [], 4, 4) == (
        code, made["ok"], made["problems"], made["builds"], made["builds_different"]
    )  # fmt: skip
    assert ("springcase/family-check", 1, "small") == (
        made["format"], made["version"], made["family"]
    )  # fmt: skip
    assert made["digest"].startswith("sha256:")
    assert 0 == run(str(path))
    assert "small is sound in all 4 builds (4 differ inside).\n" == capsys.readouterr().out


def test_a_family_of_the_scenario_is_checked_by_its_name(capsys: Capture) -> None:
    """A name of the scenario stands for its file; progress goes to standard error only."""
    code = run("birch")
    out, err = capsys.readouterr()

    assert 0 == code
    assert out.startswith("birch is sound in all ") and out.count("\n") == 1
    assert "Traceback" not in err


def test_every_problem_is_listed_and_ends_with_1(capsys: Capture, tmp_path: Path) -> None:
    """An unsound file ends with 1, each problem with code, path, id, build and reason."""
    text = (
        SMALL.replace('pattern = "cross"\n', "")
        .replace('lubricate_where = "on the rim"\n', "")
        .replace('torque = "20 N.m"', 'torque = "40 N.m"')
    )
    code, made = checked(capsys, write(tmp_path, HEAD + text))

    assert (1, False) == (code, made["ok"])
    assert {"pattern-missing", "lubricant-without-where", "torque-outside-range",
            "torque-above-ceiling"} == {each["code"] for each in made["problems"]}  # fmt: skip
    for problem in made["problems"]:
        assert {"code", "path", "id", "build", "reason"} == set(problem)
        assert all(problem.values())
        assert problem["reason"].startswith(problem["path"])
    assert 1 == run(str(tmp_path / "family.toml"))
    assert 1 + len(made["problems"]) == capsys.readouterr().out.count("\n")


def test_names_and_tables_are_told_before_any_build(capsys: Capture, tmp_path: Path) -> None:
    """Where names lead nowhere every one is listed, and no build is proved."""
    text = SMALL.replace('"spanner-10"', '"spaner-10"').replace('part = "cap"', 'part = "cup"')
    code, made = checked(capsys, write(tmp_path, HEAD + text))

    assert (1, 0) == (code, made["builds"])
    assert ["name-unknown"] * 3 == [each["code"] for each in made["problems"]]
    assert {"part.screws.off.tool", "joint.casing.tool", "mark.vent.part"} == {
        each["path"] for each in made["problems"]
    }


@pytest.mark.parametrize("why", SPOILT_FILES)
def test_a_bad_file_ends_with_1_or_cannot_be_read(
    capsys: Capture, tmp_path: Path, why: str
) -> None:
    """A family file with problems ends with 1; what is none ends with 2 and one sentence."""
    path = tmp_path / "family.toml"
    path.write_bytes(SPOILT_FILES[why][0])
    code = run(str(path), "--json")
    out, err = capsys.readouterr()

    if why in UNREADABLE:
        assert (2, "") == (code, out)
        assert SPOILT_FILES[why][1] in err
        assert err.endswith(".\n") and err.count("\n") == 1
    else:
        assert 1 == code
        assert not json.loads(out)["ok"]
        assert json.loads(out)["problems"]


@pytest.mark.parametrize("name", ["none.toml", "."])
def test_no_file_is_refused(
    capsys: Capture, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, name: str
) -> None:
    """A file that is not there, or a folder, is refused with 2."""
    monkeypatch.chdir(tmp_path)
    code = run(name)
    out, err = capsys.readouterr()

    assert (2, "", 1) == (code, out, err.count("\n"))
    assert err.startswith(f"{name}")


def test_too_many_builds_are_refused_with_the_count(capsys: Capture, tmp_path: Path) -> None:
    """More than 50,000 builds end with 2, and the count is said."""
    values = "\n".join(f'v{n} = "value"' for n in range(300))
    options = "".join(
        f'[option.{name}]\nwords = "{name}"\ndefault = "v0"\n[option.{name}.values]\n{values}\n'
        for name in ("one", "two")
    )
    code = run(str(write(tmp_path, HEAD + SMALL + options)))
    out, err = capsys.readouterr()

    assert (2, "") == (code, out)
    assert "small allows 360000 builds; at most 50000 can be proved" in err


def test_the_owner_decides_what_breaks(capsys: Capture, tmp_path: Path) -> None:
    """With a smaller share of proof load the same torque breaks its joint."""
    path = write(tmp_path, HEAD + SMALL)
    code = run(str(path), "--figure", "bolting.share_of_proof=0.4", "--json")
    made = json.loads(capsys.readouterr().out)

    assert 1 == code
    assert ["torque-above-ceiling"] == [each["code"] for each in made["problems"]]
