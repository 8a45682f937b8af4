"""The text to sign that a request is about, and its languages, for each page that shows one."""

from django.http import HttpRequest

from workdays.forms.reading import READ_IN
from workdays.models import Cemetery
from workdays.queries.waivers import ToSign, to_sign


def shown_to_sign(request: HttpRequest, cemetery: Cemetery) -> ToSign | None:
    """Return the text in the language that was pressed, signed, or named by the address."""
    return to_sign(
        cemetery,
        read_in=request.POST.get(READ_IN, ""),
        sha256=request.POST.get("text_sha256", ""),
        language=request.GET.get("language", ""),
    )


def about(found: ToSign | None) -> dict[str, object]:
    """Return what a page says of the text."""
    if found is None:
        return {"waiver": None, "languages": []}
    return {"waiver": found.waiver, "languages": found.languages}
