"""The desk of a day: one page for those who run it, on paper too, and the list as a file."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from workdays import access
from workdays.desk_csv import people_csv
from workdays.queries.desk import desk


@never_cache
@require_safe
def day_desk(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one day with its people and what is missing."""
    day = access.day_for_staff(request, pk)
    found, show = desk(day, now=timezone.now()), request.GET.get("show", "")
    context = {
        "here": "days",
        "day": day,
        "desk": found,
        "show": show,
        "shown": found.part(show),
        "may_change": access.viewer(request).may_organise(day.cemetery_id),
    }
    return render(request, "workdays/days/desk.html", context)


@never_cache
@require_safe
def day_people(request: HttpRequest, pk: int) -> HttpResponse:
    """Give the people of a day as a file for a spreadsheet."""
    day = access.day_for_staff(request, pk)
    found = desk(day, now=timezone.now())
    name = f"people-{found.row.on:%Y-%m-%d}-{day.cemetery.slug}.csv"
    return HttpResponse(
        people_csv(found.people),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )
