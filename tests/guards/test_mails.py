"""Every mail has a subject, a text and an HTML form, and both forms lead to the same places."""

import re
from pathlib import Path

import pytest

TEMPLATES = Path(__file__).resolve().parents[2] / "templates"
SUBJECTS = sorted(TEMPLATES.glob("*/mail/*.subject.txt"))
LINK = re.compile(r"{{\s*([\w.]*(?:link|url|address|href)[\w.]*)[\s|}]|{%\s*url\s+'(\w+)'")


def links(path: Path) -> set[str]:
    """Return the names that a template leads to, without the line that every mail ends with."""
    found = {a or b for a, b in LINK.findall(path.read_text())}
    return found - {"site_url", "to_address"}


@pytest.mark.parametrize(
    "subject", SUBJECTS, ids=lambda path: path.name.removesuffix(".subject.txt")
)
def test_a_mail_has_three_templates_with_the_same_links(subject: Path) -> None:
    name = subject.name.removesuffix(".subject.txt")
    text, html = subject.with_name(f"{name}.txt"), subject.with_name(f"{name}.html")
    assert text.exists()
    assert html.exists()
    assert links(text) == links(html)
    assert len(subject.read_text().strip().splitlines()) == 1


def test_no_mail_lacks_a_subject() -> None:
    names = {
        path.name.split(".")[0]
        for path in TEMPLATES.glob("*/mail/*")
        if path.stem != "base" and not path.name.startswith("_")
    }
    assert names == {path.name.removesuffix(".subject.txt") for path in SUBJECTS}
