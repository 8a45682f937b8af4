"""Every mail has a subject, a text and an HTML form, and both forms lead to the same places."""

import re
from html import unescape
from pathlib import Path

import pytest

from coordinator.models import SentMessage
from tests.guards.mails_sent import MAILS

TEMPLATES = Path(__file__).resolve().parents[2] / "templates"
IN_TEXT = re.compile(r"https?://[^\s<>\"]+[^\s<>\".,;:!?)]")
IN_HTML = re.compile(r"href=\"([^\"]+)\"")


def test_every_mail_has_four_templates_and_is_sent_below() -> None:
    files = {
        path.name
        for path in TEMPLATES.glob("*/mail/*")
        if path.stem != "base" and not path.name.startswith("_")
    }
    ends = (".subject.txt", ".txt", ".html", ".why.txt")
    assert files == {f"{name}{end}" for name in MAILS for end in ends}


def links_of_html(row: SentMessage) -> set[str]:
    return {unescape(link) for link in IN_HTML.findall(row.html)}


@pytest.mark.django_db
@pytest.mark.parametrize("name", MAILS)
def test_a_mail_leads_to_the_same_places_in_both_forms(name: str) -> None:
    rows = list(MAILS[name]())
    assert rows
    for row in rows:
        assert row.subject.strip()
        assert "\n" not in row.subject
        assert set(IN_TEXT.findall(row.text)) == links_of_html(row)


@pytest.mark.django_db
@pytest.mark.parametrize("name", MAILS)
def test_a_mail_is_whole_in_both_forms(name: str) -> None:
    for row in MAILS[name]():
        for form in (row.text, row.html):
            assert "{{" not in form
            assert "{%" not in form
            assert "None" not in form
            assert "555-0100" in form
        assert "&#x27;" not in row.text
        assert "&lt;" not in row.text
        assert "</html>" in row.html


@pytest.mark.django_db
@pytest.mark.parametrize("name", MAILS)
def test_a_mail_ends_by_saying_why_it_goes_to_this_mailbox(name: str) -> None:
    for row in MAILS[name]():
        last = row.text.strip().splitlines()[-1]
        assert last.startswith("You get this mail because ")
        assert last.endswith(".")
        body = unescape(row.html).partition("</body>")[0].strip()
        assert body.endswith(f"<p><small>{last}</small></p>")
