"""Choosing the jobs that are meant for a day."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from coordinator.refused import attempt
from workdays import access
from workdays.actions.jobs_of_days import put_jobs_on_day
from workdays.forms.jobs_of_day import JobsForm
from workdays.queries.choosing import choice
from workdays.queries.days import day_rows


@require_http_methods(["GET", "HEAD", "POST"])
def day_jobs(request: HttpRequest, pk: int) -> HttpResponse:
    """Show ready jobs with boxes and blocked ones with why; keep what was ticked."""
    day = access.day_for_organiser(request, pk)
    by, now = access.organiser(request).person, timezone.now()
    form = JobsForm(request.POST if request.method == "POST" else None, day=day)
    if form.is_valid():
        jobs = list(form.cleaned_data["jobs"])
        if attempt(form, lambda: put_jobs_on_day(day, jobs, by=by, now=now)) is not None:
            messages.success(request, _("Kept. A new crew plan takes them in."))
            return redirect("day_desk", pk)
    picked = form.picked() if form.is_bound else None
    context = {
        "here": "days",
        "row": day_rows([day], now=now)[0],
        "form": form,
        "choice": choice(day, picked=picked, suggest="suggest" in request.GET),
        "suggested": "suggest" in request.GET and not form.is_bound,
    }
    return render(request, "workdays/days/jobs.html", context)
