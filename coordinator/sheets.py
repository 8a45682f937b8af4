"""Sheets to carry: a template and its values become a PDF. The only user of the PDF library.

The library needs Pango; where it is missing the pages still offer to print, and a start-up
check says what to install.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from django.http import HttpResponse
from django.template.loader import render_to_string

from coordinator.context import whose

STYLE = Path(__file__).parent / "static" / "coordinator" / "print.css"


class NoPdf(Exception):  # noqa: N818  # says what this machine lacks
    """This machine cannot make a PDF; the page can be printed instead."""


def pdf_bytes(template: str, context: Mapping[str, Any]) -> bytes:
    """Return a template as a PDF in the style of the printed pages; nothing is fetched.

    Whoever finds a page in the grass knows whom to ring: each says so at its foot.
    Raises NoPdf where the text library is missing.
    """
    try:
        from weasyprint import CSS, HTML  # fails to load without Pango
        from weasyprint.urls import URLFetcher
    except OSError as problem:
        raise NoPdf(str(problem)) from None
    # The style is handed over below: on paper nothing is fetched.
    html = render_to_string(template, {**whose(), **context, "on_paper": True})
    nothing = URLFetcher(allowed_protocols=["data"])
    page = HTML(string=html, base_url="sheet:/", url_fetcher=nothing)
    return bytes(page.write_pdf(stylesheets=[CSS(string=STYLE.read_text(encoding="utf-8"))]))


def pdf_response(template: str, context: Mapping[str, Any], name: str) -> HttpResponse:
    """Answer with a PDF that opens in the browser."""
    response = HttpResponse(pdf_bytes(template, context), content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return response
