"""Pages of batches: which jobs use up a mixed material together, and put them on their day."""

from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from coordinator.refused import attempt
from workdays import access
from workdays.actions.jobs_of_days import put_jobs_on_day
from workdays.forms.batches import BatchDateForm, BatchPutForm
from workdays.queries.batches import batches_page, default_date
from workdays.queries.days import local_date
from workdays.rules.wall_clock import day_words


@require_safe
def batches(request: HttpRequest, slug: str) -> HttpResponse:
    """Show which jobs use up whole batches on a date."""
    place, now = access.cemetery_for_staff(request, slug), timezone.now()
    first = default_date(place, now=now)
    form = BatchDateForm(request.GET if "on" in request.GET else None, initial={"on": first})
    on = form.cleaned_data["on"] if form.is_valid() else first
    context = {
        "cemetery": place,
        "form": form,
        "page": batches_page(place, on=on, now=now),
        "may_change": access.viewer(request).may_organise(place.pk),
    }
    return render(request, "workdays/chains/batches.html", context)


@require_POST
def batches_put(request: HttpRequest, slug: str) -> HttpResponse:
    """Put the jobs of a batch on a day, beside those that are meant for it."""
    place = access.cemetery_for_organiser(request, slug)
    form = BatchPutForm(request.POST, cemetery=place)
    address = reverse("batches", args=[place.slug])
    if form.is_valid():
        day, by = form.cleaned_data["day"], access.viewer(request).person
        on = local_date(day)
        address = f"{address}?{urlencode({'on': on.isoformat()})}"
        jobs = [*day.jobs.all(), *form.cleaned_data["jobs"].exclude(days=day)]
        new = attempt(form, lambda: put_jobs_on_day(day, jobs, by=by, now=timezone.now()))
        if new is not None:
            words = ngettext(
                "%(n)s job more is meant for %(when)s.",
                "%(n)s jobs more are meant for %(when)s.",
                len(new),
            )
            messages.success(request, words % {"n": len(new), "when": day_words(on)})
    for errors in form.errors.values():
        messages.error(request, " ".join(str(error) for error in errors))
    return redirect(address)
