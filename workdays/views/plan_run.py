"""A request to plan: ask for it, look how far it is, stop it and keep what is found, cancel it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from coordinator.refused import refusals_told
from workdays import access
from workdays.actions import plan_runs as actions
from workdays.actions.plans import ask_for_plan
from workdays.forms.plan_run import AskForm, RunForm
from workdays.queries.plan_page import last_request
from workdays.queries.run_page import found_page, run_view
from workdays.queries.timeline import timeline_of
from workdays.views.plan import plan_response


@require_POST
def plan_run(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for a new plan around what is pinned."""
    day, form = access.day_for_organiser(request, pk), AskForm(request.POST)
    if not form.is_valid():
        return plan_response(request, day, ask=form)
    with refusals_told(request):
        ask_for_plan(day, by=access.viewer(request).person, effort=form.cleaned_data["effort"])
    return redirect("plan", pk=day.pk)


@never_cache
@require_safe
def plan_live(request: HttpRequest, pk: int) -> HttpResponse:
    """Show how far the planning is; with its crews where they are not those shown already."""
    day = access.day_for_staff(request, pk)
    view = run_view(last_request(day), now=timezone.now())
    is_new = view is not None and request.GET.get("shown") != str(view.run.value)
    so_far = found_page(day, view.run) if view and is_new else None
    context = {
        "day": day,
        "zone": day.cemetery.zone,
        "so_far": so_far,
        "view": view,
        "timeline": timeline_of(day, so_far) if so_far else None,
    }
    return render(request, "workdays/plan/_live.html", context)


@require_POST
def plan_stop(request: HttpRequest, pk: int) -> HttpResponse:
    """End the planning; the best plan found so far is the draft."""
    day = access.day_for_organiser(request, pk)
    by, now = access.viewer(request).person, timezone.now()
    with refusals_told(request):
        made = actions.keep_found(day, run=_run(request), by=by, now=now)
        said = _("Stopped. The best plan found so far is kept, worth %(value)d points.")
        messages.success(request, said % {"value": made.value})
    return redirect("plan", pk=day.pk)


@require_POST
def plan_cancel(request: HttpRequest, pk: int) -> HttpResponse:
    """End the planning; the plan that was there before stays."""
    day = access.day_for_organiser(request, pk)
    by, now = access.viewer(request).person, timezone.now()
    with refusals_told(request):
        actions.cancel_run(day, run=_run(request), by=by, now=now)
        messages.success(request, _("Cancelled. The plan is what it was before."))
    return redirect("plan", pk=day.pk)


def _run(request: HttpRequest) -> int:
    """Return the number of the request that a button names; 0, which none has, for a wrong one."""
    form = RunForm(request.POST)
    return form.cleaned_data["run"] if form.is_valid() else 0
