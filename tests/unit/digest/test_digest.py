"""The digest agrees with its vectors in Python and in a browser."""

from __future__ import annotations

import json
import unicodedata
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from playwright.sync_api import Page

from springcase.digest import canonical_text, digest
from springcase.errors import BadInput

VECTORS = Path(__file__).parents[2] / "vectors"
CASES = json.loads((VECTORS / "digest.json").read_text("utf-8"))
TEXT = st.text(st.characters(exclude_categories=("Cs",)), max_size=8)
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4),
    max_leaves=12,
)


def has_key_twice(value: object) -> bool:
    """Whether some object in a value has two keys that are one in NFC."""
    if isinstance(value, dict):
        normal = {unicodedata.normalize("NFC", key) for key in value}
        return len(normal) < len(value) or any(map(has_key_twice, value.values()))
    return isinstance(value, list) and any(map(has_key_twice, value))


@pytest.mark.parametrize("case", CASES["accepted"], ids=lambda case: case["name"])
def test_vector_gives_its_text_and_digest(case: dict[str, str]) -> None:
    """Every vector gives the canonical text and the digest written beside it."""
    value = json.loads(case["value"])

    assert case["canonical"] == canonical_text(value)
    assert case["digest"] == digest(value)


@pytest.mark.parametrize("case", CASES["refused"], ids=lambda case: case["name"])
def test_refused_vector_is_refused_for_its_reason(case: dict[str, str]) -> None:
    """Every refused vector is refused with the code written beside it."""
    with pytest.raises(BadInput, match=rf"\[{case['code']}\]"):
        digest(json.loads(case["value"]))


@pytest.mark.parametrize(
    ("value", "code"),
    [({1: 2}, "digest-key"), ({"a": b"x"}, "digest-type"), ([float("nan")], "digest-float")],
)
def test_values_json_cannot_write_are_refused(value: object, code: str) -> None:
    """Keys that are no text, other types and not-a-number are refused by name."""
    with pytest.raises(BadInput, match=rf"\[{code}\] \$"):
        digest(value)


@given(VALUES.filter(lambda value: not has_key_twice(value)), st.randoms())
def test_key_order_does_not_matter(value: Any, random: Any) -> None:
    """Shuffling the keys of every object leaves the digest as it was."""

    def shuffle(item: Any) -> Any:
        if isinstance(item, dict):
            keys = list(item)
            random.shuffle(keys)
            return {key: shuffle(item[key]) for key in keys}
        return [shuffle(each) for each in item] if isinstance(item, list) else item

    assert digest(value) == digest(shuffle(value))


@given(VALUES.filter(lambda value: not has_key_twice(value)))
def test_canonical_text_is_a_fixed_point(value: Any) -> None:
    """Reading a canonical text and writing it again gives the same text."""
    text = canonical_text(value)

    assert text == canonical_text(json.loads(text))


@pytest.fixture
def served(page: Page) -> Page:
    """Open a page that holds the browser's digest."""
    script = (VECTORS / "digest.js").read_text("utf-8")
    # Hashing wants a secure context, which localhost is and a blank page is not.
    page.route(
        "http://localhost/",
        lambda route: route.fulfill(body="<!doctype html>", content_type="text/html"),
    )
    page.route(
        "http://localhost/digest.js",
        lambda route: route.fulfill(body=script, content_type="text/javascript"),
    )
    page.goto("http://localhost/")
    return page


def in_browser(page: Page, texts: list[str]) -> list[dict[str, str]]:
    """Return what the browser makes of JSON texts: text and digest, or the code of a refusal."""
    found: list[dict[str, str]] = page.evaluate(
        """async (texts) => {
            const { digest, canonicalText, Refused } = await import("/digest.js");
            const found = [];
            for (const text of texts) {
                try {
                    const value = JSON.parse(text);
                    const made = canonicalText(value);
                    // As UTF-8 figures: the bridge to the test may not carry every sign.
                    const bytes = [...new TextEncoder().encode(made)];
                    found.push({ bytes, digest: await digest(value) });
                } catch (error) {
                    if (!(error instanceof Refused)) throw error;
                    found.push({ code: error.message });
                }
            }
            return found;
        }""",
        texts,
    )
    return found


def test_browser_agrees_with_every_vector(served: Page) -> None:
    """A real browser gives the text and digest of every accepted vector."""
    expected = [
        {"bytes": list(case["canonical"].encode()), "digest": case["digest"]}
        for case in CASES["accepted"]
    ]

    assert expected == in_browser(served, [case["value"] for case in CASES["accepted"]])


def test_browser_refuses_every_refused_vector(served: Page) -> None:
    """A real browser refuses every refused vector with the same code."""
    expected = [{"code": case["code"]} for case in CASES["refused"]]

    assert expected == in_browser(served, [case["value"] for case in CASES["refused"]])


def test_browser_agrees_on_random_values(served: Page) -> None:
    """Five hundred random values have the same digest in Python and in a real browser."""
    import random

    chance = random.Random(20261125)
    signs = (
        'aB9 "\\/\n\x00\x1f\x7f\u00e9e\u0301\u0323\u212b\ufb01\uff5e\U0001f600\u1112\u1161\u11ab'
    )

    def make(depth: int) -> Any:
        kind = chance.randrange(6 if depth else 4)
        if kind == 0:
            return chance.choice([None, True, False])
        if kind == 1:
            return chance.randrange(-(2**53) + 1, 2**53)
        if kind <= 3:
            return "".join(chance.choices(signs, k=chance.randrange(6)))
        items = [make(depth - 1) for _ in range(chance.randrange(4))]
        if kind == 4:
            return items
        return {"".join(chance.choices(signs, k=chance.randrange(4))): item for item in items}

    values = [value for value in (make(4) for _ in range(900)) if not has_key_twice(value)][:500]

    assert 500 == len(values)
    assert [digest(value) for value in values] == [
        found["digest"] for found in in_browser(served, [json.dumps(value) for value in values])
    ]
