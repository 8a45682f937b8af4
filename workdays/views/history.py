"""The history of a stone as one record to print, for its owner."""

import base64
from collections.abc import Callable
from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from coordinator import sheets
from workdays import access
from workdays.models import Photograph, Stone
from workdays.queries.ground import today_at
from workdays.queries.history import Event, stone_history

Source = Callable[[Photograph], str]


@require_safe
def stone_history_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show everything that happened at a stone, oldest first, to read or to print."""
    stone = access.stone_for_staff(request, pk)
    return render(request, "workdays/sheets/stone_history.html", _record(stone, _address))


@require_safe
def stone_history_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """Give the record as a PDF, pictures inside; where that cannot be made, the page to print."""
    stone = access.stone_for_staff(request, pk)
    try:
        return sheets.pdf_response(
            "workdays/sheets/stone_history.html", _record(stone, _inside), f"stone-{stone.pk}"
        )
    except sheets.NoPdf:
        messages.info(request, _("This machine cannot make PDFs; print the page instead."))
        return redirect("stone_history", stone.pk)


def _record(stone: Stone, source: Source) -> dict[str, Any]:
    history = stone_history(stone)
    pairs = [
        {"before": _shown(pair.before, source), "after": _shown(pair.after, source)}
        for pair in history.pairs
    ]
    return {
        "stone": stone,
        "cemetery": stone.cemetery,
        "owner": stone.cemetery.owner_name,
        "today": _today(stone),
        "history": history,
        "events": [_event(event, source) for event in history.events],
        "pairs": pairs,
    }


def _today(stone: Stone) -> date:
    return today_at(stone.cemetery, now=timezone.now())


def _event(event: Event, source: Source) -> dict[str, Any]:
    return {
        "on": event.on,
        "heading": event.heading,
        "lines": event.lines,
        "reading": event.reading,
        "src": source(event.picture) if event.picture else "",
    }


def _shown(picture: Photograph, source: Source) -> dict[str, Any]:
    return {"on": picture.taken_on, "caption": picture.caption, "src": source(picture)}


def _address(picture: Photograph) -> str:
    return reverse("photograph", args=[picture.pk, "medium"])


def _inside(picture: Photograph) -> str:
    """Return the picture itself as an address, since a PDF fetches nothing."""
    file = picture.medium or picture.file
    if not file or not file.storage.exists(file.name or ""):
        return ""
    with file.open("rb") as opened:
        return "data:image/jpeg;base64," + base64.b64encode(opened.read()).decode("ascii")
