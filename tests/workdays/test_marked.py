"""Texts to sign: Markdown is shown as markup, and nothing else is."""

import re
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.marked import marked

MADE = re.compile(r"<(/?)([a-z0-9]+)([^<>]*)>")
OF_A_LINK = re.compile(r' href="(https?|mailto):[^"]*"( title="[^"]*")? rel="[a-z ]*"')
ALLOWED = {
    *("p", "br", "hr", "strong", "em", "ul", "ol", "li", "blockquote", "a"),
    *("h3", "h4", "h5", "h6"),
}


def tags(text: str) -> list[tuple[str, str]]:
    """Return the elements of the markup with their attributes, and see that no other < is left."""
    shown = str(marked(text))
    found = MADE.findall(shown)
    assert shown.count("<") == len(found)
    return [(name, attributes) for _, name, attributes in found]


def test_headings_lists_and_links_are_shown_below_the_title_of_the_page() -> None:
    shown = marked("# Risks\n\n- heavy\n- **sharp**\n\n###### small\n\n[us](https://a.example/)")
    assert "<h3>Risks</h3>" in shown
    assert "<li><strong>sharp</strong></li>" in shown.replace("\n", "")
    assert "<h6>small</h6>" in shown
    assert 'href="https://a.example/" rel="nofollow noopener noreferrer"' in shown


def test_a_text_without_marks_keeps_its_paragraphs_and_lines() -> None:
    assert marked("One.\nTwo.\n\n    Three.") == "<p>One.<br />\nTwo.</p>\n<p>Three.</p>\n"


@pytest.mark.parametrize(
    "text",
    [
        "<script>alert(1)</script>",
        "[x](javascript:alert(1))",
        "[x](JaVaScRiPt&colon;alert(1))",
        "[x](java\nscript:alert(1))",
        "[x](&#x6A;avascript:alert(1))",
        "[x](data:text/html;base64,PHNjcmlwdD4=)",
        "[x](vbscript:x)",
        "[x](//other.example/)",
        "[x](/admin/)",
        "[x][y]\n\n[y]: javascript:alert(1)",
        "<javascript:alert(1)>",
        "![x](https://a.example/p.png)",
        "![x](data:image/png;base64,AA==)",
        "<img src=x onerror=alert(1)>",
        "<!-- x --><![CDATA[x]]><?x?>",
        "&lt;script&gt;alert(1)&lt;/script&gt;",
        '[x](https://a.example/"onmouseover="alert(1))',
        "[x](https://a.example/ '\"><script>')",
        "\x00<b>\x00",
    ],
)
def test_hostile_text_becomes_words(text: str) -> None:
    for name, attributes in tags(text):
        assert name in ALLOWED
        assert "javascript:" not in attributes.lower()
        if name == "a" and attributes:
            assert OF_A_LINK.fullmatch(attributes)


@given(st.text(alphabet="<>&[]()!*_#`\"'=:/-+ \nabjs0", max_size=200))
def test_any_text_gives_allowed_elements_only(text: str) -> None:
    assert {name for name, _ in tags(text)} <= ALLOWED


@pytest.mark.parametrize(
    "piece", ["> ", "- ", "[", "](", "*", "_a", "<", "&", "![", "**a ", "\\", "a\n\n", "1. "]
)
def test_a_hundred_thousand_letters_do_not_hold_the_page_up(piece: str) -> None:
    text = (piece * 100_000)[:100_000]
    began = time.process_time()
    marked(text)
    assert time.process_time() - began < 10
