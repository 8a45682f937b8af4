"""The first page after log-in: what needs a person in the next seven days."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from workdays import access
from workdays.queries.week import Reader
from workdays.queries.week import week as week_of


@never_cache
@require_safe
def week(request: HttpRequest) -> HttpResponse:
    """Show what needs the reader, each in one sentence with one link."""
    who = access.viewer(request)
    reader = Reader(who.person, who.seen(), who.organised(), who.is_organiser)
    context = {
        "here": "week",
        "week": week_of(reader, now=timezone.now()),
        "role": "organiser" if who.is_organiser else "supervisor",
        "person": who.person,
    }
    return render(request, "workdays/days/week.html", context)
