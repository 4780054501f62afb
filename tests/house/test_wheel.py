"""The built wheel, installed without extras in a clean environment, runs what needs none."""

from __future__ import annotations

import json
import re
import shlex
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

from house.tree import ROOT
from springcase.cli.registry import COMMANDS

pytestmark = pytest.mark.xdist_group("wheel")

UV = str(Path(sys.executable).parent / "uv")
FAMILIES = ("alder", "birch", "cedar", "dogwood", "elm")
JSON_LINES = {
    "plan": [
        *(f"plan --family {name} --scope overhaul" for name in FAMILIES),
        "plan --family alder --set sensing=internal --scope change-spring",
        "plan --family birch --reach orifice --removed closing-cap",
    ],
    "torque": [
        "torque --thread 3/4-10 --grade 'J429 5' --share 0.75 --factor 0.2",
        "torque --torque '100 lbf.in' --wrench '12 in' --extension '6 in' --angle '0 deg'",
        "torque --torque '27 N.m' --bolts 12",
    ],
    "kit": ["kit a.json b.json"],
    "family check": ["family check my-family.toml"],
    "owner show": ["owner show"],
    "schema": ["schema family"],
    "curve": [
        "curve --family birch --gas methane --inlet '4 bar gauge' --set-point '100 mbar gauge' "
        "--picture curve.svg",
    ],
    "decide": ["decide --value 206 --upper 210 --uncertainty 1.5"],
    "spring": [
        "spring --material music-wire --wire '2 mm' --mean-diameter '16 mm' --active 8 "
        "--shear-modulus '79.3 GPa' --force '100 N'",
    ],
    "convert": [
        "convert '7 in w.c.' --to psi",
        "convert '1 scf/h @ 14.73 psi, 60 degF' --to Nm3/h",
    ],
    "gas": [
        "gas --composition methane=0.9,nitrogen=0.1 --pressure '60 bar abs' "
        "--temperature '20 degC' --model gerg-2008",
        "gas --name amarillo --pressure '70 bar abs' --temperature '15 degC' --outlet '10 bar abs'",
    ],
    "flow": [
        "flow --molar-mass 17.595 --isentropic 1.30 --z 0.99 --temperature '288.15 K' --xt 0.72 "
        "--p1 '5 bar abs' --p2 '4 bar abs' --flow '1000 Nm3/h'",
        "flow --gas methane --bore '10 mm' --discharge 0.85 --p1 '50 bar abs' --p2 '1 bar abs' "
        "--temperature '15 degC'",
    ],
    "relief": [
        "relief --molar-mass 51 --isentropic 1.11 --z 0.90 --temperature '348 K' "
        "--p1 '670 kPa abs' --flow '24270 kg/h' --discharge 0.975",
    ],
    "leak": [
        "leak --volume '0.25 m3' --start '8.00 bar gauge' --end '7.90 bar gauge' "
        "--start-temperature '20 degC' --end-temperature '19 degC' --time '1 h' "
        "--barometer '1013.25 mbar'",
    ],
}


def call(*command: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    """Run a command in an environment without anything of this checkout's."""
    return subprocess.run(
        command, cwd=cwd or ROOT, capture_output=True, text=True, timeout=300, check=False
    )


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build wheel and source archive into a folder of their own."""
    folder = tmp_path_factory.mktemp("dist")
    done = call(UV, "build", "--no-build-isolation", "--python", sys.executable, "-o", str(folder))
    assert done.returncode == 0, done.stderr
    return folder


@pytest.fixture(scope="module")
def bare(built: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Install the wheel without extras, at the locked versions, and return the folder of bin."""
    folder = tmp_path_factory.mktemp("bare")
    lock = (ROOT / "requirements" / "demo.txt").read_text(encoding="utf-8")
    pins = re.findall(r"^[\w.-]+==\S+(?: ;[^\\\n]+)?", lock, re.M)
    (folder / "pins.txt").write_text("\n".join(pins), encoding="utf-8")
    assert (
        call(UV, "venv", "--quiet", "--python", sys.executable, str(folder / "venv")).returncode
        == 0
    )
    python = str(folder / "venv" / "bin" / "python")
    wheel = str(next(built.glob("*.whl")))
    install = (UV, "pip", "install", "--python", python, "-c", str(folder / "pins.txt"), wheel)
    done = call(*install, "--offline")
    if done.returncode:
        done = call(*install)
    assert done.returncode == 0, done.stderr
    packages = call(UV, "pip", "list", "--python", python).stdout
    assert "typst" not in packages and "matplotlib" not in packages
    return folder / "venv" / "bin"


def springcase(bare: Path, line: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run one command line of the bare installation."""
    return call(str(bare / "springcase"), *shlex.split(line), cwd=cwd)


def test_every_command_is_tried() -> None:
    """No command goes without a line that is tried in the bare installation."""
    assert {command.name for command in COMMANDS} == set(JSON_LINES)


def test_the_wheel_holds_the_package_and_nothing_else(built: Path) -> None:
    """The wheel holds the package with its data, the licence, and no tests."""
    names = zipfile.ZipFile(next(built.glob("*.whl"))).namelist()
    tops = {name.split("/")[0] for name in names}
    families = {Path(name).stem for name in names if "scenario/families/" in name}

    assert {"springcase", next(top for top in tops if top.endswith(".dist-info"))} == tops
    assert set(FAMILIES) <= families
    assert "springcase/py.typed" in names
    assert any(name.endswith("/licenses/LICENSE") for name in names)


def test_the_source_archive_builds_on_its_own(built: Path) -> None:
    """The source archive holds source, licence and project file, and no lock or test."""
    with tarfile.open(next(built.glob("*.tar.gz"))) as archive:
        names = archive.getnames()
    tops = {name.split("/")[1] for name in names if "/" in name}

    assert {"src", "LICENSE", "README.md", "pyproject.toml", "PKG-INFO"} == tops - {".gitignore"}


@pytest.mark.parametrize("line", ["--help", "--version", *(f"{c.name} --help" for c in COMMANDS)])
def test_help_and_version_need_no_extra(bare: Path, tmp_path: Path, line: str) -> None:
    """Help and version come with exit 0, on standard output alone."""
    done = springcase(bare, line, tmp_path)

    assert (0, "") == (done.returncode, done.stderr)
    assert "springcase" in done.stdout


@pytest.mark.parametrize("line", [line for lines in JSON_LINES.values() for line in lines])
def test_a_command_needs_no_extra(bare: Path, tmp_path: Path, line: str) -> None:
    """Each command answers, as text and as one JSON document, without any extra."""
    family = ROOT / "src" / "springcase" / "scenario" / "families" / "elm.toml"
    (tmp_path / "my-family.toml").write_bytes(family.read_bytes())
    if line.startswith("kit"):
        for name, asked in (("a", "alder --scope seat"), ("b", "elm --scope exchange")):
            plan = springcase(bare, f"plan --family {asked} --json", tmp_path)
            (tmp_path / f"{name}.json").write_text(plan.stdout, encoding="utf-8")

    text = springcase(bare, line, tmp_path)
    document = springcase(bare, line + " --json", tmp_path)

    assert (0, 0) == (text.returncode, document.returncode), text.stderr + document.stderr
    assert text.stdout.strip()
    assert ["format", "version"] == list(json.loads(document.stdout))[:2]


def test_a_pdf_without_the_extra_says_what_to_type(bare: Path, tmp_path: Path) -> None:
    """A PDF asked for without the paper extra is refused in one sentence with the line to type."""
    done = springcase(bare, "plan --family alder --scope soft-parts --pdf out.pdf", tmp_path)

    assert (2, "") == (done.returncode, done.stdout)
    assert 1 == done.stderr.strip().count("\n") + 1
    assert "pip install" in done.stderr and "springcase[paper]" in done.stderr
    assert not (tmp_path / "out.pdf").exists()
