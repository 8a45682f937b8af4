"""Pages and feeds for everybody: the days to come, one day, calendars to subscribe to."""

import hashlib

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.views.decorators.http import require_safe

from coordinator import ics
from coordinator.page_cache import kept_for_a_moment
from workdays import access, feeds
from workdays.queries import public
from workdays.queries.asked import asked_lines
from workdays.queries.brought import wanted
from workdays.queries.teaching import teaching_words
from workdays.rules.wall_clock import day_words


@login_not_required
@require_safe
@kept_for_a_moment
def days_public(request: HttpRequest) -> HttpResponse:
    """Show the days and clinics to come, each with what is left."""
    days = public.days_to_come(now=timezone.now())
    context = {"days": days, "open_days": sum(shown.takes_people for shown in days)}
    return render(request, "workdays/public/days.html", context)


@login_not_required
@require_safe
def asked(request: HttpRequest) -> HttpResponse:
    """Say what is asked at sign-up, why, who sees it and how long it is kept."""
    return render(request, "workdays/public/asked.html", {"lines": asked_lines()})


@login_not_required
@require_safe
@kept_for_a_moment
def day(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one day; nine statements at most, whatever the number of sign-ups."""
    row = access.public_day(pk)
    works, blocks, now = public.works(row), public.blocks(row), timezone.now()
    shown = public.public_days([row], now=now)[0]
    context = {
        "public_day": shown,
        "day": row,
        "breaks": public.breaks(row, blocks),
        "works": works,
        "training_for": public.training_words(works),
        "there_is": public.there_is(row),
        "wanted": wanted(row, blocks),
        "teaching": teaching_words(row, now=now, in_all=shown.places.left),
        "rain_date": day_words(row.rain_on) if row.rain_on else "",
        "geo": public.geo(row),
    }
    return render(request, "workdays/public/day.html", context)


@login_not_required
@require_safe
def day_calendar(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Give one day as a calendar file, to anybody, naming nobody."""
    row = access.public_day(pk)
    octets = ics.published(
        [feeds.public_entry(row)], tzid=row.cemetery.time_zone, year=row.starts_at.year
    )
    return _calendar(request, octets, f"day-{pk}.ics")


@login_not_required
@require_safe
def feed(request: HttpRequest) -> HttpResponseBase:
    """Give the days to come and of the last weeks, for calendars that subscribe."""
    now = timezone.now()
    entries = [feeds.public_entry(row) for row in public.days_of_feed(now=now)]
    octets = ics.published(
        entries, tzid=settings.TIME_ZONE, year=now.year, feed=feeds.description()
    )
    return _calendar(request, octets, "days.ics")


def _calendar(request: HttpRequest, octets: bytes, name: str) -> HttpResponseBase:
    tag = f'"{hashlib.sha256(octets).hexdigest()[:32]}"'
    response = HttpResponse(octets, content_type="text/calendar; charset=utf-8")
    response.headers["Content-Disposition"] = f'inline; filename="{name}"'
    response.headers["ETag"] = tag
    return get_conditional_response(request, etag=tag, response=response) or response
