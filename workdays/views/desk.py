"""The desk of a day: one page for those who run it, on paper too, and the list as a file."""

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from workdays import access
from workdays.actions.reminding import remind
from workdays.desk_csv import people_csv
from workdays.models import Workday
from workdays.queries.day_people import SORTS
from workdays.queries.desk import Desk, desk
from workdays.queries.naming import moment_name
from workdays.queries.reminding import last_reminder
from workdays.queries.teaching import teaching_words
from workdays.views.telling import outcome


@dataclass(frozen=True)
class Link:
    """One way to look at the list: a part of it, or an order."""

    query: str
    words: str
    is_current: bool


@dataclass(frozen=True)
class Look:
    """How the list is looked at: the part that is shown (empty: all of it) and its order."""

    show: str
    sort: str

    def query(self, **other: str) -> str:
        """Return the question of an address that looks so, or otherwise in one thing."""
        asked = {"show": self.show, "sort": self.sort} | other
        said = {name: words for name, words in asked.items() if words and words != "name"}
        return f"?{urlencode(said)}" if said else "?"


def _look(request: HttpRequest) -> Look:
    sort = request.GET.get("sort", "")
    return Look(request.GET.get("show", "")[:80], sort if sort in SORTS else "name")


def _links(found: Desk, look: Look) -> dict[str, Any]:
    """Return the ways to look at the list, each keeping what the other says."""
    parts = [
        (part.is_usual, Link(look.query(show=part.key), words, look.show == part.key))
        for part in found.parts
        for words in [f"{part.words} ({part.many})"]
    ]
    every = Link(look.query(show=""), _("everybody"), not look.show)
    return {
        "query": look.query(),
        "is_chosen": look != Look("", "name"),
        "parts": [every, *(link for is_usual, link in parts if is_usual)],
        "more_parts": [link for is_usual, link in parts if not is_usual],
        "more_shown": any(link.is_current for is_usual, link in parts if not is_usual),
        "sorts": [
            Link(look.query(sort=key), sort.words, look.sort == key) for key, sort in SORTS.items()
        ],
    }


@never_cache
@require_safe
def day_desk(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one day with its people and what is missing."""
    day, look = access.day_for_staff(request, pk), _look(request)
    found = desk(day, now=timezone.now(), sort=look.sort)
    context = {
        "here": "days",
        "day": day,
        "desk": found,
        "show": look.show,
        "shown": found.part(look.show),
        "reminded": _reminded(day),
        "teaching": teaching_words(day, now=timezone.now()),
        "may_change": access.viewer(request).may_organise(day.cemetery_id),
    }
    return render(request, "workdays/days/desk.html", context | _links(found, look))


@never_cache
@require_safe
def day_list(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the list, or a part of it, as a sheet for the gate."""
    day, look = access.day_for_staff(request, pk), _look(request)
    found = desk(day, now=timezone.now(), sort=look.sort)
    shown = found.part(look.show)
    numbers = {row.sign_up.pk for row in shown}
    states = {
        _("Coming"): found.coming,
        _("Not answered yet"): found.unconfirmed,
        _("No place yet"): found.waiting,
    }
    groups = [
        (words, [row for row in rows if row.sign_up.pk in numbers])
        for words, rows in states.items()
    ]
    part = next((part.words for part in found.parts if part.key == look.show), "")
    context = {"day": day, "row": found.row, "groups": groups, "many": len(shown), "part": part}
    return render(request, "workdays/sheets/people.html", context | {"query": look.query()})


@never_cache
@require_safe
def day_people(request: HttpRequest, pk: int) -> HttpResponse:
    """Give the people of a day, or a part of them, as a file for a spreadsheet."""
    day, look = access.day_for_staff(request, pk), _look(request)
    found = desk(day, now=timezone.now(), sort=look.sort)
    name = f"people-{found.row.on:%Y-%m-%d}-{day.cemetery.slug}.csv"
    return HttpResponse(
        people_csv(found.part(look.show)),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


def _reminded(day: Workday) -> str:
    last = last_reminder(day)
    return moment_name(day, last) if last else ""


@require_POST
def day_remind(request: HttpRequest, pk: int) -> HttpResponse:
    """Remind everybody who has not signed."""
    day, by = access.day_for_organiser(request, pk), access.viewer(request).person
    told = outcome(request, lambda: remind(pk, by=by, now=timezone.now()))
    if told is None:
        return redirect("day_desk", pk=day.pk)
    mailed, to_ring = told
    words = ngettext("%d reminder is on its way.", "%d reminders are on their way.", mailed)
    messages.success(request, words % mailed)
    if to_ring:
        ring = ngettext("%d person has no mailbox: ring.", "%d have no mailbox: ring.", to_ring)
        messages.warning(request, ring % to_ring)
    return redirect(f"{reverse('day_desk', args=[day.pk])}?show=unsigned")
