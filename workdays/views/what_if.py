"""Presses below a plan: what would change it, and letting go of pins that clash."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from coordinator.refused import refusals_told
from workdays import access
from workdays.actions.clashes import GONE, let_go
from workdays.actions.what_ifs import ask_what_if
from workdays.forms.let_go import LetGoForm
from workdays.queries.plan_page import plan_page


@require_POST
def plan_what_if(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask the worker what would change the plan that is shown."""
    day = access.day_for_organiser(request, pk)
    plan = plan_page(day).plan
    if plan is None:
        messages.error(request, _("There is no plan any more; plan the crews first."))
        return redirect("plan", pk=day.pk)
    with refusals_told(request):
        ask_what_if(plan, by=access.viewer(request).person)
    return redirect("plan", pk=day.pk)


@require_POST
def plan_let_go(request: HttpRequest, pk: int) -> HttpResponse:
    """Let go of one of the pins that clash."""
    day = access.day_for_organiser(request, pk)
    plan, form = plan_page(day).plan, LetGoForm(request.POST)
    if plan is None or not form.is_valid():
        messages.error(request, GONE)
        return redirect("plan", pk=day.pk)
    with refusals_told(request):
        let_go(plan, **form.cleaned_data, by=access.viewer(request).person)
        messages.success(request, _("Let go. Plan the rest again now."))
    return redirect("plan", pk=day.pk)
