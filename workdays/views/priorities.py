"""The page on which the priorities of jobs are set, one by one or as suggested."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import ngettext

from coordinator.models import Person
from workdays import access
from workdays.actions import priorities as actions
from workdays.forms.priorities import PrioritiesForm, jobs_sent
from workdays.models import Cemetery
from workdays.queries.priorities import priorities_again, priorities_page, priority_rows


def priorities(request: HttpRequest, slug: str) -> HttpResponse:
    """Show what is suggested, and why; keep what was typed and take what was pressed."""
    place, now = access.cemetery_for_organiser(request, slug), timezone.now()
    if request.method == "POST":
        rows = priority_rows(place, jobs_sent(request.POST), now=now)
        page, form = priorities_again(place, rows), PrioritiesForm(rows, request.POST)
        if form.is_valid():
            changed = _keep(place, form, by=access.viewer(request).person)
            said = ngettext("%d priority is changed.", "%d priorities are changed.", changed)
            messages.success(request, said % changed)
            return redirect(request.get_full_path())
    else:
        page = priorities_page(place, request.GET, now=now)
        form = PrioritiesForm(page.rows)
    context = {"cemetery": place, "page": page, "form": form}
    status = 422 if form.errors else 200
    return render(request, "workdays/ground/priorities.html", context, status=status)


def _keep(place: Cemetery, form: PrioritiesForm, *, by: Person) -> int:
    """Keep what was typed first: nothing that somebody wrote is lost by another button."""
    now = timezone.now()
    changed = actions.set_priorities(place, form.typed(), by=by)
    for job in form.taken():
        changed += actions.take_suggestion(place, job, by=by, now=now)
    if form.takes_all:
        ids = [row.job.pk for row in form.rows]
        changed += actions.take_suggestions(place, ids, by=by, now=now)
    return changed
