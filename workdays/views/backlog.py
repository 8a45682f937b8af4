"""Pages of jobs: the backlog of a cemetery, one job, a new one, a changed one."""

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from coordinator.refused import attempt
from workdays import access
from workdays.actions import backlog as actions
from workdays.forms.backlog import JobForm, job_initial
from workdays.forms.finishing import DoneForm
from workdays.queries.backlog import job_page, lift_at, new_job_initial
from workdays.queries.backlog_page import backlog_page
from workdays.queries.ground import today_at
from workdays.queries.terms import terms_of_job
from workdays.views.telling import kept


def backlog(request: HttpRequest, slug: str) -> HttpResponse:
    """Show the jobs of a cemetery: those that are ready, and those that wait, and for what."""
    place = access.cemetery_for_staff(request, slug)
    context = {
        "cemetery": place,
        "zone": place.zone,
        "page": backlog_page(place, request.GET, now=timezone.now()),
        "may_change": access.viewer(request).may_organise(place.pk),
    }
    return render(request, "workdays/ground/backlog.html", context)


def job_new(request: HttpRequest, slug: str) -> HttpResponse:
    """Add a job; a link from a stone brings its number along."""
    place = access.cemetery_for_organiser(request, slug)
    initial = new_job_initial(place, request.GET)
    form = JobForm(request.POST or None, initial=initial, cemetery=place, submit=_("Add this job"))
    if request.method == "POST" and form.is_valid():
        by, values, before = access.viewer(request).person, form.values(), form.before()
        made = attempt(form, lambda: actions.add_job(place, values, prerequisites=before, by=by))
        if made:
            return redirect(made)
    lift = lift_at(place, initial.get("stone", ""), now=timezone.now())
    context = {"cemetery": place, "form": form, "lift": lift}
    return render(request, "workdays/ground/job_edit.html", context)


def job(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one job and whether it is ready."""
    found, now = access.job_for_staff(request, pk), timezone.now()
    context = {
        "cemetery": found.cemetery,
        "job": found,
        "page": job_page(found, now=now),
        "terms": terms_of_job(found, on=today_at(found.cemetery, now=now)),
        "may_change": access.viewer(request).may_organise(found.cemetery_id),
    }
    return render(request, "workdays/ground/job.html", context)


def job_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change a job."""
    found = access.job_for_organiser(request, pk)
    form = JobForm(
        request.POST or None,
        initial=job_initial(found),
        cemetery=found.cemetery,
        job=found,
        submit=_("Keep this job"),
    )
    if request.method == "POST" and form.is_valid():
        by, now, before = access.viewer(request).person, timezone.now(), form.before()
        change = partial(actions.change_job, found, form.values(), prerequisites=before)
        if kept(request, form, lambda: change(by=by, now=now)):
            return redirect(found)
    number = found.stone.number if found.stone else ""
    lift = lift_at(found.cemetery, number, now=timezone.now())
    context = {"cemetery": found.cemetery, "job": found, "form": form, "lift": lift}
    return render(request, "workdays/ground/job_edit.html", context)


def job_done(request: HttpRequest, pk: int) -> HttpResponse:
    """Note that a job was done, by a conservator alone or before anybody noted it."""
    found, now = access.job_for_organiser(request, pk), timezone.now()
    initial = {"on": today_at(found.cemetery, now=now)}
    form = DoneForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        by, said = access.viewer(request).person, form.cleaned_data
        if kept(request, form, lambda: actions.finish_job(found, **said, by=by, now=now)):
            return redirect(found)
    context = {"cemetery": found.cemetery, "job": found, "form": form}
    return render(request, "workdays/ground/job_done.html", context)
