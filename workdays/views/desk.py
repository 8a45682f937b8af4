"""The desk of a day: one page for those who run it, on paper too, and the list as a file."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from coordinator.refused import Refused
from workdays import access
from workdays.actions.reminding import remind
from workdays.desk_csv import people_csv
from workdays.models import Workday
from workdays.queries.desk import desk
from workdays.queries.naming import moment_name
from workdays.queries.reminding import last_reminder
from workdays.queries.teaching import teaching_words


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
        "reminded": _reminded(day),
        "teaching": teaching_words(day, now=timezone.now()),
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


def _reminded(day: Workday) -> str:
    last = last_reminder(day)
    return moment_name(day, last) if last else ""


@require_POST
def day_remind(request: HttpRequest, pk: int) -> HttpResponse:
    """Remind everybody who has not signed."""
    day, by = access.day_for_organiser(request, pk), access.viewer(request).person
    try:
        mailed, to_ring = remind(pk, by=by, now=timezone.now())
    except Refused as refused:
        messages.warning(request, str(refused))
        return redirect("day_desk", pk=day.pk)
    words = ngettext("%d reminder is on its way.", "%d reminders are on their way.", mailed)
    messages.success(request, words % mailed)
    if to_ring:
        ring = ngettext("%d person has no mailbox: ring.", "%d have no mailbox: ring.", to_ring)
        messages.warning(request, ring % to_ring)
    return redirect(f"{reverse('day_desk', args=[day.pk])}?show=unsigned")
