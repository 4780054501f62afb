"""What no tracked file may hold, and what the locks and fragments must be."""

from __future__ import annotations

import re

import pytest

from house.tree import ROOT, name_of, texts, tracked_files

# One letter of each word stands in brackets, so that this file does not hold what it forbids.
FORBIDDEN = {
    "a path of one machine": r"(?<![\w.])/(?:wor[k]|roo[t]|hom[e]|tm[p])/\w",
    "the address of a package index": r"pyp[i]\.org|pythonhoste[d]|npmj[s]\.(?:org|com)"
    r"|(?<!emit-)inde[x]-url|https?://[^\s/]*simpl[e]",
    "work left for later": r"\b(?:TOD[O]|FIXM[E]|XX[X])\b",
}
PLANTED = {
    "a path of one machine": "see /w" + "ork/main/x",
    "the address of a package index": "https://pyp" + "i.org/",
    "work left for later": "# TO" + "DO later",
}
FRAGMENT = re.compile(r"^\d+\.(safety|breaking|added|changed|fixed|removed)\.md$")
LOCKS = ("uv.txt", "demo.txt", "dev.txt")


def holders(pattern: str, files: tuple[tuple[str, str], ...]) -> str:
    """List, a line each, where a pattern is found."""
    found = [
        f"{name}:{text[: hit.start()].count(chr(10)) + 1}: {hit[0]}"
        for name, text in files
        for hit in re.finditer(pattern, text)
    ]
    return "\n".join(found)


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_file_holds_it(what: str) -> None:
    """No tracked text file holds what is forbidden."""
    assert "" == holders(FORBIDDEN[what], texts())


@pytest.mark.parametrize("what", FORBIDDEN)
def test_a_planted_line_is_found(what: str) -> None:
    """A line planted for each forbidden thing is found."""
    found = holders(FORBIDDEN[what], (("planted.md", PLANTED[what]),))

    assert found.startswith("planted.md:1: ")


def test_no_large_or_binary_file() -> None:
    """No tracked file is over 1 MB, and only pictures are not UTF-8 text."""
    readable = {name for name, _ in texts()}
    odd = [
        name_of(path)
        for path in tracked_files()
        if path.stat().st_size > 1_000_000
        or (name_of(path) not in readable and path.suffix not in {".png", ".pdf"})
    ]

    assert [] == odd


def pins(lock: str) -> dict[tuple[str, str], str]:
    """Return the version each package (with its marker) is pinned to."""
    text = (ROOT / "requirements" / lock).read_text(encoding="utf-8")
    found = re.findall(r"^([A-Za-z0-9._-]+)==([^\s;\\]+)( ;[^\\\n]+)?", text, re.M)
    return {(name, marker.strip()): version for name, version, marker in found}


@pytest.mark.parametrize("lock", LOCKS)
def test_every_pin_has_its_hashes(lock: str) -> None:
    """Every package of a lock is pinned to one version with at least one sha256."""
    text = (ROOT / "requirements" / lock).read_text(encoding="utf-8")
    blocks = re.split(r"\n(?=[A-Za-z0-9])", text.strip())
    bare = [b for b in blocks if not re.search(r"^[\w.-]+==[\s\S]+--hash=sha256:[0-9a-f]{64}", b)]

    assert [] == bare
    assert "http" not in text


def test_the_demo_runs_on_what_the_tests_ran_on() -> None:
    """Each package of the demo's lock stands in the developer's lock with the same version."""
    developer = pins("dev.txt")
    other = {key: version for key, version in pins("demo.txt").items() if key not in developer}

    assert {} == other
    assert pins("demo.txt").items() <= developer.items()


def test_changelog_fragments_are_named_rightly() -> None:
    """A changelog fragment is named by issue and kind, and says something."""
    fragments = [p for p in tracked_files() if p.parent.name == "changelog.d"]
    wrong = [p.name for p in fragments if not FRAGMENT.match(p.name) or not p.read_text().strip()]

    assert [] == wrong
    assert fragments
