"""Pages of the roll and of closing a day."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coordinator.refused import Refused, attempt, refuse_into
from workdays import access
from workdays.actions import roll as actions
from workdays.forms.roll import CloseForm, RollForm
from workdays.models import Workday
from workdays.queries.roll import planned_jobs, planned_times, roll_lines


def _page(
    request: HttpRequest, day: Workday, form: RollForm | None = None, status: int = 200
) -> HttpResponse:
    zone = day.cemetery.zone
    now = timezone.now().astimezone(zone)
    lines = roll_lines(day)
    context = {
        "day": day,
        "zone": zone,
        "here": "days",
        "lines": lines,
        "here_now": sum(line.here for line in lines),
        "form": form or RollForm(day, initial={"time": now.time().replace(second=0)}),
        "may_note": day.state == Workday.State.OPEN,
        "may_organise": access.viewer(request).may_organise(day.cemetery_id),
    }
    return render(request, "workdays/roll/roll.html", context, status=status)


@require_safe
def roll(request: HttpRequest, pk: int) -> HttpResponse:
    """Show who is expected and who is on the ground."""
    return _page(request, access.day_for_staff(request, pk))


def _note(request: HttpRequest, pk: int, *, coming: bool) -> HttpResponse:
    day = access.day_for_staff(request, pk)
    by = access.viewer(request).person
    form = RollForm(day, request.POST)
    if form.is_valid():
        act = actions.arrive if coming else actions.leave
        person = form.cleaned_data["person"]
        try:
            act(day, person, at=form.moment(), by=by, now=timezone.now())
        except Refused as refused:
            refuse_into(form, refused)
        else:
            return redirect("roll", pk=day.pk)
    return _page(request, day, form, status=422)


@require_POST
def roll_arrive(request: HttpRequest, pk: int) -> HttpResponse:
    """Note that somebody came."""
    return _note(request, pk, coming=True)


@require_POST
def roll_leave(request: HttpRequest, pk: int) -> HttpResponse:
    """Note that somebody left."""
    return _note(request, pk, coming=False)


@require_http_methods(["GET", "HEAD", "POST"])
def day_close(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask what was done, and close the day."""
    day = access.day_for_staff(request, pk)
    by = access.viewer(request).person
    planned = {job: time.person_minutes for job, time in planned_times(day).items()}
    typed = request.POST if request.method == "POST" else None
    form = CloseForm(planned_jobs(day), planned, typed)
    if request.method == "POST" and form.is_valid():
        left, took, now = form.minutes_left(), form.took(), timezone.now()
        closed = attempt(form, lambda: actions.close_day(day, left, took=took, by=by, now=now))
        if closed:
            messages.success(request, _closed_words(closed))
            return redirect("training")
    lines = roll_lines(day)
    context = {
        "day": day,
        "here": "days",
        "form": form,
        "still_here": [line.person.name for line in lines if line.here],
        "came": sum(line.arrived_at is not None for line in lines),
    }
    return render(request, "workdays/roll/close.html", context, status=422 if form.errors else 200)


def _closed_words(closed: actions.Closing) -> str:
    hours = ngettext("%d hours entry waits", "%d hours entries wait", closed.hours)
    done = ngettext("%d job is done", "%d jobs are done", closed.done)
    said = _("The day is closed: %(done)s, %(hours)s for a countersign.")
    return said % {"done": done % closed.done, "hours": hours % closed.hours}
