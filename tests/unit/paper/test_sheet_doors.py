"""The doors of the bench sheet: PDF, web page and terminal show the same document."""

from __future__ import annotations

import re
import sys
import unicodedata
from dataclasses import replace
from datetime import UTC, datetime
from functools import cache
from html.parser import HTMLParser
from importlib import resources

import pypdfium2
import pytest

from springcase.errors import MissingExtra, SpringcaseError
from springcase.paper.document import Line, SheetDocument, all_lines
from springcase.paper.given import UnitCard
from springcase.paper.glyphs import DRAWABLE, printable
from springcase.paper.html import write_html
from springcase.paper.pages import MEASURES
from springcase.paper.pdf import breakable, write_pdf
from springcase.paper.style import STYLE
from springcase.paper.terminal import WIDTH, write_terminal
from unit.paper.sheet_unit import DIGEST, draw_sheet, overhaul, overhaul_sheet

STAMP = datetime(2026, 11, 25, tzinfo=UTC)
WEIRD = [
    '#panic("x") $a$ *b* _c_ `d` @e <f> \\ // /* */ ]})',
    "</script><img src=x onerror=alert(1)>&amp;'\"",
    "שלום עולם \u202e مرحبا",
    "🙂👩\u200d🔧 中文标签 e\u0301",
    "x" * 10_000,
    "word " * 2_000,
    "W" * 300,
    "a\x00b\x1bc\u2028d",
]


@cache
def pdf_of_overhaul() -> bytes:
    """Return the PDF of the trial unit's overhaul."""
    return write_pdf(overhaul_sheet(), timestamp=STAMP)


def text_of(pdf: bytes) -> list[str]:
    """Return the text of each page, without blanks."""
    pages = pypdfium2.PdfDocument(pdf)
    return ["".join(page.get_textpage().get_text_bounded().split()) for page in pages]


def squeezed(text: str) -> str:
    """Return a text without blanks and word breaks."""
    return "".join(text.replace("\u200b", "").split())


def weird_sheet(text: str) -> SheetDocument:
    """Return a sheet on which every text of the card is the same weird one."""
    structure, plan = overhaul()
    parts = {
        id: replace(part, words=text if id in ("body", "bonnet") else part.words)
        for id, part in structure.parts.items()
    }
    card = UnitCard(tag=text, serial=text, position=text, role=text, set_point=text, inlet=text)
    return draw_sheet(replace(structure, parts=parts), plan, card=card)


def test_pdf_holds_every_line() -> None:
    """The text of the PDF holds every sentence, tool, torque and reading of the document."""
    text = "".join(text_of(pdf_of_overhaul()))
    wanted = [
        cell
        for line in all_lines(overhaul_sheet())
        for cell in (line.number, line.verb, line.words, line.tool, *line.details, *line.choices)
    ]
    torques = [line.torque for line in all_lines(overhaul_sheet()) if line.torque is not None]
    wanted += [torque.large + torque.unit for torque in torques]

    assert [cell for cell in wanted if squeezed(cell) not in text] == []
    assert len(wanted) > 300


def test_pdf_has_the_pages_of_the_document_each_with_its_footer() -> None:
    """Every page carries digest, who governs and its number."""
    pages = text_of(pdf_of_overhaul())

    assert len(pages) == len(overhaul_sheet().pages)
    for number, page in enumerate(pages, start=1):
        assert DIGEST in page
        assert "Themaker'sinstructionsandlocalcodesgovern." in page
        assert f"page{number}of{len(pages)}" in page


def test_pdf_is_the_same_twice() -> None:
    """The same document and timestamp give the same bytes; another tag gives others."""
    structure, plan = overhaul()
    other = draw_sheet(structure, plan, card=UnitCard(tag="H-08-M"))

    assert write_pdf(overhaul_sheet(), timestamp=STAMP) == pdf_of_overhaul()
    assert write_pdf(other, timestamp=STAMP) != pdf_of_overhaul()


def test_pdf_is_a4_archivable_and_titled() -> None:
    """The PDF is A4, says PDF/A-3a, and has the sheet's title."""
    document = pypdfium2.PdfDocument(pdf_of_overhaul())
    width, height = document[0].get_size()

    assert (round(width * 25.4 / 72), round(height * 25.4 / 72)) == (210, 297)
    assert document.get_metadata_dict()["Title"] == "H-07-W · Trial · bench sheet"
    assert b"<pdfaid:part>3</pdfaid:part>" in pdf_of_overhaul()
    assert b"<pdfaid:conformance>A</pdfaid:conformance>" in pdf_of_overhaul()


def test_pdf_is_black_and_white() -> None:
    """Every pixel of a page is a grey between black ink and white paper, none coloured."""
    page = pypdfium2.PdfDocument(pdf_of_overhaul())[0]
    picture = page.render(scale=1).to_pil().convert("RGB")
    colours = picture.getcolors(maxcolors=1 << 24)

    assert colours is not None
    assert [colour for _, colour in colours if max(colour) - min(colour) > 0] == []
    assert {(0, 0, 0), (255, 255, 255)} <= {colour for _, colour in colours}


def test_template_names_no_colour_and_no_package() -> None:
    """The template knows black alone, and imports nothing."""
    template = resources.files("springcase.paper").joinpath("template.typ").read_text("utf-8")
    colours = r"\b(red|blue|green|gray|luma|rgb|cmyk|oklab|silver|navy|orange|yellow)\b"

    assert re.findall(colours, template) == []
    assert "@preview" not in template
    assert "import" not in template


def test_print_is_large_enough() -> None:
    """Body text is at least 11 pt and a tick box at least 6 mm."""
    template = resources.files("springcase.paper").joinpath("template.typ").read_text("utf-8")
    sizes = [float(size) for size in re.findall(r"size: ([0-9.]+)pt", template)]

    assert min(MEASURES["body_size"], MEASURES["verb_size"]) >= 11
    assert MEASURES["tick"] >= 6
    # The footer alone is smaller: it is for the file, not for the hands.
    assert sorted(sizes)[:2] == [9.0, 11.0]


@pytest.mark.parametrize("text", WEIRD)
def test_weird_text_breaks_no_page(text: str) -> None:
    """Whatever stands on a card is shown as text: markup, quotes, any script, any length."""
    document = weird_sheet(text)
    pages = text_of(write_pdf(document, timestamp=STAMP))

    assert len(pages) == len(document.pages)
    assert all(DIGEST in page for page in pages)


def test_a_sign_no_font_holds_is_written_as_its_code() -> None:
    """A character the fonts lack is not dropped from a tag."""
    document = weird_sheet("tag 中🙂")
    text = "".join(text_of(write_pdf(document, timestamp=STAMP)))

    assert "tag[U+4E2D][U+1F642]" in text
    assert printable("Höhe ½") == "Höhe ½"


def test_every_drawable_sign_can_be_set() -> None:
    """Every character counted as drawable is set in regular and in bold without a complaint."""
    every = "".join(
        chr(code)
        for low, high in DRAWABLE
        for code in range(low, high + 1)
        if chr(code).isprintable()
    )
    parts = [every[start : start + 60] for start in range(0, len(every), 60)]
    line = Line(number="1", verb="Read", words="x")
    base = overhaul_sheet()
    pages = tuple(
        replace(base.pages[0], blocks=(replace(line, verb=part, words=part),)) for part in parts
    )
    made = write_pdf(replace(base, pages=pages), timestamp=STAMP)

    assert len(text_of(made)) == len(parts) > 10


def test_a_sheet_longer_than_its_pages_is_refused() -> None:
    """A page that runs over is our fault and is never handed out."""
    base = overhaul_sheet()
    line = Line(number="1", verb="Read", words="x", ticks=1)
    crowded = replace(base.pages[0], blocks=(line,) * 60)

    with pytest.raises(SpringcaseError, match="longer than its pages"):
        write_pdf(replace(base, pages=(crowded,)), timestamp=STAMP)


def test_missing_typesetter_says_what_to_type(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the extra, the error holds the line to type."""
    monkeypatch.setitem(sys.modules, "typst", None)

    with pytest.raises(MissingExtra, match=re.escape('pip install "springcase[paper]"')):
        write_pdf(overhaul_sheet(), timestamp=STAMP)


def test_long_runs_can_be_broken() -> None:
    """A run without a blank may be broken every twenty-four signs; other text is left alone."""
    assert breakable("a" * 30) == "a" * 24 + "\u200b" + "a" * 6
    assert breakable("take off the bonnet") == "take off the bonnet"


class _Tags(HTMLParser):
    """Collects tags and their attributes, and whether every tag is closed in order."""

    EMPTY = frozenset(("meta", "input", "img", "link", "br"))

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))
        if tag not in self.EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def parse(page: str) -> _Tags:
    """Return a page's tags."""
    parser = _Tags()
    parser.feed(page)
    parser.close()
    return parser


def test_web_page_holds_every_line() -> None:
    """Every sentence, tool and detail of the document stands on the web page."""
    text = squeezed("".join(parse(write_html(overhaul_sheet())).text))
    wanted = [
        cell
        for line in all_lines(overhaul_sheet())
        for cell in (line.verb, line.words, line.tool, *line.details, *line.choices)
    ]

    assert [cell for cell in wanted if squeezed(cell) not in text] == []


def test_web_page_loads_and_runs_nothing() -> None:
    """No script, no link outward, no address but the drawings inside the page."""
    tags = parse(write_html(overhaul_sheet())).found
    names = {tag for tag, _ in tags}
    addresses = [
        value
        for _, attributes in tags
        for key, value in attributes.items()
        if key in ("src", "href", "action", "srcset")
    ]

    assert names & {"script", "link", "iframe", "object", "form", "svg"} == set()
    assert [
        a for a in addresses if not str(a).startswith(("data:image/svg+xml;base64,", "#"))
    ] == []
    assert "http" not in STYLE
    assert "url(" not in STYLE


def test_web_page_can_be_read_aloud() -> None:
    """Language, title, landmarks, headings in order, a name on every field and picture."""
    page = parse(write_html(overhaul_sheet()))
    named = dict(page.found)
    labels = {attributes.get("for") for tag, attributes in page.found if tag == "label"}
    nameless = [
        attributes
        for tag, attributes in page.found
        if tag == "input"
        and not attributes.get("aria-label")
        and attributes.get("id") not in labels
        and attributes.get("type") != "radio"
    ]
    levels = [int(tag[1]) for tag, _ in page.found if re.fullmatch("h[1-6]", tag)]
    ids = [attributes["id"] for _, attributes in page.found if "id" in attributes]

    assert named["html"] == {"lang": "en"}
    assert {"main", "nav", "header", "footer", "title"} <= set(named)
    assert nameless == []
    assert all("alt" in attributes for tag, attributes in page.found if tag == "img")
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert len(ids) == len(set(ids))
    assert page.open == []


def test_web_page_has_a_footer_on_every_page() -> None:
    """Every section ends with who governs, the plan's digest and its number."""
    sections = write_html(overhaul_sheet()).split("<section")[1:]

    assert len(sections) == len(overhaul_sheet().pages)
    for section in sections:
        assert DIGEST in section
        assert "local codes govern" in section


def test_printed_web_page_is_black_and_white() -> None:
    """The style names black and white alone, and else only the colours of the reader's system."""
    colours = set(re.findall(r"#[0-9a-fA-F]{3,8}", STYLE))

    assert colours == {"#000", "#fff"}
    assert re.findall(r"rgba?\(|hsla?\(", STYLE) == []


@pytest.mark.parametrize("text", WEIRD)
def test_weird_text_breaks_no_web_page(text: str) -> None:
    """Whatever stands on a card is text on the web page: no tag comes of it."""
    plain = {tag for tag, _ in parse(write_html(overhaul_sheet())).found}
    page = parse(write_html(weird_sheet(text)))

    assert {tag for tag, _ in page.found} == plain
    assert page.open == []
    assert [a for tag, a in page.found if "onerror" in a] == []


def columns(row: str) -> int:
    """Return how many columns a row takes: wide letters take two, combining marks none."""
    wide = sum(unicodedata.east_asian_width(mark) in "WF" for mark in row)
    return len(row) + wide - sum(unicodedata.combining(mark) > 0 for mark in row)


@pytest.mark.parametrize("ascii_only", [False, True])
def test_text_is_a_hundred_columns_wide(ascii_only: bool) -> None:
    """No row is wider than a hundred columns, whatever stands on the card."""
    for text in ("H-07-W", *WEIRD):
        rows = write_terminal(weird_sheet(text), ascii=ascii_only).split("\n")

        assert max(map(columns, rows)) <= WIDTH
        if ascii_only:
            assert all(row.isascii() for row in rows)


@pytest.mark.parametrize("ascii_only", [False, True])
def test_text_holds_every_line(ascii_only: bool) -> None:
    """Every number, verb and tool stands in the text, each tick as a box."""
    document = overhaul_sheet()
    text = write_terminal(document, ascii=ascii_only)
    flat = " ".join(text.split())
    wanted = [cell for line in all_lines(document) for cell in (line.number, line.verb, line.tool)]
    box = "[ ]" if ascii_only else "☐"
    boxes = sum(line.ticks + len(line.choices) for line in all_lines(document))

    if ascii_only:
        wanted = [cell.replace("×", "x") for cell in wanted]

    assert [cell for cell in wanted if cell not in flat] == []
    assert text.count(box) == boxes
    assert text.count(DIGEST) == len(document.pages)


def test_text_holds_nothing_a_terminal_obeys() -> None:
    """An escape on a card never reaches the terminal."""
    text = write_terminal(weird_sheet("a\x1b[31mb\x07"))

    assert [mark for mark in text if ord(mark) < 32 and mark != "\n"] == []
